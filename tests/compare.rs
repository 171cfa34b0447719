//! A change of rules told before it is used: what differs, which open cases it touches, and nothing of those it leaves alone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../examples/generate/mod.rs"]
#[allow(dead_code)]
mod generate;
mod support;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use generate::generator::{Generator, Order, Sort};
use generate::homes::Homes;
use perchside::compare::{Cases, Comparison, Difference, Named, Side, Way};
use perchside::facts::Facts;
use perchside::house::House;
use perchside::inbox::{Inbox, Input};
use perchside::language::condition::Scope;
use perchside::library::{Care, Library};
use perchside::source::Source;
use proptest::prelude::*;
use serde_json::Value;
use support::{Form, Random, TODAY, rulebook};

const DAY: &str = "2026-11-25";

fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn perchside(args: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(args)
        .args(["--today", DAY])
        .current_dir(folder)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The built-in rulebook with files put in place of others; an empty text takes a file out.
fn side_with(changes: &[(&str, String)]) -> Side {
    let mut library = Library::embedded();
    library
        .files
        .retain(|(path, _)| changes.iter().all(|(changed, _)| changed != path));
    for (path, text) in changes.iter().filter(|(_, text)| !text.is_empty()) {
        let source = Source::new(format!("rules/{path}"), text.clone());
        library.files.push(((*path).to_owned(), source));
    }
    library.files.sort_by(|a, b| a.0.cmp(&b.0));
    let house = House::open(library, None, Care::Trusted, TODAY).unwrap();
    Side::of(Named::BuiltIn, house).unwrap_or_else(|problems| {
        panic!("{}", perchside::mistake::render(&problems, false));
    })
}

fn built_in() -> &'static Side {
    static SIDE: OnceLock<Side> = OnceLock::new();
    SIDE.get_or_init(|| Side::open(Named::BuiltIn, TODAY).unwrap())
}

/// The text of a shipped file with one part put in place of another.
fn shipped(path: &str, was: &str, is: &str) -> String {
    let library = Library::embedded();
    let text = library.get(path).unwrap().text.to_string();
    assert!(text.contains(was), "{path}: {was}");
    text.replacen(was, is, 1)
}

/// What a comparison tells of forms, as its JSON has it.
fn told(old: &Side, new: &Side, forms: &[String]) -> (Difference, Cases) {
    let difference = Difference::of(old, new, false);
    let comparison = Comparison::of(old, new, &difference, TODAY, false);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(2)
        .build()
        .unwrap();
    let stream = forms.join("\n---\n");
    let input = Input::Stream(
        "forms.yaml".to_owned(),
        Box::new(std::io::Cursor::new(stream.into_bytes())),
    );
    let mut inbox = Inbox::new(&old.rulebook.questionnaire, vec![input], None, None);
    let cases = Cases::of(&comparison, &pool, &mut inbox, |_| {});
    (difference, cases)
}

const CHILD: &str = "people/child-within-reach.yaml";

/// A household in which a boy of fourteen lives with a bird that broke skin.
const FOURTEEN: &str = "case:\n  reference: slate-14\npeople:\n  - {name: Wren Holt, age: 14 years, presence: lives here}\nbites:\n  - {injury: broken-skin, date: 2026-11-20}\n";
/// One in which nobody is young.
const GROWN: &str = "case:\n  reference: slate-40\npeople:\n  - {age: 40 years, presence: lives here}\nbites:\n  - {injury: broken-skin, date: 2026-11-20}\n";

fn folder_of(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (path, text) in files {
        let path = folder.path().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    folder
}

/// The shipped rules in a folder, with one part of one file put in place of another.
fn rules_with(changes: &[(&str, &str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let copied = Command::new("cp")
        .arg("-r")
        .arg(repository().join("rules"))
        .arg(folder.path().join("new"))
        .status()
        .unwrap();
    assert!(copied.success());
    for (path, was, is) in changes {
        let file = folder.path().join("new").join(path);
        let text = std::fs::read_to_string(&file).unwrap();
        assert!(text.contains(was), "{path}: {was}");
        std::fs::write(&file, text.replacen(was, is, 1)).unwrap();
    }
    folder
}

#[test]
fn the_same_rules_change_nothing() {
    let folder = folder_of(&[("a.yaml", FOURTEEN), ("b.yaml", GROWN)]);
    let output = perchside(
        &[
            "rules", "compare", "built-in", "built-in", ".", "--format", "json",
        ],
        folder.path(),
    );
    assert_eq!(output.status.code(), Some(0));
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(told["rules"]["items"], serde_json::json!([]));
    assert_eq!(told["loosened"], false);
    assert_eq!(told["cases"]["untouched"], 2);
    assert_eq!(told["cases"]["touched"], serde_json::json!([]));
    // A copy of the shipped rules in a folder is the same rules.
    let copy = rules_with(&[]);
    let output = perchside(&["rules", "compare", "built-in", "new"], copy.path());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("are the same"));
}

#[test]
fn a_threshold_that_takes_in_more_cases_is_tighter_and_names_the_case_it_reaches() {
    let new = side_with(&[(
        CHILD,
        shipped(CHILD, "age: under 13 years", "age: under 15 years"),
    )]);
    let forms = [FOURTEEN.to_owned(), GROWN.to_owned()];
    let (difference, cases) = told(built_in(), &new, &forms);
    let item = difference.find("rule", "child-within-reach").unwrap();
    assert_eq!(item.way, Way::Tightened);
    assert_eq!(difference.way, Way::Tightened);
    // The household of grown people is silent.
    assert_eq!((cases.tighter, cases.untouched, cases.looser), (1, 1, 0));
    let case = &cases.touched[0];
    assert_eq!((case.case.as_str(), case.way), ("slate-14", Way::Tightened));
    let never = case
        .lines
        .iter()
        .find(|line| line.id == "child-and-bird-left-alone")
        .unwrap();
    assert_eq!(never.way, Way::Tightened);
    let because: Vec<&str> = never.because.iter().map(|it| it.rule.as_str()).collect();
    assert_eq!(because, ["child-within-reach"]);
    for outcome in &case.outcomes {
        assert!(
            outcome
                .because
                .iter()
                .any(|it| it.rule == "child-within-reach"),
            "{outcome:?}"
        );
    }
}

#[test]
fn a_looser_rule_is_named_and_calls_for_a_person() {
    let folder = rules_with(&[(CHILD, "\n  risk: high\n", "\n  risk: moderate\n")]);
    std::fs::write(folder.path().join("a.yaml"), FOURTEEN).unwrap();
    for cases in [&[][..], &["a.yaml"][..]] {
        let args = [&["rules", "compare", "built-in", "new"][..], cases].concat();
        let output = perchside(&args, folder.path());
        assert_eq!(output.status.code(), Some(3), "{}", text(&output.stderr));
        let said = text(&output.stdout);
        assert!(said.contains("rule child-within-reach"), "{said}");
        assert!(said.contains("risk at least: high -> moderate"), "{said}");
    }
    // The other way round it is tighter, and nothing to look at.
    let output = perchside(&["rules", "compare", "new", "built-in"], folder.path());
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn a_case_whose_outcome_is_looser_is_told_with_the_rule_that_is_gone() {
    let rule = "people/one-person-targeted.yaml";
    let new = side_with(&[(rule, String::new())]);
    let form = "case:\n  reference: slate-2\npeople:\n  - {role: reacted-to, age: 40 years, presence: lives here}\nbites:\n  - {injury: none}\n";
    let (_, cases) = told(built_in(), &new, &[form.to_owned(), GROWN.to_owned()]);
    let case = cases
        .touched
        .iter()
        .find(|it| it.case == "slate-2")
        .unwrap();
    assert_eq!(case.way, Way::Loosened);
    // A bird that bruises nobody goes for one person: by that rule alone the risk was moderate.
    let risk = case
        .outcomes
        .iter()
        .find(|it| it.outcome == "risk")
        .unwrap();
    assert_eq!((risk.before.known, risk.after.known), ("moderate", "low"));
    let because: Vec<&str> = risk.because.iter().map(|it| it.rule.as_str()).collect();
    assert_eq!(because, ["one-person-targeted"]);
    assert_eq!(risk.because[0].speaks, "old");
}

#[test]
fn a_measure_that_another_one_covers_is_replaced_and_not_lost() {
    use perchside::rulebook::MeasureKind;
    // A pair of measures of the shipped rulebook, one of which makes the other needless.
    let books = &built_in().rulebook;
    let (by, covered) = books
        .measures
        .values()
        .find_map(|measure| match &measure.kind {
            MeasureKind::Do {
                covers, only_from, ..
            } if only_from.is_none() => {
                let covered = covers.iter().find(|id| books.measures.contains_key(*id))?;
                let other = &books.measures[covered];
                (other.only_from().is_none() && !other.for_person && !measure.for_person)
                    .then(|| (measure.id.clone(), covered.clone()))
            }
            _ => None,
        })
        .unwrap();
    let rule = |ids: &str| {
        format!(
            "id: our-rule\ntitle: Ours\nwhy: Ours.\ntell: Ours.\nsource: [practice]\nwhen:\n  people: answered\nthen:\n  do: [{ids}]\n"
        )
        .replace("people: answered", "tally.bites: at least 1")
    };
    let side = |ids: &str| side_with(&[("people/our-rule.yaml", rule(ids))]);
    let (one, other) = (side(&covered), side(&by));
    let difference = Difference::of(&one, &other, false);
    let item = difference.find("rule", "our-rule").unwrap();
    let way = |id: &str| {
        let mut details = item.details.iter();
        let found = details.find(|it| {
            [&it.before, &it.after]
                .into_iter()
                .flatten()
                .any(|it| it == id)
        });
        found.unwrap().way
    };
    assert_eq!(way(&covered), Way::Neither);
    assert_eq!(way(&by), Way::Tightened);
    // To lose what covers it is looser, and what was covered is no gain.
    assert_eq!(Difference::of(&other, &one, false).way, Way::Loosened);
    let lost = side("");
    assert_eq!(Difference::of(&one, &lost, false).way, Way::Loosened);
}

#[test]
fn a_departure_that_is_switched_on_is_looser_and_listed() {
    let departure = "id: our-reply\nrule: one-person-targeted\ninstead:\n  contact: nothing\nreason: We call each of them within a day anyway.\nby: R. Vale\ndate: 2026-11-01\nuntil: 2027-03-01\n";
    let folder = folder_of(&[
        ("old/practice.yaml", "name: Lantern Lane Parrots\n"),
        ("new/practice.yaml", "name: Lantern Lane Parrots\n"),
        ("new/departures/our-reply.yaml", departure),
    ]);
    let output = perchside(
        &["rules", "compare", "old", "new", "--format", "json"],
        folder.path(),
    );
    assert_eq!(output.status.code(), Some(3), "{}", text(&output.stderr));
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    let departures = told["rules"]["departures"].as_array().unwrap();
    assert_eq!(departures.len(), 1);
    assert_eq!(departures[0]["state"], "in-force");
    assert_eq!(departures[0]["of"], "new");
    // Who signed it is a name.
    assert_eq!(departures[0]["by"], serde_json::json!([]));
    let rule = &told["rules"]["items"][0];
    assert_eq!(
        (rule["id"].as_str(), rule["way"].as_str()),
        (Some("one-person-targeted"), Some("loosened"))
    );
    // Before its first day it is told, and changes nothing.
    let output = Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(["rules", "compare", "old", "new", "--today", "2026-10-01"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(text(&output.stdout).contains("not yet in force"));
    let output = perchside(
        &[
            "rules", "compare", "old", "new", "--names", "--format", "md",
        ],
        folder.path(),
    );
    assert!(text(&output.stdout).contains("R. Vale"));
}

#[test]
fn a_removed_question_is_told_and_a_form_that_answers_it_cannot_be_read() {
    let questions = "group: our-questions\norder: 90\ntitle: Ours\nabout: Ours.\nquestions:\n  - id: parking\n    ask: Where can we park?\n    why: The consultant comes by car.\n    type: text\n    tier: intake\n    blank: We do not know where to park.\n";
    let with = side_with(&[("questions/our-questions.yaml", questions.to_owned())]);
    let form = format!("{GROWN}our-questions:\n  parking: behind the house\n");
    let (difference, cases) = told(&with, built_in(), &[form, FOURTEEN.to_owned()]);
    let item = difference
        .find("question", "our-questions.parking")
        .unwrap();
    assert_eq!(item.what, perchside::compare::What::Removed);
    assert_eq!((cases.unreadable, cases.untouched), (1, 1));
    let unread = &cases.by_hand[0];
    assert_eq!((unread.case.as_str(), unread.under), ("slate-40", "new"));
    assert!(unread.mistakes.iter().all(|it| it.under == "new"));
}

#[test]
fn a_form_that_cannot_be_read_ends_with_one_and_a_looser_rule_before_it() {
    let broken = "case:\n  reference: slate-9\npeople:\n  - {name: Wren Holt, age: Wren Holt}\n";
    let folder = folder_of(&[("a.yaml", broken)]);
    let output = perchside(
        &["rules", "compare", "built-in", "built-in", "a.yaml"],
        folder.path(),
    );
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stdout);
    assert!(
        said.contains("slate-9") && said.contains("cannot be read"),
        "{said}"
    );
    let looser = rules_with(&[(CHILD, "\n  risk: high\n", "\n  risk: moderate\n")]);
    std::fs::write(looser.path().join("a.yaml"), broken).unwrap();
    let output = perchside(
        &["rules", "compare", "built-in", "new", "a.yaml"],
        looser.path(),
    );
    assert_eq!(output.status.code(), Some(3));
}

#[test]
fn what_is_no_set_of_rules_is_said() {
    let folder = folder_of(&[("a.yaml", FOURTEEN)]);
    let output = perchside(&["rules", "compare", "built-in", "gone"], folder.path());
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("gone is no set of rules"));
    let output = perchside(
        &[
            "rules",
            "compare",
            "built-in",
            "built-in",
            "--practice",
            "x",
        ],
        folder.path(),
    );
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn no_person_is_named_unless_asked_for() {
    let new = side_with(&[(
        CHILD,
        shipped(CHILD, "age: under 13 years", "age: under 15 years"),
    )]);
    let form = FOURTEEN.replace("slate-14", "Wren 14, with Mrs Holt");
    let difference = Difference::of(built_in(), &new, false);
    for names in [false, true] {
        let comparison = Comparison::of(built_in(), &new, &difference, TODAY, names);
        let item = perchside::inbox::Item {
            label: "forms/wren-holt.yaml".into(),
            line: 0,
            text: Ok(Source::new("forms/wren-holt.yaml", form.clone())),
            written: perchside::inbox::Written::Yaml,
        };
        let seen = format!("{:?}", comparison.case(&item)).to_lowercase();
        assert_eq!(seen.contains("wren"), names, "{seen}");
        assert_eq!(seen.contains("holt"), names, "{seen}");
    }
}

#[test]
fn hostile_text_in_a_case_stays_text() {
    let hostile = "\"| **x** | <script>a</script> \\u001b[31m {{ 7*7 }}\"";
    let form = FOURTEEN.replace("slate-14", hostile);
    let folder = rules_with(&[(CHILD, "age: under 13 years", "age: under 15 years")]);
    let file = folder.path().join(CHILD.replace("people", "new/people"));
    let rule = std::fs::read_to_string(&file).unwrap();
    // The examples are of the old threshold.
    let examples = rule
        .lines()
        .filter(|line| !(line.contains("quiet") && line.contains("13 years")));
    std::fs::write(&file, examples.collect::<Vec<_>>().join("\n")).unwrap();
    std::fs::write(folder.path().join("a.yaml"), form).unwrap();
    let run = |format: &str| {
        let output = perchside(
            &[
                "rules", "compare", "built-in", "new", "a.yaml", "--format", format,
            ],
            folder.path(),
        );
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        text(&output.stdout)
    };
    let page = run("md");
    assert!(
        !page.contains("<script>") && !page.contains('\u{1b}'),
        "{page}"
    );
    assert!(page.contains("\\<script\\>") && page.contains("7\\*7"));
    let screen = run("text");
    assert!(!screen.contains('\u{1b}') && screen.contains("{{ 7*7 }}"));
    let told: Value = serde_json::from_str(&run("json")).unwrap();
    assert!(
        told["cases"]["touched"][0]["case"]
            .as_str()
            .unwrap()
            .contains("<script>")
    );
}

#[test]
fn the_order_of_the_files_does_not_matter() {
    let files = [
        ("a.yaml", FOURTEEN),
        ("b.yaml", GROWN),
        ("c/d.yaml", FOURTEEN),
    ];
    let folder = rules_with(&[(CHILD, "\n  risk: high\n", "\n  risk: moderate\n")]);
    for (path, form) in files {
        let path: PathBuf = folder.path().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, form).unwrap();
    }
    let page = |order: &[&str]| {
        let args = [
            &["rules", "compare", "built-in", "new", "--format", "json"],
            order,
        ]
        .concat();
        text(&perchside(&args, folder.path()).stdout)
    };
    let first = page(&["a.yaml", "b.yaml", "c"]);
    assert!(!first.is_empty());
    assert_eq!(first, page(&["c", "b.yaml", "a.yaml"]));
    let one_core = page(&["c", "a.yaml", "b.yaml", "--threads", "1"]);
    assert_eq!(first, one_core);
}

fn generator() -> &'static Generator<'static> {
    static HOMES: OnceLock<Homes> = OnceLock::new();
    static GENERATOR: OnceLock<Generator<'static>> = OnceLock::new();
    GENERATOR.get_or_init(|| {
        let homes = HOMES.get_or_init(|| Homes::of(repository()).unwrap());
        let order = Order {
            seed: 11,
            sort: Sort::Mixed,
            broken: 0,
            day: TODAY,
        };
        Generator::new(rulebook(), homes, order).unwrap()
    })
}

fn generated(from: u64, count: u64) -> Vec<String> {
    let generator = generator();
    (from..from + count)
        .map(|at| generator.text(&mut generator.form(at), false, false))
        .collect()
}

/// Some rules left out, the outcomes of others one step looser, and the thresholds of others moved; the same for the same seed.
fn changed_rules(seed: u64) -> Vec<(&'static str, String)> {
    static RULES: OnceLock<Vec<String>> = OnceLock::new();
    let paths = RULES.get_or_init(|| {
        let rules = rulebook().rules.iter();
        rules
            .map(|rule| format!("{}/{}.yaml", rule.topic, rule.id))
            .collect()
    });
    let mut random = Random(seed);
    let mut changes: Vec<(&'static str, String)> = Vec::new();
    for _ in 0..6 {
        let path = &paths[usize::try_from(random.next() % paths.len() as u64).unwrap()];
        if changes.iter().any(|(other, _)| other == path) {
            continue;
        }
        let text = Library::embedded().get(path).unwrap().text.to_string();
        let is = match random.next() % 3 {
            0 => String::new(),
            1 => text
                .replace("\n  risk: severe\n", "\n  risk: high\n")
                .replace("\n  start: through-barrier\n", "\n  start: stationed\n"),
            _ => text
                .replace("under 13 years", "under 11 years")
                .replace("at least broken-skin", "at least bruise")
                .replace("  any bite:", "  at least 2 bites:"),
        };
        changes.push((path.as_str(), is));
    }
    changes
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    /// Old against new and new against old say the same thing the other way round.
    #[test]
    fn the_other_way_round_tighter_is_looser(seed in any::<u64>()) {
        let new = side_with(&changed_rules(seed));
        let forms = generated(seed % 1000, 20);
        let (forth, cases_forth) = told(built_in(), &new, &forms);
        let (back, cases_back) = told(&new, built_in(), &forms);
        prop_assert_eq!(forth.way, back.way.turned());
        prop_assert_eq!(forth.items.len(), back.items.len());
        for (item, turned) in forth.items.iter().zip(&back.items) {
            prop_assert_eq!((&item.id, item.way), (&turned.id, turned.way.turned()));
        }
        prop_assert_eq!(cases_forth.untouched, cases_back.untouched);
        for case in &cases_forth.touched {
            let same = cases_back.touched.iter().find(|it| it.place == case.place).unwrap();
            prop_assert_eq!(case.way, same.way.turned(), "{:?}\n{:?}", case, same);
            for outcome in &case.outcomes {
                let other = same.outcomes.iter().find(|it| it.outcome == outcome.outcome).unwrap();
                prop_assert_eq!(outcome.way, other.way.turned());
                prop_assert_eq!(outcome.before, other.after);
                prop_assert_eq!(&outcome.because, &other.because.iter().map(|it| {
                    let mut it = it.clone();
                    it.speaks = if it.speaks == "old" { "new" } else { "old" };
                    it.what = it.what.map(|what| match what {
                        perchside::compare::What::Added => perchside::compare::What::Removed,
                        perchside::compare::What::Removed => perchside::compare::What::Added,
                        other => other,
                    });
                    it
                }).collect::<Vec<_>>());
                prop_assert!(!outcome.because.is_empty());
            }
            prop_assert_eq!(case.lines.len(), same.lines.len());
            for line in &case.lines {
                let twin = |it: &&perchside::compare::LineChange| {
                    (&it.id, &it.person, it.from, it.to, it.way.turned())
                        == (&line.id, &line.person, line.to, line.from, line.way)
                };
                prop_assert!(same.lines.iter().any(|it| twin(&it)), "{:?}\n{:?}", line, same.lines);
            }
        }
    }

    /// The quick look leaves out no case: what it calls untouched has the same outcomes, and the same plan but for its record.
    #[test]
    fn a_case_that_is_called_untouched_has_the_same_plan(seed in any::<u64>()) {
        use perchside::decision::decide;
        use perchside::intake::Intake;
        use perchside::plan::{Options, Plan};
        let new = side_with(&changed_rules(seed));
        let options = Options { without_work: true, ..Options::default() };
        for form in generated(seed % 1000, 12) {
            let (_, cases) = told(built_in(), &new, std::slice::from_ref(&form));
            let papers = |side: &Side| {
                let book = &side.rulebook;
                let source = Source::new("form", form.clone());
                let (intake, _) = Intake::read(&book.questionnaire, &book.vocabulary, source, TODAY).unwrap();
                let decision = decide(book, &intake.answers, TODAY);
                let plan = Plan::of(book, &intake, &decision, options);
                let mut value = serde_json::to_value(&plan).unwrap();
                let rules = value.as_object_mut().unwrap();
                // No lines: the record, practice, figures, and how many more open questions there are.
                for part in ["record", "training", "figures", "sign", "assumed-more", "private-open"] {
                    rules.remove(part);
                }
                without_rules(&mut value);
                value
            };
            if cases.untouched == 1 {
                let (before, after) = (papers(built_in()), papers(&new));
                for (part, was) in before.as_object().unwrap() {
                    prop_assert_eq!(was, &after[part], "{}\n{}", part, form);
                }
            } else {
                prop_assert_eq!(cases.touched.len(), 1);
            }
        }
    }

    /// Where a condition is told to be broader, no form there is is without it.
    #[test]
    fn a_broader_condition_holds_of_whatever_the_narrow_one_held_of(seed in any::<u64>()) {
        let form = Form::random(&rulebook().questionnaire, seed).yaml();
        let intake = support::intake(&form);
        let facts = Facts::of(&rulebook().questionnaire, &rulebook().vocabulary, &intake.answers, TODAY);
        for (side, way) in thresholds() {
            for rule in &side.rulebook.rules {
                let was = rulebook().rule(&rule.id).unwrap();
                let truth = |rule: &perchside::rulebook::Rule| rule.when.truth(&facts, &mut Scope::default());
                match way(&rule.id) {
                    Way::Tightened => prop_assert!(truth(rule) >= truth(was), "{}", rule.id),
                    Way::Loosened => prop_assert!(truth(rule) <= truth(was), "{}", rule.id),
                    _ => {}
                }
            }
        }
    }
}

/// A plan without the ids of the rules behind each line, and each list of lines without its order: that fewer rules ask for a line, or
/// that it stands further down, is no change of it.
fn without_rules(value: &mut Value) {
    match value {
        Value::Array(list) => {
            list.iter_mut().for_each(without_rules);
            list.sort_by_key(Value::to_string);
        }
        Value::Object(map) => {
            map.remove("rules");
            map.remove("rule");
            map.remove("waiting");
            map.values_mut().for_each(without_rules);
        }
        _ => {}
    }
}

type Ways = Box<dyn Fn(&str) -> Way + Send + Sync>;

/// Two sets in which every age, count of days and injury of every rule is another one, each with the way each condition went.
fn thresholds() -> &'static [(Side, Ways)] {
    static SETS: OnceLock<Vec<(Side, Ways)>> = OnceLock::new();
    SETS.get_or_init(|| {
        [
            [
                ("under 13 years", "under 15 years"),
                ("at least broken-skin", "at least bruise"),
                ("within 30 days", "within 20 days"),
            ],
            [
                ("under 5 years", "under 4 years"),
                ("at least bruise", "at least broken-skin"),
                ("any bite", "at least 2 bites"),
            ],
        ]
        .into_iter()
        .map(|swaps| {
            let library = Library::embedded();
            let changes: Vec<(String, String)> = rulebook()
                .rules
                .iter()
                .map(|rule| {
                    let path = format!("{}/{}.yaml", rule.topic, rule.id);
                    let mut text = library.get(&path).unwrap().text.to_string();
                    for (was, is) in swaps {
                        text = text.replace(was, is);
                    }
                    (path, text)
                })
                .collect();
            let borrowed: Vec<(&str, String)> = changes
                .iter()
                .map(|(path, text)| (path.as_str(), text.clone()))
                .collect();
            let side = side_with(&borrowed);
            let difference = Difference::of(built_in(), &side, false);
            let told = difference
                .items
                .iter()
                .filter(|it| it.kind == "rule" && it.way != Way::Neither)
                .count();
            assert!(told >= 10, "{told}");
            let way = move |id: &str| -> Way {
                let found = difference.find("rule", id);
                found.map_or(Way::Neither, |item| {
                    let mut details = item.details.iter();
                    details
                        .find(|it| it.part == "when")
                        .map_or(Way::Neither, |it| it.way)
                })
            };
            (side, Box::new(way) as Ways)
        })
        .collect()
    })
}

#[test]
fn a_thousand_open_cases_take_seconds() {
    let new = side_with(&[(
        CHILD,
        shipped(CHILD, "age: under 13 years", "age: under 15 years"),
    )]);
    let forms = generated(0, 1000);
    let started = Instant::now();
    let (_, cases) = told(built_in(), &new, &forms);
    let took = started.elapsed();
    assert_eq!(cases.count, 1000);
    assert!(cases.tighter > 0 && cases.untouched > cases.tighter);
    assert_eq!(cases.looser, 0);
    // DEVELOPERS.md tells what was measured; a debug build on a busy machine takes many times as long.
    assert!(took < Duration::from_secs(60), "{took:?}");
}

#[test]
fn two_cases_stand_side_by_side_without_a_name() {
    let examples = repository().join("examples");
    let a = "evening-conure/intake.yaml";
    let b = "sunday-grandchildren-amazon/intake.yaml";
    let output = perchside(&["compare", a, b, "--format", "json"], &examples);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(
        (told["a"].as_str(), told["redacted"].as_bool()),
        (Some("A"), Some(true))
    );
    let form = std::fs::read_to_string(examples.join(a)).unwrap();
    assert!(form.contains("Pickle"));
    let said = text(&output.stdout);
    assert!(!said.contains("Pickle"), "{said}");
    let named = perchside(&["compare", a, b, "--names"], &examples);
    assert!(text(&named.stdout).contains("Pickle"));
    let differ = told["answers"].as_array().unwrap();
    assert!(!differ.is_empty() && differ.iter().all(|it| it["alike"] == false));
    let all = perchside(&["compare", a, b, "--format", "json", "--all"], &examples);
    let all: Value = serde_json::from_slice(&all.stdout).unwrap();
    let count = |it: &Value| it["answers"].as_array().unwrap().len() as u64;
    assert_eq!(
        count(&all),
        count(&told) + told["answers-alike"].as_u64().unwrap()
    );
    assert!(!told["rules"].as_array().unwrap().is_empty());
    assert!(!told["lines"].as_array().unwrap().is_empty());
}

#[test]
fn a_case_beside_itself_differs_in_nothing() {
    let examples = repository().join("examples");
    let a = "evening-conure/intake.yaml";
    for format in ["json", "text", "md"] {
        let output = perchside(&["compare", a, a, "--format", format], &examples);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        if format == "json" {
            let told: Value = serde_json::from_slice(&output.stdout).unwrap();
            assert_eq!(told["same-outcomes"], true);
            for part in ["rules", "answers", "lines"] {
                assert_eq!(told[part], serde_json::json!([]), "{part}");
            }
        }
    }
}

#[test]
fn the_check_of_a_practice_tells_what_its_layer_changes() {
    let rule = "id: two-adults\ntitle: Two adults, always\nwhy: We say so.\ntell: We say so.\nsource: [practice]\nwhen:\n  tally.bites: at least 1\nthen:\n  risk: high\nexamples:\n  - fires: {bites: [{injury: none}]}\n  - quiet: {bites: []}\n  - blank: {people: []}\n";
    let folder = folder_of(&[
        ("practice/practice.yaml", "name: Lantern Lane Parrots\n"),
        ("practice/rules/people/two-adults.yaml", rule),
    ]);
    let output = perchside(&["rules", "check", "--practice", "practice"], folder.path());
    let said = text(&output.stdout);
    assert!(
        said.contains("rule two-adults: new (the practice's own)"),
        "{said}"
    );
    assert!(said.contains("risk at least: high"), "{said}");
    let output = perchside(
        &[
            "rules",
            "check",
            "--practice",
            "practice",
            "--format",
            "json",
        ],
        folder.path(),
    );
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(told["layer"]["way"], "tightened");
    assert_eq!(told["layer"]["items"][0]["id"], "two-adults");
    let plain = perchside(&["rules", "check", "--format", "json"], folder.path());
    let plain: Value = serde_json::from_slice(&plain.stdout).unwrap();
    assert_eq!(plain["layer"], Value::Null);
}
