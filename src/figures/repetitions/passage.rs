//! The way from one rung to the next above it, mean and variance, by an exact recursion.
//!
//! A ladder can only be climbed one rung at a time, so the whole way is the sum of the ways from each rung to the next,
//! and these are independent. After aggression on rung s the bird has to climb again from where it was sent to, which
//! are ways already known from the rungs below. Every term is added and none is taken away, so nothing cancels: rounding
//! stays a few units in the last places for each rung, however long the ladder takes.

use super::rung::Chances;

/// The mean of a reward gathered on the way from each rung to the next, rung by rung.
///
/// `back` is how many rungs aggression costs, never below the first; `reward` is what one repetition on a rung counts.
pub(super) fn means(
    ladder: &[Chances],
    run: u32,
    back: usize,
    reward: impl Fn(usize, &Chances) -> f64,
) -> Vec<f64> {
    let mut ways: Vec<f64> = Vec::with_capacity(ladder.len());
    for (rung, chances) in ladder.iter().enumerate() {
        let again: f64 = ways.iter().rev().take(back).sum();
        let each = reward(rung, chances) + chances.aggression * again;
        ways.push(to_first_run(chances.calm, run, each));
    }
    ways
}

/// The variance of the repetitions on the way from each rung to the next, rung by rung.
pub(super) fn variances(ladder: &[Chances], run: u32, back: usize) -> Vec<f64> {
    let ways = means(ladder, run, back, |_, _| 1.0);
    let mut spreads: Vec<f64> = Vec::with_capacity(ladder.len());
    for (rung, (chances, way)) in ladder.iter().zip(&ways).enumerate() {
        let lands = rung.saturating_sub(back);
        let again: f64 = ways.iter().take(rung).skip(lands).sum();
        let again_spread: f64 = spreads.iter().skip(lands).sum();
        spreads.push(variance(chances, run, *way, again, again_spread));
    }
    spreads
}

/// The mean of a reward until the first run of calm repetitions, `each` being the mean reward of one repetition.
///
/// The repetitions to the first run are `(1 - p^r) / (q p^r)` in Feller's form; summed as `p^-1 + ... + p^-r` it holds
/// for a chance of 1 as well.
fn to_first_run(calm: f64, run: u32, each: f64) -> f64 {
    let mut term = 1.0;
    let mut sum = 0.0;
    for _ in 0..run {
        term /= calm;
        sum += term;
    }
    sum * each
}

/// The variance of one way, by the rule of total variance over the outcome of the next repetition.
///
/// `way` is its mean; `again` and `again_spread` are the mean and variance of climbing back up after aggression.
fn variance(chances: &Chances, run: u32, way: f64, again: f64, again_spread: f64) -> f64 {
    let Chances {
        calm,
        mild,
        aggression,
    } = *chances;
    // What is still to go with so many calm ones in a row, counted down from the last; the variance is gathered with it.
    let (mut to_go, mut spread) = (0.0, 0.0);
    let (from_zero, from_below) = (way, again + way);
    let mut reached = 1.0;
    for _ in 0..run {
        let mean = calm * to_go + mild * from_zero + aggression * from_below;
        let outcomes = calm * (to_go - mean).powi(2)
            + mild * (from_zero - mean).powi(2)
            + aggression * (from_below - mean).powi(2);
        spread = calm * spread + aggression * again_spread + outcomes;
        to_go = 1.0 + mean;
        reached *= calm;
    }
    // Each time the run starts again, all of it is still ahead.
    spread / reached
}

#[cfg(test)]
mod tests {
    use super::{Chances, means, to_first_run, variances};

    fn rung(calm: f64, mild: f64, aggression: f64) -> Chances {
        Chances {
            calm,
            mild,
            aggression,
        }
    }

    // Fair coin, first run of three: 14 tosses (Feller). By hand: 2 + 4 + 8.
    #[test]
    fn a_fair_coin_takes_fourteen_tosses_for_three_in_a_row() {
        assert_eq!(to_first_run(0.5, 3, 1.0), 14.0);
        assert_eq!(to_first_run(0.5, 3, 0.5), 7.0);
        assert_eq!(to_first_run(1.0, 7, 1.0), 7.0);
    }

    // By hand, run of 1 with halves: first rung 2; second 2(1 + 2/2) = 4; third 2(1 + 4/2) = 6, and with two back
    // 2(1 + (4 + 2)/2) = 8.
    #[test]
    fn ways_by_hand_with_halves() {
        let ladder = [rung(0.5, 0.0, 0.5); 3];
        assert_eq!(means(&ladder, 1, 0, |_, _| 1.0), [2.0, 2.0, 2.0]);
        assert_eq!(means(&ladder, 1, 1, |_, _| 1.0), [2.0, 4.0, 6.0]);
        assert_eq!(means(&ladder, 1, 2, |_, _| 1.0), [2.0, 4.0, 8.0]);
        assert_eq!(
            means(&ladder, 1, 1, |at, _| f64::from(u8::from(at == 0))),
            [2.0, 2.0, 2.0]
        );
    }

    // By hand, run of 1 with halves. First rung: geometric, variance q/p^2 = 2. Second: the number of falls is geometric
    // with mean 1 and variance 2, each costs 1 + a way of mean 2 and variance 2, so 1*2 + 2*(1 + 2)^2 = 20.
    // Third, two back: each fall costs 1 + ways of mean 2 + 4 and variance 2 + 20: 22 + 2*7^2 = 120.
    #[test]
    fn variances_by_hand_with_halves() {
        let ladder = [rung(0.5, 0.0, 0.5); 3];
        assert_eq!(variances(&ladder, 1, 0), [2.0, 2.0, 2.0]);
        assert_eq!(variances(&ladder, 1, 2), [2.0, 20.0, 120.0]);
        // One back: each fall from the third costs 1 + a way of mean 4 and variance 20: 20 + 2*5^2.
        assert_eq!(variances(&ladder, 1, 1), [2.0, 20.0, 70.0]);
        assert_eq!(variances(&[rung(1.0, 0.0, 0.0)], 5, 1), [0.0]);
    }
}
