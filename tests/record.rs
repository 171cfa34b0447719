//! Who read which plan, and whether it is still that plan: the record beside an intake, signing, and `verify`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use jiff::ZonedDateTime;
use perchside::house::House;
use perchside::library::{Care, Library};
use perchside::plan::{Options, Plan};
use perchside::record::verify::{self, Report};
use perchside::record::{
    self, Added, Chain, Entry, Issue, IssuedPaper, Kind, Moment, Part, Read, Seal, Signed,
    Standing, Who,
};
use perchside::wording::Team;
use proptest::prelude::*;
use support::{TODAY, decided, rulebook};

const DAY: &str = "2026-11-25";

/// A household of one adult and a bird that bruised.
const CASE: &str = "\
case: {received: 2026-11-20}
bird: {name: Olive, weight: 300 g, flight: flies}
bites:
  - {date: 2026-10-30, person: adult-1, injury: bruise, body-part: finger}
people:
  - {name: adult-1, age: 41 years, presence: lives here}
animals: []
";

fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn now() -> ZonedDateTime {
    "2026-11-25T10:00:00+00:00[UTC]".parse().unwrap()
}

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_perchside"))
        .args(args)
        .args(["--today", DAY])
        .current_dir(folder)
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn done(folder: &Path, args: &[&str]) -> Output {
    let output = run(folder, args);
    assert_eq!(output.status.code(), Some(0), "{args:?}\n{}", err(&output));
    output
}

fn refused(folder: &Path, args: &[&str]) -> String {
    let output = run(folder, args);
    assert_eq!(output.status.code(), Some(1), "{args:?}\n{}", err(&output));
    err(&output)
}

fn case() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("intake.yaml"), CASE).unwrap();
    folder
}

fn copy_all(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let to = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy_all(&path, &to);
        } else {
            std::fs::copy(&path, &to).unwrap();
        }
    }
}

fn kinds(report: &Report) -> Vec<&str> {
    report.findings.iter().map(|it| it.kind.as_str()).collect()
}

fn read(intake: &Path) -> Read<'_> {
    Read {
        intake,
        log: None,
        rules: None,
        practice: None,
        today: TODAY,
    }
}

fn lines(record: &Path) -> Vec<String> {
    let text = std::fs::read_to_string(record).unwrap();
    text.split_inclusive('\n').map(str::to_owned).collect()
}

/// A case, signed, with one set of papers; made once.
fn signed_case() -> &'static Path {
    static CASE: OnceLock<tempfile::TempDir> = OnceLock::new();
    CASE.get_or_init(|| {
        let folder = case();
        let sign = [
            "sign",
            "intake.yaml",
            "--by",
            "R. Vale",
            "--second",
            "T. Moss",
        ];
        done(folder.path(), &sign);
        done(folder.path(), &["plan", "intake.yaml", "--out", "plan"]);
        folder
    })
    .path()
}

/// The same in a folder of its own, to be spoilt.
fn copy_of_signed_case() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy_all(signed_case(), folder.path());
    folder
}

/// Every paper of a case.
fn papers(folder: &Path) -> Vec<PathBuf> {
    let mut found = vec![folder.join("plan/index.html")];
    for copy in ["household", "professional"] {
        let entries = std::fs::read_dir(folder.join("plan").join(copy)).unwrap();
        found.extend(entries.map(|entry| entry.unwrap().path()));
    }
    found.sort();
    found
}

// The record as a file

fn three_entries() -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("intake.record.jsonl");
    let now = now();
    let moment = Moment {
        now: &now,
        today: TODAY,
    };
    let signed = Signed {
        who: Who {
            by: "R. Vale",
            second: Some("T. Moss"),
        },
        covers: seal(CASE),
    };
    let Added::New(signature) = record::sign(&record, moment, signed).unwrap().unwrap() else {
        panic!("nothing was added");
    };
    let issue = Issue {
        language: "en".to_owned(),
        names: false,
        private: false,
        large_print: false,
        papers: vec![IssuedPaper::of(
            "household/household.md",
            "# Household plan",
        )],
    };
    record::issue(&record, moment, &signature, issue)
        .unwrap()
        .unwrap();
    record::note(
        &record,
        moment,
        &Team::default(),
        "T. Moss",
        "The “door”\nwas moved",
    )
    .unwrap()
    .unwrap();
    std::fs::read(&record).unwrap()
}

fn seal(yaml: &str) -> Seal {
    let house = House::open(Library::embedded(), None, Care::Trusted, TODAY).unwrap();
    let (intake, decision) = decided(yaml);
    Seal::of(&house, rulebook(), &intake, (&decision, None))
}

#[test]
fn a_record_is_read_as_it_was_written() {
    let bytes = three_entries();
    let chain = Chain::of_bytes("record", &bytes).unwrap();
    let kinds: Vec<Kind> = chain.entries.iter().map(|it| it.kind).collect();
    assert_eq!(kinds, [Kind::Signed, Kind::Issued, Kind::Note]);
    assert_eq!(chain.entries[0].previous, record::FIRST);
    assert_eq!(chain.entries[2].previous, chain.entries[1].hash);
    assert_eq!(chain.entries[0].covers, Some(seal(CASE)));
    assert_eq!(chain.entries[0].at, "2026-11-25T10:00:00+00:00");
    assert!(Chain::of_bytes("record", b"").unwrap().entries.is_empty());
}

/// Hashes are those of any tool that makes SHA-256 of a line without its last key.
#[test]
fn a_hash_is_that_of_the_bytes_before_it() {
    let bytes = three_entries();
    let text = String::from_utf8(bytes).unwrap();
    for line in text.lines() {
        let (body, hash) = line.rsplit_once(",\"hash\":\"").unwrap();
        let hash = hash.strip_suffix("\"}").unwrap();
        assert_eq!(perchside::fingerprint::of(body.as_bytes()), hash);
    }
}

/// Every bit of every byte.
#[test]
fn no_byte_of_a_record_can_be_changed_unseen() {
    let bytes = three_entries();
    for at in 0..bytes.len() {
        for bit in 0..8 {
            let mut changed = bytes.clone();
            changed[at] ^= 1 << bit;
            assert!(
                Chain::of_bytes("record", &changed).is_err(),
                "byte {at}, bit {bit}"
            );
        }
    }
}

/// A byte taken out or put in anywhere, but for a whole line at the end.
#[test]
fn no_byte_of_a_record_can_be_taken_out_or_put_in_unseen() {
    let bytes = three_entries();
    for at in 0..bytes.len() {
        let mut shorter = bytes.clone();
        shorter.remove(at);
        assert!(Chain::of_bytes("record", &shorter).is_err(), "byte {at}");
        for added in [b' ', b'\n', b'0', b'"'] {
            let mut longer = bytes.clone();
            longer.insert(at, added);
            assert!(Chain::of_bytes("record", &longer).is_err(), "byte {at}");
        }
    }
}

#[test]
fn an_entry_that_is_taken_out_moved_or_doubled_is_named() {
    let text = String::from_utf8(three_entries()).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    for (order, first_wrong) in [
        (vec![1, 2], 1),
        (vec![0, 2], 2),
        (vec![1, 0, 2], 1),
        (vec![0, 2, 1], 2),
        (vec![0, 0, 1, 2], 2),
        (vec![0, 1, 2, 2], 4),
    ] {
        let text: String = order.iter().map(|at| lines[*at]).collect();
        let broken = Chain::of_bytes("record", text.as_bytes()).unwrap_err();
        assert_eq!(broken.problems[0].place.line, first_wrong, "{order:?}");
        assert_eq!(broken.sound.len(), first_wrong - 1, "{order:?}");
    }
}

/// What a chain of hashes cannot show, as the README says: entries cut off its end, with nothing at hand that quotes them.
#[test]
fn entries_cut_off_the_end_leave_a_record_that_is_sound_in_itself() {
    let text = String::from_utf8(three_entries()).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let shorter = Chain::of_bytes("record", lines[..2].concat().as_bytes()).unwrap();
    assert_eq!(shorter.entries.len(), 2);
}

#[test]
fn a_broken_record_takes_no_new_entry_and_stays_as_it_is() {
    let folder = copy_of_signed_case();
    let record = folder.path().join("intake.record.jsonl");
    let text = std::fs::read_to_string(&record).unwrap();
    std::fs::write(&record, text.replace("T. Moss", "T. Mess")).unwrap();
    let before = std::fs::read(&record).unwrap();
    for args in [
        &["sign", "intake.yaml", "--by", "N. Elm"][..],
        &["sign", "intake.yaml", "--by", "N. Elm", "--note", "Late"],
        &[
            "sign",
            "intake.yaml",
            "--by",
            "N. Elm",
            "--withdraw",
            "--why",
            "Moved",
        ],
    ] {
        let said = refused(folder.path(), args);
        assert!(
            said.contains("error[record-entry-changed]: entry 1"),
            "{said}"
        );
    }
    assert_eq!(std::fs::read(&record).unwrap(), before);
    let output = done(folder.path(), &["plan", "intake.yaml"]);
    assert!(err(&output).contains("record-entry-changed"));
    assert!(out(&output).contains("**DRAFT."));
    assert!(out(&output).contains("the record was changed"));
    assert_eq!(std::fs::read(&record).unwrap(), before);
}

#[test]
fn many_who_write_at_once_leave_one_sound_chain() {
    let folder = case();
    let children: Vec<_> = (0..12)
        .map(|at| {
            Command::new(env!("CARGO_BIN_EXE_perchside"))
                .args(["sign", "intake.yaml", "--by", "R. Vale", "--note"])
                .arg(format!("Note {at}"))
                .current_dir(folder.path())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    let chain = Chain::read(&folder.path().join("intake.record.jsonl"))
        .unwrap()
        .unwrap();
    let notes: BTreeSet<_> = chain.entries.iter().map(|it| it.why.clone()).collect();
    assert_eq!((chain.entries.len(), notes.len()), (12, 12));
}

// Signing

#[test]
fn a_signed_plan_is_no_draft_and_quotes_its_entry() {
    let folder = signed_case();
    let chain = Chain::read(&folder.join("intake.record.jsonl"))
        .unwrap()
        .unwrap();
    let quote = format!("1:{}", chain.entries[0].short_hash());
    let household = std::fs::read_to_string(folder.join("plan/household/household.md")).unwrap();
    let row = format!(
        "| Signed by | R. Vale, Wednesday, 25 November 2026; second reader T. Moss; entry {quote} of the record |"
    );
    assert!(household.contains(&row), "{household}");
    for path in papers(folder) {
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(!text.contains("DRAFT"), "{}", path.display());
        let page = path.extension().is_some_and(|end| end == "html");
        let without = ["index.html", "door-sign.html"];
        let name = path.file_name().unwrap().to_string_lossy();
        if page && !without.contains(&name.as_ref()) {
            assert!(text.contains(&quote), "{}", path.display());
        }
    }
    let plan = std::fs::read_to_string(folder.join("plan/professional/plan.json")).unwrap();
    let plan: serde_json::Value = serde_json::from_str(&plan).unwrap();
    assert_eq!(plan["draft"], false);
    assert_eq!(plan["record"]["signed"][0]["by"], "R. Vale");
}

#[test]
fn the_foot_speaks_spanish() {
    let folder = copy_of_signed_case();
    let args = ["plan", "intake.yaml", "--language", "spanish"];
    let text = out(&done(folder.path(), &args));
    assert!(
        text.contains("; segunda lectura: T. Moss; anotación 1:"),
        "{text}"
    );
    std::fs::write(folder.path().join("intake.yaml"), format!("{CASE}# seen\n")).unwrap();
    let text = out(&done(folder.path(), &args));
    assert!(
        text.contains("Ha cambiado desde entonces: el formulario."),
        "{text}"
    );
    assert!(text.contains("BORRADOR"));
}

#[test]
fn signing_the_same_again_adds_nothing() {
    let folder = copy_of_signed_case();
    let record = folder.path().join("intake.record.jsonl");
    let before = std::fs::read(&record).unwrap();
    let args = [
        "sign",
        "intake.yaml",
        "--by",
        "r vale",
        "--second",
        "T. MOSS",
    ];
    let output = done(folder.path(), &args);
    assert!(err(&output).contains("signed already"));
    assert_eq!(std::fs::read(&record).unwrap(), before);
    // Someone else who signs the same is someone else.
    done(folder.path(), &["sign", "intake.yaml", "--by", "R. Vale"]);
    assert_eq!(lines(&record).len(), 3);
}

#[test]
fn the_same_papers_are_entered_once_under_one_signature() {
    let folder = copy_of_signed_case();
    let record = folder.path().join("intake.record.jsonl");
    done(folder.path(), &["plan", "intake.yaml", "--out", "plan"]);
    assert_eq!(lines(&record).len(), 2);
    done(
        folder.path(),
        &["plan", "intake.yaml", "--out", "plan", "--names"],
    );
    let all = lines(&record);
    assert_eq!(all.len(), 3);
    assert!(all[2].contains("\"names\":true"));
    // The paper on the screen counts too.
    let text = out(&done(
        folder.path(),
        &["plan", "intake.yaml", "--paper", "stop-card"],
    ));
    let entry: Entry = serde_json::from_str(&lines(&record)[3]).unwrap();
    assert_eq!(
        entry.issue.unwrap().papers,
        [IssuedPaper::of("household/stop-card.md", &text)]
    );
}

#[test]
fn an_unsigned_case_gets_no_record() {
    let folder = case();
    done(folder.path(), &["plan", "intake.yaml", "--out", "plan"]);
    let mut names: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|it| it.unwrap().file_name())
        .collect();
    names.sort();
    assert_eq!(names, ["intake.yaml", "plan"]);
}

#[test]
fn a_case_without_names_is_never_signed() {
    let folder = copy_of_signed_case();
    let record = folder.path().join("intake.record.jsonl");
    let output = done(folder.path(), &["plan", "intake.yaml", "--redact"]);
    assert!(out(&output).contains("**DRAFT."));
    assert!(!out(&output).contains("Vale"));
    assert_eq!(lines(&record).len(), 2);
}

#[test]
fn a_signature_that_is_taken_back_makes_a_draft_again_and_stays_in_the_record() {
    let folder = copy_of_signed_case();
    let record = folder.path().join("intake.record.jsonl");
    let withdraw = [
        "sign",
        "intake.yaml",
        "--withdraw",
        "--by",
        "T. Moss",
        "--why",
        "The door was moved",
    ];
    done(folder.path(), &withdraw);
    assert_eq!(
        lines(&record)[..2],
        lines(&signed_case().join("intake.record.jsonl"))
    );
    let output = done(folder.path(), &["plan", "intake.yaml"]);
    assert!(err(&output).contains("taken back"));
    assert!(out(&output).contains("**DRAFT."));
    let report = verify::case(read(&folder.path().join("intake.yaml")));
    assert_eq!(kinds(&report), ["signature-withdrawn"]);
    let report = verify::paper(&folder.path().join("plan/household/cards.md"), None);
    assert_eq!(kinds(&report), ["signature-withdrawn"]);
    assert!(refused(folder.path(), &withdraw).contains("nothing-to-withdraw"));
    // A new signature counts again.
    done(folder.path(), &["sign", "intake.yaml", "--by", "R. Vale"]);
    assert!(verify::case(read(&folder.path().join("intake.yaml"))).holds);
}

#[test]
fn what_is_wrong_with_form_and_people_is_told_in_one_run() {
    let folder = case();
    let intake = folder.path().join("intake.yaml");
    std::fs::write(&intake, CASE.replace("300 g", "300")).unwrap();
    let practice = repository().join("examples/practice");
    let practice = practice.to_str().unwrap();
    let args = [
        "sign",
        "intake.yaml",
        "--by",
        "R. Wale",
        "--practice",
        practice,
    ];
    let said = refused(folder.path(), &args);
    for name in ["unit-missing", "signer-not-in-team"] {
        assert!(said.contains(name), "{said}");
    }
    assert!(!folder.path().join("intake.record.jsonl").exists());
}

#[test]
fn the_team_of_the_example_practice_signs_by_its_levels() {
    let folder = case();
    let practice = repository().join("examples/practice");
    let practice = practice.to_str().unwrap();
    let sign = |by: &'static str, second: Option<&'static str>| {
        let mut args = vec!["sign", "intake.yaml", "--practice", practice, "--by", by];
        args.extend(second.iter().flat_map(|second| ["--second", second]));
        run(folder.path(), &args)
    };
    for (by, second, name) in [
        ("J. Reed", None, "signer-needs-second"),
        ("T. Moss", None, "signer-needs-second"),
        ("J. Reed", Some("T. Moss"), "signer-needs-second"),
        ("R. Vale", Some("J. Reed"), "second-reader-may-not"),
        ("R. Vale", Some("R. Vale"), "second-reader-is-first"),
    ] {
        let output = sign(by, second);
        assert_eq!(output.status.code(), Some(1), "{by}");
        assert!(err(&output).contains(name), "{}", err(&output));
    }
    let output = sign("J. Reed", Some("R. Vale"));
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
}

fn needed(yaml: &str) -> Vec<(String, bool)> {
    let team = Team {
        second_reader: ["severe", "child", "face", "departure"]
            .map(str::to_owned)
            .to_vec(),
        ..Team::default()
    };
    let (_, decision) = decided(yaml);
    let reasons = record::reasons(rulebook(), &team, &decision);
    reasons.into_iter().map(|it| (it.id, it.known)).collect()
}

/// Section 6 of the trade's handbook: a second reader for severe harm, a child, a face, a departure.
#[test]
fn a_second_reader_is_needed_where_the_trade_asks_for_one() {
    let has = |yaml: &str, id: &str| {
        let found = needed(yaml).into_iter().find(|(found, _)| found == id);
        found.map(|(_, known)| known)
    };
    let adult = "people: [{name: adult-1, age: 41 years, presence: lives here}]\n";
    let child = "people: [{name: Wren, age: 9 years, presence: lives here}]\n";
    let bite = |fields: &str| format!("bites: [{{{fields}}}]\n");
    let bitten = bite("person: Wren, injury: pressure, body-part: finger");
    assert_eq!(has(&format!("{child}{bitten}"), "child"), Some(true));
    let other = bite("person: adult-1, injury: broken-skin, body-part: finger");
    assert_eq!(has(&format!("{child}{other}"), "child"), Some(true));
    assert_eq!(has(&format!("{adult}{other}"), "child"), None);
    for (part, wanted) in [
        ("face", true),
        ("eye", true),
        ("ear or neck", true),
        ("finger", false),
    ] {
        let yaml = format!(
            "{adult}{}",
            bite(&format!(
                "person: adult-1, injury: bruise, body-part: {part}"
            ))
        );
        assert_eq!(has(&yaml, "face").is_some(), wanted, "{part}");
    }
    // Nobody said what bites there were: that counts, and is told as not known.
    assert_eq!(has(adult, "face"), Some(false));
    assert_eq!(has("bites: []\n", "face"), None);
    let kept_apart =
        "people: [{age: 7 years, can-keep-away: no}]\nbites: [{injury: broken-skin}]\n";
    assert_eq!(has(kept_apart, "severe"), Some(true));
    assert_eq!(
        needed(kept_apart)
            .iter()
            .filter(|(id, _)| id == "departure")
            .count(),
        0
    );
}

#[test]
fn a_departure_from_a_rule_that_speaks_needs_a_second_reader() {
    let folder = case();
    let practice = folder.path().join("practice");
    std::fs::create_dir_all(practice.join("departures")).unwrap();
    let about = "team: [{name: R. Vale, may: signs}, {name: T. Moss, may: signs}]\nsecond-reader: departure\n";
    std::fs::write(practice.join("practice.yaml"), about).unwrap();
    let depart = |rule: &str| {
        let text = format!(
            "id: ours\nrule: {rule}\nswitch-off: yes\nreason: We see each bird on the first day.\nby: R. Vale\ndate: 2026-11-01\nuntil: 2027-03-01\n"
        );
        std::fs::write(practice.join("departures/ours.yaml"), text).unwrap();
    };
    let sign = [
        "sign",
        "intake.yaml",
        "--by",
        "R. Vale",
        "--practice",
        "practice",
    ];
    // The case has no cat or dog: a departure from that rule does not touch it.
    depart("cat-or-dog-loose-with-bird");
    done(folder.path(), &sign);
    depart("one-person-targeted");
    let said = refused(folder.path(), &sign);
    assert!(
        said.contains("A departure from a rule touches this case"),
        "{said}"
    );
    done(
        folder.path(),
        &[&sign[..], &["--second", "T. Moss"]].concat(),
    );
}

#[test]
fn what_is_overruled_in_a_case_is_covered_by_its_signature_and_a_loosening_needs_a_second_reader() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    std::fs::write(dir.join("intake.yaml"), CASE).unwrap();
    std::fs::create_dir(dir.join("practice")).unwrap();
    std::fs::write(
        dir.join("practice/practice.yaml"),
        "name: Lantern Lane Parrots\nsecond-reader: [departure]\n",
    )
    .unwrap();
    let overrule = |what: &str| {
        let text = format!(
            "departures:\n  - {what}\n    reason: Seen on two visits.\n    by: R. Vale\n    date: 2026-11-20\n    until: 2026-12-20\n"
        );
        std::fs::write(dir.join("intake.case.yaml"), text).unwrap();
    };
    let sign = [
        "sign",
        "intake.yaml",
        "--by",
        "R. Vale",
        "--practice",
        "practice",
    ];
    // Tightening needs no one.
    overrule("risk: severe");
    done(dir, &sign);
    overrule("contact: routine");
    let said = refused(dir, &sign);
    assert!(
        said.contains("A departure from a rule touches this case"),
        "{said}"
    );
    done(dir, &[&sign[..], &["--second", "T. Moss"]].concat());
    let verify = ["verify", "intake.yaml", "--practice", "practice"];
    done(dir, &verify);
    // One byte of it.
    let path = dir.join("intake.case.yaml");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("two visits", "ten visits")).unwrap();
    let output = run(dir, &verify);
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(
        said.contains("case-file-changed") && !said.contains("intake-changed"),
        "{said}"
    );
    std::fs::remove_file(&path).unwrap();
    let said = String::from_utf8(run(dir, &verify).stdout).unwrap();
    assert!(said.contains("case-file-changed"), "{said}");
}

// Whether it is still that plan

#[test]
fn a_plan_drops_draft_only_while_everything_matches_and_says_what_changed() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    std::fs::write(dir.join("intake.yaml"), CASE).unwrap();
    copy_all(
        &repository().join("examples/practice"),
        &dir.join("practice"),
    );
    copy_all(&repository().join("rules"), &dir.join("rules"));
    let blank = out(&done(dir, &["log", "blank"]));
    std::fs::write(dir.join("log.yaml"), &blank).unwrap();
    let with = [
        "--practice",
        "practice",
        "--rules",
        "rules",
        "--log",
        "log.yaml",
    ];
    let all = |head: &[&'static str]| [head, &with[..]].concat();
    done(
        dir,
        &all(&[
            "sign",
            "intake.yaml",
            "--by",
            "R. Vale",
            "--second",
            "T. Moss",
        ]),
    );
    let output = done(dir, &all(&["plan", "intake.yaml"]));
    assert!(!out(&output).contains("DRAFT"), "{}", err(&output));
    done(dir, &all(&["verify", "intake.yaml"]));
    let spoil = |path: &str, from: &str, to: &str| {
        let path = dir.join(path);
        let before = std::fs::read_to_string(&path).unwrap();
        assert!(before.contains(from), "{from}");
        std::fs::write(&path, before.replacen(from, to, 1)).unwrap();
        (path, before)
    };
    for (path, from, to, kind, said) in [
        (
            "intake.yaml",
            "Olive",
            "Olivf",
            "intake-changed",
            "the intake changed",
        ),
        ("log.yaml", "# ", "# x", "log-changed", "the log changed"),
        (
            "rules/cautions.yaml",
            "# ",
            "#  ",
            "rulebook-changed",
            "the rulebook changed",
        ),
        (
            "practice/practice.yaml",
            "Call us",
            "Ring us",
            "practice-changed",
            "the practice's folder changed",
        ),
    ] {
        let (path, before) = spoil(path, from, to);
        let output = done(dir, &all(&["plan", "intake.yaml"]));
        assert!(out(&output).contains("**DRAFT."), "{kind}");
        assert!(err(&output).contains(said), "{}", err(&output));
        let output = run(dir, &all(&["verify", "intake.yaml", "--format", "json"]));
        assert_eq!(output.status.code(), Some(1));
        let report: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
        assert_eq!(report["findings"][0]["kind"], kind, "{report}");
        assert_eq!(report["findings"].as_array().unwrap().len(), 1, "{report}");
        std::fs::write(path, before).unwrap();
    }
    done(dir, &all(&["verify", "intake.yaml"]));
    // What was signed with and is not named now is told as that.
    let output = run(dir, &["verify", "intake.yaml"]);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text.contains("`--log LOG`") && text.contains("`--practice DIR`"),
        "{text}"
    );
}

/// The form, the rules and the program are the same, and the day alone changes what is decided: the bite of last week is no longer one
/// of the last month.
#[test]
fn a_change_that_comes_with_the_day_alone_is_seen() {
    let folder = case();
    let intake = folder.path().join("intake.yaml");
    let fresh = CASE
        .replace("2026-10-30", "2026-11-20")
        .replace("bruise", "broken-skin");
    std::fs::write(&intake, fresh).unwrap();
    done(folder.path(), &["sign", "intake.yaml", "--by", "R. Vale"]);
    let on = |today| {
        verify::case(Read {
            today,
            ..read(&intake)
        })
    };
    assert!(
        on(TODAY.tomorrow().unwrap()).holds,
        "one day more changes nothing here"
    );
    let report = on(jiff::civil::date(2027, 3, 25));
    assert_eq!(kinds(&report), ["outcomes-changed"]);
}

#[test]
fn another_version_of_the_program_is_named() {
    let mut covers = seal(CASE);
    let now = covers.clone();
    assert_eq!(covers.differs(&now), []);
    covers.program = "0.0.1".to_owned();
    assert_eq!(covers.differs(&now), [Part::Program]);
    // A name is no byte of a rulebook.
    covers.program.clone_from(&now.program);
    covers.rulebook.name = "another name".to_owned();
    assert_eq!(covers.differs(&now), []);
}

#[test]
fn only_the_newest_signature_counts() {
    let folder = copy_of_signed_case();
    let intake = folder.path().join("intake.yaml");
    std::fs::write(&intake, CASE.replace("Olive", "Oliva")).unwrap();
    done(folder.path(), &["sign", "intake.yaml", "--by", "R. Vale"]);
    std::fs::write(&intake, CASE).unwrap();
    let report = verify::case(read(&intake));
    assert_eq!(kinds(&report), ["intake-changed"]);
    // A paper of the earlier one is still what was issued, and it is said that a newer one stands.
    let report = verify::paper(&folder.path().join("plan/household/cards.md"), None);
    assert!(report.holds);
    assert_eq!(report.newer.unwrap().entry, 3);
}

#[test]
fn papers_that_were_begun_under_a_signature_that_is_gone_are_not_entered() {
    let folder = copy_of_signed_case();
    let path = folder.path().join("intake.record.jsonl");
    let signature = Chain::read(&path).unwrap().unwrap().entries[0].clone();
    let now = now();
    let moment = Moment {
        now: &now,
        today: TODAY,
    };
    record::withdraw(&path, moment, &Team::default(), "T. Moss", "Moved")
        .unwrap()
        .unwrap();
    let issue = Issue {
        language: "en".to_owned(),
        names: false,
        private: false,
        large_print: false,
        papers: Vec::new(),
    };
    let problems = record::issue(&path, moment, &signature, issue)
        .unwrap()
        .unwrap_err();
    assert_eq!(problems[0].mistake.name(), "record-moved-on");
}

#[test]
fn marks_on_a_plan_follow_the_record() {
    let (intake, decision) = decided(CASE);
    let plan = || Plan::of(rulebook(), &intake, &decision, Options::default());
    assert!(Standing::Unsigned.mark(plan()).draft);
    let broken = Standing::Broken(Vec::new()).mark(plan());
    assert!(broken.draft && broken.record.lapsed.is_some());
    let chain = Chain::of_bytes("record", &three_entries()).unwrap();
    let entry = chain.entries[0].clone();
    let holds = Standing::Holds(entry.clone()).mark(plan());
    assert!(!holds.draft && holds.record.lapsed.is_none());
    let changed = Standing::Changed(entry, vec![Part::Intake, Part::Rulebook]);
    assert!(
        changed
            .to_string()
            .contains("since then the intake and the rulebook changed"),
        "{changed}"
    );
    assert!(changed.mark(plan()).draft);
}

// Papers

#[test]
fn every_paper_of_a_signed_plan_is_known() {
    for path in papers(signed_case()) {
        let report = verify::paper(&path, None);
        assert!(report.holds, "{} {:?}", path.display(), kinds(&report));
        assert_eq!(report.signature.unwrap().by.as_deref(), Some("R. Vale"));
    }
    let paper = signed_case().join("plan/household/cards.html");
    let intake = signed_case().join("intake.yaml");
    assert!(verify::paper(&paper, Some(&intake)).holds);
}

#[test]
fn a_paper_is_known_by_its_bytes_under_any_name() {
    let folder = copy_of_signed_case();
    let moved = folder.path().join("plan/for-jo.html");
    std::fs::rename(folder.path().join("plan/household/cards.html"), &moved).unwrap();
    let report = verify::paper(&moved, None);
    assert!(report.holds);
    assert_eq!(report.paper.unwrap().paper.name, "household/cards.html");
}

#[test]
fn a_draft_is_no_paper_of_the_record() {
    let folder = copy_of_signed_case();
    let draft = case();
    let text = out(&done(
        draft.path(),
        &["plan", "intake.yaml", "--paper", "consultant"],
    ));
    let path = folder.path().join("draft-of-mine.md");
    std::fs::write(&path, text).unwrap();
    assert_eq!(kinds(&verify::paper(&path, None)), ["paper-unknown"]);
}

#[test]
fn a_record_that_was_shortened_is_told_by_a_paper_that_quotes_it() {
    let folder = copy_of_signed_case();
    let record = folder.path().join("intake.record.jsonl");
    let all = lines(&record);
    let html = folder.path().join("plan/household/cards.html");
    let svg = folder.path().join("plan/household/sign.svg");
    // The entry of the papers is gone: they are unknown, and the signature they quote still stands.
    std::fs::write(&record, &all[0]).unwrap();
    let report = verify::paper(&html, None);
    assert_eq!(kinds(&report), ["paper-unknown"]);
    assert_eq!(report.signature.unwrap().entry, 1);
    assert_eq!(kinds(&verify::paper(&svg, None)), ["paper-unknown"]);
    // The signature is gone as well.
    std::fs::write(&record, "").unwrap();
    assert_eq!(
        kinds(&verify::paper(&html, None)),
        ["entry-missing", "paper-unknown"]
    );
    let plan = folder.path().join("plan/professional/plan.json");
    assert_eq!(
        kinds(&verify::paper(&plan, None)),
        ["entry-missing", "paper-unknown"]
    );
    // The record was written anew by someone else.
    std::fs::remove_file(&record).unwrap();
    done(folder.path(), &["sign", "intake.yaml", "--by", "N. Elm"]);
    assert_eq!(
        kinds(&verify::paper(&html, None)),
        ["entry-differs", "paper-unknown"]
    );
    // There is none at all.
    std::fs::remove_file(&record).unwrap();
    assert_eq!(kinds(&verify::paper(&html, None)), ["record-missing"]);
    let intake = folder.path().join("intake.yaml");
    assert_eq!(kinds(&verify::case(read(&intake))), ["record-missing"]);
}

#[test]
fn of_several_records_the_one_that_knows_the_paper_is_taken() {
    let folder = copy_of_signed_case();
    std::fs::write(
        folder.path().join("another.yaml"),
        CASE.replace("Olive", "Fig"),
    )
    .unwrap();
    done(folder.path(), &["sign", "another.yaml", "--by", "N. Elm"]);
    done(
        folder.path(),
        &["plan", "another.yaml", "--out", "plan-of-another"],
    );
    let paper = |folder: &Path, name: &str| folder.join(name).join("household/cards.html");
    for (name, by) in [("plan", "R. Vale"), ("plan-of-another", "N. Elm")] {
        let report = verify::paper(&paper(folder.path(), name), None);
        assert!(report.holds);
        assert_eq!(report.signature.unwrap().by.as_deref(), Some(by));
    }
    // The paper of one household is none of the other's.
    let other = folder.path().join("another.yaml");
    assert!(!verify::paper(&paper(folder.path(), "plan"), Some(&other)).holds);
}

/// A folder of cases that goes through triage: the record beside a form is no message.
#[test]
fn a_record_is_no_enquiry() {
    let folder = copy_of_signed_case();
    std::fs::remove_dir_all(folder.path().join("plan")).unwrap();
    let output = run(
        folder.path(),
        &[
            "triage",
            ".",
            "--now",
            "2026-11-25T10:00",
            "--format",
            "jsonl",
        ],
    );
    assert_ne!(output.status.code(), Some(1), "{}", err(&output));
    assert_eq!(out(&output).lines().count(), 1, "{}", out(&output));
}

/// What a paper or a form can be changed into.
fn edit(bytes: &[u8], at: prop::sample::Index, how: u8, with: u8) -> Vec<u8> {
    let mut changed = bytes.to_vec();
    let place = at.index(bytes.len());
    match how {
        0 => changed[place] = with,
        1 => changed.insert(place, with),
        _ => {
            changed.remove(place);
        }
    }
    changed
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn an_edit_of_a_paper_is_seen_and_named(
        which in any::<prop::sample::Index>(), at in any::<prop::sample::Index>(), how in 0..3_u8, with in any::<u8>(),
    ) {
        let all = papers(signed_case());
        let path = &all[which.index(all.len())];
        let bytes = std::fs::read(path).unwrap();
        let changed = edit(&bytes, at, how, with);
        prop_assume!(changed != bytes);
        let folder = tempfile::tempdir().unwrap();
        let below = path.strip_prefix(signed_case()).unwrap();
        let copy = folder.path().join(below);
        std::fs::create_dir_all(copy.parent().unwrap()).unwrap();
        std::fs::write(&copy, &changed).unwrap();
        std::fs::copy(signed_case().join("intake.record.jsonl"), folder.path().join("intake.record.jsonl")).unwrap();
        let report = verify::paper(&copy, None);
        prop_assert!(!report.holds);
        let finding = report.findings.last().unwrap();
        prop_assert_eq!(&finding.kind, "paper-changed");
        prop_assert!(below.ends_with(finding.name.as_deref().unwrap()));
    }

    #[test]
    fn an_edit_of_the_form_is_seen_and_named(at in any::<prop::sample::Index>(), how in 0..3_u8, with in any::<u8>()) {
        let changed = edit(CASE.as_bytes(), at, how, with);
        prop_assume!(changed != CASE.as_bytes());
        let folder = tempfile::tempdir().unwrap();
        let intake = folder.path().join("intake.yaml");
        std::fs::write(&intake, &changed).unwrap();
        std::fs::copy(signed_case().join("intake.record.jsonl"), folder.path().join("intake.record.jsonl")).unwrap();
        let report = verify::case(read(&intake));
        prop_assert!(!report.holds);
        prop_assert_eq!(&report.findings[0].kind, "intake-changed");
        prop_assert!(report.findings.iter().all(|it| ["intake-changed", "outcomes-changed", "outcomes-unreadable"].contains(&it.kind.as_str())));
    }
}

fn data_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            data_files(&path, found);
        } else if path
            .extension()
            .is_some_and(|end| end == "yaml" || end == "csv")
        {
            found.push(path);
        }
    }
    found.sort();
}

/// One byte of one file of the rulebook's folder, whatever it does to that file.
#[test]
fn a_byte_of_the_rulebook_is_named() {
    let folder = case();
    let rules = folder.path().join("rules");
    copy_all(&repository().join("rules"), &rules);
    done(
        folder.path(),
        &["sign", "intake.yaml", "--by", "R. Vale", "--rules", "rules"],
    );
    let intake = folder.path().join("intake.yaml");
    let with_rules = || Read {
        rules: Some(&rules),
        ..read(&intake)
    };
    assert!(verify::case(with_rules()).holds);
    let mut files = Vec::new();
    data_files(&rules, &mut files);
    let mut random = support::Random(7);
    let mut below = |most: usize| usize::try_from(random.next() % most as u64).unwrap();
    for _ in 0..8 {
        let path = &files[below(files.len())];
        let bytes = std::fs::read(path).unwrap();
        let mut changed = bytes.clone();
        let at = below(bytes.len());
        changed[at] ^= 1 << below(8);
        std::fs::write(path, changed).unwrap();
        let report = verify::case(with_rules());
        let named = |it: &str| ["rulebook-changed", "rulebook-unreadable"].contains(&it);
        assert!(
            kinds(&report).iter().any(|it| named(it)),
            "{} {at}",
            path.display()
        );
        assert!(!kinds(&report).iter().any(|it| it.starts_with("intake")));
        std::fs::write(path, bytes).unwrap();
    }
}

/// Every file of a practice's folder, one byte each.
#[test]
fn a_byte_of_the_practice_is_named() {
    let folder = case();
    let practice = folder.path().join("practice");
    copy_all(&repository().join("examples/practice"), &practice);
    let sign = [
        "sign",
        "intake.yaml",
        "--by",
        "R. Vale",
        "--second",
        "T. Moss",
        "--practice",
        "practice",
    ];
    done(folder.path(), &sign);
    let intake = folder.path().join("intake.yaml");
    let with_practice = || Read {
        practice: Some(&practice),
        ..read(&intake)
    };
    assert!(verify::case(with_practice()).holds);
    let mut files = Vec::new();
    data_files(&practice, &mut files);
    files.push(practice.join("templates/household/94-our-hours.md"));
    assert!(files.len() >= 4);
    for path in files {
        let bytes = std::fs::read(&path).unwrap();
        for at in [bytes.len() / 3, bytes.len() - 2] {
            let mut changed = bytes.clone();
            changed[at] ^= 1;
            std::fs::write(&path, changed).unwrap();
            let report = verify::case(with_practice());
            let named = |it: &str| ["practice-changed", "practice-unreadable"].contains(&it);
            assert!(
                kinds(&report).iter().any(|it| named(it)),
                "{} {at}",
                path.display()
            );
            assert!(!kinds(&report).iter().any(|it| it.starts_with("rulebook")));
        }
        std::fs::write(&path, bytes).unwrap();
    }
}
