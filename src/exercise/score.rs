//! How far people agree: item by item, with each other and with the rulebook, and beyond chance.
//!
//! People stand in the order of their sheets and are never put in an order of merit: cases differ in how hard they are.

use serde::Serialize;

use crate::figures::agreement::{fleiss_kappa, kappa, linear_weighted_kappa, pairs_alike};
use crate::fingerprint::short;
use crate::rulebook::{Contact, Risk, Rulebook, Start, Vet};
use crate::words::{alike, letter};

use super::{Exercise, Item, Part, Sheet};

/// Fewest answers of yes or no on which a figure beyond chance is told (common practice, no source).
pub const FEWEST_YES_NO: usize = 20;
/// Fewest cases on which a figure beyond chance is told for one ordered outcome (common practice, no source).
pub const FEWEST_CASES: usize = 10;

/// A figure beyond chance.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Beyond {
    /// Kappa. Nothing where there is too little to say, and where chance alone would bring full agreement.
    pub kappa: Option<f64>,
    /// On how many items it rests.
    pub of: usize,
    /// True where those are too few to say.
    pub too_few: bool,
}

impl Beyond {
    fn of(items: usize, fewest: usize, figure: impl FnOnce() -> Option<f64>) -> Self {
        let too_few = items < fewest;
        Self {
            kappa: if too_few { None } else { figure() },
            of: items,
            too_few,
        }
    }
}

/// What one person said to one item.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Said {
    /// The person's code.
    pub code: String,
    /// The answer; nothing where it was left out.
    pub says: Option<&'static str>,
    /// How many steps tighter than the rulebook; below zero is looser. Nothing where it was left out.
    pub steps: Option<i64>,
}

/// How many people chose an answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Level {
    /// The answer.
    pub word: &'static str,
    /// How many.
    pub people: u32,
}

/// One item with what everyone said.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ScoredItem {
    /// The part of the sheet.
    pub part: Part,
    /// The item.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// What it says in full; empty for outcomes.
    pub says: String,
    /// The rulebook's answer.
    pub rulebook: &'static str,
    /// Who said what, in the order of people.
    pub said: Vec<Said>,
    /// How many chose each answer, loosest first.
    pub spread: Vec<Level>,
    /// How far the loosest and the tightest answer are apart, in steps.
    pub apart: usize,
    /// The share of pairs of people who said the same. Nothing with fewer than two.
    pub pairs_alike: Option<f64>,
    /// The share of people who said what the rulebook says. Nothing with nobody.
    pub with_rulebook: Option<f64>,
    /// How many are looser than the rulebook.
    pub looser: usize,
    /// How many are tighter.
    pub tighter: usize,
    /// The loosest, in steps from the rulebook.
    pub furthest_looser: usize,
    /// The tightest, in steps from the rulebook.
    pub furthest_tighter: usize,
}

impl ScoredItem {
    /// True where people do not all say what the rulebook says.
    #[must_use]
    pub fn is_split(&self) -> bool {
        self.looser + self.tighter > 0
    }
}

/// One case with what everyone said.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ScoredCase {
    /// The exercise.
    pub exercise: String,
    /// The form it was made from.
    pub file: String,
    /// How many people answered.
    pub people: usize,
    /// The items, in the order of the sheet.
    pub items: Vec<ScoredItem>,
    /// What people would ask first.
    pub ask_first: Vec<AskFirst>,
}

/// What one person would ask first.
#[derive(Debug, Clone, Serialize)]
pub struct AskFirst {
    /// The person's code.
    pub code: String,
    /// The questions, as written.
    pub texts: Vec<String>,
}

/// A figure for one outcome.
#[derive(Debug, Clone, Serialize)]
pub struct OfOutcome {
    /// The outcome.
    pub outcome: &'static str,
    /// The share of pairs of people who said the same, over all cases.
    #[serde(rename = "pairs-alike", skip_serializing_if = "Option::is_none")]
    pub pairs_alike: Option<f64>,
    /// Beyond chance.
    #[serde(flatten)]
    pub beyond: Beyond,
}

/// One person, over all cases.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Person {
    /// A letter, in the order of the sheets.
    pub code: String,
    /// The name, where names were asked for.
    pub name: Option<String>,
    /// How many cases this person answered.
    pub cases: usize,
    /// How many items.
    pub answered: usize,
    /// How many were left out.
    pub left_out: usize,
    /// In how many of them this person is looser than the rulebook.
    pub looser: usize,
    /// In how many tighter.
    pub tighter: usize,
    /// Cohen's kappa with the rulebook, over all answers of yes or no.
    pub yes_no: Beyond,
    /// Cohen's kappa with linear weights with the rulebook, for each outcome over all cases.
    pub outcomes: Vec<OfOutcome>,
}

/// All people together.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Together {
    /// The share of pairs who said the same, over all answers of yes or no.
    pub pairs_alike: Option<f64>,
    /// Fleiss' kappa over the items of yes or no that everyone answered.
    pub yes_no: Beyond,
    /// How many such items not everyone answered.
    pub not_by_all: usize,
    /// For each outcome: pairs alike, and Fleiss' kappa over the cases that everyone answered.
    pub outcomes: Vec<OfOutcome>,
}

/// From how much on figures beyond chance are told.
#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Fewest {
    /// Answers of yes or no.
    pub yes_no: usize,
    /// Cases, for an ordered outcome.
    pub cases: usize,
}

/// The rulebook the answers are held against.
#[derive(Debug, Clone, Serialize)]
pub struct Held {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// The start of its fingerprint.
    pub fingerprint: String,
}

/// All cases with all people.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Scored {
    /// The rulebook.
    pub rulebook: Held,
    /// From how much on figures beyond chance are told.
    pub fewest: Fewest,
    /// People, in the order of their sheets.
    pub people: Vec<Person>,
    /// All of them together.
    pub together: Together,
    /// The cases, in the order they were given.
    pub cases: Vec<ScoredCase>,
}

/// The ordered outcomes with their words, loosest first.
const OUTCOMES: &[(&str, &[&str])] = &[
    ("risk", Risk::WORDS),
    ("start", Start::WORDS),
    ("contact", Contact::WORDS),
    ("vet", Vet::WORDS),
];

impl Scored {
    /// Holds the sheets against each other and against the rulebook. People are told by a letter, with their names where `names` says so.
    #[must_use]
    pub fn of(rulebook: &Rulebook, exercises: &[Exercise], sheets: &[Sheet], names: bool) -> Self {
        let people = People::of(sheets);
        let answered: Vec<Answered<'_>> = exercises
            .iter()
            .enumerate()
            .flat_map(|(at, exercise)| {
                let people = &people;
                exercise
                    .items
                    .iter()
                    .enumerate()
                    .map(move |(place, item)| Answered {
                        exercise: at,
                        item,
                        said: people.said(sheets, at, place),
                    })
            })
            .collect();
        Self {
            rulebook: Held {
                name: rulebook.tables.edition.name.clone(),
                version: rulebook.tables.edition.version.to_string(),
                fingerprint: short(&rulebook.fingerprint),
            },
            fewest: Fewest {
                yes_no: FEWEST_YES_NO,
                cases: FEWEST_CASES,
            },
            people: (0..people.names.len())
                .map(|at| person(at, &people, sheets, &answered, names))
                .collect(),
            together: together(&answered),
            cases: exercises
                .iter()
                .enumerate()
                .map(|(at, exercise)| ScoredCase {
                    exercise: exercise.id.clone(),
                    file: exercise.file.clone(),
                    people: sheets.iter().filter(|sheet| sheet.exercise == at).count(),
                    items: answered
                        .iter()
                        .filter(|answered| answered.exercise == at)
                        .map(Answered::scored)
                        .collect(),
                    ask_first: sheets
                        .iter()
                        .filter(|sheet| sheet.exercise == at && !sheet.ask_first.is_empty())
                        .map(|sheet| AskFirst {
                            code: letter(people.place(&sheet.person)),
                            texts: sheet.ask_first.clone(),
                        })
                        .collect(),
                })
                .collect(),
        }
    }

    /// True where figures of this kind rest on somebody's answers at all.
    #[must_use]
    pub fn has_answers(&self) -> bool {
        !self.people.is_empty()
    }
}

/// Everyone who answered, in the order of the sheets.
struct People<'a> {
    names: Vec<&'a str>,
}

impl<'a> People<'a> {
    fn of(sheets: &'a [Sheet]) -> Self {
        let mut names: Vec<&str> = Vec::new();
        for sheet in sheets {
            if !names.iter().any(|name| alike(name, &sheet.person)) {
                names.push(&sheet.person);
            }
        }
        Self { names }
    }

    fn place(&self, person: &str) -> usize {
        self.names
            .iter()
            .position(|name| alike(name, person))
            .unwrap_or(0)
    }

    /// What each person said to one item of one exercise; nothing at all for those who had no sheet of it.
    fn said(&self, sheets: &[Sheet], exercise: usize, item: usize) -> Vec<Option<Option<usize>>> {
        self.names
            .iter()
            .map(|name| {
                sheets
                    .iter()
                    .find(|sheet| sheet.exercise == exercise && alike(&sheet.person, name))
                    .map(|sheet| sheet.said[item])
            })
            .collect()
    }
}

/// One item with the answers of all people.
struct Answered<'a> {
    exercise: usize,
    item: &'a Item,
    /// For each person: nothing without a sheet, and nothing in it where the item was left out.
    said: Vec<Option<Option<usize>>>,
}

impl Answered<'_> {
    fn given(&self) -> impl Iterator<Item = usize> + '_ {
        self.said.iter().filter_map(|said| said.flatten())
    }

    /// How many people chose each answer.
    fn counts(&self) -> Vec<u32> {
        let mut counts = vec![0; self.item.words.len()];
        for said in self.given() {
            counts[said] += 1;
        }
        counts
    }

    /// True when all of so many people answered.
    fn is_whole(&self) -> bool {
        self.said.iter().all(|said| said.flatten().is_some())
    }

    fn scored(&self) -> ScoredItem {
        let item = self.item;
        let counts = self.counts();
        let given: Vec<usize> = self.given().collect();
        let beyond = |tighter: bool| {
            let apart = given.iter().filter_map(|said| {
                if tighter {
                    said.checked_sub(item.rulebook)
                } else {
                    item.rulebook.checked_sub(*said)
                }
            });
            let apart: Vec<usize> = apart.filter(|steps| *steps > 0).collect();
            (apart.len(), apart.into_iter().max().unwrap_or(0))
        };
        let ((looser, furthest_looser), (tighter, furthest_tighter)) =
            (beyond(false), beyond(true));
        let alike = given.len() - looser - tighter;
        let apart = match (given.iter().min(), given.iter().max()) {
            (Some(least), Some(most)) => most - least,
            _ => 0,
        };
        ScoredItem {
            part: item.part,
            id: item.id.clone(),
            title: item.title.clone(),
            says: item.says.clone(),
            rulebook: item.words[item.rulebook],
            said: self
                .said
                .iter()
                .enumerate()
                .filter_map(|(at, said)| {
                    let said = (*said)?;
                    Some(Said {
                        code: letter(at),
                        says: said.map(|said| item.words[said]),
                        steps: said.map(|said| said as i64 - item.rulebook as i64),
                    })
                })
                .collect(),
            spread: item
                .words
                .iter()
                .zip(&counts)
                .map(|(word, people)| Level {
                    word,
                    people: *people,
                })
                .collect(),
            apart,
            pairs_alike: pairs_alike(&counts),
            with_rulebook: (!given.is_empty()).then(|| alike as f64 / given.len() as f64),
            looser,
            tighter,
            furthest_looser,
            furthest_tighter,
        }
    }
}

/// Items of yes or no.
fn yes_no<'i, 'a>(answered: &'i [Answered<'a>]) -> impl Iterator<Item = &'i Answered<'a>> {
    answered.iter().filter(|it| !it.item.is_ordered())
}

/// One outcome in all cases.
fn of_outcome<'i, 'a>(
    answered: &'i [Answered<'a>],
    outcome: &'static str,
) -> impl Iterator<Item = &'i Answered<'a>> {
    answered
        .iter()
        .filter(move |it| it.item.is_ordered() && it.item.id == outcome)
}

/// How often one person said each answer where the rulebook says each.
fn against_rulebook<'i, 'a: 'i>(
    answered: impl Iterator<Item = &'i Answered<'a>>,
    person: usize,
    answers: usize,
) -> (usize, Vec<Vec<u32>>) {
    let mut table = vec![vec![0; answers]; answers];
    let mut items = 0;
    for it in answered {
        if let Some(said) = it.said[person].flatten() {
            table[said][it.item.rulebook] += 1;
            items += 1;
        }
    }
    (items, table)
}

fn person(
    at: usize,
    people: &People<'_>,
    sheets: &[Sheet],
    answered: &[Answered<'_>],
    names: bool,
) -> Person {
    let asked: Vec<(&Item, Option<usize>)> = answered
        .iter()
        .filter_map(|it| Some((it.item, it.said[at]?)))
        .collect();
    let given = || {
        asked
            .iter()
            .filter_map(|(item, said)| Some((*item, (*said)?)))
    };
    let (items, table) = against_rulebook(yes_no(answered), at, 2);
    Person {
        code: letter(at),
        name: names.then(|| people.names[at].to_owned()),
        cases: sheets
            .iter()
            .filter(|sheet| alike(&sheet.person, people.names[at]))
            .count(),
        answered: given().count(),
        left_out: asked.len() - given().count(),
        looser: given().filter(|(item, said)| *said < item.rulebook).count(),
        tighter: given().filter(|(item, said)| *said > item.rulebook).count(),
        yes_no: Beyond::of(items, FEWEST_YES_NO, || kappa(&table)),
        outcomes: OUTCOMES
            .iter()
            .map(|(outcome, words)| {
                let (cases, table) =
                    against_rulebook(of_outcome(answered, outcome), at, words.len());
                OfOutcome {
                    outcome,
                    pairs_alike: None,
                    beyond: Beyond::of(cases, FEWEST_CASES, || linear_weighted_kappa(&table)),
                }
            })
            .collect(),
    }
}

/// Of all pairs of answers to the same item, the share that are the same, over several items.
fn pairs_over<'i, 'a: 'i>(answered: impl Iterator<Item = &'i Answered<'a>>) -> Option<f64> {
    let (mut alike, mut pairs) = (0.0, 0.0);
    for it in answered {
        let counts = it.counts();
        let people = f64::from(counts.iter().sum::<u32>());
        if let Some(share) = pairs_alike(&counts) {
            let these = people * (people - 1.0) / 2.0;
            alike += share * these;
            pairs += these;
        }
    }
    (pairs > 0.0).then(|| alike / pairs)
}

fn together(answered: &[Answered<'_>]) -> Together {
    let whole = |it: &&Answered<'_>| it.is_whole();
    let table: Vec<Vec<u32>> = yes_no(answered)
        .filter(whole)
        .map(Answered::counts)
        .collect();
    Together {
        pairs_alike: pairs_over(yes_no(answered)),
        not_by_all: yes_no(answered).count() - table.len(),
        yes_no: Beyond::of(table.len(), FEWEST_YES_NO, || fleiss_kappa(&table)),
        outcomes: OUTCOMES
            .iter()
            .map(|(outcome, _)| {
                let table: Vec<Vec<u32>> = of_outcome(answered, outcome)
                    .filter(whole)
                    .map(Answered::counts)
                    .collect();
                OfOutcome {
                    outcome,
                    pairs_alike: pairs_over(of_outcome(answered, outcome)),
                    beyond: Beyond::of(table.len(), FEWEST_CASES, || fleiss_kappa(&table)),
                }
            })
            .collect(),
    }
}
