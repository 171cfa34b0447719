//! The plain tree a file is read into: text, numbers, yes/no, lists and maps. Knows no file format.
//!
//! `build.rs` takes this folder in as well, to grow the trees of the built-in rulebook while the program is built. So nothing here
//! knows any other part of the program.

pub mod grow;
pub mod packed;

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt::{self, Write as _};
use std::ops::Range;

/// A value as it stood in the file.
#[derive(Debug, Clone, PartialEq)]
pub enum Node<'a> {
    /// Nothing was written.
    Blank,
    /// `true` or `false`.
    Bool(bool),
    /// A whole number.
    Int(i64),
    /// A number with a fraction. Always finite.
    Float(f64),
    /// Text.
    Text(Cow<'a, str>),
    /// A list.
    List(Vec<Node<'a>>),
    /// A map, in file order; a repeated key stands as often as it was written.
    Map(Vec<(Cow<'a, str>, Node<'a>)>),
}

impl<'a> Node<'a> {
    /// What kind of thing this is, in plain words for a mistake.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Blank => "nothing",
            Self::Bool(_) => "a yes or no",
            Self::Int(_) | Self::Float(_) => "a number",
            Self::Text(_) => "text",
            Self::List(_) => "a list",
            Self::Map(_) => "names with values",
        }
    }

    /// The first value under a key of a map.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Node<'a>> {
        match self {
            Self::Map(entries) => entries.iter().find(|(k, _)| k == key).map(|(_, v)| v),
            _ => None,
        }
    }

    /// The keys of a map, in order; none of anything else.
    #[must_use]
    pub fn keys(&self) -> Vec<&str> {
        match self {
            Self::Map(entries) => entries.iter().map(|(key, _)| key.as_ref()).collect(),
            _ => Vec::new(),
        }
    }

    /// True when some map in it has a key twice. The usual file has none; this tells so without noting any way.
    #[must_use]
    pub fn has_repeated_key(&self) -> bool {
        match self {
            Self::List(items) => items.iter().any(Self::has_repeated_key),
            Self::Map(entries) => {
                // Few keys are compared with each other; many are gathered in a set.
                let repeated = if entries.len() <= 48 {
                    entries
                        .iter()
                        .enumerate()
                        .any(|(at, (key, _))| entries[..at].iter().any(|(other, _)| other == key))
                } else {
                    let mut seen = std::collections::HashSet::with_capacity(entries.len());
                    !entries.iter().all(|(key, _)| seen.insert(key.as_ref()))
                };
                repeated || entries.iter().any(|(_, value)| value.has_repeated_key())
            }
            _ => false,
        }
    }

    /// A single value as the text a person would say for it; `None` for lists, maps and blanks.
    #[must_use]
    pub fn scalar(&self) -> Option<Cow<'_, str>> {
        match self {
            Self::Bool(true) => Some(Cow::Borrowed("yes")),
            Self::Bool(false) => Some(Cow::Borrowed("no")),
            Self::Int(int) => Some(Cow::Owned(int.to_string())),
            Self::Float(float) => Some(Cow::Owned(float.to_string())),
            Self::Text(text) => Some(Cow::Borrowed(text)),
            Self::Blank | Self::List(_) | Self::Map(_) => None,
        }
    }
}

/// A step into a tree.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Into a map.
    Key(String),
    /// Into a list, from 0.
    Index(usize),
}

/// The way from the root to a value: `people[0].age`.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Path(pub Vec<Step>);

impl Path {
    /// This path and one key more.
    #[must_use]
    pub fn key(&self, key: &str) -> Self {
        let mut steps = self.0.clone();
        steps.push(Step::Key(key.to_owned()));
        Self(steps)
    }

    /// This path and one list place more.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        let mut steps = self.0.clone();
        steps.push(Step::Index(index));
        Self(steps)
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, step) in self.0.iter().enumerate() {
            match step {
                Step::Key(key) if at == 0 => f.write_str(key)?,
                Step::Key(key) => write!(f, ".{key}")?,
                Step::Index(index) => write!(f, "[{index}]")?,
            }
        }
        Ok(())
    }
}

/// Byte ranges of keys and values by path.
#[derive(Debug, Clone, Default)]
pub struct Places {
    /// Each key's range; a repeated key has one range per time it was written.
    pub keys: BTreeMap<Path, Vec<Range<usize>>>,
    /// Each value's range. A block of text has no exact range and is missing here.
    pub values: BTreeMap<Path, Range<usize>>,
}

impl Places {
    /// The best range for a value: its own, else its key's, else that of the nearest thing around it.
    #[must_use]
    pub fn value(&self, path: &Path) -> Range<usize> {
        if let Some(range) = self.values.get(path) {
            return range.clone();
        }
        self.key(path, 0)
    }

    /// The best range for a key, the `nth` time it was written (from 0).
    #[must_use]
    pub fn key(&self, path: &Path, nth: usize) -> Range<usize> {
        let mut path = path.clone();
        let mut nth = nth;
        loop {
            if let Some(ranges) = self.keys.get(&path)
                && let Some(range) = ranges.get(nth).or_else(|| ranges.last())
            {
                return range.clone();
            }
            if let Some(range) = self.values.get(&path) {
                return range.clone();
            }
            nth = 0;
            if path.0.pop().is_none() {
                return 0..0;
            }
        }
    }
}

/// A short way of showing a value in a mistake: at most 40 characters, on one line.
#[must_use]
pub fn shown(text: &str) -> String {
    let mut out = String::new();
    for (count, c) in text.chars().enumerate() {
        if count == 40 {
            out.push('…');
            break;
        }
        if c.is_control() {
            let _ = write!(out, "{}", c.escape_default());
        } else {
            out.push(c);
        }
    }
    out
}
