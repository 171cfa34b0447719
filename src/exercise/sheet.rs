//! One person's answers, read with places, and those of several people put together.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::fields::{Fields, File};
use crate::fingerprint::short;
use crate::mistake::{Place, Problem, sort};
use crate::mistakes::data::{UnknownWord, WrongKind};
use crate::mistakes::exercise::{
    ExerciseItemMissing, ExerciseItemUnknown, PersonTwice, SheetBlank, SheetDayDiffers,
    SheetOfAnotherExercise, SheetOfAnotherRulebook,
};
use crate::rulebook::Rulebook;
use crate::source::Source;
use crate::tree::{Node, shown};
use crate::words::{alike, closest};
use crate::yaml;

use super::{Exercise, Part};

/// What a sheet may hold.
const KEYS: &[&str] = &[
    "exercise",
    "day",
    "rulebook",
    "person",
    "outcomes",
    "refer",
    "measures",
    "ask-first",
];

/// To which exercise a sheet belongs, read before the rest so that the exercise can be made for the same day.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Head {
    /// The exercise.
    pub exercise: Option<String>,
    /// The day that the case bears.
    pub day: Option<Date>,
}

impl Head {
    /// Reads what can be read of it; what is wrong with a sheet is told when it is read whole.
    #[must_use]
    pub fn of(source: &Source) -> Self {
        let Ok(document) = yaml::read(source) else {
            return Self::default();
        };
        let text = |key: &str| {
            let node = document.root.get(key)?;
            Some(node.scalar()?.trim().to_owned())
        };
        Self {
            exercise: text("exercise"),
            day: text("day").and_then(|day| day.parse().ok()),
        }
    }
}

/// One person's answers to one exercise.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// The exercise, by its place among those that were given.
    pub exercise: usize,
    /// Who answered.
    pub person: String,
    /// For each item of the exercise, in its order: the answer as a place in the item's words.
    pub said: Vec<Option<usize>>,
    /// What this person would ask first.
    pub ask_first: Vec<String>,
    /// Where the person is named.
    pub place: Place,
}

/// Reads the sheets of several people, in the order they are given. Sheets as they came, with nothing filled in, are left out.
/// Warnings come along.
///
/// # Errors
/// All mistakes and warnings, when at least one is an error.
pub fn gathered(
    rulebook: &Rulebook,
    exercises: &[Exercise],
    sources: &[Source],
) -> Result<(Vec<Sheet>, Vec<Problem>), Vec<Problem>> {
    let mut sheets: Vec<Sheet> = Vec::new();
    let mut problems = Vec::new();
    for source in sources {
        let sheet = match read(rulebook, exercises, source) {
            Ok((sheet, found)) => {
                problems.extend(found);
                sheet
            }
            Err(found) => {
                problems.extend(found);
                None
            }
        };
        let Some(sheet) = sheet else { continue };
        let other = sheets
            .iter()
            .find(|other| other.exercise == sheet.exercise && alike(&other.person, &sheet.person));
        if let Some(other) = other {
            problems.push(Problem::at(
                sheet.place,
                PersonTwice {
                    person: shown(&sheet.person),
                    file: other.place.file.clone(),
                },
            ));
        } else {
            sheets.push(sheet);
        }
    }
    sort(&mut problems);
    if problems.iter().any(Problem::is_error) {
        Err(problems)
    } else {
        Ok((sheets, problems))
    }
}

/// One sheet; nothing for one in which nothing was filled in.
fn read(
    rulebook: &Rulebook,
    exercises: &[Exercise],
    source: &Source,
) -> Result<(Option<Sheet>, Vec<Problem>), Vec<Problem>> {
    let document = yaml::read(source)?;
    let file = File::new(&document);
    let fields = file.fields(KEYS);
    let sheet = of_fields(&file, &fields, rulebook, exercises);
    let problems = file.into_problems();
    if problems.iter().any(Problem::is_error) {
        Err(problems)
    } else {
        Ok((sheet, problems))
    }
}

fn of_fields(
    file: &File<'_>,
    fields: &Fields<'_>,
    rulebook: &Rulebook,
    exercises: &[Exercise],
) -> Option<Sheet> {
    let ask_first = ask_first(file, fields);
    let answers: BTreeMap<Part, _> = Part::ALL
        .iter()
        .map(|part| (*part, fields.entries(part.key())))
        .collect();
    let filled = |node: &Node<'_>| *node != Node::Blank;
    let nothing = answers.values().flatten().all(|(_, node, _)| !filled(node));
    if nothing && ask_first.is_empty() && fields.get("person").is_none() && file.count() == 0 {
        file.fault(&fields.at("person"), SheetBlank {});
        return None;
    }
    let person = fields.needed_text("person");
    let id = fields.needed_text("exercise");
    let day = day(file, fields);
    let at = exercises.iter().position(|exercise| exercise.id == id);
    let Some(at) = at else {
        if !id.is_empty() {
            file.fault(
                &fields.at("exercise"),
                SheetOfAnotherExercise {
                    id: shown(&id),
                    close: closest(&id, exercises.iter().map(|it| it.id.as_str())),
                },
            );
        }
        return None;
    };
    let exercise = &exercises[at];
    if let Some(day) = day
        && day != exercise.case.today
    {
        file.fault(
            &fields.at("day"),
            SheetDayDiffers {
                day: day.to_string(),
                other: exercise.case.today.to_string(),
            },
        );
    }
    if let Some(print) = fields.text("rulebook")
        && print != short(&rulebook.fingerprint)
    {
        file.fault(
            &fields.at("rulebook"),
            SheetOfAnotherRulebook {
                print: shown(&print),
            },
        );
    }
    let mut said = vec![None; exercise.items.len()];
    let mut given = vec![false; exercise.items.len()];
    for (part, entries) in answers {
        for (id, node, way) in entries {
            let place = exercise
                .items
                .iter()
                .position(|item| item.part == part && item.id == id);
            let Some(place) = place else {
                file.fault_at_key(
                    &way.path(),
                    ExerciseItemUnknown {
                        part: part.key().to_owned(),
                        id: shown(id),
                        close: closest(id, exercise.of_part(part).map(|item| item.id.as_str())),
                    },
                );
                continue;
            };
            if !filled(node) {
                continue;
            }
            given[place] = true;
            let words = exercise.items[place].words;
            let Some(text) = node.scalar() else {
                file.fault(
                    &way.path(),
                    WrongKind {
                        key: id.to_owned(),
                        wanted: "one word of the list".to_owned(),
                        found: node.kind().to_owned(),
                    },
                );
                continue;
            };
            let text = text.trim();
            said[place] = words.iter().position(|word| alike(word, text));
            if said[place].is_none() {
                file.fault(
                    &way.path(),
                    UnknownWord {
                        key: id.to_owned(),
                        text: shown(text),
                        close: closest(text, words.iter().copied()),
                        words: words.iter().map(|word| (*word).to_owned()).collect(),
                    },
                );
            }
        }
    }
    let open: Vec<&str> = exercise
        .items
        .iter()
        .zip(&given)
        .filter(|(_, given)| !**given)
        .map(|(item, _)| item.id.as_str())
        .collect();
    if !open.is_empty() {
        file.fault(
            &fields.at("person"),
            ExerciseItemMissing {
                items: open.join(", "),
            },
        );
    }
    Some(Sheet {
        exercise: at,
        person,
        said,
        ask_first,
        place: file.place(&fields.at("person")),
    })
}

/// The day a sheet came with.
fn day(file: &File<'_>, fields: &Fields<'_>) -> Option<Date> {
    let text = fields.text("day")?;
    let day = text.parse().ok();
    if day.is_none() {
        file.fault(
            &fields.at("day"),
            WrongKind {
                key: "day".to_owned(),
                wanted: "the day it came with, such as 2026-11-25".to_owned(),
                found: format!("`{}`", shown(&text)),
            },
        );
    }
    day
}

/// What someone would ask first; lines left blank do not count.
fn ask_first(file: &File<'_>, fields: &Fields<'_>) -> Vec<String> {
    if !matches!(fields.get("ask-first"), Some(Node::List(_))) {
        return fields.words("ask-first");
    }
    let mut texts = Vec::new();
    for (node, path) in fields.items("ask-first") {
        match node.scalar() {
            Some(text) if text.trim().is_empty() => {}
            Some(text) => texts.push(text.trim().to_owned()),
            None if *node == Node::Blank => {}
            None => file.fault(
                &path,
                WrongKind {
                    key: "ask-first".to_owned(),
                    wanted: "text".to_owned(),
                    found: node.kind().to_owned(),
                },
            ),
        }
    }
    texts
}
