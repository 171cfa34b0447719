//! The template engine: strict, bounded, and escaping by what kind of file a template makes.

use std::sync::Arc;

use jiff::civil::Date;
use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Serde, ValueKind};
use minijinja::{AutoEscape, Environment, Error, ErrorKind, State, UndefinedBehavior, Value};
use serde::Serialize;

use crate::house::{House, Voiced};
use crate::templates::Templates;
use crate::tongue::Tongue;
use crate::wording::{self, OWN, Practice, Spelling, Units, Voice};

use super::{markdown, note};

/// The kind of escaping of a Markdown template.
const MARKDOWN: &str = "markdown";

/// How many steps one template may take; far above what the largest plan needs.
const FUEL: u64 = 5_000_000;

/// A paper that could not be made.
#[derive(Debug, thiserror::Error)]
#[error("the template {template} does not fit: {source}")]
pub struct PaperError {
    /// Which template.
    pub template: String,
    /// What the engine says.
    pub source: Error,
}

/// All templates.
#[derive(Debug)]
pub struct Engine {
    environment: Environment<'static>,
    templates: Arc<Templates>,
    /// The language of its papers.
    pub tongue: Tongue,
    /// The units of its papers.
    pub units: Units,
}

impl Default for Engine {
    fn default() -> Self {
        Self::embedded()
    }
}

impl Engine {
    /// The templates inside the program, in the rulebook's own language and for no practice in particular.
    #[must_use]
    pub fn embedded() -> Self {
        Self::of(
            Templates::embedded(),
            &Practice::unnamed().voice(OWN),
            Tongue::own(),
            &Practice::unnamed(),
            Box::new(str::to_owned),
        )
    }

    /// The templates of a house, in the voice of one of its rulebooks.
    #[must_use]
    pub fn speaking(house: &House, voiced: &Voiced) -> Self {
        Self::of(
            house.templates.clone(),
            &voiced.voice,
            voiced.rulebook.tongue.clone(),
            &house.practice,
            wording::spelt(&house.library, &voiced.voice),
        )
    }

    /// Templates that speak in one voice. A template of another language than the rulebook's own lies in a folder of its name;
    /// where there is none, the own one is filled.
    #[must_use]
    pub fn of(
        templates: Templates,
        voice: &Voice,
        tongue: Tongue,
        practice: &Practice,
        spelt: Box<dyn Fn(&str) -> String + Send + Sync>,
    ) -> Self {
        let templates = Arc::new(templates);
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_fuel(Some(FUEL));
        if let Ok(syntax) = SyntaxConfig::builder()
            .trim_blocks(true)
            .lstrip_blocks(true)
            .build()
        {
            environment.set_syntax(syntax);
        }
        environment.set_auto_escape_callback(|name| match name.rsplit('.').next() {
            Some("md") => AutoEscape::Custom(MARKDOWN.into()),
            Some("html" | "svg") => AutoEscape::Html,
            _ => AutoEscape::None,
        });
        environment.set_formatter(format);
        environment.add_filter("yaml", |text: String| crate::yaml::quoted(&text));
        environment.add_filter("css", |text: String| Value::from_safe_string(css(&text)));
        environment.add_filter("comment", comment);
        environment.add_filter("note", |text: String| {
            Value::from_safe_string(note::quoted(&text))
        });
        environment.add_global("practice", Value::from(Serde(practice)));
        environment.add_global("language", Value::from(Serde(&tongue)));
        let words = Arc::new(tongue.clone());
        environment.add_filter("num", {
            let words = Arc::clone(&words);
            // Drawings and styles have numbers of their own, with a point.
            move |state: &State<'_, '_>, value: f64, decimals: usize| {
                let text = num(value, decimals);
                if state.name().ends_with(".md") || state.name().starts_with("figures.yaml") {
                    text.replace('.', words.word("decimal"))
                } else {
                    text
                }
            }
        });
        environment.add_filter("span", {
            let words = Arc::clone(&words);
            move |value: &Value, decimals: usize| span(&words, value, decimals)
        });
        let (units, english) = (voice.units, voice.spelling == Spelling::British);
        environment.add_filter("day", {
            let words = Arc::clone(&words);
            move |text: String| match text.parse::<Date>() {
                Ok(day) => words.day(day),
                Err(_) => text,
            }
        });
        for unit in ["m", "cm", "mm", "g"] {
            let words = Arc::clone(&words);
            environment.add_filter(unit, move |value: f64, decimals: Option<usize>| {
                let number = num(value, decimals.unwrap_or(0));
                // Units are looked for in the number as it is written in English.
                let text = units.applied(&format!("{number} {unit}"));
                text.replace('.', words.word("decimal"))
            });
        }
        environment.set_loader({
            let templates = Arc::clone(&templates);
            let language = voice.language.clone();
            move |name| {
                if language != OWN
                    && let Some(text) = templates.get(&format!("{language}/{name}"))
                {
                    return Ok(Some(text.to_owned()));
                }
                Ok(templates.get(name).map(|text| {
                    let markup = name.ends_with(".css") || name.ends_with(".js");
                    if english || markup {
                        text.to_owned()
                    } else {
                        spelt(text)
                    }
                }))
            }
        });
        Self {
            environment,
            templates,
            tongue,
            units: voice.units,
        }
    }

    /// The parts of a paper, in the order of their names. A name that starts with `_` is a helper.
    #[must_use]
    pub fn parts(&self, paper: &str) -> Vec<String> {
        let mut parts: Vec<String> = self
            .templates
            .within(paper)
            .into_iter()
            .filter(|path| path.ends_with(".md") && !path.contains("/_"))
            .collect();
        parts.sort();
        parts
    }

    /// True when a template is written in the language of this engine.
    #[must_use]
    pub fn speaks(&self, template: &str) -> bool {
        let language = &self.tongue.id;
        language == OWN
            || self
                .templates
                .get(&format!("{language}/{template}"))
                .is_some()
    }

    /// Fills a template that is given as text, for plain text. `name` is what a mistake calls it.
    ///
    /// # Errors
    /// When it cannot be read, uses a name that is not there, or takes too many steps.
    pub fn render_text(
        &self,
        name: &str,
        text: &str,
        context: &impl Serialize,
    ) -> Result<String, PaperError> {
        self.environment
            .template_from_named_str(name, text)
            .and_then(|found| found.render(Value::from(Serde(context))))
            .map_err(|source| PaperError {
                template: name.to_owned(),
                source,
            })
    }

    /// Fills a template.
    ///
    /// # Errors
    /// When the template is missing, uses a name that is not there, or takes too many steps.
    pub fn render(&self, template: &str, context: &impl Serialize) -> Result<String, PaperError> {
        self.environment
            .get_template(template)
            .and_then(|found| found.render(Value::from(Serde(context))))
            .map_err(|source| PaperError {
                template: template.to_owned(),
                source,
            })
    }
}

/// A number with at most so many decimals, and none that say nothing: 12.50 is 12.5.
fn num(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" { "0" } else { text }.to_owned()
}

/// A range as people say it: one number where both ends print alike.
fn span(words: &Tongue, value: &Value, decimals: usize) -> Result<String, Error> {
    let end = |name: &str| -> Result<String, Error> {
        let end = f64::try_from(value.get_attr(name)?)?;
        Ok(num(end, decimals).replace('.', words.word("decimal")))
    };
    let (low, high) = (end("low")?, end("high")?);
    Ok(if low == high {
        low
    } else {
        words
            .word("range")
            .replace("{low}", &low)
            .replace("{high}", &high)
    })
}

/// Writes a value: text is escaped for the kind of paper; a name that is not there is an error.
fn format(
    out: &mut minijinja::Output<'_>,
    state: &mut State<'_, '_>,
    value: &Value,
) -> Result<(), Error> {
    let markdown = matches!(state.auto_escape(), AutoEscape::Custom(kind) if kind == MARKDOWN);
    if !markdown || value.is_safe() {
        return minijinja::escape_formatter(out, state, value);
    }
    match value.kind() {
        ValueKind::Undefined => Err(Error::from(ErrorKind::UndefinedError)),
        ValueKind::None => Ok(()),
        ValueKind::String => {
            Ok(out.write_str(&markdown::escape(value.as_str().unwrap_or_default()))?)
        }
        _ => Ok(write!(out, "{value}")?),
    }
}

/// Text inside a CSS string: every sign but letters and digits is written as its number (CSS Syntax, section 4.3.7), so that
/// nothing in it can end the string or the sheet.
fn css(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_string()
            } else {
                format!("\\{:x} ", u32::from(c))
            }
        })
        .collect()
}

/// Text as comment lines of a YAML file: wrapped, each line behind `# ` after the given indent.
fn comment(text: &str, indent: Option<usize>) -> String {
    let pad = " ".repeat(indent.unwrap_or(0));
    let width = 100_usize.saturating_sub(pad.len());
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + word.chars().count() + 1 > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    lines
        .iter()
        .map(|line| format!("{pad}# {line}"))
        .collect::<Vec<_>>()
        .join("\n")
}
