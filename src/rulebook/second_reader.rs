//! When a plan needs a second reader: entries of `second-reader.yaml`, each with an id that a practice can name.

use crate::facts::Vocabulary;
use crate::fields::{Fields, File};
use crate::language::{Condition, parse};
use crate::library::{Library, document};
use crate::mistake::Problem;
use crate::mistakes::data::{IdNotKebab, IdUsedTwice, MissingField, WrongKind};
use crate::tree::{Node, Path};
use crate::words::is_kebab;

use super::check;
use super::outcome::Risk;
use super::tables::Tables;

/// The file it stands in.
const FILE: &str = "second-reader.yaml";

/// A reason for a second reader.
#[derive(Debug, Clone)]
pub struct SecondReader {
    /// Its id, by which a practice names it.
    pub id: String,
    /// What it is, in words.
    pub title: String,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// What asks for one.
    pub asks: AsksFor,
}

/// What asks for a second reader.
#[derive(Debug, Clone)]
pub enum AsksFor {
    /// A risk, until answered, from this one on.
    Risk(Risk),
    /// A condition that holds, or is not known.
    When(Condition),
    /// A departure that touches the case.
    Departures,
}

/// The ids of a rulebook, without reading anything else of it.
#[must_use]
pub fn second_reader_ids(library: &Library) -> Vec<String> {
    let Some(document) = library.get(FILE).and_then(|source| document(source).ok()) else {
        return Vec::new();
    };
    let Node::List(items) = &document.root else {
        return Vec::new();
    };
    let ids = items.iter().filter_map(|item| item.get("id")?.scalar());
    ids.map(|id| id.trim().to_owned()).collect()
}

/// Reads `second-reader.yaml`; faults are added to `problems`.
pub(super) fn load(
    library: &Library,
    vocabulary: &Vocabulary,
    tables: &Tables,
    problems: &mut Vec<Problem>,
) -> Vec<SecondReader> {
    let Some(document) = library.document(FILE, problems) else {
        return Vec::new();
    };
    let file = File::new(&document);
    let mut found: Vec<SecondReader> = Vec::new();
    if let Node::List(items) = file.root {
        for (at, node) in items.iter().enumerate() {
            let path = Path::default().index(at);
            let Some(entry) = entry(&file, node, &path, vocabulary, tables) else {
                continue;
            };
            if found.iter().any(|other| other.id == entry.id) {
                let (id, other) = (entry.id.clone(), FILE.to_owned());
                file.fault(&path.key("id"), IdUsedTwice { id, other });
            }
            found.push(entry);
        }
    } else {
        let mistake = WrongKind {
            key: "this file".to_owned(),
            wanted: "a list".to_owned(),
            found: file.root.kind().to_owned(),
        };
        file.fault(&Path::default(), mistake);
    }
    problems.extend(file.into_problems());
    found
}

fn entry(
    file: &File<'_>,
    node: &Node<'_>,
    path: &Path,
    vocabulary: &Vocabulary,
    tables: &Tables,
) -> Option<SecondReader> {
    let known = ["id", "title", "source", "risk", "when", "departures"];
    let fields = Fields::new(file, node, path.clone(), &known);
    let id = fields.needed_text("id");
    if !id.is_empty() && !is_kebab(&id) {
        file.fault(&fields.at("id"), IdNotKebab { id: id.clone() });
    }
    let title = fields.needed_text("title");
    let source = check::sources(&fields, tables);
    let asks = asks(&fields, vocabulary)?;
    Some(SecondReader {
        id,
        title,
        source,
        asks,
    })
}

fn asks(fields: &Fields<'_>, vocabulary: &Vocabulary) -> Option<AsksFor> {
    let file = fields.file;
    if fields.get("risk").is_some() {
        let at = fields.word("risk", Risk::WORDS)?;
        return Risk::ALL.get(at).copied().map(AsksFor::Risk);
    }
    if let Some(node) = fields.get("when") {
        let when = parse::condition(file, vocabulary, node, &fields.at("when"), &[])?;
        check::no_blank_tests(file, vocabulary, &when);
        check::can_hold(file, &fields.at("when"), vocabulary, &when);
        return Some(AsksFor::When(when));
    }
    if fields.yes("departures") {
        return Some(AsksFor::Departures);
    }
    let key = "when".to_owned();
    file.fault(&fields.path, MissingField { key });
    None
}
