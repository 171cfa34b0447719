//! What enquiries are assessed with: the rulebook made ready, the practice's hours, and the moment it is.

use jiff::{Timestamp, ZonedDateTime};

use crate::decision::brief::Briefing;
use crate::hours::Hours;
use crate::rulebook::{Rulebook, Triage};

/// What enquiries are assessed with.
#[derive(Debug)]
pub struct Desk<'r> {
    /// The rulebook, made ready for the day it is in the practice's time zone.
    pub briefing: Briefing<'r>,
    /// When the practice is open.
    pub hours: Hours,
    /// The moment it is.
    pub now: Timestamp,
}

impl<'r> Desk<'r> {
    /// A desk at a moment. Hours that were not told count round the clock, which gives the soonest replies.
    #[must_use]
    pub fn at(rulebook: &'r Rulebook, hours: Option<Hours>, now: &ZonedDateTime) -> Self {
        let hours = hours.unwrap_or_else(|| Hours::round_the_clock(now.time_zone().clone()));
        let today = now.with_time_zone(hours.zone().clone()).date();
        Self {
            briefing: Briefing::of(rulebook, today),
            hours: hours.near(now.timestamp()),
            now: now.timestamp(),
        }
    }

    /// The rulebook.
    #[must_use]
    pub fn rulebook(&self) -> &'r Rulebook {
        self.briefing.rulebook
    }

    /// How enquiries are ranked.
    #[must_use]
    pub fn triage(&self) -> &'r Triage {
        &self.briefing.rulebook.triage
    }
}
