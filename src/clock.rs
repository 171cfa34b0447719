//! Times of day as people and machines write them: `16:30`, `16.30`, `9:05`, `4:30 pm`, `16:30:05.25`.

use jiff::civil::Time;

/// How many minutes a day on the clock has.
pub const DAY_MINUTES: u16 = 24 * 60;

/// Reads a time of day. An hour alone needs `am` or `pm`; a single digit without them is the hour of the 24-hour clock, which is
/// the earlier of the two it could be. `None` when the text is no such time; second 60 counts as 59, as a leap second.
#[must_use]
pub fn read(text: &str) -> Option<Time> {
    let (digits, half) = halved(text);
    let parts = Parts::of(digits)?;
    if parts.minute.is_none() && half.is_none() {
        return None;
    }
    let hour = parts.hour(half)?;
    let second = parts.second.unwrap_or(0).min(59);
    Time::new(
        i8::try_from(hour).ok()?,
        parts.minute.unwrap_or(0),
        second,
        parts.nanosecond,
    )
    .ok()
}

/// Reads an opening or closing time as minutes since midnight: also an hour alone (`9`), and `24` or `24:00` for the day's end.
#[must_use]
pub fn minutes(text: &str) -> Option<u16> {
    let (digits, half) = halved(text);
    let parts = Parts::of(digits)?;
    if parts.second.is_some() {
        return None;
    }
    let minute = u16::try_from(parts.minute.unwrap_or(0)).ok()?;
    if half.is_none() && parts.hour == 24 {
        return (minute == 0).then_some(DAY_MINUTES);
    }
    let hour = u16::from(parts.hour(half)?);
    Some(hour * 60 + minute).filter(|_| hour < 24 && minute < 60)
}

/// A number of minutes since midnight as `9:00`.
#[must_use]
pub fn shown(minutes: u16) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// Which half of a 12-hour clock.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Half {
    Morning,
    Afternoon,
}

/// The text without `am` or `pm` behind it.
fn halved(text: &str) -> (&str, Option<Half>) {
    let text = text.trim();
    for (word, half) in [
        ("am", Half::Morning),
        ("a.m.", Half::Morning),
        ("pm", Half::Afternoon),
        ("p.m.", Half::Afternoon),
    ] {
        if let Some(at) = text.len().checked_sub(word.len())
            && let Some((before, end)) = text.split_at_checked(at)
            && end.eq_ignore_ascii_case(word)
        {
            return (before.trim_end(), Some(half));
        }
    }
    (text, None)
}

/// The numbers of a time of day.
struct Parts {
    hour: u8,
    minute: Option<i8>,
    second: Option<i8>,
    nanosecond: i32,
}

impl Parts {
    fn of(text: &str) -> Option<Self> {
        let (whole, fraction) = match text.split_once(':') {
            // A fraction of a second stands behind a point or, in ISO 8601, a comma.
            Some((_, rest)) if rest.contains(':') => match text.split_once(['.', ',']) {
                Some((whole, fraction)) => (whole, Some(fraction)),
                None => (text, None),
            },
            _ => (text, None),
        };
        let sign = if whole.contains(':') { ':' } else { '.' };
        let mut parts = whole.split(sign);
        let hour = number(parts.next()?, 1..=2)?;
        let minute = match parts.next() {
            Some(text) => Some(number(text, 2..=2)?),
            None => None,
        };
        let second = match parts.next() {
            Some(text) => Some(number(text, 2..=2).filter(|second| *second <= 60)?),
            None => None,
        };
        if parts.next().is_some() {
            return None;
        }
        let nanosecond = match fraction {
            Some(text) if !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()) => {
                // What is finer than a billionth is left out: the earlier moment.
                format!("{text:0<9}").get(..9)?.parse().ok()?
            }
            Some(_) => return None,
            None => 0,
        };
        Some(Self {
            hour: u8::try_from(hour).ok()?,
            minute,
            second,
            nanosecond,
        })
    }

    /// The hour of the 24-hour clock.
    fn hour(&self, half: Option<Half>) -> Option<u8> {
        match half {
            None => Some(self.hour),
            Some(_) if !(1..=12).contains(&self.hour) => None,
            Some(Half::Morning) => Some(self.hour % 12),
            Some(Half::Afternoon) => Some(self.hour % 12 + 12),
        }
    }
}

/// A number of so many digits.
fn number(text: &str, digits: std::ops::RangeInclusive<usize>) -> Option<i8> {
    if !digits.contains(&text.len()) || !text.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    text.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::time;

    #[test]
    fn times_are_read_as_they_are_written() {
        for (text, told) in [
            ("16:30", time(16, 30, 0, 0)),
            ("16.30", time(16, 30, 0, 0)),
            ("00:00", time(0, 0, 0, 0)),
            ("9:05", time(9, 5, 0, 0)),
            ("09:05:59", time(9, 5, 59, 0)),
            ("16.30.05", time(16, 30, 5, 0)),
            ("16:30:05.25", time(16, 30, 5, 250_000_000)),
            ("16:30:05,123456789123", time(16, 30, 5, 123_456_789)),
            ("23:59:60", time(23, 59, 59, 0)),
            ("4:30 pm", time(16, 30, 0, 0)),
            ("4:30PM", time(16, 30, 0, 0)),
            ("12:15 a.m.", time(0, 15, 0, 0)),
            ("12:15 p.m.", time(12, 15, 0, 0)),
            ("4 pm", time(16, 0, 0, 0)),
        ] {
            assert_eq!(read(text), Some(told), "{text}");
        }
    }

    #[test]
    fn what_is_no_time_of_day_is_none() {
        for text in [
            "",
            "16",
            "24:00",
            "16:60",
            "16:5",
            "16:30:61",
            "16:30:5",
            "1630",
            "16:30.5",
            "16.30:05",
            "16:30:05.",
            "16:30:05.x",
            "16:30 pm",
            "0:30 am",
            "13 pm",
            "noon",
            ":30",
            "-1:30",
            "16h30",
            "+9:30",
            "٩:٣٠",
            "16:30:00:00",
            "pm",
            "é:30",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn opening_times_may_be_hours_alone_and_end_with_the_day() {
        for (text, told) in [
            ("9", 540),
            ("09:00", 540),
            ("17.30", 1050),
            ("0", 0),
            ("24", DAY_MINUTES),
            ("24:00", DAY_MINUTES),
            ("5 pm", 1020),
            ("12 am", 0),
        ] {
            assert_eq!(minutes(text), Some(told), "{text}");
        }
        for text in ["", "25", "24:01", "9:60", "9:00:00", "nine", "24 pm", "124"] {
            assert_eq!(minutes(text), None, "{text}");
        }
        assert_eq!(
            (shown(540), shown(1445 - 5)),
            ("9:00".into(), "24:00".into())
        );
    }
}
