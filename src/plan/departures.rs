//! What professional copies say of departures: where the practice departs from a shipped rule that speaks in this case, what the
//! consultant overrules in it, and which rules are past the day on which somebody should have looked at them again.

use jiff::civil::Date;
use serde::Serialize;

use crate::decision::{Decision, Overruled};
use crate::language::Truth;
use crate::rulebook::{Departure, Edition, Rulebook, Then};

/// A departure of the practice from a rule that speaks in this case.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OfPractice {
    /// The departure.
    pub departure: Departure,
    /// What the rule is about.
    pub title: String,
    /// What the rule says as shipped, each as `start: hands-off`.
    pub shipped: Vec<String>,
    /// What is left of it.
    pub left: Vec<String>,
    /// True when the rule is known to hold; else it holds until a blank is answered.
    pub known: bool,
}

/// Something past its review.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PastReview {
    /// The name of an edition, or the id of a rule.
    pub what: String,
    /// True for a single rule.
    pub is_rule: bool,
    /// By when it should have been looked at.
    pub review_by: Date,
}

/// All of it.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Departures {
    /// Of the practice.
    pub of_practice: Vec<OfPractice>,
    /// In this case.
    pub of_case: Vec<Overruled>,
    /// Past review.
    pub past_review: Vec<PastReview>,
}

impl Departures {
    pub(super) fn of(rulebook: &Rulebook, decision: &Decision) -> Self {
        Self {
            of_practice: of_practice(rulebook, decision),
            of_case: decision.overruled.clone(),
            past_review: past_review(rulebook, decision),
        }
    }

    /// True when something counts here that loosens what the rules say.
    #[must_use]
    pub fn loosens(&self) -> bool {
        !self.of_practice.is_empty()
            || self
                .of_case
                .iter()
                .any(|line| line.came == crate::decision::Came::Loosened)
    }
}

fn of_practice(rulebook: &Rulebook, decision: &Decision) -> Vec<OfPractice> {
    let traces = decision.rules.iter();
    traces
        .filter_map(|trace| {
            let rule = &rulebook.rules[trace.rule];
            let departed = rule.departed.as_ref()?;
            // Advice stays quiet on a blank, so a departure from it changes nothing there.
            let counts = match trace.truth {
                Truth::True => true,
                Truth::Blank => departed.then.is_guard(),
                Truth::False => false,
            };
            counts.then(|| OfPractice {
                departure: rulebook.departures[departed.by].clone(),
                title: rule.title.clone(),
                shipped: said(&departed.then),
                left: said(&rule.then),
                known: trace.truth == Truth::True,
            })
        })
        .collect()
}

/// What a rule says, line by line.
fn said(then: &Then) -> Vec<String> {
    let outcomes = [
        ("risk", then.risk.map(crate::rulebook::Risk::word)),
        ("start", then.start.map(crate::rulebook::Start::word)),
        ("contact", then.contact.map(crate::rulebook::Contact::word)),
        ("vet", then.vet.map(crate::rulebook::Vet::word)),
    ];
    let lists = [
        ("do", &then.do_),
        ("never", &then.never),
        ("refer", &then.refer),
        ("ask", &then.ask),
    ];
    let outcomes = outcomes
        .into_iter()
        .filter_map(|(key, word)| word.map(|word| format!("{key}: {word}")));
    let lists = lists
        .into_iter()
        .filter(|(_, ids)| !ids.is_empty())
        .map(|(key, ids)| format!("{key}: {}", ids.join(", ")));
    outcomes.chain(lists).collect()
}

/// The editions in use, and the rules that speak here, whose review is over.
fn past_review(rulebook: &Rulebook, decision: &Decision) -> Vec<PastReview> {
    let today = decision.today;
    let editions: [Option<&Edition>; 2] = [
        Some(&rulebook.tables.edition),
        rulebook.house_rules.as_ref(),
    ];
    let editions = editions
        .into_iter()
        .flatten()
        .filter(|edition| edition.is_past_review(today))
        .map(|edition| PastReview {
            what: edition.name.clone(),
            is_rule: false,
            review_by: edition.review_by,
        });
    let rules = decision
        .rules
        .iter()
        .filter(|trace| trace.truth != Truth::False)
        .filter_map(|trace| {
            let rule = &rulebook.rules[trace.rule];
            let review_by = rule.review_by.filter(|day| *day < today)?;
            Some(PastReview {
                what: rule.id.clone(),
                is_rule: true,
                review_by,
            })
        });
    editions.chain(rules).collect()
}
