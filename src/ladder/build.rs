//! Building a ladder.

use super::conditions::{Conditions, Stage, View};
use super::distance::{MOST_MOVES, beyond_reaction_cm, distances_cm, moves_between};
use super::setup::{CannotStart, MOST_DISTANCE_CM, Setup, Skill};
use super::{Assumption, Ladder, numbered};

/// Builds the ladder for one person, one condition and one stage.
///
/// - First what the bird can hear and see of the person, from another room to the whole body, side-on, at the first distance.
/// - Then the distance, in equal shares, down to the safe line and never inside it.
/// - Then, one at a time: movement, facing, hands, speech, an everyday thing, the place of the person the bird seeks, a second
///   person. What comes at the bird, looks at it or is more than one makes a short distance harder: cells in the pigeon's eye
///   pathway answer to things on a collision course (Nature 356:236, 1992), and finches that are stared at or meet more people
///   flee from farther off (Resende and others, 2024, Birds 5:255-264). So before movement and before the second person the
///   distance goes back by one move, and comes down again as a step of its own. The order is our own choice, no source.
///
/// Work starts in view only where a first sign and calm eating were measured, the bird is known to take food calmly and the
/// room is long enough. Otherwise it starts out of sight. In a room that is too short each missing move of the distance is
/// stood in for by one step that shows less of the person, and the start stays out of sight. No exchange rate was found.
///
/// Where the line of sight is no longer than the safe line nobody can be in view outside it. Behind bars the ladder then ends
/// behind a screen outside the door: nothing of that person can be reached, and to hear calmly that someone is there is worth
/// having. Without bars there is no ladder: whoever opens the door, or gives the food, would stand within reach.
///
/// A bird that reacts only inside the safe line gets its first distance at the line. Nobody goes in to find out.
///
/// # Errors
/// [`CannotStart`].
pub fn build(setup: &Setup) -> Result<Ladder, CannotStart> {
    setup.check()?;
    let prerequisites = setup.prerequisites_met.missing(setup.stage);
    if setup.stage != Stage::ThroughBarrier {
        let barriers: Vec<_> = prerequisites
            .iter()
            .copied()
            .filter(|it| it.skill != Skill::TakesFoodCalmly)
            .collect();
        if !barriers.is_empty() {
            return Err(CannotStart::SkillsMissing(barriers));
        }
    }
    let way = Way::of(setup)?;
    let mut conditions = steps(setup, &way.distances_cm);
    let mut assumptions = way.assumptions;
    if conditions.len() > setup.most_steps {
        conditions.truncate(setup.most_steps);
        assumptions.push(Assumption::LaterStepsLeftOut);
    }
    assumptions.sort_unstable();
    let start_cm = conditions.get(way.start).and_then(|it| it.distance_cm);
    Ok(Ladder {
        prerequisites,
        start: way.start,
        steps: numbered(conditions),
        start_cm,
        assumptions,
    })
}

/// Where work starts and which distances it goes through.
struct Way {
    /// From far to near; empty when the ladder stays out of sight.
    distances_cm: Vec<f64>,
    /// The step to start at.
    start: usize,
    assumptions: Vec<Assumption>,
}

impl Way {
    fn of(setup: &Setup) -> Result<Self, CannotStart> {
        let line_cm = setup.safe_line_cm;
        let mut assumptions = not_measured(setup);
        if let Some(sight_line_cm) = setup.sight_line_cm
            && sight_line_cm <= line_cm
        {
            if setup.stage != Stage::ThroughBarrier {
                return Err(CannotStart::NoPlaceOutsideSafeLine {
                    sight_line_cm,
                    safe_line_cm: line_cm,
                });
            }
            assumptions.push(Assumption::RoomShorterThanSafeLine);
            return Ok(Self::out_of_sight(assumptions));
        }
        let room_cm = setup.sight_line_cm.unwrap_or(MOST_DISTANCE_CM);
        // Beyond the first sign, and never nearer than where the bird was seen to eat calmly.
        let wanted_cm = beyond_reaction_cm(&setup.first_sign_cm).map(|beyond_cm| {
            setup
                .calm_eating_cm
                .map_or(beyond_cm, |calm_cm| beyond_cm.max(calm_cm))
        });
        let (first_cm, start) = match wanted_cm {
            Some(wanted_cm) => {
                if wanted_cm <= line_cm {
                    assumptions.push(Assumption::ReactsInsideSafeLine);
                }
                if wanted_cm > room_cm {
                    assumptions.push(Assumption::RoomShorterThanStart);
                }
                let wanted_cm = wanted_cm.max(line_cm);
                let first_cm = wanted_cm.min(room_cm);
                let eats = setup.calm_eating_cm.is_some()
                    && setup.prerequisites_met.takes_food_calmly == Some(true);
                let start = if eats { start(wanted_cm, first_cm) } else { 0 };
                (first_cm, start)
            }
            // It may react anywhere in the room, so the way begins as far off as the room allows.
            None => match setup.sight_line_cm.or(setup.calm_eating_cm) {
                Some(known_cm) => (known_cm.max(line_cm), 0),
                None => {
                    assumptions.push(Assumption::NoDistanceKnown);
                    return Ok(Self::out_of_sight(assumptions));
                }
            },
        };
        if moves_between(first_cm, line_cm) > MOST_MOVES {
            assumptions.push(Assumption::BiggerMoves);
        }
        Ok(Self {
            distances_cm: distances_cm(first_cm, line_cm),
            start,
            assumptions,
        })
    }

    const fn out_of_sight(assumptions: Vec<Assumption>) -> Self {
        Self {
            distances_cm: Vec::new(),
            start: 0,
            assumptions,
        }
    }
}

/// The step to start at, when the first distance is shorter than the wanted one or equal to it: every missing move is stood in
/// for by a step that shows less, and the start is then out of sight.
fn start(wanted_cm: f64, first_cm: f64) -> usize {
    let whole_body = View::ALL.len() - 1;
    let missing = moves_between(wanted_cm, first_cm);
    if missing == 0 {
        return whole_body;
    }
    let last_hidden = View::ALL
        .iter()
        .rposition(|view| !view.in_sight())
        .unwrap_or(0);
    whole_body.saturating_sub(missing).min(last_hidden)
}

fn not_measured(setup: &Setup) -> Vec<Assumption> {
    let all = [
        (
            setup.first_sign_cm.is_empty(),
            Assumption::ReactionNotMeasured,
        ),
        (
            matches!(setup.first_sign_cm.len(), 1 | 2),
            Assumption::FewMeasures,
        ),
        (
            setup.calm_eating_cm.is_none(),
            Assumption::CalmEatingNotMeasured,
        ),
        (
            setup.sight_line_cm.is_none(),
            Assumption::SightLineNotMeasured,
        ),
    ];
    all.into_iter()
        .filter_map(|(holds, assumption)| holds.then_some(assumption))
        .collect()
}

/// Every step in order: what is seen, then the distance, then the rest.
fn steps(setup: &Setup, distances_cm: &[f64]) -> Vec<Conditions> {
    let mut climb = Climb::from(Conditions::easiest(setup.stage, setup.favoured_present));
    let first_cm = distances_cm.first().copied();
    while let Some(view) = climb.now.view.harder() {
        if view.in_sight() && first_cm.is_none() {
            return climb.done;
        }
        climb.then(|it| {
            it.view = view;
            it.distance_cm = first_cm.filter(|_| view.in_sight());
        });
    }
    for distance_cm in distances_cm.iter().skip(1) {
        climb.then(|it| it.distance_cm = Some(*distance_cm));
    }
    let line_cm = climb.now.distance_cm;
    // One move back from the line: where there is only one distance, there is no way to step back.
    let back_cm = distances_cm.iter().rev().nth(1).copied();

    climb.step_to(back_cm);
    while let Some(movement) = climb.now.movement.harder() {
        climb.then(|it| it.movement = movement);
    }
    while let Some(facing) = climb.now.facing.harder() {
        climb.then(|it| it.facing = facing);
    }
    climb.step_to(back_cm.and(line_cm));
    while let Some(hands) = climb.now.hands.harder() {
        climb.then(|it| it.hands = hands);
    }
    while let Some(speech) = climb.now.speech.harder() {
        climb.then(|it| it.speech = speech);
    }
    while let Some(object) = climb.now.object.harder() {
        climb.then(|it| it.object = object);
    }
    // The last place would be the other condition, which has a ladder of its own.
    while let Some(favoured) = climb.now.favoured.harder()
        && favoured.harder().is_some()
    {
        climb.then(|it| it.favoured = favoured);
    }
    climb.step_to(back_cm);
    climb.then(|it| it.second_person = true);
    climb.step_to(back_cm.and(line_cm));
    climb.done
}

/// Steps as they are added, each from the one before.
struct Climb {
    now: Conditions,
    done: Vec<Conditions>,
}

impl Climb {
    fn from(first: Conditions) -> Self {
        Self {
            now: first.clone(),
            done: vec![first],
        }
    }

    fn then(&mut self, change: impl FnOnce(&mut Conditions)) {
        change(&mut self.now);
        self.done.push(self.now.clone());
    }

    fn step_to(&mut self, distance_cm: Option<f64>) {
        if distance_cm.is_some() {
            self.then(|it| it.distance_cm = distance_cm);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::build;
    use crate::figures::input::Unusable;
    use crate::ladder::{
        Assumption, CannotStart, Facing, Favoured, Hands, Input, Ladder, Movement, ObjectWorn,
        Prerequisite, Prerequisites, Setup, Skill, Speech, Stage, Variable, View,
    };

    const READY: Prerequisites = Prerequisites {
        marker: Some(true),
        station: Some(true),
        hands_free_return: Some(true),
        takes_food_calmly: Some(true),
    };

    /// Everything measured: first sign at most 2 m, calm at 4 m, a room of 6 m, a line of 0.5 m.
    fn measured() -> Setup {
        Setup {
            stage: Stage::ThroughBarrier,
            first_sign_cm: vec![200.0],
            calm_eating_cm: Some(400.0),
            sight_line_cm: Some(600.0),
            safe_line_cm: 50.0,
            favoured_present: true,
            prerequisites_met: READY,
            most_steps: 60,
        }
    }

    fn ladder(setup: &Setup) -> Ladder {
        build(setup).unwrap()
    }

    fn distances_cm(ladder: &Ladder) -> Vec<f64> {
        let mut all: Vec<f64> = ladder
            .steps
            .iter()
            .filter_map(|it| it.conditions.distance_cm)
            .collect();
        all.dedup();
        all
    }

    fn close(value: f64, expected: f64) {
        assert!((value - expected).abs() < 1e-3, "{value} is not {expected}");
    }

    // Equal shares from 4 m to 0.5 m in ten moves: f = 8^(-1/10) = 0.812252.
    #[test]
    fn four_metres_to_half_a_metre_takes_ten_moves_of_equal_share() {
        let ladder = ladder(&measured());
        let expected = [
            400.0, 324.901, 263.901_6, 214.354_7, 174.110_1, 141.421_4, 114.869_8, 93.303_3,
            75.785_8, 61.557_2, 50.0,
        ];
        let distances = distances_cm(&ladder);
        for (distance, expected) in distances.iter().zip(expected) {
            close(*distance, expected);
        }
        assert_eq!(distances[10], 50.0);
        assert_eq!((ladder.start, ladder.start_cm), (5, Some(400.0)));
        assert_eq!(ladder.assumptions, [Assumption::FewMeasures]);
        assert!(ladder.prerequisites.is_empty());
    }

    #[test]
    fn the_order_is_view_then_distance_then_one_thing_at_a_time() {
        let ladder = ladder(&measured());
        let mut expected = vec![Variable::View; 5];
        expected.extend([Variable::Distance; 10]);
        expected.push(Variable::Distance);
        expected.extend([Variable::Movement; 3]);
        expected.extend([Variable::Facing; 2]);
        expected.push(Variable::Distance);
        expected.extend([Variable::Hands; 3]);
        expected.extend([Variable::Speech; 2]);
        expected.push(Variable::Object);
        expected.push(Variable::Favoured);
        expected.extend([
            Variable::Distance,
            Variable::SecondPerson,
            Variable::Distance,
        ]);
        assert_eq!(ladder.steps[0].changed, None);
        let changed: Vec<Variable> = ladder.steps.iter().filter_map(|it| it.changed).collect();
        assert_eq!(changed, expected);
        let views: Vec<View> = ladder.steps[..6]
            .iter()
            .map(|it| it.conditions.view)
            .collect();
        assert_eq!(views, View::ALL);
        let last = &ladder.steps.last().unwrap().conditions;
        assert_eq!(last.distance_cm, Some(50.0));
        assert_eq!(
            (last.movement, last.facing),
            (Movement::Ordinary, Facing::Front)
        );
        assert_eq!(
            (last.hands, last.speech),
            (Hands::DropsFoodInDish, Speech::Ordinary)
        );
        assert_eq!(
            (last.object, last.favoured),
            (ObjectWorn::EverydayItem, Favoured::Far)
        );
        assert!(last.second_person);
    }

    #[test]
    fn movement_and_a_second_person_come_one_move_farther_off() {
        let ladder = ladder(&measured());
        for step in &ladder.steps {
            if matches!(
                step.changed,
                Some(Variable::Movement | Variable::Facing | Variable::SecondPerson)
            ) {
                close(step.conditions.distance_cm.unwrap(), 61.557_2);
            }
            if matches!(
                step.changed,
                Some(Variable::Hands | Variable::Speech | Variable::Object)
            ) {
                assert_eq!(step.conditions.distance_cm, Some(50.0));
            }
        }
    }

    // 4 m wanted, 2.5 m of room: ceil(ln(2.5/4)/ln 0.8) = 3 steps stand in, then 8 moves to 0.5 m.
    #[test]
    fn a_short_room_starts_behind_the_screen_and_then_takes_eight_moves() {
        let ladder = ladder(&Setup {
            sight_line_cm: Some(250.0),
            ..measured()
        });
        assert_eq!(ladder.start, 2);
        assert_eq!(ladder.steps[2].conditions.view, View::BehindScreen);
        assert_eq!(ladder.start_cm, None);
        let down: Vec<f64> = ladder.steps[5..14]
            .iter()
            .filter_map(|it| it.conditions.distance_cm)
            .collect();
        assert_eq!((down.len(), down[0], down[8]), (9, 250.0, 50.0));
        assert_eq!(
            ladder.assumptions,
            [Assumption::FewMeasures, Assumption::RoomShorterThanStart]
        );
    }

    #[test]
    fn a_room_just_long_enough_is_not_too_short() {
        let short = |room| {
            let built = ladder(&Setup {
                sight_line_cm: Some(room),
                ..measured()
            });
            built
                .assumptions
                .contains(&Assumption::RoomShorterThanStart)
        };
        assert!(short(399.9) && !short(400.0) && !short(400.1));
    }

    #[test]
    fn the_more_room_is_missing_the_farther_out_of_sight_work_starts() {
        let start = |room| {
            ladder(&Setup {
                sight_line_cm: Some(room),
                ..measured()
            })
            .start
        };
        // 4 m wanted; one move leaves 3.2 m, two 2.56 m, three 2.048 m, four 1.6384 m, five 1.31072 m.
        for (room, expected) in [
            (400.0, 5),
            (399.0, 2),
            (320.0, 2),
            (300.0, 2),
            (205.0, 2),
            (204.0, 1),
            (164.0, 1),
            (163.0, 0),
            (60.0, 0),
        ] {
            assert_eq!(start(room), expected, "{room}");
        }
    }

    // exp(mean ln + 1.6495 SD) of 1.2, 1.5, 1.4, 1.8 and 1.6 m: 1.907809 m.
    #[test]
    fn the_buffer_sets_the_start_unless_calm_eating_was_farther_off() {
        let signs = vec![120.0, 150.0, 140.0, 180.0, 160.0];
        let near = Setup {
            first_sign_cm: signs,
            calm_eating_cm: Some(170.0),
            ..measured()
        };
        let built = ladder(&near);
        assert!((built.start_cm.unwrap() - 190.7809).abs() < 1e-4);
        assert!(built.assumptions.is_empty());
        let far = ladder(&Setup {
            calm_eating_cm: Some(250.0),
            ..near
        });
        assert_eq!(far.start_cm, Some(250.0));
    }

    #[test]
    fn three_measures_are_not_few_and_two_are() {
        let few = |signs: Vec<f64>| {
            let built = ladder(&Setup {
                first_sign_cm: signs,
                ..measured()
            });
            built.assumptions.contains(&Assumption::FewMeasures)
        };
        assert!(
            few(vec![100.0]) && few(vec![100.0, 100.0]) && !few(vec![100.0; 3]) && !few(vec![])
        );
    }

    #[test]
    fn nothing_measured_starts_out_of_sight_with_distance_from_the_far_end_of_the_room() {
        let blank = Setup {
            first_sign_cm: vec![],
            calm_eating_cm: None,
            ..measured()
        };
        let built = ladder(&blank);
        assert_eq!((built.start, built.start_cm), (0, None));
        assert_eq!(distances_cm(&built)[0], 600.0);
        assert_eq!(
            built.assumptions,
            [
                Assumption::ReactionNotMeasured,
                Assumption::CalmEatingNotMeasured,
                Assumption::BiggerMoves
            ]
        );
    }

    #[test]
    fn no_distance_and_no_room_known_stays_out_of_sight() {
        let blank = Setup {
            first_sign_cm: vec![],
            calm_eating_cm: None,
            sight_line_cm: None,
            ..measured()
        };
        let built = ladder(&blank);
        let views: Vec<View> = built.steps.iter().map(|it| it.conditions.view).collect();
        assert_eq!(
            views,
            [View::OtherRoom, View::ClosedDoor, View::BehindScreen]
        );
        assert!(distances_cm(&built).is_empty());
        assert_eq!(
            built.assumptions,
            [
                Assumption::ReactionNotMeasured,
                Assumption::CalmEatingNotMeasured,
                Assumption::SightLineNotMeasured,
                Assumption::NoDistanceKnown
            ]
        );
    }

    #[test]
    fn calm_eating_alone_sets_the_first_distance_and_not_the_start() {
        let alone = Setup {
            first_sign_cm: vec![],
            sight_line_cm: None,
            ..measured()
        };
        let built = ladder(&alone);
        assert_eq!((built.start, built.start_cm), (0, None));
        assert_eq!(distances_cm(&built)[0], 400.0);
        let inside = ladder(&Setup {
            calm_eating_cm: Some(20.0),
            ..alone
        });
        assert_eq!(distances_cm(&inside), [50.0]);
    }

    #[test]
    fn a_bird_not_known_to_eat_calmly_starts_out_of_sight() {
        for (calm_eating_cm, takes) in [
            (None, Some(true)),
            (Some(400.0), None),
            (Some(400.0), Some(false)),
        ] {
            let built = ladder(&Setup {
                calm_eating_cm,
                prerequisites_met: Prerequisites {
                    takes_food_calmly: takes,
                    ..READY
                },
                ..measured()
            });
            assert_eq!((built.start, built.start_cm), (0, None));
        }
    }

    #[test]
    fn a_room_nobody_measured_is_taken_to_be_long_enough() {
        let built = ladder(&Setup {
            sight_line_cm: None,
            ..measured()
        });
        assert_eq!(built.start_cm, Some(400.0));
        assert_eq!(
            built.assumptions,
            [Assumption::FewMeasures, Assumption::SightLineNotMeasured]
        );
        // No home has a line of sight beyond 30 m.
        let absurd = ladder(&Setup {
            first_sign_cm: vec![2001.0],
            sight_line_cm: None,
            ..measured()
        });
        assert_eq!((absurd.start, distances_cm(&absurd)[0]), (2, 3000.0));
        assert!(
            absurd
                .assumptions
                .contains(&Assumption::RoomShorterThanStart)
        );
    }

    #[test]
    fn behind_bars_a_room_within_the_line_keeps_the_ladder_out_of_sight() {
        for (room, in_view) in [(49.0, false), (50.0, false), (50.1, true)] {
            let built = ladder(&Setup {
                sight_line_cm: Some(room),
                ..measured()
            });
            assert_eq!(
                built.steps.iter().any(|it| it.conditions.view.in_sight()),
                in_view,
                "{room}"
            );
            assert_eq!(
                built
                    .assumptions
                    .contains(&Assumption::RoomShorterThanSafeLine),
                !in_view
            );
            assert_eq!(
                built
                    .assumptions
                    .contains(&Assumption::RoomShorterThanStart),
                in_view
            );
            assert_eq!((built.start, built.start_cm), (0, None));
        }
    }

    #[test]
    fn without_bars_a_room_within_the_line_has_no_ladder() {
        for stage in [Stage::Stationed, Stage::OpenRoom] {
            let room = |sight| {
                build(&Setup {
                    stage,
                    sight_line_cm: Some(sight),
                    ..measured()
                })
            };
            let refused = |sight_line_cm| {
                Err(CannotStart::NoPlaceOutsideSafeLine {
                    sight_line_cm,
                    safe_line_cm: 50.0,
                })
            };
            assert_eq!(room(49.0), refused(49.0));
            assert_eq!(room(50.0), refused(50.0));
            assert!(room(50.1).is_ok());
        }
    }

    #[test]
    fn without_bars_the_station_the_marker_and_the_way_home_are_known() {
        let unknown = Prerequisites {
            marker: None,
            station: Some(false),
            hands_free_return: None,
            takes_food_calmly: None,
        };
        for stage in [Stage::Stationed, Stage::OpenRoom] {
            let built = build(&Setup {
                stage,
                prerequisites_met: unknown,
                ..measured()
            });
            let missing = |skill, answer| Prerequisite { skill, answer };
            let expected = vec![
                missing(Skill::Marker, None),
                missing(Skill::Station, Some(false)),
                missing(Skill::HandsFreeReturn, None),
            ];
            assert_eq!(built, Err(CannotStart::SkillsMissing(expected)));
            let eats = Prerequisites {
                takes_food_calmly: None,
                ..READY
            };
            let built = build(&Setup {
                stage,
                prerequisites_met: eats,
                ..measured()
            })
            .unwrap();
            assert_eq!(built.prerequisites, [missing(Skill::TakesFoodCalmly, None)]);
        }
        let behind_bars = ladder(&Setup {
            prerequisites_met: unknown,
            ..measured()
        });
        let skills: Vec<Skill> = behind_bars
            .prerequisites
            .iter()
            .map(|it| it.skill)
            .collect();
        assert_eq!(
            skills,
            [Skill::Marker, Skill::Station, Skill::TakesFoodCalmly]
        );
    }

    #[test]
    fn a_bird_that_reacts_inside_the_line_starts_at_the_line_with_nowhere_to_step_back_to() {
        let inside = Setup {
            first_sign_cm: vec![20.0; 3],
            calm_eating_cm: Some(30.0),
            ..measured()
        };
        let built = ladder(&inside);
        assert_eq!((built.start, built.start_cm), (5, Some(50.0)));
        assert_eq!(distances_cm(&built), [50.0]);
        assert_eq!(built.assumptions, [Assumption::ReactsInsideSafeLine]);
        assert!(
            built
                .steps
                .iter()
                .all(|it| it.changed != Some(Variable::Distance))
        );
        // Calm eating at the line: no more than the line is asked for. Beyond it: there is a way to go.
        let reacts_inside = |calm| {
            let built = ladder(&Setup {
                calm_eating_cm: Some(calm),
                ..inside.clone()
            });
            built
                .assumptions
                .contains(&Assumption::ReactsInsideSafeLine)
        };
        assert!(reacts_inside(50.0) && !reacts_inside(50.1));
    }

    #[test]
    fn a_way_of_more_than_ten_moves_is_told() {
        let bigger = |calm| {
            let built = ladder(&Setup {
                calm_eating_cm: Some(calm),
                ..measured()
            });
            built.assumptions.contains(&Assumption::BiggerMoves)
        };
        // Ten moves of 0.8 from 50 cm lead to 465.66 cm.
        assert!(!bigger(465.0) && bigger(466.0));
    }

    #[test]
    fn the_favoured_person_stays_away_in_the_ladder_without_them() {
        let built = ladder(&Setup {
            favoured_present: false,
            ..measured()
        });
        assert!(
            built
                .steps
                .iter()
                .all(|it| it.conditions.favoured == Favoured::OtherRoom)
        );
        let there = ladder(&measured());
        assert!(
            there
                .steps
                .iter()
                .all(|it| it.conditions.favoured != Favoured::OtherRoom)
        );
        assert_eq!(built.steps.len() + 1, there.steps.len());
    }

    #[test]
    fn a_ladder_that_is_cut_says_so_and_keeps_its_first_steps() {
        let whole = ladder(&measured());
        let cut = |most_steps| {
            ladder(&Setup {
                most_steps,
                ..measured()
            })
        };
        assert_eq!(cut(whole.steps.len()), whole);
        let short = cut(whole.steps.len() - 1);
        assert_eq!(short.steps[..], whole.steps[..whole.steps.len() - 1]);
        assert_eq!(
            short.assumptions,
            [Assumption::FewMeasures, Assumption::LaterStepsLeftOut]
        );
        assert_eq!((cut(7).steps.len(), cut(7).start), (7, 5));
    }

    #[test]
    fn what_cannot_be_worked_with_has_no_ladder() {
        let bad = Setup {
            first_sign_cm: vec![f64::NAN],
            ..measured()
        };
        let unusable = CannotStart::Unusable {
            input: Input::FirstSign,
            why: Unusable::NotFinite,
        };
        assert_eq!(build(&bad), Err(unusable));
    }
}
