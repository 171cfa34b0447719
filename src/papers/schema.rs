//! A JSON Schema (draft 2020-12) of the intake, for editors that complete and check while one types.

use serde_json::{Map, Value, json};

use crate::questionnaire::{Kind, Question, Questionnaire};

/// A date, or part of one.
const DATE: &str = "^[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?$";
/// The same, or a date and a time of day, with or without an offset.
const DATE_AND_TIME: &str = "^[0-9]{4}(-[0-9]{2}(-[0-9]{2}([Tt ,] *[0-9]{1,2}([:.][0-9]{2}){0,2}([.,][0-9]+)? *([AaPp]\\.?[Mm]\\.?)? *([Zz]|[Uu][Tt][Cc]|[+\u{2212}-][0-9]{2}(:?[0-9]{2})?)?)?)?)?$";

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
        "$schema": "https://json-schema.org/draft/2020-12/schema",
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
        Kind::Number(_) => json!({"type": ["number", "string"]}),
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
