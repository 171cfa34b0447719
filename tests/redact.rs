//! A redacted case tells nobody who it is about: no name, place, code or date of the form is left in any paper.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use perchside::decision::decide;
use perchside::house::House;
use perchside::library::Library;
use perchside::papers::engine::Engine;
use perchside::papers::{PAPERS, Paper, drawings, plan_json};
use perchside::plan::{Options, Plan};
use perchside::redact::{Case, leaks};
use perchside::rulebook::Care;
use perchside::wording::Practice;
use support::{TODAY, intake, rulebook};

fn texts() -> &'static str {
    static TEXTS: std::sync::OnceLock<String> = std::sync::OnceLock::new();
    TEXTS.get_or_init(|| {
        House::open(
            Library::embedded(),
            None,
            Care::Trusted,
            jiff::civil::date(2026, 11, 25),
        )
        .unwrap()
        .all_texts()
    })
}

fn papers(case: &Case) -> Vec<(String, String)> {
    let decision = decide(rulebook(), &case.intake.answers, case.today);
    let options = Options {
        names: true,
        private: true,
        ..Options::default()
    };
    let plan = Plan::of(rulebook(), &case.intake, &decision, options);
    let engine = Engine::embedded();
    let mut files = vec![("plan.json".to_owned(), plan_json(&plan))];
    for name in PAPERS {
        let paper = Paper::of(&engine, &plan, name).unwrap();
        files.push((format!("{name}.md"), paper.markdown()));
        files.push((format!("{name}.html"), paper.html(&engine, &plan).unwrap()));
    }
    for drawing in drawings(&engine, &plan, true).unwrap() {
        files.push((drawing.name, drawing.svg));
    }
    files
}

/// A form in which the same names stand everywhere a person may write them.
fn form(person: &str, bird: &str, place: &str) -> String {
    let q = |text: String| serde_json::Value::from(text).to_string();
    let free = q(format!(
        "{person} and {}'s bird {bird} in {place}, on 2026-10-14, call 020 7946 0018",
        person.to_uppercase()
    ));
    format!(
        "case: {{region: {}, reference: {}, setting: home}}\nbird: {{name: {}, species: cockatiel, ring: ZZ-4471-QX}}\nhealth: {{vet-name: {}, share-with-vet: yes}}\npeople:\n  - {{name: {}, age: 40 years, presence: lives here, role: reacted-to}}\nbites:\n  - {{date: 2026-10-14, person: {}, injury: bruise}}\ntried:\n  - {{method: gloves, who: {}, note: {free}}}\ngoals: {{wish: {free}, good-enough: {free}, limits: {free}}}\nnotes: {{first-page: {free}, known: {free}, reading: {free}, safe-from-today: {free}, goes-wrong: {free}, sitter: {free}, vet: {free}, colleagues: {free}}}\n",
        q(place.to_owned()),
        q(format!("{bird}-case-7781")),
        q(bird.to_owned()),
        q(format!("Clinic at {place}")),
        q(person.to_owned()),
        q(person.to_owned()),
        q(person.to_owned()),
    )
}

#[test]
fn nothing_that_tells_who_it_is_about_is_left() {
    for (person, bird, place) in [
        ("Wrenna Oakhurst", "Pimpernella", "Lower Quimby"),
        ("Ødegård", "Ćwirek", "Übertal"),
        ("O'Xylan", "Zz9", "St. Quentova"),
        ("A*b[c]Q", "<b>Kiwix</b>", "Qua|xx"),
    ] {
        let intake = intake(&form(person, bird, place));
        let case = Case::of(
            rulebook(),
            &intake,
            None,
            TODAY,
            &Practice::unnamed(),
            texts(),
        )
        .unwrap();
        let files = papers(&case);
        let found = leaks(
            &case.secrets,
            files
                .iter()
                .map(|(name, text)| (name.as_str(), text.as_str())),
            texts(),
        );
        let grave: Vec<_> = found.iter().filter(|leak| !leak.ordinary).collect();
        assert!(grave.is_empty(), "{person}: {grave:?}");
        for (name, text) in &files {
            for word in [
                "Wrenna",
                "Oakhurst",
                "Pimpernella",
                "Quimby",
                "Ødegård",
                "Ćwirek",
                "Übertal",
                "Xylan",
                "Quentova",
                "Kiwix",
                "ZZ-4471-QX",
                "7781",
                "7946",
            ] {
                assert!(!text.contains(word), "{name} holds {word}");
            }
            assert!(
                !text.contains("2026-10-14") && !text.contains("14 October 2026"),
                "{name}"
            );
        }
        assert!(case.account.dates >= 2 && case.account.left_out > 0);
        assert!(!case.account.replaced.is_empty() && !case.account.kept.is_empty());
    }
}

/// What a form says of how to reach someone, with other ways to write it in free text, and what none of the papers may hold.
const REACHED: &[(&str, &[&str], &[&str])] = &[
    (
        "+44 20 7946 0018",
        &["+44-20-7946-0018", "44.20.7946.0018", "+44 (20) 79460018"],
        &["7946"],
    ),
    (
        "Lamp.Post+12@home.example",
        &["lamp.post+12@HOME.example", "LAMP.POST+12@home.example"],
        &["lamp.post", "home.example"],
    ),
    (
        "ring 555 010 4477 after six, or write to quimbyhall@home.example",
        &["555-010-4477", "quimbyhall@home.example"],
        &["4477", "quimbyhall", "after six"],
    ),
    ("44 55 66", &["445566", "44-55-66"], &["445566", "44 55 66"]),
    (
        "the bell at Zzyx House",
        &["the bell at  zzyx house"],
        &["zzyx"],
    ),
];

#[test]
fn how_to_reach_someone_is_replaced_however_it_is_written() {
    for (contact, again, gone) in REACHED {
        let free = again.join(" and ");
        let form = intake(&format!(
            "case: {{contact: \"{contact}\", setting: home}}\nbird: {{species: cockatiel}}\nnotes: {{first-page: \"Use {free}.\", vet: \"{contact}\"}}\n"
        ));
        let case = Case::of(
            rulebook(),
            &form,
            None,
            TODAY,
            &Practice::unnamed(),
            texts(),
        )
        .unwrap();
        let text = case.intake.source.text.to_lowercase();
        assert!(text.contains("contact: contact-1"), "{text}");
        let stand_ins = text.matches("contact-1").count();
        assert_eq!(stand_ins, 2 + again.len(), "{text}");
        for (name, paper) in papers(&case) {
            let paper = paper.to_lowercase();
            for word in *gone {
                assert!(!paper.contains(word), "{name} holds {word}");
            }
        }
        let left = [("plan.md", again[0])];
        assert_eq!(leaks(&case.secrets, left, texts()).len(), 1, "{contact}");
        assert!(case.secrets.iter().all(|it| it.stand_in == "contact-1"));
    }
}

#[test]
fn dates_keep_their_order_and_their_distance() {
    let text = "bites:\n  - {date: 2026-11-01, injury: bruise}\n  - {date: 2026-10-14, injury: bruise}\n  - {date: 2026-09, injury: pressure}\nweights:\n  - {date: 2026-11-20, weight: 90 g}\nbird: {species: cockatiel}\n";
    let original = intake(text);
    let case = Case::of(
        rulebook(),
        &original,
        None,
        TODAY,
        &Practice::unnamed(),
        texts(),
    )
    .unwrap();
    let days = |answers: &perchside::answers::Answers| -> Vec<jiff::civil::Date> {
        let mut days = Vec::new();
        for part in &answers.parts {
            if let perchside::answers::Part::Many(Some(entries)) = part {
                for given in entries.iter().flat_map(|entry| &entry.given) {
                    if let perchside::answers::Given::Date(date) = given {
                        days.push(date.first);
                    }
                }
            }
        }
        days
    };
    let (before, after) = (days(&original.answers), days(&case.intake.answers));
    let away = |days: &[jiff::civil::Date], today: jiff::civil::Date| -> Vec<i32> {
        days.iter()
            .map(|day| day.until(today).unwrap().get_days())
            .collect()
    };
    let (was, is) = (away(&before, TODAY), away(&after, case.today));
    assert_eq!((was[0], was[1], was[3]), (is[0], is[1], is[3]));
    // Part of a date moves to the month its middle falls into.
    assert!((was[2] - is[2]).abs() <= 31);
    assert_ne!(before[0], after[0]);
}

#[test]
fn the_same_form_moves_by_the_same_days_and_another_by_its_own() {
    let case = |text: &str| {
        Case::of(
            rulebook(),
            &intake(text),
            None,
            TODAY,
            &Practice::unnamed(),
            texts(),
        )
        .unwrap()
        .today
    };
    assert_eq!(case("bird: {name: Tansy}"), case("bird: {name: Tansy}"));
    let days: std::collections::BTreeSet<_> = (0..40)
        .map(|at| case(&format!("bird: {{name: Bird{at}}}")))
        .collect();
    assert!(days.len() > 10, "{days:?}");
}

#[test]
fn a_name_that_is_put_back_is_found() {
    let intake = intake(&form("Wrenna Oakhurst", "Pimpernella", "Lower Quimby"));
    let case = Case::of(
        rulebook(),
        &intake,
        None,
        TODAY,
        &Practice::unnamed(),
        texts(),
    )
    .unwrap();
    let papers = [("plan.md", "Keep Oakhurst away.")];
    assert_eq!(leaks(&case.secrets, papers, texts()).len(), 1);
}
