//! JSON Schemas (draft 2020-12), for editors that complete and check while one types: of the intake here, of the files of a
//! rulebook and of a practice's folder in the modules below. Names and words come from the rulebook at hand, keys from the lists that the
//! readers go by.

mod condition;
mod departure;
mod measure;
mod parts;
mod practice;
mod question;
mod rule;

pub use crate::file_kind::FileKind;
use crate::library::Library;
use crate::rulebook::Rulebook;

use serde_json::{Map, Value, json};

use crate::questionnaire::{Kind, Question, Questionnaire};

/// A date, or part of one.
const DATE: &str = "^[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?$";
/// The same, or a date and a time of day, with or without an offset.
const DATE_AND_TIME: &str = "^[0-9]{4}(-[0-9]{2}(-[0-9]{2}([Tt ,] *[0-9]{1,2}([:.][0-9]{2}){0,2}([.,][0-9]+)? *([AaPp]\\.?[Mm]\\.?)? *([Zz]|[Uu][Tt][Cc]|[+\u{2212}-][0-9]{2}(:?[0-9]{2})?)?)?)?)?$";

/// The schema of one kind of file, with the names of a rulebook; languages are those of the library it came from.
#[must_use]
pub fn of_file(kind: FileKind, rulebook: &Rulebook, library: &Library) -> Value {
    let (title, mut schema) = match kind {
        FileKind::Rule => ("perchside rule", rule::rule(rulebook)),
        FileKind::Gate => ("perchside gate", rule::gate(rulebook)),
        FileKind::Measure => ("perchside measure", measure::measure(rulebook)),
        FileKind::Question => ("perchside group of questions", question::group(rulebook)),
        FileKind::Departure => ("perchside departure", departure::departure(rulebook)),
        FileKind::Practice => ("perchside practice", practice::practice(library)),
    };
    schema["$schema"] = json!(DRAFT);
    schema["title"] = json!(title);
    schema
}

/// The draft all schemas are written in.
const DRAFT: &str = "https://json-schema.org/draft/2020-12/schema";

/// The schema of the whole form.
#[must_use]
pub fn schema(questionnaire: &Questionnaire) -> Value {
    let mut properties = Map::new();
    for group in &questionnaire.groups {
        let fields: Map<String, Value> = group
            .questions
            .iter()
            .map(|question| (question.id.clone(), field(question)))
            .collect();
        let one = json!({"type": ["object", "null"], "additionalProperties": false, "properties": fields});
        let value = if group.repeats.is_some() {
            json!({"title": group.title, "description": group.about, "anyOf": [{"type": "array", "items": one}, {"type": "null"}, {"const": "unknown"}]})
        } else {
            let mut one = one;
            one["title"] = json!(group.title);
            one["description"] = json!(group.about);
            one
        };
        properties.insert(group.id.clone(), value);
    }
    json!({
        "$schema": DRAFT,
        "title": "perchside intake",
        "type": "object",
        "additionalProperties": false,
        "properties": properties,
    })
}

fn field(question: &Question) -> Value {
    let mut description = question.ask.clone();
    if let Some(help) = &question.help {
        description.push(' ');
        description.push_str(help);
    }
    let unknown = json!({"enum": ["unknown", "don't know"]});
    let blank = json!({"type": "null"});
    let choices: Vec<Value> = question
        .choices
        .iter()
        .map(|choice| json!({"const": choice.id, "title": choice.words, "description": choice.words}))
        .collect();
    let value = match question.kind {
        Kind::YesNo => json!({"enum": ["yes", "no", true, false]}),
        Kind::Choice | Kind::Level => json!({ "oneOf": choices }),
        Kind::Choices => json!({"anyOf": [
            {"type": "array", "uniqueItems": true, "items": {"oneOf": choices}},
            {"type": "string"},
        ]}),
        Kind::Number(unit) if unit.may_be_left_out() => json!({"type": ["number", "string"]}),
        // A length or a weight without its unit is asked back.
        Kind::Number(_) => json!({"type": "string"}),
        Kind::Date => json!({"anyOf": [
            {"type": "string", "pattern": if question.time { DATE_AND_TIME } else { DATE }},
            {"type": "integer", "minimum": 1900, "maximum": 2200},
        ]}),
        Kind::Text => json!({"type": ["string", "number", "boolean"]}),
    };
    let mut field = json!({"description": description, "anyOf": [value, unknown, blank]});
    if let Some(example) = &question.example {
        field["examples"] = json!([example]);
    }
    field
}
