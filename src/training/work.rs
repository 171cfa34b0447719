//! How many sessions a list can be expected to take, over a range of chances.

use crate::figures::repetitions::Rung;
use crate::figures::repetitions::sessions::{NeverEnds, Refusal};
use crate::figures::repetitions::two_days::{feasible, outlook};

/// Chances of calm in one try that work is told for: from a hard list to an easy one. The range is our own choice, no source.
/// The last one is a list that gets harder on the way.
pub const CHANCES: [Chance; 5] = [
    Chance::even(0.85),
    Chance::even(0.9),
    Chance::even(0.95),
    Chance::even(0.98),
    Chance {
        first: 0.98,
        last: 0.9,
        mild: 0.0,
    },
];

/// How likely one try is to be calm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// The chance of calm on the first step, 0 to 1.
    pub first: f64,
    /// The chance of calm on the last step; steps in between lie evenly between the two.
    pub last: f64,
    /// Of the tries that are not calm, the share that is tense without a threat, 0 to 1: they hold the step and take nothing back.
    pub mild: f64,
}

impl Chance {
    /// The same on every step, and every try that is not calm is a threat: the harder reading.
    #[must_use]
    pub const fn even(calm: f64) -> Self {
        Self {
            first: calm,
            last: calm,
            mild: 0.0,
        }
    }

    fn rungs(self, steps: usize) -> Vec<Rung> {
        (0..steps)
            .map(|at| {
                let way = at as f64 / steps.saturating_sub(1).max(1) as f64;
                let calm = self.first + (self.last - self.first) * way;
                Rung {
                    calm,
                    mild: (1.0 - calm) * self.mild,
                }
            })
            .collect()
    }
}

/// What a list takes at one chance of calm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// The chance it is worked out for.
    pub chance: Chance,
    /// Expected sessions.
    pub sessions: f64,
    /// Expected tries.
    pub tries: f64,
    /// Expected tries with a threat or worse.
    pub aggressive: f64,
    /// Sessions by which half of such lists are done; `None` beyond what is followed.
    pub half_by: Option<u32>,
    /// Sessions by which nine in ten are done; `None` beyond what is followed.
    pub nine_in_ten_by: Option<u32>,
}

/// The least number of tries a session needs, where it has fewer and no step would ever be passed.
#[must_use]
pub(super) fn tries_missing(steps: usize, run: u32, tries: u32) -> Option<u32> {
    match feasible(u32::try_from(steps).unwrap_or(u32::MAX), run, tries) {
        Err(NeverEnds::NoRoomForARun { least } | NeverEnds::GainIsLost { least }) => Some(least),
        _ => None,
    }
}

/// What so many steps take, each on two days, at some chances of calm. A chance for which the figure is beyond all bounds is
/// left out.
///
/// # Errors
/// When a session is too short for a run: the fewest tries that would do.
pub fn work(steps: usize, run: u32, tries: u32, chances: &[Chance]) -> Result<Vec<Work>, u32> {
    if let Some(least) = tries_missing(steps, run, tries) {
        return Err(least);
    }
    Ok(chances
        .iter()
        .filter_map(|chance| one(steps, run, tries, *chance).ok())
        .collect())
}

fn one(steps: usize, run: u32, tries: u32, chance: Chance) -> Result<Work, Refusal> {
    let rungs = chance.rungs(steps);
    let (work, [half_by, nine_in_ten_by]) = outlook(&rungs, run, tries, [0.5, 0.9])?;
    Ok(Work {
        chance,
        sessions: work.sessions,
        tries: work.repetitions,
        aggressive: work.aggressive,
        half_by,
        nine_in_ten_by,
    })
}

#[cfg(test)]
mod tests {
    use super::{CHANCES, Chance, work};

    #[test]
    fn a_better_chance_takes_fewer_sessions_and_never_fewer_than_the_steps() {
        let all = work(20, 3, 7, &CHANCES).unwrap();
        assert_eq!(all.len(), CHANCES.len());
        for pair in all[..4].windows(2) {
            assert!(pair[0].sessions > pair[1].sessions);
            assert!(pair[0].aggressive > pair[1].aggressive);
        }
        // A list that gets harder on the way lies between its ends.
        assert!(all[4].sessions > all[3].sessions && all[4].sessions < all[1].sessions);
        // One new step a session, and the last one twice.
        assert!(all.iter().all(|it| it.sessions >= 21.0));
        assert!(all.iter().all(|it| it.half_by <= it.nine_in_ten_by));
    }

    #[test]
    fn tension_without_a_threat_costs_less_than_a_threat() {
        let mild = |mild| {
            let chance = Chance {
                mild,
                ..Chance::even(0.85)
            };
            work(20, 3, 7, &[chance]).unwrap()[0]
        };
        assert!(mild(1.0).sessions < mild(0.5).sessions && mild(0.5).sessions < mild(0.0).sessions);
        assert!(mild(1.0).aggressive.abs() < 1e-9);
    }

    #[test]
    fn a_session_too_short_for_a_run_says_how_long_it_has_to_be() {
        assert_eq!(work(20, 3, 3, &CHANCES), Err(4));
        assert!(work(20, 3, 4, &CHANCES).is_ok());
    }
}
