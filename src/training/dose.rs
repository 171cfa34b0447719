//! How much makes a session: tries, minutes and days, from what the bird wants, what it may eat and what people have time for.

use crate::decision::Decision;
use crate::facts::case::Case;
use crate::ladder::progress::CALM_IN_A_ROW;

use super::work::tries_missing;

/// Treats a bird takes before it loses interest, where nobody told. Common practice, no source.
const PIECES_NOT_TOLD: u32 = 8;
/// Minutes one try takes. Common practice, no source.
pub const MINUTES_A_TRY: f64 = 0.25;
/// Shortest rest between two tries, minutes, with the person out of view. Common practice, no source.
pub const REST_MINUTES: f64 = 1.0;
/// Longest session, minutes. Common practice; laboratory macaws worked for ten (Daugette and others, 2012), no trial with
/// biting parrots was found.
pub const MOST_MINUTES: u32 = 8;
/// Most tries in a session: as many as the longest one holds with the shortest rests. An easy one to begin with, a run to
/// confirm a step and a run on the next make seven.
const MOST_TRIES: u32 = 7;
/// Minutes a day where nobody told. Common practice, no source.
const MINUTES_NOT_TOLD: f64 = 5.0;
/// Days a week where nobody told. Common practice, no source.
const DAYS_NOT_TOLD: u32 = 4;
/// Most days a week: days off are good (beagles learned best with one or two sessions a week: Demant and others, 2011).
const MOST_DAYS: u32 = 5;
/// Most sessions a day, well apart: two or three short ones are common practice, and days off do better (see [`MOST_DAYS`]).
const MOST_A_DAY: u32 = 2;
/// Days of a week.
pub const WHOLE_WEEK: u32 = 7;

/// What sets the number of tries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Interest drops after so many treats, as told.
    PiecesTold,
    /// Nobody told after how many.
    PiecesNotTold,
    /// So many treats of the smallest food fit in a day.
    DayBudget,
    /// So many minutes a day were told.
    Time,
}

/// Why no step could pass, however well it went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// Nobody has a day for a session.
    Days,
    /// A session has fewer tries than a step takes.
    Tries {
        /// The fewest that would do.
        least: u32,
    },
}

/// How much makes a session.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// Tries in a session.
    pub tries: u32,
    /// Calm tries in a row that a step asks for, on each of two days.
    pub run: u32,
    /// What sets the tries.
    pub limit: Limit,
    /// Treats until interest drops, as told.
    pub pieces_told: Option<u32>,
    /// Least number of whole treats a day that fit, where a food was told.
    pub day_pieces: Option<u32>,
    /// Minutes a day that were told.
    pub minutes_told: Option<f64>,
    /// Days a week that were told.
    pub days_told: Option<u32>,
    /// Length of a session, minutes: from, to.
    pub minutes: (u32, u32),
    /// Days a week.
    pub days_a_week: u32,
}

impl Dose {
    /// Works it out for the people who have steps (places in the list of people): the one with the least time sets it.
    #[must_use]
    pub fn of(case: &Case<'_>, decision: &Decision, people: &[usize]) -> Self {
        let slots = &case.vocabulary.slots;
        let least = |slot| {
            people
                .iter()
                .filter_map(|person| case.number_of(slot, *person))
                .reduce(f64::min)
        };
        let minutes_told = least(slots.person_minutes);
        let days_told = least(slots.person_days).map(whole);
        let food = &decision.workings.food;
        let pieces_told = food.pieces_to_loss_of_interest.map(whole);
        let day_pieces = food.most_pieces().map(|(least, _)| least);

        // Stop while it still wants more: one treat before interest drops.
        let by_interest = pieces_told.unwrap_or(PIECES_NOT_TOLD).saturating_sub(1);
        let by_time = minutes_told.map(|minutes| {
            whole((minutes + REST_MINUTES) / (MINUTES_A_TRY + REST_MINUTES)).min(MOST_TRIES)
        });
        let mut tries = by_interest.min(MOST_TRIES);
        let mut limit = if pieces_told.is_some() {
            Limit::PiecesTold
        } else {
            Limit::PiecesNotTold
        };
        for (most, by) in [(day_pieces, Limit::DayBudget), (by_time, Limit::Time)] {
            if let Some(most) = most
                && most < tries
            {
                (tries, limit) = (most, by);
            }
        }
        let longest = f64::from(MOST_MINUTES).min(minutes_told.unwrap_or(f64::MAX));
        let shortest = (f64::from(tries) * (MINUTES_A_TRY + REST_MINUTES) - REST_MINUTES)
            .floor()
            .clamp(1.0, longest.max(1.0));
        Self {
            tries,
            run: CALM_IN_A_ROW,
            limit,
            pieces_told,
            day_pieces,
            minutes_told,
            days_told,
            minutes: (whole(shortest), whole(longest.max(1.0))),
            days_a_week: days_told.unwrap_or(DAYS_NOT_TOLD).min(MOST_DAYS),
        }
    }

    /// What there is not enough of for any step of a list of so many to pass.
    #[must_use]
    pub fn lacks(&self, steps: usize) -> Option<Lack> {
        if self.days_a_week == 0 {
            return Some(Lack::Days);
        }
        tries_missing(steps, self.run, self.tries).map(|least| Lack::Tries { least })
    }

    /// Most sessions a day, of all people together: their treats fit in the day.
    #[must_use]
    pub fn most_a_day(&self) -> u32 {
        let fit = self
            .day_pieces
            .map_or(MOST_A_DAY, |pieces| pieces / self.tries.max(1));
        fit.clamp(1, MOST_A_DAY)
    }

    /// Minutes a day that people were planned with.
    #[must_use]
    pub fn minutes_planned(&self) -> f64 {
        self.minutes_told.unwrap_or(MINUTES_NOT_TOLD)
    }
}

/// The whole part of a number of zero or more.
fn whole(number: f64) -> u32 {
    number.floor().clamp(0.0, f64::from(u32::MAX)) as u32
}
