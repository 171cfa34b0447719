//! Papers: templates filled from the plan, Markdown first, then HTML. Every sentence stands in `templates/` or `rules/`.

pub mod catalogue;
pub mod engine;
pub mod figures;
pub mod form;
pub mod html;
pub mod markdown;
pub mod reason;
pub mod schema;
pub mod species;

use serde_json::{Value, json};

use crate::plan::Plan;

use engine::{Engine, PaperError};

/// A paper: its parts in order, as Markdown.
#[derive(Debug, Clone)]
pub struct Paper {
    /// Its name, which is the name of its file.
    pub name: &'static str,
    /// Its heading.
    pub title: String,
    /// Its parts: the name of each and its Markdown.
    pub parts: Vec<(String, String)>,
}

/// The papers there are, by name: the folder of their parts in `templates/`.
pub const PAPERS: &[&str] = &["household", "consultant"];

impl Paper {
    /// A paper by its name.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn of(engine: &Engine, plan: &Plan, name: &'static str) -> Result<Self, PaperError> {
        Self::filled(engine, &context(engine, plan)?, name)
    }

    /// Several papers of one plan, in the order of their names.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn several(
        engine: &Engine,
        plan: &Plan,
        names: &[&'static str],
    ) -> Result<Vec<Self>, PaperError> {
        let context = context(engine, plan)?;
        names
            .iter()
            .map(|name| Self::filled(engine, &context, name))
            .collect()
    }

    fn filled(engine: &Engine, context: &Value, name: &'static str) -> Result<Self, PaperError> {
        let mut parts = Vec::new();
        for part in engine.parts(name) {
            let text = engine.render(&part, context)?;
            let text = tidy(&text);
            if !text.is_empty() {
                let name = part
                    .rsplit('/')
                    .next()
                    .and_then(|file| file.split('.').next())
                    .map_or_else(
                        || part.clone(),
                        |stem| {
                            stem.trim_start_matches(|c: char| c.is_ascii_digit() || c == '-')
                                .to_owned()
                        },
                    );
                parts.push((name, text));
            }
        }
        let title = engine
            .render(&format!("{name}/title.txt"), context)?
            .trim()
            .to_owned();
        Ok(Self { name, title, parts })
    }

    /// The household copy.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn household(engine: &Engine, plan: &Plan) -> Result<Self, PaperError> {
        Self::of(engine, plan, "household")
    }

    /// The whole paper as Markdown.
    #[must_use]
    pub fn markdown(&self) -> String {
        let parts: Vec<&str> = self.parts.iter().map(|(_, text)| text.as_str()).collect();
        let mut out = parts.join("\n\n");
        out.push('\n');
        out
    }

    /// The whole paper as one HTML file.
    ///
    /// # Errors
    /// When the page template fails.
    pub fn html(&self, engine: &Engine, plan: &Plan) -> Result<String, PaperError> {
        let drawing = sketch(engine, plan, false)?;
        let sections: Vec<_> = self
            .parts
            .iter()
            .map(|(name, text)| {
                json!({
                    "name": name,
                    "body": html::fragment(text),
                    "drawing": drawing.as_ref().filter(|_| name == "room"),
                })
            })
            .collect();
        engine.render(
            "page.html",
            &json!({ "title": self.title, "sections": sections, "plan": plan }),
        )
    }
}

/// What templates of papers see: the plan, and its figures in words.
fn context(engine: &Engine, plan: &Plan) -> Result<Value, PaperError> {
    Ok(json!({ "plan": plan, "figures": figures::words(engine, &plan.figures)? }))
}

/// The drawing of the room as SVG, when it was measured: a file of its own, or a part of a page.
///
/// # Errors
/// When the template does not fit.
pub fn sketch(engine: &Engine, plan: &Plan, alone: bool) -> Result<Option<String>, PaperError> {
    plan.sketch
        .as_ref()
        .map(|sketch| engine.render("sketch.svg", &json!({ "it": sketch, "alone": alone })))
        .transpose()
}

/// The plan as JSON.
#[must_use]
pub fn plan_json(plan: &Plan) -> String {
    let mut text = format!("{:#}", json!(plan));
    text.push('\n');
    text
}

/// Takes out the blank lines that template tags leave behind: never more than one in a row, none at the ends.
fn tidy(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut blank = true;
    for line in text.lines() {
        let line = line.trim_end();
        if line.is_empty() {
            if !blank {
                out.push('\n');
            }
            blank = true;
        } else {
            out.push_str(line);
            out.push('\n');
            blank = false;
        }
    }
    out.trim_end().to_owned()
}
