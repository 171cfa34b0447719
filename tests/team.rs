//! The team of the examples: six open cases under a practice's house rules before and after a change of them.
//! `UPDATE_EXAMPLES=1 cargo test --test team` writes the page of the meeting, and what the README shows, anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]
#![cfg(unix)]

mod support;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use perchside::case_file::{CaseFile, beside};
use perchside::decision::{Came, Counts, Decision, decide};
use perchside::house::{House, Voiced};
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::papers::Paper;
use perchside::papers::engine::Engine;
use perchside::plan::{Options, Plan};
use perchside::rulebook::{Care, Risk, Rulebook, Start};
use perchside::source::Source;
use support::TODAY;

fn team() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/team")
}

/// House rules of the practice, opened on the day of the examples.
struct Rules {
    house: House,
    voiced: Voiced,
}

impl Rules {
    fn open(version: &str) -> Self {
        let folder = team().join(format!("house-{version}"));
        let house = House::open(Library::embedded(), Some(&folder), Care::Full, TODAY)
            .unwrap_or_else(|problems| panic!("{}", render(&problems, false)));
        let (voiced, problems) = house
            .speaking("en")
            .unwrap_or_else(|problems| panic!("{}", render(&problems, false)));
        assert!(problems.is_empty(), "{}", render(&problems, false));
        // No departure is over, and none has yet to begin.
        let notices = &voiced.notices;
        assert!(notices.is_empty(), "{}", render(notices, false));
        Self { house, voiced }
    }

    fn rulebook(&self) -> &Rulebook {
        &self.voiced.rulebook
    }

    /// A case with what lies beside it, decided, and the household's paper. Not a single mistake or warning.
    fn decide(&self, form: &Path) -> (Intake, Decision, String) {
        let rulebook = self.rulebook();
        let source = Source::read(form).unwrap();
        let read = Intake::read(&rulebook.questionnaire, &rulebook.vocabulary, source, TODAY);
        let (intake, warnings) =
            read.unwrap_or_else(|problems| panic!("{}", render(&problems, false)));
        assert!(warnings.is_empty(), "{}", render(&warnings, false));
        let beside = CaseFile::of_form(form)
            .unwrap_or_else(|problems| panic!("{}", render(&problems, false)));
        let problems = beside.held_to(rulebook);
        assert!(problems.is_empty(), "{}", render(&problems, false));
        let intake = intake.with_case_file(beside);
        let decision = decide(rulebook, &intake.answers, TODAY);
        let plan = Plan::of(rulebook, &intake, &decision, Options::default());
        let engine = Engine::speaking(&self.house, &self.voiced);
        let paper = Paper::of(&engine, &plan, "household").unwrap();
        let paper = paper.markdown();
        // The record names the rules, which differ.
        let advice = paper.split("\n## Record").next().unwrap().to_owned();
        (intake, decision, advice)
    }
}

fn forms() -> Vec<PathBuf> {
    let mut forms: Vec<PathBuf> = std::fs::read_dir(team().join("cases"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| !path.to_string_lossy().ends_with(".case.yaml"))
        .collect();
    forms.sort();
    forms
}

fn form(code: &str) -> PathBuf {
    team().join(format!("cases/{code}.yaml"))
}

/// Known and until answered on the four scales, as steps from the loosest.
fn steps(decision: &Decision) -> [usize; 8] {
    let it = &decision.verdict;
    [
        it.risk.known.steps(),
        it.risk.until_answered.steps(),
        it.start.known.steps(),
        it.start.until_answered.steps(),
        it.contact.known.steps(),
        it.contact.until_answered.steps(),
        it.vet.known.steps(),
        it.vet.until_answered.steps(),
    ]
}

/// Where a rule stands in a case.
fn counts(rules: &Rules, decision: &Decision, id: &str) -> Counts {
    let rulebook = rules.rulebook();
    let mut traces = decision.rules.iter();
    traces
        .find(|trace| rulebook.rules[trace.rule].id == id)
        .unwrap_or_else(|| panic!("{id}"))
        .counts
}

/// What the change does to a case, in the word its first line begins with.
fn what_it_shows(form: &Path, old: &Rules, new: &Rules) -> &'static str {
    let (_, before, paper_before) = old.decide(form);
    let (_, after, paper_after) = new.decide(form);
    let (before_steps, after_steps) = (steps(&before), steps(&after));
    let mut both = before_steps.iter().zip(&after_steps);
    let departed = new.rulebook().rules.iter().any(|rule| {
        let here = rule.departed.is_some() && counts(new, &after, &rule.id) == Counts::Known;
        let of_old = old.rulebook().rule(&rule.id).unwrap();
        here && of_old.departed.is_none()
    });
    if before_steps != after_steps {
        if both.clone().all(|(before, after)| after >= before) {
            return "Tightened";
        }
        assert!(both.all(|(before, after)| after <= before));
        "Loosened"
    } else if departed {
        "Held by the floor"
    } else if paper_before != paper_after {
        "Other words"
    } else {
        "Not touched"
    }
}

#[test]
fn each_case_shows_what_its_first_line_says() {
    let (old, new) = (Rules::open("1.0"), Rules::open("1.1"));
    let mut shown = Vec::new();
    for form in forms() {
        let text = std::fs::read_to_string(&form).unwrap();
        let shows = what_it_shows(&form, &old, &new);
        let promise = text.strip_prefix("# ").unwrap();
        assert!(
            promise.starts_with(shows),
            "{}: {shows}\n{}",
            form.display(),
            text.lines().next().unwrap()
        );
        shown.push(shows);
    }
    shown.sort_unstable();
    assert_eq!(
        shown,
        [
            "Held by the floor",
            "Loosened",
            "Not touched",
            "Not touched",
            "Other words",
            "Tightened"
        ]
    );
}

#[test]
fn six_seconds_of_warning_are_too_few_under_the_new_rule() {
    let (old, new) = (Rules::open("1.0"), Rules::open("1.1"));
    let rule = "warning-too-short-to-put-things-down";
    let (_, before, paper_before) = old.decide(&form("ll-101"));
    let (_, after, paper_after) = new.decide(&form("ll-101"));
    assert_eq!(counts(&old, &before, rule), Counts::No);
    assert_eq!(counts(&new, &after, rule), Counts::Known);
    assert_eq!(before.verdict.risk.until_answered, Risk::Low);
    assert_eq!(after.verdict.risk.until_answered, Risk::Moderate);
    assert_eq!(before.verdict.start.until_answered, Start::Stationed);
    assert_eq!(after.verdict.start.until_answered, Start::ThroughBarrier);
    let title = "Hands empty before the cage opens.";
    assert!(!paper_before.contains(title) && paper_after.contains(title));
}

#[test]
fn a_porch_lets_the_cage_open_under_the_new_rule() {
    let (old, new) = (Rules::open("1.0"), Rules::open("1.1"));
    let (_, before, paper_before) = old.decide(&form("ll-102"));
    let (_, after, paper_after) = new.decide(&form("ll-102"));
    assert_eq!(before.verdict.start.until_answered, Start::ThroughBarrier);
    assert_eq!(after.verdict.start.until_answered, Start::Stationed);
    assert_eq!(counts(&old, &before, "key-in-other-hands"), Counts::Known);
    assert_eq!(counts(&new, &after, "key-in-other-hands"), Counts::No);
    let never = "Do not let yourself in without ringing first.";
    assert!(paper_before.contains(never) && !paper_after.contains(never));
    // The practice departs from the shipped rule about seed under both: the vet is not asked for twice.
    for (rules, decision) in [(&old, &before), (&new, &after)] {
        assert_eq!(counts(rules, decision, "mostly-seed-diet"), Counts::Known);
        assert_eq!(decision.verdict.vet.until_answered.word(), "routine");
    }
}

#[test]
fn the_walker_reads_other_words_and_nothing_else_changes() {
    let (old, new) = (Rules::open("1.0"), Rules::open("1.1"));
    let (_, before, paper_before) = old.decide(&form("ll-105"));
    let (_, after, paper_after) = new.decide(&form("ll-105"));
    assert_eq!(before.verdict, after.verdict);
    let words = |rules: &Rules| {
        let measure = &rules.rulebook().measures["in-with-the-key-unannounced"];
        match &measure.kind {
            perchside::rulebook::MeasureKind::Never { instead, .. } => instead.clone(),
            perchside::rulebook::MeasureKind::Do { .. } => panic!("it is never to be done"),
        }
    };
    assert_ne!(words(&old), words(&new));
    assert!(paper_before.contains(&words(&old)) && paper_after.contains(&words(&new)));
    assert_eq!(
        paper_before.replace(&words(&old), &words(&new)),
        paper_after
    );
}

#[test]
fn what_would_be_loosened_is_held_by_rules_of_the_floor() {
    let (old, new) = (Rules::open("1.0"), Rules::open("1.1"));
    let rule = "work-or-public-setting";
    let (_, before, _) = old.decide(&form("ll-106"));
    let (_, after, _) = new.decide(&form("ll-106"));
    assert_eq!(before.verdict, after.verdict);
    let then = |rules: &Rules| rules.rulebook().rule(rule).unwrap().then.start;
    assert_eq!(then(&old), Some(Start::ThroughBarrier));
    assert_eq!(then(&new), Some(Start::Stationed));
    // All that still keeps the cage shut belongs to the floor.
    let holds = after.rules.iter().filter(|trace| {
        let rule = &new.rulebook().rules[trace.rule];
        trace.counts >= Counts::UntilAnswered && rule.then.start >= Some(Start::ThroughBarrier)
    });
    let holds: Vec<_> = holds.map(|it| &new.rulebook().rules[it.rule]).collect();
    assert!(!holds.is_empty());
    assert!(holds.iter().all(|rule| rule.floor), "{holds:?}");
    // The same bird without the bite to the ear: the departure is what it is there for.
    let text = std::fs::read_to_string(form("ll-106")).unwrap();
    let signed_off = text
        .replace("body-part: ear or neck", "body-part: hand or arm")
        .replace(
            "barrier-sessions: 0, signed-off: nothing",
            "barrier-sessions: 12, barrier-days: 20 days, barrier-red: 0, signed-off: stationed",
        );
    let folder = tempfile::tempdir().unwrap();
    let other = folder.path().join("other.yaml");
    std::fs::write(&other, signed_off).unwrap();
    let (_, before, _) = old.decide(&other);
    let (_, after, _) = new.decide(&other);
    assert_eq!(before.verdict.start.until_answered, Start::ThroughBarrier);
    assert_eq!(after.verdict.start.until_answered, Start::Stationed);
}

#[test]
fn one_consultant_tightens_and_two_loosen() {
    for version in ["1.0", "1.1"] {
        let rules = Rules::open(version);
        let (_, decision, _) = rules.decide(&form("ll-103"));
        let [it] = &decision.overruled[..] else {
            panic!("one outcome is overruled")
        };
        assert!(it.came == Came::Tightened && it.by.second.is_none());
        assert_eq!(decision.ruled.start.until_answered, Start::ThroughBarrier);
        assert_eq!(decision.verdict.start.known, Start::HandsOff);

        let (_, decision, _) = rules.decide(&form("ll-104"));
        let [it] = &decision.overruled[..] else {
            panic!("one outcome is overruled")
        };
        assert!(it.came == Came::Loosened && !it.held_by_floor);
        assert!(
            it.by
                .second
                .as_ref()
                .is_some_and(|second| *second != it.by.by)
        );
        assert_eq!(decision.ruled.risk.until_answered, Risk::High);
        assert_eq!(decision.verdict.risk.until_answered, Risk::Moderate);

        // A departure of the practice has two names as well.
        for departure in &rules.voiced.rulebook.departures {
            let second = departure.second.as_ref();
            assert!(second.is_some_and(|second| *second != departure.by));
        }
    }
    let held: Vec<_> = forms()
        .iter()
        .filter(|form| CaseFile::of_form(form).unwrap().rulebook.is_some())
        .map(|form| beside(form))
        .collect();
    assert_eq!(held, [team().join("cases/ll-104.case.yaml")]);
}

#[test]
fn no_two_cases_are_of_one_kind_or_one_place() {
    let rules = Rules::open("1.0");
    let (mut kinds, mut places) = (BTreeSet::new(), BTreeSet::new());
    for form in forms() {
        let (intake, _, _) = rules.decide(&form);
        let text = |key: &str| {
            let questionnaire = &rules.rulebook().questionnaire;
            let (group, question) = questionnaire.find(key).unwrap();
            intake
                .answers
                .text(group, None, question)
                .unwrap()
                .to_owned()
        };
        let code = form.file_stem().unwrap().to_string_lossy().into_owned();
        assert_eq!(text("case.reference"), code);
        kinds.insert(text("bird.species"));
        places.insert(text("case.region"));
    }
    assert!(kinds.len() == 6 && places.len() == 6);
}

#[test]
fn the_changelog_tells_both_versions_of_the_house_rules() {
    let (old, new) = (Rules::open("1.0"), Rules::open("1.1"));
    let edition = |rules: &Rules| rules.rulebook().house_rules.clone().unwrap();
    let (old, new) = (edition(&old), edition(&new));
    assert!(old.version < new.version && old.date < new.date);
    let versions: Vec<_> = new.changes.iter().map(|it| it.version.clone()).collect();
    assert_eq!(versions, [new.version.clone(), old.version.clone()]);
    assert_eq!(new.changes[1].what, old.changes[0].what);
}

fn shell(folder: &Path, script: &str) -> Output {
    let bin = Path::new(env!("CARGO_BIN_EXE_perchside")).parent().unwrap();
    let path = format!("{}:{}", bin.display(), std::env::var("PATH").unwrap());
    Command::new("sh")
        .args(["-e", "-c", script])
        .current_dir(folder)
        .env("PATH", path)
        .output()
        .unwrap()
}

/// A folder in which the examples lie where they lie in the repository.
fn root() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("examples")).unwrap();
    let copied = Command::new("cp")
        .arg("-r")
        .arg(team())
        .arg(folder.path().join("examples"))
        .status()
        .unwrap();
    assert!(copied.success());
    folder
}

fn update() -> bool {
    std::env::var_os("UPDATE_EXAMPLES").is_some()
}

#[test]
fn both_houses_are_clean() {
    for version in ["1.0", "1.1"] {
        let output = shell(
            root().path(),
            &format!(
                "perchside rules check --practice examples/team/house-{version} --today {TODAY}"
            ),
        );
        let said = String::from_utf8(output.stdout).unwrap();
        assert!(
            output.status.success() && said.ends_with("clean\n"),
            "{said}"
        );
        assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
    }
}

#[test]
fn the_page_of_the_meeting_is_what_the_program_writes() {
    let output = shell(
        root().path(),
        &format!(
            "perchside rules compare examples/team/house-1.0 examples/team/house-1.1 examples/team/cases --format md --today {TODAY}"
        ),
    );
    // Something is looser, and a person has to look.
    assert_eq!(output.status.code(), Some(3));
    let page = String::from_utf8(output.stdout).unwrap();
    let path = team().join("meeting.md");
    if update() {
        std::fs::write(&path, &page).unwrap();
    }
    assert!(
        std::fs::read_to_string(path).unwrap_or_default() == page,
        "out of date, run `UPDATE_EXAMPLES=1 cargo test --test team`"
    );
    for told in [
        "### ll-102: looser\n",
        "### ll-101: tighter\n",
        "### ll-105: changed, neither looser nor tighter\n",
        "### ll-106: changed, neither looser nor tighter\n",
        "2 cases are not touched",
    ] {
        assert!(page.contains(told), "{told}");
    }
}

/// Where a consultant keeps practice from beginning at all, no rule about how it begins can move the case.
#[test]
fn what_is_overruled_beside_a_form_counts_in_the_comparison() {
    let folder = root();
    let compare = format!(
        "perchside rules compare examples/team/house-1.0 examples/team/house-1.1 examples/team/cases/ll-102.yaml --today {TODAY}"
    );
    let told = |output: Output| String::from_utf8(output.stdout).unwrap();
    let start = "looser: start through-barrier -> stationed";
    let page = told(shell(folder.path(), &compare));
    assert!(page.contains(start), "{page}");
    let cases = folder.path().join("examples/team/cases");
    let by_hand = std::fs::read_to_string(cases.join("ll-103.case.yaml")).unwrap();
    std::fs::write(cases.join("ll-102.case.yaml"), by_hand).unwrap();
    let page = told(shell(folder.path(), &compare));
    assert!(!page.contains(start), "{page}");
}

#[test]
fn the_commands_of_the_readme_print_what_it_shows() {
    let path = team().join("README.md");
    let text = std::fs::read_to_string(&path).unwrap();
    let folder = root();
    let mut updated = String::new();
    let mut rest = text.as_str();
    let mut shown = 0;
    while let Some(at) = rest.find("```sh\n") {
        let (before, after) = rest.split_at(at + "```sh\n".len());
        let (script, after) = after.split_once("```\n").unwrap();
        updated.push_str(before);
        updated.push_str(script);
        updated.push_str("```\n");
        let output = shell(folder.path(), script);
        let said = String::from_utf8(output.stdout).unwrap();
        let words = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{script}\n{said}{words}");
        rest = after;
        if let Some(after) = after.strip_prefix("\n```text\n") {
            let after = after
                .strip_prefix("```\n")
                .or_else(|| after.split_once("\n```\n").map(|(_, after)| after));
            updated.push_str(&format!("\n```text\n{said}```\n"));
            rest = after.unwrap();
            shown += 1;
        }
    }
    updated.push_str(rest);
    assert!(shown >= 6);
    if update() {
        std::fs::write(&path, &updated).unwrap();
        return;
    }
    assert!(
        updated == text,
        "out of date, run `UPDATE_EXAMPLES=1 cargo test --test team`\n{updated}"
    );
}
