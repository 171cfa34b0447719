//! Invented enquiries and full forms in any number, for benchmarks and for trying things out.
//!
//! ```sh
//! cargo run --release --example generate -- --seed 7 --count 1000 --kind enquiry --form jsonl --out enquiries.jsonl
//! cargo run --release --example generate -- --count 20 --kind mixed --form yaml --out some-homes/
//! cargo run --release --example generate -- --count 500 --broken 0.02 --form csv > enquiries.csv
//! ```
//!
//! | option | says |
//! |---|---|
//! | `--seed N` | which forms: the same seed gives the same bytes, on every machine |
//! | `--count N` | how many; the first forms are the same however many follow |
//! | `--kind` | `enquiry` (first messages, 0.3 to 1.2 KB), `intake` (full forms, 2 to 4 KB), `mixed` |
//! | `--form` | `yaml` (many documents), `json` (one array), `jsonl` (a line each), `csv` (a row each: `case.region`, `people.1.age`) |
//! | `--out` | a file; for `yaml` and `json` a folder as well, with a file to each form. Without it, all goes to standard output |
//! | `--broken SHARE` | how many have something wrong: a misspelt question, a wrong unit, no such answer, a repeated key, no YAML, half a form, nothing |
//! | `--day` | the day they are made for: nothing has happened after it |
//!
//! Every form starts from one of the example homes or expert cases in this repository and is varied by the questionnaire's own types, so a
//! new question needs no change here. Three in a hundred are a second message of a home that has written before. All are invented:
//! addresses end in a domain that is kept for examples, and telephone numbers are those kept for stories. A form without a fault reads
//! without an error; one with a fault does not. In a table, and in one JSON array, only faults that stay in their own row are made. A table
//! cannot say that a list is empty, so it leaves that out.

#[path = "generate/mod.rs"]
mod generate;

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Parser, ValueEnum};
use jiff::civil::Date;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::questionnaire::Questionnaire;
use perchside::rulebook::{Care, Rulebook};

use generate::generator::{Generator, Made, Order, Sort};
use generate::homes::Homes;
use generate::write::cells;

/// Invented enquiries and full forms.
#[derive(Debug, Parser)]
struct Options {
    /// Which forms: the same seed gives the same bytes.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    /// How many.
    #[arg(long, default_value_t = 100)]
    count: u64,
    /// First messages, full forms, or both.
    #[arg(long, value_enum, default_value = "enquiry")]
    kind: Kind,
    /// How they are written.
    #[arg(long, value_enum, default_value = "yaml")]
    form: Format,
    /// A file; for yaml and json also a folder, with one file to each form.
    #[arg(long)]
    out: Option<PathBuf>,
    /// The share that has something wrong, from 0 to 1, to a thousandth.
    #[arg(long, default_value_t = 0.0)]
    broken: f64,
    /// The day they are made for.
    #[arg(long, default_value = "2026-11-25")]
    day: Date,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Kind {
    Enquiry,
    Intake,
    Mixed,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Yaml,
    Json,
    Jsonl,
    Csv,
}

fn main() -> ExitCode {
    match run(&Options::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(told) => {
            eprintln!("{told}");
            ExitCode::FAILURE
        }
    }
}

fn run(options: &Options) -> Result<(), String> {
    if !(0.0..=1.0).contains(&options.broken) {
        return Err("`--broken` takes a share from 0 to 1".to_owned());
    }
    let library = Library::embedded();
    let (rulebook, _) =
        Rulebook::load(&library, Care::Trusted).map_err(|problems| render(&problems, false))?;
    let homes = Homes::of(Path::new(env!("CARGO_MANIFEST_DIR")))?;
    let order = Order {
        seed: options.seed,
        sort: match options.kind {
            Kind::Enquiry => Sort::Enquiry,
            Kind::Intake => Sort::Intake,
            Kind::Mixed => Sort::Mixed,
        },
        broken: (options.broken * 1000.0).round() as usize,
        day: options.day,
    };
    let mut writer = Writer {
        generator: Generator::new(&rulebook, &homes, order)?,
        questionnaire: &rulebook.questionnaire,
        options,
        tally: Tally::default(),
    };
    let several = matches!(options.form, Format::Yaml | Format::Json);
    let result = match &options.out {
        // A name without an ending is a folder.
        Some(folder) if several && (folder.is_dir() || folder.extension().is_none()) => {
            writer.files(folder)
        }
        Some(file) => File::create(file).and_then(|file| writer.stream(BufWriter::new(file))),
        None => writer.stream(BufWriter::new(io::stdout().lock())),
    };
    match result {
        // Whoever reads has enough.
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        Err(error) => {
            let place = options
                .out
                .as_deref()
                .unwrap_or(Path::new("standard output"));
            Err(format!("{}: {error}", place.display()))
        }
        Ok(()) => {
            let Tally {
                enquiries,
                intakes,
                twins,
                faults,
            } = writer.tally;
            eprintln!(
                "{enquiries} first messages, {intakes} full forms; {twins} of them second messages of a home, {faults} with a fault"
            );
            Ok(())
        }
    }
}

/// What was written.
#[derive(Debug, Default)]
struct Tally {
    enquiries: u64,
    intakes: u64,
    twins: u64,
    faults: u64,
}

impl Tally {
    fn add(&mut self, made: &Made<'_>) {
        *(if made.is_enquiry {
            &mut self.enquiries
        } else {
            &mut self.intakes
        }) += 1;
        self.twins += u64::from(made.twin_of.is_some());
        self.faults += u64::from(made.fault.is_some());
    }
}

/// Writes what was asked for.
struct Writer<'w> {
    generator: Generator<'w>,
    questionnaire: &'w Questionnaire,
    options: &'w Options,
    tally: Tally,
}

impl<'w> Writer<'w> {
    /// A file to each form, in an empty folder.
    fn files(&mut self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)?;
        if fs::read_dir(folder)?.next().is_some() {
            return Err(io::Error::new(
                ErrorKind::AlreadyExists,
                "this folder is not empty",
            ));
        }
        let (as_json, ending) = match self.options.form {
            Format::Json => (true, "json"),
            _ => (false, "yaml"),
        };
        for at in 0..self.options.count {
            let text = self.text(at, as_json, true);
            fs::write(folder.join(format!("{at:05}.{ending}")), ended(text))?;
        }
        Ok(())
    }

    fn text(&mut self, at: u64, as_json: bool, alone: bool) -> String {
        let mut made = self.generator.form(at);
        self.tally.add(&made);
        self.generator.text(&mut made, as_json, alone)
    }

    /// All forms one after the other.
    fn stream(&mut self, mut out: impl Write) -> io::Result<()> {
        let count = self.options.count;
        match self.options.form {
            Format::Csv => return self.table(out),
            Format::Yaml => {
                for at in 0..count {
                    write!(out, "---\n{}", ended(self.text(at, false, true)))?;
                }
            }
            Format::Jsonl => {
                for at in 0..count {
                    writeln!(out, "{}", self.text(at, true, true))?;
                }
            }
            Format::Json => {
                writeln!(out, "[")?;
                for at in 0..count {
                    let comma = if at + 1 < count { "," } else { "" };
                    writeln!(out, "{}{comma}", self.text(at, true, false))?;
                }
                writeln!(out, "]")?;
            }
        }
        out.flush()
    }

    /// A row to each form. The first time through tells which columns there are.
    fn table(&mut self, out: impl Write) -> io::Result<()> {
        let mut columns: BTreeSet<String> = BTreeSet::new();
        for at in 0..self.options.count {
            columns.extend(self.row(&mut self.generator.form(at)).into_keys());
        }
        let mut columns: Vec<String> = columns.into_iter().collect();
        columns.sort_by_key(|column| self.place(column));
        let mut table = csv::Writer::from_writer(out);
        table.write_record(&columns)?;
        for at in 0..self.options.count {
            let mut made = self.generator.form(at);
            self.tally.add(&made);
            let row = self.row(&mut made);
            let cells = columns
                .iter()
                .map(|column| row.get(column).map_or("", String::as_str));
            table.write_record(cells)?;
        }
        table.flush()
    }

    fn row(&self, made: &mut Made<'w>) -> BTreeMap<String, String> {
        cells(&self.generator.tree(made, false, true))
    }

    /// Where a column stands in the form: group, block, question.
    fn place(&self, column: &str) -> Option<(usize, usize, usize)> {
        let (group, rest) = column.split_once('.')?;
        let (block, question) = rest.split_once('.').unwrap_or(("0", rest));
        let (at, question) = self.questionnaire.find(&format!("{group}.{question}"))?;
        Some((at, block.parse().ok()?, question))
    }
}

/// With a line end, as far as there is a line.
fn ended(mut text: String) -> String {
    if !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    text
}
