//! From which text a translation was made: a short fingerprint of the text, so that a change of it is noticed.

use std::collections::BTreeMap;

use crate::fingerprint::{of_parts, short};
use crate::library::{Library, document};
use crate::rulebook::Rulebook;
use crate::tree::Node;

use super::{FROM_PRACTICE, texts};

/// The entry a key belongs to: all sentences of one measure, rule, question or row stand and fall together.
#[must_use]
pub(super) fn entry(key: &str) -> &str {
    let key = ["choices", "needs"]
        .iter()
        .find_map(|part| key.find(&format!(".{part}.")).map(|at| &key[..at]))
        .unwrap_or_else(|| key.rsplit_once('.').map_or(key, |(before, _)| before));
    key.trim_end_matches('.')
}

/// A fingerprint for each entry of a rulebook in its own language.
#[must_use]
pub fn stamps(rulebook: &mut Rulebook) -> BTreeMap<String, String> {
    let mut parts: BTreeMap<String, Vec<String>> = BTreeMap::new();
    texts::of_rulebook(rulebook, &mut |key, text| {
        let texts = parts.entry(entry(key).to_owned()).or_default();
        texts.push(key.to_owned());
        texts.push(text.clone());
    });
    parts
        .into_iter()
        .map(|(entry, texts)| {
            let bytes: Vec<&[u8]> = texts.iter().map(String::as_bytes).collect();
            (entry, short(&of_parts(&bytes)).chars().take(8).collect())
        })
        .collect()
}

/// The fingerprint of a template.
#[must_use]
pub fn of_template(text: &str) -> String {
    short(&of_parts(&[text.as_bytes()]))
        .chars()
        .take(8)
        .collect()
}

/// The name of the file in a language's folder that holds the fingerprints.
pub(super) const FILE: &str = "made-from.yaml";

/// The fingerprints a translation was made from: `languages/ID/made-from.yaml`, and the practice's own file of that name over it.
pub(super) fn read(library: &Library, id: &str) -> BTreeMap<String, String> {
    ["", FROM_PRACTICE]
        .iter()
        .filter_map(|whose| library.get(&format!("languages/{id}/{whose}{FILE}")))
        .filter_map(|source| document(source).ok())
        .flat_map(|document| match &document.root {
            Node::Map(entries) => entries
                .iter()
                .filter_map(|(key, node)| Some((key.to_string(), node.scalar()?.into_owned())))
                .collect(),
            _ => Vec::new(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::entry;

    #[test]
    fn sentences_of_one_thing_are_one_entry() {
        for (key, of) in [
            ("measures.quiet-hours.do", "measures.quiet-hours"),
            ("rules.a-gate.needs.2", "rules.a-gate"),
            ("questions.people.title", "questions.people"),
            (
                "questions.people.questions.age.choices.lives here",
                "questions.people.questions.age",
            ),
            ("facts.bird.size-class.title", "facts.bird.size-class"),
        ] {
            assert_eq!(entry(key), of);
        }
    }
}
