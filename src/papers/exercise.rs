//! The papers of a blind exercise: the case and the sheet that are handed out, and the page for the meeting.

use serde_json::{Value, json};

use crate::exercise::{Exercise, Item, Part, Scored};
use crate::mistake::printable;
use crate::rulebook::Rulebook;

use super::engine::{Engine, PaperError};
use super::{Paper, reason};

/// The case as it is handed out.
const CASE: &str = "exercise-case";
/// The page for the meeting.
const MEETING: &str = "exercise-meeting";
/// Answers open in the form that the rulebook would ask first, as many as are told.
const ASK_FIRST: usize = 3;
/// Rules told for one item; the rest are counted.
const MOST_RULES: usize = 4;

/// What a page asks of a plan, where there is none.
fn no_plan() -> Value {
    json!({ "draft": false, "reference": null, "large-print": false })
}

/// The case that is handed out: what the form told and nothing else, as Markdown and as one HTML page.
///
/// # Errors
/// When a template does not fit.
pub fn case(engine: &Engine, exercise: &Exercise) -> Result<(String, String), PaperError> {
    let mut told = exercise.plan.told.clone();
    // The consultant's notes are what a colleague made of the case already.
    told.remove("notes");
    let groups: Vec<_> = exercise
        .plan
        .groups
        .iter()
        .filter(|group| told.contains_key(&group.id))
        .collect();
    let context = json!({
        "exercise": exercise.id,
        "today": exercise.case.today.to_string(),
        "groups": groups,
        "told": told,
    });
    let mut paper = Paper::filled(engine, &context, CASE, &[])?;
    paper.notice = Some(engine.tongue.word("redacted-paper").to_owned());
    Ok((paper.markdown(), paper.html(engine, &no_plan())?))
}

/// The sheet to fill in, as commented YAML.
///
/// # Errors
/// When the template does not fit.
pub fn sheet(
    engine: &Engine,
    rulebook: &Rulebook,
    exercise: &Exercise,
) -> Result<String, PaperError> {
    let part = |part: Part| -> Vec<Value> {
        exercise
            .of_part(part)
            .map(|item| json!({"id": item.id, "title": item.title, "says": item.says, "words": item.words}))
            .collect()
    };
    let context = json!({
        "exercise": exercise.id,
        "today": exercise.case.today.to_string(),
        "rulebook": crate::fingerprint::short(&rulebook.fingerprint),
        "outcomes": part(Part::Outcomes),
        "refer": part(Part::Refer),
        "measures": part(Part::Measures),
    });
    let mut text = engine.render("exercise-answers.yaml", &context)?;
    text.push('\n');
    Ok(text)
}

/// What was found, with the rules behind each item on which people and rulebook part.
#[must_use]
pub fn value(rulebook: &Rulebook, exercises: &[Exercise], scored: &Scored) -> Value {
    let mut value = json!(scored);
    for (at, (exercise, case)) in exercises.iter().zip(&scored.cases).enumerate() {
        for (place, (item, told)) in exercise.items.iter().zip(&case.items).enumerate() {
            let because = if told.is_split() || told.pairs_alike.is_some_and(|it| it < 1.0) {
                because(rulebook, exercise, item)
            } else {
                Value::Null
            };
            value["cases"][at]["items"][place]["because"] = because;
        }
        let ask: Vec<Value> = reason::named(
            rulebook,
            &exercise.case.intake,
            &exercise.decision,
            "blanks",
        )
        .and_then(|blanks| blanks["blanks"].as_array().cloned())
        .unwrap_or_default()
        .into_iter()
        .take(ASK_FIRST)
        .map(|blank| json!({"question": blank["question"], "ask": blank["ask"]}))
        .collect();
        value["cases"][at]["rulebook-asks-first"] = json!(ask);
    }
    value
}

/// The rules that speak for the rulebook's answer to an item; where none does, those that would ask for it and stay quiet.
fn because(rulebook: &Rulebook, exercise: &Exercise, item: &Item) -> Value {
    let (intake, decision) = (&exercise.case.intake, &exercise.decision);
    let named = |name: &str| reason::named(rulebook, intake, decision, name).unwrap_or_default();
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let mut gates = Vec::new();
    let (speaks, quiet) = match item.part {
        Part::Outcomes => {
            let outcome = named(&item.id);
            let mut rules = list(&outcome["known-because"]);
            if outcome["known"] != outcome["until-answered"] || rules.is_empty() {
                rules = list(&outcome["until-answered-because"]);
                rules.extend(list(&outcome["known-because"]));
            }
            gates = list(&outcome["gates"])
                .into_iter()
                .filter(|gate| gate["truth"] != "true")
                .map(|gate| {
                    let open: Vec<Value> = list(&gate["needs"])
                        .iter()
                        .filter(|need| need["truth"] != "true")
                        .map(|need| need["prove"].clone())
                        .collect();
                    json!({"gate": gate["gate"], "opens": gate["opens"], "title": gate["title"], "not-proven": open})
                })
                .collect();
            (rules, Vec::new())
        }
        Part::Refer => {
            let landing = decision
                .referrals
                .iter()
                .find(|landing| landing.referral == item.id);
            let asks = |at: &usize| rulebook.rules[*at].then.refer.contains(&item.id);
            let told = |at: usize| named(&rulebook.rules[at].id);
            match landing {
                Some(landing) => (
                    landing.rules.iter().map(|at| told(*at)).collect(),
                    Vec::new(),
                ),
                None => {
                    let quiet = (0..rulebook.rules.len()).filter(asks).map(told);
                    (Vec::new(), quiet.collect())
                }
            }
        }
        Part::Measures => {
            let measure = named(&item.id);
            let speaks = list(&measure["landings"])
                .iter()
                .flat_map(|landing| list(&landing["rules"]))
                .collect();
            (speaks, list(&measure["quiet-rules"]))
        }
    };
    let (speaks, more_speak) = rules(&speaks);
    let (quiet, more_quiet) = rules(&quiet);
    json!({ "speaks": speaks, "quiet": quiet, "more": more_speak + more_quiet, "gates": gates })
}

/// The first few rules, each told once, with what a meeting needs of them, and how many more there are.
fn rules(all: &[Value]) -> (Vec<Value>, usize) {
    let mut told: Vec<Value> = Vec::new();
    for rule in all {
        if told.iter().any(|other| other["rule"] == rule["rule"]) {
            continue;
        }
        let facts: Vec<Value> = rule["facts"]
            .as_array()
            .into_iter()
            .flatten()
            .map(|fact| {
                json!({
                    "fact": fact["fact"], "person": fact["person"], "value": fact["value"], "asked": fact["asked"], "phrase": fact["phrase"],
                })
            })
            .collect();
        told.push(json!({
            "rule": rule["rule"], "title": rule["title"], "why": rule["why"], "counts": rule["counts"], "facts": facts,
            "unanswered": rule["unanswered"],
        }));
    }
    let more = told.len().saturating_sub(MOST_RULES);
    told.truncate(MOST_RULES);
    (told, more)
}

/// The page for the meeting.
///
/// # Errors
/// When a template does not fit.
pub fn meeting(engine: &Engine, value: &Value) -> Result<Meeting, PaperError> {
    let context = json!({ "it": value });
    Ok(Meeting {
        paper: Paper::filled(engine, &context, MEETING, &[])?,
    })
}

/// The page for the meeting, in one form or another.
#[derive(Debug)]
pub struct Meeting {
    paper: Paper,
}

impl Meeting {
    /// As Markdown.
    #[must_use]
    pub fn markdown(&self) -> String {
        self.paper.markdown()
    }

    /// As one HTML page.
    ///
    /// # Errors
    /// When the page template fails.
    pub fn html(&self, engine: &Engine) -> Result<String, PaperError> {
        self.paper.html(engine, &no_plan())
    }
}

/// What was found in short, for the terminal.
///
/// # Errors
/// When the template does not fit.
pub fn text(engine: &Engine, value: &Value) -> Result<String, PaperError> {
    let mut value = value.clone();
    shown_safely(&mut value);
    let text = engine.render("exercise.txt", &json!({ "it": value }))?;
    let mut text = super::tidy(&text);
    text.push('\n');
    Ok(text)
}

/// Signs that would steer a terminal are shown as a replacement sign.
fn shown_safely(value: &mut Value) {
    match value {
        Value::String(text) => *text = printable(text),
        Value::Array(items) => items.iter_mut().for_each(shown_safely),
        Value::Object(entries) => entries.values_mut().for_each(shown_safely),
        _ => {}
    }
}
