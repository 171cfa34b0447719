//! JSON in: the same tree as from YAML, under the same bounds (RFC 8259). The only file that reads forms from JSON.

use std::borrow::Cow;
use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;

use crate::mistake::Problem;
use crate::mistakes::file::{InfiniteNumber, NotJson, TagUsed, TooDeep, TooManyEntries};
use crate::repeated_keys;
use crate::source::{Source, range_in};
use crate::tree::grow::{Key, MAX_DEPTH, MAX_ENTRIES, Stop, grow};
use crate::tree::{Node, Path, Places};

/// Reads one JSON value.
///
/// # Errors
/// All that can be told: bounds broken, text that is no JSON, and every repeated key.
pub fn read(source: &Source) -> Result<Node<'_>, Vec<Problem>> {
    let mut reader = serde_json::Deserializer::from_str(&source.text);
    let root = grow(&mut reader, MAX_ENTRIES)
        .and_then(|root| reader.end().map(|()| root).map_err(|e| (None, e)))
        .map_err(|(what, error)| vec![problem(source, what, &error)])?;
    repeated_keys::refuse(source, &root, || places(&source.text))?;
    Ok(root)
}

fn problem(source: &Source, what: Option<Stop>, error: &serde_json::Error) -> Problem {
    // The library counts columns in bytes; its column 0 is the line break before.
    let place = source.place(source.byte_offset((error.line(), error.column().max(1))));
    match what {
        Some(Stop::Depth) => Problem::at(place, TooDeep { most: MAX_DEPTH }),
        Some(Stop::Entries) => Problem::at(place, TooManyEntries { most: MAX_ENTRIES }),
        Some(Stop::Tag) => Problem::at(place, TagUsed {}),
        Some(Stop::Infinite) => Problem::at(place, InfiniteNumber {}),
        None => {
            let message = error.to_string();
            let reason = message.split(" at line ").next().unwrap_or(&message);
            Problem::at(
                place,
                NotJson {
                    reason: reason.to_owned(),
                },
            )
        }
    }
}

/// Places of all keys and values: a second pass over the text, made only when someone asks.
#[must_use]
pub fn places(text: &str) -> Places {
    let mut places = Places::default();
    // What was read once can be walked once more; should it fail, places stay coarse and nothing is lost.
    if let Ok(raw) = serde_json::from_str::<&RawValue>(text) {
        walk(text, raw, &Path::default(), &mut places);
    }
    places
}

/// The names at the top of an object, however long it is.
#[must_use]
pub fn keys(text: &str) -> Vec<String> {
    serde_json::from_str::<Entries<'_>>(text).map_or_else(
        |_| Vec::new(),
        |entries| {
            entries
                .0
                .into_iter()
                .map(|(key, _)| key.into_owned())
                .collect()
        },
    )
}

fn walk(text: &str, raw: &RawValue, path: &Path, places: &mut Places) {
    let inner = raw.get();
    if let Some(range) = range_in(text, inner) {
        places.values.insert(path.clone(), range);
    }
    if inner.starts_with('{') {
        let Ok(entries) = serde_json::from_str::<Entries<'_>>(inner) else {
            return;
        };
        for (key, value) in entries.0 {
            let here = path.key(&key);
            // A key with escapes in it is no part of the text; its value's place stands in for it.
            let range = match &key {
                Cow::Borrowed(borrowed) => range_in(text, borrowed),
                Cow::Owned(_) => range_in(text, value.get()),
            };
            places.keys.entry(here.clone()).or_default().extend(range);
            walk(text, value, &here, places);
        }
    } else if inner.starts_with('[')
        && let Ok(items) = serde_json::from_str::<Vec<&RawValue>>(inner)
    {
        for (at, item) in items.into_iter().enumerate() {
            walk(text, item, &path.index(at), places);
        }
    }
}

/// The entries of an object, repeated keys and all.
struct Entries<'a>(Vec<(Cow<'a, str>, &'a RawValue)>);

impl<'de> Deserialize<'de> for Entries<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(ReadEntries)
    }
}

struct ReadEntries;

impl<'de> Visitor<'de> for ReadEntries {
    type Value = Entries<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Entries<'de>, A::Error> {
        let mut entries = Vec::new();
        while let Some(key) = access.next_key_seed(Key)? {
            entries.push((key, access.next_value()?));
        }
        Ok(Entries(entries))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(text: &str) -> Result<String, Vec<&'static str>> {
        let source = Source::new("t", text);
        read(&source)
            .map(|root| format!("{root:?}"))
            .map_err(|problems| problems.iter().map(|p| p.mistake.name()).collect())
    }

    // The two texts of RFC 8259, section 13.
    #[test]
    fn the_published_examples_are_read() {
        let image = Source::new(
            "t",
            "{\"Image\": {\"Width\": 800, \"Height\": 600, \"Title\": \"View from 15th Floor\", \"Thumbnail\": {\"Url\": \"http://www.example.com/image/481989943\", \"Height\": 125, \"Width\": 100}, \"Animated\": false, \"IDs\": [116, 943, 234, 38793]}}",
        );
        let root = read(&image).unwrap_or(Node::Blank);
        let inner = root.get("Image");
        assert_eq!(inner.and_then(|i| i.get("Width")), Some(&Node::Int(800)));
        assert_eq!(
            inner.and_then(|i| i.get("Animated")),
            Some(&Node::Bool(false))
        );
        let ids = [116, 943, 234, 38793].map(Node::Int).to_vec();
        assert_eq!(inner.and_then(|i| i.get("IDs")), Some(&Node::List(ids)));
        let cities = Source::new(
            "t",
            "[{\"precision\": \"zip\", \"Latitude\": 37.7668, \"Longitude\": -122.3959, \"Zip\": \"94107\"}, {\"precision\": \"zip\", \"Latitude\": 37.371991, \"Longitude\": -122.026020}]",
        );
        let Ok(Node::List(cities)) = read(&cities) else {
            unreachable!("an array is a list");
        };
        assert_eq!(cities[1].get("Longitude"), Some(&Node::Float(-122.02602)));
    }

    #[test]
    fn what_is_no_json_is_told_with_its_place() {
        for text in [
            "{",
            "{\"a\": 1,}",
            "{'a': 1}",
            "{\"a\": 01}",
            "{\"a\": 1} x",
            "nil",
            "{\"a\": NaN}",
        ] {
            assert_eq!(tree(text), Err(vec!["not-json"]), "{text}");
        }
        assert_eq!(
            tree("{\"a\": 1, \"b\": {\"c\": 1, \"c\": 2}, \"a\": 2}"),
            Err(vec!["duplicate-key"; 2])
        );
        assert_eq!(tree(&"[".repeat(60)), Err(vec!["too-deep"]));
        assert_eq!(
            tree(&format!("[{}1]", "1,".repeat(MAX_ENTRIES))),
            Err(vec!["too-many-entries"])
        );
        let source = Source::new("t", "{\n \"a\": x}");
        let found = read(&source).err().unwrap_or_default();
        assert_eq!((found[0].place.line, found[0].place.column), (2, 7));
    }

    #[test]
    fn any_value_has_its_place() {
        let text = "{\"people\": [{\"age\": 9}, {\"age\": \"40 years\"}], \"b\\u0069rd\": {\"size\": \"small\"}}";
        let places = places(text);
        let way = |steps: &[&str]| {
            steps.iter().fold(Path::default(), |path, step| {
                step.parse()
                    .map_or_else(|_| path.key(step), |at| path.index(at))
            })
        };
        let at = |steps: &[&str]| &text[places.value(&way(steps))];
        assert_eq!(at(&["people", "0", "age"]), "9");
        assert_eq!(at(&["people", "1", "age"]), "\"40 years\"");
        assert_eq!(at(&["bird", "size"]), "\"small\"");
        assert_eq!(&text[places.key(&way(&["people"]), 0)], "people");
    }
}
