//! The README does what it says: its commands run, and what it shows is what the program prints.
//! `UPDATE_PAGES=1 cargo test --test readme` writes the printed page anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]
#![cfg(unix)]

use std::path::Path;
use std::process::{Command, Output};
use std::sync::Mutex;

fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Fenced blocks of a language, in order.
fn blocks(text: &str, language: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut block: Option<String> = None;
    for line in text.lines() {
        match &mut block {
            Some(_) if line == "```" => found.extend(block.take()),
            Some(block) => {
                block.push_str(line);
                block.push('\n');
            }
            None if line == format!("```{language}") => block = Some(String::new()),
            None => {}
        }
    }
    found
}

fn shell(folder: &Path, script: &str) -> Output {
    let bin = Path::new(env!("CARGO_BIN_EXE_perchside")).parent().unwrap();
    // The program is built already; what the set-up commands run is the same.
    let prelude = "cargo() { if [ \"$1\" = run ]; then shift 3; perchside \"$@\"; fi; }\n";
    Command::new("sh")
        .args(["-e", "-c", &format!("{prelude}{script}")])
        .current_dir(folder)
        .env(
            "PATH",
            format!(
                "{}:{}",
                bin.display(),
                std::env::var("PATH").unwrap_or_default()
            ),
        )
        .output()
        .unwrap()
}

fn readme() -> String {
    std::fs::read_to_string(repository().join("README.md")).unwrap()
}

/// Writes a part of the README anew. One at a time: the tests run side by side.
fn update(shown: &str, printed: &str) {
    static ONE: Mutex<()> = Mutex::new(());
    let _one = ONE.lock().unwrap();
    let text = readme();
    assert!(text.contains(shown));
    let updated = text.replace(shown, printed);
    std::fs::write(repository().join("README.md"), updated).unwrap();
}

#[test]
fn every_command_of_the_readme_runs() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["examples", "rules"] {
        let copied = Command::new("cp")
            .arg("-r")
            .arg(repository().join(name))
            .arg(folder.path())
            .status()
            .unwrap();
        assert!(copied.success());
    }
    let scripts = blocks(&readme(), "sh");
    assert!(scripts.len() >= 8);
    for script in scripts {
        let output = shell(folder.path(), &script);
        assert!(
            output.status.success(),
            "{script}\n{}",
            String::from_utf8_lossy(&output.stderr)
        );
    }
    assert!(folder.path().join("plan/index.html").exists());
}

#[test]
fn the_readme_counts_rightly() {
    use perchside::library::Library;
    use perchside::rulebook::{Care, LogBook, Rulebook};
    let (rulebook, _) = Rulebook::load(&Library::embedded(), Care::Trusted).unwrap();
    let line = format!(
        "{} rules, {} gates and {} measures",
        rulebook.rules.len(),
        rulebook.gates.len(),
        rulebook.measures.len()
    );
    assert!(readme().contains(&line), "{line}");
    let (book, _) = LogBook::load(&Library::embedded(), &rulebook.tables, Care::Trusted).unwrap();
    let line = format!("{} rules of the next step", book.rules.len());
    assert!(readme().contains(&line), "{line}");
}

#[test]
fn the_card_in_the_readme_is_what_the_program_prints() {
    let output = shell(
        repository(),
        "perchside review examples/logs/form.yaml examples/logs/regression/log.yaml --today 2026-11-25 --for household",
    );
    let printed = String::from_utf8(output.stdout).unwrap();
    let text = readme();
    let part = text.split("## Practice and the log\n").nth(1).unwrap();
    let shown = blocks(part, "markdown").remove(0);
    if std::env::var_os("UPDATE_PAGES").is_some() {
        let fence = |block: &str| format!("gives this one:\n\n```markdown\n{block}```");
        update(&fence(&shown), &fence(&printed));
        return;
    }
    assert!(
        shown == printed,
        "the card in README.md is out of date: run `UPDATE_PAGES=1 cargo test --test readme`"
    );
}

#[test]
fn the_page_in_the_readme_is_what_the_program_prints() {
    let output = shell(
        repository(),
        "perchside plan examples/evening-conure/intake.yaml --today 2026-11-25",
    );
    let printed = String::from_utf8(output.stdout).unwrap();
    let page = printed
        .split("\n## What we know")
        .next()
        .unwrap()
        .to_owned();
    let text = readme();
    let shown = blocks(&text, "markdown").remove(0);
    if std::env::var_os("UPDATE_PAGES").is_some() {
        update(&shown, &page);
        return;
    }
    assert!(
        shown == page,
        "the page in README.md is out of date: run `UPDATE_PAGES=1 cargo test --test readme`"
    );
}

#[test]
fn the_mistakes_in_the_readme_are_what_the_program_says() {
    let folder = tempfile::tempdir().unwrap();
    let text = readme();
    let part = text.split("## When something is wrong").nth(1).unwrap();
    std::fs::write(
        folder.path().join("mistakes.yaml"),
        &blocks(part, "yaml")[0],
    )
    .unwrap();
    let output = shell(folder.path(), "perchside plan mistakes.yaml");
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(said.trim(), blocks(part, "text")[0].trim());
}

#[test]
fn the_departure_and_the_case_file_in_the_readme_work() {
    let folder = tempfile::tempdir().unwrap();
    let text = readme();
    let part = text.split("## House rules, and departing").nth(1).unwrap();
    let [departure, case_file, edition] =
        <[String; 3]>::try_from(blocks(part, "yaml").into_iter().take(3).collect::<Vec<_>>())
            .unwrap();
    let write = |path: &str, text: &str| {
        let to = folder.path().join(path);
        std::fs::create_dir_all(to.parent().unwrap()).unwrap();
        std::fs::write(to, text).unwrap();
    };
    write("ours/departures/hob-is-never-lit.yaml", &departure);
    write(
        "ours/practice.yaml",
        &format!("name: Lantern Lane Parrots\n{edition}"),
    );
    write("autumn-12.case.yaml", &case_file);
    write(
        "autumn-12.yaml",
        "housing: {cage-room: kitchen}\npeople: []\nbites: [{injury: broken-skin, body-part: finger, date: 2023-05-01, pursuit: none, form: bite, person: a}]\n",
    );
    let plan = "perchside plan autumn-12.yaml --practice ours --paper consultant";
    let output = shell(folder.path(), &format!("{plan} --today 2026-11-25"));
    let printed = String::from_utf8(output.stdout).unwrap();
    for told in [
        "**This case, risk.**",
        "(loosened)",
        "`hob-is-never-lit`",
        "T. Moss",
    ] {
        assert!(printed.contains(told), "{told}\n{printed}");
    }
    // After its last day the departure is said to be over.
    let output = shell(folder.path(), &format!("{plan} --today 2027-05-03"));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("departure-expired") && said.contains("case-departure-over"),
        "{said}"
    );
    // Held to a version that is not in use: nothing is decided.
    write("autumn-12.case.yaml", &case_file.replace("0.1.0", "0.0.9"));
    let output = shell(folder.path(), &format!("{plan} --today 2026-11-25"));
    assert_eq!(output.status.code(), Some(1));
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("held-to-other-version")
    );
}

#[test]
fn the_kind_of_parrot_in_the_readme_is_what_the_program_prints() {
    let text = readme();
    let part = text.split("## Kinds of parrot").nth(1).unwrap();
    let name = part.split("\n`perchside species ").nth(1).unwrap();
    let name = name.split('`').next().unwrap();
    let output = shell(repository(), &format!("perchside species {name}"));
    assert_eq!(output.status.code(), Some(0));
    let printed = String::from_utf8(output.stdout).unwrap();
    let shown = &blocks(part, "text")[0];
    if std::env::var_os("UPDATE_PAGES").is_some() {
        let around = |page: &str| format!("prints:\n\n```text\n{page}```\n\nAny usual name");
        update(&around(shown), &around(&printed));
        return;
    }
    assert_eq!(printed, *shown);
}

#[test]
fn the_explanation_in_the_readme_is_what_the_program_says() {
    let folder = tempfile::tempdir().unwrap();
    let text = readme();
    let form = text.split("## The form").nth(1).unwrap();
    std::fs::write(folder.path().join("intake.yaml"), &blocks(form, "yaml")[0]).unwrap();
    let command = form
        .split("`perchside explain intake.yaml ")
        .nth(1)
        .unwrap()
        .split('`')
        .next()
        .unwrap();
    let output = shell(
        folder.path(),
        &format!("perchside explain intake.yaml {command} --today 2026-11-25"),
    );
    let said = String::from_utf8(output.stdout).unwrap();
    let text_blocks = blocks(form, "text");
    if std::env::var_os("UPDATE_PAGES").is_some() {
        update(&text_blocks[0], &said);
        return;
    }
    assert_eq!(said, text_blocks[0]);
}
