//! Whether bites come more or less often than before: two counts over two stretches of time.
//!
//! The exact comparison of two Poisson rates: given how many events there were in all, the later ones are a binomial
//! share of them (Przyborowski and Wilenski 1940, Biometrika 31:313-323; the form used by R's `poisson.test`). It
//! takes the events as independent. Bites often come in bouts, and then a small chance is smaller than it should be:
//! the reading is a reason to look at the records, never proof.

use super::binomial::{fewer, more};
use super::input::{Unusable, above_zero, within};
use super::interval::{MOST_TRIALS, least_share};
use super::span::Span;

/// Shortest stretch of time that is compared, days.
pub const LEAST_DAYS: f64 = 1.0;

/// Longest stretch of time that is compared, days: longer than any bird lives.
pub const MOST_DAYS: f64 = 100_000.0;

/// Fewest events in all that are read as anything. Common practice, no source: below ten, show the counts and no
/// verdict.
pub const FEWEST_EVENTS: u32 = 10;

/// A chance below this is called a change. The usual convention of statistics.
pub const RARE: f64 = 0.05;

/// Most pairs of counts that are walked when counts are known only between ends.
pub const MOST_PAIRS: u32 = 2_500;

/// Two outcomes whose chances differ by less than this share are taken as equally likely, as statistics packages do, so
/// that rounding cannot drop an outcome's mirror image.
const EQUALLY_LIKELY: f64 = 1e-7;

/// The chance left outside each end of a 95 % interval.
const TAIL: f64 = 0.025;

/// How the later rate of events compares with the earlier one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateChange {
    /// Later rate divided by earlier rate. `None` when nothing happened earlier.
    pub ratio: Option<f64>,
    /// The 95 % interval of that ratio. From 0 when nothing happened later; up to [`f64::INFINITY`] when nothing
    /// happened earlier. Its ends are central, while the chance below adds up what is no likelier: close to the mark
    /// the two can differ about whether 1 is excluded (Fay 2010, The R Journal 2(1):53-58).
    pub ratio_95: Span,
    /// The chance of counts at least this unlikely if nothing had changed, from 0 to 1. A chance too small to be held
    /// as a number is 0.
    pub p_two_sided: f64,
    /// Events in both stretches together.
    pub total: u32,
}

/// What two counts say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// Too few events to judge.
    TooFew,
    /// The later rate is higher.
    Rising,
    /// The later rate is lower.
    Falling,
    /// The difference may well be chance.
    NoClearChange,
}

/// Compares two counts of events over two stretches of time.
///
/// Rates are counts divided by days, so the stretches may differ in length. With no event at all nothing is learnt: the
/// chance is 1 and the interval is everything.
///
/// # Errors
/// [`Unusable`] when a stretch is not from [`LEAST_DAYS`] to [`MOST_DAYS`], or when there are more than [`MOST_TRIALS`]
/// events in all.
pub fn compare_rates(
    earlier: u32,
    earlier_days: f64,
    later: u32,
    later_days: f64,
) -> Result<RateChange, Unusable> {
    let odds = odds_of_later(earlier_days, later_days)?;
    let total = in_all(earlier, later)?;
    let later_share = least_share(later, total, TAIL);
    let earlier_share = least_share(earlier, total, TAIL);
    Ok(RateChange {
        ratio: ratio(earlier, later, odds),
        ratio_95: Span {
            low: later_share / (1.0 - later_share) / odds,
            high: (1.0 - earlier_share) / earlier_share / odds,
        },
        p_two_sided: no_likelier(earlier, later, odds),
        total,
    })
}

/// What a comparison says: too few below [`FEWEST_EVENTS`], a direction when the chance is below [`RARE`].
#[must_use]
pub fn reading(change: &RateChange) -> Reading {
    read(change.total, change.ratio, change.p_two_sided)
}

/// What two counts say when each is known only between two ends, both included, in either order.
///
/// `None` when different counts inside the ends would be read differently, and when there are more than [`MOST_PAIRS`]
/// pairs of counts: a count that open settles nothing. Every pair is read, not the corners alone: the exact test moves
/// in jumps, and a pair in the middle can read otherwise than all four corners.
///
/// # Errors
/// As for [`compare_rates`], for the highest counts.
pub fn reading_of_ranges(
    earlier: (u32, u32),
    earlier_days: f64,
    later: (u32, u32),
    later_days: f64,
) -> Result<Option<Reading>, Unusable> {
    let odds = odds_of_later(earlier_days, later_days)?;
    let (earlier_low, earlier_high) = (earlier.0.min(earlier.1), earlier.0.max(earlier.1));
    let (later_low, later_high) = (later.0.min(later.1), later.0.max(later.1));
    in_all(earlier_high, later_high)?;
    // Neither count is above MOST_TRIALS here, so the product stays far below the largest whole number.
    if (earlier_high - earlier_low + 1) * (later_high - later_low + 1) > MOST_PAIRS {
        return Ok(None);
    }
    let mut readings = (earlier_low..=earlier_high).flat_map(|earlier| {
        (later_low..=later_high).map(move |later| {
            let chance = no_likelier(earlier, later, odds);
            read(earlier + later, ratio(earlier, later, odds), chance)
        })
    });
    let first = readings.next();
    Ok(first.filter(|first| readings.all(|other| other == *first)))
}

/// The days later for each day earlier: the odds that an event falls later when the rate is the same.
fn odds_of_later(earlier_days: f64, later_days: f64) -> Result<f64, Unusable> {
    for days in [earlier_days, later_days] {
        within(above_zero(days)?, LEAST_DAYS, MOST_DAYS)?;
    }
    Ok(later_days / earlier_days)
}

fn in_all(earlier: u32, later: u32) -> Result<u32, Unusable> {
    let total = earlier.saturating_add(later);
    within(f64::from(total), 0.0, f64::from(MOST_TRIALS)).map(|_| total)
}

fn ratio(earlier: u32, later: u32, odds: f64) -> Option<f64> {
    (earlier > 0).then(|| f64::from(later) / f64::from(earlier) / odds)
}

/// The chance, with the rate unchanged, of every outcome no likelier than the one seen.
fn no_likelier(earlier: u32, later: u32, odds: f64) -> f64 {
    let total = earlier + later;
    let (mut unlikely, mut all) = (1.0, 1.0);
    for multiple in fewer(later, total, odds).chain(more(later, total, odds)) {
        all += multiple;
        if multiple <= 1.0 + EQUALLY_LIKELY {
            unlikely += multiple;
        }
    }
    unlikely / all
}

fn read(total: u32, ratio: Option<f64>, chance: f64) -> Reading {
    if total < FEWEST_EVENTS {
        return Reading::TooFew;
    }
    // No ratio: nothing earlier, so all of it is later.
    let ratio = ratio.unwrap_or(f64::INFINITY);
    if chance < RARE && ratio > 1.0 {
        Reading::Rising
    } else if chance < RARE && ratio < 1.0 {
        Reading::Falling
    } else {
        Reading::NoClearChange
    }
}

#[cfg(test)]
mod tests {
    use super::Reading::{Falling, NoClearChange, Rising, TooFew};
    use super::{RateChange, Reading, Span, Unusable, compare_rates, reading, reading_of_ranges};

    fn near(got: f64, expected: f64, tolerance: f64) {
        assert!(
            (got - expected).abs() <= tolerance,
            "{got} is not {expected}"
        );
    }

    fn chance(earlier: u32, later: u32) -> f64 {
        compare_rates(earlier, 30.0, later, 30.0)
            .unwrap()
            .p_two_sided
    }

    fn says(earlier: u32, earlier_days: f64, later: u32, later_days: f64) -> Reading {
        reading(&compare_rates(earlier, earlier_days, later, later_days).unwrap())
    }

    // R manual, poisson.test, example eba1977 and its printed result: 11 in 800 against 21 in 3011.
    #[test]
    fn the_cities_of_the_r_manual_have_the_printed_ratio_interval_and_chance() {
        let change = compare_rates(21, 3_011.0, 11, 800.0).unwrap();
        near(change.ratio.unwrap(), 1.971_488, 5e-7);
        near(change.p_two_sided, 0.079_67, 5e-6);
        near(change.ratio_95.low, 0.858_426_4, 5e-8);
        near(change.ratio_95.high, 4.277_265_9, 5e-8);
        assert_eq!(change.total, 32);
        assert_eq!(reading(&change), NoClearChange);
    }

    // Gu, Ng, Tang and Schucany (2008), first example: 60 in 51477.5 against 30 in 54308.7 person-years, with the
    // value of R's exactci package as printed in the test results of statsmodels.
    #[test]
    fn the_two_groups_of_gu_2008_have_the_printed_chance() {
        let change = compare_rates(30, 54_308.7, 60, 51_477.5).unwrap();
        near(change.p_two_sided, 0.000_675_182_658_686_321, 1e-15);
        near(change.ratio.unwrap(), 2.109_997_571_754_65, 1e-13);
        assert_eq!(reading(&change), Rising);
    }

    // Conover (1971), p. 97, as printed by R's binom.test: 682 of 925 against a share of three quarters. One day
    // earlier and three later make three quarters.
    #[test]
    fn the_plants_of_conover_1971_have_the_printed_chance() {
        let change = compare_rates(243, 1.0, 682, 3.0).unwrap();
        near(change.p_two_sided, 0.382_5, 5e-5);
        let odds = |share: f64| share / (1.0 - share) / 3.0;
        near(change.ratio_95.low, odds(0.707_668_3), 1e-6);
        near(change.ratio_95.high, odds(0.765_406_6), 1e-6);
    }

    // R's poisson.test as printed for 10 in 20000 against 2 in 17887: below 0.05, and yet the interval holds 1. Fay
    // (2010) explains why the two can differ.
    #[test]
    fn the_chance_and_the_interval_may_differ_close_to_the_mark() {
        let change = compare_rates(2, 17_887.0, 10, 20_000.0).unwrap();
        near(change.ratio.unwrap(), 4.471_75, 1e-9);
        near(change.p_two_sided, 0.042_1, 5e-6);
        near(change.ratio_95.low, 0.952_954_8, 5e-8);
        near(change.ratio_95.high, 41.974_381_4, 5e-8);
        assert!(change.ratio_95.holds(1.0));
        assert_eq!(reading(&change), Rising);
    }

    // R's poisson.test as printed for the articles of 494 men (930) and 421 women (619), taken over equal time.
    #[test]
    fn long_counts_keep_their_small_chance() {
        let change = compare_rates(619, 3.0, 930, 3.0).unwrap();
        near(change.p_two_sided, 2.727e-15, 5e-19);
        near(change.ratio_95.low, 1.355_716, 5e-7);
        near(change.ratio_95.high, 1.665_905, 5e-7);
    }

    // Counted by hand from the rows of Pascal's triangle.
    #[test]
    fn over_equal_time_the_chance_is_that_of_a_fair_coin() {
        near(chance(0, 10), 2.0 / 1_024.0, 1e-15);
        near(chance(1, 9), 22.0 / 1_024.0, 1e-15);
        near(chance(8, 2), 112.0 / 1_024.0, 1e-15);
        near(chance(3, 12), 1_152.0 / 32_768.0, 1e-15);
        near(chance(3, 11), 940.0 / 16_384.0, 1e-15);
        for even in [0, 1, 5, 5_000] {
            assert_eq!(chance(even, even), 1.0);
        }
    }

    #[test]
    fn the_ends_of_the_interval_have_a_closed_form_when_one_count_is_zero() {
        let root = 0.025_f64.powf(0.1);
        let from_nothing = compare_rates(0, 60.0, 10, 30.0).unwrap();
        assert_eq!(from_nothing.ratio, None);
        assert_eq!(from_nothing.ratio_95.high, f64::INFINITY);
        near(from_nothing.ratio_95.low, 2.0 * root / (1.0 - root), 1e-11);
        let to_nothing = compare_rates(10, 60.0, 0, 30.0).unwrap();
        assert_eq!(to_nothing.ratio, Some(0.0));
        assert_eq!(to_nothing.ratio_95.low, 0.0);
        near(to_nothing.ratio_95.high, 2.0 * (1.0 - root) / root, 1e-11);
    }

    #[test]
    fn with_no_event_nothing_is_learnt() {
        let change = compare_rates(0, 30.0, 0, 90.0).unwrap();
        let everything = Span {
            low: 0.0,
            high: f64::INFINITY,
        };
        assert_eq!((change.ratio, change.ratio_95), (None, everything));
        assert_eq!((change.p_two_sided, change.total), (1.0, 0));
        assert_eq!(reading(&change), TooFew);
    }

    #[test]
    fn the_interval_holds_the_ratio() {
        for (earlier, later) in [(1, 1), (1, 30), (30, 1), (7, 9), (400, 380)] {
            let change = compare_rates(earlier, 45.0, later, 20.0).unwrap();
            assert!(change.ratio_95.holds(change.ratio.unwrap()));
        }
    }

    #[test]
    fn swapping_the_stretches_turns_the_ratio_over_and_keeps_the_chance() {
        let there = compare_rates(4, 30.0, 11, 20.0).unwrap();
        let back = compare_rates(11, 20.0, 4, 30.0).unwrap();
        near(there.p_two_sided, back.p_two_sided, 1e-14);
        near(there.ratio.unwrap() * back.ratio.unwrap(), 1.0, 1e-14);
        near(there.ratio_95.low * back.ratio_95.high, 1.0, 1e-12);
    }

    // Over nearly equal time an outcome and its mirror image differ in chance by about four times the difference in
    // time (3 of 10 against 7 of 10). The mirror image counts up to one part in ten million.
    #[test]
    fn outcomes_within_one_part_in_ten_million_are_equally_likely() {
        let at = |times: f64| {
            let later_days = 10_000.0 * (1.0 + times * 1e-7 / 4.0);
            compare_rates(7, 10_000.0, 3, later_days)
                .unwrap()
                .p_two_sided
        };
        near(at(0.995), 352.0 / 1_024.0, 1e-6);
        near(at(1.005), 232.0 / 1_024.0, 1e-6);
    }

    #[test]
    fn nine_events_are_too_few_to_judge_and_ten_are_not() {
        assert_eq!(says(0, 30.0, 9, 30.0), TooFew);
        assert_eq!(says(0, 30.0, 10, 30.0), Rising);
        assert_eq!(says(10, 30.0, 0, 30.0), Falling);
        assert_eq!(says(5, 30.0, 5, 30.0), NoClearChange);
    }

    #[test]
    fn a_change_is_called_only_below_one_in_twenty() {
        assert_eq!(says(3, 30.0, 11, 30.0), NoClearChange); // 0.0574
        assert_eq!(says(3, 30.0, 12, 30.0), Rising); // 0.0352
        assert_eq!(says(12, 30.0, 3, 30.0), Falling);
        let at = |p_two_sided, ratio| {
            reading(&RateChange {
                ratio,
                ratio_95: Span::exact(1.0),
                p_two_sided,
                total: 10,
            })
        };
        assert_eq!(at(0.05, Some(2.0)), NoClearChange);
        assert_eq!(at(0.05, Some(0.5)), NoClearChange);
        assert_eq!(at(0.049_9, Some(2.0)), Rising);
        assert_eq!(at(0.049_9, Some(0.5)), Falling);
        assert_eq!(at(0.049_9, None), Rising);
        assert_eq!(at(0.01, Some(1.0)), NoClearChange);
        assert_eq!(at(0.01, Some(1.001)), Rising);
        assert_eq!(at(0.01, Some(0.999)), Falling);
        assert_eq!(at(f64::NAN, Some(2.0)), NoClearChange);
    }

    #[test]
    fn the_same_count_in_a_third_of_the_time_is_a_rise() {
        assert_eq!(says(10, 90.0, 10, 30.0), Rising);
        assert_eq!(says(10, 30.0, 10, 90.0), Falling);
    }

    #[test]
    fn exact_counts_read_as_ranges_read_the_same() {
        for (earlier, later) in [(0, 0), (4, 5), (3, 12), (12, 3), (8, 9)] {
            let ranges = reading_of_ranges((earlier, earlier), 30.0, (later, later), 30.0);
            assert_eq!(ranges, Ok(Some(says(earlier, 30.0, later, 30.0))));
        }
    }

    #[test]
    fn open_counts_are_read_only_when_every_pair_agrees() {
        let read = |earlier, later| reading_of_ranges(earlier, 30.0, later, 30.0).unwrap();
        assert_eq!(read((0, 4), (0, 5)), Some(TooFew));
        assert_eq!(read((0, 4), (0, 6)), None);
        assert_eq!(read((2, 3), (12, 20)), Some(Rising));
        assert_eq!(read((2, 3), (11, 20)), None);
        assert_eq!(read((20, 12), (3, 2)), Some(Falling));
        assert_eq!(read((8, 9), (8, 10)), Some(NoClearChange));
    }

    // Found by trying every pair: the exact chance is 0.0494 at 17 against 2, and 0.0750 and 0.0511 beside it.
    #[test]
    fn four_agreeing_corners_do_not_settle_the_middle() {
        let corners = [15, 18].map(|earlier| says(earlier, 30.0, 2, 14.0));
        assert_eq!(corners, [NoClearChange, NoClearChange]);
        assert_eq!(says(17, 30.0, 2, 14.0), Falling);
        assert_eq!(reading_of_ranges((15, 18), 30.0, (2, 2), 14.0), Ok(None));
        assert_eq!(
            reading_of_ranges((0, 2), 14.0, (17, 17), 30.0),
            Ok(Some(Rising))
        );
        assert_eq!(says(2, 14.0, 18, 30.0), NoClearChange);
        assert_eq!(reading_of_ranges((0, 2), 14.0, (17, 19), 30.0), Ok(None));
    }

    #[test]
    fn counts_open_over_too_many_pairs_settle_nothing() {
        let read = |earlier, later| reading_of_ranges(earlier, 30.0, later, 30.0).unwrap();
        assert_eq!(read((0, 0), (100, 2_599)), Some(Rising)); // 2500 pairs
        assert_eq!(read((0, 0), (100, 2_600)), None); // 2501 pairs
        assert_eq!(read((0, 24), (200, 299)), Some(Rising)); // 25 times 100 pairs
        assert_eq!(read((1, 25), (200, 299)), Some(Rising));
        assert_eq!(read((0, 24), (200, 300)), None); // 25 times 101 pairs
    }

    #[test]
    fn impossible_stretches_and_counts_are_refused() {
        let outside = |least, most| Unusable::OutOfRange { least, most };
        for (days, why) in [
            (f64::NAN, Unusable::NotFinite),
            (f64::INFINITY, Unusable::NotFinite),
            (0.0, Unusable::NotAboveZero),
            (-30.0, Unusable::NotAboveZero),
            (0.999, outside(1.0, 100_000.0)),
            (100_000.1, outside(1.0, 100_000.0)),
        ] {
            assert_eq!(compare_rates(5, days, 6, 30.0), Err(why));
            assert_eq!(compare_rates(5, 30.0, 6, days), Err(why));
            assert_eq!(reading_of_ranges((5, 5), days, (6, 6), 30.0), Err(why));
            assert_eq!(reading_of_ranges((5, 5), 30.0, (6, 6), days), Err(why));
        }
        assert!(compare_rates(5, 1.0, 6, 100_000.0).is_ok());
        let many = Err(outside(0.0, 10_000.0));
        assert!(compare_rates(4_000, 30.0, 6_000, 30.0).is_ok());
        assert_eq!(compare_rates(4_001, 30.0, 6_000, 30.0), many);
        assert_eq!(compare_rates(u32::MAX, 30.0, u32::MAX, 30.0), many);
        let ranges = reading_of_ranges((0, 4_001), 30.0, (6_000, 0), 30.0);
        assert_eq!(ranges, Err(outside(0.0, 10_000.0)));
    }

    #[test]
    fn the_most_lopsided_counts_still_give_a_chance() {
        let change = compare_rates(10_000, 30.0, 0, 30.0).unwrap();
        assert_eq!(change.p_two_sided, 0.0);
        assert_eq!(reading(&change), Falling);
        let change = compare_rates(0, 1.0, 10_000, 100_000.0).unwrap();
        assert!((0.0..=1.0).contains(&change.p_two_sided));
        assert_eq!(reading(&change), NoClearChange);
    }
}
