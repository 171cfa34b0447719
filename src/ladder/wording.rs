//! Every key has its wording in `rules/ladder.yaml`, every wording has its key, and the numbers said there are those worked with.

use std::collections::BTreeMap;

use super::progress::{CALM_IN_A_ROW, GO_BACKS_BEFORE_SPLIT, REPETITIONS_BEFORE_SPLIT};
use super::{
    Assumption, Barrier, CannotStart, Earns, Facing, Favoured, Hands, Move, Movement, NoSplit,
    ObjectWorn, Sign, Skill, Speech, Variable, View,
};

const WORDING: &str = include_str!("../../rules/ladder.yaml");

/// What is said of one value: `tell`, `set-up`, `source`.
type Says = BTreeMap<&'static str, &'static str>;

/// Part, values in the order of the file, what is said of each.
fn parts() -> BTreeMap<&'static str, Vec<(&'static str, Says)>> {
    let mut parts: BTreeMap<_, Vec<(_, Says)>> = BTreeMap::new();
    let mut part = "";
    for line in WORDING
        .lines()
        .filter(|it| !it.starts_with('#') && !it.is_empty())
    {
        let (key, text) = line.trim_start().split_once(':').expect(line);
        let text = text.trim();
        match line.len() - line.trim_start().len() {
            0 => part = key,
            2 => parts
                .entry(part)
                .or_default()
                .push((key, Says::from([("text", text)]))),
            4 => {
                let (_, says) = parts
                    .get_mut(part)
                    .and_then(|it| it.last_mut())
                    .expect(line);
                assert!(says.insert(key, text).is_none(), "{line}");
            }
            _ => panic!("{line}"),
        }
    }
    parts
}

fn keys(part: &str) -> Vec<&'static str> {
    parts()[part].iter().map(|(key, _)| *key).collect()
}

fn tell(part: &str, value: &str) -> &'static str {
    let parts = parts();
    let (_, says) = parts[part]
        .iter()
        .find(|(key, _)| *key == value)
        .expect(value);
    says["tell"]
}

#[test]
fn every_value_is_told_in_its_order_and_nothing_else_is() {
    assert_eq!(
        keys("titles"),
        Variable::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("barrier"),
        Barrier::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("view"),
        View::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("movement"),
        Movement::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("facing"),
        Facing::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("hands"),
        Hands::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("speech"),
        Speech::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("object"),
        ObjectWorn::ALL
            .iter()
            .map(|it| it.key())
            .collect::<Vec<_>>()
    );
    assert_eq!(
        keys("favoured"),
        Favoured::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("distance"),
        [
            "out-of-view",
            "from-the-bars",
            "from-the-station",
            "from-the-bird"
        ]
    );
    assert_eq!(keys("second-person"), ["one-person", "two-people"]);
    assert_eq!(
        keys("earns"),
        Earns::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("signs"),
        Sign::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("prerequisites"),
        Skill::ALL.iter().map(|it| it.key()).collect::<Vec<_>>()
    );
    assert_eq!(
        keys("assumptions"),
        Assumption::ALL
            .iter()
            .map(|it| it.key())
            .collect::<Vec<_>>()
    );
}

#[test]
fn pass_hold_and_drop_tell_every_move_once() {
    let mut told: Vec<&str> = ["pass", "hold", "drop"]
        .into_iter()
        .flat_map(keys)
        .collect();
    let mut moves: Vec<&str> = Move::ALL.iter().map(|it| it.key()).collect();
    told.sort_unstable();
    moves.sort_unstable();
    assert_eq!(told, moves);
}

#[test]
fn every_refusal_is_told() {
    let refusals = [
        CannotStart::Unusable {
            input: super::Input::SafeLine,
            why: crate::figures::input::Unusable::NotFinite,
        },
        CannotStart::SkillsMissing(vec![]),
        CannotStart::NoPlaceOutsideSafeLine {
            sight_line_cm: 1.0,
            safe_line_cm: 2.0,
        },
        CannotStart::TooFewSteps { fewest: 7 },
    ];
    assert_eq!(
        keys("cannot-start"),
        refusals.each_ref().map(CannotStart::key)
    );
    let splits = [
        NoSplit::NoSuchStep,
        NoSplit::FirstStep,
        NoSplit::NothingBetween(Variable::View),
        NoSplit::TooClose,
        NoSplit::StepsBack,
    ];
    assert_eq!(keys("no-split"), splits.map(NoSplit::key));
}

#[test]
fn every_wording_has_a_source_and_every_value_is_set_up() {
    for (part, values) in parts() {
        let variable = Variable::ALL.iter().any(|it| it.key() == part);
        for (value, says) in values.iter().filter(|_| part != "titles") {
            let of = |key| says.get(key).copied().unwrap_or_default();
            assert!(of("tell").ends_with('.'), "{part} {value}");
            assert!(
                of("source").starts_with('[') && of("source").contains("practice"),
                "{part} {value}"
            );
            let sets_up = variable || part == "prerequisites";
            assert_eq!(of("set-up").ends_with('.'), sets_up, "{part} {value}");
            assert_eq!(of("short").is_empty(), !variable, "{part} {value}");
            assert_eq!(of("text"), "", "{part} {value}");
        }
    }
}

#[test]
fn the_numbers_that_are_told_are_those_worked_with() {
    assert!(tell("pass", "probe-later").contains(&format!("calm {CALM_IN_A_ROW} times in a row")));
    assert!(tell("drop", "split").contains(&format!("After {GO_BACKS_BEFORE_SPLIT} times back")));
    assert!(tell("drop", "split").contains(&format!("{REPETITIONS_BEFORE_SPLIT} tries")));
    let ambers = super::progress::AROUSED_ENDS_SESSION;
    assert!(tell("hold", "end-easy").contains(&format!("{ambers} amber signs in one session")));
    let threats = super::progress::AGGRESSIVE_ENDS_SESSION;
    assert!(
        tell("drop", "back-two-and-end").contains(&format!("{threats} threats in one session"))
    );
}

#[test]
fn every_distance_is_told_with_its_number() {
    for value in ["from-the-bars", "from-the-station", "from-the-bird"] {
        assert!(tell("distance", value).contains("{{ distance_cm }} cm"));
    }
}
