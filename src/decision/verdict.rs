//! The ordered outcomes, from the truth of every rule and gate.

use serde::Serialize;

use crate::facts::{Facts, Items};
use crate::language::condition::Scope;
use crate::language::{Condition, Truth};
use crate::rulebook::{Contact, Gate, Risk, Rule, Rulebook, Start, Then, Vet};

/// The truth of every rule and gate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Truths {
    /// By rule.
    pub rules: Vec<Truth>,
    /// By gate: the least of its needs.
    pub gates: Vec<Truth>,
}

impl Truths {
    /// Evaluates all of them, without reasons.
    #[must_use]
    pub fn of(rulebook: &Rulebook, facts: &Facts) -> Self {
        Self {
            rules: rulebook
                .rules
                .iter()
                .map(|rule| rule_truth(rulebook, rule, facts))
                .collect(),
            gates: rulebook
                .gates
                .iter()
                .map(|gate| gate_truth(gate, facts))
                .collect(),
        }
    }
}

/// The truth of a rule: of at least one person, when it speaks of each.
#[must_use]
pub(super) fn rule_truth(rulebook: &Rulebook, rule: &Rule, facts: &Facts) -> Truth {
    conditions_truth(
        rulebook,
        std::slice::from_ref(&rule.when),
        rule.each_person,
        facts,
    )
}

/// The truth of conditions that have to hold together: of the household, or of at least one person.
#[must_use]
pub(super) fn conditions_truth(
    rulebook: &Rulebook,
    conditions: &[Condition],
    each_person: bool,
    facts: &Facts,
) -> Truth {
    let all = |scope: &mut Scope| {
        conditions
            .iter()
            .map(|condition| condition.truth(facts, scope))
            .fold(Truth::True, Truth::and)
    };
    if !each_person {
        return all(&mut Scope::default());
    }
    let Some(people) = rulebook.vocabulary.group_by_noun("person") else {
        return Truth::Blank;
    };
    match &facts.groups[people] {
        Items::Many(Some(items)) => (0..items.len())
            .map(|item| all(&mut Scope::of(people, item)))
            .fold(Truth::False, Truth::or),
        _ => Truth::Blank,
    }
}

/// The truth of a gate: all its needs.
#[must_use]
pub(super) fn gate_truth(gate: &Gate, facts: &Facts) -> Truth {
    gate.needs
        .iter()
        .map(|need| need.when.truth(facts, &mut Scope::default()))
        .fold(Truth::True, Truth::and)
}

/// An outcome twice: as known, blanks not counting; and until answered, blanks counting against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Pair<T> {
    /// Blanks do not count.
    pub known: T,
    /// Blanks count against.
    pub until_answered: T,
}

impl<T: Copy + Ord> Pair<T> {
    fn both(value: T) -> Self {
        Self {
            known: value,
            until_answered: value,
        }
    }

    pub(super) fn raise(&mut self, value: T, truth: Truth) {
        if truth == Truth::True {
            self.known = self.known.max(value);
        }
        if truth >= Truth::Blank {
            self.until_answered = self.until_answered.max(value);
        }
    }
}

/// The ordered outcomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// How much harm is credible.
    pub risk: Pair<Risk>,
    /// How work may begin.
    pub start: Pair<Start>,
    /// How soon to reply.
    pub contact: Pair<Contact>,
    /// How soon a vet.
    pub vet: Pair<Vet>,
}

impl Verdict {
    /// Where no rule says anything.
    pub(super) fn loosest() -> Self {
        Self {
            risk: Pair::both(Risk::Low),
            start: Pair::both(Start::OpenRoom),
            contact: Pair::both(Contact::Routine),
            vet: Pair::both(Vet::Routine),
        }
    }

    /// Takes what a rule says, where it holds or may hold.
    pub(super) fn raise(&mut self, then: &Then, truth: Truth) {
        if let Some(risk) = then.risk {
            self.risk.raise(risk, truth);
        }
        if let Some(start) = then.start {
            self.start.raise(start, truth);
        }
        if let Some(contact) = then.contact {
            self.contact.raise(contact, truth);
        }
        if let Some(vet) = then.vet {
            self.vet.raise(vet, truth);
        }
    }

    /// True when nothing may be trained yet: management only, or the vet comes first.
    #[must_use]
    pub fn is_held(&self) -> bool {
        self.start.until_answered == Start::HandsOff
            || self.vet.until_answered >= Vet::BeforeTraining
    }
}

/// Joins the word of every rule and gate. Outcomes only tighten, so the order does not matter.
#[must_use]
pub fn verdict(rulebook: &Rulebook, truths: &Truths) -> Verdict {
    let mut verdict = Verdict::loosest();
    for (rule, truth) in rulebook.rules.iter().zip(&truths.rules) {
        if *truth == Truth::False {
            continue;
        }
        verdict.raise(&rule.then, *truth);
    }
    // A gate that is shut keeps the start one mode tighter than the one it opens.
    for (gate, truth) in rulebook.gates.iter().zip(&truths.gates) {
        verdict.start.raise(tighter(gate.opens), !*truth);
    }
    verdict
}

/// The next tighter start mode.
#[must_use]
pub fn tighter(start: Start) -> Start {
    Start::ALL
        .get(start.steps() + 1)
        .copied()
        .unwrap_or(Start::HandsOff)
}

/// The next looser start mode, if there is one.
#[must_use]
pub fn looser(start: Start) -> Option<Start> {
    start
        .steps()
        .checked_sub(1)
        .and_then(|at| Start::ALL.get(at))
        .copied()
}
