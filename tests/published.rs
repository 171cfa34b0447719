//! Published gates, marks and orders, held against decisions of the shipped rulebook. The source stands beside each test. Rows that the
//! handbook gives from memory are not used here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use perchside::decision::Decision;
use perchside::rulebook::{Contact, HumaneStep, MeasureKind, Risk, Vet};
use support::{Form, decided, intake, rulebook, verdict_of};

fn decide(yaml: &str) -> Decision {
    decided(yaml).1
}

/// True when a rule is known to speak.
fn speaks(decision: &Decision, id: &str) -> bool {
    let at = rulebook()
        .rules
        .iter()
        .position(|rule| rule.id == id)
        .unwrap_or_else(|| panic!("no rule {id}"));
    decision.rules[at].counts == perchside::decision::Counts::Known
}

fn refers(decision: &Decision, id: &str) -> bool {
    decision
        .referrals
        .iter()
        .any(|landing| landing.referral == id && landing.known)
}

/// Avian practice pages: 5 % is a concern, 10 % is urgent (3 g of 30 g); daily noise is 1 to 1.5 %, an adult's band 2 to 3 %
/// (450 g may be 440 g without alarm).
#[test]
fn weight_marks() {
    let fall = |from: &str, to: &str| {
        decide(&format!(
            "weights: [{{date: 2026-11-01, weight: {from}}}, {{date: 2026-11-20, weight: {to}}}]\n"
        ))
    };
    assert_eq!(fall("450 g", "440 g").verdict.vet.known, Vet::Routine);
    assert!(fall("400 g", "380 g").verdict.vet.known >= Vet::Recommended);
    assert_eq!(fall("30 g", "27 g").verdict.vet.known, Vet::Urgent);
    assert!(fall("1000 g", "950.1 g").verdict.vet.known < Vet::BeforeTraining);
}

/// Merck Veterinary Manual, importance of veterinary care: a routine examination every year.
#[test]
fn an_exam_is_due_after_a_year() {
    let exam = |day: &str| {
        speaks(
            &decide(&format!("health: {{last-exam: {day}}}\n")),
            "exam-older-than-a-year",
        )
    };
    assert!(!exam("2025-11-25"));
    assert!(exam("2025-11-01"));
}

/// Pet-advice pages without standing give 10 to 12 hours of darkness: 10 passes, under 10 is a caution.
#[test]
fn ten_dark_hours_pass() {
    let nights = |hours: &str| {
        speaks(
            &decide(&format!("daily-life: {{dark-hours: {hours}}}\n")),
            "short-nights",
        )
    };
    assert!(!nights("10 hours"));
    assert!(nights("9.9 hours"));
}

/// NHS list for bites: face or head, a large or deep wound, and bleeding that will not stop need emergency care; a hand or foot
/// needs urgent advice; skin that is not broken needs neither.
#[test]
fn wounds_that_need_care() {
    assert!(refers(
        &decide("case: {hurt-now: [heavy bleeding]}\n"),
        "emergency-service"
    ));
    assert!(refers(
        &decide("case: {hurt-now: [eye or face wound]}\n"),
        "emergency-service"
    ));
    let fresh = |part: &str, injury: &str| {
        decide(&format!(
            "bites: [{{date: 2026-11-24, injury: {injury}, body-part: {part}}}]\n"
        ))
    };
    let finger = fresh("finger", "broken-skin");
    assert!(refers(&finger, "urgent-medical-advice"));
    let cheek = fresh("face", "broken-skin");
    assert!(refers(&cheek, "emergency-service") || refers(&cheek, "urgent-medical-advice"));
    assert!(cheek.verdict.contact.known >= finger.verdict.contact.known);
    let whole = fresh("finger", "pressure");
    assert!(!refers(&whole, "urgent-medical-advice") && !refers(&whole, "emergency-service"));
    // The table everyone gets sends a face bite and bleeding that will not stop to emergency care at once.
    let calls = &rulebook().tables.calls;
    for id in ["eye-or-face-bite", "bleeding-will-not-stop"] {
        let call = calls.iter().find(|call| call.id == id).unwrap();
        assert!(
            call.call.contains("emergency") && call.how_soon.to_lowercase().contains("at once"),
            "{id}"
        );
    }
}

/// Australian Immunisation Handbook, wound management: who needs a booster depends on doses and years; the tool asks, and never
/// prescribes. A bite that broke skin is not a clean minor wound, so the question is always asked.
#[test]
fn tetanus_is_asked_and_never_prescribed() {
    let words: Vec<String> = rulebook()
        .measures
        .values()
        .flat_map(|measure| match &measure.kind {
            MeasureKind::Do { what, .. } => vec![what.clone()],
            MeasureKind::Never { what, instead, .. } => vec![what.clone(), instead.clone()],
        })
        .chain(
            rulebook()
                .tables
                .calls
                .iter()
                .flat_map(|call| [call.sign.clone(), call.now.clone(), call.call.clone()]),
        )
        .chain(
            rulebook()
                .tables
                .referrals
                .values()
                .map(|referral| referral.tell.clone()),
        )
        .collect();
    let tetanus: Vec<&String> = words
        .iter()
        .filter(|text| text.to_lowercase().contains("tetanus"))
        .collect();
    assert!(tetanus.len() >= 3, "{tetanus:?}");
    for text in &words {
        let text = text.to_lowercase();
        for bad in [
            "booster",
            "vaccine",
            "immunoglobulin",
            "antibiotic",
            "take a tetanus",
            "get a tetanus",
            "you need a tetanus",
        ] {
            assert!(!text.contains(bad), "{text}");
        }
    }
    let fresh = decide(
        "bites: [{date: 2026-11-24, injury: broken-skin, body-part: finger, care: first aid at home}]\n",
    );
    assert!(
        fresh
            .landings
            .iter()
            .any(|landing| landing.known && landing.measure == "medical-advice-for-broken-skin")
    );
}

/// Incubation of psittacosis: most 5 to 14 days (CDC), 1 to 4 weeks (Health Protection Scotland), 4 to 30 days (Public Health
/// England 2015): people are asked about the last 30 days, and told to mention the bird.
#[test]
fn flu_like_illness_is_asked_about_for_thirty_days() {
    let (group, question) = rulebook().questionnaire.find("health.ill-people").unwrap();
    let question = &rulebook().questionnaire.groups[group].questions[question];
    let text = format!(
        "{} {}",
        question.ask,
        question.help.clone().unwrap_or_default()
    );
    assert!(text.contains("30 days"), "{text}");
    assert!(refers(&decide("health: {ill-people: yes}\n"), "doctor"));
    assert!(!refers(&decide("health: {ill-people: no}\n"), "doctor"));
    assert!(
        rulebook().tables.referrals["doctor"]
            .tell
            .contains("parrot")
    );
}

/// NASPHV compendium 2017 (by way of a digest): a new, ill or exposed bird is kept apart for at least 30 days.
#[test]
fn a_new_bird_is_kept_apart_for_thirty_days() {
    let MeasureKind::Do { what, when, .. } = &rulebook().measures["new-bird-kept-apart"].kind
    else {
        panic!("a measure to do");
    };
    assert!(
        format!("{what} {when}").contains("30 days"),
        "{what} {when}"
    );
    let decision = decide("health: {new-bird: yes}\n");
    assert!(
        decision
            .landings
            .iter()
            .any(|landing| landing.known && landing.measure == "new-bird-kept-apart")
    );
}

/// Referral guidance in Clinical Small Animal Internal Medicine, box 177.1: severe aggression to people, or any that involves
/// children, goes to a veterinary behaviourist.
#[test]
fn a_bitten_child_and_a_severe_bite_go_to_a_vet_behaviourist() {
    let child = "people: [{name: a, age: 9 years}]\nbites: [{person: a, injury: broken-skin, body-part: finger, date: 2026-11-20}]\n";
    assert!(refers(&decide(child), "veterinary-behaviour"));
    assert!(refers(
        &decide("bites: [{injury: lasting-harm, body-part: finger, date: 2026-11-20}]\n"),
        "veterinary-behaviour"
    ));
}

/// Humane hierarchy as adopted by a certification council (2009): positive punishment has no place; what removes something is the
/// last resort. Health and setting make up most of what is asked for.
#[test]
fn the_least_intrusive_steps_carry_the_work() {
    let steps: Vec<HumaneStep> = rulebook()
        .measures
        .values()
        .filter(|measure| !measure.is_never())
        .map(|measure| measure.step)
        .collect();
    let share = |wanted: &[HumaneStep]| steps.iter().filter(|step| wanted.contains(step)).count();
    assert!(share(&[HumaneStep::Health, HumaneStep::Setting]) * 2 > steps.len());
    assert!(share(&[HumaneStep::Consequence]) * 20 <= steps.len());
}

/// MIL-STD-882E by way of the handbook: the worst credible outcome grades a hazard, not the commonest, and no training clears it.
#[test]
fn the_worst_outcome_grades_and_training_does_not_clear_it() {
    let one_bad = decide(
        "bites: [{injury: lasting-harm, date: 2024-01}, {injury: pressure}, {injury: pressure}, {injury: none}]\n",
    );
    assert_eq!(one_bad.verdict.risk.known, Risk::Severe);
    let trained = "progress: {barrier-sessions: 400, barrier-days: 400, barrier-red: 0, station-sessions: 400, station-days: 400, station-red: 0, signed-off: open-room}\nskills: {marker: with distractions, station: with distractions, recall: with distractions, hands-free-return: with distractions}\n";
    for seed in 0..64 {
        let mut form = Form::random(&rulebook().questionnaire, seed);
        form.groups
            .retain(|(group, _)| group != "progress" && group != "skills");
        let yaml = form.yaml();
        let before = verdict_of(&intake(&yaml).answers);
        let after = verdict_of(&intake(&format!("{yaml}{trained}")).answers);
        assert!(after.risk.known >= before.risk.known, "seed {seed}");
        assert!(after.contact.known >= before.contact.known, "seed {seed}");
    }
}

/// Trauma triage accepts over-triage to hold under-triage down: an unanswered safety question never brings a milder reply than an
/// answered one.
#[test]
fn doubt_goes_upward() {
    let answered = decide(
        "case: {hurt-now: [nobody]}\nhealth: {red-flags: [none]}\nbites: []\npeople: [{age: 40 years, vulnerable: [none]}]\n",
    );
    let open = decide("case: {setting: home}\n");
    assert!(open.verdict.contact.until_answered >= answered.verdict.contact.until_answered);
    assert_eq!(open.verdict.contact.until_answered, Contact::AtOnce);
}
