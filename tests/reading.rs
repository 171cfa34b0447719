//! Why the bird may bite: counts carry a reading, or there is not enough to say (common practice, no source).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod support;

use support::decided;

fn likely(bites: &[&str], more: &str) -> Option<String> {
    let mut yaml = String::from("bites:\n");
    for bite in bites {
        yaml.push_str(&format!("  - {{{bite}}}\n"));
    }
    yaml.push_str(more);
    decided(&yaml).1.reading.likely
}

const LEAVES: &str = "date: 2026-11-01, injury: bruise, trigger: came near, place: stand or perch, favoured-near: no, after: [person left]";

#[test]
fn people_who_always_leave_give_it_distance() {
    assert_eq!(likely(&[LEAVES; 4], "").as_deref(), Some("to-get-distance"));
}

#[test]
fn two_bites_are_not_enough_to_say() {
    assert_eq!(likely(&[LEAVES; 2], ""), None);
    assert_eq!(likely(&[], ""), None);
}

#[test]
fn bites_that_point_different_ways_are_not_enough_to_say() {
    let guards =
        "date: 2026-11-01, injury: bruise, trigger: object taken, place: floor, after: [nothing]";
    assert_eq!(likely(&[LEAVES, LEAVES, guards, guards], ""), None);
}

#[test]
fn hands_in_the_cage_are_a_place_guarded() {
    let guards = "date: 2026-11-01, injury: bruise, trigger: hand in the cage, place: inside the cage, after: [person stayed], form: bite";
    assert_eq!(
        likely(&[guards; 3], "").as_deref(),
        Some("to-guard-a-place-or-thing")
    );
}

/// Nest season is read only where something of the season was seen.
#[test]
fn a_season_needs_its_signs() {
    let bite = "date: 2026-11-01, injury: bruise, trigger: came near, place: floor, after: [person stayed], form: strike, favoured-near: no";
    assert_eq!(
        likely(&[bite; 4], "health: {breeding-signs: [none]}\n"),
        None
    );
    assert_eq!(
        likely(&[bite; 4], "health: {breeding-signs: [nest seeking]}\n").as_deref(),
        Some("breeding-season")
    );
}

/// The counts are the record's own: as many for as there are bites that say so, and never a share.
#[test]
fn counts_are_counts() {
    let yaml = format!(
        "bites:\n  - {{{LEAVES}}}\n  - {{{LEAVES}}}\n  - {{date: 2026-10, injury: none}}\n"
    );
    let reading = decided(&yaml).1.reading;
    assert_eq!((reading.bites, reading.usable), (3, 2));
    let distance = reading
        .functions
        .iter()
        .find(|f| f.function == "to-get-distance")
        .unwrap();
    assert_eq!((distance.speaks_for, distance.against), (2, 0));
    assert!(
        reading
            .contexts
            .iter()
            .any(|c| c.fact == "bites.place" && c.count == 2 && c.of == 2)
    );
    let paper = {
        let (intake, decision) = decided(&yaml);
        let plan = perchside::plan::Plan::of(
            support::rulebook(),
            &intake,
            &decision,
            perchside::plan::Options::default(),
        );
        perchside::papers::Paper::household(&perchside::papers::engine::Engine::embedded(), &plan)
            .unwrap()
            .markdown()
    };
    let part = paper
        .split("## How we read the biting")
        .nth(1)
        .unwrap()
        .split("\n## ")
        .next()
        .unwrap();
    assert!(
        !part.contains('%') && part.contains("2 of 3 bites"),
        "{part}"
    );
}
