//! What an answer reaches: the facts worked out from it, and the guards that speak of it or of them.

use std::collections::BTreeSet;

use crate::facts::Vocabulary;
use crate::language::condition::FactRef;
use crate::language::{Condition, Test};
use crate::rulebook::Rulebook;

use super::super::guards::{GuardSet, Guards, Which};

/// What an answer to one question reaches, or the word that a group has no entries.
#[derive(Debug, Clone, Default)]
pub(in super::super) struct Reach<'r> {
    /// Guards that rest on it: they speak of it, of what is worked out from it, or of what arises by it.
    pub(in super::super) rest: GuardSet,
    /// Guards whose truth can change with it.
    pub(in super::super) change: GuardSet,
    /// Facts worked out from it, by their places in the vocabulary, in order.
    pub(super) derived: Vec<usize>,
    /// True when some question arises by it, or by what is worked out from it.
    pub(super) settles: bool,
    /// What is said of it, by guards and by questions that arise by it.
    pub(super) tests: Vec<&'r Test>,
}

/// One step on from a fact: to another, with its place where it is a derived one.
type Step = (FactRef, Option<usize>);

/// The reach of every question and every group.
#[derive(Debug)]
pub(super) struct Reaches<'r> {
    /// By group and place.
    pub(super) questions: Vec<Vec<Reach<'r>>>,
    /// By group: that it has no entries.
    pub(super) groups: Vec<Reach<'r>>,
    /// By the place of a derived fact: the guards that speak of it.
    pub(super) speak: Vec<GuardSet>,
    /// By the place of a derived fact: whether a question arises by it.
    pub(super) settle: Vec<bool>,
}

impl<'r> Reaches<'r> {
    pub(super) fn of(rulebook: &'r Rulebook, guards: &Guards) -> Self {
        let vocabulary = &rulebook.vocabulary;
        let mut reaches = Self {
            questions: vocabulary
                .groups
                .iter()
                .map(|group| vec![Reach::default(); group.facts.len()])
                .collect(),
            groups: vec![Reach::default(); vocabulary.groups.len()],
            speak: Vec::new(),
            settle: Vec::new(),
        };
        for (at, guard) in guards.all.iter().enumerate() {
            match guard.which {
                Which::Rule(rule) => {
                    let rule = &rulebook.rules[rule];
                    if let Some(people) = guards.people.filter(|_| rule.each_person) {
                        reaches.groups[people].rest.insert(at);
                        reaches.groups[people].change.insert(at);
                    }
                    reaches.learn(vocabulary, at, &rule.when);
                }
                Which::Gate(gate) => {
                    for need in &rulebook.gates[gate].needs {
                        reaches.learn(vocabulary, at, &need.when);
                    }
                }
            }
        }
        for condition in arising(vocabulary).map(|(_, condition)| condition) {
            condition.visit(&mut |of, test, _| {
                reaches.questions[of.group][of.fact].tests.push(test);
            });
        }
        let derived = || vocabulary.derived.iter().map(|(at, _)| at);
        reaches.speak = derived()
            .map(|at| reaches.questions[at.group][at.fact].change.clone())
            .collect();
        reaches.settle = derived()
            .map(|at| arising(vocabulary).any(|(_, condition)| speaks_of(condition, *at)))
            .collect();
        reaches.lead_on(vocabulary);
        reaches
    }

    /// Notes what a guard speaks of.
    fn learn(&mut self, vocabulary: &Vocabulary, guard: usize, condition: &'r Condition) {
        condition.visit(&mut |at, test, _| {
            let here = &mut self.questions[at.group][at.fact];
            here.change.insert(guard);
            here.tests.push(test);
            let own = std::slice::from_ref(&at);
            let from = &vocabulary.fact(at).from;
            let asked = if from.is_empty() { own } else { from };
            for on in asked.iter().chain(&vocabulary.arises_by(at)) {
                self.questions[on.group][on.fact].rest.insert(guard);
            }
        });
        condition.visit_groups(&mut |group| {
            self.groups[group].rest.insert(guard);
            self.groups[group].change.insert(guard);
        });
    }

    /// Follows every fact to those worked out from it and those that arise by it. Until then `change` holds who speaks of it.
    fn lead_on(&mut self, vocabulary: &Vocabulary) {
        let spoken: Vec<Vec<GuardSet>> = self
            .questions
            .iter()
            .map(|group| group.iter().map(|reach| reach.change.clone()).collect())
            .collect();
        // One step on: to derived facts, by their places, and to questions that arise.
        let mut steps: Vec<Vec<Vec<Step>>> = spoken
            .iter()
            .map(|group| vec![Vec::new(); group.len()])
            .collect();
        for (place, (at, _)) in vocabulary.derived.iter().enumerate() {
            for from in &vocabulary.fact(*at).from {
                steps[from.group][from.fact].push((*at, Some(place)));
            }
        }
        for (at, condition) in arising(vocabulary) {
            condition.visit(&mut |of, _, _| steps[of.group][of.fact].push((at, None)));
        }
        for (group, questions) in self.questions.iter_mut().enumerate() {
            let whole = &mut self.groups[group];
            let mut of_group = BTreeSet::new();
            for (fact, reach) in questions.iter_mut().enumerate() {
                let mut derived = BTreeSet::new();
                let (mut seen, mut next) = (BTreeSet::new(), vec![FactRef { group, fact }]);
                while let Some(at) = next.pop() {
                    if !seen.insert(at) {
                        continue;
                    }
                    reach.change.extend(&spoken[at.group][at.fact]);
                    for (to, place) in &steps[at.group][at.fact] {
                        derived.extend(place);
                        reach.settles |= place.is_none();
                        next.push(*to);
                    }
                }
                whole.rest.extend(&reach.rest);
                whole.change.extend(&reach.change);
                whole.settles |= reach.settles;
                of_group.extend(derived.iter().copied());
                reach.derived = derived.into_iter().collect();
            }
            whole.derived = of_group.into_iter().collect();
        }
    }
}

/// Questions that arise by some other answer, with when they do.
fn arising(vocabulary: &Vocabulary) -> impl Iterator<Item = (FactRef, &Condition)> {
    vocabulary
        .arising
        .iter()
        .filter_map(|at| Some((*at, vocabulary.fact(*at).asked_when.as_ref()?)))
}

fn speaks_of(condition: &Condition, fact: FactRef) -> bool {
    let mut speaks = false;
    condition.visit(&mut |at, _, _| speaks |= at == fact);
    speaks
}
