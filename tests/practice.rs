//! Practice on paper: what a household is told to do fits what was told, and what is logged fits the sheets.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use perchside::decision::decide;
use perchside::log::{Household, Log};
use perchside::papers::Paper;
use perchside::papers::engine::Engine;
use perchside::plan::{Headline, Logged, Options, Plan};
use perchside::questionnaire::{Kind, Tier};
use perchside::review::Review;
use perchside::source::Source;
use support::{TODAY, decided, log_book, rulebook};

const HOME: &str = include_str!("../examples/evening-conure/intake.yaml");

fn plan(yaml: &str) -> Plan {
    let (intake, decision) = decided(yaml);
    Plan::of(rulebook(), &intake, &decision, Options::default())
}

/// The plan of the shared form of the example logs, with one of them.
fn with_log(name: &str) -> Plan {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/logs");
    let text = |path: std::path::PathBuf| std::fs::read_to_string(path).unwrap();
    let (intake, _) = decided(&text(folder.join("form.yaml")));
    let source = Source::new("log.yaml", text(folder.join(name).join("log.yaml")));
    let household = Household::default();
    let (log, _) = Log::read(&log_book().questionnaire, household, &source, TODAY).unwrap();
    let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
    let logged = Logged {
        review: &review,
        log: &log,
    };
    let options = Options::default();
    Plan::with_log(rulebook(), &intake, logged, options)
}

fn paper(plan: &Plan, name: &'static str) -> String {
    Paper::of(&Engine::embedded(), plan, name)
        .unwrap()
        .markdown()
}

#[test]
fn a_session_fits_what_the_bird_wants_what_it_may_eat_and_the_time_there_is() {
    let tries = |more: &str| {
        let (before, after) = HOME.split_once("\nrewards:\n").unwrap();
        let rest: String = after
            .lines()
            .skip_while(|line| line.starts_with(' ') || line.is_empty())
            .map(|line| format!("{line}\n"))
            .collect();
        let text = format!("{before}\nrewards: {{takes-calmly: yes{more}}}\n{rest}");
        plan(&text).training.session
    };
    // Nothing told: one treat before eight, and no more than seven.
    assert_eq!(tries("").tries, 7);
    assert_eq!(tries(", pieces: 20").tries, 7);
    assert_eq!(tries(", pieces: 6").tries, 5);
    assert_eq!(tries(", pieces: 0").tries, 0);
    // A run is three, and an easy try comes first: with three tries no step can pass, and the plan says so.
    let (before, after) = HOME.split_once("\nrewards:\n").unwrap();
    let rest: String = after
        .lines()
        .skip_while(|line| line.starts_with(' ') || line.is_empty())
        .map(|line| format!("{line}\n"))
        .collect();
    let short = plan(&format!(
        "{before}\nrewards: {{takes-calmly: yes, pieces: 4}}\n{rest}"
    ));
    assert_eq!(short.training.session.tries, 3);
    assert!(short.training.work.is_empty());
    assert!(short.training.work_cannot.unwrap().contains("at least 4"));
    // And it hands no step out.
    let list = &short.training.lists[0];
    assert!(list.cannot.as_ref().unwrap().contains("at least 4 tries"));
    assert!(list.steps.is_empty() && short.training.week.is_empty());
}

#[test]
fn the_week_holds_the_days_that_people_have_and_days_off() {
    for (told, days) in [(0, 0), (1, 1), (3, 3), (5, 5), (7, 5)] {
        let text = HOME.replace(
            "  - name: Wren\n",
            &format!("  - name: Wren\n    days-a-week: {told}\n"),
        );
        let duplicate = HOME.split("- name: Wren").nth(1).unwrap();
        let duplicate = duplicate.split("- name:").next().unwrap();
        assert!(!duplicate.contains("days-a-week"));
        let week = plan(&text).training.week;
        assert_eq!(week.len(), days, "{told}");
        let mut names: Vec<&str> = week.iter().map(|line| line.day.as_str()).collect();
        names.dedup();
        assert_eq!(names.len(), days, "a day twice");
    }
}

#[test]
fn a_child_and_someone_of_unknown_age_have_no_steps() {
    for age in ["age: 17 years", "age: unknown"] {
        let (before, after) = HOME.split_once("- name: Wren").unwrap();
        let after = after.replacen("age: 31", age, 1);
        let plan = plan(&format!("{before}- name: Wren{after}"));
        assert!(
            plan.training.lists.iter().all(|list| list.steps.is_empty()),
            "{age}"
        );
        if !plan.held {
            assert!(plan.training.lists[0].cannot.is_some());
        }
    }
}

#[test]
fn without_a_measure_work_starts_out_of_sight() {
    let (before, after) = HOME.split_once("\ndistances:\n").unwrap();
    let rest: String = after
        .lines()
        .skip_while(|line| line.starts_with(' ') || line.is_empty())
        .map(|line| format!("{line}\n"))
        .collect();
    let plan = plan(&format!("{before}\n{rest}"));
    let list = &plan.training.lists[0];
    assert_eq!(list.begin, 1);
    assert!(!list.steps[0].in_sight);
}

#[test]
fn a_plan_without_practice_prints_no_step() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    for home in [
        "new-kitchen-timneh",
        "night-shift-cockatoo",
        "handbag-lovebird",
    ] {
        let text = std::fs::read_to_string(folder.join(home).join("intake.yaml")).unwrap();
        let plan = plan(&text);
        assert!(plan.held && plan.training.held && plan.training.lists.is_empty());
        let paper = paper(&plan, "practice");
        assert!(paper.contains("There is no practice now."));
        assert!(!paper.contains("Start at step"));
    }
}

#[test]
fn after_a_bite_in_the_log_the_plan_stops_all_practice() {
    let plan = with_log("new-bite");
    assert_eq!(plan.headline, Headline::Frozen);
    assert!(plan.held && plan.training.lists.is_empty());
    for name in ["household", "practice"] {
        let paper = paper(&plan, name);
        assert!(
            paper.contains("until your consultant agrees in writing"),
            "{name}"
        );
        assert!(!paper.contains("Start at step"), "{name}");
    }
}

#[test]
fn a_list_that_waits_for_a_call_is_not_printed() {
    let plan = with_log("regression");
    assert!(!plan.held);
    assert!(plan.training.lists[0].steps.is_empty());
    assert!(paper(&plan, "practice").contains("Wait until your consultant has called."));
}

#[test]
fn a_plan_with_a_log_goes_on_where_the_review_says() {
    let plan = with_log("steady-progress");
    let list = &plan.training.lists[0];
    assert_eq!((list.begin, list.cap, list.from_log), (12, 14, true));
    assert!(paper(&plan, "practice").contains("Start at step 12"));
    assert!(paper(&plan, "household").contains("### What the log adds"));
    // A step put in between is in the list, and its mark is new.
    let split = with_log("plateau-step-too-big");
    assert_eq!(split.training.lists[0].steps.len(), list.steps.len() + 1);
    assert_ne!(split.training.lists[0].mark, list.mark);
}

/// What the sheet prints as a rule of thumb is what the program does with a log.
#[test]
fn what_the_practice_paper_says_of_signs_is_what_the_program_works_with() {
    use perchside::ladder::progress::{AGGRESSIVE_ENDS_SESSION, AROUSED_ENDS_SESSION};
    use perchside::ladder::{Move, Sign, SoFar, next_move};
    let paper = paper(&with_log("steady-progress"), "practice");
    assert_eq!((AROUSED_ENDS_SESSION, AGGRESSIVE_ENDS_SESSION), (2, 2));
    assert!(paper.contains("At a second amber sign do one easy try, two steps back, and stop"));
    let second = SoFar {
        aroused_in_session: 2,
        ..SoFar::default()
    };
    assert_eq!(next_move(Sign::Arousal, &second), Move::EndEasy);
    assert!(
        paper.contains(
            "go one step easier, once the bird is calm and eats. At a second threat stop"
        )
    );
    let threat = |aggressive_in_session| {
        let so_far = SoFar {
            aggressive_in_session,
            ..SoFar::default()
        };
        next_move(Sign::Threat, &so_far)
    };
    assert_eq!((threat(1), threat(2)), (Move::BackOne, Move::BackTwoAndEnd));
    assert!(paper.contains("Next time start two steps easier"));
    assert_eq!(
        next_move(Sign::Lunge, &SoFar::default()),
        Move::BackTwoAndEnd
    );
}

/// Whoever copies a sheet into the log finds a place for each mark, and nothing is asked that no sheet holds.
#[test]
fn the_sheets_hold_every_answer_of_the_log() {
    let sheets = paper(&plan(HOME), "log-sheets");
    // Printed once at the head of a sheet, or told by what is written.
    let elsewhere = [
        "sessions.person",
        "sessions.stage",
        "sessions.sheet",
        "sessions.date",
        "days.person",
        "changes.date",
    ];
    for group in &log_book().questionnaire.groups {
        if group.repeats.is_none() {
            continue;
        }
        for question in group.questions.iter().filter(|it| it.tier < Tier::Visit) {
            let name = format!("{}.{}", group.id, question.id);
            if elsewhere.contains(&name.as_str()) {
                continue;
            }
            match question.kind {
                Kind::Choices | Kind::Choice | Kind::Level if name != "sessions.time" => {
                    let sheets = sheets.to_lowercase().replace('\u{a0}', " ");
                    if name == "days.injury" {
                        // In fewer words, mildest first; the mildest choice is a day without a touch.
                        let told = [
                            "no mark",
                            "a mark or a bruise",
                            "skin broken",
                            "a doctor, nurse",
                            "hurt eye",
                        ];
                        assert_eq!(told.len() + 1, question.choices.len());
                        assert!(told.iter().all(|words| sheets.contains(words)));
                        continue;
                    }
                    for choice in &question.choices {
                        // Good or not is ticked as yes or no.
                        let ticked = ["ok", "poor", "odd"].contains(&choice.id.as_str());
                        let words = choice.words.to_lowercase();
                        let short = words.split(',').next().unwrap();
                        assert!(ticked || sheets.contains(short), "{name}: {words}");
                    }
                }
                Kind::Text => {}
                _ => {
                    let words: Vec<String> = question
                        .ask
                        .to_lowercase()
                        .split(|c: char| !c.is_alphabetic())
                        .filter(|word| word.len() > 4)
                        .map(str::to_owned)
                        .collect();
                    let found = words
                        .iter()
                        .filter(|word| sheets.to_lowercase().contains(*word))
                        .count();
                    assert!(found * 2 >= words.len(), "{name}: {}", question.ask);
                }
            }
        }
    }
}

#[test]
fn pictures_of_steps_say_in_words_what_they_show() {
    let plan = plan(HOME);
    let drawings = perchside::papers::drawings(&Engine::embedded(), &plan, true).unwrap();
    let steps = drawings
        .iter()
        .find(|it| it.name.starts_with("steps-"))
        .unwrap();
    for part in [
        "role=\"img\"",
        "<title",
        "<desc",
        "A list of 28 steps",
        "safe line of 60 cm",
    ] {
        assert!(steps.svg.contains(part), "{part}");
    }
    for colour in steps.svg.split('"').filter(|part| part.starts_with('#')) {
        let digits: Vec<char> = colour[1..].chars().collect();
        assert!(digits.windows(2).all(|pair| pair[0] == pair[1]), "{colour}");
    }
}

#[test]
fn decisions_with_and_without_a_log_differ_only_by_what_the_log_tells() {
    let (intake, decision) = decided(HOME);
    let empty = "days: []\nsessions: []\n";
    let source = Source::new("log.yaml", empty);
    let household = Household::default();
    let (log, _) = Log::read(&log_book().questionnaire, household, &source, TODAY).unwrap();
    let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
    assert_eq!(review.answers, intake.answers);
    assert_eq!(
        decide(rulebook(), &review.answers, TODAY).verdict,
        decision.verdict
    );
}

const STATIONED: &str = include_str!("../examples/logs/ready-for-next-stage/form.yaml");

fn lines(yaml: &str) -> (Option<u32>, String, Option<String>, Vec<u32>) {
    let plan = plan(yaml);
    let list = &plan.training.lists[0];
    let cm = list.steps.iter().filter_map(|it| it.distance_cm);
    (
        list.safe_line_cm,
        list.line_tell.clone(),
        list.cannot.clone(),
        cm.collect(),
    )
}

/// What keeps people out of reach is told for the stage at hand, and why it is not the tape of the household plan.
#[test]
fn the_line_nobody_crosses_is_that_of_the_stage() {
    let (bars, tell, _, _) = lines(HOME);
    assert_eq!(bars, Some(60));
    assert!(tell.contains("60 cm from the bars"), "{tell}");
    // It went for someone 90 cm off: that, and 30 cm.
    let (strike, tell, _, steps) = lines(&HOME.replace("strike-at: 8 in", "strike-at: 90 cm"));
    assert_eq!(strike, Some(120));
    assert!(tell.contains("went for someone") && tell.contains("60 cm from the bars"));
    assert_eq!(steps.iter().min(), Some(&120));
    // The cage is open: reach from the perch.
    let (perch, tell, _, _) = lines(STATIONED);
    assert!(perch >= bars);
    assert!(tell.contains("the cage is open"), "{tell}");
}

#[test]
fn with_the_bird_out_nobody_comes_nearer_than_it_eats_calmly() {
    let signed = STATIONED
        .replace("signed-off: stationed", "signed-off: open-room")
        .replace("station-sessions: 0", "station-sessions: 12")
        .replace("station-days: 0", "station-days: 20 days");
    let list = |yaml: &str| {
        let plan = plan(yaml);
        assert_eq!(plan.training.lists[0].stage, "open-room");
        lines(yaml)
    };
    let (line, tell, cannot, steps) = list(&signed);
    assert_eq!((line, cannot), (Some(200), None));
    assert!(tell.contains("no line keeps anyone out of its reach"));
    assert_eq!(steps.iter().min(), Some(&200));
    let not_measured = signed.replace("    calm-eating: 2 m\n", "");
    let (_, _, cannot, steps) = list(&not_measured);
    assert!(cannot.unwrap().contains("can reach any place in the room"));
    assert!(steps.is_empty());
}

/// Only a tape or film, and only a bird as free as in practice, tell where a session may start.
#[test]
fn a_calm_distance_by_eye_or_behind_bars_starts_no_work_without_them() {
    let start = |yaml: &str| plan(yaml).training.lists[0].start;
    assert_eq!(start(HOME), 6);
    let by_eye = HOME.replace("measured-by: tape", "measured-by: estimate");
    assert_ne!(by_eye, HOME);
    assert_eq!(start(&by_eye), 1);
    assert_eq!(start(STATIONED), 6);
    assert_eq!(
        start(&STATIONED.replace("bird-place: out", "bird-place: in the cage")),
        1
    );
}

#[test]
fn without_bars_nobody_whom_a_bite_could_harm_more_than_most_practises() {
    let cannot = |yaml: &str| plan(yaml).training.lists[0].cannot.clone();
    assert_eq!(cannot(STATIONED), None);
    let at_risk = STATIONED.replace("vulnerable: none", "vulnerable: blood thinner");
    assert!(
        cannot(&at_risk)
            .unwrap()
            .contains("no practice without bars")
    );
    assert!(cannot(&STATIONED.replace("    vulnerable: none\n", "")).is_some());
}
