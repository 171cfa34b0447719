//! Finds conditions that no intake can meet: within one "and", what the phrases leave of each fact is worked out, and an
//! empty rest is a mistake.

use std::collections::BTreeMap;

use crate::facts::Vocabulary;
use crate::questionnaire::Kind;

use super::condition::{Condition, FactRef};
use super::phrase::{Range, Test, span_mask};

/// What is left of one fact.
#[derive(Debug, Clone)]
enum Left {
    /// Choices or levels, a bit each; yes is bit 1 and no bit 0.
    OneOf(u64),
    /// Numbers.
    Numbers(Range),
    /// Sets that include all of these, none of these, and one of each of these.
    Sets { all: u64, none: u64, any: Vec<u64> },
    /// Nothing is left.
    Nothing,
}

/// What is left of the facts under some conditions that hold together.
#[derive(Debug, Clone, Default)]
pub struct Rest(BTreeMap<FactRef, Left>);

impl Rest {
    /// Takes one condition more into account; the facts of which nothing is left come back.
    pub fn narrow(
        &mut self,
        vocabulary: &Vocabulary,
        condition: &Condition,
        dead: &mut Vec<FactRef>,
    ) {
        match condition {
            Condition::All(parts) => {
                for part in parts {
                    self.narrow(vocabulary, part, dead);
                }
            }
            Condition::Any(parts) => {
                let mut dead_ends = Vec::new();
                let mut open = false;
                for part in parts {
                    let mut dead_here = Vec::new();
                    self.clone().narrow(vocabulary, part, &mut dead_here);
                    open |= dead_here.is_empty();
                    dead_ends.extend(dead_here);
                }
                // A way that is shut is only a fault when every way is.
                if !open {
                    dead.extend(dead_ends);
                }
            }
            // The opposite of a part leaves something unless the part always holds; that is not followed.
            Condition::Not(_) => {}
            Condition::Is { fact, test, .. } => {
                let left = self
                    .0
                    .remove(fact)
                    .unwrap_or_else(|| everything(vocabulary, *fact));
                let left = narrowed(left, test);
                if matches!(left, Left::Nothing) {
                    dead.push(*fact);
                }
                self.0.insert(*fact, left);
            }
            Condition::Count { each, .. } => {
                // Each entry is a thing of its own: facts outside it go in, what is said of it does not come out.
                self.clone().narrow(vocabulary, each, dead);
            }
        }
    }
}

fn everything(vocabulary: &Vocabulary, fact: FactRef) -> Left {
    let fact = vocabulary.fact(fact);
    match fact.kind {
        Kind::YesNo => Left::OneOf(0b11),
        Kind::Choice | Kind::Level => {
            Left::OneOf(span_mask(0, (fact.choices.len().max(1) - 1) as u8))
        }
        Kind::Number(_) => Left::Numbers(Range::closed(fact.min, fact.max)),
        Kind::Date | Kind::Text => Left::Numbers(Range::ALL),
        Kind::Choices => Left::Sets {
            all: 0,
            none: 0,
            any: Vec::new(),
        },
    }
}

fn narrowed(left: Left, test: &Test) -> Left {
    let some = |mask: u64| {
        if mask == 0 {
            Left::Nothing
        } else {
            Left::OneOf(mask)
        }
    };
    match (left, test) {
        (Left::Nothing, _) => Left::Nothing,
        (Left::OneOf(mask), Test::YesNo(yes)) => some(mask & if *yes { 0b10 } else { 0b01 }),
        (Left::OneOf(mask), Test::OneOf(other)) => some(mask & other),
        (Left::Numbers(range), Test::Within(other)) => {
            let shared = range.shared(other);
            if shared.is_empty() {
                Left::Nothing
            } else {
                Left::Numbers(shared)
            }
        }
        (Left::Sets { all, none, mut any }, test) => {
            let (mut all, mut none) = (all, none);
            match test {
                Test::IncludesAll(mask) => all |= mask,
                Test::Excludes(mask) => none |= mask,
                Test::IncludesAny(mask) => any.push(*mask),
                _ => {}
            }
            if all & none != 0 || any.iter().any(|mask| mask & !none == 0) {
                Left::Nothing
            } else {
                Left::Sets { all, none, any }
            }
        }
        (left, _) => left,
    }
}
