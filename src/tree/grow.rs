//! Grows a tree out of whatever a reader of some format gives, within fixed bounds.

use std::borrow::Cow;
use std::cell::Cell;
use std::fmt;

use serde::de::{self, DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};

use super::Node;

/// How deep maps and lists may nest.
pub const MAX_DEPTH: usize = 32;
/// How many keys and list items a file may hold.
pub const MAX_ENTRIES: usize = 2_000;

/// What can stop a tree from growing, beside what its reader itself finds wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// Maps and lists nest deeper than [`MAX_DEPTH`].
    Depth,
    /// There are more keys and list items than were allowed.
    Entries,
    /// A value carries a tag.
    Tag,
    /// A number is infinite, or none.
    Infinite,
}

/// Grows a tree of at most so many keys and list items.
///
/// # Errors
/// What stopped it, or `None` where the reader found the fault; with the reader's own error, which tells the place.
pub fn grow<'de, D: Deserializer<'de>>(
    reader: D,
    most: usize,
) -> Result<Node<'de>, (Option<Stop>, D::Error)> {
    let state = State {
        left: Cell::new(most),
        stop: Cell::new(None),
    };
    let grow = Grow {
        state: &state,
        depth: 0,
    };
    grow.deserialize(reader)
        .map_err(|error| (state.stop.get(), error))
}

struct State {
    /// How many keys and list items may still come.
    left: Cell<usize>,
    stop: Cell<Option<Stop>>,
}

impl State {
    fn count<E: de::Error>(&self) -> Result<(), E> {
        match self.left.get().checked_sub(1) {
            Some(left) => self.left.set(left),
            None => return Err(self.stop(Stop::Entries)),
        }
        Ok(())
    }

    fn stop<E: de::Error>(&self, what: Stop) -> E {
        self.stop.set(Some(what));
        E::custom("out of bounds")
    }
}

#[derive(Clone, Copy)]
struct Grow<'s> {
    state: &'s State,
    depth: usize,
}

impl Grow<'_> {
    fn deeper<E: de::Error>(self) -> Result<Self, E> {
        if self.depth == MAX_DEPTH {
            return Err(self.state.stop(Stop::Depth));
        }
        Ok(Self {
            depth: self.depth + 1,
            ..self
        })
    }
}

impl<'de> DeserializeSeed<'de> for Grow<'_> {
    type Value = Node<'de>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node<'de>, D::Error> {
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
            Err(self.state.stop(Stop::Infinite))
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
        Err(self.state.stop(Stop::Tag))
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
        // Most groups hold a handful of answers, and growing step by step costs more than a little room.
        let mut entries = Vec::with_capacity(8);
        while let Some(key) = access.next_key_seed(Key)? {
            self.state.count()?;
            entries.push((key, access.next_value_seed(inner)?));
        }
        Ok(Node::Map(entries))
    }
}

/// A key, always taken as text.
#[derive(Debug)]
pub struct Key;

impl<'de> DeserializeSeed<'de> for Key {
    type Value = Cow<'de, str>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Cow<'de, str>, D::Error> {
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
