//! The example logs: their committed reviews are what the program writes today, and each says what its name promises.
//! `UPDATE_EXAMPLES=1 cargo test --test reviews` writes them anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::{Path, PathBuf};

use perchside::intake::Intake;
use perchside::log::{Household, Log};
use perchside::mistake::render;
use perchside::papers::engine::Engine;
use perchside::papers::{Paper, REVIEW_PAPERS, charts, review_json};
use perchside::plan::{Logged, Options, Plan, Progress};
use perchside::review::Review;
use perchside::source::Source;
use support::{TODAY, log_book, rulebook};

const LOGS: [&str; 8] = [
    "change-of-person",
    "long-gap",
    "new-bite",
    "plateau-not-done",
    "plateau-step-too-big",
    "ready-for-next-stage",
    "regression",
    "steady-progress",
];

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples/logs")
        .join(name)
}

/// The form of a log: its own, or the one they share.
fn form(name: &str) -> Intake {
    let own = folder(name).join("form.yaml");
    let shared = folder("form.yaml");
    let path = if own.exists() { own } else { shared };
    let text = std::fs::read_to_string(path).unwrap();
    let read = Intake::read(
        &rulebook().questionnaire,
        &rulebook().vocabulary,
        Source::new("form.yaml", text),
        TODAY,
    );
    match read {
        Ok((intake, warnings)) => {
            assert!(warnings.is_empty(), "{name}: {}", render(&warnings, false));
            intake
        }
        Err(problems) => panic!("{name}: {}", render(&problems, false)),
    }
}

fn log(name: &str) -> Log {
    let text = std::fs::read_to_string(folder(name).join("log.yaml")).unwrap();
    read(name, text)
}

fn read(name: &str, text: String) -> Log {
    let people = ["Bea", "Wren", "Jo"].map(str::to_owned);
    let household = Household {
        reference: Some("lamp-21"),
        people: Some(&people),
    };
    let source = Source::new("log.yaml", text);
    match Log::read(&log_book().questionnaire, household, &source, TODAY) {
        Ok((log, warnings)) => {
            assert!(warnings.is_empty(), "{name}: {}", render(&warnings, false));
            log
        }
        Err(problems) => panic!("{name}: {}", render(&problems, false)),
    }
}

fn files(name: &str) -> (Progress, Vec<(String, String)>) {
    written(form(name), log(name))
}

fn written(intake: Intake, log: Log) -> (Progress, Vec<(String, String)>) {
    let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
    let logged = Logged {
        review: &review,
        log: &log,
    };
    let plan = Plan::with_log(rulebook(), &intake, logged, Options::default());
    let progress = Progress::of(rulebook(), log_book(), &plan, logged);
    let engine = Engine::embedded();
    let mut files = vec![("review.json".to_owned(), review_json(&progress))];
    for paper in REVIEW_PAPERS {
        let paper = Paper::of_review(&engine, &plan, &progress, paper).unwrap();
        files.push((format!("{}.md", paper.name), paper.markdown()));
        files.push((
            format!("{}.html", paper.name),
            paper.html(&engine, &plan).unwrap(),
        ));
    }
    for chart in charts(&engine, &progress, true).unwrap() {
        files.push((format!("{}.svg", chart.name), chart.svg));
    }
    (progress, files)
}

#[test]
fn the_committed_reviews_are_what_the_program_writes() {
    let mut stale = Vec::new();
    for name in LOGS {
        for (file, text) in files(name).1 {
            // One page is enough to look at; the words of the others are those of the Markdown.
            if file.ends_with(".html") && name != "regression" {
                continue;
            }
            let path = folder(name).join(&file);
            if std::env::var_os("UPDATE_EXAMPLES").is_some() {
                std::fs::write(&path, &text).unwrap();
            }
            if std::fs::read_to_string(&path).unwrap_or_default() != text {
                stale.push(path);
            }
        }
    }
    assert!(
        stale.is_empty(),
        "out of date, run `UPDATE_EXAMPLES=1 cargo test --test reviews`: {stale:?}"
    );
}

#[test]
fn each_log_leads_where_a_practitioner_expects() {
    // What was expected stood before the program was asked: work, start, hardest step, when, call, and a rule that says why.
    for (name, work, begin, cap, after, call, rule) in [
        (
            "steady-progress",
            "list of steps",
            12,
            14,
            "any day",
            "none",
            "ten-good-sessions-over-two-weeks",
        ),
        (
            "plateau-not-done",
            "list of steps",
            7,
            7,
            "any day",
            "at the next contact",
            "no-gain-and-not-done-as-written",
        ),
        (
            "plateau-step-too-big",
            "list of steps",
            9,
            11,
            "any day",
            "at the next contact",
            "failed-twice-at-the-same-step",
        ),
        (
            "regression",
            "list of steps",
            6,
            6,
            "after a call",
            "same day",
            "best-calm-step-fell-twice",
        ),
        (
            "new-bite",
            "none",
            6,
            6,
            "after a written restart",
            "at once",
            "skin-broken-since-the-last-restart",
        ),
        (
            "long-gap",
            "list of steps",
            8,
            8,
            "any day",
            "at the next contact",
            "two-weeks-since-the-last-session",
        ),
        (
            "change-of-person",
            "list of steps",
            11,
            13,
            "any day",
            "none",
            "ten-good-sessions-over-two-weeks",
        ),
        (
            "ready-for-next-stage",
            "list of steps",
            6,
            6,
            "any day",
            "none",
            "no-session-with-this-list-yet",
        ),
    ] {
        let (progress, _) = files(name);
        let list = &progress.lists[0];
        assert_eq!(
            (list.work, list.begin, list.cap, list.after, list.call),
            (work, begin, cap, after, call),
            "{name}"
        );
        assert!(list.rules.iter().any(|it| it.id == rule), "{name}");
        assert_eq!(progress.is_pressing(), call == "at once", "{name}");
    }
}

#[test]
fn someone_new_begins_at_the_first_step_while_the_other_goes_on() {
    let (progress, _) = files("change-of-person");
    assert_eq!(progress.lists.len(), 2);
    let new = &progress.lists[1];
    assert_eq!((new.sessions, new.begin, new.cap), (0, 6, 6));
    assert_ne!(new.mark, progress.lists[0].mark);
}

#[test]
fn the_next_stage_has_a_list_of_its_own() {
    let (progress, _) = files("ready-for-next-stage");
    assert_eq!(progress.lists[0].stage, "stationed");
    assert!(
        progress
            .warnings
            .iter()
            .any(|it| it.contains("earlier stage: 15"))
    );
}

/// A card is read by someone who is afraid: it never shows a step on a day without practice, and it fits a page.
#[test]
fn a_card_without_practice_shows_no_step() {
    for name in LOGS {
        let (progress, files) = files(name);
        let card = &files
            .iter()
            .find(|(file, _)| file == "review.md")
            .unwrap()
            .1;
        // Nor while it waits for someone's word.
        let works = progress
            .lists
            .iter()
            .any(|list| list.work == "list of steps" && list.not_before.is_some());
        assert_eq!(card.contains("**Step "), works, "{name}");
        assert!(
            card.split_whitespace().count() < 420,
            "{name}: {}",
            card.split_whitespace().count()
        );
    }
}

#[test]
fn charts_say_in_words_what_they_show() {
    for name in LOGS {
        let (progress, files) = files(name);
        for list in &progress.lists {
            let file = format!("chart-{}.svg", list.id);
            let chart = &files.iter().find(|(other, _)| *other == file).unwrap().1;
            assert!(
                chart.contains("role=\"img\"")
                    && chart.contains("<title")
                    && chart.contains("<desc")
            );
            assert_eq!(
                !list.chart.sessions.is_empty(),
                list.chart
                    .desc
                    .contains(&format!("Sessions: {}", list.chart.sessions.len())),
            );
            for colour in chart.split('"').filter(|part| part.starts_with('#')) {
                // Shades of grey alone.
                let digits: Vec<char> = colour[1..].chars().collect();
                assert!(digits.windows(2).all(|pair| pair[0] == pair[1]), "{colour}");
            }
        }
    }
}

/// However bad a bite was, and if nobody told how bad: each reader gets a page, and it says that all practice stops.
#[test]
fn every_hurt_gets_a_card_and_a_page() {
    let text = std::fs::read_to_string(folder("new-bite").join("log.yaml")).unwrap();
    let told = "    injury: broken-skin\n";
    assert_eq!(text.matches(told).count(), 1);
    for injury in [
        "pressure",
        "bruise",
        "broken-skin",
        "medical-care",
        "lasting-harm",
        "",
    ] {
        let line = match injury {
            "" => String::new(),
            it => format!("    injury: {it}\n"),
        };
        let (progress, files) = written(
            form("new-bite"),
            read("new-bite", text.replace(told, &line)),
        );
        assert_eq!(files.len(), 6, "{injury}");
        let waits = progress.held || progress.lists.iter().all(|it| it.after != "any day");
        assert!(waits, "{injury}");
    }
}
