//! Statements about the trade, held against decisions of the shipped rulebook. Common practice, no source, unless a source is named.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use perchside::papers::{Copy, Paper, copy_of};
use perchside::plan::{Headline, Options, Plan};
use perchside::rulebook::{Control, HumaneStep, MeasureKind, Risk, Start, Vet};
use support::{decided, rulebook};

fn plan(yaml: &str) -> Plan {
    let (intake, decision) = decided(yaml);
    Plan::of(rulebook(), &intake, &decision, Options::default())
}

/// A case whose through-barrier gates are all proven, with one person the bird goes for.
const READY: &str = "
case: {contact-by: in person, setting: home, deadline: none, hurt-now: [nobody]}
bird: {species: some parakeet, size: small, weight: 90 g, flight: flies, age: 4 years, sex: male, papers: complete, limits: [none]}
health: {red-flags: [none], onset: gradual, exam-for-this: yes, last-exam: 2026-11-01, bird-vet: yes, clearance: cleared, pain-history: no, medicines: no, breeding-signs: [none], feather-damage: none, exposures: [none], new-bird: no, bird-died: no, ill-people: no, share-with-vet: yes}
weights: []
diet: {staple: mixed, food-withheld: no, nut-allergy: no, dangerous-foods: [none], treats-a-day: 10}
bites:
  - {date: 2026-10-10, person: ana, injury: pressure, body-part: finger, pursuit: none, place: at the bars, barrier: bars, trigger: came near, favoured-near: no, warning: [stare], lead-time: 6 s, form: strike, care: none, after: [person left], calm-after: 10 minutes, evidence: witness}
people:
  - {name: ana, age: 41 years, presence: lives here, role: reacted-to, vulnerable: [none], afraid: a little, duties: [passes by], can-keep-away: yes, minutes-a-day: 10, days-a-week: 5, willing: 7, confidence: 6}
  - {name: bo, age: 43 years, presence: lives here, role: favoured, vulnerable: [none], afraid: no, duties: [feeds, cleans], can-keep-away: yes, minutes-a-day: 20, days-a-week: 7, willing: 9, confidence: 8}
animals: []
tried: []
housing: {contained-now: yes, contained-hands-free: yes, fingers-fit: no, head-fits: no, bars-sound: yes, latch: second latch or lock, feeding-hatch: yes, retreat: yes, cage-place: corner, cage-room: living room, perch-height: 120 cm, path-width: 200 cm, second-room: yes, out-hours: 2, out-with: one adult, shoulder: no, room-hazards: [none], visitors: monthly}
daily-life: {dark-hours: 11, sleep-disturbed: no, nest-places: [none], touched-on-back: no, foraging: 7, chewing: 5, bathing: 3, alone-hours: 4, recent-change: [none]}
skills: {marker: one person, station: started, target: none, recall: none, step-up: none, step-down: none, hands-free-return: several people, crate: none, scale: none, trade: none}
rewards: {tested: yes, delivery: dish, takes-calmly: yes, pieces: 12}
goals: {contact-wanted: no, requests: [none], agreement: agree, rehoming: not wanted, other-advice: no, successor: yes, owner-frail: no}
consent: {agreement-signed: yes, data-notice: yes, filming: not agreed, visit-safety: safe alone, lone-visit: no}
";

/// Replaces one answer of the ready case.
fn ready_but(from: &str, to: &str) -> String {
    assert!(READY.contains(from), "{from}");
    READY.replace(from, to)
}

#[test]
fn bars_between_beak_and_hand_come_before_the_open_room() {
    // Whatever the record of later stages says, nothing is open while the stage before it is not.
    let yaml = format!(
        "{READY}progress: {{station-sessions: 40, station-days: 60, station-red: 0, signed-off: open-room}}\n"
    );
    let plan = plan(&yaml);
    assert_eq!(plan.start, Start::ThroughBarrier);
    assert_eq!(plan.next, Some(Start::Stationed));
}

#[test]
fn a_proven_case_may_start_through_the_bars() {
    let plan = plan(READY);
    assert_eq!(
        plan.headline,
        Headline::ThroughBarrier,
        "{:?}",
        plan.reasons
    );
    assert!(!plan.held && !plan.practice.is_empty());
}

/// Each statement of conduct stands on the paper of a case that may practise.
#[test]
fn the_conduct_of_practice_is_on_the_paper() {
    let (intake, decision) = decided(READY);
    let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
    let engine = perchside::papers::engine::Engine::embedded();
    let paper = perchside::papers::Paper::household(&engine, &plan)
        .unwrap()
        .markdown()
        .to_lowercase();
    let lines: Vec<&str> = paper.lines().collect();
    let says = |words: &[&str]| {
        lines
            .iter()
            .any(|line| words.iter().all(|word| line.contains(word)))
    };
    // A person the bird attacks starts out of sight or beyond the first sign of arousal.
    assert!(says(&["out of sight", "first sign"]));
    // After a failure one goes back to the last step that worked.
    assert!(says(&["go back to the last step that went well"]));
    // Aggression never brings the person nearer.
    assert!(says(&[
        "at a threat people step back. they never come nearer"
    ]));
    assert!(
        plan.never
            .iter()
            .any(|never| never.id == "nearer-after-a-threat")
    );
    // A session ends on a success while the bird still wants more.
    assert!(says(&[
        "stop on an easy success, while the bird still wants more"
    ]));
    // Nobody practises in the bird's space while talking to each other.
    assert!(says(&[
        "when you want to talk, step away from the bird first"
    ]));
    // And none of it stands in a plan that is held.
    let (intake, decision) = decided(&ready_but("clearance: cleared", "clearance: waiting"));
    let held = Plan::of(rulebook(), &intake, &decision, Options::default());
    let paper = perchside::papers::Paper::household(&engine, &held)
        .unwrap()
        .markdown()
        .to_lowercase();
    assert!(!paper.contains("stop on an easy success") && !paper.contains("how to practise"));
}

#[test]
fn sessions_are_short_few_and_far_between() {
    let plan = plan(READY);
    // Coaching days: 2 to 8 minutes, breaks of 30 to 60 minutes or more, four a day at most (common practice, no source).
    assert!(
        plan.practice
            .iter()
            .any(|a| a.id == "eight-minutes-then-a-long-break"),
        "{:?}",
        plan.practice.iter().map(|a| &a.id).collect::<Vec<_>>()
    );
}

#[test]
fn a_vet_comes_first_where_nobody_has_looked_at_the_bird() {
    for yaml in [
        ready_but("exam-for-this: yes", "exam-for-this: no"),
        ready_but("clearance: cleared", "clearance: waiting"),
        ready_but("red-flags: [none]", "red-flags: [limp]"),
    ] {
        let plan = plan(&yaml);
        assert!(plan.held);
        assert!(
            matches!(plan.headline, Headline::VetFirst | Headline::VetNow),
            "{:?}",
            plan.headline
        );
        assert!(plan.practice.is_empty());
    }
}

/// Merck Veterinary Manual and an avian specialist's list of emergency signs: each sign alone needs a vet and closes training.
#[test]
fn each_emergency_sign_alone_closes_training() {
    let (group, question) = rulebook().questionnaire.find("health.red-flags").unwrap();
    let question = &rulebook().questionnaire.groups[group].questions[question];
    for choice in question.choices.iter().filter(|choice| choice.id != "none") {
        let plan = plan(&ready_but(
            "red-flags: [none]",
            &format!("red-flags: [{}]", choice.id),
        ));
        assert!(plan.held, "{}", choice.id);
        assert!(
            plan.verdict.vet.known >= Vet::BeforeTraining,
            "{}",
            choice.id
        );
    }
}

#[test]
fn a_child_bitten_through_the_skin_is_severe_or_high_and_asks_for_a_vet_behaviourist() {
    let yaml = ready_but("{name: ana, age: 41 years", "{name: ana, age: 9 years")
        .replace("injury: pressure", "injury: broken-skin");
    let plan = plan(&yaml);
    assert!(plan.verdict.risk.known >= Risk::High);
    assert!(plan.verdict.start.until_answered >= Start::ThroughBarrier);
    assert!(
        plan.referrals
            .iter()
            .any(|r| r.id == "veterinary-behaviour" && !r.assumed)
    );
}

#[test]
fn people_come_before_the_bird() {
    let plan = plan(&ready_but(
        "hurt-now: [nobody]",
        "hurt-now: [heavy bleeding]",
    ));
    assert_eq!(plan.headline, Headline::PeopleFirst);
}

#[test]
fn an_unanswered_form_is_held_and_a_full_one_knows_everything() {
    let blank = plan("bird: {name: Nobody}\n");
    assert!(blank.held);
    assert_eq!(blank.headline, Headline::NotYet);
    let full = plan(READY);
    assert_eq!(full.verdict.risk.known, full.verdict.risk.until_answered);
    assert_eq!(full.verdict.vet.known, full.verdict.vet.until_answered);
}

#[test]
fn private_answers_are_not_told() {
    let yaml = ready_but(
        "role: reacted-to, vulnerable: [none]",
        "role: reacted-to, vulnerable: [blood thinner]",
    );
    let text = {
        let (intake, decision) = decided(&yaml);
        let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
        let engine = perchside::papers::engine::Engine::embedded();
        perchside::papers::Paper::household(&engine, &plan)
            .unwrap()
            .markdown()
    };
    assert!(
        !text.contains("blood thinner:") && !text.to_lowercase().contains("takes a blood thinner"),
        "{text}"
    );
    assert!(
        !text.contains("ana") || !text.contains("| ana"),
        "a name is printed"
    );
    // The call table names groups of people for everyone; the reasons of this home do not.
    let reasons = text
        .split("### Why we plan like this")
        .nth(1)
        .unwrap_or_default();
    let reasons = reasons.split("###").next().unwrap_or_default();
    assert!(!reasons.to_lowercase().contains("bleed"), "{reasons}");
}

/// What rests on one person's private health alone is for the consultant to speak of, or for a card handed to that person.
#[test]
fn private_health_is_talked_over_alone() {
    let yaml = ready_but(
        "role: reacted-to, vulnerable: [none]",
        "role: reacted-to, vulnerable: [lowered immunity]",
    );
    let (intake, decision) = decided(&yaml);
    let paper = |private: bool| {
        let options = Options {
            private,
            ..Options::default()
        };
        let plan = Plan::of(rulebook(), &intake, &decision, options);
        let engine = perchside::papers::engine::Engine::embedded();
        let text: String = perchside::papers::PAPERS
            .iter()
            .filter(|name| copy_of(name) == Copy::Household)
            .map(|name| Paper::of(&engine, &plan, name).unwrap().markdown())
            .collect();
        (plan, text)
    };
    let (plan, shared) = paper(false);
    let talks: Vec<&str> = plan
        .cards
        .iter()
        .flat_map(|card| card.talks.iter().map(|talk| talk.title.as_str()))
        .collect();
    assert!(!talks.is_empty());
    let (_, alone) = paper(true);
    for title in talks {
        assert!(!shared.contains(title), "{title}");
        assert!(alone.contains(title), "{title}");
    }
}

#[test]
fn no_household_paper_holds_a_private_answer_or_a_name() {
    let form = "bird: {name: Pip, ring: QX-5512}\npeople:\n  - {name: Zephyrine, age: 40 years, presence: lives here, role: reacted-to, vulnerable: [blood thinner], tetanus: fewer or not sure, willing: 2, confidence: 1}\ngoals: {limits: Moneywortle, wish: Zephyrine wants peace, agreement: mixed}\nrewards: {best-foods: Zephyrine's seeds}\nhealth: {vet-name: Clinic of Zephyrine}\nnotes: {colleagues: Onlyforcolleagues}\nconsent: {visit-safety: not safe, lone-visit: yes}\n";
    let (intake, decision) = decided(form);
    let plan = Plan::of(rulebook(), &intake, &decision, Options::default());
    let engine = perchside::papers::engine::Engine::embedded();
    let mut professional = String::new();
    for name in perchside::papers::PAPERS {
        let text = Paper::of(&engine, &plan, name).unwrap().markdown();
        if copy_of(name) == Copy::Professional {
            professional.push_str(&text);
            continue;
        }
        for word in ["QX-5512", "Zephyrine", "Moneywortle", "Onlyforcolleagues"] {
            assert!(!text.contains(word), "{name} holds {word}");
        }
    }
    // They do reach those who have to know.
    for word in ["QX-5512", "Onlyforcolleagues"] {
        assert!(professional.contains(word), "{word}");
    }
}

/// How to reach the household is for whoever replies. Of the papers, only the one with every answer holds it, marked as private.
#[test]
fn how_to_reach_the_household_stands_on_the_consultants_own_paper_alone() {
    let form = READY.replacen("case: {", "case: {contact: 555 010 4477, ", 1);
    let (intake, decision) = decided(&form);
    let options = Options {
        names: true,
        private: true,
        ..Options::default()
    };
    let plan = Plan::of(rulebook(), &intake, &decision, options);
    let engine = perchside::papers::engine::Engine::embedded();
    for name in perchside::papers::PAPERS {
        let paper = Paper::of(&engine, &plan, name).unwrap();
        let held = paper.markdown().contains("010 4477");
        assert_eq!(held, *name == "consultant", "{name}");
        assert_eq!(
            paper.html(&engine, &plan).unwrap().contains("010 4477"),
            held,
            "{name}"
        );
    }
    let told = &plan.told_shared["case"].as_ref().unwrap()[0]["contact"];
    assert!(told.private && told.value.is_none());
}

/// NIOSH hierarchy of controls: elimination, substitution, engineering, administrative, personal protective equipment.
#[test]
fn controls_stand_in_the_published_order() {
    assert_eq!(
        Control::WORDS,
        ["remove", "replace", "barrier", "routine", "gear"]
    );
    assert!(
        Control::Remove < Control::Replace
            && Control::Barrier < Control::Routine
            && Control::Routine < Control::Gear
    );
}

/// Humane hierarchy (Friedman 2008; certification council statement, 2009): health, antecedents, positive reinforcement,
/// differential reinforcement, then the three that remove something; positive punishment is not on the scale.
#[test]
fn procedures_stand_in_the_published_humane_order() {
    assert_eq!(
        HumaneStep::WORDS,
        ["health", "setting", "reward", "alternative", "consequence"]
    );
    assert!(!HumaneStep::WORDS.iter().any(|word| word.contains("punish")));
}

/// Of measures asked for by the same rules and equally urgent, the stronger kind of control is taken first.
#[test]
fn a_stronger_control_is_taken_before_a_weaker_one() {
    let plan = plan(READY);
    let control = |id: &str| rulebook().measures[id].control;
    for pair in plan.actions.windows(2) {
        if pair[0].rules == pair[1].rules && pair[0].assumed == pair[1].assumed {
            assert!(
                control(&pair[0].id) <= control(&pair[1].id),
                "{} before {}",
                pair[0].id,
                pair[1].id
            );
        }
    }
    // Gear is never the only control of a measure that answers a high or severe risk (MIL-STD-882E: no warning, training or gear
    // alone clears a hazard).
    for rule in &rulebook().rules {
        if rule.then.risk >= Some(Risk::High) && !rule.then.do_.is_empty() {
            assert!(
                rule.then.do_.iter().any(|id| control(id) < Control::Gear),
                "{}",
                rule.id
            );
        }
    }
}

#[test]
fn nothing_the_tool_offers_is_gear_alone_or_a_punishment() {
    for measure in rulebook().measures.values() {
        if let MeasureKind::Do { what, .. } = &measure.kind {
            let text = what.to_lowercase();
            for bad in ["spray the bird", "punish", "force the bird", "starve"] {
                assert!(!text.contains(bad), "{}: {what}", measure.id);
            }
        }
    }
}
