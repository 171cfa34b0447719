//! How many sessions and repetitions a ladder takes when every step has to hold on two days.
//!
//! A rung is passed when a run of calm repetitions in a row was reached on it in each of two sessions. Every session is
//! taken as a day of its own. The protocol is our own choice, made of what is common practice (a run in a row, one rung
//! back after aggression, an easy start, one new step a session, a second calm day). It has no source as a whole, and no
//! trial stands behind it. To the letter:
//!
//! - The frontier is the highest rung reached so far. All rungs below it are passed. It is new until it had its run, and
//!   half passed from the next session on. At first it is the first rung, and new.
//! - On a rung, calm adds to the run; arousal without aggression starts the run again; aggression leads one rung back
//!   with a new run, and on the first rung only starts the run again.
//! - A run on a rung below the frontier leads up one rung, with a new run. The frontier stays what it was: half passed if
//!   it was half passed, new if it was new.
//! - A run on a half-passed frontier passes it. The session goes on at the rung above, which is the frontier now and new,
//!   with a new run. Was it the last rung, the ladder is finished.
//! - A run on a new frontier ends the session at once, however many repetitions are left: one new step a session.
//! - A session also ends when its repetitions are used up. No run is carried over.
//! - A session opens with a warm-up on the rung below the one the session before ended on, as under
//!   [`Rule::WarmUp`](super::sessions::Rule::WarmUp): one of its repetitions, counting towards no run. Calm leads up to
//!   that rung, arousal keeps the work on the lower one, and aggression leads one further back. On the first rung there
//!   is none, and the first repetition is one like any other.
//!
//! Our own choices within it: a rung that was passed stays passed, so after going back one run on it is enough; going back
//! does not take away that a rung is half passed; and the session in which a half-passed rung is passed may still bring
//! the first run on the next one. Not counted are rules that end a session early after aggression or split a rung that
//! does not come on: where these bite, sessions are shorter and more than told here.
//!
//! # How it is counted
//! Every first run on a rung ends its session, and the next one starts on that rung, half passed, whatever came before.
//! So the whole way is cut into legs that do not depend on each other: to the first run on the first rung; from each rung
//! half passed to the first run on the one above; and from the last rung half passed to the end. Each leg is an absorbing
//! chain (Kemeny and Snell, Finite Markov Chains, 1960, from memory) whose steps are sessions and whose states are the
//! rungs a session may end on, the frontier half passed or the one above new: at most two for each rung. A session is
//! followed repetition by repetition, and the chain is solved by adding only: nothing is cut off and nothing cancels.
//! Counting 40 rungs in sessions of 8 takes some 10 milliseconds, the largest ladder about a second. The limits of the
//! model are those of [the folder](super).

use super::absorb::{Followed, State, gathered};
use super::ladder::BACK_ONE;
use super::rung::{Chances, Rung, below_one, finite};
use super::sessions::{self, MOST_SESSIONS, NeverEnds, Refusal, Rule, usable_sessions};
use super::walk::Walk;
use crate::figures::input::within;

/// Most rungs counted by this protocol: fewer than other figures take, since the time to count grows so fast with them.
pub const MOST_RUNGS: u32 = 100;

/// Most repetitions in a session counted by this protocol.
pub const MOST_IN_A_SESSION: u32 = 50;

/// What a ladder can be expected to take when every step has to hold on two days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// Expected sessions, the last one included.
    pub sessions: f64,
    /// Expected repetitions, warm-ups included.
    pub repetitions: f64,
    /// Expected repetitions with aggression among them, warm-ups included.
    pub aggressive: f64,
}

/// Whether a ladder of so many rungs can be finished in sessions of `in_a_session` repetitions, `run` calm ones in a row
/// being a run.
///
/// It can when a session has room for the warm-up and one run. A ladder of one rung has no warm-up. When there is no room
/// for a second run, one session brings the second run on a rung and another the first on the next.
///
/// # Errors
/// [`NeverEnds`], for want of room with the fewest repetitions that would do.
pub const fn feasible(rungs: u32, run: u32, in_a_session: u32) -> Result<(), NeverEnds> {
    sessions::feasible(Rule::WarmUp, rungs, run, in_a_session)
}

/// The expected sessions, repetitions and aggressive repetitions until the last rung is passed.
///
/// Takes 1 to [`MOST_RUNGS`] rungs, lowest first, a run of 1 to [`MOST_RUN`](super::MOST_RUN) and sessions of 1 to
/// [`MOST_IN_A_SESSION`] repetitions.
///
/// # Errors
/// [`Refusal::Unusable`] for inputs outside that, chances that are none, or so small that the result overflows;
/// [`Refusal::NeverEnds`] when [`feasible`] says so.
pub fn expected_work(rungs: &[Rung], run: u32, in_a_session: u32) -> Result<Work, Refusal> {
    outlook(rungs, run, in_a_session, []).map(|(work, [])| work)
}

/// The expected work together with [quantiles](quantile), at the cost of one of them: the legs are laid out once.
///
/// # Errors
/// As for [`expected_work`] and [`quantile`].
pub fn outlook<const COUNT: usize>(
    rungs: &[Rung],
    run: u32,
    in_a_session: u32,
    shares: [f64; COUNT],
) -> Result<(Work, [Option<u32>; COUNT]), Refusal> {
    for share in shares {
        below_one(share)?;
    }
    let ladder = usable(rungs, run, in_a_session)?;
    let legs: Vec<Chain> = legs(&ladder, run, in_a_session).collect();
    let quantiles = shares.map(|share| first_of_legs(&legs, share));
    let mut whole = [0.0; 3];
    for leg in legs {
        let leg = gathered(leg);
        for (sum, each) in whole.iter_mut().zip(leg.unwrap_or([f64::NAN; 3])) {
            *sum += each;
        }
    }
    let [sessions, repetitions, aggressive] = whole;
    let work = Work {
        sessions: finite(sessions)?,
        repetitions: finite(repetitions)?,
        aggressive: finite(aggressive)?,
    };
    Ok((work, quantiles))
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
    sessions: u32,
) -> Result<Vec<f64>, Refusal> {
    within(f64::from(sessions), 0.0, f64::from(MOST_SESSIONS))?;
    let ladder = usable(rungs, run, in_a_session)?;
    let legs: Vec<Chain> = legs(&ladder, run, in_a_session).collect();
    let mut followed = from_the_first_leg(&legs);
    let mut finished = 0.0;
    let within_each = (0..sessions).map(|_| {
        finished += session(&mut followed);
        // The sum of many chances may round to a hair above 1.
        f64::min(finished, 1.0)
    });
    Ok(within_each.collect())
}

/// The smallest number of sessions within which the last rung is passed with at least the chance `share`.
///
/// `share` is above 0 and below 1: 0.5 for the middle, 0.9 for what nine in ten do not exceed. `None` when it takes more
/// than [`MOST_SESSIONS`]. Where a chance equals the share but for rounding, the answer may be one off.
///
/// # Errors
/// As for [`expected_work`], and for a share that is not between 0 and 1.
pub fn quantile(
    rungs: &[Rung],
    run: u32,
    in_a_session: u32,
    share: f64,
) -> Result<Option<u32>, Refusal> {
    let share = below_one(share)?;
    let ladder = usable(rungs, run, in_a_session)?;
    let legs: Vec<Chain> = legs(&ladder, run, in_a_session).collect();
    Ok(first_of_legs(&legs, share))
}

/// The smallest number of sessions by which all legs are behind with at least a share.
fn first_of_legs(legs: &[Chain], share: f64) -> Option<u32> {
    // No ladder is finished before each of its legs, and a hopeless one is told sooner by its worst, mostly the last.
    let hopeless = legs.iter().rev().any(|leg| {
        let mut alone = Followed::from_the_first(leg);
        first_to_reach(share, || alone.step(0.0)).is_none()
    });
    if hopeless {
        return None;
    }
    let mut followed = from_the_first_leg(legs);
    first_to_reach(share, || session(&mut followed))
}

/// The first session by which the chances that it is the last have added up to a share.
fn first_to_reach(share: f64, mut ends_with: impl FnMut() -> f64) -> Option<u32> {
    let mut ended = 0.0;
    (1..=MOST_SESSIONS).find(|_| {
        ended += ends_with();
        ended >= share
    })
}

/// The checks of every function here, in one place.
fn usable(rungs: &[Rung], run: u32, in_a_session: u32) -> Result<Vec<Chances>, Refusal> {
    let count = u32::try_from(rungs.len()).unwrap_or(u32::MAX);
    within(f64::from(count), 1.0, f64::from(MOST_RUNGS))?;
    within(f64::from(in_a_session), 1.0, f64::from(MOST_IN_A_SESSION))?;
    usable_sessions(rungs, run, in_a_session, Rule::WarmUp)
}

/// The sessions of one leg: one state for each rung the session before ended on with the frontier half passed, the
/// frontier first, then one for each with the rung above new, again from the highest down. The first state is where the
/// leg starts. On the first leg, where nothing is half passed, it is the first rung, new.
type Chain = Vec<State<3>>;

/// The legs in their order.
fn legs(ladder: &[Chances], run: u32, in_a_session: u32) -> impl Iterator<Item = Chain> {
    (0..=ladder.len()).map(move |half_passed| {
        let [passed, reached] =
            [ladder.get(..half_passed), ladder.get(..=half_passed)].map(Option::unwrap_or_default);
        leg(passed, reached, run, in_a_session)
    })
}

/// One leg: the rungs up to the half-passed frontier, and the same with the one above, or none where there is none above.
fn leg(passed: &[Chances], reached: &[Chances], run: u32, in_a_session: u32) -> Chain {
    let nobody = Session {
        half_passed: Walk::empty(passed, run, BACK_ONE),
        new: Walk::empty(reached, run, BACK_ONE),
        above: passed.len(),
    };
    let from_half_passed = (0..passed.len()).rev().map(|rung| {
        let mut session = nobody.clone();
        session.half_passed.put(rung, 1.0);
        session
    });
    let from_new = (0..reached.len()).rev().map(|rung| {
        let mut session = nobody.clone();
        session.new.put(rung, 1.0);
        session
    });
    from_half_passed
        .chain(from_new)
        .map(|session| session.over(in_a_session))
        .collect()
}

/// A session of a leg, followed repetition by repetition from where the one before ended.
#[derive(Debug, Clone)]
struct Session<'a> {
    /// The frontier is half passed: the last rung of this walk.
    half_passed: Walk<'a>,
    /// The frontier is the rung above and new: the last rung of this walk.
    new: Walk<'a>,
    /// The rung above, counted from 0.
    above: usize,
}

impl Session<'_> {
    /// Where it leads and what it takes. The leg ends with a run on the rung above, and with the end of the ladder.
    fn over(mut self, in_a_session: u32) -> State<3> {
        let ends = (0..in_a_session)
            .map(|done| {
                let (opened, passed) = if done == 0 {
                    (self.new.warm_up(), self.half_passed.warm_up())
                } else {
                    (self.new.step(), self.half_passed.step())
                };
                // What finds no rung above has finished.
                opened + self.new.put(self.above, passed).unwrap_or_default()
            })
            .sum();
        let walks = [&self.half_passed, &self.new];
        let [half_passed, new] = walks.map(Walk::spent);
        State {
            to: walks
                .into_iter()
                .flat_map(|walk| walk.on_rungs().into_iter().rev())
                .collect(),
            ends,
            gathers: [
                1.0,
                half_passed.repetitions + new.repetitions,
                half_passed.aggressive + new.aggressive,
            ],
        }
    }
}

/// All legs, surely before the first session.
fn from_the_first_leg(legs: &[Chain]) -> Vec<Followed<'_, 3>> {
    let mut followed: Vec<Followed<'_, 3>> = legs.iter().map(|leg| Followed::empty(leg)).collect();
    if let Some(first) = followed.first_mut() {
        first.start(1.0);
    }
    followed
}

/// One session on all legs. Gives the chance that it finished the ladder.
fn session(legs: &mut [Followed<'_, 3>]) -> f64 {
    let mut ended = 0.0;
    for leg in legs {
        let ends = leg.step(0.0);
        // The leg it leads to begins with the next session.
        leg.start(ended);
        ended = ends;
    }
    ended
}

#[cfg(test)]
mod tests {
    use super::{
        MOST_IN_A_SESSION, MOST_RUNGS, MOST_SESSIONS, NeverEnds, Refusal, Rung, Work,
        chances_finished_within, expected_work, feasible, quantile,
    };
    use crate::figures::input::Unusable;
    use crate::figures::repetitions::runs::chance_of_no_run;
    use crate::figures::repetitions::sessions::{self, Rule};
    use std::collections::BTreeMap;

    /// Equal but for the rounding of a linear solve.
    fn near(got: f64, expected: f64) {
        assert!(
            (got - expected).abs() <= 1e-9 * expected.abs().max(1.0),
            "{got} {expected}"
        );
    }

    fn is(work: Result<Work, Refusal>, sessions: f64, repetitions: f64, aggressive: f64) {
        let work = work.unwrap();
        near(work.sessions, sessions);
        near(work.repetitions, repetitions);
        near(work.aggressive, aggressive);
    }

    fn equal(calm: f64, rungs: usize) -> Vec<Rung> {
        vec![Rung::two_outcomes(calm); rungs]
    }

    fn rungs<const COUNT: usize>(each: [(f64, f64); COUNT]) -> Vec<Rung> {
        each.map(|(calm, mild)| Rung { calm, mild }).to_vec()
    }

    // By hand. One rung, a run of one, half calm, a quarter mild; it takes two sessions that succeed. With one repetition
    // each succeeds with 1/2; with two with 3/4, in 1.5 repetitions. A quarter of the repetitions is aggressive.
    #[test]
    fn one_rung_takes_two_sessions_with_a_run() {
        let rung = rungs([(0.5, 0.25)]);
        is(expected_work(&rung, 1, 1), 4.0, 4.0, 1.0);
        is(expected_work(&rung, 1, 2), 8.0 / 3.0, 4.0, 1.0);
        assert_eq!(
            chances_finished_within(&rung, 1, 1, 5).unwrap(),
            [0.0, 0.25, 0.5, 0.6875, 0.8125]
        );
        for (share, sessions) in [(0.25, 2), (0.250_001, 3), (0.5, 3), (0.6875, 4), (0.8, 5)] {
            assert_eq!(quantile(&rung, 1, 1, share), Ok(Some(sessions)));
        }
    }

    #[test]
    fn the_outlook_is_the_work_and_the_quantiles() {
        let ladder = equal(0.9, 6);
        let (work, quantiles) = super::outlook(&ladder, 3, 7, [0.5, 0.9]).unwrap();
        assert_eq!(Ok(work), expected_work(&ladder, 3, 7));
        assert_eq!(Ok(quantiles[0]), quantile(&ladder, 3, 7, 0.5));
        assert_eq!(Ok(quantiles[1]), quantile(&ladder, 3, 7, 0.9));
        assert!(super::outlook(&ladder, 3, 7, [1.0]).is_err());
    }

    // By hand: the first rung all calm, the second half calm, half mild; a run of one. The first session ends after one
    // repetition. The second passes the first rung in one; with what is left it tries the second rung for its first run.
    // Two a session: one try in each, so 1/2 open it there, the rest in two more; two to pass it, all after a warm-up.
    // Three a session: two tries, 3/4 of them succeed, in 1.5 repetitions.
    #[test]
    fn the_session_that_passes_a_rung_may_open_the_next() {
        let two = rungs([(1.0, 0.0), (0.5, 0.5)]);
        is(expected_work(&two, 1, 2), 5.0, 9.0, 0.0);
        assert_eq!(
            chances_finished_within(&two, 1, 2, 5).unwrap(),
            [0.0, 0.0, 0.25, 0.5, 0.6875]
        );
        let again = 4.0 / 3.0;
        let sessions = 2.0 + 0.25 * again + again;
        is(
            expected_work(&two, 1, 3),
            sessions,
            1.0 + 2.5 * (1.0 + 0.25 * again + again),
            0.0,
        );
    }

    // By hand: the first rung all calm, the second half calm, half aggression; a run of one, two a session. Half of the
    // tries on the second rung succeed. A failed one leaves the work on the first rung, where the next session takes one
    // repetition, no warm-up, to come back, and has one try: the rung is as half passed as before, or as new as before.
    #[test]
    fn going_back_keeps_a_rung_half_passed() {
        let two = rungs([(1.0, 0.0), (0.5, 0.0)]);
        is(expected_work(&two, 1, 2), 5.0, 9.0, 2.0);
        // Runs of two, four a session, what is not calm only arousal: from half passed with a warm-up, three tries for two
        // in a row: 1/4 + 1/8. New after passing the first rung: two tries, 1/4; later after a warm-up: 3/8.
        let two = rungs([(1.0, 0.0), (0.5, 0.5)]);
        let sessions = 2.0 + 0.75 * 8.0 / 3.0 + 8.0 / 3.0;
        near(expected_work(&two, 2, 4).unwrap().sessions, sessions);
    }

    // By hand: three rungs, a run of one, three a session. The leg from the second rung half passed to the first run on
    // the third, from the third rung new: warm-up on the second. Calm (1/2): two tries on the third, 1/4 each, else
    // arousal. Arousal (1/8): on the second with two left: calm leads up (1/2) to one try. Aggression (3/8): on the first
    // with two left: one leads up to the second, and the other may lead up to the third, where nothing is left to try.
    #[test]
    fn a_session_of_a_leg_followed_by_hand() {
        let three = rungs([(1.0, 0.0), (0.5, 0.125), (0.25, 0.75)]);
        let ladder = super::usable(&three, 1, 3).unwrap();
        let legs: Vec<_> = super::legs(&ladder, 1, 3).collect();
        let sizes: Vec<usize> = legs.iter().map(Vec::len).collect();
        assert_eq!(sizes, [1, 1 + 2, 2 + 3, 3]);
        // Half passed: from the second, the first. New: from the third, the second, the first.
        let new = &legs[2][2];
        let held = 0.125;
        let fell = 0.375;
        let open = 0.5 * (0.25 + 0.75 * 0.25) + held * 0.5 * 0.25;
        assert_eq!(new.ends, open);
        let on_third = 0.5 * 0.75 * 0.75 + held * (0.5 * 0.75 + 0.125 * 0.5) + fell * 0.5;
        let on_second = held * (0.125 * 0.125 + 0.375 * 1.0) + fell * 0.125;
        let on_first = held * 0.125 * 0.375 + fell * 0.375;
        assert_eq!(new.to, [0.0, 0.0, on_third, on_second, on_first]);
        let repetitions = 1.0 + 1.0 + (1.0 - 0.5 * 0.25);
        let aggressive = fell + held * (0.375 + 0.125 * 0.375) + fell * 0.375;
        assert_eq!(new.gathers, [1.0, repetitions, aggressive]);
        // Half passed, on the second: warm-up on the first is calm. Passed with 1/2, then one try on the third; or held
        // and passed with the last one; or fallen and back up.
        let half = &legs[2][0];
        assert_eq!(half.ends, 0.5 * 0.25);
        assert_eq!(
            half.to,
            [
                0.125 * 0.125 + 0.375 * 1.0,
                0.125 * 0.375,
                0.5 * 0.75 + 0.125 * 0.5,
                0.0,
                0.0
            ]
        );
        assert_eq!(half.gathers, [1.0, 3.0, 0.375 + 0.125 * 0.375]);
    }

    // By hand. With room for the warm-up and two runs each session passes one rung and opens the next: one more than
    // there are rungs; two runs a rung, and a warm-up in all but the first two sessions. With less room, a session passes
    // a rung, is used up on the next, and another opens it; with room for just two runs the second session, which has no
    // warm-up, still does both.
    #[test]
    fn a_bird_that_is_always_calm_takes_what_can_be_counted() {
        for run in 1..=4_u32 {
            for count in 1..=12_u32 {
                let rungs = equal(1.0, count as usize);
                for in_a_session in run + 1..=3 * run + 4 {
                    let (sessions, repetitions) = if count == 1 {
                        (2, 2 * run)
                    } else if in_a_session > 2 * run {
                        (count + 1, 2 * run * count + count - 1)
                    } else if in_a_session == 2 * run {
                        let between = (count - 2) * (2 * run + 1 + run);
                        (2 * count - 1, 3 * run + between + 1 + run)
                    } else {
                        let between = (count - 1) * (in_a_session + 1 + run);
                        (2 * count, run + between + 1 + run)
                    };
                    let work = expected_work(&rungs, run, in_a_session);
                    is(work, f64::from(sessions), f64::from(repetitions), 0.0);
                    for share in [0.000_1, 0.5, 0.999_9] {
                        let found = quantile(&rungs, run, in_a_session, share);
                        assert_eq!(found, Ok(Some(sessions)));
                    }
                }
            }
            // A single rung has no warm-up and needs no room for it.
            is(
                expected_work(&equal(1.0, 1), run, run),
                2.0,
                f64::from(2 * run),
                0.0,
            );
        }
    }

    // Feller's runs, another method: each of the two sessions takes as many as there are until one brings a run.
    #[test]
    fn one_rung_is_two_first_runs_within_a_session() {
        for calm in [0.3, 0.6, 0.9, 0.99] {
            for run in 1..=5 {
                for in_a_session in run..run + 9 {
                    let no_run = chance_of_no_run(calm, run, in_a_session).unwrap();
                    let work = expected_work(&equal(calm, 1), run, in_a_session).unwrap();
                    near(work.sessions, 2.0 / (1.0 - no_run));
                    near(work.aggressive, work.repetitions * (1.0 - calm));
                }
            }
        }
    }

    /// Where the work is: the rung, the frontier, whether that is half passed, the run so far, and how many repetitions of
    /// the session are done.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
    struct Place {
        rung: usize,
        frontier: usize,
        half_passed: bool,
        run: u32,
        done: u32,
    }

    const FIRST: Place = Place {
        rung: 0,
        frontier: 0,
        half_passed: false,
        run: 0,
        done: 0,
    };

    /// The protocol as a chain of single repetitions, written from the rules.
    struct Protocol<'a> {
        rungs: &'a [Rung],
        run: u32,
        in_a_session: u32,
    }

    impl Protocol<'_> {
        /// After a repetition: the next session when this one is used up.
        fn after(&self, place: Place) -> Place {
            if place.done == self.in_a_session {
                Place {
                    run: 0,
                    done: 0,
                    ..place
                }
            } else {
                place
            }
        }

        /// The places after a calm, a mild and an aggressive repetition, with their chances. `None` has finished.
        fn next(&self, at: Place) -> [(f64, Option<Place>); 3] {
            let done = at.done + 1;
            let on = |rung, run| {
                let place = Place {
                    rung,
                    run,
                    done,
                    ..at
                };
                Some(self.after(place))
            };
            let chances = |on: usize| {
                let Rung { calm, mild } = self.rungs[on];
                [calm, mild, 1.0 - (calm + mild)]
            };
            if at.done == 0 && at.rung > 0 {
                let below = at.rung - 1;
                let [calm, mild, aggression] = chances(below);
                return [
                    (calm, on(at.rung, 0)),
                    (mild, on(below, 0)),
                    (aggression, on(below.saturating_sub(1), 0)),
                ];
            }
            let [calm, mild, aggression] = chances(at.rung);
            let after_calm = if at.run + 1 < self.run {
                on(at.rung, at.run + 1)
            } else if at.rung < at.frontier {
                on(at.rung + 1, 0)
            } else if !at.half_passed {
                Some(Place {
                    half_passed: true,
                    run: 0,
                    done: 0,
                    ..at
                })
            } else if at.rung + 1 == self.rungs.len() {
                None
            } else {
                Some(self.after(Place {
                    rung: at.rung + 1,
                    frontier: at.rung + 1,
                    half_passed: false,
                    run: 0,
                    done,
                }))
            };
            [
                (calm, after_calm),
                (mild, on(at.rung, 0)),
                (aggression, on(at.rung.saturating_sub(1), 0)),
            ]
        }

        /// Every place that can be come to, numbered as found.
        fn places(&self) -> BTreeMap<Place, usize> {
            let mut found = BTreeMap::from([(FIRST, 0)]);
            let mut open = vec![FIRST];
            while let Some(place) = open.pop() {
                for (chance, next) in self.next(place) {
                    if let Some(next) = next.filter(|_| chance > 0.0)
                        && !found.contains_key(&next)
                    {
                        found.insert(next, found.len());
                        open.push(next);
                    }
                }
            }
            found
        }

        /// Expected sessions, repetitions and aggressive repetitions, from (I - Q) t = w.
        fn solved(&self) -> [f64; 3] {
            let places = self.places();
            let size = places.len();
            let mut rows = vec![vec![0.0; size + 3]; size];
            for (place, at) in &places {
                let row = &mut rows[*at];
                row[*at] += 1.0;
                for (chance, next) in self.next(*place) {
                    if let Some(there) = next.and_then(|next| places.get(&next)) {
                        row[*there] -= chance;
                    }
                }
                row[size] = f64::from(u8::from(place.done == 0));
                row[size + 1] = 1.0;
                row[size + 2] = self.next(*place)[2].0;
            }
            // Gauss and Jordan, with the largest pivot.
            for column in 0..size {
                let largest = (column..size)
                    .max_by(|one, other| {
                        rows[*one][column]
                            .abs()
                            .total_cmp(&rows[*other][column].abs())
                    })
                    .unwrap();
                rows.swap(column, largest);
                let pivot = rows[column].clone();
                for (at, row) in rows.iter_mut().enumerate() {
                    let times = row[column] / pivot[column];
                    if at != column && times != 0.0 {
                        for (each, from) in row.iter_mut().zip(&pivot).skip(column) {
                            *each -= times * from;
                        }
                    }
                }
            }
            [0, 1, 2].map(|reward| rows[0][size + reward] / rows[0][0])
        }

        /// The chance of having finished within 1, 2, ... sessions.
        fn finished_within(&self, sessions: usize) -> Vec<f64> {
            let mut starts = BTreeMap::from([(FIRST, 1.0)]);
            let mut finished = 0.0;
            (0..sessions)
                .map(|_| {
                    let mut going = std::mem::take(&mut starts);
                    while !going.is_empty() {
                        for (place, chance) in std::mem::take(&mut going) {
                            for (onward, next) in self.next(place) {
                                match next {
                                    None => finished += chance * onward,
                                    Some(next) => {
                                        let to = if next.done == 0 {
                                            &mut starts
                                        } else {
                                            &mut going
                                        };
                                        *to.entry(next).or_insert(0.0) += chance * onward;
                                    }
                                }
                            }
                        }
                    }
                    finished
                })
                .collect()
        }
    }

    /// Two and three outcomes, equal and unequal rungs, no aggression, one bad rung; with runs and sessions of all kinds:
    /// room for one run only, for two without and with a warm-up, and for many.
    fn settings() -> Vec<(Vec<Rung>, u32, u32)> {
        vec![
            (equal(0.9, 1), 3, 3),
            (equal(0.9, 2), 3, 4),
            (equal(0.8, 3), 2, 3),
            (equal(0.7, 4), 1, 2),
            (equal(0.9, 4), 3, 8),
            (equal(0.85, 5), 3, 7),
            (equal(0.75, 4), 2, 4),
            (equal(0.6, 5), 1, 3),
            (equal(0.5, 3), 2, 12),
            (rungs([(0.85, 0.10); 4]), 3, 6),
            (rungs([(0.7, 0.3); 4]), 2, 5),
            (
                rungs([(0.5, 0.25), (0.75, 0.125), (0.625, 0.25), (0.5, 0.0)]),
                2,
                5,
            ),
            (
                rungs([
                    (0.9, 0.05),
                    (0.6, 0.3),
                    (1.0, 0.0),
                    (0.75, 0.0),
                    (0.8, 0.19),
                ]),
                2,
                8,
            ),
            (equal(0.95, 3), 4, 10),
        ]
    }

    #[test]
    fn the_work_solves_the_chain_of_single_repetitions() {
        for (rungs, run, in_a_session) in settings() {
            let protocol = Protocol {
                rungs: &rungs,
                run,
                in_a_session,
            };
            let [sessions, repetitions, aggressive] = protocol.solved();
            is(
                expected_work(&rungs, run, in_a_session),
                sessions,
                repetitions,
                aggressive,
            );
        }
    }

    #[test]
    fn the_chances_over_sessions_are_those_of_single_repetitions() {
        for (rungs, run, in_a_session) in settings() {
            let protocol = Protocol {
                rungs: &rungs,
                run,
                in_a_session,
            };
            let found = chances_finished_within(&rungs, run, in_a_session, 30).unwrap();
            let expected = protocol.finished_within(30);
            assert_eq!(found.len(), 30);
            for (found, expected) in found.iter().zip(expected) {
                assert!((found - expected).abs() < 1e-12, "{found} {expected}");
            }
        }
    }

    #[test]
    fn the_chances_over_sessions_add_up_to_the_expected_sessions() {
        for (calm, count) in [(0.9, 6), (0.95, 20), (0.85, 4)] {
            let rungs = equal(calm, count);
            let chances = chances_finished_within(&rungs, 3, 8, MOST_SESSIONS).unwrap();
            assert!(chances.is_sorted() && chances.iter().all(|chance| *chance <= 1.0));
            let unfinished: f64 = chances.iter().map(|chance| 1.0 - chance).sum();
            near(
                expected_work(&rungs, 3, 8).unwrap().sessions,
                1.0 + unfinished,
            );
        }
    }

    /// Numbers from 0 to 1 in a fixed order (xorshift, Marsaglia 2003).
    struct Draws(u64);

    impl Draws {
        fn next(&mut self) -> f64 {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
            // The upper 32 bits, as a share.
            f64::from(u32::try_from(self.0 >> 32).unwrap()) / 4_294_967_296.0
        }

        /// 0 calm, 1 arousal, 2 aggression.
        fn outcome(&mut self, rung: Rung) -> u8 {
            let draw = self.next();
            u8::from(draw >= rung.calm) + u8::from(draw >= rung.calm + rung.mild)
        }
    }

    /// The protocol played once as a household would, from the rules and nothing else: on how many days each step had its
    /// run. Gives sessions, repetitions and aggressive repetitions.
    fn played(rungs: &[Rung], run: u32, in_a_session: u32, draws: &mut Draws) -> [f64; 3] {
        let [mut sessions, mut repetitions, mut aggressive] = [0.0; 3];
        let mut days = vec![0; rungs.len()];
        let mut rung = 0;
        loop {
            sessions += 1.0;
            let (mut left, mut in_a_row) = (in_a_session, 0);
            let mut warm_up = rung > 0;
            while left > 0 {
                left -= 1;
                repetitions += 1.0;
                let lead = std::mem::take(&mut warm_up);
                rung -= usize::from(lead);
                match draws.outcome(rungs[rung]) {
                    0 if lead => rung += 1,
                    0 => in_a_row += 1,
                    1 => in_a_row = 0,
                    _ => {
                        aggressive += 1.0;
                        (rung, in_a_row) = (rung.saturating_sub(1), 0);
                    }
                }
                if in_a_row == run {
                    in_a_row = 0;
                    // A rung passed before stays passed.
                    days[rung] = (days[rung] + 1).min(2);
                    if days[rung] == 1 {
                        break;
                    }
                    rung += 1;
                    if rung == rungs.len() {
                        return [sessions, repetitions, aggressive];
                    }
                }
            }
        }
    }

    #[test]
    fn simulated_households_agree_with_the_exact_work() {
        let tries = 8_000_u32;
        let mut draws = Draws(20_251_125);
        let mut all = settings();
        all.push((equal(0.95, 12), 3, 8));
        all.push((equal(0.9, 8), 3, 10));
        all.push((rungs([(0.85, 0.1); 10]), 2, 6));
        for (rungs, run, in_a_session) in all {
            let chances = chances_finished_within(&rungs, run, in_a_session, 1_000).unwrap();
            let middle = quantile(&rungs, run, in_a_session, 0.5).unwrap().unwrap();
            let (mut sums, mut squares, mut by_middle) = ([0.0; 3], [0.0; 3], 0);
            for _ in 0..tries {
                let one = played(&rungs, run, in_a_session, &mut draws);
                by_middle += u32::from(one[0] <= f64::from(middle));
                for ((sum, square), each) in sums.iter_mut().zip(&mut squares).zip(one) {
                    *sum += each;
                    *square += each * each;
                }
            }
            let work = expected_work(&rungs, run, in_a_session).unwrap();
            let exact = [work.sessions, work.repetitions, work.aggressive];
            for ((sum, square), exact) in sums.into_iter().zip(squares).zip(exact) {
                let mean = sum / f64::from(tries);
                let variance = square / f64::from(tries) - mean * mean;
                let error = (variance / f64::from(tries)).sqrt();
                assert!(
                    (mean - exact).abs() <= 4.0 * error + 1e-12,
                    "{mean} {error} {exact}: {rungs:?} {run} {in_a_session}"
                );
                assert!(error <= 0.02 * exact, "too few tries: {error} {exact}");
            }
            let chance = chances[middle as usize - 1];
            let error = (chance * (1.0 - chance) / f64::from(tries)).sqrt();
            let share = f64::from(by_middle) / f64::from(tries);
            assert!((share - chance).abs() <= 4.0 * error, "{share} {chance}");
        }
    }

    #[test]
    fn less_calm_or_one_more_rung_takes_longer() {
        for (count, run, in_a_session) in [(1, 3, 3), (3, 2, 5), (6, 3, 8), (8, 1, 4), (5, 3, 4)] {
            let mut before: Option<Work> = None;
            for calm in [1.0, 0.99, 0.97, 0.95, 0.9, 0.85, 0.8, 0.7, 0.6] {
                let work = expected_work(&equal(calm, count), run, in_a_session).unwrap();
                if let Some(before) = before {
                    assert!(work.sessions > before.sessions);
                    assert!(work.repetitions > before.repetitions);
                    assert!(work.aggressive > before.aggressive);
                }
                before = Some(work);
                let longer = expected_work(&equal(calm, count + 1), run, in_a_session + 1);
                let same_room = expected_work(&equal(calm, count), run, in_a_session + 1);
                let (longer, same_room) = (longer.unwrap(), same_room.unwrap());
                assert!(longer.sessions > same_room.sessions + 0.999);
                assert!(longer.repetitions > same_room.repetitions);
            }
        }
    }

    // What was aggression is now arousal: never more work where all rungs are alike.
    #[test]
    fn aggression_costs_more_than_arousal() {
        for calm in [0.6, 0.8, 0.95] {
            for mild in [0.0, 0.01, 0.04] {
                let work = |mild| expected_work(&rungs([(calm, mild); 5]), 3, 8).unwrap();
                let (more, less) = (work(mild), work(mild + 0.01));
                assert!(more.sessions > less.sessions && more.aggressive > less.aggressive);
            }
        }
    }

    #[test]
    fn never_less_than_a_bird_that_is_always_calm() {
        let mut draws = Draws(0x9e37_79b9_7f4a_7c15);
        for count in 1..=8_u32 {
            for run in 1..=4 {
                for in_a_session in run + 1..run + 9 {
                    let rungs: Vec<Rung> = (0..count)
                        .map(|_| {
                            let calm = 0.5 + 0.49 * draws.next();
                            let mild = (1.0 - calm) * draws.next();
                            Rung { calm, mild }
                        })
                        .collect();
                    let work = expected_work(&rungs, run, in_a_session).unwrap();
                    let calm = expected_work(&equal(1.0, rungs.len()), run, in_a_session).unwrap();
                    assert!(work.sessions > calm.sessions && work.repetitions > calm.repetitions);
                    assert!(work.sessions > f64::from(count) + 1.0);
                    assert!(work.repetitions <= work.sessions * f64::from(in_a_session));
                    // The second day is not free.
                    let once = sessions::expected_work(&rungs, run, in_a_session, Rule::WarmUp);
                    let once = once.unwrap();
                    assert!(work.sessions > once.sessions && work.repetitions > once.repetitions);
                }
            }
        }
    }

    #[test]
    fn a_larger_share_takes_no_fewer_sessions_and_its_chance_is_reached() {
        for (rungs, run, in_a_session) in settings() {
            let chances = chances_finished_within(&rungs, run, in_a_session, 1_000).unwrap();
            let mut before = 0;
            for share in [0.01, 0.1, 0.5, 0.9, 0.99] {
                let found = quantile(&rungs, run, in_a_session, share).unwrap().unwrap();
                assert!(found >= before);
                assert!(chances[found as usize - 1] >= share);
                assert!(found == 1 || chances[found as usize - 2] < share);
                before = found;
            }
        }
    }

    // One rung, a run of one, one a session, one in a thousand calm. The chance of two calm ones in a thousand is
    // 1 - 0.999^1000 - 0.999^999 = 0.264 241; in 999 it is 0.263 873 (binomial).
    #[test]
    fn what_takes_more_than_a_thousand_sessions_has_no_quantile() {
        assert_eq!(MOST_SESSIONS, 1_000);
        let rung = equal(0.001, 1);
        assert_eq!(quantile(&rung, 1, 1, 0.264_2), Ok(Some(1_000)));
        assert_eq!(quantile(&rung, 1, 1, 0.264_3), Ok(None));
        // Told by the worst leg alone, and where no leg is hopeless but all together are.
        assert_eq!(quantile(&equal(0.7, 30), 3, 8, 0.5), Ok(None));
        let slow = equal(0.85, 40);
        let last = super::usable(&slow, 3, 8).unwrap();
        let last = super::legs(&last, 3, 8).last().unwrap();
        let mut alone = super::Followed::from_the_first(&last);
        let within: f64 = (0..MOST_SESSIONS).map(|_| alone.step(0.0)).sum();
        assert!(within > 0.999, "{within}");
        assert_eq!(quantile(&slow, 3, 8, 0.5), Ok(Some(590)));
        assert_eq!(quantile(&slow, 3, 8, 0.9), Ok(None));
    }

    // Added up without care, these come to a hair above 1.
    #[test]
    fn a_chance_is_never_above_one() {
        for (calm, count) in [(0.64, 1), (0.89, 1), (0.57, 2), (0.71, 2)] {
            let chances = chances_finished_within(&equal(calm, count), 1, 10, 1_000).unwrap();
            assert_eq!(chances.last(), Some(&1.0));
        }
    }

    #[test]
    fn a_session_has_room_for_the_warm_up_and_one_run() {
        let no_room = |least| Err(NeverEnds::NoRoomForARun { least });
        assert_eq!(feasible(1, 3, 2), no_room(3));
        assert_eq!(feasible(1, 3, 3), Ok(()));
        assert_eq!(feasible(2, 3, 3), no_room(4));
        assert_eq!(feasible(2, 3, 4), Ok(()));
        assert_eq!(feasible(30, 3, 3), no_room(4));
        assert_eq!(feasible(30, 3, 4), Ok(()));
        assert_eq!(feasible(30, 5, 0), no_room(6));
        for (rungs, run) in [(0, 3), (3, 0), (0, 0)] {
            assert_eq!(feasible(rungs, run, 8), Err(NeverEnds::NothingToClimb));
        }
        assert!(feasible(3, u32::MAX, u32::MAX).is_err());
    }

    // Checked against the chain of single repetitions: where it is feasible every place can lead to the end, and where it
    // is not some place is never left for it.
    #[test]
    fn what_is_called_feasible_is_what_the_chain_can_do() {
        for count in 1..=3_u32 {
            for run in 1..=3 {
                for in_a_session in 1..=8 {
                    let rungs = rungs([(0.8, 0.1); 3]);
                    let protocol = Protocol {
                        rungs: &rungs[..count as usize],
                        run,
                        in_a_session,
                    };
                    let places = protocol.places();
                    let mut ends = vec![false; places.len()];
                    for _ in 0..=places.len() {
                        for (place, at) in &places {
                            ends[*at] |= protocol
                                .next(*place)
                                .iter()
                                .any(|(_, next)| next.is_none_or(|next| ends[places[&next]]));
                        }
                    }
                    assert_eq!(
                        feasible(count, run, in_a_session).is_ok(),
                        ends.iter().all(|ends| *ends),
                        "{count} {run} {in_a_session}"
                    );
                }
            }
        }
    }

    #[test]
    fn what_never_ends_is_told_and_not_counted() {
        let never = Refusal::NeverEnds(NeverEnds::NoRoomForARun { least: 4 });
        let rungs = equal(0.9, 3);
        assert_eq!(expected_work(&rungs, 3, 3), Err(never));
        assert_eq!(chances_finished_within(&rungs, 3, 3, 5), Err(never));
        assert_eq!(quantile(&rungs, 3, 3, 0.5), Err(never));
        assert_eq!(
            never.to_string(),
            "the ladder never ends: a session has no room for a whole run and needs at least 4 repetitions"
        );
    }

    #[test]
    fn inputs_outside_the_limits_are_refused() {
        assert_eq!((MOST_RUNGS, MOST_IN_A_SESSION), (100, 50));
        let all = |rungs: &[Rung], run, in_a_session| {
            [
                expected_work(rungs, run, in_a_session).err(),
                chances_finished_within(rungs, run, in_a_session, 5).err(),
                quantile(rungs, run, in_a_session, 0.5).err(),
            ]
        };
        let unusable = |why| [Some(Refusal::Unusable(why)); 3];
        let outside = |least, most| unusable(Unusable::OutOfRange { least, most });
        assert_eq!(all(&[], 3, 8), outside(1.0, 100.0));
        assert_eq!(all(&equal(0.9, 101), 3, 8), outside(1.0, 100.0));
        assert_eq!(all(&equal(0.9, 3), 0, 8), outside(1.0, 20.0));
        assert_eq!(all(&equal(0.9, 3), 21, 30), outside(1.0, 20.0));
        assert_eq!(all(&equal(0.9, 3), 3, 0), outside(1.0, 50.0));
        assert_eq!(all(&equal(0.9, 3), 3, 51), outside(1.0, 50.0));
        assert_eq!(all(&equal(1.1, 3), 3, 8), outside(0.0, 1.0));
        assert_eq!(all(&rungs([(0.9, 0.2)]), 3, 8), outside(0.0, 1.0));
        assert_eq!(all(&rungs([(0.9, -0.1)]), 3, 8), outside(0.0, 1.0));
        assert_eq!(all(&equal(0.0, 3), 3, 8), unusable(Unusable::NotAboveZero));
        assert_eq!(all(&equal(-0.5, 3), 3, 8), unusable(Unusable::NotAboveZero));
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(all(&equal(bad, 3), 3, 8), unusable(Unusable::NotFinite));
            assert_eq!(
                all(&rungs([(0.5, bad)]), 3, 8),
                unusable(Unusable::NotFinite)
            );
        }
        let too_small = expected_work(&equal(1e-120, 3), 3, 8).unwrap_err();
        assert_eq!(too_small, Refusal::Unusable(Unusable::NotFinite));
        assert_eq!(quantile(&equal(1e-120, 3), 3, 8, 0.5), Ok(None));
        assert_eq!(all(&equal(1.0, 100), 20, 50), [None; 3]);
        assert_eq!(all(&equal(0.9, 1), 1, 1), [None; 3]);

        let rung = equal(0.9, 2);
        assert_eq!(chances_finished_within(&rung, 3, 8, 0), Ok(Vec::new()));
        assert_eq!(
            chances_finished_within(&rung, 3, 8, 1_001),
            Err(Refusal::Unusable(Unusable::OutOfRange {
                least: 0.0,
                most: 1_000.0
            }))
        );
        for share in [1.0, 1.5] {
            let refused = quantile(&rung, 3, 8, share).unwrap_err();
            let why = Unusable::OutOfRange {
                least: 0.0,
                most: 1.0,
            };
            assert_eq!(refused, Refusal::Unusable(why));
        }
        for (share, why) in [
            (0.0, Unusable::NotAboveZero),
            (-0.5, Unusable::NotAboveZero),
            (f64::NAN, Unusable::NotFinite),
            (f64::INFINITY, Unusable::NotFinite),
        ] {
            assert_eq!(quantile(&rung, 3, 8, share), Err(Refusal::Unusable(why)));
        }
    }
}
