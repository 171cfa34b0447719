//! One intake read against the questionnaire: every value typed, blanks kept blank, every fault collected.

mod check;
mod overruling;
mod read;
mod write;

pub use check::check;
pub use overruling::Overruling;
pub use read::read;
pub(crate) use read::read_apart;
pub use write::{flow, one};

use crate::dates::PartialDate;
use crate::questionnaire::Questionnaire;
use crate::tree::Path;

/// One answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Given {
    /// Nobody answered.
    Blank,
    /// Asked, and not known.
    DontKnow,
    /// Yes or no.
    YesNo(bool),
    /// A choice or level, by its place.
    Choice(u8),
    /// A set of choices, a bit each.
    Choices(u64),
    /// A number in the question's unit.
    Number(f64),
    /// A date or part of one.
    Date(PartialDate),
    /// Text, without blanks around it.
    Text(String),
}

impl Given {
    /// True when nothing is known from it.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        matches!(self, Self::Blank | Self::DontKnow)
    }
}

/// One entry of a repeated group.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its place in the file's list, from 0.
    pub index: usize,
    /// An answer per question.
    pub given: Vec<Given>,
}

/// The answers of one group.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// A group asked once: an answer per question.
    Once(Vec<Given>),
    /// A repeated group; `None` when it was not answered.
    Many(Option<Vec<Entry>>),
}

/// All answers of one intake, in the order of the questionnaire.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// By group.
    pub parts: Vec<Part>,
    /// What the consultant overrules in this case; not part of the form.
    pub overrulings: Vec<Overruling>,
}

impl Answers {
    /// An intake with nothing answered.
    #[must_use]
    pub fn blank(questionnaire: &Questionnaire) -> Self {
        Self {
            parts: questionnaire
                .groups
                .iter()
                .map(|group| {
                    if group.repeats.is_some() {
                        Part::Many(None)
                    } else {
                        Part::Once(vec![Given::Blank; group.questions.len()])
                    }
                })
                .collect(),
            overrulings: Vec::new(),
        }
    }

    /// The entries of a repeated group, if it was answered.
    #[must_use]
    pub fn entries(&self, group: usize) -> Option<&[Entry]> {
        match self.parts.get(group) {
            Some(Part::Many(Some(entries))) => Some(entries),
            _ => None,
        }
    }

    /// One answer: of an entry (by its place among the entries) for a repeated group.
    #[must_use]
    pub fn given(&self, group: usize, item: Option<usize>, question: usize) -> Option<&Given> {
        match (self.parts.get(group)?, item) {
            (Part::Once(given), _) => given.get(question),
            (Part::Many(entries), Some(item)) => entries.as_ref()?.get(item)?.given.get(question),
            (Part::Many(_), None) => None,
        }
    }

    /// Text that was answered.
    #[must_use]
    pub fn text(&self, group: usize, item: Option<usize>, question: usize) -> Option<&str> {
        match self.given(group, item, question)? {
            Given::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The way to an answer in the file.
    #[must_use]
    pub fn path(
        &self,
        questionnaire: &Questionnaire,
        group: usize,
        item: Option<usize>,
        question: usize,
    ) -> Path {
        let info = &questionnaire.groups[group];
        let mut path = Path::default().key(&info.id);
        if let Some(entry) = item.and_then(|item| self.entries(group)?.get(item)) {
            path = path.index(entry.index);
        }
        match info.questions.get(question) {
            Some(question) => path.key(&question.id),
            None => path,
        }
    }
}
