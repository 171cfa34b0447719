//! Every printed line can be traced: to its rule, the facts, the lines of the intake, and the source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::Path;

use perchside::papers::engine::Engine;
use perchside::papers::reason;
use perchside::plan::{Options, Plan};
use support::{Random, decided, rulebook};

#[test]
fn a_sample_of_printed_lines_can_be_traced() {
    let mut random = Random(7);
    let engine = Engine::embedded();
    let mut seen = 0;
    let mut folders: Vec<_> =
        std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples"))
            .unwrap()
            .map(|entry| entry.unwrap().path().join("intake.yaml"))
            .filter(|path| path.is_file())
            .collect();
    folders.sort();
    for path in folders {
        let (intake, decision) = decided(&std::fs::read_to_string(&path).unwrap());
        let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
        let lines: Vec<String> = plan
            .actions
            .iter()
            .chain(&plan.later)
            .chain(&plan.practice)
            .chain(plan.cards.iter().flat_map(|card| &card.does))
            .filter(|action| !action.assumed)
            .map(|action| action.id.clone())
            .chain(
                plan.never
                    .iter()
                    .filter(|never| !never.assumed)
                    .map(|never| never.id.clone()),
            )
            .collect();
        for _ in 0..5 {
            let id = &lines[random.below(lines.len())];
            let (value, text) = reason::explain(&engine, rulebook(), &intake, &decision, Some(id))
                .unwrap()
                .unwrap();
            let rules = value["landings"][0]["rules"].as_array().unwrap();
            assert!(!rules.is_empty(), "{id}");
            let mut placed = false;
            for rule in rules {
                assert!(!rule["sources"].as_array().unwrap().is_empty(), "{id}");
                assert!(rule["sources"][0]["source"]["author"].is_string(), "{id}");
                assert!(text.contains(rule["rule"].as_str().unwrap()));
                for fact in rule["facts"].as_array().unwrap() {
                    placed |= fact["places"]
                        .as_array()
                        .unwrap()
                        .iter()
                        .any(|place| place["line"].is_u64());
                    placed |= fact["value"] == "none listed" || fact["value"] == "not answered";
                }
            }
            assert!(placed, "{id}: {text}");
            seen += 1;
        }
    }
    assert!(seen >= 20);
}

/// What each line of the intake says is what the explanation says of it.
#[test]
fn places_point_at_the_answers() {
    let yaml = "bites:\n  - date: 2026-11-20\n    injury: medical-care\npeople:\n  - name: ana\n    age: 9 years\n";
    let (intake, decision) = decided(yaml);
    let (value, _) = reason::explain(
        &Engine::embedded(),
        rulebook(),
        &intake,
        &decision,
        Some("serious-injury-on-record"),
    )
    .unwrap()
    .unwrap();
    let lines: Vec<u64> = value["facts"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|fact| {
            fact["places"]
                .as_array()
                .unwrap()
                .iter()
                .filter_map(|p| p["line"].as_u64())
        })
        .collect();
    assert!(lines.contains(&3), "{value:#}");
}
