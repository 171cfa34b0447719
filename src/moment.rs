//! The time of day of a date, and the offset of the clock it was read from: what an answer tells of when a message came.

use jiff::SignedDuration;
use jiff::Timestamp;
use jiff::civil::{Date, Time};
use jiff::tz::Offset;

use crate::clock;

/// A time of day as it was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    /// The time on the clock.
    pub time: Time,
    /// How far that clock is from universal time, where that was told.
    pub offset: Option<Offset>,
}

impl Moment {
    /// Reads a time of day, with an offset behind it or none: `16:30`, `16:30:05Z`, `16:30 +01:00`, `16:30 UTC` (RFC 3339, ISO
    /// 8601, and what people make of them). `None` when it is no such time, or when no place on earth has that offset.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let (time, offset) = apart(text)?;
        Some(Self {
            time: clock::read(time)?,
            offset,
        })
    }

    /// The point in time, where the offset was told.
    #[must_use]
    pub fn at(&self, date: Date) -> Option<Timestamp> {
        self.offset?.to_timestamp(date.to_datetime(self.time)).ok()
    }
}

impl std::fmt::Display for Moment {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (hour, minute, second) = (self.time.hour(), self.time.minute(), self.time.second());
        write!(f, "{hour:02}:{minute:02}")?;
        let fraction = self.time.subsec_nanosecond();
        if second != 0 || fraction != 0 {
            write!(f, ":{second:02}")?;
        }
        if fraction != 0 {
            write!(f, ".{}", format!("{fraction:09}").trim_end_matches('0'))?;
        }
        match self.offset.map(Offset::seconds) {
            None => Ok(()),
            Some(0) => f.write_str("Z"),
            Some(seconds) => {
                let sign = if seconds < 0 { '-' } else { '+' };
                let minutes = seconds.abs() / 60;
                write!(f, "{sign}{:02}:{:02}", minutes / 60, minutes % 60)
            }
        }
    }
}

/// The end of a day in the last place on earth where it is still that day (twelve hours behind universal time).
#[must_use]
pub fn end_anywhere(day: Date) -> Option<Timestamp> {
    let midnight = day.tomorrow().ok()?.to_datetime(Time::midnight());
    let end = Offset::UTC.to_timestamp(midnight).ok()?;
    end.checked_add(SignedDuration::from_hours(12)).ok()
}

/// The time of day and the offset behind it.
fn apart(text: &str) -> Option<(&str, Option<Offset>)> {
    for word in ["z", "utc"] {
        if let Some(at) = text.len().checked_sub(word.len())
            && let Some((time, end)) = text.split_at_checked(at)
            && end.eq_ignore_ascii_case(word)
        {
            return Some((time, Some(Offset::UTC)));
        }
    }
    // A minus may also be the sign U+2212 (ISO 8601).
    let Some(at) = text.find(['+', '-', '\u{2212}']) else {
        return Some((text, None));
    };
    let (time, offset) = text.split_at(at);
    let ahead = offset.starts_with('+');
    let digits = offset.strip_prefix(['+', '-', '\u{2212}'])?;
    let (hours, minutes) = match digits.split_once(':') {
        Some((hours, minutes)) => (hours, minutes),
        None if digits.len() == 4 => digits.split_at_checked(2)?,
        None => (digits, "00"),
    };
    let number = |text: &str| -> Option<i32> {
        let two = text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit());
        two.then(|| text.parse().ok())?
    };
    let minutes = number(hours)? * 60 + number(minutes).filter(|minutes| *minutes < 60)?;
    let seconds = if ahead { minutes * 60 } else { -minutes * 60 };
    // From twelve hours behind universal time to fourteen ahead of it.
    if !(-12 * 3600..=14 * 3600).contains(&seconds) {
        return None;
    }
    Some((time, Some(Offset::from_seconds(seconds).ok()?)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time};

    fn offset(text: &str) -> Option<i32> {
        Moment::read(text)?.offset.map(Offset::seconds)
    }

    #[test]
    fn offsets_are_read_as_they_are_written() {
        for (text, seconds) in [
            ("16:30Z", 0),
            ("16:30:05 z", 0),
            ("16:30 UTC", 0),
            ("16:30+00:00", 0),
            ("16:30-00:00", 0),
            ("16:30+01:00", 3600),
            ("16:30 +0100", 3600),
            ("16:30+01", 3600),
            ("16:30:05.5+05:45", 20_700),
            ("16:30 -03:30", -12_600),
            ("16:30\u{2212}03:30", -12_600),
            ("16:30+14:00", 50_400),
            ("4:30 pm -12:00", -43_200),
        ] {
            assert_eq!(offset(text), Some(seconds), "{text}");
        }
        assert_eq!(Moment::read("16:30").map(|it| it.offset), Some(None));
    }

    #[test]
    fn an_offset_that_no_clock_has_is_none() {
        for text in [
            "16:30+15:00",
            "16:30-12:30",
            "16:30-17:00",
            "16:30+1",
            "16:30+01:60",
            "16:30+1:00",
            "16:30++01:00",
            "16:30+01:00Z",
            "16:30 CET",
            "16:30+",
            "+01:00",
            "Z",
            "",
            "16:30+01:00:00",
            "16:30+é1",
        ] {
            assert_eq!(Moment::read(text), None, "{text}");
        }
    }

    #[test]
    fn what_is_shown_is_read_as_the_same() {
        for (text, shown) in [
            ("16.30", "16:30"),
            ("4:30:05 pm", "16:30:05"),
            ("16:30:00.0Z", "16:30Z"),
            ("16:30:00,250-0330", "16:30:00.25-03:30"),
            ("9:05 +05:45", "09:05+05:45"),
        ] {
            let moment = Moment::read(text);
            assert_eq!(moment.map(|it| it.to_string()).as_deref(), Some(shown));
            assert_eq!(Moment::read(shown), moment);
        }
    }

    #[test]
    fn a_day_is_over_everywhere_twelve_hours_after_it_is_in_universal_time() {
        let end: Timestamp = "2026-11-26T12:00Z".parse().unwrap_or_default();
        assert_eq!(end_anywhere(date(2026, 11, 25)), Some(end));
        let moment = Moment {
            time: time(16, 30, 0, 0),
            offset: Offset::from_seconds(-3600).ok(),
        };
        let told: Timestamp = "2026-11-24T17:30Z".parse().unwrap_or_default();
        assert_eq!(moment.at(date(2026, 11, 24)), Some(told));
    }
}
