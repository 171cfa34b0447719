//! Groups of questions.

use serde_json::{Map, Value, json};

use crate::questionnaire::{
    ALLOWED, GROUP_KEYS, Identifies, KINDS, MOST_CHOICES, QUESTION_KEYS, TIERS, UNITS,
};
use crate::rulebook::Rulebook;

use super::condition;
use super::parts::{has, id, object, said, text, word, yes_no};

/// A group of questions.
pub(super) fn group(rulebook: &Rulebook) -> Value {
    let mut schema = object(
        GROUP_KEYS,
        &["group", "title", "about", "questions"],
        |key| match key {
            "group" => said("The id of the group: the name of the file.", text()),
            "order" => said(
                "Its place in the form, a number. Without one it comes last.",
                json!({"type": "number"}),
            ),
            "title" => said("Its heading.", text()),
            "about" => said("One line of what it is about.", text()),
            "repeats" => said(
                "For a group that is filled in several times: what one entry is called, such as `person`.",
                text(),
            ),
            "blank" => said(
                "Needed with `repeats`: what the plan prints when the whole group was left out.",
                text(),
            ),
            "questions" => said(
                "The questions.",
                json!({"type": "array", "items": question(rulebook)}),
            ),
            _ => None,
        },
    );
    schema["if"] = has("repeats");
    schema["then"] = has("blank");
    schema
}

fn question(rulebook: &Rulebook) -> Value {
    let mut schema = object(
        QUESTION_KEYS,
        &["id", "ask", "why", "type", "tier", "blank"],
        |key| match key {
            "id" => said(
                "Its key in a form: lower-case words joined by hyphens.",
                id(),
            ),
            "ask" => said("The question in plain words.", text()),
            "why" => said("Which decision it changes.", text()),
            "type" => said(
                "What kind of answer it takes. `level` is a choice with an order, the mildest first; `choices` is a set.",
                word(KINDS),
            ),
            "unit" => said("For a number: the unit it is held in.", word(UNITS)),
            "min" => said(
                "For a number: the least it can be.",
                json!({"type": "number"}),
            ),
            "max" => said(
                "For a number: the most it can be.",
                json!({"type": "number"}),
            ),
            "choices" => said(
                "For a choice, a level or a set: each answer with what it means.",
                json!({
                    "type": "object", "minProperties": 2, "maxProperties": MOST_CHOICES,
                    "propertyNames": {"not": {"pattern": ","}}, "additionalProperties": {"type": ["string", "number", "boolean", "null"]},
                }),
            ),
            "tier" => said(
                "When it is asked: at first contact, on the full form, or by the consultant.",
                word(TIERS),
            ),
            "private" => said(
                "`yes` for an answer that must not be printed for the household.",
                yes_no(),
            ),
            "blank" => said(
                "What the plan says while it is not answered: what is not known, and what is assumed on the safer side.",
                text(),
            ),
            "help" => said("A hint in the form.", text()),
            "example" => said("A sample answer.", text()),
            "label" => said(
                "Its name in the table of what is known. Without one it is not listed there.",
                text(),
            ),
            "future" => said("`allowed` for a date that may lie ahead.", word(ALLOWED)),
            "time" => said(
                "`allowed` for a date that may have a time of day behind it.",
                word(ALLOWED),
            ),
            "alone" => said(
                "The choice that shuts out the others, mostly `none`.",
                text(),
            ),
            "asked-when" => said(
                "Facts and phrases: when they are known not to hold, the question does not arise.",
                asked_when(rulebook),
            ),
            "identifies" => said(
                "For a text that tells who a case is about: whom or what.",
                word(Identifies::WORDS),
            ),
            _ => None,
        },
    );
    let is =
        |kinds: &[&str]| json!({"required": ["type"], "properties": {"type": {"enum": kinds}}});
    let all = |keys: &[&str]| json!({"allOf": keys.iter().map(|key| has(key)).collect::<Vec<_>>()});
    schema["allOf"] = json!([
        {"if": is(&["number"]), "then": all(&["unit", "min", "max"])},
        {"if": is(&["choice", "level", "choices"]), "then": has("choices"), "else": {"not": {
            "required": ["choices"], "properties": {"choices": {"type": "object", "minProperties": 1}},
        }}},
        {"if": is(&["date"]), "else": {"not": has("time")}},
    ]);
    schema
}

/// Any fact, also of a repeated group, with its phrases.
fn asked_when(rulebook: &Rulebook) -> Value {
    let mut facts = Map::new();
    for group in &rulebook.vocabulary.groups {
        for fact in &group.facts {
            facts.insert(
                format!("{}.{}", group.id, fact.id),
                condition::phrases(fact, true),
            );
        }
    }
    json!({"type": "object", "additionalProperties": false, "properties": facts})
}
