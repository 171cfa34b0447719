//! The exact interval and the exact comparison of two rates, held against the distributions of `statrs`, a general-purpose statistics
//! library, and against a small sum of its own chances.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use perchside::figures::interval::clopper_pearson;
use perchside::figures::trend::compare_rates;
use statrs::distribution::{Beta, Binomial, ContinuousCDF, Discrete};

/// Clopper and Pearson's ends are quantiles of beta distributions.
#[test]
fn interval_ends_are_quantiles_of_the_beta_distribution() {
    for trials in [1_u32, 2, 5, 10, 29, 50, 148, 263] {
        for successes in (0..=trials).step_by(1 + trials as usize / 12) {
            for confidence in [0.80, 0.90, 0.95, 0.99] {
                let tail = (1.0 - confidence) / 2.0;
                let (x, n) = (f64::from(successes), f64::from(trials));
                let low = if successes == 0 {
                    0.0
                } else {
                    Beta::new(x, n - x + 1.0).unwrap().inverse_cdf(tail)
                };
                let high = if successes == trials {
                    1.0
                } else {
                    Beta::new(x + 1.0, n - x).unwrap().inverse_cdf(1.0 - tail)
                };
                let found = clopper_pearson(successes, trials, confidence).unwrap();
                assert!(
                    (found.low - low).abs() < 1e-6,
                    "{successes}/{trials}: {found:?} {low}"
                );
                assert!(
                    (found.high - high).abs() < 1e-6,
                    "{successes}/{trials}: {found:?} {high}"
                );
            }
        }
    }
}

/// Given their sum, the later of two Poisson counts is binomial; the two-sided chance adds all outcomes no likelier than the one seen.
#[test]
fn the_comparison_of_two_rates_is_a_binomial_test() {
    for (earlier_days, later_days) in [(60.0, 30.0), (30.0, 30.0), (14.0, 90.0)] {
        let share = later_days / (earlier_days + later_days);
        for total in [0_u64, 1, 2, 9, 10, 11, 25, 60] {
            let binomial = Binomial::new(share, total).unwrap();
            for later in 0..=total {
                let seen = binomial.pmf(later);
                let chance: f64 = (0..=total)
                    .map(|other| binomial.pmf(other))
                    .filter(|other| *other <= seen * (1.0 + 1e-7))
                    .sum();
                let found = compare_rates(
                    (total - later) as u32,
                    earlier_days,
                    later as u32,
                    later_days,
                )
                .unwrap();
                let chance = chance.min(1.0);
                assert!(
                    (found.p_two_sided - chance).abs() < 1e-9,
                    "{later} of {total}: {found:?} {chance}"
                );
            }
        }
    }
}

/// The interval of the ratio is the interval of the share, turned into odds and set against the days.
#[test]
fn the_interval_of_the_ratio_follows_from_that_of_the_share() {
    for (earlier, later) in [(2_u32, 8_u32), (5, 5), (12, 3), (0, 12), (12, 0), (40, 25)] {
        let share = clopper_pearson(later, earlier + later, 0.95).unwrap();
        let ratio = |share: f64| share / (1.0 - share) * 60.0 / 30.0;
        let found = compare_rates(earlier, 60.0, later, 30.0).unwrap().ratio_95;
        assert!((found.low - ratio(share.low)).abs() < 1e-9 * (1.0 + found.low));
        if earlier == 0 {
            assert!(found.high.is_infinite());
        } else {
            assert!((found.high - ratio(share.high)).abs() < 1e-9 * (1.0 + found.high));
        }
    }
}
