//! Civil dates, whole or partial: `2026-10-03`, `2026-10`, `2026`. A partial date is every day it could mean.

use jiff::civil::Date;

/// A span of days, first and last included; one day when the whole date is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartialDate {
    /// The earliest day it can mean.
    pub first: Date,
    /// The latest day it can mean.
    pub last: Date,
}

impl PartialDate {
    /// A single day.
    #[must_use]
    pub fn day(date: Date) -> Self {
        Self {
            first: date,
            last: date,
        }
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
            });
        };
        let month: i8 = month.parse().ok()?;
        let Some(day) = day else {
            let first = Date::new(year, month, 1).ok()?;
            return Some(Self {
                first,
                last: first.last_of_month(),
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

    /// The same span without the days after `today`; for events that have happened.
    #[must_use]
    pub fn no_later_than(self, today: Date) -> Self {
        Self {
            first: self.first,
            last: self.last.min(today).max(self.first),
        }
    }
}

impl std::fmt::Display for PartialDate {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.first == self.last {
            write!(f, "{}", self.first)
        } else if self.first.month() == self.last.month() {
            write!(f, "{:04}-{:02}", self.first.year(), self.first.month())
        } else {
            write!(f, "{:04}", self.first.year())
        }
    }
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
    fn dates_are_shown_as_they_were_known() {
        for text in ["2026-10-03", "2026-10", "2026"] {
            assert_eq!(
                PartialDate::read(text).map(|d| d.to_string()).as_deref(),
                Some(text)
            );
        }
    }
}
