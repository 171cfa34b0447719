//! Answers against each other: ages, dates and names that cannot go together.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::dates::PartialDate;
use crate::mistake::{Mistake, Problem};
use crate::mistakes::intake::{
    AgeAgainstDate, BiteBeforeHome, NothingAnswered, PersonNamedTwice, PersonNotListed,
};
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::{Path, Places, shown};
use crate::units::Unit;
use crate::words::closest;

use super::{Answers, Given, Part};

/// Checks answers against each other.
#[must_use]
pub fn check(
    questionnaire: &Questionnaire,
    answers: &Answers,
    source: &Source,
    places: &dyn Fn() -> Places,
    today: Date,
) -> Vec<Problem> {
    let mut faults: Vec<(Path, Box<dyn Mistake>)> = Vec::new();
    if answers.parts.iter().all(|part| match part {
        Part::Once(given) => given.iter().all(|given| *given == Given::Blank),
        Part::Many(entries) => entries.is_none(),
    }) {
        faults.push((Path::default(), Box::new(NothingAnswered {})));
    }
    bird(questionnaire, answers, today, &mut faults);
    names(questionnaire, answers, &mut faults);
    Problem::of_answers(faults, source, places)
}

/// A name without its digits.
fn letters(name: &str) -> String {
    name.chars().filter(|c| !c.is_ascii_digit()).collect()
}

type Faults = Vec<(Path, Box<dyn Mistake>)>;

fn date_of(
    answers: &Answers,
    at: Option<(usize, usize)>,
    item: Option<usize>,
) -> Option<&PartialDate> {
    let (group, question) = at?;
    match answers.given(group, item, question)? {
        Given::Date(date) => Some(date),
        _ => None,
    }
}

/// The bird's age, the day it came home, and bites before that day.
fn bird(questionnaire: &Questionnaire, answers: &Answers, today: Date, faults: &mut Faults) {
    let at_since = questionnaire.find("bird.home-since");
    let Some(since) = date_of(answers, at_since, None) else {
        return;
    };
    if let Some((group, question)) = questionnaire.find("bird.age")
        && let Some(Given::Number(years)) = answers.given(group, None, question)
    {
        // A year of grace: ages are told in whole years.
        let days = ((years + 1.0) * 365.25).ceil().clamp(0.0, 40_000.0) as i32;
        if today
            .checked_sub(days.days())
            .is_ok_and(|hatched| since.last < hatched)
            && let Some((group, question)) = at_since
        {
            faults.push((
                answers.path(questionnaire, group, None, question),
                Box::new(AgeAgainstDate {
                    age: Unit::Years.show(*years),
                    since: since.to_string(),
                }),
            ));
        }
    }
    let Some((bites, question)) = questionnaire.find("bites.date") else {
        return;
    };
    for item in 0..answers.entries(bites).map_or(0, <[_]>::len) {
        if let Some(date) = date_of(answers, Some((bites, question)), Some(item))
            && date.last < since.first
        {
            faults.push((
                answers.path(questionnaire, bites, Some(item), question),
                Box::new(BiteBeforeHome {
                    bite: date.to_string(),
                    since: since.to_string(),
                }),
            ));
        }
    }
}

/// Names of people: no two alike, and every name used elsewhere is among them.
fn names(questionnaire: &Questionnaire, answers: &Answers, faults: &mut Faults) {
    let Some((people, question)) = questionnaire.find("people.name") else {
        return;
    };
    let Some(entries) = answers.entries(people) else {
        return;
    };
    let mut known: Vec<&str> = Vec::new();
    for item in 0..entries.len() {
        let Some(name) = answers.text(people, Some(item), question) else {
            continue;
        };
        if known.contains(&name) {
            faults.push((
                answers.path(questionnaire, people, Some(item), question),
                Box::new(PersonNamedTwice { name: shown(name) }),
            ));
        }
        known.push(name);
    }
    for user in ["bites.person", "distances.person"] {
        let Some((group, question)) = questionnaire.find(user) else {
            continue;
        };
        for item in 0..answers.entries(group).map_or(0, <[_]>::len) {
            if let Some(name) = answers.text(group, Some(item), question)
                && !known.contains(&name)
            {
                faults.push((
                    answers.path(questionnaire, group, Some(item), question),
                    Box::new(PersonNotListed {
                        name: shown(name),
                        // Codes that differ in their number alone are different people, not slips.
                        close: closest(name, known.iter().copied())
                            .filter(|close| letters(close) != letters(name)),
                    }),
                ));
            }
        }
    }
}
