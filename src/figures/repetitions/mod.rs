//! How many repetitions and sessions a graded approach can be expected to take.
//!
//! A ladder has rungs; a rung is passed by a set number of calm repetitions in a row, and aggression sends the bird back.
//! Counted exactly, as a chain that ends when the last rung is passed (the absorbing chains of Kemeny and Snell, Finite
//! Markov Chains, 1960, and the runs of Feller, An Introduction to Probability Theory and Its Applications, volume I,
//! chapter XIII; both from memory). Nothing is simulated outside the tests.
//!
//! The model takes repetitions as independent and the chance of calm on a rung as fixed. Real birds learn, tire and have
//! bad days, so the figures size a plan and show when one has stalled. They never foretell a date, and a ladder that was
//! finished is no proof that the bird is safe.

mod absorb;
pub mod ladder;
mod passage;
mod rung;
pub mod runs;
pub mod sessions;
pub mod two_days;
mod walk;

pub use rung::{MOST_RUN, MOST_RUNGS, Rung};

/// Most repetitions a chance is followed over. Above it the question is refused or answered with `None`: at ten a day
/// it is more than 27 years.
pub const MOST_REPETITIONS: u32 = 100_000;

#[cfg(test)]
mod properties;
