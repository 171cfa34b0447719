//! What we know, and what we do not know and therefore assume.

use serde::Serialize;

use crate::answers::Given;
use crate::decision::Decision;
use crate::facts::{Items, Value, show};
use crate::intake::Intake;
use crate::rulebook::Rulebook;

use super::is_text;

/// A thing that is known.
#[derive(Debug, Clone, Serialize)]
pub struct Known {
    /// The fact.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// Its value.
    pub value: String,
}

/// A thing that is not known, with what is assumed.
#[derive(Debug, Clone, Serialize)]
pub struct Assumption {
    /// The question, or a group none of whose questions was answered.
    pub question: String,
    /// The question in plain words; empty for a group.
    pub ask: String,
    /// What is not known and what is assumed.
    pub says: String,
    /// True when it was asked and is not known.
    pub asked: bool,
}

/// Facts asked once that carry a label and may be shared.
pub(super) fn known(rulebook: &Rulebook, intake: &Intake, decision: &Decision) -> Vec<Known> {
    let vocabulary = &rulebook.vocabulary;
    let mut known = Vec::new();
    for (at, group) in vocabulary.groups.iter().enumerate() {
        let Items::Once(values) = &decision.facts.groups[at] else {
            continue;
        };
        for (fact, about) in group.facts.iter().enumerate() {
            let (Some(label), value) = (&about.label, &values[fact]) else {
                continue;
            };
            if about.private || value.is_blank() || *value == Value::NotApplicable {
                continue;
            }
            let value = if is_text(about.kind) {
                match intake.answers.given(at, None, fact) {
                    Some(Given::Text(text)) => text.clone(),
                    _ => continue,
                }
            } else {
                spoken(about, value)
            };
            known.push(Known {
                fact: format!("{}.{}", group.id, about.id),
                label: label.clone(),
                value,
            });
        }
    }
    known
}

/// A value in the plain words of its choices where it has any.
fn spoken(fact: &crate::facts::Fact, value: &Value) -> String {
    let words = |at: u8| {
        fact.choices
            .get(usize::from(at))
            .map(|choice| choice.words.clone())
    };
    match value {
        Value::Choice(at) => words(*at),
        Value::Level { low, high } if low == high => words(*low),
        _ => None,
    }
    .unwrap_or_else(|| show(fact, value))
}

/// What is assumed, most telling first: (spelled out, how many more, how many private).
pub(super) fn assumed(rulebook: &Rulebook, decision: &Decision, most: usize) -> (Vec<Assumption>, usize, usize) {
    let mut told: Vec<Assumption> = Vec::new();
    let mut private = 0;
    for gap in &decision.gaps {
        if gap.private {
            private += 1;
            continue;
        }
        let Some(group) = rulebook.questionnaire.groups.get(gap.group) else {
            continue;
        };
        let question = gap.fact.and_then(|fact| group.questions.get(fact));
        let says = question.map_or_else(
            || group.blank.clone().unwrap_or_default(),
            |question| question.blank.clone(),
        );
        // The same sentence for several people or bites is said once.
        if says.is_empty() || told.iter().any(|other| other.says == says) {
            continue;
        }
        told.push(Assumption {
            question: gap.question.clone(),
            ask: question.map_or_else(String::new, |question| question.ask.clone()),
            says,
            asked: gap.asked,
        });
    }
    let more = told.len().saturating_sub(most);
    told.truncate(most);
    (told, more, private)
}
