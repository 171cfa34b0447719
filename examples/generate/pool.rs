//! What the homes answered to each question, and an answer that fits one.

use std::borrow::Cow;
use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;
use perchside::questionnaire::{Identifies, Kind, Question, Questionnaire};
use perchside::tree::Node;
use perchside::units::Unit;

use super::form::Block;
use super::homes::Home;
use super::random::Random;

/// What people say who have nothing else to say.
const WORDS: &[&str] = &[
    "not sure yet",
    "we would rather say it in person",
    "much the same as last year",
];

/// All answers of all homes.
#[derive(Debug, Default)]
pub(crate) struct Pool<'h> {
    answers: BTreeMap<(usize, usize), Vec<Node<'h>>>,
    blocks: BTreeMap<usize, Vec<Block<'h>>>,
    /// Names of people, each once.
    pub(crate) people: Vec<Cow<'h, str>>,
    /// Names of birds, each once.
    pub(crate) birds: Vec<Cow<'h, str>>,
}

impl<'h> Pool<'h> {
    /// Gathers what the homes say.
    pub(crate) fn of(questionnaire: &Questionnaire, homes: &[Home<'h>]) -> Self {
        let mut pool = Self::default();
        for home in homes {
            for (group, blocks) in home.form.groups.iter().enumerate() {
                for block in blocks.iter().flatten() {
                    pool.blocks.entry(group).or_default().push(block.clone());
                    for (question, node) in block {
                        pool.take(questionnaire, (group, *question), node);
                    }
                }
            }
        }
        for names in [&mut pool.people, &mut pool.birds] {
            names.sort();
            names.dedup();
        }
        pool
    }

    fn take(&mut self, questionnaire: &Questionnaire, at: (usize, usize), node: &Node<'h>) {
        let group = &questionnaire.groups[at.0];
        self.answers.entry(at).or_default().push(node.clone());
        if let Node::Text(name) = node {
            match group.questions[at.1].identifies {
                Some(Identifies::Person) if group.id == "people" => self.people.push(name.clone()),
                Some(Identifies::Bird) => self.birds.push(name.clone()),
                _ => {}
            }
        }
    }

    /// A block that some home wrote into a list.
    pub(crate) fn block(&self, group: usize, random: &mut Random) -> Option<&Block<'h>> {
        random.pick(self.blocks.get(&group)?)
    }

    /// An answer that fits a question: mostly what some home said, else anything of its type.
    pub(crate) fn fitting(
        &self,
        at: (usize, usize),
        question: &Question,
        day: Date,
        random: &mut Random,
    ) -> Node<'h> {
        let told = self.answers.get(&at).and_then(|told| random.pick(told));
        match (told, question.kind) {
            // Dates of other homes hang on their days.
            (_, Kind::Date) => {
                let days = random.between(0, 300) as i32;
                let when = if question.future {
                    day.checked_add(days.days())
                } else {
                    day.checked_sub(days.days())
                };
                text(when.unwrap_or(day).to_string())
            }
            (Some(told), Kind::Number(unit)) if random.chance(600) => {
                near(question, unit, told, random)
            }
            (Some(told), kind) if kind == Kind::Text || random.chance(800) => told.clone(),
            (_, Kind::YesNo) => text(["yes", "no"][random.below(2)]),
            (_, Kind::Choice | Kind::Level) => text(
                random
                    .pick(&question.choices)
                    .map_or_else(String::new, |it| it.id.clone()),
            ),
            (_, Kind::Choices) => set(question, random),
            (_, Kind::Number(unit)) => {
                // Small numbers are likelier than large ones.
                let share = random.share(0.0, 1.0);
                number(
                    question,
                    unit,
                    question.min + (question.max - question.min) * share * share,
                    random,
                )
            }
            (_, Kind::Text) => text(*random.pick(WORDS).unwrap_or(&"")),
        }
    }
}

/// A text as an answer.
pub(crate) fn text<'h>(text: impl Into<Cow<'h, str>>) -> Node<'h> {
    Node::Text(text.into())
}

fn set<'h>(question: &Question, random: &mut Random) -> Node<'h> {
    let word = |at: usize| {
        question
            .choices
            .get(at)
            .map_or_else(String::new, |it| it.id.clone())
    };
    if let Some(alone) = question.alone
        && random.chance(500)
    {
        return text(word(alone));
    }
    let most = if random.chance(300) { 2 } else { 1 };
    let mut chosen: Vec<usize> = (0..most)
        .map(|_| random.below(question.choices.len()))
        .collect();
    chosen.retain(|at| Some(*at) != question.alone);
    chosen.sort_unstable();
    chosen.dedup();
    if chosen.is_empty() {
        chosen.extend((0..question.choices.len()).find(|at| Some(*at) != question.alone));
    }
    let words: Vec<String> = chosen.into_iter().map(word).collect();
    if random.chance(500) {
        return text(words.join(", "));
    }
    Node::List(words.into_iter().map(text).collect())
}

/// A number up to a quarter less or more than one that was told.
fn near<'h>(question: &Question, unit: Unit, told: &Node<'h>, random: &mut Random) -> Node<'h> {
    match told.scalar().map(|told| unit.read(&told)) {
        Some(Ok(told)) => number(question, unit, told * random.share(0.75, 1.25), random),
        _ => told.clone(),
    }
}

/// A number as people write it, mostly in the unit of the question.
fn number<'h>(question: &Question, unit: Unit, value: f64, random: &mut Random) -> Node<'h> {
    let value = value.clamp(question.min, question.max);
    let imperial = match unit {
        Unit::Centimetres => Some((2.54, "in")),
        Unit::Millimetres => Some((25.4, "in")),
        Unit::Grams => Some((28.349_523_125, "oz")),
        _ => None,
    };
    if let Some((size, label)) = imperial
        && random.chance(200)
    {
        return text(format!("{} {label}", decimal(value / size)));
    }
    // Counts, ages and what is large are told in whole numbers.
    let whole = match unit {
        Unit::Count => true,
        Unit::Years | Unit::Days => value >= 2.0,
        _ => value >= 20.0,
    };
    let rounded = if whole {
        value.round()
    } else {
        (value * 10.0).round() / 10.0
    };
    // The ends of the range may be no whole number.
    let value = rounded.clamp(question.min, question.max);
    if unit == Unit::Count {
        return Node::Int(value as i64);
    }
    if unit.may_be_left_out() && value.fract() == 0.0 && random.chance(300) {
        return Node::Int(value as i64);
    }
    text(format!("{} {}", decimal(value), unit.label()))
}

/// At most one decimal, and none where it is nought.
fn decimal(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}
