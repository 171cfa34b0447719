//! Whether a series has moved away from its old middle: runs and crossings on a run chart.
//!
//! Two rules, both by Anhoej and Olesen (2014, PLoS ONE 9:e113825): too long a run on one side of the centre line, or
//! too few crossings of it. The rule that calls five rising or falling points a trend is left out on purpose: their
//! simulation found it useless. Points are taken as independent.

use super::input::{Unusable, within};
use super::interval::at_least;

/// Fewest points off the centre line from which a series is read. Common practice, no source: with fewer, the rules
/// hardly ever speak.
pub const FEWEST_POINTS: u32 = 10;

/// Most points of a series.
pub const MOST_POINTS: usize = 1_000;

/// Added to the rounded logarithm for the longest run that is still chance. Anhoej and Olesen 2014.
const ADDED_TO_LOGARITHM: u32 = 3;

/// Chance of fewer crossings below which crossings are too few. Anhoej and Olesen 2014.
const RARE: f64 = 0.05;

/// What is still chance in a series.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Longest run on one side that is still chance. One more is a signal.
    pub longest_run: u32,
    /// Fewest crossings that are still chance. One less is a signal.
    pub fewest_crossings: u32,
}

/// A side of the centre line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Above it.
    Above,
    /// Below it.
    Below,
}

/// What the two rules say of a series.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// Too few points to say.
    TooFew,
    /// Nothing beyond chance. It does not show that nothing changed.
    NoSignal,
    /// More than chance. At least one of the two holds.
    Signal {
        /// The side of the run that is too long; the first one when there are several of that length.
        long_run: Option<Side>,
        /// Too few crossings of the line.
        few_crossings: bool,
    },
}

/// A series read against a centre line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunChart {
    /// Points off the line. Those exactly on it are skipped.
    pub off_the_line: u32,
    /// Points of the longest run on one side.
    pub longest_run: u32,
    /// How often the series changes sides.
    pub crossings: u32,
    /// What was held against. `None` below [`FEWEST_POINTS`].
    pub limits: Option<Limits>,
    /// What follows.
    pub reading: Reading,
}

/// The centre line: the median of the baseline. It is frozen, and later points do not move it.
///
/// # Errors
/// [`Unusable`] when there is no point or more than [`MOST_POINTS`], or when one is not a finite number.
pub fn centre_line(baseline: &[f64]) -> Result<f64, Unusable> {
    usable(baseline)?;
    let mut sorted = baseline.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let upper = sorted.get(half).copied();
    let lower = sorted.get(sorted.len() - 1 - half).copied();
    lower
        .zip(upper)
        .map(|(lower, upper)| f64::midpoint(lower, upper))
        .ok_or(Unusable::NotAboveZero)
}

/// What is still chance in a series with `off_the_line` points off the centre line; `None` below [`FEWEST_POINTS`].
///
/// Longest run: the logarithm to base 2, rounded, and 3. Fewest crossings: the 5 % quantile of a fair coin thrown once
/// less than there are points. `None` above [`MOST_POINTS`] as well.
#[must_use]
pub fn limits(off_the_line: u32) -> Option<Limits> {
    if off_the_line < FEWEST_POINTS || off_the_line as usize > MOST_POINTS {
        return None;
    }
    // From 3 to 10.
    let logarithm = f64::from(off_the_line).log2().round() as u32;
    let chances = off_the_line - 1;
    // Heads or fewer are as likely as as many tails or more.
    let fewest =
        (0..=chances).find(|crossings| at_least(chances - crossings, chances, 1.0) >= RARE);
    fewest.map(|fewest_crossings| Limits {
        longest_run: logarithm + ADDED_TO_LOGARITHM,
        fewest_crossings,
    })
}

/// Reads a series, in order, against a centre line.
///
/// # Errors
/// [`Unusable`] when there is no point or more than [`MOST_POINTS`], or when a point or the line is not finite.
pub fn read(points: &[f64], centre_line: f64) -> Result<RunChart, Unusable> {
    usable(points)?;
    let line = within(centre_line, f64::MIN, f64::MAX)?;
    let sides = points.iter().filter_map(|point| {
        if *point > line {
            Some(Side::Above)
        } else if *point < line {
            Some(Side::Below)
        } else {
            None
        }
    });
    let (mut off_the_line, mut crossings, mut run) = (0, 0, 0);
    let mut longest: Option<(u32, Side)> = None;
    let mut before = None;
    for side in sides {
        off_the_line += 1;
        if before == Some(side) {
            run += 1;
        } else {
            crossings += u32::from(before.is_some());
            run = 1;
        }
        if longest.is_none_or(|(length, _)| run > length) {
            longest = Some((run, side));
        }
        before = Some(side);
    }
    let limits = limits(off_the_line);
    Ok(RunChart {
        off_the_line,
        longest_run: longest.map_or(0, |(length, _)| length),
        crossings,
        limits,
        reading: limits.map_or(Reading::TooFew, |limits| {
            let long_run = longest
                .filter(|(length, _)| *length > limits.longest_run)
                .map(|(_, side)| side);
            let few_crossings = crossings < limits.fewest_crossings;
            if long_run.is_some() || few_crossings {
                Reading::Signal {
                    long_run,
                    few_crossings,
                }
            } else {
                Reading::NoSignal
            }
        }),
    })
}

fn usable(points: &[f64]) -> Result<(), Unusable> {
    within(points.len() as f64, 1.0, MOST_POINTS as f64)?;
    if points.iter().all(|point| point.is_finite()) {
        Ok(())
    } else {
        Err(Unusable::NotFinite)
    }
}

#[cfg(test)]
mod tests {
    use super::{Limits, Reading, RunChart, Side, Unusable, centre_line, limits, read};

    /// A series around 5 from letters: `a` above, `b` below, `-` on the line.
    fn series(letters: &str) -> RunChart {
        let points: Vec<f64> = letters
            .chars()
            .map(|letter| match letter {
                'a' => 6.0,
                'b' => 2.0,
                _ => 5.0,
            })
            .collect();
        read(&points, 5.0).unwrap()
    }

    fn outside<T>(least: f64, most: f64) -> Result<T, Unusable> {
        Err(Unusable::OutOfRange { least, most })
    }

    // Anhoej and Olesen (2014), computed from their two formulas.
    #[test]
    fn longer_series_allow_longer_runs_and_ask_for_more_crossings() {
        for (points, longest_run, fewest_crossings) in [
            (10, 6, 2),
            (12, 7, 3),
            (15, 7, 4),
            (16, 7, 4),
            (20, 7, 6),
            (24, 8, 8),
            (30, 8, 10),
        ] {
            let expected = Limits {
                longest_run,
                fewest_crossings,
            };
            assert_eq!(limits(points), Some(expected));
        }
    }

    // The logarithm of 11 to base 2 is 3.46 and of 12 it is 3.58; of 22 it is 4.46 and of 23 it is 4.52.
    #[test]
    fn the_logarithm_is_rounded_and_not_cut_off() {
        let run = |points| limits(points).map(|limits| limits.longest_run);
        assert_eq!((run(11), run(12)), (Some(6), Some(7)));
        assert_eq!((run(22), run(23)), (Some(7), Some(8)));
    }

    // Nine throws of a fair coin: at most one head in 10 of 512 ways, at most two in 46; 5 % are 25.6. Seventeen
    // throws: at most four heads in 3214 of 131072 ways, at most five in 9402; 5 % are 6553.6.
    #[test]
    fn the_fewest_crossings_follow_the_counted_ways() {
        assert_eq!(limits(10).map(|limits| limits.fewest_crossings), Some(2));
        assert_eq!(limits(18).map(|limits| limits.fewest_crossings), Some(5));
    }

    // Computed in whole numbers: a chance of 0.050087 for at most 39 of 95 throws, of 0.049916 for at most 78 of 179,
    // of 0.050322 for at most 29 of 73, and of 0.056810 for at most 474 of 999.
    #[test]
    fn one_in_twenty_is_the_mark_for_long_series_too() {
        let fewest = |points| limits(points).map(|limits| limits.fewest_crossings);
        assert_eq!((fewest(96), fewest(180)), (Some(39), Some(79)));
        assert_eq!((fewest(74), fewest(1_000)), (Some(29), Some(474)));
    }

    #[test]
    fn below_ten_points_nothing_is_said() {
        assert_eq!((limits(0), limits(9)), (None, None));
        assert!(limits(10).is_some() && limits(1_000).is_some());
        assert_eq!((limits(1_001), limits(u32::MAX)), (None, None));
        let nine = series("aaaaaaaaa");
        assert_eq!((nine.longest_run, nine.crossings), (9, 0));
        assert_eq!((nine.limits, nine.reading), (None, Reading::TooFew));
        // Ten points, one of them on the line.
        assert_eq!(series("aaaa-aaaaa").reading, Reading::TooFew);
        assert_ne!(series("aaaaaaaaaa").reading, Reading::TooFew);
    }

    #[test]
    fn a_run_of_six_in_ten_is_chance_and_one_of_seven_is_not() {
        let six = series("aaaaaabbab");
        assert_eq!((six.longest_run, six.crossings), (6, 3));
        assert_eq!(six.reading, Reading::NoSignal);
        let seven = series("abbbbbbbab");
        assert_eq!((seven.longest_run, seven.crossings), (7, 3));
        let signal = Reading::Signal {
            long_run: Some(Side::Below),
            few_crossings: false,
        };
        assert_eq!(seven.reading, signal);
    }

    #[test]
    fn one_crossing_in_ten_is_too_few_and_two_are_not() {
        let one = series("aaaaabbbbb");
        assert_eq!((one.longest_run, one.crossings), (5, 1));
        let signal = Reading::Signal {
            long_run: None,
            few_crossings: true,
        };
        assert_eq!(one.reading, signal);
        let two = series("aaaabbbbaa");
        assert_eq!((two.longest_run, two.crossings), (4, 2));
        assert_eq!(two.reading, Reading::NoSignal);
    }

    #[test]
    fn a_lasting_shift_breaks_both_rules_and_names_its_side() {
        let both = |side| Reading::Signal {
            long_run: Some(side),
            few_crossings: true,
        };
        assert_eq!(series("bbbbbbbbbb").reading, both(Side::Below));
        assert_eq!(series("aaaaaaaaaa").reading, both(Side::Above));
        assert_eq!(series("abbbbbbbbbbb").reading, both(Side::Below));
        // Two runs of the same length: the first is named.
        assert_eq!(series("aaaaaaaaabbbbbbbbb").reading, both(Side::Above));
    }

    #[test]
    fn points_on_the_line_are_skipped_and_end_no_run() {
        let chart = series("-aaa--aaa-a-bab-");
        assert_eq!((chart.off_the_line, chart.longest_run), (10, 7));
        assert_eq!(chart.crossings, 3);
        let on_the_line = series("-----------");
        assert_eq!((on_the_line.off_the_line, on_the_line.longest_run), (0, 0));
        assert_eq!(on_the_line.crossings, 0);
        assert_eq!(on_the_line.reading, Reading::TooFew);
    }

    // Rising all the way, but crossing as often as chance does: a trend alone is no signal.
    #[test]
    fn rising_points_alone_are_no_signal() {
        let points = [6.0, 1.0, 2.0, 3.0, 4.0, 4.5, 6.0, 7.0, 4.0, 8.0];
        let chart = read(&points, 5.0).unwrap();
        assert_eq!((chart.longest_run, chart.crossings), (5, 4));
        assert_eq!(chart.reading, Reading::NoSignal);
    }

    #[test]
    fn the_centre_line_is_the_median_of_the_baseline() {
        assert_eq!(centre_line(&[4.0]), Ok(4.0));
        assert_eq!(centre_line(&[9.0, 1.0]), Ok(5.0));
        assert_eq!(centre_line(&[9.0, 1.0, 2.0]), Ok(2.0));
        assert_eq!(centre_line(&[9.0, 1.0, 2.0, 4.0]), Ok(3.0));
        assert_eq!(centre_line(&[5.0, -9.0, 1.0, 2.0, 400.0]), Ok(2.0));
        assert_eq!(centre_line(&[f64::MAX, f64::MAX]), Ok(f64::MAX));
    }

    #[test]
    fn series_that_are_none_are_refused() {
        assert_eq!(centre_line(&[]), outside(1.0, 1_000.0));
        assert_eq!(read(&[], 5.0), outside(1.0, 1_000.0));
        assert!(centre_line(&[1.0; 1_000]).is_ok() && read(&[1.0; 1_000], 5.0).is_ok());
        assert_eq!(centre_line(&[1.0; 1_001]), outside(1.0, 1_000.0));
        assert_eq!(read(&[1.0; 1_001], 5.0), outside(1.0, 1_000.0));
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(centre_line(&[1.0, bad]), Err(Unusable::NotFinite));
            assert_eq!(read(&[1.0, bad], 5.0), Err(Unusable::NotFinite));
            assert_eq!(read(&[1.0], bad), Err(Unusable::NotFinite));
        }
    }
}
