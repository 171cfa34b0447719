//! Civil dates, whole or partial: `2026-10-03`, `2026-10`, `2026`. A partial date is every day it could mean; a whole one may have
//! a time of day behind it, where a question asks for one.

use jiff::civil::Date;

use crate::moment::{self, Moment};

/// A span of days, first and last included; one day when the whole date is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartialDate {
    /// The earliest day it can mean.
    pub first: Date,
    /// The latest day it can mean.
    pub last: Date,
    /// The time of day, kept from all who do not ask for it: they speak of days.
    moment: Option<Moment>,
}

impl PartialDate {
    /// A single day.
    #[must_use]
    pub fn day(date: Date) -> Self {
        Self {
            first: date,
            last: date,
            moment: None,
        }
    }

    /// A day with a time of day.
    #[must_use]
    pub fn at(date: Date, moment: Moment) -> Self {
        Self {
            moment: Some(moment),
            ..Self::day(date)
        }
    }

    /// The time of day, where one was told.
    #[must_use]
    pub fn moment(&self) -> Option<Moment> {
        self.moment
    }

    /// Reads a date as [`PartialDate::read`] does, or a whole one with a time behind it: `2026-10-03 16:30`,
    /// `2026-10-03T16:30:05+01:00` (see [`Moment::read`]).
    #[must_use]
    pub fn read_with_time(text: &str) -> Option<Self> {
        let Some((day, time)) = day_and_time(text) else {
            return Self::read(text);
        };
        let day = Self::read(day).filter(|day| day.first == day.last)?;
        Some(Self::at(day.first, Moment::read(time)?))
    }

    /// Reads `YYYY-MM-DD`, `YYYY-MM` or `YYYY` (ISO 8601 calendar dates); `None` when the text is no such date.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let parts: Vec<&str> = text.split('-').collect();
        if !parts
            .iter()
            .all(|part| part.bytes().all(|b| b.is_ascii_digit()))
        {
            return None;
        }
        let lengths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
        let (year, month, day) = match (lengths.as_slice(), parts.as_slice()) {
            ([4], [year]) => (*year, None, None),
            ([4, 2], [year, month]) => (*year, Some(*month), None),
            ([4, 2, 2], [year, month, day]) => (*year, Some(*month), Some(*day)),
            _ => return None,
        };
        let year: i16 = year.parse().ok()?;
        let Some(month) = month else {
            return Some(Self {
                first: Date::new(year, 1, 1).ok()?,
                last: Date::new(year, 12, 31).ok()?,
                moment: None,
            });
        };
        let month: i8 = month.parse().ok()?;
        let Some(day) = day else {
            let first = Date::new(year, month, 1).ok()?;
            return Some(Self {
                first,
                last: first.last_of_month(),
                moment: None,
            });
        };
        Some(Self::day(Date::new(year, month, day.parse().ok()?).ok()?))
    }

    /// How many days before `today` it lies: (fewest, most). Negative when it lies ahead.
    #[must_use]
    pub fn days_before(&self, today: Date) -> (i32, i32) {
        (
            days_between(self.last, today),
            days_between(self.first, today),
        )
    }

    /// The same span without the days after `today`; for events that have happened. A day that lies ahead is another place's
    /// today.
    #[must_use]
    pub fn no_later_than(self, today: Date) -> Self {
        Self {
            first: self.first.min(today),
            last: self.last.min(today),
            moment: self.moment,
        }
    }

    /// True when nothing that has happened can have this date, as far as is known on a day: it lies ahead. With an offset it is
    /// told by the clock of another place, where the next day may have come already; it lies ahead when `today` is over everywhere.
    #[must_use]
    pub fn lies_ahead(&self, today: Date) -> bool {
        match self.moment.and_then(|moment| moment.at(self.first)) {
            Some(at) => moment::end_anywhere(today).is_some_and(|end| at >= end),
            None => self.first > today,
        }
    }
}

impl std::fmt::Display for PartialDate {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if let Some(moment) = self.moment {
            write!(f, "{}T{moment}", self.first)
        } else if self.first == self.last {
            write!(f, "{}", self.first)
        } else if self.first.month() == self.last.month() {
            write!(f, "{:04}-{:02}", self.first.year(), self.first.month())
        } else {
            write!(f, "{:04}", self.first.year())
        }
    }
}

/// The day and the time of a text that holds both, with `T`, a space or a comma between them. Neither is read yet.
#[must_use]
pub fn day_and_time(text: &str) -> Option<(&str, &str)> {
    let (day, time) = text.trim().split_once(['T', 't', ' ', ','])?;
    let time = time.trim_start();
    (!day.is_empty() && !time.is_empty()).then_some((day, time))
}

/// True for text in the form of an ISO date, even where there is no such day.
#[must_use]
pub fn has_date_form(text: &str) -> bool {
    let parts: Vec<&str> = text.trim().split('-').collect();
    let lengths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
    parts
        .iter()
        .all(|part| part.bytes().all(|b| b.is_ascii_digit()))
        && matches!(lengths.as_slice(), [4, 2] | [4, 2, 2])
}

/// Both readings of a date like `03/10/2026`, whose day and month may stand either way.
#[must_use]
pub fn two_ways(text: &str) -> Option<(String, String)> {
    let parts: Vec<&str> = text.trim().split(['/', '.']).collect();
    let [first, second, year] = parts.as_slice() else {
        return None;
    };
    let (first, second, year): (i8, i8, i16) = (
        first.parse().ok()?,
        second.parse().ok()?,
        year.parse().ok()?,
    );
    let one = Date::new(year, second, first).ok()?;
    let other = Date::new(year, first, second).ok()?;
    (one != other).then(|| (one.to_string(), other.to_string()))
}

/// Days from one date to another; negative when `to` comes first.
#[must_use]
pub fn days_between(from: Date, to: Date) -> i32 {
    from.until(to).map_or(0, |span| span.get_days())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn whole_and_partial_dates() {
        assert_eq!(
            PartialDate::read("2026-10-03"),
            Some(PartialDate::day(date(2026, 10, 3)))
        );
        let month = PartialDate::read("2024-02");
        assert_eq!(month.map(|m| m.last), Some(date(2024, 2, 29)));
        let year = PartialDate::read("2026");
        assert_eq!(
            year.map(|y| (y.first, y.last)),
            Some((date(2026, 1, 1), date(2026, 12, 31)))
        );
    }

    #[test]
    fn what_is_no_date_is_none() {
        for text in [
            "",
            "3/10/2026",
            "2026-13",
            "2026-02-30",
            "26-01-01",
            "2026-1-1",
            "yesterday",
        ] {
            assert_eq!(PartialDate::read(text), None, "{text}");
        }
    }

    #[test]
    fn a_partial_date_lies_a_range_of_days_back() {
        let october = PartialDate::read("2026-10");
        assert_eq!(
            october.map(|d| d.days_before(date(2026, 11, 25))),
            Some((25, 55))
        );
    }

    #[test]
    fn a_date_that_can_be_read_two_ways_gives_both() {
        assert_eq!(
            two_ways("03/10/2026"),
            Some(("2026-10-03".into(), "2026-03-10".into()))
        );
        assert_eq!(two_ways("13/10/2026"), None);
        assert_eq!(two_ways("05/05/2026"), None);
        assert!(has_date_form("2026-13-01") && !has_date_form("2026-1-1"));
    }

    #[test]
    fn a_whole_date_may_have_a_time_behind_it() {
        for (text, shown) in [
            ("2026-11-24 16:30", "2026-11-24T16:30"),
            ("2026-11-24 16.30", "2026-11-24T16:30"),
            ("2026-11-24, 4:30 pm", "2026-11-24T16:30"),
            ("2026-11-24T16:30:05", "2026-11-24T16:30:05"),
            ("2026-11-24t16:30:05z", "2026-11-24T16:30:05Z"),
            ("2026-11-24 16:30:05 +0100", "2026-11-24T16:30:05+01:00"),
            ("2026-11-24T00:00", "2026-11-24T00:00"),
            ("2026-11-24", "2026-11-24"),
            ("2026-11", "2026-11"),
        ] {
            let date = PartialDate::read_with_time(text);
            assert_eq!(date.map(|d| d.to_string()).as_deref(), Some(shown));
            assert_eq!(PartialDate::read_with_time(shown), date);
            // Only those who ask for a time take one, and they get it.
            let timed = shown.contains('T');
            assert_eq!(PartialDate::read(text).is_none(), timed, "{text}");
            assert_eq!(date.is_some_and(|d| d.moment().is_some()), timed);
        }
        for text in [
            "2026-11-24 25:00",
            "2026-11-24 24:00",
            "2026-11-24 noon",
            "2026-11 16:30",
            "2026 16:30",
            "2026-02-30 16:30",
            "24/11/2026 16:30",
            "2026-11-24T",
            "T16:30",
            "16:30",
            "20261124T1630",
        ] {
            assert_eq!(
                PartialDate::read_with_time(text).filter(|d| d.moment().is_some()),
                None,
                "{text}"
            );
        }
    }

    #[test]
    fn a_time_changes_no_day() {
        let at = |text| PartialDate::read_with_time(text);
        let days = |text| at(text).map(|d| (d.first, d.last, d.days_before(date(2026, 11, 25))));
        assert_eq!(days("2026-11-24 23:59"), days("2026-11-24"));
        assert_eq!(days("2026-11-24T00:30+14:00"), days("2026-11-24"));
        // What another place calls tomorrow happened today.
        let ahead = at("2026-11-26T01:00+13:00").map(|d| d.no_later_than(date(2026, 11, 25)));
        assert_eq!(
            ahead.map(|d| d.days_before(date(2026, 11, 25))),
            Some((0, 0))
        );
    }

    #[test]
    fn another_place_may_be_a_day_ahead_and_no_more() {
        let ahead =
            |text| PartialDate::read_with_time(text).map(|d| d.lies_ahead(date(2026, 11, 25)));
        for (text, told) in [
            ("2026-11-25", false),
            ("2026-11-25 23:59", false),
            ("2026-11-26", true),
            ("2026-11-26 00:00", true),
            ("2026-11-26T00:00+01:00", false),
            ("2026-11-26T23:59Z", true),
            ("2026-11-26T11:59Z", false),
            ("2026-11-26T12:00Z", true),
            // It is 23:30 on the 25th in Pago Pago, and the 27th on Kiritimati.
            ("2026-11-27T00:30+14:00", false),
            ("2026-11-27T09:00+01:00", true),
            // Where the day is late, it may be over elsewhere.
            ("2026-11-25T23:59-12:00", false),
            ("2026-11", false),
            ("2026-12", true),
        ] {
            assert_eq!(ahead(text), Some(told), "{text}");
        }
    }

    #[test]
    fn dates_are_shown_as_they_were_known() {
        for text in ["2026-10-03", "2026-10", "2026"] {
            assert_eq!(
                PartialDate::read(text).map(|d| d.to_string()).as_deref(),
                Some(text)
            );
        }
    }
}
