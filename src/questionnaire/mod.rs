//! The questions, as data. Knows nothing of answers, rules or papers.

mod load;

pub use load::{ALLOWED, GROUP_KEYS, KINDS, MOST_CHOICES, QUESTION_KEYS, UNITS, load};

use crate::units::Unit;
use crate::words::alike;

/// What kind of answer a question takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Yes or no.
    YesNo,
    /// One of several, in no order.
    Choice,
    /// One of several, in an order from mild to strong.
    Level,
    /// Any number of several.
    Choices,
    /// A number in a unit.
    Number(Unit),
    /// A day, or part of a date.
    Date,
    /// Free text.
    Text,
}

impl Kind {
    /// The questionnaire's word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::YesNo => "yes-no",
            Self::Choice => "choice",
            Self::Level => "level",
            Self::Choices => "choices",
            Self::Number(_) => "number",
            Self::Date => "date",
            Self::Text => "text",
        }
    }
}

/// What a text tells of who a case is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Identifies {
    /// Someone of the household, or near it.
    Person,
    /// Whoever wrote an entry: a name, or a word such as `consultant`.
    Writer,
    /// The bird.
    Bird,
    /// Where it lives.
    Place,
    /// The case.
    Code,
    /// The bird's ring or chip.
    Ring,
    /// The vet or clinic.
    Vet,
    /// What a place in the room is called.
    Label,
    /// The practice that works with the household.
    Practice,
    /// How someone of the household is reached: a telephone number, an address of mail.
    Contact,
}

impl Identifies {
    /// The words of question files, in order.
    pub const WORDS: &[&str] = &[
        "person", "writer", "bird", "place", "code", "ring", "vet", "label", "practice", "contact",
    ];
    /// All of them, in order.
    pub const ALL: &[Self] = &[
        Self::Person,
        Self::Writer,
        Self::Bird,
        Self::Place,
        Self::Code,
        Self::Ring,
        Self::Vet,
        Self::Label,
        Self::Practice,
        Self::Contact,
    ];

    /// The word of a stand-in.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Writer => Self::Person.word(),
            other => Self::WORDS[other as usize],
        }
    }
}

/// When a question is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Tier {
    /// At first contact.
    Enquiry,
    /// On the full form.
    Intake,
    /// By the consultant, during the work.
    Visit,
}

/// The tiers' words, in order.
pub const TIERS: &[&str] = &["enquiry", "intake", "visit"];

/// One answer to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The word that is written in an intake and in rules.
    pub id: String,
    /// What it means, in plain words.
    pub words: String,
}

/// One question.
#[derive(Debug, Clone)]
pub struct Question {
    /// Its key in an intake.
    pub id: String,
    /// The question in plain words.
    pub ask: String,
    /// Which decision it changes.
    pub why: String,
    /// What answers it takes.
    pub kind: Kind,
    /// The answers to choose from, mildest first for a level.
    pub choices: Vec<Choice>,
    /// The least possible number, in the question's unit.
    pub min: f64,
    /// The greatest possible number, in the question's unit.
    pub max: f64,
    /// When it is asked.
    pub tier: Tier,
    /// True when it must never reach a shared paper.
    pub private: bool,
    /// What the plan says when it was not answered.
    pub blank: String,
    /// What the plan calls the answer where it lists what is known; without one it is not listed.
    pub label: Option<String>,
    /// A hint for the person who fills in the form.
    pub help: Option<String>,
    /// A sample answer.
    pub example: Option<String>,
    /// True when a date may lie ahead.
    pub future: bool,
    /// True when a date may have a time of day behind it.
    pub time: bool,
    /// The choice that shuts out all others (`none`).
    pub alone: Option<usize>,
    /// What an answer would tell of who the case is about.
    pub identifies: Option<Identifies>,
    /// Asked only when this other fact says so: (fact, phrase). Not applicable otherwise.
    pub asked_when: Vec<(String, String)>,
}

impl Question {
    /// The place of a choice by its word.
    #[must_use]
    pub fn choice(&self, word: &str) -> Option<usize> {
        find_choice(&self.choices, word)
    }
}

/// The place of a choice by its word, or by the whole sentence that explains it; spaces, hyphens and case do not matter.
#[must_use]
pub fn find_choice(choices: &[Choice], word: &str) -> Option<usize> {
    // The exact word is the usual case and needs no folding.
    choices
        .iter()
        .position(|choice| choice.id == word)
        .or_else(|| choices.iter().position(|choice| alike(&choice.id, word)))
        .or_else(|| choices.iter().position(|choice| alike(&choice.words, word)))
}

/// A group of questions.
#[derive(Debug, Clone)]
pub struct Group {
    /// Its key in an intake.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// What it is about.
    pub about: String,
    /// What one entry is called, when the group repeats (`person`).
    pub repeats: Option<String>,
    /// What the plan says when nothing in a repeated group was answered.
    pub blank: Option<String>,
    /// Its place in the form.
    pub order: f64,
    /// Its questions, in order.
    pub questions: Vec<Question>,
}

/// All groups, in form order.
#[derive(Debug, Clone, Default)]
pub struct Questionnaire {
    /// The groups.
    pub groups: Vec<Group>,
}

impl Questionnaire {
    /// A group by its key.
    #[must_use]
    pub fn group(&self, id: &str) -> Option<usize> {
        self.groups.iter().position(|group| group.id == id)
    }

    /// A question by `group.question`.
    #[must_use]
    pub fn find(&self, full: &str) -> Option<(usize, usize)> {
        let (group, question) = full.split_once('.')?;
        let group = self.group(group)?;
        let question = self.groups[group]
            .questions
            .iter()
            .position(|q| q.id == question)?;
        Some((group, question))
    }

    /// All questions as `group.question`.
    pub fn names(&self) -> impl Iterator<Item = String> + '_ {
        self.groups.iter().flat_map(|group| {
            group
                .questions
                .iter()
                .map(move |question| format!("{}.{}", group.id, question.id))
        })
    }
}
