//! How many sessions a list can be expected to take, over a range of chances.

use crate::figures::repetitions::Rung;
use crate::figures::repetitions::sessions::{NeverEnds, Refusal};
use crate::figures::repetitions::two_days::{expected_work, feasible, quantile};

/// Chances of calm in one try that work is told for: from a hard list to an easy one. The range is our own choice, no source.
pub const CHANCES: [f64; 4] = [0.8, 0.9, 0.95, 0.98];

/// What a list takes at one chance of calm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// The chance of calm in one try, on every step.
    pub calm: f64,
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

/// What so many steps take, each on two days, at some chances of calm. A chance for which the figure is beyond all bounds is
/// left out.
///
/// # Errors
/// When a session is too short for a run: the fewest tries that would do.
pub fn work(steps: usize, run: u32, tries: u32, chances: &[f64]) -> Result<Vec<Work>, u32> {
    let count = u32::try_from(steps).unwrap_or(u32::MAX);
    if let Err(NeverEnds::NoRoomForARun { least } | NeverEnds::GainIsLost { least }) =
        feasible(count, run, tries)
    {
        return Err(least);
    }
    Ok(chances
        .iter()
        .filter_map(|calm| one(steps, run, tries, *calm).ok())
        .collect())
}

fn one(steps: usize, run: u32, tries: u32, calm: f64) -> Result<Work, Refusal> {
    let rungs = vec![Rung::two_outcomes(calm); steps];
    let work = expected_work(&rungs, run, tries)?;
    Ok(Work {
        calm,
        sessions: work.sessions,
        tries: work.repetitions,
        aggressive: work.aggressive,
        half_by: quantile(&rungs, run, tries, 0.5)?,
        nine_in_ten_by: quantile(&rungs, run, tries, 0.9)?,
    })
}

#[cfg(test)]
mod tests {
    use super::{CHANCES, work};

    #[test]
    fn a_better_chance_takes_fewer_sessions_and_never_fewer_than_the_steps() {
        let all = work(20, 3, 7, &CHANCES).unwrap();
        assert_eq!(all.len(), CHANCES.len());
        for pair in all.windows(2) {
            assert!(pair[0].sessions > pair[1].sessions);
            assert!(pair[0].aggressive > pair[1].aggressive);
        }
        // One new step a session, and the last one twice.
        assert!(all.iter().all(|it| it.sessions >= 21.0));
        assert!(all.iter().all(|it| it.half_by <= it.nine_in_ten_by));
    }

    #[test]
    fn a_session_too_short_for_a_run_says_how_long_it_has_to_be() {
        assert_eq!(work(20, 3, 3, &CHANCES), Err(4));
        assert!(work(20, 3, 4, &CHANCES).is_ok());
    }
}
