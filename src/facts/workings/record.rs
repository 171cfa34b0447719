//! Change in how often the bird bites, and weight over time.

use crate::figures::trend::{FEWEST_EVENTS, RateChange, Reading, compare_rates, reading};
use crate::figures::weight::{Change, Weighing, change};

use super::super::Value;
use super::super::case::Case;

/// The stretch that is looked at, days, and the stretch before it.
pub const LATER_DAYS: f64 = 30.0;
/// The stretch before, days.
pub const EARLIER_DAYS: f64 = 60.0;

/// Whether the last 90 days hold too few to judge a change, by their count alone.
#[must_use]
pub fn too_few(case: &Case<'_>) -> Option<bool> {
    let total = case.number(case.vocabulary.slots.record_last_90)?;
    Some(total < f64::from(FEWEST_EVENTS))
}

/// How often the bird bites, now and before.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordFigures {
    /// Count of the last 30 days.
    pub later: u32,
    /// Count of the 60 days before.
    pub earlier: u32,
    /// The comparison.
    pub change: RateChange,
    /// What it says.
    pub reading: Reading,
    /// Where the counts come from, as the questionnaire's choice.
    pub kept: Option<String>,
}

impl RecordFigures {
    /// Works it out from the two counts told.
    #[must_use]
    pub fn of(case: &Case<'_>) -> Option<Self> {
        let slots = &case.vocabulary.slots;
        let later = whole(case.number(slots.record_last_30)?)?;
        let earlier = whole(case.number(slots.record_last_90)?)?.checked_sub(later)?;
        let change = compare_rates(earlier, EARLIER_DAYS, later, LATER_DAYS).ok()?;
        let kept = match (case.once(slots.record_kept), slots.record_kept) {
            (Some(Value::Level { low, high }), Some(at)) if low == high => case
                .vocabulary
                .fact(at)
                .choices
                .get(usize::from(*low))
                .map(|choice| choice.id.clone()),
            _ => None,
        };
        Some(Self {
            later,
            earlier,
            change,
            reading: reading(&change),
            kept,
        })
    }
}

fn whole(number: f64) -> Option<u32> {
    (0.0..=f64::from(u32::MAX))
        .contains(&number)
        .then(|| number.round() as u32)
}

/// The weighings.
#[derive(Debug, Clone, PartialEq)]
pub enum WeightFigures {
    /// Not told, or one of them has a blank or an inexact day.
    NotKnown,
    /// Fewer than two weighings: nothing to compare.
    TooFew,
    /// Compared.
    Compared {
        /// The weighings as told: days ago, grams.
        series: Vec<(f64, f64)>,
        /// The comparison; its `odd` are places in `series`.
        change: Change,
    },
}

impl WeightFigures {
    /// Works it out.
    #[must_use]
    pub fn of(case: &Case<'_>) -> Self {
        let slots = &case.vocabulary.slots;
        let (Some(items), Some(date), Some(weight)) = (
            case.entries(slots.weighing_date),
            slots.weighing_date,
            slots.weighing_weight,
        ) else {
            return Self::NotKnown;
        };
        if items.len() < 2 {
            return Self::TooFew;
        }
        let mut series = Vec::with_capacity(items.len());
        for item in items {
            match (&item[date.fact], &item[weight.fact]) {
                // Two weighings whose order is open cannot be told apart as earlier and later.
                (Value::Number { low, high }, Value::Number { low: grams, .. }) if low == high => {
                    series.push((*low, *grams));
                }
                _ => return Self::NotKnown,
            }
        }
        let weighings: Vec<Weighing> = series
            .iter()
            .map(|(days_ago, grams)| Weighing {
                day: -days_ago,
                grams: *grams,
            })
            .collect();
        match change(&weighings) {
            Ok(Some(change)) => Self::Compared { series, change },
            _ => Self::NotKnown,
        }
    }
}
