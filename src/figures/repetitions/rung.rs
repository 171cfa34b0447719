//! One rung of a ladder, and what is refused before anything is counted.

use crate::figures::input::{Unusable, above_zero, within};

/// Most rungs a ladder may have.
pub const MOST_RUNGS: u32 = 200;

/// Longest run of calm repetitions that may be asked for on a rung.
pub const MOST_RUN: u32 = 20;

/// What one repetition on a rung may bring, as chances. What is left of 1 is the chance of aggression.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rung {
    /// Chance that the bird stays calm, above 0 and at most 1: the repetition counts towards the run.
    pub calm: f64,
    /// Chance of arousal without aggression, 0 to 1: the bird stays on the rung and the run starts again.
    pub mild: f64,
}

impl Rung {
    /// A rung on which a repetition is either calm or aggressive.
    #[must_use]
    pub const fn two_outcomes(calm: f64) -> Self {
        Self { calm, mild: 0.0 }
    }
}

/// The chances of one repetition, checked; they add up to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chances {
    pub(super) calm: f64,
    pub(super) mild: f64,
    pub(super) aggression: f64,
}

impl TryFrom<Rung> for Chances {
    type Error = Unusable;

    fn try_from(rung: Rung) -> Result<Self, Unusable> {
        let calm = within(above_zero(rung.calm)?, 0.0, 1.0)?;
        let mild = within(rung.mild, 0.0, 1.0)?;
        let known = within(calm + mild, 0.0, 1.0)?;
        Ok(Self {
            calm,
            mild,
            aggression: 1.0 - known,
        })
    }
}

/// A run from 1 to [`MOST_RUN`].
pub(super) fn usable_run(run: u32) -> Result<u32, Unusable> {
    within(f64::from(run), 1.0, f64::from(MOST_RUN))?;
    Ok(run)
}

/// The chances of every rung of a ladder of 1 to [`MOST_RUNGS`] rungs.
pub(super) fn usable_rungs(rungs: &[Rung]) -> Result<Vec<Chances>, Unusable> {
    let count = u32::try_from(rungs.len()).unwrap_or(u32::MAX);
    within(f64::from(count), 1.0, f64::from(MOST_RUNGS))?;
    rungs.iter().copied().map(Chances::try_from).collect()
}

/// A share above 0 and below 1.
pub(super) fn below_one(share: f64) -> Result<f64, Unusable> {
    let share = above_zero(share)?;
    if share < 1.0 {
        Ok(share)
    } else {
        Err(Unusable::OutOfRange {
            least: 0.0,
            most: 1.0,
        })
    }
}

/// A result that is a number; chances so small that it overflows are refused.
pub(super) fn finite(result: f64) -> Result<f64, Unusable> {
    if result.is_finite() {
        Ok(result)
    } else {
        Err(Unusable::NotFinite)
    }
}

#[cfg(test)]
mod tests {
    use super::{Chances, Rung, Unusable, finite, usable_run, usable_rungs};

    #[test]
    fn what_is_neither_calm_nor_mild_is_aggression() {
        let chances = Chances::try_from(Rung {
            calm: 0.5,
            mild: 0.125,
        });
        let expected = Chances {
            calm: 0.5,
            mild: 0.125,
            aggression: 0.375,
        };
        assert_eq!(chances, Ok(expected));
        let rung = Rung::two_outcomes(0.75);
        assert_eq!((rung.calm, rung.mild), (0.75, 0.0));
    }

    #[test]
    fn chances_pass_at_their_edges_and_not_beyond() {
        let check = |calm, mild| Chances::try_from(Rung { calm, mild });
        let outside = Err(Unusable::OutOfRange {
            least: 0.0,
            most: 1.0,
        });
        for (calm, mild) in [(1.0, 0.0), (1e-9, 0.0), (0.9, 0.1), (1e-9, 0.999)] {
            assert!(check(calm, mild).is_ok(), "{calm} {mild}");
        }
        assert_eq!(check(0.9, 0.1).unwrap().aggression, 0.0);
        assert_eq!(check(0.0, 0.0), Err(Unusable::NotAboveZero));
        assert_eq!(check(-0.1, 0.0), Err(Unusable::NotAboveZero));
        for (calm, mild) in [(1.001, 0.0), (0.9, 0.101), (0.5, -0.001), (0.5, 1.001)] {
            assert_eq!(check(calm, mild), outside, "{calm} {mild}");
        }
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(check(bad, 0.0), Err(Unusable::NotFinite));
            assert_eq!(check(0.5, bad), Err(Unusable::NotFinite));
        }
    }

    #[test]
    fn a_ladder_has_one_to_two_hundred_rungs() {
        let ladder =
            |count| usable_rungs(&vec![Rung::two_outcomes(0.9); count]).map(|all| all.len());
        let outside = Err(Unusable::OutOfRange {
            least: 1.0,
            most: 200.0,
        });
        assert_eq!(ladder(0), outside);
        assert_eq!(ladder(1), Ok(1));
        assert_eq!(ladder(200), Ok(200));
        assert_eq!(ladder(201), outside);
        let one_bad = [Rung::two_outcomes(0.9), Rung::two_outcomes(0.0)];
        assert_eq!(usable_rungs(&one_bad), Err(Unusable::NotAboveZero));
    }

    #[test]
    fn a_run_is_one_to_twenty() {
        let outside = Err(Unusable::OutOfRange {
            least: 1.0,
            most: 20.0,
        });
        assert_eq!(usable_run(0), outside);
        assert_eq!((usable_run(1), usable_run(20)), (Ok(1), Ok(20)));
        assert_eq!(usable_run(21), outside);
        assert_eq!(usable_run(u32::MAX), outside);
    }

    #[test]
    fn a_result_without_end_is_refused() {
        assert_eq!(finite(3.5), Ok(3.5));
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(finite(bad), Err(Unusable::NotFinite));
        }
    }
}
