//! Mutation of the figures: every number changed by 1 % (a whole number by one), every comparison and sign turned round. At least
//! 95 in 100 changes that compile have to break a test of the figures. The figures need nothing but the standard library, so they
//! are compiled alone. It takes long, so it runs on request:
//! `cargo test --test figures_mutants -- --ignored --nocapture`, with `FIGURES=energy,food` for some files only.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// One change to one file.
struct Mutant {
    file: PathBuf,
    line: usize,
    was: String,
    becomes: String,
    text: String,
}

const OPERATORS: &[(&str, &str)] = &[
    (" <= ", " < "),
    (" < ", " <= "),
    (" >= ", " > "),
    (" > ", " >= "),
    (" == ", " != "),
    (" != ", " == "),
    (" && ", " || "),
    (" || ", " && "),
    (" + ", " - "),
    (" - ", " + "),
    (" * ", " / "),
    (" / ", " * "),
    (".min(", ".max("),
    (".max(", ".min("),
    (".floor()", ".ceil()"),
    (".ceil()", ".floor()"),
    ("true", "false"),
    ("false", "true"),
    ("Some(true)", "None"),
    ("Some(false)", "None"),
];

fn files(folder: &Path, into: &mut Vec<PathBuf>) {
    let mut entries: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            files(&path, into);
        } else {
            into.push(path);
        }
    }
}

/// The code of a line: no comment, no attribute, no text in quotes (blanked out, so that places stay).
fn code(line: &str) -> String {
    let trimmed = line.trim_start();
    if trimmed.starts_with("//") || trimmed.starts_with('#') {
        return " ".repeat(line.len());
    }
    let mut out = String::with_capacity(line.len());
    let (mut quoted, mut escaped) = (false, false);
    let mut chars = line.chars().peekable();
    while let Some(c) = chars.next() {
        if quoted {
            (quoted, escaped) = match c {
                _ if escaped => (true, false),
                '\\' => (true, true),
                '"' => (false, false),
                _ => (true, false),
            };
            out.extend(std::iter::repeat_n(' ', c.len_utf8()));
        } else if c == '"' {
            quoted = true;
            out.push(' ');
        } else if c == '/' && chars.peek() == Some(&'/') {
            out.push_str(&" ".repeat(line.len() - out.len()));
            break;
        } else {
            out.push(c);
        }
    }
    out
}

/// Numbers of a line: where each stands.
fn numbers(code: &str) -> Vec<std::ops::Range<usize>> {
    let bytes = code.as_bytes();
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let before = at.checked_sub(1).map(|b| bytes[b]);
        let starts = bytes[at].is_ascii_digit()
            && !before.is_some_and(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'.');
        if !starts {
            at += 1;
            continue;
        }
        let start = at;
        while at < bytes.len()
            && (bytes[at].is_ascii_digit()
                || bytes[at] == b'_'
                || (bytes[at] == b'.' && bytes.get(at + 1).is_some_and(u8::is_ascii_digit)))
        {
            at += 1;
        }
        // 1e-7: the exponent stays.
        found.push(start..at);
        while at < bytes.len() && (bytes[at].is_ascii_alphanumeric() || bytes[at] == b'_') {
            at += 1;
        }
        if at < bytes.len() && bytes[at] == b'-' && bytes[at - 1] == b'e' {
            at += 1;
            while at < bytes.len() && bytes[at].is_ascii_digit() {
                at += 1;
            }
        }
    }
    found
}

fn changed(number: &str) -> String {
    let plain: String = number.chars().filter(|c| *c != '_').collect();
    if plain.contains('.') {
        let value: f64 = plain.parse().unwrap();
        let value = if value == 0.0 { 0.01 } else { value * 1.01 };
        format!("{value:?}")
    } else {
        (plain.parse::<u128>().unwrap() + 1).to_string()
    }
}

fn mutants(file: &Path) -> Vec<Mutant> {
    let text = fs::read_to_string(file).unwrap();
    let end = text.find("#[cfg(test)]").unwrap_or(text.len());
    let mut found = Vec::new();
    let mut offset = 0;
    for (line, content) in text.lines().enumerate() {
        if offset >= end {
            break;
        }
        let code = code(content);
        let mut push = |range: std::ops::Range<usize>, becomes: String| {
            let mut mutated = text.clone();
            let was = content[range.clone()].to_owned();
            mutated.replace_range(offset + range.start..offset + range.end, &becomes);
            found.push(Mutant {
                file: file.to_owned(),
                line: line + 1,
                was,
                becomes,
                text: mutated,
            });
        };
        for range in numbers(&code) {
            let becomes = changed(&content[range.clone()]);
            push(range, becomes);
        }
        for (operator, becomes) in OPERATORS {
            for (at, _) in code.match_indices(operator) {
                // `Some(true)` is one change, `true` alone another; bounds such as `T: A + B` do not compile and fall out.
                push(at..at + operator.len(), (*becomes).to_owned());
            }
        }
        offset += content.len() + 1;
    }
    found
}

/// The chains over two days take longer than all other tests together. A change elsewhere is not theirs to notice.
const SLOW: &str = "two_days";

/// Compiles a copy of the figures and runs its tests, those of the slow part only when asked to: `None` when it does not compile.
fn passes(folder: &Path, with_slow: bool) -> Option<bool> {
    let binary = folder.join("tests");
    let compiled = Command::new(std::env::var("RUSTC").unwrap_or_else(|_| "rustc".to_owned()))
        .args([
            "--edition",
            "2024",
            "--test",
            "-A",
            "warnings",
            "-C",
            "debuginfo=0",
            "-C",
            // The slow part pays for being compiled with care.
            if with_slow {
                "opt-level=1"
            } else {
                "opt-level=0"
            },
            "-C",
        ])
        .arg(format!(
            "incremental={}",
            folder.join(format!("cache-{with_slow}")).display()
        ))
        .arg(folder.join("root.rs"))
        .arg("-o")
        .arg(&binary)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    if !compiled.success() {
        return None;
    }
    let mut child = Command::new(&binary)
        .args(["-q", "--test-threads=1"])
        .args(if with_slow {
            &[][..]
        } else {
            &["--skip", SLOW][..]
        })
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let started = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return Some(status.success());
        }
        // A change that never ends is noticed as well.
        if started.elapsed() > Duration::from_secs(30) {
            child.kill().unwrap();
            child.wait().unwrap();
            return Some(false);
        }
        std::thread::sleep(Duration::from_millis(2));
    }
}

#[test]
#[ignore = "takes long; run it after a change to the figures"]
fn a_changed_figure_breaks_a_test() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/figures");
    let wanted = std::env::var("FIGURES").ok();
    let mut all = Vec::new();
    files(&source, &mut all);
    let mut queue: Vec<Mutant> = Vec::new();
    for file in &all {
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        if wanted
            .as_ref()
            .is_none_or(|wanted| wanted.split(',').any(|w| w == name))
        {
            queue.extend(mutants(file));
        }
    }
    queue.reverse();
    let total = queue.len();
    let queue = Mutex::new(queue);
    let tally: Mutex<(usize, usize, Vec<String>)> = Mutex::new((0, 0, Vec::new()));
    let by_file: Mutex<BTreeMap<PathBuf, (usize, usize)>> = Mutex::new(BTreeMap::new());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                let folder = tempfile::tempdir().unwrap();
                for file in &all {
                    let copy = folder
                        .path()
                        .join("figures")
                        .join(file.strip_prefix(&source).unwrap());
                    fs::create_dir_all(copy.parent().unwrap()).unwrap();
                    fs::copy(file, copy).unwrap();
                }
                fs::write(
                    folder.path().join("root.rs"),
                    "#[path = \"figures/mod.rs\"]\npub mod figures;\n",
                )
                .unwrap();
                assert_eq!(
                    passes(folder.path(), true),
                    Some(true),
                    "the figures pass as they are"
                );
                while let Some(mutant) = { queue.lock().unwrap().pop() } {
                    let copy = folder
                        .path()
                        .join("figures")
                        .join(mutant.file.strip_prefix(&source).unwrap());
                    fs::write(&copy, &mutant.text).unwrap();
                    let slow = mutant.file.to_string_lossy().contains("repetitions");
                    let passed = passes(folder.path(), slow);
                    fs::copy(&mutant.file, &copy).unwrap();
                    let mut tally = tally.lock().unwrap();
                    let mut by_file = by_file.lock().unwrap();
                    let counts = by_file.entry(mutant.file.clone()).or_default();
                    match passed {
                        None => {}
                        Some(false) => {
                            tally.0 += 1;
                            tally.1 += 1;
                            counts.0 += 1;
                            counts.1 += 1;
                        }
                        Some(true) => {
                            tally.0 += 1;
                            counts.0 += 1;
                            tally.2.push(format!(
                                "{}:{}: `{}` as `{}`",
                                mutant.file.strip_prefix(&source).unwrap().display(),
                                mutant.line,
                                mutant.was.trim(),
                                mutant.becomes.trim()
                            ));
                        }
                    }
                }
            });
        }
    });
    let (viable, caught, mut missed) = tally.into_inner().unwrap();
    missed.sort();
    for (file, (viable, caught)) in by_file.into_inner().unwrap() {
        println!(
            "{}: {caught} of {viable}",
            file.strip_prefix(&source).unwrap().display()
        );
    }
    println!("not noticed:\n{}", missed.join("\n"));
    println!("{caught} of {viable} changes noticed, of {total} tried");
    assert!(caught * 100 >= viable * 95, "{caught} of {viable}");
}
