//! When a message came: a day, or a day and a time as people and web forms write it. Rules speak of the day alone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use jiff::civil::date;
use perchside::answers::{Given, flow};
use perchside::dates::PartialDate;
use perchside::facts::Facts;
use perchside::intake::Intake;
use perchside::papers::schema;
use perchside::questionnaire::Kind;
use perchside::redact::Redactor;
use perchside::source::Source;
use support::{TODAY, decided, intake, rulebook};

fn received(text: &str) -> Intake {
    intake(&format!("case:\n  received: {text}\n"))
}

fn told(intake: &Intake) -> PartialDate {
    let (group, question) = rulebook().questionnaire.find("case.received").unwrap();
    match intake.answers.given(group, None, question) {
        Some(Given::Date(date)) => *date,
        other => panic!("{other:?}"),
    }
}

fn mistakes(yaml: &str) -> Vec<&'static str> {
    let (questionnaire, vocabulary) = (&rulebook().questionnaire, &rulebook().vocabulary);
    match Intake::read(questionnaire, vocabulary, Source::new("test", yaml), TODAY) {
        Ok((_, problems)) | Err(problems) => problems.iter().map(|it| it.mistake.name()).collect(),
    }
}

const WRITTEN: [(&str, &str); 9] = [
    ("2026-11-24", "2026-11-24"),
    ("2026-11", "2026-11"),
    ("2026-11-24 16:30", "2026-11-24T16:30"),
    ("2026-11-24 16.30", "2026-11-24T16:30"),
    ("2026-11-24, 4:30 pm", "2026-11-24T16:30"),
    ("2026-11-24T16:30:05", "2026-11-24T16:30:05"),
    ("2026-11-24T16:30:05Z", "2026-11-24T16:30:05Z"),
    (
        "2026-11-24T16:30:05.250+01:00",
        "2026-11-24T16:30:05.25+01:00",
    ),
    ("\"2026-11-24 16:30 -0330\"", "2026-11-24T16:30-03:30"),
];

#[test]
fn a_form_written_back_keeps_the_time_and_the_offset() {
    for (text, written) in WRITTEN {
        let intake = received(text);
        let form = flow(&rulebook().questionnaire, &intake.answers);
        assert_eq!(form, format!("{{case: {{received: {written}}}}}"));
        assert_eq!(support::intake(&form).answers, intake.answers, "{text}");
    }
}

#[test]
fn a_time_of_day_changes_no_fact_and_no_decision() {
    let facts = |text: &str| {
        let (questionnaire, vocabulary) = (&rulebook().questionnaire, &rulebook().vocabulary);
        Facts::of(questionnaire, vocabulary, &received(text).answers, TODAY)
    };
    let verdict = |text: &str| decided(&format!("case:\n  received: {text}\n")).1.verdict;
    for (text, _) in WRITTEN.iter().filter(|(text, _)| text.len() > 10) {
        assert_eq!(facts(text).groups, facts("2026-11-24").groups, "{text}");
        assert_eq!(verdict(text), verdict("2026-11-24"), "{text}");
    }
    // Tomorrow by a clock further east is today.
    assert_eq!(
        facts("2026-11-26T02:00+13:00").groups,
        facts("2026-11-25").groups
    );
}

#[test]
fn only_a_clock_elsewhere_can_be_a_day_ahead() {
    let at = |text: &str| mistakes(&format!("case:\n  received: {text}\n"));
    assert!(at("2026-11-26T02:00+13:00").is_empty());
    assert!(at("2026-11-25 23:59").is_empty());
    assert_eq!(at("2026-11-26"), ["date-ahead"]);
    assert_eq!(at("2026-11-26 00:01"), ["date-ahead"]);
    assert_eq!(at("2026-11-27T14:00+13:00"), ["date-ahead"]);
}

#[test]
fn no_other_date_takes_a_time() {
    let mut others = 0;
    for group in &rulebook().questionnaire.groups {
        for question in &group.questions {
            if question.kind != Kind::Date || question.id == "received" {
                continue;
            }
            others += 1;
            let dash = if group.repeats.is_some() { "- " } else { "  " };
            let form = format!("{}:\n  {dash}{}: 2026-10-03 16:30\n", group.id, question.id);
            assert!(mistakes(&form).contains(&"not-a-date"), "{form}");
        }
    }
    assert!(others >= 7, "{others}");
}

#[test]
fn the_schema_takes_what_the_program_takes() {
    let schema = jsonschema::validator_for(&schema::schema(&rulebook().questionnaire)).unwrap();
    let fits = |question: &str, text: &str| {
        schema.is_valid(&serde_json::json!({"case": {question: text}}))
    };
    for (text, written) in WRITTEN {
        let text = text.trim_matches('"');
        assert!(
            fits("received", text) && fits("received", written),
            "{text}"
        );
        let day = text.len() <= 10;
        assert_eq!(fits("deadline-date", text), day, "{text}");
    }
    for text in ["2026-11-24 noon", "2026-11 16:30", "16:30", "2026-11-24T"] {
        assert!(!fits("received", text), "{text}");
    }
}

#[test]
fn a_redacted_case_keeps_no_time_of_day() {
    let intake = received("2026-11-24T16:30:05+01:00");
    let questionnaire = &rulebook().questionnaire;
    let mut redactor = Redactor::of(questionnaire, &intake.answers, "key", "");
    let out = redactor.answers(questionnaire, &intake.answers);
    let (group, question) = questionnaire.find("case.received").unwrap();
    let Some(Given::Date(moved)) = out.given(group, None, question) else {
        panic!("no date");
    };
    assert_eq!(*moved, PartialDate::day(redactor.day(date(2026, 11, 24))));
    assert_eq!(moved.moment(), None);
}

#[test]
fn a_colleague_reads_the_time_as_well() {
    let tongue = &rulebook().tongue;
    let shown = |text: &str| tongue.date(&told(&received(text)));
    assert_eq!(
        shown("2026-11-24 4:30 pm"),
        "Tuesday, 24 November 2026, 16:30"
    );
    assert_eq!(
        shown("2026-11-24T16:30:05+01:00"),
        "Tuesday, 24 November 2026, 16:30:05+01:00"
    );
    assert_eq!(shown("2026-11-24"), "Tuesday, 24 November 2026");
}
