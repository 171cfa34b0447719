//! The command line: one file a command. Nothing is computed here.

mod blank;
mod compare;
mod explain;
mod log;
mod many;
mod output;
mod plan;
mod review;
mod rules;
mod species;
mod triage;

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::{Args, CommandFactory, Parser, Subcommand};
use jiff::ZonedDateTime;
use jiff::civil::Date;

use crate::answers::Answers;
use crate::case_file::{self, CaseFile};
use crate::decision::{Came, Overruled};
use crate::house::{House, Voiced};
use crate::intake::Intake;
use crate::library::Library;
use crate::log::{Household, Log};
use crate::mistake::{Mistake as _, Problem, Severity, render};
use crate::mistakes::departure::{CaseDepartureHeld, CaseDepartureOver};
use crate::questionnaire::Questionnaire;
use crate::rulebook::{Care, LogBook, Rulebook};
use crate::source::Source;
use crate::wording::practice::{find_language, unknown_language};

pub use output::Outcome;

/// Household plans for a companion parrot that bites.
///
/// Reads an intake in YAML, decides how much harm is credible, whether a vet comes first and how work may begin, and writes
/// the plan the household lives by, with its reasons. Results go to standard output, words about them to standard error.
#[derive(Debug, Parser)]
#[command(
    name = "perchside",
    version,
    max_term_width = 100,
    after_help = "Exit status: 0 done; 1 the input has errors (all of them are shown); 2 wrong use; 3 done, and a person must look at it now."
)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
    #[command(flatten)]
    common: Common,
}

/// What every command takes.
#[derive(Debug, Args)]
pub struct Common {
    /// Use the rulebook in this folder instead of the one inside the program.
    #[arg(long, global = true, value_name = "DIR")]
    rules: Option<PathBuf>,
    /// Use the settings, sentences, templates and rules in a practice's own folder.
    #[arg(long, global = true, value_name = "DIR")]
    practice: Option<PathBuf>,
    /// The day to decide for, as year-month-day. Without it, today.
    #[arg(long, global = true, value_name = "DAY")]
    today: Option<Date>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Write a fresh form to fill in.
    Blank(blank::Blank),
    /// Write the household plan for an intake.
    Plan(plan::PlanCommand),
    /// Rank new enquiries by risk: when to reply, why, and what to ask first.
    Triage(triage::TriageCommand),
    /// Tell why: the rules that spoke, the answers they rest on, and what would change it.
    Explain(explain::Explain),
    /// Put two cases side by side: what was told, which rules spoke, what came out, what is advised.
    Compare(compare::CompareCommand),
    /// Say from a form and a log where the next session starts, how far it goes, and why.
    Review(review::ReviewCommand),
    /// The log of sessions and days: a fresh one, or one entry more.
    #[command(subcommand)]
    Log(log::LogCommand),
    /// Look at the rulebook: check it, list it, show one rule, start a new one.
    #[command(subcommand)]
    Rules(rules::Rules),
    /// Tell what is known of a kind of parrot: weight, sizes, beak, trade listing, oldest bird on record.
    Species(species::Species),
    /// Print a completion script for a shell.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page.
    #[command(hide = true)]
    Man,
}

/// Where a command writes to.
pub struct Io<'a> {
    /// Results.
    pub out: &'a mut dyn Write,
    /// Words about them.
    pub err: &'a mut dyn Write,
    /// True when words about them may be coloured.
    pub colour: bool,
    /// The day it is.
    pub today: Date,
    /// The moment it is, where the program runs.
    pub now: ZonedDateTime,
    /// True when results go to a terminal.
    pub terminal: bool,
}

/// Runs a command line.
///
/// # Errors
/// What writing to `io` gives. Everything else is said on `io.err` and told by the [`Outcome`].
pub fn run(cli: Cli, io: &mut Io<'_>) -> std::io::Result<Outcome> {
    if let Some(today) = cli.common.today {
        io.today = today;
    }
    match cli.command {
        Command::Blank(command) => command.run(&cli.common, io),
        Command::Plan(command) => command.run(&cli.common, io),
        Command::Triage(command) => command.run(&cli.common, io),
        Command::Explain(command) => command.run(&cli.common, io),
        Command::Compare(command) => command.run(&cli.common, io),
        Command::Review(command) => command.run(&cli.common, io),
        Command::Log(command) => command.run(&cli.common, io),
        Command::Rules(command) => command.run(&cli.common, io),
        Command::Species(command) => command.run(&cli.common, io),
        Command::Completions { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "perchside", &mut script);
            io.out.write_all(&script)?;
            Ok(Outcome::Done)
        }
        Command::Man => {
            clap_mangen::Man::new(Cli::command()).render(io.out)?;
            Ok(Outcome::Done)
        }
    }
}

/// What a command works with: the rulebook inside the program or a folder's, with the practice's own folder over it.
fn house(common: &Common, io: &mut Io<'_>) -> std::io::Result<Option<House>> {
    let (library, care) = match &common.rules {
        None => (Ok(Library::embedded()), Care::Trusted),
        Some(folder) => (Library::folder(folder), Care::Full),
    };
    match library
        .and_then(|library| House::open(library, common.practice.as_deref(), care, io.today))
    {
        Ok(house) => Ok(Some(house)),
        Err(problems) => {
            say(&problems, io)?;
            Ok(None)
        }
    }
}

/// The rulebook of a house in one language.
fn speaking(house: &House, language: &str, io: &mut Io<'_>) -> std::io::Result<Option<Voiced>> {
    match house.speaking(language) {
        Ok((voiced, _)) => {
            // Said once, also where papers are made in several languages.
            if language == house.practice.language {
                say(&voiced.notices, io)?;
            }
            Ok(Some(voiced))
        }
        Err(problems) => {
            say(&problems, io)?;
            Ok(None)
        }
    }
}

/// The rulebook of a command, in the practice's own language.
fn rulebook(common: &Common, io: &mut Io<'_>) -> std::io::Result<Option<Rulebook>> {
    let Some(house) = house(common, io)? else {
        return Ok(None);
    };
    Ok(speaking(&house, &house.practice.language, io)?.map(|voiced| voiced.rulebook))
}

/// An intake of a command, with its warnings said.
fn intake(rulebook: &Rulebook, path: &Path, io: &mut Io<'_>) -> std::io::Result<Option<Intake>> {
    let read = Source::read(path)
        .map_err(|problem| vec![problem])
        .and_then(|source| {
            Intake::read(
                &rulebook.questionnaire,
                &rulebook.vocabulary,
                source,
                io.today,
            )
        });
    let beside = CaseFile::of_form(path).and_then(|beside| {
        let problems = beside.held_to(rulebook);
        if problems.is_empty() {
            Ok(beside)
        } else {
            Err(problems)
        }
    });
    // Mistakes of both files are told in one run.
    let read = match (read, beside) {
        (Ok((intake, warnings)), Ok(beside)) => Ok((intake.with_case_file(beside), warnings)),
        (Ok(_), Err(found)) => Err(found),
        (Err(mut found), beside) => {
            found.extend(beside.err().unwrap_or_default());
            Err(found)
        }
    };
    match read {
        Ok((intake, warnings)) => {
            say(&warnings, io)?;
            Ok(Some(intake))
        }
        Err(problems) => {
            say(&problems, io)?;
            Ok(None)
        }
    }
}

/// The language a household reads best, as its form tells; else the practice's own.
fn told_language(
    house: &House,
    rulebook: &Rulebook,
    intake: &Intake,
    io: &mut Io<'_>,
) -> std::io::Result<String> {
    let own = house.practice.language.clone();
    let told = rulebook
        .questionnaire
        .find("case.language")
        .and_then(|(group, question)| intake.answers.text(group, None, question));
    let Some(text) = told else {
        return Ok(own);
    };
    let found = find_language(&house.library, text);
    if found.is_none() {
        let mistake = unknown_language(&house.library, text);
        writeln!(
            io.err,
            "warning: {mistake}; {}. The household reads best in another language: find someone who can read the papers with them",
            mistake.advice()
        )?;
    }
    Ok(found.unwrap_or(own))
}

/// Says which departures of a case stop at the safety floor, or do not count on the day.
fn overruled_said(lines: &[Overruled], form: &Path, io: &mut Io<'_>) -> std::io::Result<()> {
    let label = case_file::beside(form).display().to_string();
    let problems: Vec<Problem> = lines
        .iter()
        .filter_map(|line| {
            let (outcome, wanted) = (line.outcome.to_owned(), line.wanted.to_owned());
            let why = match line.came {
                Came::Ahead => format!("it begins on {}", line.by.date),
                Came::Expired => format!("it ended on {}", line.by.until),
                Came::BiteSince => {
                    format!("the bird has touched someone since {}", line.by.date)
                }
                Came::Loosened if line.held_by_floor => {
                    let now = line.now[1].to_owned();
                    let mistake = CaseDepartureHeld {
                        outcome,
                        wanted,
                        now,
                    };
                    return Some(Problem::of_file(&label, mistake));
                }
                Came::Loosened | Came::Tightened | Came::Nothing => return None,
            };
            let mistake = CaseDepartureOver {
                outcome,
                wanted,
                why,
            };
            Some(Problem::of_file(&label, mistake))
        })
        .collect();
    say(&problems, io)
}

/// The part of a rulebook that reads logs.
fn log_book(
    common: &Common,
    rulebook: &Rulebook,
    io: &mut Io<'_>,
) -> std::io::Result<Option<LogBook>> {
    let Some(house) = house(common, io)? else {
        return Ok(None);
    };
    log_book_of(&house, rulebook, io)
}

/// The same, of a house that is open already.
fn log_book_of(
    house: &House,
    rulebook: &Rulebook,
    io: &mut Io<'_>,
) -> std::io::Result<Option<LogBook>> {
    match house.log_book(rulebook) {
        Ok((book, _)) => Ok(Some(book)),
        Err(problems) => {
            say(&problems, io)?;
            Ok(None)
        }
    }
}

/// A log of a command, read with the form it belongs to, with its warnings said.
fn log(
    rulebook: &Rulebook,
    book: &LogBook,
    intake: &Intake,
    path: &Path,
    io: &mut Io<'_>,
) -> std::io::Result<Option<Log>> {
    let people = names(&rulebook.questionnaire, &intake.answers, "people.name");
    let reference = rulebook
        .questionnaire
        .find("case.reference")
        .and_then(|(group, question)| intake.answers.text(group, None, question));
    let household = Household {
        reference,
        people: people.as_deref(),
    };
    let read = Source::read(path)
        .map_err(|problem| vec![problem])
        .and_then(|source| Log::read(&book.questionnaire, household, &source, io.today));
    match read {
        Ok((log, warnings)) => {
            say(&warnings, io)?;
            Ok(Some(log))
        }
        Err(problems) => {
            say(&problems, io)?;
            Ok(None)
        }
    }
}

/// What was told to a question of a repeated group, entry by entry; `None` while the group was not told.
fn names(questionnaire: &Questionnaire, answers: &Answers, question: &str) -> Option<Vec<String>> {
    let (group, question) = questionnaire.find(question)?;
    let count = answers.entries(group)?.len();
    Some(
        (0..count)
            .filter_map(|item| answers.text(group, Some(item), question).map(str::to_owned))
            .collect(),
    )
}

/// Says problems on standard error, with a count when there are several.
fn say(problems: &[Problem], io: &mut Io<'_>) -> std::io::Result<()> {
    if problems.is_empty() {
        return Ok(());
    }
    io.err.write_all(render(problems, io.colour).as_bytes())?;
    let count = |severity| {
        problems
            .iter()
            .filter(|p| p.mistake.severity() == severity)
            .count()
    };
    let (errors, warnings) = (count(Severity::Error), count(Severity::Warning));
    let noun = |n: usize, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    writeln!(
        io.err,
        "{}, {}",
        noun(errors, "error"),
        noun(warnings, "warning")
    )
}
