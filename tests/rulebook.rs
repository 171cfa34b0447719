//! The shipped rulebook as a whole.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use perchside::decision::{Truths, examples, verdict};
use perchside::facts::Facts;
use perchside::language::Truth;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::rulebook::{Care, Rulebook, Start};
use support::{Form, TODAY, intake, rulebook};

fn full() -> Rulebook {
    match Rulebook::load(&Library::embedded(), Care::Full) {
        Ok((rulebook, problems)) => {
            assert!(problems.is_empty(), "{}", render(&problems, false));
            rulebook
        }
        Err(problems) => panic!("{}", render(&problems, false)),
    }
}

#[test]
fn it_is_sound_and_every_example_shows_what_it_says() {
    let rulebook = full();
    let failures = examples::failures(&rulebook);
    assert!(failures.is_empty(), "{}", render(&failures, false));
    assert!(rulebook.rules.len() + rulebook.gates.len() >= 60);
    assert!(rulebook.measures.len() >= 90);
    for rule in &rulebook.rules {
        assert!(rule.examples.len() >= 3, "{}", rule.id);
        assert!(!rule.source.is_empty(), "{}", rule.id);
    }
}

#[test]
fn the_folder_in_the_repository_is_the_one_in_the_program() {
    let folder =
        Library::folder(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("rules")).unwrap();
    assert_eq!(folder.fingerprint(), Library::embedded().fingerprint());
    assert!(folder.strays.is_empty(), "{:?}", folder.strays);
}

/// Several gates open one mode: all of them have to be proven, never just one.
#[test]
fn all_gates_of_a_mode_have_to_be_proven() {
    let rulebook = rulebook();
    for (at, gate) in rulebook.gates.iter().enumerate() {
        let mut truths = Truths {
            rules: vec![Truth::False; rulebook.rules.len()],
            gates: vec![Truth::True; rulebook.gates.len()],
        };
        assert_eq!(
            verdict(rulebook, &truths).start.until_answered,
            Start::OpenRoom
        );
        for shut in [Truth::False, Truth::Blank] {
            truths.gates[at] = shut;
            assert!(
                verdict(rulebook, &truths).start.until_answered > gate.opens,
                "{}",
                gate.id
            );
        }
    }
}

/// The quick load leaves out examples and checks of wording, and nothing else.
#[test]
fn the_quick_load_decides_as_the_full_one() {
    let full = full();
    for seed in 0..64 {
        let answers = intake(&Form::random(&rulebook().questionnaire, seed).yaml()).answers;
        let facts = Facts::of(&full.questionnaire, &full.vocabulary, &answers, TODAY);
        let quick = Truths::of(rulebook(), &facts);
        assert_eq!(quick, Truths::of(&full, &facts));
    }
}

/// Every measure and every rule's reason is read by someone in that home: short sentences and everyday words.
#[test]
fn every_question_says_what_follows_when_it_is_blank() {
    for group in &rulebook().questionnaire.groups {
        for question in &group.questions {
            assert!(
                question.blank.len() > 20 && question.blank.ends_with('.'),
                "{}.{}",
                group.id,
                question.id
            );
            assert!(question.ask.ends_with('?'), "{}.{}", group.id, question.id);
        }
    }
}

/// What the program works out is declared and told, so that rules can use it and papers can print it.
#[test]
fn every_fact_and_figure_worked_out_is_declared() {
    let rulebook = full();
    for (name, _, _) in perchside::facts::derive::ALL {
        let at = rulebook.vocabulary.find(name);
        assert!(
            at.is_some_and(|at| rulebook.vocabulary.fact(at).is_derived()),
            "{name}"
        );
    }
    let told: Vec<&str> = rulebook.figures.iter().map(|f| f.id.as_str()).collect();
    assert_eq!(told, perchside::rulebook::FIGURES);
}

/// Rules may use each figure as a fact, and many do.
#[test]
fn rules_rest_on_the_figures() {
    let rulebook = full();
    let figures = [
        "bird.kind-known",
        "bird.cross",
        "bird.share-of-usual-weight",
        "cage.below-local-floor",
        "cage.below-every-floor",
        "cage.wings-fit",
        "cage.gap-wide",
        "cage.stands-low",
        "food.rewards-a-day",
        "food.treat-share",
        "food.piece-too-large",
        "tally.weight-fall",
        "tally.weight-odd",
        "tally.days-since-weighed",
        "reach.at-bars",
        "reach.safe-line",
        "reach.path-clear",
        "reach.room-to-walk",
        "reach.seats-inside",
        "reach.paths-inside",
        "people.face-at-perch",
        "record.rising",
        "record.falling",
        "record.too-few",
        "bites.care-advised",
        "bites.care-advised-for-person",
        "bites.tetanus-question",
        "health.illness-fits-birds",
    ];
    let mut rules = std::collections::BTreeSet::new();
    for figure in figures {
        let at = rulebook.vocabulary.find(figure).expect(figure);
        let using: Vec<&str> = rulebook
            .rules
            .iter()
            .filter(|rule| {
                let mut uses = false;
                rule.when.visit(&mut |fact, _, _| uses |= fact == at);
                uses
            })
            .map(|rule| rule.id.as_str())
            .collect();
        assert!(!using.is_empty(), "no rule uses {figure}");
        rules.extend(using);
    }
    assert!(rules.len() >= 15, "{rules:?}");
}

/// The words of the graded approach cite sources that are entered, and say nothing that the tool refuses to print.
#[test]
fn the_words_of_the_ladder_are_fit_to_print() {
    let rulebook = full();
    let library = Library::embedded();
    let text = &library.get("ladder.yaml").unwrap().text;
    let mut cited = 0;
    for line in text.lines() {
        if let Some(keys) = line.trim().strip_prefix("source: [") {
            for key in keys.trim_end_matches(']').split(", ") {
                assert!(rulebook.sources.contains_key(key), "{key}");
                cited += 1;
            }
        }
        let words: Vec<String> = line
            .to_lowercase()
            .split(|c: char| !c.is_alphanumeric())
            .map(str::to_owned)
            .collect();
        for refused in &rulebook.tables.refused {
            for word in refused.words.iter().filter(|word| !word.contains(' ')) {
                assert!(!words.contains(word), "{word}: {line}");
            }
        }
    }
    assert!(cited > 50, "{cited}");
}
