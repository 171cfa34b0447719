//! When a reply is due, worked by hand and against a slow reckoning minute by minute.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use jiff::civil::{Date, Weekday, date};
use jiff::{SignedDuration, Timestamp, ToSpan};
use perchside::clock;
use perchside::dates::PartialDate;
use perchside::hours::{Holidays, Hours, Shut, Span, Week, Within, zone};
use perchside::library::Library;
use perchside::source::Source;
use perchside::wording::Practice;
use proptest::prelude::*;

/// No reply is due later after its message.
const LONGEST_WAIT: SignedDuration = SignedDuration::from_hours(24 * 400);

const DAYS: [Weekday; 7] = [
    Weekday::Monday,
    Weekday::Tuesday,
    Weekday::Wednesday,
    Weekday::Thursday,
    Weekday::Friday,
    Weekday::Saturday,
    Weekday::Sunday,
];

fn spans(text: &str) -> Vec<Span> {
    text.split(", ")
        .filter(|part| !part.is_empty())
        .map(|part| {
            let (from, to) = part.split_once('-').unwrap();
            Span::new(clock::minutes(from).unwrap(), clock::minutes(to).unwrap()).unwrap()
        })
        .collect()
}

/// A week from its days, Monday first; the last is repeated to Sunday.
fn week(days: &[&str]) -> Week {
    Week::new(std::array::from_fn(|at| {
        spans(days.get(at).or(days.last()).unwrap())
    }))
}

fn hours(name: &str, week: Week, holidays: &[(Date, Date)]) -> Hours {
    let zone = zone::named(name).unwrap();
    Hours::new(zone, week, Holidays::new(holidays.iter().copied())).unwrap()
}

/// Monday to Friday, 9 to 17.
fn office(name: &str) -> Hours {
    let day = "9-17";
    hours(name, week(&[day, day, day, day, day, "", ""]), &[])
}

fn read(hours: &Hours, text: &str) -> Timestamp {
    hours.moment(&PartialDate::read_with_time(text).unwrap_or_else(|| panic!("{text}")))
}

const FOUR_HOURS: Within = Within::working_hours(4);
const fn days(days: u16) -> Within {
    Within::WorkingDays(days)
}

/// Holds each line `received, within, due` on the practice's clock, with and without the days worked out beforehand.
fn holds(hours: &Hours, lines: &[(&str, Within, &str)]) {
    for (received, within, due) in lines {
        let came = read(hours, received);
        let told = hours.due(came, *within);
        let shown = hours.zone().to_datetime(told);
        assert_eq!(told, read(hours, due), "{received} {within}: {shown}");
        assert_eq!(hours.clone().near(came).due(came, *within), told);
    }
}

#[test]
fn over_a_weekend_no_hour_counts() {
    let lisbon = office("Europe/Lisbon");
    // 2026-11-20 is a Friday.
    holds(
        &lisbon,
        &[
            ("2026-11-20 10:00", Within::Now, "2026-11-20 10:00"),
            ("2026-11-21 03:00", Within::Now, "2026-11-21 03:00"),
            ("2026-11-20 10:00", FOUR_HOURS, "2026-11-20 14:00"),
            ("2026-11-20 13:00", FOUR_HOURS, "2026-11-20 17:00"),
            ("2026-11-20 13:01", FOUR_HOURS, "2026-11-23 09:01"),
            ("2026-11-20 16:00", FOUR_HOURS, "2026-11-23 12:00"),
            // Came while shut: as if at Friday's closing.
            ("2026-11-20 17:00", FOUR_HOURS, "2026-11-23 13:00"),
            ("2026-11-20 23:59", FOUR_HOURS, "2026-11-23 13:00"),
            ("2026-11-22 12:00", FOUR_HOURS, "2026-11-23 13:00"),
            ("2026-11-23 08:59", FOUR_HOURS, "2026-11-23 13:00"),
            ("2026-11-23 09:00", FOUR_HOURS, "2026-11-23 13:00"),
            ("2026-11-20 10:00", days(1), "2026-11-23 10:00"),
            ("2026-11-20 18:00", days(1), "2026-11-23 17:00"),
            ("2026-11-22 12:00", days(1), "2026-11-23 17:00"),
            ("2026-11-23 08:59", days(1), "2026-11-23 17:00"),
            ("2026-11-23 09:00", days(1), "2026-11-24 09:00"),
            ("2026-11-20 10:00", days(3), "2026-11-25 10:00"),
            ("2026-11-20 10:00", days(5), "2026-11-27 10:00"),
            ("2026-11-23 16:59", days(5), "2026-11-30 16:59"),
            // A day alone counts from its first moment: the practice was shut then.
            ("2026-11-24", FOUR_HOURS, "2026-11-24 13:00"),
            ("2026-11-24", days(1), "2026-11-24 17:00"),
            ("2026-11-24", Within::Now, "2026-11-24 00:00"),
            // A month is its first day: Sunday, the first of November.
            ("2026-11", days(1), "2026-11-02 17:00"),
        ],
    );
}

#[test]
fn a_message_counts_by_the_clock_of_the_practice_wherever_it_was_sent() {
    let lisbon = office("Europe/Lisbon");
    holds(
        &lisbon,
        &[
            ("2026-11-20T16:30+00:00", FOUR_HOURS, "2026-11-23 12:30"),
            // Half past four in New York is half past nine in Lisbon, when nobody is in.
            ("2026-11-20T16:30-05:00", FOUR_HOURS, "2026-11-23 13:00"),
            ("2026-11-20T04:30-05:00", FOUR_HOURS, "2026-11-20 13:30"),
            // Saturday noon in Auckland is still Friday night.
            ("2026-11-21T12:00+13:00", days(1), "2026-11-23 17:00"),
            ("2026-11-24T01:00+13:00", days(1), "2026-11-24 12:00"),
            ("2026-11-23T12:00Z", days(1), "2026-11-24 12:00"),
        ],
    );
    // Half an hour off the full hour.
    let kolkata = office("Asia/Kolkata");
    holds(
        &kolkata,
        &[
            ("2026-11-20T08:30Z", FOUR_HOURS, "2026-11-23 10:00"),
            ("2026-11-20 14:00", FOUR_HOURS, "2026-11-23 10:00"),
            ("2026-11-20T11:29Z", days(1), "2026-11-23 16:59"),
            ("2026-11-20T11:31Z", days(1), "2026-11-23 17:00"),
        ],
    );
    assert_eq!(
        kolkata.due(read(&kolkata, "2026-11-20 14:00"), FOUR_HOURS),
        "2026-11-23T04:30Z".parse().unwrap()
    );
}

#[test]
fn a_break_at_noon_is_no_working_time() {
    let split = "9:00-12:00, 14:00-18:00";
    let porto = hours(
        "Europe/Lisbon",
        week(&[split, split, split, split, "9:00-12:00", "14:00-15:00", ""]),
        &[],
    );
    // 2026-11-19 is a Thursday.
    holds(
        &porto,
        &[
            ("2026-11-19 11:00", FOUR_HOURS, "2026-11-19 17:00"),
            ("2026-11-19 12:30", FOUR_HOURS, "2026-11-19 18:00"),
            ("2026-11-19 13:59", FOUR_HOURS, "2026-11-19 18:00"),
            ("2026-11-19 15:30", FOUR_HOURS, "2026-11-20 10:30"),
            // 13:00 is shut: counted from noon, and noon is the end of the morning.
            ("2026-11-17 13:00", days(1), "2026-11-18 12:00"),
            // 16:00 on a Friday: the last open moment before it.
            ("2026-11-19 16:00", days(1), "2026-11-20 12:00"),
            // Saturday is not open before 14:00: its opening.
            ("2026-11-19 10:00", days(2), "2026-11-21 14:00"),
            ("2026-11-20 11:00", days(1), "2026-11-21 14:00"),
            ("2026-11-19 14:30", days(2), "2026-11-21 14:30"),
            ("2026-11-19 17:30", days(2), "2026-11-21 15:00"),
            ("2026-11-19 14:30", days(3), "2026-11-23 14:30"),
            ("2026-11-19 14:30", days(4), "2026-11-24 14:30"),
        ],
    );
}

#[test]
fn holidays_are_left_out_over_the_turn_of_the_year() {
    let day = "9-17";
    let lisbon = hours(
        "Europe/Lisbon",
        week(&[day, day, day, day, day, "", ""]),
        &[
            (date(2026, 12, 24), date(2027, 1, 1)),
            (date(2026, 12, 8), date(2026, 12, 8)),
            (date(2028, 2, 28), date(2028, 2, 28)),
        ],
    );
    holds(
        &lisbon,
        &[
            // Tuesday the 8th is a holiday.
            ("2026-12-07 15:00", FOUR_HOURS, "2026-12-09 11:00"),
            ("2026-12-07 15:00", days(1), "2026-12-09 15:00"),
            ("2026-12-08 11:00", days(1), "2026-12-09 17:00"),
            // From Wednesday the 23rd to Monday the 4th.
            ("2026-12-23 16:00", FOUR_HOURS, "2027-01-04 12:00"),
            ("2026-12-23 16:00", days(1), "2027-01-04 16:00"),
            ("2026-12-28 10:00", days(1), "2027-01-04 17:00"),
            ("2026-12-28 10:00", FOUR_HOURS, "2027-01-04 13:00"),
            ("2026-12-22 10:00", days(5), "2027-01-07 10:00"),
            // The 29th of February 2028 is a Tuesday, and the day before it a holiday.
            ("2028-02-25 12:00", days(1), "2028-02-29 12:00"),
            ("2028-02-25 12:00", days(2), "2028-03-01 12:00"),
            ("2028-02-29 16:00", FOUR_HOURS, "2028-03-01 12:00"),
            ("2026-11-30 15:00", FOUR_HOURS, "2026-12-01 11:00"),
        ],
    );
}

#[test]
fn without_hours_every_hour_of_every_day_counts() {
    let lisbon = Hours::round_the_clock(zone::named("Europe/Lisbon").unwrap());
    holds(
        &lisbon,
        &[
            ("2026-11-20 22:00", FOUR_HOURS, "2026-11-21 02:00"),
            ("2026-11-20 22:00", days(1), "2026-11-21 22:00"),
            ("2026-11-21 00:00", days(1), "2026-11-22 00:00"),
            ("2026-12-31 23:59", days(1), "2027-01-01 23:59"),
            ("2026-02-27 12:00", days(2), "2026-03-01 12:00"),
            ("2028-02-28 12:00", days(1), "2028-02-29 12:00"),
            ("2026-11-20", days(5), "2026-11-25 00:00"),
        ],
    );
    assert_eq!(
        lisbon.shut_between(Timestamp::UNIX_EPOCH, Timestamp::MAX),
        None
    );
}

/// Both changes of the clock, in opening hours and outside of them, in three zones.
#[test]
fn a_clock_that_is_put_forward_or_back_takes_or_gives_no_working_time() {
    for (name, forward, back) in [
        ("Europe/Lisbon", date(2026, 3, 29), date(2026, 10, 25)),
        ("America/New_York", date(2026, 3, 8), date(2026, 11, 1)),
        ("Australia/Sydney", date(2026, 10, 4), date(2026, 4, 5)),
    ] {
        // All are Sundays. Outside of opening hours: Friday to Monday, by the clock alone.
        let office = office(name);
        let always = hours(name, week(&["0-24"]), &[]);
        let night = hours(name, week(&["0-8"]), &[]);
        for (sunday, longer) in [(forward, -1), (back, 1)] {
            let at = |days: i64, time: &str| {
                format!("{} {time}", sunday.checked_add(days.days()).unwrap())
            };
            let lines = [
                (at(-2, "16:00"), FOUR_HOURS, at(1, "12:00")),
                (at(-2, "16:00"), days(1), at(1, "16:00")),
                (at(0, "12:00"), days(1), at(1, "17:00")),
            ];
            let lines = lines
                .each_ref()
                .map(|(a, within, b)| (a.as_str(), *within, b.as_str()));
            holds(&office, &lines);
            // Within them: four hours are four hours, whatever the clock says at their end.
            let midnight = read(&always, &at(0, "00:00"));
            for hours in [&always, &night] {
                let due = hours.due(midnight, FOUR_HOURS);
                assert_eq!(due.duration_since(midnight), SignedDuration::from_hours(4));
                let shown = hours.zone().to_datetime(due);
                assert_eq!(i64::from(shown.hour()), 4 - longer, "{name} {sunday}");
            }
            // The night shift is an hour shorter, or longer.
            let due = night.due(midnight, Within::working_hours(8));
            let seven = read(&night, &at(1, "01:00"));
            let eight = read(&night, &at(0, "07:00"));
            assert_eq!(
                due,
                if longer < 0 { seven } else { eight },
                "{name} {sunday}"
            );
            // A working day is the same time of day, not 24 hours.
            let due = always.due(read(&always, &at(-1, "12:00")), days(1));
            assert_eq!(due, read(&always, &at(0, "12:00")));
            let passed = due.duration_since(read(&always, &at(-1, "12:00")));
            assert_eq!(
                passed,
                SignedDuration::from_hours(24 + longer),
                "{name} {sunday}"
            );
        }
    }
}

#[test]
fn of_a_time_that_the_clock_leaves_out_or_shows_twice_the_earlier_counts() {
    let new_york = office("America/New_York");
    for (text, at) in [
        // 02:30 on the 8th of March: half past one, an hour before half past three.
        ("2026-03-08 02:30", "2026-03-08T06:30Z"),
        // 01:30 on the 1st of November comes at 05:30Z and at 06:30Z.
        ("2026-11-01 01:30", "2026-11-01T05:30Z"),
        ("2026-11-01T01:30-05:00", "2026-11-01T06:30Z"),
        ("2026-03-08", "2026-03-08T05:00Z"),
        ("2026-11-01 12:00", "2026-11-01T17:00Z"),
    ] {
        assert_eq!(read(&new_york, text), at.parse().unwrap(), "{text}");
    }
    // Where midnight is left out, the day begins at one.
    let santiago = office("America/Santiago");
    assert_eq!(
        read(&santiago, "2026-09-06"),
        "2026-09-06T04:00Z".parse().unwrap()
    );
    // Half an hour, on Lord Howe.
    let lord_howe = office("Australia/Lord_Howe");
    assert_eq!(
        read(&lord_howe, "2026-04-05 01:45"),
        "2026-04-04T14:45Z".parse().unwrap()
    );
    // In the hour that comes twice, a message counts by the first minute of it till it comes again.
    let always = Hours::round_the_clock(zone::named("America/New_York").unwrap());
    for (came, due) in [
        ("2026-11-01T00:59-04:00", "2026-11-02T00:59-05:00"),
        ("2026-11-01T01:30-04:00", "2026-11-02T01:00-05:00"),
        ("2026-11-01T01:30-05:00", "2026-11-02T01:30-05:00"),
        // Into the hour that is left out: when it would have begun.
        ("2026-03-07T02:30-05:00", "2026-03-08T03:00-04:00"),
        ("2026-03-07T03:00-05:00", "2026-03-08T03:00-04:00"),
        ("2026-03-07T03:01-05:00", "2026-03-08T03:01-04:00"),
    ] {
        assert_eq!(
            always.due(read(&always, came), days(1)),
            read(&always, due),
            "{came}"
        );
    }
}

/// Half past one comes twice: a practice that shuts at half past one is open till the second.
#[test]
fn a_practice_that_shuts_at_a_time_that_comes_twice_is_open_till_the_second() {
    let new_york = hours("America/New_York", week(&["0:00-1:30"]), &[]);
    holds(
        &new_york,
        &[
            (
                "2026-11-01 00:00",
                Within::working_hours(2),
                "2026-11-01T01:00-05:00",
            ),
            (
                "2026-11-01 00:00",
                Within::WorkingMinutes(150),
                "2026-11-01T01:30-05:00",
            ),
            (
                "2026-11-02 00:00",
                Within::working_hours(2),
                "2026-11-03 00:30",
            ),
        ],
    );
}

/// Hours that lie in an hour the clock leaves out: that day is no open day.
#[test]
fn a_day_whose_hours_the_clock_leaves_out_is_shut() {
    let day = "9-17";
    let new_york = hours(
        "America/New_York",
        week(&[day, "", "", "", "", day, "2:00-2:45"]),
        &[],
    );
    holds(
        &new_york,
        &[
            // Saturday the 28th of February, and the 7th of March.
            ("2026-02-28 10:00", days(1), "2026-03-01 02:45"),
            ("2026-03-07 10:00", days(1), "2026-03-09 10:00"),
            (
                "2026-03-07 16:30",
                Within::working_hours(1),
                "2026-03-09 09:30",
            ),
        ],
    );
}

#[test]
fn the_next_closing_is_told_only_when_it_comes_before_the_reply() {
    let split = "9:00-12:00, 14:00-18:00";
    let mut lisbon = hours(
        "Europe/Lisbon",
        week(&[split, split, split, split, "9-24", "0-13", ""]),
        &[(date(2026, 12, 1), date(2026, 12, 1))],
    );
    for _ in 0..2 {
        for (from, until, shut) in [
            ("2026-11-19 10:00", "2026-11-19 11:00", None),
            ("2026-11-19 10:00", "2026-11-19 12:00", None),
            (
                "2026-11-19 10:00",
                "2026-11-19 12:01",
                Some("2026-11-19 12:00"),
            ),
            (
                "2026-11-19 10:00",
                "2026-11-19 17:00",
                Some("2026-11-19 12:00"),
            ),
            (
                "2026-11-19 14:00",
                "2026-11-20 10:00",
                Some("2026-11-19 18:00"),
            ),
            // Shut already.
            (
                "2026-11-19 13:00",
                "2026-11-19 17:00",
                Some("2026-11-19 13:00"),
            ),
            (
                "2026-11-19 18:00",
                "2026-11-19 18:30",
                Some("2026-11-19 18:00"),
            ),
            // Friday runs on into Saturday.
            ("2026-11-20 10:00", "2026-11-21 09:00", None),
            (
                "2026-11-20 10:00",
                "2026-11-23 09:00",
                Some("2026-11-21 13:00"),
            ),
            (
                "2026-11-30 17:00",
                "2026-12-02 10:00",
                Some("2026-11-30 18:00"),
            ),
            ("2026-11-19 12:00", "2026-11-19 12:00", None),
            ("2026-11-19 13:00", "2026-11-19 10:00", None),
        ] {
            let (from, until) = (read(&lisbon, from), read(&lisbon, until));
            let told = lisbon.shut_between(from, until);
            assert_eq!(told, shut.map(|shut| read(&lisbon, shut)), "{from} {until}");
            assert_eq!(lisbon.closes_before(from, until), told.is_some());
        }
        let now = read(&lisbon, "2026-11-19");
        lisbon = lisbon.near(now);
    }
}

#[test]
fn a_practice_that_is_shut_for_ever_is_none() {
    let zone = || zone::named("UTC").unwrap();
    let refused = |week: Week, holidays: &[(Date, Date)]| {
        Hours::new(zone(), week, Holidays::new(holidays.iter().copied())).err()
    };
    assert_eq!(refused(week(&[""]), &[]), Some(Shut::EveryDay));
    let year = (date(2026, 1, 1), date(2027, 1, 1));
    assert_eq!(refused(week(&["9-17"]), &[year]), None);
    let (first, last) = (date(2026, 1, 1), date(2027, 1, 2));
    let too_long = Some(Shut::TooLong { first, last });
    assert_eq!(refused(week(&["9-17"]), &[(first, last)]), too_long);
    let (first, last) = (date(2026, 1, 1), date(2028, 12, 31));
    let too_long = Some(Shut::TooLong { first, last });
    assert_eq!(refused(week(&["9-17"]), &[(first, last)]), too_long);
    // A year a span, one after the other.
    let years: Vec<(Date, Date)> = (2026..=2028)
        .map(|year| (date(year, 1, 1), date(year, 12, 31)))
        .collect();
    assert_eq!(refused(week(&["9-17"]), &years), too_long);
    // Open on Mondays alone, and no Monday is a working day for 53 weeks.
    let mondays: Vec<(Date, Date)> = (0..60)
        .map(|at| date(2026, 1, 5).checked_add((7 * at).days()).unwrap())
        .map(|day| (day, day))
        .collect();
    let monday = week(&["9-17", ""]);
    assert!(matches!(
        refused(monday.clone(), &mondays),
        Some(Shut::TooLong { .. })
    ));
    assert_eq!(refused(monday, &mondays[..50]), None);
    // And to the end of time.
    let ever = (date(2026, 1, 1), Date::MAX);
    assert!(refused(week(&["9-17"]), &[ever]).is_some());
}

#[test]
fn a_reply_is_never_due_later_than_four_hundred_days_on_and_the_ends_of_time_are_no_trouble() {
    let shut = (date(2026, 1, 1), date(2026, 12, 20));
    let rare = hours("Europe/Lisbon", week(&["9:00-9:01", ""]), &[shut]);
    let came = read(&rare, "2025-12-31 12:00");
    let bound = came.checked_add(LONGEST_WAIT).unwrap();
    for within in [
        days(u16::MAX),
        Within::WorkingMinutes(u32::MAX),
        days(60),
        Within::working_hours(2),
    ] {
        assert_eq!(rare.due(came, within), bound, "{within}");
        assert_eq!(rare.clone().near(came).due(came, within), bound, "{within}");
    }
    let always = Hours::round_the_clock(rare.zone().clone());
    assert_eq!(always.due(came, days(401)), bound);
    assert_eq!(
        always.due(came, days(399)),
        read(&always, "2027-02-03 12:00")
    );
    assert_eq!(rare.due(came, days(1)), read(&rare, "2026-12-21 09:01"));
    for at in [Timestamp::MIN, Timestamp::MAX] {
        for within in [Within::Now, FOUR_HOURS, days(5)] {
            for hours in [
                rare.clone(),
                rare.clone().near(at),
                Hours::round_the_clock(rare.zone().clone()),
            ] {
                assert!(hours.due(at, within) >= at);
                let _ = hours.shut_between(at, Timestamp::MAX);
            }
        }
    }
}

/// Open for a minute a week, a practice works 57 minutes in 400 days.
#[test]
fn where_four_hundred_days_hold_too_little_working_time_the_reply_is_due_at_their_end() {
    let mondays = hours("Europe/Lisbon", week(&["9:00-9:01", ""]), &[]);
    holds(
        &mondays,
        &[
            (
                "2026-11-16 12:00",
                Within::WorkingMinutes(57),
                "2027-12-20 09:01",
            ),
            // A Tuesday at noon, when nobody is there.
            (
                "2026-11-16 12:00",
                Within::WorkingMinutes(58),
                "2027-12-21 12:00",
            ),
            ("2026-11-16 12:00", days(57), "2027-12-20 09:01"),
            ("2026-11-16 12:00", days(58), "2027-12-21 12:00"),
        ],
    );
}

const TABLE: [Within; 5] = [
    Within::Now,
    FOUR_HOURS,
    Within::WorkingDays(1),
    Within::WorkingDays(3),
    Within::WorkingDays(5),
];

#[test]
fn the_more_urgent_of_two_messages_never_waits_longer() {
    // Open for two hours a day: four working hours are two days.
    let short = hours("Europe/Lisbon", week(&["10-12"]), &[]);
    let came = read(&short, "2026-11-19 11:00");
    assert!(short.due(came, FOUR_HOURS) > short.due(came, days(1)));
    assert_eq!(short.due_by(came, &TABLE, 1), short.due(came, days(1)));
    assert_eq!(short.due_by(came, &TABLE, 2), short.due(came, days(1)));
    assert_eq!(short.due_by(came, &TABLE, 4), short.due(came, days(5)));
    assert_eq!(short.due_by(came, &TABLE, 0), came);
    assert_eq!(short.due_by(came, &TABLE, 5), came);
    // Where every day has the same hours, and no fewer than four, nothing is taken from any level.
    let office = office("Europe/Lisbon");
    for minute in (0..10_080).step_by(37) {
        let came = read(&office, "2026-11-16")
            .checked_add(minute.minutes())
            .unwrap();
        for (level, within) in TABLE.iter().enumerate() {
            assert_eq!(
                office.due_by(came, &TABLE, level),
                office.due(came, *within)
            );
        }
    }
}

const ZONES: [&str; 8] = [
    "Europe/Lisbon",
    "America/New_York",
    "Australia/Sydney",
    "Asia/Kolkata",
    "America/Santiago",
    "Australia/Lord_Howe",
    "Africa/Casablanca",
    "UTC",
];

/// Any hours: several spans a day or none, between two minutes of it, and some holidays. From 4 to 23 no clock is put forward or back.
fn any_hours(earliest: u16, latest: u16) -> impl Strategy<Value = Hours> {
    let span = (earliest..latest, 1_u16..900)
        .prop_map(move |(from, long)| Span::new(from, (from + long).min(latest)).unwrap());
    let day = prop_oneof![
        2 => Just(Vec::new()),
        5 => prop::collection::vec(span, 1..4),
        1 => Just(if earliest == 0 { vec![Span::DAY] } else { spans("9-17") }),
    ];
    let holiday = (0_i64..730, 0_i64..20).prop_map(|(from, long)| {
        let first = date(2026, 1, 1).checked_add(from.days()).unwrap();
        (first, first.checked_add(long.days()).unwrap())
    });
    let week = prop::array::uniform7(day).prop_map(Week::new);
    let holidays = prop::collection::vec(holiday, 0..6).prop_map(Holidays::new);
    (prop::sample::select(ZONES.as_slice()), week, holidays)
        .prop_filter_map("it is open at some time", |(name, week, holidays)| {
            Hours::new(zone::named(name).unwrap(), week, holidays).ok()
        })
}

/// A moment in 2026 or 2027, often near a change of the clock.
fn any_moment() -> impl Strategy<Value = Timestamp> {
    let anywhere = 1_767_225_600_i64..1_830_297_600;
    let changes = prop::sample::select(
        [
            "2026-03-08T07:00Z",
            "2026-11-01T06:00Z",
            "2026-03-29T01:00Z",
            "2026-10-25T01:00Z",
            "2026-04-04T16:00Z",
            "2026-10-03T16:00Z",
            "2026-04-05T03:00Z",
            "2026-09-06T04:00Z",
            "2026-04-04T15:00Z",
            "2027-01-01T00:00Z",
        ]
        .as_slice(),
    );
    let near = (changes, -180_000_i64..180_000)
        .prop_map(|(at, off)| at.parse::<Timestamp>().unwrap().as_second() + off);
    (prop_oneof![anywhere, near], 0_i32..1_000_000_000)
        .prop_map(|(second, nano)| Timestamp::new(second, nano).unwrap())
}

fn any_within() -> impl Strategy<Value = Within> {
    prop_oneof![
        Just(Within::Now),
        (0_u32..3000).prop_map(Within::WorkingMinutes),
        (0_u16..12).prop_map(Within::WorkingDays),
    ]
}

/// Time to reply that has to pass.
fn working() -> impl Strategy<Value = Within> {
    prop_oneof![
        (1_u32..3000).prop_map(Within::WorkingMinutes),
        (1_u16..12).prop_map(Within::WorkingDays),
    ]
}

/// True when the practice is open at a moment, by the clock on the wall and nothing else.
fn is_open(zone: &jiff::tz::TimeZone, week: &Week, holidays: &Holidays, at: Timestamp) -> bool {
    let wall = zone.to_datetime(at);
    let minute = u16::try_from(i32::from(wall.hour()) * 60 + i32::from(wall.minute())).unwrap();
    holidays.until(wall.date()).is_none()
        && week
            .on(wall.date().weekday())
            .iter()
            .any(|span| (span.from()..span.to()).contains(&minute))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_reply_is_due_before_its_message(hours in any_hours(0, 1440), came in any_moment(), within in any_within()) {
        let due = hours.due(came, within);
        prop_assert!(due >= came);
        if within == Within::Now {
            prop_assert_eq!(due, came);
        }
    }

    #[test]
    fn a_later_message_has_no_earlier_reply(
        hours in any_hours(0, 1440), came in any_moment(), later in 0_i64..200_000, within in any_within(),
    ) {
        let next = came.checked_add(SignedDuration::from_secs(later)).unwrap();
        prop_assert!(hours.due(came, within) <= hours.due(next, within), "{} {}", came, next);
    }

    #[test]
    fn more_time_is_no_sooner(hours in any_hours(0, 1440), came in any_moment(), few in 0_u16..12, more in 0_u16..12) {
        let (few, more) = (few.min(more), few.max(more));
        prop_assert!(hours.due(came, days(few)) <= hours.due(came, days(more)));
        let minutes = |count: u16| Within::WorkingMinutes(u32::from(count) * 97);
        prop_assert!(hours.due(came, minutes(few)) <= hours.due(came, minutes(more)));
        for level in 1..TABLE.len() {
            prop_assert!(hours.due_by(came, &TABLE, level - 1) <= hours.due_by(came, &TABLE, level));
        }
    }

    #[test]
    fn days_worked_out_beforehand_change_no_answer(
        hours in any_hours(0, 1440), came in any_moment(), now in any_moment(), within in any_within(),
    ) {
        let near = hours.clone().near(now);
        let due = hours.due(came, within);
        prop_assert_eq!(near.due(came, within), due);
        prop_assert_eq!(near.shut_between(came, due), hours.shut_between(came, due));
    }

    /// A reply that takes working time falls due while the practice is open, or as it shuts. One that 400 days are too short for is
    /// due at their end, whoever is there.
    #[test]
    fn a_reply_is_due_when_someone_is_there_or_after_four_hundred_days(
        hours in any_hours(0, 1440), came in any_moment(), within in working(),
    ) {
        let due = hours.due(came, within);
        let latest = came.checked_add(LONGEST_WAIT).unwrap();
        prop_assert!(due <= latest, "{}", due);
        let beside = SignedDuration::from_nanos(1);
        let open = |at: Timestamp| hours.shut_between(at, at.checked_add(beside).unwrap()).is_none();
        prop_assert!(due == latest || open(due) || open(due.checked_sub(beside).unwrap()), "{}", due);
    }

    /// Open and shut are what the clock on the wall says; looked at minute by minute.
    #[test]
    fn working_time_is_what_a_slow_count_gives(
        hours in any_hours(240, 1380), came in any_moment(), minutes in 1_u32..700,
    ) {
        let zone = hours.zone().clone();
        let came = Timestamp::new(came.as_second() / 60 * 60, 0).unwrap();
        let (week, holidays) = hours.told();
        let minute = SignedDuration::from_mins(1);
        let mut at = came;
        let mut left = minutes;
        let mut steps = 0;
        while left > 0 && steps < 60 * 24 * 60 {
            left -= u32::from(is_open(&zone, week, holidays, at));
            at = at.checked_add(minute).unwrap();
            steps += 1;
        }
        prop_assume!(left == 0);
        prop_assert_eq!(hours.due(came, Within::WorkingMinutes(minutes)), at);
    }

    /// So many open days later at the same time of day, reckoned with dates alone.
    #[test]
    fn working_days_are_what_a_calendar_gives(hours in any_hours(240, 1380), came in any_moment(), count in 1_u16..8) {
        let zone = hours.zone().clone();
        let (week, holidays) = hours.told();
        let came = Timestamp::new(came.as_second() / 60 * 60, 0).unwrap();
        // Back to the last open minute: the message came in it, or when it ended.
        let minute = SignedDuration::from_mins(1);
        let mut at = came;
        let mut steps = 0;
        while !is_open(&zone, week, holidays, at) && steps < 60 * 24 * 60 {
            at = at.checked_sub(minute).unwrap();
            steps += 1;
        }
        prop_assume!(steps < 60 * 24 * 60);
        let wall = zone.to_datetime(at);
        let mut time = i32::from(wall.hour()) * 60 + i32::from(wall.minute()) + i32::from(steps > 0);
        let mut day = wall.date();
        for _ in 0..count {
            loop {
                day = day.tomorrow().unwrap();
                if holidays.until(day).is_none() && !week.on(day.weekday()).is_empty() {
                    break;
                }
            }
        }
        let spans = week.on(day.weekday());
        if !spans.iter().any(|span| (i32::from(span.from())..=i32::from(span.to())).contains(&time)) {
            let before = spans.iter().rev().find(|span| i32::from(span.to()) < time);
            time = before.map_or(i32::from(spans[0].from()), |span| i32::from(span.to()));
        }
        let midnight = day.at(0, 0, 0, 0);
        let due = midnight.checked_add(time.minutes()).unwrap();
        prop_assert_eq!(hours.due(came, days(count)), zone.to_timestamp(due).unwrap());
    }
}

/// The hours that a `practice.yaml` tells.
fn told(yaml: &str) -> Option<Hours> {
    match Practice::read(&Source::new("practice.yaml", yaml), &Library::embedded()) {
        Ok(practice) => practice.open,
        Err(problems) => panic!("{}", perchside::mistake::render(&problems, false)),
    }
}

#[test]
fn hours_are_read_as_a_practice_writes_them() {
    let split = "9-12, 14-18";
    let all = [
        "open: {monday to friday: '9:00-12:00, 14:00-18:00'}",
        "open: {mon-fri: [9-12, 14-18]}",
        "open:\n  Monday to Wednesday:\n    - 9:00 to 12:00\n    - 14:00 – 18:00\n  thursday, friday: 9.00-12.00, 2 pm-6 pm\n  saturday: shut\n  sunday: closed",
        "open: {tue to fri: '14-18, 9-12', monday: [9-12, '14-18']}",
    ];
    for text in all {
        let hours = told(&format!("time-zone: europe/lisbon\n{text}\n")).unwrap();
        let expected = week(&[split, split, split, split, split, "", ""]);
        assert_eq!(hours.told(), (&expected, &Holidays::default()), "{text}");
        assert_eq!(hours.zone().iana_name(), Some("Europe/Lisbon"));
    }
    // Over the end of the week, and whole days.
    let hours = told("time-zone: UTC\nopen: {saturday to monday: all day, thu: 0-24}\n").unwrap();
    assert_eq!(
        *hours.told().0,
        week(&["0-24", "", "", "0-24", "", "0-24", "0-24"])
    );
    assert_eq!(
        *told("time-zone: UTC\nopen: {every day: 8:30-9}\n")
            .unwrap()
            .told()
            .0,
        week(&["8:30-9"])
    );
}

#[test]
fn holidays_are_days_and_spans_of_days() {
    let hours = told(
        "time-zone: Europe/Lisbon\nopen: {every day: 9-17}\nholidays: [2026-12-08, 2026-12-24 to 2027-01-01, 2026-12-20/2026-12-24, 2028-02-29]\n",
    );
    let spans: Vec<_> = hours.unwrap().told().1.spans().collect();
    let day = date(2026, 12, 8);
    let leap = date(2028, 2, 29);
    assert_eq!(
        spans,
        [
            (day, day),
            (date(2026, 12, 20), date(2027, 1, 1)),
            (leap, leap)
        ]
    );
    assert!(told("time-zone: UTC\nholidays: 2026-12-25\n").is_some());
}

#[test]
fn what_a_practice_leaves_out_counts_as_the_sooner() {
    assert!(told("name: Lantern Lane Parrots\nhours: Monday to Friday, 9 to 17\n").is_none());
    assert!(told("name: Lantern Lane Parrots\nopen:\nholidays:\ntime-zone:\n").is_none());
    // A zone alone: every hour of every day.
    let always = told("time-zone: Europe/Lisbon\n").unwrap();
    assert_eq!(*always.told().0, Week::round_the_clock());
    holds(
        &always,
        &[("2026-11-20 22:00", FOUR_HOURS, "2026-11-21 02:00")],
    );
    // Holidays alone: all other days.
    let but_christmas = told("time-zone: Europe/Lisbon\nholidays: [2026-12-25]\n").unwrap();
    holds(
        &but_christmas,
        &[
            ("2026-12-24 22:00", FOUR_HOURS, "2026-12-26 02:00"),
            ("2026-12-25 09:00", days(1), "2026-12-27 00:00"),
        ],
    );
}

#[test]
fn the_practice_of_the_example_is_open() {
    let text = include_str!("../examples/practice/practice.yaml");
    let hours = told(text).unwrap();
    holds(
        &hours,
        &[
            ("2026-11-24 11:00", FOUR_HOURS, "2026-11-24 16:00"),
            ("2026-12-23 16:00", days(1), "2027-01-04 16:00"),
        ],
    );
    // What is printed stays the line the practice wrote.
    let practice =
        Practice::read(&Source::new("practice.yaml", text), &Library::embedded()).unwrap();
    assert_eq!(practice.hours.as_deref(), Some("Monday to Friday, 9 to 17"));
    assert!(
        serde_json::to_value(&practice)
            .unwrap()
            .get("open")
            .is_none()
    );
}

#[test]
fn every_weekday_is_itself() {
    for (at, day) in DAYS.iter().enumerate() {
        let mut all: [Vec<Span>; 7] = std::array::from_fn(|_| Vec::new());
        all[at] = spans("9-10");
        let one = Week::new(all);
        assert!(
            DAYS.iter()
                .all(|other| one.on(*other).is_empty() == (other != day))
        );
    }
}
