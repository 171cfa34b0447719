//! The command as a person meets it: exit statuses, streams, files, help.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn perchside() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_perchside"));
    command.env_remove("RUST_BACKTRACE");
    command
}

fn run(args: &[&str]) -> Output {
    perchside().args(args).output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn example() -> String {
    repository()
        .join("examples/evening-conure/intake.yaml")
        .display()
        .to_string()
}

fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn written(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    files.sort();
    files
}

#[test]
fn plan_writes_the_papers_into_a_folder_and_twice_the_same_bytes() {
    let dir = tempfile::tempdir().unwrap();
    let mut texts = Vec::new();
    for name in ["one", "two"] {
        let folder = dir.path().join(name);
        let output = run(&[
            "plan",
            &example(),
            "--today",
            "2026-11-25",
            "--out",
            &folder.display().to_string(),
        ]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        assert!(output.stdout.is_empty());
        let mut files = written(&folder.join("household"));
        let names = |files: &[PathBuf]| -> Vec<String> {
            files
                .iter()
                .map(|f| f.file_name().unwrap().to_string_lossy().into_owned())
                .collect()
        };
        let professional = written(&folder.join("professional"));
        assert_eq!(
            names(&professional),
            [
                "consultant.html",
                "consultant.md",
                "hand-over.html",
                "hand-over.md",
                "plan.json",
                "vet-letter.html",
                "vet-letter.md",
                "visit-sheet.html",
                "visit-sheet.md",
            ]
        );
        assert!(folder.join("index.html").is_file());
        assert_eq!(
            names(&files),
            [
                "card-A.html",
                "card-A.md",
                "card-B.html",
                "card-B.md",
                "card-C.html",
                "card-C.md",
                "cards.html",
                "cards.md",
                "door-sign.html",
                "door-sign.md",
                "holding-rules.html",
                "holding-rules.md",
                "household.html",
                "household.md",
                "if-it-goes-wrong.html",
                "if-it-goes-wrong.md",
                "index.html",
                "log-sheets.html",
                "log-sheets.md",
                "practice.html",
                "practice.md",
                "sign.svg",
                "sitter-file.html",
                "sitter-file.md",
                "steps-person-2-with.svg",
                "stop-card.html",
                "stop-card.md",
            ]
        );
        files.extend(professional);
        files.push(folder.join("index.html"));
        texts.push(
            files
                .iter()
                .map(|f| std::fs::read(f).unwrap())
                .collect::<Vec<_>>(),
        );
    }
    assert_eq!(texts[0], texts[1]);
}

#[test]
fn plan_writes_one_form_to_standard_output() {
    let markdown = run(&["plan", &example(), "--today", "2026-11-25"]);
    assert!(out(&markdown).starts_with("# Household plan"));
    let html = run(&[
        "plan",
        &example(),
        "--today",
        "2026-11-25",
        "--format",
        "html",
    ]);
    assert!(out(&html).starts_with("<!doctype html>"));
    let json = run(&[
        "plan",
        &example(),
        "--today",
        "2026-11-25",
        "--format",
        "json",
    ]);
    let value: serde_json::Value = serde_json::from_str(&out(&json)).unwrap();
    assert_eq!(value["start"], "through-barrier");
    let two = run(&["plan", &example(), "--format", "md,html"]);
    assert_eq!(two.status.code(), Some(2));
    assert!(err(&two).contains("--out"));
}

#[test]
fn files_that_cannot_be_read_say_so_and_exit_1() {
    let dir = tempfile::tempdir().unwrap();
    let large = dir.path().join("large.yaml");
    std::fs::write(&large, "a".repeat((1 << 20) + 1)).unwrap();
    let fits = dir.path().join("fits.yaml");
    std::fs::write(
        &fits,
        format!("bird: {{name: {}}}\n", "a".repeat((1 << 20) - 20)),
    )
    .unwrap();
    for (path, name) in [
        (dir.path().join("nowhere.yaml"), "file-missing"),
        (dir.path().to_owned(), "file-is-folder"),
        (large, "file-too-large"),
    ] {
        let output = run(&["plan", &path.display().to_string()]);
        assert_eq!(output.status.code(), Some(1));
        assert!(
            err(&output).contains(&format!("error[{name}]")),
            "{}",
            err(&output)
        );
        assert!(output.stdout.is_empty());
    }
    assert_eq!(
        run(&["plan", &fits.display().to_string()]).status.code(),
        Some(0)
    );
    #[cfg(unix)]
    {
        // A name too long for the file system stands for every file the system will not open.
        let output = run(&[
            "plan",
            &dir.path().join("x".repeat(300)).display().to_string(),
        ]);
        assert_eq!(output.status.code(), Some(1));
        assert!(
            err(&output).contains("error[file-unreadable]"),
            "{}",
            err(&output)
        );
    }
}

#[test]
fn an_intake_with_errors_writes_nothing_and_shows_them_all() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("plan");
    let broken = repository()
        .join("tests/broken/intakes/five-mistakes.yaml")
        .display()
        .to_string();
    let output = run(&[
        "plan",
        &broken,
        "--today",
        "2026-11-25",
        "--out",
        &folder.display().to_string(),
    ]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(
        err(&output).matches("error[").count() + err(&output).matches("warning[").count(),
        5
    );
    assert!(!folder.exists());
}

#[test]
fn warnings_are_said_and_the_plan_is_written_all_the_same() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("intake.yaml");
    std::fs::write(
        &path,
        "people: [{name: ana}]\nbites: [{person: anna, injury: bruise}]\n",
    )
    .unwrap();
    let output = run(&["plan", &path.display().to_string(), "--today", "2026-11-25"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(err(&output).contains("warning[person-not-listed]"));
    assert!(out(&output).starts_with("# Household plan"));
}

#[test]
fn a_blank_form_is_read_back_without_a_mistake() {
    let dir = tempfile::tempdir().unwrap();
    for tier in ["enquiry", "intake", "visit"] {
        let form = run(&["blank", "--tier", tier]);
        assert_eq!(form.status.code(), Some(0));
        let path = dir.path().join(format!("{tier}.yaml"));
        std::fs::write(&path, &form.stdout).unwrap();
        let output = run(&["plan", &path.display().to_string(), "--today", "2026-11-25"]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        assert!(
            err(&output).contains("nothing-answered") && !err(&output).contains("error["),
            "{}",
            err(&output)
        );
    }
    let lines = |tier: &str| out(&run(&["blank", "--tier", tier])).lines().count();
    assert!(lines("enquiry") < lines("intake") && lines("intake") < lines("visit"));
    let schema: serde_json::Value =
        serde_json::from_str(&out(&run(&["blank", "--schema"]))).unwrap();
    assert_eq!(schema["title"], "perchside intake");
}

#[test]
fn explain_tells_why_and_why_not() {
    let example = example();
    let explain = |about: &[&str]| {
        let mut args = vec!["explain", example.as_str(), "--today", "2026-11-25"];
        args.extend(about);
        let output = run(&args);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        out(&output)
    };
    let whole = explain(&[]);
    for word in ["risk: ", "start: ", "contact: ", "vet: ", "gate ", "line "] {
        assert!(whole.contains(word), "{word}: {whole}");
    }
    assert!(explain(&["start"]).contains("opens stationed"));
    assert!(explain(&["emergency-signs"]).contains("kept quiet by: health.red-flags is none"));
    let json: serde_json::Value =
        serde_json::from_str(&explain(&["risk", "--format", "json"])).unwrap();
    assert_eq!(json["outcome"], "risk");
    assert!(json["known-because"][0]["facts"][0]["places"][0]["line"].is_u64());
    let unknown = run(&["explain", &example, "emergency-sign"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(err(&unknown).contains("did you mean `emergency-signs`?"));
}

#[test]
fn the_rulebook_is_checked_listed_and_shown() {
    let check = run(&["rules", "check"]);
    assert_eq!(check.status.code(), Some(0));
    assert!(out(&check).contains("clean"));
    let folder = repository().join("rules").display().to_string();
    let check = run(&["rules", "check", "--rules", &folder, "--format", "json"]);
    let value: serde_json::Value = serde_json::from_str(&out(&check)).unwrap();
    assert_eq!(value["clean"], true);
    let list = run(&["rules", "list", "--topic", "gates"]);
    assert_eq!(out(&list).lines().count(), 7);
    let all: serde_json::Value =
        serde_json::from_str(&out(&run(&["rules", "list", "--format", "json"]))).unwrap();
    assert!(all.as_array().unwrap().len() >= 60);
    let show = run(&["rules", "show", "emergency-signs"]);
    assert!(out(&show).starts_with("rule emergency-signs"));
    assert_eq!(
        run(&["rules", "show", "nothing-like-it"]).status.code(),
        Some(2)
    );
    let broken = run(&["rules", "check", "--rules", "/nowhere-at-all"]);
    assert_eq!(broken.status.code(), Some(1));
}

#[test]
fn a_new_rule_is_started_checked_and_never_written_over() {
    let dir = tempfile::tempdir().unwrap();
    let rules = dir.path().join("rules");
    copy(&repository().join("tests/broken/base"), &rules);
    let folder = rules.display().to_string();
    let new = run(&[
        "rules",
        "new",
        "people",
        "grandparent-in-reach",
        "--rules",
        &folder,
    ]);
    assert_eq!(new.status.code(), Some(0), "{}", err(&new));
    let path = rules.join("people/grandparent-in-reach.yaml");
    assert!(
        std::fs::read_to_string(&path)
            .unwrap()
            .starts_with("id: grandparent-in-reach")
    );
    let again = run(&[
        "rules",
        "new",
        "people",
        "grandparent-in-reach",
        "--rules",
        &folder,
    ]);
    assert_eq!(again.status.code(), Some(1));
    for bad in [["people", "Bad Id"], ["measures", "x"], ["../up", "x"]] {
        let output = run(&["rules", "new", bad[0], bad[1], "--rules", &folder]);
        assert_eq!(output.status.code(), Some(2), "{bad:?}");
    }
    assert_eq!(run(&["rules", "new", "people", "x"]).status.code(), Some(2));
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            std::fs::copy(&path, &target).unwrap();
        }
    }
}

#[test]
fn help_version_completions_and_the_manual_page_are_there() {
    for args in [
        vec!["--help"],
        vec!["plan", "--help"],
        vec!["explain", "--help"],
        vec!["blank", "--help"],
        vec!["rules", "--help"],
        vec!["--version"],
        vec!["completions", "bash"],
        vec!["completions", "fish"],
        vec!["man"],
    ] {
        let output = run(&args);
        assert_eq!(output.status.code(), Some(0), "{args:?}");
        assert!(out(&output).contains("perchside"), "{args:?}");
    }
    assert_eq!(run(&[]).status.code(), Some(2));
    assert_eq!(run(&["plann"]).status.code(), Some(2));
}

#[test]
fn whoever_reads_may_stop_reading() {
    let mut child = perchside()
        .args(["rules", "list", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty(), "{}", err(&output));
}

#[test]
fn names_are_printed_only_when_asked_for() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("intake.yaml");
    std::fs::write(&path, "people: [{name: Wilhelmina, age: 40, role: reacted-to}]\ngoals: {wish: \"Wilhelmina may pass by\"}\n").unwrap();
    let path = path.display().to_string();
    let without = run(&["plan", &path, "--today", "2026-11-25"]);
    assert!(!out(&without).contains("Wilhelmina"));
    let with = run(&["plan", &path, "--today", "2026-11-25", "--names"]);
    assert!(out(&with).contains("Wilhelmina"));
}

/// A practice's folder with the given files.
fn practice(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (path, text) in files {
        let path = folder.path().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    folder
}

#[test]
fn a_template_that_cannot_be_filled_is_found_by_the_check() {
    for (text, shown) in [
        ("{{ nosuch }}", "nosuch"),
        ("{% if %}", "template-does-not-fit"),
        (
            "{% for i in range(9999) %}{% for j in range(9999) %}{% endfor %}{% endfor %}",
            "template-does-not-fit",
        ),
    ] {
        let folder = practice(&[
            ("practice.yaml", "name: Lantern Lane Parrots\n"),
            ("templates/household/80-call.md", text),
        ]);
        let path = folder.path().display().to_string();
        let check = run(&["rules", "check", "--practice", &path]);
        assert_eq!(check.status.code(), Some(1), "{text}");
        assert!(err(&check).contains(shown), "{}", err(&check));
    }
}

#[test]
fn a_new_set_of_papers_leaves_none_of_the_old_one() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("plan").display().to_string();
    let held = repository()
        .join("examples/new-kitchen-timneh/intake.yaml")
        .display()
        .to_string();
    for form in [example(), held] {
        let output = run(&["plan", &form, "--today", "2026-11-25", "--out", &folder]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        std::fs::write(dir.path().join("plan/household/my-own.md"), "mine").unwrap();
    }
    let household = dir.path().join("plan/household");
    assert!(!household.join("steps-person-2-with.svg").exists());
    assert!(household.join("my-own.md").exists());
    std::fs::create_dir(household.join("zz")).unwrap();
    std::fs::remove_file(household.join("stop-card.md")).unwrap();
    std::fs::create_dir(household.join("stop-card.md")).unwrap();
    let before = std::fs::read_to_string(household.join("household.md")).unwrap();
    let output = run(&[
        "plan",
        &example(),
        "--today",
        "2026-11-25",
        "--out",
        &folder,
    ]);
    assert_ne!(output.status.code(), Some(0));
    assert_eq!(
        std::fs::read_to_string(household.join("household.md")).unwrap(),
        before
    );
}

#[test]
fn a_redacted_set_says_what_it_replaced_and_holds_none_of_it() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("plan");
    let log = repository()
        .join("examples/logs/regression/log.yaml")
        .display()
        .to_string();
    let form = repository()
        .join("examples/logs/form.yaml")
        .display()
        .to_string();
    let practice = repository().join("examples/practice").display().to_string();
    let output = run(&[
        "plan",
        &form,
        "--log",
        &log,
        "--redact",
        "--names",
        "--practice",
        &practice,
        "--today",
        "2026-11-25",
        "--out",
        &folder.display().to_string(),
    ]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(
        err(&output).contains("people.name by person-1"),
        "{}",
        err(&output)
    );
    let mut seen = 0;
    for below in ["household", "professional"] {
        for path in written(&folder.join(below)) {
            let text = std::fs::read_to_string(&path).unwrap();
            for word in [
                "Pickle",
                "Wren",
                "Bea ",
                "Oregon",
                "lamp-21",
                "Lantern",
                "Vale",
                "2026-11-25",
                "November 2026",
            ] {
                assert!(!text.contains(word), "{} holds {word}", path.display());
            }
            if path.extension().is_some_and(|end| end == "md") {
                assert!(text.contains("are not the real ones"), "{}", path.display());
            }
            seen += 1;
        }
    }
    assert!(seen > 30);
}

#[test]
fn a_note_that_names_someone_is_said() {
    let dir = tempfile::tempdir().unwrap();
    let form = dir.path().join("form.yaml");
    std::fs::write(&form, "people:\n  - {name: Rosalind Oak, age: 40 years}\nnotes: {first-page: Ros\u{e1}lind has the key., known: Nothing.}\nspots:\n  - {kind: seat, label: Rosalind's chair}\n").unwrap();
    let output = run(&["plan", &form.display().to_string(), "--today", "2026-11-25"]);
    assert!(
        err(&output).contains("printed as written: notes.first-page"),
        "{}",
        err(&output)
    );
    assert!(!err(&output).contains("notes.known"));
}
