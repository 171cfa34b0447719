//! The short decision against the one with its trace, on every case there is.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::Path;

use jiff::ToSpan;
use jiff::civil::Date;
use perchside::answers::{self, Answers, Given, Part};
use perchside::dates::PartialDate;
use perchside::decision::brief::{Ask, Briefing};
use perchside::decision::{Counts, Verdict, decide};
use perchside::questionnaire::{Kind, Tier};
use perchside::rulebook::{Contact, Risk, Start, Vet};
use perchside::source::Source;
use perchside::tree::{Node, Path as Way};
use perchside::yaml;
use proptest::prelude::*;
use support::{Form, TODAY, intake, rulebook};

/// Every expert case and every example home.
fn cases() -> Vec<(String, Answers, Date)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<_> = std::fs::read_dir(root.join("tests/cases"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.extend(
        std::fs::read_dir(root.join("examples"))
            .unwrap()
            .map(|entry| entry.unwrap().path().join("intake.yaml"))
            .filter(|path| path.exists()),
    );
    files.sort();
    files
        .into_iter()
        .map(|path| {
            let source = Source::new("case", std::fs::read_to_string(&path).unwrap());
            let document = yaml::read(&source).unwrap();
            let today = match document.root.get("today") {
                Some(Node::Text(day)) => day.parse().unwrap(),
                _ => TODAY,
            };
            let root = document.root.get("intake").unwrap_or(&document.root);
            let places = || document.places();
            let (answers, _) = answers::read(
                &rulebook().questionnaire,
                &source,
                root,
                &Way::default(),
                &places,
                today,
            );
            (path.display().to_string(), answers, today)
        })
        .collect()
}

/// The case with only what is asked at first contact, and with one answer in three taken away: enquiries as they come.
fn thinned(answers: &Answers, seed: usize) -> Answers {
    let mut thin = answers.clone();
    let mut at = seed;
    for (part, group) in thin.parts.iter_mut().zip(&rulebook().questionnaire.groups) {
        let mut thin_out = |given: &mut Vec<Given>| {
            for (given, question) in given.iter_mut().zip(&group.questions) {
                at += 1;
                if question.tier != Tier::Enquiry || at.is_multiple_of(3) {
                    *given = Given::Blank;
                }
            }
        };
        match part {
            Part::Once(given) => thin_out(given),
            Part::Many(Some(entries)) => {
                for entry in entries.iter_mut() {
                    thin_out(&mut entry.given);
                }
            }
            Part::Many(None) => {}
        }
        if seed.is_multiple_of(5) && group.repeats.is_some() {
            *part = Part::Many(None);
        }
    }
    thin
}

/// Questions that could move as much keep the order of the form.
fn in_order(_: usize, _: Option<usize>) -> usize {
    0
}

fn same(name: &str, answers: &Answers, today: Date) {
    let briefing = Briefing::of(rulebook(), today);
    let decision = decide(rulebook(), answers, today);
    let mut facts = briefing.facts(answers);
    let brief = briefing.decide(answers, &mut facts, &in_order);
    assert_eq!(facts, decision.facts, "{name}: facts are left as they were");
    assert_eq!(brief.verdict, decision.verdict, "{name}");
    assert_eq!(briefing.verdict(&facts), decision.verdict, "{name}");

    // The rule that decides is one that speaks, and asks for just that.
    let contact = decision.verdict.contact;
    match brief.rule {
        None => assert_eq!(contact.until_answered, Contact::Routine, "{name}"),
        Some(at) => {
            assert_eq!(
                rulebook().rules[at].then.contact,
                Some(contact.until_answered),
                "{name}"
            );
            let known = contact.known == contact.until_answered;
            let wanted = if known {
                Counts::Known
            } else {
                Counts::UntilAnswered
            };
            assert_eq!(decision.rules[at].counts, wanted, "{name}");
        }
    }

    // What is asked first is what the trace finds most telling.
    let asked = |gap: &&perchside::decision::gaps::Gap| {
        gap.moves > 0
            && gap.fact.is_none_or(|fact| {
                rulebook().questionnaire.groups[gap.group].questions[fact].tier < Tier::Visit
            })
    };
    let gaps: Vec<_> = decision.gaps.iter().filter(asked).collect();
    assert_eq!(brief.asks.len(), gaps.len().min(3), "{name}");
    let moves: Vec<usize> = brief.asks.iter().map(|ask| ask.moves).collect();
    let most: Vec<usize> = gaps.iter().take(3).map(|gap| gap.moves).collect();
    assert_eq!(moves, most, "{name}");
    for ask in &brief.asks {
        let gap = gaps
            .iter()
            .find(|gap| (gap.group, gap.item, gap.fact) == (ask.group, ask.item, ask.question))
            .unwrap_or_else(|| panic!("{name}: {ask:?} is no gap"));
        assert_eq!(gap.moves, ask.moves, "{name}");
        assert_eq!(gap.could.tightest.risk, ask.could.risk.known.word());
        assert_eq!(
            gap.could.loosest.start,
            ask.could.start.until_answered.word()
        );
        reruns(name, answers, today, ask, &decision.verdict);
    }
}

/// Answers to try, thought up here and not by the engine.
fn tries(ask: &Ask, today: Date) -> (Vec<Given>, bool) {
    let question = &rulebook().questionnaire.groups[ask.group].questions[ask.question.unwrap()];
    let choices = question.choices.len() as u8;
    match question.kind {
        Kind::YesNo => (vec![Given::YesNo(true), Given::YesNo(false)], true),
        Kind::Choice | Kind::Level => ((0..choices).map(Given::Choice).collect(), true),
        Kind::Choices => {
            let alone = question.alone.map_or(0, |alone| 1_u64 << alone);
            let all = (0..choices).fold(0, |bits, at| bits | (1_u64 << at)) & !alone;
            let mut sets: Vec<u64> = (0..choices).map(|at| 1 << at).collect();
            sets.push(all);
            (sets.into_iter().map(Given::Choices).collect(), true)
        }
        Kind::Date => (
            (-40..400)
                .filter(|back| question.future || *back >= 0)
                .map(|back: i32| {
                    Given::Date(PartialDate::day(today.checked_sub(back.days()).unwrap()))
                })
                .collect(),
            false,
        ),
        Kind::Number(_) => {
            let (least, most) = (question.min.max(0.0), question.max.min(2000.0));
            (
                (0..=200)
                    .map(|at| Given::Number(least + (most - least) * f64::from(at) / 200.0))
                    .collect(),
                false,
            )
        }
        Kind::Text => (Vec::new(), false),
    }
}

/// The four outcomes of a verdict as steps, one end.
fn steps(verdict: &Verdict, known: bool) -> [usize; 4] {
    let pick = |pair: (usize, usize)| if known { pair.0 } else { pair.1 };
    [
        pick((
            Risk::steps(verdict.risk.known),
            Risk::steps(verdict.risk.until_answered),
        )),
        pick((
            Start::steps(verdict.start.known),
            Start::steps(verdict.start.until_answered),
        )),
        pick((
            Contact::steps(verdict.contact.known),
            Contact::steps(verdict.contact.until_answered),
        )),
        pick((
            Vet::steps(verdict.vet.known),
            Vet::steps(verdict.vet.until_answered),
        )),
    ]
}

/// What is said of a question is what the whole engine gives when it is run again with the answer.
fn reruns(name: &str, answers: &Answers, today: Date, ask: &Ask, now: &Verdict) {
    let Some(question) = ask.question else {
        let mut none = answers.clone();
        none.parts[ask.group] = Part::Many(Some(Vec::new()));
        let verdict = decide(rulebook(), &none, today).verdict;
        for on in 0..4 {
            assert!(
                steps(&ask.could, false)[on] <= steps(&verdict, false)[on],
                "{name}"
            );
            assert!(
                steps(&ask.could, true)[on] >= steps(&verdict, true)[on],
                "{name}"
            );
        }
        return;
    };
    let (mut tightest, mut loosest) = (steps(now, true), steps(now, false));
    let (tried, all) = tries(ask, today);
    for given in tried {
        let mut with = answers.clone();
        match (&mut with.parts[ask.group], ask.item) {
            (Part::Once(values), _) => values[question] = given,
            (Part::Many(Some(entries)), Some(item)) => entries[item].given[question] = given,
            _ => panic!("{name}: {ask:?} stands nowhere"),
        }
        let verdict = decide(rulebook(), &with, today).verdict;
        for on in 0..4 {
            tightest[on] = tightest[on].max(steps(&verdict, true)[on]);
            loosest[on] = loosest[on].min(steps(&verdict, false)[on]);
        }
    }
    let said = (steps(&ask.could, true), steps(&ask.could, false));
    if all {
        assert_eq!(said, (tightest, loosest), "{name}: {ask:?}");
    } else {
        for on in 0..4 {
            assert!(
                said.0[on] >= tightest[on] && said.1[on] <= loosest[on],
                "{name}: {ask:?}"
            );
        }
    }
}

#[test]
fn every_case_is_decided_alike_with_and_without_its_trace() {
    for (at, (name, answers, today)) in cases().iter().enumerate() {
        same(name, answers, *today);
        same(name, &thinned(answers, at), *today);
    }
    same("blank", &Answers::blank(&rulebook().questionnaire), TODAY);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(96) })]

    #[test]
    fn random_forms_are_decided_alike_with_and_without_their_trace(seed in any::<u64>()) {
        let answers = intake(&Form::random(&rulebook().questionnaire, seed).yaml()).answers;
        same("random", &answers, TODAY);
        same("random, thinned", &thinned(&answers, seed as usize % 1000), TODAY);
    }
}
