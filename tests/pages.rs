//! Generated pages are kept true. `UPDATE_PAGES=1 cargo test --test pages` writes them anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::Path;

use perchside::papers::{catalogue, schema};
use support::{log_book, rulebook};

fn kept_true(path: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    if std::env::var_os("UPDATE_PAGES").is_some() {
        std::fs::write(&path, text).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == text,
        "{} is out of date: run `UPDATE_PAGES=1 cargo test --test pages`",
        path.display()
    );
}

#[test]
fn the_page_of_all_questions_is_true() {
    kept_true(
        "rules/questions/README.md",
        &catalogue::questions_markdown(rulebook()),
    );
}

#[test]
fn the_page_of_all_rules_is_true() {
    kept_true("rules/CATALOGUE.md", &catalogue::list_markdown(rulebook()));
}

#[test]
fn the_page_of_the_next_step_is_true() {
    kept_true(
        "rules/next-step/README.md",
        &catalogue::next_step_markdown(rulebook(), log_book()),
    );
}

/// The schema is itself a sound schema (JSON Schema draft 2020-12, checked by an independent validator), and the forms the
/// program takes are valid under it.
#[test]
fn the_schema_is_sound_and_takes_the_examples() {
    let schema = schema::schema(&rulebook().questionnaire);
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::validator_for(&schema).unwrap();
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut seen = 0;
    for entry in std::fs::read_dir(examples).unwrap() {
        let path = entry.unwrap().path().join("intake.yaml");
        if let Ok(text) = std::fs::read_to_string(&path) {
            let value = json(&text);
            let errors: Vec<String> = validator
                .iter_errors(&value)
                .map(|e| e.to_string())
                .collect();
            assert!(errors.is_empty(), "{}: {errors:?}", path.display());
            seen += 1;
        }
    }
    assert!(seen >= 6);
    for bad in [
        "bird: {speciess: x}\n",
        "bites: yes\n",
        "health: {onset: soon}\n",
        "people: [{age: [1]}]\n",
    ] {
        assert!(!validator.is_valid(&json(bad)), "{bad}");
    }
}

/// A YAML text as JSON, by way of the project's own tree.
fn json(text: &str) -> serde_json::Value {
    use perchside::tree::Node;
    fn value(node: &Node<'_>) -> serde_json::Value {
        match node {
            Node::Blank => serde_json::Value::Null,
            Node::Bool(value) => (*value).into(),
            Node::Int(value) => (*value).into(),
            Node::Float(value) => (*value).into(),
            Node::Text(value) => value.as_ref().into(),
            Node::List(items) => items.iter().map(value).collect(),
            Node::Map(entries) => entries
                .iter()
                .map(|(k, v)| (k.to_string(), value(v)))
                .collect::<serde_json::Map<_, _>>()
                .into(),
        }
    }
    let source = perchside::source::Source::new("test", text);
    value(&perchside::yaml::read(&source).unwrap().root)
}
