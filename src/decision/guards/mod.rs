//! The rules and gates that can tighten an outcome, made ready so that only those are asked that could still move one.
//!
//! Outcomes only tighten, so a rule whose word is no stronger than what is already known changes nothing, whether it holds
//! or not. Asking the strongest first therefore gives the verdict of all rules for a share of the work; the tests hold the two
//! ways against each other on every case.

use crate::facts::Facts;
use crate::facts::Items;
use crate::language::Truth;
use crate::language::condition::Scope;
use crate::rulebook::{Contact, Risk, Rulebook, Start, Vet};

use super::verdict::{Pair, Verdict, tighter};

mod set;

pub(super) use set::GuardSet;

/// One step on each of the four scales: risk, start, contact, vet. Zero is the loosest.
pub(super) type Steps = [u8; 4];

/// Where contact stands among [`Steps`].
const CONTACT: usize = 2;

/// What a guard is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Which {
    /// A rule, by its place.
    Rule(usize),
    /// A gate, by its place. It tightens while it is not proven.
    Gate(usize),
}

/// A rule that tightens, or a gate.
#[derive(Debug, Clone, Copy)]
pub(super) struct Guard {
    pub(super) which: Which,
    /// How far it lifts each outcome.
    pub(super) lift: Steps,
}

/// All of them, the strongest first.
#[derive(Debug)]
pub(super) struct Guards {
    pub(super) all: Vec<Guard>,
    /// Rules that ask for a reply: the most urgent first, then by priority and id.
    callers: Vec<usize>,
    /// The group of people.
    pub(super) people: Option<usize>,
}

/// The outcomes as steps, and the guards that are not known and could still move one.
#[derive(Debug, Default)]
pub(super) struct Weighed {
    pub(super) known: Steps,
    pub(super) until_answered: Steps,
    /// Places among [`Guards::all`].
    pub(super) open: GuardSet,
    /// For each scale that is open: the guards that hold its outcome until answered where it is. Only when none of them holds any
    /// more can it come down.
    pub(super) holders: Vec<GuardSet>,
}

impl Guards {
    /// Those of a rulebook.
    pub(super) fn of(rulebook: &Rulebook) -> Self {
        let steps = |at: Option<usize>| at.and_then(|at| u8::try_from(at).ok()).unwrap_or(0);
        let rules = rulebook.rules.iter().enumerate().map(|(at, rule)| Guard {
            which: Which::Rule(at),
            lift: [
                steps(rule.then.risk.map(Risk::steps)),
                steps(rule.then.start.map(Start::steps)),
                steps(rule.then.contact.map(Contact::steps)),
                steps(rule.then.vet.map(Vet::steps)),
            ],
        });
        let gates = rulebook.gates.iter().enumerate().map(|(at, gate)| Guard {
            which: Which::Gate(at),
            lift: [0, steps(Some(tighter(gate.opens).steps())), 0, 0],
        });
        let mut all: Vec<Guard> = rules.chain(gates).filter(|g| g.lift != [0; 4]).collect();
        all.sort_by_key(|guard| {
            let sum: u32 = guard.lift.iter().map(|lift| u32::from(*lift)).sum();
            (std::cmp::Reverse(sum), guard.which)
        });
        let mut callers: Vec<usize> = (0..rulebook.rules.len())
            .filter(|at| rulebook.rules[*at].then.contact.is_some())
            .collect();
        callers.sort_by_key(|at| {
            let rule = &rulebook.rules[*at];
            (std::cmp::Reverse(rule.then.contact), rule.priority, *at)
        });
        Self {
            all,
            callers,
            people: rulebook.vocabulary.group_by_noun("person"),
        }
    }

    /// Weighs the facts of a case.
    pub(super) fn weigh(&self, rulebook: &Rulebook, facts: &Facts, scope: &mut Scope) -> Weighed {
        let mut weighed = Weighed::default();
        for (at, guard) in self.all.iter().enumerate() {
            if !could_lift(&guard.lift, &weighed.known) {
                continue;
            }
            match self.truth(rulebook, guard.which, facts, scope) {
                Truth::False => {}
                Truth::Blank => {
                    raise(&mut weighed.until_answered, &guard.lift);
                    weighed.open.insert(at);
                }
                Truth::True => {
                    raise(&mut weighed.known, &guard.lift);
                    raise(&mut weighed.until_answered, &guard.lift);
                }
            }
        }
        // What was known later may have left some of them without a word.
        let idle: Vec<usize> = weighed
            .open
            .iter()
            .filter(|at| !could_lift(&self.all[*at].lift, &weighed.known))
            .collect();
        idle.into_iter().for_each(|at| weighed.open.remove(at));
        weighed.holders = (0..4)
            .filter(|on| weighed.until_answered[*on] > weighed.known[*on])
            .map(|on| {
                let holds = |at: &usize| self.all[*at].lift[on] == weighed.until_answered[on];
                weighed.open.iter().filter(holds).collect()
            })
            .collect();
        weighed
    }

    /// The rule that decides how soon to reply, and whether it is known to hold: of those that ask for the most urgent reply
    /// until answered, one that is known to hold before one that is not, then by priority and id. None for a routine reply.
    pub(super) fn caller(
        &self,
        rulebook: &Rulebook,
        weighed: &Weighed,
        facts: &Facts,
        scope: &mut Scope,
    ) -> Option<(usize, Truth)> {
        let level = weighed.until_answered[CONTACT];
        if level == 0 {
            return None;
        }
        let mut unsure = None;
        for at in &self.callers {
            let asks = rulebook.rules[*at].then.contact.map_or(0, Contact::steps);
            if asks > usize::from(level) {
                continue;
            }
            if asks < usize::from(level) {
                break;
            }
            match self.truth(rulebook, Which::Rule(*at), facts, scope) {
                Truth::True => return Some((*at, Truth::True)),
                Truth::Blank => unsure = unsure.or(Some((*at, Truth::Blank))),
                Truth::False => {}
            }
        }
        unsure
    }

    /// Whether a rule holds, or a gate is not proven.
    pub(super) fn truth(
        &self,
        rulebook: &Rulebook,
        which: Which,
        facts: &Facts,
        scope: &mut Scope,
    ) -> Truth {
        match which {
            Which::Rule(at) => {
                let rule = &rulebook.rules[at];
                if !rule.each_person {
                    return rule.when.truth(facts, scope);
                }
                let Some(people) = self.people else {
                    return Truth::Blank;
                };
                match &facts.groups[people] {
                    Items::Many(Some(items)) => {
                        let mut result = Truth::False;
                        for item in 0..items.len() {
                            result =
                                result
                                    .or(scope
                                        .with(people, item, |scope| rule.when.truth(facts, scope)));
                            if result == Truth::True {
                                break;
                            }
                        }
                        result
                    }
                    _ => Truth::Blank,
                }
            }
            Which::Gate(at) => {
                let mut proven = Truth::True;
                for need in &rulebook.gates[at].needs {
                    proven = proven.and(need.when.truth(facts, scope));
                    if proven == Truth::False {
                        break;
                    }
                }
                !proven
            }
        }
    }
}

impl Weighed {
    /// The ordered outcomes.
    pub(super) fn verdict(&self) -> Verdict {
        verdict_of(&self.known, &self.until_answered)
    }
}

/// Steps as outcomes.
pub(super) fn verdict_of(known: &Steps, until_answered: &Steps) -> Verdict {
    Verdict {
        risk: pair(Risk::ALL, known[0], until_answered[0]),
        start: pair(Start::ALL, known[1], until_answered[1]),
        contact: pair(Contact::ALL, known[2], until_answered[2]),
        vet: pair(Vet::ALL, known[3], until_answered[3]),
    }
}

fn pair<T: Copy>(all: &[T], known: u8, until_answered: u8) -> Pair<T> {
    Pair {
        known: all[usize::from(known)],
        until_answered: all[usize::from(until_answered)],
    }
}

/// True when a word is stronger than what is known, on one scale at least.
pub(super) fn could_lift(lift: &Steps, known: &Steps) -> bool {
    lift.iter().zip(known).any(|(lift, known)| lift > known)
}

/// Takes the stronger on each scale.
pub(super) fn raise(steps: &mut Steps, lift: &Steps) {
    for (steps, lift) in steps.iter_mut().zip(lift) {
        *steps = (*steps).max(*lift);
    }
}
