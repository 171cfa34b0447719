//! Every named mistake, shown by a file that has it, with its exact words. A mistake without a fixture fails.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use perchside::case_file::CaseFile;
use perchside::decision::examples;
use perchside::exercise::{Exercise, Part, gathered};
use perchside::house::House;
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::log::add::added;
use perchside::log::{Household, Log};
use perchside::mistake::{Problem, render, sort};
use perchside::mistakes::{all_names, file};
use perchside::record::{self, Chain, Moment, Who};
use perchside::rulebook::{Care, Rulebook};
use perchside::source::Source;
use perchside::wording::Practice;
use support::{TODAY, log_book, rulebook};

fn broken() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/broken")
}

fn sorted(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
}

fn name(path: &Path) -> String {
    path.file_stem().unwrap().to_string_lossy().into_owned()
}

/// The mistake a fixture is named for: the longest mistake name it starts with.
fn named_for(fixture: &str) -> &'static str {
    all_names()
        .into_iter()
        .filter(|name| fixture == *name || fixture.starts_with(&format!("{name}-")))
        .max_by_key(|name| name.len())
        .unwrap_or_else(|| panic!("the fixture {fixture} is named for no mistake"))
}

fn intake_problems(path: &Path) -> Vec<Problem> {
    let label = format!("intakes/{}", path.file_name().unwrap().to_string_lossy());
    let read = Source::from_bytes(&label, std::fs::read(path).unwrap())
        .map_err(|problem| vec![problem])
        .and_then(|source| {
            Intake::read(
                &rulebook().questionnaire,
                &rulebook().vocabulary,
                source,
                TODAY,
            )
        });
    match read {
        Ok((_, problems)) | Err(problems) => problems,
    }
}

/// The base rulebook with the files of a case laid over it, in a folder of its own.
fn rules_with(case: &Path) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    // How practice is told, and the log, are too long to be held twice: those of the program, with the one source of the base.
    let ours = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
    let mut taken = vec![
        "ladder.yaml",
        "practice.yaml",
        "log-facts.yaml",
        "languages/en/language.yaml",
    ];
    taken.extend([
        "log/log.yaml",
        "log/sessions.yaml",
        "log/days.yaml",
        "log/changes.yaml",
    ]);
    for path in taken {
        let text: String = std::fs::read_to_string(ours.join(path))
            .unwrap()
            .lines()
            .map(|line| match line.split_once("source: [") {
                Some((before, _)) => format!("{before}source: [practice]\n"),
                None => format!("{line}\n"),
            })
            .collect();
        let to = folder.path().join(path);
        std::fs::create_dir_all(to.parent().unwrap()).unwrap();
        std::fs::write(to, text).unwrap();
    }
    gather(&broken().join("base"), Path::new(""), &mut |path, file| {
        copy(file, &folder.path().join(path))
    });
    gather(case, Path::new(""), &mut |path, file| {
        if let Some(removed) = path.strip_suffix(".removed") {
            let removed = folder.path().join(removed);
            if removed.is_dir() {
                std::fs::remove_dir_all(removed).unwrap();
            } else {
                std::fs::remove_file(removed).unwrap();
            }
        } else {
            copy(file, &folder.path().join(path));
        }
    });
    folder
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to.parent().unwrap()).unwrap();
    std::fs::copy(from, to).unwrap();
}

/// Nothing is there for a case without files.
fn gather(root: &Path, below: &Path, see: &mut impl FnMut(String, &Path)) {
    if !root.exists() {
        return;
    }
    for path in sorted(&root.join(below)) {
        let below = below.join(path.file_name().unwrap());
        if path.is_dir() {
            gather(root, &below, see);
        } else {
            see(below.to_string_lossy().replace('\\', "/"), &path);
        }
    }
}

fn rule_problems(case: &Path) -> Vec<Problem> {
    let folder = rules_with(case);
    let loaded =
        Library::folder(folder.path()).and_then(|library| Rulebook::load(&library, Care::Full));
    let mut problems = match loaded {
        Err(problems) => problems,
        Ok((rulebook, mut problems)) => {
            problems.extend(examples::failures(&rulebook));
            problems
        }
    };
    // The folder has another name at each run.
    for problem in &mut problems {
        problem.place.file = problem
            .place
            .file
            .replace(&folder.path().display().to_string(), "rules");
    }
    sort(&mut problems);
    problems
}

#[test]
fn broken_intakes_say_what_is_wrong() {
    let mut all = String::new();
    let fixtures = sorted(&broken().join("intakes"));
    assert!(fixtures.len() >= 40);
    for path in fixtures {
        let problems = intake_problems(&path);
        let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
        let fixture = name(&path);
        if fixture == "five-mistakes" {
            let different: BTreeSet<&str> = names.iter().copied().collect();
            assert_eq!((names.len(), different.len()), (5, 5), "{names:?}");
        } else {
            assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
        }
        let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
    }
    insta::assert_snapshot!("intakes", all);
}

fn log_problems(path: &Path) -> Vec<Problem> {
    let label = format!("logs/{}", path.file_name().unwrap().to_string_lossy());
    let people = ["adult-1", "adult-2", "child-1"].map(str::to_owned);
    let household = Household {
        reference: Some("hc-041"),
        people: Some(&people),
    };
    let read = Source::from_bytes(&label, std::fs::read(path).unwrap())
        .map_err(|problem| vec![problem])
        .and_then(|source| Log::read(&log_book().questionnaire, household, &source, TODAY));
    match read {
        Ok((_, problems)) | Err(problems) => problems,
    }
}

/// What is wrong with adding an entry: the fixture is the log, with the entry in its first lines as `# add: GROUP key=value, …`.
fn add_problems(path: &Path) -> Vec<Problem> {
    let text = std::fs::read_to_string(path).unwrap();
    let line = text
        .lines()
        .next()
        .unwrap()
        .strip_prefix("# add: ")
        .unwrap();
    let (group, answers) = line.split_once(' ').unwrap();
    let typed = answers
        .split(", ")
        .map(|answer| answer.split_once('=').unwrap())
        .map(|(question, answer)| (question.to_owned(), answer.to_owned()))
        .collect();
    let label = format!("added/{}", path.file_name().unwrap().to_string_lossy());
    let source = Source::new(label, text.clone());
    let form = &log_book().questionnaire;
    match added(form, Household::default(), &source, group, &typed, TODAY) {
        Ok((_, problems)) | Err(problems) => problems,
    }
}

#[test]
fn broken_logs_say_what_is_wrong() {
    let mut all = String::new();
    for (folder, problems_of) in [
        ("logs", log_problems as fn(&Path) -> Vec<Problem>),
        ("added", add_problems),
    ] {
        for path in sorted(&broken().join(folder)) {
            let problems = problems_of(&path);
            let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
            let fixture = name(&path);
            assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
            let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
        }
    }
    insta::assert_snapshot!("logs", all);
}

#[test]
fn the_base_of_the_broken_rulebooks_is_sound() {
    let problems = rule_problems(&broken().join("none"));
    assert!(problems.is_empty(), "{}", render(&problems, false));
}

#[test]
fn broken_rule_files_say_what_is_wrong() {
    let mut all = String::new();
    let fixtures = sorted(&broken().join("rules"));
    assert!(fixtures.len() >= 30);
    for path in fixtures {
        let problems = rule_problems(&path);
        let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
        let fixture = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
        let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
    }
    insta::assert_snapshot!("rules", all);
}

/// What is wrong with a practice's own folder, laid over the rulebook of the program.
fn practice_problems(folder: &Path) -> Vec<Problem> {
    let opened = House::open(
        Library::embedded(),
        Some(folder),
        Care::Trusted,
        jiff::civil::date(2026, 11, 25),
    );
    let mut problems = opened.map_or_else(
        |problems| problems,
        |house| {
            let mut problems = house.check_words();
            if let Err(found) = house.speaking(&house.practice.language) {
                problems.extend(found);
            }
            problems
        },
    );
    let here = folder.display().to_string();
    for problem in &mut problems {
        problem.place.file = problem.place.file.replace(&here, "my-practice");
    }
    sort(&mut problems);
    problems.dedup_by_key(|problem| {
        (
            problem.mistake.name(),
            problem.place.file.clone(),
            problem.place.line,
        )
    });
    problems
}

#[test]
fn broken_practice_folders_say_what_is_wrong() {
    let mut all = String::new();
    for path in sorted(&broken().join("practices")) {
        let problems = practice_problems(&path);
        let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
        let fixture = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
        let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
    }
    insta::assert_snapshot!("practices", all);
}

/// What is wrong with what a consultant keeps beside a form; the departures of a case that do not count are told once it is decided.
fn case_file_problems(path: &Path) -> Vec<Problem> {
    let label = format!("case-files/{}", path.file_name().unwrap().to_string_lossy());
    let source = Source::new(label, std::fs::read_to_string(path).unwrap());
    match CaseFile::read(&source) {
        Err(problems) => problems,
        Ok(case_file) => case_file.held_to(rulebook()),
    }
}

#[test]
fn broken_case_files_say_what_is_wrong() {
    let mut all = String::new();
    for path in sorted(&broken().join("case-files")) {
        let problems = case_file_problems(&path);
        let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
        let fixture = name(&path);
        assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
        let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
    }
    insta::assert_snapshot!("case_files", all);
}

/// What is wrong with a pile of enquiries, in the order of the pile.
fn inbox_problems(path: &Path) -> Vec<Problem> {
    let label = format!("inbox/{}", path.file_name().unwrap().to_string_lossy());
    let questionnaire = &rulebook().questionnaire;
    let reader = std::io::Cursor::new(std::fs::read(path).unwrap());
    let form = perchside::inbox::Form::of_name(path);
    let stream = perchside::inbox::Input::Stream(label, Box::new(reader));
    let pile = perchside::inbox::Inbox::new(questionnaire, vec![stream], form, None);
    let mut problems = Vec::new();
    for item in pile {
        match &item.text {
            Ok(source) => {
                let read = item.read(source, |root, places| {
                    let vocabulary = &rulebook().vocabulary;
                    perchside::intake::Checked::read(
                        questionnaire,
                        vocabulary,
                        source,
                        root,
                        places,
                        TODAY,
                    )
                });
                match read {
                    Ok(checked) => problems.extend(checked.problems),
                    Err(found) => problems.extend(found),
                }
            }
            Err(_) => problems.extend(item.text.err()),
        }
    }
    problems
}

#[test]
fn broken_piles_say_what_is_wrong() {
    let mut all = String::new();
    for path in sorted(&broken().join("inbox")) {
        let problems = inbox_problems(&path);
        let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
        let fixture = name(&path);
        assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
        let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
    }
    insta::assert_snapshot!("inbox", all);
}

/// What is wrong with a sheet of a blind exercise, read after a sound one of the person A. In a fixture, `EXERCISE` and `DAY` stand for
/// those of the form in `form/`, and `ALL-NO` for every referral and measure, answered with no.
fn sheet_problems(path: &Path) -> Vec<Problem> {
    let form = std::fs::read_to_string(broken().join("sheets/form/intake.yaml")).unwrap();
    let exercise = Exercise::of(
        rulebook(),
        &support::intake(&form),
        TODAY,
        &Practice::unnamed(),
        "",
    )
    .unwrap();
    let mut all_no = String::new();
    for part in [Part::Refer, Part::Measures] {
        let _ = writeln!(all_no, "{}:", part.key());
        for item in exercise.of_part(part) {
            let _ = writeln!(all_no, "  {}: no", item.id);
        }
    }
    let filled = |text: &str| {
        text.replace("EXERCISE", &exercise.id)
            .replace("DAY", &exercise.case.today.to_string())
            .replace("ALL-NO\n", &all_no)
    };
    let sound = "exercise: EXERCISE\nday: DAY\nperson: A\noutcomes: {risk: low, start: hands-off, contact: routine, vet: urgent}\nALL-NO\n";
    let label = format!("sheets/{}", path.file_name().unwrap().to_string_lossy());
    let sources = [
        Source::new("sheets/a.yaml", filled(sound)),
        Source::new(label, filled(&std::fs::read_to_string(path).unwrap())),
    ];
    match gathered(rulebook(), &[exercise], &sources) {
        Ok((_, problems)) | Err(problems) => problems,
    }
}

fn sheet_fixtures() -> Vec<PathBuf> {
    sorted(&broken().join("sheets"))
        .into_iter()
        .filter(|path| path.is_file())
        .collect()
}

#[test]
fn broken_sheets_say_what_is_wrong() {
    let mut all = String::new();
    for path in sheet_fixtures() {
        let problems = sheet_problems(&path);
        let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
        let fixture = name(&path);
        assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
        let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
    }
    insta::assert_snapshot!("sheets", all);
}

/// What is wrong with a record.
fn record_problems(path: &Path) -> Vec<Problem> {
    let label = format!("records/{}", path.file_name().unwrap().to_string_lossy());
    match Chain::of_bytes(&label, &std::fs::read(path).unwrap()) {
        Ok(_) => Vec::new(),
        Err(broken) => broken.problems,
    }
}

/// A child that was bitten in the face.
const CHILD: &str = "people: [{name: Wren, age: 8 years}]\nbites: [{person: Wren, injury: broken-skin, body-part: face}]\n";

/// What is wrong with a signature, a note or the taking back of a signature: the fixture is `practice.yaml`, with what is done in its
/// first line.
fn signature_problems(path: &Path) -> Vec<Problem> {
    let text = std::fs::read_to_string(path).unwrap();
    let line = text.lines().next().unwrap().strip_prefix("# ").unwrap();
    let (what, options) = line.split_once(": ").unwrap();
    let option = |wanted: &str| {
        let all = options.split("; ").map(|it| it.split_once('=').unwrap());
        all.clone().find(|(name, _)| *name == wanted).map(|it| it.1)
    };
    let source = Source::new("practice.yaml", text.clone());
    let practice = Practice::read(&source, &Library::embedded()).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("intake.record.jsonl");
    let now = "2026-11-25T10:00:00+00:00[UTC]".parse().unwrap();
    let moment = Moment {
        now: &now,
        today: TODAY,
    };
    let (team, by) = (&practice.team, option("by").unwrap());
    let text = || option("text").unwrap();
    let mut problems = match what {
        "sign" => {
            let (_, decision) = support::decided(CHILD);
            let needed = record::reasons(rulebook(), team, &decision);
            let second = option("second");
            let refused = record::refusals(team, Who { by, second }, &needed);
            Problem::all_of_file("signatures", refused)
        }
        "withdraw" => record::withdraw(&record, moment, team, by, text())
            .unwrap()
            .unwrap_err(),
        "note" => record::note(&record, moment, team, by, text())
            .unwrap()
            .unwrap_err(),
        other => panic!("{other}"),
    };
    for problem in &mut problems {
        problem.place.file = "signatures".to_owned();
    }
    problems
}

#[test]
fn broken_records_and_signatures_say_what_is_wrong() {
    let mut all = String::new();
    for (folder, problems_of) in [
        ("records", record_problems as fn(&Path) -> Vec<Problem>),
        ("signatures", signature_problems),
    ] {
        for path in sorted(&broken().join(folder)) {
            let problems = problems_of(&path);
            let names: Vec<&str> = problems.iter().map(|p| p.mistake.name()).collect();
            let fixture = name(&path);
            assert!(names.contains(&named_for(&fixture)), "{fixture}: {names:?}");
            let _ = write!(all, "===== {fixture}\n{}", render(&problems, false));
        }
    }
    insta::assert_snapshot!("records", all);
}

#[test]
fn every_mistake_has_a_fixture() {
    let mut shown: BTreeSet<&str> = BTreeSet::new();
    for path in sorted(&broken().join("intakes")) {
        shown.extend(intake_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("logs")) {
        shown.extend(log_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("inbox")) {
        shown.extend(inbox_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("added")) {
        shown.extend(add_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sheet_fixtures() {
        shown.extend(sheet_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("rules")) {
        shown.extend(rule_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("case-files")) {
        shown.extend(case_file_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("practices")) {
        shown.extend(practice_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("records")) {
        shown.extend(record_problems(&path).iter().map(|p| p.mistake.name()));
    }
    for path in sorted(&broken().join("signatures")) {
        shown.extend(signature_problems(&path).iter().map(|p| p.mistake.name()));
    }
    // These have no content to keep in a file; the tests of the command show them.
    let elsewhere = [
        "file-missing",
        "file-is-folder",
        "file-unreadable",
        "file-too-large",
    ];
    // A paper has to be made, a case decided, or a day to come, to see it; other tests do.
    let made = [
        "template-does-not-fit",
        "case-departure-held",
        "case-departure-over",
        "past-review",
        "record-moved-on",
    ];
    assert!(elsewhere.iter().all(|name| file::NAMES.contains(name)));
    let missing: Vec<&str> = all_names()
        .into_iter()
        .filter(|name| !shown.contains(name) && !elsewhere.contains(name) && !made.contains(name))
        .collect();
    assert_eq!(missing, Vec::<&str>::new());
}

#[test]
fn names_are_kebab_case_and_stand_once() {
    let names = all_names();
    let different: BTreeSet<&str> = names.iter().copied().collect();
    assert_eq!(names.len(), different.len());
    assert!(names.iter().all(|name| perchside::words::is_kebab(name)));
}

#[test]
fn a_crlf_file_and_one_with_a_byte_order_mark_have_their_places() {
    for fixture in ["unknown-key-crlf", "unknown-key-bom", "unknown-key"] {
        let path = broken().join(format!("intakes/{fixture}.yaml"));
        if !path.exists() {
            continue;
        }
        let problems = intake_problems(&path);
        let place = &problems[0].place;
        assert!(place.line > 0 && place.column > 0, "{fixture}: {place:?}");
        let column: String = place
            .line_text
            .chars()
            .skip(place.column - 1)
            .take(place.width)
            .collect();
        assert!(
            !column.is_empty() && !column.contains('\r'),
            "{fixture}: {place:?}"
        );
    }
}

/// Text that nests or repeats without end is refused before it costs time.
#[test]
fn hostile_text_is_refused_quickly() {
    let start = std::time::Instant::now();
    for text in [
        "{a: ".repeat(100_000),
        "[a: ".repeat(100_000),
        "{a: &x ".repeat(30_000),
        "- ".repeat(200_000),
        "? ".repeat(200_000),
        "a: &x *x\n".repeat(50_000),
        format!("a: {}", "'".repeat(500_000)),
        "&a ".repeat(100_000),
        "a:\n".repeat(100_000),
    ] {
        let source = Source::new("hostile", text);
        assert!(
            Intake::read(
                &rulebook().questionnaire,
                &rulebook().vocabulary,
                source,
                TODAY
            )
            .is_err()
        );
    }
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
}
