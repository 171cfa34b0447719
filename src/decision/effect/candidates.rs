//! Answers that stand for all answers to a question.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::answers::Given;
use crate::dates::PartialDate;
use crate::facts::{Value, value};
use crate::language::condition::FactRef;
use crate::language::phrase::Range;
use crate::language::{Test, Truth};
use crate::questionnaire::Kind;
use crate::rulebook::Rulebook;

use super::reach::Reaches;

/// Answers to one question, as rules see them.
#[derive(Debug, Default)]
pub(super) struct Candidates {
    /// Every choice, and a number on each side of every edge that a phrase turns on.
    pub(super) all: Vec<Value>,
    /// One of each lot that nothing said of the question itself tells apart.
    pub(super) apart: Vec<Value>,
}

impl Candidates {
    pub(super) fn of(rulebook: &Rulebook, reaches: &Reaches<'_>, today: Date, at: FactRef) -> Self {
        let fact = rulebook.vocabulary.fact(at);
        let all: Vec<Value> = given(rulebook, reaches, today, at)
            .iter()
            .map(|given| value(fact, given, today))
            .collect();
        let tests = &reaches.questions[at.group][at.fact].tests;
        let mut seen: BTreeSet<Vec<Truth>> = BTreeSet::new();
        let apart = all
            .iter()
            .filter(|value| seen.insert(tests.iter().map(|test| test.check(value)).collect()))
            .cloned()
            .collect();
        Self { all, apart }
    }
}

/// Numbers that phrases turn on: those of the question, and of what is worked out from any question of its group.
fn edges(rulebook: &Rulebook, reaches: &Reaches<'_>, at: FactRef) -> Vec<f64> {
    let vocabulary = &rulebook.vocabulary;
    let derived = vocabulary.derived.iter().map(|(derived, _)| *derived);
    let touched = std::iter::once(at).chain(derived.filter(|derived| {
        let from = &vocabulary.fact(*derived).from;
        from.iter().any(|from| from.group == at.group)
    }));
    let mut edges: Vec<f64> = touched
        .filter(|other| matches!(vocabulary.fact(*other).kind, Kind::Number(_) | Kind::Date))
        .flat_map(|other| &reaches.questions[other.group][other.fact].tests)
        .filter_map(|test| match test {
            Test::Within(Range { low, high, .. }) => Some([*low, *high]),
            _ => None,
        })
        .flatten()
        .filter(|edge| edge.is_finite())
        .collect();
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    edges
}

pub(super) fn given(
    rulebook: &Rulebook,
    reaches: &Reaches<'_>,
    today: Date,
    at: FactRef,
) -> Vec<Given> {
    let fact = rulebook.vocabulary.fact(at);
    let choices = fact.choices.len().min(64) as u8;
    match fact.kind {
        Kind::YesNo => vec![Given::YesNo(true), Given::YesNo(false)],
        Kind::Choice | Kind::Level => (0..choices).map(Given::Choice).collect(),
        Kind::Choices => {
            let alone = rulebook
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
            edges(rulebook, reaches, at)
                .into_iter()
                .flat_map(|edge| [edge - 0.5, edge, edge + 0.5])
                .chain([min, max])
                .filter(|number| (min..=max).contains(number))
                .map(Given::Number)
                .collect()
        }
        Kind::Date => edges(rulebook, reaches, at)
            .into_iter()
            .chain([0.0])
            .flat_map(|edge| [edge - 1.0, edge, edge + 1.0])
            .chain([3650.0])
            .filter(|days| fact.future || *days >= 0.0)
            .filter_map(|days| {
                let back = (days as i32).days();
                let date = today.checked_sub(back).ok()?;
                Some(Given::Date(PartialDate::day(date)))
            })
            .collect(),
        Kind::Text => Vec::new(),
    }
}
