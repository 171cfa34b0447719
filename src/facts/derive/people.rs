//! Facts of one person, or of the person a bite names.

use crate::figures::wounds::{Advice, Wound, advice};

use super::super::Value;
use super::super::case::{Case, range};
use super::super::workings::{Figures, asks_about_tetanus, eye_height, wound_of};
use super::bites::{of_person_named, person_of};

/// Whether a distance at which the bird eats calmly was measured for a person.
pub(super) fn distance_known(case: &Case<'_>, item: usize) -> Value {
    let slots = &case.vocabulary.slots;
    let (Some(calm), Some(distances)) = (slots.distance_calm, case.entries(slots.distance_person))
    else {
        return Value::UNANSWERED;
    };
    let name = case.text_of(slots.person_name, item);
    let mut value = Value::YesNo(false);
    for (distance, values) in distances.iter().enumerate() {
        let theirs = match (name, case.text_of(slots.distance_person, distance)) {
            (Some(name), Some(other)) => Some(name == other),
            _ => None,
        };
        let measured = !values[calm.fact].is_blank();
        match theirs {
            Some(true) if measured => return Value::YesNo(true),
            // Measured for someone who may be this person, or perhaps measured for this person.
            Some(true) | None => value = Value::UNANSWERED,
            Some(false) => {}
        }
    }
    value
}

/// Whether a person's eyes are within beak reach of the highest perch.
pub(super) fn face_at_perch(case: &Case<'_>, figures: &dyn Figures, item: usize) -> Value {
    let slots = &case.vocabulary.slots;
    let age = case.of(slots.person_age, item).and_then(range);
    let eyes_cm = eye_height(case.number_of(slots.person_eye_height, item), age);
    yes_no(
        figures
            .reach()
            .and_then(|reach| reach.face_is_level(eyes_cm)),
    )
}

/// The care that lists advise for a wound, whoever has it.
pub(super) fn care_advised(case: &Case<'_>, bite: usize) -> Value {
    care(&wound_of(case, bite))
}

/// The care that lists advise for a wound and the person who has it.
pub(super) fn care_advised_for_person(case: &Case<'_>, bite: usize) -> Value {
    let vulnerable = case.vocabulary.slots.person_vulnerable;
    let at_risk = person_of(case, bite)
        .and_then(|person| case.chosen(vulnerable, case.of(vulnerable, person)))
        .map(|words| words.contains(&"lowered immunity"));
    care(&Wound {
        person_at_higher_risk: at_risk,
        ..wound_of(case, bite)
    })
}

/// The care of a wound as a level: none, at home, a clinic, a hospital.
fn care(wound: &Wound) -> Value {
    let (known, until_answered) = advice(wound);
    let level = |advice: Advice| match advice {
        Advice::HomeCare => 1,
        Advice::UrgentAdvice => 2,
        Advice::Emergency => 3,
    };
    let low = if wound.skin_broken == Some(true) {
        level(known)
    } else {
        0
    };
    let high = if wound.skin_broken == Some(false) {
        0
    } else {
        level(until_answered)
    };
    Value::Level { low, high }
}

/// Whether the person a bite names should ask a clinician about tetanus.
pub(super) fn tetanus_question(case: &Case<'_>, bite: usize) -> Value {
    yes_no(asks_about_tetanus(case, bite, person_of(case, bite)))
}

/// Age of the person a bite names.
pub(super) fn age_of_bitten(case: &Case<'_>, bite: usize) -> Value {
    of_person_named(case, bite, case.vocabulary.slots.person_age)
}

/// How the bird acts towards the person a bite names.
pub(super) fn role_of_bitten(case: &Case<'_>, bite: usize) -> Value {
    of_person_named(case, bite, case.vocabulary.slots.person_role)
}

/// What makes the person a bite names easier to hurt.
pub(super) fn vulnerable_of_bitten(case: &Case<'_>, bite: usize) -> Value {
    of_person_named(case, bite, case.vocabulary.slots.person_vulnerable)
}

fn yes_no(known: Option<bool>) -> Value {
    known.map_or(Value::UNANSWERED, Value::YesNo)
}
