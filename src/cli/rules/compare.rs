//! `perchside rules compare`: what a change of rules touches.

use std::io;
use std::path::PathBuf;

use clap::Args;

use crate::compare::page::{self, Form, PageError};
use crate::compare::{BUILT_IN, Cases, Comparison, Difference, Named, Report, Side};
use crate::inbox::Inbox;
use crate::papers::engine::Engine;

use super::super::many::{inputs, progress, say_passed_over};
use super::super::output::write_whole_with;
use super::super::{Common, Io, Outcome, say};

/// Arguments of `rules compare`.
#[derive(Debug, Args)]
pub(in crate::cli) struct Compare {
    /// The set of rules in use: the word built-in, a rulebook's folder, or a practice's folder.
    old: PathBuf,
    /// The set of rules that is to come, named the same way.
    new: PathBuf,
    /// Open cases: files, folders, or `-` for standard input. Without them, the rules alone are compared.
    #[arg(value_name = "CASES")]
    cases: Vec<PathBuf>,
    /// Text, md or json. Without it, as the name of `--out` says; else text.
    #[arg(long, value_enum)]
    format: Option<Form>,
    /// Write the page into this file.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Tell people's names: in references and places of cases, and who signed departures.
    #[arg(long)]
    names: bool,
    /// On how many cores. Without it, all.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=512))]
    threads: Option<u16>,
}

/// What a practice's layer changes in the rulebook below it, as data and as text; nothing without a practice, or where one of the two
/// cannot be loaded, which was said then.
pub(super) fn layer(common: &Common, io: &Io<'_>) -> io::Result<Option<(Difference, String)>> {
    let Some(folder) = &common.practice else {
        return Ok(None);
    };
    let base = common.rules.clone();
    let below = base.clone().map_or(Named::BuiltIn, Named::Rulebook);
    let sides = (
        Side::open(below, io.today),
        Side::open(Named::Practice(folder.clone(), base), io.today),
    );
    let (Ok(below), Ok(practice)) = sides else {
        return Ok(None);
    };
    let difference = Difference::of(&below, &practice, true);
    let text = page::layer(&difference, (&below, &practice), &Engine::embedded());
    let text = text.map_err(io::Error::other)?;
    Ok(Some((difference, text)))
}

impl Compare {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        if common.practice.is_some() {
            writeln!(
                io.err,
                "error: `rules compare` takes a practice's folder as one of the two sets, not with `--practice`"
            )?;
            return Ok(Outcome::WrongUse);
        }
        let (Some(old), Some(new)) = (
            self.side(&self.old, common, io)?,
            self.side(&self.new, common, io)?,
        ) else {
            return Ok(Outcome::InputErrors);
        };
        let difference = Difference::of(&old, &new, self.names);
        let comparison = Comparison::of(&old, &new, &difference, io.today, self.names);
        let cases = if self.cases.is_empty() {
            None
        } else {
            Some(self.look_at(&comparison, io)?)
        };
        let report = Report::of(&comparison, cases);
        let voiced = match new.house.speaking(&new.house.practice.language) {
            Ok((voiced, _)) => voiced,
            Err(problems) => {
                say(&problems, io)?;
                return Ok(Outcome::InputErrors);
            }
        };
        let engine = Engine::speaking(&new.house, &voiced);
        let form = self.form();
        let write = |out: &mut dyn io::Write| {
            page::write(&report, (&old, &new), &engine, form, out).map_err(|error| match error {
                PageError::Io(error) => error,
                PageError::Paper(error) => io::Error::other(error),
            })
        };
        match &self.out {
            Some(path) => write_whole_with(path, write)?,
            None => write(io.out)?,
        }
        let unread = report.cases.is_some_and(|cases| cases.unreadable > 0);
        Ok(if report.loosened {
            Outcome::LookNow
        } else if unread {
            Outcome::InputErrors
        } else {
            Outcome::Done
        })
    }

    fn side(
        &self,
        path: &std::path::Path,
        common: &Common,
        io: &mut Io<'_>,
    ) -> io::Result<Option<Side>> {
        let Some(named) = Named::of(path, common.rules.as_deref()) else {
            writeln!(
                io.err,
                "error: {} is no set of rules; name `{BUILT_IN}`, a folder with rulebook.yaml, or a practice's folder with practice.yaml",
                path.display()
            )?;
            return Ok(None);
        };
        match Side::open(named, io.today) {
            Ok(side) => Ok(Some(side)),
            Err(problems) => {
                say(&problems, io)?;
                Ok(None)
            }
        }
    }

    fn look_at(&self, comparison: &Comparison<'_>, io: &mut Io<'_>) -> io::Result<Cases> {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(self.threads.map_or(0, usize::from))
            .build()
            .map_err(io::Error::other)?;
        let questionnaire = &comparison.old.rulebook.questionnaire;
        let mut inbox = Inbox::new(questionnaire, inputs(&self.cases), None, None);
        let bar = progress("cases");
        let cases = Cases::of(comparison, &pool, &mut inbox, |count| {
            bar.set_position(count as u64);
        });
        bar.finish_and_clear();
        for (what, count) in &cases.passed_over {
            writeln!(io.err, "passed over: {what}, {count}")?;
        }
        say_passed_over(&inbox, io)?;
        Ok(cases)
    }

    fn form(&self) -> Form {
        self.format.unwrap_or_else(|| {
            let ending = self.out.as_deref().and_then(std::path::Path::extension);
            Form::of_ending(ending.and_then(|ending| ending.to_str()))
        })
    }
}
