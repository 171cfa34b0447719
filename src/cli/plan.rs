//! `perchside plan`: the papers of one intake.

use std::io;
use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::decision::decide;
use crate::papers::engine::Engine;
use crate::papers::{PAPERS, Paper, drawings, plan_json};
use crate::plan::{Logged, Options, Plan};
use crate::review::Review;

use super::output::write_whole;
use super::{Common, Io, Outcome, intake, log, log_book, rulebook};

/// Every paper.
const ALL: &str = "all";

/// A form a paper takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Markdown.
    Md,
    /// One HTML file.
    Html,
    /// The whole plan as JSON.
    Json,
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
pub(super) struct PlanCommand {
    /// The filled-in form.
    intake: PathBuf,
    /// Write the papers into this folder. Without it one paper goes to standard output.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Plan with what this log tells: new bites, weighings, the step in hand and where the next session starts.
    #[arg(long, value_name = "LOG")]
    log: Option<PathBuf>,
    /// Which paper: household, practice, log-sheets, consultant, or all. Without it, all into a folder, and the household's to
    /// standard output.
    #[arg(long, value_parser = clap::builder::PossibleValuesParser::new(PAPERS.iter().copied().chain([ALL])))]
    paper: Option<String>,
    /// In which forms: md, html, json; several with commas between. Without it, all into a folder, and md to standard output.
    #[arg(long, value_enum, value_delimiter = ',')]
    format: Vec<Format>,
    /// Print on each card what rests on private answers about that person's health. Hand such a card to its person alone.
    #[arg(long)]
    private: bool,
    /// Print people's names on the papers.
    #[arg(long)]
    names: bool,
}

impl PlanCommand {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let mut formats = self.format.clone();
        formats.dedup();
        if formats.is_empty() {
            formats = if self.out.is_some() {
                vec![Format::Md, Format::Html, Format::Json]
            } else {
                vec![Format::Md]
            };
        }
        let names: Vec<&'static str> = match self.paper.as_deref() {
            Some(ALL) => PAPERS.to_vec(),
            None if self.out.is_some() => PAPERS.to_vec(),
            None => PAPERS[..1].to_vec(),
            Some(wanted) => PAPERS
                .iter()
                .copied()
                .filter(|name| *name == wanted)
                .collect(),
        };
        let papers = formats
            .iter()
            .filter(|format| **format != Format::Json)
            .count()
            * names.len();
        let files = papers + usize::from(formats.contains(&Format::Json));
        if self.out.is_none() && files > 1 {
            writeln!(
                io.err,
                "error: several papers need a folder: add `--out DIR`"
            )?;
            return Ok(Outcome::WrongUse);
        }
        let Some(rulebook) = rulebook(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(intake) = intake(&rulebook, &self.intake, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let options = Options {
            names: self.names,
            private: self.private,
            without_work: !names.contains(&"consultant") && !formats.contains(&Format::Json),
        };
        let decision = decide(&rulebook, &intake.answers, io.today);
        let plan = match &self.log {
            None => Plan::of(&rulebook, &intake, &decision, options),
            Some(path) => {
                let Some(book) = log_book(common, &rulebook, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let Some(log) = log(&rulebook, &book, &intake, path, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let review = Review::of(&rulebook, &book, &intake.answers, &log, io.today);
                let logged = Logged {
                    review: &review,
                    log: &log,
                };
                Plan::with_log(&rulebook, &intake, logged, options)
            }
        };
        let engine = Engine::embedded();
        // Everything is made before anything is written.
        let mut files: Vec<(String, String)> = Vec::new();
        for paper in Paper::several(&engine, &plan, &names).map_err(io::Error::other)? {
            for format in &formats {
                files.push(match format {
                    Format::Md => (format!("{}.md", paper.name), paper.markdown()),
                    Format::Html => (
                        format!("{}.html", paper.name),
                        paper.html(&engine, &plan).map_err(io::Error::other)?,
                    ),
                    Format::Json => continue,
                });
            }
        }
        if formats.contains(&Format::Json) {
            files.push(("plan.json".to_owned(), plan_json(&plan)));
        }
        if self.out.is_some() {
            for drawing in drawings(&engine, &plan, true).map_err(io::Error::other)? {
                files.push((format!("{}.svg", drawing.name), drawing.svg));
            }
        }
        let Some(folder) = &self.out else {
            for (_, text) in &files {
                io.out.write_all(text.as_bytes())?;
            }
            return Ok(Outcome::Done);
        };
        for (name, text) in &files {
            let path = folder.join(name);
            write_whole(&path, text)?;
            writeln!(io.err, "wrote {}", path.display())?;
        }
        Ok(Outcome::Done)
    }
}
