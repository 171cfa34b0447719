//! One home turned into another: other names, some answers gone, some changed, a few people and bites more or less.

use std::borrow::Cow;

use jiff::civil::Date;
use perchside::names;
use perchside::questionnaire::{Identifies, Kind, Questionnaire};
use perchside::tree::Node;

use super::form::{Block, Form, set};
use super::pool::{Pool, text};
use super::random::Random;

/// The longest list that a form comes to.
const MOST_BLOCKS: usize = 8;

/// How far a form goes from its home: so many answers in a thousand.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Much {
    /// Left out.
    pub(crate) blank: usize,
    /// Answered with "unknown".
    pub(crate) unknown: usize,
    /// Answered in another way.
    pub(crate) changed: usize,
    /// Lists with a block more or less.
    pub(crate) blocks: usize,
}

/// What a form is varied by.
pub(crate) struct Vary<'v, 'h> {
    pub(crate) questionnaire: &'v Questionnaire,
    pub(crate) pool: &'v Pool<'h>,
    pub(crate) day: Date,
    pub(crate) random: &'v mut Random,
}

impl<'h> Vary<'_, 'h> {
    /// The form of another home.
    pub(crate) fn form(&mut self, form: &mut Form<'h>, much: Much) {
        self.lists(form, much);
        self.answers(form, much);
        self.rename(form);
        self.name_again(form);
    }

    fn lists(&mut self, form: &mut Form<'h>, much: Much) {
        for (group, about) in self.questionnaire.groups.iter().enumerate() {
            if about.repeats.is_none() || !self.random.chance(much.blocks) {
                continue;
            }
            let more = self.random.chance(500);
            let new = self.pool.block(group, self.random).cloned();
            let Some(Some(list)) = form.groups.get_mut(group) else {
                continue;
            };
            if more
                && list.len() < MOST_BLOCKS
                && let Some(new) = new
            {
                let at = self.random.below(list.len() + 1);
                list.insert(at, new);
            } else if list.len() > 1 {
                list.remove(self.random.below(list.len()));
            }
        }
    }

    /// Takes answers away, changes some, and gives a few that were not given.
    pub(crate) fn answers(&mut self, form: &mut Form<'h>, much: Much) {
        for (group, about) in self.questionnaire.groups.iter().enumerate() {
            let repeats = about.repeats.is_some();
            let blocks = match form.groups.get_mut(group) {
                Some(blocks @ None) if !repeats => blocks.insert(vec![Block::new()]),
                Some(Some(blocks)) => blocks,
                _ => continue,
            };
            for block in blocks.iter_mut() {
                for (at, question) in about.questions.iter().enumerate() {
                    let is_told = block.iter().any(|(told, _)| *told == at);
                    let names_someone =
                        question.kind == Kind::Text && question.identifies.is_some();
                    let change = self.random.chance(if is_told {
                        much.changed
                    } else {
                        much.changed / 4
                    });
                    if change && !names_someone {
                        let new = self
                            .pool
                            .fitting((group, at), question, self.day, self.random);
                        set(block, at, Some(new));
                    } else if is_told && !is_name(self.questionnaire, group, at) {
                        let (blank, unknown) = (
                            self.random.chance(much.blank),
                            self.random.chance(much.unknown),
                        );
                        if blank || unknown {
                            set(block, at, unknown.then(|| text("unknown")));
                        }
                    }
                }
            }
        }
        form.retain(|_, _, _| true);
    }

    /// Other names for people and bird, wherever they stand.
    fn rename(&mut self, form: &mut Form<'h>) {
        let mut known: Vec<(Cow<'h, str>, Cow<'h, str>)> = Vec::new();
        for group in 0..form.groups.len() {
            for (question, node) in form.blocks(group).iter().flatten() {
                let names = match self.questionnaire.groups[group].questions[*question].identifies {
                    Some(Identifies::Bird) => &self.pool.birds,
                    Some(Identifies::Person) if is_name(self.questionnaire, group, *question) => {
                        &self.pool.people
                    }
                    _ => continue,
                };
                let Node::Text(name) = node else { continue };
                if known.iter().any(|(old, _)| old == name) {
                    continue;
                }
                let from = self.random.below(names.len());
                let free = names
                    .iter()
                    .cycle()
                    .skip(from)
                    .take(names.len())
                    .find(|free| {
                        let free = free.to_lowercase();
                        known.iter().all(|(_, new)| new.to_lowercase() != free)
                    });
                known.push((name.clone(), free.unwrap_or(name).clone()));
            }
        }
        let questionnaire = self.questionnaire;
        form.each_mut(|group, question, node| {
            let Node::Text(told) = node else { return };
            if questionnaire.groups[group].questions[question].kind != Kind::Text {
                return;
            }
            if let Some((_, new)) = known.iter().find(|(old, _)| old == told) {
                *told = new.clone();
                return;
            }
            // Within a sentence all names go at once, so that a new name is not taken for an old one.
            let mut found: Vec<(usize, usize, &str)> = Vec::new();
            for (old, new) in &known {
                if told.contains(old.as_ref()) {
                    found.extend(
                        names::places(told, old)
                            .into_iter()
                            .map(|(from, to)| (from, to, new.as_ref())),
                    );
                }
            }
            found.sort_unstable_by(|a, b| b.cmp(a));
            let mut end = told.len();
            for (from, to, new) in found {
                if to <= end {
                    told.to_mut().replace_range(from..to, new);
                    end = from;
                }
            }
        });
    }

    /// After blocks came and went: no two people of one name, and everybody who is named elsewhere is among them.
    fn name_again(&mut self, form: &mut Form<'h>) {
        let mut people: Vec<Cow<'h, str>> = Vec::new();
        let pool = self.pool;
        let questionnaire = self.questionnaire;
        let random = &mut *self.random;
        form.each_mut(|group, question, node| {
            if !is_name(questionnaire, group, question) {
                return;
            }
            let Node::Text(name) = node else { return };
            if people.contains(name) {
                let from = random.below(pool.people.len());
                let names = pool
                    .people
                    .iter()
                    .cycle()
                    .skip(from)
                    .take(pool.people.len());
                if let Some(free) = names.into_iter().find(|free| !people.contains(free)) {
                    *name = free.clone();
                }
            }
            people.push(name.clone());
        });
        form.each_mut(|group, question, node| {
            let about = &questionnaire.groups[group].questions[question];
            // A block that someone of the list is named in: in a list of its own, under a question of that name.
            if about.identifies != Some(Identifies::Person) || about.id != "person" {
                return;
            }
            let Node::Text(name) = node else { return };
            if !people.contains(name)
                && let Some(other) = random.pick(&people)
            {
                *name = other.clone();
            }
        });
    }
}

/// True for the question after the name of a person: it ties blocks together and is always kept.
pub(crate) fn is_name(questionnaire: &Questionnaire, group: usize, question: usize) -> bool {
    let group = &questionnaire.groups[group];
    group.id == "people" && group.questions[question].identifies == Some(Identifies::Person)
}
