//! Papers: templates filled from the plan, Markdown first, then HTML. Every sentence stands in `templates/` or `rules/`.

pub mod catalogue;
pub mod engine;
pub mod figures;
pub mod form;
pub mod html;
pub mod markdown;
pub mod note;
pub mod reason;
pub mod schema;
pub mod species;
pub mod triage;
pub mod web_form;

use serde::Serialize;
use serde_json::{Value, json};

use crate::plan::{ListWords, Plan, Progress};

use engine::{Engine, PaperError};

/// Whose hands a paper is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Copy {
    /// The household: it holds no private answer, and no name unless asked for.
    Household,
    /// The consultant, a colleague, a vet.
    Professional,
}

impl Copy {
    /// The folder its papers are written into.
    #[must_use]
    pub fn folder(self) -> &'static str {
        match self {
            Self::Household => "household",
            Self::Professional => "professional",
        }
    }
}

/// One part of a paper.
#[derive(Debug, Clone)]
pub struct Part {
    /// What kind of part it is.
    pub name: String,
    /// Its own key: that of its kind, or with a letter behind it where there are several of a kind.
    pub key: String,
    /// Its Markdown.
    pub text: String,
}

/// A paper: its parts in order, as Markdown, with the drawings that belong to them.
#[derive(Debug, Clone)]
pub struct Paper {
    /// Its name, which is the name of its file.
    pub name: String,
    /// The folder of its templates.
    pub kind: &'static str,
    /// Whose hands it is for.
    pub copy: Copy,
    /// Its heading.
    pub title: String,
    /// Its parts.
    pub parts: Vec<Part>,
    /// Drawings, by the key of the part they belong to.
    pub drawings: Vec<(String, String)>,
    /// What it says of itself, such as that it is not in the reader's language yet.
    pub notice: Option<String>,
}

/// A paper as a page of contents names it.
#[derive(Debug, Clone, Serialize)]
pub struct Listed {
    /// The name of its file.
    pub name: String,
    /// Its heading.
    pub title: String,
    /// What it is for, in one sentence.
    pub about: String,
    /// Whose hands it is for.
    pub copy: Copy,
    /// True for one card out of all.
    pub single: bool,
}

/// Papers as a page of contents names them. The first is whole, what follows are parts of it.
///
/// # Errors
/// When a template does not fit the plan.
pub fn listed(engine: &Engine, plan: &Plan, papers: &[Paper]) -> Result<Vec<Listed>, PaperError> {
    papers
        .iter()
        .enumerate()
        .map(|(at, paper)| {
            let template = if at == 0 {
                "about.txt"
            } else {
                "about-one.txt"
            };
            let letter = paper.name.rsplit('-').next().unwrap_or_default();
            let about = engine.render(
                &format!("{}/{template}", paper.kind),
                &json!({ "plan": plan, "letter": letter }),
            )?;
            Ok(Listed {
                name: paper.name.clone(),
                title: paper.title.clone(),
                about: about.trim().to_owned(),
                copy: paper.copy,
                single: at > 0,
            })
        })
        .collect()
}

/// The page that leads to papers; with folders before their names, or from inside the folder.
///
/// # Errors
/// When its template fails.
pub fn index(
    engine: &Engine,
    plan: &Plan,
    papers: &[&Listed],
    folders: bool,
) -> Result<String, PaperError> {
    engine.render(
        "index.html",
        &json!({ "plan": plan, "papers": papers, "folders": folders }),
    )
}

/// A drawing as a file of its own.
#[derive(Debug, Clone)]
pub struct Drawing {
    /// The name of its file, without its ending.
    pub name: String,
    /// The key of the part of a paper it belongs to.
    pub part: String,
    /// The drawing as SVG.
    pub svg: String,
}

/// The papers of a plan, by name: the folder of their parts in `templates/`. Those of the household come first.
pub const PAPERS: &[&str] = &[
    "household",
    "cards",
    "door-sign",
    "stop-card",
    "if-it-goes-wrong",
    "holding-rules",
    "practice",
    "log-sheets",
    "sitter-file",
    "consultant",
    "hand-over",
    "vet-letter",
    "visit-sheet",
];

/// How many of [`PAPERS`] are the household's.
const OF_HOUSEHOLD: usize = 9;

/// The papers of a review, by name: the household's card and the consultant's page.
pub const REVIEW_PAPERS: &[&str] = &["review", "review-consultant"];

/// Whose hands a paper is for.
#[must_use]
pub fn copy_of(name: &str) -> Copy {
    if PAPERS[..OF_HOUSEHOLD].contains(&name) || name == REVIEW_PAPERS[0] {
        Copy::Household
    } else {
        Copy::Professional
    }
}

/// What the papers of one plan are filled with, made once for all of them.
#[derive(Debug)]
pub struct Press {
    household: Value,
    professional: Value,
    drawings: Vec<Drawing>,
}

impl Press {
    /// Puts a plan into words and drawings.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn of(engine: &Engine, plan: &Plan) -> Result<Self, PaperError> {
        let professional = json!({
            "plan": plan,
            "groups": plan.groups,
            "told": plan.told,
            "figures": figures::words(engine, &plan.figures)?,
        });
        // A household copy never sees a private answer, whatever its template asks for.
        let mut household = professional.clone();
        household["told"] = json!(plan.told_shared);
        Ok(Self {
            household,
            professional,
            drawings: drawings(engine, plan, false)?,
        })
    }

    /// A paper by its name.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn paper(&self, engine: &Engine, name: &'static str) -> Result<Paper, PaperError> {
        let context = match copy_of(name) {
            Copy::Household => &self.household,
            Copy::Professional => &self.professional,
        };
        Paper::filled(engine, context, name, &self.drawings)
    }
}

impl Paper {
    /// What to say to someone who asked for help, from what triage tells of the enquiry.
    ///
    /// # Errors
    /// When a template does not fit.
    pub fn reply(engine: &Engine, context: &Value) -> Result<Self, PaperError> {
        Self::filled(engine, context, "reply", &[])
    }

    /// Puts another paper behind this one, its headings one step lower.
    pub fn append(&mut self, other: Self) {
        self.parts.extend(other.parts.into_iter().map(|part| {
            Part {
                text: part
                    .text
                    .lines()
                    .map(|line| {
                        if line.starts_with('#') {
                            format!("#{line}\n")
                        } else {
                            format!("{line}\n")
                        }
                    })
                    .collect::<String>()
                    .trim_end()
                    .to_owned(),
                ..part
            }
        }));
    }

    /// One paper of a plan by its name. For several, [`Press`] does the common work once.
    ///
    /// # Errors
    /// When a template does not fit the plan.
    pub fn of(engine: &Engine, plan: &Plan, name: &'static str) -> Result<Self, PaperError> {
        Press::of(engine, plan)?.paper(engine, name)
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
        for template in engine.parts(name) {
            let stem = template
                .rsplit('/')
                .next()
                .and_then(|file| file.split('.').next())
                .map_or("", |stem| {
                    stem.trim_start_matches(|c: char| c.is_ascii_digit() || c == '-')
                });
            let mut push = |name: &str, key: String, context: &Value| -> Result<(), PaperError> {
                let mut text = tidy(&engine.render(&template, context)?);
                if !text.is_empty() {
                    if !engine.speaks(&template) {
                        // A part that a practice added, and nobody has translated.
                        let mark = markdown::escape(engine.tongue.word("paper-not-yet"));
                        text = format!("> {mark}\n\n{text}");
                    }
                    let name = name.to_owned();
                    parts.push(Part { name, key, text });
                }
                Ok(())
            };
            // A part for each card is filled once for each.
            if stem == EACH_CARD {
                for card in context["plan"]["cards"].as_array().into_iter().flatten() {
                    let mut one = context.clone();
                    one["card"] = card.clone();
                    let letter = card["letter"].as_str().unwrap_or_default();
                    push("card", card_key(letter), &one)?;
                }
            } else {
                push(stem, stem.to_owned(), context)?;
            }
        }
        let title = engine
            .render(&format!("{name}/title.txt"), context)?
            .trim()
            .to_owned();
        Ok(Self {
            name: name.to_owned(),
            kind: name,
            copy: copy_of(name),
            title,
            parts,
            drawings: drawings
                .iter()
                .map(|drawing| (drawing.part.clone(), drawing.svg.clone()))
                .collect(),
            notice: None,
        })
    }

    /// Each card as a paper of its own, to hand to its person alone.
    #[must_use]
    pub fn single_cards(&self) -> Vec<Self> {
        self.parts
            .iter()
            .filter(|part| self.kind == "cards" && part.name == "card")
            .map(|part| {
                // On a page of its own the card's name is the heading of the page.
                let text: Vec<&str> = part
                    .text
                    .lines()
                    .map(|line| {
                        if line.starts_with("##") {
                            &line[1..]
                        } else {
                            line
                        }
                    })
                    .collect();
                Self {
                    name: part.key.clone(),
                    parts: vec![Part {
                        text: text.join("\n"),
                        ..part.clone()
                    }],
                    ..self.clone()
                }
            })
            .collect()
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
        let parts: Vec<&str> = self.parts.iter().map(|part| part.text.as_str()).collect();
        let mut out = self.notice.as_ref().map_or_else(String::new, |notice| {
            format!("> {}\n\n", markdown::escape(notice))
        });
        out.push_str(&parts.join("\n\n"));
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
            .map(|part| {
                let drawings: Vec<&str> = self
                    .drawings
                    .iter()
                    .filter(|(key, _)| *key == part.key)
                    .map(|(_, svg)| svg.as_str())
                    .collect();
                json!({
                    "name": part.name,
                    "key": part.key,
                    "body": html::fragment(&part.text),
                    // How much there is to fit on a page that has to be one page.
                    "length": part.text.chars().count(),
                    "drawings": drawings,
                })
            })
            .collect();
        engine.render(
            "page.html",
            &json!({
                "title": self.title,
                "kind": self.kind,
                "copy": self.copy,
                "notice": self.notice,
                "sections": sections,
                "plan": plan,
            }),
        )
    }
}

/// The part of a paper that is filled once for each card.
const EACH_CARD: &str = "each-card";

fn card_key(letter: &str) -> String {
    format!("card-{letter}")
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
            part: "room".to_owned(),
            svg: engine.render("sketch.svg", &json!({ "it": sketch, "alone": alone }))?,
        });
    }
    out.push(Drawing {
        name: "sign".to_owned(),
        part: "sign".to_owned(),
        svg: engine.render("sign.svg", &json!({ "it": plan.sign, "alone": alone }))?,
    });
    for card in &plan.cards {
        if matches!(card.age_band, "young-child" | "child") {
            out.push(Drawing {
                name: card_key(&card.letter),
                part: card_key(&card.letter),
                svg: engine.render("child.svg", &json!({ "alone": alone }))?,
            });
        }
    }
    let with_steps = |list: &&ListWords| list.cannot.is_none();
    for list in plan.training.lists.iter().filter(with_steps) {
        let context =
            json!({ "it": list, "title": list.person, "desc": list.about, "alone": alone });
        out.push(Drawing {
            name: format!("steps-{}", list.id),
            part: "steps".to_owned(),
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
                part: "lists".to_owned(),
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
pub(crate) fn tidy(text: &str) -> String {
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
