//! What one answer alone could change: every answer that stands for others is tried out, and the engine weighs the case anew.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::answers::{Answers, Given, Part};
use crate::dates::PartialDate;
use crate::facts::{Facts, Items, value};
use crate::language::condition::{FactRef, Scope};
use crate::language::phrase::Range;
use crate::language::{Condition, Test, Truth};
use crate::questionnaire::Kind;
use crate::rulebook::Rulebook;

use super::guards::{Guards, Steps, Weighed, Which, raise};

/// A blank: its group, the entry of a repeated group, and the question; a group alone when nothing in it was answered.
pub(super) type Key = (usize, Option<usize>, Option<usize>);

/// How far one answer could move the outcomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Effect {
    /// The loosest outcomes until answered, over all answers.
    pub(super) loosest: Steps,
    /// The tightest known outcomes, over all answers.
    pub(super) tightest: Steps,
}

impl Effect {
    /// Steps moved on all scales, known and until answered together.
    pub(super) fn moves(&self, weighed: &Weighed) -> usize {
        (0..4)
            .map(|on| {
                usize::from(weighed.until_answered[on] - self.loosest[on])
                    + usize::from(self.tightest[on] - weighed.known[on])
            })
            .sum()
    }
}

/// What is known of one fact before any case is seen.
#[derive(Debug, Default)]
struct About {
    /// True when other facts are worked out from it, or arise only by it: the facts have to be worked out anew.
    leads_on: bool,
    /// Answers that stand for all.
    candidates: OnceLock<Vec<Given>>,
}

/// What a guard hangs on.
#[derive(Debug, Default)]
pub(super) struct Rests {
    /// Questions, also those behind facts that are worked out, and those by which a question arises.
    pub(super) questions: Vec<FactRef>,
    /// Repeated groups that are counted, or spoken of one by one.
    pub(super) groups: Vec<usize>,
}

/// Ready to try answers out, for one rulebook on one day.
#[derive(Debug)]
pub(super) struct Trials<'r> {
    rulebook: &'r Rulebook,
    today: Date,
    about: Vec<Vec<About>>,
    /// By the guard's place.
    pub(super) rests: Vec<Rests>,
    /// Numbers that phrases turn on, by fact.
    edges: BTreeMap<FactRef, Vec<f64>>,
}

/// One case on which answers are tried out; left as it was found.
#[derive(Debug)]
pub(super) struct Tried<'c> {
    pub(super) answers: &'c mut Answers,
    pub(super) facts: &'c mut Facts,
    pub(super) scope: &'c mut Scope,
}

impl<'r> Trials<'r> {
    pub(super) fn of(rulebook: &'r Rulebook, guards: &Guards, today: Date) -> Self {
        let vocabulary = &rulebook.vocabulary;
        let mut about: Vec<Vec<About>> = vocabulary
            .groups
            .iter()
            .map(|group| group.facts.iter().map(|_| About::default()).collect())
            .collect();
        for (derived, _) in &vocabulary.derived {
            for from in &vocabulary.fact(*derived).from {
                // What hangs on an entry as a whole (a name that ties a bite to a person) may reach any fact worked out from it.
                if vocabulary.groups[from.group].repeats.is_some() {
                    for fact in &mut about[from.group] {
                        fact.leads_on = true;
                    }
                } else {
                    about[from.group][from.fact].leads_on = true;
                }
            }
        }
        for fact in vocabulary.groups.iter().flat_map(|group| &group.facts) {
            if let Some(condition) = &fact.asked_when {
                condition.visit(&mut |at, _, _| about[at.group][at.fact].leads_on = true);
            }
        }
        let mut trials = Self {
            rulebook,
            today,
            about,
            rests: Vec::new(),
            edges: BTreeMap::new(),
        };
        for guard in &guards.all {
            let mut rests = (BTreeSet::new(), BTreeSet::new());
            match guard.which {
                Which::Rule(at) => {
                    let rule = &rulebook.rules[at];
                    if rule.each_person {
                        rests.1.extend(guards.people);
                    }
                    trials.learn(&rule.when, &mut rests);
                }
                Which::Gate(at) => {
                    for need in &rulebook.gates[at].needs {
                        trials.learn(&need.when, &mut rests);
                    }
                }
            }
            trials.rests.push(Rests {
                questions: rests.0.into_iter().collect(),
                groups: rests.1.into_iter().collect(),
            });
        }
        trials
    }

    fn learn(&mut self, condition: &Condition, rests: &mut (BTreeSet<FactRef>, BTreeSet<usize>)) {
        let vocabulary = &self.rulebook.vocabulary;
        condition.visit(&mut |at, test, _| {
            if let Test::Within(Range { low, high, .. }) = test {
                self.edges
                    .entry(at)
                    .or_default()
                    .extend([*low, *high].into_iter().filter(|edge| edge.is_finite()));
            }
            let fact = vocabulary.fact(at);
            if fact.is_derived() {
                rests.0.extend(&fact.from);
            } else {
                rests.0.insert(at);
            }
            rests.0.extend(vocabulary.arises_by(at));
        });
        condition.visit_groups(&mut |group| {
            rests.1.insert(group);
        });
    }

    /// What an answer to one blank could make of the outcomes.
    pub(super) fn effect(
        &self,
        guards: &Guards,
        weighed: &Weighed,
        case: &mut Tried<'_>,
        key: Key,
    ) -> Effect {
        let mut effect = Effect {
            loosest: weighed.until_answered,
            tightest: weighed.known,
        };
        let (group, item, Some(fact)) = key else {
            self.empty_group(guards, weighed, case, key.0, &mut effect);
            return effect;
        };
        let at = FactRef { group, fact };
        for given in self.candidates(at) {
            let (known, until_answered) = self.with(guards, weighed, case, (at, item), given);
            tighten(&mut effect, &known, &until_answered);
        }
        effect
    }

    /// The outcomes with one answer given.
    fn with(
        &self,
        guards: &Guards,
        weighed: &Weighed,
        case: &mut Tried<'_>,
        (at, item): (FactRef, Option<usize>),
        given: &Given,
    ) -> (Steps, Steps) {
        let vocabulary = &self.rulebook.vocabulary;
        if self.about[at.group][at.fact].leads_on {
            let Some(place) = slot(case.answers, at, item) else {
                return (weighed.known, weighed.until_answered);
            };
            let before = std::mem::replace(place, given.clone());
            let facts = Facts::of(
                &self.rulebook.questionnaire,
                vocabulary,
                case.answers,
                self.today,
            );
            if let Some(place) = slot(case.answers, at, item) {
                *place = before;
            }
            return self.weigh(guards, weighed, &facts, case.scope);
        }
        let new = value(vocabulary.fact(at), given, self.today);
        let place = match (&mut case.facts.groups[at.group], item) {
            (Items::Once(values), _) => &mut values[at.fact],
            (Items::Many(Some(items)), Some(item)) => &mut items[item][at.fact],
            // A blank of a group that was not told stands for the whole group, never for one question.
            (Items::Many(_), _) => return (weighed.known, weighed.until_answered),
        };
        let before = std::mem::replace(place, new);
        let result = self.weigh(guards, weighed, case.facts, case.scope);
        match (&mut case.facts.groups[at.group], item) {
            (Items::Once(values), _) => values[at.fact] = before,
            (Items::Many(Some(items)), Some(item)) => items[item][at.fact] = before,
            (Items::Many(_), _) => {}
        }
        result
    }

    /// Weighs anew: only guards that are open can change by an answer.
    fn weigh(
        &self,
        guards: &Guards,
        weighed: &Weighed,
        facts: &Facts,
        scope: &mut Scope,
    ) -> (Steps, Steps) {
        let mut known = weighed.known;
        let mut until_answered = weighed.known;
        for at in &weighed.open {
            let guard = &guards.all[*at];
            match guards.truth(self.rulebook, guard.which, facts, scope) {
                Truth::False => {}
                Truth::Blank => raise(&mut until_answered, &guard.lift),
                Truth::True => {
                    raise(&mut known, &guard.lift);
                    raise(&mut until_answered, &guard.lift);
                }
            }
        }
        (known, until_answered)
    }

    /// A group of which nothing was told: none at all; and, since what may stand in it cannot be tried out, everything that
    /// hangs on it.
    fn empty_group(
        &self,
        guards: &Guards,
        weighed: &Weighed,
        case: &mut Tried<'_>,
        group: usize,
        effect: &mut Effect,
    ) {
        let before =
            std::mem::replace(&mut case.answers.parts[group], Part::Many(Some(Vec::new())));
        let facts = Facts::of(
            &self.rulebook.questionnaire,
            &self.rulebook.vocabulary,
            case.answers,
            self.today,
        );
        case.answers.parts[group] = before;
        let (known, until_answered) = self.weigh(guards, weighed, &facts, case.scope);
        tighten(effect, &known, &until_answered);
        for at in &weighed.open {
            if self.hangs_on(*at, group) {
                raise(&mut effect.tightest, &guards.all[*at].lift);
            }
        }
    }

    /// True when a guard hangs on a group of which nothing was told.
    pub(super) fn hangs_on(&self, guard: usize, group: usize) -> bool {
        let rests = &self.rests[guard];
        rests.groups.contains(&group) || rests.questions.iter().any(|at| at.group == group)
    }

    /// Answers that stand for all: every choice, and a number on each side of every edge that a phrase turns on.
    fn candidates(&self, at: FactRef) -> &[Given] {
        self.about[at.group][at.fact]
            .candidates
            .get_or_init(|| self.candidates_of(at))
    }

    /// The facts whose phrases an answer is measured by: its own, and those worked out from it.
    fn touched(&self, at: FactRef) -> Vec<FactRef> {
        let vocabulary = &self.rulebook.vocabulary;
        let derived = vocabulary.derived.iter().map(|(derived, _)| *derived);
        std::iter::once(at)
            .chain(derived.filter(|derived| {
                let from = &vocabulary.fact(*derived).from;
                from.iter().any(|from| from.group == at.group)
            }))
            .collect()
    }

    fn candidates_of(&self, at: FactRef) -> Vec<Given> {
        let fact = self.rulebook.vocabulary.fact(at);
        let choices = fact.choices.len().min(64) as u8;
        let mut edges: Vec<f64> = self
            .touched(at)
            .iter()
            .filter(|other| {
                matches!(
                    self.rulebook.vocabulary.fact(**other).kind,
                    Kind::Number(_) | Kind::Date
                )
            })
            .filter_map(|other| self.edges.get(other))
            .flatten()
            .copied()
            .collect();
        edges.sort_by(f64::total_cmp);
        edges.dedup();
        match fact.kind {
            Kind::YesNo => vec![Given::YesNo(true), Given::YesNo(false)],
            Kind::Choice | Kind::Level => (0..choices).map(Given::Choice).collect(),
            Kind::Choices => {
                let alone = self
                    .rulebook
                    .questionnaire
                    .groups
                    .get(at.group)
                    .and_then(|group| group.questions.get(at.fact))
                    .and_then(|question| question.alone);
                let all = (0..choices)
                    .filter(|choice| Some(usize::from(*choice)) != alone)
                    .fold(0, |mask, choice| mask | (1 << choice));
                (0..choices)
                    .map(|choice| Given::Choices(1 << choice))
                    .chain([Given::Choices(all)])
                    .collect()
            }
            Kind::Number(_) => {
                let (min, max) = (fact.min.max(-1e9), fact.max.min(1e9));
                edges
                    .into_iter()
                    .flat_map(|edge| [edge - 0.5, edge, edge + 0.5])
                    .chain([min, max])
                    .filter(|number| (min..=max).contains(number))
                    .map(Given::Number)
                    .collect()
            }
            Kind::Date => {
                edges.push(0.0);
                edges
                    .into_iter()
                    .flat_map(|edge| [edge - 1.0, edge, edge + 1.0])
                    .chain([3650.0])
                    .filter(|days| fact.future || *days >= 0.0)
                    .filter_map(|days| {
                        let back = (days as i32).days();
                        let date = self.today.checked_sub(back).ok()?;
                        Some(Given::Date(PartialDate::day(date)))
                    })
                    .collect()
            }
            Kind::Text => Vec::new(),
        }
    }
}

fn tighten(effect: &mut Effect, known: &Steps, until_answered: &Steps) {
    raise(&mut effect.tightest, known);
    for (loosest, until) in effect.loosest.iter_mut().zip(until_answered) {
        *loosest = (*loosest).min(*until);
    }
}

/// The place of an answer.
fn slot(answers: &mut Answers, at: FactRef, item: Option<usize>) -> Option<&mut Given> {
    match (answers.parts.get_mut(at.group)?, item) {
        (Part::Once(given), _) => given.get_mut(at.fact),
        (Part::Many(entries), item) => entries.as_mut()?.get_mut(item?)?.given.get_mut(at.fact),
    }
}
