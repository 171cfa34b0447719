//! Because of which rules an outcome or a line differs.

use serde::Serialize;

use crate::decision::{Counts, Decision, tighter};
use crate::language::{Condition, Truth};
use crate::rulebook::{Rulebook, Then};

use super::item::What;
use super::rules::Difference;
use super::side::Side;

/// The ordered outcomes, by name.
pub(super) const OUTCOMES: [&str; 4] = ["risk", "start", "contact", "vet"];

/// A rule or gate whose word made a difference.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Because {
    /// Its id.
    pub rule: String,
    /// Its title.
    pub title: String,
    /// `rule` or `gate`.
    pub kind: &'static str,
    /// In which of the sets it speaks so: `old` or `new`.
    pub speaks: &'static str,
    /// What became of it; none when it is the same in both sets, and what it asks about is not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub what: Option<What>,
    /// Questions it rests on that differ.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub questions: Vec<String>,
}

/// One of the two sets with what it made of a case.
#[derive(Clone, Copy)]
pub(super) struct Made<'a> {
    pub(super) name: &'static str,
    pub(super) side: &'a Side,
    pub(super) decision: &'a Decision,
}

impl Made<'_> {
    fn rulebook(&self) -> &Rulebook {
        &self.side.rulebook
    }

    /// Rules and gates that say more than `above` of an outcome. They are what makes this set tighter than one in which
    /// the outcome stands at `above`: there, none of them says so.
    pub(super) fn say_more(
        &self,
        difference: &Difference,
        outcome: usize,
        known: bool,
        above: usize,
    ) -> Vec<Because> {
        let mut found: Vec<(usize, Because)> = Vec::new();
        for trace in &self.decision.rules {
            let rule = &self.rulebook().rules[trace.rule];
            let counts = if known {
                trace.counts == Counts::Known
            } else {
                trace.counts >= Counts::UntilAnswered
            };
            if let Some(says) = step(&rule.then, outcome).filter(|says| counts && *says > above) {
                found.push((says, self.of_rule(difference, &rule.id)));
            }
        }
        for trace in &self.decision.gates {
            let gate = &self.rulebook().gates[trace.gate];
            let shut = if known {
                trace.truth == Truth::False
            } else {
                trace.truth != Truth::True
            };
            let says = tighter(gate.opens).steps();
            if OUTCOMES[outcome] == "start" && shut && says > above {
                found.push((says, self.of_gate(difference, &gate.id)));
            }
        }
        // What says most comes first.
        found.sort_by(|a, b| (b.0, &a.1).cmp(&(a.0, &b.1)));
        found.into_iter().map(|(_, because)| because).collect()
    }

    pub(super) fn of_rule(&self, difference: &Difference, id: &str) -> Because {
        let rule = self.rulebook().rule(id);
        let conditions: Vec<&Condition> = rule.iter().map(|rule| &rule.when).collect();
        self.of(
            "rule",
            difference,
            id,
            rule.map(|rule| rule.title.as_str()),
            &conditions,
        )
    }

    fn of_gate(&self, difference: &Difference, id: &str) -> Because {
        let gate = self.rulebook().gate(id);
        let needs = gate.iter().flat_map(|gate| &gate.needs);
        let conditions: Vec<&Condition> = needs.map(|need| &need.when).collect();
        self.of(
            "gate",
            difference,
            id,
            gate.map(|gate| gate.title.as_str()),
            &conditions,
        )
    }

    fn of(
        &self,
        kind: &'static str,
        difference: &Difference,
        id: &str,
        title: Option<&str>,
        conditions: &[&Condition],
    ) -> Because {
        let differ = difference.ids("question");
        let names = &self.rulebook().vocabulary;
        let mut questions: Vec<String> = Vec::new();
        for condition in conditions {
            condition.visit(&mut |at, _, _| {
                let fact = names.fact(at);
                let asked = std::iter::once(at).chain(fact.from.iter().copied());
                questions.extend(asked.map(|at| names.name(at)));
            });
        }
        questions.retain(|name| differ.contains(name.as_str()));
        questions.sort();
        questions.dedup();
        Because {
            rule: id.to_owned(),
            title: title.unwrap_or_default().to_owned(),
            kind,
            speaks: self.name,
            what: difference.find(kind, id).map(|item| item.what),
            questions,
        }
    }
}

/// What a rule says of an outcome, in steps from the loosest.
fn step(then: &Then, outcome: usize) -> Option<usize> {
    match outcome {
        0 => then.risk.map(|it| it.steps()),
        1 => then.start.map(|it| it.steps()),
        2 => then.contact.map(|it| it.steps()),
        _ => then.vet.map(|it| it.steps()),
    }
}
