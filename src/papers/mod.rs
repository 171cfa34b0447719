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
pub mod web_form;

use serde_json::{Value, json};

use crate::plan::{ListWords, Plan, Progress};

use engine::{Engine, PaperError};

/// A paper: its parts in order, as Markdown, with the drawings that belong to them.
#[derive(Debug, Clone)]
pub struct Paper {
    /// Its name, which is the name of its file.
    pub name: &'static str,
    /// Its heading.
    pub title: String,
    /// Its parts: the name of each and its Markdown.
    pub parts: Vec<(String, String)>,
    /// Drawings, by the part they belong to.
    pub drawings: Vec<(&'static str, String)>,
}

/// A drawing as a file of its own.
#[derive(Debug, Clone)]
pub struct Drawing {
    /// The name of its file, without its ending.
    pub name: String,
    /// The part of a paper it belongs to.
    pub part: &'static str,
    /// The drawing as SVG.
    pub svg: String,
}

/// The papers of a plan, by name: the folder of their parts in `templates/`.
pub const PAPERS: &[&str] = &["household", "practice", "log-sheets", "consultant"];

/// The papers of a review, by name: the household's card and the consultant's page.
pub const REVIEW_PAPERS: &[&str] = &["review", "review-consultant"];

impl Paper {
    /// A paper by its name.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn of(engine: &Engine, plan: &Plan, name: &'static str) -> Result<Self, PaperError> {
        let drawings = drawings(engine, plan, false)?;
        Self::filled(engine, &context(engine, plan)?, name, &drawings)
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
        let drawings = drawings(engine, plan, false)?;
        names
            .iter()
            .map(|name| Self::filled(engine, &context, name, &drawings))
            .collect()
    }

    /// A paper of a review, by its name.
    ///
    /// # Errors
    /// When a template does not fit the review.
    pub fn of_review(
        engine: &Engine,
        plan: &Plan,
        review: &Progress,
        name: &'static str,
    ) -> Result<Self, PaperError> {
        let context = json!({
            "review": review,
            "plan": { "draft": plan.draft, "reference": plan.reference },
        });
        let drawings = charts(engine, review, false)?;
        Self::filled(engine, &context, name, &drawings)
    }

    fn filled(
        engine: &Engine,
        context: &Value,
        name: &'static str,
        drawings: &[Drawing],
    ) -> Result<Self, PaperError> {
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
        Ok(Self {
            name,
            title,
            parts,
            drawings: drawings
                .iter()
                .map(|drawing| (drawing.part, drawing.svg.clone()))
                .collect(),
        })
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
        let sections: Vec<_> = self
            .parts
            .iter()
            .map(|(name, text)| {
                let drawings: Vec<&str> = self
                    .drawings
                    .iter()
                    .filter(|(part, _)| part == name)
                    .map(|(_, svg)| svg.as_str())
                    .collect();
                json!({
                    "name": name,
                    "body": html::fragment(text),
                    "drawings": drawings,
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

/// The drawings of a plan: the room, when it was measured, and each list of steps. `alone` for files of their own.
///
/// # Errors
/// When a template does not fit.
pub fn drawings(engine: &Engine, plan: &Plan, alone: bool) -> Result<Vec<Drawing>, PaperError> {
    let mut out = Vec::new();
    if let Some(sketch) = &plan.sketch {
        out.push(Drawing {
            name: "room".to_owned(),
            part: "room",
            svg: engine.render("sketch.svg", &json!({ "it": sketch, "alone": alone }))?,
        });
    }
    let with_steps = |list: &&ListWords| list.cannot.is_none();
    for list in plan.training.lists.iter().filter(with_steps) {
        let context =
            json!({ "it": list, "title": list.person, "desc": list.about, "alone": alone });
        out.push(Drawing {
            name: format!("steps-{}", list.id),
            part: "steps",
            svg: engine.render("ladder.svg", &context)?,
        });
    }
    Ok(out)
}

/// The charts of a review, one for each list. `alone` for files of their own.
///
/// # Errors
/// When a template does not fit.
pub fn charts(engine: &Engine, review: &Progress, alone: bool) -> Result<Vec<Drawing>, PaperError> {
    review
        .lists
        .iter()
        .map(|list| {
            Ok(Drawing {
                name: format!("chart-{}", list.id),
                part: "lists",
                svg: engine.render("progress.svg", &json!({ "it": list.chart, "alone": alone }))?,
            })
        })
        .collect()
}

/// A review as JSON.
#[must_use]
pub fn review_json(review: &Progress) -> String {
    let mut text = format!("{:#}", json!(review));
    text.push('\n');
    text
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
