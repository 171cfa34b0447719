//! What is left of a form in a first message, and forms of a given length.

use perchside::questionnaire::{Questionnaire, Tier};

use super::form::{At, Form};
use super::random::Random;
use super::vary::is_name;
use super::write;

/// How long a first message is as YAML, in bytes.
pub(crate) const ENQUIRY: (usize, usize) = (300, 1200);
/// How long a full form is as YAML, in bytes.
pub(crate) const INTAKE: (usize, usize) = (2000, 4000);

/// Keeps the questions of a first message, as the blank form for one has them: those of the enquiry, and the name that ties a bite to a person.
pub(crate) fn keep(form: &mut Form<'_>, questionnaire: &Questionnaire) {
    form.retain(|group, question, _| {
        is_name(questionnaire, group, question)
            || questionnaire.groups[group].questions[question].tier == Tier::Enquiry
    });
    // Who writes for the first time leaves lists out sooner than to say that there is nothing in them.
    for (group, about) in form.groups.iter_mut().zip(&questionnaire.groups) {
        if about
            .questions
            .iter()
            .all(|question| question.tier != Tier::Enquiry)
        {
            *group = None;
        }
    }
}

/// Takes answers away until the form is no longer than it may be: now and then a whole group, and from long lists a block.
pub(crate) fn shorten(
    form: &mut Form<'_>,
    questionnaire: &Questionnaire,
    most: usize,
    random: &mut Random,
) {
    let mut length = write::yaml(&form.tree(questionnaire)).len();
    while length > most {
        let places: Vec<At> = form
            .places()
            .into_iter()
            .filter(|at| {
                !is_name(
                    questionnaire,
                    at.group,
                    form.blocks(at.group)[at.block][at.place].0,
                )
            })
            .collect();
        let Some(at) = random.pick(&places).copied() else {
            return;
        };
        let blocks = form.blocks(at.group).len();
        if random.chance(60) {
            if blocks > 1 {
                if let Some(Some(list)) = form.groups.get_mut(at.group) {
                    list.remove(at.block);
                }
            } else {
                form.groups[at.group] = None;
            }
            length = write::yaml(&form.tree(questionnaire)).len();
            continue;
        }
        let told = form.at(questionnaire, at);
        length = length
            .saturating_sub(told.map_or(0, |(question, node)| write::line(&question.id, node)));
        form.remove(at);
        if length <= most {
            // The sum leaves out headings that went with their last answer.
            length = write::yaml(&form.tree(questionnaire)).len();
        }
    }
}
