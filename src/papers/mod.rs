//! Papers: templates filled from the plan, Markdown first, then HTML. Every sentence stands in `templates/` or `rules/`.

pub mod catalogue;
pub mod engine;
pub mod form;
pub mod html;
pub mod markdown;
pub mod reason;
pub mod schema;
pub mod species;

use serde_json::json;

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

/// The papers there are, by name.
pub const PAPERS: &[&str] = &["household"];

impl Paper {
    /// The household copy.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn household(engine: &Engine, plan: &Plan) -> Result<Self, PaperError> {
        let context = json!({ "plan": plan });
        let mut parts = Vec::new();
        for part in engine.parts("household") {
            let text = engine.render(&part, &context)?;
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
            .render("household/title.txt", &context)?
            .trim()
            .to_owned();
        Ok(Self {
            name: "household",
            title,
            parts,
        })
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
            .map(|(name, text)| json!({ "name": name, "body": html::fragment(text) }))
            .collect();
        engine.render(
            "page.html",
            &json!({ "title": self.title, "sections": sections, "plan": plan }),
        )
    }
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
