//! What is read while facts are worked out: answers, and the values known so far.

use crate::answers::Answers;
use crate::figures::span::Span;
use crate::language::condition::FactRef;

use super::{Items, Value, Vocabulary};

/// One case while its facts are worked out.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The names.
    pub vocabulary: &'a Vocabulary,
    /// What was written.
    pub answers: &'a Answers,
    /// The values known so far.
    pub groups: &'a [Items],
}

impl<'a> Case<'a> {
    /// The value of a fact of a group asked once.
    #[must_use]
    pub fn once(&self, at: Option<FactRef>) -> Option<&'a Value> {
        let at = at?;
        match self.groups.get(at.group)? {
            Items::Once(values) => values.get(at.fact),
            Items::Many(_) => None,
        }
    }

    /// The value of a fact of one entry.
    #[must_use]
    pub fn of(&self, at: Option<FactRef>, item: usize) -> Option<&'a Value> {
        let at = at?;
        self.entries(Some(at))?.get(item)?.get(at.fact)
    }

    /// The entries of the repeated group a fact belongs to; `None` when they were not told.
    #[must_use]
    pub fn entries(&self, at: Option<FactRef>) -> Option<&'a [Vec<Value>]> {
        match self.groups.get(at?.group)? {
            Items::Many(Some(items)) => Some(items),
            _ => None,
        }
    }

    /// A number that was told.
    #[must_use]
    pub fn number(&self, at: Option<FactRef>) -> Option<f64> {
        exact(self.once(at)?)
    }

    /// A number of one entry.
    #[must_use]
    pub fn number_of(&self, at: Option<FactRef>, item: usize) -> Option<f64> {
        exact(self.of(at, item)?)
    }

    /// Yes or no, if it was told.
    #[must_use]
    pub fn yes(&self, at: Option<FactRef>) -> Option<bool> {
        match self.once(at)? {
            Value::YesNo(yes) => Some(*yes),
            _ => None,
        }
    }

    /// The id of the choice of one entry.
    #[must_use]
    pub fn choice_of(&self, at: Option<FactRef>, item: usize) -> Option<&'a str> {
        match self.of(at, item)? {
            Value::Choice(choice) => self.choice_id(at?, *choice),
            _ => None,
        }
    }

    /// The ids of the chosen ones of a set; `None` while it is blank.
    #[must_use]
    pub fn chosen(&self, at: Option<FactRef>, value: Option<&'a Value>) -> Option<Vec<&'a str>> {
        let at = at?;
        let Value::Choices(bits) = value? else {
            return None;
        };
        Some(
            self.vocabulary
                .fact(at)
                .choices
                .iter()
                .enumerate()
                .filter(|(place, _)| bits & (1 << place) != 0)
                .map(|(_, choice)| choice.id.as_str())
                .collect(),
        )
    }

    /// A text of a group asked once.
    #[must_use]
    pub fn text(&self, at: Option<FactRef>) -> Option<&'a str> {
        let at = at?;
        self.answers.text(at.group, None, at.fact)
    }

    /// A text of one entry.
    #[must_use]
    pub fn text_of(&self, at: Option<FactRef>, item: usize) -> Option<&'a str> {
        let at = at?;
        self.answers.text(at.group, Some(item), at.fact)
    }

    fn choice_id(&self, at: FactRef, choice: u8) -> Option<&'a str> {
        self.vocabulary
            .fact(at)
            .choices
            .get(usize::from(choice))
            .map(|choice| choice.id.as_str())
    }
}

/// A number known to be one value.
fn exact(value: &Value) -> Option<f64> {
    match value {
        Value::Number { low, high } if low == high => Some(*low),
        _ => None,
    }
}

/// A number known to lie in a range.
#[must_use]
pub fn range(value: &Value) -> Option<Span> {
    match value {
        Value::Number { low, high } => Some(Span::between(*low, *high)),
        _ => None,
    }
}
