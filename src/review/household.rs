//! What of the form a log is judged with: who lives there, who was bitten before, and where.

use crate::facts::Value;
use crate::facts::case::{Case, range};
use crate::figures::span::Span;
use crate::questionnaire::{Questionnaire, find_choice};

/// Parts of the body that count as the face.
const FACE: &[&str] = &["face", "eye", "ear or neck"];

/// A person's age, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Age(Span);

impl Age {
    /// Whether it lies below a number of years; `None` where that is not known.
    #[must_use]
    pub fn below(self, years: f64) -> Option<bool> {
        if self.0.high < years {
            Some(true)
        } else if self.0.low >= years {
            Some(false)
        } else {
            None
        }
    }
}

/// One person of the form.
#[derive(Debug, Clone)]
pub struct Person {
    /// The name or code; `None` where it was not told.
    pub name: Option<String>,
    /// The age.
    pub age: Option<Age>,
}

/// The people and the bites of the form.
#[derive(Debug, Clone)]
pub struct Household {
    /// The people; `None` while they were not told.
    pub people: Option<Vec<Person>>,
    /// Names of those who were bitten; `None` while bites were not told.
    pub bitten: Option<Vec<String>>,
    /// Parts of the body that were bitten, as places among the choices of the log; `None` while bites were not told.
    pub body_parts: Option<Vec<u8>>,
    /// The parts that count as the face, as places among the choices of the log.
    pub face_parts: Vec<u8>,
    /// The place of broken skin among the hurts of the log, and of the worst one.
    pub broken_skin: u8,
    /// The place of the worst hurt among those of the log.
    pub worst_injury: u8,
}

impl Household {
    /// Reads it from the form. `log` are the questions of the log.
    #[must_use]
    pub fn of(case: &Case<'_>, log: &Questionnaire) -> Self {
        let slots = &case.vocabulary.slots;
        let people = case.entries(slots.person_name).map(|people| {
            (0..people.len())
                .map(|item| Person {
                    name: case.text_of(slots.person_name, item).map(str::to_owned),
                    age: case.of(slots.person_age, item).and_then(range).map(Age),
                })
                .collect()
        });
        let place = |question: &str, word: &str| {
            let (group, question) = log.find(question)?;
            let choices = &log.groups.get(group)?.questions.get(question)?.choices;
            u8::try_from(find_choice(choices, word)?).ok()
        };
        let bites = case.entries(slots.bite_date).map(|bites| 0..bites.len());
        let worst_injury = log
            .find("days.injury")
            .and_then(|(group, question)| {
                let choices = &log.groups.get(group)?.questions.get(question)?.choices;
                u8::try_from(choices.len().checked_sub(1)?).ok()
            })
            .unwrap_or(u8::MAX);
        Self {
            people,
            bitten: bites.clone().map(|bites| {
                bites
                    .filter(|bite| touched(case, *bite))
                    .filter_map(|bite| case.text_of(slots.bite_person, bite).map(str::to_owned))
                    .collect()
            }),
            body_parts: bites.map(|bites| {
                bites
                    .filter(|bite| touched(case, *bite))
                    .filter_map(|bite| case.choice_of(slots.bite_body_part, bite))
                    .filter_map(|word| place("days.body-part", word))
                    .collect()
            }),
            face_parts: FACE
                .iter()
                .filter_map(|word| place("days.body-part", word))
                .collect(),
            broken_skin: place("days.injury", "broken-skin").unwrap_or(1),
            worst_injury,
        }
    }

    /// A person by name.
    #[must_use]
    pub fn person(&self, name: &str) -> Option<&Person> {
        self.people
            .as_ref()?
            .iter()
            .find(|person| person.name.as_deref() == Some(name))
    }

    /// Whether a child lives in or visits the home, or may.
    #[must_use]
    pub fn may_hold_child(&self) -> bool {
        self.people.as_ref().is_none_or(|people| {
            people
                .iter()
                .any(|person| person.age.is_none_or(|age| age.below(18.0) != Some(false)))
        })
    }

    /// The names or codes of all people.
    #[must_use]
    pub fn names(&self) -> Option<Vec<String>> {
        let people = self.people.as_ref()?;
        Some(people.iter().filter_map(|it| it.name.clone()).collect())
    }
}

/// Whether a bite of the form touched someone, or may have.
fn touched(case: &Case<'_>, bite: usize) -> bool {
    !matches!(
        case.of(case.vocabulary.slots.bite_injury, bite),
        Some(Value::Level { high: 0, .. })
    )
}
