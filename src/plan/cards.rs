//! Role cards: what each person does and never does.

use serde::Serialize;

use crate::decision::{Decision, Landing};
use crate::facts::{Items, Value, show};
use crate::intake::Intake;
use crate::questionnaire::find_choice;
use crate::rulebook::{HumaneStep, Rulebook};
use crate::words::letter;

use super::actions::{Action, Never, action, never, ranked};
use super::{MAX_PER_PERSON, Options};

/// The card of one person.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Card {
    /// A letter, in the order of the cards.
    pub letter: String,
    /// The name, when names may be printed.
    pub name: Option<String>,
    /// The role, as the questionnaire's word; empty when not known.
    pub role: String,
    /// How they are here, as the questionnaire's word; empty when not known.
    pub presence: String,
    /// `young-child`, `child`, `teen`, `adult`, or empty when not known.
    pub age_band: &'static str,
    /// True for someone who feeds or cleans.
    pub carer: bool,
    /// What they do, at most [`MAX_PER_PERSON`].
    pub does: Vec<Action>,
    /// What they never do, at most [`MAX_PER_PERSON`].
    pub never: Vec<Never>,
    /// What rests on private answers about this person's health alone: for the consultant to speak of with that person. Printed
    /// on the card only when asked for.
    pub talks: Vec<Action>,
    /// How many measures wait behind these.
    pub waiting: usize,
    /// The person's place in the list of people.
    #[serde(skip)]
    pub person: usize,
}

/// A card for each person, in an order that does not hang on the order of the intake: the person the bird goes for first.
pub(super) fn cards(
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
    held: bool,
    options: Options,
) -> Vec<Card> {
    let vocabulary = &rulebook.vocabulary;
    let Some(people) = vocabulary.group_by_noun("person") else {
        return Vec::new();
    };
    let group = &vocabulary.groups[people];
    let Items::Many(Some(items)) = &decision.facts.groups[people] else {
        return Vec::new();
    };
    let place = |id: &str| group.find(id);
    let word = |values: &[Value], id: &str| {
        place(id)
            .filter(|at| !values[*at].is_blank())
            .map_or_else(String::new, |at| show(&group.facts[at], &values[at]))
    };
    let carer = |values: &[Value]| {
        place("duties").is_some_and(|at| match &values[at] {
            Value::Choices(bits) => ["feeds", "cleans"]
                .iter()
                .filter_map(|word| find_choice(&group.facts[at].choices, word))
                .any(|bit| bits & (1 << bit) != 0),
            _ => false,
        })
    };
    let name_of =
        |item: usize| place("name").and_then(|at| intake.answers.text(people, Some(item), at));
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by_cached_key(|item| {
        let values = &items[*item];
        let role = place("role").map_or(9, |at| match values[at] {
            Value::Choice(choice) => choice,
            _ => 8,
        });
        (
            role,
            format!("{values:?}"),
            name_of(*item).unwrap_or_default().to_owned(),
        )
    });
    order
        .into_iter()
        .enumerate()
        .map(|(at, item)| {
            let values = &items[item];
            let (private, ranked): (Vec<_>, Vec<_>) = ranked(rulebook, decision, held, Some(item))
                .into_iter()
                .partition(|(landing, measure)| {
                    measure.step == HumaneStep::Health && rests_on_private(decision, landing)
                });
            let talks = private
                .iter()
                .filter_map(|(l, m)| action(rulebook, l, m))
                .collect();
            let mut does: Vec<Action> = ranked
                .iter()
                .filter_map(|(l, m)| action(rulebook, l, m))
                .collect();
            let mut nevers: Vec<Never> = ranked
                .iter()
                .filter_map(|(l, m)| never(rulebook, l, m))
                .collect();
            let waiting = does.len().saturating_sub(MAX_PER_PERSON)
                + nevers.len().saturating_sub(MAX_PER_PERSON);
            does.truncate(MAX_PER_PERSON);
            nevers.truncate(MAX_PER_PERSON);
            Card {
                letter: letter(at),
                name: options
                    .names
                    .then(|| name_of(item).map(str::to_owned))
                    .flatten(),
                role: word(values, "role"),
                presence: word(values, "presence"),
                age_band: place("age").map_or("", |at| band(&values[at])),
                carer: carer(values),
                does,
                never: nevers,
                talks,
                waiting,
                person: item,
            }
        })
        .collect()
}

/// True when every rule behind a measure for one person rests on that person's private answers alone.
fn rests_on_private(decision: &Decision, landing: &Landing) -> bool {
    landing.rules.iter().all(|at| {
        decision
            .rules
            .iter()
            .filter(|trace| trace.rule == *at)
            .flat_map(|trace| &trace.bindings)
            .any(|binding| binding.person == landing.person && binding.reason.is_private())
    })
}

fn band(age: &Value) -> &'static str {
    match age {
        Value::Number { high, .. } if *high < 5.0 => "young-child",
        Value::Number { high, .. } if *high < 13.0 => "child",
        Value::Number { high, .. } if *high < 18.0 => "teen",
        Value::Number { low, .. } if *low >= 18.0 => "adult",
        _ => "",
    }
}
