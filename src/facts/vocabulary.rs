//! The vocabulary: every name a rule may use, with its type. Questions first, then derived facts.

use std::collections::BTreeMap;
use std::sync::{PoisonError, RwLock};

use crate::fields::{Fields, File};
use crate::language::condition::{Condition, FactRef};
use crate::language::phrase;
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::{DerivedFactUnknown, IdUsedTwice, QuestionDoesNotFit, WrongKind};
use crate::questionnaire::{Choice, Kind, Questionnaire, Tier};
use crate::units::Unit;
use crate::words::{alike, closest};

use crate::library::Care;
use crate::regions::Regions;
use crate::species::SpeciesTable;

use super::derive;
use super::slots::Slots;
use super::workings::Kind as BirdKind;

/// A fact rules can speak of.
#[derive(Debug, Clone)]
pub struct Fact {
    /// Its name within its group.
    pub id: String,
    /// What it is, in plain words: the question, or a derived fact's title.
    pub title: String,
    /// Its type.
    pub kind: Kind,
    /// The choices of a choice, level or set.
    pub choices: Vec<Choice>,
    /// Least possible number.
    pub min: f64,
    /// Greatest possible number.
    pub max: f64,
    /// The earliest tier at which it can be known.
    pub tier: Tier,
    /// True when it must never reach a shared paper.
    pub private: bool,
    /// True when a date may lie ahead.
    pub future: bool,
    /// The questions a derived fact is worked out from; empty for a question.
    pub from: Vec<FactRef>,
    /// When the question arises at all.
    pub asked_when: Option<Condition>,
    /// What a derived fact tells.
    pub about: String,
    /// What the plan calls it where it lists what is known.
    pub label: Option<String>,
}

impl Fact {
    /// True when it is worked out, not asked.
    #[must_use]
    pub fn is_derived(&self) -> bool {
        !self.from.is_empty()
    }
}

/// A group of facts.
#[derive(Debug, Clone)]
pub struct FactGroup {
    /// Its name.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// What one entry is called, when it repeats.
    pub repeats: Option<String>,
    /// Its facts: the questions in their order, then the derived ones.
    pub facts: Vec<Fact>,
}

impl FactGroup {
    /// A fact by its name within the group.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<usize> {
        self.facts
            .iter()
            .position(|fact| fact.id == id)
            .or_else(|| self.facts.iter().position(|fact| alike(&fact.id, id)))
    }
}

/// All facts. The first groups are those of the questionnaire, in the same order.
#[derive(Debug)]
pub struct Vocabulary {
    /// The groups.
    pub groups: Vec<FactGroup>,
    /// Derived facts with the function that fills each, in the order of [`derive::ALL`].
    pub derived: Vec<(FactRef, derive::Fill)>,
    /// Facts that arise only by some other answer, in the order of the groups.
    pub arising: Vec<FactRef>,
    /// Where the questions stand that the program reads.
    pub slots: Slots,
    /// What figures are looked up in.
    pub tables: Tables,
}

/// The tables that figures are looked up in.
#[derive(Debug)]
pub struct Tables {
    /// Kinds of parrots.
    pub species: SpeciesTable,
    /// Places with their rules on cages.
    pub regions: Regions,
    /// Kinds looked up before: the same words come again for every answer that is tried out, and for every cockatiel.
    kinds: Kept<BirdKind>,
    /// Places looked up before.
    places: Kept<Vec<usize>>,
}

impl Tables {
    fn of(species: SpeciesTable, regions: Regions) -> Self {
        Self {
            species,
            regions,
            kinds: Kept::default(),
            places: Kept::default(),
        }
    }

    /// What the species tables hold under a name.
    #[must_use]
    pub fn kind(&self, text: &str) -> BirdKind {
        self.kinds
            .get(text, || BirdKind::named(&self.species, text))
    }

    /// The regions a text names.
    #[must_use]
    pub fn regions_in(&self, text: &str) -> Vec<usize> {
        self.places.get(text, || self.regions.named_in(text))
    }
}

/// What was looked up before, by the text it was looked up by.
#[derive(Debug)]
struct Kept<T>(RwLock<BTreeMap<String, T>>);

/// Most that is kept; past that it starts anew.
const MOST_KEPT: usize = 1000;

impl<T> Default for Kept<T> {
    fn default() -> Self {
        Self(RwLock::default())
    }
}

impl<T: Clone> Kept<T> {
    fn get(&self, text: &str, look_up: impl FnOnce() -> T) -> T {
        // A lock that a panic left behind still holds whole entries.
        if let Some(kept) = self
            .0
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .get(text)
        {
            return kept.clone();
        }
        let found = look_up();
        let mut all = self.0.write().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= MOST_KEPT {
            all.clear();
        }
        all.insert(text.to_owned(), found.clone());
        found
    }
}

impl Vocabulary {
    /// Builds the vocabulary from the questionnaire and `facts.yaml`; faults are added to `problems`.
    #[must_use]
    pub fn load(
        library: &Library,
        questionnaire: &Questionnaire,
        care: Care,
        problems: &mut Vec<Problem>,
    ) -> Self {
        let mut vocabulary = Self {
            groups: asked(questionnaire),
            derived: Vec::new(),
            arising: Vec::new(),
            slots: Slots::default(),
            tables: Tables::of(
                SpeciesTable::load(library, care, problems),
                Regions::load(library, care, problems),
            ),
        };
        let known: Vec<(&str, &str)> = derive::ALL
            .iter()
            .map(|(name, kind, _)| (*name, *kind))
            .collect();
        // The order of computing is fixed in the program, so that the order of the file cannot matter.
        vocabulary.derived = vocabulary
            .add_derived(library, "facts.yaml", &known, problems)
            .into_iter()
            .filter_map(|(place, at)| Some((at, derive::ALL.get(place)?.2)))
            .collect();
        vocabulary.add_asked_when(library, questionnaire, problems);
        vocabulary.slots = Slots::of(&vocabulary);
        vocabulary
    }

    /// Builds the vocabulary of the log: its questions and what is worked out of them. `known` names what the program works
    /// out, each with its type. Gives the place of each of those, in the order of `known`.
    #[must_use]
    pub fn of_log(
        library: &Library,
        questionnaire: &Questionnaire,
        known: &[(&str, &str)],
        problems: &mut Vec<Problem>,
    ) -> (Self, Vec<Option<FactRef>>) {
        let mut vocabulary = Self {
            groups: asked(questionnaire),
            derived: Vec::new(),
            arising: Vec::new(),
            slots: Slots::default(),
            tables: Tables::of(SpeciesTable::empty(), Regions::default()),
        };
        let mut places = vec![None; known.len()];
        for (place, at) in vocabulary.add_derived(library, "log-facts.yaml", known, problems) {
            if let Some(slot) = places.get_mut(place) {
                *slot = Some(at);
            }
        }
        (vocabulary, places)
    }

    /// Reads a file of derived facts. Gives each with its place in `known`, in that order.
    fn add_derived(
        &mut self,
        library: &Library,
        name: &str,
        known: &[(&str, &str)],
        problems: &mut Vec<Problem>,
    ) -> Vec<(usize, FactRef)> {
        let Some(document) = library.document(name, problems) else {
            return Vec::new();
        };
        let file = File::new(&document);
        let (mut seen, mut placed) = (Vec::new(), Vec::new());
        if let crate::tree::Node::List(items) = file.root {
            for (at, node) in items.iter().enumerate() {
                let path = crate::tree::Path::default().index(at);
                let fields = Fields::new(
                    &file,
                    node,
                    path,
                    &[
                        "id", "title", "about", "type", "like", "choices", "unit", "min", "max",
                        "from", "private", "label",
                    ],
                );
                if let Some((name, fact, group)) = self.derived_fact(&fields) {
                    let Some(place) = known.iter().position(|(known, _)| *known == name) else {
                        file.fault(
                            &fields.at("id"),
                            DerivedFactUnknown {
                                close: closest(&name, known.iter().map(|(n, _)| *n)),
                                id: name,
                            },
                        );
                        continue;
                    };
                    let (_, kind) = known[place];
                    if seen.contains(&name) {
                        file.fault(
                            &fields.at("id"),
                            IdUsedTwice {
                                id: name,
                                other: "this file".to_owned(),
                            },
                        );
                        continue;
                    }
                    let needs_choices =
                        matches!(fact.kind, Kind::Level | Kind::Choice | Kind::Choices);
                    if fact.kind.word() != kind || (needs_choices && fact.choices.is_empty()) {
                        file.fault(
                            &fields.at("type"),
                            QuestionDoesNotFit {
                                id: name.clone(),
                                why: format!("the program computes a {kind}, with the choices of the question it is `like`"),
                            },
                        );
                    }
                    let group = self.group(&group).unwrap_or_else(|| {
                        self.groups.push(FactGroup {
                            title: "Worked out from the answers".to_owned(),
                            id: group.clone(),
                            repeats: None,
                            facts: Vec::new(),
                        });
                        self.groups.len() - 1
                    });
                    self.groups[group].facts.push(fact);
                    let at = FactRef {
                        group,
                        fact: self.groups[group].facts.len() - 1,
                    };
                    placed.push((place, at));
                    seen.push(name);
                }
            }
        }
        let is_list = matches!(file.root, crate::tree::Node::List(_));
        if !is_list {
            file.fault(
                &crate::tree::Path::default(),
                WrongKind {
                    key: "this file".to_owned(),
                    wanted: "a list of facts".to_owned(),
                    found: file.root.kind().to_owned(),
                },
            );
        }
        placed.sort_by_key(|(place, _)| *place);
        problems.extend(file.into_problems());
        placed
    }

    fn derived_fact(&self, fields: &Fields<'_>) -> Option<(String, Fact, String)> {
        let name = fields.needed_text("id");
        let unfit = |key: &str, why: &str| {
            fields.file.fault(
                &fields.at(key),
                QuestionDoesNotFit {
                    id: name.clone(),
                    why: why.to_owned(),
                },
            );
        };
        let Some((group, id)) = name.split_once('.') else {
            unfit("id", "its id is not `group.fact`");
            return None;
        };
        let kinds = ["yes-no", "level", "number", "choice", "choices"];
        let like = match fields.text("like") {
            Some(like) => match self.find(&like) {
                Some(at) => Some(self.fact(at).clone()),
                None => {
                    unfit("like", "`like` names no question");
                    return None;
                }
            },
            None => None,
        };
        let unit = fields.text("unit").and_then(|unit| Unit::named(&unit));
        let kind = match fields.needed_word("type", &kinds).map(|at| kinds[at]) {
            Some("yes-no") => Kind::YesNo,
            Some("level") => Kind::Level,
            Some("choice") => Kind::Choice,
            Some("choices") => Kind::Choices,
            Some("number") => Kind::Number(
                unit.or(match like.as_ref().map(|l| l.kind) {
                    Some(Kind::Number(unit)) => Some(unit),
                    _ => None,
                })
                .unwrap_or(Unit::Count),
            ),
            _ => return None,
        };
        let mut from = Vec::new();
        for (text, way) in fields.texts("from") {
            match self.find(&text) {
                Some(at) => from.push(at),
                None => fields.file.fault(
                    &way.path(),
                    QuestionDoesNotFit {
                        id: name.clone(),
                        why: format!("`{text}` is no question"),
                    },
                ),
            }
        }
        if from.is_empty() {
            unfit(
                "from",
                "it has no `from`, the questions it is worked out from",
            );
            return None;
        }
        let tier = from
            .iter()
            .map(|at| self.fact(*at).tier)
            .min()
            .unwrap_or(Tier::Intake);
        let fact = Fact {
            id: id.to_owned(),
            title: fields.needed_text("title"),
            kind,
            choices: like.as_ref().map_or_else(
                || {
                    fields
                        .entries("choices")
                        .into_iter()
                        .map(|(id, node, _)| Choice {
                            id: id.trim().to_owned(),
                            words: node.scalar().map(|s| s.into_owned()).unwrap_or_default(),
                        })
                        .collect()
                },
                |like| like.choices.clone(),
            ),
            min: fields.number("min").unwrap_or(0.0),
            max: fields.number("max").unwrap_or(f64::INFINITY),
            tier,
            private: fields.yes("private"),
            future: false,
            from,
            asked_when: None,
            about: fields.text("about").unwrap_or_default(),
            label: fields.text("label"),
        };
        Some((name.clone(), fact, group.to_owned()))
    }

    fn add_asked_when(
        &mut self,
        library: &Library,
        questionnaire: &Questionnaire,
        problems: &mut Vec<Problem>,
    ) {
        for (group, info) in questionnaire.groups.iter().enumerate() {
            for (fact, question) in info.questions.iter().enumerate() {
                let mut parts = Vec::new();
                for (name, text) in &question.asked_when {
                    let at = self.find(name);
                    let test = at.and_then(|at| phrase::read(self.fact(at), text).ok());
                    if let (Some(fact), Some(test)) = (at, test) {
                        parts.push(Condition::Is {
                            fact,
                            test,
                            phrase: text.clone(),
                            path: crate::tree::Path::default(),
                        });
                    } else {
                        problems.push(Problem::of_file(
                            &format!("{}/questions/{}.yaml", library.label, info.id),
                            QuestionDoesNotFit {
                                id: question.id.clone(),
                                why: format!("`asked-when` cannot say `{name}: {text}`"),
                            },
                        ));
                    }
                }
                if !parts.is_empty() {
                    self.groups[group].facts[fact].asked_when = Some(Condition::All(parts));
                    self.arising.push(FactRef { group, fact });
                }
            }
        }
    }

    /// A group by name.
    #[must_use]
    pub fn group(&self, id: &str) -> Option<usize> {
        self.groups.iter().position(|group| group.id == id)
    }

    /// A repeated group by what one entry or all of them are called.
    #[must_use]
    pub fn group_by_noun(&self, noun: &str) -> Option<usize> {
        self.groups.iter().position(|group| {
            group.repeats.as_ref().is_some_and(|one| {
                one == noun || group.id == noun || noun.strip_suffix('s') == Some(one)
            })
        })
    }

    /// What the entries of repeated groups are called.
    #[must_use]
    pub fn nouns(&self) -> Vec<String> {
        self.groups
            .iter()
            .filter_map(|group| group.repeats.clone())
            .collect()
    }

    /// A fact by reference.
    #[must_use]
    pub fn fact(&self, at: FactRef) -> &Fact {
        &self.groups[at.group].facts[at.fact]
    }

    /// The questions by which a fact, or what it is worked out from, arises at all.
    #[must_use]
    pub fn arises_by(&self, at: FactRef) -> Vec<FactRef> {
        let mut by = Vec::new();
        for at in std::iter::once(&at).chain(&self.fact(at).from) {
            if let Some(condition) = &self.fact(*at).asked_when {
                condition.visit(&mut |at, _, _| by.push(at));
            }
        }
        by
    }

    /// A fact by its full name, `group.fact`.
    #[must_use]
    pub fn find(&self, full: &str) -> Option<FactRef> {
        let (group, fact) = full.split_once('.')?;
        let group = self.group(group)?;
        let fact = self.groups[group].find(fact)?;
        Some(FactRef { group, fact })
    }

    /// A fact's full name.
    #[must_use]
    pub fn name(&self, at: FactRef) -> String {
        format!("{}.{}", self.groups[at.group].id, self.fact(at).id)
    }

    /// All names that can be used in a scope, for suggestions.
    #[must_use]
    pub fn names_in(&self, scope: &[usize]) -> Vec<String> {
        let mut names = Vec::new();
        if let Some(group) = scope.last() {
            names.extend(self.groups[*group].facts.iter().map(|fact| fact.id.clone()));
        }
        for (at, group) in self.groups.iter().enumerate() {
            if group.repeats.is_none() || scope.contains(&at) {
                names.extend(
                    group
                        .facts
                        .iter()
                        .map(|fact| format!("{}.{}", group.id, fact.id)),
                );
            }
        }
        names
    }
}

/// The questions as facts.
fn asked(questionnaire: &Questionnaire) -> Vec<FactGroup> {
    questionnaire
        .groups
        .iter()
        .map(|group| FactGroup {
            id: group.id.clone(),
            title: group.title.clone(),
            repeats: group.repeats.clone(),
            facts: group
                .questions
                .iter()
                .map(|question| Fact {
                    id: question.id.clone(),
                    title: question.ask.clone(),
                    kind: question.kind,
                    choices: question.choices.clone(),
                    min: question.min,
                    max: question.max,
                    tier: question.tier,
                    private: question.private,
                    future: question.future,
                    from: Vec::new(),
                    asked_when: None,
                    about: question.why.clone(),
                    label: question.label.clone(),
                })
                .collect(),
        })
        .collect()
}
