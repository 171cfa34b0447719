//! What a household practises: a list of steps for each person the bird goes for, and how much of it makes a session.
//!
//! | part | holds |
//! |---|---|
//! | [`StepList`], [`lists`] | the graded approach of one person and condition, from what was measured |
//! | [`Dose`] | tries, minutes and days, from attention, rewards and time |
//! | [`Work`], [`work`] | how many sessions it can be expected to take |
//!
//! Numbers and keys only; the words stand in `rules/ladder.yaml` and `rules/practice.yaml`.

mod dose;
mod lists;
mod work;

pub use dose::{Dose, Lack, Limit, MINUTES_A_TRY, MOST_MINUTES, REST_MINUTES, WHOLE_WEEK};
pub use lists::{Condition, NotFor, StepList, lists, mark, shown_cm, stage_of};
pub use work::{CHANCES, Chance, Work, work};
