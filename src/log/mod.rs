//! The log: what the household writes down of each session and each day, read with the same care as an intake.
//!
//! | part | holds |
//! |---|---|
//! | [`Log`] | one log, read and checked |
//! | [`Session`], [`Day`], [`Change`] | its entries, typed |
//! | [`Worst`], [`Red`] | what was seen in a session, from calm to broken skin |
//! | [`add`] | one entry more, without touching what stands there |

pub mod add;
mod check;
mod entry;
mod slots;

pub use entry::{Change, ChangeKind, Day, Ended, GOOD_SHARE, Red, Session, Worst};
pub use slots::{NEEDED, Slot, Slots};

use jiff::civil::Date;

use crate::answers::{self, Answers};
use crate::fingerprint;
use crate::mistake::{Problem, sort};
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::{Path, Places};
use crate::yaml;

/// How many keys and list items a log may hold: years of daily entries.
pub const MAX_ENTRIES: usize = 100_000;

/// What of the intake a log is read with.
#[derive(Debug, Clone, Copy, Default)]
pub struct Household<'a> {
    /// The case reference, if it was told.
    pub reference: Option<&'a str>,
    /// The names or codes of its people; `None` to read a log on its own.
    pub people: Option<&'a [String]>,
}

/// A log that can be worked with: entries in the order of their days, and within a day in the order they were written.
#[derive(Debug, Clone)]
pub struct Log {
    /// Sessions.
    pub sessions: Vec<Session>,
    /// Days; one may be told in several blocks, which add up.
    pub days: Vec<Day>,
    /// Changes.
    pub changes: Vec<Change>,
    /// All answers, as they stand.
    pub answers: Answers,
    /// SHA-256 of its text.
    pub fingerprint: String,
}

impl Log {
    /// Reads and checks a log; warnings come along with it.
    ///
    /// # Errors
    /// All mistakes and warnings, when at least one is an error.
    pub fn read(
        questionnaire: &Questionnaire,
        household: Household<'_>,
        source: &Source,
        today: Date,
    ) -> Result<(Self, Vec<Problem>), Vec<Problem>> {
        let document = yaml::read_up_to(source, MAX_ENTRIES)?;
        let places: std::cell::OnceCell<Places> = std::cell::OnceCell::new();
        let copy = || places.get_or_init(|| document.places()).clone();
        let (answers, mut problems) = answers::read(
            questionnaire,
            source,
            &document.root,
            &Path::default(),
            &copy,
            today,
        );
        if problems.iter().any(Problem::is_error) {
            sort(&mut problems);
            return Err(problems);
        }
        let slots = Slots::of(questionnaire);
        let (log, faults) = entry::entries(questionnaire, &slots, answers, source);
        problems.extend(Problem::of_answers(faults, source, &copy));
        let faults = check::check(questionnaire, &slots, household, &log);
        problems.extend(Problem::of_answers(faults, source, &copy));
        sort(&mut problems);
        if problems.iter().any(Problem::is_error) {
            return Err(problems);
        }
        Ok((log, problems))
    }

    /// True when nothing is written down yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sessions.is_empty() && self.days.is_empty()
    }

    /// The first and the last day with an entry.
    #[must_use]
    pub fn span(&self) -> Option<(Date, Date)> {
        let days = self.days.iter().map(|day| day.date);
        let sessions = self.sessions.iter().map(|session| session.date);
        let all = days.chain(sessions);
        let (mut first, mut last) = (None, None);
        for date in all {
            first = Some(first.map_or(date, |other: Date| other.min(date)));
            last = Some(last.map_or(date, |other: Date| other.max(date)));
        }
        first.zip(last)
    }

    /// The fingerprint of the text, set by [`Log::read`].
    fn fingerprinted(mut self, source: &Source) -> Self {
        self.fingerprint = fingerprint::of(source.text.as_bytes());
        self
    }
}
