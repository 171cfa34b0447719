//! One intake, read and checked: its text, its answers and the places of everything in it.

use jiff::civil::Date;

use crate::answers::{self, Answers};
use crate::case_file::CaseFile;
use crate::facts::{self, Facts, Vocabulary};
use crate::fingerprint;
use crate::mistake::{Problem, sort};
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::{Node, Path, Places};
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
    /// SHA-256 of the consultant's own file beside it; `None` where there is none.
    pub case_file_fingerprint: Option<String>,
}

/// The answers of one form, read and checked, whatever was found wrong with them.
#[derive(Debug)]
pub struct Checked {
    /// The answers; those that could not be read are blank.
    pub answers: Answers,
    /// What rules see of them.
    pub facts: Facts,
    /// Mistakes and warnings, in the order of the file.
    pub problems: Vec<Problem>,
}

impl Checked {
    /// Reads and checks a form from its tree. Places are looked up only for a fault.
    #[must_use]
    pub fn read(
        questionnaire: &Questionnaire,
        vocabulary: &Vocabulary,
        source: &Source,
        root: &Node<'_>,
        places: &dyn Fn() -> Places,
        today: Date,
    ) -> Self {
        Self::apart(
            questionnaire,
            vocabulary,
            source,
            root,
            (places, places),
            today,
        )
    }

    /// The same, with warnings that tell no place where nothing is worse than a warning: for those who only count them. Places take
    /// as long as all the rest.
    #[must_use]
    pub fn read_to_count(
        questionnaire: &Questionnaire,
        vocabulary: &Vocabulary,
        source: &Source,
        root: &Node<'_>,
        places: &dyn Fn() -> Places,
        today: Date,
    ) -> Self {
        let nowhere: &dyn Fn() -> Places = &Places::default;
        let checked = Self::apart(
            questionnaire,
            vocabulary,
            source,
            root,
            (places, nowhere),
            today,
        );
        if checked.is_sound() {
            return checked;
        }
        Self::read(questionnaire, vocabulary, source, root, places, today)
    }

    fn apart(
        questionnaire: &Questionnaire,
        vocabulary: &Vocabulary,
        source: &Source,
        root: &Node<'_>,
        (of_answers, places): (&dyn Fn() -> Places, &dyn Fn() -> Places),
        today: Date,
    ) -> Self {
        let (answers, mut problems) = answers::read_apart(
            questionnaire,
            source,
            root,
            &Path::default(),
            (of_answers, places),
            today,
        );
        // An answer that could not be read is a fault already; what it says of other answers is not known.
        let readable = !problems.iter().any(Problem::is_error);
        problems.extend(
            answers::check(questionnaire, &answers, source, places, today)
                .into_iter()
                .filter(|problem| readable || problem.is_error()),
        );
        let (facts, workings) = Facts::with_workings(questionnaire, vocabulary, &answers, today);
        if readable {
            let figures = (&facts, &workings);
            problems.extend(facts::check(
                questionnaire,
                vocabulary,
                &answers,
                figures,
                source,
                places,
            ));
        }
        sort(&mut problems);
        Self {
            answers,
            facts,
            problems,
        }
    }

    /// True when nothing is wrong with it; warnings do not count.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        !self.problems.iter().any(Problem::is_error)
    }
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
        let checked = Checked::read(
            questionnaire,
            vocabulary,
            &source,
            &document.root,
            &|| places.clone(),
            today,
        );
        if !checked.is_sound() {
            return Err(checked.problems);
        }
        let (answers, problems) = (checked.answers, checked.problems);
        let fingerprint = fingerprint::of(source.text.as_bytes());
        Ok((
            Self {
                answers,
                places,
                fingerprint,
                case_file_fingerprint: None,
                source,
            },
            problems,
        ))
    }

    /// The same case with what the consultant keeps beside it.
    #[must_use]
    pub fn with_case_file(mut self, beside: CaseFile) -> Self {
        self.answers.overrulings = beside.overrulings;
        self.case_file_fingerprint = beside.fingerprint;
        self
    }

    /// What was told to a question, named as `group.question`.
    #[must_use]
    pub fn told(&self, questionnaire: &Questionnaire, question: &str) -> Option<&str> {
        let (group, question) = questionnaire.find(question)?;
        self.answers.text(group, None, question)
    }

    /// What was told to a question of a repeated group, entry by entry; `None` while the group was not told.
    #[must_use]
    pub fn told_each(&self, questionnaire: &Questionnaire, question: &str) -> Option<Vec<String>> {
        let (group, question) = questionnaire.find(question)?;
        let answers = &self.answers;
        let count = answers.entries(group)?.len();
        let told = (0..count).filter_map(|item| answers.text(group, Some(item), question));
        Some(told.map(str::to_owned).collect())
    }
}
