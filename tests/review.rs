//! What must be true of every list of steps and of every review, tried over random rooms, distances, people and logs.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use std::sync::LazyLock;

use jiff::ToSpan;
use jiff::civil::Date;
use perchside::answers::Answers;
use perchside::facts::case::Case;
use perchside::ladder::{Ladder, Stage};
use perchside::log::{Change, ChangeKind, Day, Ended, Log, Red, Session};
use perchside::review::{Review, Reviewed};
use perchside::rulebook::{After, Work};
use perchside::training::{Condition, StepList, lists};
use proptest::prelude::*;
use support::{TODAY, decided, log_book, rulebook};

/// A home in which work through bars may start: the calm one of the examples, once the sound and the place are taught.
static HOME: LazyLock<String> = LazyLock::new(|| {
    include_str!("../examples/evening-conure/intake.yaml")
        .replace("marker: started", "marker: one person")
        .replace("station: none", "station: one person")
});

fn on(days_ago: i32) -> Date {
    TODAY.checked_sub(days_ago.days()).unwrap()
}

fn session(days_ago: i32, start: u32, best: u32) -> Session {
    Session {
        index: 0,
        date: on(days_ago),
        person: "Wren".to_owned(),
        favoured_there: Some(true),
        stage: Stage::ThroughBarrier,
        sheet: None,
        minutes: Some(6.0),
        start,
        top: start.max(best),
        best,
        tries: 6,
        calm: 6,
        ambers: 0,
        threats: 0,
        red: Red::None,
        seconds_to_take: Some(3.0),
        pieces: Some(6),
        ended: Some(Ended::ByPlan),
        as_written: true,
        poor_sleep: None,
        odd_health: None,
        rating: None,
    }
}

fn quiet_day(days_ago: i32) -> Day {
    Day {
        index: 0,
        date: on(days_ago),
        incidents: 0,
        threats: 0,
        injury: None,
        person: None,
        body_part: None,
        slips: Some(0),
        weight_g: None,
        poor_sleep: None,
        odd_health: None,
        new: 0,
    }
}

/// A log of these sessions, with a quiet day for each of the last four weeks.
fn log(sessions: Vec<Session>) -> Log {
    let mut log = Log {
        sessions,
        days: (0..28).rev().map(quiet_day).collect(),
        changes: Vec::new(),
        answers: Answers::blank(&log_book().questionnaire),
        fingerprint: String::new(),
    };
    for (index, session) in log.sessions.iter_mut().enumerate() {
        session.index = index;
    }
    log.sessions.sort_by_key(|it| (it.date, it.index));
    log
}

fn review(log: &Log) -> Review {
    let (intake, _) = decided(&HOME);
    Review::of(rulebook(), log_book(), &intake.answers, log, TODAY)
}

fn first(review: &Review) -> &Reviewed {
    review.lists.first().expect("a list of steps")
}

fn away(ladder: &Ladder, step: usize) -> f64 {
    ladder.steps[step - 1]
        .conditions
        .distance_cm
        .unwrap_or(f64::INFINITY)
}

fn spoke(reviewed: &Reviewed) -> Vec<&'static str> {
    reviewed
        .next
        .spoke
        .iter()
        .map(|it| log_book().rules[it.rule].id.as_str())
        .collect()
}

#[test]
fn a_first_session_starts_and_stays_where_the_list_starts() {
    let review = review(&log(Vec::new()));
    let it = first(&review);
    assert_eq!((it.next.begin, it.next.cap), (6, 6));
    assert_eq!(it.next.work, Work::Steps);
    assert!(spoke(it).contains(&"no-session-with-this-list-yet"));
}

#[test]
fn steps_wait_until_the_place_and_the_signal_are_taught() {
    let untaught = HOME.replace("station: one person", "station: started");
    for (home, known) in [
        (untaught, true),
        (HOME.replace("  station: one person\n", ""), false),
    ] {
        let (intake, _) = decided(&home);
        let log = log(vec![session(1, 6, 6)]);
        let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
        let it = first(&review);
        assert_eq!(it.next.work, Work::Easy);
        let rule = it
            .next
            .spoke
            .iter()
            .find(|it| log_book().rules[it.rule].id == "skills-come-first");
        assert_eq!(rule.map(|it| it.known), Some(known));
    }
}

#[test]
fn after_good_sessions_work_starts_one_below_the_best_and_may_take_one_new_step() {
    let sessions = (0..4).map(|at| session(7 - at * 2, 6 + at as u32, 7 + at as u32));
    let review = review(&log(sessions.collect()));
    let it = first(&review);
    assert_eq!(spoke(it), Vec::<&str>::new());
    assert_eq!((it.next.begin, it.next.cap), (9, 11));
    assert_eq!(it.floor.map(|floor| floor.0), Some(8));
    assert_eq!(
        (it.next.after, it.next.not_before),
        (After::AnyDay, Some(TODAY))
    );
}

// Practice handbook, section 7: the last session against the next start.
#[test]
fn the_table_of_the_trade_holds() {
    let earlier = || vec![session(5, 7, 8), session(3, 7, 8)];
    let after = |change: fn(&mut Session)| {
        let mut last = session(1, 8, 9);
        change(&mut last);
        let mut sessions = earlier();
        sessions.push(last);
        let review = review(&log(sessions));
        let it = first(&review);
        (
            it.next.begin,
            it.next.cap,
            it.next.shorter,
            it.next.after,
            it.next.work,
        )
    };
    let steps = Work::Steps;
    // All green: one below the best calm step, one new step.
    assert_eq!(after(|_| ()), (8, 10, false, After::AnyDay, steps));
    // Green but under nine of ten: the same start, no rise.
    assert_eq!(after(|it| it.calm = 5), (8, 9, false, After::AnyDay, steps));
    // One amber: the same start, the last green step, a third shorter.
    assert_eq!(
        after(|it| it.ambers = 1),
        (8, 8, true, After::AnyDay, steps)
    );
    // Two ambers: one lower.
    assert_eq!(
        after(|it| it.ambers = 2),
        (7, 8, true, After::AnyDay, steps)
    );
    // A red sign, nobody touched: two lower, on the next day at the earliest.
    assert_eq!(
        after(|it| {
            it.red = Red::Sign;
            it.ended = Some(Ended::Red);
        }),
        (6, 6, true, After::NextDay, steps)
    );
    // Not as written: the same start and no further.
    assert_eq!(
        after(|it| it.as_written = false),
        (8, 8, false, After::AnyDay, steps)
    );
}

#[test]
fn a_touch_waits_for_a_call_and_broken_skin_for_a_written_restart() {
    let with = |red, injury: u8| {
        let mut last = session(1, 8, 9);
        last.red = red;
        let mut log = log(vec![session(5, 7, 8), session(3, 7, 8), last]);
        let day = log.days.iter_mut().find(|day| day.date == on(1)).unwrap();
        day.incidents = 1;
        day.injury = Some(injury);
        day.person = Some("Wren".to_owned());
        day.body_part = Some(0);
        log
    };
    let touched = review(&with(Red::Contact, 1));
    assert_eq!(first(&touched).next.after, After::Call);
    assert!(first(&touched).next.not_before.is_none());

    let mut bitten = with(Red::BrokenSkin, 3);
    let frozen = review(&bitten);
    assert_eq!(first(&frozen).next.after, After::Restart);
    assert_eq!(first(&frozen).next.work, Work::None);
    assert!(spoke(first(&frozen)).contains(&"skin-broken-since-the-last-restart"));

    // A restart in writing lifts the freeze; what else holds the work still holds it.
    bitten.changes.push(Change {
        index: 0,
        date: TODAY,
        kind: ChangeKind::RestartAgreed,
        what: 4,
        person: None,
        step: None,
        by: Some("consultant".to_owned()),
        note: None,
    });
    let restarted = review(&bitten);
    assert!(!spoke(first(&restarted)).contains(&"skin-broken-since-the-last-restart"));
    assert!(spoke(first(&restarted)).contains(&"skin-was-broken-this-week"));
    assert!(first(&restarted).next.begin <= 6);
}

#[test]
fn a_gap_takes_the_start_back() {
    let begin = |days| {
        let sessions = [2, 1, 0].map(|more| session(days + more, 8, 9));
        let review = review(&log(sessions.to_vec()));
        (first(&review).next.begin, first(&review).next.new_list)
    };
    assert_eq!(begin(3), (8, false));
    assert_eq!((begin(4), begin(13)), ((7, false), (7, false)));
    assert_eq!((begin(14), begin(29)), ((6, false), (6, false)));
    assert_eq!(begin(30), (6, true));
}

#[test]
fn a_bite_in_the_log_counts_like_a_bite_in_the_form() {
    let (intake, without) = decided(&HOME);
    let mut log = log(vec![session(1, 8, 9)]);
    let day = log.days.iter_mut().find(|day| day.date == on(2)).unwrap();
    (day.incidents, day.injury, day.person) = (2, Some(4), Some("Wren".to_owned()));
    let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
    assert!(review.decision.verdict.risk.known > without.verdict.risk.known);
    let bites = rulebook().questionnaire.group("bites").unwrap();
    let count = |answers: &Answers| answers.entries(bites).map_or(0, <[_]>::len);
    assert_eq!(count(&review.answers), count(&intake.answers) + 2);
    // Written into the form as well, one of them is not counted twice.
    let told = HOME.replacen(
        "bites:\n",
        &format!(
            "bites:\n  - {{date: {}, person: Wren, injury: medical-care}}\n",
            on(2)
        ),
        1,
    );
    let (intake, _) = decided(&told);
    let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
    assert_eq!(count(&review.answers), count(&intake.answers) + 1);
}

#[test]
fn the_record_of_sessions_proves_the_gate_and_a_red_one_begins_it_anew() {
    let question = |review: &Review, name: &str| {
        let (group, at) = rulebook().questionnaire.find(name).unwrap();
        review.answers.given(group, None, at).cloned()
    };
    let number = |n: f64| Some(perchside::answers::Given::Number(n));
    let mut sessions: Vec<Session> = (0..12).map(|at| session(26 - at * 2, 8, 9)).collect();
    let clean = review(&log(sessions.clone()));
    assert_eq!(question(&clean, "progress.barrier-sessions"), number(12.0));
    assert_eq!(question(&clean, "progress.barrier-days"), number(23.0));
    assert_eq!(question(&clean, "progress.barrier-red"), number(0.0));
    sessions[8].red = Red::Sign;
    let broken = review(&log(sessions.clone()));
    assert_eq!(question(&broken, "progress.barrier-sessions"), number(3.0));
    assert_eq!(question(&broken, "progress.barrier-red"), number(0.0));
    sessions[11].red = Red::Sign;
    let ends_red = review(&log(sessions));
    assert_eq!(
        question(&ends_red, "progress.barrier-sessions"),
        number(0.0)
    );
    assert_eq!(question(&ends_red, "progress.barrier-red"), number(1.0));
}

#[test]
fn a_step_put_in_between_moves_the_numbers_of_later_steps() {
    // Steps 7 and 8 lie at 147 and 118 cm.
    let mut with = log(vec![session(6, 7, 8)]);
    with.changes.push(Change {
        index: 0,
        date: on(4),
        kind: ChangeKind::StepSplit,
        what: 2,
        person: Some("Wren".to_owned()),
        step: Some(8),
        by: None,
        note: None,
    });
    let review = review(&with);
    let it = first(&review);
    assert_eq!(it.ladder.steps.len(), 29);
    // What was step 8 is step 9 now.
    assert_eq!(it.points[0].best, 9);
    // A sheet of the list before tells the old numbers, whatever the day.
    let old = perchside::training::mark(it.list.ladder().unwrap());
    let mut late = session(1, 7, 8);
    late.sheet = Some(old);
    with.sessions.push(late);
    let again = Review::of(
        rulebook(),
        log_book(),
        &decided(&HOME).0.answers,
        &with,
        TODAY,
    );
    assert_eq!(first(&again).points[1].best, 9);
    // A sheet nobody knows says nothing.
    with.sessions[1].sheet = Some("zzzz".to_owned());
    let lost = Review::of(
        rulebook(),
        log_book(),
        &decided(&HOME).0.answers,
        &with,
        TODAY,
    );
    assert_eq!(first(&lost).points.len(), 1);
    assert!(spoke(first(&lost)).contains(&"another-sheet-was-used"));
    assert_eq!(first(&lost).next.begin, 6);
}

/// Steps 10 and 12 of this list are alike: after the line the person goes back a move before moving. A log means the one it names.
#[test]
fn steps_that_look_alike_keep_their_numbers() {
    let review = review(&log(vec![
        session(5, 11, 12),
        session(3, 11, 12),
        session(1, 11, 12),
    ]));
    let it = first(&review);
    let conditions = |step: usize| &it.ladder.steps[step - 1].conditions;
    assert_eq!(conditions(10), conditions(12));
    assert_eq!(it.points[0].best, 12);
    assert_eq!(
        (it.next.begin, it.next.cap, it.floor.map(|floor| floor.0)),
        (11, 13, Some(12))
    );
}

/// Whoever follows the card to the letter, all calm, gets to the end of the list.
#[test]
fn a_household_that_does_as_the_card_says_gets_to_the_end() {
    let (intake, _) = decided(&HOME);
    let mut log = log(Vec::new());
    log.days.clear();
    let mut day: Date = "2027-01-01".parse().unwrap();
    let mut sessions = 0;
    loop {
        for ago in [2, 1] {
            let date = day.checked_sub(ago.days()).unwrap();
            log.days.push(Day {
                date,
                ..quiet_day(0)
            });
        }
        let review = Review::of(rulebook(), log_book(), &intake.answers, &log, day);
        // After a month the visit's answers would be told anew; the list stays what it was.
        let Some(it) = review.lists.first() else {
            panic!("no list on {day}")
        };
        let steps = it.ladder.steps.len();
        if it.points.last().is_some_and(|point| point.best == steps) {
            break;
        }
        assert_eq!(it.next.work, Work::Steps, "{day}: {:?}", spoke(it));
        assert!(it.next.not_before.is_some(), "{day}: {:?}", spoke(it));
        log.sessions.push(Session {
            date: day,
            start: it.next.begin as u32,
            top: it.next.cap as u32,
            best: it.next.cap as u32,
            index: log.sessions.len(),
            ..session(0, 1, 1)
        });
        sessions += 1;
        assert!(sessions < 60, "no end: at step {}", it.next.cap);
        day = day.checked_add(2.days()).unwrap();
    }
    // One new step a session, from the sixth to the twenty-eighth.
    assert!((23..=25).contains(&sessions), "{sessions}");
}

#[test]
fn measuring_again_begins_the_list_anew() {
    let mut with = log(vec![session(6, 9, 10), session(5, 9, 10)]);
    with.changes.push(Change {
        index: 0,
        date: on(4),
        kind: ChangeKind::MeasuredAgain,
        what: 3,
        person: None,
        step: None,
        by: None,
        note: None,
    });
    let review = review(&with);
    assert_eq!(first(&review).sessions, 0);
    assert_eq!(first(&review).next.begin, 6);
}

/// Some sessions, oldest first, as a household may have worked them.
fn sessions() -> impl Strategy<Value = Vec<Session>> {
    let one = (
        0..40_i32,
        1..28_u32,
        -2..4_i32,
        -3..3_i32,
        (1..9_u32, 0..9_u32),
        (0..3_u32, 0..3_u32, 0..4_u8),
        (any::<bool>(), any::<bool>(), 1..15_u32),
    )
        .prop_map(
            |(
                ago,
                start,
                rise,
                fell,
                (tries, calm),
                (ambers, threats, red),
                (plan, written, minutes),
            )| {
                let top = (start as i32 + rise.max(0)).clamp(1, 28) as u32;
                let best = (top as i32 + fell.min(0)).clamp(0, 28) as u32;
                Session {
                    start: start.min(top),
                    top,
                    best,
                    tries,
                    calm: calm.min(tries),
                    ambers,
                    threats,
                    red: [Red::None, Red::Sign, Red::Contact, Red::BrokenSkin][usize::from(red)],
                    ended: plan.then_some(Ended::ByPlan),
                    as_written: written,
                    minutes: Some(f64::from(minutes)),
                    ..session(ago, 1, 1)
                }
            },
        );
    prop::collection::vec(one, 0..12).prop_map(|mut all| {
        all.sort_by_key(|it| it.date);
        all
    })
}

/// That one next session is nowhere nearer, longer, sooner or looser than another of the same list.
fn no_looser(worse: &Reviewed, better: &Reviewed) -> Result<(), TestCaseError> {
    let (a, b) = (&worse.next, &better.next);
    prop_assert!(a.begin <= b.begin, "begin {} {}", a.begin, b.begin);
    prop_assert!(a.cap <= b.cap, "cap {} {}", a.cap, b.cap);
    prop_assert!(
        away(&worse.ladder, a.begin) >= away(&better.ladder, b.begin),
        "nearer"
    );
    prop_assert!(a.shorter >= b.shorter);
    prop_assert!(a.after >= b.after);
    prop_assert!(a.work >= b.work);
    prop_assert!(a.tell >= b.tell);
    prop_assert!(a.new_list >= b.new_list);
    match (a.not_before, b.not_before) {
        (Some(a), Some(b)) => prop_assert!(a >= b),
        (None, _) => {}
        (Some(_), None) => prop_assert!(false, "sooner"),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_red_sign_never_brings_a_nearer_longer_or_looser_session(
        sessions in sessions(),
        at in any::<prop::sample::Index>(),
        worse in 1..4_usize,
    ) {
        prop_assume!(!sessions.is_empty());
        let mut with = sessions.clone();
        let slot = &mut with[at.index(sessions.len())];
        let reds = [Red::None, Red::Sign, Red::Contact, Red::BrokenSkin];
        slot.red = slot.red.max(reds[worse]);
        let (one, other) = (review(&log(with)), review(&log(sessions)));
        prop_assert!(one.decision.verdict.start.until_answered >= other.decision.verdict.start.until_answered);
        prop_assert!(one.is_held() || !other.is_held());
        let (a, b) = (first(&one), first(&other));
        if a.list.stage == b.list.stage {
            no_looser(a, b)?;
        }
    }

    #[test]
    fn more_ambers_threats_or_fewer_calm_tries_never_loosen(
        sessions in sessions(),
        at in any::<prop::sample::Index>(),
        (ambers, threats, calm) in (0..3_u32, 0..3_u32, 0..4_u32),
    ) {
        prop_assume!(!sessions.is_empty());
        let mut with = sessions.clone();
        let slot = &mut with[at.index(sessions.len())];
        slot.ambers += ambers;
        slot.threats += threats;
        slot.calm = slot.calm.saturating_sub(calm);
        slot.as_written &= calm != 1;
        let (one, other) = (review(&log(with)), review(&log(sessions)));
        let (a, b) = (first(&one), first(&other));
        if a.list.stage == b.list.stage {
            no_looser(a, b)?;
        }
    }

    #[test]
    fn a_day_with_a_touch_never_loosens(
        sessions in sessions(),
        ago in 0..28_i32,
        injury in prop::option::of(1..6_u8),
    ) {
        let quiet = log(sessions);
        let mut with = quiet.clone();
        let day = with.days.iter_mut().find(|day| day.date == on(ago)).unwrap();
        day.incidents = 1;
        day.injury = injury;
        let (one, other) = (review(&with), review(&quiet));
        let (a, b) = (first(&one), first(&other));
        // A touch told by its day takes the place of the guess that a session alone gives.
        let guessed = quiet.sessions.iter().any(|it| it.date == on(ago) && it.red >= Red::Contact);
        if a.list.stage == b.list.stage && !guessed {
            no_looser(a, b)?;
        }
    }

    #[test]
    fn no_step_is_ever_skipped(sessions in sessions()) {
        let review = review(&log(sessions));
        let it = first(&review);
        let steps = it.ladder.steps.len();
        prop_assert!((1..=steps).contains(&it.next.begin) && it.next.begin <= it.next.cap && it.next.cap <= steps);
        // One new step past what was calm in the last session, or the start of the list.
        let best = it.points.last().map_or(0, |point| point.best);
        prop_assert!(it.next.cap <= (best + 1).max(it.next.begin));
        prop_assert!(it.next.begin <= best.max(it.list.ladder().unwrap().start + 1));
    }

    #[test]
    fn the_order_in_which_a_log_was_typed_does_not_matter(sessions in sessions(), seed in any::<u64>()) {
        // On one day the order of sessions is that of the file; here each has a day of its own.
        let mut days = Vec::new();
        let sessions: Vec<Session> = sessions.into_iter().filter(|it| {
            let new = !days.contains(&it.date);
            days.push(it.date);
            new
        }).collect();
        let mut shuffled = sessions.clone();
        let mut state = seed | 1;
        for at in (1..shuffled.len()).rev() {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            shuffled.swap(at, (state % (at as u64 + 1)) as usize);
        }
        let (one, other) = (review(&log(sessions)), review(&log(shuffled)));
        prop_assert_eq!(format!("{:?}", first(&one).next), format!("{:?}", first(&other).next));
    }
}

/// A home with random distances, room, people and skills.
fn home() -> impl Strategy<Value = (String, Option<f64>, Option<f64>)> {
    (
        prop::collection::vec((10..600_u32, prop::option::of(10..600_u32), any::<bool>(), 0..3_usize), 0..5),
        prop::option::of((150..900_u32, 150..900_u32)),
        prop::option::of(1..120_u32),
        prop::option::of(1..300_u32),
        (any::<bool>(), any::<bool>(), any::<bool>()),
    )
        .prop_map(|(measures, room, reach, strike, (sought, calmly, placed))| {
            let mut text = String::from("people:\n  - {name: a, age: 40 years, role: reacted-to, vulnerable: none}\n");
            if sought {
                text.push_str("  - {name: b, age: 41 years, role: favoured, vulnerable: none}\n");
            }
            let (mut calm, mut line) = (None, None);
            if !measures.is_empty() {
                text.push_str("distances:\n");
            }
            for (sign, eats, near, how) in &measures {
                let how = ["estimate", "video", "tape"][*how];
                text.push_str(&format!("  - {{person: a, bird-place: in the cage, favoured-near: {}, first-sign: {sign} cm, measured-by: {how}", if *near { "yes" } else { "no" }));
                if let Some(eats) = eats {
                    text.push_str(&format!(", calm-eating: {eats} cm"));
                    calm = Some(calm.map_or(f64::from(*eats), |other: f64| other.max(f64::from(*eats))));
                }
                if let Some(strike) = strike {
                    text.push_str(&format!(", strike-at: {strike} cm"));
                    line = Some(f64::from(strike));
                }
                text.push_str("}\n");
            }
            text.push_str("bird: {size: medium}\nhousing: {cage-length: 80 cm, cage-width: 60 cm");
            if let Some(reach) = reach {
                text.push_str(&format!(", reach-at-bars: {reach} cm"));
                line = Some(line.map_or(f64::from(reach) + 30.0, |other: f64| other.max(f64::from(reach) + 30.0)));
            }
            text.push_str("}\n");
            if let Some((width, depth)) = room {
                text.push_str(&format!("room: {{width: {width} cm, depth: {depth} cm"));
                if placed {
                    text.push_str(", cage-left: 0 cm, cage-back: 0 cm");
                }
                text.push_str("}\n");
            }
            if calmly {
                text.push_str("rewards: {takes-calmly: yes}\nskills: {marker: one person, station: one person}\n");
            }
            (text, calm, line)
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn every_list_is_graded_and_nobody_stands_within_reach((text, calm, line) in home()) {
        let Ok((intake, _)) = perchside::intake::Intake::read(
            &rulebook().questionnaire,
            &rulebook().vocabulary,
            perchside::source::Source::new("home", text.as_str()),
            TODAY,
        ) else {
            // A reach that no bird of this size has is refused.
            return Ok(());
        };
        let decision = perchside::decision::decide(rulebook(), &intake.answers, TODAY);
        let case = Case {
            vocabulary: &rulebook().vocabulary,
            answers: &intake.answers,
            groups: &decision.facts.groups,
        };
        let all: Vec<StepList> = lists(&case, &decision, Stage::ThroughBarrier);
        prop_assert!(!all.is_empty(), "{text}");
        for list in &all {
            let Ok(ladder) = &list.steps else { continue };
            let safe = list.safe_line_cm.unwrap();
            prop_assert!(line.is_none_or(|line| safe >= line), "{text}");
            for pair in ladder.steps.windows(2) {
                prop_assert_eq!(pair[0].conditions.differences(&pair[1].conditions).len(), 1);
            }
            for step in &ladder.steps {
                prop_assert!(step.conditions.distance_cm.is_none_or(|cm| cm >= safe - 1e-9));
            }
            if let Some(start) = ladder.start_cm {
                prop_assert!(calm.is_some(), "in view without a measure: {text}");
                // Never nearer than where it was seen to eat calmly in this condition.
                if list.condition == Condition::NobodySought {
                    continue;
                }
                let near = list.condition == Condition::FavouredThere;
                let measured = intake_calm(&text, near);
                prop_assert!(measured.is_some_and(|measured| start >= measured - 1e-9), "{text}");
            }
        }
    }
}

/// The largest distance of calm eating that was taken with a tape or from film, with the favoured person there or not.
fn intake_calm(text: &str, near: bool) -> Option<f64> {
    text.lines()
        .filter(|line| {
            line.contains(&format!(
                "favoured-near: {}",
                if near { "yes" } else { "no" }
            ))
        })
        .filter(|line| !line.contains("estimate"))
        .filter_map(|line| {
            let (_, after) = line.split_once("calm-eating: ")?;
            after.split(' ').next()?.parse().ok()
        })
        .reduce(f64::max)
}

#[test]
fn two_touches_on_one_day_are_both_told() {
    let touched = |red| Session {
        red,
        ..session(3, 6, 7)
    };
    let skin = || touched(Red::BrokenSkin);
    let bites = |sessions: Vec<Session>, days: Vec<Day>| {
        let mut log = log(sessions);
        log.days = days;
        let review = review(&log);
        let none = Log {
            sessions: Vec::new(),
            days: Vec::new(),
            ..log
        };
        let (bites, _) = rulebook().questionnaire.find("bites.date").unwrap();
        let count = |review: &Review| review.answers.entries(bites).unwrap().len();
        count(&review) - count(&self::review(&none))
    };
    let day = |injury| Day {
        incidents: 1,
        injury: Some(injury),
        person: Some("Wren".to_owned()),
        ..quiet_day(3)
    };
    assert_eq!(bites(vec![touched(Red::Contact), skin()], Vec::new()), 2);
    // A bruise on the sheet for days is the touch of the session, and is not the wound.
    assert_eq!(bites(vec![touched(Red::Contact)], vec![day(2)]), 1);
    assert_eq!(bites(vec![skin()], vec![day(2)]), 2);
    assert_eq!(bites(vec![skin()], vec![day(3)]), 1);
    // A miss is no touch, and another person's bite is not this one.
    assert_eq!(bites(vec![touched(Red::Contact)], vec![day(0)]), 2);
    let other = Day {
        person: Some("Ada".to_owned()),
        ..day(3)
    };
    assert_eq!(bites(vec![skin()], vec![other]), 2);
}

fn change(kind: ChangeKind, days_ago: i32) -> Change {
    Change {
        index: 0,
        date: on(days_ago),
        kind,
        what: 4,
        person: None,
        step: None,
        by: Some("consultant".to_owned()),
        note: None,
    }
}

fn touched(log: &mut Log, days_ago: i32, injury: Option<u8>, person: &str) {
    let date = on(days_ago);
    let day = log.days.iter_mut().find(|day| day.date == date).unwrap();
    (day.incidents, day.injury, day.person) = (1, injury, Some(person.to_owned()));
    day.body_part = Some(0);
}

/// A touch that is no part of practice stops it all the same, until a call; whoever was touched, for all lists.
#[test]
fn a_touch_outside_practice_waits_for_a_call() {
    let mut log = log(vec![session(5, 7, 8), session(3, 7, 8)]);
    assert_eq!(first(&review(&log)).next.after, After::AnyDay);
    touched(&mut log, 1, Some(1), "Wren");
    let waits = review(&log);
    for list in &waits.lists {
        assert_eq!(list.next.after, After::Call);
        assert_eq!(list.next.tell, perchside::rulebook::Tell::SameDay);
        assert!(list.next.not_before.is_none());
    }
    // A call on the very day may have been before the touch. From the day after on it counts, also for touches in sessions.
    log.changes = vec![change(ChangeKind::CallTookPlace, 1)];
    assert_eq!(first(&review(&log)).next.after, After::Call);
    log.changes = vec![change(ChangeKind::CallTookPlace, 0)];
    let goes_on = review(&log);
    assert_eq!(first(&goes_on).next.after, After::AnyDay);
    assert!(spoke(first(&goes_on)).contains(&"someone-was-touched-this-week"));
    log.sessions[1].red = Red::Contact;
    touched(&mut log, 3, Some(1), "Wren");
    log.changes = vec![change(ChangeKind::CallTookPlace, 4)];
    assert_eq!(first(&review(&log)).next.after, After::Call);
    // A written restart is a call as well.
    log.changes = vec![change(ChangeKind::RestartAgreed, 0)];
    assert!(!spoke(first(&review(&log))).contains(&"touch-not-talked-about-yet"));
}

#[test]
fn a_wound_is_known_a_hurt_that_nobody_told_may_be_one_and_the_day_of_a_restart_counts() {
    let known = |log: &Log| {
        let review = review(log);
        let spoke = &first(&review).next.spoke;
        let rule = |it: &&perchside::review::Spoke| {
            log_book().rules[it.rule].id == "skin-broken-since-the-last-restart"
        };
        spoke.iter().find(rule).map(|it| it.known)
    };
    let mut wound = log(vec![Session {
        red: Red::BrokenSkin,
        ..session(20, 7, 8)
    }]);
    assert_eq!(known(&wound), Some(true));
    // Its day tells the same bite, and how bad it was; or it tells of another one, and the wound stays what it was.
    touched(&mut wound, 20, Some(3), "Wren");
    assert_eq!(known(&wound), Some(true));
    touched(&mut wound, 20, Some(1), "Wren");
    assert_eq!(known(&wound), Some(true));
    wound.changes = vec![change(ChangeKind::RestartAgreed, 20)];
    assert_eq!(known(&wound), Some(true));
    wound.changes = vec![change(ChangeKind::RestartAgreed, 19)];
    assert_eq!(known(&wound), None);

    let mut open = log(vec![session(20, 7, 8)]);
    touched(&mut open, 10, None, "Wren");
    assert_eq!(known(&open), Some(false));
    touched(&mut open, 10, Some(2), "Wren");
    assert_eq!(known(&open), None);
}

#[test]
fn someone_touched_again_is_not_new() {
    let new = |log: &Log| spoke(first(&review(log))).contains(&"someone-new-was-touched");
    let mut log = log(vec![session(20, 7, 8)]);
    touched(&mut log, 5, Some(1), "Kim");
    assert!(new(&log));
    touched(&mut log, 20, Some(1), "Kim");
    log.changes = vec![change(ChangeKind::RestartAgreed, 15)];
    assert!(!new(&log));
}

#[test]
fn a_start_that_is_held_back_is_no_nearer_either() {
    let base = review(&log(Vec::new()));
    let ladder = &first(&base).ladder;
    // Steps that go a move away again: the one before them is nearer.
    let away_again: Vec<usize> = (7..=ladder.steps.len())
        .filter(|step| away(ladder, step - 1) < away(ladder, *step))
        .collect();
    assert!(!away_again.is_empty());
    for step in away_again {
        let mut last = session(0, step as u32, step as u32);
        last.ambers = 1;
        let review = review(&log(vec![session(2, step as u32, step as u32), last]));
        let it = first(&review);
        assert!(away(&it.ladder, it.next.begin) >= away(&it.ladder, step));
        assert!(it.next.begin < step);
    }
}

#[test]
fn a_session_climbs_two_steps_at_most() {
    // It took three known steps today; a second session starts where that one started, and goes up by two.
    let review = review(&log(vec![
        session(4, 8, 9),
        session(2, 8, 9),
        session(0, 6, 9),
    ]));
    assert_eq!((first(&review).next.begin, first(&review).next.cap), (6, 8));
}

#[test]
fn a_list_to_be_replaced_is_not_worked() {
    let mut bitten = log(vec![
        session(12, 7, 8),
        Session {
            red: Red::BrokenSkin,
            ..session(10, 7, 8)
        },
    ]);
    bitten.changes = vec![change(ChangeKind::RestartAgreed, 9)];
    let review = review(&bitten);
    let next = &first(&review).next;
    assert!(next.new_list);
    assert_eq!(next.work, Work::Easy);
}

#[test]
fn a_session_that_does_not_say_who_was_there_counts_with_the_sought_person() {
    let review = review(&log(vec![Session {
        favoured_there: None,
        ..session(1, 6, 7)
    }]));
    assert_eq!(first(&review).list.condition, Condition::FavouredThere);
    assert_eq!(first(&review).sessions, 1);
}

#[test]
fn a_red_sign_today_and_a_best_step_that_fell_twice_are_seen() {
    let red = |days_ago| {
        let review = review(&log(vec![Session {
            red: Red::Sign,
            ..session(days_ago, 7, 8)
        }]));
        spoke(first(&review)).contains(&"red-sign-or-touch-today")
    };
    assert!(red(0) && !red(1));
    let fell = |best: [u32; 3]| {
        let all = best.iter().zip([6, 4, 2]);
        let review = review(&log(all
            .map(|(best, ago)| session(ago, 6, *best))
            .collect()));
        spoke(first(&review)).contains(&"best-calm-step-fell-twice")
    };
    assert!(fell([9, 8, 7]));
    assert!(!fell([8, 9, 7]) && !fell([8, 8, 7]) && !fell([9, 8, 8]));
}

#[test]
fn a_touch_in_a_session_may_have_left_a_bruise() {
    let review = review(&log(vec![Session {
        red: Red::Contact,
        ..session(3, 7, 8)
    }]));
    let (group, at) = rulebook().questionnaire.find("bites.injury").unwrap();
    let newest = review.answers.entries(group).unwrap().last().unwrap();
    assert_eq!(newest.given[at], perchside::answers::Given::Choice(2));
}

#[test]
fn nine_calm_tries_of_ten_are_good_and_eight_are_not() {
    let calm = |calm| Session {
        tries: 10,
        calm,
        ..session(1, 6, 7)
    };
    assert!(calm(9).is_good() && !calm(8).is_good());
}

#[test]
fn practice_by_someone_under_age_is_told_the_same_day() {
    let home = HOME.replace(
        "people:\n",
        "people:\n  - {name: Kit, age: 9 years, role: other}\n",
    );
    assert_ne!(home, *HOME);
    let (intake, _) = decided(&home);
    let by = |person: &str| {
        let mut log = log(vec![session(2, 6, 7), session(1, 6, 7)]);
        log.sessions[0].person = person.to_owned();
        let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
        spoke(first(&review)).contains(&"someone-under-18-practised")
    };
    assert!(by("Kit") && !by("Wren"));
}

#[test]
fn with_no_room_for_a_session_there_are_no_steps() {
    let work = |told: &str| {
        let home = HOME.replace("\nrewards:\n", &format!("\nrewards:\n  {told}\n"));
        assert_ne!(home, *HOME);
        let (intake, _) = decided(&home);
        let log = log(vec![session(2, 6, 7), session(1, 6, 7)]);
        let review = Review::of(rulebook(), log_book(), &intake.answers, &log, TODAY);
        first(&review).next.work
    };
    assert_eq!(work("pieces: 4"), Work::Easy);
    assert_eq!(work("pieces: 6"), Work::Steps);
}
