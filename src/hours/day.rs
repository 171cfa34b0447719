//! One day on the clock of a zone: where a time of day lies, and what the clock says, on the days as well on which it jumps.
//!
//! A day runs from its first moment to that of the next. Both ways of asking keep order: a later time of day never lies earlier,
//! and a later moment never has an earlier time of day. Where the clock leaves that open, the sooner reading holds.

use jiff::civil::{Date, DateTime, Time};
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{SignedDuration, Timestamp};

/// The length of a day on the clock.
const DAY: SignedDuration = SignedDuration::from_hours(24);

/// One day in a zone.
#[derive(Debug, Clone, Copy)]
pub(super) struct Day<'z> {
    zone: &'z TimeZone,
    date: Date,
    /// Its first moment.
    pub(super) start: Timestamp,
    /// The first moment of the next day.
    pub(super) end: Timestamp,
}

impl<'z> Day<'z> {
    pub(super) fn new(zone: &'z TimeZone, date: Date) -> Self {
        let start = first_moment(zone, date);
        let end = date
            .tomorrow()
            .map_or(Timestamp::MAX, |next| first_moment(zone, next));
        Self {
            zone,
            date,
            start,
            end: end.max(start),
        }
    }

    /// True when its clock runs from 0:00 to 24:00 without a jump.
    pub(super) fn is_even(&self) -> bool {
        self.end.duration_since(self.start) == DAY
            && self.clock(self.start) == SignedDuration::ZERO
            && self.jumps(self.start).next().is_none()
    }

    /// The first moment at which the clock shows a time of day, or a later one.
    pub(super) fn first_at(&self, time: SignedDuration) -> Timestamp {
        self.place(time, Turn::First)
    }

    /// The last moment before which the clock shows an earlier time: of a time that comes twice, the second.
    pub(super) fn last_at(&self, time: SignedDuration) -> Timestamp {
        self.place(time, Turn::Last)
    }

    /// The time of day at a moment of this day, since 0:00. Before the clock is put back, it is the earliest time it will still show.
    pub(super) fn time_at(&self, moment: Timestamp) -> SignedDuration {
        if moment >= self.end {
            return DAY;
        }
        self.jumps(moment)
            .map(|jump| self.clock(jump))
            .fold(self.clock(moment), SignedDuration::min)
            .clamp(SignedDuration::ZERO, DAY)
    }

    fn place(&self, time: SignedDuration, turn: Turn) -> Timestamp {
        if time >= DAY {
            return self.end;
        }
        self.date
            .to_datetime(Time::midnight())
            .checked_add(time)
            .map_or(self.end, |at| on_clock(self.zone, at, turn))
            .clamp(self.start, self.end)
    }

    /// What the clock shows, since 0:00 of this day.
    fn clock(&self, moment: Timestamp) -> SignedDuration {
        let midnight = self.date.to_datetime(Time::midnight());
        self.zone.to_datetime(moment).duration_since(midnight)
    }

    /// The moments after one, within this day, at which the clock is put forward or back.
    fn jumps(&self, after: Timestamp) -> impl Iterator<Item = Timestamp> + use<'z> {
        let end = self.end;
        self.zone
            .following(after)
            .map(|jump| jump.timestamp())
            .take_while(move |jump| *jump < end)
    }
}

/// Which of the two, where the clock shows a time twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turn {
    First,
    Last,
}

/// The first moment of a day.
pub(super) fn first_moment(zone: &TimeZone, date: Date) -> Timestamp {
    on_clock(zone, date.to_datetime(Time::midnight()), Turn::First)
}

/// The moment at which the clock shows a time, or is put past it. Beyond the ends of time, the end.
fn on_clock(zone: &TimeZone, at: DateTime, turn: Turn) -> Timestamp {
    let ambiguous = zone.to_ambiguous_timestamp(at);
    let found = match (ambiguous.offset(), turn) {
        // A time that is left out: the moment at which the clock is put forward.
        (AmbiguousOffset::Gap { after, .. }, _) => ambiguous.earlier().map(|before| {
            zone.following(before)
                .find(|jump| jump.offset() == after)
                .map_or(before, |jump| jump.timestamp())
        }),
        // The first of the times that come twice is reached once; the second time, the clock is put back to it.
        (AmbiguousOffset::Fold { .. }, Turn::Last) => match ambiguous.later() {
            Ok(second) if jumps_at(zone, second) => ambiguous.earlier(),
            second => second,
        },
        _ => ambiguous.earlier(),
    };
    found.unwrap_or(if at.year() < 0 {
        Timestamp::MIN
    } else {
        Timestamp::MAX
    })
}

/// True when the clock is put forward or back at a moment.
fn jumps_at(zone: &TimeZone, moment: Timestamp) -> bool {
    moment
        .checked_sub(SignedDuration::from_nanos(1))
        .is_ok_and(|before| {
            let jump = zone.following(before).next();
            jump.is_some_and(|jump| jump.timestamp() == moment)
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hours::zone;
    use jiff::civil::date;

    fn minutes(minutes: i64) -> SignedDuration {
        SignedDuration::from_mins(minutes)
    }

    fn moment(text: &str) -> Timestamp {
        text.parse().unwrap_or_default()
    }

    #[allow(clippy::expect_used)]
    fn zoned(name: &str) -> TimeZone {
        zone::named(name).expect("it is in the table")
    }

    #[test]
    fn a_day_on_which_the_clock_is_put_forward_is_an_hour_short() {
        let zone = zoned("Europe/Lisbon");
        // 2026-03-29, 01:00 to 02:00 is left out.
        let day = Day::new(&zone, date(2026, 3, 29));
        assert_eq!(
            (day.start, day.end),
            (moment("2026-03-29T00:00Z"), moment("2026-03-29T23:00Z"))
        );
        assert!(!day.is_even());
        let jump = moment("2026-03-29T01:00Z");
        for time in [60, 75, 119, 120] {
            assert_eq!(day.first_at(minutes(time)), jump, "{time}");
            assert_eq!(day.last_at(minutes(time)), jump, "{time}");
        }
        assert_eq!(day.first_at(minutes(59)), moment("2026-03-29T00:59Z"));
        assert_eq!(day.first_at(minutes(540)), moment("2026-03-29T08:00Z"));
        assert_eq!(day.time_at(jump), minutes(120));
        assert!(
            Day::new(&zone, date(2026, 3, 28)).is_even()
                && Day::new(&zone, date(2026, 3, 30)).is_even()
        );
    }

    #[test]
    fn an_hour_that_comes_twice_counts_by_its_first_minute_till_it_comes_again() {
        let zone = zoned("America/New_York");
        // 2026-11-01, 01:00 to 02:00 comes twice: from 05:00Z in summer time, from 06:00Z in winter time.
        let day = Day::new(&zone, date(2026, 11, 1));
        assert_eq!(
            (day.start, day.end),
            (moment("2026-11-01T04:00Z"), moment("2026-11-02T05:00Z"))
        );
        assert_eq!(day.first_at(minutes(90)), moment("2026-11-01T05:30Z"));
        assert_eq!(day.last_at(minutes(90)), moment("2026-11-01T06:30Z"));
        // One o'clock is reached once, and two o'clock is.
        assert_eq!(day.last_at(minutes(60)), moment("2026-11-01T05:00Z"));
        assert_eq!(day.last_at(minutes(61)), moment("2026-11-01T06:01Z"));
        assert_eq!(day.last_at(minutes(120)), moment("2026-11-01T07:00Z"));
        assert_eq!(day.time_at(moment("2026-11-01T04:30Z")), minutes(30));
        assert_eq!(day.time_at(moment("2026-11-01T05:30Z")), minutes(60));
        assert_eq!(day.time_at(moment("2026-11-01T06:30Z")), minutes(90));
        assert_eq!(day.time_at(day.end), DAY);
    }

    #[test]
    fn a_day_may_begin_at_one_and_may_be_missing() {
        // Santiago puts its clock forward at midnight.
        let santiago = zoned("America/Santiago");
        let day = Day::new(&santiago, date(2026, 9, 6));
        assert_eq!(day.start, moment("2026-09-06T04:00Z"));
        assert_eq!(
            (day.first_at(minutes(30)), day.time_at(day.start)),
            (day.start, minutes(60))
        );
        assert!(!day.is_even());
        // Samoa went from the 29th to the 31st of December 2011.
        let apia = zoned("Pacific/Apia");
        let gone = Day::new(&apia, date(2011, 12, 30));
        assert_eq!(gone.start, gone.end);
        assert_eq!(gone.first_at(minutes(540)), gone.start);
        assert!(!gone.is_even());
    }

    #[test]
    fn both_ways_keep_order_on_every_kind_of_day() {
        for (name, first) in [
            ("Europe/Lisbon", date(2026, 3, 28)),
            ("Europe/Lisbon", date(2026, 10, 24)),
            ("America/New_York", date(2026, 3, 7)),
            ("America/New_York", date(2026, 10, 31)),
            ("Australia/Sydney", date(2026, 10, 3)),
            ("Australia/Lord_Howe", date(2026, 4, 4)),
            ("America/Santiago", date(2026, 4, 4)),
            ("America/Santiago", date(2026, 9, 5)),
            ("America/St_Johns", date(2006, 10, 28)),
            ("America/Havana", date(2026, 10, 31)),
            ("Pacific/Apia", date(2011, 12, 29)),
            ("Asia/Kolkata", date(2026, 2, 28)),
        ] {
            let zone = zoned(name);
            let mut date = first;
            for _ in 0..3 {
                let day = Day::new(&zone, date);
                let mut before = (day.start, day.start);
                for time in 0..=1440 {
                    let now = (day.first_at(minutes(time)), day.last_at(minutes(time)));
                    assert!(
                        before.0 <= now.0 && before.1 <= now.1 && now.0 <= now.1,
                        "{name} {date} {time}"
                    );
                    assert!((day.start..=day.end).contains(&now.0) && now.1 <= day.end);
                    before = now;
                }
                let (mut at, mut shown) = (day.start, SignedDuration::ZERO);
                while at < day.end {
                    let now = day.time_at(at);
                    assert!(shown <= now, "{name} {at}");
                    // Never later than what the clock shows.
                    assert!(now <= day.clock(at).max(SignedDuration::ZERO));
                    (at, shown) = (at.checked_add(minutes(7)).unwrap_or(day.end), now);
                }
                let next = Day::new(&zone, date.tomorrow().unwrap_or(date));
                assert_eq!(day.end, next.start);
                date = date.tomorrow().unwrap_or(date);
            }
        }
    }

    #[test]
    fn the_ends_of_time_are_no_trouble() {
        let zone = zoned("Pacific/Auckland");
        for date in [jiff::civil::Date::MIN, jiff::civil::Date::MAX] {
            let day = Day::new(&zone, date);
            assert!(
                day.start <= day.first_at(minutes(600)) && day.first_at(minutes(600)) <= day.end
            );
        }
    }
}
