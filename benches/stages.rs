//! Each stage apart: loading the rulebook, reading, facts, decision, plan, rendering.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

mod bare;

use divan::{Bencher, black_box};
use jiff::civil::{Date, date};
use jiff::{SignedDuration, Timestamp};
use perchside::answers::{self, Answers};
use perchside::decision::{Truths, decide, verdict};
use perchside::facts::Facts;
use perchside::hours::{Hours, Within};
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::papers::Paper;
use perchside::papers::engine::Engine;
use perchside::plan::{Options, Plan};
use perchside::rulebook::{Care, Rulebook};
use perchside::source::Source;
use perchside::tree::Path;
use perchside::wording::Practice;
use perchside::yaml;

const TODAY: Date = date(2026, 11, 25);
const INTAKE: &str = include_str!("../examples/evening-conure/intake.yaml");
const PRACTICE: &str = include_str!("../examples/practice/practice.yaml");

fn main() {
    divan::main();
}

fn rulebook() -> Rulebook {
    Rulebook::load(&Library::embedded(), Care::Trusted)
        .unwrap()
        .0
}

fn intake(rulebook: &Rulebook) -> Intake {
    Intake::read(
        &rulebook.questionnaire,
        &rulebook.vocabulary,
        Source::new("intake", INTAKE),
        TODAY,
    )
    .unwrap()
    .0
}

#[divan::bench]
fn a1_load_rulebook(bencher: Bencher) {
    bencher.bench(|| Rulebook::load(&Library::embedded(), Care::Trusted).unwrap());
}

#[divan::bench]
fn a2_load_rulebook_and_check_all(bencher: Bencher) {
    bencher.bench(|| Rulebook::load(&Library::embedded(), Care::Full).unwrap());
}

#[divan::bench]
fn b1_read_yaml_into_tree(bencher: Bencher) {
    let source = Source::new("intake", INTAKE);
    bencher.bench(|| yaml::read(black_box(&source)).unwrap().root.kind());
}

#[divan::bench]
fn b2_read_answers_from_tree(bencher: Bencher) {
    let rulebook = rulebook();
    let source = Source::new("intake", INTAKE);
    let document = yaml::read(&source).unwrap();
    bencher.bench(|| {
        answers::read(
            &rulebook.questionnaire,
            &source,
            &document.root,
            &Path::default(),
            &|| document.places(),
            TODAY,
        )
    });
}

#[divan::bench]
fn b3_read_intake_with_places_and_checks(bencher: Bencher) {
    let rulebook = rulebook();
    bencher.bench(|| {
        Intake::read(
            &rulebook.questionnaire,
            &rulebook.vocabulary,
            Source::new("intake", INTAKE),
            TODAY,
        )
        .unwrap()
    });
}

fn facts_of(rulebook: &Rulebook, answers: &Answers) -> Facts {
    Facts::of(
        &rulebook.questionnaire,
        &rulebook.vocabulary,
        answers,
        TODAY,
    )
}

#[divan::bench]
fn c_facts(bencher: Bencher) {
    let rulebook = rulebook();
    let intake = intake(&rulebook);
    bencher.bench(|| facts_of(&rulebook, black_box(&intake.answers)));
}

#[divan::bench]
fn d1_verdict_without_trace(bencher: Bencher) {
    let rulebook = rulebook();
    let facts = facts_of(&rulebook, &intake(&rulebook).answers);
    bencher.bench(|| verdict(&rulebook, &Truths::of(&rulebook, black_box(&facts))));
}

#[divan::bench]
fn d2_decision_with_trace_and_gaps(bencher: Bencher) {
    let rulebook = rulebook();
    let intake = intake(&rulebook);
    bencher.bench(|| decide(&rulebook, black_box(&intake.answers), TODAY));
}

#[divan::bench]
fn d3_decision_of_a_blank_form(bencher: Bencher) {
    let rulebook = rulebook();
    let answers = Answers::blank(&rulebook.questionnaire);
    bencher.bench(|| decide(&rulebook, black_box(&answers), TODAY));
}

#[divan::bench]
fn e_plan(bencher: Bencher) {
    let rulebook = rulebook();
    let intake = intake(&rulebook);
    let decision = decide(&rulebook, &intake.answers, TODAY);
    bencher.bench(|| Plan::of(&rulebook, &intake, black_box(&decision), Options::default()));
}

#[divan::bench]
fn f1_render_markdown(bencher: Bencher) {
    let rulebook = rulebook();
    let intake = intake(&rulebook);
    let decision = decide(&rulebook, &intake.answers, TODAY);
    let plan = Plan::of(&rulebook, &intake, &decision, Options::default());
    bencher.bench(|| {
        Paper::household(&Engine::embedded(), black_box(&plan))
            .unwrap()
            .markdown()
    });
}

#[divan::bench]
fn f2_render_html(bencher: Bencher) {
    let rulebook = rulebook();
    let intake = intake(&rulebook);
    let decision = decide(&rulebook, &intake.answers, TODAY);
    let plan = Plan::of(&rulebook, &intake, &decision, Options::default());
    let engine = Engine::embedded();
    let paper = Paper::household(&engine, &plan).unwrap();
    bencher.bench(|| paper.html(&engine, black_box(&plan)).unwrap());
}

#[divan::bench]
fn d4_brief_without_asks(bencher: Bencher) {
    let rulebook = rulebook();
    let answers = intake(&rulebook).answers;
    let briefing = perchside::decision::brief::Briefing::of(&rulebook, TODAY);
    bencher.bench(|| briefing.verdict(&briefing.facts(black_box(&answers))));
}

#[divan::bench]
fn d5_brief_with_asks(bencher: Bencher) {
    let rulebook = rulebook();
    let answers = intake(&rulebook).answers;
    let briefing = perchside::decision::brief::Briefing::of(&rulebook, TODAY);
    bencher.bench_local(|| {
        let mut facts = briefing.facts(&answers);
        briefing.decide(black_box(&answers), &mut facts, &|_, _| 0)
    });
}

#[divan::bench]
fn d6_brief_of_a_blank_form(bencher: Bencher) {
    let rulebook = rulebook();
    let answers = Answers::blank(&rulebook.questionnaire);
    let briefing = perchside::decision::brief::Briefing::of(&rulebook, TODAY);
    bencher.bench_local(|| {
        let mut facts = briefing.facts(&answers);
        briefing.decide(black_box(&answers), &mut facts, &|_, _| 0)
    });
}

#[divan::bench]
fn b0_bare_yaml_into_types(bencher: Bencher) {
    bencher.bench(|| serde_yaml::from_str::<bare::Form>(black_box(INTAKE)).unwrap());
}

/// A practice with a break at noon, and messages from all of the last year.
fn practice() -> (Hours, Vec<Timestamp>) {
    let library = Library::embedded();
    let source = Source::new("practice", PRACTICE);
    let hours = Practice::read(&source, &library).unwrap().open.unwrap();
    let now: Timestamp = "2026-11-25T10:00Z".parse().unwrap();
    let came = (0..1000)
        .map(|at| {
            now.checked_sub(SignedDuration::from_mins(at * 523))
                .unwrap()
        })
        .collect();
    (hours, came)
}

const LEVELS: [Within; 5] = [
    Within::Now,
    Within::working_hours(4),
    Within::WorkingDays(1),
    Within::WorkingDays(3),
    Within::WorkingDays(5),
];

/// A thousand messages, so that a figure in microseconds is one in nanoseconds for each.
fn due(bencher: Bencher, hours: &Hours, came: &[Timestamp], within: Within) {
    bencher.bench(|| {
        for came in came {
            black_box(hours.due(black_box(*came), within));
        }
    });
}

#[divan::bench]
fn g1_days_around_now(bencher: Bencher) {
    let (hours, came) = practice();
    bencher.bench(|| hours.clone().near(came[0]));
}

#[divan::bench]
fn g2_a_thousand_due_in_4_working_hours(bencher: Bencher) {
    let (hours, came) = practice();
    due(bencher, &hours.near(came[0]), &came, LEVELS[1]);
}

#[divan::bench]
fn g3_a_thousand_due_in_5_working_days(bencher: Bencher) {
    let (hours, came) = practice();
    due(bencher, &hours.near(came[0]), &came, LEVELS[4]);
}

#[divan::bench]
fn g4_a_thousand_due_by_the_whole_table(bencher: Bencher) {
    let (hours, came) = practice();
    let hours = hours.near(came[0]);
    bencher.bench(|| {
        for came in &came {
            black_box(hours.due_by(black_box(*came), &LEVELS, 1));
        }
    });
}

#[divan::bench]
fn g5_a_thousand_due_far_from_the_days_worked_out(bencher: Bencher) {
    let (hours, came) = practice();
    due(bencher, &hours, &came, LEVELS[4]);
}
