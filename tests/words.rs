//! The words people read: reading grade, and nothing the tool refuses to print.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::{Path, PathBuf};

use perchside::rulebook::MeasureKind;
use support::{log_book, rulebook};

/// Syllables of an English word: groups of vowels, with the usual silent endings left out. A plain count; textstat, a
/// general-purpose library (0.7.3), gave 0.7 to 0.9 where this count gave 1.2 to 1.4 on the six papers of the examples.
fn syllables(word: &str) -> usize {
    let word: String = word
        .to_lowercase()
        .chars()
        .filter(|c| c.is_ascii_alphabetic())
        .collect();
    if word.len() <= 3 {
        return 1;
    }
    let mut stem = word.as_str();
    // A silent e, es or ed: `practise`, `comes`, `closed`; but `wanted`, `cages` and `table` keep theirs.
    let silent_ed = stem.ends_with("ed") && !stem.ends_with("ted") && !stem.ends_with("ded");
    let spoken_es = ["ses", "zes", "xes", "ges", "ces", "shes", "ches"];
    let silent_es = stem.ends_with("es") && !spoken_es.iter().any(|end| stem.ends_with(end));
    if silent_ed || silent_es {
        stem = &stem[..stem.len() - 2];
    } else if stem.ends_with('e') && !stem.ends_with("le") {
        stem = &stem[..stem.len() - 1];
    }
    let vowel = |c: char| "aeiouy".contains(c);
    let mut count = 0;
    let mut before = false;
    for c in stem.chars() {
        let now = vowel(c);
        if now && !before {
            count += 1;
        }
        before = now;
    }
    count.max(1)
}

/// Flesch-Kincaid grade (Kincaid and others, 1975): 0.39 words a sentence + 11.8 syllables a word - 15.59.
fn grade(text: &str) -> f64 {
    let sentences = text
        .split(['.', '!', '?', '\n'])
        .filter(|part| part.chars().any(char::is_alphabetic))
        .count()
        .max(1);
    let words: Vec<&str> = text
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|word| word.chars().any(char::is_alphabetic))
        .collect();
    if words.is_empty() {
        return 0.0;
    }
    let syllables: usize = words.iter().map(|word| syllables(word)).sum();
    0.39 * words.len() as f64 / sentences as f64 + 11.8 * syllables as f64 / words.len() as f64
        - 15.59
}

/// Worked by hand: 6 words, 1 sentence, 6 syllables: 0.39*6 + 11.8 - 15.59 = -1.45.
#[test]
fn the_formula_is_the_published_one() {
    assert!((grade("The cat sat on the mat.") - -1.45).abs() < 0.01);
    for (word, count) in [
        ("bird", 1),
        ("parrot", 2),
        ("consultant", 3),
        ("practise", 2),
        ("cages", 2),
        ("wanted", 2),
        ("closed", 1),
        ("table", 2),
        ("people", 2),
    ] {
        assert_eq!(syllables(word), count, "{word}");
    }
}

#[test]
fn no_measure_is_above_grade_8() {
    let mut hard = Vec::new();
    for measure in rulebook().measures.values() {
        let text = match &measure.kind {
            MeasureKind::Do { what, done, .. } => format!("{what} {done} {}", measure.why),
            MeasureKind::Never { what, instead, .. } => format!("{what} {instead} {}", measure.why),
        };
        let grade = grade(&text);
        if grade > 8.0 {
            hard.push(format!("{}: {grade:.1}", measure.id));
        }
    }
    assert_eq!(hard, Vec::<String>::new());
}

/// Every paper that a household reads, of the examples.
fn household_papers() -> Vec<(PathBuf, String)> {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let below = |folder: &Path| -> Vec<PathBuf> {
        let mut all: Vec<PathBuf> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.is_dir())
            .collect();
        all.sort();
        all
    };
    let homes = below(&examples);
    let logs = below(&examples.join("logs"));
    homes
        .iter()
        .flat_map(|home| ["household", "practice", "log-sheets"].map(|name| home.join(name)))
        .chain(logs.iter().map(|log| log.join("review")))
        .map(|path| path.with_extension("md"))
        .filter_map(|path| Some((path.clone(), std::fs::read_to_string(path).ok()?)))
        .collect()
}

#[test]
fn every_household_paper_of_the_examples_is_at_grade_6_or_below() {
    let papers = household_papers();
    assert!(papers.len() >= 6 * 3 + 8);
    for (path, text) in papers {
        // A cell of a table is a line of its own; a line of fewer than four words is a label, not a sentence.
        let lines: Vec<&str> = text
            .split(['|', '\n'])
            .filter(|line| {
                line.split_whitespace()
                    .filter(|word| word.contains(char::is_alphabetic))
                    .count()
                    >= 4
            })
            .collect();
        let grade = grade(&lines.join("\n"));
        println!("{}: {grade:.1}", path.display());
        assert!(grade <= 6.0, "{}: {grade:.2}", path.display());
    }
}

/// What the rules of the next step say to a household is plain, each line by itself.
#[test]
fn what_rules_of_the_next_step_say_is_at_grade_6_or_below() {
    let book = log_book();
    let rules = book.rules.iter().map(|rule| (&rule.id, &rule.tell));
    let checks = book.checks.iter().map(|check| (&check.id, &check.tell));
    for (id, tell) in rules.chain(checks) {
        assert!(grade(tell) <= 6.0, "{id}: {:.1}", grade(tell));
    }
}

/// Words that never stand on a paper of ours, whatever the rulebook's own list says: pain, force, hunger, rank, blame, medicine,
/// promises. Lines of what nobody does may name what they forbid.
#[test]
fn the_papers_hold_nothing_that_harms_or_promises() {
    let refused = [
        "punish",
        "dominan",
        "alpha",
        "show it who",
        "force it",
        "starve",
        "until it gives up",
        "mg ",
        "dose",
        "diagnos",
        "jealous",
        "hormonal",
        "spiteful",
        "guarantee",
        "cure",
        "100% safe",
        "completely safe",
        "never bite again",
        "anxiety",
        "reinforcer",
        "antecedent",
        "desensiti",
        "counter-condition",
        "extinction",
        "threshold",
        "stimulus",
    ];
    for (path, text) in household_papers() {
        let never = text
            .split("## What nobody does")
            .nth(1)
            .and_then(|rest| rest.split("\n## ").next())
            .unwrap_or_default();
        let text = text.replace(never, "").to_lowercase();
        for line in text
            .lines()
            .filter(|line| !line.starts_with("- do not") && !line.contains("**instead:**"))
        {
            for word in refused {
                assert!(!line.contains(word), "{}: {word}: {line}", path.display());
            }
        }
    }
    let book = log_book();
    let rules = book.rules.iter().map(|rule| &rule.tell);
    for tell in rules.chain(book.checks.iter().map(|check| &check.tell)) {
        let tell = tell.to_lowercase();
        for word in refused {
            assert!(!tell.contains(word), "{word}: {tell}");
        }
    }
    for measure in rulebook().measures.values() {
        let text = match &measure.kind {
            MeasureKind::Do { what, .. } => what,
            MeasureKind::Never { instead, .. } => instead,
        }
        .to_lowercase();
        for word in refused {
            assert!(!text.contains(word), "{}: {word}", measure.id);
        }
    }
}
