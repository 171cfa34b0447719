//! The blank form: a commented YAML file that a person fills in with a text editor.

use serde::Serialize;

use crate::questionnaire::{self, Kind, Questionnaire, Tier};

use super::engine::{Engine, PaperError};

/// A fresh log.
///
/// # Errors
/// When its template fails.
pub fn blank_log(engine: &Engine, questionnaire: &Questionnaire) -> Result<String, PaperError> {
    let text = engine.render(
        "blank-log.yaml",
        &Form {
            groups: groups(questionnaire, Tier::Visit),
            schema: None,
        },
    )?;
    let mut text = super::tidy(&text);
    text.push('\n');
    Ok(text)
}

/// A fresh form with the questions up to a tier.
///
/// # Errors
/// When the form's template fails.
pub fn blank(
    engine: &Engine,
    questionnaire: &Questionnaire,
    up_to: Tier,
    schema: Option<&str>,
) -> Result<String, PaperError> {
    let text = engine.render(
        "blank.yaml",
        &Form {
            groups: groups(questionnaire, up_to),
            schema,
        },
    )?;
    let mut text = super::tidy(&text);
    text.push('\n');
    Ok(text)
}

/// A form as its template sees it.
#[derive(Debug, Serialize)]
struct Form<'q> {
    groups: Vec<Group<'q>>,
    schema: Option<&'q str>,
}

/// A group as the templates of forms see it.
#[derive(Debug, Serialize)]
pub(super) struct Group<'q> {
    id: &'q str,
    title: &'q str,
    about: &'q str,
    repeats: Option<&'q str>,
    questions: Vec<Question<'q>>,
}

/// A question as the templates of forms see it.
#[derive(Debug, Serialize)]
struct Question<'q> {
    id: &'q str,
    ask: &'q str,
    why: &'q str,
    help: Option<&'q str>,
    example: Option<&'q str>,
    r#type: &'static str,
    time: bool,
    units: &'static [&'static str],
    choices: Vec<Choice<'q>>,
    /// How wide the widest choice is, in characters.
    width: usize,
    private: bool,
    asked_when: &'q [(String, String)],
    enquiry: bool,
}

/// A choice as the templates of forms see it.
#[derive(Debug, Serialize)]
struct Choice<'q> {
    id: &'q str,
    words: &'q str,
}

/// What the templates of forms see: groups with their questions up to a tier, without those that have none.
pub(super) fn groups(questionnaire: &Questionnaire, up_to: Tier) -> Vec<Group<'_>> {
    questionnaire
        .groups
        .iter()
        .filter(|group| group.questions.iter().any(|q| q.tier <= up_to))
        .map(|group| Group {
            id: &group.id,
            title: &group.title,
            about: &group.about,
            repeats: group.repeats.as_deref(),
            questions: group
                .questions
                .iter()
                // A name ties people to bites, so a short form of them needs it as well.
                .filter(|q| q.tier <= up_to || (group.id == "people" && q.id == "name"))
                .map(seen)
                .collect(),
        })
        .collect()
}

fn seen(question: &questionnaire::Question) -> Question<'_> {
    let choices = &question.choices;
    let widths = choices.iter().map(|choice| choice.id.chars().count());
    Question {
        id: &question.id,
        ask: &question.ask,
        why: &question.why,
        help: question.help.as_deref(),
        example: question.example.as_deref(),
        r#type: question.kind.word(),
        time: question.time,
        units: match question.kind {
            Kind::Number(unit) => unit.fitting(),
            _ => &[],
        },
        width: widths.max().unwrap_or(0),
        choices: choices
            .iter()
            .map(|choice| Choice {
                id: &choice.id,
                words: &choice.words,
            })
            .collect(),
        private: question.private,
        asked_when: &question.asked_when,
        enquiry: question.tier == Tier::Enquiry,
    }
}
