//! Languages and a practice's own words: nothing missing, nothing stale, nothing in silence; and no word changes a decision.
//! `UPDATE_STAMPS=1 cargo test --test languages` marks every translation as made from today's English: only after reading it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use perchside::decision::decide;
use perchside::house::House;
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::papers::engine::Engine;
use perchside::papers::{Copy, PAPERS, Paper, copy_of};
use perchside::plan::{Options, Plan};
use perchside::rulebook::{Care, Rulebook};
use perchside::source::Source;
use perchside::templates::Templates;
use perchside::wording::{of_template, stamps};
use support::{Form, TODAY, intake, rulebook};

fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn shipped() -> House {
    House::open(
        Library::embedded(),
        None,
        Care::Trusted,
        jiff::civil::date(2026, 11, 25),
    )
    .unwrap()
}

/// A practice's folder with the given files.
fn practice(files: &[(&str, &str)]) -> (tempfile::TempDir, House) {
    let folder = tempfile::tempdir().unwrap();
    for (path, text) in files {
        let path: PathBuf = folder.path().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    let house = match House::open(
        Library::embedded(),
        Some(folder.path()),
        Care::Trusted,
        jiff::civil::date(2026, 11, 25),
    ) {
        Ok(house) => house,
        Err(problems) => panic!("{}", render(&problems, false)),
    };
    (folder, house)
}

fn examples() -> Vec<String> {
    let mut texts: Vec<(PathBuf, String)> = std::fs::read_dir(repository().join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path().join("intake.yaml"))
        .filter(|path| path.is_file())
        .map(|path| (path.clone(), std::fs::read_to_string(path).unwrap()))
        .collect();
    texts.sort();
    texts.into_iter().map(|(_, text)| text).collect()
}

fn paper(house: &House, language: &str, form: &str, name: &'static str) -> (Paper, String) {
    let (voiced, _) = house.speaking(language).unwrap();
    let (questionnaire, vocabulary) = (&voiced.rulebook.questionnaire, &voiced.rulebook.vocabulary);
    let source = Source::new("form", form);
    let (intake, _) = Intake::read(questionnaire, vocabulary, source, TODAY).unwrap();
    let decision = decide(&voiced.rulebook, &intake.answers, TODAY);
    let options = Options {
        large_print: house.practice.large_print,
        sign_read_from_cm: Some(house.practice.sign_distance_cm),
        ..Options::default()
    };
    let plan = Plan::of(&voiced.rulebook, &intake, &decision, options);
    let engine = Engine::speaking(house, &voiced);
    let paper = Paper::of(&engine, &plan, name).unwrap();
    let html = paper.html(&engine, &plan).unwrap();
    (paper, html)
}

#[test]
fn every_language_says_what_the_rulebook_says() {
    if std::env::var_os("UPDATE_STAMPS").is_some() {
        let mut now = stamps(
            &mut Rulebook::load(&Library::embedded(), Care::Trusted)
                .unwrap()
                .0,
        );
        let templates = Templates::embedded();
        for name in PAPERS.iter().flat_map(|paper| templates.within(paper)) {
            now.insert(
                format!("templates.{name}"),
                of_template(templates.get(&name).unwrap()),
            );
        }
        let mut text = "# From which English text each entry was translated. `rules check` warns when the English has changed since.\n".to_owned();
        for (entry, stamp) in now {
            text.push_str(&format!("{entry}: \"{stamp}\"\n"));
        }
        std::fs::write(repository().join("rules/languages/es/made-from.yaml"), text).unwrap();
        return;
    }
    let problems = shipped().check_words();
    assert!(problems.is_empty(), "{}", render(&problems, false));
}

#[test]
fn spanish_papers_hold_no_english_sentence() {
    let house = shipped();
    let (voiced, _) = house.speaking("es").unwrap();
    assert_eq!(voiced.spoken.missing, Vec::<String>::new());
    // Words that stand in almost every English sentence and in no Spanish one.
    let english = [
        "the", "and", "with", "bird", "you", "not", "this", "of", "when",
    ];
    for form in examples() {
        for name in PAPERS {
            if !voiced.rulebook.tongue.has_paper(name) {
                continue;
            }
            let (paper, html) = paper(&house, "es", &form, name);
            assert!(html.contains("<html lang=\"es\">"));
            for line in paper.markdown().lines() {
                // What the household wrote itself stays as it is.
                if line.starts_with("| Qué desea")
                    || line.starts_with("| Lo que")
                    || line.starts_with("| Con qué")
                {
                    continue;
                }
                let words: Vec<String> = line
                    .split(|c: char| !c.is_alphabetic())
                    .map(str::to_lowercase)
                    .collect();
                let found = english
                    .iter()
                    .filter(|word| words.iter().any(|w| w == *word))
                    .count();
                assert!(found < 2, "{name}: {line}");
            }
        }
    }
}

#[test]
fn a_language_changes_no_decision() {
    let house = shipped();
    let (spanish, _) = house.speaking("es").unwrap();
    for seed in 0..128 {
        let form = Form::random(&rulebook().questionnaire, seed).yaml();
        let intake = intake(&form);
        let own = Plan::of(
            rulebook(),
            &intake,
            &decide(rulebook(), &intake.answers, TODAY),
            Options::default(),
        );
        let other = Plan::of(
            &spanish.rulebook,
            &intake,
            &decide(&spanish.rulebook, &intake.answers, TODAY),
            Options::default(),
        );
        assert_eq!(own.verdict, other.verdict);
        let ids = |plan: &Plan| -> Vec<String> {
            let actions = plan
                .actions
                .iter()
                .chain(&plan.later)
                .map(|it| it.id.clone());
            actions
                .chain(plan.never.iter().map(|it| it.id.clone()))
                .collect()
        };
        assert_eq!(ids(&own), ids(&other));
        assert_eq!(own.sign.signal, other.sign.signal);
    }
}

#[test]
fn a_sentence_that_is_missing_is_marked_and_named() {
    let measure = "id: our-own-gate\ntitle: Our own gate\ndo: Put up the gate that you got from us.\nwhy: It keeps people and bird apart.\nfor: household\nwho: One adult\nwhen: Today\nstart: today\ndone: The gate stands.\ncontrol: barrier\nstep: setting\nsource: [practice]\n";
    let rule = "id: gate-from-us\ntitle: Homes with a gate\nwhy: A gate works at once.\nsource: [practice]\npriority: first\nwhen:\n  case.setting: home\nthen:\n  do: [our-own-gate]\nexamples:\n  - fires: {case: {setting: home}}\n  - quiet: {case: {setting: clinic}}\n  - blank: {case: {hurt-now: nobody}}\n";
    let (_folder, house) = practice(&[
        ("practice.yaml", "name: Lantern Lane Parrots\n"),
        ("rules/measures/home/our-own-gate.yaml", measure),
        ("rules/home/gate-from-us.yaml", rule),
    ]);
    let (voiced, _) = house.speaking("es").unwrap();
    assert!(
        voiced
            .spoken
            .missing
            .contains(&"measures.our-own-gate.do".to_owned())
    );
    let (paper, _) = paper(&house, "es", "case: {setting: home}", "household");
    assert!(
        paper
            .markdown()
            .contains("Put up the gate that you got from us. (aún en inglés)")
    );
    assert!(
        house
            .check_words()
            .iter()
            .any(|problem| problem.mistake.name() == "translation-missing")
    );
}

#[test]
fn a_practice_speaks_in_its_own_voice() {
    let measure =
        std::fs::read_to_string(repository().join("rules/measures/living/long-dark-night.yaml"))
            .unwrap();
    let measure = measure.replace("title: A long dark night", "title: Night is night");
    let group = "group: our-questions\norder: 300\ntitle: Our own questions\nabout: What we ask besides.\nquestions:\n  - id: parking\n    ask: Where can we park?\n    why: We carry a heavy bag.\n    type: text\n    tier: visit\n    blank: We do not know where to park.\n";
    let (_folder, house) = practice(&[
        (
            "practice.yaml",
            "name: Lantern Lane Parrots\nconsultant: R. Vale\ncontact: 555 0100\nhours: Monday to Friday, 9 to 17\ncover: the answering machine\nemergency: {people: \"112\", vet: 555 0199, checked: 2026-11-01}\nopening: Dear household.\nclosing: Warm wishes from all of us.\nunits: us\nspelling: american\npaper: letter\nlarge-print: yes\nsign-distance: 2 m\n",
        ),
        ("rules/measures/living/long-dark-night.yaml", &measure),
        (
            "rules/languages/en/cautions.yaml",
            "stop-in-doubt: {tell: When in doubt stop.}\n",
        ),
        ("rules/questions/our-questions.yaml", group),
        (
            "templates/household/80-call.md",
            "## Whom to call\n\nCall us first.\n",
        ),
        (
            "templates/household/81-our-page.md",
            "## From our practice\n\nWe also hold a class.\n",
        ),
    ]);
    let (voiced, _) = house.speaking("en").unwrap();
    assert_eq!(
        house.own_words(),
        [
            "cautions.stop-in-doubt.tell",
            "measures.long-dark-night",
            "templates/household/80-call.md",
            "templates/household/81-our-page.md"
        ]
    );
    assert!(
        voiced
            .rulebook
            .questionnaire
            .find("our-questions.parking")
            .is_some()
    );
    let form =
        std::fs::read_to_string(repository().join("examples/evening-conure/intake.yaml")).unwrap();
    let (household, html) = paper(&house, "en", &form, "household");
    let text = household.markdown();
    for part in [
        "Dear household.",
        "Night is night.",
        "When in doubt stop.",
        "Call us first.",
        "We also hold a class.",
        "Warm wishes from all of us.",
        "For a hurt person: 112.",
        "checked on Sunday, 1 November 2026",
        "Hours: Monday to Friday, 9 to 17",
        " in (",
        "practice.",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    for word in ["practise", "behaviour", "favourite"] {
        assert!(!text.to_lowercase().contains(word), "{word}");
    }
    assert!(html.contains("size: letter") && html.contains("id=\"large-print\" checked"));
    assert!(html.contains("Lantern Lane Parrots"));
    let (_, sign) = paper(&house, "en", &form, "door-sign");
    // 2 m / 150 = 13.33 mm of capital height, over 0.716 of the type size.
    assert!(sign.contains("--word: 18.62mm"), "{}", &sign[..3000]);
}

#[test]
fn us_units_keep_the_metric_value_beside_them_wherever_a_length_is_told() {
    let (_folder, house) = practice(&[("practice.yaml", "units: us\n")]);
    let metric = regex::Regex::new(r"\b\d+(?:\.\d+)? (?:cm|mm|kg)\b").unwrap();
    let beside = regex::Regex::new(
        r"(?:in|ft|oz|lb) \((?:\d+(?:\.\d+)?(?: to |–))?\d+(?:\.\d+)? (?:cm|mm|m|g|kg)\)",
    )
    .unwrap();
    for form in examples() {
        for name in PAPERS
            .iter()
            .filter(|name| copy_of(name) == Copy::Household)
        {
            // Steps are measured out with the same tape as the list that hangs on the wall, in centimetres.
            if ["practice", "log-sheets"].contains(name) {
                continue;
            }
            let (paper, _) = paper(&house, "en", &form, name);
            for line in paper.markdown().lines() {
                let plain = beside.replace_all(line, "");
                assert!(!metric.is_match(&plain), "{name}: {line}");
            }
        }
    }
}

#[test]
fn notes_print_in_place_as_markdown_and_hold_no_markup() {
    let mut form = "notes:\n".to_owned();
    let sections = [
        "first-page",
        "known",
        "reading",
        "safe-from-today",
        "practice",
        "goes-wrong",
        "sitter",
        "vet",
        "colleagues",
    ];
    for section in sections {
        form.push_str(&format!("  {section}: \"# Big\\n\\nNote **{section}** <script>x</script> [a](javascript:b)\\n\\n- item\"\n"));
    }
    let house = shipped();
    let mut seen: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for name in PAPERS {
        let (paper, html) = paper(&house, "en", &form, name);
        for bad in ["<script", "<a href=\"javascript", "<h1>Big"] {
            assert!(!html.contains(bad), "{name}: {bad}");
        }
        for section in sections {
            if html.contains(&format!("<strong>{section}</strong>")) {
                assert!(paper.markdown().contains(&format!("Note **{section}**")));
                seen.entry(section).or_default().push(name);
            }
        }
    }
    for section in sections {
        assert!(
            seen.contains_key(section),
            "{section} is printed nowhere: {seen:?}"
        );
    }
    for paper in &seen["colleagues"] {
        assert_eq!(copy_of(paper), Copy::Professional);
    }
}

#[test]
fn days_are_told_in_words() {
    let house = shipped();
    let (english, _) = paper(&house, "en", "case: {setting: home}", "household");
    assert!(english.markdown().contains("Wednesday, 25 November 2026"));
    let (spanish, _) = paper(&house, "es", "case: {setting: home}", "household");
    assert!(
        spanish
            .markdown()
            .contains("miércoles 25 de noviembre de 2026")
    );
}
