//! A language's sentences: the files below `languages/ID/`, flattened to a table from key to sentence.

use std::collections::BTreeMap;

use crate::library::{Library, document};
use crate::mistake::{Place, Problem};
use crate::tongue::Tongue;
use crate::tree::{Node, Path, Step};

use super::{FROM_PRACTICE, stamps};

/// Files of a language that hold no sentences.
const NOT_SENTENCES: &[&str] = &[
    "language.yaml",
    "spelling.yaml",
    "refused-words.yaml",
    "made-from.yaml",
];

/// The sentences of one language.
#[derive(Debug, Clone, Default)]
pub struct Translation {
    /// The language.
    pub tongue: Tongue,
    sentences: BTreeMap<String, String>,
}

impl Translation {
    /// Reads a language; faults are added to `problems`.
    #[must_use]
    pub fn load(library: &Library, id: &str, problems: &mut Vec<Problem>) -> Self {
        let mut sentences = BTreeMap::new();
        each(library, id, problems, |key, text, _| {
            // A practice's own sentences come first.
            sentences.entry(key).or_insert(text);
        });
        Self {
            tongue: Tongue::load(library, id, problems),
            sentences,
        }
    }

    /// True when it holds a sentence at all.
    #[must_use]
    pub fn says_anything(&self) -> bool {
        !self.sentences.is_empty()
    }

    /// The sentence of a key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&str> {
        self.sentences.get(key).map(String::as_str)
    }

    /// True when papers of this language print the sentence of a key: signs, steps and sheets only where those papers are written
    /// in it.
    #[must_use]
    pub fn needs(&self, key: &str) -> bool {
        let Some(rest) = key.strip_prefix("sayings.") else {
            return true;
        };
        let part = rest.split('.').next().unwrap_or(rest);
        match part {
            "since-last" => true,
            "green" | "amber" | "red" | "own-signs" => self.tongue.has_paper("stop-card"),
            _ => self.tongue.has_paper("practice"),
        }
    }
}

/// The ids of all languages of a library: the folders below `languages/`.
#[must_use]
pub fn ids(library: &Library) -> Vec<String> {
    let mut ids: Vec<String> = library
        .files
        .iter()
        .filter_map(|(path, _)| {
            let rest = path.strip_prefix("languages/")?;
            Some(rest.split_once('/')?.0.to_owned())
        })
        .collect();
    ids.dedup();
    ids
}

/// Shows each sentence of a language with its key and its place.
pub(super) fn each(
    library: &Library,
    id: &str,
    problems: &mut Vec<Problem>,
    mut visit: impl FnMut(String, String, &dyn Fn() -> Place),
) {
    let folder = format!("languages/{id}/");
    for (path, source) in &library.files {
        let Some(name) = path.strip_prefix(&folder) else {
            continue;
        };
        if NOT_SENTENCES.contains(&name) {
            continue;
        }
        let name = name.strip_prefix(FROM_PRACTICE).unwrap_or(name);
        if name == stamps::FILE {
            continue;
        }
        let document = match document(source) {
            Ok(document) => document,
            Err(found) => {
                problems.extend(found);
                continue;
            }
        };
        let places = std::cell::OnceCell::new();
        let stem = name.strip_suffix(".yaml").unwrap_or(name);
        // Measures and rules have ids of their own, wherever they lie; questions belong to their group.
        let prefix = match stem.split_once('/') {
            Some((area @ ("measures" | "rules"), _)) => area.to_owned(),
            _ => stem.replace('/', "."),
        };
        walk(&document.root, &Path::default(), &mut |path, text| {
            let mut key = prefix.clone();
            for step in &path.0 {
                key.push('.');
                match step {
                    Step::Key(name) => key.push_str(name),
                    Step::Index(at) => key.push_str(&at.to_string()),
                }
            }
            let place = || {
                let places = places.get_or_init(|| document.places());
                source.place(places.value(path))
            };
            visit(key, text.trim().to_owned(), &place);
        });
    }
}

fn walk(node: &Node<'_>, path: &Path, visit: &mut dyn FnMut(&Path, &str)) {
    match node {
        Node::Map(entries) => {
            for (key, node) in entries {
                walk(node, &path.key(key), visit);
            }
        }
        Node::List(items) => {
            for (at, node) in items.iter().enumerate() {
                walk(node, &path.index(at), visit);
            }
        }
        node => {
            if let Some(text) = node.scalar() {
                visit(path, &text);
            }
        }
    }
}
