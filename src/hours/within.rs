//! How long a reply may take.

use std::fmt;

/// How long a reply may take, counted from when the message came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Within {
    /// It is due the moment the message comes.
    Now,
    /// So many minutes in which the practice is open.
    WorkingMinutes(u32),
    /// The same time of day, so many open days later.
    WorkingDays(u16),
}

impl Within {
    /// So many hours in which the practice is open.
    #[must_use]
    pub const fn working_hours(hours: u16) -> Self {
        Self::WorkingMinutes(hours as u32 * 60)
    }

    /// Reads `now` (also `at once`, `immediately`), `30 working minutes`, `4 working hours`, `1.5 working hours`,
    /// `3 working days`. Part of a minute is left out, as the sooner.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        if ["now", "at once", "immediately"].contains(&text) {
            return Some(Self::Now);
        }
        let (number, unit) = text.split_once(' ')?;
        if !number.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
            return None;
        }
        match unit.strip_prefix("working ")? {
            "minute" | "minutes" => number.parse().ok().map(Self::WorkingMinutes),
            "hour" | "hours" => {
                let minutes = number.parse::<f64>().ok()? * 60.0;
                // More than a table of replies can mean; and small enough for the cast below.
                (minutes <= 60.0 * 24.0 * 366.0).then_some(Self::WorkingMinutes(minutes as u32))
            }
            "day" | "days" => number.parse().ok().map(Self::WorkingDays),
            _ => None,
        }
    }
}

impl fmt::Display for Within {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let counted = |f: &mut fmt::Formatter<'_>, number: u32, unit: &str| {
            write!(
                f,
                "{number} working {unit}{}",
                if number == 1 { "" } else { "s" }
            )
        };
        match *self {
            Self::Now => f.write_str("now"),
            Self::WorkingMinutes(minutes) if minutes > 0 && minutes % 60 == 0 => {
                counted(f, minutes / 60, "hour")
            }
            Self::WorkingMinutes(minutes) => counted(f, minutes, "minute"),
            Self::WorkingDays(days) => counted(f, u32::from(days), "day"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_of_working_time_are_read_and_shown() {
        for (text, within) in [
            ("now", Within::Now),
            ("30 working minutes", Within::WorkingMinutes(30)),
            ("1 working hour", Within::working_hours(1)),
            ("4 working hours", Within::WorkingMinutes(240)),
            ("90 working minutes", Within::WorkingMinutes(90)),
            ("1 working day", Within::WorkingDays(1)),
            ("5 working days", Within::WorkingDays(5)),
        ] {
            assert_eq!(Within::read(text), Some(within), "{text}");
            assert_eq!(within.to_string(), text);
        }
        assert_eq!(Within::read("at once"), Some(Within::Now));
        assert_eq!(
            Within::read("1.5 working hours"),
            Some(Within::WorkingMinutes(90))
        );
        for text in [
            "",
            "soon",
            "4 hours",
            "1.5 working days",
            "-1 working days",
            "inf working hours",
            "99999 working days",
            "9999999 working hours",
            " working days",
        ] {
            assert_eq!(Within::read(text), None, "{text}");
        }
    }
}
