//! How likely other outcomes of a run of tries are, measured against the outcome that was seen.
//!
//! Every chance is given as a multiple of the chance of the number seen, by the exact step from one outcome to its
//! neighbour. No factorial is formed, so nothing overflows on the way down; a multiple too large to hold is infinite
//! and says only that the number seen is next to impossible.

/// The chances of `seen - 1`, `seen - 2`, ... 0 successes in `trials`, each divided by the chance of `seen`.
///
/// `odds` is the chance of a success over the chance of a failure in one try, above zero and finite.
pub(super) fn fewer(seen: u32, trials: u32, odds: f64) -> impl Iterator<Item = f64> {
    (1..=seen).rev().scan(1.0, move |multiple, count| {
        *multiple *= f64::from(count) / (f64::from(trials - count + 1) * odds);
        Some(*multiple)
    })
}

/// The chances of `seen + 1`, `seen + 2`, ... `trials` successes, each divided by the chance of `seen`.
///
/// `odds` as for [`fewer`].
pub(super) fn more(seen: u32, trials: u32, odds: f64) -> impl Iterator<Item = f64> {
    (seen..trials).scan(1.0, move |multiple, count| {
        *multiple *= f64::from(trials - count) * odds / f64::from(count + 1);
        Some(*multiple)
    })
}

#[cfg(test)]
mod tests {
    use super::{fewer, more};

    // Ten tosses of a fair coin: 1 10 45 120 210 252 210 120 45 10 1 ways, of 1024.
    #[test]
    fn ten_tosses_of_a_fair_coin_follow_the_binomial_coefficients() {
        let near = |got: Vec<f64>, ways: &[f64]| {
            assert_eq!(got.len(), ways.len());
            for (multiple, ways) in got.iter().zip(ways) {
                assert!((multiple * 120.0 - ways).abs() < 1e-9, "{multiple} {ways}");
            }
        };
        near(fewer(3, 10, 1.0).collect(), &[45.0, 10.0, 1.0]);
        near(
            more(3, 10, 1.0).collect(),
            &[210.0, 252.0, 210.0, 120.0, 45.0, 10.0, 1.0],
        );
        assert_eq!(fewer(0, 10, 1.0).count(), 0);
        assert_eq!(more(10, 10, 1.0).count(), 0);
    }

    // Two throws of a die, a six counting: 25, 10 and 1 ways of 36.
    #[test]
    fn two_throws_of_a_die_follow_the_counted_ways() {
        let odds = 1.0 / 5.0;
        let above: Vec<f64> = more(0, 2, odds).collect();
        assert!((above[0] * 25.0 - 10.0).abs() < 1e-12 && (above[1] * 25.0 - 1.0).abs() < 1e-12);
        let below: Vec<f64> = fewer(2, 2, odds).collect();
        assert!((below[0] - 10.0).abs() < 1e-12 && (below[1] - 25.0).abs() < 1e-12);
    }

    #[test]
    fn the_far_tail_of_a_long_run_sinks_to_nothing_and_never_to_an_error() {
        let last = more(5_000, 10_000, 1.0).last().unwrap();
        assert!((0.0..1e-300).contains(&last));
        assert!(more(0, 10_000, 1.0).all(|multiple| multiple > 0.0));
    }
}
