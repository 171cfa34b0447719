//! Adding to a log: nothing that stands in it is touched, two writers do not harm each other, and whoever is stopped at any
//! point leaves a whole log.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use perchside::lock::Lock;
use perchside::log::add::{Counts, added};
use perchside::log::{Household, Log, NEEDED};
use perchside::papers::engine::Engine;
use perchside::papers::{form, schema};
use perchside::source::Source;
use proptest::prelude::*;
use support::{TODAY, log_book};

fn read(text: &str) -> Log {
    let source = Source::new("log.yaml", text);
    match Log::read(
        &log_book().questionnaire,
        Household::default(),
        &source,
        TODAY,
    ) {
        Ok((log, _)) => log,
        Err(problems) => panic!("{}\n{text}", perchside::mistake::render(&problems, false)),
    }
}

fn typed(answers: &[(&str, &str)]) -> Vec<(String, String)> {
    answers
        .iter()
        .map(|(question, answer)| ((*question).to_owned(), (*answer).to_owned()))
        .collect()
}

fn day(date: &str) -> Vec<(String, String)> {
    typed(&[("date", date), ("incidents", "0"), ("threats", "1")])
}

fn add(text: &str, group: &str, answers: &[(String, String)]) -> Result<String, String> {
    added(
        &log_book().questionnaire,
        Household::default(),
        &Source::new("log.yaml", text),
        group,
        &answers.to_vec(),
        TODAY,
    )
    .map(|(text, _)| text)
    .map_err(|problems| perchside::mistake::render(&problems, false))
}

fn blank() -> String {
    form::blank_log(&Engine::embedded(), &log_book().questionnaire).unwrap()
}

/// The lines of one text, in their order, all stand in the other; but for those that hold a count, and the head of an empty list.
fn keeps_every_line(before: &str, after: &str) {
    let mut lines = after.lines();
    for line in before.lines() {
        let counted = line.contains("-counted:") || line.trim_end().ends_with(": []");
        if !counted {
            assert!(
                lines.any(|other| other == line),
                "`{line}` is gone or out of order:\n{after}"
            );
        }
    }
}

#[test]
fn a_blank_log_is_a_log_and_takes_its_first_entries() {
    let text = blank();
    assert!(read(&text).is_empty());
    let one = add(&text, "days", &day("2026-11-03")).unwrap();
    keeps_every_line(&text, &one);
    let two = add(&one, "days", &day("2026-11-04")).unwrap();
    keeps_every_line(&one, &two);
    let session = typed(&[
        ("date", "2026-11-04"),
        ("person", "adult-1"),
        ("start-step", "1"),
        ("top-step", "1"),
        ("best-calm-step", "1"),
        ("tries", "6"),
        ("calm", "6"),
        ("ambers", "0"),
        ("threats", "0"),
        ("red", "lunge, strike at bars"),
        (
            "what-changed",
            "said \"no\": twice # not a comment\nand: again",
        ),
    ]);
    let three = add(&two, "sessions", &session).unwrap();
    keeps_every_line(&two, &three);
    let log = read(&three);
    assert_eq!(
        Counts::of(&log),
        Counts {
            sessions: 1,
            days: 2,
            reds: 1
        }
    );
    assert!(three.contains("  sessions-counted: 1\n"));
    assert!(three.contains("  reds-counted: 1\n"));
}

/// The hints of a blank log hold a block that can be copied: without its `# ` it is an entry.
#[test]
fn the_hints_of_a_blank_log_can_be_copied() {
    for (group, answers) in [
        (
            "days",
            vec![("date", "2026-11-03"), ("incidents", "0"), ("threats", "0")],
        ),
        (
            "changes",
            vec![("date", "2026-11-03"), ("what", "plan begins")],
        ),
    ] {
        let text = blank();
        let part = text.split(&format!("\n{group}: []")).next().unwrap();
        let part = part.rsplit("# ====").next().unwrap();
        let copied: String = part
            .lines()
            .filter_map(|line| line.strip_prefix("# "))
            .filter(|line| line.starts_with("  - ") || line.starts_with("    "))
            .map(|line| {
                let key = line.trim().trim_start_matches("- ").trim_end_matches(':');
                let answer = answers.iter().find(|(question, _)| *question == key);
                format!("{line} {}\n", answer.map_or("", |(_, answer)| answer))
            })
            .collect();
        let log = read(&text.replace(&format!("{group}: []"), &format!("{group}:\n{copied}")));
        assert_eq!(log.days.len() + log.changes.len(), 1, "{copied}");
    }
}

#[test]
fn logs_that_people_type_take_entries_and_keep_their_ways() {
    let entry = "date: 2026-11-03\n    incidents: 0\n    threats: 2";
    for text in [
        // Comments after the last entry, between parts, and in odd places.
        format!(
            "# my log\ndays:   # the days\n  - {entry} # two hisses\n  # next week more\n\n# sessions come later\n"
        ),
        // No line end at the end.
        format!("days:\n  - {entry}"),
        // Windows line ends.
        format!("days:\n  - {entry}\n").replace('\n', "\r\n"),
        // Entries that are not indented, and a deep indent.
        "days:\n- date: 2026-11-03\n  incidents: 0\n  threats: 2\nchanges: []\n".to_owned(),
        "days:\n      - date: 2026-11-03\n        incidents: 0\n        threats: 2\nchanges:\n"
            .to_owned(),
        // Text that looks like a comment, like an entry and like a part.
        format!(
            "days:\n  - {entry}\n    note: |\n      # no comment\n      - date: yesterday\n      days:\n      # the end\n"
        ),
        format!("days:\n  - {entry}\n    note: >\n      first\n\n      # last\n\n# after\n"),
        // A part that is there and blank, and one that is not there at all.
        "days:\nsessions:\n".to_owned(),
        "days: ~ # none yet\n".to_owned(),
        "# nothing yet\nlog:\n  case: hc-041 # porch\n".to_owned(),
        // Flow blocks below each other.
        "days:\n  - {date: 2026-11-03, incidents: 0, threats: 2}\n".to_owned(),
        // A byte order mark.
        format!("\u{feff}days:\n  - {entry}\n"),
    ] {
        let before = read(&text);
        let after = add(&text, "days", &day("2026-11-04")).unwrap();
        keeps_every_line(
            text.trim_start_matches('\u{feff}'),
            &after.replace("days: # none yet", "days: ~ # none yet"),
        );
        let log = read(&after);
        assert_eq!(log.days.len(), before.days.len() + 1, "{after}");
        assert_eq!(log.days[..before.days.len()], before.days[..]);
        if text.contains("\r\n") {
            assert!(!after.replace("\r\n", "").contains('\n'), "{after:?}");
        }
        let again = add(&after, "days", &day("2026-11-05")).unwrap();
        keeps_every_line(&after, &again);
        assert_eq!(read(&again).days.len(), before.days.len() + 2);
    }
}

/// The bite of the evening, after the entry of the morning: a second block for the day, and both count.
#[test]
fn a_day_may_be_told_in_several_blocks() {
    let morning = add(&blank(), "days", &day("2026-11-03")).unwrap();
    let evening = typed(&[
        ("date", "2026-11-03"),
        ("incidents", "1"),
        ("threats", "0"),
        ("injury", "pressure"),
    ]);
    let both = add(&morning, "days", &evening).unwrap();
    keeps_every_line(&morning, &both);
    let log = read(&both);
    assert_eq!(
        log.days.iter().map(|it| it.incidents).collect::<Vec<_>>(),
        [0, 1]
    );
    assert_eq!((Counts::of(&log).days, Counts::of(&log).reds), (2, 1));
}

#[test]
fn an_entry_with_a_mistake_is_not_added() {
    let text = "days:\n  - date: 2026-11-03\n    incidents: 0\n    threats: 0\n";
    for (answers, says) in [
        (day("2026-12-03"), "date-ahead"),
        (day("November"), "not-a-date"),
        (typed(&[("date", "2026-11-04")]), "entry-incomplete"),
        (
            typed(&[("date", "2026-11-04"), ("incidents", "many")]),
            "not-a-number",
        ),
        (typed(&[("Date", "2026-11-04")]), "unknown-key"),
    ] {
        let refused = add(text, "days", &answers).unwrap_err();
        assert!(refused.contains(says), "{refused}");
    }
}

/// An entry that is taken out, and most of all one with a red sign, is never taken out in silence.
#[test]
fn an_entry_that_was_taken_out_is_missed() {
    let mut text = blank();
    for (date, red) in [
        ("2026-11-03", "none"),
        ("2026-11-04", "lunge"),
        ("2026-11-05", "none"),
    ] {
        let session = typed(&[
            ("date", date),
            ("person", "adult-1"),
            ("start-step", "2"),
            ("top-step", "2"),
            ("best-calm-step", "1"),
            ("tries", "6"),
            ("calm", "6"),
            ("ambers", "0"),
            ("threats", "0"),
            ("red", red),
        ]);
        text = add(&text, "sessions", &session).unwrap();
    }
    for gone in 0..3 {
        let entries: Vec<&str> = text.split("  - date: ").collect();
        let without: Vec<&str> = entries
            .iter()
            .enumerate()
            // The hints hold one such line as well.
            .filter(|(at, _)| *at != entries.len() - 3 + gone)
            .map(|(_, entry)| *entry)
            .collect();
        let source = Source::new("log.yaml", without.join("  - date: "));
        let problems = Log::read(
            &log_book().questionnaire,
            Household::default(),
            &source,
            TODAY,
        )
        .expect_err("an entry is gone");
        assert!(
            problems
                .iter()
                .any(|it| it.mistake.name() == "entry-missing")
        );
    }
    // Written over, it is missed as well.
    let source = Source::new("log.yaml", text.replace("[lunge]", "[none]"));
    assert!(
        Log::read(
            &log_book().questionnaire,
            Household::default(),
            &source,
            TODAY
        )
        .is_err()
    );
}

#[test]
fn every_question_the_program_reads_is_in_the_log() {
    for (name, kind) in NEEDED {
        let (group, question) = log_book().questionnaire.find(name).expect(name);
        let question = &log_book().questionnaire.groups[group].questions[question];
        assert_eq!(question.kind.word(), *kind, "{name}");
    }
}

#[test]
fn the_schema_of_the_log_is_sound() {
    let schema = schema::schema(&log_book().questionnaire);
    assert!(jsonschema::meta::is_valid(&schema));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Whatever a person typed between, above and below the entries stays where it was.
    #[test]
    fn nothing_that_was_typed_is_lost(
        entries in prop::collection::vec((1..28_u32, 0..3_u32, "[ -~]{0,20}", any::<bool>()), 0..6),
        indent in 0..6_usize,
        windows in any::<bool>(),
        end in prop::sample::select(vec!["", "\n", "\n\n# the end\n", "\nchanges: []\n"]),
    ) {
        let pad = " ".repeat(indent);
        let mut text = String::from("# above\ndays:\n");
        let mut seen = Vec::new();
        for (day, threats, note, comment) in entries {
            if seen.contains(&day) {
                continue;
            }
            seen.push(day);
            text.push_str(&format!("{pad}- date: 2026-10-{day:02}\n{pad}  incidents: 0\n{pad}  threats: {threats}\n"));
            text.push_str(&format!("{pad}  note: {}\n", serde_json::Value::from(note)));
            if comment {
                text.push_str(&format!("{pad}  # by hand\n\n"));
            }
        }
        text.push_str(end.trim_start_matches('\n'));
        if windows {
            text = text.replace('\n', "\r\n");
        }
        let before = read(&text);
        let after = add(&text, "days", &day("2026-11-04")).unwrap();
        keeps_every_line(&text, &after);
        let log = read(&after);
        prop_assert_eq!(log.days.len(), before.days.len() + 1);
        prop_assert_eq!(&log.days[..before.days.len()], &before.days[..]);
    }
}

fn spawn(log: &Path, date: &str) -> Child {
    Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(["log", "add"])
        .arg(log)
        .args(["day", "--today", "2026-11-25"])
        .args([&format!("date={date}"), "incidents=0", "threats=0"])
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn dates(from: u32, count: u32) -> Vec<String> {
    (from..from + count)
        .map(|n| format!("2026-{:02}-{:02}", 1 + n / 28, 1 + n % 28))
        .collect()
}

#[test]
fn several_writers_at_once_lose_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.yaml");
    std::fs::write(&log, blank()).unwrap();
    let writers: Vec<Child> = dates(0, 24).iter().map(|date| spawn(&log, date)).collect();
    for mut writer in writers {
        assert!(writer.wait().unwrap().success());
    }
    let text = std::fs::read_to_string(&log).unwrap();
    keeps_every_line(&blank(), &text);
    let read = read(&text);
    assert_eq!(read.days.len(), 24);
    assert!(text.contains("  days-counted: 24\n"));
}

/// A writer that is killed leaves the old log or the new one, whole, and the next one goes on.
#[test]
fn a_writer_that_is_killed_leaves_a_whole_log() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.yaml");
    std::fs::write(&log, blank()).unwrap();
    // How long one takes, so that the kills fall all over it.
    let start = std::time::Instant::now();
    assert!(spawn(&log, "2026-01-01").wait().unwrap().success());
    let whole = start.elapsed();
    let mut days = 1;
    let (mut killed, mut done) = (0, 0);
    for (at, date) in dates(1, 60).iter().enumerate() {
        let mut writer = spawn(&log, date);
        std::thread::sleep(whole.mul_f64(0.2 + at as f64 / 50.0));
        let _ = writer.kill();
        let ended = writer.wait().unwrap().success();
        let text = std::fs::read_to_string(&log).unwrap();
        keeps_every_line(&blank(), &text);
        let found = read(&text).days.len();
        assert!(found == days || found == days + 1, "{found} after {days}");
        assert!(!ended || found == days + 1);
        killed += u32::from(!ended);
        done += u32::from(ended);
        days = found;
    }
    assert!(killed > 0 && done > 0, "{killed} killed, {done} done");
    assert!(spawn(&log, "2026-11-20").wait().unwrap().success());
    assert_eq!(
        read(&std::fs::read_to_string(&log).unwrap()).days.len(),
        days + 1
    );
}

/// Half a new log that someone left behind is never taken for the log.
#[test]
fn what_a_killed_writer_left_behind_does_no_harm() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.yaml");
    std::fs::write(&log, blank()).unwrap();
    std::fs::write(folder.path().join(".log.yaml.new"), "days:\n  - date: 20").unwrap();
    std::fs::write(folder.path().join(".log.yaml.lock"), "").unwrap();
    assert!(spawn(&log, "2026-11-20").wait().unwrap().success());
    assert_eq!(read(&std::fs::read_to_string(&log).unwrap()).days.len(), 1);
    let mut names: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|it| it.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(names, [".log.yaml.lock", "log.yaml"]);
}

/// Who waits for the lock reads the log after the other has written it.
#[test]
fn a_writer_waits_for_the_one_before() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.yaml");
    std::fs::write(&log, blank()).unwrap();
    let lock = Lock::of(&log).unwrap();
    let mut other = spawn(&log, "2026-11-20");
    std::thread::sleep(Duration::from_millis(300));
    assert!(other.try_wait().unwrap().is_none(), "it did not wait");
    let text = add(
        &std::fs::read_to_string(&log).unwrap(),
        "days",
        &day("2026-11-19"),
    )
    .unwrap();
    lock.replace(&text).unwrap();
    drop(lock);
    assert!(other.wait().unwrap().success());
    assert_eq!(read(&std::fs::read_to_string(&log).unwrap()).days.len(), 2);
}
