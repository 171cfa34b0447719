//! The guide for a consultant's first rule, followed to the letter from an empty folder: every file it names is written, every command
//! runs in order, and what it shows is what the program prints.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]
#![cfg(unix)]

use std::path::Path;
use std::process::Command;

/// A fenced block, with the text before it since the last one.
struct Block {
    language: String,
    before: String,
    text: String,
}

fn blocks(page: &str) -> Vec<Block> {
    let mut found = Vec::new();
    let (mut before, mut open) = (String::new(), None::<Block>);
    for line in page.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (Some(_), Some("")) => found.extend(open.take()),
            (Some(block), _) => block.text.push_str(&format!("{line}\n")),
            (None, Some(language)) => {
                open = Some(Block {
                    language: language.to_owned(),
                    before: std::mem::take(&mut before),
                    text: String::new(),
                });
            }
            (None, None) => before.push_str(&format!("{line}\n")),
        }
    }
    assert!(open.is_none());
    found
}

/// The file a text names last: a name in backticks that ends in `.yaml`.
fn named(before: &str) -> String {
    let names = before.split('`').skip(1).step_by(2);
    let named = names.filter(|name| name.ends_with(".yaml") && !name.contains(' '));
    named
        .last()
        .unwrap_or_else(|| panic!("no file is named in: {before}"))
        .to_owned()
}

/// Runs a script on the day of the guide; what it printed, words about results first.
fn shell(folder: &Path, script: &str) -> (bool, String) {
    let bin = Path::new(env!("CARGO_BIN_EXE_perchside"));
    let prelude = format!(
        "perchside() {{ '{}' --today 2026-12-01 \"$@\"; }}\n",
        bin.display()
    );
    let output = Command::new("sh")
        .args(["-e", "-c", &format!("{prelude}{script}")])
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    let said = [output.stderr, output.stdout].concat();
    (output.status.success(), String::from_utf8(said).unwrap())
}

#[test]
fn who_follows_the_guide_to_the_letter_sees_what_it_shows() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/GUIDE.md");
    let page = std::fs::read_to_string(page).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let (mut said, mut kinds) = (String::new(), std::collections::BTreeMap::new());
    for block in blocks(&page) {
        *kinds.entry(block.language.clone()).or_insert(0) += 1;
        match block.language.as_str() {
            "yaml" => {
                let path = folder.path().join(named(&block.before));
                std::fs::create_dir_all(path.parent().unwrap()).unwrap();
                std::fs::write(path, &block.text).unwrap();
            }
            "sh" => {
                let (done, output) = shell(folder.path(), &block.text);
                assert!(done, "{}\n{output}", block.text);
                said = output;
            }
            "text" if block.text.starts_with('#') => {
                // The line for an editor: the schema it leads to was written.
                let way = block.text.trim().rsplit_once('=').unwrap().1;
                let rule = folder.path().join("my-practice/rules/our-home");
                let schema = std::fs::read_to_string(rule.join(way)).unwrap();
                let schema: serde_json::Value = serde_json::from_str(&schema).unwrap();
                assert!(schema["$defs"]["case"]["properties"]["our-home.drying-rack"].is_object());
            }
            "text" => assert!(
                said.contains(&block.text),
                "shown:\n{}\nsaid:\n{said}",
                block.text
            ),
            other => panic!("a block of {other}"),
        }
    }
    assert!(
        kinds["sh"] >= 10 && kinds["yaml"] >= 8 && kinds["text"] >= 7,
        "{kinds:?}"
    );
    // The outcome, seen in a plan: the practice's measure is on it, and the one it departed from is not.
    let (done, plan) = shell(
        folder.path(),
        "perchside plan my-practice/cases/rack.yaml --practice my-practice",
    );
    assert!(done);
    assert!(plan.contains("Drying rack away from the cage"));
    let (_, shown) = shell(
        folder.path(),
        "perchside rules show perch-or-spoon-not-fingers",
    );
    let title = shown.lines().nth(1).unwrap();
    assert!(!plan.contains(title), "{title}");
    let (_, without) = shell(
        folder.path(),
        "perchside plan my-practice/cases/rack.yaml --practice my-practice --today 2027-06-01",
    );
    assert!(
        without.contains(title) || without.contains("departure-expired"),
        "{without}"
    );
}
