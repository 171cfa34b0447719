//! How figures are told: title, inputs, what is assumed, range of validity and sources, as data in `figures.yaml`.

use crate::facts::Vocabulary;
use crate::fields::{Fields, File};
use crate::language::FactRef;
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::{IdUsedTwice, UnknownWord};
use crate::mistakes::rulebook::UnknownFact;
use crate::tree::{Node, Path};
use crate::words::closest;

use super::check;
use super::tables::Tables;

/// The figures the program works out, in the order they are told.
pub const FIGURES: &[&str] = &[
    "kind", "cage", "wings", "bars", "energy", "rewards", "weight", "reach", "faces", "room",
    "record", "wounds", "illness",
];

/// How one figure is told.
#[derive(Debug, Clone)]
pub struct FigureText {
    /// Its id, one of [`FIGURES`].
    pub id: String,
    /// Its heading.
    pub title: String,
    /// The answers it is worked out from.
    pub inputs: Vec<FactRef>,
    /// Template of its results, one to a line, for the consultant.
    pub works: String,
    /// Template of what is assumed, one to a line.
    pub assumes: String,
    /// For which values it is valid, and how far off it may be.
    pub range: String,
    /// Template of one plain sentence for the household; empty when there is none.
    pub tell: String,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// True when it rests on private answers and is told to the consultant alone.
    pub private: bool,
}

/// Reads `figures.yaml`; faults are added to `problems`.
pub(super) fn load(
    library: &Library,
    vocabulary: &Vocabulary,
    tables: &Tables,
    problems: &mut Vec<Problem>,
) -> Vec<FigureText> {
    let Some(document) = library.document("figures.yaml", problems) else {
        return Vec::new();
    };
    let file = File::new(&document);
    let mut figures: Vec<FigureText> = Vec::new();
    if let Node::List(items) = file.root {
        for (at, node) in items.iter().enumerate() {
            let path = Path::default().index(at);
            let known = [
                "id", "title", "inputs", "works", "assumes", "range", "tell", "source", "private",
            ];
            let fields = Fields::new(&file, node, path, &known);
            let id = fields.needed_text("id");
            if !id.is_empty() && !FIGURES.contains(&id.as_str()) {
                file.fault(
                    &fields.at("id"),
                    UnknownWord {
                        key: "id".to_owned(),
                        close: closest(&id, FIGURES.iter().copied()),
                        words: FIGURES.iter().map(|word| (*word).to_owned()).collect(),
                        text: id.clone(),
                    },
                );
            }
            if figures.iter().any(|other| other.id == id) {
                file.fault(
                    &fields.at("id"),
                    IdUsedTwice {
                        id,
                        other: "this file".to_owned(),
                    },
                );
                continue;
            }
            let _ = fields.need("inputs");
            let source = check::sources(&fields, tables);
            check::refused_words(
                &fields,
                &["title", "works", "assumes", "range", "tell"],
                tables,
            );
            figures.push(FigureText {
                id,
                title: fields.needed_text("title"),
                inputs: inputs(&file, &fields, vocabulary),
                works: fields.needed_text("works"),
                assumes: fields.text("assumes").unwrap_or_default(),
                range: fields.needed_text("range"),
                tell: fields.text("tell").unwrap_or_default(),
                source,
                private: fields.yes("private"),
            });
        }
    }
    figures.sort_by_key(|figure| FIGURES.iter().position(|id| *id == figure.id));
    problems.extend(file.into_problems());
    figures
}

fn inputs(file: &File<'_>, fields: &Fields<'_>, vocabulary: &Vocabulary) -> Vec<FactRef> {
    let mut inputs = Vec::new();
    for (name, way) in fields.texts("inputs") {
        match vocabulary.find(&name) {
            Some(at) => inputs.push(at),
            None => file.fault(
                &way.path(),
                UnknownFact {
                    close: closest(&name, vocabulary.names_in(&[]).iter().map(String::as_str)),
                    name,
                },
            ),
        }
    }
    inputs
}
