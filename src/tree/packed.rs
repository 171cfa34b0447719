//! A tree written as one text, for the trees that are built into the program: quicker to read back than any format for people, and
//! all words in the tree read back borrow from the text.
//!
//! ```text
//! tree  = "~"                          nothing
//!       | "+" | "-"                    yes, no
//!       | "i" size number              a whole number, in decimal digits
//!       | "f" size number              a number with a fraction, as the shortest digits that give it back
//!       | "t" size words               text
//!       | "l" size count tree…         a list
//!       | "m" size count (words tree)… a map; each key is words with their size before them
//! size  = the bytes that follow and belong to it
//! ```
//!
//! Sizes and counts are written in digits of six bits, the lowest first; a seventh bit says that more digits follow. So every byte
//! of them is one character, and the whole stays text: nothing has to be checked for that again.

use std::borrow::Cow;

use super::Node;
use super::grow::MAX_DEPTH;

/// Writes a tree.
#[must_use]
pub fn pack(node: &Node<'_>) -> String {
    let mut out = String::new();
    write(node, &mut out);
    out
}

fn write(node: &Node<'_>, out: &mut String) {
    let (sign, inner) = match node {
        Node::Blank => return out.push('~'),
        Node::Bool(true) => return out.push('+'),
        Node::Bool(false) => return out.push('-'),
        Node::Int(int) => ('i', int.to_string()),
        Node::Float(float) => ('f', format!("{float:?}")),
        Node::Text(text) => ('t', text.to_string()),
        Node::List(items) => {
            let mut inner = String::new();
            size(items.len(), &mut inner);
            for item in items {
                write(item, &mut inner);
            }
            ('l', inner)
        }
        Node::Map(entries) => {
            let mut inner = String::new();
            size(entries.len(), &mut inner);
            for (key, value) in entries {
                size(key.len(), &mut inner);
                inner.push_str(key);
                write(value, &mut inner);
            }
            ('m', inner)
        }
    };
    out.push(sign);
    size(inner.len(), out);
    out.push_str(&inner);
}

fn size(mut number: usize, out: &mut String) {
    loop {
        let digit = (number & 0x3f) as u8;
        number >>= 6;
        if number == 0 {
            out.push(char::from(digit));
            return;
        }
        out.push(char::from(digit | 0x40));
    }
}

/// Reads a tree back, without what a map at its root has under one key (`None`: all of it). `None` for a text that [`pack`] did not
/// write.
#[must_use]
pub fn unpack<'a>(packed: &'a str, without: Option<&str>) -> Option<Node<'a>> {
    let mut reader = Reader { rest: packed };
    let node = reader.tree(without, MAX_DEPTH)?;
    reader.rest.is_empty().then_some(node)
}

struct Reader<'a> {
    rest: &'a str,
}

impl<'a> Reader<'a> {
    fn byte(&mut self) -> Option<u8> {
        let byte = *self.rest.as_bytes().first()?;
        self.rest = self.rest.get(1..)?;
        Some(byte)
    }

    fn size(&mut self) -> Option<usize> {
        let (mut number, mut shift) = (0_usize, 0);
        loop {
            let byte = self.byte()?;
            number |= usize::from(byte & 0x3f).checked_shl(shift)?;
            if byte & 0x40 == 0 {
                return Some(number);
            }
            shift += 6;
        }
    }

    fn words(&mut self) -> Option<&'a str> {
        let size = self.size()?;
        let (words, rest) = self.rest.split_at_checked(size)?;
        self.rest = rest;
        Some(words)
    }

    /// Reads a tree that nests no deeper than `depth`, as no tree that grew does.
    fn tree(&mut self, without: Option<&str>, depth: usize) -> Option<Node<'a>> {
        Some(match self.byte()? {
            b'~' => Node::Blank,
            b'+' => Node::Bool(true),
            b'-' => Node::Bool(false),
            b'i' => Node::Int(self.words()?.parse().ok()?),
            b'f' => Node::Float(self.words()?.parse().ok()?),
            b't' => Node::Text(Cow::Borrowed(self.words()?)),
            b'l' => {
                let depth = depth.checked_sub(1)?;
                self.size()?;
                let count = self.size()?;
                let mut items = Vec::with_capacity(count.min(self.rest.len()));
                for _ in 0..count {
                    items.push(self.tree(None, depth)?);
                }
                Node::List(items)
            }
            b'm' => {
                let depth = depth.checked_sub(1)?;
                self.size()?;
                let count = self.size()?;
                let mut entries = Vec::with_capacity(count.min(self.rest.len()));
                for _ in 0..count {
                    let key = self.words()?;
                    if without == Some(key) {
                        self.pass()?;
                    } else {
                        entries.push((Cow::Borrowed(key), self.tree(None, depth)?));
                    }
                }
                Node::Map(entries)
            }
            _ => return None,
        })
    }

    /// Goes past a tree without reading it.
    fn pass(&mut self) -> Option<()> {
        if !matches!(self.byte()?, b'~' | b'+' | b'-') {
            self.words()?;
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn text(text: &str) -> Node<'_> {
        Node::Text(Cow::Borrowed(text))
    }

    fn any_node() -> impl Strategy<Value = Node<'static>> {
        let leaf = prop_oneof![
            Just(Node::Blank),
            any::<bool>().prop_map(Node::Bool),
            any::<i64>().prop_map(Node::Int),
            any::<f64>()
                .prop_filter("a tree holds finite numbers", |it| it.is_finite())
                .prop_map(Node::Float),
            any::<String>().prop_map(|it| Node::Text(it.into())),
        ];
        leaf.prop_recursive(4, 60, 8, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..8).prop_map(Node::List),
                prop::collection::vec((any::<String>().prop_map(Cow::Owned), inner), 0..8)
                    .prop_map(Node::Map),
            ]
        })
    }

    proptest! {
        #[test]
        fn a_tree_comes_back_as_it_was(node in any_node()) {
            let packed = pack(&node);
            prop_assert_eq!(unpack(&packed, None), Some(node));
        }

        #[test]
        fn a_text_cut_short_or_made_up_is_no_tree_and_no_panic(
            node in any_node(),
            cut in any::<prop::sample::Index>(),
            made_up in any::<String>(),
        ) {
            let packed = pack(&node);
            let at = cut.index(packed.len());
            let shorter = packed.get(..at).unwrap_or_default();
            prop_assert_eq!(unpack(shorter, None), None);
            let _ = unpack(&made_up, None);
        }
    }

    #[test]
    fn numbers_keep_their_type_and_every_digit() {
        for node in [
            Node::Int(i64::MIN),
            Node::Int(i64::MAX),
            Node::Float(1.0),
            Node::Float(-0.1),
            Node::Float(f64::MAX),
            Node::Float(5e-324),
            text("1"),
            text("18446744073709551616"),
        ] {
            assert_eq!(unpack(&pack(&node), None), Some(node));
        }
    }

    #[test]
    fn one_key_of_the_root_can_be_passed_over() {
        let long = "x".repeat(5000);
        for left_out in [
            Node::Blank,
            Node::Int(-3),
            text(&long),
            Node::List(vec![text("a"), Node::Map(vec![("b".into(), text(&long))])]),
        ] {
            let inner = Node::Map(vec![("examples".into(), Node::Bool(true))]);
            let whole = Node::Map(vec![
                ("id".into(), text("a")),
                ("examples".into(), left_out),
                ("then".into(), inner.clone()),
            ]);
            let rest = Node::Map(vec![("id".into(), text("a")), ("then".into(), inner)]);
            let packed = pack(&whole);
            assert_eq!(unpack(&packed, Some("examples")), Some(rest));
            assert_eq!(unpack(&packed, Some("none")), Some(whole));
        }
    }
}
