//! `perchside triage`: every new enquiry ranked by risk, with what to ask first.

mod reply;

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use jiff::ZonedDateTime;
use jiff::civil::DateTime;

use crate::hours::Hours;
use crate::house::House;
use crate::inbox::{Form, Inbox, Item, Mapping, each};
use crate::papers::engine::Engine;
use crate::papers::triage::{Format, List, Width, WriteError, json_line};
use crate::rulebook::{Contact, Rulebook};
use crate::source::Source;
use crate::triage::{Assessed, Desk};

use super::many::{inputs, progress, say_passed_over};
use super::output::{self, Outcome};
use super::{Common, Io, house, say, speaking};

#[derive(Debug, Args)]
pub(super) struct TriageCommand {
    /// Files and folders with enquiries; `-` for standard input. Without one, standard input.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// What the enquiries are written in, where the names of files do not tell.
    #[arg(long, value_enum, value_name = "FORM")]
    from: Option<Form>,
    /// A file that says which question each column of a table answers.
    #[arg(long, value_name = "FILE")]
    columns: Option<PathBuf>,
    /// In which form the list is written. Without it, as the name of `--out` says; else a table.
    #[arg(long, value_enum)]
    format: Option<Format>,
    /// Write the list into this file.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Tell only so many of the ranked ones, the most urgent. What has to be looked at by hand is always told.
    #[arg(long, value_name = "COUNT")]
    top: Option<usize>,
    /// Instead of the list: holding advice and what to say for one enquiry, by its reference or its place.
    #[arg(long, value_name = "ID", conflicts_with_all = ["top", "unranked"])]
    reply: Option<String>,
    /// One line of JSON for each enquiry as it comes, in the order of the input: a stage of a pipe. Nothing is kept; sort by `rank`
    /// to put the results of several runs in order.
    #[arg(long, conflicts_with_all = ["top", "format"])]
    unranked: bool,
    /// The moment to rank for, as 2026-11-25T09:00 on the practice's clock. Without it, now; with `--today` alone, the start of
    /// that day.
    #[arg(long, value_name = "MOMENT")]
    now: Option<DateTime>,
    /// On how many cores. Without it, all.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=512))]
    threads: Option<u16>,
    /// How many columns a table may take. Without it, those of the terminal.
    #[arg(long, value_name = "COLUMNS")]
    width: Option<usize>,
}

impl TriageCommand {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(house) = house(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(voiced) = speaking(&house, &house.practice.language, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let rulebook = &voiced.rulebook;
        let mapping = match self.mapping(rulebook) {
            Ok(mapping) => mapping,
            Err(problems) => {
                say(&problems, io)?;
                return Ok(Outcome::InputErrors);
            }
        };
        let hours = house.practice.open.clone();
        let Some(now) = self.moment(hours.as_ref(), common, io)? else {
            return Ok(Outcome::WrongUse);
        };
        let desk = Desk::at(rulebook, hours, &now);
        let inbox = Inbox::new(
            &rulebook.questionnaire,
            inputs(&self.paths),
            self.from,
            mapping,
        );
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(self.threads.map_or(0, usize::from))
            .build()
            .map_err(io::Error::other)?;
        if self.unranked {
            return self.unranked(&desk, inbox, &pool, io);
        }
        self.ranked(
            &desk,
            inbox,
            &pool,
            (&house, &Engine::speaking(&house, &voiced)),
            io,
        )
    }

    fn mapping(
        &self,
        rulebook: &Rulebook,
    ) -> Result<Option<Mapping>, Vec<crate::mistake::Problem>> {
        self.columns
            .as_deref()
            .map(|path| {
                let source = Source::read(path).map_err(|problem| vec![problem])?;
                Mapping::read(&source, &rulebook.questionnaire)
            })
            .transpose()
    }

    /// The moment to rank for, in the practice's time zone.
    fn moment(
        &self,
        hours: Option<&Hours>,
        common: &Common,
        io: &mut Io<'_>,
    ) -> io::Result<Option<ZonedDateTime>> {
        let zone = hours.map_or_else(|| io.now.time_zone().clone(), |hours| hours.zone().clone());
        let told = self.now.or_else(|| {
            common
                .today
                .map(|day| day.to_datetime(jiff::civil::Time::midnight()))
        });
        match told.map(|told| zone.to_zoned_datetime(told)) {
            None => Ok(Some(io.now.with_time_zone(zone))),
            Some(Ok(moment)) => Ok(Some(moment)),
            Some(Err(error)) => {
                writeln!(io.err, "error: --now: {error}")?;
                Ok(None)
            }
        }
    }

    /// One line of JSON for each, as they come.
    fn unranked(
        &self,
        desk: &Desk<'_>,
        mut inbox: Inbox<'_>,
        pool: &rayon::ThreadPool,
        io: &mut Io<'_>,
    ) -> io::Result<Outcome> {
        let mut outcome = Outcome::Done;
        let mut passed_over = 0;
        let make = |item: &Item| {
            let assessed = desk.assess(item);
            let mut line = Vec::new();
            let (contact, broken) = match &assessed {
                Assessed::Line(one) => {
                    json_line(&desk.row(one), &mut line)?;
                    (Some(one.verdict.contact.until_answered), false)
                }
                Assessed::ByHand(one) => {
                    json_line(&desk.by_hand_row(one), &mut line)?;
                    (one.contact(), true)
                }
                Assessed::PassedOver(_) => (None, false),
            };
            Ok((line, outcome_of(contact, broken)))
        };
        let mut write = |out: &mut dyn Write| {
            each(
                pool,
                &mut inbox,
                make,
                |batch: Vec<io::Result<(Vec<u8>, Outcome)>>| {
                    for made in batch {
                        let (line, one) = made?;
                        passed_over += usize::from(line.is_empty());
                        outcome = worse(outcome, one);
                        out.write_all(&line)?;
                    }
                    // Whoever reads a pipe gets what is done as it is done.
                    out.flush()
                },
            )
        };
        match &self.out {
            Some(path) => output::write_whole_with(path, |out| write(out))?,
            None => write(io.out)?,
        }
        if passed_over > 0 {
            writeln!(io.err, "passed over {passed_over} other papers of cases")?;
        }
        say_passed_over(&inbox, io)?;
        Ok(outcome)
    }

    fn ranked(
        &self,
        desk: &Desk<'_>,
        mut inbox: Inbox<'_>,
        pool: &rayon::ThreadPool,
        (house, engine): (&House, &Engine),
        io: &mut Io<'_>,
    ) -> io::Result<Outcome> {
        if let Some(id) = &self.reply {
            let wanted = reply::find(desk, &mut inbox, id);
            return reply::write(desk, &wanted, id, (house, engine), self.format(), io);
        }
        let bar = progress("enquiries");
        let board = desk.board(pool, &mut inbox, |count| bar.set_position(count as u64));
        bar.finish_and_clear();
        for (what, count) in &board.passed_over {
            writeln!(io.err, "passed over: {what}, {count}")?;
        }
        say_passed_over(&inbox, io)?;
        let list = List {
            desk,
            board: &board,
            top: self.top.unwrap_or(usize::MAX),
        };
        let format = self.format();
        let width = self.width(format, io);
        let written = match &self.out {
            Some(path) => output::write_whole_with(path, |out| {
                list.write(format, engine, width, out)
                    .map_err(|error| match error {
                        WriteError::Io(error) => error,
                        WriteError::Paper(error) => io::Error::other(error),
                    })
            }),
            None => list
                .write(format, engine, width, io.out)
                .map_err(|error| match error {
                    WriteError::Io(error) => error,
                    WriteError::Paper(error) => io::Error::other(error),
                }),
        };
        written?;
        let outcome = if board.has_at_once() {
            Outcome::LookNow
        } else if board.by_hand.is_empty() {
            Outcome::Done
        } else {
            Outcome::InputErrors
        };
        Ok(outcome)
    }

    fn format(&self) -> Format {
        self.format.unwrap_or_else(|| {
            let ending = self.out.as_deref().and_then(Path::extension);
            match ending.and_then(|ending| ending.to_str()) {
                Some("md") => Format::Md,
                Some("html" | "htm") => Format::Html,
                Some("csv") => Format::Csv,
                Some("jsonl" | "ndjson" | "json") => Format::Jsonl,
                _ => Format::Table,
            }
        })
    }

    fn width(&self, format: Format, io: &Io<'_>) -> Width {
        let terminal = format == Format::Table && self.out.is_none() && io.terminal;
        let seen = terminal
            .then(terminal_size::terminal_size)
            .flatten()
            .map(|(width, _)| usize::from(width.0));
        Width {
            columns: self.width.or(seen).unwrap_or(110),
            bold: terminal && io.colour,
        }
    }
}

/// What one enquiry makes of the exit status.
fn outcome_of(contact: Option<Contact>, broken: bool) -> Outcome {
    if contact == Some(Contact::AtOnce) {
        Outcome::LookNow
    } else if broken {
        Outcome::InputErrors
    } else {
        Outcome::Done
    }
}

/// The one a person has to hear of first.
fn worse(one: Outcome, other: Outcome) -> Outcome {
    if other.code() > one.code() {
        other
    } else {
        one
    }
}
