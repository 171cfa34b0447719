//! `perchside review`: from a form and a log to the next session.

use std::io;
use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::papers::engine::Engine;
use crate::papers::{Paper, REVIEW_PAPERS, charts, review_json};
use crate::plan::{Logged, Options, Plan, Progress};
use crate::review::Review;

use super::output::write_whole;
use super::{Common, Io, Outcome, house, intake, log, log_book_of, speaking};

/// Whom a review is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum For {
    /// The household: one card.
    Household,
    /// The consultant: every rule that spoke, with its reasons.
    Consultant,
}

/// A form the review takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Markdown.
    Md,
    /// One HTML file.
    Html,
    /// Everything as JSON.
    Json,
    /// The chart.
    Svg,
}

/// Arguments of `review`.
#[derive(Debug, Args)]
pub(super) struct ReviewCommand {
    /// The filled-in form.
    intake: PathBuf,
    /// The log.
    log: PathBuf,
    /// Write all of it into this folder. Without it the consultant's page goes to standard output.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Whom it is for, on standard output.
    #[arg(
        long = "for",
        value_enum,
        default_value = "consultant",
        conflicts_with = "out"
    )]
    whom: For,
    /// In which form, on standard output.
    #[arg(long, value_enum, default_value = "md", conflicts_with = "out")]
    format: Format,
    /// Print people's names.
    #[arg(long)]
    names: bool,
}

impl ReviewCommand {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(house) = house(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(voiced) = speaking(&house, &house.practice.language, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let engine = Engine::speaking(&house, &voiced);
        let rulebook = voiced.rulebook;
        let Some(book) = log_book_of(&house, &rulebook, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(intake) = intake(&rulebook, &self.intake, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(log) = log(&rulebook, &book, &intake, &self.log, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let review = Review::of(&rulebook, &book, &intake.answers, &log, io.today);
        let logged = Logged {
            review: &review,
            log: &log,
        };
        let options = Options {
            names: self.names,
            private: false,
            without_work: true,
            ..Options::default()
        };
        let plan = Plan::with_log(&rulebook, &intake, logged, options);
        let progress = Progress::of(&rulebook, &book, &plan, logged);
        let paper =
            |name| Paper::of_review(&engine, &plan, &progress, name).map_err(io::Error::other);
        let outcome = if progress.is_pressing() {
            Outcome::LookNow
        } else {
            Outcome::Done
        };
        let Some(folder) = &self.out else {
            let name = match self.whom {
                For::Household => REVIEW_PAPERS[0],
                For::Consultant => REVIEW_PAPERS[1],
            };
            let text = match self.format {
                Format::Md => paper(name)?.markdown(),
                Format::Html => paper(name)?
                    .html(&engine, &plan)
                    .map_err(io::Error::other)?,
                Format::Json => review_json(&progress),
                Format::Svg => charts(&engine, &progress, true)
                    .map_err(io::Error::other)?
                    .into_iter()
                    .map(|chart| chart.svg)
                    .collect::<Vec<_>>()
                    .join("\n"),
            };
            io.out.write_all(text.as_bytes())?;
            return Ok(outcome);
        };
        // Everything is made before anything is written.
        let mut files: Vec<(String, String)> = Vec::new();
        for name in REVIEW_PAPERS {
            let paper = paper(name)?;
            files.push((format!("{name}.md"), paper.markdown()));
            files.push((
                format!("{name}.html"),
                paper.html(&engine, &plan).map_err(io::Error::other)?,
            ));
        }
        files.push(("review.json".to_owned(), review_json(&progress)));
        for chart in charts(&engine, &progress, true).map_err(io::Error::other)? {
            files.push((format!("{}.svg", chart.name), chart.svg));
        }
        for (name, text) in &files {
            let path = folder.join(name);
            write_whole(&path, text)?;
            writeln!(io.err, "wrote {}", path.display())?;
        }
        Ok(outcome)
    }
}
