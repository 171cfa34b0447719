//! Triage as a whole against the YAML crate alone, and the whole process: what has to be reached, and what is.
//!
//! `cargo bench --bench whole` (some two minutes; alone on the machine). Forms are made by the generator of `examples/generate.rs`,
//! with the same seed every time. Every figure is the median of several runs; peak memory is what the system says of the process.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod bare;
#[path = "../examples/generate/mod.rs"]
#[allow(dead_code)]
mod generate;

use std::fs::File;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use generate::generator::{Generator, Order, Sort};
use generate::homes::Homes;
use jiff::civil::{Date, date};
use perchside::decision::brief::Briefing;
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::rulebook::{Care, Rulebook};
use perchside::source::Source;

const TODAY: Date = date(2026, 11, 25);
const NOW: &str = "2026-11-25T10:00";
/// Full forms.
const INTAKES: u64 = 10_000;
/// First messages.
const ENQUIRIES: u64 = 200_000;
const RUNS: usize = 5;

fn main() {
    // `cargo test --benches` only wants to know that it builds.
    if !std::env::args().any(|arg| arg == "--bench") {
        return;
    }
    let rulebook = Rulebook::load(&Library::embedded(), Care::Trusted)
        .unwrap()
        .0;
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("whole");
    std::fs::create_dir_all(&folder).unwrap();
    println!("cores: {}", std::thread::available_parallelism().unwrap());

    let (yaml, json) = forms(&rulebook, Sort::Intake, INTAKES);
    let bytes: usize = yaml.iter().map(String::len).sum();
    println!(
        "{INTAKES} full forms, {} bytes each on average",
        bytes / yaml.len()
    );
    decision(&rulebook, &yaml);

    let yaml_file = folder.join("intakes.yaml");
    std::fs::write(&yaml_file, format!("---\n{}", yaml.join("\n---\n"))).unwrap();
    let json_file = folder.join("intakes.jsonl");
    std::fs::write(&json_file, json.join("\n")).unwrap();

    let bare = median(|| {
        let start = Instant::now();
        for text in &yaml {
            black_box(serde_yaml::from_str::<bare::Form>(black_box(text)).unwrap());
        }
        start.elapsed()
    });
    let triage = |file: &Path, threads: &str| {
        median(|| {
            run(
                &[
                    "triage",
                    file.to_str().unwrap(),
                    "--now",
                    NOW,
                    "--format",
                    "jsonl",
                    "--threads",
                    threads,
                ],
                None,
            )
            .0
        })
    };
    let rate = |time: Duration| INTAKES as f64 / time.as_secs_f64();
    let one = triage(&yaml_file, "1");
    let two = triage(&yaml_file, "2");
    let lines = triage(&json_file, "1");
    let lines_two = triage(&json_file, "2");
    println!(
        "the YAML crate alone, into types     {:>9.0} a second",
        rate(bare)
    );
    tell(
        "triage, YAML, one core",
        format!(
            "{:.0} a second, {:.0} % of it",
            rate(one),
            100.0 * rate(one) / rate(bare)
        ),
        rate(one) >= 0.6 * rate(bare),
        "at least 60 %",
    );
    tell(
        "triage, JSON Lines, one core",
        format!(
            "{:.0} a second, {:.1} times YAML",
            rate(lines),
            rate(lines) / rate(one)
        ),
        rate(lines) >= 4.0 * rate(one),
        "at least 4 times",
    );
    tell(
        "triage, YAML, two cores",
        format!(
            "{:.0} a second, {:.2} times one",
            rate(two),
            rate(two) / rate(one)
        ),
        rate(two) >= 1.7 * rate(one),
        "at least 1.7 times",
    );
    tell(
        "triage, JSON Lines, two cores",
        format!(
            "{:.0} a second, {:.2} times one",
            rate(lines_two),
            rate(lines_two) / rate(lines)
        ),
        rate(lines_two) >= 1.7 * rate(lines),
        "at least 1.7 times",
    );

    let many = folder.join("enquiries.jsonl");
    std::fs::write(
        &many,
        forms(&rulebook, Sort::Enquiry, ENQUIRIES).1.join("\n"),
    )
    .unwrap();
    for (what, more) in [
        ("ranked", vec!["--format", "jsonl"]),
        ("ranked, as CSV", vec!["--format", "csv"]),
        ("as a stage of a pipe", vec!["--unranked"]),
    ] {
        let mut args = vec!["triage", "--from", "jsonl", "--now", NOW];
        args.extend(more);
        let (time, peak) = run(&args, Some(&many));
        tell(
            &format!("{ENQUIRIES} enquiries from standard input, {what}"),
            format!(
                "{:.1} s, {:.0} a second, peak {:.1} MB",
                time.as_secs_f64(),
                ENQUIRIES as f64 / time.as_secs_f64(),
                peak as f64 / 1024.0
            ),
            peak < 64 * 1024,
            "under 64 MB",
        );
    }

    let single = folder.join("one.yaml");
    std::fs::write(&single, &yaml[0]).unwrap();
    let mut times: Vec<Duration> = (0..41)
        .map(|_| run(&["triage", single.to_str().unwrap(), "--now", NOW], None).0)
        .collect();
    times.sort_unstable();
    tell(
        "start-up: triage of one form, whole process",
        format!("{:.1} ms", 1e3 * times[times.len() / 2].as_secs_f64()),
        times[times.len() / 2] < Duration::from_millis(15),
        "under 15 ms",
    );
}

/// The decision alone, without its trace, against parsing the same forms.
fn decision(rulebook: &Rulebook, yaml: &[String]) {
    let briefing = Briefing::of(rulebook, TODAY);
    let answers: Vec<_> = yaml
        .iter()
        .take(1000)
        .map(|text| {
            Intake::read(
                &rulebook.questionnaire,
                &rulebook.vocabulary,
                Source::new("form", text.as_str()),
                TODAY,
            )
            .unwrap()
            .0
            .answers
        })
        .collect();
    let each = |time: Duration| 1e6 * time.as_secs_f64() / answers.len() as f64;
    let parse = each(median(|| {
        let start = Instant::now();
        for text in &yaml[..1000] {
            black_box(serde_yaml::from_str::<bare::Form>(black_box(text)).unwrap());
        }
        start.elapsed()
    }));
    let outcomes = each(median(|| {
        let start = Instant::now();
        for answers in &answers {
            black_box(briefing.verdict(&briefing.facts(black_box(answers))));
        }
        start.elapsed()
    }));
    let count = answers.len() as f64;
    let asked = median(|| {
        let start = Instant::now();
        for answers in &answers {
            let mut facts = briefing.facts(answers);
            black_box(briefing.decide(answers, &mut facts, &|group, question| {
                rulebook.triage.rank(group, question)
            }));
        }
        start.elapsed()
    });
    tell(
        "decision of a full form, facts and outcomes",
        format!(
            "{outcomes:.1} µs, {:.0} % of parsing its YAML ({parse:.0} µs)",
            100.0 * outcomes / parse
        ),
        outcomes <= 30.0 && outcomes <= 0.4 * parse,
        "at most 30 µs and 40 %",
    );
    let asked = 1e6 * asked.as_secs_f64() / count;
    tell(
        "the same, with what to ask first",
        format!("{asked:.1} µs"),
        asked <= 30.0,
        "at most 30 µs",
    );
}

/// Forms as YAML and as JSON.
fn forms(rulebook: &Rulebook, sort: Sort, count: u64) -> (Vec<String>, Vec<String>) {
    let homes = Homes::of(Path::new(env!("CARGO_MANIFEST_DIR"))).unwrap();
    let order = Order {
        seed: 7,
        sort,
        broken: 0,
        day: TODAY,
    };
    let generator = Generator::new(rulebook, &homes, order).unwrap();
    (0..count)
        .map(|at| {
            let mut made = generator.form(at);
            let yaml = if sort == Sort::Enquiry {
                String::new()
            } else {
                generator.text(&mut made, false, false)
            };
            (yaml, generator.text(&mut made, true, false))
        })
        .unzip()
}

/// Runs the program: how long it took, and its peak memory in KB.
fn run(args: &[&str], input: Option<&Path>) -> (Duration, u64) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_perchside"));
    command
        .args(args)
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    match input {
        Some(path) => command.stdin(File::open(path).unwrap()),
        None => command.stdin(Stdio::null()),
    };
    let start = Instant::now();
    let mut child = command.spawn().unwrap();
    let mut peak = 0;
    if input.is_none() {
        child.wait().unwrap();
        return (start.elapsed(), peak);
    }
    // The mark only rises, so the last look before the end is all but the end.
    let status = format!("/proc/{}/status", child.id());
    while child.try_wait().unwrap().is_none() {
        let seen = std::fs::read_to_string(&status).unwrap_or_default();
        let mark = seen.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kb = mark.and_then(|mark| mark.trim().strip_suffix(" kB")?.parse().ok());
        peak = kb.unwrap_or(0).max(peak);
        std::thread::sleep(Duration::from_millis(5));
    }
    (start.elapsed(), peak)
}

fn median(mut run: impl FnMut() -> Duration) -> Duration {
    let mut times: Vec<Duration> = (0..RUNS).map(|_| run()).collect();
    times.sort_unstable();
    times[RUNS / 2]
}

fn tell(what: &str, figure: String, reached: bool, wanted: &str) {
    let mark = if reached { "reached" } else { "NOT REACHED" };
    println!("{what}: {figure} ({wanted}: {mark})");
}
