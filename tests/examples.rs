//! The example households: their committed papers are what the program writes today.
//! `UPDATE_EXAMPLES=1 cargo test --test examples` writes them anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::{Path, PathBuf};

use perchside::decision::decide;
use perchside::intake::Intake;
use perchside::mistake::render;
use perchside::papers::engine::Engine;
use perchside::papers::{Paper, plan_json};
use perchside::plan::{Options, Plan};
use perchside::source::Source;
use support::{TODAY, rulebook};

fn households() -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.is_dir())
            .collect();
    folders.sort();
    folders
}

fn papers(folder: &Path) -> Vec<(String, String)> {
    let text = std::fs::read_to_string(folder.join("intake.yaml")).unwrap();
    let (intake, warnings) = Intake::read(
        &rulebook().questionnaire,
        &rulebook().vocabulary,
        Source::new("intake.yaml", text),
        TODAY,
    )
    .unwrap_or_else(|problems| panic!("{}: {}", folder.display(), render(&problems, false)));
    assert!(
        warnings.is_empty(),
        "{}: {}",
        folder.display(),
        render(&warnings, false)
    );
    let decision = decide(rulebook(), &intake.answers, TODAY);
    let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
    let engine = Engine::embedded();
    let paper = Paper::household(&engine, &plan).unwrap();
    vec![
        ("household.md".to_owned(), paper.markdown()),
        (
            "household.html".to_owned(),
            paper.html(&engine, &plan).unwrap(),
        ),
        ("plan.json".to_owned(), plan_json(&plan)),
    ]
}

#[test]
fn the_committed_papers_are_what_the_program_writes() {
    let mut stale = Vec::new();
    let folders = households();
    assert!(folders.len() >= 6);
    for folder in folders {
        for (name, text) in papers(&folder) {
            let path = folder.join(&name);
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
        "out of date, run `UPDATE_EXAMPLES=1 cargo test --test examples`: {stale:?}"
    );
}

#[test]
fn the_same_intake_gives_the_same_bytes() {
    for folder in households() {
        assert!(papers(&folder) == papers(&folder));
    }
}

/// HTML by an independent HTML5 parser: not one parse error in any example.
#[test]
fn the_html_has_no_parse_error() {
    use html5ever::tendril::TendrilSink as _;
    for folder in households() {
        let html = &papers(&folder)[1].1;
        let dom = html5ever::parse_document(
            markup5ever_rcdom::RcDom::default(),
            html5ever::ParseOpts::default(),
        )
        .one(html.as_str());
        let errors = dom.errors.borrow();
        assert!(errors.is_empty(), "{}: {errors:?}", folder.display());
        for bad in [
            "<script",
            "http://",
            "https://",
            "src=",
            "onload",
            "javascript:",
        ] {
            assert!(!html.contains(bad), "{}: {bad}", folder.display());
        }
    }
}
