//! Reads conditions from a data file, checking every name and phrase against the vocabulary.

use crate::facts::Vocabulary;
use crate::fields::File;
use crate::mistakes::data::WrongKind;
use crate::mistakes::rulebook::{
    EmptyCondition, PhraseChoiceUnknown, PhraseDoesNotFit, UnknownFact, UnknownQuantifier,
};
use crate::tree::{Node, Path, Step, shown};
use crate::words::closest;

use super::condition::{Condition, FactRef, Quantifier};
use super::phrase::{self, Unfit};

/// Reads a condition; faults are noted in the file and `None` comes back.
#[must_use]
pub fn condition(
    file: &File<'_>,
    vocabulary: &Vocabulary,
    node: &Node<'_>,
    path: &Path,
    scope: &[usize],
) -> Option<Condition> {
    let path = &mut path.clone();
    within(file, vocabulary, node, path, scope)
}

/// Reads a condition at a path, which is lengthened on the way down and comes back as it was.
fn within(
    file: &File<'_>,
    vocabulary: &Vocabulary,
    node: &Node<'_>,
    path: &mut Path,
    scope: &[usize],
) -> Option<Condition> {
    let Node::Map(entries) = node else {
        file.fault(
            path,
            WrongKind {
                key: path.to_string(),
                wanted: "facts with their phrases".to_owned(),
                found: node.kind().to_owned(),
            },
        );
        return None;
    };
    if entries.is_empty() {
        file.fault(path, EmptyCondition {});
        return None;
    }
    let mut parts = Vec::with_capacity(entries.len());
    let mut whole = true;
    for (key, value) in entries {
        path.0.push(Step::Key(key.to_string()));
        let part = match key.as_ref() {
            "any" => list(file, vocabulary, value, path, scope).map(Condition::Any),
            "all" => list(file, vocabulary, value, path, scope).map(Condition::All),
            "not" => within(file, vocabulary, value, path, scope)
                .map(|inner| Condition::Not(Box::new(inner))),
            key if key.contains(' ') => count(file, vocabulary, key, value, path, scope),
            key => test(file, vocabulary, key, value, path, scope),
        };
        path.0.pop();
        match part {
            Some(part) => parts.push(part),
            None => whole = false,
        }
    }
    if !whole {
        return None;
    }
    Some(if parts.len() == 1 {
        parts.remove(0)
    } else {
        Condition::All(parts)
    })
}

fn list(
    file: &File<'_>,
    vocabulary: &Vocabulary,
    node: &Node<'_>,
    path: &mut Path,
    scope: &[usize],
) -> Option<Vec<Condition>> {
    let Node::List(items) = node else {
        file.fault(
            path,
            WrongKind {
                key: path.to_string(),
                wanted: "a list of conditions".to_owned(),
                found: node.kind().to_owned(),
            },
        );
        return None;
    };
    if items.is_empty() {
        file.fault(path, EmptyCondition {});
        return None;
    }
    let read: Vec<Option<Condition>> = items
        .iter()
        .enumerate()
        .map(|(at, item)| {
            path.0.push(Step::Index(at));
            let part = within(file, vocabulary, item, path, scope);
            path.0.pop();
            part
        })
        .collect();
    read.into_iter().collect()
}

fn count(
    file: &File<'_>,
    vocabulary: &Vocabulary,
    key: &str,
    node: &Node<'_>,
    path: &mut Path,
    scope: &[usize],
) -> Option<Condition> {
    let words: Vec<&str> = key.split_whitespace().collect();
    let (quantifier, noun) = match words.as_slice() {
        ["any", noun] => (Some(Quantifier::AtLeast(1)), *noun),
        ["no", noun] => (Some(Quantifier::No), *noun),
        ["every", noun] => (Some(Quantifier::Every), *noun),
        ["at", "least", number, noun] => (
            number
                .parse()
                .ok()
                .filter(|n| *n > 0)
                .map(Quantifier::AtLeast),
            *noun,
        ),
        _ => (None, ""),
    };
    let group = vocabulary.group_by_noun(noun);
    let (Some(quantifier), Some(group)) = (quantifier, group) else {
        file.fault_at_key(
            path,
            UnknownQuantifier {
                text: key.to_owned(),
                nouns: vocabulary.nouns(),
            },
        );
        return None;
    };
    let mut inner = scope.to_vec();
    inner.push(group);
    let each = within(file, vocabulary, node, path, &inner)?;
    Some(Condition::Count {
        quantifier,
        group,
        each: Box::new(each),
        words: key.to_owned(),
    })
}

fn test(
    file: &File<'_>,
    vocabulary: &Vocabulary,
    key: &str,
    node: &Node<'_>,
    path: &Path,
    scope: &[usize],
) -> Option<Condition> {
    let Some(at) = resolve(vocabulary, key, scope) else {
        let names = vocabulary.names_in(scope);
        file.fault_at_key(
            path,
            UnknownFact {
                name: key.to_owned(),
                close: closest(key, names.iter().map(String::as_str)),
            },
        );
        return None;
    };
    let fact = vocabulary.fact(at);
    let Some(text) = node.scalar() else {
        file.fault(
            path,
            PhraseDoesNotFit {
                fact: key.to_owned(),
                phrase: node.kind().to_owned(),
                fitting: phrase::fitting(fact),
            },
        );
        return None;
    };
    match phrase::read(fact, &text) {
        Ok(test) => Some(Condition::Is {
            fact: at,
            test,
            phrase: text.trim().to_owned(),
            path: path.clone(),
        }),
        Err(Unfit::Phrase) => {
            file.fault(
                path,
                PhraseDoesNotFit {
                    fact: key.to_owned(),
                    phrase: shown(&text),
                    fitting: phrase::fitting(fact),
                },
            );
            None
        }
        Err(Unfit::Choice(choice, close)) => {
            file.fault(
                path,
                PhraseChoiceUnknown {
                    fact: key.to_owned(),
                    choice: shown(&choice),
                    close,
                    choices: fact.choices.iter().map(|c| c.id.clone()).collect(),
                },
            );
            None
        }
    }
}

/// Finds a fact by name: a bare name belongs to the innermost group in scope, a dotted name to a group asked once or to any
/// group in scope.
fn resolve(vocabulary: &Vocabulary, name: &str, scope: &[usize]) -> Option<FactRef> {
    if let Some((group, fact)) = name.split_once('.') {
        let at = vocabulary.group(group)?;
        let reachable = vocabulary.groups[at].repeats.is_none() || scope.contains(&at);
        let fact = vocabulary.groups[at].find(fact)?;
        return reachable.then_some(FactRef { group: at, fact });
    }
    let group = *scope.last()?;
    let fact = vocabulary.groups[group].find(name)?;
    Some(FactRef { group, fact })
}
