//! What biting may gain the bird: the evidence for each possible function, and the procedures that follow from it.

use std::collections::BTreeMap;

use crate::facts::Vocabulary;
use crate::fields::{Fields, File};
use crate::language::condition::FactRef;
use crate::language::{Condition, parse};
use crate::library::Library;
use crate::mistake::{Place, Problem};
use crate::mistakes::data::{IdNotKebab, IdUsedTwice, UnknownWord};
use crate::mistakes::rulebook::UnknownFact;
use crate::words::{closest, is_kebab};

use super::check;
use super::measure::HumaneStep;
use super::tables::Tables;

/// What biting may gain the bird.
#[derive(Debug, Clone)]
pub struct Function {
    /// Its id.
    pub id: String,
    /// What it is, in a few plain words.
    pub title: String,
    /// What it means, for the household.
    pub tell: String,
    /// What a bite has to show to speak for it: any of these.
    pub speaks_for: Vec<Condition>,
    /// What a bite has to show to speak against it: any of these.
    pub against: Vec<Condition>,
    /// Answers about the whole case that speak for it as well.
    pub also: Vec<Condition>,
    /// What to watch next.
    pub watch: String,
    /// Procedures that fit, by id, in order.
    pub procedures: Vec<String>,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// Where it stands.
    pub place: Place,
}

/// A way of working that follows from a function.
#[derive(Debug, Clone)]
pub struct Procedure {
    /// What it is.
    pub title: String,
    /// What is done, for the household.
    pub tell: String,
    /// When not to use it.
    pub not_when: String,
    /// Its place in the humane order.
    pub step: HumaneStep,
    /// Keys of its sources.
    pub source: Vec<String>,
}

/// The reading's data: functions, procedures, and the contexts that are counted.
#[derive(Debug, Clone, Default)]
pub struct Functions {
    /// Functions, in the order of the file.
    pub functions: Vec<Function>,
    /// Procedures by id.
    pub procedures: BTreeMap<String, Procedure>,
    /// Facts of a bite whose answers are counted.
    pub contexts: Vec<FactRef>,
}

impl Functions {
    /// Reads `functions.yaml`; faults are added to `problems`.
    #[must_use]
    pub fn load(
        library: &Library,
        vocabulary: &Vocabulary,
        tables: &Tables,
        problems: &mut Vec<Problem>,
    ) -> Self {
        let mut read = Self::default();
        let Some(document) = library.document("functions.yaml", problems) else {
            return read;
        };
        let file = File::new(&document);
        read.fill(&file, vocabulary, tables);
        problems.extend(file.into_problems());
        read
    }

    fn fill<'a>(&mut self, file: &'a File<'a>, vocabulary: &Vocabulary, tables: &Tables) {
        let fields = file.fields(&["procedures", "functions", "contexts"]);
        for (id, node, way) in fields.entries("procedures") {
            let path = way.path();
            if !is_kebab(id) {
                file.fault_at_key(&path, IdNotKebab { id: id.to_owned() });
            }
            let fields = Fields::new(
                file,
                node,
                path,
                &["title", "tell", "not-when", "step", "source"],
            );
            check::refused_words(&fields, &["title", "tell", "not-when"], tables);
            self.procedures.insert(
                id.to_owned(),
                Procedure {
                    title: fields.needed_text("title"),
                    tell: fields.needed_text("tell"),
                    not_when: fields.needed_text("not-when"),
                    step: fields
                        .needed_word("step", HumaneStep::WORDS)
                        .map_or(HumaneStep::Consequence, |at| HumaneStep::ALL[at]),
                    source: check::sources(&fields, tables),
                },
            );
        }
        let bites = vocabulary.group_by_noun("bite");
        let scope: Vec<usize> = bites.into_iter().collect();
        for (text, way) in fields.texts("contexts") {
            let found = bites.and_then(|group| {
                vocabulary.groups[group]
                    .find(&text)
                    .map(|fact| FactRef { group, fact })
            });
            match found {
                Some(at) => self.contexts.push(at),
                None => file.fault(
                    &way.path(),
                    UnknownFact {
                        close: closest(
                            &text,
                            vocabulary.names_in(&scope).iter().map(String::as_str),
                        ),
                        name: text,
                    },
                ),
            }
        }
        for (node, path) in fields.items("functions") {
            let known = [
                "id",
                "title",
                "tell",
                "for",
                "against",
                "also",
                "watch",
                "procedures",
                "source",
            ];
            let fields = Fields::new(file, node, path, &known);
            let conditions = |key: &str, scope: &[usize]| -> Vec<Condition> {
                fields
                    .items(key)
                    .into_iter()
                    .filter_map(|(node, path)| {
                        parse::condition(file, vocabulary, node, &path, scope)
                    })
                    .collect()
            };
            let id = fields.needed_text("id");
            if self.functions.iter().any(|other| other.id == id) {
                file.fault(
                    &fields.at("id"),
                    IdUsedTwice {
                        id: id.clone(),
                        other: "this file".to_owned(),
                    },
                );
            }
            for (procedure, way) in fields.texts("procedures") {
                if !self.procedures.contains_key(&procedure) {
                    file.fault(
                        &way.path(),
                        UnknownWord {
                            key: "procedures".to_owned(),
                            close: closest(&procedure, self.procedures.keys().map(String::as_str)),
                            words: self.procedures.keys().cloned().collect(),
                            text: procedure,
                        },
                    );
                }
            }
            check::refused_words(&fields, &["title", "tell", "watch"], tables);
            let _ = fields.need("for");
            self.functions.push(Function {
                title: fields.needed_text("title"),
                tell: fields.needed_text("tell"),
                speaks_for: conditions("for", &scope),
                against: conditions("against", &scope),
                also: conditions("also", &[]),
                watch: fields.needed_text("watch"),
                procedures: fields.words("procedures"),
                source: check::sources(&fields, tables),
                place: file.source.place(0..1),
                id,
            });
        }
    }
}
