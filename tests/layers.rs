//! Layers: what a practice adds never loosens, a departure loosens as far as the safety floor, and so does a consultant in one case.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod support;

use std::fmt::Write as _;
use std::path::Path;

use jiff::civil::date;
use perchside::answers::{Answers, Overruling};
use perchside::case_file::CaseFile;
use perchside::decision::{Came, Decision, Truths, Verdict, decide};
use perchside::facts::Facts;
use perchside::house::House;
use perchside::intake::Intake;
use perchside::language::Truth;
use perchside::library::Library;
use perchside::mistake::render;
use perchside::plan::{Options, Plan};
use perchside::rulebook::{Care, Contact, Risk, Rulebook, Start, Then, Vet};
use perchside::source::Source;
use proptest::prelude::*;
use serde_yaml::{Mapping, Value};
use support::{Form, Random, TODAY, intake, rulebook};

/// Known and until answered on the four scales, as steps from the loosest.
type Steps = [[usize; 2]; 4];

fn steps(verdict: &Verdict) -> Steps {
    let (risk, start) = (verdict.risk, verdict.start);
    let (contact, vet) = (verdict.contact, verdict.vet);
    [
        [risk.known.steps(), risk.until_answered.steps()],
        [start.known.steps(), start.until_answered.steps()],
        [contact.known.steps(), contact.until_answered.steps()],
        [vet.known.steps(), vet.until_answered.steps()],
    ]
}

fn no_looser(one: &Steps, than: &Steps) -> bool {
    one.iter()
        .flatten()
        .zip(than.iter().flatten())
        .all(|(one, than)| one >= than)
}

/// What the floor alone says, worked out apart from the program: the rules marked so, and the gates.
fn floor(rulebook: &Rulebook, answers: &Answers) -> Steps {
    let (questionnaire, vocabulary) = (&rulebook.questionnaire, &rulebook.vocabulary);
    let facts = Facts::of(questionnaire, vocabulary, answers, TODAY);
    let truths = Truths::of(rulebook, &facts);
    let mut floor = Steps::default();
    let mut raise = |on: usize, to: usize, truth: Truth| {
        if truth == Truth::True {
            floor[on][0] = floor[on][0].max(to);
        }
        if truth != Truth::False {
            floor[on][1] = floor[on][1].max(to);
        }
    };
    for (rule, truth) in rulebook.rules.iter().zip(&truths.rules) {
        if !rule.floor {
            continue;
        }
        let then = &rule.then;
        raise(0, then.risk.map_or(0, Risk::steps), *truth);
        raise(1, then.start.map_or(0, Start::steps), *truth);
        raise(2, then.contact.map_or(0, Contact::steps), *truth);
        raise(3, then.vet.map_or(0, Vet::steps), *truth);
    }
    for (gate, truth) in rulebook.gates.iter().zip(&truths.gates) {
        raise(1, gate.opens.steps() + 1, !*truth);
    }
    floor
}

/// A practice's folder out of texts, opened.
fn practice(files: &[(String, String)]) -> Rulebook {
    let folder = tempfile::tempdir().unwrap();
    write(
        folder.path(),
        "practice.yaml",
        "name: Lantern Lane Parrots\n",
    );
    for (path, text) in files {
        write(folder.path(), path, text);
    }
    let house = House::open(
        Library::embedded(),
        Some(folder.path()),
        Care::Trusted,
        TODAY,
    );
    match house.and_then(|house| house.speaking("en")) {
        Ok((voiced, _)) => voiced.rulebook,
        Err(problems) => panic!("{}", render(&problems, false)),
    }
}

fn write(folder: &Path, path: &str, text: &str) {
    let to = folder.join(path);
    std::fs::create_dir_all(to.parent().unwrap()).unwrap();
    std::fs::write(to, text).unwrap();
}

fn read(rulebook: &Rulebook, yaml: &str) -> Intake {
    let source = Source::new("form", yaml);
    match Intake::read(&rulebook.questionnaire, &rulebook.vocabulary, source, TODAY) {
        Ok((intake, _)) => intake,
        Err(problems) => panic!("{}\n{yaml}", render(&problems, false)),
    }
}

/// The shipped rules as they are written, by id: the topic and the tree.
fn written() -> Vec<(String, String, Mapping)> {
    let library = Library::embedded();
    let of = |id: &str| rulebook().rule(id).is_some() || rulebook().gate(id).is_some();
    library
        .files
        .iter()
        .filter_map(|(path, source)| {
            let (topic, name) = path.split_once('/')?;
            let id = name.strip_suffix(".yaml")?;
            (of(id) && topic != "measures")
                .then(|| serde_yaml::from_str(&source.text).unwrap())
                .map(|tree| (topic.to_owned(), id.to_owned(), tree))
        })
        .collect()
}

/// Rules and gates of a practice: conditions of shipped ones with outcomes of their own, as loose or tight as they fall.
fn random_additions(random: &mut Random) -> Vec<(String, String)> {
    let shipped = written();
    let mut files = vec![(
        "rules/questions/our-room.yaml".to_owned(),
        "group: our-room\norder: 300\ntitle: Our room\nabout: What we ask of the room.\nquestions:\n  - id: bell\n    ask: Is there a bell on the door?\n    why: A bell tells that someone comes.\n    type: yes-no\n    tier: intake\n    blank: We do not know of a bell, so we plan as if there is none.\n".to_owned(),
    )];
    for at in 0..1 + random.below(6) {
        let (topic, _, mut tree) = shipped[random.below(shipped.len())].clone();
        let id = format!("own-{at}");
        tree.insert("id".into(), id.clone().into());
        tree.remove("floor");
        if tree.contains_key("opens") {
            let mode = Start::WORDS[random.below(3)];
            tree.insert("opens".into(), mode.into());
        } else {
            let mut then = Mapping::new();
            let asks_for_a_reply = tree["then"].get("contact").is_some();
            for (key, words, may) in [
                ("risk", Risk::WORDS, true),
                ("start", Start::WORDS, true),
                ("vet", Vet::WORDS, true),
                ("contact", Contact::WORDS, asks_for_a_reply),
            ] {
                if may && random.below(2) == 0 {
                    then.insert(key.into(), words[random.below(words.len())].into());
                }
            }
            if then.is_empty() || tree.get("tell").is_none() {
                continue;
            }
            tree.insert("then".into(), Value::Mapping(then));
        }
        // What is tried here are outcomes; its examples show the condition, which is a shipped one.
        let text = serde_yaml::to_string(&tree).unwrap();
        files.push((format!("rules/{topic}/{id}.yaml"), text));
    }
    files
}

/// Departures from shipped rules that are not of the floor: switched off, one step looser, or with everything left out.
fn random_departures(random: &mut Random, share: usize) -> Vec<(String, String)> {
    let mut files = Vec::new();
    for rule in rulebook().rules.iter().filter(|rule| !rule.floor) {
        if random.below(100) >= share {
            continue;
        }
        let then = &rule.then;
        let mut what = "switch-off: yes\n".to_owned();
        if random.below(2) == 0 && then.is_guard() {
            what = "instead:\n".to_owned();
            let _ = write!(what, "{}", looser("risk", then.risk, Risk::ALL));
            let _ = write!(what, "{}", looser("start", then.start, Start::ALL));
            let _ = write!(what, "{}", looser("contact", then.contact, Contact::ALL));
            let _ = write!(what, "{}", looser("vet", then.vet, Vet::ALL));
        }
        let id = format!("from-{}", rule.id);
        files.push((
            format!("departures/{id}.yaml"),
            format!(
                "id: {id}\nrule: {}\n{what}reason: Tried.\nby: R. Vale\ndate: {TODAY}\nuntil: {TODAY}\n",
                rule.id
            ),
        ));
    }
    files
}

fn looser<T: Copy + PartialEq + std::fmt::Display>(
    key: &str,
    said: Option<T>,
    all: &[T],
) -> String {
    let Some(said) = said else {
        return String::new();
    };
    let at = all.iter().position(|word| *word == said).unwrap();
    let word = at
        .checked_sub(1)
        .map_or_else(|| "nothing".to_owned(), |at| all[at].to_string());
    format!("  {key}: {word}\n")
}

#[test]
fn what_a_practice_adds_never_loosens() {
    for seed in 0..16 {
        let mut random = Random(seed);
        let own = practice(&random_additions(&mut random));
        for _ in 0..24 {
            let yaml = Form::random(&rulebook().questionnaire, random.next()).yaml();
            let base = decide(rulebook(), &intake(&yaml).answers, TODAY);
            let with = decide(&own, &read(&own, &yaml).answers, TODAY);
            assert!(
                no_looser(&steps(&with.verdict), &steps(&base.verdict)),
                "seed {seed}: {:?} {:?}\n{yaml}",
                with.verdict,
                base.verdict
            );
            // Nothing that is to be done, never done, or referred goes missing either.
            for landing in &base.landings {
                let kept = with.landings.iter().find(|other| {
                    other.measure == landing.measure && other.person == landing.person
                });
                let kept = kept.unwrap_or_else(|| panic!("{} is gone\n{yaml}", landing.measure));
                assert_eq!(kept.ruled_out_by, landing.ruled_out_by, "{yaml}");
            }
            for referral in &base.referrals {
                let kept = |other: &perchside::decision::ReferralLanding| {
                    other.referral == referral.referral && other.known >= referral.known
                };
                assert!(with.referrals.iter().any(kept), "{}", referral.referral);
            }
        }
    }
}

#[test]
fn departures_loosen_and_stop_at_the_floor() {
    let mut loosened = 0;
    for seed in 0..10 {
        let mut random = Random(seed);
        let share = [10, 40, 100][random.below(3)];
        let departed = practice(&random_departures(&mut random, share));
        for _ in 0..24 {
            let form = Form::random(&rulebook().questionnaire, random.next());
            let answers = intake(&form.yaml()).answers;
            let base = steps(&decide(rulebook(), &answers, TODAY).verdict);
            let now = steps(&decide(&departed, &answers, TODAY).verdict);
            assert!(
                no_looser(&base, &now),
                "a departure tightened\n{}",
                form.yaml()
            );
            assert!(
                no_looser(&now, &floor(rulebook(), &answers)),
                "seed {seed}: below the floor\n{}",
                form.yaml()
            );
            loosened += usize::from(now != base);
        }
    }
    assert!(loosened > 20, "{loosened}");
}

/// The floor with every other rule switched off, against what it is there for. Common practice, no source.
#[test]
fn the_floor_holds_what_nobody_may_loosen() {
    let mut all_off = Random(0);
    let mut files = random_departures(&mut all_off, 100);
    for (_, text) in &mut files {
        let instead = text
            .find("instead:")
            .map(|at| at..text.find("reason:").unwrap());
        if let Some(range) = instead {
            text.replace_range(range, "switch-off: yes\n");
        }
    }
    let bare = practice(&files);
    let gates = "housing: {retreat: yes, bars-sound: yes, latch: second latch or lock, contained-hands-free: yes}";
    for (what, yaml, risk, start, contact, vet) in [
        (
            "a child was bitten this month",
            "people: [{name: a, age: 8 years}]\nbites: [{person: a, injury: pressure, body-part: finger, date: 2026-11-20}]",
            Risk::High,
            Start::ThroughBarrier,
            Contact::SameDay,
            Vet::Routine,
        ),
        (
            "a face was bitten this month",
            "bites: [{injury: pressure, body-part: face, date: 2026-11-20}]",
            Risk::High,
            Start::ThroughBarrier,
            Contact::SameDay,
            Vet::Routine,
        ),
        (
            "skin of a face was broken years ago",
            "bites: [{injury: broken-skin, body-part: face, date: 2020}]",
            Risk::Severe,
            Start::OpenRoom,
            Contact::TwoDays,
            Vet::Routine,
        ),
        (
            "a small child where the bird strikes",
            "people: [{name: a, age: 3 years, presence: visits}]\nbites: [{injury: none, date: 2026-01-20}]",
            Risk::High,
            Start::ThroughBarrier,
            Contact::TwoDays,
            Vet::Routine,
        ),
        (
            "a bird that cannot breathe",
            "health: {red-flags: breathing effort}",
            Risk::Low,
            Start::HandsOff,
            Contact::AtOnce,
            Vet::Urgent,
        ),
        (
            "a bird that does not eat",
            "health: {red-flags: not eating}",
            Risk::Low,
            Start::HandsOff,
            Contact::AtOnce,
            Vet::Urgent,
        ),
        (
            "wounds the bird gave itself",
            "health: {feather-damage: skin wounds}",
            Risk::Low,
            Start::HandsOff,
            Contact::SameDay,
            Vet::BeforeTraining,
        ),
        (
            "a vet who has not said yes",
            "health: {clearance: not cleared}",
            Risk::Low,
            Start::HandsOff,
            Contact::Routine,
            Vet::BeforeTraining,
        ),
        (
            "a bird that flies at people and is loose",
            "housing: {contained-now: no}\nbites: [{pursuit: in flight}]",
            Risk::Severe,
            Start::HandsOff,
            Contact::SameDay,
            Vet::Routine,
        ),
        (
            "a bird that opens its cage",
            "housing: {latch: bird opens it}",
            Risk::Moderate,
            Start::HandsOff,
            Contact::Routine,
            Vet::Routine,
        ),
        (
            "someone badly hurt now",
            "case: {hurt-now: heavy bleeding}",
            Risk::Severe,
            Start::HandsOff,
            Contact::AtOnce,
            Vet::Routine,
        ),
        (
            "no gate proven",
            gates,
            Risk::Low,
            Start::HandsOff,
            Contact::Routine,
            Vet::Routine,
        ),
    ] {
        let decision = decide(&bare, &intake(yaml).answers, TODAY);
        let now = steps(&decision.verdict);
        let known = [risk.steps(), start.steps(), contact.steps(), vet.steps()];
        for (on, least) in known.into_iter().enumerate() {
            // A gate that is blank stays shut until answered; it is not known to be.
            let stands = if what == "no gate proven" {
                now[on][1]
            } else {
                now[on][0]
            };
            assert!(
                stands >= least,
                "{what}: outcome {on} is {stands}, not {least}"
            );
        }
    }
}

#[test]
fn the_floor_has_no_gap_at_children_faces_and_illness() {
    // Every shipped guard about a bite to someone under 16, to the face, or about a red flag belongs to the floor.
    for rule in rulebook().rules.iter().filter(|rule| rule.then.is_guard()) {
        let text = Library::embedded();
        let path = format!("{}/{}.yaml", rule.topic, rule.id);
        let tree: Value = serde_yaml::from_str(&text.get(&path).unwrap().text).unwrap();
        let when = serde_yaml::to_string(&tree["when"]).unwrap();
        let of_floor = ["person-age:", "one of face, eye", "health.red-flags"];
        if of_floor.iter().any(|words| when.contains(words)) {
            assert!(rule.floor, "{} is not of the floor", rule.id);
        }
    }
}

#[test]
fn a_departure_that_is_over_stops_working_and_says_so() {
    let text = |from: &str, until: &str| {
        vec![(
            "departures/kitchen.yaml".to_owned(),
            format!(
                "id: kitchen\nrule: kitchen-is-the-birds-room\nswitch-off: yes\nreason: The hob is never lit.\nby: R. Vale\ndate: {from}\nuntil: {until}\n"
            ),
        )]
    };
    let spoken = |rulebook: &Rulebook| {
        let then: &Then = &rulebook.rule("kitchen-is-the-birds-room").unwrap().then;
        then.start
    };
    assert_eq!(spoken(&practice(&text("2026-11-01", "2026-11-25"))), None);
    assert_eq!(spoken(&practice(&text("2026-11-25", "2026-11-26"))), None);
    let as_shipped = spoken(rulebook());
    assert!(as_shipped.is_some());
    assert_eq!(
        spoken(&practice(&text("2026-11-01", "2026-11-24"))),
        as_shipped
    );
    assert_eq!(
        spoken(&practice(&text("2026-11-26", "2026-12-24"))),
        as_shipped
    );
    let folder = tempfile::tempdir().unwrap();
    write(
        folder.path(),
        "practice.yaml",
        "name: Lantern Lane Parrots\n",
    );
    for (path, text) in text("2026-11-01", "2026-11-24") {
        write(folder.path(), &path, &text);
    }
    let library = Library::embedded();
    let house = House::open(library, Some(folder.path()), Care::Trusted, TODAY).unwrap();
    let (voiced, _) = house.speaking("en").unwrap();
    let names: Vec<&str> = voiced.notices.iter().map(|it| it.mistake.name()).collect();
    assert_eq!(names, ["departure-expired"]);
}

#[test]
fn rules_past_their_review_are_named() {
    let about = |review_by: &str| {
        format!(
            "name: Lantern Lane Parrots\nhouse-rules:\n  name: Lantern Lane house rules\n  version: 1.0.0\n  date: 2025-11-02\n  owner: R. Vale\n  review-by: {review_by}\n"
        )
    };
    let named = |review_by: &str, of_rule: &str| {
        let (topic, id, mut tree) = written()
            .into_iter()
            .find(|it| it.1 == "threats-only")
            .unwrap();
        tree.insert("id".into(), "own".into());
        tree.insert("review-by".into(), of_rule.into());
        let text = serde_yaml::to_string(&tree).unwrap();
        let files = [
            ("practice.yaml".to_owned(), about(review_by)),
            (format!("rules/{topic}/own.yaml"), text),
        ];
        assert_eq!(id, "threats-only");
        let found = practice(&files).past_review(TODAY);
        found
            .iter()
            .map(|it| it.mistake.to_string())
            .collect::<Vec<_>>()
    };
    assert!(named("2026-11-25", "2026-11-25").is_empty());
    let found = named("2026-11-24", "2026-11-24");
    assert_eq!(found.len(), 2);
    assert!(
        found[0].contains("Lantern Lane house rules") && found[1].contains("`own`"),
        "{found:?}"
    );
}

/// What a consultant writes beside a form.
fn case_file(yaml: &str) -> Vec<Overruling> {
    let source = Source::new("form.case.yaml", yaml);
    CaseFile::read(&source)
        .unwrap_or_else(|problems| panic!("{}", render(&problems, false)))
        .overrulings
}

fn overruled(form: &str, beside: &str) -> Decision {
    let mut answers = intake(form).answers;
    answers.overrulings = case_file(beside);
    decide(rulebook(), &answers, TODAY)
}

const SIGNED: &str =
    "reason: Seen on two visits.\n    by: R. Vale\n    date: 2026-11-20\n    until: 2026-12-20\n";

#[test]
fn a_consultant_tightens_freely_in_one_case() {
    let form = "bites: [{injury: pressure, body-part: finger, date: 2026-11-01}]";
    let decision = overruled(
        form,
        &format!("departures:\n  - risk: severe\n    vet: urgent\n    {SIGNED}"),
    );
    assert_eq!(decision.verdict.risk.known, Risk::Severe);
    assert_eq!(decision.verdict.vet.known, Vet::Urgent);
    assert_eq!(decision.ruled.risk.known, Risk::Low);
    assert!(
        decision
            .overruled
            .iter()
            .all(|line| line.came == Came::Tightened)
    );
}

#[test]
fn a_consultant_loosens_as_far_as_the_floor() {
    // Broken skin on a finger, years ago: high by a rule that is not of the floor.
    let form = "people: []\nbites: [{injury: broken-skin, body-part: finger, date: 2023-05-01, pursuit: none, form: bite, person: a}]";
    let to = |risk: &str| {
        overruled(
            form,
            &format!("departures:\n  - risk: {risk}\n    {SIGNED}"),
        )
    };
    let decision = to("moderate");
    assert_eq!(decision.ruled.risk.known, Risk::High);
    assert_eq!(decision.verdict.risk.known, Risk::Moderate);
    let line = &decision.overruled[0];
    assert_eq!(line.came, Came::Loosened);
    // The same on a face: the floor holds.
    let face = form.replace("finger", "face");
    let beside = format!("departures:\n  - risk: low\n    {SIGNED}");
    let decision = overruled(&face, &beside);
    assert_eq!(decision.verdict.risk.known, Risk::Severe);
    assert!(decision.overruled[0].held_by_floor);
    // A gate that is not proven holds as well.
    let decision = overruled(
        form,
        &format!("departures:\n  - start: open-room\n    {SIGNED}"),
    );
    assert_eq!(decision.verdict.start.until_answered, Start::HandsOff);
    assert!(decision.overruled[0].held_by_floor);
}

#[test]
fn a_loosening_ends_with_its_day_and_with_the_next_bite() {
    let bites = "[{injury: broken-skin, body-part: finger, date: 2023-05-01, pursuit: none, form: bite, person: a}";
    let form = |more: &str| format!("people: []\nbites: {bites}{more}]");
    let at = |form: &str, dates: &str| {
        let beside = format!(
            "departures:\n  - risk: moderate\n    reason: Seen.\n    by: R. Vale\n    {dates}\n"
        );
        let decision = overruled(form, &beside);
        (decision.overruled[0].came, decision.verdict.risk.known)
    };
    let now = "date: 2026-11-20\n    until: 2026-11-25";
    assert_eq!(at(&form(""), now), (Came::Loosened, Risk::Moderate));
    let over = "date: 2026-11-20\n    until: 2026-11-24";
    assert_eq!(at(&form(""), over), (Came::Expired, Risk::High));
    let ahead = "date: 2026-11-26\n    until: 2026-12-24";
    assert_eq!(at(&form(""), ahead), (Came::Ahead, Risk::High));
    let touched = |day: &str| {
        form(&format!(
            ", {{injury: pressure, body-part: finger, date: {day}}}"
        ))
    };
    assert_eq!(at(&touched("2026-11-21"), now).0, Came::BiteSince);
    // The bite of the day it was written was known to who wrote it.
    assert_eq!(at(&touched("2026-11-20"), now).0, Came::Loosened);
    // A month alone may lie after that day.
    assert_eq!(at(&touched("2026-11"), now).0, Came::BiteSince);
    // A tightening stays.
    let beside = format!("departures:\n  - risk: severe\n    {SIGNED}");
    let decision = overruled(&touched("2026-11-21"), &beside);
    assert_eq!(decision.verdict.risk.known, Risk::Severe);
}

#[test]
fn of_two_that_want_different_things_the_tighter_holds() {
    let form = "people: []\nbites: [{injury: broken-skin, body-part: finger, date: 2023-05-01, pursuit: none, form: bite, person: a}]";
    let mut answers = intake(form).answers;
    let one = |risk: u8| Overruling {
        steps: [Some(risk), None, None, None],
        reason: String::new(),
        by: String::new(),
        second: None,
        date: date(2026, 11, 1),
        until: date(2026, 12, 1),
    };
    for pair in [[0, 1], [1, 0], [0, 3], [3, 0], [1, 2]] {
        answers.overrulings = pair.map(one).to_vec();
        let verdict = decide(rulebook(), &answers, TODAY).verdict;
        assert_eq!(
            verdict.risk.known.steps(),
            usize::from(pair[0].max(pair[1]))
        );
    }
}

#[test]
fn departures_are_told_on_professional_copies_and_nowhere_else() {
    let mut answers = intake("bites: [{injury: pressure, body-part: finger, date: 2026-11-01}]");
    answers.answers.overrulings =
        case_file(&format!("departures:\n  - start: hands-off\n    {SIGNED}"));
    let house = House::open(Library::embedded(), None, Care::Trusted, TODAY).unwrap();
    let (voiced, _) = house.speaking("en").unwrap();
    let decision = decide(&voiced.rulebook, &answers.answers, TODAY);
    let plan = Plan::of(&voiced.rulebook, &answers, &decision, Options::default());
    let engine = perchside::papers::engine::Engine::speaking(&house, &voiced);
    for name in perchside::papers::PAPERS {
        let paper = perchside::papers::Paper::of(&engine, &plan, name).unwrap();
        let told = paper.markdown().contains("R. Vale");
        assert_eq!(told, *name == "consultant", "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

    #[test]
    fn nothing_a_consultant_writes_goes_below_the_floor(seed in any::<u64>()) {
        let mut random = Random(seed);
        let mut answers = intake(&Form::random(&rulebook().questionnaire, random.next()).yaml()).answers;
        let ruled = steps(&decide(rulebook(), &answers, TODAY).verdict);
        for _ in 0..1 + random.below(3) {
            let day = |random: &mut Random| date(2026, 10 + random.below(3) as i8, 1 + random.below(28) as i8);
            let step = |random: &mut Random, most: usize| (random.below(2) == 0).then(|| random.below(most) as u8);
            answers.overrulings.push(Overruling {
                steps: [step(&mut random, 4), step(&mut random, 4), step(&mut random, 5), step(&mut random, 4)],
                reason: String::new(), by: String::new(), second: None,
                date: day(&mut random), until: day(&mut random),
            });
        }
        let decision = decide(rulebook(), &answers, TODAY);
        let now = steps(&decision.verdict);
        prop_assert!(no_looser(&now, &floor(rulebook(), &answers)));
        // Known never lies past until answered.
        prop_assert!(now.iter().all(|[known, until]| known <= until));
        // What is not spoken of stands where it stood.
        for on in 0..4 {
            if answers.overrulings.iter().all(|one| one.steps[on].is_none()) {
                prop_assert_eq!(now[on], ruled[on]);
            }
        }
    }
}
