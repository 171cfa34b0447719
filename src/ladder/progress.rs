//! What earns the reward at a step, and what each repetition leads to.
//!
//! Evidence on when a step is mastered comes from teaching skills to people, not from aggression (Longino and others, 2021:
//! three sessions at 90 or 100 % lasted better than 80 %). A run of calm repetitions proves little: after three of three the
//! chance of calm may still be 0.37 (one-sided 95 % bound), after three on each of two days 0.61. Five in a row would prove no
//! more and cost more: at a chance of calm of 0.9 a step takes 22.6 repetitions instead of twice 5.9, and below 0.87 the ladder
//! hovers. Runs, going back and splitting are common practice, no source.

use super::conditions::{Hands, Movement};
use super::ordered::ordered;
use super::{Step, View};

/// Calm repetitions in a row, in one session, that a step asks for on each of two days. Common practice, no source.
pub const CALM_IN_A_ROW: u32 = 3;

/// Go-backs from one step after which it is split: a ladder must not hover where the bird fails. Our own choice, no source.
pub const GO_BACKS_BEFORE_SPLIT: u32 = 2;

/// Repetitions without the run after which a step is split. Our own choice: at a chance of calm of 0.9 and a run of three, 12
/// repetitions without it happen once in 680 times.
pub const REPETITIONS_BEFORE_SPLIT: u32 = 12;

/// Aggressive repetitions in one session that end it. Common practice, no source.
pub const AGGRESSIVE_ENDS_SESSION: u32 = 2;

/// Repetitions with arousal in one session that end it, on an easy one. Common practice, no source.
pub const AROUSED_ENDS_SESSION: u32 = 2;

ordered! {
    /// What earns the reward: calm, always, and never coming nearer. Food follows what the bird sees or hears of the person,
    /// never the other way round (common practice, no source; the procedure as such: Crowell-Davis, 2008).
    Earns {
        /// Calm while the person can only be heard, or is only somewhere in the home.
        CalmOutOfSight = "calm-out-of-sight",
        /// Calm while a part of the person, or the whole, is in view.
        CalmInView = "calm-in-view",
        /// Calm while the person moves.
        CalmAsPersonMoves = "calm-as-person-moves",
        /// Calm while food drops in the dish.
        CalmAsFoodDrops = "calm-as-food-drops",
    }
}

impl Step {
    /// What earns the reward at this step.
    #[must_use]
    pub fn earns(&self) -> Earns {
        let conditions = &self.conditions;
        if conditions.view <= View::BehindScreen {
            Earns::CalmOutOfSight
        } else if conditions.hands == Hands::DropsFoodInDish {
            Earns::CalmAsFoodDrops
        } else if conditions.movement > Movement::Still {
            Earns::CalmAsPersonMoves
        } else {
            Earns::CalmInView
        }
    }
}

ordered! {
    /// What was seen in one repetition, from calm to worst. Not seen, or unsure, is [`Sign::Arousal`] and never calm.
    Sign {
        /// On its place, takes food as fast as it always does, no sign of threat.
        Calm = "calm",
        /// Tense or slow to take food, without a threat; or nobody could tell.
        Arousal = "arousal",
        /// A threat that stays where it is, such as an open beak; or the bird goes away. Aggression without contact.
        Threat = "threat",
        /// A lunge, a charge, a strike at the bars or a flight at someone. No contact, and still the end for that day.
        Lunge = "lunge",
        /// The beak touches someone; the skin is whole.
        Contact = "contact",
        /// The skin is broken, or worse.
        BrokenSkin = "broken-skin",
    }
}

ordered! {
    /// What follows, from the loosest to the tightest.
    Move {
        /// The step is passed: the next one may begin.
        Pass = "pass",
        /// The run is there for the first time: stop, and do it once more on another day.
        ProbeLater = "probe-later",
        /// Go on at this step.
        GoOn = "go-on",
        /// Stay at this step; the run begins again.
        Hold = "hold",
        /// One easy try two steps back, and the session ends.
        EndEasy = "end-easy",
        /// One step back.
        BackOne = "back-one",
        /// This step is too big: one step back, and one in between. Where nothing is in between, the consultant is asked.
        Split = "split",
        /// Two steps back, and the session ends.
        BackTwoAndEnd = "back-two-and-end",
        /// Everything stops until the consultant has called.
        Stop = "stop",
    }
}

/// What has been counted, with the repetition that is judged.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct SoFar {
    /// Calm repetitions in a row at this step, in this session.
    pub calm_in_a_row: u32,
    /// Repetitions at this step since it began, or since it was last split, in all sessions.
    pub repetitions_at_step: u32,
    /// Repetitions with a threat or worse in this session.
    pub aggressive_in_session: u32,
    /// Repetitions with arousal and no threat in this session.
    pub aroused_in_session: u32,
    /// Times work went back from this step, with the one this repetition would lead to.
    pub go_backs_from_step: u32,
    /// The run was there on an earlier day.
    pub run_on_earlier_day: bool,
}

/// What a repetition leads to. The tightest rule that fits speaks.
#[must_use]
pub fn next_move(sign: Sign, so_far: &SoFar) -> Move {
    match sign {
        Sign::BrokenSkin => Move::Stop,
        Sign::Lunge | Sign::Contact => Move::BackTwoAndEnd,
        Sign::Threat if so_far.aggressive_in_session >= AGGRESSIVE_ENDS_SESSION => {
            Move::BackTwoAndEnd
        }
        Sign::Threat if so_far.go_backs_from_step >= GO_BACKS_BEFORE_SPLIT => Move::Split,
        Sign::Calm if so_far.calm_in_a_row >= CALM_IN_A_ROW => {
            if so_far.run_on_earlier_day {
                Move::Pass
            } else {
                Move::ProbeLater
            }
        }
        _ if so_far.repetitions_at_step >= REPETITIONS_BEFORE_SPLIT => Move::Split,
        Sign::Threat => Move::BackOne,
        Sign::Arousal if so_far.aroused_in_session >= AROUSED_ENDS_SESSION => Move::EndEasy,
        Sign::Arousal => Move::Hold,
        Sign::Calm => Move::GoOn,
    }
}

#[cfg(test)]
mod tests {
    use super::{Earns, Move, Sign, SoFar, next_move};
    use crate::ladder::{Conditions, Hands, Movement, Stage, Step, View};

    fn earns(view: View, movement: Movement, hands: Hands) -> Earns {
        let easiest = Conditions::easiest(Stage::ThroughBarrier, true);
        Step {
            number: 1,
            conditions: Conditions {
                view,
                movement,
                hands,
                ..easiest
            },
            changed: None,
        }
        .earns()
    }

    #[test]
    fn calm_earns_the_reward_and_the_step_says_when() {
        for hidden in [View::OtherRoom, View::ClosedDoor, View::BehindScreen] {
            assert_eq!(
                earns(hidden, Movement::Still, Hands::DownStill),
                Earns::CalmOutOfSight
            );
        }
        for seen in [View::OneShoulder, View::HalfBody, View::WholeBody] {
            assert_eq!(
                earns(seen, Movement::Still, Hands::HoldingFoodTool),
                Earns::CalmInView
            );
            assert_eq!(
                earns(seen, Movement::SlowSteps, Hands::HoldingFoodTool),
                Earns::CalmAsPersonMoves
            );
            assert_eq!(
                earns(seen, Movement::Ordinary, Hands::DropsFoodInDish),
                Earns::CalmAsFoodDrops
            );
        }
    }

    fn calm(calm_in_a_row: u32, repetitions_at_step: u32, run_on_earlier_day: bool) -> Move {
        let so_far = SoFar {
            calm_in_a_row,
            repetitions_at_step,
            run_on_earlier_day,
            ..SoFar::default()
        };
        next_move(Sign::Calm, &so_far)
    }

    #[test]
    fn three_calm_in_a_row_on_each_of_two_days_pass_a_step() {
        assert_eq!(calm(2, 2, false), Move::GoOn);
        assert_eq!(calm(3, 3, false), Move::ProbeLater);
        assert_eq!(calm(4, 4, false), Move::ProbeLater);
        assert_eq!(calm(1, 4, true), Move::GoOn);
        assert_eq!(calm(2, 5, true), Move::GoOn);
        assert_eq!(calm(3, 6, true), Move::Pass);
    }

    #[test]
    fn twelve_repetitions_without_the_run_split_the_step() {
        assert_eq!(calm(2, 11, false), Move::GoOn);
        assert_eq!(calm(2, 12, false), Move::Split);
        assert_eq!(calm(3, 12, false), Move::ProbeLater);
        assert_eq!(calm(3, 13, true), Move::Pass);
        let tense = |repetitions_at_step| {
            next_move(
                Sign::Arousal,
                &SoFar {
                    repetitions_at_step,
                    run_on_earlier_day: true,
                    ..SoFar::default()
                },
            )
        };
        assert_eq!((tense(11), tense(12)), (Move::Hold, Move::Split));
    }

    fn threat(aggressive_in_session: u32, go_backs_from_step: u32) -> Move {
        next_move(
            Sign::Threat,
            &SoFar {
                aggressive_in_session,
                go_backs_from_step,
                ..SoFar::default()
            },
        )
    }

    #[test]
    fn a_threat_goes_back_one_a_second_from_the_step_splits_it_and_a_second_that_day_ends_it() {
        assert_eq!(threat(1, 1), Move::BackOne);
        assert_eq!(threat(1, 2), Move::Split);
        assert_eq!(threat(1, 3), Move::Split);
        assert_eq!(threat(2, 1), Move::BackTwoAndEnd);
        assert_eq!(threat(2, 2), Move::BackTwoAndEnd);
        assert_eq!(threat(3, 1), Move::BackTwoAndEnd);
        let long = |repetitions_at_step| {
            next_move(
                Sign::Threat,
                &SoFar {
                    repetitions_at_step,
                    aggressive_in_session: 1,
                    go_backs_from_step: 1,
                    ..SoFar::default()
                },
            )
        };
        assert_eq!((long(11), long(12)), (Move::BackOne, Move::Split));
    }

    #[test]
    fn a_lunge_or_contact_ends_the_day_and_broken_skin_stops_all() {
        // However well it went before.
        let best = SoFar {
            calm_in_a_row: 9,
            repetitions_at_step: 9,
            run_on_earlier_day: true,
            ..SoFar::default()
        };
        assert_eq!(next_move(Sign::Lunge, &best), Move::BackTwoAndEnd);
        assert_eq!(next_move(Sign::Contact, &best), Move::BackTwoAndEnd);
        assert_eq!(next_move(Sign::BrokenSkin, &best), Move::Stop);
        assert_eq!(next_move(Sign::Arousal, &best), Move::Hold);
    }

    #[test]
    fn a_second_arousal_ends_the_session_on_an_easy_try() {
        let tense = |aroused_in_session| {
            next_move(
                Sign::Arousal,
                &SoFar {
                    aroused_in_session,
                    ..SoFar::default()
                },
            )
        };
        assert_eq!(
            (tense(1), tense(2), tense(3)),
            (Move::Hold, Move::EndEasy, Move::EndEasy)
        );
    }

    #[test]
    fn a_worse_sign_never_leads_to_a_looser_move() {
        for bits in 0..(7 * 14 * 4 * 4 * 2 * 4_u32) {
            let so_far = SoFar {
                aroused_in_session: bits / 3136,
                calm_in_a_row: bits % 7,
                repetitions_at_step: bits / 7 % 14,
                aggressive_in_session: bits / 98 % 4,
                go_backs_from_step: bits / 392 % 4,
                run_on_earlier_day: bits / 1568 % 2 == 1,
            };
            let moves: Vec<Move> = Sign::ALL
                .iter()
                .map(|sign| next_move(*sign, &so_far))
                .collect();
            assert!(moves.is_sorted(), "{so_far:?} {moves:?}");
        }
    }
}
