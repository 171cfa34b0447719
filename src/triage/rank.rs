//! The order of enquiries. The lesser rank comes first.
//!
//! 1. The two most urgent levels before everything else, overdue or not; then what is overdue; then the rest.
//! 2. The level: how soon to reply, what is not known counting as yes.
//! 3. Overdue before not.
//! 4. Known to be that urgent before urgent until answered.
//! 5. What the rulebook puts first within a level: someone who cannot protect themselves, the bird's welfare.
//! 6. The date that presses, the nearest first.
//! 7. The time waited, the longest first.
//!
//! What is still alike goes by the SHA-256 of its text, so that the order of the input never shows.

use std::fmt;

use jiff::Timestamp;

use crate::decision::Verdict;
use crate::facts::{Facts, Value};
use crate::language::Truth;
use crate::language::condition::{Scope, value};
use crate::rulebook::{Contact, Triage};

/// The place of an enquiry in the order of all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rank {
    /// 0 for the two most urgent levels, 1 for what else is overdue, 2 for the rest.
    band: u8,
    /// The level until answered; 0 is the most urgent.
    level: u8,
    /// 0 when it is overdue.
    in_time: u8,
    /// The level as known.
    known: u8,
    /// What the rulebook puts first, two bits each: 0 holds, 1 not known, 2 does not hold.
    first: u32,
    /// Days to the date that presses; 0 when it is not known, the greatest number when there is none.
    deadline: u16,
    /// Seconds from the far past to when the message came; 0 when that is not known.
    received: u64,
    /// The first eight bytes of the text's SHA-256.
    text: u64,
}

/// What a rank is made of, besides the facts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Times {
    pub(super) now: Timestamp,
    pub(super) received: Option<Timestamp>,
    pub(super) reply_by: Timestamp,
}

impl Rank {
    pub(super) fn of(
        triage: &Triage,
        verdict: &Verdict,
        facts: &Facts,
        times: Times,
        text: u64,
    ) -> Self {
        let steps = |contact: Contact| u8::try_from(Triage::level(contact)).unwrap_or(u8::MAX);
        let urgent = verdict.contact.until_answered >= Contact::SameDay;
        let overdue = times.reply_by <= times.now;
        let scope = &mut Scope::default();
        let first = triage.first.iter().fold(0, |so_far, first| {
            let holds = match first.when.truth(facts, scope) {
                Truth::True => 0,
                Truth::Blank => 1,
                Truth::False => 2,
            };
            so_far << 2 | holds
        });
        Self {
            band: match (urgent, overdue) {
                (true, _) => 0,
                (false, true) => 1,
                (false, false) => 2,
            },
            level: steps(verdict.contact.until_answered),
            in_time: u8::from(!overdue),
            known: steps(verdict.contact.known),
            first,
            deadline: deadline(triage, facts, scope),
            received: times.received.map_or(0, |at| {
                at.as_second().wrapping_sub(i64::MIN).cast_unsigned()
            }),
            text,
        }
    }

    /// When the message came, to the second; none where nobody said.
    #[must_use]
    pub fn received(&self) -> Option<Timestamp> {
        let seconds = self.received.cast_signed().wrapping_add(i64::MIN);
        (self.received != 0).then(|| Timestamp::from_second(seconds).ok())?
    }

    /// True when the reply is overdue.
    #[must_use]
    pub fn is_overdue(&self) -> bool {
        self.in_time == 0
    }

    /// What the rulebook puts first, by its place: whether it holds.
    #[must_use]
    pub fn first(&self, triage: &Triage) -> Vec<Truth> {
        let count = triage.first.len();
        (0..count)
            .map(|at| match self.first >> (2 * (count - 1 - at)) & 3 {
                0 => Truth::True,
                1 => Truth::Blank,
                _ => Truth::False,
            })
            .collect()
    }
}

/// Days to the date that presses. What is not known counts as today.
fn deadline(triage: &Triage, facts: &Facts, scope: &mut Scope) -> u16 {
    let none = triage
        .deadline_when
        .as_ref()
        .is_none_or(|when| when.truth(facts, scope) == Truth::False);
    if none {
        return u16::MAX;
    }
    match triage.deadline_date.map(|at| value(facts, scope, at)) {
        // Held as days before today, so a date ahead lies below zero.
        Some(Value::Number { high, .. }) => (-high).clamp(0.0, f64::from(u16::MAX - 1)) as u16,
        _ => 0,
    }
}

/// As a text whose order is the order of the ranks, for putting the results of several runs together.
impl fmt::Display for Rank {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:x}{:x}{:x}{:x}{:08x}{:04x}{:016x}{:016x}",
            self.band,
            self.level,
            self.in_time,
            self.known,
            self.first,
            self.deadline,
            self.received,
            self.text
        )
    }
}
