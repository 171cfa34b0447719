//! Rules and gates.

use serde_json::{Value, json};

use crate::rulebook::{Contact, ExampleKind, Measure, Priority, Risk, Rulebook, Start, Vet, keys};

use super::condition::{self, CASE, each, reference};
use super::parts::{day, has, has_any, id, names, object, said, text, word, yes_no};

/// Where the form of examples stands in the schema.
const FORM: &str = "form";

/// A rule.
pub(super) fn rule(rulebook: &Rulebook) -> Value {
    let vocabulary = &rulebook.vocabulary;
    let facts = vocabulary.groups.iter().flat_map(|group| {
        group
            .facts
            .iter()
            .map(move |fact| format!("{}.{}", group.id, fact.id))
    });
    let facts: Vec<String> = facts.collect();
    let mut schema = object(
        keys::RULE,
        &["id", "title", "why", "source", "when", "then", "examples"],
        |key| match key {
            "for each" => said(
                "Write `person` and the rule speaks of each person apart.",
                word(keys::FOR_EACH),
            ),
            "priority" => said(
                "Whose measures are printed first where room is short. It decides nothing.",
                word(Priority::WORDS),
            ),
            "floor" => said("`yes` for a rule that nobody may loosen.", yes_no()),
            "review-by" => said("The day by which somebody has to look at it again.", day()),
            "between" => said(
                "For answers that do not go together: the questions they were given to.",
                names(&facts),
            ),
            "when" => said(
                "When it speaks: facts, and what has to be true of each.",
                json!({"type": "object"}),
            ),
            "then" => said(
                "What it changes, at least one thing.",
                json!({"type": "object"}),
            ),
            key => common(rulebook, key),
        },
    );
    let about_people = if vocabulary.group_by_noun("person").is_some() {
        each("person")
    } else {
        CASE.to_owned()
    };
    let ordered = &keys::THEN[..keys::ORDERED];
    schema["allOf"] = json!([
        {
            "if": has("for each"),
            "then": {"properties": {"when": reference(&about_people), "then": then(rulebook, true)}},
            "else": {"properties": {"when": reference(CASE), "then": then(rulebook, false)}},
        },
        {
            "$comment": "a rule with risk, start, contact or vet tells the household why",
            "if": {"required": ["then"], "properties": {"then": has_any(ordered)}},
            "then": has("tell"),
        },
    ]);
    with_parts(schema, rulebook, true)
}

/// A gate. It may not ask whether something was answered.
pub(super) fn gate(rulebook: &Rulebook) -> Value {
    let need = object(keys::NEED, keys::NEED, |key| match key {
        "prove" => said(
            "What has to be true, in the household's words. It is printed as a box to tick.",
            text(),
        ),
        "when" => said("When it is true.", reference(CASE)),
        _ => None,
    });
    let schema = object(
        keys::GATE,
        &[
            "id", "title", "why", "tell", "source", "opens", "needs", "examples",
        ],
        |key| match key {
            "opens" => said(
                "The way of working it opens.",
                word(&Start::WORDS[..Start::WORDS.len() - 1]),
            ),
            "needs" => said(
                "What has to be proven, all of it.",
                json!({"type": "array", "minItems": 1, "items": need}),
            ),
            key => common(rulebook, key),
        },
    );
    with_parts(schema, rulebook, false)
}

/// What rules and gates share.
fn common(rulebook: &Rulebook, key: &str) -> Option<Value> {
    match key {
        "id" => said(
            "The name of the file: lower-case words joined by hyphens.",
            id(),
        ),
        "title" => said("One line of what it is about.", text()),
        "why" => said("The reason in the trade's words, for a colleague.", text()),
        "tell" => said(
            "The reason in short, kind, plain words for the household. Needed with risk, start, contact or vet.",
            text(),
        ),
        "source" => said(
            "What it rests on: keys of sources.yaml. `practice` is common practice, no source.",
            names(rulebook.sources.keys()),
        ),
        "examples" => said(
            "Parts of a form, each with what this makes of it: `fires`, `quiet` and `blank`, at least one each.",
            examples(),
        ),
        _ => None,
    }
}

/// What a rule can change. Measures about one person need a rule about each person.
fn then(rulebook: &Rulebook, each_person: bool) -> Value {
    let measures = |never: bool| {
        let fits = |measure: &&Measure| {
            measure.is_never() == never && (each_person || !measure.for_person)
        };
        names(
            rulebook
                .measures
                .values()
                .filter(fits)
                .map(|measure| &measure.id),
        )
    };
    let vocabulary = &rulebook.vocabulary;
    let asked = vocabulary.groups.iter().flat_map(|group| {
        let asked = group.facts.iter().filter(|fact| !fact.is_derived());
        asked.map(move |fact| format!("{}.{}", group.id, fact.id))
    });
    let mut then = object(keys::THEN, &[], |key| match key {
        "risk" => said("At least this risk.", word(Risk::WORDS)),
        "start" => said("Work begins no looser than this.", word(Start::WORDS)),
        "contact" => said(
            "Reply within this. From enquiry questions only.",
            word(Contact::WORDS),
        ),
        "vet" => said("A vet no later than this.", word(Vet::WORDS)),
        "do" => said("Measures: things to do.", measures(false)),
        "never" => said("Measures: things never to do.", measures(true)),
        "refer" => said("Whom to turn to.", names(rulebook.tables.referrals.keys())),
        "ask" => said("Questions to ask next.", names(asked.clone())),
        _ => None,
    });
    then["anyOf"] = has_any(keys::THEN)["anyOf"].take();
    then
}

/// Examples, with each kind shown.
fn examples() -> Value {
    let one = object(ExampleKind::WORDS, &[], |key| match key {
        "fires" => said("With these answers it speaks.", reference(FORM)),
        "quiet" => said(
            "With these answers it is known not to speak.",
            reference(FORM),
        ),
        "blank" => said(
            "With these answers nobody can say: something is not answered.",
            reference(FORM),
        ),
        _ => None,
    });
    let shown = ExampleKind::WORDS
        .iter()
        .map(|word| json!({"contains": has(word)}));
    json!({"type": "array", "items": one, "allOf": shown.collect::<Vec<_>>()})
}

fn with_parts(mut schema: Value, rulebook: &Rulebook, asks_whether_answered: bool) -> Value {
    let mut parts = condition::parts(&rulebook.vocabulary, asks_whether_answered);
    let mut form = super::schema(&rulebook.questionnaire);
    if let Some(form) = form.as_object_mut() {
        form.remove("$schema");
        form.remove("title");
    }
    parts.insert(FORM.to_owned(), form);
    schema["$defs"] = Value::Object(parts);
    schema
}
