//! Whether each language says what the rulebook says: nothing missing, nothing left over, nothing from an older text, no number
//! lost, no refused words.

use std::collections::{BTreeMap, BTreeSet};

use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::wording::{
    PaperNotTranslated, TranslationChangesBlank, TranslationLosesNumber, TranslationMissing,
    TranslationOfNothing, TranslationRefusedWords, TranslationStale,
};
use crate::rulebook::{Rulebook, refused_in};
use crate::templates::Templates;
use crate::words::closest;

use super::{OWN, Practice, language, stamps, texts};

/// Most keys a mistake names.
const NAMED: usize = 5;

/// Holds every language of a library against the rulebook.
pub fn check(
    rulebook: &mut Rulebook,
    library: &Library,
    templates: &Templates,
    problems: &mut Vec<Problem>,
) {
    let mut own: BTreeMap<String, String> = BTreeMap::new();
    texts::of_rulebook(rulebook, &mut |key, text| {
        own.insert(key.to_owned(), text.clone());
    });
    let now = stamps(rulebook);
    for id in language::ids(library) {
        one(&id, &own, &now, rulebook, library, templates, problems);
    }
}

/// Holds a practice's own sentences in the rulebook's own language against it: what they may not say, and numbers they lost.
pub(crate) fn own_sentences(
    rulebook: &mut Rulebook,
    library: &Library,
    problems: &mut Vec<Problem>,
) {
    let mut own: BTreeMap<String, String> = BTreeMap::new();
    texts::of_rulebook(rulebook, &mut |key, text| {
        own.insert(key.to_owned(), text.clone());
    });
    let templates = Templates::embedded();
    one(
        OWN,
        &own,
        &BTreeMap::new(),
        rulebook,
        library,
        &templates,
        problems,
    );
}

/// What a practice says at the start and the end of papers, too.
pub(crate) fn own_greetings(rulebook: &Rulebook, practice: &Practice, problems: &mut Vec<Problem>) {
    for text in [&practice.opening, &practice.closing].into_iter().flatten() {
        for (words, because) in refused_in(text, &rulebook.tables.refused) {
            let mistake = TranslationRefusedWords { words, because };
            problems.push(Problem::of_file("practice.yaml", mistake));
        }
    }
}

/// Templates of a practice say nothing that the rulebook may not say.
pub(crate) fn own_templates(
    rulebook: &Rulebook,
    templates: &Templates,
    problems: &mut Vec<Problem>,
) {
    for (name, _) in templates.own() {
        let text = templates.get(name).unwrap_or_default();
        for (words, because) in refused_in(text, &rulebook.tables.refused) {
            let mistake = TranslationRefusedWords { words, because };
            problems.push(Problem::of_file(&format!("templates/{name}"), mistake));
        }
    }
}

fn one(
    id: &str,
    own: &BTreeMap<String, String>,
    now: &BTreeMap<String, String>,
    rulebook: &Rulebook,
    library: &Library,
    templates: &Templates,
    problems: &mut Vec<Problem>,
) {
    let translation = super::Translation::load(library, id, problems);
    let refused = if id == OWN {
        rulebook.tables.refused.clone()
    } else {
        crate::rulebook::refused_words(library, &format!("languages/{id}/refused-words.yaml"))
    };
    let mut found = Vec::new();
    language::each(library, id, &mut Vec::new(), |key, text, place| {
        let Some(english) = own.get(&key) else {
            let close = closest(&key, own.keys().map(String::as_str));
            found.push(Problem::at(place(), TranslationOfNothing { key, close }));
            return;
        };
        for number in numbers(english).difference(&numbers(&text)) {
            let (key, number) = (key.clone(), number.clone());
            found.push(Problem::at(place(), TranslationLosesNumber { key, number }));
        }
        let (lost, new) = blanks_changed(english, &text);
        if !lost.is_empty() || !new.is_empty() {
            let none = |list: Vec<String>| {
                if list.is_empty() {
                    "nothing".to_owned()
                } else {
                    list.join(", ")
                }
            };
            let (lost, new) = (none(lost), none(new));
            let key = key.clone();
            found.push(Problem::at(
                place(),
                TranslationChangesBlank { key, lost, new },
            ));
        }
        if !may_name_it(rulebook, &key) {
            for (words, because) in refused_in(&text, &refused) {
                found.push(Problem::at(
                    place(),
                    TranslationRefusedWords { words, because },
                ));
            }
        }
    });
    problems.extend(found);
    if id == OWN {
        return;
    }
    let file = |name: &str| format!("{}/languages/{id}/{name}", library.label);
    let language = translation.tongue.in_english.clone();
    // A practice's own part of a paper is its own to translate.
    let parts: Vec<String> = translation
        .tongue
        .papers
        .iter()
        .flat_map(|paper| templates.within(paper))
        .filter(|name| {
            !templates.is_shipped(name) && templates.get(&format!("{id}/{name}")).is_none()
        })
        .map(|name| format!("templates/{name}"))
        .collect();
    let mut missing: Vec<&str> = own
        .iter()
        .filter(|(key, text)| {
            !text.is_empty() && translation.needs(key) && translation.get(key).is_none()
        })
        .map(|(key, _)| key.as_str())
        .collect();
    missing.extend(parts.iter().map(String::as_str));
    if !missing.is_empty() {
        let (count, keys) = named(&missing);
        let language = language.clone();
        problems.push(Problem::of_file(
            &file("language.yaml"),
            TranslationMissing {
                language,
                count,
                keys,
            },
        ));
    }
    let made_from = stamps::read(library, id);
    let mut stale: Vec<(&str, String)> = now
        .iter()
        .filter(|(entry, stamp)| {
            let translated = own
                .keys()
                .any(|key| stamps::entry(key) == *entry && translation.get(key).is_some());
            translated && made_from.get(*entry) != Some(stamp)
        })
        .map(|(entry, stamp)| (entry.as_str(), stamp.clone()))
        .collect();
    let mut old_templates = Vec::new();
    for paper in &translation.tongue.papers {
        for template in templates.within(paper) {
            let Some(text) = templates.get(&template) else {
                continue;
            };
            if !templates.is_shipped(&template) {
                continue;
            }
            if templates.get(&format!("{id}/{template}")).is_none() {
                problems.push(Problem::of_file(
                    &file("language.yaml"),
                    PaperNotTranslated {
                        language: language.clone(),
                        template: format!("{id}/{template}"),
                    },
                ));
            } else if made_from.get(&format!("templates.{template}"))
                != Some(&stamps::of_template(text))
            {
                let stamp = stamps::of_template(text);
                old_templates.push((template, stamp));
            }
        }
    }
    let old_templates = old_templates.iter();
    stale.extend(old_templates.map(|(template, stamp)| (template.as_str(), stamp.clone())));
    if !stale.is_empty() {
        let (count, keys) = marked(&stale);
        problems.push(Problem::of_file(
            &file("made-from.yaml"),
            TranslationStale {
                language,
                count,
                keys,
            },
        ));
    }
}

/// A thing never to do may name what it forbids, but not where it says what to do instead; and so may a question.
fn may_name_it(rulebook: &Rulebook, key: &str) -> bool {
    let never = key.strip_prefix("measures.").is_some_and(|rest| {
        let id = rest.split('.').next().unwrap_or(rest);
        rulebook
            .measures
            .get(id)
            .is_some_and(crate::rulebook::Measure::is_never)
    });
    (never && !key.ends_with(".instead"))
        || key.starts_with("questions.")
        || key.starts_with("facts.")
}

/// What a template fills in, between double braces, that a sentence lost or added. Filters may differ.
fn blanks_changed(english: &str, text: &str) -> (Vec<String>, Vec<String>) {
    let blanks = |text: &str| -> BTreeSet<String> {
        text.split("{{")
            .skip(1)
            .filter_map(|rest| {
                let inner = rest.split("}}").next()?;
                let name = inner
                    .split(['|', '~', '(', ' '])
                    .find(|it| !it.is_empty())?;
                Some(format!("{{{{ {} }}}}", name.trim()))
            })
            .collect()
    };
    let (before, after) = (blanks(english), blanks(text));
    (
        before.difference(&after).cloned().collect(),
        after.difference(&before).cloned().collect(),
    )
}

fn named(keys: &[&str]) -> (usize, String) {
    let mut text = keys
        .iter()
        .take(NAMED)
        .map(|key| format!("`{key}`"))
        .collect::<Vec<_>>()
        .join(", ");
    if keys.len() > NAMED {
        text.push_str(" …");
    }
    (keys.len(), text)
}

/// The same of entries that are out of date, each with the mark that stands for its English as it is today.
fn marked(stale: &[(&str, String)]) -> (usize, String) {
    let told: Vec<String> = stale
        .iter()
        .map(|(entry, mark)| format!("{entry}: \"{mark}\""))
        .collect();
    named(&told.iter().map(String::as_str).collect::<Vec<_>>())
}

/// The numbers of a text outside template code, with a point as their decimal sign.
fn numbers(text: &str) -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    let mut number = String::new();
    let mut depth = 0_usize;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        let inside = matches!(c, '.' | ',')
            && !number.is_empty()
            && chars.peek().is_some_and(char::is_ascii_digit);
        if depth == 0 && (c.is_ascii_digit() || inside) {
            number.push(if c == ',' { '.' } else { c });
        } else if !number.is_empty() {
            out.insert(std::mem::take(&mut number));
        }
    }
    if !number.is_empty() {
        out.insert(number);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::numbers;

    #[test]
    fn numbers_are_found_with_either_decimal_sign() {
        let found: Vec<_> = numbers("12 horas, 1,5 m; 30. {{ x | num(1) }}")
            .into_iter()
            .collect();
        assert_eq!(found, ["1.5", "12", "30"]);
    }
}
