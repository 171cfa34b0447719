//! `perchside exercise`: a blind exercise handed out, and its answers held against each other.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::Date;

use crate::exercise::{Exercise, Head, Scored, day_behind, gathered, id_of};
use crate::house::House;
use crate::mistake::Problem;
use crate::papers::engine::Engine;
use crate::papers::exercise as papers;
use crate::rulebook::Rulebook;
use crate::source::Source;
use crate::wording::Practice;

use super::output::write_whole;
use super::plan::redaction::{account_said, nothing_left};
use super::{Common, Io, Outcome, house, intake, say, speaking};

/// What to do with an exercise.
#[derive(Debug, Subcommand)]
pub(super) enum ExerciseCommand {
    /// Make an exercise of a form: the case without names and without what the rulebook makes of it, and a sheet to fill in.
    Write(Write),
    /// Hold the sheets of several people against each other and against the rulebook, as a page for the meeting.
    Score(Score),
}

/// Arguments of `exercise write`.
#[derive(Debug, Args)]
pub(super) struct Write {
    /// The filled-in form.
    intake: PathBuf,
    /// Write the case and the sheet into this folder.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
}

/// A form the page takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// The figures in short, for the terminal.
    Text,
    /// Markdown.
    Md,
    /// One HTML page.
    Html,
    /// Everything as JSON.
    Json,
}

/// Arguments of `exercise score`.
#[derive(Debug, Args)]
pub(super) struct Score {
    /// The forms the exercises were made from.
    #[arg(required = true)]
    intakes: Vec<PathBuf>,
    /// Sheets that were filled in, or folders of them.
    #[arg(long, required = true, num_args = 1.., value_name = "FILE-or-DIR")]
    answers: Vec<PathBuf>,
    /// In which form.
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
    /// Print people's names beside their codes.
    #[arg(long)]
    names: bool,
}

/// What exercises are made with: the house without its name, so that nothing of it gets into a case.
struct Desk {
    rulebook: Rulebook,
    engine: Engine,
    practice: Practice,
    texts: String,
}

impl Desk {
    fn of(common: &Common, io: &mut Io<'_>) -> io::Result<Option<Self>> {
        let Some(house) = house(common, io)? else {
            return Ok(None);
        };
        let practice = house.practice.clone();
        let house: House = house.unnamed();
        let Some(voiced) = speaking(&house, &house.practice.language, io)? else {
            return Ok(None);
        };
        Ok(Some(Self {
            engine: Engine::speaking(&house, &voiced),
            texts: house.all_texts(),
            rulebook: voiced.rulebook,
            practice,
        }))
    }

    fn exercise(
        &self,
        intake: &crate::intake::Intake,
        today: Date,
    ) -> Result<Exercise, Vec<Problem>> {
        Exercise::of(&self.rulebook, intake, today, &self.practice, &self.texts)
    }
}

impl ExerciseCommand {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(desk) = Desk::of(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        match self {
            Self::Write(write) => write.run(&desk, io),
            Self::Score(score) => score.run(&desk, io),
        }
    }
}

impl Write {
    fn run(&self, desk: &Desk, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(intake) = intake(&desk.rulebook, &self.intake, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let exercise = match desk.exercise(&intake, io.today) {
            Ok(exercise) => exercise,
            Err(problems) => {
                say(&problems, io)?;
                return Ok(Outcome::InputErrors);
            }
        };
        account_said(&exercise.case, io)?;
        let (markdown, html) = papers::case(&desk.engine, &exercise).map_err(io::Error::other)?;
        let sheet =
            papers::sheet(&desk.engine, &desk.rulebook, &exercise).map_err(io::Error::other)?;
        let files = [
            ("case.md", markdown),
            ("case.html", html),
            ("answers.yaml", sheet),
        ]
        .map(|(name, text)| (name.to_owned(), text));
        if !nothing_left(&exercise.case.secrets, &files, &desk.texts, io)? {
            return Ok(Outcome::InputErrors);
        }
        for (name, text) in &files {
            let path = self.out.join(name);
            write_whole(&path, text)?;
            writeln!(io.err, "wrote {}", path.display())?;
        }
        Ok(Outcome::Done)
    }
}

impl Score {
    fn run(&self, desk: &Desk, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(sources) = self.sheets(io)? else {
            return Ok(Outcome::InputErrors);
        };
        // The day that the sheets bear is the day for which the rulebook is asked.
        let mut days: BTreeMap<String, Date> = BTreeMap::new();
        for head in sources.iter().map(Head::of) {
            if let (Some(exercise), Some(day)) = (head.exercise, head.day) {
                days.entry(exercise).or_insert(day);
            }
        }
        let mut exercises: Vec<Exercise> = Vec::new();
        let mut sound = true;
        for path in &self.intakes {
            let Some(intake) = intake(&desk.rulebook, path, io)? else {
                sound = false;
                continue;
            };
            let id = id_of(&intake);
            if exercises.iter().any(|exercise| exercise.id == id) {
                continue;
            }
            let today = days.get(&id).map_or(io.today, |moved| {
                day_behind(&desk.rulebook, &intake, *moved)
            });
            match desk.exercise(&intake, today) {
                Ok(exercise) => exercises.push(exercise),
                Err(problems) => {
                    say(&problems, io)?;
                    sound = false;
                }
            }
        }
        if !sound {
            return Ok(Outcome::InputErrors);
        }
        let sheets = match gathered(&desk.rulebook, &exercises, &sources) {
            Ok((sheets, warnings)) => {
                say(&warnings, io)?;
                sheets
            }
            Err(problems) => {
                say(&problems, io)?;
                return Ok(Outcome::InputErrors);
            }
        };
        for (at, exercise) in exercises.iter().enumerate() {
            if sheets.iter().all(|sheet| sheet.exercise != at) {
                writeln!(
                    io.err,
                    "warning: nobody answered the exercise {} ({})",
                    exercise.id, exercise.file
                )?;
            }
            if !exercise.case.differs.is_empty() {
                writeln!(
                    io.err,
                    "warning: {}: without place and whole dates these come out another way than in the real case, and people are held against that: {}",
                    exercise.file,
                    exercise.case.differs.join(", ")
                )?;
            }
        }
        let scored = Scored::of(&desk.rulebook, &exercises, &sheets, self.names);
        let value = papers::value(&desk.rulebook, &exercises, &scored);
        let meeting = || papers::meeting(&desk.engine, &value).map_err(io::Error::other);
        let text = match self.format {
            Format::Text => papers::text(&desk.engine, &value).map_err(io::Error::other)?,
            Format::Md => meeting()?.markdown(),
            Format::Html => meeting()?.html(&desk.engine).map_err(io::Error::other)?,
            Format::Json => format!("{value:#}\n"),
        };
        io.out.write_all(text.as_bytes())?;
        Ok(Outcome::Done)
    }

    /// All sheets: files as they were given, and those of folders in the order of their paths.
    fn sheets(&self, io: &mut Io<'_>) -> io::Result<Option<Vec<Source>>> {
        let mut files: Vec<PathBuf> = Vec::new();
        for path in &self.answers {
            if path.is_dir() {
                gather(path, &mut files)?;
            } else {
                files.push(path.clone());
            }
        }
        let mut seen = std::collections::BTreeSet::new();
        files.retain(|path| seen.insert(path.clone()));
        if files.is_empty() {
            writeln!(
                io.err,
                "error: no sheet was found; sheets end in .yaml or .yml"
            )?;
            return Ok(None);
        }
        let mut sources = Vec::new();
        let mut problems = Vec::new();
        for path in &files {
            match Source::read(path) {
                Ok(source) => sources.push(source),
                Err(problem) => problems.push(problem),
            }
        }
        say(&problems, io)?;
        Ok(problems.is_empty().then_some(sources))
    }
}

/// The sheets below a folder.
fn gather(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<io::Result<_>>()?;
    entries.sort();
    for path in entries {
        let is_sheet = path
            .extension()
            .is_some_and(|end| end == "yaml" || end == "yml");
        if path.is_dir() && !path.is_symlink() {
            gather(&path, files)?;
        } else if is_sheet && path.is_file() {
            files.push(path);
        }
    }
    Ok(())
}
