//! The small parts that schemas are put together from.

use serde_json::{Map, Value, json};

/// A map whose keys are those of a reader's list. `part` tells what stands under a key; a key it does not know takes anything, and
/// a test finds it by its missing description.
pub(super) fn object(
    keys: &[&str],
    needed: &[&str],
    part: impl Fn(&str) -> Option<Value>,
) -> Value {
    let properties: Map<String, Value> = keys
        .iter()
        .map(|key| {
            let part = part(key).unwrap_or_else(|| json!({}));
            // A key with nothing behind it counts as left out.
            let part = if needed.contains(key) {
                part
            } else {
                or_blank(part)
            };
            ((*key).to_owned(), part)
        })
        .collect();
    json!({"type": "object", "additionalProperties": false, "properties": properties, "required": needed})
}

/// A part with a sentence of what it is.
pub(super) fn said(says: &str, mut part: Value) -> Option<Value> {
    part["description"] = json!(says);
    Some(part)
}

fn or_blank(mut part: Value) -> Value {
    let description = part
        .as_object_mut()
        .and_then(|part| part.remove("description"));
    let mut blank = json!({"anyOf": [part, {"type": "null"}]});
    if let Some(description) = description {
        blank["description"] = description;
    }
    blank
}

/// A single value, as people write text: a number or a yes is text as well.
pub(super) fn text() -> Value {
    json!({"type": ["string", "number", "boolean"]})
}

/// One of some words.
pub(super) fn word(words: &[&str]) -> Value {
    json!({ "enum": words })
}

/// Yes or no. Some editors take a bare `yes` for a truth value.
pub(super) fn yes_no() -> Value {
    json!({"enum": ["yes", "no", true, false]})
}

/// A whole day.
pub(super) fn day() -> Value {
    json!({"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"})
}

/// An id, which is the name of the file.
pub(super) fn id() -> Value {
    json!({"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"})
}

/// A list of some names; a single name counts as a list of one.
pub(super) fn names<S: AsRef<str>>(names: impl IntoIterator<Item = S>) -> Value {
    let names: Vec<String> = names
        .into_iter()
        .map(|name| name.as_ref().to_owned())
        .collect();
    // Without a name the list can only be empty; `enum` has to hold something.
    let one = if names.is_empty() {
        json!(false)
    } else {
        json!({ "enum": names })
    };
    json!({"anyOf": [{"type": "array", "items": one}, one]})
}

/// True for a map that has something under one of these keys.
pub(super) fn has_any(keys: &[&str]) -> Value {
    let has = keys.iter().map(|key| has(key));
    json!({"anyOf": has.collect::<Vec<_>>()})
}

/// True for a map that has something under a key.
pub(super) fn has(key: &str) -> Value {
    json!({"required": [key], "properties": {key: {"not": {"type": "null"}}}})
}

/// A text as it stands, in a pattern.
pub(super) fn literal(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if "\\^$.|?*+()[]{}/".contains(c) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
