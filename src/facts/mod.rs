//! Facts: the vocabulary rules speak, and the values of one case. Each value is known, blank or not applicable.

pub mod case;
mod check;
pub mod derive;
mod log;
mod show;
mod slots;
pub(crate) mod tried;
mod vocabulary;
pub mod workings;

pub use check::check;
pub use log::LOG_FACTS;
pub use slots::Slots;

pub use show::show;
pub use vocabulary::{Fact, FactGroup, Vocabulary};

use jiff::civil::Date;

use crate::answers::{Answers, Given, Part};
use crate::language::condition::{FactRef, Scope};
use crate::language::truth::Truth;
use crate::questionnaire::Questionnaire;

use tried::{Before, replace};
use workings::Workings;

/// A value of a fact. Levels and numbers may be known only within bounds: a bite in "2026-10" lies 25 to 55 days back.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Not known. `asked` tells "I don't know" from a question nobody answered.
    Blank {
        /// True when the person answered that they do not know.
        asked: bool,
    },
    /// The question does not arise.
    NotApplicable,
    /// Yes or no.
    YesNo(bool),
    /// A choice, by its place.
    Choice(u8),
    /// A level between two places, both included.
    Level {
        /// Mildest it can be.
        low: u8,
        /// Strongest it can be.
        high: u8,
    },
    /// A set of choices, a bit each.
    Choices(u64),
    /// A number between two bounds, both included. For a date: days before today.
    Number {
        /// Least it can be.
        low: f64,
        /// Greatest it can be.
        high: f64,
    },
    /// Text.
    Text,
}

impl Value {
    /// An unanswered question.
    pub const UNANSWERED: Self = Self::Blank { asked: false };

    /// A level that is known.
    #[must_use]
    pub fn level(at: u8) -> Self {
        Self::Level { low: at, high: at }
    }

    /// A number that is known.
    #[must_use]
    pub fn number(number: f64) -> Self {
        Self::Number {
            low: number,
            high: number,
        }
    }

    /// True when nothing is known of it.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        matches!(self, Self::Blank { .. })
    }
}

/// The values of one group.
#[derive(Debug, Clone, PartialEq)]
pub enum Items {
    /// A group asked once: a value per fact.
    Once(Vec<Value>),
    /// A repeated group: `None` when it was not answered, else a list of values per entry.
    Many(Option<Vec<Vec<Value>>>),
}

/// All facts of one case, in the order of the vocabulary.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// By group.
    pub groups: Vec<Items>,
}

impl Facts {
    /// Works out the facts of a case on a day.
    #[must_use]
    pub fn of(
        questionnaire: &Questionnaire,
        vocabulary: &Vocabulary,
        answers: &Answers,
        today: Date,
    ) -> Self {
        Self::with_workings(questionnaire, vocabulary, answers, today).0
    }

    /// Works out the facts of a case on a day, and gives the figures some of them rest on.
    #[must_use]
    pub fn with_workings(
        questionnaire: &Questionnaire,
        vocabulary: &Vocabulary,
        answers: &Answers,
        today: Date,
    ) -> (Self, Workings) {
        let mut groups: Vec<Items> = vocabulary
            .groups
            .iter()
            .enumerate()
            .map(|(at, group)| match answers.parts.get(at) {
                Some(Part::Once(given)) => Items::Once(values(group, given, today)),
                Some(Part::Many(items)) => Items::Many(items.as_ref().map(|items| {
                    items
                        .iter()
                        .map(|entry| values(group, &entry.given, today))
                        .collect()
                })),
                // Groups that hold nothing but derived facts.
                None => Items::Once(vec![Value::UNANSWERED; group.facts.len()]),
            })
            .collect();
        debug_assert_eq!(questionnaire.groups.len(), answers.parts.len());
        let workings = derive::fill(vocabulary, answers, &mut groups);
        let mut facts = Self { groups };
        facts.settle_not_applicable(vocabulary, &mut Vec::new());
        (facts, workings)
    }

    /// Facts of which none applies, and no entry of any list.
    #[must_use]
    pub fn none_applies(vocabulary: &Vocabulary) -> Self {
        Self {
            groups: vocabulary
                .groups
                .iter()
                .map(|group| {
                    if group.repeats.is_some() {
                        Items::Many(Some(Vec::new()))
                    } else {
                        Items::Once(vec![Value::NotApplicable; group.facts.len()])
                    }
                })
                .collect(),
        }
    }

    /// Worked out facts as told outright, for examples: the groups after the first `asked` ones. What is not told does not apply.
    #[must_use]
    pub fn told(vocabulary: &Vocabulary, asked: usize, answers: &Answers, today: Date) -> Self {
        let mut facts = Self::none_applies(vocabulary);
        let groups = facts.groups.iter_mut().zip(&vocabulary.groups).skip(asked);
        for ((items, group), part) in groups.zip(&answers.parts) {
            if let (Items::Once(slots), Part::Once(given)) = (items, part) {
                for ((slot, fact), given) in slots.iter_mut().zip(&group.facts).zip(given) {
                    if *given != Given::Blank {
                        *slot = value(fact, given, today);
                    }
                }
            }
        }
        facts
    }

    /// Puts a value in its place, in a group that is told once.
    pub fn put(&mut self, at: FactRef, value: Value) {
        if let Some(Items::Once(values)) = self.groups.get_mut(at.group)
            && let Some(slot) = values.get_mut(at.fact)
        {
            *slot = value;
        }
    }

    /// A blank whose question does not arise becomes "not applicable"; while that is itself unknown it stays blank. An
    /// answer that was given always stands. `before` takes what stood there.
    pub(crate) fn settle_not_applicable(
        &mut self,
        vocabulary: &Vocabulary,
        before: &mut Vec<Before>,
    ) {
        for at in &vocabulary.arising {
            let Some(condition) = &vocabulary.fact(*at).asked_when else {
                continue;
            };
            let entries = entries(&self.groups[at.group]);
            for item in 0..entries.unwrap_or(1) {
                let item = entries.map(|_| item);
                if !self.value(*at, item).is_some_and(Value::is_blank) {
                    continue;
                }
                let mut scope = item.map_or_else(Scope::default, |item| Scope::of(at.group, item));
                if condition.truth(self, &mut scope) == Truth::False {
                    before.extend(replace(&mut self.groups, *at, item, Value::NotApplicable));
                }
            }
        }
    }

    /// Takes back what [`Facts::settle_not_applicable`] did, which facts that are worked out do not see. `before` takes what stood
    /// there.
    pub(crate) fn unsettle(
        &mut self,
        vocabulary: &Vocabulary,
        answers: &Answers,
        before: &mut Vec<Before>,
    ) {
        for at in &vocabulary.arising {
            let entries = entries(&self.groups[at.group]);
            for item in 0..entries.unwrap_or(1) {
                let item = entries.map(|_| item);
                if self.value(*at, item) != Some(&Value::NotApplicable) {
                    continue;
                }
                let asked = answers.given(at.group, item, at.fact) == Some(&Given::DontKnow);
                before.extend(replace(&mut self.groups, *at, item, Value::Blank { asked }));
            }
        }
    }

    /// The value of a fact, of an entry for a repeated group.
    #[must_use]
    pub fn value(&self, at: FactRef, item: Option<usize>) -> Option<&Value> {
        match (self.groups.get(at.group)?, item) {
            (Items::Once(values), _) => values.get(at.fact),
            (Items::Many(items), item) => items.as_ref()?.get(item?)?.get(at.fact),
        }
    }
}

/// How many entries a repeated group has; `None` for a group asked once.
fn entries(items: &Items) -> Option<usize> {
    match items {
        Items::Once(_) => None,
        Items::Many(items) => Some(items.as_ref().map_or(0, Vec::len)),
    }
}

fn values(group: &FactGroup, given: &[Given], today: Date) -> Vec<Value> {
    group
        .facts
        .iter()
        .enumerate()
        .map(|(at, fact)| {
            given
                .get(at)
                .map_or(Value::UNANSWERED, |given| value(fact, given, today))
        })
        .collect()
}

/// What an answer says, as rules see it.
pub(crate) fn value(fact: &Fact, given: &Given, today: Date) -> Value {
    match given {
        Given::Blank => Value::UNANSWERED,
        Given::DontKnow => Value::Blank { asked: true },
        Given::YesNo(yes) => Value::YesNo(*yes),
        Given::Choice(at) if fact.kind == crate::questionnaire::Kind::Level => Value::level(*at),
        Given::Choice(at) => Value::Choice(*at),
        Given::Choices(bits) => Value::Choices(*bits),
        Given::Number(number) => Value::number(*number),
        Given::Date(date) => {
            let date = if fact.future {
                *date
            } else {
                date.no_later_than(today)
            };
            let (low, high) = date.days_before(today);
            Value::Number {
                low: f64::from(low),
                high: f64::from(high),
            }
        }
        Given::Text(_) => Value::Text,
    }
}
