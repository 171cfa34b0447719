//! What a signature covers as it is found now. Whatever cannot be read is told as that: a byte that was changed may have made a file
//! of rules no rules any more, and it still has to be said which of them it was.

use std::path::Path;

use jiff::civil::Date;

use crate::case_file::{self, CaseFile};
use crate::decision::decide;
use crate::fingerprint;
use crate::house::House;
use crate::intake::Intake;
use crate::library::{Care, Library};
use crate::log::{Household, Log};
use crate::mistake::Problem;
use crate::review::Review;
use crate::rulebook::{LogBook, Rulebook};
use crate::source::Source;

use super::seal::{OfPractice, PROGRAM, Part, Seal, practice_of};

/// Where everything lies.
#[derive(Debug, Clone, Copy)]
pub struct Read<'a> {
    /// The intake.
    pub intake: &'a Path,
    /// The log.
    pub log: Option<&'a Path>,
    /// The rulebook's folder; the rulebook inside the program without one.
    pub rules: Option<&'a Path>,
    /// The practice's folder.
    pub practice: Option<&'a Path>,
    /// The day.
    pub today: Date,
}

/// What is found; `None` where it cannot be read.
#[derive(Debug)]
pub struct Found {
    intake: Option<String>,
    case_file: Option<Option<String>>,
    log: Option<Option<String>>,
    rulebook: Option<String>,
    practice: Option<Option<OfPractice>>,
    outcomes: Option<String>,
    /// Why something cannot be read.
    pub problems: Vec<Problem>,
}

impl Found {
    /// Reads all of it.
    #[must_use]
    pub fn of(read: Read<'_>) -> Self {
        let beside = case_file::beside(read.intake);
        let beside = beside.exists().then_some(beside);
        let of_one = |path: Option<&Path>| match path {
            None => Some(None),
            Some(path) => fingerprint_of(path).map(Some),
        };
        let mut found = Self {
            intake: fingerprint_of(read.intake),
            case_file: of_one(beside.as_deref()),
            log: of_one(read.log),
            rulebook: None,
            practice: read.practice.is_none().then_some(None),
            outcomes: None,
            problems: Vec::new(),
        };
        if let Err(problems) = found.decided(read) {
            found.problems.extend(problems);
        }
        found
    }

    /// Opens the house, reads the case and decides it, as far as that goes.
    fn decided(&mut self, read: Read<'_>) -> Result<(), Vec<Problem>> {
        let (library, care) = match read.rules {
            None => (Library::embedded(), Care::Trusted),
            Some(folder) => (Library::folder(folder)?, Care::Full),
        };
        self.rulebook = Some(library.fingerprint());
        let house = House::open(library, read.practice, care, read.today)?;
        self.practice = Some(practice_of(&house));
        let (voiced, _) = house.speaking(&house.practice.language)?;
        let rulebook = &voiced.rulebook;
        let source = Source::read(read.intake).map_err(|problem| vec![problem])?;
        let (questionnaire, vocabulary) = (&rulebook.questionnaire, &rulebook.vocabulary);
        let (intake, _) = Intake::read(questionnaire, vocabulary, source, read.today)?;
        let intake = intake.with_case_file(CaseFile::of_form(read.intake)?);
        let seal = match read.log {
            None => {
                let decision = decide(rulebook, &intake.answers, read.today);
                Seal::of(&house, rulebook, &intake, (&decision, None))
            }
            Some(path) => {
                let (book, _) = house.log_book(rulebook)?;
                let log = log_of(rulebook, &book, &intake, path, read.today)?;
                let review = Review::of(rulebook, &book, &intake.answers, &log, read.today);
                let logged = (&review.decision, Some((&log, &review)));
                Seal::of(&house, rulebook, &intake, logged)
            }
        };
        self.outcomes = Some(seal.outcomes);
        Ok(())
    }

    /// How one part stands against a signature: the same or not, `None` where it cannot be read.
    #[must_use]
    pub fn same(&self, seal: &Seal, part: Part) -> Option<bool> {
        let fingerprint = |it: &Option<OfPractice>| it.as_ref().map(|it| it.fingerprint.clone());
        match part {
            Part::Intake => self.intake.as_ref().map(|it| *it == seal.intake),
            Part::CaseFile => self.case_file.as_ref().map(|it| *it == seal.case_file),
            Part::Log => self.log.as_ref().map(|it| *it == seal.log),
            Part::Rulebook => {
                let found = self.rulebook.as_ref();
                found.map(|it| *it == seal.rulebook.fingerprint)
            }
            Part::Practice => {
                let found = self.practice.as_ref();
                found.map(|it| fingerprint(it) == fingerprint(&seal.practice))
            }
            Part::Program => Some(PROGRAM == seal.program),
            Part::Outcomes => self.outcomes.as_ref().map(|it| *it == seal.outcomes),
        }
    }
}

/// SHA-256 of a text without the mark that some editors put before it; of the bytes, where they are no text.
fn fingerprint_of(path: &Path) -> Option<String> {
    Source::read(path)
        .map(|source| fingerprint::of(source.text.as_bytes()))
        .ok()
        .or_else(|| std::fs::read(path).ok().map(|it| fingerprint::of(&it)))
}

/// A log, read with the form it belongs to.
fn log_of(
    rulebook: &Rulebook,
    book: &LogBook,
    intake: &Intake,
    path: &Path,
    today: Date,
) -> Result<Log, Vec<Problem>> {
    let people = intake.told_each(&rulebook.questionnaire, "people.name");
    let household = Household {
        reference: intake.told(&rulebook.questionnaire, "case.reference"),
        people: people.as_deref(),
    };
    let source = Source::read(path).map_err(|problem| vec![problem])?;
    Log::read(&book.questionnaire, household, &source, today).map(|(log, _)| log)
}
