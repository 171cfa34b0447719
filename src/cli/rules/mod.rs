//! `perchside rules`: check, list, show, new; compare in a file of its own.

mod compare;

use std::io;
use std::path::PathBuf;

use clap::{Subcommand, ValueEnum};
use jiff::civil::Date;
use serde_json::json;

use crate::decision::{decide, examples, mutate};
use crate::house::House;
use crate::intake::Intake;
use crate::library::Library;
use crate::mistake::{Problem, Report, sort};
use crate::mistakes::wording::TemplateDoesNotFit;
use crate::papers::engine::Engine;
use crate::papers::{PAPERS, Paper, catalogue};
use crate::plan::{Options, Plan};
use crate::rulebook::{Care, LogBook, Rulebook};
use crate::source::Source;
use crate::words::{closest, is_kebab};

use super::output::write_whole;
use super::{Common, Io, Outcome, log_book, rulebook, say};

/// How a list is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For a terminal.
    Text,
    /// A Markdown page.
    Md,
    /// JSON.
    Json,
}

/// How a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Plain {
    /// For a terminal.
    Text,
    /// JSON.
    Json,
}

/// The rulebook's commands.
#[derive(Debug, Subcommand)]
pub(super) enum Rules {
    /// Check every rule, measure, question and source, and run every example.
    Check {
        /// Text or json.
        #[arg(long, value_enum, default_value = "text")]
        format: Plain,
        /// Change every threshold, level, choice and quantifier one at a time, and list the changes that no example notices.
        #[arg(long)]
        mutate: bool,
    },
    /// List all rules with what they do.
    List {
        /// Text, md or json.
        #[arg(long, value_enum, default_value = "text")]
        format: Format,
        /// Only this topic.
        #[arg(long)]
        topic: Option<String>,
    },
    /// Show one rule, gate or measure.
    Show {
        /// Its id.
        id: String,
        /// Text or json.
        #[arg(long, value_enum, default_value = "text")]
        format: Plain,
    },
    /// Tell what a change of rules touches: what differs between two sets of rules, and what changes for each open case.
    Compare(compare::Compare),
    /// Start a new rule from a template, in the folder given by --rules.
    New {
        /// The topic, which is the folder it goes into.
        topic: String,
        /// The id, which is the name of its file.
        id: String,
    },
}

impl Rules {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        match self {
            Self::Check {
                mutate: true,
                format,
            } => mutate(common, format, io),
            Self::Check { format, .. } => check(common, format, io),
            Self::List { format, topic } => {
                let Some(rulebook) = rulebook(common, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let Some(book) = log_book(common, &rulebook, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let text = match format {
                    Format::Text => catalogue::list_text(&rulebook, &book, topic.as_deref()),
                    Format::Md if topic.as_deref() == Some("next-step") => {
                        catalogue::next_step_markdown(&rulebook, &book)
                    }
                    Format::Md => catalogue::list_markdown(&rulebook),
                    Format::Json => catalogue::list_json(&rulebook, &book, topic.as_deref()),
                };
                io.out.write_all(text.as_bytes())?;
                Ok(Outcome::Done)
            }
            Self::Show { id, format } => {
                let Some(rulebook) = rulebook(common, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let Some(book) = log_book(common, &rulebook, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let shown = if format == Plain::Json {
                    catalogue::show_json(&rulebook, &book, &id)
                } else {
                    catalogue::show_text(&rulebook, &book, &id)
                };
                let Some(text) = shown else {
                    return unknown_id(&rulebook, &id, io);
                };
                io.out.write_all(text.as_bytes())?;
                Ok(Outcome::Done)
            }
            Self::Compare(command) => command.run(common, io),
            Self::New { topic, id } => new(common, &topic, &id, io),
        }
    }
}

/// Says that an id is not known, with what may have been meant.
pub(super) fn unknown_id(rulebook: &Rulebook, id: &str, io: &mut Io<'_>) -> io::Result<Outcome> {
    let ids = rulebook
        .rules
        .iter()
        .map(|rule| rule.id.as_str())
        .chain(rulebook.gates.iter().map(|gate| gate.id.as_str()))
        .chain(rulebook.measures.keys().map(String::as_str));
    let meant = closest(id, ids).map_or_else(
        || "`perchside rules list` shows them all".to_owned(),
        |close| format!("did you mean `{close}`?"),
    );
    writeln!(
        io.err,
        "error: no rule, gate or measure is called `{id}`; {meant}"
    )?;
    Ok(Outcome::WrongUse)
}

fn check(common: &Common, format: Plain, io: &mut Io<'_>) -> io::Result<Outcome> {
    let library = match &common.rules {
        None => Ok(Library::embedded()),
        Some(folder) => Library::folder(folder),
    };
    let loaded = library.and_then(|library| {
        let house = House::open(library, common.practice.as_deref(), Care::Full, io.today)?;
        let (rulebook, mut problems) = Rulebook::load(&house.library, Care::Full)?;
        // What is wrong with it was told with the rulebook already.
        let (book, _) = LogBook::load(&house.library, &rulebook.tables, Care::Full)?;
        problems.extend(house.check_words());
        problems.extend(unfit(&house));
        Ok((rulebook, book, problems, house.own_words()))
    });
    let layer = match &loaded {
        Ok(_) => compare::layer(common, io)?,
        Err(_) => None,
    };
    let (problems, counts, own_words) = match loaded {
        Err(problems) => (problems, None, Vec::new()),
        Ok((rulebook, book, mut problems, own_words)) => {
            problems.extend(examples::failures(&rulebook));
            sort(&mut problems);
            let examples: usize = rulebook
                .rules
                .iter()
                .map(|r| r.examples.len())
                .sum::<usize>()
                + rulebook
                    .gates
                    .iter()
                    .map(|g| g.examples.len())
                    .sum::<usize>()
                + book.rules.iter().map(|r| r.examples.len()).sum::<usize>();
            let questions: usize = rulebook
                .questionnaire
                .groups
                .iter()
                .map(|g| g.questions.len())
                .sum();
            (
                problems,
                Some([
                    ("rules", rulebook.rules.len()),
                    ("gates", rulebook.gates.len()),
                    ("rules of the next step", book.rules.len()),
                    ("measures", rulebook.measures.len()),
                    ("questions", questions),
                    ("sources", rulebook.sources.len()),
                    ("examples", examples),
                ]),
                own_words,
            )
        }
    };
    let failed = problems.iter().any(Problem::is_error);
    if format == Plain::Json {
        let reports: Vec<Report> = problems.iter().map(Problem::report).collect();
        let counts: serde_json::Map<String, serde_json::Value> = counts
            .into_iter()
            .flatten()
            .map(|(name, count)| (name.to_owned(), json!(count)))
            .collect();
        let value = json!({"clean": problems.is_empty(), "counts": counts, "problems": reports, "replaced": own_words, "layer": layer.as_ref().map(|(difference, _)| difference)});
        writeln!(io.out, "{value:#}")?;
    } else {
        say(&problems, io)?;
        if let Some(counts) = counts {
            let line: Vec<String> = counts
                .iter()
                .map(|(name, count)| format!("{count} {name}"))
                .collect();
            writeln!(io.out, "{}", line.join(", "))?;
        }
        for own in &own_words {
            writeln!(io.out, "the practice's own: {own}")?;
        }
        if let Some((_, text)) = layer {
            io.out.write_all(text.as_bytes())?;
        }
        if problems.is_empty() {
            writeln!(io.out, "clean")?;
        }
    }
    Ok(if failed {
        Outcome::InputErrors
    } else {
        Outcome::Done
    })
}

/// Papers that cannot be made with a practice's own templates: each is filled for a form with nothing in it.
fn unfit(house: &House) -> Vec<Problem> {
    let mut problems = Vec::new();
    if house.templates.own().next().is_none() {
        return problems;
    }
    let form = Source::new("blank form", "{}");
    let today = Date::ZERO.with().year(2026).month(1).day(1).build();
    let (Ok((voiced, _)), Ok(today)) = (house.speaking(&house.practice.language), today) else {
        return problems;
    };
    let rulebook = &voiced.rulebook;
    let read = Intake::read(&rulebook.questionnaire, &rulebook.vocabulary, form, today);
    let Ok((intake, _)) = read else {
        return problems;
    };
    let decision = decide(rulebook, &intake.answers, today);
    let plan = Plan::of(rulebook, &intake, &decision, Options::default());
    let engine = Engine::speaking(house, &voiced);
    for name in PAPERS {
        if let Err(error) = Paper::of(&engine, &plan, name) {
            let reason = error.to_string();
            problems.push(Problem::of_file(
                &format!("templates/{}", error.template),
                TemplateDoesNotFit { reason },
            ));
        }
    }
    problems
}

/// Tries every single change of every rule against the examples.
fn mutate(common: &Common, format: Plain, io: &mut Io<'_>) -> io::Result<Outcome> {
    let library = match &common.rules {
        None => Ok(Library::embedded()),
        Some(folder) => Library::folder(folder),
    };
    let loaded = library.and_then(|library| {
        let (rulebook, _) = Rulebook::load(&library, Care::Full)?;
        let (book, _) = LogBook::load(&library, &rulebook.tables, Care::Full)?;
        Ok((rulebook, book))
    });
    let (rulebook, book) = match loaded {
        Ok(loaded) => loaded,
        Err(problems) => {
            say(&problems, io)?;
            return Ok(Outcome::InputErrors);
        }
    };
    let mut mutation = mutate::mutate(&rulebook);
    let of_log = mutate::mutate_next_step(&book);
    mutation.tried += of_log.tried;
    mutation.unnoticed.extend(of_log.unnoticed);
    let noticed = mutation.tried - mutation.unnoticed.len();
    if format == Plain::Json {
        let list: Vec<_> = mutation
            .unnoticed
            .iter()
            .map(|u| json!({"id": u.id, "change": u.change, "would-notice": u.would_notice.as_ref().map(|(kind, text)| format!("{}: {text}", kind.word()))}))
            .collect();
        writeln!(
            io.out,
            "{:#}",
            json!({"tried": mutation.tried, "noticed": noticed, "unnoticed": list})
        )?;
        return Ok(Outcome::Done);
    }
    for unnoticed in &mutation.unnoticed {
        writeln!(io.out, "{}: {}", unnoticed.id, unnoticed.change)?;
        if let Some((kind, text)) = &unnoticed.would_notice {
            writeln!(io.out, "  - {}: {text}", kind.word())?;
        }
    }
    writeln!(io.out, "{noticed} of {} changes noticed", mutation.tried)?;
    Ok(Outcome::Done)
}

fn new(common: &Common, topic: &str, id: &str, io: &mut Io<'_>) -> io::Result<Outcome> {
    for (what, word) in [("topic", topic), ("id", id)] {
        if !is_kebab(word)
            || [
                "questions",
                "measures",
                "cases",
                "species",
                "log",
                "languages",
            ]
            .contains(&word)
        {
            writeln!(
                io.err,
                "error: the {what} `{word}` has to be lower-case words joined by hyphens, and no reserved folder"
            )?;
            return Ok(Outcome::WrongUse);
        }
    }
    let Some(folder) = &common.rules else {
        writeln!(
            io.err,
            "error: say where the rulebook lies, for example `--rules rules`"
        )?;
        return Ok(Outcome::WrongUse);
    };
    if !folder.is_dir() {
        writeln!(io.err, "error: there is no folder {}", folder.display())?;
        return Ok(Outcome::InputErrors);
    }
    let path: PathBuf = folder.join(topic).join(format!("{id}.yaml"));
    if path.exists() {
        writeln!(io.err, "error: {} is there already", path.display())?;
        return Ok(Outcome::InputErrors);
    }
    write_whole(&path, &catalogue::scaffold(topic, id))?;
    writeln!(
        io.err,
        "wrote {}; fill it in, then run `perchside rules check --rules {}`",
        path.display(),
        folder.display()
    )?;
    Ok(Outcome::Done)
}
