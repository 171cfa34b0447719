//! The offline form as a file: made from the questionnaire, closed to the outside, sound as HTML.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::collections::BTreeMap;

use html5ever::tendril::TendrilSink as _;
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use perchside::facts::Facts;
use perchside::language::Truth;
use perchside::language::condition::Scope;
use perchside::library::Library;
use perchside::papers::engine::Engine;
use perchside::papers::web_form::web_form;
use perchside::questionnaire::{Kind, Tier};
use perchside::rulebook::{Care, Rulebook};
use perchside::units::Unit;
use serde_json::Value;
use sha2::{Digest, Sha256};
use support::rulebook;

const TIERS: [Tier; 3] = [Tier::Enquiry, Tier::Intake, Tier::Visit];

fn page(rulebook: &Rulebook, tier: Tier) -> String {
    web_form(
        &Engine::embedded(),
        &rulebook.questionnaire,
        &rulebook.vocabulary,
        tier,
    )
    .unwrap()
}

#[derive(Debug)]
struct Element {
    name: String,
    attributes: BTreeMap<String, String>,
    text: String,
}

/// Every element of a page in its order, those inside templates as well. The page must be free of faults of syntax.
fn elements(html: &str) -> Vec<Element> {
    fn text(node: &Handle, out: &mut String) {
        if let NodeData::Text { contents } = &node.data {
            out.push_str(&contents.borrow());
        }
        for child in node.children.borrow().iter() {
            text(child, out);
        }
    }
    fn walk(node: &Handle, out: &mut Vec<Element>) {
        if let NodeData::Element {
            name,
            attrs,
            template_contents,
            ..
        } = &node.data
        {
            let mut words = String::new();
            text(node, &mut words);
            out.push(Element {
                name: name.local.to_string(),
                attributes: attrs
                    .borrow()
                    .iter()
                    .map(|a| (a.name.local.to_string(), a.value.to_string()))
                    .collect(),
                text: words,
            });
            if let Some(inside) = template_contents.borrow().as_ref() {
                walk(inside, out);
            }
        }
        for child in node.children.borrow().iter() {
            walk(child, out);
        }
    }
    let dom =
        html5ever::parse_document(RcDom::default(), html5ever::ParseOpts::default()).one(html);
    assert!(dom.errors.borrow().is_empty(), "{:?}", dom.errors.borrow());
    let mut out = Vec::new();
    walk(&dom.document, &mut out);
    out
}

impl Element {
    fn get(&self, name: &str) -> &str {
        self.attributes.get(name).map_or("", String::as_str)
    }
}

fn data(elements: &[Element]) -> Value {
    let found = elements.iter().find(|it| it.get("id") == "form-data");
    serde_json::from_str(&found.unwrap().text).unwrap()
}

#[test]
fn every_question_of_the_tier_stands_in_the_form_and_no_other() {
    let questionnaire = &rulebook().questionnaire;
    for tier in TIERS {
        let elements = elements(&page(rulebook(), tier));
        let mut shown: Vec<(String, String)> = Vec::new();
        let mut group = String::new();
        for element in &elements {
            if element.attributes.contains_key("data-group") {
                group = element.get("data-group").to_owned();
            }
            if element.attributes.contains_key("data-q") {
                shown.push((group.clone(), element.get("data-q").to_owned()));
            }
        }
        let expected: Vec<(String, String)> = questionnaire
            .groups
            .iter()
            .filter(|group| group.questions.iter().any(|q| q.tier <= tier))
            .flat_map(|group| {
                let of_tier =
                    move |id: &str, of: Tier| of <= tier || (group.id == "people" && id == "name");
                group
                    .questions
                    .iter()
                    .filter(move |q| of_tier(&q.id, q.tier))
                    .map(|q| (group.id.clone(), q.id.clone()))
            })
            .collect();
        assert_eq!(shown, expected, "{tier:?}");
        let text = elements
            .iter()
            .find(|it| it.name == "main")
            .map(|it| it.text.clone());
        let text = text.unwrap();
        let visible: String = elements
            .iter()
            .filter(|it| it.name == "legend" || it.name == "label" || it.name == "details")
            .map(|it| it.text.as_str())
            .collect();
        assert!(text.contains("Save"));
        for (group, id) in expected {
            let (group, question) = questionnaire.find(&format!("{group}.{id}")).unwrap();
            let question = &questionnaire.groups[group].questions[question];
            assert!(visible.contains(&question.ask), "{id}");
            assert!(visible.contains(&question.why), "{id}");
        }
    }
}

#[test]
fn private_questions_are_marked_and_others_are_not() {
    let elements = elements(&page(rulebook(), Tier::Visit));
    for group in &rulebook().questionnaire.groups {
        for question in &group.questions {
            let asks = |it: &&Element| {
                it.get("class") == "ask" && it.text.trim_start().starts_with(&question.ask)
            };
            let marked = elements.iter().filter(asks).any(|it| {
                it.text.trim_end().ends_with("private") && it.text.trim() != question.ask
            });
            assert_eq!(marked, question.private, "{}.{}", group.id, question.id);
        }
    }
}

#[test]
fn every_control_has_a_name_and_everything_that_is_pointed_at_is_there_once() {
    for tier in TIERS {
        let elements = elements(&page(rulebook(), tier));
        let mut ids: Vec<&str> = elements
            .iter()
            .map(|it| it.get("id"))
            .filter(|id| !id.is_empty())
            .collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "an id stands twice");
        for element in &elements {
            for key in ["for", "aria-labelledby", "aria-describedby", "list"] {
                for id in element.get(key).split_whitespace() {
                    assert!(ids.binary_search(&id).is_ok(), "{key}={id}");
                }
            }
            if let Some(id) = element.get("href").strip_prefix('#') {
                assert!(ids.binary_search(&id).is_ok(), "#{id}");
            }
        }
        for control in elements
            .iter()
            .filter(|it| it.get("class").contains("value"))
        {
            let id = control.get("id");
            let named = |it: &&Element| it.name == "label" && it.get("for") == id;
            assert_eq!(elements.iter().filter(named).count(), 1, "{id}");
        }
        assert_eq!(elements.iter().filter(|it| it.name == "h1").count(), 1);
        for landmark in ["header", "nav", "main", "footer"] {
            assert_eq!(elements.iter().filter(|it| it.name == landmark).count(), 1);
        }
    }
}

/// Base64 told another way than the program tells it: bit by bit.
fn base64(bytes: &[u8]) -> String {
    let signs: Vec<char> = ('A'..='Z')
        .chain('a'..='z')
        .chain('0'..='9')
        .chain(['+', '/'])
        .collect();
    let bits: Vec<u8> = bytes
        .iter()
        .flat_map(|byte| (0..8).rev().map(move |at| byte >> at & 1))
        .collect();
    let mut text: String = bits
        .chunks(6)
        .map(|six| {
            signs[(0..6).fold(0, |sum, at| {
                sum * 2 + usize::from(*six.get(at).unwrap_or(&0))
            })]
        })
        .collect();
    while !text.len().is_multiple_of(4) {
        text.push('=');
    }
    text
}

/// W3C Content Security Policy Level 3: only the scripts and the style whose digests the page names run.
#[test]
fn the_page_lets_nothing_in_and_nothing_out() {
    assert_eq!(base64(b"foobar"), "Zm9vYmFy");
    assert_eq!(base64(b"fooba"), "Zm9vYmE=");
    for tier in TIERS {
        let html = page(rulebook(), tier);
        let elements = elements(&html);
        let policy = elements
            .iter()
            .find(|it| it.get("http-equiv") == "Content-Security-Policy")
            .unwrap()
            .get("content");
        for part in [
            "default-src 'none'",
            "form-action 'none'",
            "base-uri 'none'",
        ] {
            assert!(policy.split("; ").any(|it| it == part), "{policy}");
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        let (mut scripts, mut styles) = (0, 0);
        for element in &elements {
            let named = match element.name.as_str() {
                "script" if element.get("type").is_empty() => {
                    scripts += 1;
                    true
                }
                "style" => {
                    styles += 1;
                    true
                }
                _ => false,
            };
            if named {
                let digest = base64(&Sha256::digest(element.text.as_bytes()));
                assert!(policy.contains(&format!("'sha256-{digest}'")));
            }
            for (key, value) in &element.attributes {
                assert!(
                    !key.starts_with("on") && key != "style" && key != "action",
                    "{key}"
                );
                assert!(key != "src" && key != "srcset", "{key}={value}");
                assert!(key != "href" || value.starts_with('#'), "{value}");
            }
            assert!(
                !["link", "base", "iframe", "object", "img", "form"]
                    .contains(&element.name.as_str())
            );
        }
        assert_eq!((scripts, styles), (2, 1));
        let style = elements.iter().find(|it| it.name == "style").unwrap();
        assert!(!style.text.contains("url(") && !style.text.contains("@import"));
        assert!(!html.contains("sourceMappingURL"));
    }
}

/// What the page is told of `asked-when` is what the rulebook decides: for every answer that can be chosen, the question shows
/// unless it is known not to arise.
#[test]
fn a_question_shows_for_the_answers_for_which_it_arises() {
    let vocabulary = &rulebook().vocabulary;
    let questionnaire = &rulebook().questionnaire;
    let data = data(&elements(&page(rulebook(), Tier::Visit)));
    let mut seen = 0;
    for (at, group) in questionnaire.groups.iter().enumerate() {
        for (place, question) in group.questions.iter().enumerate() {
            let told = data["groups"]
                .as_array()
                .unwrap()
                .iter()
                .find(|it| it["id"] == group.id)
                .and_then(|it| it["questions"].as_array())
                .and_then(|it| it.iter().find(|q| q["id"] == question.id))
                .unwrap();
            assert_eq!(
                told["when"].as_array().unwrap().len(),
                question.asked_when.len()
            );
            let Some((name, _)) = question.asked_when.first() else {
                continue;
            };
            let (of, on) = questionnaire.find(name).unwrap();
            let (of, on) = (
                &questionnaire.groups[of],
                &questionnaire.groups[of].questions[on],
            );
            let answers: Vec<String> = match on.kind {
                Kind::YesNo => vec!["yes".to_owned(), "no".to_owned()],
                _ => on.choices.iter().map(|c| c.id.clone()).collect(),
            };
            let condition = vocabulary.groups[at].facts[place]
                .asked_when
                .as_ref()
                .unwrap();
            for answer in answers {
                let block = format!("{{{}: {answer}}}", on.id);
                let yaml = match of.repeats {
                    Some(_) => format!("{}: [{block}]\n", of.id),
                    None => format!("{}: {block}\n", of.id),
                };
                let intake = support::intake(&yaml);
                let facts = Facts::of(questionnaire, vocabulary, &intake.answers, support::TODAY);
                let mut scope = match of.repeats {
                    Some(_) => Scope::of(at, 0),
                    None => Scope::default(),
                };
                let arises = condition.truth(&facts, &mut scope) != Truth::False;
                let shows = told["when"][0]["says"]["one"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .any(|id| *id == answer);
                assert_eq!(shows, arises, "{}.{} for {answer}", group.id, question.id);
                seen += 1;
            }
        }
    }
    assert!(seen >= 15, "{seen}");
}

/// The sizes of units that the page is told are those the program reads with.
#[test]
fn units_are_as_large_on_the_page_as_in_the_program() {
    let data = data(&elements(&page(rulebook(), Tier::Visit)));
    let names = [
        ("count", Unit::Count),
        ("s", Unit::Seconds),
        ("minutes", Unit::Minutes),
        ("hours", Unit::Hours),
        ("days", Unit::Days),
        ("years", Unit::Years),
        ("mm", Unit::Millimetres),
        ("cm", Unit::Centimetres),
        ("g", Unit::Grams),
    ];
    assert_eq!(data["units"].as_object().unwrap().len(), names.len());
    for (name, unit) in names {
        let told = &data["units"][name];
        assert_eq!(told["bare"], unit.may_be_left_out(), "{name}");
        for (word, size) in told["sizes"].as_object().unwrap() {
            let read = unit.read(&format!("250 {word}")).unwrap();
            assert!(
                (read - 250.0 * size.as_f64().unwrap()).abs() < 1e-5,
                "{name} {word}"
            );
        }
        for fit in unit.fitting() {
            assert!(told["sizes"][*fit].is_number(), "{name} {fit}");
        }
    }
    // 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
    assert_eq!(data["units"]["mm"]["sizes"]["in"], 25.4);
}

/// A practice's own questions stand in its form, and their words are words whatever they hold.
#[test]
fn questions_of_a_practice_stand_in_its_form_as_text() {
    let hostile = "</script><script>alert(1)</script> {{ 7 * 7 }} {% raw %} <b>\"&amp;";
    let group = serde_json::json!({
        "group": "callers", "order": 95.5, "title": hostile, "about": hostile, "repeats": "caller", "blank": "We do not know.",
        "questions": [
            {"id": "notice", "ask": hostile, "why": hostile, "help": hostile, "type": "level", "tier": "enquiry", "blank": "We do not know.",
             "choices": {"none": hostile, "same day": "b"}},
            {"id": "how-far", "ask": "How far?", "why": "x", "type": "number", "unit": "percent", "min": 0, "max": 100, "tier": "enquiry", "blank": "x",
             "asked-when": {"callers.notice": "at least same day"}},
        ],
    });
    let mut texts: Vec<(String, String)> = Library::embedded()
        .files
        .iter()
        .map(|(path, source)| (path.clone(), source.text.to_string()))
        .collect();
    texts.push(("questions/callers.yaml".to_owned(), group.to_string()));
    let (own, _) = Rulebook::load(&Library::of(texts), Care::Trusted).unwrap_or_else(|problems| {
        panic!("{}", perchside::mistake::render(&problems, false));
    });
    let elements = elements(&page(&own, Tier::Enquiry));
    let asked: Vec<&Element> = elements
        .iter()
        .filter(|it| it.text.trim() == hostile)
        .collect();
    for (name, class) in [("legend", "ask"), ("h2", ""), ("p", "about"), ("span", "")] {
        assert!(
            asked
                .iter()
                .any(|it| it.name == name && it.get("class") == class),
            "{name}"
        );
    }
    assert_eq!(elements.iter().filter(|it| it.name == "script").count(), 3);
    let data = data(&elements);
    let groups = data["groups"].as_array().unwrap();
    let callers = groups.iter().find(|it| it["id"] == "callers").unwrap();
    assert_eq!(callers["questions"][0]["ask"], hostile);
    assert_eq!(
        callers["questions"][1]["when"][0]["says"]["one"],
        serde_json::json!(["same day"])
    );
}

#[test]
fn the_same_rulebook_gives_the_same_form() {
    assert_eq!(
        page(rulebook(), Tier::Intake),
        page(rulebook(), Tier::Intake)
    );
}
