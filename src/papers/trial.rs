//! What one rule or gate would do over some cases, for the consultant who writes it: text and JSON.

use serde_json::{Value, json};

use crate::intake::Intake;
use crate::language::Truth;
use crate::trial::{Case, Laid, Trial, What};

use super::engine::{Engine, PaperError};
use super::reason::explain;

/// A case with what it is called.
#[derive(Debug)]
pub struct Tried<'a> {
    /// What the person called it.
    pub name: &'a str,
    /// The form.
    pub intake: &'a Intake,
    /// What the rule does in it.
    pub case: Case,
}

/// How the examples of the rule itself did.
#[derive(Debug, Clone, Copy)]
pub struct Examples {
    /// How many there are.
    pub run: usize,
    /// How many do not show what they say.
    pub failed: usize,
}

/// What was done, as JSON and as text.
///
/// # Errors
/// When a template does not fit.
pub fn trial(
    engine: &Engine,
    trial: &Trial<'_>,
    laid: Laid,
    examples: Examples,
    tried: &[Tried<'_>],
    unread: usize,
) -> Result<(Value, String), PaperError> {
    let mut cases = Vec::new();
    for one in tried {
        cases.push(case(engine, trial, one)?);
    }
    let count = |truth: Truth| tried.iter().filter(|one| one.case.truth == truth).count();
    let value = json!({
        "id": trial.id,
        "kind": match trial.what { What::Rule => "rule", What::Gate => "gate" },
        "laid": match laid { Laid::Added => "added", Laid::Replaced => "replaced", Laid::There => "there" },
        "examples": {"run": examples.run, "failed": examples.failed},
        "cases": cases,
        "summary": {
            "of": tried.len(), "fires": count(Truth::True), "quiet": count(Truth::False), "blank": count(Truth::Blank),
            "changes": tried.iter().filter(|one| one.case.changes()).count(), "unread": unread,
        },
    });
    let text = engine.render("trial.txt", &json!({ "it": value }))?;
    let mut text = super::tidy(&text);
    text.push('\n');
    Ok((value, text))
}

fn case(engine: &Engine, trial: &Trial<'_>, one: &Tried<'_>) -> Result<Value, PaperError> {
    let (intake, case) = (one.intake, &one.case);
    let explained = explain(engine, trial.after, intake, &case.after, Some(trial.id))?;
    let people: Vec<Value> = case
        .people
        .iter()
        .map(|(person, truth)| json!({"person": person, "truth": truth}))
        .collect();
    let titled = |id: &str| {
        trial
            .after
            .measures
            .get(id)
            .map(|measure| measure.title.as_str())
    };
    let measures: Vec<Value> = case
        .landed
        .iter()
        .map(|landed| {
            let mut value = json!(landed);
            value["title"] = json!(titled(&landed.measure));
            value["never"] = json!(
                trial
                    .after
                    .measures
                    .get(&landed.measure)
                    .is_some_and(|measure| measure.is_never())
            );
            value
        })
        .collect();
    Ok(json!({
        "case": one.name,
        "truth": case.truth,
        "people": people,
        "waits-for": case.waits_for,
        "why": explained.map(|(value, _)| value),
        "outcomes": case.moved,
        "measures": measures,
        "referrals": case.referred,
        "changes": case.changes(),
    }))
}
