//! Triage as a practice meets it: a mixed pile of messages, ranked alike however they lie and however many hands go through them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../examples/generate/mod.rs"]
#[allow(dead_code)]
mod generate;
mod support;

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

use generate::generator::{Generator, Order, Sort};
use generate::homes::Homes;
use perchside::answers::{Answers, Entry, Given, Part};
use perchside::dates::PartialDate;
use perchside::inbox::{Inbox, Input};
use perchside::questionnaire::Questionnaire;
use perchside::rulebook::Contact;
use perchside::triage::{Assessed, Board, Desk, Line};
use proptest::prelude::*;
use support::{Form, Random, TODAY, rulebook};

const NOW: &str = "2026-11-25T10:00";

fn perchside(args: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn rows(output: &Output) -> Vec<serde_json::Value> {
    String::from_utf8(output.stdout.clone())
        .unwrap()
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn homes() -> &'static Homes {
    static HOMES: OnceLock<Homes> = OnceLock::new();
    HOMES.get_or_init(|| Homes::of(Path::new(env!("CARGO_MANIFEST_DIR"))).unwrap())
}

/// Forms as JSON and as YAML: first messages and full ones, some of them broken.
fn forms(count: u64, broken: usize) -> Vec<(String, String)> {
    let order = Order {
        seed: 11,
        sort: Sort::Mixed,
        broken,
        day: TODAY,
    };
    let generator = Generator::new(rulebook(), homes(), order).unwrap();
    (0..count)
        .map(|at| {
            let json = generator.text(&mut generator.form(at), true, false);
            let yaml = generator.text(&mut generator.form(at), false, false);
            (json, yaml)
        })
        .collect()
}

/// A desk of a practice that has not told its hours, on the morning of the tests.
fn desk() -> Desk<'static> {
    desk_on(TODAY)
}

fn desk_on(day: jiff::civil::Date) -> Desk<'static> {
    let now = day.at(10, 0, 0, 0);
    Desk::at(
        rulebook(),
        None,
        &jiff::tz::TimeZone::UTC.to_zoned_datetime(now).unwrap(),
    )
}

fn board(texts: &[&str], threads: usize) -> Board {
    board_on(TODAY, texts, threads)
}

fn board_on(day: jiff::civil::Date, texts: &[&str], threads: usize) -> Board {
    let mut inbox = Inbox::new(
        &rulebook().questionnaire,
        texts
            .iter()
            .map(|text| {
                let reader = std::io::Cursor::new(text.as_bytes().to_vec());
                Input::Stream("pile".to_owned(), Box::new(BufReader::new(reader)))
            })
            .collect(),
        None,
        None,
    );
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .unwrap();
    desk_on(day).board(&pool, &mut inbox, |_| ())
}

/// What decides the order, and what is told, of each in the order of the list.
fn told(board: &Board) -> Vec<String> {
    let desk = desk();
    (0..board.lines.len())
        .map(|at| {
            let mut row = serde_json::to_value(desk.row_of(board, at)).unwrap();
            // Where it stands in the pile, and where others of its household stand, is the pile's matter.
            for key in ["place", "id", "same-household", "same-household-at"] {
                row.as_object_mut().unwrap().remove(key);
            }
            row.to_string()
        })
        .collect()
}

#[test]
fn the_order_of_the_pile_and_the_number_of_cores_change_nothing() {
    let forms = forms(200, 60);
    let mut lines: Vec<&str> = forms.iter().map(|(json, _)| json.as_str()).collect();
    let first = board(&[&lines.join("\n")], 1);
    assert!(first.by_hand.len() > 5 && first.lines.len() > 150);
    let wanted = told(&first);
    for (seed, threads) in [(1, 1), (2, 2), (3, 5)] {
        Random(seed).shuffle(&mut lines);
        let (one, other) = lines.split_at(70);
        let shuffled = board(&[&one.join("\n"), &other.join("\r\n")], threads);
        assert_eq!(told(&shuffled), wanted);
        assert_eq!(shuffled.by_hand.len(), first.by_hand.len());
        assert_eq!(shuffled.counts(), first.counts());
    }
}

#[test]
fn a_mixed_folder_is_ranked_alike_in_any_order_and_asks_for_a_person() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let forms = forms(170, 40);
    std::fs::create_dir_all(at("notes/older")).unwrap();
    for (number, (_, yaml)) in forms[..60].iter().enumerate() {
        let name = if number % 3 == 0 {
            format!("notes/older/{number}.yml")
        } else {
            format!("notes/{number}.yaml")
        };
        std::fs::write(at(&name), yaml).unwrap();
    }
    let many: Vec<&str> = forms[60..90]
        .iter()
        .map(|(_, yaml)| yaml.as_str())
        .collect();
    std::fs::write(at("many.yaml"), format!("---\n{}", many.join("\n---\n"))).unwrap();
    let lines: Vec<&str> = forms[90..160]
        .iter()
        .map(|(json, _)| json.as_str())
        .collect();
    std::fs::write(at("stream.jsonl"), lines.join("\n")).unwrap();
    let whole: Vec<&str> = forms[160..]
        .iter()
        .map(|(json, _)| json.as_str())
        .filter(|json| serde_json::from_str::<serde_json::Value>(json).is_ok())
        .collect();
    std::fs::write(at("whole.json"), format!("[\n{}\n]", whole.join(",\n"))).unwrap();
    std::fs::write(
        at("web.csv"),
        "case.reference,case.received,case.hurt-now,bird.species,bites,people.1.age,people.1.presence,note\n\
         web-1,2026-11-24 16:30,nobody,cockatiel,none,40 years,lives here,\n\
         web-2,2026-11-25T09:00:00Z,\"heavy bleeding, eye or face wound\",galah,,4 years,lives here,\n\
         web-3,yesterday,nobody,\"a \"\"green\"\" one\",,,,\n\
         web-4,2026-11-24,nobody,galah,,,,please hurry\n\
         web-5,2026-11-24,,,,,,\n",
    )
    .unwrap();
    std::fs::write(at("empty.yaml"), "").unwrap();
    std::fs::write(at("photo.jpg"), [0xff, 0xd8]).unwrap();

    let run = |args: &[&str]| {
        let mut all = vec!["triage", "--now", NOW, "--format", "jsonl"];
        all.extend(args);
        perchside(&all, folder.path())
    };
    let first = run(&["."]);
    assert_eq!(first.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&first.stderr).contains("photo.jpg"));
    let all = rows(&first);
    assert!(all.len() > 160, "{}", all.len());
    // What nobody could read comes first, and none of it is lost.
    let by_hand = all.iter().take_while(|row| row["by-hand"] == true).count();
    assert!(by_hand >= 4);
    assert!(
        all[by_hand..]
            .iter()
            .all(|row| row.get("by-hand").is_none())
    );
    for lost in ["./web.csv:4", "./web.csv:5", "./empty.yaml"] {
        assert!(
            all[..by_hand].iter().any(|row| row["place"] == lost),
            "{lost}"
        );
    }
    let hurt = all.iter().find(|row| row["reference"] == "web-2").unwrap();
    assert_eq!(hurt["contact"]["known"], "at once");
    assert_eq!(hurt["overdue"], true);

    for args in [
        vec![
            "web.csv",
            "whole.json",
            "stream.jsonl",
            "notes",
            "many.yaml",
            "empty.yaml",
        ],
        vec![
            "notes",
            "empty.yaml",
            "many.yaml",
            "stream.jsonl",
            "web.csv",
            "whole.json",
            "--threads",
            "1",
        ],
        vec![
            "whole.json",
            "notes/older",
            "many.yaml",
            "notes",
            "empty.yaml",
            "web.csv",
            "stream.jsonl",
            "--threads",
            "3",
        ],
    ] {
        let again = run(&args);
        assert_eq!(again.status.code(), Some(3));
        if args[1] == "notes/older" {
            // Named twice, it is there twice; and each is pointed out as the household of the other.
            assert!(rows(&again).len() > all.len());
            continue;
        }
        let plain = |rows: Vec<serde_json::Value>| -> Vec<String> {
            rows.iter()
                .map(|row| row.to_string().replace("./", ""))
                .collect()
        };
        assert_eq!(plain(rows(&again)), plain(all.clone()));
    }
}

#[test]
fn no_case_that_an_expert_calls_urgent_lands_lower() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut urgent = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        let expected = text
            .lines()
            .find_map(|line| line.strip_prefix("  contact: "))
            .unwrap()
            .to_owned();
        let of = |word: &str| {
            let at = Contact::WORDS
                .iter()
                .position(|known| *known == word.trim());
            Contact::ALL[at.unwrap_or_else(|| panic!("{word}"))]
        };
        // An expert who gives two levels is content with either.
        let expected = expected.split(" to ").map(of).min().unwrap();
        if expected < Contact::SameDay {
            continue;
        }
        urgent += 1;
        let (_, rest) = text.split_once("\nintake:\n").unwrap();
        let (intake, _) = rest.split_once("\nexpect:\n").unwrap();
        let intake: String = intake
            .lines()
            .map(|line| format!("{}\n", line.strip_prefix("  ").unwrap_or(line)))
            .collect();
        let day = text.lines().find_map(|line| line.strip_prefix("today: "));
        let found = board_on(day.unwrap().parse().unwrap(), &[&intake], 1);
        assert_eq!(found.lines.len(), 1, "{intake}");
        let contact = found.lines[0].verdict.contact.until_answered;
        assert!(contact >= expected, "{expected} {contact}\n{intake}");
    }
    assert!(urgent >= 10, "{urgent}");
}

/// One form assessed alone.
fn line(answers: &Answers) -> Option<Line> {
    let yaml = perchside::answers::flow(&rulebook().questionnaire, answers);
    let mut board = board(&[&yaml], 1);
    board.lines.pop()
}

/// The rank without what only tells texts apart.
fn urgency(line: &Line) -> String {
    let rank = line.rank.to_string();
    rank[..rank.len() - 16].to_owned()
}

/// Each of these makes a case worse, whatever it was before.
fn worsenings(answers: &Answers) -> Vec<(&'static str, Answers)> {
    let questionnaire = &rulebook().questionnaire;
    let find = |name: &str| questionnaire.find(name).unwrap();
    let once = |name: &str, given: Given| {
        let (group, question) = find(name);
        let mut worse = answers.clone();
        if let Part::Once(values) = &mut worse.parts[group] {
            values[question] = given;
        }
        worse
    };
    let choice = |name: &str, word: &str| {
        let (group, question) = find(name);
        let at = questionnaire.groups[group].questions[question].choice(word);
        Given::Choice(u8::try_from(at.unwrap()).unwrap())
    };
    let mut all = vec![
        (
            "heavy bleeding",
            once("case.hurt-now", Given::Choices(0b111)),
        ),
        (
            "breathing effort",
            once("health.red-flags", Given::Choices(0b1011)),
        ),
        (
            "not shut away",
            once("housing.contained-now", Given::YesNo(false)),
        ),
        (
            "all at once",
            once("health.onset", choice("health.onset", "sudden")),
        ),
    ];
    let (group, question) = find("case.received");
    // Of a message with no day the reply is due now already.
    if matches!(answers.given(group, None, question), Some(Given::Date(_))) {
        all.push(("came earlier", once("case.received", date("1990-01-02"))));
    }
    let mut close = once("case.deadline", choice("case.deadline", "putting to sleep"));
    let (group, question) = find("case.deadline-date");
    if let Part::Once(values) = &mut close.parts[group] {
        values[question] = date("2026-11-25");
    }
    all.push(("put to sleep today", close));
    let added = |group: &str, told: &[(&str, Given)]| {
        let at = questionnaire.group(group).unwrap();
        let mut worse = answers.clone();
        let Part::Many(Some(entries)) = &mut worse.parts[at] else {
            return None;
        };
        let mut given = vec![Given::Blank; questionnaire.groups[at].questions.len()];
        for (question, answer) in told {
            given[find(&format!("{group}.{question}")).1] = answer.clone();
        }
        let index = entries.len();
        entries.push(Entry { index, given });
        Some(worse)
    };
    let bite = added(
        "bites",
        &[
            ("date", date("2026-11-25")),
            ("injury", choice("bites.injury", "lasting-harm")),
            ("body-part", choice("bites.body-part", "face")),
            ("pursuit", choice("bites.pursuit", "in flight")),
        ],
    );
    let child = added(
        "people",
        &[
            ("name", Given::Text("Newcomer".to_owned())),
            ("age", Given::Number(3.0)),
            ("presence", choice("people.presence", "lives here")),
            ("can-keep-away", Given::YesNo(false)),
        ],
    );
    all.extend(bite.map(|worse| ("a bite to the face today", worse)));
    all.extend(child.map(|worse| ("a child of three", worse)));
    all
}

fn date(text: &str) -> Given {
    Given::Date(PartialDate::read(text).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn a_worse_fact_never_lowers_a_rank(seed in any::<u64>()) {
        let questionnaire: &Questionnaire = &rulebook().questionnaire;
        let form = Form::random(questionnaire, seed).yaml();
        let answers = support::intake(&form).answers;
        let Some(before) = line(&answers) else { return Ok(()) };
        for (what, worse) in worsenings(&answers) {
            // A fact that contradicts the rest makes a form nobody can read, which goes to the top.
            if let Some(after) = line(&worse) {
                prop_assert!(urgency(&after) <= urgency(&before), "{what}\n{form}");
            }
        }
    }
}

#[test]
fn every_list_that_a_rule_hangs_on_can_be_asked_for() {
    let triage = &rulebook().triage;
    for (at, group) in rulebook().questionnaire.groups.iter().enumerate() {
        let hangs = rulebook().rules.iter().any(|rule| {
            let mut found = rule.then.is_guard() && group.repeats.is_some();
            let mut counted = false;
            rule.when.visit_groups(&mut |of| counted |= of == at);
            rule.when
                .visit(&mut |fact, _, _| counted |= fact.group == at);
            found &= counted;
            found
        });
        if hangs {
            let asked = triage
                .asks
                .iter()
                .any(|ask| ask.group == at && ask.question.is_none());
            assert!(asked, "{}", group.id);
        }
    }
}

#[test]
fn two_messages_of_one_household_are_pointed_out_and_never_merged() {
    let pile = "case: {reference: Elm-4, contact: 'elm@home.example'}\n---\n\
                case: {reference: elm 4}\n---\n\
                case: {contact: 'Write to ELM@home.example, please'}\n---\n\
                case: {reference: oak-1, contact: '+44 1632 960 123'}\n---\n\
                case: {contact: 01632-960123}\n---\n\
                case: {contact: any time}\n---\ncase: {contact: any time}\n";
    let board = board(&[pile], 2);
    assert_eq!(board.lines.len(), 7);
    let mut sizes: Vec<usize> = (0..7).map(|at| board.same_household(at).len()).collect();
    sizes.sort_unstable();
    assert_eq!(sizes, [0, 0, 1, 1, 2, 2, 2]);
    assert_eq!(board.counts().of_one_household, 5);
}

#[test]
fn other_papers_of_a_case_are_passed_over_and_counted() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut inbox = Inbox::new(
        &rulebook().questionnaire,
        vec![
            Input::Path(folder.join("examples/evening-conure")),
            Input::Path(folder.join("examples/logs/regression")),
        ],
        None,
        None,
    );
    let (mut lines, mut passed) = (0, Vec::new());
    for item in &mut inbox {
        match desk().assess(&item) {
            Assessed::Line(_) => lines += 1,
            Assessed::PassedOver(what) => passed.push(what),
            Assessed::ByHand(one) => panic!("{one:?}"),
        }
    }
    passed.sort();
    assert_eq!(
        (lines, passed),
        (1, vec!["a log".into(), "a plan".into(), "a review".into()])
    );
    assert!(!inbox.passed_over.is_empty());
}

#[test]
fn as_a_stage_of_a_pipe_it_keeps_the_order_and_its_parts_can_be_put_together() {
    let folder = tempfile::tempdir().unwrap();
    let forms = forms(150, 30);
    let lines: Vec<&str> = forms.iter().map(|(json, _)| json.as_str()).collect();
    std::fs::write(folder.path().join("all.jsonl"), lines.join("\n")).unwrap();
    std::fs::write(folder.path().join("a.jsonl"), lines[..40].join("\n")).unwrap();
    std::fs::write(folder.path().join("b.jsonl"), lines[40..].join("\n")).unwrap();
    let run = |file: &str, more: &[&str]| {
        let mut args = vec!["triage", file, "--now", NOW];
        args.extend(more);
        rows(&perchside(&args, folder.path()))
    };
    let stage = run("all.jsonl", &["--unranked"]);
    let place = |row: &serde_json::Value| -> usize {
        let place = row["place"].as_str().unwrap();
        place.rsplit(':').next().unwrap().parse().unwrap()
    };
    assert!(stage.iter().map(place).is_sorted());
    let rank = |row: &serde_json::Value| row["rank"].as_str().map(str::to_owned);
    let mut parts: Vec<_> = run("a.jsonl", &["--unranked"])
        .iter()
        .chain(&run("b.jsonl", &["--unranked"]))
        .filter_map(rank)
        .collect();
    parts.sort();
    let ranked: Vec<_> = run("all.jsonl", &["--format", "jsonl"])
        .iter()
        .filter_map(rank)
        .collect();
    assert_eq!(parts, ranked);
}

#[test]
fn a_line_of_a_stream_is_answered_before_the_next_one_comes() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(["triage", "--from", "jsonl", "--unranked", "--now", NOW])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut output = BufReader::new(child.stdout.take().unwrap());
    for number in 0..3 {
        writeln!(input, "{{\"case\": {{\"reference\": \"call-{number}\"}}}}").unwrap();
        input.flush().unwrap();
        let mut line = String::new();
        output.read_line(&mut line).unwrap();
        assert!(line.contains(&format!("call-{number}")), "{line}");
    }
    drop(input);
    child.wait().unwrap();
}

/// What stood in a file before a run that came to nothing.
const OLD: &str = "the list of yesterday\n";

#[test]
fn a_run_that_is_killed_leaves_the_old_list() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("list.jsonl");
    for unranked in [true, false] {
        std::fs::write(&out, OLD).unwrap();
        let mut command = Command::new(env!("CARGO_BIN_EXE_perchside"));
        command
            .args(["triage", "--from", "jsonl", "--now", NOW, "--out"])
            .arg(&out)
            .stdin(Stdio::piped());
        if unranked {
            command.arg("--unranked");
        }
        let mut child = command.spawn().unwrap();
        let mut input = child.stdin.take().unwrap();
        for (json, _) in forms(40, 0) {
            writeln!(input, "{json}").unwrap();
        }
        input.flush().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(150));
        child.kill().unwrap();
        child.wait().unwrap();
        assert_eq!(std::fs::read_to_string(&out).unwrap(), OLD);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_list_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let lines: Vec<String> = forms(200, 0).into_iter().map(|(json, _)| json).collect();
    std::fs::write(folder.path().join("in.jsonl"), lines.join("\n")).unwrap();
    std::fs::write(folder.path().join("list.jsonl"), OLD).unwrap();
    for more in ["", "--unranked"] {
        // Files may take 8 blocks of 512 bytes, and whoever writes more is told so.
        let script = format!(
            "trap '' XFSZ; ulimit -f 8; exec \"{}\" triage in.jsonl --now {NOW} --out list.jsonl {more}",
            env!("CARGO_BIN_EXE_perchside")
        );
        let output = Command::new("sh")
            .args(["-c", &script])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(1), "{output:?}");
        assert!(!output.stderr.is_empty());
        let left = std::fs::read_to_string(folder.path().join("list.jsonl")).unwrap();
        assert_eq!(left, OLD);
        let files: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
        assert_eq!(files.len(), 2, "nothing half-written is left: {files:?}");
    }
    let output = Command::new("sh")
        .args([
            "-c",
            &format!(
                "\"{}\" triage in.jsonl --now {NOW} --format jsonl > /dev/full",
                env!("CARGO_BIN_EXE_perchside")
            ),
        ])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1), "{output:?}");
}

#[test]
fn a_reader_who_stops_reading_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    let lines: Vec<String> = forms(400, 0).into_iter().map(|(json, _)| json).collect();
    std::fs::write(folder.path().join("in.jsonl"), lines.join("\n")).unwrap();
    for format in ["jsonl", "csv", "table", "html"] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_perchside"))
            .args(["triage", "in.jsonl", "--now", NOW, "--format", format])
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut first = String::new();
        let mut output = BufReader::new(child.stdout.take().unwrap());
        output.read_line(&mut first).unwrap();
        drop(output);
        let done = child.wait_with_output().unwrap();
        assert_eq!(done.status.code(), Some(0), "{format}");
        assert!(done.stderr.is_empty(), "{format}");
    }
}

/// The command of the README on the messages of `examples/inbox`, in another form.
fn example(args: &[&str]) -> String {
    let mut all = vec![
        "triage",
        "examples/inbox/weekend.yaml",
        "examples/inbox/line.jsonl",
        "examples/inbox/web-form.csv",
        "--columns",
        "examples/inbox/columns.yaml",
        "--practice",
        "examples/practice",
        "--now",
        NOW,
    ];
    all.extend(args);
    let output = perchside(&all, Path::new(env!("CARGO_MANIFEST_DIR")));
    String::from_utf8(output.stdout).unwrap()
}

// `UPDATE_EXAMPLES=1 cargo test --test triage` writes them anew.
#[test]
fn the_committed_list_and_reply_are_what_the_program_writes() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/inbox");
    for (name, args) in [
        ("list.md", vec!["--format", "md"]),
        ("list.txt", vec!["--width", "120"]),
        ("reply.md", vec!["--reply", "quay-31"]),
    ] {
        let written = example(&args);
        if std::env::var_os("UPDATE_EXAMPLES").is_some() {
            std::fs::write(folder.join(name), &written).unwrap();
        }
        let committed = std::fs::read_to_string(folder.join(name)).unwrap();
        assert!(
            committed == written,
            "{name} is not what the program writes"
        );
    }
}

#[test]
fn every_form_of_the_list_tells_the_same() {
    let rows: Vec<serde_json::Value> = example(&["--format", "jsonl"])
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let csv = example(&["--format", "csv"]);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let headers = reader.headers().unwrap().clone();
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(records.len(), rows.len());
    let (md, html, table) = (
        example(&["--format", "md"]),
        example(&["--format", "html"]),
        example(&["--width", "150"]),
    );
    for (record, row) in records.iter().zip(&rows) {
        let cell = |name: &str| record.get(headers.iter().position(|h| h == name).unwrap());
        let id = row["id"].as_str().unwrap();
        assert_eq!(cell("id"), Some(id));
        assert_eq!(
            cell("reply-by"),
            Some(row["reply-by"].as_str().unwrap_or_default())
        );
        let known = row["risk"]["known"].as_str().unwrap_or_default();
        assert_eq!(cell("risk-known"), Some(known));
        for (text, escaped) in [
            (&md, id.replace('-', "\\-")),
            (&html, id.replace('/', "&#x2f;")),
        ] {
            assert!(text.contains(id) || text.contains(&escaped), "{id}");
        }
        assert!(
            table
                .replace(['\n', ' '], "")
                .contains(&id.replace(' ', ""))
                || id.len() > 18,
            "{id}"
        );
    }
}

#[test]
fn no_line_of_a_table_is_wider_than_asked_and_no_text_of_a_message_steers_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("in.jsonl"),
        "{\"case\": {\"reference\": \"\\u001b[31mred\\u0007 \\u202eabc 鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥鳥\", \"received\": \"2026-11-24\"}}\n{\"cases\": 1}\n",
    )
    .unwrap();
    for width in ["30", "60", "80", "96", "120", "200"] {
        let output = perchside(
            &["triage", "in.jsonl", "--now", NOW, "--width", width],
            folder.path(),
        );
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}']));
        for line in text.lines() {
            assert!(
                textwrap::core::display_width(line) <= width.parse().unwrap(),
                "{line}"
            );
        }
    }
}

#[test]
fn what_a_spreadsheet_would_run_is_plain_text() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("in.jsonl"),
        "{\"case\": {\"reference\": \"=1+2\"}, \"bird\": {\"species\": \"@cmd|' /C calc'!A0\"}}\n",
    )
    .unwrap();
    let output = perchside(
        &["triage", "in.jsonl", "--now", NOW, "--format", "csv"],
        folder.path(),
    );
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("'=1+2") && text.contains("'@cmd"));
    assert!(!text.contains(",=1+2") && !text.contains(",@cmd"));
}

#[test]
fn a_reply_tells_what_to_ask_and_leaves_holding_advice() {
    let reply = example(&["--reply", "quay-31"]);
    for wanted in [
        "is anyone hurt right now",
        "## Do",
        "Nobody can promise",
        "OVERDUE",
    ] {
        let found = reply.to_lowercase().contains(&wanted.to_lowercase());
        assert!(found, "{wanted}\n{reply}");
    }
    // One that could only be read in part has its mistakes on top, and the rest is not lost.
    let broken = example(&["--reply", "line-502"]);
    assert!(broken.contains("Not all of this message could be read") && broken.contains("## Do"));
    // A place will do where there is no reference.
    let by_place = example(&["--reply", "examples/inbox/weekend.yaml:34"]);
    assert!(by_place.contains("giving the bird up"), "{by_place}");
}

#[test]
fn a_file_whose_name_tells_no_form_of_the_list_is_wrong_use() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("in.yaml"), "bites: []\n").unwrap();
    let run = |more: &[&str]| {
        let mut args = vec!["triage", "in.yaml", "--now", NOW];
        args.extend(more);
        perchside(&args, folder.path())
    };
    for name in ["list.pdf", "list.xlsx", "list.yaml"] {
        let output = run(&["--out", name]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        assert!(String::from_utf8_lossy(&output.stderr).contains("--format"));
        assert!(!folder.path().join(name).exists());
    }
    for (name, start) in [
        ("list.HTML", "<!doctype html>"),
        ("list.txt", "1 enquiry"),
        ("list", "1 enquiry"),
    ] {
        assert_eq!(run(&["--out", name]).status.code(), Some(3), "{name}");
        let written = std::fs::read_to_string(folder.path().join(name)).unwrap();
        assert!(written.starts_with(start), "{name}");
    }
    assert_eq!(
        run(&["--out", "list.pdf", "--format", "md"]).status.code(),
        Some(3)
    );
}

#[test]
fn a_table_with_other_headers_says_what_to_do_about_them() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("in.csv"),
        "When,Bird\n2026-11-24,galah\n",
    )
    .unwrap();
    let output = perchside(&["triage", "in.csv", "--now", NOW], folder.path());
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("--columns"), "{said}");
}
