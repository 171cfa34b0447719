//! Conditions: tests joined by and, or, not, and counts over repeated groups.

use crate::facts::{Facts, Items, Value};

use super::phrase::Test;
use super::truth::Truth;

/// Where a fact stands: its group and its place there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FactRef {
    /// The group's place in the vocabulary.
    pub group: usize,
    /// The fact's place in its group.
    pub fact: usize,
}

/// How many of a repeated group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantifier {
    /// At least this many (`any` is one).
    AtLeast(usize),
    /// None of them.
    No,
    /// Every one of them.
    Every,
}

/// A condition made ready for use.
#[derive(Debug, Clone)]
pub enum Condition {
    /// All of them hold.
    All(Vec<Condition>),
    /// At least one holds.
    Any(Vec<Condition>),
    /// It does not hold.
    Not(Box<Condition>),
    /// A phrase about a fact.
    Is {
        /// The fact.
        fact: FactRef,
        /// The phrase, made ready.
        test: Test,
        /// The phrase as written.
        phrase: String,
        /// The way to it in the rule's file.
        path: crate::tree::Path,
    },
    /// A condition counted over the entries of a repeated group.
    Count {
        /// How many.
        quantifier: Quantifier,
        /// Of which group.
        group: usize,
        /// What must hold of each.
        each: Box<Condition>,
        /// The quantifier as written (`any person`).
        words: String,
    },
}

/// Which entry of each repeated group is being spoken of. Indexed by group.
#[derive(Debug, Clone, Default)]
pub struct Scope(Vec<(usize, usize)>);

impl Scope {
    /// A scope that speaks of one entry.
    #[must_use]
    pub fn of(group: usize, item: usize) -> Self {
        Self(vec![(group, item)])
    }

    /// The entry of a group that is spoken of.
    #[must_use]
    pub fn item(&self, group: usize) -> Option<usize> {
        self.0
            .iter()
            .rev()
            .find(|(of, _)| *of == group)
            .map(|(_, item)| *item)
    }

    /// Runs something with one entry more in scope.
    pub fn with<T>(&mut self, group: usize, item: usize, run: impl FnOnce(&mut Self) -> T) -> T {
        self.0.push((group, item));
        let result = run(self);
        self.0.pop();
        result
    }
}

/// The value of a fact in a scope.
#[must_use]
pub fn value<'f>(facts: &'f Facts, scope: &Scope, fact: FactRef) -> &'f Value {
    static BLANK: Value = Value::Blank { asked: false };
    match &facts.groups[fact.group] {
        Items::Once(values) => &values[fact.fact],
        Items::Many(Some(items)) => scope
            .item(fact.group)
            .and_then(|item| items.get(item))
            .map_or(&BLANK, |values| &values[fact.fact]),
        Items::Many(None) => &BLANK,
    }
}

impl Quantifier {
    /// Joins the truths of all entries.
    #[must_use]
    pub fn join(self, values: impl IntoIterator<Item = Truth>) -> Truth {
        match self {
            Self::AtLeast(least) => Truth::at_least(least, values),
            Self::No => !Truth::at_least(1, values),
            Self::Every => values.into_iter().fold(Truth::True, Truth::and),
        }
    }
}

impl Condition {
    /// What the condition says of the facts.
    #[must_use]
    pub fn truth(&self, facts: &Facts, scope: &mut Scope) -> Truth {
        match self {
            Self::All(parts) => {
                let mut result = Truth::True;
                for part in parts {
                    result = result.and(part.truth(facts, scope));
                    if result == Truth::False {
                        break;
                    }
                }
                result
            }
            Self::Any(parts) => {
                let mut result = Truth::False;
                for part in parts {
                    result = result.or(part.truth(facts, scope));
                    if result == Truth::True {
                        break;
                    }
                }
                result
            }
            Self::Not(part) => !part.truth(facts, scope),
            Self::Is { fact, test, .. } => test.check(value(facts, scope, *fact)),
            Self::Count {
                quantifier,
                group,
                each,
                ..
            } => match &facts.groups[*group] {
                Items::Many(Some(items)) => quantifier.join(
                    (0..items.len())
                        .map(|item| scope.with(*group, item, |scope| each.truth(facts, scope))),
                ),
                _ => Truth::Blank,
            },
        }
    }

    /// Visits every test in it.
    pub fn visit<'c>(&'c self, see: &mut impl FnMut(FactRef, &'c Test, &'c crate::tree::Path)) {
        match self {
            Self::All(parts) | Self::Any(parts) => {
                for part in parts {
                    part.visit(see);
                }
            }
            Self::Not(part) => part.visit(see),
            Self::Is {
                fact, test, path, ..
            } => see(*fact, test, path),
            Self::Count { each, .. } => each.visit(see),
        }
    }

    /// Visits every repeated group that is counted.
    pub fn visit_groups(&self, see: &mut impl FnMut(usize)) {
        match self {
            Self::All(parts) | Self::Any(parts) => {
                for part in parts {
                    part.visit_groups(see);
                }
            }
            Self::Not(part) => part.visit_groups(see),
            Self::Is { .. } => {}
            Self::Count { group, each, .. } => {
                see(*group);
                each.visit_groups(see);
            }
        }
    }
}
