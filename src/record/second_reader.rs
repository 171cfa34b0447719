//! When a plan needs a second reader, by what the practice has laid down.

use serde::Serialize;

use crate::decision::{Came, Decision, Overruled};
use crate::language::Truth;
use crate::language::condition::Scope;
use crate::rulebook::{AsksFor, Rulebook};
use crate::wording::Team;

/// A reason for a second reader in this case.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Needed {
    /// Its id in `second-reader.yaml`.
    pub id: String,
    /// What it is, in words.
    pub title: String,
    /// False where it counts only until something is answered.
    pub known: bool,
}

/// The reasons that a practice goes by and this case has, in the order of the rulebook. What is not known counts as true.
#[must_use]
pub fn reasons(rulebook: &Rulebook, team: &Team, decision: &Decision) -> Vec<Needed> {
    let named = rulebook
        .second_reader
        .iter()
        .filter(|entry| team.second_reader.contains(&entry.id));
    named
        .filter_map(|entry| {
            let truth = match &entry.asks {
                AsksFor::Risk(risk) if decision.verdict.risk.known >= *risk => Truth::True,
                AsksFor::Risk(risk) if decision.verdict.risk.until_answered >= *risk => {
                    Truth::Blank
                }
                AsksFor::Risk(_) => Truth::False,
                AsksFor::When(when) => when.truth(&decision.facts, &mut Scope::default()),
                AsksFor::Departures => departures(rulebook, decision),
            };
            (truth != Truth::False).then(|| Needed {
                id: entry.id.clone(),
                title: entry.title.clone(),
                known: truth == Truth::True,
            })
        })
        .collect()
}

/// Whether a departure touches the case: every kind of departure is counted here and nowhere else. One from a rule of the rulebook does
/// where the condition of that rule holds, or is not known, whatever the departure has left of what it says; one of the case where it
/// loosens.
fn departures(rulebook: &Rulebook, decision: &Decision) -> Truth {
    let loosens = |line: &Overruled| line.came == Came::Loosened;
    if decision.overruled.iter().any(loosens) {
        return Truth::True;
    }
    decision
        .rules
        .iter()
        .filter(|trace| rulebook.rules[trace.rule].departed.is_some())
        .map(|trace| trace.truth)
        .fold(Truth::False, Truth::or)
}
