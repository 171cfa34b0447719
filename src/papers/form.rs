//! The blank form: a commented YAML file that a person fills in with a text editor.

use serde_json::json;

use crate::questionnaire::{Kind, Questionnaire, Tier};

use super::engine::{Engine, PaperError};

/// A fresh log.
///
/// # Errors
/// When its template fails.
pub fn blank_log(engine: &Engine, questionnaire: &Questionnaire) -> Result<String, PaperError> {
    let text = engine.render(
        "blank-log.yaml",
        &json!({"groups": groups(questionnaire, Tier::Visit)}),
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
    let groups = groups(questionnaire, up_to);
    let text = engine.render(
        "blank.yaml",
        &json!({"groups": groups, "schema": schema, "full": up_to != Tier::Enquiry}),
    )?;
    let mut text = super::tidy(&text);
    text.push('\n');
    Ok(text)
}

/// What the templates of forms see: groups with their questions up to a tier.
pub(super) fn groups(questionnaire: &Questionnaire, up_to: Tier) -> Vec<serde_json::Value> {
    questionnaire
        .groups
        .iter()
        .map(|group| {
            let questions: Vec<_> = group
                .questions
                .iter()
                // A name ties people to bites, so a short form of them needs it as well.
                .filter(|question| question.tier <= up_to || (group.id == "people" && question.id == "name"))
                .map(|question| {
                    json!({
                        "id": question.id,
                        "ask": question.ask,
                        "why": question.why,
                        "help": question.help,
                        "example": question.example,
                        "type": question.kind.word(),
                        "time": question.time,
                        "units": match question.kind { Kind::Number(unit) => unit.fitting(), _ => &[] },
                        "choices": question.choices.iter().map(|c| json!({"id": c.id, "words": c.words})).collect::<Vec<_>>(),
                        "width": question.choices.iter().map(|c| c.id.chars().count()).max().unwrap_or(0),
                        "private": question.private,
                        "asked_when": question.asked_when,
                        "enquiry": question.tier == Tier::Enquiry,
                    })
                })
                .collect();
            json!({
                "id": group.id,
                "title": group.title,
                "about": group.about,
                "repeats": group.repeats,
                "questions": questions,
                "empty": group.questions.iter().all(|q| q.tier > up_to),
            })
        })
        .filter(|group| group["empty"] == false)
        .collect()
}
