//! Wald's sequential test: is a step shown to be ready, shown not to be, or still open?
//!
//! Wald (1947), Sequential Analysis: after each repetition the logarithm of how much better 'ready' explains the
//! record than 'not ready' is set against two bounds, and the test ends at the first bound that is met. It takes
//! repetitions as independent and equally hard.

use super::input::{Unusable, within};
use super::span::Span;

/// Least chance of calm a test is laid out for.
pub const LEAST_CHANCE: f64 = 0.05;

/// Greatest chance of calm a test is laid out for.
pub const MOST_CHANCE: f64 = 0.99;

/// Least gap between the two chances a test tells apart. A smaller gap takes thousands of repetitions.
pub const LEAST_GAP: f64 = 0.05;

/// Least chance of error a test is laid out for.
pub const LEAST_ERROR: f64 = 0.001;

/// Greatest chance of error a test is laid out for.
pub const MOST_ERROR: f64 = 0.25;

/// A sum this close to a bound has met it, so that rounding cannot cost a repetition.
const MEETS_BOUND: f64 = 1e-9;

/// The walk through all records stops once those still open have a smaller chance than this.
const NEGLIGIBLE: f64 = 1e-15;

/// A test laid out for two chances of calm and two chances of error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SequentialTest {
    not_ready_chance: f64,
    ready_chance: f64,
    /// What a calm repetition adds to the sum. Above zero.
    calm_step: f64,
    /// What any other repetition adds to the sum. Below zero.
    other_step: f64,
    bounds: Span,
}

/// What a test says after some repetitions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The record fits 'ready' much better.
    Ready,
    /// The record fits 'not ready' much better.
    NotReady,
    /// Neither yet.
    Open,
}

/// Where a test stands after a sequence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// What the test says.
    pub verdict: Verdict,
    /// Repetitions that were counted: all of them while it is open, those up to the deciding one otherwise.
    pub counted: u32,
    /// The sum after them.
    pub sum: f64,
}

/// How a test behaves at one true chance of calm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Behaviour {
    /// Mean number of repetitions to a verdict.
    pub mean_repetitions: f64,
    /// Chance that the verdict is [`Verdict::Ready`].
    pub ready: f64,
    /// Chance that the verdict is [`Verdict::NotReady`].
    pub not_ready: f64,
}

impl SequentialTest {
    /// Lays out a test that tells a chance of calm of `not_ready_chance` or less from one of `ready_chance` or more.
    ///
    /// `false_ready` is the chance of error aimed at for calling ready what is not, `false_not_ready` the other one.
    ///
    /// # Errors
    /// [`Unusable`] unless both chances lie from [`LEAST_CHANCE`] to [`MOST_CHANCE`] with `ready_chance` at least
    /// [`LEAST_GAP`] higher, and both errors from [`LEAST_ERROR`] to [`MOST_ERROR`].
    pub fn new(
        not_ready_chance: f64,
        ready_chance: f64,
        false_ready: f64,
        false_not_ready: f64,
    ) -> Result<Self, Unusable> {
        let low = within(not_ready_chance, LEAST_CHANCE, MOST_CHANCE - LEAST_GAP)?;
        let high = within(ready_chance, low + LEAST_GAP, MOST_CHANCE)?;
        let false_ready = within(false_ready, LEAST_ERROR, MOST_ERROR)?;
        let false_not_ready = within(false_not_ready, LEAST_ERROR, MOST_ERROR)?;
        Ok(Self {
            not_ready_chance: low,
            ready_chance: high,
            calm_step: (high / low).ln(),
            other_step: ((1.0 - high) / (1.0 - low)).ln(),
            bounds: Span {
                low: (false_not_ready / (1.0 - false_ready)).ln(),
                high: ((1.0 - false_not_ready) / false_ready).ln(),
            },
        })
    }

    /// The two bounds of the sum: not ready at `low` or below, ready at `high` or above. Natural logarithms.
    #[must_use]
    pub const fn bounds(&self) -> Span {
        self.bounds
    }

    /// Where the test stands after a sequence, calm being true.
    ///
    /// The first bound that is met decides. What comes after is not counted: a record may not be read on until it says
    /// something else.
    #[must_use]
    pub fn after(&self, sequence: &[bool]) -> Standing {
        let mut standing = Standing {
            verdict: Verdict::Open,
            counted: 0,
            sum: 0.0,
        };
        let (mut calm, mut others) = (0_u32, 0_u32);
        for is_calm in sequence {
            if *is_calm {
                calm = calm.saturating_add(1);
            } else {
                others = others.saturating_add(1);
            }
            let sum = self.sum(calm, others);
            standing = Standing {
                verdict: self.verdict(sum),
                counted: calm.saturating_add(others),
                sum,
            };
            if standing.verdict != Verdict::Open {
                break;
            }
        }
        standing
    }

    /// Fewest repetitions to [`Verdict::Ready`]: all of them calm from the first on.
    #[must_use]
    pub fn fewest_all_calm(&self) -> u32 {
        // At most ln(999) / ln(0.99 / 0.94), which is 134.
        ((self.bounds.high - MEETS_BOUND) / self.calm_step).ceil() as u32
    }

    /// How the test behaves when each repetition is calm with `chance`: exact, by walking through all records.
    ///
    /// Wald's own formula for the mean leaves out how far the last repetition carries the sum past the bound, and
    /// comes out too low.
    ///
    /// # Errors
    /// [`Unusable`] when `chance` is not from 0 to 1.
    pub fn at(&self, chance: f64) -> Result<Behaviour, Unusable> {
        let calm_chance = within(chance, 0.0, 1.0)?;
        let mut behaviour = Behaviour {
            mean_repetitions: 0.0,
            ready: 0.0,
            not_ready: 0.0,
        };
        // For each number of calm repetitions that leaves the test open, in rising order without a gap: its chance.
        let mut open = vec![(0_u32, 1.0)];
        let mut repetitions = 0_u32;
        loop {
            let still_open: f64 = open.iter().map(|(_, chance)| chance).sum();
            if still_open < NEGLIGIBLE {
                return Ok(behaviour);
            }
            behaviour.mean_repetitions += still_open;
            repetitions += 1;
            let mut next = Vec::new();
            let mut from_below = 0.0;
            let mut top = 0;
            for (calm, chance) in open {
                next.push((calm, from_below + chance * (1.0 - calm_chance)));
                from_below = chance * calm_chance;
                top = calm + 1;
            }
            next.push((top, from_below));
            next.retain(
                |(calm, chance)| match self.verdict(self.sum(*calm, repetitions - calm)) {
                    Verdict::Ready => {
                        behaviour.ready += chance;
                        false
                    }
                    Verdict::NotReady => {
                        behaviour.not_ready += chance;
                        false
                    }
                    Verdict::Open => true,
                },
            );
            open = next;
        }
    }

    /// How the test behaves at the chance laid out as not ready: `ready` is the exact chance of a false 'ready'.
    ///
    /// # Errors
    /// None in practice: the chance was checked when the test was laid out.
    pub fn when_not_ready(&self) -> Result<Behaviour, Unusable> {
        self.at(self.not_ready_chance)
    }

    /// How the test behaves at the chance laid out as ready: `not_ready` is the exact chance of a false 'not ready'.
    ///
    /// # Errors
    /// None in practice: the chance was checked when the test was laid out.
    pub fn when_ready(&self) -> Result<Behaviour, Unusable> {
        self.at(self.ready_chance)
    }

    fn sum(&self, calm: u32, others: u32) -> f64 {
        f64::from(calm) * self.calm_step + f64::from(others) * self.other_step
    }

    fn verdict(&self, sum: f64) -> Verdict {
        if sum >= self.bounds.high - MEETS_BOUND {
            Verdict::Ready
        } else if sum <= self.bounds.low + MEETS_BOUND {
            Verdict::NotReady
        } else {
            Verdict::Open
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Behaviour, SequentialTest, Standing, Unusable, Verdict};

    fn near(got: f64, expected: f64) {
        assert!((got - expected).abs() <= 1e-6, "{got} is not {expected}");
    }

    fn outside(least: f64, most: f64) -> Result<SequentialTest, Unusable> {
        Err(Unusable::OutOfRange { least, most })
    }

    fn usual() -> SequentialTest {
        SequentialTest::new(0.7, 0.95, 0.05, 0.1).unwrap()
    }

    /// Up and down by the same amount, both bounds two amounts away: a gambler with two coins against two.
    fn gambler() -> SequentialTest {
        SequentialTest::new(0.25, 0.75, 0.1, 0.1).unwrap()
    }

    // Bounds and fewest repetitions: Wald (1947). Exact means and errors: computed, and the first row simulated.
    #[test]
    fn three_tests_have_their_computed_bounds_means_and_errors() {
        let rows = [
            (
                [0.7, 0.95, 0.05, 0.1],
                [2.890_372, -2.251_292],
                10,
                [13.771_961, 8.419_371, 0.043_928, 0.052_749],
            ),
            (
                [0.6, 0.9, 0.05, 0.05],
                [2.944_439, -2.944_439],
                8,
                [13.270_336, 10.797_004, 0.040_496, 0.027_056],
            ),
            (
                [0.8, 0.95, 0.1, 0.1],
                [2.197_225, -2.197_225],
                13,
                [20.474_580, 15.761_524, 0.100_411, 0.064_125],
            ),
        ];
        for ([low, high, false_ready, false_not], [ready, not_ready], fewest, exact) in rows {
            let test = SequentialTest::new(low, high, false_ready, false_not).unwrap();
            near(test.bounds().high, ready);
            near(test.bounds().low, not_ready);
            assert_eq!(test.fewest_all_calm(), fewest);
            let (at_high, at_low) = (test.when_ready().unwrap(), test.when_not_ready().unwrap());
            near(at_high.mean_repetitions, exact[0]);
            near(at_low.mean_repetitions, exact[1]);
            near(at_low.ready, exact[2]);
            near(at_high.not_ready, exact[3]);
            for behaviour in [at_high, at_low] {
                near(behaviour.ready + behaviour.not_ready, 1.0);
            }
        }
    }

    // Wald's approximate means, computed from his formula, leave out the overshoot.
    #[test]
    fn the_exact_mean_is_above_wald_s_approximation() {
        assert!(usual().when_ready().unwrap().mean_repetitions > 11.849_945);
        assert!(usual().when_not_ready().unwrap().mean_repetitions > 6.159_514);
    }

    // The gambler's ruin has a closed form: with odds 3 to 1 the one bound is met first in 9 of 10, after 3.2 throws;
    // with even odds in 1 of 2, after 4. No overshoot, so the errors are the ones aimed at.
    #[test]
    fn steps_that_meet_the_bounds_exactly_follow_the_gambler_s_ruin() {
        for (behaviour, ready, mean) in [
            (gambler().when_ready(), 0.9, 3.2),
            (gambler().when_not_ready(), 0.1, 3.2),
            (gambler().at(0.5), 0.5, 4.0),
        ] {
            let behaviour = behaviour.unwrap();
            assert!((behaviour.ready - ready).abs() < 1e-12);
            assert!((behaviour.not_ready - (1.0 - ready)).abs() < 1e-12);
            assert!((behaviour.mean_repetitions - mean).abs() < 1e-12);
        }
        assert_eq!(gambler().fewest_all_calm(), 2);
        assert_eq!(gambler().after(&[true, true]).verdict, Verdict::Ready);
        assert_eq!(gambler().after(&[false, false]).verdict, Verdict::NotReady);
        let record = [true, false, true, false];
        assert_eq!(gambler().after(&record).verdict, Verdict::Open);
    }

    #[test]
    fn ten_calm_ones_in_a_row_are_ready_and_nine_are_not() {
        let nine = usual().after(&[true; 9]);
        assert_eq!((nine.verdict, nine.counted), (Verdict::Open, 9));
        near(nine.sum, 9.0 * (0.95_f64 / 0.7).ln());
        let ten = usual().after(&[true; 10]);
        assert_eq!((ten.verdict, ten.counted), (Verdict::Ready, 10));
        near(ten.sum, 10.0 * (0.95_f64 / 0.7).ln());
    }

    // Each one that is not calm takes off ln 6, or 1.791759: the second goes below -2.251292.
    #[test]
    fn two_bad_ones_at_the_start_are_not_ready() {
        let one = usual().after(&[false]);
        assert_eq!((one.verdict, one.counted), (Verdict::Open, 1));
        near(one.sum, -1.791_759);
        let two = usual().after(&[false, false]);
        assert_eq!((two.verdict, two.counted), (Verdict::NotReady, 2));
        near(two.sum, -3.583_519);
    }

    #[test]
    fn the_first_verdict_stands_whatever_comes_after() {
        let record: Vec<bool> = (0..60).map(|turn| turn >= 2).collect();
        let standing = usual().after(&record);
        assert_eq!((standing.verdict, standing.counted), (Verdict::NotReady, 2));
        let record: Vec<bool> = (0..60).map(|turn| turn < 10).collect();
        let standing = usual().after(&record);
        assert_eq!((standing.verdict, standing.counted), (Verdict::Ready, 10));
    }

    #[test]
    fn no_record_leaves_the_test_open() {
        let nothing = Standing {
            verdict: Verdict::Open,
            counted: 0,
            sum: 0.0,
        };
        assert_eq!(usual().after(&[]), nothing);
    }

    #[test]
    fn a_bird_that_is_always_calm_is_ready_after_the_fewest() {
        let always = Behaviour {
            mean_repetitions: 10.0,
            ready: 1.0,
            not_ready: 0.0,
        };
        assert_eq!(usual().at(1.0), Ok(always));
        let never = Behaviour {
            mean_repetitions: 2.0,
            ready: 0.0,
            not_ready: 1.0,
        };
        assert_eq!(usual().at(0.0), Ok(never));
    }

    #[test]
    fn the_slowest_test_allowed_still_ends() {
        let slow = SequentialTest::new(0.475, 0.525, 0.001, 0.001).unwrap();
        let between = slow.at(0.5).unwrap();
        near(between.ready, 0.5);
        near(between.not_ready, 0.5);
        // A fair coin to 70 steps either way takes 70 x 70 throws; ln 999 over ln(0.525 / 0.475) is 69.01.
        near(between.mean_repetitions, 4_900.0);
        assert_eq!(slow.fewest_all_calm(), 70);
    }

    #[test]
    fn layouts_outside_the_range_are_refused() {
        let lay = SequentialTest::new;
        for (low, high) in [(0.05, 0.1), (0.94, 0.99), (0.05, 0.99)] {
            assert!(lay(low, high, 0.001, 0.25).is_ok() && lay(low, high, 0.25, 0.001).is_ok());
        }
        let most = 0.99 - 0.05;
        assert_eq!(lay(0.049_9, 0.9, 0.05, 0.05), outside(0.05, most));
        assert_eq!(lay(0.940_1, 0.99, 0.05, 0.05), outside(0.05, most));
        assert_eq!(lay(0.7, 0.749, 0.05, 0.05), outside(0.75, 0.99));
        assert_eq!(lay(0.7, 0.6, 0.05, 0.05), outside(0.75, 0.99));
        assert_eq!(lay(0.7, 0.990_1, 0.05, 0.05), outside(0.75, 0.99));
        for bad in [0.000_99, 0.250_1, 0.0, -0.05, 5.0] {
            assert_eq!(lay(0.7, 0.9, bad, 0.05), outside(0.001, 0.25));
            assert_eq!(lay(0.7, 0.9, 0.05, bad), outside(0.001, 0.25));
        }
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            for [a, b, c, d] in [
                [bad, 0.9, 0.05, 0.05],
                [0.7, bad, 0.05, 0.05],
                [0.7, 0.9, bad, 0.05],
                [0.7, 0.9, 0.05, bad],
            ] {
                assert_eq!(lay(a, b, c, d), Err(Unusable::NotFinite));
            }
            assert_eq!(usual().at(bad), Err(Unusable::NotFinite));
        }
        for bad in [-0.001, 1.001] {
            let refused = Err(Unusable::OutOfRange {
                least: 0.0,
                most: 1.0,
            });
            assert_eq!(usual().at(bad), refused);
        }
    }
}
