//! One intake, read and checked: its text, its answers and the places of everything in it.

use jiff::civil::Date;

use crate::answers::{self, Answers};
use crate::facts::{self, Vocabulary};
use crate::fingerprint;
use crate::mistake::{Problem, sort};
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::{Path, Places};
use crate::yaml;

/// An intake that can be decided on.
#[derive(Debug, Clone)]
pub struct Intake {
    /// Its text.
    pub source: Source,
    /// Its answers.
    pub answers: Answers,
    /// Where everything stands.
    pub places: Places,
    /// SHA-256 of its text.
    pub fingerprint: String,
}

impl Intake {
    /// Reads and checks an intake; warnings come along with it.
    ///
    /// # Errors
    /// All mistakes and warnings, when at least one is an error.
    pub fn read(
        questionnaire: &Questionnaire,
        vocabulary: &Vocabulary,
        source: Source,
        today: Date,
    ) -> Result<(Self, Vec<Problem>), Vec<Problem>> {
        let document = yaml::read(&source)?;
        let places = document.places();
        let copy = || places.clone();
        let (answers, mut problems) = answers::read(
            questionnaire,
            &source,
            &document.root,
            &Path::default(),
            &copy,
            today,
        );
        // An answer that could not be read is a fault already; what it says of other answers is not known.
        let readable = !problems.iter().any(Problem::is_error);
        problems.extend(
            answers::check(questionnaire, &answers, &source, &copy, today)
                .into_iter()
                .filter(|problem| readable || problem.is_error()),
        );
        if readable {
            problems.extend(facts::check(
                questionnaire,
                vocabulary,
                &answers,
                &source,
                &copy,
                today,
            ));
        }
        sort(&mut problems);
        if problems.iter().any(Problem::is_error) {
            return Err(problems);
        }
        let fingerprint = fingerprint::of(source.text.as_bytes());
        Ok((
            Self {
                answers,
                places,
                fingerprint,
                source,
            },
            problems,
        ))
    }
}
