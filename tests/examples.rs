//! The example households: their committed papers are what the program writes today.
//! `UPDATE_EXAMPLES=1 cargo test --test examples` writes them anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::{Path, PathBuf};

use perchside::decision::decide;
use perchside::house::House;
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::papers::engine::Engine;
use perchside::papers::{PAPERS, Paper, drawings, plan_json};
use perchside::plan::{Options, Plan};
use perchside::rulebook::Care;
use perchside::source::Source;
use support::{TODAY, rulebook};

fn households() -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.join("intake.yaml").is_file())
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
    let mut files = vec![("plan.json".to_owned(), plan_json(&plan))];
    for name in PAPERS {
        let paper = Paper::of(&engine, &plan, name).unwrap();
        files.push((format!("{name}.md"), paper.markdown()));
        files.push((format!("{name}.html"), paper.html(&engine, &plan).unwrap()));
    }
    for drawing in drawings(&engine, &plan, true).unwrap() {
        files.push((format!("{}.svg", drawing.name), drawing.svg));
    }
    files
}

/// The household's papers in Spanish, for a fluent speaker to read.
fn spanish(folder: &Path) -> Vec<(String, String)> {
    let house = House::open(
        Library::embedded(),
        None,
        Care::Trusted,
        jiff::civil::date(2026, 11, 25),
    )
    .unwrap();
    let (voiced, _) = house.speaking("es").unwrap();
    let text = std::fs::read_to_string(folder.join("intake.yaml")).unwrap();
    let rulebook = &voiced.rulebook;
    let source = Source::new("intake.yaml", text);
    let (intake, _) =
        Intake::read(&rulebook.questionnaire, &rulebook.vocabulary, source, TODAY).unwrap();
    let decision = decide(rulebook, &intake.answers, TODAY);
    let plan = Plan::of(rulebook, &intake, &decision, Options::default());
    let engine = Engine::speaking(&house, &voiced);
    PAPERS
        .iter()
        .filter(|name| voiced.rulebook.tongue.has_paper(name))
        .map(|name| {
            let paper = Paper::of(&engine, &plan, name).unwrap();
            (format!("{name}.es.md"), paper.markdown())
        })
        .collect()
}

/// The files of one kind among the papers of a household.
fn of_kind(folder: &Path, end: &str) -> Vec<(String, String)> {
    let mut files = papers(folder);
    files.retain(|(name, _)| name.ends_with(end));
    assert!(!files.is_empty());
    files
}

#[test]
fn the_committed_papers_are_what_the_program_writes() {
    let mut stale = Vec::new();
    let folders = households();
    assert!(folders.len() >= 6);
    for folder in folders {
        let mut files = papers(&folder);
        // One page is enough to look at; the words of the others are those of the Markdown.
        files.retain(|(name, _)| {
            !name.ends_with(".html")
                || (folder.ends_with("evening-conure") && name == "household.html")
        });
        if folder.ends_with("sunday-grandchildren-amazon") {
            files.extend(spanish(&folder));
        }
        for (name, text) in files {
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

/// The drawing stands in the page, says in words what it shows, and holds no colour but black and white.
#[test]
fn the_room_is_drawn_where_it_was_measured() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/sunday-grandchildren-amazon");
    let (_, drawing) = of_kind(&folder, ".svg").remove(0);
    for words in [
        "<title",
        "<desc",
        "safe line",
        "armchair",
        "too near",
        "48 cm",
    ] {
        assert!(drawing.contains(words), "{words}");
    }
    for part in drawing
        .split(['"', ' '])
        .filter(|part| part.starts_with('#'))
    {
        assert!(part == "#000" || part == "#fff", "{part}");
    }
    let (_, page) = of_kind(&folder, "household.html").remove(0);
    assert!(page.contains("<svg class=\"room-plan\" viewBox"));
    let other = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/evening-conure");
    assert!(
        papers(&other)
            .iter()
            .all(|(name, text)| name != "room.svg" && !text.contains("room-plan\" viewBox"))
    );
}

/// The consultant's copy tells of every figure its inputs, what is assumed, its range and its sources.
#[test]
fn every_figure_shows_what_it_rests_on() {
    for folder in households() {
        let (_, text) = of_kind(&folder, "consultant.md").remove(0);
        for figure in &rulebook().figures {
            let part = text
                .split("### ")
                .find(|part| part.starts_with(&figure.title))
                .unwrap_or_else(|| panic!("{}: {}", folder.display(), figure.id));
            for need in [
                "\n- ",
                "| Answer | Told |",
                "**Assumed.** ",
                "**Valid for.** ",
                "**Sources.** (",
            ] {
                assert!(
                    part.contains(need),
                    "{}: {} lacks {need}",
                    folder.display(),
                    figure.id
                );
            }
        }
    }
}

/// HTML by an independent HTML5 parser: not one parse error in any example.
#[test]
fn the_html_has_no_parse_error() {
    use html5ever::tendril::TendrilSink as _;
    let pages = households().into_iter().flat_map(|folder| {
        of_kind(&folder, ".html")
            .into_iter()
            .map(move |page| (folder.clone(), page))
    });
    for (folder, (_, html)) in pages {
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
