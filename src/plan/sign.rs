//! What stands on the door sign, and how large.

use serde::Serialize;

use crate::decision::Decision;
use crate::figures::sign::letter_heights;
use crate::language::Truth;
use crate::language::condition::Scope;
use crate::rulebook::{Rulebook, Signal};

/// From how far a sign is read where a practice said nothing of it, cm (common practice, no source).
pub const READ_FROM_CM: f64 = 300.0;

/// The door sign.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Sign {
    /// The signal word's id: `notice`, `caution` or `warning`.
    pub signal: &'static str,
    /// Why this word, for the consultant.
    pub because: Vec<String>,
    /// From how far it is read, cm.
    pub read_from_cm: f64,
    /// Height of the capital letters of the signal word, mm.
    pub signal_mm: f64,
    /// Height of the capital letters of the message, mm.
    pub message_mm: f64,
}

impl Sign {
    /// The strongest word that an entry asks for. What is not known counts as true, as everywhere.
    pub(super) fn of(rulebook: &Rulebook, decision: &Decision, read_from_cm: f64) -> Self {
        let speaks = |entry: &&crate::rulebook::SignEntry| {
            let by_risk = entry
                .risk
                .is_some_and(|risk| decision.verdict.risk.until_answered >= risk);
            let by_facts = entry.when.as_ref().is_some_and(|when| {
                when.truth(&decision.facts, &mut Scope::default()) != Truth::False
            });
            by_risk || by_facts
        };
        let speaking: Vec<_> = rulebook.sign.iter().filter(speaks).collect();
        let signal = speaking
            .iter()
            .map(|entry| entry.signal)
            .max()
            .unwrap_or(Signal::Notice);
        let letters = letter_heights(read_from_cm);
        Self {
            signal: signal.word(),
            because: speaking
                .iter()
                .filter(|entry| entry.signal == signal)
                .map(|entry| entry.because.clone())
                .collect(),
            read_from_cm,
            signal_mm: letters.signal_mm,
            message_mm: letters.message_mm,
        }
    }
}
