//! How many sessions a ladder takes when each has a set number of repetitions.
//!
//! A run is never carried over to the next session. Where the next one starts is a [`Rule`]. Within a session the ladder
//! is climbed as in [`ladder`](super::ladder), one rung back after aggression; the last session ends when the last rung
//! is passed. Sessions are the steps of a chain over the rung a session ends on, solved exactly (Kemeny and Snell, Finite
//! Markov Chains, 1960, from memory). The limits of the model are those of [the folder](super).

use super::absorb::{Followed, State, gathered};
use super::ladder::BACK_ONE;
use super::rung::{Chances, MOST_RUNGS, Rung, finite, usable_run, usable_rungs};
use super::walk::Walk;
use crate::figures::input::{Unusable, within};
use std::fmt;

/// Most repetitions in a session.
pub const MOST_IN_A_SESSION: u32 = 200;

/// Most sessions a chance is followed over.
pub const MOST_SESSIONS: u32 = 1_000;

/// Where the next session starts. No trial that compares these was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// On the rung the last session ended on, with a new run.
    KeepPlace,
    /// With one repetition on the rung below the one the last session ended on. When it is calm, the session goes on
    /// where the last one ended, with a new run. Arousal keeps the bird on the lower rung and aggression sends it one
    /// further back. It is one of the session's repetitions and counts towards no run. On the first rung there is none.
    WarmUp,
    /// One rung below the one the last session ended on, and every rung from there must be passed again.
    OneLower,
}

/// Why a ladder is never finished, whatever the chances are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NeverEnds {
    /// No rung, or a run of none: there is nothing to finish.
    NothingToClimb,
    /// A session has no room for one whole run, after the warm-up where there is one.
    NoRoomForARun {
        /// Fewest repetitions a session needs.
        least: u32,
    },
    /// A session has room for one run only, and the next one starts a rung lower: what is gained is lost again.
    GainIsLost {
        /// Fewest repetitions a session needs.
        least: u32,
    },
}

impl fmt::Display for NeverEnds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingToClimb => write!(f, "there is no rung, or no run to pass it by"),
            Self::NoRoomForARun { least } => write!(
                f,
                "the ladder never ends: a session has no room for a whole run and needs at least {least} repetitions"
            ),
            Self::GainIsLost { least } => write!(
                f,
                "the ladder never ends: a session gains one rung at most and the next starts one lower; \
                 it needs at least {least} repetitions"
            ),
        }
    }
}

impl std::error::Error for NeverEnds {}

/// Why no sessions are counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// A number that cannot be worked with.
    Unusable(Unusable),
    /// The ladder is never finished.
    NeverEnds(NeverEnds),
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unusable(why) => why.fmt(f),
            Self::NeverEnds(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for Refusal {}

impl From<Unusable> for Refusal {
    fn from(why: Unusable) -> Self {
        Self::Unusable(why)
    }
}

impl From<NeverEnds> for Refusal {
    fn from(why: NeverEnds) -> Self {
        Self::NeverEnds(why)
    }
}

/// What a ladder can be expected to take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// Expected sessions, the last one included.
    pub sessions: f64,
    /// Expected repetitions, warm-ups included.
    pub repetitions: f64,
}

/// Whether a ladder of so many rungs, each passed by `run` calm repetitions in a row, can be finished in sessions of
/// `in_a_session` repetitions.
///
/// It can when every session, wherever it starts, leaves the bird a chance to end higher than the last one did:
/// - [`Rule::KeepPlace`]: a session has room for one run;
/// - [`Rule::WarmUp`]: for one run and the warm-up, which a ladder of one rung does not have;
/// - [`Rule::OneLower`]: for two runs, or for all rungs at once.
///
/// # Errors
/// [`NeverEnds`] with the fewest repetitions that would do.
pub const fn feasible(
    rule: Rule,
    rungs: u32,
    run: u32,
    in_a_session: u32,
) -> Result<(), NeverEnds> {
    if rungs == 0 || run == 0 {
        return Err(NeverEnds::NothingToClimb);
    }
    match rule {
        Rule::WarmUp if rungs > 1 && in_a_session <= run => Err(NeverEnds::NoRoomForARun {
            least: run.saturating_add(1),
        }),
        Rule::OneLower if rungs > 1 && in_a_session / 2 < run => Err(NeverEnds::GainIsLost {
            least: run.saturating_mul(2),
        }),
        _ if in_a_session < run => Err(NeverEnds::NoRoomForARun { least: run }),
        _ => Ok(()),
    }
}

/// The expected sessions and repetitions to pass the last rung.
///
/// Takes 1 to [`MOST_RUNGS`] rungs, lowest first, a run of 1 to [`MOST_RUN`](super::MOST_RUN) and sessions of 1 to
/// [`MOST_IN_A_SESSION`] repetitions.
///
/// # Errors
/// [`Refusal::Unusable`] for inputs outside that, chances that are none, or so small that the result overflows;
/// [`Refusal::NeverEnds`] when [`feasible`] says so.
pub fn expected_work(
    rungs: &[Rung],
    run: u32,
    in_a_session: u32,
    rule: Rule,
) -> Result<Work, Refusal> {
    let ladder = usable_sessions(rungs, run, in_a_session, rule)?;
    let [sessions, repetitions] =
        gathered(chain(&ladder, run, in_a_session, rule)).unwrap_or([f64::NAN; 2]);
    Ok(Work {
        sessions: finite(sessions)?,
        repetitions: finite(repetitions)?,
    })
}

/// The chance that the last rung is passed within 1, 2, ... `sessions` sessions, in this order.
///
/// `sessions` is at most [`MOST_SESSIONS`].
///
/// # Errors
/// As for [`expected_work`], and for more sessions than that.
pub fn chances_finished_within(
    rungs: &[Rung],
    run: u32,
    in_a_session: u32,
    rule: Rule,
    sessions: u32,
) -> Result<Vec<f64>, Refusal> {
    within(f64::from(sessions), 0.0, f64::from(MOST_SESSIONS))?;
    let ladder = usable_sessions(rungs, run, in_a_session, rule)?;
    let chain = chain(&ladder, run, in_a_session, rule);
    let mut followed = Followed::from_the_first(&chain);
    let mut finished = 0.0;
    let within_each = (0..sessions).map(|_| {
        finished = followed.step(finished);
        // The sum of many chances may round to a hair above 1.
        f64::min(finished, 1.0)
    });
    Ok(within_each.collect())
}

/// The checks of every function that counts sessions, in one place.
pub(super) fn usable_sessions(
    rungs: &[Rung],
    run: u32,
    in_a_session: u32,
    rule: Rule,
) -> Result<Vec<Chances>, Refusal> {
    let ladder = usable_rungs(rungs)?;
    usable_run(run)?;
    within(f64::from(in_a_session), 1.0, f64::from(MOST_IN_A_SESSION))?;
    // The count is at most MOST_RUNGS here.
    let count = u32::try_from(ladder.len()).unwrap_or(MOST_RUNGS);
    feasible(rule, count, run, in_a_session)?;
    Ok(ladder)
}

/// The chain whose steps are sessions: one state for each rung the session before ended on. The first session is as if
/// one before had ended on the first rung.
fn chain(ladder: &[Chances], run: u32, in_a_session: u32, rule: Rule) -> Vec<State<2>> {
    (0..ladder.len())
        .map(|rung| {
            let mut walk = Walk::empty(ladder, run, BACK_ONE);
            let lower = if rule == Rule::OneLower { 1 } else { 0 };
            walk.put(rung.saturating_sub(lower), 1.0);
            session(walk, in_a_session, rule)
        })
        .collect()
}

/// One session from a start.
fn session(mut walk: Walk<'_>, in_a_session: u32, rule: Rule) -> State<2> {
    let ends = (0..in_a_session)
        .map(|done| match rule {
            Rule::WarmUp if done == 0 => walk.warm_up(),
            Rule::KeepPlace | Rule::WarmUp | Rule::OneLower => walk.step(),
        })
        .sum();
    State {
        to: walk.on_rungs(),
        ends,
        gathers: [1.0, walk.spent().repetitions],
    }
}

#[cfg(test)]
mod tests {
    use super::{
        MOST_IN_A_SESSION, MOST_SESSIONS, NeverEnds, Refusal, Rule, Rung, Unusable,
        chances_finished_within, expected_work, feasible,
    };
    use Rule::{KeepPlace, OneLower, WarmUp};

    const RULES: [Rule; 3] = [KeepPlace, WarmUp, OneLower];

    fn near(got: f64, expected: f64) {
        assert!((got - expected).abs() <= 1e-6, "{got} {expected}");
    }

    fn equal(calm: f64, rungs: usize) -> Vec<Rung> {
        vec![Rung::two_outcomes(calm); rungs]
    }

    // Computed, two methods (block chain and simulation).
    #[test]
    fn ten_rungs_in_sessions_of_ten_take_the_computed_work() {
        for (calm, rungs, in_a_session, rule, sessions, repetitions) in [
            (0.90, 10, 10, KeepPlace, 6.914_860, 65.223_363),
            (0.90, 10, 10, WarmUp, 8.091_058, 77.929_693),
            (0.90, 10, 10, OneLower, 16.629_415, 164.022_261),
            (0.95, 10, 10, KeepPlace, 4.802_202, 43.746_783),
            (0.95, 10, 10, WarmUp, 5.068_753, 47.537_029),
            (0.95, 10, 10, OneLower, 7.500_641, 72.480_191),
            (0.90, 3, 6, OneLower, 5.422_383, 32.534_296),
        ] {
            let work = expected_work(&equal(calm, rungs), 3, in_a_session, rule).unwrap();
            near(work.sessions, sessions);
            near(work.repetitions, repetitions);
        }
    }

    // By hand: one rung, a run of one, sessions of two, half calm, a quarter mild. A session succeeds with 3/4 and takes
    // 1.5 repetitions. There is no rung below to warm up on.
    #[test]
    fn one_rung_by_hand() {
        let rung = [Rung {
            calm: 0.5,
            mild: 0.25,
        }];
        for rule in RULES {
            let work = expected_work(&rung, 1, 2, rule).unwrap();
            near(work.sessions, 4.0 / 3.0);
            near(work.repetitions, 2.0);
        }
    }

    // By hand: two rungs, a run of one, sessions of two, all calm on the first rung and half calm, half mild on the
    // second. The first session ends on the second rung with 1/2. By a warm-up each later one has one try at it.
    #[test]
    fn the_warm_up_is_one_repetition_on_the_rung_below() {
        let rungs = [
            Rung::two_outcomes(1.0),
            Rung {
                calm: 0.5,
                mild: 0.5,
            },
        ];
        let work = expected_work(&rungs, 1, 2, WarmUp).unwrap();
        near(work.sessions, 2.0);
        near(work.repetitions, 4.0);
        assert_eq!(
            chances_finished_within(&rungs, 1, 2, WarmUp, 4).unwrap(),
            [0.5, 0.75, 0.875, 0.9375]
        );
        // Kept in place, each later one has two tries: 3/4 of them succeed in 1.5 repetitions.
        let work = expected_work(&rungs, 1, 2, KeepPlace).unwrap();
        near(work.sessions, 1.0 + 0.5 * 4.0 / 3.0);
        near(work.repetitions, 2.0 + 0.5 * 2.0);
    }

    // By hand: the lowest rung all calm, so that only what happens in the warm-up differs. From the third rung, warm-up
    // on the second, run of one, two repetitions: calm (1/2) then a try on the third (1/4); arousal (1/8) stays on the
    // second and aggression (3/8) falls to the first, both with one repetition left, which cannot finish.
    #[test]
    fn a_warm_up_that_is_not_calm_holds_or_falls_from_the_lower_rung() {
        let rungs = [
            Rung::two_outcomes(1.0),
            Rung {
                calm: 0.5,
                mild: 0.125,
            },
            Rung {
                calm: 0.25,
                mild: 0.75,
            },
        ];
        let ladder = super::usable_rungs(&rungs).unwrap();
        let chain = super::chain(&ladder, 1, 2, WarmUp);
        // To the first rung: from the second by aggression, 1/8 * 3/8. To the second: up from the first, 3/8, or held
        // there, 1/8 * 1/8. To the third: held there, 1/2 * 3/4, or up from the second, 1/8 * 1/2.
        let last = chain.last().unwrap();
        assert_eq!(last.to, [0.046_875, 0.375 + 0.015_625, 0.375 + 0.062_5]);
        assert_eq!((last.ends, last.gathers), (0.125, [1.0, 2.0]));
        assert_eq!(chain.len(), 3);
    }

    #[test]
    fn one_lower_starts_a_rung_below() {
        let ladder = super::usable_rungs(&equal(1.0, 4)).unwrap();
        let to = |rule, state: usize| super::chain(&ladder, 3, 6, rule)[state].to.clone();
        assert_eq!(to(OneLower, 0), [0.0, 0.0, 1.0, 0.0]);
        assert_eq!(to(OneLower, 1), [0.0, 0.0, 1.0, 0.0]);
        assert_eq!(to(OneLower, 2), [0.0, 0.0, 0.0, 1.0]);
        assert_eq!(to(KeepPlace, 1), [0.0, 0.0, 0.0, 1.0]);
        assert_eq!(to(WarmUp, 0), [0.0, 0.0, 1.0, 0.0]);
        assert_eq!(to(WarmUp, 1), [0.0, 0.0, 1.0, 0.0]);
    }

    #[test]
    fn a_bird_that_is_always_calm_takes_what_can_be_counted() {
        for (rule, sessions, repetitions) in [
            // Three runs in ten, one repetition left over; the last run needs a fourth session.
            (KeepPlace, 4.0, 33.0),
            // Three runs after each warm-up as well.
            (WarmUp, 4.0, 34.0),
            // From the first to the fourth, and from then on two rungs net: 4, then 3 to 6, 5 to 8, 7 to 10, 9 to the end.
            (OneLower, 5.0, 46.0),
        ] {
            let work = expected_work(&equal(1.0, 10), 3, 10, rule).unwrap();
            near(work.sessions, sessions);
            near(work.repetitions, repetitions);
        }
    }

    #[test]
    fn one_long_session_is_the_ladder_without_sessions() {
        let rungs = equal(0.95, 6);
        let alone = super::super::ladder::expected_repetitions(&rungs, 3).unwrap();
        for rule in RULES {
            let work = expected_work(&rungs, 3, MOST_IN_A_SESSION, rule).unwrap();
            near(work.sessions, 1.0);
            near(work.repetitions, alone);
        }
    }

    #[test]
    fn the_chances_over_sessions_add_up_to_the_expected_sessions() {
        for rule in RULES {
            let rungs = equal(0.9, 6);
            let chances = chances_finished_within(&rungs, 3, 10, rule, 1_000).unwrap();
            assert!(chances.is_sorted() && chances.iter().all(|chance| *chance <= 1.0));
            let unfinished: f64 = chances.iter().map(|chance| 1.0 - chance).sum();
            let work = expected_work(&rungs, 3, 10, rule).unwrap();
            near(1.0 + unfinished, work.sessions);
        }
    }

    // Added up without care, these come to a hair above 1.
    #[test]
    fn a_chance_is_never_above_one() {
        for (calm, rungs, run) in [(0.56, 1, 2), (0.59, 2, 2), (0.60, 1, 1)] {
            let rungs = equal(calm, rungs);
            let chances = chances_finished_within(&rungs, run, 10, KeepPlace, 60).unwrap();
            assert_eq!(chances.last(), Some(&1.0));
        }
    }

    // The conditions: one whole run in a session; one and the warm-up; two, or the whole ladder at once.
    #[test]
    fn a_ladder_without_room_for_its_runs_never_ends() {
        let no_room = |least| Err(NeverEnds::NoRoomForARun { least });
        let lost = |least| Err(NeverEnds::GainIsLost { least });
        assert_eq!(feasible(KeepPlace, 5, 3, 2), no_room(3));
        assert_eq!(feasible(KeepPlace, 5, 3, 3), Ok(()));
        assert_eq!(feasible(WarmUp, 5, 3, 3), no_room(4));
        assert_eq!(feasible(WarmUp, 2, 3, 3), no_room(4));
        assert_eq!(feasible(WarmUp, 1, 3, 2), no_room(3));
        assert_eq!(feasible(WarmUp, 1, 3, 3), Ok(()));
        assert_eq!(feasible(WarmUp, 5, 3, 4), Ok(()));
        assert_eq!(feasible(OneLower, 3, 3, 5), lost(6));
        assert_eq!(feasible(OneLower, 2, 3, 5), lost(6));
        assert_eq!(feasible(OneLower, 3, 3, 6), Ok(()));
        assert_eq!(feasible(OneLower, 2, 3, 6), Ok(()));
        assert_eq!(feasible(OneLower, 1, 3, 2), no_room(3));
        assert_eq!(feasible(OneLower, 1, 3, 3), Ok(()));
        for rule in RULES {
            for (rungs, run) in [(0, 3), (3, 0), (0, 0)] {
                assert_eq!(
                    feasible(rule, rungs, run, 10),
                    Err(NeverEnds::NothingToClimb)
                );
            }
            assert!(feasible(rule, 3, 1, 0).is_err());
            assert!(feasible(rule, 3, u32::MAX, u32::MAX - 1).is_err());
        }
        assert!(feasible(OneLower, 3, u32::MAX, u32::MAX).is_err());
    }

    // Checked against the chain itself: where it is feasible every session can lead on to the end, and where it is not
    // some place is never left for it.
    #[test]
    fn what_is_called_feasible_is_what_the_chain_can_do() {
        for rule in RULES {
            for rungs in 1..=4_u32 {
                for run in 1..=3 {
                    for in_a_session in 1..=8 {
                        let ladder = super::usable_rungs(&equal(0.8, rungs as usize)).unwrap();
                        let chain = super::chain(&ladder, run, in_a_session, rule);
                        let mut reached = vec![false; chain.len()];
                        reached[0] = true;
                        let mut ends = vec![false; chain.len()];
                        for _ in 0..=chain.len() {
                            for (at, state) in chain.iter().enumerate() {
                                ends[at] |= state.ends > 0.0;
                                for (there, chance) in state.to.iter().enumerate() {
                                    reached[there] |= reached[at] && *chance > 0.0;
                                    ends[at] |= ends[there] && *chance > 0.0;
                                }
                            }
                        }
                        let sure = reached
                            .iter()
                            .zip(&ends)
                            .all(|(reached, ends)| !reached || *ends);
                        assert_eq!(
                            feasible(rule, rungs, run, in_a_session).is_ok(),
                            sure,
                            "{rule:?} {rungs} {run} {in_a_session}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn what_never_ends_is_told_and_not_counted() {
        let never = expected_work(&equal(0.9, 3), 3, 5, OneLower).unwrap_err();
        assert_eq!(
            never,
            Refusal::NeverEnds(NeverEnds::GainIsLost { least: 6 })
        );
        assert_eq!(
            never.to_string(),
            "the ladder never ends: a session gains one rung at most and the next starts one lower; \
             it needs at least 6 repetitions"
        );
        let never = chances_finished_within(&equal(0.9, 3), 3, 3, WarmUp, 5).unwrap_err();
        assert_eq!(
            never.to_string(),
            "the ladder never ends: a session has no room for a whole run and needs at least 4 repetitions"
        );
        assert_eq!(
            NeverEnds::NothingToClimb.to_string(),
            "there is no rung, or no run to pass it by"
        );
    }

    #[test]
    fn inputs_outside_the_limits_are_refused() {
        let outside = |least, most| Err(Refusal::Unusable(Unusable::OutOfRange { least, most }));
        let work = |calm, rungs, run, n| expected_work(&equal(calm, rungs), run, n, KeepPlace);
        assert_eq!(work(0.9, 0, 3, 10), outside(1.0, 200.0));
        assert_eq!(work(0.9, 201, 3, 10), outside(1.0, 200.0));
        assert_eq!(work(0.9, 3, 0, 10), outside(1.0, 20.0));
        assert_eq!(work(0.9, 3, 21, 30), outside(1.0, 20.0));
        assert_eq!(work(0.9, 3, 3, 0), outside(1.0, 200.0));
        assert_eq!(work(0.9, 3, 3, 201), outside(1.0, 200.0));
        assert_eq!(work(1.1, 3, 3, 10), outside(0.0, 1.0));
        assert!(work(0.9, 3, 3, 200).is_ok() && work(0.9, 3, 1, 1).is_ok());
        assert_eq!(
            work(0.0, 3, 3, 10),
            Err(Refusal::Unusable(Unusable::NotAboveZero))
        );
        for (calm, run) in [(f64::NAN, 3), (f64::INFINITY, 3), (1e-120, 3)] {
            let refused = work(calm, 3, run, 10).unwrap_err();
            assert_eq!(refused, Refusal::Unusable(Unusable::NotFinite));
            assert_eq!(refused.to_string(), "not a finite number");
        }
        let chances = |sessions| chances_finished_within(&equal(0.9, 3), 3, 10, WarmUp, sessions);
        assert_eq!(chances(0), Ok(Vec::new()));
        assert_eq!(chances(MOST_SESSIONS).unwrap().len(), 1_000);
        assert_eq!(
            chances(1_001),
            Err(Refusal::Unusable(Unusable::OutOfRange {
                least: 0.0,
                most: 1_000.0
            }))
        );
    }
}
