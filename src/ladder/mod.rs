//! The graded approach: how one person the bird goes for comes nearer, one small change at a time, with the bird free to leave.
//!
//! A ladder belongs to one person, one condition of the person the bird seeks (there or not there) and one stage. What was
//! learned does not carry over by itself to another person, room or stage (Stokes and Baer, 1977): each has a ladder of its own.
//!
//! | part | holds |
//! |---|---|
//! | [`Conditions`], [`Variable`] | what makes up a step |
//! | [`Setup`], [`CannotStart`] | what a ladder is built from, and why one cannot be |
//! | [`build`] | the ladder |
//! | [`Ladder::split`] | a step in between |
//! | [`Ladder::back`] | where work goes back to |
//! | [`Earns`], [`Sign`], [`next_move`] | what earns the reward, and what a repetition leads to |
//!
//! Numbers and keys only: the wording of each key stands in `rules/ladder.yaml`. The height of the person, the length of a
//! repetition and the time of day are no part of a step; they stay as they are through the whole ladder.

pub mod back;
pub mod build;
pub mod conditions;
pub mod distance;
pub mod line;
mod ordered;
pub mod progress;
#[cfg(test)]
mod properties;
pub mod setup;
pub mod split;
#[cfg(test)]
mod wording;

pub use build::build;
pub use conditions::{
    Barrier, Conditions, Facing, Favoured, Hands, Movement, ObjectWorn, Speech, Stage, Variable,
    View,
};
pub use line::LineFrom;
pub use progress::{Earns, Move, Sign, SoFar, next_move};
pub use setup::{CannotStart, Input, Prerequisite, Prerequisites, Setup, Skill};
pub use split::NoSplit;

use ordered::ordered;

ordered! {
    /// What a ladder takes for granted, or has to do without.
    Assumption {
        /// Nobody measured where the bird gives its first sign: it is taken to react as soon as someone comes in.
        ReactionNotMeasured = "reaction-not-measured",
        /// One or two measures only: the largest and half again.
        FewMeasures = "few-measures",
        /// Nobody measured where the bird eats calmly: the start is out of sight.
        CalmEatingNotMeasured = "calm-eating-not-measured",
        /// The bird gives its first sign inside the safe line only: nobody goes there, and the distance begins at the line.
        ReactsInsideSafeLine = "reacts-inside-safe-line",
        /// Nobody measured the longest line of sight: the room is taken to be long enough.
        SightLineNotMeasured = "sight-line-not-measured",
        /// The room is shorter than the start should be: steps out of sight stand in for the missing distance.
        RoomShorterThanStart = "room-shorter-than-start",
        /// Nowhere in the room is anyone in view outside the safe line: the ladder stays out of sight.
        RoomShorterThanSafeLine = "room-shorter-than-safe-line",
        /// Not one distance is known, nor is the room: the ladder stays out of sight.
        NoDistanceKnown = "no-distance-known",
        /// The way is so long that each move is a bigger share of the distance than usual.
        BiggerMoves = "bigger-moves",
        /// The ladder was cut: harder steps follow once these have held.
        LaterStepsLeftOut = "later-steps-left-out",
    }
}

/// One step of a ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Its number, from 1, in the order in which steps are worked.
    pub number: u32,
    /// Everything that is the case during it.
    pub conditions: Conditions,
    /// The one thing that differs from the step before; `None` for the first.
    pub changed: Option<Variable>,
}

/// The graded approach.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    /// What is taught before the first step. Empty when nothing is missing.
    pub prerequisites: Vec<Prerequisite>,
    /// Which of the steps work starts at, from 0. The steps before it are there to go back to.
    pub start: usize,
    /// The steps, from easy to hard. Never empty. A step that changes the distance may be easier than the one before it.
    pub steps: Vec<Step>,
    /// How far away the person is at the start, cm; `None` when the start is out of sight.
    pub start_cm: Option<f64>,
    /// What is taken for granted, each once, in order.
    pub assumptions: Vec<Assumption>,
}

/// The steps through these conditions, numbered from 1.
fn numbered(conditions: Vec<Conditions>) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::with_capacity(conditions.len());
    for (number, conditions) in (1..).zip(conditions) {
        let changed = steps
            .last()
            .and_then(|before| before.conditions.differences(&conditions).first().copied());
        steps.push(Step {
            number,
            conditions,
            changed,
        });
    }
    steps
}
