//! What a run of calm repetitions shows, and what a rule to move on asks for.
//!
//! All of it takes repetitions as independent and equally hard. Repetitions of one day are more alike than that, so
//! every chance here is the kindest reading of the record, and passing a short rule never shows that a step is safe.

use super::input::{Unusable, within};
use super::interval::{MOST_TRIALS, at_least};

/// Longest run of calm repetitions a rule may ask for.
pub const MOST_IN_A_ROW: u32 = 100;

/// Least chance of calm that a record is asked to show.
pub const LEAST_CLAIM: f64 = 0.5;

/// Greatest chance of calm that a record is asked to show. Above it the record would be thousands long.
pub const MOST_CLAIM: f64 = 0.999;

/// Chance of being wrong that is left to a bound: 95 % confidence on one side, the usual convention of statistics.
const LEFT_OUTSIDE: f64 = 0.05;

/// The chance of calm at which 'on after `in_a_row` calm ones in a row, back after any other' stands still, 0 to 1.
///
/// The n-down, 1-up staircase of Levitt (1971, Journal of the Acoustical Society of America 49:467-477): both moves
/// are equally likely where p^n = 0.5. An approximation: with fixed steps the level it settles on depends on the sizes
/// of the steps up and down as well (Garcia-Perez 1998, Vision Research). A staircase is built to hover there and so
/// to meet failures; a ladder for a bird that bites must stay well above this chance, not at it.
///
/// # Errors
/// [`Unusable`] when `in_a_row` is 0 or above [`MOST_IN_A_ROW`].
pub fn staircase_target(in_a_row: u32) -> Result<f64, Unusable> {
    let in_a_row = within(f64::from(in_a_row), 1.0, f64::from(MOST_IN_A_ROW))?;
    Ok(0.5_f64.powf(1.0 / in_a_row))
}

/// The chance that the rule '`least_calm` or more of `repetitions` calm' is passed when each is calm with `chance`.
///
/// The exact binomial sum, from 0 to 1. Valid for 1 to [`MOST_TRIALS`] repetitions.
///
/// # Errors
/// [`Unusable`] when `repetitions` is 0 or above [`MOST_TRIALS`], when `least_calm` is above `repetitions`, or when
/// `chance` is not from 0 to 1.
pub fn pass_chance(least_calm: u32, repetitions: u32, chance: f64) -> Result<f64, Unusable> {
    within(f64::from(repetitions), 1.0, f64::from(MOST_TRIALS))?;
    within(f64::from(least_calm), 0.0, f64::from(repetitions))?;
    let chance = within(chance, 0.0, 1.0)?;
    Ok(at_least(least_calm, repetitions, chance / (1.0 - chance)))
}

/// The chance of calm that `repetitions`, all of them calm, leave as a lower bound with 95 % confidence, 0 to 1.
///
/// The chance at which so many calm ones in a row would still come about once in twenty: 0.05^(1/n), the one-sided
/// exact bound of Clopper and Pearson (1934, Biometrika 26:404-413). One repetition that was not calm voids it.
///
/// # Errors
/// [`Unusable`] when `repetitions` is 0 or above [`MOST_TRIALS`].
pub fn all_calm_lower_bound(repetitions: u32) -> Result<f64, Unusable> {
    let repetitions = within(f64::from(repetitions), 1.0, f64::from(MOST_TRIALS))?;
    Ok(LEFT_OUTSIDE.powf(1.0 / repetitions))
}

/// Fewest repetitions, all calm, after which a chance of calm of at least `claim` holds with 95 % confidence.
///
/// The other way round than [`all_calm_lower_bound`].
///
/// # Errors
/// [`Unusable`] when `claim` is not from [`LEAST_CLAIM`] to [`MOST_CLAIM`].
pub fn all_calm_needed(claim: f64) -> Result<u32, Unusable> {
    let claim = within(claim, LEAST_CLAIM, MOST_CLAIM)?;
    // Between 5 and 2995 for every claim that is let through.
    Ok((LEFT_OUTSIDE.ln() / claim.ln()).ceil() as u32)
}

#[cfg(test)]
// Values are written as they were printed, also where one is a known constant cut short.
#[allow(clippy::approx_constant)]
mod tests {
    use super::{
        MOST_TRIALS, Unusable, all_calm_lower_bound, all_calm_needed, pass_chance, staircase_target,
    };

    fn near(got: Result<f64, Unusable>, expected: f64) {
        let got = got.unwrap();
        assert!((got - expected).abs() <= 1e-6, "{got} is not {expected}");
    }

    fn outside<T>(least: f64, most: f64) -> Result<T, Unusable> {
        Err(Unusable::OutOfRange { least, most })
    }

    // Levitt (1971): the levels of the transformed up-down rules.
    #[test]
    fn the_staircase_settles_where_levitt_1971_says() {
        let levels = [0.5, 0.707_107, 0.793_701, 0.840_896, 0.870_551];
        for (in_a_row, level) in (1..).zip(levels) {
            near(staircase_target(in_a_row), level);
        }
        near(staircase_target(100), 0.993_092);
        assert_eq!(staircase_target(0), outside(1.0, 100.0));
        assert_eq!(staircase_target(101), outside(1.0, 100.0));
    }

    // Computed from the binomial sum, for the rules in common use.
    #[test]
    fn rules_in_common_use_pass_birds_that_are_not_ready() {
        let rows: [(u32, u32, [f64; 6]); 5] = [
            (3, 3, [0.125, 0.343, 0.512, 0.729, 0.857_375, 0.970_299]),
            (
                5,
                5,
                [0.031_25, 0.168_07, 0.327_68, 0.590_49, 0.773_781, 0.950_990],
            ),
            (
                8,
                10,
                [
                    0.054_688, 0.382_783, 0.677_800, 0.929_809, 0.988_496, 0.999_886,
                ],
            ),
            (
                9,
                10,
                [
                    0.010_742, 0.149_308, 0.375_810, 0.736_099, 0.913_862, 0.995_734,
                ],
            ),
            (
                10,
                10,
                [
                    0.000_977, 0.028_248, 0.107_374, 0.348_678, 0.598_737, 0.904_382,
                ],
            ),
        ];
        for (calm, repetitions, passes) in rows {
            for (chance, pass) in [0.5, 0.7, 0.8, 0.9, 0.95, 0.99].into_iter().zip(passes) {
                near(pass_chance(calm, repetitions, chance), pass);
            }
        }
    }

    // Two throws of a die, a six counting: 11 of 36 ways have one or more.
    #[test]
    fn a_rule_of_one_in_two_follows_the_counted_ways() {
        near(pass_chance(1, 2, 1.0 / 6.0), 11.0 / 36.0);
    }

    #[test]
    fn what_must_happen_is_certain_and_what_cannot_happen_is_ruled_out() {
        for repetitions in [1, 2, 10, MOST_TRIALS] {
            assert_eq!(pass_chance(repetitions, repetitions, 1.0), Ok(1.0));
            assert_eq!(pass_chance(1, repetitions, 1.0), Ok(1.0));
            assert_eq!(pass_chance(1, repetitions, 0.0), Ok(0.0));
            assert_eq!(pass_chance(repetitions, repetitions, 0.0), Ok(0.0));
            for chance in [0.0, 1e-300, 0.5, 1.0] {
                assert_eq!(pass_chance(0, repetitions, chance), Ok(1.0));
            }
        }
        assert_eq!(pass_chance(MOST_TRIALS, MOST_TRIALS, 1e-300), Ok(0.0));
    }

    #[test]
    fn a_longer_rule_and_a_lower_chance_pass_less_often() {
        let passes: Vec<f64> = (0..=20).map(|x| pass_chance(x, 20, 0.8).unwrap()).collect();
        assert!(passes.is_sorted_by(|easy, hard| easy > hard || *easy == 1.0));
        let passes = [0.1, 0.3, 0.5, 0.7, 0.9].map(|p| pass_chance(8, 10, p).unwrap());
        assert!(passes.is_sorted_by(|low, high| low < high));
    }

    #[test]
    fn impossible_rules_and_chances_are_refused() {
        assert_eq!(pass_chance(0, 0, 0.5), outside(1.0, 10_000.0));
        assert_eq!(pass_chance(1, 10_001, 0.5), outside(1.0, 10_000.0));
        assert_eq!(pass_chance(4, 3, 0.5), outside(0.0, 3.0));
        for bad in [-0.001, 1.001, 80.0] {
            assert_eq!(pass_chance(1, 3, bad), outside(0.0, 1.0));
        }
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(pass_chance(1, 3, bad), Err(Unusable::NotFinite));
            assert_eq!(all_calm_needed(bad), Err(Unusable::NotFinite));
        }
    }

    // Computed: 0.05^(1/n).
    #[test]
    fn a_short_calm_record_leaves_a_low_bound() {
        for (repetitions, bound) in [
            (1, 0.05),
            (3, 0.368_403),
            (5, 0.549_280),
            (10, 0.741_134),
            (29, 0.901_855),
            (59, 0.950_492),
            (MOST_TRIALS, 0.999_700),
        ] {
            near(all_calm_lower_bound(repetitions), bound);
        }
        assert_eq!(all_calm_lower_bound(0), outside(1.0, 10_000.0));
        assert_eq!(all_calm_lower_bound(10_001), outside(1.0, 10_000.0));
    }

    // Computed: the fewest n with 0.05^(1/n) at the claim or above.
    #[test]
    fn a_high_claim_takes_a_long_calm_record() {
        for (claim, repetitions) in [
            (0.5, 5),
            (0.549_280, 5),
            (0.549_281, 6),
            (0.8, 14),
            (0.9, 29),
            (0.95, 59),
            (0.99, 299),
            (0.999, 2_995),
        ] {
            assert_eq!(all_calm_needed(claim), Ok(repetitions));
            assert!(all_calm_lower_bound(repetitions).unwrap() >= claim);
            assert!(all_calm_lower_bound(repetitions - 1).unwrap() < claim);
        }
        for bad in [0.499, 0.999_1, 1.0, 0.0, -0.9, 95.0] {
            assert_eq!(all_calm_needed(bad), outside(0.5, 0.999));
        }
    }
}
