//! What must hold of every intake, tried on random ones made from the questionnaire itself.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod support;

use perchside::answers::{Answers, Given, Part as AnswerPart};
use perchside::decision::{Verdict, decide};
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::papers::engine::Engine;
use perchside::papers::{Paper, plan_json};
use perchside::plan::{Options, Plan};
use perchside::rulebook::{Care, Rulebook};
use perchside::source::Source;
use proptest::prelude::*;
use support::{Form, Lengths, Part, Random, TODAY, decided, intake, rulebook, verdict_of};

/// The plan as JSON, without the fingerprint of the intake's own bytes.
fn plan_of(yaml: &str, names: bool) -> serde_json::Value {
    let (intake, decision) = decided(yaml);
    let plan = Plan::of(
        rulebook(),
        &intake,
        &decision,
        Options {
            names,
            ..Options::default()
        },
    );
    let mut value = serde_json::to_value(&plan).unwrap();
    value["record"]["intake-fingerprint"] = serde_json::Value::Null;
    // The consultant's figures list entries in the order of the form, and number the places of the drawing by it.
    value["figures"] = serde_json::Value::Null;
    value["sketch"] = serde_json::Value::Null;
    // A line number tells where in the file an answer stands; that does hang on the order.
    for contradiction in value["contradictions"].as_array_mut().unwrap() {
        for statement in contradiction["statements"].as_array_mut().unwrap() {
            statement["line"] = serde_json::Value::Null;
        }
    }
    value
}

/// Where two plans differ: the way to each difference with both values.
fn differences(left: &serde_json::Value, right: &serde_json::Value) -> Vec<String> {
    use serde_json::Value;
    fn walk(path: &str, left: &Value, right: &Value, out: &mut Vec<String>) {
        match (left, right) {
            (Value::Object(a), Value::Object(b)) if a.keys().eq(b.keys()) => {
                for (key, value) in a {
                    walk(&format!("{path}.{key}"), value, &b[key], out);
                }
            }
            (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
                for (at, (a, b)) in a.iter().zip(b).enumerate() {
                    walk(&format!("{path}[{at}]"), a, b, out);
                }
            }
            (a, b) if a != b => out.push(format!("{path}: {a} | {b}").chars().take(300).collect()),
            _ => {}
        }
    }
    let mut out = Vec::new();
    walk("", left, right, &mut out);
    out
}

/// Nothing in `looser` is looser than in `than`, of what the safer side is about.
fn no_looser_until_answered(now: &Verdict, than: &Verdict) -> bool {
    now.start.until_answered >= than.start.until_answered
        && now.risk.until_answered >= than.risk.until_answered
        && now.vet.until_answered >= than.vet.until_answered
        && now.contact.until_answered >= than.contact.until_answered
}

fn no_tighter_known(now: &Verdict, than: &Verdict) -> bool {
    now.start.known <= than.start.known
        && now.risk.known <= than.risk.known
        && now.vet.known <= than.vet.known
        && now.contact.known <= than.contact.known
}

/// The answers with one taken away: every answer in turn, then every repeated group as a whole.
fn with_one_less(answers: &Answers) -> Vec<(String, Answers)> {
    let groups = &rulebook().questionnaire.groups;
    let mut all = Vec::new();
    for (group, part) in answers.parts.iter().enumerate() {
        let name =
            |fact: usize| format!("{}.{}", groups[group].id, groups[group].questions[fact].id);
        match part {
            AnswerPart::Once(given) => {
                for fact in (0..given.len()).filter(|fact| given[*fact] != Given::Blank) {
                    let mut less = answers.clone();
                    if let AnswerPart::Once(given) = &mut less.parts[group] {
                        given[fact] = Given::Blank;
                    }
                    all.push((name(fact), less));
                }
            }
            AnswerPart::Many(Some(entries)) => {
                for item in 0..entries.len() {
                    for fact in (0..entries[item].given.len())
                        .filter(|fact| entries[item].given[*fact] != Given::Blank)
                    {
                        let mut less = answers.clone();
                        if let AnswerPart::Many(Some(entries)) = &mut less.parts[group] {
                            entries[item].given[fact] = Given::Blank;
                        }
                        all.push((format!("{} of entry {item}", name(fact)), less));
                    }
                }
                let mut less = answers.clone();
                less.parts[group] = AnswerPart::Many(None);
                all.push((groups[group].id.clone(), less));
            }
            AnswerPart::Many(None) => {}
        }
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

    #[test]
    fn the_order_of_people_bites_and_groups_changes_nothing(seed in any::<u64>()) {
        let form = Form::random(&rulebook().questionnaire, seed);
        let mut turned = form.clone();
        let mut random = Random(seed ^ 1);
        random.shuffle(&mut turned.groups);
        for (_, part) in &mut turned.groups {
            match part {
                Part::Many(blocks) => {
                    random.shuffle(blocks);
                    for block in blocks { random.shuffle(block); }
                }
                Part::Once(fields) => random.shuffle(fields),
            }
        }
        prop_assert_eq!(differences(&plan_of(&form.yaml(), false), &plan_of(&turned.yaml(), false)), Vec::<String>::new());
    }

    #[test]
    fn renaming_a_person_changes_only_the_name(seed in any::<u64>()) {
        let form = Form::random(&rulebook().questionnaire, seed);
        let mut renamed = form.clone();
        for (group, part) in &mut renamed.groups {
            if let Part::Many(blocks) = part {
                for (id, text) in blocks.iter_mut().flatten() {
                    if (id == "person" || (group == "people" && id == "name")) && text == "person-1" {
                        *text = "zz-top-floor".to_owned();
                    }
                }
            }
        }
        let before = plan_of(&form.yaml(), false);
        prop_assert_eq!(differences(&before, &plan_of(&renamed.yaml(), false)), Vec::<String>::new());
        // Two people alike in every answer may change places when names are printed; their cards hold the same.
        let with_names = plan_of(&form.yaml(), true).to_string().replace("person-1", "zz-top-floor");
        let mut left: Vec<char> = with_names.chars().collect();
        let mut right: Vec<char> = plan_of(&renamed.yaml(), true).to_string().chars().collect();
        left.sort_unstable();
        right.sort_unstable();
        prop_assert!(left == right);
    }

    #[test]
    fn taking_an_answer_away_never_loosens_and_giving_one_never_loosens_what_is_known(seed in any::<u64>()) {
        let answers = intake(&Form::random(&rulebook().questionnaire, seed).yaml()).answers;
        let full = verdict_of(&answers);
        prop_assert!(full.start.known <= full.start.until_answered);
        prop_assert!(full.risk.known <= full.risk.until_answered);
        for (what, less) in with_one_less(&answers) {
            let without = verdict_of(&less);
            prop_assert!(no_looser_until_answered(&without, &full), "without {}: {:?} against {:?}", what, without, full);
            prop_assert!(no_tighter_known(&without, &full), "known without {}: {:?} against {:?}", what, without, full);
        }
    }

    #[test]
    fn centimetres_and_inches_give_the_same_plan(seed in any::<u64>()) {
        let questionnaire = &rulebook().questionnaire;
        let metric = Form::random_in(questionnaire, seed, Lengths::Metric).yaml();
        let inches = Form::random_in(questionnaire, seed, Lengths::Inches).yaml();
        prop_assert_eq!(differences(&plan_of(&metric, false), &plan_of(&inches, false)), Vec::<String>::new());
    }

    #[test]
    fn any_bytes_give_mistakes_and_never_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        if let Ok(source) = Source::from_bytes("bytes", bytes) {
            let _ = Intake::read(&rulebook().questionnaire, &rulebook().vocabulary, source, TODAY);
        }
    }

    #[test]
    fn a_damaged_intake_gives_mistakes_or_a_plan_and_never_a_panic(seed in any::<u64>(), cuts in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8)) {
        let mut bytes = Form::random(&rulebook().questionnaire, seed).yaml().into_bytes();
        for (at, byte) in cuts {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if let Ok(source) = Source::from_bytes("damaged", bytes)
            && let Ok((intake, _)) = Intake::read(&rulebook().questionnaire, &rulebook().vocabulary, source, TODAY)
        {
            let decision = decide(rulebook(), &intake.answers, TODAY);
            let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
            prop_assert!(!plan_json(&plan).is_empty());
        }
    }

    #[test]
    fn every_plan_keeps_its_promises(seed in any::<u64>()) {
        let yaml = Form::random(&rulebook().questionnaire, seed).yaml();
        let (intake, decision) = decided(&yaml);
        let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
        prop_assert!(plan.actions.len() <= 5);
        prop_assert!(plan.never.len() <= 7);
        for card in &plan.cards {
            prop_assert!(card.does.len() <= 3 && card.never.len() <= 3);
        }
        let printed = || plan.actions.iter().chain(&plan.later).chain(plan.cards.iter().flat_map(|card| &card.does));
        if plan.held {
            // "Not yet" holds no training steps.
            for action in printed() {
                prop_assert_eq!(rulebook().measures[&action.id].only_from(), None, "{}", action.id);
            }
        }
        // Never beats do, and every printed line has a rule behind it.
        for action in printed() {
            prop_assert!(!action.rules.is_empty());
        }
        // Every paper can be filled.
        let engine = Engine::embedded();
        let paper = Paper::household(&engine, &plan).unwrap();
        prop_assert!(paper.html(&engine, &plan).unwrap().contains("</html>"));
        // The trace and the quick path agree.
        let quick = perchside::decision::Truths::of(rulebook(), &decision.facts);
        for trace in &decision.rules {
            prop_assert_eq!(trace.truth, quick.rules[trace.rule]);
            let traced = trace.bindings.iter().map(|b| b.reason.truth).max();
            if let Some(traced) = traced {
                prop_assert_eq!(traced, trace.truth, "{}", &rulebook().rules[trace.rule].id);
            }
        }
    }
}

#[test]
fn the_order_of_rule_files_changes_nothing() {
    let texts = || {
        Library::embedded()
            .files
            .into_iter()
            .map(|(path, source)| (path, source.text.into_owned()))
    };
    // Other topic names turn the order of the files round; ids keep the rules apart.
    let turned: Vec<(String, String)> = texts()
        .map(|(path, text)| {
            let kept = !path.contains('/')
                || path.starts_with("questions/")
                || path.starts_with("measures/")
                || path.starts_with("species/")
                || path.starts_with("log/")
                || path.starts_with("next-step/")
                || path.starts_with("languages/");
            if kept {
                (path, text)
            } else {
                let first = path.bytes().next().unwrap_or(b'a');
                (
                    format!("{}-{path}", char::from(b'a' + (b'z' - first))),
                    text,
                )
            }
        })
        .collect();
    let (other, _) = Rulebook::load(&Library::of(turned), Care::Trusted).unwrap();
    for seed in 0..256 {
        let yaml = Form::random(&rulebook().questionnaire, seed).yaml();
        let (intake, decision) = decided(&yaml);
        let again = decide(&other, &intake.answers, TODAY);
        assert_eq!(decision.verdict, again.verdict);
        let before = Plan::of(rulebook(), &intake, &decision, Options::default());
        let after = Plan::of(&other, &intake, &again, Options::default());
        let strip = |plan: &Plan| {
            let mut value = serde_json::to_value(plan).unwrap();
            value["record"] = serde_json::Value::Null;
            value
        };
        assert_eq!(
            differences(&strip(&before), &strip(&after)),
            Vec::<String>::new(),
            "seed {seed}"
        );
    }
}
