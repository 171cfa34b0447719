//! The score interval for a share: narrower than the exact one, and closer to its stated confidence on average.

use super::input::{Unusable, within};
use super::interval::{LEAST_CONFIDENCE, MOST_CONFIDENCE, MOST_TRIALS};
use super::span::Span;

/// The score interval for the share behind `successes` in `trials`, from 0 to 1.
///
/// The method of Wilson (1927, Journal of the American Statistical Association 22:209-212), without continuity
/// correction; method 3 of Newcombe (1998, Statistics in Medicine 17:857-872). For some shares it covers the truth
/// less often than stated: where safety hangs on it, the exact interval is the one to use. Valid for 1 to
/// [`MOST_TRIALS`] independent tries of one kind.
///
/// # Errors
/// [`Unusable`] when `trials` is 0 or above [`MOST_TRIALS`], when `successes` is above `trials`, or when `confidence`
/// is not from [`LEAST_CONFIDENCE`] to [`MOST_CONFIDENCE`] (0.95 for the usual interval).
pub fn wilson(successes: u32, trials: u32, confidence: f64) -> Result<Span, Unusable> {
    let all = within(f64::from(trials), 1.0, f64::from(MOST_TRIALS))?;
    let seen = within(f64::from(successes), 0.0, all)?;
    let spread = spread(within(confidence, LEAST_CONFIDENCE, MOST_CONFIDENCE)?);
    let squared = spread * spread;
    let centre = seen + squared / 2.0;
    let half = spread * (seen * (all - seen) / all + squared / 4.0).sqrt();
    Ok(Span {
        // Rounding must not leave none of n above nothing, nor all of n below all.
        low: if successes == 0 {
            0.0
        } else {
            (centre - half) / (all + squared)
        },
        high: if successes == trials {
            1.0
        } else {
            (centre + half) / (all + squared)
        },
    })
}

/// How many standard deviations either side of the mean hold the share `confidence` of a normal distribution.
///
/// `confidence` from 0 to [`MOST_CONFIDENCE`]. Newton's method from the mean outwards: the share held grows ever more
/// slowly with the width, so each step stops short of the answer or on it, and the walk ends where rounding does.
fn spread(confidence: f64) -> f64 {
    let mut width = 0.0;
    loop {
        let next = width + (confidence - held(width)) / height(width);
        if next <= width {
            return width;
        }
        width = next;
    }
}

/// The share of a normal distribution within `width` standard deviations of its mean.
///
/// The power series of the integral times the height: w + w^3/3 + w^5/(3 x 5) + w^7/(3 x 5 x 7) + ...
fn held(width: f64) -> f64 {
    let (mut term, mut sum, mut odd) = (width, 0.0, 1.0);
    while sum + term > sum {
        sum += term;
        odd += 2.0;
        term *= width * width / odd;
    }
    sum * height(width)
}

/// How fast the share within `width` standard deviations grows with the width: both sides of the bell curve.
fn height(width: f64) -> f64 {
    std::f64::consts::FRAC_2_PI.sqrt() * (-width * width / 2.0).exp()
}

#[cfg(test)]
mod tests {
    use super::{MOST_TRIALS, Unusable, spread, wilson};

    fn near(got: f64, expected: f64, tolerance: f64) {
        assert!(
            (got - expected).abs() <= tolerance,
            "{got} is not {expected}"
        );
    }

    // Newcombe (1998), Table I, method 3.
    #[test]
    fn the_four_shares_of_newcombe_1998_have_their_printed_intervals() {
        for (successes, trials, low, high) in [
            (81, 263, 0.255_3, 0.366_2),
            (15, 148, 0.062_4, 0.160_5),
            (0, 20, 0.0, 0.161_1),
            (1, 29, 0.006_1, 0.171_8),
        ] {
            let interval = wilson(successes, trials, 0.95).unwrap();
            near(interval.low, low, 5e-5);
            near(interval.high, high, 5e-5);
        }
    }

    // Computed from the formula with 1.959964.
    #[test]
    fn shares_of_short_records_have_their_computed_intervals() {
        for (successes, trials, low, high) in [
            (5, 5, 0.565_518, 1.0),
            (9, 10, 0.595_850, 0.982_124),
            (18, 20, 0.698_966, 0.972_134),
            (7, 50, 0.069_508, 0.261_862),
        ] {
            let interval = wilson(successes, trials, 0.95).unwrap();
            near(interval.low, low, 1e-6);
            near(interval.high, high, 1e-6);
        }
    }

    // Any table of the normal distribution.
    #[test]
    fn the_spread_of_the_normal_distribution_is_the_tabled_one() {
        for (confidence, expected) in [
            (0.5, 0.674_490),
            (0.682_689_492_137, 1.0),
            (0.9, 1.644_854),
            (0.95, 1.959_964),
            (0.99, 2.575_829),
            (0.997_300_203_937, 3.0),
            (0.999, 3.290_527),
        ] {
            near(spread(confidence), expected, 5e-7);
        }
        assert_eq!(spread(0.0), 0.0);
    }

    #[test]
    fn none_and_all_reach_the_ends_and_mirror_each_other() {
        for trials in [1, 2, 3, 7, 20, 1_000, MOST_TRIALS] {
            for confidence in [0.5, 0.9, 0.95, 0.999] {
                let none = wilson(0, trials, confidence).unwrap();
                let all = wilson(trials, trials, confidence).unwrap();
                assert_eq!((none.low, all.high), (0.0, 1.0));
                near(none.high, 1.0 - all.low, 1e-12);
                assert!(none.high > 0.0 && all.low < 1.0);
            }
        }
        let (seven, rest) = (wilson(7, 50, 0.9).unwrap(), wilson(43, 50, 0.9).unwrap());
        near(seven.low, 1.0 - rest.high, 1e-13);
        near(seven.high, 1.0 - rest.low, 1e-13);
    }

    #[test]
    fn more_confidence_is_a_wider_interval_around_the_share() {
        let widths = [0.5, 0.8, 0.95, 0.99, 0.999].map(|confidence| {
            let interval = wilson(9, 10, confidence).unwrap();
            assert!(interval.holds(0.9));
            interval.high - interval.low
        });
        assert!(widths.is_sorted_by(|narrow, wide| narrow < wide));
    }

    #[test]
    fn impossible_counts_and_confidences_are_refused() {
        let outside = |least, most| Err(Unusable::OutOfRange { least, most });
        assert_eq!(wilson(0, 0, 0.95), outside(1.0, 10_000.0));
        assert_eq!(wilson(0, 10_001, 0.95), outside(1.0, 10_000.0));
        assert_eq!(wilson(6, 5, 0.95), outside(0.0, 5.0));
        assert!(wilson(1, 5, 0.5).is_ok() && wilson(1, 5, 0.999).is_ok());
        for bad in [0.499, 0.999_1, 1.0, 0.0, -0.95, 95.0] {
            assert_eq!(wilson(1, 5, bad), outside(0.5, 0.999));
        }
        for bad in [f64::NAN, f64::INFINITY] {
            assert_eq!(wilson(1, 5, bad), Err(Unusable::NotFinite));
        }
    }
}
