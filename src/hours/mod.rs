//! When a reply is due: the practice's opening hours, days and holidays in its time zone, and a time to reply counted in them.
//!
//! Where a rule leaves a choice, the sooner reading holds: a reply rather comes too soon.
//!
//! - `Now`: the moment the message came.
//! - A message that comes while the practice is shut counts as come when it last shut.
//! - Working time: open time, counted from there across closings. It is time that passes, so a clock that is put forward or back
//!   within opening hours counts right.
//! - So many working days: the same time of day, so many open days later. Where the practice is not open on that day at that
//!   time: the last open moment before it on that day, or, where there is none, the day's opening.
//! - No reply is due later than 400 days after its message.
//!
//! Opening hours are read off the clock on the wall. A time that the clock leaves out is the moment at which it is put forward; of
//! one that comes twice, a practice opens at the first and shuts at the second. Before the clock is put back, the time of day of a
//! message is the earliest that it will still show: so a later message never has an earlier reply.

mod day;
mod holidays;
mod week;
mod window;
mod within;
pub mod zone;

pub use holidays::Holidays;
pub use week::{Span, Week};
pub use within::Within;

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use crate::dates::PartialDate;
use window::Window;

/// The longest a practice may be shut without a break, days.
pub const LONGEST_SHUT_DAYS: i32 = 366;

/// How far a due moment is looked for, days.
const SEARCH_DAYS: i64 = 400;

/// So many days before and after a moment are worked out when [`Hours::near`] is asked to.
const NEAR_DAYS: (i64, i64) = (2 * 366, 100);

/// So many days before and after a message are worked out when it lies elsewhere; more when these do not do.
const FAR_DAYS: [i64; 3] = [12, 60, SEARCH_DAYS + 2];

/// When a practice is open.
#[derive(Debug, Clone)]
pub struct Hours {
    zone: TimeZone,
    week: Week,
    holidays: Holidays,
    near: Window,
}

/// Why hours cannot be worked with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Shut {
    /// No day of the week has hours.
    #[error("the practice is open on no day of the week")]
    EveryDay,
    /// Holidays that never end, or nearly so.
    #[error("the practice is shut from {first} to {last}")]
    TooLong {
        /// The first day of the holidays.
        first: Date,
        /// The last day before it opens again.
        last: Date,
    },
}

impl Hours {
    /// From a zone, the hours of a week and the days on which none of them count.
    ///
    /// # Errors
    /// When it opens on no day of the week, or is shut for more than [`LONGEST_SHUT_DAYS`].
    pub fn new(zone: TimeZone, week: Week, holidays: Holidays) -> Result<Self, Shut> {
        if week.is_shut() {
            return Err(Shut::EveryDay);
        }
        let hours = Self {
            zone,
            week,
            holidays,
            near: Window::default(),
        };
        for (first, _) in hours.holidays.spans() {
            let last = hours.shut_until(first);
            if crate::dates::days_between(first, last) >= LONGEST_SHUT_DAYS {
                return Err(Shut::TooLong { first, last });
            }
        }
        Ok(hours)
    }

    /// Hours of which nothing is known but the zone: every hour of every day counts, and a working day is a day.
    #[must_use]
    pub fn round_the_clock(zone: TimeZone) -> Self {
        Self {
            zone,
            week: Week::round_the_clock(),
            holidays: Holidays::default(),
            near: Window::default(),
        }
    }

    /// The same hours, with the days around a moment worked out: what lies near it is then quick to ask for. No answer changes.
    #[must_use]
    pub fn near(mut self, now: Timestamp) -> Self {
        let (before, after) = NEAR_DAYS;
        self.near = Window::new(&self, now, before, after);
        self
    }

    /// The practice's time zone.
    #[must_use]
    pub fn zone(&self) -> &TimeZone {
        &self.zone
    }

    /// The hours of a week, and the holidays.
    #[must_use]
    pub fn told(&self) -> (&Week, &Holidays) {
        (&self.week, &self.holidays)
    }

    /// When a reply is due to a message that came at a moment (see the head of this module). Never before the message came.
    #[must_use]
    pub fn due(&self, received: Timestamp, within: Within) -> Timestamp {
        if within == Within::Now {
            return received;
        }
        let latest = received
            .checked_add(SignedDuration::from_hours(24 * SEARCH_DAYS))
            .unwrap_or(Timestamp::MAX);
        self.ask(received, |window| window.due(&self.zone, received, within))
            .map_or(latest, |due| due.clamp(received, latest))
    }

    /// When a reply is due by a table of levels, most urgent first: the soonest of what its own level and all less urgent ones
    /// give. So a more urgent message never has the later reply. For a level that is not in the table, at once.
    ///
    /// Without this it need not be so. `Now` comes before all others, less working time before more, and fewer working days before
    /// more; but four working hours end after one working day where some day is open for less than that.
    #[must_use]
    pub fn due_by(&self, received: Timestamp, table: &[Within], level: usize) -> Timestamp {
        table
            .get(level..)
            .unwrap_or_default()
            .iter()
            .map(|within| self.due(received, *within))
            .min()
            .unwrap_or(received)
    }

    /// The first moment, from one on and before another, at which the practice is shut: `from` itself where it is shut then. What
    /// has to be said before a reply that is due at `until` has to be said by then. `None` also where it stays open for more than
    /// 400 days.
    #[must_use]
    pub fn shut_between(&self, from: Timestamp, until: Timestamp) -> Option<Timestamp> {
        if from >= until {
            return None;
        }
        self.ask(from, |window| window.shut_between(from, until))?
    }

    /// True when the practice is shut at some moment from one on, and before another.
    #[must_use]
    pub fn closes_before(&self, from: Timestamp, until: Timestamp) -> bool {
        self.shut_between(from, until).is_some()
    }

    /// The moment an answer tells, in the practice's zone unless it tells an offset. A day alone, a month or a year is its first
    /// moment; of a time that the clock shows twice or leaves out, the earlier reading.
    #[must_use]
    pub fn moment(&self, told: &PartialDate) -> Timestamp {
        let day = told.first;
        told.moment()
            .and_then(|moment| {
                moment.at(day).or_else(|| {
                    let at = day.to_datetime(moment.time);
                    self.zone.to_ambiguous_timestamp(at).earlier().ok()
                })
            })
            .unwrap_or_else(|| day::first_moment(&self.zone, day))
    }

    /// Asks the days at hand, then ever more days around a moment.
    fn ask<T>(&self, around: Timestamp, ask: impl Fn(&Window) -> Option<T>) -> Option<T> {
        ask(&self.near).or_else(|| {
            FAR_DAYS
                .iter()
                .find_map(|days| ask(&Window::new(self, around, *days, *days)))
        })
    }

    /// The open spans of a day.
    fn open_on(&self, date: Date) -> &[Span] {
        if self.holidays.until(date).is_some() {
            return &[];
        }
        self.week.on(date.weekday())
    }

    /// The last day of the time it is shut from a day on.
    fn shut_until(&self, first: Date) -> Date {
        let mut last = first;
        loop {
            last = self.holidays.until(last).unwrap_or(last);
            match last.tomorrow() {
                Ok(next) if self.open_on(next).is_empty() => last = next,
                _ => return last,
            }
        }
    }
}
