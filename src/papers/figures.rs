//! The figures in words: their templates filled.

use serde::Serialize;
use serde_json::{Value, json};

use crate::plan::{Figure, Input};

use super::engine::{Engine, PaperError};

/// A figure in words.
#[derive(Debug, Clone, Serialize)]
pub struct FigureWords<'a> {
    /// Its id.
    pub id: &'a str,
    /// Its heading.
    pub title: &'a str,
    /// What it is worked out from.
    pub inputs: &'a [Input],
    /// Its results, a line each.
    pub works: Vec<String>,
    /// What is assumed, a line each.
    pub assumes: Vec<String>,
    /// For which values it is valid.
    pub range: &'a str,
    /// Its sources.
    pub sources: &'a [String],
    /// One sentence for the household; empty when there is none, or when it is for the consultant alone.
    pub tell: String,
    /// Its values.
    pub values: &'a serde_json::Value,
}

/// Puts figures into words.
///
/// # Errors
/// When a template does not fit the values.
pub fn words<'a>(
    engine: &Engine,
    figures: &'a [Figure],
) -> Result<Vec<FigureWords<'a>>, PaperError> {
    figures.iter().map(|figure| one(engine, figure)).collect()
}

fn one<'a>(engine: &Engine, figure: &'a Figure) -> Result<FigureWords<'a>, PaperError> {
    let context = json!({ "it": one_line(&figure.values) });
    let lines = |part: &str, text: &str| -> Result<Vec<String>, PaperError> {
        let name = format!("figures.yaml, {}, {part}", figure.id);
        let text = engine.render_text(&name, text, &context)?;
        Ok(text
            .lines()
            .map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "))
            .filter(|line| !line.is_empty())
            .collect())
    };
    Ok(FigureWords {
        id: &figure.id,
        title: &figure.title,
        inputs: &figure.inputs,
        works: lines("works", &figure.works)?,
        assumes: lines("assumes", &figure.assumes)?,
        range: &figure.range,
        sources: &figure.sources,
        tell: if figure.private {
            String::new()
        } else {
            engine
                .units
                .applied(&lines("tell", &figure.tell)?.join(" "))
        },
        values: &figure.values,
    })
}

/// Values whose texts hold no line breaks: a line of a figure stays one line, whatever stands in a form.
fn one_line(value: &Value) -> Value {
    match value {
        Value::String(text) => text.split_whitespace().collect::<Vec<_>>().join(" ").into(),
        Value::Array(items) => items.iter().map(one_line).collect(),
        Value::Object(fields) => fields
            .iter()
            .map(|(name, value)| (name.clone(), one_line(value)))
            .collect(),
        other => other.clone(),
    }
}
