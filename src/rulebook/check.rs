//! What must hold between the parts of a rulebook.

use std::collections::{BTreeMap, BTreeSet};

use crate::facts::Vocabulary;
use crate::fields::{Fields, File, alone};
use crate::language::reach::Rest;
use crate::language::{Condition, Test};
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::StrayFile;
use crate::mistakes::rulebook::{
    BlankTestInGuard, ContactBeyondEnquiry, DoMeetsNever, GateNeverOpens, MeasureMisused,
    MeasureUnused, ModeWithoutGate, NeverHolds, PersonMeasureMisplaced, RefusedWords,
    RuleContradictsItself, RuleWithoutOutcome, SourceUnused, UnknownMeasure, UnknownQuestion,
    UnknownReferral, UnknownSource,
};
use crate::questionnaire::Tier;
use crate::species;
use crate::tree::Path;
use crate::words::closest;

use super::Rulebook;
use super::keys;
use super::measure::{Measure, MeasureKind};
use super::outcome::Start;
use super::rule::Then;
use super::tables::{TABLE_FILES, Tables};

/// The sources an entry cites: it has to, and each has to be entered.
pub(super) fn sources(fields: &Fields<'_>, tables: &Tables) -> Vec<String> {
    let _ = fields.need("source");
    let keys = fields.texts("source");
    // Where the table itself could not be read, that is the fault to mend.
    for (key, way) in keys.iter().filter(|_| !tables.sources.is_empty()) {
        if !tables.sources.contains_key(key) {
            fields.file.fault(
                &way.path(),
                UnknownSource {
                    key: key.clone(),
                    close: closest(key, tables.sources.keys().map(String::as_str)),
                },
            );
        }
    }
    alone(keys)
}

/// Household words hold nothing the tool refuses to print.
pub(super) fn refused_words(fields: &Fields<'_>, keys: &[&str], tables: &Tables) {
    // A quick load knows of none.
    if tables.refused.is_empty() {
        return;
    }
    for key in keys {
        let Some(text) = fields
            .get(key)
            .and_then(|node| node.scalar().map(|s| plain(&s)))
        else {
            continue;
        };
        for (words, because) in refused_in(&text, &tables.refused) {
            fields
                .file
                .fault(&fields.at(key), RefusedWords { words, because });
        }
    }
}

/// The refused words a text holds, each with why it is refused.
#[must_use]
pub fn refused_in(text: &str, refused: &[super::RefusedWords]) -> Vec<(String, String)> {
    let text = plain(text);
    refused
        .iter()
        .flat_map(|entry| entry.words.iter().map(move |words| (words, &entry.because)))
        .filter(|(words, _)| has_words(&text, words))
        .map(|(words, because)| (words.clone(), because.clone()))
        .collect()
}

/// A text in lower case, with single blanks and plain apostrophes, so that no line break hides a phrase.
fn plain(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ").to_lowercase().replace('\u{2019}', "'")
}

/// True when a text holds some words as whole words. Both in lower case.
#[must_use]
fn has_words(text: &str, words: &str) -> bool {
    text.match_indices(words).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + words.len()..].chars().next();
        !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
    })
}

/// A condition can hold.
pub(super) fn can_hold(
    file: &File<'_>,
    path: &Path,
    vocabulary: &Vocabulary,
    condition: &Condition,
) {
    let mut dead = Vec::new();
    Rest::default().narrow(vocabulary, condition, &mut dead);
    let dead: BTreeSet<_> = dead.into_iter().collect();
    for fact in dead {
        file.fault(
            path,
            NeverHolds {
                fact: vocabulary.name(fact),
            },
        );
    }
}

/// What decides tests values, not whether they were given: else an answer taken away could loosen the outcome.
pub(super) fn no_blank_tests(file: &File<'_>, vocabulary: &Vocabulary, when: &Condition) {
    when.visit(&mut |fact, test, path| {
        if matches!(test, Test::Answered | Test::Blank) {
            file.fault(
                path,
                BlankTestInGuard {
                    fact: vocabulary.name(fact),
                },
            );
        }
    });
}

/// A guard tests values, not whether they were given; `contact` rests on enquiry answers alone.
pub(super) fn guard(file: &File<'_>, vocabulary: &Vocabulary, when: &Condition, then: &Then) {
    if !then.is_guard() {
        return;
    }
    no_blank_tests(file, vocabulary, when);
    when.visit(&mut |fact, _, path| {
        if then.contact.is_some() && vocabulary.fact(fact).tier != Tier::Enquiry {
            file.fault_at_key(
                path,
                ContactBeyondEnquiry {
                    fact: vocabulary.name(fact),
                },
            );
        }
    });
}

/// Every id a rule names is known and stands under the right key.
pub(super) fn then(
    fields: &Fields<'_>,
    each_person: bool,
    measures: &BTreeMap<String, Measure>,
    tables: &Tables,
    vocabulary: &Vocabulary,
) {
    if keys::THEN.iter().all(|key| fields.get(key).is_none()) {
        fields.file.fault(&fields.path, RuleWithoutOutcome {});
    }
    for (key, wants_never) in [("do", false), ("never", true)] {
        for (id, way) in fields.texts(key) {
            let Some(measure) = measures.get(&id) else {
                fields.file.fault(
                    &way.path(),
                    UnknownMeasure {
                        close: closest(&id, measures.keys().map(String::as_str)),
                        id,
                    },
                );
                continue;
            };
            if measure.is_never() != wants_never {
                fields.file.fault(
                    &way.path(),
                    MeasureMisused {
                        id: id.clone(),
                        is: if wants_never { "does" } else { "never does" }.to_owned(),
                        under: key.to_owned(),
                    },
                );
            }
            if measure.for_person && !each_person {
                fields
                    .file
                    .fault(&way.path(), PersonMeasureMisplaced { id });
            }
        }
    }
    for (id, way) in fields.texts("refer") {
        if !tables.referrals.contains_key(&id) {
            fields.file.fault(
                &way.path(),
                UnknownReferral {
                    close: closest(&id, tables.referrals.keys().map(String::as_str)),
                    id,
                },
            );
        }
    }
    for (id, way) in fields.texts("ask") {
        let found = vocabulary
            .find(&id)
            .filter(|at| !vocabulary.fact(*at).is_derived());
        if found.is_none() {
            let names: Vec<String> = vocabulary
                .groups
                .iter()
                .flat_map(|group| {
                    let asked = group.facts.iter().filter(|fact| !fact.is_derived());
                    asked.map(move |fact| format!("{}.{}", group.id, fact.id))
                })
                .collect();
            fields.file.fault(
                &way.path(),
                UnknownQuestion {
                    close: closest(&id, names.iter().map(String::as_str)),
                    id,
                },
            );
        }
    }
    let do_ids = fields.texts("do");
    for (never, way) in fields.texts("never") {
        if let Some(Measure {
            kind: MeasureKind::Never { rules_out, .. },
            ..
        }) = measures.get(&never)
        {
            for (id, _) in do_ids.iter().filter(|(id, _)| rules_out.contains(id)) {
                fields.file.fault(
                    &way.path(),
                    RuleContradictsItself {
                        measure: id.clone(),
                        never: never.clone(),
                    },
                );
            }
        }
    }
}

/// Files that nothing reads.
pub(super) fn strays(library: &Library, problems: &mut Vec<Problem>) {
    let tables = TABLE_FILES.iter().chain(&[
        "facts.yaml",
        "functions.yaml",
        "figures.yaml",
        "ladder.yaml",
        "practice.yaml",
        "log-facts.yaml",
        "checks.yaml",
        "regions.yaml",
        "second-reader.yaml",
        "sign.yaml",
        "triage.yaml",
    ]);
    let unread =
        library
            .files
            .iter()
            .map(|(path, _)| path)
            .filter(|path| match path.split_once('/') {
                None => !tables.clone().any(|table| table == path),
                Some(("species", _)) => !species::FILES.contains(&path.as_str()),
                Some(_) => !path.ends_with(".yaml"),
            });
    for path in library.strays.iter().chain(unread) {
        problems.push(Problem::of_file(
            &format!("{}/{path}", library.label),
            StrayFile { file: path.clone() },
        ));
    }
}

/// What can only be seen with everything loaded.
pub(super) fn whole(rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    gates(rulebook, problems);
    regions(rulebook, problems);
    clashes(rulebook, problems);
    covered(rulebook, problems);
    unused(rulebook, problems);
}

/// Every source a region names is entered.
fn regions(rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    let tables = &rulebook.tables;
    for region in &rulebook.vocabulary.tables.regions.all {
        let Some(place) = &region.place else {
            continue;
        };
        for key in region
            .source
            .iter()
            .filter(|key| !tables.sources.contains_key(*key))
        {
            problems.push(Problem::at(
                place.clone(),
                UnknownSource {
                    key: key.clone(),
                    close: closest(key, tables.sources.keys().map(String::as_str)),
                },
            ));
        }
    }
}

/// Each start mode has gates, and they can be open together.
fn gates(rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    let vocabulary = &rulebook.vocabulary;
    let mut rest = Rest::default();
    // From the tightest mode to the loosest: a mode opens only when all tighter ones are proven as well.
    for mode in Start::ALL.iter().rev().skip(1) {
        let gates: Vec<_> = rulebook
            .gates
            .iter()
            .filter(|gate| gate.opens == *mode)
            .collect();
        if gates.is_empty() {
            problems.push(Problem::of_file(
                "rules",
                ModeWithoutGate {
                    mode: mode.to_string(),
                },
            ));
        }
        for gate in gates {
            let mut dead = Vec::new();
            for need in &gate.needs {
                rest.narrow(vocabulary, &need.when, &mut dead);
            }
            let dead: BTreeSet<_> = dead.into_iter().collect();
            for fact in dead {
                problems.push(Problem::at(
                    gate.place.clone(),
                    GateNeverOpens {
                        mode: mode.to_string(),
                        fact: vocabulary.name(fact),
                    },
                ));
            }
        }
    }
}

/// Rules that ask for what other rules rule out.
fn clashes(rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    for rule in &rulebook.rules {
        for never in &rule.then.never {
            let Some(Measure {
                kind: MeasureKind::Never { rules_out, .. },
                ..
            }) = rulebook.measures.get(never)
            else {
                continue;
            };
            for measure in rules_out {
                for other in rulebook.rules.iter().filter(|other| other.id != rule.id) {
                    if other.then.do_.contains(measure) {
                        problems.push(Problem::at(
                            rule.place.clone(),
                            DoMeetsNever {
                                measure: measure.clone(),
                                never: never.clone(),
                                rule: other.id.clone(),
                                other: rule.id.clone(),
                            },
                        ));
                    }
                }
            }
        }
    }
}

/// Measures that name others name known ones.
fn covered(rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    for measure in rulebook.measures.values() {
        let named: Vec<&String> = match &measure.kind {
            MeasureKind::Do {
                covers,
                comes_before,
                ..
            } => covers.iter().chain(comes_before).collect(),
            MeasureKind::Never { rules_out, .. } => rules_out.iter().collect(),
        };
        for id in named
            .into_iter()
            .filter(|id| !rulebook.measures.contains_key(*id))
        {
            problems.push(Problem::at(
                measure.place.clone(),
                UnknownMeasure {
                    close: closest(id, rulebook.measures.keys().map(String::as_str)),
                    id: id.clone(),
                },
            ));
        }
    }
}

/// Measures and sources nothing uses.
fn unused(rulebook: &Rulebook, problems: &mut Vec<Problem>) {
    let used: BTreeSet<&str> = rulebook
        .rules
        .iter()
        .flat_map(|rule| rule.then.do_.iter().chain(&rule.then.never))
        .map(String::as_str)
        .collect();
    for measure in rulebook.measures.values() {
        if !used.contains(measure.id.as_str()) {
            problems.push(Problem::at(
                measure.place.clone(),
                MeasureUnused {
                    id: measure.id.clone(),
                },
            ));
        }
    }
    let tables = &rulebook.tables;
    let cited: BTreeSet<&str> = rulebook
        .rules
        .iter()
        .flat_map(|rule| &rule.source)
        .chain(rulebook.gates.iter().flat_map(|gate| &gate.source))
        .chain(rulebook.sign.iter().flat_map(|entry| &entry.source))
        .chain(rulebook.triage.first.iter().flat_map(|first| &first.source))
        .chain(
            rulebook
                .measures
                .values()
                .flat_map(|measure| &measure.source),
        )
        .chain(
            rulebook
                .functions
                .functions
                .iter()
                .flat_map(|function| &function.source),
        )
        .chain(
            rulebook
                .functions
                .procedures
                .values()
                .flat_map(|procedure| &procedure.source),
        )
        .chain(rulebook.figures.iter().flat_map(|figure| &figure.source))
        .chain(
            rulebook
                .vocabulary
                .tables
                .regions
                .all
                .iter()
                .flat_map(|region| &region.source),
        )
        .chain(tables.calls.iter().flat_map(|call| &call.source))
        .chain(tables.follow_ups.iter().flat_map(|contact| &contact.source))
        .map(String::as_str)
        .collect();
    for (key, source) in &tables.sources {
        if !cited.contains(key.as_str())
            && let Some(place) = &source.at
        {
            problems.push(Problem::at(
                place.clone(),
                SourceUnused { key: key.clone() },
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::has_words;

    #[test]
    fn words_are_met_whole() {
        assert!(has_words("do not dose it", "dose"));
        assert!(!has_words("a dosette box", "dose"));
        assert!(has_words("5 mg.", "mg"));
    }
}
