//! Text from an intake is text: in every answer, in Markdown and in HTML.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use html5ever::tendril::TendrilSink as _;
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use perchside::log::{Household, Log};
use perchside::papers::engine::Engine;
use perchside::papers::{PAPERS, Paper, REVIEW_PAPERS, plan_json};
use perchside::plan::{Logged, Options, Plan, Progress};
use perchside::questionnaire::Kind;
use perchside::review::Review;
use perchside::source::Source;
use pulldown_cmark::{Event, Options as Extensions, Parser};
use support::{TODAY, decided, log_book, rulebook};

const HOSTILE: &[&str] = &[
    "<script>alert(1)</script>",
    "[x](javascript:y)",
    "**",
    "|",
    "{{ 7*7 }}",
    "{% raw %}",
    "one\ntwo",
    "a\u{200f}b",
    "a\u{202e}b",
    "<img src=x onerror=alert(1)>",
    "&lt;b&gt; &amp;",
    "# head",
    "1. one",
    "- item",
    "`code`",
    "\\",
    "</style><b>",
    "x' onclick='y",
];

/// A form in which every text answer is the given one.
fn form(text: &str) -> String {
    let quoted = serde_json::Value::from(text).to_string();
    let mut yaml = String::new();
    for group in &rulebook().questionnaire.groups {
        let texts: Vec<&str> = group
            .questions
            .iter()
            .filter(|question| question.kind == Kind::Text)
            .map(|question| question.id.as_str())
            .collect();
        // A consultant's own notes are Markdown: they have a test of their own.
        if texts.is_empty() || group.id == "notes" {
            continue;
        }
        yaml.push_str(&format!("{}:\n", group.id));
        for (at, id) in texts.iter().enumerate() {
            let lead = match (group.repeats.is_some(), at) {
                (true, 0) => "  - ",
                (true, _) => "    ",
                (false, _) => "  ",
            };
            yaml.push_str(&format!("{lead}{id}: {quoted}\n"));
        }
        if group.id == "spots" {
            yaml.push_str("    left: 100 cm\n    back: 100 cm\n");
        }
    }
    // A room that can be drawn, with a place in it that bears the text.
    yaml.push_str("housing: {cage-length: 80 cm, cage-width: 60 cm}\n");
    yaml.push_str("room: {width: 4 m, depth: 4 m, cage-left: 0 cm, cage-back: 0 cm}\n");
    yaml
}

fn paper(name: &'static str, text: &str) -> (Plan, String, String) {
    let (intake, decision) = decided(&form(text));
    let plan = Plan::of(
        rulebook(),
        &intake,
        &decision,
        Options {
            names: true,
            ..Options::default()
        },
    );
    let engine = Engine::embedded();
    let paper = Paper::of(&engine, &plan, name).unwrap();
    let (markdown, html) = (paper.markdown(), paper.html(&engine, &plan).unwrap());
    (plan, markdown, html)
}

/// Text with the marks of isolation taken out and blanks folded: what a reader sees.
fn seen(text: &str) -> String {
    let text: String = text
        .chars()
        .filter(|c| !('\u{2066}'..='\u{2069}').contains(c))
        .collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn html_text(handle: &Handle, out: &mut String, tags: &mut Vec<String>) {
    match &handle.data {
        NodeData::Text { contents } => out.push_str(&contents.borrow()),
        NodeData::Element { name, attrs, .. } => {
            tags.push(name.local.to_string());
            for attribute in attrs.borrow().iter() {
                assert!(
                    !attribute.name.local.starts_with("on"),
                    "{:?}",
                    attribute.name.local
                );
            }
            if &*name.local == "style" {
                return;
            }
        }
        _ => {}
    }
    for child in handle.children.borrow().iter() {
        html_text(child, out, tags);
    }
}

fn tags_of(html: &str) -> (String, Vec<String>) {
    let dom =
        html5ever::parse_document(RcDom::default(), html5ever::ParseOpts::default()).one(html);
    assert!(dom.errors.borrow().is_empty(), "{:?}", dom.errors.borrow());
    let (mut text, mut tags) = (String::new(), Vec::new());
    html_text(&dom.document, &mut text, &mut tags);
    (text, tags)
}

#[test]
fn hostile_text_appears_as_itself_and_makes_no_markup() {
    for name in PAPERS {
        in_one_paper(name);
    }
}

fn in_one_paper(name: &'static str) {
    let (_, harmless_markdown, harmless_html) = paper(name, "plainword");
    // The room is drawn where it is told of.
    let draws = ["household", "consultant", "door-sign"].contains(&name);
    // A sign for everyone's eyes holds nothing of the form, and a stop card no more than the bird's signs.
    let tells = tags_of(&harmless_html).0.contains("plainword");
    assert_eq!(tells, !["door-sign", "stop-card"].contains(&name), "{name}");
    assert_eq!(harmless_html.contains("<svg"), draws);
    let harmless_tags = tags_of(&harmless_html).1;
    let harmless_events = Parser::new_ext(&harmless_markdown, Extensions::ENABLE_TABLES)
        .filter(|event| matches!(event, Event::Start(_)))
        .count();
    for text in HOSTILE {
        let (plan, markdown, html) = paper(name, text);
        // In the page: the same tags as with harmless text, and the text itself.
        let (page, tags) = tags_of(&html);
        assert_eq!(tags, harmless_tags, "{text:?}");
        assert_eq!(seen(&page).contains(&seen(text)), tells, "{name}: {text:?}");
        // In Markdown: the same structure, and the text itself.
        let mut shown = String::new();
        let mut starts = 0;
        for event in Parser::new_ext(&markdown, Extensions::ENABLE_TABLES) {
            match event {
                Event::Text(part) | Event::Code(part) => shown.push_str(&part),
                Event::SoftBreak | Event::HardBreak => shown.push(' '),
                Event::Start(_) => starts += 1,
                Event::Html(_) | Event::InlineHtml(_) => panic!("{text:?} became HTML"),
                _ => {}
            }
        }
        assert_eq!(starts, harmless_events, "{text:?}");
        if tells {
            let title = tags_of(&harmless_html).0.contains("plainword")
                && !harmless_markdown.contains("plainword");
            assert!(
                title || seen(&shown).contains(&seen(text)),
                "{name}: {text:?}"
            );
        }
        // In JSON: the very text.
        let json: serde_json::Value = serde_json::from_str(&plan_json(&plan)).unwrap();
        assert_eq!(json["bird"], serde_json::Value::from(*text));
    }
}

/// A home in which practice may begin, with hostile names for the bird and the person it goes for.
fn practice(name: &'static str, text: &str) -> (String, String) {
    let quoted = serde_json::Value::from(text).to_string();
    let form = include_str!("../examples/evening-conure/intake.yaml")
        .replace("name: Pickle", &format!("name: {quoted}"))
        .replace("name: Wren", &format!("name: {quoted}"))
        .replace("person: Wren", &format!("person: {quoted}"));
    let (intake, _) = decided(&form);
    let source = Source::new(
        "log.yaml",
        format!(
            "sessions:\n  - {{date: 2026-11-20, person: {quoted}, favoured-there: yes, start-step: 6, top-step: 6, best-calm-step: 6, tries: 6, calm: 6, ambers: 1, threats: 0, red: none, note: {quoted}}}\nchanges:\n  - {{date: 2026-11-19, what: other, note: {quoted}, by: {quoted}}}\n"
        ),
    );
    let household = Household::default();
    let (log, _) = Log::read(&log_book().questionnaire, household, &source, TODAY).unwrap();
    let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
    let logged = Logged {
        review: &review,
        log: &log,
    };
    let options = Options {
        names: true,
        ..Options::default()
    };
    let plan = Plan::with_log(rulebook(), &intake, logged, options);
    let engine = Engine::embedded();
    let paper = if REVIEW_PAPERS.contains(&name) {
        let progress = Progress::of(rulebook(), log_book(), &plan, logged);
        Paper::of_review(&engine, &plan, &progress, name).unwrap()
    } else {
        Paper::of(&engine, &plan, name).unwrap()
    };
    (paper.markdown(), paper.html(&engine, &plan).unwrap())
}

#[test]
fn hostile_names_make_no_markup_on_practice_papers_and_reviews() {
    for name in [
        "practice",
        "log-sheets",
        "consultant",
        "review",
        "review-consultant",
    ] {
        let (markdown, html) = practice(name, "plain");
        let harmless_tags = tags_of(&html).1;
        let starts = |markdown: &str| {
            Parser::new_ext(markdown, Extensions::ENABLE_TABLES)
                .inspect(|event| {
                    assert!(!matches!(event, Event::Html(_) | Event::InlineHtml(_)));
                })
                .filter(|event| matches!(event, Event::Start(_)))
                .count()
        };
        let harmless = starts(&markdown);
        for text in HOSTILE {
            let (markdown, html) = practice(name, text);
            let (page, tags) = tags_of(&html);
            assert_eq!(tags, harmless_tags, "{name}: {text:?}");
            assert!(seen(&page).contains(&seen(text)), "{name}: {text:?}");
            assert_eq!(starts(&markdown), harmless, "{name}: {text:?}");
        }
    }
}
