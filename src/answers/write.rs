//! Answers written back as one line of YAML, for examples and reports.

use std::fmt::Write as _;

use crate::questionnaire::{Kind, Question, Questionnaire};
use crate::yaml::quoted;

use super::{Answers, Given, Part};

/// The answers as a YAML flow mapping: `{people: [{age: 9 years}], bites: []}`. Blanks are left out.
#[must_use]
pub fn flow(questionnaire: &Questionnaire, answers: &Answers) -> String {
    let mut groups = Vec::new();
    for (group, part) in questionnaire.groups.iter().zip(&answers.parts) {
        match part {
            Part::Once(given) => {
                let fields = fields(&group.questions, given);
                if !fields.is_empty() {
                    groups.push(format!("{}: {{{fields}}}", group.id));
                }
            }
            Part::Many(None) => {}
            Part::Many(Some(entries)) => {
                let blocks: Vec<String> = entries
                    .iter()
                    .map(|entry| format!("{{{}}}", fields(&group.questions, &entry.given)))
                    .collect();
                groups.push(format!("{}: [{}]", group.id, blocks.join(", ")));
            }
        }
    }
    format!("{{{}}}", groups.join(", "))
}

fn fields(questions: &[Question], given: &[Given]) -> String {
    let mut out = String::new();
    for (question, given) in questions.iter().zip(given) {
        if *given == Given::Blank {
            continue;
        }
        if !out.is_empty() {
            out.push_str(", ");
        }
        let _ = write!(out, "{}: {}", question.id, one(question, given));
    }
    out
}

/// One answer as YAML, as a form has it.
#[must_use]
pub fn one(question: &Question, given: &Given) -> String {
    let choice = |at: usize| {
        question
            .choices
            .get(at)
            .map_or_else(String::new, |choice| quoted(&choice.id))
    };
    match given {
        Given::Blank => String::new(),
        Given::DontKnow => "unknown".to_owned(),
        Given::YesNo(true) => "yes".to_owned(),
        Given::YesNo(false) => "no".to_owned(),
        Given::Choice(at) => choice(usize::from(*at)),
        Given::Choices(bits) => {
            let chosen: Vec<String> = (0..question.choices.len())
                .filter(|at| bits & (1 << at) != 0)
                .map(choice)
                .collect();
            format!("[{}]", chosen.join(", "))
        }
        Given::Number(number) => {
            let unit = match question.kind {
                Kind::Number(unit) => unit.label(),
                _ => "",
            };
            format!("{number} {unit}").trim_end().to_owned()
        }
        Given::Date(date) => date.to_string(),
        Given::Text(text) => quoted(text),
    }
}
