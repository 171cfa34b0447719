//! Departures: which shipped rules they may be from, and what is looser than what such a rule says.

use serde_json::{Map, Value, json};

use crate::house::departures::{DEPARTURE, NOTHING};
use crate::rulebook::{Contact, Layer, Risk, Rule, Rulebook, Start, Then, Vet, keys};

use super::parts::{day, has, has_any, id, names, object, said, text, word, yes_no};

/// A departure.
pub(super) fn departure(rulebook: &Rulebook) -> Value {
    let rules = || {
        let rules = rulebook.rules.iter();
        rules.filter(|rule| !rule.floor && rule.layer == Layer::Base)
    };
    let ids: Vec<&str> = rules().map(|rule| rule.id.as_str()).collect();
    let ordered = &keys::THEN[..keys::ORDERED];
    let mut schema = object(
        DEPARTURE,
        &["id", "rule", "reason", "by", "date", "until"],
        |key| match key {
            "id" => said(
                "The name of the file: lower-case words joined by hyphens.",
                id(),
            ),
            "rule" => said(
                "The shipped rule it departs from. Rules of the safety floor and gates are not here: nobody may loosen them.",
                word(&ids),
            ),
            "switch-off" => said("`yes`, and the rule says nothing any more.", yes_no()),
            "instead" => said(
                "Milder words for what the rule says, or `nothing`.",
                object(ordered, &[], outcome),
            ),
            "leave-out" => said(
                "What the rule no longer asks for: ids of measures and referrals, and questions.",
                json!({"anyOf": [
                    {"type": "array", "items": text()}, text(),
                ]}),
            ),
            "reason" => said("Why, for a colleague who reads it in a year.", text()),
            "by" => said("Who says so.", text()),
            "second" => said("Who read it as well.", text()),
            "date" => said("Its first day.", day()),
            "until" => said(
                "Its last day, a year on at most. After it the rule counts again as shipped.",
                day(),
            ),
            _ => None,
        },
    );
    let mut ways = vec![json!({
        "if": {"required": ["switch-off"], "properties": {"switch-off": {"enum": ["yes", true]}}},
        "then": {"not": has_any(&["instead", "leave-out"])},
        "else": {"anyOf": [has("instead"), has("leave-out")]},
    })];
    ways.extend(rules().map(of_rule));
    schema["allOf"] = json!(ways);
    schema
}

fn outcome(key: &str) -> Option<Value> {
    let words = |words: &[&str]| {
        let mut words = words.to_vec();
        words.push(NOTHING);
        word(&words)
    };
    match key {
        "risk" => said("A lower risk.", words(Risk::WORDS)),
        "start" => said("A looser start.", words(Start::WORDS)),
        "contact" => said("A later reply.", words(Contact::WORDS)),
        "vet" => said("A later vet.", words(Vet::WORDS)),
        _ => None,
    }
}

/// What a departure from one rule can say: words that are looser than its own, and what it asks for.
fn of_rule(rule: &Rule) -> Value {
    let then = rule
        .departed
        .as_ref()
        .map_or(&rule.then, |departed| &departed.then);
    let mut looser = Map::new();
    for key in &keys::THEN[..keys::ORDERED] {
        looser.insert((*key).to_owned(), match said_of(then, key) {
            Some(mut words) => {
                words.push(NOTHING);
                json!({"enum": words.into_iter().map(Value::from).chain([Value::Null]).collect::<Vec<_>>()})
            }
            None => json!({"type": "null"}),
        });
    }
    let asked = [&then.do_, &then.never, &then.refer, &then.ask];
    let leave_out = names(asked.into_iter().flatten());
    json!({
        "if": {"required": ["rule"], "properties": {"rule": {"const": rule.id}}},
        "then": {"properties": {
            "instead": {"properties": looser},
            "leave-out": {"anyOf": [leave_out, {"type": "null"}]},
        }},
    })
}

/// The words that are looser than what a rule says of an outcome; `None` where it says nothing of it.
fn said_of(then: &Then, key: &str) -> Option<Vec<&'static str>> {
    Some(match key {
        "risk" => Risk::WORDS[..then.risk?.steps()].to_vec(),
        "start" => Start::WORDS[..then.start?.steps()].to_vec(),
        "contact" => Contact::WORDS[..then.contact?.steps()].to_vec(),
        "vet" => Vet::WORDS[..then.vet?.steps()].to_vec(),
        _ => return None,
    })
}
