//! Blind exercises: what is handed out gives nothing away, and agreement is what its definition says.
//! `UPDATE_EXAMPLES=1 cargo test --test exercise` writes `examples/exercise/` anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use html5ever::tendril::TendrilSink as _;
use jiff::civil::Date;
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use perchside::exercise::{
    Exercise, FEWEST_CASES, FEWEST_YES_NO, Item, Part, Scored, Sheet, day_behind, gathered,
};
use perchside::house::House;
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::papers::engine::Engine;
use perchside::papers::exercise as papers;
use perchside::redact::leaks;
use perchside::rulebook::Care;
use perchside::source::Source;
use perchside::wording::Practice;
use serde_json::Value;
use support::{Random, TODAY, intake, rulebook};

fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn texts() -> &'static str {
    static TEXTS: OnceLock<String> = OnceLock::new();
    TEXTS.get_or_init(|| {
        House::open(Library::embedded(), None, Care::Trusted, TODAY)
            .unwrap()
            .all_texts()
    })
}

fn made_of(form: &str) -> Exercise {
    made_on(form, TODAY)
}

fn made_on(form: &str, today: Date) -> Exercise {
    let source = Source::new("test", form);
    let (questionnaire, vocabulary) = (&rulebook().questionnaire, &rulebook().vocabulary);
    let (intake, _) = Intake::read(questionnaire, vocabulary, source, today)
        .unwrap_or_else(|problems| panic!("{}", render(&problems, false)));
    Exercise::of(rulebook(), &intake, today, &Practice::unnamed(), texts())
        .unwrap_or_else(|problems| panic!("{}", render(&problems, false)))
}

/// The forms of the example households.
fn forms() -> Vec<String> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(repository().join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path().join("intake.yaml"))
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    assert!(paths.len() >= 6);
    paths
        .iter()
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
}

fn examples() -> &'static [Exercise] {
    static EXAMPLES: OnceLock<Vec<Exercise>> = OnceLock::new();
    EXAMPLES.get_or_init(|| forms().iter().map(|form| made_of(form)).collect())
}

/// The cases that the rulebook is held against, made into exercises, each on its own day.
fn cases() -> Vec<Exercise> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(repository().join("tests/cases"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "yaml"))
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).unwrap();
            let part = text.split("\nintake:\n").nth(1).unwrap();
            let form: String = part
                .lines()
                .take_while(|line| line.is_empty() || line.starts_with("  "))
                .map(|line| format!("{}\n", line.get(2..).unwrap_or_default()))
                .collect();
            let today = text
                .lines()
                .find_map(|line| line.strip_prefix("today: "))
                .map_or(TODAY, |day| day.parse().unwrap());
            made_on(&form, today)
        })
        .collect()
}

/// A sheet filled in: `says` gives the answer to each item, or none.
fn filled(
    exercise: &Exercise,
    person: &str,
    says: &mut dyn FnMut(&Item) -> Option<usize>,
) -> String {
    let mut sheet = format!(
        "exercise: {}\nday: {}\nperson: {}\n",
        exercise.id,
        exercise.case.today,
        Value::from(person)
    );
    for part in Part::ALL {
        let _ = writeln!(sheet, "{}:", part.key());
        for item in exercise.of_part(*part) {
            let word = says(item).map_or("", |at| item.words[at]);
            let _ = writeln!(sheet, "  {}: {word}", item.id);
        }
    }
    sheet
}

fn sheets(exercises: &[Exercise], texts: &[String]) -> Vec<Sheet> {
    let sources: Vec<Source> = texts
        .iter()
        .enumerate()
        .map(|(at, text)| Source::new(format!("sheet-{at}.yaml"), text.clone()))
        .collect();
    gathered(rulebook(), exercises, &sources)
        .unwrap_or_else(|problems| panic!("{}", render(&problems, false)))
        .0
}

fn scored(exercises: &[Exercise], texts: &[String]) -> Scored {
    Scored::of(rulebook(), exercises, &sheets(exercises, texts), false)
}

fn sheet_of(exercise: &Exercise) -> String {
    papers::sheet(&Engine::embedded(), rulebook(), exercise).unwrap()
}

/// Whatever is decided, the sheet is the same, but for the lines that name the case and the measures.
#[test]
fn the_sheet_is_the_same_for_every_case_but_for_its_measures() {
    let decisions: BTreeSet<String> = examples()
        .iter()
        .map(|exercise| format!("{:?}", exercise.decision.verdict))
        .collect();
    assert!(
        decisions.len() >= 3,
        "the examples differ in what is decided"
    );
    let common: BTreeSet<String> = examples()
        .iter()
        .map(|exercise| {
            let sheet = sheet_of(exercise);
            let (before, rest) = sheet.split_once("\nmeasures:\n").unwrap();
            let after = rest.split_once("\n# Which three").unwrap().1;
            let before: String = before
                .lines()
                .filter(|line| !line.starts_with("exercise: ") && !line.starts_with("day: "))
                .collect::<Vec<_>>()
                .join("\n");
            before + after
        })
        .collect();
    assert_eq!(common.len(), 1);
    for (outcome, words) in [
        ("risk", &["low", "moderate", "high", "severe"][..]),
        (
            "start",
            &["open-room", "stationed", "through-barrier", "hands-off"],
        ),
    ] {
        let sheet = common.first().unwrap();
        let _ = sheet.find(&format!("  {outcome}:")).unwrap();
        for word in words {
            assert_eq!(sheet.matches(&format!("#   {word} ")).count(), 1, "{word}");
        }
    }
}

#[test]
fn the_case_holds_no_outcome_no_rule_and_no_advice() {
    for (exercise, form) in examples().iter().zip(forms()) {
        let (case, _) = papers::case(&Engine::embedded(), exercise).unwrap();
        for rule in &rulebook().rules {
            assert!(!case.contains(&rule.title), "{}", rule.id);
            assert!(
                rule.tell.is_empty() || !case.contains(&rule.tell),
                "{}",
                rule.id
            );
        }
        for measure in rulebook().measures.values() {
            assert!(!case.contains(&measure.title), "{}", measure.id);
        }
        for word in [
            "through-barrier",
            "hands-off",
            "open-room",
            "until answered",
            "rulebook",
        ] {
            assert!(!case.to_lowercase().contains(word), "{word}");
        }
        // The consultant's notes are a colleague's opinion.
        let noted =
            format!("{form}\nnotes: {{first-page: keep the hall door shut at all costs}}\n");
        let (case, _) = papers::case(&Engine::embedded(), &made_of(&noted)).unwrap();
        assert!(!case.contains("hall door"));
    }
}

/// In each case, of all pairs of a measure that is asked for and one that is not, the first stands before the other about as often
/// as after it; and there are not as many of one as of the other.
#[test]
fn the_order_and_the_number_of_measures_tell_nothing() {
    let (mut before, mut pairs) = (0_usize, 0_usize);
    let mut differences = BTreeSet::new();
    let all = cases();
    assert!(all.len() >= 50);
    for exercise in &all {
        let measures: Vec<&Item> = exercise.of_part(Part::Measures).collect();
        assert!((9..=12).contains(&measures.len()), "{}", measures.len());
        let yes = measures.iter().filter(|item| item.rulebook == 1).count();
        differences.insert(measures.len() as i64 - 2 * yes as i64);
        for (at, item) in measures.iter().enumerate() {
            for other in &measures[at + 1..] {
                if item.rulebook != other.rulebook {
                    pairs += 1;
                    before += item.rulebook;
                }
            }
        }
    }
    let share = before as f64 / pairs as f64;
    assert!(
        pairs > 800 && (share - 0.5).abs() < 0.1,
        "{share} of {pairs}"
    );
    assert!(differences.len() >= 4, "{differences:?}");
}

#[test]
fn a_measure_that_nobody_asks_for_lands_nowhere_in_the_decision() {
    for exercise in examples() {
        let cards = exercise.plan.cards.iter().flat_map(|card| &card.does);
        let live: BTreeSet<&str> = exercise
            .plan
            .actions
            .iter()
            .chain(cards)
            .map(|action| action.id.as_str())
            .collect();
        for item in exercise.of_part(Part::Measures) {
            let landed = exercise
                .decision
                .landings
                .iter()
                .any(|landing| landing.measure == item.id);
            assert_eq!(item.rulebook == 1, landed, "{}", item.id);
        }
        let asked: BTreeSet<&str> = exercise
            .of_part(Part::Measures)
            .filter(|item| item.rulebook == 1)
            .map(|item| item.id.as_str())
            .collect();
        assert!(
            asked.len() >= 3 && asked.is_subset(&live),
            "{live:?} {asked:?}"
        );
    }
}

#[test]
fn no_name_place_code_or_date_is_left_in_what_is_handed_out() {
    for (exercise, form) in examples().iter().zip(forms()) {
        let (markdown, html) = papers::case(&Engine::embedded(), exercise).unwrap();
        let sheet = sheet_of(exercise);
        let handed = [
            ("case.md", markdown.as_str()),
            ("case.html", html.as_str()),
            ("answers.yaml", sheet.as_str()),
        ];
        assert!(exercise.case.secrets.len() >= 3);
        let found = leaks(&exercise.case.secrets, handed, texts());
        let left: Vec<_> = found.iter().filter(|leak| !leak.ordinary).collect();
        assert!(left.is_empty(), "{left:?}");
        for (name, text) in handed {
            assert!(!text.contains(&TODAY.to_string()), "{name}");
            assert!(!text.contains("2026"), "{name}: a year of the real case");
        }
        // A name of the form is in no paper, even as a part of a word.
        let bird = form
            .lines()
            .find_map(|line| line.trim().strip_prefix("name: "))
            .unwrap();
        assert!(
            handed.iter().all(|(_, text)| !text.contains(bird)),
            "{bird}"
        );
    }
}

#[test]
fn the_day_of_the_case_is_found_behind_the_day_it_bears() {
    for (exercise, form) in examples().iter().zip(forms()) {
        assert_ne!(exercise.case.today, TODAY);
        assert_eq!(
            day_behind(rulebook(), &intake(&form), exercise.case.today),
            TODAY
        );
    }
}

#[test]
fn everyone_who_answers_as_the_rulebook_does_agrees_in_full() {
    let texts: Vec<String> = examples()
        .iter()
        .flat_map(|exercise| {
            ["A1", "B2", "C3"].map(|person| filled(exercise, person, &mut |it| Some(it.rulebook)))
        })
        .collect();
    let scored = scored(examples(), &texts);
    assert_eq!(scored.people.len(), 3);
    assert_eq!(scored.together.pairs_alike, Some(1.0));
    assert_eq!(scored.together.yes_no.kappa, Some(1.0));
    assert_eq!(scored.together.not_by_all, 0);
    for person in &scored.people {
        assert_eq!(person.yes_no.kappa, Some(1.0));
        assert_eq!((person.looser, person.tighter, person.left_out), (0, 0, 0));
        assert_eq!(person.name, None);
    }
    for item in scored.cases.iter().flat_map(|case| &case.items) {
        assert_eq!(
            (item.pairs_alike, item.with_rulebook),
            (Some(1.0), Some(1.0))
        );
        assert!(!item.is_split() && item.apart == 0);
    }
    let value = papers::value(rulebook(), examples(), &scored);
    let page = papers::meeting(&Engine::embedded(), &value)
        .unwrap()
        .markdown();
    assert!(page.contains("Everyone said what the rulebook says."));
    assert!(page.contains("The rulebook is not the truth."));
}

/// 126 answers and more of yes or no thrown like a coin: the standard error of kappa is near 0.09, and three of it are allowed.
#[test]
fn answers_thrown_at_random_agree_no_more_than_chance() {
    let mut random = Random(20_261_125);
    let people: Vec<String> = (0..5).map(|at| format!("p{at}")).collect();
    let mut texts = Vec::new();
    for exercise in examples() {
        for person in &people {
            texts.push(filled(exercise, person, &mut |item| {
                Some(random.below(item.words.len()))
            }));
        }
    }
    let scored = scored(examples(), &texts);
    assert!(scored.together.yes_no.of >= 100);
    let fleiss = scored.together.yes_no.kappa.unwrap();
    assert!(fleiss.abs() < 0.12, "{fleiss}");
    let alike = scored.together.pairs_alike.unwrap();
    assert!((alike - 0.5).abs() < 0.06, "{alike}");
    for person in &scored.people {
        let kappa = person.yes_no.kappa.unwrap();
        assert!(kappa.abs() < 0.27, "{}: {kappa}", person.code);
        assert!(person.looser > 0 && person.tighter > 0);
    }
}

#[test]
fn one_who_is_looser_is_told_apart_from_one_who_is_tighter() {
    let exercise = examples()
        .iter()
        .find(|exercise| {
            let risk = exercise.items[0].rulebook;
            risk > 0 && risk + 1 < exercise.items[0].words.len()
        })
        .unwrap();
    let by = |steps: i64| {
        move |item: &Item| {
            let moved = if item.id == "risk" { steps } else { 0 };
            usize::try_from(item.rulebook as i64 + moved).ok()
        }
    };
    let texts = [("x", 0), ("y", -1), ("z", 1)]
        .map(|(person, steps)| filled(exercise, person, &mut by(steps)));
    let scored = scored(std::slice::from_ref(exercise), &texts);
    let risk = &scored.cases[0].items[0];
    assert_eq!((risk.looser, risk.tighter), (1, 1));
    assert_eq!(
        (risk.furthest_looser, risk.furthest_tighter, risk.apart),
        (1, 1, 2)
    );
    assert_eq!(risk.pairs_alike, Some(0.0));
    assert_eq!(risk.with_rulebook, Some(1.0 / 3.0));
    let steps: Vec<_> = risk.said.iter().map(|said| said.steps).collect();
    assert_eq!(steps, [Some(0), Some(-1), Some(1)]);
    let sides: Vec<_> = scored
        .people
        .iter()
        .map(|it| (it.looser, it.tighter))
        .collect();
    assert_eq!(sides, [(0, 0), (1, 0), (0, 1)]);
    // The page tells why the rulebook stands where it stands.
    let value = papers::value(rulebook(), std::slice::from_ref(exercise), &scored);
    assert!(
        !value["cases"][0]["items"][0]["because"]["speaks"]
            .as_array()
            .unwrap()
            .is_empty()
    );
    assert_eq!(value["cases"][0]["items"][1]["because"], Value::Null);
    let page = papers::meeting(&Engine::embedded(), &value)
        .unwrap()
        .markdown();
    assert!(page.contains("(2 steps apart)") && page.contains("**1**, up to 1 step"));
    assert!(page.contains("Rules that spoke:"));
}

#[test]
fn to_leave_out_a_measure_is_looser_and_to_add_one_is_tighter() {
    let exercise = &examples()[0];
    let texts = [
        filled(exercise, "none", &mut |item| {
            Some(item.rulebook * usize::from(item.is_ordered()))
        }),
        filled(exercise, "all", &mut |item| {
            Some(if item.is_ordered() { item.rulebook } else { 1 })
        }),
    ];
    let scored = scored(std::slice::from_ref(exercise), &texts);
    let yes = exercise
        .items
        .iter()
        .filter(|it| !it.is_ordered() && it.rulebook == 1)
        .count();
    let no = exercise
        .items
        .iter()
        .filter(|it| !it.is_ordered() && it.rulebook == 0)
        .count();
    assert!(yes > 0 && no > 0);
    assert_eq!(
        (scored.people[0].looser, scored.people[0].tighter),
        (yes, 0)
    );
    assert_eq!((scored.people[1].looser, scored.people[1].tighter), (0, no));
    // Whoever says one word to everything agrees with nothing beyond chance.
    assert_eq!(scored.people[0].yes_no.kappa, Some(0.0));
}

#[test]
fn too_few_items_are_too_few_to_say() {
    let exercise = &examples()[0];
    let mut left = FEWEST_YES_NO - 1;
    let text = filled(exercise, "x", &mut |item| {
        if item.is_ordered() {
            return Some(item.rulebook);
        }
        left = left.checked_sub(1)?;
        Some(item.rulebook)
    });
    let scored = scored(std::slice::from_ref(exercise), &[text]);
    let person = &scored.people[0];
    assert_eq!(person.yes_no.of, FEWEST_YES_NO - 1);
    assert!(person.yes_no.too_few && person.yes_no.kappa.is_none());
    assert!(person.left_out > 0);
    assert!(
        person
            .outcomes
            .iter()
            .all(|it| it.beyond.too_few && it.beyond.of == 1)
    );
}

/// With ten cases the ordered outcomes have figures of their own, and being far off costs more than being near.
#[test]
fn over_many_cases_the_ordered_outcomes_are_weighed_by_steps() {
    let exercises: Vec<Exercise> = cases().into_iter().take(2 * FEWEST_CASES).collect();
    let risks: BTreeSet<usize> = exercises.iter().map(|it| it.items[0].rulebook).collect();
    assert!(risks.len() >= 2, "the cases differ in risk");
    let off = |far: bool| {
        move |item: &Item| {
            let last = item.words.len() - 1;
            Some(match (item.id.as_str(), far) {
                ("risk", true) => {
                    if item.rulebook > last / 2 {
                        0
                    } else {
                        last
                    }
                }
                ("risk", false) => {
                    if item.rulebook == 0 {
                        1
                    } else {
                        item.rulebook - 1
                    }
                }
                _ => item.rulebook,
            })
        }
    };
    let mut texts = Vec::new();
    for exercise in &exercises {
        texts.push(filled(exercise, "near", &mut off(false)));
        texts.push(filled(exercise, "far", &mut off(true)));
        texts.push(filled(exercise, "same", &mut |item| Some(item.rulebook)));
    }
    let scored = scored(&exercises, &texts);
    let risk = |at: usize| scored.people[at].outcomes[0].beyond.kappa.unwrap();
    assert!(risk(0) > risk(1), "{} {}", risk(0), risk(1));
    assert_eq!(risk(2), 1.0);
    assert!(scored.together.outcomes[0].beyond.kappa.is_some());
}

/// Never a league table: the order is that of the sheets, whoever does better.
#[test]
fn people_stand_in_the_order_of_their_sheets() {
    let exercise = std::slice::from_ref(&examples()[0]);
    let sure = filled(&exercise[0], "sure", &mut |item| Some(item.rulebook));
    let other = filled(&exercise[0], "other", &mut |item| {
        Some(item.words.len() - 1 - item.rulebook)
    });
    for texts in [[sure.clone(), other.clone()], [other, sure]] {
        let sheets = sheets(exercise, &texts);
        let scored = Scored::of(rulebook(), exercise, &sheets, true);
        let named: Vec<_> = scored
            .people
            .iter()
            .map(|it| it.name.clone().unwrap())
            .collect();
        let given: Vec<_> = sheets.iter().map(|it| it.person.clone()).collect();
        assert_eq!(named, given);
        assert_eq!(scored.people[0].code, "A");
    }
}

fn walk(handle: &Handle, text: &mut String, tags: &mut Vec<String>) {
    match &handle.data {
        NodeData::Text { contents } => text.push_str(&contents.borrow()),
        NodeData::Element { name, attrs, .. } => {
            tags.push(name.local.to_string());
            for attribute in attrs.borrow().iter() {
                let name = &attribute.name.local;
                assert!(!name.starts_with("on") && &**name != "src", "{name:?}");
                if &**name == "href" {
                    assert_eq!(&*attribute.value, "#paper");
                }
            }
            if &*name.local == "style" {
                return;
            }
        }
        _ => {}
    }
    for child in handle.children.borrow().iter() {
        walk(child, text, tags);
    }
}

/// Text and tags of a page that has no fault of syntax and no tag but those a paper may hold.
fn page(html: &str) -> (String, Vec<String>) {
    let dom =
        html5ever::parse_document(RcDom::default(), html5ever::ParseOpts::default()).one(html);
    assert!(dom.errors.borrow().is_empty(), "{:?}", dom.errors.borrow());
    let (mut text, mut tags) = (String::new(), Vec::new());
    walk(&dom.document, &mut text, &mut tags);
    let allowed = [
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "a",
        "header",
        "p",
        "span",
        "label",
        "input",
        "main",
        "section",
        "div",
        "h1",
        "h2",
        "h3",
        "h4",
        "ul",
        "ol",
        "li",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
        "strong",
        "em",
        "br",
        "blockquote",
    ];
    for tag in &tags {
        assert!(allowed.contains(&tag.as_str()), "{tag}");
    }
    assert!(html.contains("default-src 'none'"));
    (text, tags)
}

const HOSTILE: &[&str] = &[
    "<script>alert(1)</script>",
    "[x](javascript:y)",
    "a | b",
    "{{ 7*7 }}",
    "a\u{202e}b",
    "<img src=x onerror=alert(1)>",
    "# head",
    "</style><b>",
    "one\ntwo",
];

#[test]
fn hostile_names_and_questions_stay_text() {
    let exercise = std::slice::from_ref(&examples()[0]);
    let engine = Engine::embedded();
    let made = |text: &str| {
        let mut sheet = filled(&exercise[0], text, &mut |item| Some(item.words.len() - 1));
        let _ = writeln!(sheet, "ask-first: [{}]", Value::from(text));
        let sheets = sheets(exercise, &[sheet]);
        let scored = Scored::of(rulebook(), exercise, &sheets, true);
        let value = papers::value(rulebook(), exercise, &scored);
        let html = papers::meeting(&engine, &value)
            .unwrap()
            .html(&engine)
            .unwrap();
        (html, papers::text(&engine, &value).unwrap(), value)
    };
    let (harmless, ..) = made("plainword");
    let tags = page(&harmless).1;
    for text in HOSTILE {
        let (html, terminal, value) = made(text);
        let (shown, found) = page(&html);
        assert_eq!(found, tags, "{text:?}");
        let seen: String = shown
            .chars()
            .filter(|c| !('\u{2066}'..='\u{2069}').contains(c))
            .collect();
        assert!(seen.matches(*text).count() >= 2, "{text:?}");
        assert!(!terminal.contains('\u{202e}') && !terminal.contains('\u{1b}'));
        assert_eq!(value["people"][0]["name"], Value::from(*text));
    }
    // And in the case itself.
    for text in HOSTILE {
        let form = format!(
            "goals: {{wish: {}}}\nbird: {{age: 3 years}}\n",
            Value::from(*text)
        );
        let (_, html) = papers::case(&engine, &made_of(&form)).unwrap();
        page(&html);
    }
}

/// The folder of the committed example: one invented case, four sheets, the page.
fn example_folder() -> PathBuf {
    repository().join("examples/exercise")
}

/// Four invented people: one with the rulebook, one who misses what was not told, one who asks for more, one who left half of it out.
fn example_sheets(exercise: &Exercise) -> Vec<(String, String)> {
    let mut measures = 0;
    let mut miss = |item: &Item| {
        if item.part == Part::Measures {
            measures += 1;
        }
        Some(match item.id.as_str() {
            "start" => item.rulebook.saturating_sub(1),
            "risk" => item.rulebook.saturating_sub(1),
            _ if item.part == Part::Measures && measures % 3 == 0 => 1 - item.rulebook,
            _ => item.rulebook,
        })
    };
    let looser = filled(exercise, "KL", &mut miss);
    let mut place = 0;
    let more = filled(exercise, "MB", &mut |item| {
        place += 1;
        let last = item.words.len() - 1;
        Some(match item.id.as_str() {
            "vet" | "contact" => (item.rulebook + 1).min(last),
            "veterinary-behaviour" | "colleague" => 1,
            _ if item.part == Part::Measures && place % 4 == 0 => 1,
            _ => item.rulebook,
        })
    });
    let half = filled(exercise, "TS", &mut |item| {
        (item.part != Part::Refer).then_some(item.rulebook)
    });
    let same = filled(exercise, "AR", &mut |item| Some(item.rulebook));
    let ask = |sheet: String, texts: &[&str]| {
        let lines: String = texts.iter().map(|text| format!("  - {text}\n")).collect();
        format!("{sheet}ask-first:\n{lines}")
    };
    vec![
        (
            "ar.yaml".to_owned(),
            ask(same, &["Where is the beak when the door opens?"]),
        ),
        (
            "kl.yaml".to_owned(),
            ask(
                looser,
                &[
                    "What does it eat in the evening?",
                    "Who was in the room at the last bite?",
                ],
            ),
        ),
        (
            "mb.yaml".to_owned(),
            ask(more, &["When was the last check by a vet?"]),
        ),
        ("ts.yaml".to_owned(), half),
    ]
}

fn perchside(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(args)
        .current_dir(repository())
        .output()
        .unwrap()
}

#[test]
fn the_committed_example_is_what_the_program_writes() {
    let form =
        std::fs::read_to_string(repository().join("examples/evening-conure/intake.yaml")).unwrap();
    let exercise = made_of(&form);
    let folder = example_folder();
    let mut files = vec![
        (
            "case.md".to_owned(),
            papers::case(&Engine::embedded(), &exercise).unwrap().0,
        ),
        ("answers.yaml".to_owned(), sheet_of(&exercise)),
    ];
    let sheets = example_sheets(&exercise);
    files.extend(
        sheets
            .iter()
            .map(|(name, text)| (format!("sheets/{name}"), text.clone())),
    );
    let update = std::env::var_os("UPDATE_EXAMPLES").is_some();
    let hold = |name: &str, text: &str| {
        let path = folder.join(name);
        if update {
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(&path, text).unwrap();
        }
        assert!(
            std::fs::read_to_string(&path).unwrap_or_default() == text,
            "{} is out of date: run `UPDATE_EXAMPLES=1 cargo test --test exercise`",
            path.display()
        );
    };
    for (name, text) in &files {
        hold(name, text);
    }
    for (name, format) in [("meeting.md", "md"), ("meeting.html", "html")] {
        let output = perchside(&[
            "exercise",
            "score",
            "examples/evening-conure/intake.yaml",
            "--answers",
            "examples/exercise/sheets",
            "--format",
            format,
        ]);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let text = String::from_utf8(output.stdout).unwrap();
        if format == "html" {
            page(&text);
        }
        hold(name, &text);
    }
}

#[test]
fn the_command_writes_twice_the_same_and_scores_on_any_later_day() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).display().to_string();
    let form = "examples/handbag-lovebird/intake.yaml";
    for name in ["one", "two"] {
        let output = perchside(&[
            "exercise",
            "write",
            form,
            "--out",
            &at(name),
            "--today",
            "2026-11-25",
        ]);
        assert_eq!(
            output.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert!(output.stdout.is_empty());
    }
    for name in ["case.md", "case.html", "answers.yaml"] {
        let read =
            |folder: &str| std::fs::read_to_string(dir.path().join(folder).join(name)).unwrap();
        assert_eq!(read("one"), read("two"), "{name}");
    }
    page(&std::fs::read_to_string(dir.path().join("one/case.html")).unwrap());
    let text = std::fs::read_to_string(repository().join(form)).unwrap();
    let exercise = made_of(&text);
    for person in ["B", "A"] {
        let sheet = filled(&exercise, person, &mut |item| Some(item.rulebook));
        std::fs::write(dir.path().join(format!("two/{person}.yaml")), sheet).unwrap();
    }
    // The folder holds the sheet as it came, too: it is left out. The day is the one that the sheets bear.
    let mut printed = BTreeSet::new();
    for day in ["2026-11-25", "2027-03-01"] {
        let output = perchside(&[
            "exercise",
            "score",
            form,
            "--answers",
            &at("two"),
            "--format",
            "json",
            "--names",
            "--today",
            day,
        ]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(0), "{said}");
        assert!(said.contains("sheet-blank"), "{said}");
        printed.insert(String::from_utf8(output.stdout).unwrap());
    }
    assert_eq!(printed.len(), 1);
    let value: Value = serde_json::from_str(printed.first().unwrap()).unwrap();
    let people = value["people"].as_array().unwrap();
    assert_eq!(people.len(), 2);
    assert_eq!(
        (&people[0]["code"], &people[0]["name"]),
        (&Value::from("A"), &Value::from("A"))
    );
    assert_eq!(
        people[0]["yes-no"]["of"],
        people[0]["answered"].as_u64().unwrap() - 4
    );
    assert_eq!(
        value["cases"][0]["exercise"],
        Value::from(exercise.id.as_str())
    );
    // Without --names there are only codes.
    let output = perchside(&[
        "exercise",
        "score",
        form,
        "--answers",
        &at("two"),
        "--format",
        "json",
    ]);
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(value["people"][0]["name"], Value::Null);
    // The same person twice, and a form of another household.
    std::fs::copy(
        dir.path().join("two/A.yaml"),
        dir.path().join("two/again.yaml"),
    )
    .unwrap();
    let output = perchside(&["exercise", "score", form, "--answers", &at("two")]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("person-twice"));
    let output = perchside(&[
        "exercise",
        "score",
        "examples/evening-conure/intake.yaml",
        "--answers",
        &at("two/A.yaml"),
    ]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("sheet-of-another-exercise"));
    let empty = tempfile::tempdir().unwrap();
    let output = perchside(&[
        "exercise",
        "score",
        form,
        "--answers",
        &empty.path().display().to_string(),
    ]);
    assert_eq!(output.status.code(), Some(1));
}
