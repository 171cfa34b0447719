//! How it has gone over the weeks, and how sure that is.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use crate::dates::days_between;
use crate::figures::run_chart::{self, Reading};
use crate::figures::single_case::{Better, overlap};
use crate::log::Log;

use super::history::History;

/// Fewest points of which a change is spoken (practice handbook).
pub const FEWEST_TO_SPEAK: usize = 5;

/// Days of a week.
const WEEK: i32 = 7;

/// Counts of one week of the log, from its first day on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Week {
    /// Its first day, counted from the first day of the log.
    pub from: i32,
    /// The day after its last; the last week may be shorter.
    pub to: i32,
    /// Times the beak touched someone.
    pub incidents: u32,
    /// Threats and misses.
    pub threats: u32,
    /// Days with an entry.
    pub told: u32,
}

/// The weeks of a log up to a day.
#[must_use]
pub(super) fn weeks(log: &Log, today: Date) -> Vec<Week> {
    let Some((first, last)) = log.span() else {
        return Vec::new();
    };
    let end = days_between(first, last.max(today)) + 1;
    let mut weeks = Vec::new();
    let mut from = 0;
    while from < end {
        let to = (from + WEEK).min(end);
        let mut week = Week {
            from,
            to,
            incidents: 0,
            threats: 0,
            told: 0,
        };
        let mut newest = None;
        for day in &log.days {
            if (from..to).contains(&days_between(first, day.date)) {
                week.incidents += day.incidents;
                week.threats += day.threats;
                // A day told in several blocks is one day.
                week.told += u32::from(newest != Some(day.date));
                newest = Some(day.date);
            }
        }
        weeks.push(week);
        from = to;
    }
    weeks
}

/// What a series says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Says {
    /// Too few points to say anything.
    TooFew,
    /// Nothing beyond chance.
    NoSignal,
    /// A run chart's signal: the last points lie on the better or the worse side of the middle of the first ones.
    Signal {
        /// Whether the change is for the better.
        better: bool,
    },
    /// Better than at first, and it does not rise any more.
    StandsStill,
}

/// Share of pairs of one point before and one after that improved, with the number of points on each side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pairs {
    /// 0 to 1; a tie counts one half, and 0.5 means no change.
    pub improved: f64,
    /// Points before.
    pub before: usize,
    /// Points after.
    pub after: usize,
}

/// One measure over time.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Its id, the key of its words.
    pub id: &'static str,
    /// Its values, oldest first.
    pub values: Vec<f64>,
    /// What a run chart says of them.
    pub says: Says,
    /// Before and after the first session, or the newest change of the plan.
    pub pairs: Option<Pairs>,
}

/// Reads a series against the middle of its first points.
fn read(values: &[f64], baseline: usize, better: Better) -> Says {
    if values.len() < FEWEST_TO_SPEAK || baseline == 0 {
        return Says::TooFew;
    }
    let Ok(line) = run_chart::centre_line(&values[..baseline.min(values.len())]) else {
        return Says::TooFew;
    };
    match run_chart::read(values, line).map(|chart| chart.reading) {
        Ok(Reading::TooFew) | Err(_) => Says::TooFew,
        Ok(Reading::NoSignal) => Says::NoSignal,
        Ok(Reading::Signal { .. }) => {
            let last = &values[values.len().saturating_sub(FEWEST_TO_SPEAK)..];
            let above = last.iter().filter(|value| **value > line).count();
            let below = last.iter().filter(|value| **value < line).count();
            let up = above > below;
            Says::Signal {
                better: up == (better == Better::Higher),
            }
        }
    }
}

fn pairs(before: &[f64], after: &[f64], better: Better) -> Option<Pairs> {
    if before.len() < FEWEST_TO_SPEAK || after.len() < FEWEST_TO_SPEAK {
        return None;
    }
    overlap(before, after, better).map(|it| Pairs {
        improved: it.pairs_improved,
        before: before.len(),
        after: after.len(),
    })
}

/// Touches and threats by day, before and after the first session.
#[must_use]
pub(super) fn household(log: &Log, today: Date) -> Vec<Measure> {
    let first_session = log.sessions.first().map(|session| session.date);
    let weeks = weeks(log, today);
    let by_day = |before: bool, of: &dyn Fn(&crate::log::Day) -> u32| -> Vec<f64> {
        let mut by_date: BTreeMap<Date, u32> = BTreeMap::new();
        for day in &log.days {
            if first_session.is_some_and(|first| (day.date < first) == before) {
                *by_date.entry(day.date).or_insert(0) += of(day);
            }
        }
        by_date.into_values().map(f64::from).collect()
    };
    // A week with days that nobody wrote down can not be set beside one with all of them.
    let whole: Vec<&Week> = weeks
        .iter()
        .filter(|week| week.to - week.from == WEEK && week.told == 7)
        .collect();
    let measure = |id, of: &dyn Fn(&Week) -> u32, day: &dyn Fn(&crate::log::Day) -> u32| {
        let values: Vec<f64> = whole.iter().map(|week| f64::from(of(week))).collect();
        Measure {
            id,
            says: read(&values, FEWEST_TO_SPEAK.min(values.len()), Better::Lower),
            pairs: pairs(&by_day(true, day), &by_day(false, day), Better::Lower),
            values,
        }
    };
    vec![
        measure("touches-a-week", &|week| week.incidents, &|day| {
            day.incidents
        }),
        measure("threats-a-week", &|week| week.threats, &|day| day.threats),
    ]
}

/// The best calm step, its distance and the household's rating, session by session.
#[must_use]
pub(super) fn of_list(history: &History<'_>, plan_changed: Option<Date>) -> Vec<Measure> {
    let known: Vec<_> = history.sessions.iter().filter(|it| it.known).collect();
    let series = |id, better, of: &dyn Fn(&super::history::Placed<'_>) -> Option<f64>| {
        let dated: Vec<(Date, f64)> = known
            .iter()
            .filter_map(|it| Some((it.session.date, of(it)?)))
            .collect();
        let values: Vec<f64> = dated.iter().map(|it| it.1).collect();
        let side = |before: bool| -> Vec<f64> {
            dated
                .iter()
                .filter(|it| plan_changed.is_some_and(|day| (it.0 < day) == before))
                .map(|it| it.1)
                .collect()
        };
        Measure {
            id,
            says: read(&values, FEWEST_TO_SPEAK.min(values.len()), better),
            pairs: pairs(&side(true), &side(false), better),
            values,
        }
    };
    // What stands still or falls now is not told as progress, however far it has come since the first sessions.
    let newest: Vec<usize> = known
        .iter()
        .rev()
        .take(FEWEST_TO_SPEAK)
        .map(|it| it.best)
        .collect();
    let (later, earlier) = newest.split_at(newest.len() / 2);
    let rises = later.iter().max() > earlier.iter().max();
    let cm = |it: &super::history::Placed<'_>| {
        let step = history.ladder.steps.get(it.best.checked_sub(1)?)?;
        step.conditions.distance_cm
    };
    let moving = |mut measure: Measure| {
        if measure.says == (Says::Signal { better: true }) && !rises {
            measure.says = Says::StandsStill;
        }
        measure
    };
    vec![
        moving(series("best-calm-step", Better::Higher, &|it| {
            Some(it.best as f64)
        })),
        moving(series("calm-distance", Better::Lower, &cm)),
        series("rating", Better::Higher, &|it| {
            it.session.rating.map(f64::from)
        }),
    ]
}

/// Labels of the days of a chart: about one for each eighth of it.
#[must_use]
pub fn ticks(first: Date, days: i32) -> Vec<(i32, Date)> {
    let step = (days / 8).max(1);
    let step = [1, 2, 7, 14, 28, 56, 91, 182, 365]
        .into_iter()
        .find(|it| *it >= step)
        .unwrap_or(step);
    (0..=days)
        .step_by(usize::try_from(step).unwrap_or(1))
        .filter_map(|day| Some((day, first.checked_add(day.days()).ok()?)))
        .collect()
}
