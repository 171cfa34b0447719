//! British and American spelling, from a table of whole words.

use std::collections::BTreeMap;

use crate::library::{Library, document};
use crate::tree::Node;

use super::Voice;

/// How words are spelt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Spelling {
    /// As the rulebook has them.
    #[default]
    British,
    /// By the table in `languages/en/spelling.yaml`.
    American,
}

impl Spelling {
    /// Their words, in order.
    pub const WORDS: &[&str] = &["british", "american"];
    /// All of them, in order.
    pub const ALL: &[Self] = &[Self::British, Self::American];
}

/// The table: a word and what stands in its place. Empty for British spelling.
#[derive(Debug, Default)]
pub(crate) struct Table(BTreeMap<String, String>);

impl Table {
    /// Reads the table, where the voice asks for it.
    pub(crate) fn load(library: &Library, voice: &Voice) -> Self {
        if voice.spelling == Spelling::British {
            return Self::default();
        }
        let Some(document) = library
            .get("languages/en/spelling.yaml")
            .and_then(|source| document(source).ok())
        else {
            return Self::default();
        };
        let Node::Map(entries) = &document.root else {
            return Self::default();
        };
        Self(
            entries
                .iter()
                .filter_map(|(word, node)| Some((word.to_string(), node.scalar()?.into_owned())))
                .collect(),
        )
    }

    /// A text with its words put in place; what stands between `{` and `}` of a template is left alone.
    pub(crate) fn applied(&self, text: &str) -> String {
        if self.0.is_empty() {
            return text.to_owned();
        }
        let mut out = String::with_capacity(text.len());
        let mut word = String::new();
        let mut depth = 0_usize;
        for c in text.chars().chain(std::iter::once('\0')) {
            if c.is_alphabetic() {
                word.push(c);
                continue;
            }
            // A word with a hyphen may be an id in a template; ids there stand between braces.
            if !word.is_empty() {
                if depth == 0 {
                    out.push_str(&self.word(&word));
                } else {
                    out.push_str(&word);
                }
                word.clear();
            }
            match c {
                '{' => depth += 1,
                '}' => depth = depth.saturating_sub(1),
                _ => {}
            }
            if c != '\0' {
                out.push(c);
            }
        }
        out
    }

    fn word(&self, word: &str) -> String {
        let lower = word.to_lowercase();
        let Some(other) = self.0.get(&lower) else {
            return word.to_owned();
        };
        if word == lower {
            other.clone()
        } else if word.chars().all(char::is_uppercase) {
            other.to_uppercase()
        } else {
            let mut chars = other.chars();
            chars
                .next()
                .map(|first| first.to_uppercase().chain(chars).collect())
                .unwrap_or_default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Table;

    #[test]
    fn whole_words_change_and_code_does_not() {
        let table = Table([("grey".to_owned(), "gray".to_owned())].into());
        assert_eq!(
            table.applied("Grey, grey-ish, greyer {{ x.grey }} {% if a == \"grey\" %}GREY"),
            "Gray, gray-ish, greyer {{ x.grey }} {% if a == \"grey\" %}GRAY"
        );
    }
}
