//! Before and after for one bird: how far two phases of measurements overlap.
//!
//! Percentage of non-overlapping data, non-overlap of all pairs, Tau and Tau-U, as laid out by Parker, Vannest and
//! Davis (2011, Behavior Modification 35:303-322). All of them take the points as independent, and the entries of a
//! daily log are not: print the value with the number of points beside it, never a chance, and never as proof that
//! the plan worked.

/// Fewest points a phase is read from. Common practice, no source.
pub const FEWEST_POINTS: usize = 3;

/// Most points of one phase. Up to here the sums behind the standard error are whole numbers held without rounding.
pub const MOST_POINTS: usize = 300;

/// Which way is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Better {
    /// More is better, such as calm repetitions.
    Higher,
    /// Less is better, such as bites.
    Lower,
}

/// How far the points after lie on the better side of the points before. Higher is better in all of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overlap {
    /// Share of the points after that are better than the best point before, 0 to 1. One odd point before decides it.
    pub non_overlapping: f64,
    /// Share of all pairs of one point before and one after that improved, a tie counting one half, 0 to 1: 0.5 means
    /// no change. NAP.
    pub pairs_improved: f64,
    /// Twice that share less 1, from -1 to 1: 0 means no change. Tau.
    pub tau: f64,
    /// Tau less the trend that was there before anything changed. It can lie outside -1 to 1 and is not cut off. Tau-U.
    pub tau_less_trend: f64,
    /// Standard error of the share of pairs. `None` when the estimate is not above zero, as for phases that do not
    /// overlap at all: that says nothing about how sure the share is.
    pub pairs_standard_error: Option<f64>,
    /// Points before.
    pub before: usize,
    /// Points after.
    pub after: usize,
}

/// Compares the points of two phases, each in the order in which they were measured.
///
/// The standard error is the unbiased one (Sen 1967), worked out here from its definition: the square of the share of
/// pairs, less the mean product of two pairs that have no point in common, over all such products. With tied pairs it
/// comes out a little lower than the formula in common use, which is exact without ties only.
///
/// `None` when a phase has fewer than [`FEWEST_POINTS`] or more than [`MOST_POINTS`] points, or a point is not a
/// finite number.
#[must_use]
pub fn overlap(before: &[f64], after: &[f64], better: Better) -> Option<Overlap> {
    let readable = |phase: &[f64]| {
        (FEWEST_POINTS..=MOST_POINTS).contains(&phase.len())
            && phase.iter().all(|point| point.is_finite())
    };
    if !readable(before) || !readable(after) {
        return None;
    }
    let (m, n) = (before.len() as f64, after.len() as f64);
    let pairs = m * n;
    let change = |from: f64, to: f64| match better {
        Better::Higher => sign(from, to),
        Better::Lower => sign(to, from),
    };
    let beyond_all = after
        .iter()
        .filter(|to| before.iter().all(|from| change(*from, **to) > 0.0))
        .count() as f64;
    let sums = PairSums::of(before, after, change);
    let trend: f64 = before
        .iter()
        .enumerate()
        .flat_map(|(turn, from)| before.iter().skip(turn + 1).map(move |to| (from, to)))
        .map(|(from, to)| change(*from, *to))
        .sum();
    let balance = sums.all - pairs;
    Some(Overlap {
        non_overlapping: beyond_all / n,
        pairs_improved: sums.all / (2.0 * pairs),
        tau: balance / pairs,
        tau_less_trend: (balance - trend) / pairs,
        pairs_standard_error: sums.standard_error(m, n),
        before: before.len(),
        after: after.len(),
    })
}

/// 1 when the second is greater, -1 when it is smaller, 0 when they are equal.
fn sign(from: f64, to: f64) -> f64 {
    f64::from(i8::from(to > from) - i8::from(to < from))
}

/// Sums over all pairs, each pair counting 2 when it improved, 1 when it tied and 0 when it got worse.
struct PairSums {
    all: f64,
    /// Of the squared sums over the pairs of one point before.
    squares_by_before: f64,
    /// Of the squared sums over the pairs of one point after.
    squares_by_after: f64,
    /// Of the squares of single pairs.
    squares: f64,
}

impl PairSums {
    fn of(before: &[f64], after: &[f64], change: impl Fn(f64, f64) -> f64) -> Self {
        let pair = |from: &f64, to: &f64| 1.0 + change(*from, *to);
        let by_before = before
            .iter()
            .map(|from| after.iter().map(|to| pair(from, to)).sum::<f64>());
        let by_after = after
            .iter()
            .map(|to| before.iter().map(|from| pair(from, to)).sum::<f64>());
        let single = before
            .iter()
            .flat_map(|from| after.iter().map(move |to| pair(from, to)));
        Self {
            all: by_before.clone().sum(),
            squares_by_before: by_before.map(|sum| sum * sum).sum(),
            squares_by_after: by_after.map(|sum| sum * sum).sum(),
            squares: single.map(|value| value * value).sum(),
        }
    }

    /// Of the share of pairs, with `m` points before and `n` after.
    ///
    /// In whole numbers up to the last step, so that a share that does not vary is told from one that hardly does.
    fn standard_error(&self, m: f64, n: f64) -> Option<f64> {
        let (pairs, apart) = (m * n, (m - 1.0) * (n - 1.0));
        let square = self.all * self.all;
        let products_apart = square - self.squares_by_before - self.squares_by_after + self.squares;
        let excess = square * apart - products_apart * pairs;
        (excess > 0.0).then(|| (excess / apart).sqrt() / (2.0 * pairs))
    }
}

#[cfg(test)]
mod tests {
    use super::{Better, Overlap, overlap};

    fn near(got: f64, expected: f64) {
        assert!((got - expected).abs() <= 1e-9, "{got} is not {expected}");
    }

    const ACCURACY: ([f64; 6], [f64; 7]) = (
        [20.0, 20.0, 26.0, 25.0, 22.0, 23.0],
        [28.0, 25.0, 24.0, 27.0, 30.0, 30.0, 29.0],
    );

    const BITES: ([f64; 5], [f64; 8]) = (
        [6.0, 5.0, 7.0, 6.0, 5.0],
        [5.0, 4.0, 3.0, 3.0, 2.0, 1.0, 1.0, 0.0],
    );

    // Parker, Vannest and Davis (2011): 38.5 of 42 pairs, 5 of 7 points. Tau-U computed.
    #[test]
    fn the_first_example_of_parker_vannest_and_davis_2011() {
        let overlap = overlap(&ACCURACY.0, &ACCURACY.1, Better::Higher).unwrap();
        near(overlap.non_overlapping, 5.0 / 7.0);
        near(overlap.pairs_improved, 38.5 / 42.0);
        near(overlap.tau, 35.0 / 42.0);
        near(overlap.tau_less_trend, 31.0 / 42.0);
        assert_eq!((overlap.before, overlap.after), (6, 7));
    }

    // Parker, Vannest and Davis (2011): Tau 16 of 20, Tau-U 11 of 20.
    #[test]
    fn the_second_example_of_parker_vannest_and_davis_2011() {
        let before = [3.0, 3.0, 4.0, 5.0];
        let after = [4.0, 5.0, 6.0, 7.0, 7.0];
        let overlap = overlap(&before, &after, Better::Higher).unwrap();
        near(overlap.non_overlapping, 0.6);
        near(overlap.pairs_improved, 0.9);
        near(overlap.tau, 16.0 / 20.0);
        near(overlap.tau_less_trend, 11.0 / 20.0);
    }

    // Data of Parker and Vannest (2009), values computed: a baseline that was getting worse lifts Tau-U above 1.
    #[test]
    fn tau_u_above_one_is_not_cut_off() {
        let before = [4.0, 3.0, 4.0, 3.0, 4.0, 7.0, 5.0, 2.0, 3.0, 2.0];
        let after = [5.0, 9.0, 7.0, 9.0, 7.0, 5.0, 9.0, 11.0, 11.0, 10.0, 9.0];
        let overlap = overlap(&before, &after, Better::Higher).unwrap();
        near(overlap.non_overlapping, 7.0 / 11.0);
        near(overlap.pairs_improved, 106.0 / 110.0);
        near(overlap.tau, 102.0 / 110.0);
        near(overlap.tau_less_trend, 112.0 / 110.0);
    }

    // Computed.
    #[test]
    fn fewer_bites_are_an_improvement() {
        let overlap = overlap(&BITES.0, &BITES.1, Better::Lower).unwrap();
        near(overlap.non_overlapping, 0.875);
        near(overlap.pairs_improved, 0.975);
        near(overlap.tau, 0.95);
        near(overlap.tau_less_trend, 0.9);
    }

    // The formula in common use (Sen 1967; Mee 1990), exact for series without ties, adds a quarter for each tied pair
    // to what this is the root of. Its values, computed: 0.069007 with one tie, 0.032733 with two.
    #[test]
    fn the_standard_error_differs_from_the_formula_in_common_use_by_the_ties_alone() {
        let with_ties = |overlap: Option<Overlap>, ties: f64| {
            let error = overlap.unwrap().pairs_standard_error.unwrap();
            move |apart: f64| (error * error + ties / 4.0 / apart).sqrt()
        };
        let accuracy = overlap(&ACCURACY.0, &ACCURACY.1, Better::Higher);
        let expected = with_ties(accuracy, 1.0)(6.0 * 7.0 * 5.0 * 6.0);
        assert!((expected - 0.069_007).abs() <= 5e-7, "{expected}");
        let bites = overlap(&BITES.0, &BITES.1, Better::Lower);
        let expected = with_ties(bites, 2.0)(5.0 * 8.0 * 4.0 * 7.0);
        assert!((expected - 0.032_733).abs() <= 5e-7, "{expected}");
    }

    #[test]
    fn the_other_direction_mirrors_all_but_the_non_overlapping_share() {
        for (before, after) in [
            (&ACCURACY.0[..], &ACCURACY.1[..]),
            (&BITES.0[..], &BITES.1[..]),
        ] {
            let up = overlap(before, after, Better::Higher).unwrap();
            let down = overlap(before, after, Better::Lower).unwrap();
            near(up.pairs_improved + down.pairs_improved, 1.0);
            near(up.tau, -down.tau);
            near(up.tau_less_trend, -down.tau_less_trend);
            assert_eq!(up.pairs_standard_error, down.pairs_standard_error);
        }
    }

    // Turning every number round and asking for the other direction is the same question.
    #[test]
    fn numbers_turned_round_read_the_same() {
        let turned = |phase: &[f64]| phase.iter().map(|point| -point).collect::<Vec<_>>();
        assert_eq!(
            overlap(&turned(&BITES.0), &turned(&BITES.1), Better::Higher),
            overlap(&BITES.0, &BITES.1, Better::Lower)
        );
    }

    // Phases with nothing in common: every pair improved, and the estimate of the error is nought, which is no error.
    #[test]
    fn phases_apart_are_complete_and_have_no_standard_error() {
        for better in [Better::Higher, Better::Lower] {
            let (low, high) = ([1.0; 3], [2.0; 3]);
            let apart = match better {
                Better::Higher => overlap(&low, &high, better),
                Better::Lower => overlap(&high, &low, better),
            };
            let complete = Overlap {
                non_overlapping: 1.0,
                pairs_improved: 1.0,
                tau: 1.0,
                tau_less_trend: 1.0,
                pairs_standard_error: None,
                before: 3,
                after: 3,
            };
            assert_eq!(apart, Some(complete));
        }
    }

    #[test]
    fn phases_that_are_alike_show_no_change() {
        let flat = overlap(&[4.0; 3], &[4.0; 5], Better::Lower).unwrap();
        let no_change = Overlap {
            non_overlapping: 0.0,
            pairs_improved: 0.5,
            tau: 0.0,
            tau_less_trend: 0.0,
            pairs_standard_error: None,
            before: 3,
            after: 5,
        };
        assert_eq!(flat, no_change);
    }

    // A baseline that falls by itself: three of three pairs in it get better, which takes 3 of 9 off.
    #[test]
    fn a_trend_that_was_there_before_is_taken_off() {
        let falling = overlap(&[9.0, 8.0, 7.0], &[6.0, 5.0, 4.0], Better::Lower).unwrap();
        near(falling.tau, 1.0);
        near(falling.tau_less_trend, 6.0 / 9.0);
        let rising = overlap(&[7.0, 8.0, 9.0], &[6.0, 5.0, 4.0], Better::Lower).unwrap();
        near(rising.tau_less_trend, 12.0 / 9.0);
    }

    // Three points before and three after, each one of four equally likely values: over all 4096 ways, the mean of the
    // estimate is the variance of the share.
    #[test]
    fn the_variance_estimate_is_unbiased() {
        let values = [0.0, 1.0, 1.0, 3.0];
        let (mut shares, mut squares, mut estimates, mut draws) = (0.0, 0.0, 0.0, 0.0);
        for code in 0..4_usize.pow(6) {
            let drawn: Vec<f64> = (0..6)
                .map(|at| values[code / 4_usize.pow(at) % 4])
                .collect();
            let sums = super::PairSums::of(&drawn[..3], &drawn[3..], super::sign);
            let share = sums.all / 18.0;
            let apart =
                sums.all * sums.all - sums.squares_by_before - sums.squares_by_after + sums.squares;
            // A negative estimate has no root: it is taken from the sums.
            let estimate = share * share - apart / 4.0 / 36.0;
            if let Some(error) = sums.standard_error(3.0, 3.0) {
                near(error * error, estimate);
            } else {
                assert!(estimate <= 1e-12);
            }
            shares += share;
            squares += share * share;
            estimates += estimate;
            draws += 1.0;
        }
        let variance = squares / draws - (shares / draws) * (shares / draws);
        near(estimates / draws, variance);
        assert!(variance > 0.01);
    }

    #[test]
    fn phases_too_short_too_long_or_not_finite_say_nothing() {
        let read = |before: &[f64], after: &[f64]| overlap(before, after, Better::Lower);
        assert_eq!(read(&[], &[]), None);
        assert_eq!(read(&[1.0; 2], &[1.0; 3]), None);
        assert_eq!(read(&[1.0; 3], &[1.0; 2]), None);
        assert!(read(&[1.0; 3], &[1.0; 3]).is_some());
        assert!(read(&[1.0; 300], &[1.0; 300]).is_some());
        assert_eq!(read(&[1.0; 301], &[1.0; 3]), None);
        assert_eq!(read(&[1.0; 3], &[1.0; 301]), None);
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(read(&[1.0, 2.0, bad], &[1.0; 3]), None);
            assert_eq!(read(&[1.0; 3], &[bad, 1.0, 2.0]), None);
        }
    }
}
