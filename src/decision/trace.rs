//! Reasons: for every condition, what made it true, false or blank, down to the answers and their lines.

use serde::Serialize;

use crate::answers::Answers;
use crate::facts::{Facts, Items, Value, show};
use crate::language::condition::{FactRef, Scope, value};
use crate::language::{Condition, Truth};
use crate::rulebook::{Rule, Rulebook};
use crate::tree::Path;

/// A condition's truth with what it rests on.
#[derive(Debug, Clone, Serialize)]
pub struct Reason {
    /// Its truth.
    pub truth: Truth,
    /// What it is.
    #[serde(flatten)]
    pub what: What,
}

/// What a reason is about.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum What {
    /// All of these.
    All {
        /// The parts.
        parts: Vec<Reason>,
    },
    /// At least one of these.
    Any {
        /// The parts.
        parts: Vec<Reason>,
    },
    /// Not this.
    Not {
        /// The part.
        part: Box<Reason>,
    },
    /// A count over entries.
    Count {
        /// As written: `any person`.
        words: String,
        /// One reason per entry; empty when the group was not answered.
        entries: Vec<Reason>,
        /// The group that was not answered, when it was not.
        unanswered: Option<String>,
    },
    /// A fact and a phrase.
    Fact(Box<Spoken>),
}

/// A fact as it was used.
#[derive(Debug, Clone, Serialize)]
pub struct Spoken {
    /// The fact's name.
    pub fact: String,
    /// Where its answer stands in the intake, or the answers it was worked out from.
    pub at: Vec<String>,
    /// The phrase it was held against.
    pub phrase: String,
    /// Its value, in words.
    pub value: String,
    /// True when it was asked and is not known.
    pub asked: bool,
    /// True when it is worked out, not asked.
    pub derived: bool,
    /// True when the answer is private.
    pub private: bool,
    /// The fact itself.
    #[serde(skip)]
    pub of: FactRef,
    /// The entry it belongs to.
    #[serde(skip)]
    pub item: Option<usize>,
    /// Ways to the answers.
    #[serde(skip)]
    pub paths: Vec<Path>,
}

/// A rule's reason for one person, or for the household.
#[derive(Debug, Clone, Serialize)]
pub struct Binding {
    /// The person's place in the list of people.
    pub person: Option<usize>,
    /// The reason.
    pub reason: Reason,
}

impl Reason {
    /// True when it cannot be told without giving a private answer away. A reason that holds on open answers alone is not private,
    /// even where a private answer says the same.
    #[must_use]
    pub fn is_private(&self) -> bool {
        let holding = |parts: &[Reason]| {
            let mut holding = parts
                .iter()
                .filter(|part| part.truth == self.truth)
                .peekable();
            if holding.peek().is_none() {
                parts.iter().any(Self::is_private)
            } else {
                holding.all(Self::is_private)
            }
        };
        match &self.what {
            What::Fact(spoken) => spoken.private,
            What::Not { part } => part.is_private(),
            What::All { parts } if self.truth == Truth::True => parts.iter().any(Self::is_private),
            What::Any { parts } if self.truth == Truth::False => parts.iter().any(Self::is_private),
            What::All { parts } | What::Any { parts } => holding(parts),
            What::Count { entries, .. } => holding(entries),
        }
    }

    /// Visits every fact used in it.
    pub fn visit<'r>(&'r self, see: &mut impl FnMut(&'r Spoken, Truth)) {
        match &self.what {
            What::All { parts } | What::Any { parts } => {
                for part in parts {
                    part.visit(see);
                }
            }
            What::Not { part } => part.visit(see),
            What::Count { entries, .. } => {
                for entry in entries {
                    entry.visit(see);
                }
            }
            What::Fact(spoken) => see(spoken, self.truth),
        }
    }

    /// Visits every repeated group that was not answered.
    pub fn visit_unanswered<'r>(&'r self, see: &mut impl FnMut(&'r str)) {
        match &self.what {
            What::All { parts } | What::Any { parts } => {
                for part in parts {
                    part.visit_unanswered(see);
                }
            }
            What::Not { part } => part.visit_unanswered(see),
            What::Count {
                entries,
                unanswered,
                ..
            } => {
                if let Some(group) = unanswered {
                    see(group);
                }
                for entry in entries {
                    entry.visit_unanswered(see);
                }
            }
            What::Fact(_) => {}
        }
    }
}

pub(super) struct Tracer<'a> {
    pub(super) rulebook: &'a Rulebook,
    pub(super) facts: &'a Facts,
    pub(super) answers: &'a Answers,
}

impl Tracer<'_> {
    /// A rule's reasons: one per person when it speaks of each.
    pub(super) fn rule(&self, rule: &Rule) -> Vec<Binding> {
        if !rule.each_person {
            return vec![Binding {
                person: None,
                reason: self.reason(&rule.when, &mut Scope::default()),
            }];
        }
        let Some(people) = self.rulebook.vocabulary.group_by_noun("person") else {
            return Vec::new();
        };
        let count = match &self.facts.groups[people] {
            Items::Many(Some(items)) => items.len(),
            _ => 0,
        };
        (0..count)
            .map(|item| Binding {
                person: Some(item),
                reason: self.reason(&rule.when, &mut Scope::of(people, item)),
            })
            .collect()
    }

    /// A condition's reason. Its truth is what [`Condition::truth`] says.
    pub(super) fn reason(&self, condition: &Condition, scope: &mut Scope) -> Reason {
        match condition {
            Condition::All(parts) => {
                let parts: Vec<Reason> =
                    parts.iter().map(|part| self.reason(part, scope)).collect();
                Reason {
                    truth: parts.iter().map(|p| p.truth).fold(Truth::True, Truth::and),
                    what: What::All { parts },
                }
            }
            Condition::Any(parts) => {
                let parts: Vec<Reason> =
                    parts.iter().map(|part| self.reason(part, scope)).collect();
                Reason {
                    truth: parts.iter().map(|p| p.truth).fold(Truth::False, Truth::or),
                    what: What::Any { parts },
                }
            }
            Condition::Not(part) => {
                let part = self.reason(part, scope);
                Reason {
                    truth: !part.truth,
                    what: What::Not {
                        part: Box::new(part),
                    },
                }
            }
            Condition::Is {
                fact, test, phrase, ..
            } => {
                let value = value(self.facts, scope, *fact);
                Reason {
                    truth: test.check(value),
                    what: What::Fact(Box::new(self.spoken(*fact, scope, phrase, value))),
                }
            }
            Condition::Count {
                quantifier,
                group,
                each,
                words,
            } => match &self.facts.groups[*group] {
                Items::Many(Some(items)) => {
                    let entries: Vec<Reason> = (0..items.len())
                        .map(|item| scope.with(*group, item, |scope| self.reason(each, scope)))
                        .collect();
                    Reason {
                        truth: quantifier.join(entries.iter().map(|e| e.truth)),
                        what: What::Count {
                            words: words.clone(),
                            entries,
                            unanswered: None,
                        },
                    }
                }
                _ => Reason {
                    truth: Truth::Blank,
                    what: What::Count {
                        words: words.clone(),
                        entries: Vec::new(),
                        unanswered: Some(self.rulebook.vocabulary.groups[*group].id.clone()),
                    },
                },
            },
        }
    }

    fn spoken(&self, at: FactRef, scope: &Scope, phrase: &str, value: &Value) -> Spoken {
        let vocabulary = &self.rulebook.vocabulary;
        let fact = vocabulary.fact(at);
        let item = scope.item(at.group);
        let paths: Vec<Path> = if fact.is_derived() {
            fact.from
                .iter()
                .flat_map(|from| {
                    self.paths_of(*from, if from.group == at.group { item } else { None })
                })
                .collect()
        } else {
            self.paths_of(at, item)
        };
        Spoken {
            fact: vocabulary.name(at),
            at: paths.iter().map(ToString::to_string).collect(),
            phrase: phrase.to_owned(),
            value: show(fact, value),
            asked: matches!(value, Value::Blank { asked: true }),
            derived: fact.is_derived(),
            private: fact.private,
            of: at,
            item,
            paths,
        }
    }

    /// Ways to an answer; to that of every entry, for a repeated group nobody singles out.
    fn paths_of(&self, at: FactRef, item: Option<usize>) -> Vec<Path> {
        let questionnaire = &self.rulebook.questionnaire;
        if questionnaire.groups.get(at.group).is_none() {
            return Vec::new();
        }
        match (self.answers.entries(at.group), item) {
            (Some(entries), None) if !entries.is_empty() => (0..entries.len())
                .map(|item| {
                    self.answers
                        .path(questionnaire, at.group, Some(item), at.fact)
                })
                .collect(),
            (_, item) => vec![self.answers.path(questionnaire, at.group, item, at.fact)],
        }
    }
}
