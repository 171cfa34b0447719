//! Body weights over time: how far a bird has fallen, read so that a mistyped number or a wrong unit neither hides a
//! fall nor passes for one, and with doubt always settled towards the fall.

use std::cmp::Ordering;

use super::input::{Unusable, above_zero, within};
use super::span::Span;

/// Change of weight from day to day, in per cent, that means nothing. Published keepers' advice, not a standard.
pub const DAILY_NOISE_PERCENT: Span = Span {
    low: 1.0,
    high: 1.5,
};

/// Fall, in per cent, from which a weight is watched: weight guides for parrots give adults a band of 2 to 3 %.
pub const WATCH_FROM_PERCENT: f64 = 3.0;

/// Fall, in per cent, from which a vet visit is due. A veterinarian's published advice.
pub const CONCERN_FROM_PERCENT: f64 = 5.0;

/// Fall, in per cent, from which it is urgent. Avian health pages (3 g of a bird of 30 g).
pub const URGENT_FROM_PERCENT: f64 = 10.0;

/// Gain, in per cent, from which it is marked. Common practice, no source.
pub const MARKED_GAIN_FROM_PERCENT: f64 = 10.0;

/// Share by which a weighing may differ from the median of the others before it is odd. Our own choice; common practice,
/// no source.
const ODD_BEYOND_SHARE: f64 = 0.25;

/// Share by which a ratio may miss a slip's factor and still be explained by it. Our own choice.
const SLIP_SHARE: f64 = 0.10;

/// Share that is forgiven in comparisons, because numbers such as 0.1 have no exact binary form.
const ROUNDING: f64 = 1e-9;

/// Least weighing taken, in grams: a bird of 10 g whose kilograms were written as grams.
const LEAST_G: f64 = 0.01;

/// Greatest weighing taken, in grams: a bird of 5 kg whose grams were written as kilograms.
const MOST_G: f64 = 5_000_000.0;

/// Days are counted within so many of day zero, before or after.
const MOST_DAYS: f64 = 10_000_000.0;

/// One weighing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighing {
    /// Day, counted from any fixed day: later is larger, before that day is negative.
    pub day: f64,
    /// Weight in grams, as it was written down.
    pub grams: f64,
}

/// How a bird's weight has changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Weight in grams that the fall is counted from. See [`change`] for which one that is.
    pub from_g: f64,
    /// Newest weight in grams, also when it is odd.
    pub to_g: f64,
    /// Fall in per cent of `from_g`, to a millionth of a per cent; negative for a gain.
    pub fall_percent: f64,
    /// Days between the two.
    pub days: f64,
    /// Weighings, as indexes into the series that was given, lowest first, that do not fit the others: to be looked at
    /// for a slip of the pen.
    pub odd: Vec<usize>,
    /// The newest weighing is one of them: weigh again now. The fall is counted with it all the same.
    pub newest_is_odd: bool,
    /// Slip that explains the newest of the odd weighings that a slip explains.
    pub slip: Option<Slip>,
}

/// A slip of writing down that leaves its mark as a ratio between weighings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// A digit too many or too few.
    TenTimes,
    /// Grams against kilograms, or the point forgotten.
    Thousand,
    /// Ounces against grams.
    OunceForGram,
    /// Pounds against grams.
    PoundForGram,
}

/// Each slip with its ratio. The ounce and the pound are the international avoirdupois units, in grams, exact by
/// definition (International Yard and Pound Agreement 1959).
const SLIPS: [(Slip, f64); 4] = [
    (Slip::TenTimes, 10.0),
    (Slip::Thousand, 1000.0),
    (Slip::OunceForGram, 28.349_523_125),
    (Slip::PoundForGram, 453.592_37),
];

/// What a fall of weight calls for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Alarm {
    /// Within what an adult's weight does by itself.
    None,
    /// Weigh again, and more often.
    Watch,
    /// A vet visit.
    Concern,
    /// A vet now, at least.
    Urgent,
}

/// What a fall in per cent calls for: from 3 % a watch, from 5 % concern, from 10 % urgent.
///
/// The marks themselves reach. A loss together with other signs of illness is urgent at any size, which this number
/// cannot know. A number that is no fall at all (not finite) counts as urgent: it must never pass for good news.
/// Sources: at the marks.
#[must_use]
pub fn alarm(fall_percent: f64) -> Alarm {
    if !fall_percent.is_finite() || reaches(fall_percent, URGENT_FROM_PERCENT) {
        Alarm::Urgent
    } else if reaches(fall_percent, CONCERN_FROM_PERCENT) {
        Alarm::Concern
    } else if reaches(fall_percent, WATCH_FROM_PERCENT) {
        Alarm::Watch
    } else {
        Alarm::None
    }
}

/// Whether a change, as a fall in per cent, is a gain of 10 % or more. Common practice, no source.
#[must_use]
pub fn is_marked_gain(fall_percent: f64) -> bool {
    fall_percent.is_finite() && reaches(-fall_percent, MARKED_GAIN_FROM_PERCENT)
}

/// How the weight has changed over a series of weighings in any order; `None` with fewer than two.
///
/// **Order.** By day. Of two on one day both are kept, and the lower counts as the newer.
///
/// **Odd weighings.** With three or more, a weighing is odd when it differs from the median of the others by more than
/// 25 % (our own choice, no source). They are found one at a time, the farthest first and the newer of two equally far, so
/// that one slip does not make its neighbours look odd. When two are left, or only two were given, the newer of them is
/// odd if a slip of unit or digit explains their ratio: which of the two is wrong cannot be known, and only the newer can
/// be weighed again. Two weighings without such a ratio are never odd.
///
/// **The fall** is counted from the highest earlier weighing, the most cautious base, to the newest; of two equally high
/// ones from the later. Left out of the base are only odd weighings that a slip explains, and odd ones in the middle that
/// fit neither the weighing before nor the one after them. An odd first weighing that no slip explains, and odd ones in a
/// row that agree with each other, stay in the base: a bird that weighed 450 g last year and 330, 328, 326 g this month
/// looks just like a first number mistyped, and must not be taken for that. An odd newest weighing is never explained
/// away: it may be an emergency.
///
/// Takes weighings from 0.01 g to 5,000,000 g, so that wrong units get as far as being noticed, and days within ten
/// million of day zero.
///
/// # Errors
/// [`Unusable::NotFinite`], [`Unusable::NotAboveZero`] or [`Unusable::OutOfRange`] for any weighing in the series.
pub fn change(series: &[Weighing]) -> Result<Option<Change>, Unusable> {
    for weighing in series {
        within(weighing.day, -MOST_DAYS, MOST_DAYS)?;
        within(above_zero(weighing.grams)?, LEAST_G, MOST_G)?;
    }
    let placed = in_time(series);
    let (fitting, odd) = part(&placed);
    let slip_of = |weighing: &Placed| slip(weighing.grams / median(&fitting, None)?);
    let in_base = |weighing: &&Placed| {
        let is_odd = odd.iter().any(|odd| odd.turn == weighing.turn);
        !is_odd || (slip_of(weighing).is_none() && !stands_alone(&placed, weighing))
    };
    let Some((newest, earlier)) = placed.split_last() else {
        return Ok(None);
    };
    let highest = earlier
        .iter()
        .filter(in_base)
        // Of equally high ones this is the last, so the later.
        .max_by(|one, other| one.grams.total_cmp(&other.grams));
    let Some(from) = highest else {
        return Ok(None);
    };
    let mut given: Vec<usize> = odd.iter().map(|weighing| weighing.given).collect();
    given.sort_unstable();
    Ok(Some(Change {
        from_g: from.grams,
        to_g: newest.grams,
        fall_percent: in_millionths((from.grams - newest.grams) / from.grams * 100.0),
        days: newest.day - from.day,
        odd: given,
        newest_is_odd: odd.iter().any(|weighing| weighing.turn == newest.turn),
        slip: odd
            .iter()
            .filter_map(|weighing| Some((weighing.turn, slip_of(weighing)?)))
            .max_by_key(|(turn, _)| *turn)
            .map(|(_, slip)| slip),
    }))
}

/// A weighing with its place in the series as given and its turn in time.
#[derive(Debug, Clone, Copy)]
struct Placed {
    given: usize,
    turn: usize,
    day: f64,
    grams: f64,
}

/// The weighings in order of time, the lowest of one day last.
fn in_time(series: &[Weighing]) -> Vec<Placed> {
    let mut sorted: Vec<(usize, &Weighing)> = series.iter().enumerate().collect();
    sorted.sort_by(|(_, one), (_, other)| {
        // Not in total order: today may come as minus zero, which is the same day as zero. All days are finite here.
        let day = one.day.partial_cmp(&other.day).unwrap_or(Ordering::Equal);
        day.then(other.grams.total_cmp(&one.grams))
    });
    let placed = |(turn, (given, weighing)): (usize, (usize, &Weighing))| Placed {
        given,
        turn,
        day: weighing.day,
        grams: weighing.grams,
    };
    sorted.into_iter().enumerate().map(placed).collect()
}

/// The weighings that fit each other, in order of weight, and the odd ones.
fn part(placed: &[Placed]) -> (Vec<Placed>, Vec<Placed>) {
    let mut fitting = placed.to_vec();
    fitting.sort_by(|one, other| one.grams.total_cmp(&other.grams));
    let mut odd = Vec::new();
    while fitting.len() > 2 {
        let Some(farthest) = farthest(&fitting) else {
            break;
        };
        odd.push(fitting.remove(farthest));
    }
    if let [lower, higher] = fitting[..]
        && slip(higher.grams / lower.grams).is_some()
    {
        fitting.sort_by_key(|weighing| weighing.turn);
        odd.extend(fitting.pop());
    }
    (fitting, odd)
}

/// Place of the weighing farthest from the median of the others, among those that do not fit it.
fn farthest(sorted: &[Placed]) -> Option<usize> {
    sorted
        .iter()
        .enumerate()
        .filter_map(|(place, weighing)| {
            let others_g = median(sorted, Some(place))?;
            let distance = (weighing.grams / others_g).max(others_g / weighing.grams);
            let odd = !is_near(weighing.grams, others_g, ODD_BEYOND_SHARE);
            odd.then_some((place, distance, weighing.turn))
        })
        .max_by(|one, other| one.1.total_cmp(&other.1).then(one.2.cmp(&other.2)))
        .map(|(place, ..)| place)
}

/// Median of the weights in grams, without the one at a place. Takes weighings in order of weight.
fn median(sorted: &[Placed], without: Option<usize>) -> Option<f64> {
    let count = sorted.len().saturating_sub(without.iter().count());
    let grams = |place: usize| {
        let skipped = usize::from(without.is_some_and(|without| place >= without));
        sorted.get(place + skipped).map(|weighing| weighing.grams)
    };
    let upper_g = grams(count / 2)?;
    let lower_g = grams(count.saturating_sub(1) / 2)?;
    Some(f64::midpoint(lower_g, upper_g))
}

/// Whether a weighing has one before and one after it and fits neither.
fn stands_alone(placed: &[Placed], weighing: &Placed) -> bool {
    let before = weighing.turn.checked_sub(1).and_then(|at| placed.get(at));
    let after = placed.get(weighing.turn + 1);
    let (Some(before), Some(after)) = (before, after) else {
        return false;
    };
    [before, after]
        .iter()
        .all(|next| !is_near(weighing.grams, next.grams, ODD_BEYOND_SHARE))
}

/// The slip that explains a ratio of two weights, either way round.
fn slip(ratio: f64) -> Option<Slip> {
    SLIPS
        .iter()
        .find(|(_, factor)| {
            is_near(ratio, *factor, SLIP_SHARE) || is_near(ratio, factor.recip(), SLIP_SHARE)
        })
        .map(|(slip, _)| *slip)
}

/// Whether a value differs from a mark by no more than a share of the mark.
fn is_near(value: f64, mark: f64, share: f64) -> bool {
    (value - mark).abs() <= mark * share * (1.0 + ROUNDING)
}

/// A per cent to a millionth, so that a fall of exactly 10 % is 10 wherever it is compared: from 10.1 g to 9.09 g comes
/// out a little under in binary numbers.
fn in_millionths(percent: f64) -> f64 {
    (percent * 1e6).round() / 1e6
}

/// Whether a per cent reaches a mark, but for binary rounding.
fn reaches(percent: f64, mark: f64) -> bool {
    percent >= mark * (1.0 - ROUNDING)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// One weighing a day, in the order given.
    fn daily(grams: &[f64]) -> Vec<Weighing> {
        let days = (0..).map(f64::from);
        let weighing = |(grams, day): (&f64, f64)| Weighing { day, grams: *grams };
        grams.iter().zip(days).map(weighing).collect()
    }

    fn changed(grams: &[f64]) -> Change {
        change(&daily(grams)).unwrap().unwrap()
    }

    /// Base, fall to one decimal, odd weighings and whether the newest is one.
    fn read(grams: &[f64]) -> (f64, String, Vec<usize>, bool) {
        let change = changed(grams);
        (
            change.from_g,
            format!("{:.1}", change.fall_percent),
            change.odd,
            change.newest_is_odd,
        )
    }

    fn fall(grams: &[f64]) -> f64 {
        changed(grams).fall_percent
    }

    // Avian health pages: 3 g of a bird of 30 g, urgent from 10 %.
    #[test]
    fn avian_health_pages_three_grams_of_thirty_are_ten_percent_and_urgent() {
        assert_eq!(fall(&[30.0, 27.0]), 10.0);
        assert_eq!(alarm(fall(&[30.0, 27.0])), Alarm::Urgent);
        assert_eq!(alarm(fall(&[30.0, 27.1])), Alarm::Concern);
    }

    // Weight guides for parrots: a bird of 450 g stays between 440 and 460 g.
    #[test]
    fn weight_guides_450_to_440_grams_is_2_2_percent_and_no_alarm() {
        assert_eq!(read(&[450.0, 440.0]), (450.0, "2.2".into(), vec![], false));
        assert_eq!(alarm(fall(&[450.0, 440.0])), Alarm::None);
        assert_eq!(alarm(fall(&[460.0, 450.0])), Alarm::None);
    }

    // A veterinarian's published advice: a visit from 5 %.
    #[test]
    fn a_veterinarians_advice_five_percent_is_concern() {
        assert_eq!(fall(&[100.0, 95.0]), 5.0);
        assert_eq!(alarm(fall(&[100.0, 95.0])), Alarm::Concern);
        assert_eq!(alarm(fall(&[100.0, 95.1])), Alarm::Watch);
    }

    #[test]
    fn each_mark_reaches_at_itself() {
        for (percent, expected) in [
            (-20.0, Alarm::None),
            (0.0, Alarm::None),
            (2.99, Alarm::None),
            (3.0, Alarm::Watch),
            (3.01, Alarm::Watch),
            (4.99, Alarm::Watch),
            (5.0, Alarm::Concern),
            (5.01, Alarm::Concern),
            (9.99, Alarm::Concern),
            (10.0, Alarm::Urgent),
            (10.01, Alarm::Urgent),
            (99.0, Alarm::Urgent),
        ] {
            assert_eq!(alarm(percent), expected, "{percent} %");
        }
        assert!(Alarm::None < Alarm::Watch && Alarm::Concern < Alarm::Urgent);
        assert!(Alarm::Watch < Alarm::Concern);
    }

    // Each pair is exactly 10, 5 or 3 % in decimals and a little under in binary numbers.
    #[test]
    fn a_fall_of_exactly_the_mark_reaches_it_in_any_grams() {
        for (from, to, percent) in [
            (10.1, 9.09, 10.0),
            (10.7, 9.63, 10.0),
            (10.1, 9.595, 5.0),
            (11.2, 10.64, 5.0),
            (10.1, 9.797, 3.0),
        ] {
            let plain: f64 = (from - to) / from * 100.0;
            assert!(plain < percent, "binary numbers fall short here");
            assert_eq!(fall(&[from, to]), percent, "{from} to {to}");
            assert_eq!(alarm(plain), alarm(percent), "{from} to {to}");
        }
    }

    #[test]
    fn only_a_rounding_fault_is_forgiven_at_a_mark() {
        assert_eq!(alarm(10.0 * (1.0 - 0.995e-9)), Alarm::Urgent);
        assert_eq!(alarm(10.0 * (1.0 - 1.005e-9)), Alarm::Concern);
        assert_eq!(alarm(5.0 * (1.0 - 1.005e-9)), Alarm::Watch);
        // The last that is forgiven, and nothing at all, belong to the mark.
        assert_eq!(alarm(10.0 * (1.0 - 1e-9)), Alarm::Urgent);
        assert!(is_near(0.0, 0.0, ODD_BEYOND_SHARE));
    }

    #[test]
    fn a_fall_is_told_to_a_millionth_of_a_percent() {
        assert_eq!(fall(&[3.0, 2.0]), 33.333_333);
    }

    #[test]
    fn what_is_no_number_never_passes_for_good_news() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(alarm(bad), Alarm::Urgent);
            assert!(!is_marked_gain(bad));
        }
    }

    // Published keepers' advice: 1 to 1.5 % from day to day.
    #[test]
    fn daily_noise_is_one_to_one_and_a_half_percent_and_no_alarm() {
        assert_eq!(DAILY_NOISE_PERCENT, Span::between(1.0, 1.5));
        assert_eq!(alarm(DAILY_NOISE_PERCENT.high), Alarm::None);
    }

    #[test]
    fn a_gain_is_negative_and_marked_from_ten_percent() {
        assert_eq!(fall(&[100.0, 110.0]), -10.0);
        assert!(is_marked_gain(fall(&[100.0, 110.0])));
        assert!(is_marked_gain(-10.01));
        assert!(!is_marked_gain(-9.99));
        assert!(!is_marked_gain(10.0));
        assert_eq!(alarm(fall(&[100.0, 110.0])), Alarm::None);
    }

    #[test]
    fn fewer_than_two_weighings_say_nothing() {
        assert_eq!(change(&[]), Ok(None));
        assert_eq!(change(&daily(&[450.0])), Ok(None));
        assert!(matches!(change(&daily(&[450.0, 450.0])), Ok(Some(_))));
    }

    #[test]
    fn the_fall_is_counted_from_the_highest_earlier_weighing() {
        assert_eq!(read(&[440.0, 460.0, 450.0, 437.0]).0, 460.0);
        assert_eq!(
            read(&[460.0, 450.0, 437.0]),
            (460.0, "5.0".into(), vec![], false)
        );
        // The newest itself is no base, however high.
        assert_eq!(read(&[440.0, 450.0, 480.0]).0, 450.0);
    }

    #[test]
    fn days_are_counted_from_the_later_of_two_equally_high_weighings() {
        let series = [(1.0, 460.0), (4.0, 450.0), (6.0, 460.0), (13.5, 450.0)];
        let series = series.map(|(day, grams)| Weighing { day, grams });
        let change = change(&series).unwrap().unwrap();
        assert_eq!((change.from_g, change.to_g), (460.0, 450.0));
        assert_eq!(change.days, 7.5);
    }

    #[test]
    fn weighings_may_come_in_any_order() {
        let shuffled = [(0.0, 400.0), (-30.0, 450.0), (-10.0, 45.0), (-20.0, 440.0)];
        let shuffled = shuffled.map(|(day, grams)| Weighing { day, grams });
        let change = change(&shuffled).unwrap().unwrap();
        assert_eq!((change.from_g, change.to_g), (450.0, 400.0));
        assert_eq!(change.days, 30.0);
        assert_eq!(change.odd, [2], "the place in the series as given");
    }

    #[test]
    fn of_two_weighings_on_one_day_the_lower_is_the_newer() {
        for today in [[440.0, 420.0], [420.0, 440.0]] {
            for (zero, other_zero) in [(0.0, 0.0), (-0.0, 0.0), (0.0, -0.0)] {
                let series = [
                    Weighing {
                        day: -7.0,
                        grams: 430.0,
                    },
                    Weighing {
                        day: zero,
                        grams: today[0],
                    },
                    Weighing {
                        day: other_zero,
                        grams: today[1],
                    },
                ];
                let change = change(&series).unwrap().unwrap();
                assert_eq!((change.from_g, change.to_g), (440.0, 420.0));
                assert_eq!(change.days, 0.0);
            }
        }
    }

    #[test]
    fn a_mistyped_weighing_in_the_middle_is_left_out_of_the_base() {
        // A digit too many, kilograms as grams, no slip at all.
        assert_eq!(
            read(&[450.0, 4520.0, 448.0]),
            (450.0, "0.4".into(), vec![1], false)
        );
        assert_eq!(
            read(&[450.0, 0.452, 448.0, 449.0]),
            (450.0, "0.2".into(), vec![1], false)
        );
        assert_eq!(
            read(&[450.0, 700.0, 448.0, 449.0]),
            (450.0, "0.2".into(), vec![1], false)
        );
    }

    #[test]
    fn one_slip_does_not_make_its_neighbours_odd() {
        assert_eq!(changed(&[450.0, 45.0, 455.0]).odd, [1]);
        assert_eq!(changed(&[45.0, 450.0, 455.0]).odd, [0]);
        assert_eq!(changed(&[450.0, 455.0, 45.0]).odd, [2]);
    }

    #[test]
    fn two_slips_are_both_found_and_the_newer_is_named() {
        let change = changed(&[450.0, 4500.0, 452.0, 0.449, 451.0]);
        assert_eq!(change.odd, [1, 3]);
        assert_eq!(change.slip, Some(Slip::Thousand));
        assert_eq!(change.from_g, 452.0);
        let change = changed(&[450.0, 0.449, 452.0, 4500.0, 451.0]);
        assert_eq!(change.slip, Some(Slip::TenTimes));
        // The newest odd one has no slip to its name: the one before it is named.
        let change = changed(&[450.0, 4500.0, 452.0, 451.0, 300.0]);
        assert_eq!(
            (change.odd, change.slip),
            (vec![1, 4], Some(Slip::TenTimes))
        );
    }

    #[test]
    fn odd_weighings_are_listed_in_the_order_given_whatever_was_found_first() {
        assert_eq!(changed(&[450.0, 700.0, 452.0, 0.449, 451.0]).odd, [1, 3]);
        assert_eq!(changed(&[450.0, 0.449, 452.0, 700.0, 451.0]).odd, [1, 3]);
    }

    #[test]
    fn a_first_weighing_with_a_slip_is_left_out_of_the_base() {
        let change = changed(&[4500.0, 450.0, 440.0]);
        assert_eq!(change.from_g, 450.0);
        assert_eq!((change.odd, change.slip), (vec![0], Some(Slip::TenTimes)));
    }

    #[test]
    fn a_real_fall_between_the_first_two_weighings_is_not_taken_for_a_slip() {
        assert_eq!(
            read(&[450.0, 330.0, 328.0, 326.0]),
            (450.0, "27.6".into(), vec![0], false)
        );
        assert_eq!(changed(&[450.0, 330.0, 328.0, 326.0]).slip, None);
        assert_eq!(read(&[450.0, 448.0, 330.0, 328.0, 326.0]).0, 450.0);
    }

    #[test]
    fn odd_weighings_in_a_row_that_agree_stay_in_the_base() {
        assert_eq!(
            read(&[330.0, 450.0, 448.0, 330.0, 325.0]),
            (450.0, "27.8".into(), vec![1, 2], false)
        );
        // One alone between two that it does not fit is left out.
        assert_eq!(
            read(&[330.0, 450.0, 329.0, 330.0, 325.0]),
            (330.0, "1.5".into(), vec![1], false)
        );
        // It agrees with the one before it, then with the one after it, by 25 % of that one and no more.
        assert_eq!(read(&[330.0, 400.0, 500.0, 330.0, 329.0, 325.0]).0, 500.0);
        assert_eq!(read(&[330.0, 399.0, 500.0, 330.0, 329.0, 325.0]).0, 399.0);
        assert_eq!(read(&[330.0, 329.0, 500.0, 400.0, 330.0, 325.0]).0, 500.0);
        assert_eq!(read(&[330.0, 329.0, 500.0, 399.0, 330.0, 325.0]).0, 399.0);
    }

    #[test]
    fn an_odd_newest_weighing_is_never_explained_away() {
        // A fall of a third, a digit too few, kilograms for grams: the fall is counted, and it is to be weighed again.
        for (newest, percent) in [(300.0, "33.3"), (45.0, "90.0"), (0.45, "99.9")] {
            let grams = [450.0, 449.0, 450.0, newest];
            assert_eq!(read(&grams), (450.0, percent.into(), vec![3], true));
            assert_eq!(alarm(fall(&grams)), Alarm::Urgent);
        }
        let change = changed(&[450.0, 449.0, 450.0, 0.45]);
        assert_eq!((change.to_g, change.slip), (0.45, Some(Slip::Thousand)));
        assert_eq!(changed(&[450.0, 449.0, 450.0, 300.0]).slip, None);
        let change = changed(&[450.0, 449.0, 4500.0]);
        assert!(change.newest_is_odd && is_marked_gain(change.fall_percent));
    }

    #[test]
    fn of_two_equally_far_the_newer_is_odd() {
        let change = changed(&[400.0, 400.0, 200.0, 200.0]);
        assert_eq!((change.odd, change.newest_is_odd), (vec![2, 3], true));
        assert_eq!(change.fall_percent, 50.0);
        let change = changed(&[200.0, 200.0, 400.0, 400.0]);
        assert_eq!((change.odd, change.newest_is_odd), (vec![2, 3], true));
    }

    #[test]
    fn a_weighing_a_quarter_off_is_not_odd_and_more_is() {
        for (newest, odd) in [
            (300.0, false),
            (299.9, true),
            (500.0, false),
            (500.1, true),
            (399.0, false),
        ] {
            let change = changed(&[400.0, 400.0, 400.0, newest]);
            assert_eq!(change.newest_is_odd, odd, "{newest} g against 400 g");
            assert_eq!(change.odd.is_empty(), !odd);
        }
        // Exactly a quarter in decimals, a little more in binary numbers.
        for (others, newest) in [(10.1, 12.625), (10.2, 12.75), (10.4, 7.8)] {
            let off: f64 = newest - others;
            assert!(off.abs() > others * 0.25, "binary numbers fall short here");
            assert!(!changed(&[others, others, newest]).newest_is_odd);
        }
    }

    #[test]
    fn the_median_of_an_even_number_of_others_is_the_middle_between_two() {
        // Against 410 g, the middle between 400 and 420: 512.5 g is a quarter more.
        assert!(!changed(&[400.0, 420.0, 512.5]).newest_is_odd);
        assert!(changed(&[400.0, 420.0, 512.6]).newest_is_odd);
        // Of three others it is the middle one: 500 g is a quarter more than 400 g, whatever the other two.
        assert!(!changed(&[380.0, 400.0, 420.0, 500.0]).newest_is_odd);
        assert!(changed(&[380.0, 400.0, 420.0, 500.1]).newest_is_odd);

        let sorted = in_time(&daily(&[100.0, 200.0, 400.0]));
        assert_eq!(median(&sorted, None), Some(200.0));
        assert_eq!(median(&sorted, Some(0)), Some(300.0));
        assert_eq!(median(&sorted, Some(1)), Some(250.0));
        assert_eq!(median(&sorted, Some(2)), Some(150.0));
        assert_eq!(median(&[], None), None);
    }

    #[test]
    fn with_two_weighings_only_a_slip_makes_the_newer_odd() {
        assert_eq!(
            read(&[450.0, 200.0]),
            (450.0, "55.6".into(), vec![], false),
            "a fall by more than half is a fall"
        );
        assert_eq!(changed(&[450.0, 200.0]).slip, None);
        for grams in [[450.0, 45.0], [450.0, 4500.0]] {
            let change = changed(&grams);
            assert_eq!((change.odd, change.newest_is_odd), (vec![1], true));
            assert_eq!(change.slip, Some(Slip::TenTimes));
            assert_eq!(change.from_g, 450.0);
        }
        assert_eq!(fall(&[450.0, 45.0]), 90.0);
    }

    #[test]
    fn when_slips_leave_two_weighings_they_are_looked_at_as_a_pair() {
        let change = changed(&[450.0, 45.0, 4500.0]);
        assert_eq!((change.odd, change.newest_is_odd), (vec![1, 2], true));
        let change = changed(&[450.0, 4500.0, 45.0]);
        assert_eq!((change.odd, change.newest_is_odd), (vec![1, 2], true));
        assert_eq!((change.from_g, change.fall_percent), (450.0, 90.0));
    }

    // International Yard and Pound Agreement 1959: a pound is 0.45359237 kg; sixteen ounces are a pound.
    #[test]
    fn each_slip_explains_its_ratio_and_a_tenth_either_way() {
        let pound_g = 0.453_592_37 * 1000.0;
        for (expected, factor) in [
            (Slip::TenTimes, 10.0),
            (Slip::Thousand, 1000.0),
            (Slip::OunceForGram, pound_g / 16.0),
            (Slip::PoundForGram, pound_g),
        ] {
            for factor in [factor, 1.0 / factor] {
                for share in [0.9005, 1.0, 1.0995] {
                    assert_eq!(slip(factor * share), Some(expected), "{factor} x {share}");
                }
                for share in [0.8995, 1.1005] {
                    assert_eq!(slip(factor * share), None, "{factor} x {share}");
                }
            }
        }
        for none in [1.0, 0.5, 2.0, 5.0, 100.0, 0.01] {
            assert_eq!(slip(none), None);
        }
    }

    #[test]
    fn a_bird_weighed_in_ounces_or_pounds_is_noticed() {
        let change = changed(&[450.0, 448.0, 15.9]);
        assert_eq!(change.slip, Some(Slip::OunceForGram));
        let change = changed(&[450.0, 448.0, 0.99]);
        assert_eq!(change.slip, Some(Slip::PoundForGram));
        assert!(change.newest_is_odd);
    }

    #[test]
    fn one_bad_weighing_refuses_the_series() {
        let weight = Unusable::OutOfRange {
            least: 0.01,
            most: 5_000_000.0,
        };
        for (bad, why) in [
            (0.0, Unusable::NotAboveZero),
            (-450.0, Unusable::NotAboveZero),
            (0.009_99, weight),
            (5_000_001.0, weight),
            (f64::NAN, Unusable::NotFinite),
            (f64::INFINITY, Unusable::NotFinite),
        ] {
            assert_eq!(change(&daily(&[450.0, bad])), Err(why));
            assert_eq!(change(&daily(&[bad])), Err(why));
        }
        assert!(change(&daily(&[0.01, 5_000_000.0])).is_ok());
    }

    #[test]
    fn one_bad_day_refuses_the_series() {
        let on = |day| change(&[Weighing { day, grams: 450.0 }]);
        let outside = Err(Unusable::OutOfRange {
            least: -10_000_000.0,
            most: 10_000_000.0,
        });
        assert_eq!(on(10_000_001.0), outside);
        assert_eq!(on(-10_000_001.0), outside);
        assert_eq!(on(f64::NAN), Err(Unusable::NotFinite));
        assert!(on(10_000_000.0).is_ok() && on(-10_000_000.0).is_ok());
    }

    // Whatever the weighings, a base and a newest are found, and the fall agrees with them.
    #[test]
    fn every_usable_series_gives_a_change_that_agrees_with_itself() {
        let weights = [0.45, 15.9, 45.0, 300.0, 330.0, 450.0, 700.0, 4500.0];
        let count = weights.len();
        for number in 0..count.pow(4) {
            let grams: Vec<f64> = (0_u32..4)
                .map(|turn| weights[number / count.pow(turn) % count])
                .collect();
            let change = changed(&grams);
            assert_eq!(change.to_g, grams[3]);
            assert!(grams[..3].contains(&change.from_g));
            let again = (change.from_g - change.to_g) / change.from_g * 100.0;
            assert!((change.fall_percent - again).abs() < 1e-6);
            assert_eq!(change.newest_is_odd, change.odd.contains(&3));
            assert!(change.odd.len() < grams.len(), "something always fits");
            assert!(change.odd.is_sorted());
        }
    }
}
