//! Going back to an easier step.

use super::Ladder;

impl Ladder {
    /// The step, from 0, that lies `steps` before the one at `at`, or further back while a step there is nearer to the bird:
    /// after a threat nobody comes nearer, and a step that went back in distance has a nearer one before it. The first step at
    /// the latest; the last step for an `at` beyond the ladder. Out of sight counts as farther than any distance.
    #[must_use]
    pub fn back(&self, at: usize, steps: usize) -> usize {
        let at = at.min(self.steps.len().saturating_sub(1));
        if steps == 0 {
            return at;
        }
        let away = |at: usize| {
            self.steps
                .get(at)
                .and_then(|it| it.conditions.distance_cm)
                .unwrap_or(f64::INFINITY)
        };
        let mut to = at.saturating_sub(steps);
        while to > 0 && away(to) < away(at) {
            to -= 1;
        }
        to
    }
}

#[cfg(test)]
mod tests {
    use crate::ladder::{Ladder, Prerequisites, Setup, Stage, Variable, build};

    fn ladder() -> Ladder {
        build(&Setup {
            stage: Stage::ThroughBarrier,
            first_sign_cm: vec![200.0],
            calm_eating_cm: Some(400.0),
            sight_line_cm: Some(600.0),
            safe_line_cm: 50.0,
            favoured_present: true,
            prerequisites_met: Prerequisites::default(),
            most_steps: 60,
        })
        .unwrap()
    }

    #[test]
    fn back_is_as_many_steps_as_asked_and_never_before_the_first() {
        let ladder = ladder();
        assert_eq!((ladder.back(9, 1), ladder.back(9, 2)), (8, 7));
        assert_eq!(
            (ladder.back(1, 1), ladder.back(1, 2), ladder.back(0, 2)),
            (0, 0, 0)
        );
        assert_eq!(ladder.back(9, usize::MAX), 0);
        // Out of sight nothing is nearer.
        assert_eq!((ladder.back(5, 1), ladder.back(5, 3)), (4, 2));
    }

    #[test]
    fn no_step_back_stays_where_it_is_and_beyond_the_ladder_is_its_last_step() {
        let ladder = ladder();
        let last = ladder.steps.len() - 1;
        assert_eq!((ladder.back(16, 0), ladder.back(last, 0)), (16, last));
        assert_eq!(
            (ladder.back(last + 1, 0), ladder.back(usize::MAX, 0)),
            (last, last)
        );
        let empty = Ladder {
            steps: vec![],
            ..ladder
        };
        assert_eq!(empty.back(3, 1), 0);
    }

    // Steps from 0: 14 is one move before the line, 15 the line, 16 one move back, 17 slow steps at that distance.
    #[test]
    fn after_a_threat_nobody_comes_nearer_again() {
        let ladder = ladder();
        let cm = |at: usize| ladder.steps[at].conditions.distance_cm;
        assert_eq!((cm(15), cm(14) == cm(16)), (Some(50.0), true));
        assert_eq!(ladder.steps[17].changed, Some(Variable::Movement));
        assert_eq!((ladder.back(17, 1), ladder.back(17, 2)), (16, 14));
        assert_eq!(ladder.back(16, 1), 14);
    }

    #[test]
    fn going_back_ends_at_the_first_step_even_where_that_is_nearer() {
        let whole = ladder();
        let with = |distances: [f64; 3]| {
            let steps = whole.steps.iter().skip(5).zip(distances).map(|(step, cm)| {
                let mut step = step.clone();
                step.conditions.distance_cm = Some(cm);
                step
            });
            Ladder {
                steps: steps.collect(),
                ..whole.clone()
            }
        };
        assert_eq!(with([50.0, 100.0, 90.0]).back(1, 1), 0);
        assert_eq!(with([100.0, 50.0, 60.0]).back(2, 1), 0);
        assert_eq!(with([100.0, 60.0, 60.0]).back(2, 1), 1);
    }
}
