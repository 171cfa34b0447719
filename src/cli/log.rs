//! `perchside log`: a fresh log, and one entry more.

use std::io::{self, BufRead as _, IsTerminal as _};
use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use crate::lock::Lock;
use crate::log::Household;
use crate::log::add::{Typed, added};
use crate::papers::engine::Engine;
use crate::papers::{form, schema};
use crate::questionnaire::{Group, Kind, Question, Tier};
use crate::rulebook::LogBook;
use crate::source::Source;

use super::{Common, Io, Outcome, intake, log_book, rulebook, say};

/// What an entry is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Entry {
    /// One practice session.
    Session,
    /// One day.
    Day,
    /// One change to the plan or the home.
    Change,
}

impl Entry {
    const fn group(self) -> &'static str {
        match self {
            Self::Session => "sessions",
            Self::Day => "days",
            Self::Change => "changes",
        }
    }
}

#[derive(Debug, Subcommand)]
pub(super) enum LogCommand {
    /// Write a fresh log to fill in.
    Blank(Blank),
    /// Add one entry to a log. Nothing that stands in it is touched.
    Add(Add),
}

/// Arguments of `log blank`.
#[derive(Debug, Args)]
pub(super) struct Blank {
    /// Write a JSON Schema of the log instead, for an editor that completes and checks.
    #[arg(long)]
    schema: bool,
}

/// Arguments of `log add`.
#[derive(Debug, Args)]
pub(super) struct Add {
    /// The log.
    log: PathBuf,
    /// What the entry is about.
    #[arg(value_enum)]
    entry: Entry,
    /// Answers as question=answer. Without any, each question is asked in turn.
    #[arg(value_name = "QUESTION=ANSWER")]
    answers: Vec<String>,
    /// The form of this case, so that names and case are checked against it.
    #[arg(long, value_name = "FORM")]
    intake: Option<PathBuf>,
}

impl LogCommand {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(rulebook) = rulebook(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(book) = log_book(common, &rulebook, io)? else {
            return Ok(Outcome::InputErrors);
        };
        match self {
            Self::Blank(Blank { schema: true }) => {
                let mut schema = schema::schema(&book.questionnaire);
                schema["title"] = serde_json::json!("perchside log");
                writeln!(io.out, "{schema:#}")?;
                Ok(Outcome::Done)
            }
            Self::Blank(_) => {
                let text = form::blank_log(&Engine::embedded(), &book.questionnaire)
                    .map_err(io::Error::other)?;
                io.out.write_all(text.as_bytes())?;
                Ok(Outcome::Done)
            }
            Self::Add(add) => {
                let told = match &add.intake {
                    None => None,
                    Some(path) => {
                        let Some(intake) = intake(&rulebook, path, io)? else {
                            return Ok(Outcome::InputErrors);
                        };
                        let form = &rulebook.questionnaire;
                        let people = intake.told_each(form, "people.name");
                        let reference = intake.told(form, "case.reference").map(str::to_owned);
                        Some((people, reference))
                    }
                };
                let household = told
                    .as_ref()
                    .map_or_else(Household::default, |told| Household {
                        people: told.0.as_deref(),
                        reference: told.1.as_deref(),
                    });
                add.run(&book, household, io)
            }
        }
    }
}

impl Add {
    fn run(self, book: &LogBook, household: Household<'_>, io: &mut Io<'_>) -> io::Result<Outcome> {
        let group = self.entry.group();
        let Some(at) = book.questionnaire.group(group) else {
            return Err(io::Error::other(format!("the rulebook has no `{group}`")));
        };
        let mut typed: Typed = Vec::new();
        for answer in &self.answers {
            let Some((question, value)) = answer.split_once('=') else {
                writeln!(
                    io.err,
                    "error: `{answer}` is no answer; write it as question=answer, such as date=2026-11-03"
                )?;
                return Ok(Outcome::WrongUse);
            };
            let question = question.trim();
            if typed.iter().any(|(other, _)| other == question) {
                writeln!(io.err, "error: `{question}` is answered twice")?;
                return Ok(Outcome::WrongUse);
            }
            typed.push((question.to_owned(), value.trim().to_owned()));
        }
        // Nothing is locked while a person thinks about an answer.
        if typed.is_empty() {
            typed = ask(&book.questionnaire.groups[at], io)?;
        }
        if typed.is_empty() {
            writeln!(io.err, "nothing was answered, and nothing was written")?;
            return Ok(Outcome::WrongUse);
        }
        // A log that is not there is a slip of the name more often than a new log.
        if !self.log.exists() {
            let missing = Source::read(&self.log).err();
            say(&missing.into_iter().collect::<Vec<_>>(), io)?;
            writeln!(io.err, "a fresh log comes from `perchside log blank`")?;
            return Ok(Outcome::InputErrors);
        }
        let lock = Lock::of(&self.log)?;
        let read = Source::read(lock.path())
            .map_err(|problem| vec![problem])
            .and_then(|source| {
                let source = Source::new(self.log.display().to_string(), source.text);
                added(
                    &book.questionnaire,
                    household,
                    &source,
                    group,
                    &typed,
                    io.today,
                )
            });
        match read {
            Err(problems) => {
                say(&problems, io)?;
                Ok(Outcome::InputErrors)
            }
            Ok((text, warnings)) => {
                lock.replace(&text)?;
                say(&warnings, io)?;
                writeln!(io.err, "added to {}", self.log.display())?;
                Ok(Outcome::Done)
            }
        }
    }
}

/// Asks each question of a group in turn, on standard error, and takes the answers from standard input, a line each.
fn ask(group: &Group, io: &mut Io<'_>) -> io::Result<Typed> {
    let input = io::stdin();
    if input.is_terminal() {
        writeln!(
            io.err,
            "{}. An empty line leaves a question blank.",
            group.title
        )?;
    }
    let mut lines = input.lock().lines();
    let mut typed = Vec::new();
    for question in group
        .questions
        .iter()
        .filter(|question| question.tier <= Tier::Intake || group.id == "changes")
    {
        writeln!(io.err, "\n{}", question.ask)?;
        if let Some(help) = &question.help {
            writeln!(io.err, "  {help}")?;
        }
        for line in choices(question) {
            writeln!(io.err, "  {line}")?;
        }
        write!(io.err, "{}: ", question.id)?;
        io.err.flush()?;
        let Some(line) = lines.next() else { break };
        let line = line?;
        if !line.trim().is_empty() {
            typed.push((question.id.clone(), line.trim().to_owned()));
        }
    }
    Ok(typed)
}

/// What a question takes, a line each.
fn choices(question: &Question) -> Vec<String> {
    match question.kind {
        Kind::YesNo => vec!["yes or no".to_owned()],
        Kind::Choice | Kind::Level | Kind::Choices => question
            .choices
            .iter()
            .map(|choice| format!("{} = {}", choice.id, choice.words))
            .collect(),
        _ => Vec::new(),
    }
}
