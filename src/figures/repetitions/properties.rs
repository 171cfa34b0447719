//! What must hold for any ladder, over grids of ladders from a small generator, and a simulation that knows only the
//! rules.

use super::ladder::{
    chance_finished_within, expected_aggressive_events, expected_repetitions, hold_only, quantile,
    sd_repetitions, two_back,
};
use super::sessions::{Rule, chances_finished_within, expected_work};
use super::{Rung, runs};

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

    fn rungs(&mut self, count: usize) -> Vec<Rung> {
        (0..count)
            .map(|_| {
                let calm = 0.5 + 0.49 * self.next();
                let mild = (1.0 - calm) * self.next();
                Rung { calm, mild }
            })
            .collect()
    }
}

fn no_less(more: f64, less: f64) -> bool {
    more >= less * (1.0 - 1e-12)
}

/// Ladders of 1 to 12 rungs with runs of 1 to 5.
fn ladders() -> impl Iterator<Item = (Vec<Rung>, u32)> {
    let mut draws = Draws(0x9e37_79b9_7f4a_7c15);
    (1..=12).flat_map(move |count| {
        (1..=5)
            .map(|run| (draws.rungs(count), run))
            .collect::<Vec<_>>()
    })
}

#[test]
fn less_calm_a_longer_run_or_one_more_rung_takes_longer() {
    for (rungs, run) in ladders() {
        let whole = expected_repetitions(&rungs, run).unwrap();
        assert!(expected_repetitions(&rungs, run + 1).unwrap() > whole);
        let mut longer = rungs.clone();
        longer.push(Rung::two_outcomes(0.9));
        assert!(expected_repetitions(&longer, run).unwrap() > whole);
        for at in 0..rungs.len() {
            let mut harder = rungs.clone();
            harder[at].calm -= 0.01;
            assert!(expected_repetitions(&harder, run).unwrap() > whole);
            // What was aggression is now arousal: never more work.
            let mut milder = rungs.clone();
            milder[at].mild = (1.0 - milder[at].calm) * 0.999_999;
            assert!(no_less(whole, expected_repetitions(&milder, run).unwrap()));
        }
    }
}

#[test]
fn no_ladder_takes_less_than_all_its_runs() {
    for (rungs, run) in ladders() {
        let least = f64::from(run) * f64::from(u8::try_from(rungs.len()).unwrap());
        assert!(hold_only(&rungs, run).unwrap() > least);
        let before = run * u32::try_from(rungs.len()).unwrap() - 1;
        assert_eq!(chance_finished_within(&rungs, run, before), Ok(0.0));
        assert!(chance_finished_within(&rungs, run, before + 1).unwrap() > 0.0);
    }
}

#[test]
fn a_harder_consequence_never_takes_less() {
    for (rungs, run) in ladders() {
        let hold = hold_only(&rungs, run).unwrap();
        let one = expected_repetitions(&rungs, run).unwrap();
        let two = two_back(&rungs, run).unwrap();
        assert!(
            no_less(one, hold) && no_less(two, one),
            "{hold} {one} {two}"
        );
        match rungs.len() {
            1 => assert!(no_less(hold, two)),
            2 => assert!(one > hold && no_less(one, two)),
            _ => assert!(one > hold && two > one),
        }
    }
}

#[test]
fn the_first_rung_is_the_first_run() {
    for (rungs, run) in ladders() {
        let calm = rungs[0].calm;
        let one = expected_repetitions(&rungs[..1], run).unwrap();
        assert!((one / runs::expected_repetitions(calm, run).unwrap() - 1.0).abs() < 1e-12);
        let deviation = sd_repetitions(&rungs[..1], run).unwrap();
        assert!((deviation / runs::sd_repetitions(calm, run).unwrap() - 1.0).abs() < 1e-12);
    }
}

#[test]
fn without_aggression_nothing_is_lost_but_the_run() {
    for (rungs, run) in ladders() {
        let peaceful: Vec<Rung> = rungs
            .iter()
            .map(|rung| Rung {
                mild: 1.0 - rung.calm,
                ..*rung
            })
            .collect();
        let hold = hold_only(&rungs, run).unwrap();
        for same in [
            expected_repetitions(&peaceful, run),
            two_back(&peaceful, run),
            hold_only(&peaceful, run),
        ] {
            assert!((same.unwrap() / hold - 1.0).abs() < 1e-10);
        }
        assert!(expected_aggressive_events(&peaceful, run).unwrap() < 1e-9);
    }
}

// Two outcomes, with no arousal: the mean reps a visit and the chance to leave upward as they are usually written.
#[test]
fn without_arousal_it_is_the_rule_of_two_outcomes() {
    for (mut rungs, run) in ladders() {
        let (mut way, mut whole) = (0.0, 0.0);
        for rung in &mut rungs {
            rung.mild = 0.0;
            let up = rung.calm.powi(i32::try_from(run).unwrap());
            let visit = (1.0 - up) / (1.0 - rung.calm);
            way = if way == 0.0 {
                visit / up
            } else {
                (visit + (1.0 - up) * way) / up
            };
            whole += way;
        }
        let found = expected_repetitions(&rungs, run).unwrap();
        assert!((found / whole - 1.0).abs() < 1e-10, "{found} {whole}");
    }
}

#[test]
fn a_larger_share_takes_no_fewer_repetitions_and_its_chance_is_reached() {
    for (rungs, run) in ladders().filter(|(rungs, run)| rungs.len() < 6 && *run < 4) {
        let mut before = 0;
        for share in [0.1, 0.5, 0.9, 0.99] {
            let found = quantile(&rungs, run, share).unwrap().unwrap();
            assert!(found >= before);
            assert!(chance_finished_within(&rungs, run, found).unwrap() >= share);
            assert!(chance_finished_within(&rungs, run, found - 1).unwrap() < share);
            before = found;
        }
    }
}

#[test]
fn keeping_the_place_takes_least_where_all_rungs_are_alike() {
    for calm in [0.7, 0.8, 0.9, 0.97] {
        for count in [1, 2, 5, 8] {
            for run in [1, 2, 3] {
                let rungs = vec![Rung::two_outcomes(calm); count];
                let sessions = |rule, n| expected_work(&rungs, run, n, rule).unwrap().sessions;
                for n in 2 * run..2 * run + 6 {
                    let keep = sessions(Rule::KeepPlace, n);
                    assert!(keep >= 1.0);
                    for rule in [Rule::WarmUp, Rule::OneLower] {
                        let slower = if n > run { sessions(rule, n) } else { keep };
                        assert!(no_less(slower, keep), "{rule:?} {calm} {count} {run} {n}");
                    }
                }
            }
        }
    }
}

/// One repetition by the rules. Rungs count from 0; gives true when the last rung is passed.
fn repetition(rungs: &[Rung], run: u32, back: usize, at: &mut (usize, u32), draw: f64) -> bool {
    let rung = rungs[at.0];
    if draw < rung.calm {
        at.1 += 1;
        if at.1 == run {
            *at = (at.0 + 1, 0);
        }
    } else if draw < rung.calm + rung.mild {
        at.1 = 0;
    } else {
        *at = (at.0.saturating_sub(back), 0);
    }
    at.0 == rungs.len()
}

/// Mean and standard error of what one try gives.
fn simulated(tries: u32, mut one: impl FnMut() -> f64) -> (f64, f64) {
    let (mut sum, mut squares) = (0.0, 0.0);
    for _ in 0..tries {
        let result = one();
        sum += result;
        squares += result * result;
    }
    let mean = sum / f64::from(tries);
    let variance = squares / f64::from(tries) - mean * mean;
    (mean, (variance / f64::from(tries)).sqrt())
}

#[test]
fn simulated_ladders_agree_with_the_exact_means() {
    let mut draws = Draws(20_240_229);
    let rungs = [
        (0.9, 0.04),
        (0.8, 0.1),
        (0.85, 0.05),
        (0.75, 0.1),
        (0.9, 0.0),
    ]
    .map(|(calm, mild)| Rung { calm, mild });
    let exact = [hold_only, expected_repetitions, two_back];
    for (back, exact) in exact.iter().enumerate() {
        let (mean, error) = simulated(6_000, || {
            let (mut at, mut count) = ((0, 0), 1.0);
            while !repetition(&rungs, 2, back, &mut at, draws.next()) {
                count += 1.0;
            }
            count
        });
        let exact = exact(&rungs, 2).unwrap();
        assert!((mean - exact).abs() < 4.0 * error, "{mean} {error} {exact}");
        assert!(error < 0.01 * exact, "too few tries: {error} {exact}");
    }
}

#[test]
fn simulated_sessions_agree_with_the_exact_work() {
    let mut draws = Draws(19_991_231);
    let rungs = [
        (0.9, 0.04),
        (0.8, 0.1),
        (0.85, 0.05),
        (0.75, 0.1),
        (0.9, 0.0),
    ]
    .map(|(calm, mild)| Rung { calm, mild });
    for rule in [Rule::KeepPlace, Rule::WarmUp, Rule::OneLower] {
        let mut total = Vec::new();
        let mut in_three = 0_u32;
        let (mean, error) = simulated(6_000, || {
            let (mut sessions, mut count, mut at) = (1.0, 0.0, (0_usize, 0));
            let mut left = 7;
            loop {
                if left == 0 {
                    (sessions, left) = (sessions + 1.0, 7);
                    let below = at.0.saturating_sub(1);
                    at = match rule {
                        Rule::KeepPlace => (at.0, 0),
                        Rule::OneLower => (below, 0),
                        Rule::WarmUp if at.0 == 0 => (0, 0),
                        Rule::WarmUp => {
                            (left, count) = (6, count + 1.0);
                            let draw = draws.next();
                            if draw < rungs[below].calm {
                                (at.0, 0)
                            } else if draw < rungs[below].calm + rungs[below].mild {
                                (below, 0)
                            } else {
                                (below.saturating_sub(1), 0)
                            }
                        }
                    };
                }
                (left, count) = (left - 1, count + 1.0);
                if repetition(&rungs, 2, 1, &mut at, draws.next()) {
                    break;
                }
            }
            total.push(count);
            in_three += u32::from(sessions <= 3.0);
            sessions
        });
        let exact = expected_work(&rungs, 2, 7, rule).unwrap();
        assert!(
            (mean - exact.sessions).abs() < 4.0 * error,
            "{rule:?} {mean} {error}"
        );
        let mut counts = total.into_iter();
        let (mean, error) = simulated(6_000, || counts.next().unwrap());
        assert!(
            (mean - exact.repetitions).abs() < 4.0 * error,
            "{rule:?} {mean} {error}"
        );
        let share = f64::from(in_three) / 6_000.0;
        let chance = *chances_finished_within(&rungs, 2, 7, rule, 3)
            .unwrap()
            .last()
            .unwrap();
        let error = (chance * (1.0 - chance) / 6_000.0).sqrt();
        assert!(
            (share - chance).abs() < 4.0 * error,
            "{rule:?} {share} {chance}"
        );
    }
}
