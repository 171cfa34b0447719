//! The exact interval for a share: so many successes in so many tries.

use super::binomial::{fewer, more};
use super::input::{Unusable, within};
use super::span::Span;

/// Most tries the exact sums are made for. Above it the question is refused, not answered roughly.
pub const MOST_TRIALS: u32 = 10_000;

/// Least confidence an interval is given for: below one half it would no longer be an interval worth printing.
pub const LEAST_CONFIDENCE: f64 = 0.5;

/// Greatest confidence an interval is given for.
pub const MOST_CONFIDENCE: f64 = 0.999;

/// The exact interval for the share behind `successes` in `trials`, from 0 to 1.
///
/// The method of Clopper and Pearson (1934, Biometrika 26:404-413): each end is the share at which a result this far
/// out has half of the remaining chance. It never promises too much; it is wider than need be for few tries.
/// Valid for 1 to [`MOST_TRIALS`] independent tries of one kind.
///
/// # Errors
/// [`Unusable`] when `trials` is 0 or above [`MOST_TRIALS`], when `successes` is above `trials`, or when `confidence`
/// is not from [`LEAST_CONFIDENCE`] to [`MOST_CONFIDENCE`] (0.95 for the usual interval).
pub fn clopper_pearson(successes: u32, trials: u32, confidence: f64) -> Result<Span, Unusable> {
    within(f64::from(trials), 1.0, f64::from(MOST_TRIALS))?;
    within(f64::from(successes), 0.0, f64::from(trials))?;
    let tail = (1.0 - within(confidence, LEAST_CONFIDENCE, MOST_CONFIDENCE)?) / 2.0;
    Ok(Span {
        low: least_share(successes, trials, tail),
        high: 1.0 - least_share(trials - successes, trials, tail),
    })
}

/// The share of successes at which `successes` or more in `trials` has the chance `tail`; 0 when there were none.
///
/// Halves the range until two neighbouring numbers are left, so it is as exact as the sums are.
pub(super) fn least_share(successes: u32, trials: u32, tail: f64) -> f64 {
    if successes == 0 {
        return 0.0;
    }
    // With the share that was seen, a result this high has a chance of about one half, which is more than any tail.
    let (mut low, mut high) = (0.0, f64::from(successes) / f64::from(trials));
    loop {
        let share = f64::midpoint(low, high);
        if share <= low || share >= high {
            return share;
        }
        if at_least(successes, trials, share / (1.0 - share)) < tail {
            low = share;
        } else {
            high = share;
        }
    }
}

/// The chance of `successes` or more in `trials`, none of the numbers checked. `odds` may be zero or infinite.
pub(super) fn at_least(successes: u32, trials: u32, odds: f64) -> f64 {
    let below: f64 = fewer(successes, trials, odds).sum();
    let from_here = 1.0 + more(successes, trials, odds).sum::<f64>();
    // In this order an infinite sum on either side still ends in a chance.
    1.0 / (1.0 + below / from_here)
}

#[cfg(test)]
mod tests {
    use super::{LEAST_CONFIDENCE, MOST_CONFIDENCE, MOST_TRIALS, Unusable, clopper_pearson};

    fn near(got: f64, expected: f64, tolerance: f64) {
        assert!(
            (got - expected).abs() <= tolerance,
            "{got} is not {expected}"
        );
    }

    // SciPy manual, BinomTestResult.proportion_ci, printed example: 7 of 50. Its lower end stops its own search four
    // parts in 10^13 early.
    #[test]
    fn seven_of_fifty_is_the_interval_printed_in_the_scipy_manual() {
        let interval = clopper_pearson(7, 50, 0.95).unwrap();
        near(interval.low, 0.058_191_700_339_973_42, 1e-12);
        near(interval.high, 0.267_396_002_497_008_46, 1e-12);
    }

    // The same two ends from halving with whole-number fractions, without any rounding.
    #[test]
    fn seven_of_fifty_agrees_with_exact_fractions() {
        let interval = clopper_pearson(7, 50, 0.95).unwrap();
        near(interval.low, 0.058_191_700_340_372_085, 1e-15);
        near(interval.high, 0.267_396_002_497_008_44, 1e-15);
    }

    // Conover (1971), Practical Nonparametric Statistics, p. 97, as printed by R's binom.test: 682 giant plants of 925.
    #[test]
    fn the_plants_of_conover_1971_have_the_interval_that_r_prints() {
        let interval = clopper_pearson(682, 925, 0.95).unwrap();
        near(interval.low, 0.707_668_3, 5e-8);
        near(interval.high, 0.765_406_6, 5e-8);
    }

    // With all or no successes the ends have a closed form: tail^(1/n).
    #[test]
    fn all_of_n_and_none_of_n_have_their_closed_form() {
        for trials in [1, 2, 5, 10, 59, 1_000, MOST_TRIALS] {
            let root = 0.025_f64.powf(1.0 / f64::from(trials));
            let all = clopper_pearson(trials, trials, 0.95).unwrap();
            near(all.low, root, 1e-12);
            assert_eq!(all.high, 1.0);
            let none = clopper_pearson(0, trials, 0.95).unwrap();
            assert_eq!(none.low, 0.0);
            near(none.high, 1.0 - root, 1e-12);
        }
        near(clopper_pearson(5, 5, 0.95).unwrap().low, 0.478_176, 5e-7);
    }

    // One success in n: the lower end solves 1 - (1 - p)^n = tail.
    #[test]
    fn one_of_n_has_its_closed_form() {
        for trials in [1, 2, 10, 1_000, MOST_TRIALS] {
            let expected = 1.0 - 0.975_f64.powf(1.0 / f64::from(trials));
            let one = clopper_pearson(1, trials, 0.95).unwrap();
            near(one.low, expected, 1e-13);
        }
    }

    #[test]
    fn failures_mirror_successes() {
        let seven = clopper_pearson(7, 50, 0.9).unwrap();
        let rest = clopper_pearson(43, 50, 0.9).unwrap();
        near(seven.low, 1.0 - rest.high, 1e-13);
        near(seven.high, 1.0 - rest.low, 1e-13);
    }

    #[test]
    fn more_confidence_is_a_wider_interval() {
        let widths = [LEAST_CONFIDENCE, 0.8, 0.95, 0.99, MOST_CONFIDENCE].map(|confidence| {
            let interval = clopper_pearson(9, 10, confidence).unwrap();
            interval.high - interval.low
        });
        assert!(widths.is_sorted_by(|narrow, wide| narrow < wide));
    }

    #[test]
    fn the_longest_run_is_answered_without_overflow() {
        let interval = clopper_pearson(5_000, MOST_TRIALS, 0.95).unwrap();
        // The normal approximation is within 0.0001 of the exact ends at this length.
        near(interval.low, 0.5 - 1.959_964 * 0.005, 1e-4);
        near(interval.high, 0.5 + 1.959_964 * 0.005, 1e-4);
    }

    #[test]
    fn impossible_counts_and_confidences_are_refused() {
        let outside = |least, most| Err(Unusable::OutOfRange { least, most });
        assert_eq!(clopper_pearson(0, 0, 0.95), outside(1.0, 10_000.0));
        assert_eq!(clopper_pearson(0, 10_001, 0.95), outside(1.0, 10_000.0));
        assert_eq!(clopper_pearson(6, 5, 0.95), outside(0.0, 5.0));
        assert!(clopper_pearson(1, 5, 0.5).is_ok() && clopper_pearson(1, 5, 0.999).is_ok());
        for bad in [0.499, 0.999_1, 1.0, 0.0, -0.95, 95.0] {
            assert_eq!(clopper_pearson(1, 5, bad), outside(0.5, 0.999));
        }
        for bad in [f64::NAN, f64::INFINITY] {
            assert_eq!(clopper_pearson(1, 5, bad), Err(Unusable::NotFinite));
        }
    }
}
