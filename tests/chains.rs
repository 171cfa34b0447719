//! The work of a graded ladder once more, written down as a chain state by state and solved with `nalgebra`, a
//! general-purpose linear algebra library. Nothing here uses the recursion or the elimination that the crate uses.
//!
//! The method is that of absorbing chains (Kemeny and Snell, Finite Markov Chains, 1960, from memory): with Q the chances
//! from state to state, the expected sums t of a reward w solve (I - Q) t = w.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use nalgebra::{DMatrix, DVector};
use perchside::figures::repetitions::sessions::{Rule, expected_work, feasible};
use perchside::figures::repetitions::{Rung, ladder, runs};

/// Equal but for the rounding of a linear solve.
fn near(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() <= 1e-8 * expected.abs().max(1.0),
        "{found} is not {expected}"
    );
}

/// The ladders that are checked: two outcomes, three outcomes, unequal rungs, one bad rung.
fn ladders() -> Vec<(Vec<Rung>, u32)> {
    let equal = |calm, mild, count| vec![Rung { calm, mild }; count];
    let unequal =
        |calm: &[f64]| -> Vec<Rung> { calm.iter().copied().map(Rung::two_outcomes).collect() };
    vec![
        (equal(0.9, 0.0, 1), 3),
        (equal(0.9, 0.0, 10), 3),
        (equal(0.95, 0.0, 10), 3),
        (equal(0.8, 0.0, 10), 3),
        (equal(0.95, 0.0, 12), 5),
        (equal(0.5, 0.0, 5), 1),
        (equal(0.5, 0.0, 4), 2),
        (equal(0.85, 0.10, 10), 3),
        (equal(0.80, 0.15, 8), 3),
        (equal(0.7, 0.3, 6), 2),
        (
            unequal(&[0.97, 0.95, 0.93, 0.91, 0.89, 0.87, 0.85, 0.83]),
            3,
        ),
        (unequal(&[0.95, 0.95, 0.70, 0.95, 0.95]), 3),
        (
            [
                (0.9, 0.05),
                (0.6, 0.3),
                (1.0, 0.0),
                (0.75, 0.0),
                (0.8, 0.19),
            ]
            .map(|(calm, mild)| Rung { calm, mild })
            .to_vec(),
            2,
        ),
    ]
}

/// The chances between the places of a ladder: rung times run, plus the calm ones in a row so far.
fn places(rungs: &[Rung], run: u32, back: usize) -> DMatrix<f64> {
    let run = run as usize;
    let size = rungs.len() * run;
    let mut chances = DMatrix::zeros(size, size);
    for (rung, each) in rungs.iter().enumerate() {
        for calm_so_far in 0..run {
            let here = rung * run + calm_so_far;
            // One calm more; after the last of the run, the next place is the start of the next rung.
            if here + 1 < size {
                chances[(here, here + 1)] += each.calm;
            }
            chances[(here, rung * run)] += each.mild;
            chances[(here, rung.saturating_sub(back) * run)] += 1.0 - each.calm - each.mild;
        }
    }
    chances
}

/// The expected sum of a reward from every state; `None` where the matrix is singular.
fn solved(chances: &DMatrix<f64>, reward: &DVector<f64>) -> Option<DVector<f64>> {
    let size = chances.nrows();
    (DMatrix::identity(size, size) - chances).lu().solve(reward)
}

fn ones(size: usize) -> DVector<f64> {
    DVector::from_element(size, 1.0)
}

#[test]
fn expected_repetitions_solve_the_chain_for_every_cost_of_aggression() {
    for (rungs, run) in ladders() {
        let rules = [
            ladder::hold_only,
            ladder::expected_repetitions,
            ladder::two_back,
        ];
        for (back, rule) in rules.iter().enumerate() {
            let chances = places(&rungs, run, back);
            let expected = solved(&chances, &ones(chances.nrows())).unwrap();
            near(rule(&rungs, run).unwrap(), expected[0]);
        }
    }
}

#[test]
fn aggressive_events_and_repetitions_on_each_rung_solve_the_chain() {
    for (rungs, run) in ladders() {
        let chances = places(&rungs, run, 1);
        let of_rung = |state: usize| &rungs[state / run as usize];
        let aggression = DVector::from_fn(chances.nrows(), |state, _| {
            1.0 - of_rung(state).calm - of_rung(state).mild
        });
        let expected = solved(&chances, &aggression).unwrap();
        near(
            ladder::expected_aggressive_events(&rungs, run).unwrap(),
            expected[0],
        );
        let on_each = ladder::expected_on_each_rung(&rungs, run).unwrap();
        assert_eq!(on_each.len(), rungs.len());
        let whole = solved(&chances, &ones(chances.nrows())).unwrap();
        let to_pass = ladder::expected_to_pass_each_rung(&rungs, run).unwrap();
        for rung in 0..rungs.len() {
            let on_this = DVector::from_fn(chances.nrows(), |state, _| {
                f64::from(u8::from(state / run as usize == rung))
            });
            near(on_each[rung], solved(&chances, &on_this).unwrap()[0]);
            // From the start of this rung to the end, less from the start of the next.
            let start = rung * run as usize;
            let next = start + run as usize;
            let after = if next < whole.len() { whole[next] } else { 0.0 };
            near(to_pass[rung], whole[start] - after);
        }
    }
}

// Kemeny and Snell: with N the inverse of I - Q and t = N 1, the variance is (2N - I) t - t².
#[test]
fn standard_deviations_solve_the_chain() {
    for (rungs, run) in ladders() {
        let chances = places(&rungs, run, 1);
        let mean = solved(&chances, &ones(chances.nrows())).unwrap();
        let again = solved(&chances, &mean).unwrap();
        let variance = 2.0 * again[0] - mean[0] - mean[0] * mean[0];
        let found = ladder::sd_repetitions(&rungs, run).unwrap();
        near(found * found, variance);
    }
}

#[test]
fn chances_over_time_are_powers_of_the_chain() {
    for (rungs, run) in ladders() {
        let chances = places(&rungs, run, 1);
        let mut unfinished = ones(chances.nrows());
        for repetitions in 0..=120 {
            near(
                ladder::chance_finished_within(&rungs, run, repetitions).unwrap(),
                1.0 - unfinished[0],
            );
            unfinished = &chances * unfinished;
        }
    }
}

#[test]
fn a_first_run_is_a_ladder_of_one_rung() {
    for calm in [0.3, 0.5, 0.8, 0.9, 0.95, 1.0] {
        for run in 1..=6 {
            let chances = places(&[Rung::two_outcomes(calm)], run, 1);
            let mean = solved(&chances, &ones(chances.nrows())).unwrap();
            near(runs::expected_repetitions(calm, run).unwrap(), mean[0]);
            let again = solved(&chances, &mean).unwrap();
            let variance = 2.0 * again[0] - mean[0] - mean[0] * mean[0];
            let found = runs::sd_repetitions(calm, run).unwrap();
            assert!((found * found - variance).abs() <= 1e-8 * mean[0] * mean[0]);
            let mut none = ones(chances.nrows());
            for repetitions in 0..=40 {
                near(
                    runs::chance_of_no_run(calm, run, repetitions).unwrap(),
                    none[0],
                );
                none = &chances * none;
            }
        }
    }
}

/// A ladder in sessions, repetition by repetition: a state for each rung, run so far and repetition of the session, and
/// one for the warm-up of each rung.
struct Sessions<'a> {
    rungs: &'a [Rung],
    run: usize,
    in_a_session: usize,
    rule: Rule,
}

impl Sessions<'_> {
    fn place(&self, rung: usize, calm_so_far: usize, done: usize) -> usize {
        (rung * self.run + calm_so_far) * self.in_a_session + done
    }

    fn warm_up(&self, rung: usize) -> usize {
        self.rungs.len() * self.run * self.in_a_session + rung
    }

    fn size(&self) -> usize {
        self.warm_up(self.rungs.len())
    }

    /// The first state of a session, when the one before ended on this rung.
    fn start(&self, rung: usize) -> usize {
        match self.rule {
            Rule::WarmUp if rung > 0 => self.warm_up(rung),
            Rule::KeepPlace | Rule::WarmUp => self.place(rung, 0, 0),
            Rule::OneLower => self.place(rung.saturating_sub(1), 0, 0),
        }
    }

    /// The state after a repetition, `done` of this session being over.
    fn next(&self, rung: usize, calm_so_far: usize, done: usize) -> usize {
        if done == self.in_a_session {
            self.start(rung)
        } else {
            self.place(rung, calm_so_far, done)
        }
    }

    fn chances(&self) -> DMatrix<f64> {
        let mut chances = DMatrix::zeros(self.size(), self.size());
        for (rung, each) in self.rungs.iter().enumerate() {
            let aggression = 1.0 - each.calm - each.mild;
            for done in 0..self.in_a_session {
                for calm_so_far in 0..self.run {
                    let here = self.place(rung, calm_so_far, done);
                    if calm_so_far + 1 < self.run {
                        let on = self.next(rung, calm_so_far + 1, done + 1);
                        chances[(here, on)] += each.calm;
                    } else if rung + 1 < self.rungs.len() {
                        chances[(here, self.next(rung + 1, 0, done + 1))] += each.calm;
                    }
                    chances[(here, self.next(rung, 0, done + 1))] += each.mild;
                    let down = self.next(rung.saturating_sub(1), 0, done + 1);
                    chances[(here, down)] += aggression;
                }
            }
        }
        for (below, each) in self.rungs.iter().enumerate() {
            let rung = below + 1;
            if rung < self.rungs.len() {
                let here = self.warm_up(rung);
                chances[(here, self.next(rung, 0, 1))] += each.calm;
                chances[(here, self.next(below, 0, 1))] += each.mild;
                let down = self.next(below.saturating_sub(1), 0, 1);
                chances[(here, down)] += 1.0 - each.calm - each.mild;
            }
        }
        chances
    }

    /// 1 in the first state of a session.
    fn starts(&self) -> DVector<f64> {
        let places = self.warm_up(0);
        DVector::from_fn(self.size(), |state, _| {
            f64::from(u8::from(state >= places || state % self.in_a_session == 0))
        })
    }

    /// Expected sessions and repetitions; `None` where the matrix is singular.
    fn solved(&self) -> Option<(f64, f64)> {
        let chances = self.chances();
        let start = self.start(0);
        let sessions = solved(&chances, &self.starts())?[start];
        Some((sessions, solved(&chances, &ones(self.size()))?[start]))
    }
}

const RULES: [Rule; 3] = [Rule::KeepPlace, Rule::WarmUp, Rule::OneLower];

#[test]
fn expected_sessions_solve_the_chain_of_single_repetitions() {
    for (rungs, run) in ladders().into_iter().filter(|(rungs, _)| rungs.len() <= 10) {
        for rule in RULES {
            for in_a_session in [2 * run, 2 * run + 1, 10] {
                let chain = Sessions {
                    rungs: &rungs,
                    run: run as usize,
                    in_a_session: in_a_session as usize,
                    rule,
                };
                let (sessions, repetitions) = chain.solved().unwrap();
                let found = expected_work(&rungs, run, in_a_session, rule).unwrap();
                near(found.sessions, sessions);
                near(found.repetitions, repetitions);
            }
        }
    }
}

// Computed, two methods (this chain and simulation), to six places.
#[test]
fn the_computed_sessions_are_those_of_the_chain() {
    for (calm, count, in_a_session, rule, sessions, repetitions) in [
        (0.95, 10, 10, Rule::OneLower, 7.500_641, 72.480_191),
        (0.95, 10, 10, Rule::WarmUp, 5.068_753, 47.537_029),
        (0.90, 3, 6, Rule::OneLower, 5.422_383, 32.534_296),
    ] {
        let rungs = vec![Rung::two_outcomes(calm); count];
        let chain = Sessions {
            rungs: &rungs,
            run: 3,
            in_a_session,
            rule,
        };
        let found = chain.solved().unwrap();
        assert!((found.0 - sessions).abs() < 1e-6 && (found.1 - repetitions).abs() < 1e-6);
    }
}

// A ladder that never ends is a singular matrix: no solution, or one that is nothing but rounding.
#[test]
fn a_ladder_is_feasible_where_its_chain_can_be_solved() {
    for rule in RULES {
        for count in 1..=3_u32 {
            for run in 1..=3_u32 {
                for in_a_session in 1..=7_u32 {
                    let rungs = vec![Rung::two_outcomes(0.75); count as usize];
                    let chain = Sessions {
                        rungs: &rungs,
                        run: run as usize,
                        in_a_session: in_a_session as usize,
                        rule,
                    };
                    let ends = chain
                        .solved()
                        .is_some_and(|(sessions, _)| (0.0..1e9).contains(&sessions));
                    assert_eq!(
                        feasible(rule, count, run, in_a_session).is_ok(),
                        ends,
                        "{rule:?}: {count} rungs, run {run}, {in_a_session} a session"
                    );
                }
            }
        }
    }
}
