//! The days around a moment, worked out once: when each begins, and when the practice is open on it.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::day::Day;
use super::{Hours, Within};

/// So many days in a row, as moments. Every answer is `None` where it hangs on a day that is not among them.
#[derive(Debug, Clone, Default)]
pub(super) struct Window {
    /// The first of them.
    first: Date,
    days: Vec<Kept>,
    /// Open time, in order; no span is empty, and none goes over the end of its day.
    open: Vec<Open>,
}

/// A day.
#[derive(Debug, Clone, Copy)]
struct Kept {
    start: Timestamp,
    end: Timestamp,
    /// The place of its first span, or of the next day's when it has none.
    open: usize,
    even: bool,
}

/// A span of open time.
#[derive(Debug, Clone, Copy)]
struct Open {
    from: Timestamp,
    to: Timestamp,
    /// The place of its day.
    day: usize,
}

/// When a message counts as come.
#[derive(Debug, Clone, Copy)]
struct Come {
    at: Timestamp,
    /// The place of the span in which it came, or at whose end.
    open: usize,
}

impl Window {
    /// The days from so many before a moment to so many after it.
    pub(super) fn new(hours: &Hours, around: Timestamp, before: i64, after: i64) -> Self {
        let days = |count: i64| SignedDuration::from_hours(24 * count);
        let date = |moment: Timestamp| hours.zone.to_datetime(moment).date();
        let from = around.checked_sub(days(before)).unwrap_or(Timestamp::MIN);
        let to = around.checked_add(days(after)).unwrap_or(Timestamp::MAX);
        let (first, last) = (date(from), date(to));
        let mut window = Self {
            first,
            ..Self::default()
        };
        let mut at = first;
        loop {
            window.add(hours, at);
            match at.tomorrow() {
                Ok(next) if next <= last => at = next,
                _ => break,
            }
        }
        window
    }

    fn add(&mut self, hours: &Hours, date: Date) {
        let day = Day::new(&hours.zone, date);
        let place = self.days.len();
        self.days.push(Kept {
            start: day.start,
            end: day.end,
            open: self.open.len(),
            even: day.is_even(),
        });
        for span in hours.open_on(date) {
            let minutes = |minutes: u16| SignedDuration::from_mins(i64::from(minutes));
            let from = day.first_at(minutes(span.from()));
            let to = day.last_at(minutes(span.to()));
            // The clock may leave a whole span out.
            if from < to {
                self.open.push(Open {
                    from,
                    to,
                    day: place,
                });
            }
        }
    }

    /// When a reply is due.
    pub(super) fn due(
        &self,
        zone: &TimeZone,
        received: Timestamp,
        within: Within,
    ) -> Option<Timestamp> {
        match within {
            Within::Now => Some(received),
            Within::WorkingMinutes(minutes) => self.after_open_time(
                self.come(received)?,
                SignedDuration::from_mins(i64::from(minutes)),
            ),
            Within::WorkingDays(days) => self.after_open_days(zone, self.come(received)?, days),
        }
    }

    /// The first moment from one on, and before another, at which the practice is shut; `Some(None)` when there is none.
    pub(super) fn shut_between(
        &self,
        from: Timestamp,
        until: Timestamp,
    ) -> Option<Option<Timestamp>> {
        let come = self.come(from)?;
        let mut shut = self.open.get(come.open)?.to;
        if shut <= from {
            return Some(Some(from).filter(|shut| *shut < until));
        }
        for next in self.open.get(come.open + 1..)? {
            if shut >= until || next.from > shut {
                return Some(Some(shut).filter(|shut| *shut < until));
            }
            shut = next.to;
        }
        // What comes after the last span is not known.
        (shut >= until).then_some(None)
    }

    /// A message that comes while the practice is shut counts as come when it shut.
    fn come(&self, received: Timestamp) -> Option<Come> {
        if received >= self.days.last()?.end {
            return None;
        }
        let after = self.open.partition_point(|open| open.from <= received);
        let place = after.checked_sub(1)?;
        Some(Come {
            at: received.min(self.open.get(place)?.to),
            open: place,
        })
    }

    fn after_open_time(&self, come: Come, mut left: SignedDuration) -> Option<Timestamp> {
        let mut at = come.at;
        for open in self.open.get(come.open..)? {
            at = at.max(open.from);
            let here = open.to.duration_since(at);
            if left <= here {
                return at.checked_add(left).ok();
            }
            left -= here;
            at = open.to;
        }
        None
    }

    fn after_open_days(&self, zone: &TimeZone, come: Come, days: u16) -> Option<Timestamp> {
        let came_on = self.open.get(come.open)?.day;
        let mut left = days;
        let mut day = came_on;
        while left > 0 {
            day += 1;
            left -= u16::from(!self.open_on(day)?.is_empty());
        }
        let open = self.open_on(day)?;
        let at = self.same_time(zone, come.at, came_on, day)?;
        let mut due = open.first()?.from;
        for span in open {
            if span.from <= at {
                due = at.min(span.to);
            }
        }
        Some(due)
    }

    /// The same time of day on another day.
    fn same_time(
        &self,
        zone: &TimeZone,
        at: Timestamp,
        day: usize,
        other: usize,
    ) -> Option<Timestamp> {
        let (here, there) = (self.days.get(day)?, self.days.get(other)?);
        if here.even && there.even {
            return there.start.checked_add(at.duration_since(here.start)).ok();
        }
        let date = |place: usize| {
            let days = SignedDuration::from_hours(24 * i64::try_from(place).ok()?);
            self.first.checked_add(days).ok()
        };
        let time = Day::new(zone, date(day)?).time_at(at);
        Some(Day::new(zone, date(other)?).first_at(time))
    }

    fn open_on(&self, day: usize) -> Option<&[Open]> {
        let from = self.days.get(day)?.open;
        let to = self
            .days
            .get(day + 1)
            .map_or(self.open.len(), |next| next.open);
        self.open.get(from..to)
    }
}
