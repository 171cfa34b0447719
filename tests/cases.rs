//! Whole households with what an experienced consultant expects. The expectations were written from the trade (common practice, no
//! source, unless a case names one); where program and case differ, one of them is wrong and has to be thought about.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::{Path, PathBuf};

use jiff::civil::Date;
use perchside::answers;
use perchside::decision::{Counts, decide};
use perchside::intake::Intake;
use perchside::mistake::{Problem, render};
use perchside::plan::{Options, Plan};
use perchside::rulebook::{Contact, Risk, Start, Vet};
use perchside::source::Source;
use perchside::tree::{Node, Path as Way};
use perchside::yaml;
use support::rulebook;

fn files() -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .collect();
    files.sort();
    files
}

fn text(node: &Node<'_>, key: &str) -> Option<String> {
    node.get(key)
        .and_then(|value| value.scalar().map(|text| text.into_owned()))
}

fn list(node: &Node<'_>, key: &str) -> Vec<String> {
    match node.get(key) {
        Some(Node::List(items)) => items
            .iter()
            .map(|item| item.scalar().unwrap().into_owned())
            .collect(),
        _ => Vec::new(),
    }
}

/// `high` or `high to severe` as places in an order.
fn span(words: &[&str], text: &str) -> (usize, usize) {
    let at = |word: &str| {
        words
            .iter()
            .position(|known| *known == word.trim())
            .unwrap_or_else(|| panic!("{word} is none of {words:?}"))
    };
    match text.split_once(" to ") {
        Some((low, high)) => (at(low).min(at(high)), at(low).max(at(high))),
        None => (at(text), at(text)),
    }
}

/// What a case expects and does not get.
fn misses(path: &Path) -> (String, Vec<String>) {
    let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
    let source = Source::new(stem.clone(), std::fs::read_to_string(path).unwrap());
    let document =
        yaml::read(&source).unwrap_or_else(|problems| panic!("{}", render(&problems, false)));
    let root = &document.root;
    assert_eq!(text(root, "id").as_deref(), Some(stem.as_str()));
    let title = text(root, "title").unwrap_or_else(|| panic!("{stem} has no title"));
    let today: Date = text(root, "today").unwrap().parse().unwrap();
    let questionnaire = &rulebook().questionnaire;
    let (answers, mut problems) = answers::read(
        questionnaire,
        &source,
        root.get("intake").unwrap(),
        &Way::default().key("intake"),
        &|| document.places(),
        today,
    );
    problems.extend(answers::check(
        questionnaire,
        &answers,
        &source,
        &|| document.places(),
        today,
    ));
    let errors: Vec<Problem> = problems.into_iter().filter(Problem::is_error).collect();
    assert!(errors.is_empty(), "{}", render(&errors, false));
    let intake = Intake {
        answers,
        places: document.places(),
        case_file_fingerprint: None,
        fingerprint: String::new(),
        source: source.clone(),
    };
    let decision = decide(rulebook(), &intake.answers, today);
    let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
    let expect = root.get("expect").unwrap();
    let mut misses = Vec::new();
    let v = decision.verdict;
    for (name, words, got) in [
        ("risk", Risk::WORDS, v.risk.known.steps()),
        ("start", Start::WORDS, v.start.until_answered.steps()),
        ("contact", Contact::WORDS, v.contact.known.steps()),
        ("vet", Vet::WORDS, v.vet.known.steps()),
    ] {
        let Some(wanted) = text(expect, name) else {
            panic!("{stem} does not say what {name} it expects");
        };
        let (low, high) = span(words, &wanted);
        if !(low..=high).contains(&got) {
            misses.push(format!("{name}: wanted {wanted}, got {}", words[got]));
        }
    }
    if let Some(held) = text(expect, "held")
        && (held == "yes") != plan.held
    {
        misses.push(format!("held: wanted {held}, got {}", plan.held));
    }
    let landed = |id: &str| {
        decision
            .landings
            .iter()
            .any(|landing| landing.measure == id && landing.known && landing.ruled_out_by.is_none())
    };
    for (key, wants_never) in [("do", false), ("never", true)] {
        for id in list(expect, key) {
            let Some(measure) = rulebook().measures.get(&id) else {
                misses.push(format!("{key}: there is no measure {id}"));
                continue;
            };
            if measure.is_never() != wants_never || !landed(&id) {
                misses.push(format!("{key}: {id} did not land"));
            }
        }
    }
    let printed: Vec<&str> = plan
        .actions
        .iter()
        .chain(&plan.practice)
        .chain(&plan.later)
        .chain(&plan.standing)
        .chain(plan.cards.iter().flat_map(|card| &card.does))
        .map(|action| action.id.as_str())
        .collect();
    for id in list(expect, "not") {
        if !rulebook().measures.contains_key(&id) {
            misses.push(format!("not: there is no measure {id}"));
        } else if printed.contains(&id.as_str()) {
            misses.push(format!("not: {id} is printed"));
        }
    }
    for id in list(expect, "refer") {
        if !decision
            .referrals
            .iter()
            .any(|landing| landing.referral == id && landing.known)
        {
            misses.push(format!("refer: {id} is missing"));
        }
    }
    for id in list(expect, "ask") {
        let group = id.split('.').next().unwrap_or_default();
        let open = decision
            .gaps
            .iter()
            .any(|gap| gap.question == id || gap.question == group);
        let asked = decision.rules.iter().any(|trace| {
            trace.counts >= Counts::Asks && rulebook().rules[trace.rule].then.ask.contains(&id)
        });
        if !open && !asked {
            misses.push(format!("ask: {id} is not among the questions"));
        }
    }
    (format!("{stem}: {title}"), misses)
}

#[test]
fn every_case_gets_what_an_expert_expects() {
    let files = files();
    assert!(files.len() >= 60, "{} cases", files.len());
    let failed: Vec<String> = files
        .iter()
        .map(|path| misses(path))
        .filter(|(_, misses)| !misses.is_empty())
        .map(|(title, misses)| format!("{title}\n    {}", misses.join("\n    ")))
        .collect();
    assert!(
        failed.is_empty(),
        "{} cases differ\n{}",
        failed.len(),
        failed.join("\n")
    );
}

/// Two cases an expert would tell apart have titles that tell them apart, and the titles show the spread.
#[test]
fn titles_are_different_and_say_something() {
    let mut titles: Vec<String> = files().iter().map(|path| misses(path).0).collect();
    let all = titles.len();
    titles.sort();
    titles.dedup();
    assert_eq!(titles.len(), all);
    assert!(titles.iter().all(|title| title.len() > 30));
}
