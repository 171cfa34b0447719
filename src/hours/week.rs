//! The opening hours of a week, by the clock on the wall.

use jiff::civil::Weekday;

use crate::clock::DAY_MINUTES;

/// A span of open time on one day, in minutes since midnight; the end does not count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    from: u16,
    to: u16,
}

impl Span {
    /// The whole day.
    pub const DAY: Self = Self {
        from: 0,
        to: DAY_MINUTES,
    };

    /// From one minute of the day to a later one, at the latest its end; `None` for any other.
    #[must_use]
    pub fn new(from: u16, to: u16) -> Option<Self> {
        (from < to && to <= DAY_MINUTES).then_some(Self { from, to })
    }

    /// When it opens, minutes since midnight.
    #[must_use]
    pub fn from(self) -> u16 {
        self.from
    }

    /// When it closes, minutes since midnight.
    #[must_use]
    pub fn to(self) -> u16 {
        self.to
    }

    /// True when some minute lies in both.
    #[must_use]
    pub fn meets(self, other: Self) -> bool {
        self.from < other.to && other.from < self.to
    }
}

/// The open spans of each day of the week; none for a day that is shut.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Week([Vec<Span>; 7]);

impl Week {
    /// A week from the spans of its days, Monday first. Spans that meet or touch are one.
    #[must_use]
    pub fn new(mut days: [Vec<Span>; 7]) -> Self {
        for spans in &mut days {
            spans.sort_unstable();
            spans.dedup_by(|next, last| {
                let joined = next.from <= last.to;
                if joined {
                    last.to = last.to.max(next.to);
                }
                joined
            });
        }
        Self(days)
    }

    /// A week in which nobody ever goes home.
    #[must_use]
    pub fn round_the_clock() -> Self {
        Self(std::array::from_fn(|_| vec![Span::DAY]))
    }

    /// The spans of a day of the week, in order.
    #[must_use]
    pub fn on(&self, day: Weekday) -> &[Span] {
        let at = usize::try_from(day.to_monday_zero_offset()).unwrap_or_default();
        self.0.get(at).map_or(&[], Vec::as_slice)
    }

    /// True when it opens on no day.
    #[must_use]
    pub fn is_shut(&self) -> bool {
        self.0.iter().all(Vec::is_empty)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_lies_within_its_day_and_ends_after_it_begins() {
        assert!(Span::new(540, 1020).is_some() && Span::new(0, 1440).is_some());
        assert!(Span::new(540, 540).is_none() && Span::new(1020, 540).is_none());
        assert!(Span::new(540, 1441).is_none());
    }

    #[test]
    fn spans_that_meet_are_one() {
        let span = |from, to| Span { from, to };
        let monday = vec![
            span(840, 1080),
            span(540, 720),
            span(700, 780),
            span(780, 800),
        ];
        let week = Week::new([monday, vec![], vec![], vec![], vec![], vec![], vec![]]);
        assert_eq!(week.on(Weekday::Monday), [span(540, 800), span(840, 1080)]);
        assert!(week.on(Weekday::Sunday).is_empty() && !week.is_shut());
        assert!(Week::default().is_shut());
    }
}
