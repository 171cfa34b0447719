//! A whole case redacted: form and log written anew without what tells who they are about, and read again like any other.

use jiff::civil::Date;

use crate::answers::Overruling;
use crate::answers::{Answers, flow};
use crate::decision::decide;
use crate::intake::Intake;
use crate::log::{Household, Log};
use crate::mistake::Problem;
use crate::questionnaire::Questionnaire;
use crate::rulebook::{LogBook, Rulebook};
use crate::source::Source;
use crate::wording::Practice;

use super::{Account, Redactor, Secret};

/// A redacted case.
#[derive(Debug)]
pub struct Case {
    /// The form.
    pub intake: Intake,
    /// The log, where there is one.
    pub log: Option<Log>,
    /// The day, moved like all others.
    pub today: Date,
    /// What was replaced.
    pub secrets: Vec<Secret>,
    /// What was done.
    pub account: Account,
    /// Outcomes that came out another way, because a place or part of a date is gone: their names.
    pub differs: Vec<&'static str>,
}

impl Case {
    /// Redacts a case. `ordinary` holds all texts that papers are made from.
    ///
    /// # Errors
    /// When the redacted form or log cannot be read any more.
    pub fn of(
        rulebook: &Rulebook,
        intake: &Intake,
        log: Option<(&LogBook, &Log)>,
        today: Date,
        practice: &Practice,
        ordinary: &str,
    ) -> Result<Self, Vec<Problem>> {
        let questionnaire = &rulebook.questionnaire;
        let key = &*intake.source.text;
        let mut redactor = Redactor::of(questionnaire, &intake.answers, key, ordinary);
        redactor.learn_practice(practice);
        if let Some((book, log)) = log {
            redactor.learn(&book.questionnaire, &log.answers);
        }
        let moved = redactor.day(today);
        let written = |questionnaire: &Questionnaire, answers: &Answers, name: &str| {
            Source::new(name, flow(questionnaire, answers))
        };
        let answers = redactor.answers(questionnaire, &intake.answers);
        let source = written(questionnaire, &answers, "redacted form");
        let (mut redacted, _) = Intake::read(questionnaire, &rulebook.vocabulary, source, moved)?;
        let overrulings = intake.answers.overrulings.iter();
        redacted.answers.overrulings = overrulings.map(|one| unnamed(one, &redactor)).collect();
        let log = match log {
            None => None,
            Some((book, log)) => {
                let answers = redactor.answers(&book.questionnaire, &log.answers);
                let source = written(&book.questionnaire, &answers, "redacted log");
                let household = Household::default();
                Some(Log::read(&book.questionnaire, household, &source, moved)?.0)
            }
        };
        let before = decide(rulebook, &intake.answers, today).verdict;
        let after = decide(rulebook, &redacted.answers, moved).verdict;
        let differs = [
            ("risk", before.risk == after.risk),
            ("start", before.start == after.start),
            ("contact", before.contact == after.contact),
            ("vet", before.vet == after.vet),
        ]
        .into_iter()
        .filter(|(_, same)| !same)
        .map(|(name, _)| name)
        .collect();
        Ok(Self {
            intake: redacted,
            log,
            today: moved,
            secrets: redactor.secrets().to_vec(),
            account: redactor.account,
            differs,
        })
    }
}

/// A departure without who wrote it and why, which may name anyone; its days are moved with all others.
fn unnamed(one: &Overruling, redactor: &Redactor) -> Overruling {
    Overruling {
        steps: one.steps,
        reason: String::new(),
        by: String::new(),
        second: None,
        date: redactor.day(one.date),
        until: redactor.day(one.until),
    }
}
