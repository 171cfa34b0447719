//! Forms held against the readers of the program while they are made.

use jiff::civil::Date;
use perchside::answers;
use perchside::facts::{self, Facts, Items, Value};
use perchside::mistake::Problem;
use perchside::rulebook::Rulebook;
use perchside::source::Source;
use perchside::tree::{Path, Places};

use super::form::Form;

/// Reads forms as the program does, on a day.
#[derive(Debug)]
pub(crate) struct Sound<'h> {
    rulebook: &'h Rulebook,
    day: Date,
    /// Faults are counted here, and nobody is told where they stand.
    nowhere: Source,
}

impl<'h> Sound<'h> {
    /// A reader for a day.
    pub(crate) fn new(rulebook: &'h Rulebook, day: Date) -> Self {
        Self {
            rulebook,
            day,
            nowhere: Source::new("form", ""),
        }
    }

    /// Drops answers to questions that were not asked in this case; true when the rest reads without an error.
    pub(crate) fn settle(&self, form: &mut Form<'_>) -> bool {
        let (questionnaire, vocabulary, day) = (
            &self.rulebook.questionnaire,
            &self.rulebook.vocabulary,
            self.day,
        );
        let places = || Places::default();
        let read = |form: &Form<'_>| {
            let tree = form.tree(questionnaire);
            answers::read(
                questionnaire,
                &self.nowhere,
                &tree,
                &Path::default(),
                &places,
                day,
            )
        };
        let (mut told, mut problems) = read(form);
        let facts = Facts::of(questionnaire, vocabulary, &told, day);
        let needless = |group: usize, block: usize, question: usize| {
            let value = match facts.groups.get(group) {
                Some(Items::Once(values)) => values.get(question),
                Some(Items::Many(Some(items))) => {
                    items.get(block).and_then(|values| values.get(question))
                }
                _ => None,
            };
            value == Some(&Value::NotApplicable)
        };
        let mut dropped = false;
        for at in form.places().into_iter().rev() {
            let question = form.blocks(at.group)[at.block][at.place].0;
            if needless(at.group, at.block, question) {
                form.remove(at);
                dropped = true;
            }
        }
        if dropped {
            (told, problems) = read(form);
        }
        problems.extend(answers::check(
            questionnaire,
            &told,
            &self.nowhere,
            &places,
            day,
        ));
        let (facts, workings) = Facts::with_workings(questionnaire, vocabulary, &told, day);
        problems.extend(facts::check(
            questionnaire,
            vocabulary,
            &told,
            (&facts, &workings),
            &self.nowhere,
            &places,
        ));
        !problems.iter().any(Problem::is_error)
    }
}
