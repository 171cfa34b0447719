//! Short trials against the long way: every answer put into the form, all facts worked out anew, and all open guards weighed.

use std::path::Path;

use jiff::civil::date;

use super::*;
use crate::answers::{Given, Part, read};
use crate::library::Library;
use crate::rulebook::Care;
use crate::source::Source;
use crate::tree;
use crate::yaml;

const TODAY: Date = date(2026, 11, 1);

/// The answers of all example homes, and the same with one answer in so many taken away.
fn homes(rulebook: &Rulebook) -> Vec<Answers> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path().join("intake.yaml"))
        .filter(|path| path.exists())
        .collect();
    files.sort();
    assert!(files.len() >= 6, "{files:?}");
    let mut homes = vec![Answers::blank(&rulebook.questionnaire)];
    for (at, file) in files.iter().enumerate() {
        let source = Source::new("home", std::fs::read_to_string(file).unwrap());
        let document = yaml::read(&source).unwrap();
        let questionnaire = &rulebook.questionnaire;
        let way = tree::Path::default();
        let places = || document.places();
        let (answers, _) = read(questionnaire, &source, &document.root, &way, &places, TODAY);
        homes.push(thinned(&answers, 2 + at % 3));
        homes.push(answers);
    }
    homes
}

fn thinned(answers: &Answers, step: usize) -> Answers {
    let mut thin = answers.clone();
    let mut count = 0;
    let mut thin_out = |given: &mut Given| {
        count += 1;
        if count % step == 0 {
            *given = Given::Blank;
        }
    };
    for (group, part) in thin.parts.iter_mut().enumerate() {
        match part {
            Part::Once(given) => given.iter_mut().for_each(&mut thin_out),
            Part::Many(Some(entries)) if group % step != 0 => {
                let given = entries.iter_mut().flat_map(|entry| &mut entry.given);
                given.for_each(&mut thin_out);
            }
            part => *part = Part::Many(None),
        }
    }
    thin
}

/// Every blank of a form, and every group of which nothing was told.
fn blanks(answers: &Answers) -> Vec<Key> {
    let mut blanks = Vec::new();
    for (group, part) in answers.parts.iter().enumerate() {
        let mut note = |item, given: &[Given]| {
            let blank = given
                .iter()
                .enumerate()
                .filter(|(_, given)| given.is_blank());
            blanks.extend(blank.map(|(question, _)| (group, item, Some(question))));
        };
        match part {
            Part::Once(given) => note(None, given),
            Part::Many(None) => blanks.push((group, None, None)),
            Part::Many(Some(entries)) => {
                for (item, entry) in entries.iter().enumerate() {
                    note(Some(item), &entry.given);
                }
            }
        }
    }
    blanks
}

/// The outcomes of a form, worked out as if nothing of it had been seen before.
fn outcomes(rulebook: &Rulebook, guards: &Guards, answers: &Answers) -> (Steps, Steps) {
    let facts = Facts::of(
        &rulebook.questionnaire,
        &rulebook.vocabulary,
        answers,
        TODAY,
    );
    let (mut known, mut until_answered) = ([0; 4], [0; 4]);
    for guard in &guards.all {
        let truth = guards.truth(rulebook, guard.which, &facts, &mut Scope::default());
        if truth == Truth::True {
            raise(&mut known, &guard.lift);
        }
        if truth != Truth::False {
            raise(&mut until_answered, &guard.lift);
        }
    }
    (known, until_answered)
}

#[test]
fn a_short_trial_gives_what_working_everything_out_anew_gives() {
    let rulebook = Rulebook::load(&Library::embedded(), Care::Trusted)
        .unwrap()
        .0;
    let guards = Guards::of(&rulebook);
    let trials = Trials::of(&rulebook, &guards, TODAY);
    let mut tried = 0;
    for answers in homes(&rulebook) {
        let mut facts = Facts::of(
            &rulebook.questionnaire,
            &rulebook.vocabulary,
            &answers,
            TODAY,
        );
        let untouched = facts.clone();
        let mut scope = Scope::default();
        let weighed = guards.weigh(&rulebook, &facts, &mut scope);
        for key in blanks(&answers) {
            let mut case = Tried {
                answers: &answers,
                facts: &mut facts,
                scope: &mut scope,
            };
            let effect = trials.effect(&guards, &weighed, &mut case, key);
            assert_eq!(facts, untouched, "facts are left as they were");
            let most = trials.bound(&guards, &weighed, key);
            assert!(effect.moves(&weighed) <= most.moves(&weighed), "{key:?}");

            let mut long = Effect::none(&weighed);
            let mut with = answers.clone();
            match (&mut with.parts[key.0], key.1, key.2) {
                (part @ Part::Many(None), ..) => {
                    *part = Part::Many(Some(Vec::new()));
                    long.tighten(&outcomes(&rulebook, &guards, &with));
                    for guard in weighed.open.and(&trials.reach(key).rest) {
                        raise(&mut long.tightest, &guards.all[guard].lift);
                    }
                }
                (_, item, Some(fact)) => {
                    let at = FactRef { group: key.0, fact };
                    for given in candidates::given(&rulebook, &trials.reaches, TODAY, at) {
                        match (&mut with.parts[key.0], item) {
                            (Part::Once(all), _) => all[fact] = given,
                            (Part::Many(Some(entries)), Some(item)) => {
                                entries[item].given[fact] = given;
                            }
                            part => unreachable!("{part:?}"),
                        }
                        long.tighten(&outcomes(&rulebook, &guards, &with));
                        tried += 1;
                    }
                }
                part => unreachable!("{part:?}"),
            }
            let question = key
                .2
                .map(|fact| rulebook.vocabulary.name(FactRef { group: key.0, fact }));
            assert_eq!(effect, long, "{key:?} {question:?}");
        }
    }
    assert!(tried > 5_000, "{tried}");
}
