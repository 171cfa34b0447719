//! What a consultant overrules in one case: any outcome may be tightened; one may be loosened as far as the safety floor.
//!
//! The floor is what the rules marked `floor` and all gates say. A loosening ends with its last day, and as soon as the bird has
//! touched someone since it was written: what it was written about is then no longer the case.

use jiff::civil::Date;
use serde::Serialize;

use crate::answers::Overruling;
use crate::facts::{Facts, Value};
use crate::language::Truth;
use crate::language::condition::{Scope, value};
use crate::rulebook::{Contact, Risk, Rulebook, Start, Vet};

use super::guards::Steps;
use super::verdict::{Pair, Verdict, gate_truth, rule_truth, tighter};

/// The ordered outcomes by name, in the order of [`Overruling::steps`].
pub const OUTCOMES: [&str; 4] = ["risk", "start", "contact", "vet"];

/// What came of overruling one outcome.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Came {
    /// It is tighter than the rules have it.
    Tightened,
    /// It is looser than the rules have it.
    Loosened,
    /// The rules have it there already.
    Nothing,
    /// Its first day has not come.
    Ahead,
    /// Its last day is over.
    Expired,
    /// The bird has touched someone since, and the loosening no longer counts.
    BiteSince,
}

/// One outcome that a consultant overruled, or wanted to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Overruled {
    /// Its place among the case's departures.
    pub entry: usize,
    /// The outcome.
    pub outcome: &'static str,
    /// Where it is to stand.
    pub wanted: &'static str,
    /// Where the rules have it: known, and until answered.
    pub ruled: [&'static str; 2],
    /// Where it stands now.
    pub now: [&'static str; 2],
    /// What came of it.
    pub came: Came,
    /// True when it would have gone below the safety floor and stops there.
    pub held_by_floor: bool,
    /// Why, by whom, and until when.
    pub by: Overruling,
}

/// The verdict of the rules with what a consultant overrules.
pub(super) fn overrule(
    rulebook: &Rulebook,
    facts: &Facts,
    overrulings: &[Overruling],
    today: Date,
    ruled: Verdict,
) -> (Verdict, Vec<Overruled>) {
    if overrulings.is_empty() {
        return (ruled, Vec::new());
    }
    let (known, until) = steps_of(&ruled);
    let (floor_known, floor_until) = steps_of(&floor(rulebook, facts));
    let (mut now_known, mut now_until) = (known, until);
    let mut found = Vec::new();
    for on in 0..OUTCOMES.len() {
        let wanted: Vec<(usize, u8, Came)> = overrulings
            .iter()
            .enumerate()
            .filter_map(|(entry, by)| {
                let wanted = by.steps[on]?;
                let came = came(rulebook, facts, by, today, (wanted, known[on], until[on]));
                Some((entry, wanted, came))
            })
            .collect();
        let tightest = |of: Came| {
            let steps = wanted.iter().filter(|(_, _, came)| *came == of);
            steps.map(|(_, step, _)| *step).max()
        };
        // Of two that want different things the tighter holds.
        if let Some(step) = tightest(Came::Tightened).or(tightest(Came::Nothing)) {
            // Known as well: a person says so, whatever else is not answered.
            now_known[on] = known[on].max(step);
            now_until[on] = until[on].max(step);
        } else if let Some(step) = tightest(Came::Loosened) {
            now_until[on] = step.max(floor_until[on]);
            if step < known[on] {
                now_known[on] = step.max(floor_known[on]);
            }
        }
        let words = |steps: [u8; 2]| steps.map(|step| word(on, step));
        found.extend(wanted.into_iter().map(|(entry, step, came)| Overruled {
            entry,
            outcome: OUTCOMES[on],
            wanted: word(on, step),
            ruled: words([known[on], until[on]]),
            now: words([now_known[on], now_until[on]]),
            came,
            held_by_floor: came == Came::Loosened && step < floor_until[on],
            by: overrulings[entry].clone(),
        }));
    }
    found.sort_by_key(|line| line.entry);
    (super::guards::verdict_of(&now_known, &now_until), found)
}

/// Whether an overruling does not count on a day.
fn in_time(by: &Overruling, today: Date) -> Option<Came> {
    if today < by.date {
        Some(Came::Ahead)
    } else if today > by.until {
        Some(Came::Expired)
    } else {
        None
    }
}

fn came(
    rulebook: &Rulebook,
    facts: &Facts,
    by: &Overruling,
    today: Date,
    (wanted, known, until): (u8, u8, u8),
) -> Came {
    if let Some(out_of_time) = in_time(by, today) {
        return out_of_time;
    }
    if wanted >= until {
        // What would only hold until answered is said for sure.
        if wanted > known {
            Came::Tightened
        } else {
            Came::Nothing
        }
    } else if touched_since(rulebook, facts, by.date, today) {
        Came::BiteSince
    } else {
        Came::Loosened
    }
}

/// True when a bite may lie after the day an overruling was written. A bite of that very day was known when it was written.
fn touched_since(rulebook: &Rulebook, facts: &Facts, written: Date, today: Date) -> bool {
    let Some(at) = rulebook.vocabulary.slots.days_since_bite else {
        return false;
    };
    let days = written.until(today).map_or(0, |span| span.get_days());
    matches!(value(facts, &Scope::default(), at), Value::Number { low, .. } if *low < f64::from(days))
}

/// What the safety floor says of a case: the rules marked `floor`, and all gates.
#[must_use]
pub fn floor(rulebook: &Rulebook, facts: &Facts) -> Verdict {
    let mut floor = Verdict::loosest();
    for rule in rulebook.rules.iter().filter(|rule| rule.floor) {
        if rule.then.is_guard() {
            floor.raise(&rule.then, rule_truth(rulebook, rule, facts));
        }
    }
    for gate in &rulebook.gates {
        let shut: Truth = !gate_truth(gate, facts);
        floor.start.raise(tighter(gate.opens), shut);
    }
    floor
}

fn steps_of(verdict: &Verdict) -> (Steps, Steps) {
    fn small(step: usize) -> u8 {
        u8::try_from(step).unwrap_or(u8::MAX)
    }
    fn of<T: Copy>(pair: &Pair<T>, steps: fn(T) -> usize) -> (u8, u8) {
        (small(steps(pair.known)), small(steps(pair.until_answered)))
    }
    let all = [
        of(&verdict.risk, Risk::steps),
        of(&verdict.start, Start::steps),
        of(&verdict.contact, Contact::steps),
        of(&verdict.vet, Vet::steps),
    ];
    (all.map(|pair| pair.0), all.map(|pair| pair.1))
}

/// The words of an outcome, loosest first.
#[must_use]
pub fn words_of(outcome: usize) -> &'static [&'static str] {
    [Risk::WORDS, Start::WORDS, Contact::WORDS, Vet::WORDS]
        .get(outcome)
        .copied()
        .unwrap_or(&[])
}

fn word(outcome: usize, step: u8) -> &'static str {
    words_of(outcome)
        .get(usize::from(step))
        .copied()
        .unwrap_or_default()
}
