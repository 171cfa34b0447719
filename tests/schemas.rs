//! The schemas for editors: sound by the published meta-schema, true to the files the program takes, and telling what they can of
//! the files it refuses. Checked with an independent validator of JSON Schema draft 2020-12.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use jsonschema::Validator;
use perchside::house::departures::DEPARTURE;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::papers::schema::{FileKind, of_file};
use perchside::questionnaire::{GROUP_KEYS, QUESTION_KEYS};
use perchside::rulebook::{Care, Edition, Layer, Rulebook, keys};
use perchside::source::Source;
use perchside::tree::Node;
use perchside::wording::{opening, practice, team};
use serde_json::Value;
use support::rulebook;

const KINDS: [FileKind; 6] = [
    FileKind::Rule,
    FileKind::Gate,
    FileKind::Measure,
    FileKind::Question,
    FileKind::Departure,
    FileKind::Practice,
];

fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn value(node: &Node<'_>) -> Value {
    match node {
        Node::Blank => Value::Null,
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

/// A YAML text as JSON; `None` for a text that cannot be read as YAML.
fn json(text: &str) -> Option<Value> {
    let source = Source::new("test", text);
    Some(value(&perchside::yaml::read(&source).ok()?.root))
}

fn validator(kind: FileKind, rulebook: &Rulebook, library: &Library) -> Validator {
    jsonschema::validator_for(&of_file(kind, rulebook, library)).unwrap()
}

/// What kind of file lies at a path below a rulebook, and whether it is one of those with a schema.
fn kind_of(path: &str, text: &Value) -> Option<FileKind> {
    let not_rules = ["species", "log", "next-step", "languages", "cases"];
    let (folder, name) = path.split_once('/')?;
    if !name.ends_with(".yaml") || not_rules.contains(&folder) {
        return None;
    }
    let is_gate = keys::ONLY_GATE.iter().any(|key| text.get(key).is_some());
    Some(match folder {
        "questions" => FileKind::Question,
        "measures" => FileKind::Measure,
        _ if is_gate => FileKind::Gate,
        _ => FileKind::Rule,
    })
}

fn errors(validator: &Validator, value: &Value) -> Vec<String> {
    let errors = validator.iter_errors(value);
    errors
        .map(|error| {
            let mut says = error.to_string();
            says.truncate(
                says.char_indices()
                    .nth(300)
                    .map_or(says.len(), |(at, _)| at),
            );
            format!("{}: {says}", error.instance_path())
        })
        .collect()
}

#[test]
fn every_schema_is_sound() {
    let library = Library::embedded();
    for kind in KINDS {
        let schema = of_file(kind, rulebook(), &library);
        assert!(jsonschema::meta::is_valid(&schema), "{kind:?}");
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
    }
}

#[test]
fn every_shipped_file_is_valid_under_its_schema() {
    let library = Library::embedded();
    let validators: Vec<(FileKind, Validator)> = KINDS
        .iter()
        .map(|kind| (*kind, validator(*kind, rulebook(), &library)))
        .collect();
    let mut seen = BTreeMap::new();
    for (path, source) in &library.files {
        let Some(value) = json(&source.text) else {
            continue;
        };
        let Some(kind) = kind_of(path, &value) else {
            continue;
        };
        let (_, validator) = validators.iter().find(|(of, _)| *of == kind).unwrap();
        let errors = errors(validator, &value);
        assert!(errors.is_empty(), "{path}: {errors:#?}");
        *seen.entry(format!("{kind:?}")).or_insert(0) += 1;
    }
    assert_eq!(seen["Rule"], rulebook().rules.len());
    assert_eq!(seen["Gate"], rulebook().gates.len());
    assert_eq!(seen["Measure"], rulebook().measures.len());
    assert_eq!(seen["Question"], rulebook().questionnaire.groups.len());
}

#[test]
fn the_example_practice_is_valid_and_slips_in_it_are_not() {
    let library = Library::embedded();
    let validator = validator(FileKind::Practice, rulebook(), &library);
    let path = repository().join("examples/practice/practice.yaml");
    let text = std::fs::read_to_string(path).unwrap();
    assert_eq!(
        errors(&validator, &json(&text).unwrap()),
        Vec::<String>::new()
    );
    for good in [
        "# nothing told yet\nname:\n",
        "house-rules: {name: Ours, version: 1.2.0-rc.1, date: 2026-10-01, owner: R. Vale, review-by: 2027-10-01}\n",
        "language: en-GB\n",
        "language: Español\n",
        "open: {Mon-Fri: 9-17, every day: all day}\n",
    ] {
        assert_eq!(
            errors(&validator, &json(good).unwrap()),
            Vec::<String>::new(),
            "{good}"
        );
    }
    for bad in [
        "paper: a5\n",
        "emergency: {fire: 112}\n",
        "open: {moonday: 9-17}\n",
        "house-rules: {name: Ours, version: '1.2', date: 2026-10-01, owner: R. Vale, review-by: 2027-10-01}\n",
        "house-rules: {name: Ours, version: 1.2.0, date: 1/10/2026, owner: R. Vale, review-by: 2027-10-01}\n",
        "language: klingonish\n",
        "houserules: {}\n",
    ] {
        assert!(!validator.is_valid(&json(bad).unwrap()), "{bad}");
    }
}

/// Departures from a rule that may be loosened, from one that may not, and with words that are no looser.
#[test]
fn departures_are_told_by_the_rule_they_are_from() {
    let library = Library::embedded();
    let validator = validator(FileKind::Departure, rulebook(), &library);
    let base = |rule: &str, more: &str| {
        json(&format!(
            "id: ours\nrule: {rule}\nreason: We see it so.\nby: R. Vale\ndate: 2026-10-01\nuntil: 2027-03-01\n{more}\n"
        ))
        .unwrap()
    };
    let free = rulebook()
        .rules
        .iter()
        .filter(|rule| !rule.floor && rule.layer == Layer::Base);
    let mut tried = 0;
    for rule in free {
        assert!(
            validator.is_valid(&base(&rule.id, "switch-off: yes")),
            "{}",
            rule.id
        );
        assert!(!validator.is_valid(&base(&rule.id, "")), "{}", rule.id);
        assert!(!validator.is_valid(&base(&rule.id, "switch-off: yes\nleave-out: [x]")));
        assert!(!validator.is_valid(&base(&rule.id, "leave-out: [what-no-rule-asks-for]")));
        if let Some(risk) = rule.then.risk {
            assert!(validator.is_valid(&base(&rule.id, "instead: {risk: nothing}")));
            assert!(!validator.is_valid(&base(&rule.id, &format!("instead: {{risk: {risk}}}"))));
        } else {
            assert!(!validator.is_valid(&base(&rule.id, "instead: {risk: nothing}")));
        }
        let asked = rule
            .then
            .do_
            .iter()
            .chain(&rule.then.never)
            .chain(&rule.then.refer);
        for id in asked.chain(&rule.then.ask) {
            assert!(
                validator.is_valid(&base(&rule.id, &format!("leave-out: [{id}]"))),
                "{id}"
            );
            tried += 1;
        }
    }
    assert!(tried > 200, "{tried}");
    for floor in rulebook().rules.iter().filter(|rule| rule.floor) {
        assert!(
            !validator.is_valid(&base(&floor.id, "switch-off: yes")),
            "{}",
            floor.id
        );
    }
    for gate in &rulebook().gates {
        assert!(
            !validator.is_valid(&base(&gate.id, "switch-off: yes")),
            "{}",
            gate.id
        );
    }
}

/// The keys a schema offers are those that the reader of such a file knows, and each says what it is.
#[test]
fn the_keys_are_those_of_the_readers_and_each_is_described() {
    let library = Library::embedded();
    let of = |kind| of_file(kind, rulebook(), &library);
    let practice_keys = [practice::KEYS, opening::KEYS, team::KEYS].concat();
    let (rule, gate, measure) = (
        of(FileKind::Rule),
        of(FileKind::Gate),
        of(FileKind::Measure),
    );
    let (group, departure, practice) = (
        of(FileKind::Question),
        of(FileKind::Departure),
        of(FileKind::Practice),
    );
    let blocks: [(&Value, &[&str]); 12] = [
        (&rule, keys::RULE),
        (&rule["allOf"][0]["then"]["properties"]["then"], keys::THEN),
        (&rule["allOf"][0]["else"]["properties"]["then"], keys::THEN),
        (&gate, keys::GATE),
        (&gate["properties"]["needs"]["items"], keys::NEED),
        (&measure, keys::MEASURE),
        (&group, GROUP_KEYS),
        (&group["properties"]["questions"]["items"], QUESTION_KEYS),
        (&departure, DEPARTURE),
        (&practice, &practice_keys),
        (
            &practice["properties"]["emergency"]["anyOf"][0],
            practice::EMERGENCY_KEYS,
        ),
        (
            &practice["properties"]["house-rules"]["anyOf"][0],
            Edition::KEYS,
        ),
    ];
    for (block, keys) in blocks {
        let properties = block["properties"].as_object().unwrap();
        let offered: BTreeSet<&str> = properties.keys().map(String::as_str).collect();
        assert_eq!(offered, keys.iter().copied().collect());
        for (key, part) in properties {
            let says = part["description"].as_str().unwrap_or_default();
            assert!(says.len() > 10 && says.ends_with('.'), "{key}: {says}");
        }
        assert_eq!(block["additionalProperties"], false);
    }
}

/// What completion offers is what there is: facts, choices, measures and sources by their names.
#[test]
fn completion_offers_the_names_of_the_rulebook() {
    let library = Library::embedded();
    let rule = of_file(FileKind::Rule, rulebook(), &library);
    for group in &rulebook().vocabulary.groups {
        for fact in &group.facts {
            let name = format!("{}.{}", group.id, fact.id);
            let (part, key) = match &group.repeats {
                None => ("case".to_owned(), name.clone()),
                Some(noun) => (format!("each-{noun}"), fact.id.clone()),
            };
            assert!(
                rule["$defs"][&part]["properties"][&key].is_object(),
                "{name}"
            );
            let phrases = &rule["$defs"][format!("phrase.{name}")];
            let validator = jsonschema::validator_for(phrases).unwrap();
            // The phrases that a mistake would suggest are taken.
            for phrase in perchside::language::phrase::fitting(fact) {
                assert!(
                    validator.is_valid(&phrase.clone().into()),
                    "{name}: {phrase}"
                );
            }
            for bad in ["at least", "one of", "sometimes or never", ""] {
                assert!(!validator.is_valid(&bad.into()), "{name}: {bad}");
            }
        }
    }
}

/// The small rulebook that broken files are laid over, with the long tables of the shipped one.
fn base() -> (Rulebook, Library) {
    let shipped = Library::embedded();
    let taken = ["ladder.yaml", "practice.yaml", "languages/en/language.yaml"];
    let taken = taken.map(|path| {
        // The base has one source.
        let lines = shipped.get(path).unwrap().text.lines();
        let lines = lines.map(|line| match line.split_once("source: [") {
            Some((before, _)) => format!("{before}source: [practice]\n"),
            None => format!("{line}\n"),
        });
        (path.to_owned(), lines.collect())
    });
    let own = Library::folder(&repository().join("tests/broken/base")).unwrap();
    let own = own
        .files
        .into_iter()
        .map(|(path, source)| (path, source.text.to_string()));
    let library = Library::of(own.chain(taken));
    match Rulebook::load(&library, Care::Trusted) {
        Ok((rulebook, _)) => (rulebook, library),
        Err(problems) => panic!("{}", render(&problems, false)),
    }
}

/// All files below a folder, by path from it.
fn files_below(folder: &Path) -> Vec<(String, PathBuf)> {
    let mut found = Vec::new();
    let mut waiting = vec![folder.to_owned()];
    while let Some(at) = waiting.pop() {
        for entry in std::fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let below = path
                    .strip_prefix(folder)
                    .unwrap()
                    .to_string_lossy()
                    .into_owned();
                found.push((below, path));
            }
        }
    }
    found.sort();
    found
}

/// Mistakes that no schema of one file can tell, each with why. Fixtures are told by the start of their name.
const NOT_TOLD: &[(&str, &str)] = &[
    (
        "blank-block-in-an-example",
        "a warning: an empty block of a list may stand, and counts as one entry",
    ),
    (
        "blank-test-in-guard",
        "a rule may ask whether something was answered, unless it is a guard",
    ),
    (
        "contact-beyond-enquiry",
        "which tier each fact of the condition belongs to",
    ),
    ("date-ahead-in-an-example", "which day examples are read on"),
    ("example-fails", "what the condition makes of the answers"),
    (
        "gate-never-opens",
        "which values are left when all needs hold together",
    ),
    ("id-not-file-name", "the name of the file"),
    ("id-used-twice", "the other files, or the other questions"),
    ("measure-unused", "the rules"),
    (
        "never-holds",
        "which values are left when all phrases hold together",
    ),
    (
        "phrase-does-not-fit-turned-round",
        "which of two numbers in a phrase is the larger",
    ),
    (
        "question-does-not-fit-choice-twice",
        "that two choices differ in spaces and hyphens alone",
    ),
    (
        "question-does-not-fit-min-over-max",
        "which of two numbers is the larger",
    ),
    (
        "refused-words",
        "words inside running text, whatever their case and line breaks",
    ),
    ("unknown-word-alone", "the choices of the same question"),
];

/// A schema refuses every broken file that it can tell from a sound one; the list above holds the others, and nothing that it tells.
#[test]
fn broken_files_are_refused_where_a_schema_can_tell() {
    let (rulebook, library) = base();
    let validators: Vec<(FileKind, Validator)> = KINDS
        .iter()
        .map(|kind| (*kind, validator(*kind, &rulebook, &library)))
        .collect();
    let mut fixtures: Vec<PathBuf> = std::fs::read_dir(repository().join("tests/broken/rules"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    fixtures.sort();
    let (mut told, mut wrong) = (0, Vec::new());
    for fixture in fixtures {
        let name = fixture.file_name().unwrap().to_string_lossy().into_owned();
        let (mut looked, mut refused) = (false, false);
        for (path, file) in files_below(&fixture) {
            let Ok(text) = std::fs::read_to_string(&file) else {
                continue;
            };
            let value = json(&text);
            let Some(kind) = kind_of(&path, value.as_ref().unwrap_or(&Value::Null)) else {
                continue;
            };
            looked = true;
            let (_, validator) = validators.iter().find(|(of, _)| *of == kind).unwrap();
            // What is no YAML no editor takes either.
            refused |= value.is_none_or(|value| !validator.is_valid(&value));
        }
        let excused = NOT_TOLD
            .iter()
            .find(|(start, _)| name.starts_with(start) && name != "blank-test-in-guard-in-a-gate");
        match (looked, refused, excused) {
            (false, ..) => {}
            (true, true, None) => told += 1,
            (true, false, Some(_)) => {}
            (true, true, Some((_, why))) => wrong.push(format!("{name} is told, though \"{why}\"")),
            (true, false, None) => wrong.push(format!("{name} is not told")),
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(told >= 60, "{told}");
}
