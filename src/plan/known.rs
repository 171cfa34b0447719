//! What we know, and what we do not know and therefore assume.

use serde::Serialize;

use crate::answers::{Answers, Given};
use crate::decision::{Counts, Decision};
use crate::facts::{Items, Value};
use crate::intake::Intake;
use crate::names;
use crate::questionnaire::Tier;
use crate::rulebook::Rulebook;

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
pub(super) fn known(
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
    names: bool,
) -> Vec<Known> {
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
            let value = match intake.answers.given(at, None, fact) {
                Some(Given::Text(text)) if names => text.clone(),
                Some(Given::Text(text)) => without_names(rulebook, &intake.answers, text),
                // A day is told as it was written, not as days gone by.
                Some(Given::Date(date)) => rulebook.tongue.date(date),
                _ => rulebook.tongue.value(about, value),
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

/// A text in which the names of the people of the form are left out, however they are written.
#[must_use]
pub fn without_names(rulebook: &Rulebook, answers: &Answers, text: &str) -> String {
    let mut out = text.to_owned();
    let Some((people, question)) = rulebook.questionnaire.find("people.name") else {
        return out;
    };
    for item in 0..answers.entries(people).map_or(0, <[_]>::len) {
        let Some(name) = answers.text(people, Some(item), question) else {
            continue;
        };
        for name in std::iter::once(name).chain(names::parts(name)) {
            out = names::replaced(&out, &names::places(&out, name), "…");
        }
    }
    out
}

/// What is assumed, most telling first: (spelled out, how many more, how many private).
pub(super) fn assumed(
    rulebook: &Rulebook,
    decision: &Decision,
    most: usize,
) -> (Vec<Assumption>, usize, usize) {
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
        // What the consultant measures is the consultant's to find out.
        if gap.fact.is_some_and(|fact| {
            rulebook.vocabulary.groups[gap.group].facts[fact].tier == Tier::Visit
        }) {
            continue;
        }
        let question = gap.fact.and_then(|fact| group.questions.get(fact));
        let says = question.map_or_else(
            || group.blank.clone().unwrap_or_default(),
            |question| question.blank.clone(),
        );
        if says.is_empty() {
            continue;
        }
        // The same sentence for several people or bites is said once.
        if let Some(other) = told.iter_mut().find(|other| other.says == says) {
            other.asked |= gap.asked;
            continue;
        }
        told.push(Assumption {
            question: gap.question.clone(),
            ask: question.map_or_else(String::new, |question| question.ask.clone()),
            says,
            asked: gap.asked,
        });
    }
    // Then what rules ask of their own accord, where it was not answered. While everything is held, only what holds it matters.
    let held = decision.verdict.is_held();
    for trace in decision
        .rules
        .iter()
        .filter(|trace| trace.counts >= Counts::Asks && !held)
    {
        for name in &rulebook.rules[trace.rule].then.ask {
            let Some(at) = rulebook.vocabulary.find(name) else {
                continue;
            };
            let Items::Once(values) = &decision.facts.groups[at.group] else {
                continue;
            };
            let fact = rulebook.vocabulary.fact(at);
            let Some(question) = rulebook
                .questionnaire
                .groups
                .get(at.group)
                .and_then(|group| group.questions.get(at.fact))
            else {
                continue;
            };
            let Value::Blank { asked } = values[at.fact] else {
                continue;
            };
            if fact.private
                || fact.tier == Tier::Visit
                || told.iter().any(|other| other.says == question.blank)
            {
                continue;
            }
            told.push(Assumption {
                question: name.clone(),
                ask: question.ask.clone(),
                says: question.blank.clone(),
                asked,
            });
        }
    }
    let more = told.len().saturating_sub(most);
    told.truncate(most);
    (told, more, private)
}
