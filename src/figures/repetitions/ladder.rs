//! How many repetitions a whole ladder takes.
//!
//! A rung is passed by a run of calm repetitions. Arousal without aggression starts the run again; aggression sends the
//! bird back one rung, and on the first rung only starts the run again. The ladder is an absorbing chain (Kemeny and
//! Snell, Finite Markov Chains, 1960, from memory) that can only be climbed one rung at a time, so its mean and variance
//! follow from a recursion over the rungs; the chances over time follow by carrying the whole distribution forward. The
//! limits of the model are those of [the folder](super).
//!
//! All functions take 1 to [`MOST_RUNGS`](super::MOST_RUNGS) rungs, lowest first, and a run of 1 to
//! [`MOST_RUN`](super::MOST_RUN), the same on every rung.

use super::rung::{Chances, below_one, finite, usable_run, usable_rungs};
use super::walk::Walk;
use super::{MOST_REPETITIONS, passage};
use crate::figures::input::{Unusable, within};

pub use super::rung::Rung;

/// How many rungs aggression costs by the rule of a ladder.
pub(super) const BACK_ONE: usize = 1;

/// The expected repetitions to pass the last rung, with one rung back after aggression.
///
/// # Errors
/// [`Unusable`] for a ladder or a run outside the limits, chances that are none, or so small that the result overflows.
pub fn expected_repetitions(rungs: &[Rung], run: u32) -> Result<f64, Unusable> {
    expected(rungs, run, BACK_ONE, |_, _| 1.0)
}

/// The expected repetitions from first standing on each rung to passing it, lowest first, with what is spent on the
/// rungs below after falling back; together they are [`expected_repetitions`]. The largest shows which rung to split.
///
/// # Errors
/// As for [`expected_repetitions`].
pub fn expected_to_pass_each_rung(rungs: &[Rung], run: u32) -> Result<Vec<f64>, Unusable> {
    let ladder = usable_rungs(rungs)?;
    passage::means(&ladder, usable_run(run)?, BACK_ONE, |_, _| 1.0)
        .into_iter()
        .map(finite)
        .collect()
}

/// The expected repetitions spent on each rung itself, lowest first; together they are [`expected_repetitions`].
///
/// # Errors
/// As for [`expected_repetitions`].
pub fn expected_on_each_rung(rungs: &[Rung], run: u32) -> Result<Vec<f64>, Unusable> {
    let ladder = usable_rungs(rungs)?;
    let run = usable_run(run)?;
    (0..ladder.len())
        .map(|asked| {
            let on_this = |rung, _: &Chances| f64::from(u8::from(rung == asked));
            finite(passage::means(&ladder, run, BACK_ONE, on_this).iter().sum())
        })
        .collect()
}

/// The expected repetitions with aggression on the way: how much of what a plan is to avoid it still has to expect.
///
/// # Errors
/// As for [`expected_repetitions`].
pub fn expected_aggressive_events(rungs: &[Rung], run: u32) -> Result<f64, Unusable> {
    expected(rungs, run, BACK_ONE, |_, chances| chances.aggression)
}

/// The standard deviation of the repetitions to pass the last rung.
///
/// # Errors
/// As for [`expected_repetitions`].
pub fn sd_repetitions(rungs: &[Rung], run: u32) -> Result<f64, Unusable> {
    let ladder = usable_rungs(rungs)?;
    let variance: f64 = passage::variances(&ladder, usable_run(run)?, BACK_ONE)
        .iter()
        .sum();
    finite(variance.sqrt())
}

/// The expected repetitions when aggression, too, only starts the run again: the least a rule can cost.
///
/// # Errors
/// As for [`expected_repetitions`].
pub fn hold_only(rungs: &[Rung], run: u32) -> Result<f64, Unusable> {
    expected(rungs, run, 0, |_, _| 1.0)
}

/// The expected repetitions when aggression costs two rungs; from the second rung it costs one.
///
/// # Errors
/// As for [`expected_repetitions`].
pub fn two_back(rungs: &[Rung], run: u32) -> Result<f64, Unusable> {
    expected(rungs, run, 2, |_, _| 1.0)
}

/// The chance that the last rung is passed within so many repetitions, at most [`MOST_REPETITIONS`].
///
/// # Errors
/// As for [`expected_repetitions`], and for more repetitions than that.
pub fn chance_finished_within(rungs: &[Rung], run: u32, repetitions: u32) -> Result<f64, Unusable> {
    within(f64::from(repetitions), 0.0, f64::from(MOST_REPETITIONS))?;
    let ladder = usable_rungs(rungs)?;
    let mut walk = Walk::from_the_first_rung(&ladder, usable_run(run)?, BACK_ONE);
    let finished: f64 = (0..repetitions).map(|_| walk.step()).sum();
    // The sum of many chances may round to a hair above 1.
    Ok(finished.min(1.0))
}

/// The smallest number of repetitions within which the last rung is passed with at least the chance `share`.
///
/// `share` is above 0 and below 1: 0.5 for the middle, 0.9 for what nine in ten do not exceed. `None` when it takes more
/// than [`MOST_REPETITIONS`]. Where a chance equals the share but for rounding, the answer may be one off.
/// Looking so far takes about 40 milliseconds for a hopeless ladder of twelve rungs, and about a second for the largest.
///
/// # Errors
/// As for [`expected_repetitions`], and for a share that is not between 0 and 1.
pub fn quantile(rungs: &[Rung], run: u32, share: f64) -> Result<Option<u32>, Unusable> {
    let share = below_one(share)?;
    let ladder = usable_rungs(rungs)?;
    let mut walk = Walk::from_the_first_rung(&ladder, usable_run(run)?, BACK_ONE);
    let mut finished = 0.0;
    Ok((1..=MOST_REPETITIONS).find(|_| {
        finished += walk.step();
        finished >= share
    }))
}

/// The expected sum of a reward over all repetitions.
fn expected(
    rungs: &[Rung],
    run: u32,
    back: usize,
    reward: impl Fn(usize, &Chances) -> f64,
) -> Result<f64, Unusable> {
    let ladder = usable_rungs(rungs)?;
    let ways = passage::means(&ladder, usable_run(run)?, back, reward);
    finite(ways.iter().sum())
}

#[cfg(test)]
mod tests {
    use super::{
        MOST_REPETITIONS, Rung, Unusable, chance_finished_within, expected_aggressive_events,
        expected_on_each_rung, expected_repetitions, expected_to_pass_each_rung, hold_only,
        quantile, sd_repetitions, two_back,
    };
    use crate::figures::repetitions::runs::settling_chance;

    fn near(got: Result<f64, Unusable>, expected: f64) {
        let got = got.unwrap();
        assert!((got - expected).abs() <= 1e-6, "{got} {expected}");
    }

    fn equal(calm: f64, rungs: usize) -> Vec<Rung> {
        vec![Rung::two_outcomes(calm); rungs]
    }

    // Computed, two methods (recursion and linear solve; simulation within two standard errors): calm, run, rungs,
    // repetitions, standard deviation, middle, nine in ten, hold only, aggressive events.
    type Row = (f64, u32, usize, f64, f64, u32, u32, f64, f64);
    #[rustfmt::skip]
    const COMPUTED: [Row; 13] = [
        (0.95, 3,  6,  23.149_086,   6.262,  22,  32, 19.962_094,   1.157_454),
        (0.95, 3, 10,  39.112_693,   8.531,  37,  51, 33.270_156,   1.955_635),
        (0.90, 3,  6,  32.010_298,  13.671,  28,  50, 22.304_527,   3.201_030),
        (0.90, 3, 10,  55.669_357,  19.671,  51,  82, 37.174_211,   5.566_936),
        (0.85, 3, 10,  93.834_376,  49.505,  81, 158, 41.888_866,  14.075_156),
        (0.80, 3, 10, 228.489_300, 175.081, 177, 456, 47.656_250,  45.697_860),
        (0.90, 2,  8,  23.577_012,   7.110,  22,  33, 18.765_432,   2.357_701),
        (0.80, 2,  6,  30.567_937,  17.254,  26,  53, 16.875_000,   6.113_587),
        (0.95, 5, 12,  95.739_643,  26.092,  91, 130, 70.165_304,   4.786_982),
        (0.90, 5,  6,  90.260_548,  56.163,  74, 163, 41.610_527,   9.026_055),
        (0.70, 1, 10,  23.125_392,   9.841,  21,  36, 14.285_714,   6.937_618),
        (0.50, 1,  5,  30.000_000,  24.290,  23,  62, 10.000_000,  15.000_000),
        (0.50, 2,  4, 348.000_000, 340.018, 244, 791, 24.000_000, 174.000_000),
    ];

    #[test]
    fn equal_rungs_take_the_computed_repetitions() {
        for (calm, run, count, mean, sd, middle, most, hold, events) in COMPUTED {
            let rungs = equal(calm, count);
            near(expected_repetitions(&rungs, run), mean);
            near(hold_only(&rungs, run), hold);
            near(expected_aggressive_events(&rungs, run), events);
            let found = sd_repetitions(&rungs, run).unwrap();
            assert!((found - sd).abs() <= 6e-4, "{found} {sd}");
            assert_eq!(quantile(&rungs, run, 0.5), Ok(Some(middle)));
            assert_eq!(quantile(&rungs, run, 0.9), Ok(Some(most)));
        }
    }

    // Computed, two methods; the last two by matrix powers.
    #[test]
    fn ten_rungs_at_nine_in_ten_in_full() {
        let rungs = equal(0.9, 10);
        near(sd_repetitions(&rungs, 3), 19.670_838);
        assert_eq!(quantile(&rungs, 3, 0.95), Ok(Some(94)));
        for (within, chance) in [
            (40, 0.231_083),
            (60, 0.679_634),
            (80, 0.893_259),
            (100, 0.966_939),
        ] {
            near(chance_finished_within(&rungs, 3, within), chance);
        }
    }

    // Computed, two methods (2 L (L + 1) for fair coins, exact fractions, linear solve).
    #[test]
    fn rungs_won_as_often_as_lost_and_below() {
        assert_eq!(expected_repetitions(&equal(0.5, 5), 1), Ok(30.0));
        let settling = 0.5_f64.powf(1.0 / 3.0);
        near(expected_repetitions(&equal(settling, 10), 3), 266.602_716);
        let below = expected_repetitions(&equal(0.5, 4), 2).unwrap();
        assert!((below / 348.0 - 1.0).abs() <= 1e-9, "{below}");
    }

    // Computed, two methods (linear solve and simulation).
    #[test]
    fn two_rungs_back_cost_more() {
        near(two_back(&equal(0.9, 10), 3), 90.967_463);
        near(two_back(&equal(0.95, 10), 3), 46.133_094);
    }

    // Computed, two methods (formula and linear solve).
    #[test]
    fn arousal_without_aggression_costs_less_than_aggression() {
        let mild = |calm, mild, rungs| vec![Rung { calm, mild }; rungs];
        near(expected_repetitions(&mild(0.85, 0.10, 10), 3), 51.582_821);
        near(expected_repetitions(&mild(0.80, 0.15, 8), 3), 48.094_169);
    }

    // Computed, two methods (recursion and linear solve).
    #[test]
    fn rungs_of_unequal_difficulty() {
        let rungs =
            |calm: &[f64]| -> Vec<Rung> { calm.iter().copied().map(Rung::two_outcomes).collect() };
        let harder = rungs(&[0.97, 0.95, 0.93, 0.91, 0.89, 0.87, 0.85, 0.83]);
        near(expected_repetitions(&harder, 3), 49.023_628);
        let one_bad = rungs(&[0.95, 0.95, 0.70, 0.95, 0.95]);
        near(expected_repetitions(&one_bad, 3), 30.913_608);
    }

    // The way from each rung to the next on a long ladder settles at m / (2u - 1); computed, two methods.
    #[test]
    fn a_further_rung_costs_what_the_recursion_says() {
        let ways = expected_to_pass_each_rung(&equal(0.9, 60), 3).unwrap();
        for (way, expected) in ways
            .iter()
            .zip([3.717_421, 5.099_343, 5.613_062, 5.804_033])
        {
            near(Ok(*way), expected);
        }
        for (calm, run, settles) in [
            (0.9, 3, 5.917_031),
            (0.95, 3, 3.990_906),
            (0.95, 5, 8.262_776),
            (0.9, 5, 22.627_362),
        ] {
            let ways = expected_to_pass_each_rung(&equal(calm, 200), run).unwrap();
            assert_eq!(ways.len(), 200);
            near(Ok(ways[199]), settles);
        }
    }

    // Levitt's chance is the border: above it a further rung costs a steady number, below it a growing multiple.
    #[test]
    fn below_the_settling_chance_every_further_rung_costs_more() {
        let last = |calm, run| {
            let ways = expected_to_pass_each_rung(&equal(calm, 200), run).unwrap();
            ways[199] / ways[198]
        };
        for run in 1..=5 {
            let border = settling_chance(run).unwrap();
            assert!(last(border + 0.02, run) < 1.000_1);
            assert!((last(border, run) - 200.0 / 199.0).abs() < 1e-6);
            let below: f64 = border - 0.02;
            let up = below.powi(i32::try_from(run).unwrap());
            assert!((last(below, run) - (1.0 - up) / up).abs() < 1e-3);
        }
    }

    // The closed form for equal rungs, a second method: m (L - rho (1 - rho^L) / (1 - rho)) / (u - d).
    #[test]
    fn the_recursion_is_the_closed_form_for_equal_rungs() {
        for run in 1..=6 {
            for rungs in [1_u8, 2, 3, 7, 12, 40] {
                for calm in [0.6, 0.75, 0.83, 0.9, 0.97] {
                    let up = f64::powi(calm, run);
                    let (down, ratio) = (1.0 - up, (1.0 - up) / up);
                    let visit = (1.0 - up) / (1.0 - calm);
                    let count = f64::from(rungs);
                    let closed = visit
                        * (count - ratio * (1.0 - ratio.powf(count)) / (1.0 - ratio))
                        / (up - down);
                    let found =
                        expected_repetitions(&equal(calm, rungs.into()), run.unsigned_abs());
                    let found = found.unwrap();
                    assert!((found / closed - 1.0).abs() < 1e-10, "{found} {closed}");
                }
            }
        }
    }

    #[test]
    fn mean_and_deviation_are_those_of_the_chances_over_time() {
        let rungs = [(0.9, 0.05), (0.7, 0.2), (0.8, 0.0), (0.95, 0.01)]
            .map(|(calm, mild)| Rung { calm, mild });
        let (mut mean, mut square, mut before) = (0.0, 0.0, 0.0);
        for at in 1..=900 {
            let within = chance_finished_within(&rungs, 2, at).unwrap();
            mean += f64::from(at) * (within - before);
            square += f64::from(at).powi(2) * (within - before);
            before = within;
        }
        near(expected_repetitions(&rungs, 2), mean);
        near(sd_repetitions(&rungs, 2), (square - mean * mean).sqrt());
    }

    // By hand: run of 1 with halves, two rungs: 2 * 2 * 3 / 2 = 6 repetitions; each visit of the second is left upward
    // half the time, so two are spent there and four below.
    #[test]
    fn the_repetitions_on_each_rung_add_up_to_the_whole() {
        assert_eq!(expected_on_each_rung(&equal(0.5, 2), 1), Ok(vec![4.0, 2.0]));
        let rungs = [0.95, 0.95, 0.70, 0.95, 0.95].map(Rung::two_outcomes);
        let each = expected_on_each_rung(&rungs, 3).unwrap();
        assert_eq!(each.len(), 5);
        near(Ok(each.iter().sum()), 30.913_608);
        let to_pass = expected_to_pass_each_rung(&rungs, 3).unwrap();
        near(Ok(to_pass.iter().sum()), 30.913_608);
        // Computed, two methods: nearly half of the work is to get past the bad rung.
        near(Ok(to_pass[2]), 13.817_688);
    }

    #[test]
    fn a_bird_that_is_always_calm_takes_each_run_once() {
        let rungs = equal(1.0, 7);
        assert_eq!(expected_repetitions(&rungs, 4), Ok(28.0));
        assert_eq!(
            (hold_only(&rungs, 4), two_back(&rungs, 4)),
            (Ok(28.0), Ok(28.0))
        );
        assert_eq!(sd_repetitions(&rungs, 4), Ok(0.0));
        assert_eq!(expected_aggressive_events(&rungs, 4), Ok(0.0));
        assert_eq!(chance_finished_within(&rungs, 4, 27), Ok(0.0));
        assert_eq!(chance_finished_within(&rungs, 4, 28), Ok(1.0));
        assert_eq!(quantile(&rungs, 4, 0.001), Ok(Some(28)));
    }

    // Halves are exact: one rung, a run of one.
    #[test]
    fn a_quantile_is_the_first_number_that_reaches_the_share() {
        let rung = equal(0.5, 1);
        assert_eq!(quantile(&rung, 1, 0.5), Ok(Some(1)));
        assert_eq!(quantile(&rung, 1, 0.500_001), Ok(Some(2)));
        assert_eq!(quantile(&rung, 1, 0.75), Ok(Some(2)));
        assert_eq!(quantile(&rung, 1, 0.750_001), Ok(Some(3)));
        assert_eq!(chance_finished_within(&rung, 1, 0), Ok(0.0));
        assert_eq!(chance_finished_within(&rung, 1, 2), Ok(0.75));
    }

    // One in a hundred thousand: within 100 000 the chance is 1 - (1 - 0.00001)^100000 = 0.632 122 4; a repetition
    // earlier it is 0.000 003 7 less.
    #[test]
    fn what_takes_more_than_a_hundred_thousand_repetitions_has_no_quantile() {
        assert_eq!(MOST_REPETITIONS, 100_000);
        let rung = equal(1e-5, 1);
        assert_eq!(quantile(&rung, 1, 0.632_121), Ok(Some(100_000)));
        assert_eq!(quantile(&rung, 1, 0.632_124), Ok(None));
        assert!(chance_finished_within(&rung, 1, 100_000).is_ok());
        assert_eq!(
            chance_finished_within(&rung, 1, 100_001),
            Err(Unusable::OutOfRange {
                least: 0.0,
                most: 100_000.0
            })
        );
    }

    // Added up without care, these come to a hair above 1.
    #[test]
    fn a_chance_is_never_above_one() {
        for (calm, rungs, run) in [(0.55, 1, 1), (0.57, 1, 2), (0.57, 2, 1)] {
            let chance = chance_finished_within(&equal(calm, rungs), run, 500);
            assert_eq!(chance, Ok(1.0));
        }
    }

    #[test]
    fn a_share_lies_between_none_and_all() {
        let rung = equal(0.5, 1);
        let outside = Err(Unusable::OutOfRange {
            least: 0.0,
            most: 1.0,
        });
        assert!(quantile(&rung, 1, 0.999_999).is_ok());
        assert_eq!(quantile(&rung, 1, 1.0), outside);
        assert_eq!(quantile(&rung, 1, 1.5), outside);
        assert_eq!(quantile(&rung, 1, 0.0), Err(Unusable::NotAboveZero));
        assert_eq!(quantile(&rung, 1, -0.5), Err(Unusable::NotAboveZero));
        assert_eq!(quantile(&rung, 1, f64::NAN), Err(Unusable::NotFinite));
    }

    #[test]
    fn every_function_refuses_what_is_no_ladder() {
        let all = |rungs: &[Rung], run| {
            [
                expected_repetitions(rungs, run).err(),
                expected_on_each_rung(rungs, run).err(),
                expected_to_pass_each_rung(rungs, run).err(),
                expected_aggressive_events(rungs, run).err(),
                sd_repetitions(rungs, run).err(),
                hold_only(rungs, run).err(),
                two_back(rungs, run).err(),
                chance_finished_within(rungs, run, 10).err(),
                quantile(rungs, run, 0.5).err(),
            ]
        };
        let outside = |least, most| [Some(Unusable::OutOfRange { least, most }); 9];
        assert_eq!(all(&equal(0.99, 3), 3), [None; 9]);
        assert_eq!(all(&[], 3), outside(1.0, 200.0));
        assert_eq!(all(&equal(0.9, 201), 3), outside(1.0, 200.0));
        assert_eq!(all(&equal(0.9, 3), 0), outside(1.0, 20.0));
        assert_eq!(all(&equal(0.9, 3), 21), outside(1.0, 20.0));
        assert_eq!(all(&equal(1.1, 3), 3), outside(0.0, 1.0));
        assert_eq!(all(&equal(0.0, 3), 3), [Some(Unusable::NotAboveZero); 9]);
        assert_eq!(all(&equal(f64::NAN, 3), 3), [Some(Unusable::NotFinite); 9]);
    }

    #[test]
    fn a_result_too_large_to_hold_is_refused() {
        let hopeless = equal(1e-200, 3);
        for result in [
            expected_repetitions(&hopeless, 2),
            expected_aggressive_events(&hopeless, 2),
            sd_repetitions(&hopeless, 2),
            hold_only(&hopeless, 2),
            two_back(&hopeless, 2),
        ] {
            assert_eq!(result, Err(Unusable::NotFinite));
        }
        assert_eq!(
            expected_on_each_rung(&hopeless, 2),
            Err(Unusable::NotFinite)
        );
        assert_eq!(
            expected_to_pass_each_rung(&hopeless, 2),
            Err(Unusable::NotFinite)
        );
        assert_eq!(chance_finished_within(&hopeless, 2, 10), Ok(0.0));
    }
}
