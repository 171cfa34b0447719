//! What one rule would do over cases, and what is started from a template.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(["--today", "2026-12-01"])
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn write(folder: &Path, path: &str, text: &str) {
    let path = folder.join(path);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, text).unwrap();
}

/// A rule about each person, which moves an outcome.
const FEEDS: &str = "\
id: young-person-feeds
title: A young person feeds the bird
why: A set way of feeding keeps young hands off the open cage door.
tell: A young person feeds the bird. Bowls are changed from outside.
source: [practice]
for each: person
when:
  age: between 13 and 17 years
  duties: includes feeds
then:
  risk: severe
  do: [bowls-changed-from-outside]
  refer: [legal-adviser]
examples:
  - fires: {people: [{age: 15 years, duties: [feeds]}]}
  - quiet: {people: [{age: 40 years, duties: [feeds]}]}
  - blank: {people: [{age: 15 years}]}
";

fn cases(folder: &Path) {
    let people = |of: &str| {
        format!(
            "bird: {{size: small}}\npeople:\n  - {{age: 40 years, duties: [feeds]}}\n  - {of}\n"
        )
    };
    write(
        folder,
        "cases/fires.yaml",
        &people("{age: 15 years, duties: [feeds]}"),
    );
    write(
        folder,
        "cases/quiet.yaml",
        &people("{age: 15 years, duties: [cleans]}"),
    );
    write(folder, "cases/blank.yaml", &people("{age: 15 years}"));
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    let output = run(folder, &[arguments, &["--format", "json"]].concat());
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", err(&output)))
}

#[test]
fn a_rule_is_told_case_by_case_with_the_people_it_speaks_of() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    cases(folder);
    write(folder, "young-person-feeds.yaml", FEEDS);
    let arguments = ["rules", "try", "cases", "--rule", "young-person-feeds.yaml"];
    let told = run(folder, &arguments);
    assert_eq!(told.status.code(), Some(0), "{}", err(&told));
    assert!(out(&told).contains("fires (person 2)"), "{}", out(&told));
    assert!(out(&told).contains("fires in 1 of 3, stays quiet in 1, rests on a blank in 1"));
    let value = json(folder, &arguments);
    assert_eq!(
        value["examples"],
        serde_json::json!({"run": 3, "failed": 0})
    );
    let case = |name: &str| {
        let cases = value["cases"].as_array().unwrap();
        cases
            .iter()
            .find(|case| case["case"].as_str().unwrap().ends_with(name))
            .unwrap()
    };
    // As known, the risk moves where the rule fires; where it rests on a blank only what counts until answered.
    let risk = |case: &Value| {
        let outcomes = case["outcomes"].as_array().unwrap();
        outcomes
            .iter()
            .find(|moved| moved["outcome"] == "risk")
            .cloned()
    };
    let (fires, quiet, blank) = (case("fires.yaml"), case("quiet.yaml"), case("blank.yaml"));
    assert_eq!(fires["truth"], "true");
    assert_eq!(risk(fires).unwrap()["after"]["known"], "severe");
    assert_eq!(fires["people"][1]["truth"], "true");
    assert_eq!(fires["people"][0]["truth"], "false");
    assert_eq!(
        (quiet["truth"].as_str(), quiet["changes"].as_bool()),
        (Some("false"), Some(false))
    );
    assert_eq!(blank["truth"], "blank");
    assert_eq!(blank["waits-for"], serde_json::json!(["people[1].duties"]));
    // So few answers leave the risk as high as it goes already, until they are told.
    assert_eq!(risk(blank), None);
    let until = blank["measures"].as_array().unwrap();
    let bowls = until
        .iter()
        .find(|landed| landed["measure"] == "bowls-changed-from-outside");
    assert_eq!(bowls.unwrap()["after"]["known"], false);
    let referral = &fires["referrals"][0];
    assert_eq!(referral["referral"], "legal-adviser");
    assert_eq!(referral["after"], true);
}

/// A rule of the rulebook itself, word for word, is told as without and with; changed, as the old one and the new.
#[test]
fn a_rule_that_is_there_is_held_against_the_rulebook_without_it() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    write(
        folder,
        "case.yaml",
        "bites:\n  - {injury: bruise, trigger: asked to step up}\n",
    );
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/bites/hands-set-it-off.yaml");
    let text = std::fs::read_to_string(shipped).unwrap();
    write(folder, "hands-set-it-off.yaml", &text);
    let arguments = [
        "rules",
        "try",
        "case.yaml",
        "--rule",
        "hands-set-it-off.yaml",
    ];
    let there = json(folder, &arguments);
    assert_eq!(there["laid"], "there");
    let landed = |value: &Value| {
        let measures = value["cases"][0]["measures"].as_array().unwrap();
        measures
            .iter()
            .find(|landed| landed["measure"] == "perch-or-spoon-not-fingers")
            .cloned()
    };
    assert_eq!(landed(&there).unwrap()["after"]["known"], true);
    write(
        folder,
        "hands-set-it-off.yaml",
        &text.replace("  do: [perch-or-spoon-not-fingers]\n", ""),
    );
    let replaced = json(folder, &arguments);
    assert_eq!(replaced["laid"], "replaced");
    let (before, after) = (landed(&there).unwrap(), landed(&replaced).unwrap());
    assert_eq!(before["after"], after["before"]);
}

#[test]
fn mistakes_of_the_rule_its_examples_and_the_forms_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    cases(folder);
    let arguments = ["rules", "try", "cases", "--rule", "young-person-feeds.yaml"];
    write(
        folder,
        "young-person-feeds.yaml",
        &FEEDS.replace("  duties: includes", "  dutes: includes"),
    );
    let slip = run(folder, &arguments);
    assert_eq!((slip.status.code(), out(&slip).as_str()), (Some(1), ""));
    assert!(
        err(&slip).contains("young-person-feeds.yaml:9:3")
            && err(&slip).contains("did you mean `duties`?"),
        "{}",
        err(&slip)
    );
    write(
        folder,
        "young-person-feeds.yaml",
        &FEEDS.replace(
            "quiet: {people: [{age: 40 years",
            "quiet: {people: [{age: 14 years",
        ),
    );
    let example = run(folder, &arguments);
    assert_eq!(example.status.code(), Some(1));
    assert!(
        err(&example).contains("error[example-fails]")
            && out(&example).contains("1 of 3 do not show"),
        "{}",
        out(&example)
    );
    write(folder, "young-person-feeds.yaml", FEEDS);
    write(folder, "cases/broken.yaml", "bird: {seize: small}\n");
    write(folder, "cases/notes.yaml", "to-do: [call back]\n");
    let form = run(folder, &arguments);
    assert_eq!(form.status.code(), Some(1));
    assert!(out(&form).contains("fires in 1 of 3") && out(&form).contains("not read: 1"));
    assert!(
        err(&form).contains("unknown-key") && err(&form).contains("passed over: cases/notes.yaml")
    );
    assert_eq!(
        run(
            folder,
            &[
                "rules",
                "try",
                "nowhere",
                "--rule",
                "young-person-feeds.yaml"
            ]
        )
        .status
        .code(),
        Some(1)
    );
    assert_eq!(
        run(folder, &["rules", "try", "cases"]).status.code(),
        Some(2)
    );
}

#[test]
fn a_gate_is_told_by_what_it_needs() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    cases(folder);
    std::fs::create_dir_all(folder.join("rules")).unwrap();
    let started = run(
        folder,
        &[
            "rules",
            "new",
            "gates",
            "two-people-sure",
            "--kind",
            "gate",
            "--rules",
            "rules",
        ],
    );
    assert_eq!(started.status.code(), Some(0), "{}", err(&started));
    let told = run(
        folder,
        &[
            "rules",
            "try",
            "cases",
            "--rule",
            "rules/gates/two-people-sure.yaml",
        ],
    );
    assert_eq!(told.status.code(), Some(0), "{}", err(&told));
    assert!(
        out(&told).contains("[?]") || out(&told).contains("[ ]"),
        "{}",
        out(&told)
    );
    assert!(out(&told).contains("proven in 0 of 3"));
}

/// A start is refused until its blanks are filled, and sound once they are.
#[test]
fn what_is_started_is_sound_once_its_blanks_are_filled() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let new = |arguments: &[&str]| {
        let output = run(
            folder,
            &[&["rules", "new"], arguments, &["--practice", "ours"]].concat(),
        );
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    };
    let start = run(folder, &["rules", "new-practice", "ours"]);
    assert_eq!(start.status.code(), Some(0), "{}", err(&start));
    assert_eq!(
        run(folder, &["rules", "new-practice", "ours"])
            .status
            .code(),
        Some(1)
    );
    let check = || run(folder, &["rules", "check", "--practice", "ours"]);
    assert_eq!(check().status.code(), Some(0), "{}", err(&check()));
    new(&["home", "wash-elsewhere", "--kind", "measure"]);
    new(&["our-home", "wash", "--kind", "question"]);
    new(&["home", "wash-near-the-bird"]);
    assert_eq!(check().status.code(), Some(1));
    let fill = |path: &str, with: &str| {
        let text = std::fs::read_to_string(folder.join(path)).unwrap();
        let filled: String = text
            .lines()
            .map(|line| {
                let (says, note) = line.split_once('#').unwrap_or((line, ""));
                let blank =
                    says.trim_end().ends_with(':') && !says.trim().is_empty() && !note.is_empty();
                if blank {
                    format!("{} {with}\n", says.trim_end())
                } else {
                    format!("{line}\n")
                }
            })
            .collect();
        std::fs::write(folder.join(path), filled).unwrap();
    };
    fill(
        "ours/rules/measures/home/wash-elsewhere.yaml",
        "Dry the wash in another room.",
    );
    fill(
        "ours/rules/questions/our-home.yaml",
        "Does wash dry near the bird?",
    );
    assert_eq!(check().status.code(), Some(0), "{}", err(&check()));
    new(&[
        "hands-set-it-off",
        "taught-at-the-visit",
        "--kind",
        "departure",
    ]);
    assert_eq!(check().status.code(), Some(1));
    let path = "ours/departures/taught-at-the-visit.yaml";
    fill(path, "We teach it ourselves.");
    let text = std::fs::read_to_string(folder.join(path)).unwrap();
    write(
        folder,
        path,
        &text.replace("# switch-off: yes", "switch-off: yes"),
    );
    assert_eq!(check().status.code(), Some(0), "{}", err(&check()));
    // A second question of the group is printed, to be put into its file.
    let second = run(
        folder,
        &[
            "rules",
            "new",
            "our-home",
            "rack",
            "--kind",
            "question",
            "--practice",
            "ours",
        ],
    );
    assert!(
        out(&second).starts_with("  - id: rack\n"),
        "{}",
        out(&second)
    );
    for (arguments, says) in [
        (["every-adult-has-signed", "x"], "safety floor"),
        (["hands-set-it-of", "x"], "did you mean `hands-set-it-off`?"),
        (["wash-near-the-bird", "x"], "no shipped rule"),
    ] {
        let refused = run(
            folder,
            &[
                "rules",
                "new",
                arguments[0],
                arguments[1],
                "--kind",
                "departure",
                "--practice",
                "ours",
            ],
        );
        assert_eq!(refused.status.code(), Some(1));
        assert!(err(&refused).contains(says), "{}", err(&refused));
    }
    let shipped = run(
        folder,
        &[
            "rules",
            "new",
            "housing",
            "wash",
            "--kind",
            "question",
            "--practice",
            "ours",
        ],
    );
    assert!(err(&shipped).contains("`our-housing`"), "{}", err(&shipped));
}
