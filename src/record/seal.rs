//! What a signature covers: everything a plan is made from, and what was decided.

use serde::{Deserialize, Serialize};

use crate::decision::Decision;
use crate::house::House;
use crate::intake::Intake;
use crate::log::Log;
use crate::review::Review;
use crate::rulebook::Rulebook;

use super::outcomes;

/// The edition of a rulebook.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OfRulebook {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// SHA-256 over its files.
    pub fingerprint: String,
}

/// The edition of a practice's folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OfPractice {
    /// The name of its own rules, where it keeps count of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Their version.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub version: Option<String>,
    /// SHA-256 over its files.
    pub fingerprint: String,
}

/// What a signature covers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Seal {
    /// SHA-256 of the intake.
    pub intake: String,
    /// SHA-256 of what the consultant keeps beside the intake, where there is anything.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub case_file: Option<String>,
    /// SHA-256 of the log, where the plan was made with one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub log: Option<String>,
    /// The rulebook.
    pub rulebook: OfRulebook,
    /// The practice, where its folder was laid over the rulebook.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub practice: Option<OfPractice>,
    /// The version of the program.
    pub program: String,
    /// SHA-256 over what was decided, so that a change that comes with the day alone is seen.
    pub outcomes: String,
}

/// One thing a signature covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The intake.
    Intake,
    /// The consultant's file beside the intake.
    CaseFile,
    /// The log.
    Log,
    /// The rulebook.
    Rulebook,
    /// The practice's folder.
    Practice,
    /// The program.
    Program,
    /// What was decided.
    Outcomes,
}

impl Part {
    /// All of them, in the order they are told.
    pub const ALL: &[Self] = &[
        Self::Intake,
        Self::CaseFile,
        Self::Log,
        Self::Rulebook,
        Self::Practice,
        Self::Program,
        Self::Outcomes,
    ];

    /// Its word, as JSON and templates have it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Intake => "intake",
            Self::CaseFile => "case-file",
            Self::Log => "log",
            Self::Rulebook => "rulebook",
            Self::Practice => "practice",
            Self::Program => "program",
            Self::Outcomes => "outcomes",
        }
    }

    /// What it is called in messages.
    #[must_use]
    pub fn named(self) -> &'static str {
        match self {
            Self::Intake => "the intake",
            Self::CaseFile => "the case file beside it",
            Self::Log => "the log",
            Self::Rulebook => "the rulebook",
            Self::Practice => "the practice's folder",
            Self::Program => "the program",
            Self::Outcomes => "what is decided",
        }
    }
}

/// The program's version.
pub(super) const PROGRAM: &str = env!("CARGO_PKG_VERSION");

impl Seal {
    /// What a signature given now would cover.
    #[must_use]
    pub fn of(
        house: &House,
        rulebook: &Rulebook,
        intake: &Intake,
        (decision, logged): (&Decision, Option<(&Log, &Review)>),
    ) -> Self {
        let review = logged.map(|(_, review)| review);
        Self {
            intake: intake.fingerprint.clone(),
            case_file: intake.case_file_fingerprint.clone(),
            log: logged.map(|(log, _)| log.fingerprint.clone()),
            rulebook: OfRulebook {
                name: rulebook.tables.edition.name.clone(),
                version: rulebook.tables.edition.version.to_string(),
                fingerprint: house.base_fingerprint.clone(),
            },
            practice: practice_of(house),
            program: PROGRAM.to_owned(),
            outcomes: outcomes::fingerprint(decision, review),
        }
    }

    /// What differs from another one. Only bytes count: a rulebook with another name for the same files is the same.
    #[must_use]
    pub fn differs(&self, other: &Self) -> Vec<Part> {
        let fingerprint = |it: &Option<OfPractice>| it.as_ref().map(|it| it.fingerprint.clone());
        let same = |part: Part| match part {
            Part::Intake => self.intake == other.intake,
            Part::CaseFile => self.case_file == other.case_file,
            Part::Log => self.log == other.log,
            Part::Rulebook => self.rulebook.fingerprint == other.rulebook.fingerprint,
            Part::Practice => fingerprint(&self.practice) == fingerprint(&other.practice),
            Part::Program => self.program == other.program,
            Part::Outcomes => self.outcomes == other.outcomes,
        };
        Part::ALL.iter().copied().filter(|it| !same(*it)).collect()
    }
}

/// The edition of a house's own folder.
pub(super) fn practice_of(house: &House) -> Option<OfPractice> {
    let edition = house.edition();
    Some(OfPractice {
        name: edition.map(|edition| edition.name.clone()),
        version: edition.map(|edition| edition.version.to_string()),
        fingerprint: house.practice_fingerprint.clone()?,
    })
}
