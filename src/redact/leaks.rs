//! What is left in a finished paper.

use super::Secret;

/// Something that tells who a case is about, found in a finished paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leak {
    /// The paper.
    pub file: String,
    /// The question it was told to. The word itself is not repeated.
    pub question: String,
    /// True when the rulebook or a template has the same word, so that it may be no leak: someone has to look.
    pub ordinary: bool,
}

/// Searches papers for what was to be replaced. `ordinary` holds all texts that papers are made from: a name such as May also stands
/// in them.
#[must_use]
pub fn leaks<'a>(
    secrets: &[Secret],
    papers: impl IntoIterator<Item = (&'a str, &'a str)>,
    ordinary: &str,
) -> Vec<Leak> {
    let known: Vec<bool> = secrets
        .iter()
        .map(|secret| !secret.places(ordinary).is_empty())
        .collect();
    let mut found = Vec::new();
    for (file, text) in papers {
        for (secret, ordinary) in secrets.iter().zip(&known) {
            if !secret.places(text).is_empty() {
                found.push(Leak {
                    file: file.to_owned(),
                    question: secret.question.clone(),
                    ordinary: *ordinary,
                });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_left_behind_is_found_and_an_ordinary_word_is_told_apart() {
        let secret = |text: &str| Secret {
            text: text.to_owned(),
            stand_in: "person-1".to_owned(),
            question: "people.name".to_owned(),
            is_code: false,
        };
        let secrets = [secret("Wren"), secret("May")];
        let papers = [("plan.md", "Practice may start when wren is out.")];
        let found = leaks(&secrets, papers, "Practice may start");
        assert_eq!(found.len(), 2);
        assert!(!found[0].ordinary && found[1].ordinary);
        assert!(leaks(&secrets[..1], papers, "x")[0].question == "people.name");
        assert!(leaks(&secrets[..1], [("plan.md", "Wrenfield")], "").is_empty());
    }
}
