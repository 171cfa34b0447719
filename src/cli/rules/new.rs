//! `perchside rules new` and `new-practice`: files started from templates, never over others.

use std::io;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use jiff::ToSpan as _;

use crate::cli::output::write_whole;
use crate::library::Library;
use crate::papers::catalogue::{Scaffold, scaffold};
use crate::rulebook::{Care, Rulebook, keys};
use crate::words::{closest, is_kebab};

use super::{Common, Io, Outcome, say};

/// How long a new departure runs, months. It is cut down or drawn out by hand, up to a year.
const DEPARTURE_MONTHS: i32 = 6;

/// What is started.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// A rule.
    Rule,
    /// A gate, which opens a way of working and needs proof.
    Gate,
    /// A measure: one thing a household does, or never does.
    Measure,
    /// A question, in a group of questions.
    Question,
    /// A practice's departure from a shipped rule.
    Departure,
}

/// Arguments of `rules new`.
#[derive(Debug, Args)]
pub(in crate::cli) struct New {
    /// The topic, which is the folder it goes into; of a question its group; of a departure the rule it departs from.
    topic: String,
    /// The id, which is the name of its file.
    id: String,
    /// What to start.
    #[arg(long, value_enum, default_value = "rule")]
    kind: Kind,
}

impl New {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let reserved = |word: &str| {
            keys::NOT_RULES.contains(&word) && word != "next-step" || word == "measures"
        };
        for (what, word) in [("topic", &self.topic), ("id", &self.id)] {
            if !is_kebab(word) || reserved(word) {
                writeln!(
                    io.err,
                    "error: the {what} `{word}` has to be lower-case words joined by hyphens, and no reserved folder"
                )?;
                return Ok(Outcome::WrongUse);
            }
        }
        let Some(folder) = common.practice.as_ref().or(common.rules.as_ref()) else {
            writeln!(
                io.err,
                "error: say where it is to lie, for example `--rules rules` or `--practice my-practice`"
            )?;
            return Ok(Outcome::WrongUse);
        };
        if !folder.is_dir() {
            writeln!(io.err, "error: there is no folder {}", folder.display())?;
            return Ok(Outcome::InputErrors);
        }
        let (topic, id) = (self.topic.as_str(), self.id.as_str());
        let rules = if common.practice.is_some() {
            folder.join("rules")
        } else {
            folder.clone()
        };
        let name = format!("{id}.yaml");
        match self.kind {
            Kind::Rule => write(
                common,
                rules.join(topic).join(name),
                &scaffold(Scaffold::Rule { topic }, id),
                io,
            ),
            Kind::Gate => write(
                common,
                rules.join(topic).join(name),
                &scaffold(Scaffold::Gate, id),
                io,
            ),
            Kind::Measure => {
                let path = rules.join("measures").join(topic).join(name);
                write(common, path, &scaffold(Scaffold::Measure, id), io)
            }
            Kind::Question => question(common, &rules, topic, id, io),
            Kind::Departure => departure(common, topic, id, io),
        }
    }
}

/// A question in a group of its own; in a group that is there, the lines to put into it.
fn question(
    common: &Common,
    rules: &Path,
    group: &str,
    id: &str,
    io: &mut Io<'_>,
) -> io::Result<Outcome> {
    let path = rules.join("questions").join(format!("{group}.yaml"));
    if path.exists() {
        io.out
            .write_all(scaffold(Scaffold::Question, id).as_bytes())?;
        writeln!(
            io.err,
            "{} is there already: put these lines at its end, below `questions:`",
            path.display()
        )?;
        return Ok(Outcome::Done);
    }
    if common.practice.is_some() {
        let Some(rulebook) = shipped(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        if rulebook.questionnaire.group(group).is_some() {
            writeln!(
                io.err,
                "error: `{group}` is a part of the shipped form; a practice asks its questions in a group of its own, such as `our-{group}`"
            )?;
            return Ok(Outcome::InputErrors);
        }
    }
    write(common, path, &scaffold(Scaffold::Group { group }, id), io)
}

/// A departure from a rule that may be departed from.
fn departure(common: &Common, rule: &str, id: &str, io: &mut Io<'_>) -> io::Result<Outcome> {
    let Some(folder) = &common.practice else {
        writeln!(
            io.err,
            "error: a departure lies in a practice's folder: say which, for example `--practice my-practice`"
        )?;
        return Ok(Outcome::WrongUse);
    };
    let Some(rulebook) = shipped(common, io)? else {
        return Ok(Outcome::InputErrors);
    };
    let until = io
        .today
        .checked_add(DEPARTURE_MONTHS.months())
        .unwrap_or(io.today);
    match (may_be_departed_from(&rulebook, rule), rulebook.rule(rule)) {
        (Ok(()), Some(rule)) => {
            let text = scaffold(
                Scaffold::Departure {
                    rule,
                    date: io.today,
                    until,
                },
                id,
            );
            write(
                common,
                folder.join("departures").join(format!("{id}.yaml")),
                &text,
                io,
            )
        }
        (Err(why), _) => {
            writeln!(io.err, "error: {why}")?;
            Ok(Outcome::InputErrors)
        }
        (Ok(()), None) => Ok(Outcome::InputErrors),
    }
}

/// The rulebook below a practice: what is started in a practice's folder hangs on nothing that may still be half written there.
fn shipped(common: &Common, io: &mut Io<'_>) -> io::Result<Option<Rulebook>> {
    let library = match &common.rules {
        None => Ok(Library::embedded()),
        Some(folder) => Library::folder(folder),
    };
    match library.and_then(|library| Rulebook::load(&library, Care::Trusted)) {
        Ok((rulebook, _)) => Ok(Some(rulebook)),
        Err(problems) => {
            say(&problems, io)?;
            Ok(None)
        }
    }
}

/// Why a rule may not be departed from.
fn may_be_departed_from(rulebook: &Rulebook, id: &str) -> Result<(), String> {
    if rulebook.gate(id).is_some() {
        return Err(format!(
            "the gate `{id}` belongs to the safety floor, which nobody can loosen"
        ));
    }
    match rulebook.rule(id) {
        Some(rule) if rule.floor => Err(format!(
            "the rule `{id}` belongs to the safety floor, which nobody can loosen"
        )),
        Some(_) => Ok(()),
        None => {
            let close = closest(id, rulebook.rules.iter().map(|rule| rule.id.as_str()));
            let meant = close.map_or_else(
                || "`perchside rules list` shows them all".to_owned(),
                |close| format!("did you mean `{close}`?"),
            );
            Err(format!(
                "there is no shipped rule `{id}` to depart from; {meant}"
            ))
        }
    }
}

fn write(common: &Common, path: PathBuf, text: &str, io: &mut Io<'_>) -> io::Result<Outcome> {
    if path.exists() {
        writeln!(io.err, "error: {} is there already", path.display())?;
        return Ok(Outcome::InputErrors);
    }
    write_whole(&path, text)?;
    let (option, folder) = match (&common.practice, &common.rules) {
        (Some(folder), _) => ("--practice", folder),
        (None, Some(folder)) => ("--rules", folder),
        (None, None) => return Ok(Outcome::Done),
    };
    writeln!(
        io.err,
        "wrote {}; fill it in, then run `perchside rules check {option} {}`",
        path.display(),
        folder.display()
    )?;
    Ok(Outcome::Done)
}

/// `rules new-practice`: `practice.yaml` with nothing told yet, and the folders it may fill.
pub(super) fn practice(folder: &Path, io: &mut Io<'_>) -> io::Result<Outcome> {
    let holds_something =
        std::fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_some());
    if holds_something || folder.is_file() {
        writeln!(
            io.err,
            "error: {} is there already, and not empty",
            folder.display()
        )?;
        return Ok(Outcome::InputErrors);
    }
    write_whole(
        &folder.join("practice.yaml"),
        &scaffold(Scaffold::Practice, ""),
    )?;
    for part in ["rules", "departures", "cases"] {
        std::fs::create_dir_all(folder.join(part))?;
    }
    writeln!(
        io.err,
        "wrote {}; `perchside rules new TOPIC ID --practice {}` starts a rule in it",
        folder.join("practice.yaml").display(),
        folder.display()
    )?;
    Ok(Outcome::Done)
}
