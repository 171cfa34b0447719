//! Reading data files field by field: every key is known, every kind is checked, and every fault is collected.

use std::cell::RefCell;

use crate::mistake::Problem;
use crate::mistakes::data::{MissingField, UnknownField, UnknownWord, WrongKind};
use crate::source::Source;
use crate::tree::{Node, Path, Places, shown};
use crate::words::{alike, closest};
use crate::yaml::Document;

/// One data file being read, with the faults found so far.
pub struct File<'a> {
    /// Its text.
    pub source: &'a Source,
    /// Its tree.
    pub root: &'a Node<'a>,
    document: &'a Document<'a>,
    places: std::cell::OnceCell<Places>,
    problems: RefCell<Vec<Problem>>,
}

impl<'a> File<'a> {
    /// A file that has been read into a tree.
    #[must_use]
    pub fn new(document: &'a Document<'a>) -> Self {
        Self {
            source: document.source,
            root: &document.root,
            document,
            places: std::cell::OnceCell::new(),
            problems: RefCell::new(Vec::new()),
        }
    }

    /// The places of everything in it; worked out once, when first asked for.
    #[must_use]
    pub fn places(&self) -> &Places {
        self.places.get_or_init(|| self.document.places())
    }

    /// Notes a fault at a value.
    pub fn fault(&self, path: &Path, mistake: impl crate::mistake::Mistake + 'static) {
        let place = self.source.place(self.places().value(path));
        self.problems.borrow_mut().push(Problem::at(place, mistake));
    }

    /// Notes a fault at a key.
    pub fn fault_at_key(&self, path: &Path, mistake: impl crate::mistake::Mistake + 'static) {
        let place = self.source.place(self.places().key(path, 0));
        self.problems.borrow_mut().push(Problem::at(place, mistake));
    }

    /// The place of a value.
    #[must_use]
    pub fn place(&self, path: &Path) -> crate::mistake::Place {
        self.source.place(self.places().value(path))
    }

    /// Takes over faults found elsewhere.
    pub fn extend(&self, problems: impl IntoIterator<Item = Problem>) {
        self.problems.borrow_mut().extend(problems);
    }

    /// How many faults so far.
    #[must_use]
    pub fn count(&self) -> usize {
        self.problems.borrow().len()
    }

    /// All faults found.
    #[must_use]
    pub fn into_problems(self) -> Vec<Problem> {
        self.problems.into_inner()
    }

    /// The root as a map of fields.
    #[must_use]
    pub fn fields(&'a self, known: &[&str]) -> Fields<'a> {
        Fields::new(self, self.root, Path::default(), known)
    }
}

/// The fields of one map.
pub struct Fields<'a> {
    /// The file it stands in.
    pub file: &'a File<'a>,
    /// The way to it.
    pub path: Path,
    node: &'a Node<'a>,
}

/// The way to a part of what stands under a key: made into a path once there is a fault to place.
#[derive(Debug, Clone, Copy)]
pub struct Way<'f> {
    around: &'f Path,
    key: &'f str,
    part: Part<'f>,
}

#[derive(Debug, Clone, Copy)]
enum Part<'f> {
    Whole,
    Item(usize),
    Entry(&'f str),
}

impl Way<'_> {
    /// The path.
    #[must_use]
    pub fn path(&self) -> Path {
        let at = self.around.key(self.key);
        match self.part {
            Part::Whole => at,
            Part::Item(index) => at.index(index),
            Part::Entry(name) => at.key(name),
        }
    }
}

/// Texts without the ways to them.
#[must_use]
pub fn alone(texts: Vec<(String, Way<'_>)>) -> Vec<String> {
    // Collected in place they would keep the room that the ways took.
    let mut alone = Vec::with_capacity(texts.len());
    alone.extend(texts.into_iter().map(|(text, _)| text));
    alone
}

impl<'a> Fields<'a> {
    /// Takes a node as a map and reports keys that are not known.
    #[must_use]
    pub fn new(file: &'a File<'a>, node: &'a Node<'a>, path: Path, known: &[&str]) -> Self {
        match node {
            Node::Map(entries) => {
                for (key, _) in entries {
                    if !known.contains(&key.as_ref()) {
                        file.fault_at_key(
                            &path.key(key),
                            UnknownField {
                                key: key.to_string(),
                                close: closest(key, known.iter().copied()),
                                keys: known.iter().map(|k| (*k).to_owned()).collect(),
                            },
                        );
                    }
                }
            }
            other => file.fault(
                &path,
                WrongKind {
                    key: if path.0.is_empty() {
                        "this file".to_owned()
                    } else {
                        path.to_string()
                    },
                    wanted: "names with values".to_owned(),
                    found: other.kind().to_owned(),
                },
            ),
        }
        Self { file, path, node }
    }

    /// The value of a key, unless it is missing or blank.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&'a Node<'a>> {
        self.node.get(key).filter(|node| **node != Node::Blank)
    }

    /// The path of a key.
    #[must_use]
    pub fn at(&self, key: &str) -> Path {
        self.path.key(key)
    }

    /// Like [`Fields::get`], and reports a missing key.
    #[must_use]
    pub fn need(&self, key: &str) -> Option<&'a Node<'a>> {
        let found = self.get(key);
        if found.is_none() && matches!(self.node, Node::Map(_)) {
            let place = if self.node.get(key).is_some() {
                self.at(key)
            } else {
                self.path.clone()
            };
            self.file.fault(
                &place,
                MissingField {
                    key: key.to_owned(),
                },
            );
        }
        found
    }

    fn way<'f>(&'f self, key: &'f str, part: Part<'f>) -> Way<'f> {
        Way {
            around: &self.path,
            key,
            part,
        }
    }

    fn wrong(&self, key: &str, wanted: &str, found: &Node<'_>) {
        self.file.fault(
            &self.at(key),
            WrongKind {
                key: key.to_owned(),
                wanted: wanted.to_owned(),
                found: found.kind().to_owned(),
            },
        );
    }

    /// Optional text.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<String> {
        let node = self.get(key)?;
        let Some(text) = node.scalar() else {
            self.wrong(key, "text", node);
            return None;
        };
        Some(text.trim().to_owned())
    }

    /// Text that must be there; empty when it is not (the fault is noted).
    #[must_use]
    pub fn needed_text(&self, key: &str) -> String {
        let _ = self.need(key);
        self.text(key).unwrap_or_default()
    }

    /// An optional number.
    #[must_use]
    pub fn number(&self, key: &str) -> Option<f64> {
        match self.get(key)? {
            Node::Int(int) => Some(*int as f64),
            Node::Float(float) => Some(*float),
            other => {
                self.wrong(key, "a number", other);
                None
            }
        }
    }

    /// Yes or no; no when missing.
    #[must_use]
    pub fn yes(&self, key: &str) -> bool {
        match self.get(key) {
            None => false,
            Some(Node::Bool(value)) => *value,
            Some(Node::Text(text)) if text == "yes" => true,
            Some(Node::Text(text)) if text == "no" => false,
            Some(other) => {
                self.wrong(key, "yes or no", other);
                false
            }
        }
    }

    /// One of a fixed set of words, by its place in that set.
    #[must_use]
    pub fn word(&self, key: &str, words: &[&str]) -> Option<usize> {
        let text = self.text(key)?;
        let exact = words.iter().position(|word| *word == text);
        let found = exact.or_else(|| words.iter().position(|word| alike(word, &text)));
        if found.is_none() {
            self.file.fault(
                &self.at(key),
                UnknownWord {
                    key: key.to_owned(),
                    text: shown(&text),
                    close: closest(&text, words.iter().copied()),
                    words: words.iter().map(|w| (*w).to_owned()).collect(),
                },
            );
        }
        found
    }

    /// Like [`Fields::word`], and reports a missing key.
    #[must_use]
    pub fn needed_word(&self, key: &str, words: &[&str]) -> Option<usize> {
        let _ = self.need(key);
        self.word(key, words)
    }

    /// A list of texts with the way to each; a single text counts as a list of one.
    #[must_use]
    pub fn texts<'f>(&'f self, key: &'f str) -> Vec<(String, Way<'f>)> {
        let Some(node) = self.get(key) else {
            return Vec::new();
        };
        let way = |part| self.way(key, part);
        match node {
            Node::List(items) => items
                .iter()
                .enumerate()
                .filter_map(|(index, item)| {
                    let here = way(Part::Item(index));
                    if let Some(text) = item.scalar() {
                        return Some((text.trim().to_owned(), here));
                    }
                    self.file.fault(
                        &here.path(),
                        WrongKind {
                            key: key.to_owned(),
                            wanted: "text".to_owned(),
                            found: item.kind().to_owned(),
                        },
                    );
                    None
                })
                .collect(),
            node => {
                if let Some(text) = node.scalar() {
                    return vec![(text.trim().to_owned(), way(Part::Whole))];
                }
                self.wrong(key, "a list of words", node);
                Vec::new()
            }
        }
    }

    /// A list of texts; a single text counts as a list of one.
    #[must_use]
    pub fn words(&self, key: &str) -> Vec<String> {
        alone(self.texts(key))
    }

    /// The entries of a map under a key, in file order, with the way to each.
    #[must_use]
    pub fn entries<'f>(&'f self, key: &'f str) -> Vec<(&'a str, &'a Node<'a>, Way<'f>)> {
        match self.get(key) {
            None => Vec::new(),
            Some(Node::Map(entries)) => entries
                .iter()
                .map(|(name, node)| (name.as_ref(), node, self.way(key, Part::Entry(name))))
                .collect(),
            Some(other) => {
                self.wrong(key, "names with values", other);
                Vec::new()
            }
        }
    }

    /// The items of a list under a key.
    #[must_use]
    pub fn items(&self, key: &str) -> Vec<(&'a Node<'a>, Path)> {
        match self.get(key) {
            None => Vec::new(),
            Some(Node::List(items)) => items
                .iter()
                .enumerate()
                .map(|(index, node)| (node, self.at(key).index(index)))
                .collect(),
            Some(other) => {
                self.wrong(key, "a list", other);
                Vec::new()
            }
        }
    }
}
