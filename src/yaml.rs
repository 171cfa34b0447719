//! YAML in and out. The only file that knows which library reads it.
//!
//! The library passes repeated keys in silence, follows anchors, stops at its first error and gives no places. This
//! file closes those gaps: it reads into [`Node`] under fixed bounds, reports every repeated key, refuses anchors, aliases and
//! tags, and finds the place of any value in a second pass that follows the tree.

use std::borrow::Cow;
use std::fmt;

use serde::de::{self, DeserializeSeed, MapAccess, SeqAccess, Visitor};

use crate::mistake::{Place, Problem};
use crate::mistakes::file::{
    AnchorUsed, InfiniteNumber, NotOneDocument, NotYaml, TagUsed, TooDeep, TooManyEntries,
};
use crate::repeated_keys;
use crate::source::{Source, range_in};
use crate::tree::grow::{Key, Stop, grow};
use crate::tree::{Node, Path, Places, Step};

pub use crate::tree::grow::{MAX_DEPTH, MAX_ENTRIES};

/// A file read into a tree, with the places of everything in it.
#[derive(Debug)]
pub struct Document<'a> {
    /// The text it came from.
    pub source: &'a Source,
    /// The tree.
    pub root: Node<'a>,
}

impl Document<'_> {
    /// Places of all keys and values: a second pass over the text, made only when someone asks.
    #[must_use]
    pub fn places(&self) -> Places {
        locate(&self.source.text, &self.root)
    }
}

/// Reads one YAML document.
///
/// # Errors
/// All that can be told: bounds broken, anchors, tags, a second document, text that is no YAML, and every repeated key.
pub fn read(source: &Source) -> Result<Document<'_>, Vec<Problem>> {
    read_up_to(source, MAX_ENTRIES)
}

/// Reads one YAML document of at most so many keys and list items.
///
/// # Errors
/// As for [`read`].
pub fn read_up_to(source: &Source, most: usize) -> Result<Document<'_>, Vec<Problem>> {
    // The library's time grows with the square of nested brackets, so they are counted before it sees the text.
    let brackets = source
        .text
        .bytes()
        .filter(|byte| matches!(byte, b'{' | b'['))
        .count();
    if brackets > 2 * MAX_ENTRIES {
        return Err(vec![Problem::at(
            source.place(0..1),
            TooManyEntries { most },
        )]);
    }
    if let Some(offset) = first_anchor(&source.text) {
        return Err(vec![Problem::at(
            source.place(offset..offset + 1),
            AnchorUsed {},
        )]);
    }
    let root = parse(&source.text, most).map_err(|fault| vec![fault.problem(source, most)])?;
    repeated_keys::refuse(source, &root, || locate(&source.text, &root))?;
    Ok(Document { source, root })
}

/// Writes a text as a YAML value on one line, quoted where it has to be.
#[must_use]
pub fn quoted(text: &str) -> String {
    // JSON strings are YAML double-quoted scalars.
    let plain = !text.is_empty()
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '.' | '/'))
        && text.starts_with(char::is_alphabetic)
        && !text.ends_with(' ')
        && matches!(parse(text, MAX_ENTRIES), Ok(Node::Text(_)));
    if plain {
        text.to_owned()
    } else {
        serde_json::Value::from(text).to_string()
    }
}

/// Why a text could not be read.
struct Fault {
    /// The bound that was broken; `None` when the library found the fault.
    stop: Option<Stop>,
    at: Option<usize>,
    message: String,
}

impl Fault {
    fn problem(self, source: &Source, most: usize) -> Problem {
        let at = self.at.unwrap_or(0);
        let place = source.place(at..at + 1);
        match self.stop {
            Some(Stop::Depth) => Problem::at(place, TooDeep { most: MAX_DEPTH }),
            Some(Stop::Entries) => Problem::at(place, TooManyEntries { most }),
            Some(Stop::Tag) => Problem::at(place, TagUsed {}),
            Some(Stop::Infinite) => Problem::at(place, InfiniteNumber {}),
            None if self.message.contains("more than one document") => {
                Problem::at(second_document(source), NotOneDocument {})
            }
            None => {
                let (reason, advice) = plainly(&self.message, &place.line_text);
                // An open quote or bracket is met at the end; the library says where it was opened.
                let place = match opened_at(&self.message) {
                    Some(line_column) => source.place(source.offset(line_column)),
                    None => place,
                };
                Problem::at(place, NotYaml { reason, advice })
            }
        }
    }
}

/// The place of the line that starts a second document.
fn second_document(source: &Source) -> Place {
    let mut begun = false;
    let mut offset = 0;
    for line in source.text.split_inclusive('\n') {
        let marker = line.trim_end() == "---" || line.starts_with("--- ");
        if marker && begun {
            return source.place(offset..offset + 3);
        }
        begun |= marker || !(line.trim().is_empty() || line.starts_with('#'));
        offset += line.len();
    }
    source.place(0..1)
}

/// Where the library says that something was opened which is never closed: (line, column), from 1.
fn opened_at(message: &str) -> Option<(usize, usize)> {
    if !message.contains("end of stream") && !message.contains("did not find expected ','") {
        return None;
    }
    let (_, after) = message.rsplit_once(" at line ")?;
    message.contains("while ").then_some(())?;
    let (line, column) = after.split_once(" column ")?;
    Some((line.parse().ok()?, column.parse().ok()?))
}

/// The library's sentence in plain words, with what to do.
fn plainly(message: &str, line: &str) -> (String, String) {
    let (reason, advice) = if message.contains("mapping values are not allowed") {
        (
            "there is a second colon here, or the line above lacks its colon or the space after it",
            "put text that holds a colon in quotes, and give every answer a line of its own",
        )
    } else if message.contains("cannot start any token")
        && line.starts_with([' ', '\u{fffd}', '\t'])
        && message.contains("while scanning for the next token")
    {
        (
            "the line starts with a tab",
            "use spaces to indent, two for each step",
        )
    } else if message.contains("cannot start any token") {
        (
            "text cannot start with this sign here",
            "put the text in quotes",
        )
    } else if message.contains("',' or ']'") {
        (
            "a bracket `[` is not closed",
            "close it with `]`, or put the text in quotes",
        )
    } else if message.contains("',' or '}'") {
        (
            "a bracket `{` is not closed",
            "close it with `}`, or put the text in quotes",
        )
    } else if message.contains("end of stream") {
        (
            "a quote opened here is never closed",
            "close it with the same quote sign",
        )
    } else if message.contains("expected a key") {
        (
            "a list or a group cannot be the name of an answer",
            "write the name, a colon, and the answer",
        )
    } else if message.contains("did not find expected key") {
        (
            "the indent or a quote is off",
            "line the answers of one block up under each other, and check the quotes: an apostrophe ends a text in single quotes, so use double ones there",
        )
    } else if message.contains("could not find expected ':'") {
        (
            "a name has no colon behind it, or no space behind its colon",
            "look at this line and the one above: write the name, a colon, a space, and what it says",
        )
    } else {
        return (message.split(" at line ").next().unwrap_or(message).to_owned(), "look for a missing space after a colon, uneven indents, a tab, or an open quote or bracket in this line or just above it".to_owned());
    };
    (reason.to_owned(), advice.to_owned())
}

fn parse(text: &str, most: usize) -> Result<Node<'_>, Fault> {
    grow(serde_yaml::Deserializer::from_str(text), most).map_err(|(stop, error)| Fault {
        stop,
        at: error.location().map(|location| location.index()),
        message: error.to_string(),
    })
}

/// Second pass: follows the known tree, taking every single value as text that borrows from the input, so that its address
/// tells its place.
fn locate(text: &str, root: &Node<'_>) -> Places {
    let mut places = Places::default();
    let mut path = Path::default();
    let find = Find {
        text,
        node: root,
        path: &mut path,
        places: &mut places,
    };
    // A text that was read once can be walked once more; should it fail, places stay coarse and nothing is lost.
    let _ = find.deserialize(serde_yaml::Deserializer::from_str(text));
    places
}

struct Find<'p, 'n> {
    text: &'p str,
    node: &'p Node<'n>,
    path: &'p mut Path,
    places: &'p mut Places,
}

impl<'de> DeserializeSeed<'de> for Find<'_, '_> {
    type Value = ();

    fn deserialize<D: de::Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        match self.node {
            Node::Map(_) => deserializer.deserialize_map(self),
            Node::List(_) => deserializer.deserialize_seq(self),
            _ => deserializer.deserialize_str(self),
        }
    }
}

impl<'de> Visitor<'de> for Find<'_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the tree that was read before")
    }

    fn visit_borrowed_str<E>(self, value: &'de str) -> Result<(), E> {
        if let Some(range) = range_in(self.text, value).filter(|range| !range.is_empty()) {
            self.places.values.insert(self.path.clone(), range);
        }
        Ok(())
    }

    fn visit_str<E>(self, _: &str) -> Result<(), E> {
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<(), A::Error> {
        let Node::List(items) = self.node else {
            return Ok(());
        };
        for (at, item) in items.iter().enumerate() {
            self.path.0.push(Step::Index(at));
            let find = Find {
                text: self.text,
                node: item,
                path: self.path,
                places: self.places,
            };
            access.next_element_seed(find)?;
            let here = self.path.clone();
            self.path.0.pop();
            // A list starts where its first item starts.
            if let Some(range) = self.places.values.get(&here).cloned() {
                self.places.values.entry(self.path.clone()).or_insert(range);
            }
        }
        Ok(())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<(), A::Error> {
        let Node::Map(entries) = self.node else {
            return Ok(());
        };
        for (at, (key, value)) in entries.iter().enumerate() {
            let Some(found) = access.next_key_seed(Key)? else {
                return Ok(());
            };
            self.path.0.push(Step::Key(key.to_string()));
            let here = self.path.clone();
            if let Cow::Borrowed(borrowed) = found
                && let Some(range) = range_in(self.text, borrowed)
            {
                self.places
                    .keys
                    .entry(here.clone())
                    .or_default()
                    .push(range.clone());
                if at == 0 {
                    let mut around = here.clone();
                    around.0.pop();
                    // A map starts where its first key starts.
                    self.places.values.entry(around).or_insert(range);
                }
            }
            let find = Find {
                text: self.text,
                node: value,
                path: self.path,
                places: self.places,
            };
            access.next_value_seed(find)?;
            self.path.0.pop();
        }
        Ok(())
    }
}

/// The offset of the first anchor or alias, if the text has one.
///
/// `&` and `*` can also stand inside text or a comment. To tell, each such sign that could open an anchor or alias is
/// replaced by a harmless letter and both texts are read: where the sign was part of a text, only that text changes, letter for letter;
/// where it was a comment, nothing changes; where it was an anchor, the tree changes shape.
fn first_anchor(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    // Most texts hold neither sign, and counting is quicker than looking at each place.
    if bytes.iter().filter(|b| matches!(b, b'&' | b'*')).count() == 0 {
        return None;
    }
    let candidates: Vec<usize> = (0..bytes.len())
        .filter(|at| {
            matches!(bytes[*at], b'&' | b'*')
                && (*at == 0
                    || matches!(
                        bytes[*at - 1],
                        b' ' | b'\t' | b'\n' | b'\r' | b'[' | b'{' | b',' | b':' | b'-'
                    ))
                && bytes
                    .get(*at + 1)
                    .is_some_and(|next| !next.is_ascii_whitespace())
        })
        .collect();
    if candidates.is_empty() {
        return None;
    }
    let innocent = |count: usize| -> bool {
        let mut changed = bytes.to_vec();
        for at in &candidates[..count] {
            changed[*at] = b'x';
        }
        let Ok(changed) = String::from_utf8(changed) else {
            return false;
        };
        match (parse(text, MAX_ENTRIES), parse(&changed, MAX_ENTRIES)) {
            (Ok(before), Ok(after)) => same_but_signs(&before, &after),
            // A text that cannot be read at all is reported as such elsewhere, unless the signs are what makes it unreadable.
            (Err(_), Err(_)) => true,
            _ => false,
        }
    };
    if innocent(candidates.len()) {
        return None;
    }
    // The smallest number of replaced signs that changes the shape ends at the first anchor or alias.
    let (mut low, mut high) = (0, candidates.len());
    while high - low > 1 {
        let middle = low.midpoint(high);
        if innocent(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    candidates.get(low).copied()
}

fn same_but_signs(before: &Node<'_>, after: &Node<'_>) -> bool {
    let texts = |before: &str, after: &str| {
        before.len() == after.len()
            && before
                .bytes()
                .zip(after.bytes())
                .all(|(b, a)| b == a || (matches!(b, b'&' | b'*') && a == b'x'))
    };
    match (before, after) {
        (Node::Text(before), Node::Text(after)) => texts(before, after),
        (Node::List(before), Node::List(after)) => {
            before.len() == after.len()
                && before.iter().zip(after).all(|(b, a)| same_but_signs(b, a))
        }
        (Node::Map(before), Node::Map(after)) => {
            before.len() == after.len()
                && before
                    .iter()
                    .zip(after)
                    .all(|((bk, bv), (ak, av))| texts(bk, ak) && same_but_signs(bv, av))
        }
        (before, after) => before == after,
    }
}

#[cfg(test)]
#[allow(clippy::panic)]
mod tests {
    use super::*;

    fn names(text: &str) -> Vec<&'static str> {
        let source = Source::new("t", text);
        match read(&source) {
            Ok(_) => Vec::new(),
            Err(problems) => problems.iter().map(|p| p.mistake.name()).collect(),
        }
    }

    fn place(text: &str, path: &[&str]) -> (usize, usize) {
        let source = Source::new("t", text);
        let document = read(&source).unwrap_or_else(|_| panic!("must read"));
        let path = Path(
            path.iter()
                .map(|step| {
                    step.parse()
                        .map_or_else(|_| Step::Key((*step).to_owned()), Step::Index)
                })
                .collect(),
        );
        let place = source.place(document.places().value(&path));
        (place.line, place.column)
    }

    #[test]
    fn every_repeated_key_is_told() {
        assert_eq!(
            names("a: 1\na: 2\nb: {c: 1, c: 2}\n"),
            ["duplicate-key", "duplicate-key"]
        );
    }

    #[test]
    fn anchors_and_aliases_are_refused_and_signs_in_text_are_not() {
        assert_eq!(names("a: &x 1\nb: *x\n"), ["anchor-used"]);
        assert_eq!(names("a: &x\n  b: 1\n"), ["anchor-used"]);
        assert_eq!(
            names("a: tea & cake\nb: \"*bold* &amp;\" # &not *one\nc: R&D *\n"),
            Vec::<&str>::new()
        );
        assert_eq!(
            names("a: |\n  &one *two\n  more\nb: some *text here\n"),
            Vec::<&str>::new()
        );
        let source = Source::new("t", "a: x &y\nb: &z 1\nc: *z\n");
        let problems = read(&source).err().unwrap_or_default();
        assert_eq!((problems[0].place.line, problems[0].place.column), (2, 4));
    }

    #[test]
    fn bounds_hold() {
        let deep = format!("{}1{}", "[".repeat(33), "]".repeat(33));
        assert_eq!(names(&deep), ["too-deep"]);
        let fits = format!("{}1{}", "[".repeat(32), "]".repeat(32));
        assert_eq!(names(&fits), Vec::<&str>::new());
        assert_eq!(names(&"- 1\n".repeat(2_001)), ["too-many-entries"]);
        assert_eq!(names(&"- 1\n".repeat(2_000)), Vec::<&str>::new());
    }

    #[test]
    fn tags_second_documents_and_infinities_are_named() {
        assert_eq!(names("a: !thing 1\n"), ["tag-used"]);
        assert_eq!(names("a: 1\n---\nb: 2\n"), ["not-one-document"]);
        assert_eq!(names("a: .inf\n"), ["infinite-number"]);
        assert_eq!(names("a: [1\n"), ["not-yaml"]);
        assert_eq!(names("a: 1\n b: 2\n"), ["not-yaml"]);
    }

    #[test]
    fn any_value_has_its_place() {
        let text = "people:\n  - name: Ana\n    age: 9\n  - {name: \"Bo\", age: 40}\nnote: |\n  long\n  text\nempty:\n";
        assert_eq!(place(text, &["people", "0", "age"]), (3, 10));
        assert_eq!(place(text, &["people", "1", "name"]), (4, 13));
        assert_eq!(place(text, &["people", "1"]), (4, 6));
        assert_eq!(place(text, &["note"]), (5, 1));
        assert_eq!(place(text, &["empty"]), (8, 1));
    }

    #[test]
    fn quoted_text_reads_back_as_itself() {
        for text in [
            "plain words",
            "yes: no",
            "true",
            "12",
            "",
            " x",
            "a\nb",
            "\"",
            "~",
            "null",
            "2026-01-01",
        ] {
            let line = format!("k: {}", quoted(text));
            let source = Source::new("t", line);
            let document = read(&source).unwrap_or_else(|_| panic!("must read"));
            assert_eq!(
                document.root.get("k"),
                Some(&Node::Text(text.into())),
                "{text:?}"
            );
        }
    }
}
