//! A comparison on paper and on screen. The words stand in `templates/compare/`.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::mistake::printable;
use crate::papers::engine::{Engine, PaperError};
use crate::papers::tidy;

use super::case::{CaseChange, LineChange};
use super::item::{Detail, Item, What};
use super::pair::Pair;
use super::report::Report;
use super::rules::Difference;
use super::side::Side;
use super::way::Way;

/// In which form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Form {
    /// For a terminal.
    Text,
    /// A Markdown page, for a meeting.
    Md,
    /// JSON.
    Json,
}

impl Form {
    /// By the ending of a file's name; text for any other.
    #[must_use]
    pub fn of_ending(ending: Option<&str>) -> Self {
        match ending {
            Some("md") => Self::Md,
            Some("json") => Self::Json,
            _ => Self::Text,
        }
    }
}

/// Why a page could not be written.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// Where it goes takes no more.
    #[error(transparent)]
    Io(#[from] io::Error),
    /// A template does not fit.
    #[error(transparent)]
    Paper(#[from] PaperError),
}

/// Writes a comparison of two sets of rules, case by case.
///
/// # Errors
/// When its reader takes no more, or a template does not fit.
pub fn write(
    report: &Report,
    sides: (&Side, &Side),
    engine: &Engine,
    form: Form,
    out: &mut dyn Write,
) -> Result<(), PageError> {
    if form == Form::Json {
        serde_json::to_writer_pretty(&mut *out, report).map_err(io::Error::from)?;
        return Ok(out.write_all(b"\n")?);
    }
    let mut around = json!(report);
    around["rules"] = difference(&report.rules, sides);
    if let Some(cases) = around.get_mut("cases").and_then(Value::as_object_mut) {
        // Each case is filled in alone, so that many take no more memory than few.
        cases.remove("touched");
    }
    put("head", &around, engine, form, out)?;
    for case in report.cases.iter().flat_map(|cases| &cases.touched) {
        put(
            "case",
            &json!({ "case": case_view(case) }),
            engine,
            form,
            out,
        )?;
    }
    put("foot", &around, engine, form, out)
}

/// What a practice's layer changes in the rulebook below it, as text; nothing where it changes nothing.
///
/// # Errors
/// When a template does not fit.
pub fn layer(
    rules: &Difference,
    sides: (&Side, &Side),
    engine: &Engine,
) -> Result<String, PaperError> {
    if rules.is_empty() && rules.departures.is_empty() {
        return Ok(String::new());
    }
    let context = json!({ "rules": difference(rules, sides) });
    filled("layer", &context, engine, Form::Text)
}

/// Writes two cases side by side.
///
/// # Errors
/// When a template does not fit.
pub fn pair(pair: &Pair, engine: &Engine, form: Form) -> Result<String, PaperError> {
    match form {
        Form::Json => Ok(format!("{:#}\n", json!(pair))),
        _ => filled("pair", &json!({ "it": pair }), engine, form),
    }
}

fn put(
    name: &str,
    context: &Value,
    engine: &Engine,
    form: Form,
    out: &mut dyn Write,
) -> Result<(), PageError> {
    let text = filled(name, context, engine, form)?;
    if !text.is_empty() {
        if name != "head" {
            out.write_all(b"\n")?;
        }
        out.write_all(text.as_bytes())?;
    }
    Ok(())
}

fn filled(name: &str, context: &Value, engine: &Engine, form: Form) -> Result<String, PaperError> {
    let text = if form == Form::Text {
        engine.render(&format!("compare/{name}.txt"), &plain(context.clone()))?
    } else {
        engine.render(&format!("compare/{name}.md"), context)?
    };
    let mut text = tidy(&text);
    if !text.is_empty() {
        text.push('\n');
    }
    Ok(text)
}

/// The same with every text such that it cannot steer a terminal.
fn plain(value: Value) -> Value {
    match value {
        Value::String(text) => Value::String(printable(&text)),
        Value::Array(list) => Value::Array(list.into_iter().map(plain).collect()),
        Value::Object(map) => map.into_iter().map(|(key, it)| (key, plain(it))).collect(),
        other => other,
    }
}

/// The difference of two sets of rules, the looser apart from the tighter and from the rest.
fn difference(rules: &Difference, sides: (&Side, &Side)) -> Value {
    let looser = part(rules, sides, &|it| it.loosens());
    let tighter = part(rules, sides, &|it| it == Way::Tightened);
    let other = part(rules, sides, &|it| it == Way::Neither);
    let of_kind = |kind: &str| -> Vec<Value> {
        let items = rules.items.iter().filter(|item| item.kind == kind);
        items
            .map(|item| json!({"id": item.id, "what": item.what}))
            .collect()
    };
    json!({
        "way": rules.way,
        "newer": rules.newer,
        "written": rules.written,
        "empty": rules.is_empty(),
        "looser": looser,
        "tighter": tighter,
        "other": other,
        "files": of_kind("file"),
        "templates": of_kind("template"),
        "departures": rules.departures,
    })
}

/// What of the difference goes one way. What was added or removed is told once and whole; what changed is told part by part.
fn part(rules: &Difference, sides: (&Side, &Side), wanted: &dyn Fn(Way) -> bool) -> Vec<Value> {
    let items = rules.items.iter();
    items
        // Texts of files and templates are no reading for a meeting: their names are told.
        .filter(|item| item.kind != "file" && item.kind != "template")
        .filter_map(|item| {
            let details: Vec<&Detail> = if item.what == What::Changed {
                let details = item.details.iter();
                details.filter(|detail| wanted(detail.way)).collect()
            } else if wanted(item.way) {
                item.details.iter().collect()
            } else {
                return None;
            };
            if details.is_empty() && item.what == What::Changed {
                return None;
            }
            Some(item_view(item, &details, sides))
        })
        .collect()
}

fn item_view(item: &Item, details: &[&Detail], sides: (&Side, &Side)) -> Value {
    let details: Vec<Value> = details
        .iter()
        .map(|detail| {
            let (before, after) = match detail.part.as_str() {
                "when" | "needs" => shortened(detail),
                _ => (detail.before.clone(), detail.after.clone()),
            };
            json!({
                "part": detail.part,
                "before": before,
                "after": after,
                "before-name": named(&detail.part, detail.before.as_deref(), sides.0),
                "after-name": named(&detail.part, detail.after.as_deref(), sides.1),
                "either": detail.way == Way::Either,
            })
        })
        .collect();
    json!({
        "kind": item.kind,
        "id": item.id,
        "title": item.title,
        "what": item.what,
        "practice": item.practice,
        "details": details,
    })
}

/// The title of a measure or referral that a rule asks for.
fn named(part: &str, id: Option<&str>, side: &Side) -> Option<String> {
    let id = id?;
    let book = &side.rulebook;
    match part {
        "do" | "never" | "covers" | "comes-before" | "rules-out" => {
            book.measures.get(id).map(|it| it.title.clone())
        }
        "refer" => book.tables.referrals.get(id).map(|it| it.title.clone()),
        _ => None,
    }
}

/// Of a condition that changed, the lines that differ; the whole of one that was added or removed.
fn shortened(detail: &Detail) -> (Option<String>, Option<String>) {
    let joined = |lines: Vec<&str>| {
        let lines: Vec<&str> = lines.into_iter().map(str::trim).collect();
        // What ends in a colon opens what follows it.
        (!lines.is_empty()).then(|| lines.join("; ").replace(":; ", ": "))
    };
    let all = |it: &Option<String>| joined(it.as_deref().unwrap_or_default().lines().collect());
    let (Some(before), Some(after)) = (&detail.before, &detail.after) else {
        return (all(&detail.before), all(&detail.after));
    };
    let only = |these: &str, those: &str| {
        let differ = these
            .lines()
            .filter(|line| !those.lines().any(|it| it == *line));
        joined(differ.collect())
    };
    let (short, short_0) = (only(before, after), only(after, before));
    if short.is_none() && short_0.is_none() {
        return (all(&detail.before), all(&detail.after));
    }
    (short, short_0)
}

/// A case, its lines apart by the way they went.
fn case_view(case: &CaseChange) -> Value {
    let lines = |wanted: &dyn Fn(Way) -> bool| -> Vec<&LineChange> {
        case.lines.iter().filter(|line| wanted(line.way)).collect()
    };
    json!({
        "case": case.case,
        "place": case.place,
        "way": case.way,
        "outcomes": case.outcomes,
        "looser": lines(&|it| it.loosens()),
        "tighter": lines(&|it| it == Way::Tightened),
        "other": lines(&|it| it == Way::Neither),
    })
}
