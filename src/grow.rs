//! A tree grown from what a reader of some file format hands over, within fixed bounds. Knows no file format.

use std::borrow::Cow;
use std::cell::Cell;
use std::fmt;
use std::ops::Range;

use serde::de::{self, DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};

use crate::mistake::Problem;
use crate::mistakes::file::DuplicateKey;
use crate::source::Source;
use crate::tree::{Node, Path, Places};

/// How deep maps and lists may nest.
pub const MAX_DEPTH: usize = 32;
/// How many keys and list items a file may hold.
pub const MAX_ENTRIES: usize = 2_000;

/// Why a tree could not be grown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The reader of the file format says so.
    Library,
    /// Nested too deep.
    Depth,
    /// Too many keys and items.
    Entries,
    /// A tag.
    Tag,
    /// No ordinary number.
    Infinite,
}

/// Grows a tree of at most so many keys and list items.
///
/// # Errors
/// What the reader says, with the reason.
pub fn grow<'de, D: Deserializer<'de>>(
    deserializer: D,
    most: usize,
) -> Result<Node<'de>, (What, D::Error)> {
    let state = State {
        left: Cell::new(most),
        what: Cell::new(What::Library),
    };
    let grow = Grow {
        state: &state,
        depth: 0,
    };
    grow.deserialize(deserializer)
        .map_err(|error| (state.what.get(), error))
}

/// Every key that is written more than once in one place.
///
/// # Errors
/// All of them, each at its second and later place; `places` is called only then.
pub fn refuse_repeated_keys(
    source: &Source,
    root: &Node<'_>,
    places: impl Fn() -> Places,
) -> Result<(), Vec<Problem>> {
    if !has_repeated_key(root) {
        return Ok(());
    }
    let mut repeated = Vec::new();
    repeated_keys(root, &Path::default(), &mut repeated);
    let places = places();
    Err(repeated
        .into_iter()
        .map(|(path, nth, key)| {
            Problem::at(source.place(places.key(&path, nth)), DuplicateKey { key })
        })
        .collect())
}

/// How much may still come, and why growing stopped.
struct State {
    /// How many keys and list items may still come.
    left: Cell<usize>,
    what: Cell<What>,
}

impl State {
    fn count<E: de::Error>(&self) -> Result<(), E> {
        match self.left.get().checked_sub(1) {
            Some(left) => self.left.set(left),
            None => return Err(self.stop(What::Entries)),
        }
        Ok(())
    }

    fn stop<E: de::Error>(&self, what: What) -> E {
        self.what.set(what);
        E::custom("out of bounds")
    }
}

/// Builds the tree.
#[derive(Clone, Copy)]
struct Grow<'s> {
    state: &'s State,
    depth: usize,
}

impl Grow<'_> {
    fn deeper<E: de::Error>(self) -> Result<Self, E> {
        if self.depth == MAX_DEPTH {
            return Err(self.state.stop(What::Depth));
        }
        Ok(Self {
            depth: self.depth + 1,
            ..self
        })
    }
}

impl<'de> DeserializeSeed<'de> for Grow<'_> {
    type Value = Node<'de>;

    fn deserialize<D: de::Deserializer<'de>>(self, deserializer: D) -> Result<Node<'de>, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Grow<'_> {
    type Value = Node<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a plain value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Node<'de>, E> {
        Ok(Node::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Node<'de>, E> {
        Ok(Node::Int(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Node<'de>, E> {
        Ok(i64::try_from(value).map_or_else(|_| Node::Text(value.to_string().into()), Node::Int))
    }

    fn visit_u128<E>(self, value: u128) -> Result<Node<'de>, E> {
        Ok(Node::Text(value.to_string().into()))
    }

    fn visit_i128<E>(self, value: i128) -> Result<Node<'de>, E> {
        Ok(Node::Text(value.to_string().into()))
    }

    fn visit_f64<E: de::Error>(self, value: f64) -> Result<Node<'de>, E> {
        if value.is_finite() {
            Ok(Node::Float(value))
        } else {
            Err(self.state.stop(What::Infinite))
        }
    }

    fn visit_borrowed_str<E>(self, value: &'de str) -> Result<Node<'de>, E> {
        Ok(Node::Text(Cow::Borrowed(value)))
    }

    fn visit_str<E>(self, value: &str) -> Result<Node<'de>, E> {
        Ok(Node::Text(Cow::Owned(value.to_owned())))
    }

    fn visit_unit<E>(self) -> Result<Node<'de>, E> {
        Ok(Node::Blank)
    }

    fn visit_none<E>(self) -> Result<Node<'de>, E> {
        Ok(Node::Blank)
    }

    fn visit_enum<A: de::EnumAccess<'de>>(self, _: A) -> Result<Node<'de>, A::Error> {
        Err(self.state.stop(What::Tag))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<Node<'de>, A::Error> {
        let inner = self.deeper()?;
        let mut items = Vec::new();
        while let Some(item) = access.next_element_seed(inner)? {
            self.state.count()?;
            items.push(item);
        }
        Ok(Node::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Node<'de>, A::Error> {
        let inner = self.deeper()?;
        let mut entries = Vec::new();
        while let Some(key) = access.next_key_seed(Key)? {
            self.state.count()?;
            entries.push((key, access.next_value_seed(inner)?));
        }
        Ok(Node::Map(entries))
    }
}

/// A key, always taken as text.
pub(crate) struct Key;

impl<'de> DeserializeSeed<'de> for Key {
    type Value = Cow<'de, str>;

    fn deserialize<D: de::Deserializer<'de>>(
        self,
        deserializer: D,
    ) -> Result<Cow<'de, str>, D::Error> {
        deserializer.deserialize_str(self)
    }
}

impl<'de> Visitor<'de> for Key {
    type Value = Cow<'de, str>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a key")
    }

    fn visit_borrowed_str<E>(self, value: &'de str) -> Result<Cow<'de, str>, E> {
        Ok(Cow::Borrowed(value))
    }

    fn visit_str<E>(self, value: &str) -> Result<Cow<'de, str>, E> {
        Ok(Cow::Owned(value.to_owned()))
    }
}

/// The usual file has no repeated key; this tells so without noting any way.
fn has_repeated_key(node: &Node<'_>) -> bool {
    match node {
        Node::List(items) => items.iter().any(has_repeated_key),
        Node::Map(entries) => {
            // Few keys are compared with each other; many are gathered in a set.
            let repeated = if entries.len() <= 16 {
                entries
                    .iter()
                    .enumerate()
                    .any(|(at, (key, _))| entries[..at].iter().any(|(other, _)| other == key))
            } else {
                let mut seen = std::collections::HashSet::with_capacity(entries.len());
                !entries.iter().all(|(key, _)| seen.insert(key.as_ref()))
            };
            repeated || entries.iter().any(|(_, value)| has_repeated_key(value))
        }
        _ => false,
    }
}

fn repeated_keys(node: &Node<'_>, path: &Path, found: &mut Vec<(Path, usize, String)>) {
    match node {
        Node::List(items) => {
            for (at, item) in items.iter().enumerate() {
                repeated_keys(item, &path.index(at), found);
            }
        }
        Node::Map(entries) => {
            let mut seen = std::collections::HashMap::<&str, usize>::new();
            for (key, value) in entries {
                let times = seen.entry(key).or_default();
                let here = path.key(key);
                if *times > 0 {
                    found.push((here.clone(), *times, key.to_string()));
                }
                *times += 1;
                repeated_keys(value, &here, found);
            }
        }
        _ => {}
    }
}

/// The range of a part that borrows from a whole.
#[must_use]
pub(crate) fn range_in(whole: &str, part: &str) -> Option<Range<usize>> {
    let start = (part.as_ptr() as usize).checked_sub(whole.as_ptr() as usize)?;
    (start + part.len() <= whole.len()).then_some(start..start + part.len())
}
