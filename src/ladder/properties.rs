//! What is true of every ladder, over thousands of made-up setups from a small generator with a fixed seed.

use super::setup::FEWEST_STEPS;
use super::{
    Assumption, CannotStart, Conditions, Facing, Favoured, Hands, Ladder, Movement, NoSplit,
    ObjectWorn, Prerequisites, Setup, Speech, Stage, Variable, View, build,
};

const SETUPS: u64 = 20_000;

/// Five steps out of full view, one in view, ten moves, thirteen harder values, two ways back and forth.
const MOST_STEPS: usize = 5 + 1 + 10 + 13 + 4;

/// A generator of made-up numbers (Marsaglia, 2003, xorshift), the same every time.
struct Made(u64);

impl Made {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, end: u64) -> u64 {
        (self.next() >> 11) % end
    }

    fn yes(&mut self) -> bool {
        self.below(2) == 0
    }

    /// Whole and broken centimetres, near ones more often than far ones.
    fn cm(&mut self, most: u64) -> f64 {
        let most = if self.yes() { most } else { most / 8 };
        let whole = self.below(most) as f64;
        if self.yes() {
            whole
        } else {
            whole + self.below(1000) as f64 / 1000.0
        }
    }

    fn answer(&mut self) -> Option<bool> {
        match self.below(6) {
            0 => None,
            1 => Some(false),
            _ => Some(true),
        }
    }

    fn setup(&mut self) -> Setup {
        let safe_line_cm = 31.0 + self.cm(200);
        Setup {
            stage: Stage::ALL[self.below(3) as usize],
            first_sign_cm: (0..self.below(6)).map(|_| self.cm(800)).collect(),
            calm_eating_cm: (self.below(4) > 0).then(|| self.cm(900)),
            sight_line_cm: match self.below(8) {
                0 => None,
                1 => Some(safe_line_cm),
                _ => Some(1.0 + self.cm(1200)),
            },
            safe_line_cm,
            favoured_present: self.yes(),
            prerequisites_met: Prerequisites {
                marker: self.answer(),
                station: self.answer(),
                hands_free_return: self.answer(),
                takes_food_calmly: self.answer(),
            },
            most_steps: match self.below(3) {
                0 => FEWEST_STEPS + self.below(30) as usize,
                _ => 100,
            },
        }
    }
}

fn each(mut check: impl FnMut(&Setup, &Ladder)) {
    let mut made = Made(0x9e37_79b9_7f4a_7c15);
    let mut built = 0;
    for _ in 0..SETUPS {
        let setup = made.setup();
        if let Ok(ladder) = build(&setup) {
            built += 1;
            check(&setup, &ladder);
        }
    }
    assert!(built > SETUPS / 3, "only {built} ladders");
}

/// The ladder, and with every split that it allows.
fn each_with_splits(mut check: impl FnMut(&Setup, &Ladder)) {
    each(|setup, ladder| {
        check(setup, ladder);
        let mut split = ladder.clone();
        for step in &ladder.steps {
            if let Ok(more) = split.split(step.number) {
                split = more;
            }
        }
        check(setup, &split);
    });
}

#[test]
fn neighbours_differ_in_exactly_one_thing_and_the_step_names_it() {
    each_with_splits(|_, ladder| {
        assert_eq!(ladder.steps[0].changed, None);
        for pair in ladder.steps.windows(2) {
            let differences = pair[0].conditions.differences(&pair[1].conditions);
            assert_eq!(differences.len(), 1, "{pair:?}");
            assert_eq!(pair[1].changed, differences.first().copied());
            assert_eq!(pair[1].number, pair[0].number + 1);
        }
        assert_eq!(ladder.steps[0].number, 1);
    });
}

#[test]
fn nobody_is_ever_inside_the_safe_line_or_past_the_line_of_sight() {
    each_with_splits(|setup, ladder| {
        for step in &ladder.steps {
            let Conditions {
                view, distance_cm, ..
            } = step.conditions;
            assert_eq!(view.in_sight(), distance_cm.is_some());
            if let Some(distance) = distance_cm {
                assert!(
                    distance.is_finite() && distance >= setup.safe_line_cm,
                    "{distance} {setup:?}"
                );
                assert!(
                    distance <= setup.sight_line_cm.unwrap_or(3000.0),
                    "{distance} {setup:?}"
                );
            }
        }
    });
}

#[test]
fn the_start_is_never_nearer_than_calm_eating_or_any_first_sign() {
    each_with_splits(|setup, ladder| {
        assert_eq!(
            ladder.start_cm,
            ladder.steps[ladder.start].conditions.distance_cm
        );
        let hidden = !ladder.steps[ladder.start].conditions.view.in_sight();
        if let Some(start) = ladder.start_cm {
            assert!(setup.calm_eating_cm.is_some_and(|calm| start >= calm));
            assert!(!setup.first_sign_cm.is_empty());
            assert!(setup.first_sign_cm.iter().all(|sign| start > *sign));
            assert_eq!(setup.prerequisites_met.takes_food_calmly, Some(true));
            assert_eq!(ladder.steps[ladder.start].conditions.view, View::WholeBody);
        } else {
            assert!(hidden);
        }
        if setup.first_sign_cm.is_empty() || setup.calm_eating_cm.is_none() {
            assert_eq!(ladder.start, 0);
        }
    });
}

#[test]
fn no_step_is_skipped() {
    each_with_splits(|setup, ladder| {
        let easiest = Conditions::easiest(setup.stage, setup.favoured_present);
        assert_eq!(ladder.steps[0].conditions, easiest);
        for pair in ladder.steps.windows(2) {
            let (before, after) = (&pair[0].conditions, &pair[1].conditions);
            let one_up = match pair[1].changed {
                Some(Variable::View) => before.view.harder() == Some(after.view),
                Some(Variable::Movement) => before.movement.harder() == Some(after.movement),
                Some(Variable::Facing) => before.facing.harder() == Some(after.facing),
                Some(Variable::Hands) => before.hands.harder() == Some(after.hands),
                Some(Variable::Speech) => before.speech.harder() == Some(after.speech),
                Some(Variable::Object) => before.object.harder() == Some(after.object),
                Some(Variable::Favoured) => before.favoured.harder() == Some(after.favoured),
                Some(Variable::SecondPerson) => after.second_person,
                Some(Variable::Distance) => true,
                Some(Variable::Barrier) | None => false,
            };
            assert!(one_up, "{pair:?}");
        }
    });
}

#[test]
fn each_move_leaves_the_same_share_of_the_distance() {
    each(|setup, ladder| {
        let down: Vec<f64> = ladder
            .steps
            .iter()
            .take_while(|it| it.conditions.movement == Movement::Still)
            .filter_map(|it| it.conditions.distance_cm)
            .collect();
        let falling: Vec<f64> = down
            .windows(2)
            .filter(|pair| pair[1] < pair[0])
            .map(|pair| pair[1] / pair[0])
            .collect();
        assert!(falling.len() <= 10);
        let least = if ladder.assumptions.contains(&Assumption::BiggerMoves) {
            0.6
        } else {
            0.8 - 1e-9
        };
        for share in &falling {
            assert!((share - falling[0]).abs() < 1e-9, "{falling:?}");
            assert!(*share >= least, "{share} {setup:?}");
        }
    });
}

#[test]
fn the_rest_stays_at_its_easiest_until_the_line_is_reached() {
    each_with_splits(|setup, ladder| {
        let mut at_the_line = false;
        for step in &ladder.steps {
            let now = &step.conditions;
            if !at_the_line {
                let easiest = Conditions {
                    view: now.view,
                    distance_cm: now.distance_cm,
                    ..Conditions::easiest(setup.stage, setup.favoured_present)
                };
                assert_eq!(*now, easiest);
                if now.distance_cm.is_some() {
                    assert!(now.view == View::WholeBody || step.changed == Some(Variable::View));
                }
            }
            // A ladder whose first distance is the line has nothing to be done in distance.
            at_the_line |=
                now.distance_cm == Some(setup.safe_line_cm) && now.view == View::WholeBody;
        }
    });
}

#[test]
fn a_harder_value_stays_and_only_the_distance_ever_goes_back() {
    each_with_splits(|_, ladder| {
        for pair in ladder.steps.windows(2) {
            let (before, after) = (&pair[0].conditions, &pair[1].conditions);
            assert!(
                before.view <= after.view
                    && before.movement <= after.movement
                    && before.facing <= after.facing
            );
            assert!(
                before.hands <= after.hands
                    && before.speech <= after.speech
                    && before.object <= after.object
            );
            assert!(
                before.favoured <= after.favoured && before.second_person <= after.second_person
            );
            assert_eq!(before.barrier, after.barrier);
        }
    });
}

#[test]
fn a_ladder_is_bounded_and_says_when_it_was_cut() {
    let mut longest = 0;
    each(|setup, ladder| {
        assert!(ladder.steps.len() <= setup.most_steps.min(MOST_STEPS));
        assert!(ladder.start < ladder.steps.len() && ladder.steps.len() >= 3);
        longest = longest.max(ladder.steps.len());
        let last = &ladder.steps[ladder.steps.len() - 1].conditions;
        let whole = if last.view.in_sight() {
            last.movement == Movement::Ordinary
                && last.facing == Facing::Front
                && last.hands == Hands::DropsFoodInDish
                && last.speech == Speech::Ordinary
                && last.object == ObjectWorn::EverydayItem
                && last.second_person
                && (last.favoured == Favoured::Far) == setup.favoured_present
                && last.distance_cm == Some(setup.safe_line_cm)
        } else {
            ladder.assumptions.contains(&Assumption::NoDistanceKnown)
                || ladder
                    .assumptions
                    .contains(&Assumption::RoomShorterThanSafeLine)
        };
        assert_eq!(
            whole,
            !ladder.assumptions.contains(&Assumption::LaterStepsLeftOut)
        );
        assert!(ladder.assumptions.is_sorted_by(|one, other| one < other));
    });
    assert_eq!(longest, MOST_STEPS);
}

#[test]
fn only_what_is_known_opens_a_ladder_without_bars() {
    let mut made = Made(7);
    for _ in 0..SETUPS {
        let setup = made.setup();
        let known = &setup.prerequisites_met;
        let skilled = [known.marker, known.station, known.hands_free_return]
            .iter()
            .all(|it| *it == Some(true));
        let within = setup
            .sight_line_cm
            .is_some_and(|sight| sight <= setup.safe_line_cm);
        match build(&setup) {
            Ok(ladder) => {
                assert!(setup.stage == Stage::ThroughBarrier || (skilled && !within));
                assert_eq!(ladder.prerequisites, known.missing(setup.stage));
            }
            Err(CannotStart::SkillsMissing(skills)) => assert!(!skilled && !skills.is_empty()),
            Err(CannotStart::NoPlaceOutsideSafeLine { .. }) => assert!(within),
            Err(other) => panic!("{other} {setup:?}"),
        }
    }
}

#[test]
fn a_blank_never_brings_the_start_into_view_or_the_person_nearer() {
    each(|setup, ladder| {
        let blanks = [
            Setup {
                first_sign_cm: vec![],
                ..setup.clone()
            },
            Setup {
                calm_eating_cm: None,
                ..setup.clone()
            },
            Setup {
                prerequisites_met: Prerequisites {
                    takes_food_calmly: None,
                    ..setup.prerequisites_met
                },
                ..setup.clone()
            },
        ];
        for blank in blanks {
            let Ok(other) = build(&blank) else {
                panic!("a blank refused {setup:?}")
            };
            assert!(other.start <= ladder.start);
            assert_eq!(other.start_cm, None);
        }
    });
}

#[test]
fn a_split_adds_one_step_between_two_others() {
    each(|_, ladder| {
        for (at, step) in ladder.steps.iter().enumerate() {
            match ladder.split(step.number) {
                Ok(split) => {
                    assert_eq!(split.steps.len(), ladder.steps.len() + 1);
                    let cm = |at: usize| split.steps[at].conditions.distance_cm.unwrap();
                    assert!(cm(at - 1) > cm(at) && cm(at) > cm(at + 1));
                    assert!(
                        (cm(at) * cm(at) - cm(at - 1) * cm(at + 1)).abs() < 1e-6 * cm(at) * cm(at)
                    );
                    assert_eq!(
                        split.steps[split.start].conditions,
                        ladder.steps[ladder.start].conditions
                    );
                }
                Err(NoSplit::NothingBetween(variable)) => {
                    assert_eq!(step.changed, Some(variable));
                    assert_ne!(variable, Variable::Distance);
                }
                Err(NoSplit::FirstStep) => assert_eq!(at, 0),
                Err(NoSplit::TooClose | NoSplit::StepsBack) => {
                    assert_eq!(step.changed, Some(Variable::Distance))
                }
                Err(NoSplit::NoSuchStep) => panic!("step {} is there", step.number),
            }
        }
    });
}

#[test]
fn the_same_setup_gives_the_same_ladder() {
    each(|setup, ladder| assert_eq!(build(setup).as_ref(), Ok(ladder)));
}

#[test]
fn going_back_is_never_nearer_and_never_harder() {
    let away = |conditions: &Conditions| conditions.distance_cm.unwrap_or(f64::INFINITY);
    each_with_splits(|_, ladder| {
        for at in 0..ladder.steps.len() {
            for steps in 1..4 {
                let to = ladder.back(at, steps);
                assert!(to <= at.saturating_sub(steps));
                let (easier, from) = (&ladder.steps[to].conditions, &ladder.steps[at].conditions);
                assert!(away(easier) >= away(from));
                assert!(easier.view <= from.view && easier.movement <= from.movement);
            }
        }
    });
}
