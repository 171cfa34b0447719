//! Everything the form told, answer by answer, for professional copies.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::answers::{Answers, Given};
use crate::decision::Decision;
use crate::facts::Items;
use crate::intake::Intake;
use crate::rulebook::Rulebook;

/// One question with what was told.
#[derive(Debug, Clone, Serialize)]
pub struct Told {
    /// The question.
    pub ask: String,
    /// The answer in words; nothing when it was not answered.
    pub value: Option<String>,
    /// True when it was asked and is not known.
    pub asked: bool,
    /// True when it must never reach a shared paper.
    pub private: bool,
}

/// A part of the form.
#[derive(Debug, Clone, Serialize)]
pub struct GroupHead {
    /// Its id.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// What one entry is called, where there are several.
    pub repeats: Option<String>,
    /// Its questions, in order.
    pub questions: Vec<String>,
}

/// The parts of the form, in order.
pub(super) fn heads(rulebook: &Rulebook) -> Vec<GroupHead> {
    let groups = rulebook.questionnaire.groups.iter();
    groups
        .map(|group| GroupHead {
            id: group.id.clone(),
            title: group.title.clone(),
            repeats: group.repeats.clone(),
            questions: group.questions.iter().map(|it| it.id.clone()).collect(),
        })
        .collect()
}

/// The answers of one entry, or of a group asked once, by question.
pub type Entry = BTreeMap<String, Told>;

/// All answers, by group: one entry for a group asked once; nothing where a repeated group was not told.
pub type Groups = BTreeMap<String, Option<Vec<Entry>>>;

/// All answers, for professional copies.
pub(super) fn told(rulebook: &Rulebook, intake: &Intake, decision: &Decision) -> Groups {
    groups(rulebook, intake, decision, &|text| text)
}

/// The answers a household copy may hold: none that is private, and no name of a person unless names may be printed.
pub(super) fn shared(
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
    names: bool,
) -> Groups {
    let unnamed = |text: String| {
        if names {
            text
        } else {
            super::known::without_names(rulebook, &intake.answers, &text)
        }
    };
    let mut groups = groups(rulebook, intake, decision, &unnamed);
    let entries = groups.values_mut().flatten().flatten();
    for told in entries.flat_map(BTreeMap::values_mut) {
        if told.private {
            told.value = None;
            told.asked = false;
        }
    }
    groups
}

fn groups(
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
    text: &dyn Fn(String) -> String,
) -> Groups {
    let answers = &intake.answers;
    rulebook
        .questionnaire
        .groups
        .iter()
        .enumerate()
        .map(|(at, group)| {
            let entry = |item: Option<usize>| -> Entry {
                group
                    .questions
                    .iter()
                    .enumerate()
                    .map(|(question, about)| {
                        let told = Told {
                            ask: about.ask.clone(),
                            value: value(rulebook, answers, decision, (at, item, question), text),
                            asked: matches!(
                                answers.given(at, item, question),
                                Some(Given::DontKnow)
                            ),
                            private: about.private,
                        };
                        (about.id.clone(), told)
                    })
                    .collect()
            };
            let entries = if group.repeats.is_none() {
                Some(vec![entry(None)])
            } else {
                answers
                    .entries(at)
                    .map(|entries| (0..entries.len()).map(|item| entry(Some(item))).collect())
            };
            (group.id.clone(), entries)
        })
        .collect()
}

fn value(
    rulebook: &Rulebook,
    answers: &Answers,
    decision: &Decision,
    (group, item, question): (usize, Option<usize>, usize),
    shown: &dyn Fn(String) -> String,
) -> Option<String> {
    let given = answers.given(group, item, question)?;
    if given.is_blank() {
        return None;
    }
    Some(match given {
        Given::Text(text) => shown(text.clone()),
        Given::Date(date) => rulebook.tongue.date(date),
        _ => {
            let fact = &rulebook.vocabulary.groups[group].facts[question];
            let value = match (&decision.facts.groups[group], item) {
                (Items::Once(values), _) => values.get(question)?,
                (Items::Many(items), Some(item)) => items.as_ref()?.get(item)?.get(question)?,
                (Items::Many(_), None) => return None,
            };
            rulebook.tongue.value(fact, value)
        }
    })
}
