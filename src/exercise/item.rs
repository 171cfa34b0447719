//! What an exercise asks: the ordered outcomes, who is referred to, and measures, of which some are asked for and others only could be.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::decision::{Decision, Reason, What};
use crate::fingerprint;
use crate::language::Truth;
use crate::plan::Plan;
use crate::rulebook::{Contact, Measure, MeasureKind, Risk, Rulebook, Start, Urgency, Vet};

/// A part of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The four ordered outcomes.
    Outcomes,
    /// Who is referred to.
    Refer,
    /// What is asked for now.
    Measures,
}

impl Part {
    /// All parts, in the order of the sheet.
    pub const ALL: &[Self] = &[Self::Outcomes, Self::Refer, Self::Measures];

    /// Its key in a sheet.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Outcomes => "outcomes",
            Self::Refer => "refer",
            Self::Measures => "measures",
        }
    }
}

/// The answers to a question of yes or no. No comes first: to leave out what the rulebook asks for is the looser side.
const YES_NO: &[&str] = &["no", "yes"];

/// One thing that is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// The part it stands in.
    pub part: Part,
    /// An outcome, or the id of a referral or a measure.
    pub id: String,
    /// What it is called. Outcomes are called by their id; papers have words for them.
    pub title: String,
    /// What it says in full; empty for outcomes.
    pub says: String,
    /// What can be answered, loosest first.
    pub words: &'static [&'static str],
    /// The rulebook's answer, as a place in `words`.
    pub rulebook: usize,
}

impl Item {
    /// True for an item with an order of more than two answers.
    #[must_use]
    pub fn is_ordered(&self) -> bool {
        self.part == Part::Outcomes
    }
}

/// Most measures on a sheet, and fewest (common practice, no source: a sheet takes a quarter of an hour).
const MEASURES: std::ops::RangeInclusive<usize> = 9..=12;
/// How many of them the rulebook asks for at most, and how many others there are at least: so many or up to three more, by the form.
const ASKED_FOR: usize = 3;
const OTHERS: usize = 4;

/// The items of a case. `seed` is the fingerprint of its form: the same form gives the same items in the same order.
pub(super) fn items(
    rulebook: &Rulebook,
    decision: &Decision,
    plan: &Plan,
    seed: &str,
) -> Vec<Item> {
    let verdict = &decision.verdict;
    let outcome = |id: &str, words: &'static [&'static str], rulebook: usize| Item {
        part: Part::Outcomes,
        id: id.to_owned(),
        title: id.to_owned(),
        says: String::new(),
        words,
        rulebook,
    };
    let mut items = vec![
        outcome("risk", Risk::WORDS, verdict.risk.until_answered.steps()),
        outcome("start", Start::WORDS, verdict.start.until_answered.steps()),
        outcome(
            "contact",
            Contact::WORDS,
            verdict.contact.until_answered.steps(),
        ),
        outcome("vet", Vet::WORDS, verdict.vet.until_answered.steps()),
    ];
    // A referral that rests on private answers is on no household paper, and counts here all the same.
    let refers: BTreeSet<&str> = decision
        .referrals
        .iter()
        .filter(|landing| landing.known)
        .map(|landing| landing.referral.as_str())
        .chain(plan.referrals.iter().map(|referral| referral.id.as_str()))
        .collect();
    items.extend(rulebook.tables.referrals.iter().map(|(id, referral)| Item {
        part: Part::Refer,
        id: id.clone(),
        title: referral.title.clone(),
        says: referral.tell.clone(),
        words: YES_NO,
        rulebook: usize::from(refers.contains(id.as_str())),
    }));
    items.extend(measures(rulebook, decision, plan, seed));
    items
}

/// Some measures that the plan asks for now, and about as many that it does not, in an order that tells nothing.
fn measures(rulebook: &Rulebook, decision: &Decision, plan: &Plan, seed: &str) -> Vec<Item> {
    let mut asked_for: Vec<&str> = Vec::new();
    let live = plan
        .actions
        .iter()
        .chain(plan.cards.iter().flat_map(|card| &card.does));
    for action in live {
        if !asked_for.contains(&action.id.as_str()) {
            asked_for.push(&action.id);
        }
    }
    // Were there always as many of one as of the other, the count alone would tell.
    asked_for.truncate(ASKED_FOR + number("how many are asked for", seed) % 4);
    let others = others(rulebook, decision, seed);
    let wanted = (OTHERS + number("how many are not", seed) % 4).clamp(
        MEASURES.start().saturating_sub(asked_for.len()),
        MEASURES.end().saturating_sub(asked_for.len()),
    );
    let mut chosen: Vec<(String, Item)> = Vec::new();
    let all = asked_for
        .into_iter()
        .map(|id| (id, 1))
        .chain(others.into_iter().take(wanted).map(|id| (id, 0)));
    for (id, answer) in all {
        let Some(measure) = rulebook.measures.get(id) else {
            continue;
        };
        let MeasureKind::Do { what, .. } = &measure.kind else {
            continue;
        };
        chosen.push((
            drawn("the order of measures", seed, id),
            Item {
                part: Part::Measures,
                id: id.to_owned(),
                title: measure.title.clone(),
                says: what.clone(),
                words: YES_NO,
                rulebook: answer,
            },
        ));
    }
    chosen.sort_by(|one, other| one.0.cmp(&other.0));
    chosen.into_iter().map(|(_, item)| item).collect()
}

/// Measures that no rule asks for in this case: first those that one nearly does, then those of the topics that matter in it, else as
/// they are drawn.
fn others<'r>(rulebook: &'r Rulebook, decision: &Decision, seed: &str) -> Vec<&'r str> {
    let landed: BTreeSet<&str> = decision
        .landings
        .iter()
        .map(|landing| landing.measure.as_str())
        .collect();
    let topics: BTreeSet<&str> = landed
        .iter()
        .filter_map(|id| rulebook.measures.get(*id).map(topic))
        .collect();
    let covers = |measure: &'r Measure| match &measure.kind {
        MeasureKind::Do { covers, .. } => covers.as_slice(),
        MeasureKind::Never { .. } => &[],
    };
    // What does the same as something that is asked for would be a trap.
    let needless: BTreeSet<&str> = landed
        .iter()
        .filter_map(|id| rulebook.measures.get(*id))
        .flat_map(covers)
        .map(String::as_str)
        .collect();
    let near = nearly_asked_for(rulebook, decision);
    let mut found: Vec<(bool, bool, String, &str)> = rulebook
        .measures
        .values()
        .filter(|measure| {
            let now = matches!(
                measure.kind,
                MeasureKind::Do {
                    start: Urgency::Today | Urgency::ThisWeek,
                    only_from: None,
                    ..
                }
            );
            let apart = !landed.contains(measure.id.as_str())
                && !needless.contains(measure.id.as_str())
                && !covers(measure)
                    .iter()
                    .any(|id| landed.contains(id.as_str()));
            now && apart
        })
        .map(|measure| {
            (
                !near.contains(measure.id.as_str()),
                !topics.contains(topic(measure)),
                drawn("which other measures", seed, &measure.id),
                measure.id.as_str(),
            )
        })
        .collect();
    found.sort();
    found.into_iter().map(|(_, _, _, id)| id).collect()
}

/// Measures of rules that a part of the case speaks for, and the rest of it not: those that are easily asked for.
fn nearly_asked_for<'r>(rulebook: &'r Rulebook, decision: &Decision) -> BTreeSet<&'r str> {
    let in_part = |reason: &Reason| match &reason.what {
        What::All { parts } => parts.iter().any(|part| part.truth == Truth::True),
        _ => reason.truth == Truth::Blank,
    };
    decision
        .rules
        .iter()
        .filter(|trace| {
            let mut bindings = trace.bindings.iter();
            bindings.any(|binding| in_part(&binding.reason))
        })
        .flat_map(|trace| &rulebook.rules[trace.rule].then.do_)
        .map(String::as_str)
        .collect()
}

/// The folder a measure lies in.
fn topic(measure: &Measure) -> &str {
    measure
        .place
        .file
        .rsplit(['/', '\\'])
        .nth(1)
        .unwrap_or_default()
}

/// A lot that hangs on the form and the measure alone, not on what was decided.
fn drawn(what_for: &str, seed: &str, id: &str) -> String {
    fingerprint::of_parts(&[what_for.as_bytes(), seed.as_bytes(), id.as_bytes()])
}

/// A number that hangs on the form alone.
fn number(what_for: &str, seed: &str) -> usize {
    usize::from_str_radix(&drawn(what_for, seed, "")[..4], 16).unwrap_or(0)
}
