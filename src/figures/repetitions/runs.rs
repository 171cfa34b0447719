//! How long it takes to the first run of calm repetitions on one rung.
//!
//! Feller, An Introduction to Probability Theory and Its Applications, volume I, chapter XIII (from memory). Whatever is
//! not calm only starts the run again, as on the first rung of a ladder. Repetitions are taken as independent, with one
//! chance of calm.

use super::ladder::BACK_ONE;
use super::rung::{Chances, Rung, finite, usable_run};
use super::walk::Walk;
use super::{MOST_REPETITIONS, passage};
use crate::figures::input::{Unusable, within};

/// The expected repetitions to the first run of `run` calm ones, the run included.
///
/// `calm` is the chance of calm in one repetition, above 0 and at most 1; `run` is 1 to [`MOST_RUN`](super::MOST_RUN).
///
/// # Errors
/// [`Unusable`] when an input is outside that, or when `calm` is so small that the result is no number.
pub fn expected_repetitions(calm: f64, run: u32) -> Result<f64, Unusable> {
    let rung = [Chances::try_from(Rung::two_outcomes(calm))?];
    let ways = passage::means(&rung, usable_run(run)?, BACK_ONE, |_, _| 1.0);
    finite(ways.iter().sum())
}

/// The standard deviation of the repetitions to the first run of `run` calm ones.
///
/// # Errors
/// As for [`expected_repetitions`].
pub fn sd_repetitions(calm: f64, run: u32) -> Result<f64, Unusable> {
    let rung = [Chances::try_from(Rung::two_outcomes(calm))?];
    let variance: f64 = passage::variances(&rung, usable_run(run)?, BACK_ONE)
        .iter()
        .sum();
    finite(variance.sqrt())
}

/// The chance that `repetitions` bring no run of `run` calm ones: how surprising it is to be stuck.
///
/// `repetitions` is at most [`MOST_REPETITIONS`].
///
/// # Errors
/// As for [`expected_repetitions`], and for more repetitions than that.
pub fn chance_of_no_run(calm: f64, run: u32, repetitions: u32) -> Result<f64, Unusable> {
    within(f64::from(repetitions), 0.0, f64::from(MOST_REPETITIONS))?;
    let rung = [Chances::try_from(Rung::two_outcomes(calm))?];
    let mut walk = Walk::from_the_first_rung(&rung, usable_run(run)?, BACK_ONE);
    for _ in 0..repetitions {
        walk.step();
    }
    Ok(walk.unfinished())
}

/// The chance that the first run of `run` calm ones is complete at repetition 1, 2, ... `repetitions`, in this order.
///
/// # Errors
/// As for [`chance_of_no_run`].
pub fn chances_of_first_run(calm: f64, run: u32, repetitions: u32) -> Result<Vec<f64>, Unusable> {
    within(f64::from(repetitions), 0.0, f64::from(MOST_REPETITIONS))?;
    let rung = [Chances::try_from(Rung::two_outcomes(calm))?];
    let mut walk = Walk::from_the_first_rung(&rung, usable_run(run)?, BACK_ONE);
    Ok((0..repetitions).map(|_| walk.step()).collect())
}

/// The chance of calm at which a run of `run` succeeds as often as it fails: the root of one half (Levitt, 1971, Journal
/// of the Acoustical Society of America 49:467-477).
///
/// With one rung back after aggression, a long ladder whose rungs are calmer than this costs a steady number of
/// repetitions for each rung. Below it, each further rung costs a multiple of the one before: it should be split.
///
/// # Errors
/// [`Unusable`] when `run` is not 1 to [`MOST_RUN`](super::MOST_RUN).
pub fn settling_chance(run: u32) -> Result<f64, Unusable> {
    Ok(0.5_f64.powf(1.0 / f64::from(usable_run(run)?)))
}

#[cfg(test)]
mod tests {
    use super::{
        MOST_REPETITIONS, Unusable, chance_of_no_run, chances_of_first_run, expected_repetitions,
        sd_repetitions, settling_chance,
    };

    fn near(got: Result<f64, Unusable>, expected: f64, tolerance: f64) {
        let got = got.unwrap();
        assert!((got - expected).abs() <= tolerance, "{got} {expected}");
    }

    // Feller's mean and standard deviation, to six places; computed, two methods (his formulas and a linear solve).
    #[test]
    fn means_and_deviations_of_the_first_run_are_those_of_feller() {
        for (calm, run, mean, sd) in [
            (0.50, 3, 14.000_000, 11.916_375),
            (0.80, 3, 4.765_625, 2.647_273),
            (0.90, 3, 3.717_421, 1.464_819),
            (0.95, 3, 3.327_016, 0.927_657),
            (0.50, 5, 62.000_000, 58.223_707),
            (0.80, 5, 10.258_789, 6.707_009),
            (0.90, 5, 6.935_088, 3.242_103),
            (0.95, 5, 5.847_109, 1.937_739),
        ] {
            near(expected_repetitions(calm, run), mean, 1e-6);
            near(sd_repetitions(calm, run), sd, 1e-6);
        }
    }

    // The formulas as Feller gives them, where they do not cancel.
    #[test]
    fn sums_agree_with_the_closed_forms() {
        for run in 1..=20 {
            for calm in [0.3, 0.5, 0.7, 0.8, 0.9] {
                let (fails, passes) = (1.0 - calm, f64::powi(calm, run));
                let each = fails * passes;
                let mean = (1.0 - passes) / each;
                let variance =
                    1.0 / (each * each) - f64::from(2 * run + 1) / each - calm / (fails * fails);
                let run = run.unsigned_abs();
                near(expected_repetitions(calm, run), mean, 1e-12 * mean);
                near(sd_repetitions(calm, run), variance.sqrt(), 1e-8 * mean);
            }
        }
    }

    #[test]
    fn a_bird_that_is_always_calm_needs_the_run_and_no_more() {
        for run in 1..=20 {
            assert_eq!(expected_repetitions(1.0, run), Ok(f64::from(run)));
            assert_eq!(sd_repetitions(1.0, run), Ok(0.0));
            assert_eq!(chance_of_no_run(1.0, run, run - 1), Ok(1.0));
            assert_eq!(chance_of_no_run(1.0, run, run), Ok(0.0));
        }
    }

    // Feller's recurrence; computed, two methods (recurrence and simulation), six places.
    #[test]
    fn twelve_repetitions_without_three_in_a_row_are_rare_on_an_easy_rung() {
        for (calm, run, repetitions, chance) in [
            (0.9, 3, 6, 0.052_300),
            (0.9, 3, 9, 0.008_976),
            (0.9, 3, 12, 0.001_471),
            (0.7, 3, 12, 0.089_509),
            (0.5, 3, 12, 0.416_260),
            (0.9, 5, 15, 0.028_227),
            (0.95, 5, 15, 0.003_981),
        ] {
            near(chance_of_no_run(calm, run, repetitions), chance, 6e-7);
        }
        near(chance_of_no_run(0.5, 3, 0), 1.0, 0.0);
        near(chance_of_no_run(0.5, 3, 2), 1.0, 0.0);
        near(chance_of_no_run(0.5, 3, 3), 0.875, 0.0);
    }

    // A first run ends at n when n - r repetitions brought none, then one was not calm, then r were: q p^r times the
    // chance of no run in n - r - 1.
    #[test]
    fn the_chances_follow_the_recurrence_of_feller() {
        for (calm, run) in [(0.5, 1), (0.7, 2), (0.9, 3), (0.95, 5)] {
            let chances = chances_of_first_run(calm, run, 60).unwrap();
            assert_eq!(chances.len(), 60);
            let mut none = vec![1.0];
            for (at, chance) in (1_u32..).zip(&chances) {
                let passes = calm.powi(i32::try_from(run).unwrap());
                let expected = match at.checked_sub(run + 1) {
                    Some(before) => (1.0 - calm) * passes * none[before as usize],
                    None if at == run => passes,
                    None => 0.0,
                };
                assert!(
                    (chance - expected).abs() < 1e-15,
                    "{at} {chance} {expected}"
                );
                none.push(none.last().unwrap() - expected);
                near(
                    chance_of_no_run(calm, run, at),
                    *none.last().unwrap(),
                    1e-13,
                );
            }
        }
    }

    #[test]
    fn mean_and_deviation_are_those_of_the_distribution() {
        for (calm, run) in [(0.5, 1), (0.6, 2), (0.9, 3), (0.95, 5)] {
            let chances = chances_of_first_run(calm, run, 1_000).unwrap();
            let moment = |power| -> f64 {
                (1_u32..)
                    .zip(&chances)
                    .map(|(at, chance)| f64::from(at).powi(power) * chance)
                    .sum()
            };
            near(expected_repetitions(calm, run), moment(1), 1e-10);
            near(
                sd_repetitions(calm, run),
                (moment(2) - moment(1).powi(2)).sqrt(),
                1e-9,
            );
        }
    }

    // Levitt 1971, the targets of his table: 0.5 to the power of 1, 1/2, 1/3, 1/4.
    #[test]
    fn the_settling_chances_are_those_of_levitt() {
        for (run, chance) in [
            (1, 0.5),
            (2, std::f64::consts::FRAC_1_SQRT_2),
            (3, 0.793_701),
            (4, 0.840_896),
            (5, 0.870_551),
        ] {
            near(settling_chance(run), chance, 1e-6);
        }
        assert!(settling_chance(0).is_err() && settling_chance(21).is_err());
    }

    #[test]
    fn what_is_no_chance_and_no_run_is_refused() {
        let all = |calm, run| {
            [
                expected_repetitions(calm, run).err(),
                sd_repetitions(calm, run).err(),
                chance_of_no_run(calm, run, 5).err(),
                chances_of_first_run(calm, run, 5).err(),
            ]
        };
        assert_eq!(all(1e-9, 10), [None; 4]);
        assert_eq!(all(0.0, 3), [Some(Unusable::NotAboveZero); 4]);
        assert_eq!(all(-0.5, 3), [Some(Unusable::NotAboveZero); 4]);
        for bad in [f64::NAN, f64::INFINITY] {
            assert_eq!(all(bad, 3), [Some(Unusable::NotFinite); 4]);
        }
        for (calm, run) in [(1.01, 3), (0.5, 0), (0.5, 21)] {
            let refused = all(calm, run);
            assert!(
                refused
                    .iter()
                    .all(|each| matches!(each, Some(Unusable::OutOfRange { .. }))),
                "{refused:?}"
            );
        }
        assert_eq!(expected_repetitions(1e-200, 2), Err(Unusable::NotFinite));
        assert_eq!(sd_repetitions(1e-200, 1), Err(Unusable::NotFinite));
    }

    #[test]
    fn a_chance_is_followed_over_a_hundred_thousand_repetitions_and_no_further() {
        assert_eq!(MOST_REPETITIONS, 100_000);
        let outside = Unusable::OutOfRange {
            least: 0.0,
            most: 100_000.0,
        };
        assert_eq!(chance_of_no_run(1e-9, 1, 100_001), Err(outside));
        assert_eq!(chances_of_first_run(0.5, 1, 100_001), Err(outside));
        assert_eq!(chances_of_first_run(0.5, 1, 0), Ok(Vec::new()));
        // One repetition in a thousand million is calm: exp(-0.0001).
        near(chance_of_no_run(1e-9, 1, 100_000), (-1e-4_f64).exp(), 1e-10);
        assert_eq!(
            chances_of_first_run(1e-9, 1, 100_000).unwrap().len(),
            100_000
        );
    }
}
