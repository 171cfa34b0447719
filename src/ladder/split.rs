//! A step in between two others.

use super::conditions::Variable;
use super::distance::middle_cm;
use super::{Ladder, numbered};

/// Least difference of distance that has room for a step in between, cm: a body on the floor is not placed to a hand's breadth.
/// Our own choice, no source.
pub const LEAST_SPLIT_CM: f64 = 10.0;

/// Why there is no step in between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoSplit {
    /// The ladder has no step of this number.
    NoSuchStep,
    /// Nothing comes before the first step.
    FirstStep,
    /// The variable that changes has nothing between its two values.
    NothingBetween(Variable),
    /// The two distances are too near to each other.
    TooClose,
    /// The step is farther away than the one before it: it is no harder, and a step in between would not help.
    StepsBack,
}

impl NoSplit {
    /// The key its wording is kept under in `rules/ladder.yaml`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::NoSuchStep => "no-such-step",
            Self::FirstStep => "first-step",
            Self::NothingBetween(_) => "nothing-between",
            Self::TooClose => "too-close",
            Self::StepsBack => "steps-back",
        }
    }
}

impl Ladder {
    /// The ladder with a step in between the one of this number and the one before it, at the middle of the two distances by
    /// share. Later steps get the next number; work starts at the same step as before.
    ///
    /// # Errors
    /// [`NoSplit`]: only a distance has something in between.
    pub fn split(&self, number: u32) -> Result<Self, NoSplit> {
        let at = self
            .steps
            .iter()
            .position(|step| step.number == number)
            .ok_or(NoSplit::NoSuchStep)?;
        let (step, before) = (self.steps.get(at), self.steps.get(at.wrapping_sub(1)));
        let (Some(step), Some(before)) = (step, before) else {
            return Err(NoSplit::FirstStep);
        };
        let changed = step.changed.ok_or(NoSplit::FirstStep)?;
        let (Variable::Distance, Some(from_cm), Some(to_cm)) = (
            changed,
            before.conditions.distance_cm,
            step.conditions.distance_cm,
        ) else {
            return Err(NoSplit::NothingBetween(changed));
        };
        if to_cm > from_cm {
            return Err(NoSplit::StepsBack);
        }
        if from_cm - to_cm < LEAST_SPLIT_CM {
            return Err(NoSplit::TooClose);
        }
        let mut between = step.conditions.clone();
        between.distance_cm = Some(middle_cm(from_cm, to_cm));
        let mut conditions: Vec<_> = self.steps.iter().map(|it| it.conditions.clone()).collect();
        conditions.insert(at, between);
        Ok(Self {
            prerequisites: self.prerequisites.clone(),
            start: self.start + usize::from(at <= self.start),
            steps: numbered(conditions),
            start_cm: self.start_cm,
            assumptions: self.assumptions.clone(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::NoSplit;
    use crate::ladder::{Ladder, Prerequisites, Setup, Stage, Variable, build};

    fn ladder(calm_eating_cm: f64) -> Ladder {
        build(&Setup {
            stage: Stage::ThroughBarrier,
            first_sign_cm: vec![60.0],
            calm_eating_cm: Some(calm_eating_cm),
            sight_line_cm: Some(600.0),
            safe_line_cm: 50.0,
            favoured_present: true,
            prerequisites_met: Prerequisites {
                marker: Some(true),
                station: Some(true),
                hands_free_return: Some(true),
                takes_food_calmly: Some(true),
            },
            most_steps: 60,
        })
        .unwrap()
    }

    // 4 m to 0.5 m in ten moves: the first leads from 400 to 324.901 cm, and 4 m times 8^(-1/20) lies in the middle.
    #[test]
    fn the_middle_of_two_distances_by_share_comes_in_between() {
        let whole = ladder(400.0);
        let split = whole.split(7).unwrap();
        assert_eq!(split.steps.len(), whole.steps.len() + 1);
        let middle = split.steps[6].conditions.distance_cm.unwrap();
        assert!((middle - 400.0 * 8.0_f64.powf(-0.05)).abs() < 1e-9);
        assert_eq!(split.steps[..6], whole.steps[..6]);
        for (new, old) in split.steps[7..].iter().zip(&whole.steps[6..]) {
            assert_eq!(
                (new.number, &new.conditions, new.changed),
                (old.number + 1, &old.conditions, old.changed)
            );
        }
        assert_eq!(
            (split.steps[6].number, split.steps[6].changed),
            (7, Some(Variable::Distance))
        );
        assert_eq!((split.start, split.start_cm), (whole.start, whole.start_cm));
        assert_eq!(
            (&split.prerequisites, &split.assumptions),
            (&whole.prerequisites, &whole.assumptions)
        );
    }

    #[test]
    fn work_starts_at_the_same_step_as_before() {
        for start in [5, 6, 7] {
            let whole = Ladder {
                start,
                ..ladder(400.0)
            };
            let split = whole.split(7).unwrap();
            assert_eq!(
                split.steps[split.start].conditions,
                whole.steps[start].conditions
            );
        }
    }

    #[test]
    fn nothing_lies_between_two_views_or_two_movements() {
        let whole = ladder(400.0);
        for step in &whole.steps[1..] {
            let split = whole.split(step.number);
            match step.changed {
                Some(Variable::Distance) => {
                    assert_ne!(split, Err(NoSplit::NothingBetween(Variable::Distance)))
                }
                Some(variable) => assert_eq!(split, Err(NoSplit::NothingBetween(variable))),
                None => panic!("only the first step has no change"),
            }
        }
        assert_eq!(whole.split(2), Err(NoSplit::NothingBetween(Variable::View)));
    }

    #[test]
    fn there_is_nothing_before_the_first_step_and_nothing_after_the_last() {
        let whole = ladder(400.0);
        assert_eq!(whole.split(1), Err(NoSplit::FirstStep));
        assert_eq!(whole.split(0), Err(NoSplit::NoSuchStep));
        let beyond = u32::try_from(whole.steps.len()).unwrap() + 1;
        assert_eq!(whole.split(beyond), Err(NoSplit::NoSuchStep));
    }

    #[test]
    fn a_step_back_is_not_made_smaller() {
        let whole = ladder(400.0);
        let back = whole.steps.iter().find(|it| it.number == 17).unwrap();
        assert_eq!(back.changed, Some(Variable::Distance));
        assert_eq!(whole.split(17), Err(NoSplit::StepsBack));
    }

    #[test]
    fn ten_centimetres_have_room_for_a_step_and_less_has_not() {
        // The first sign at 60 cm asks for 90 cm: 90, 84 or so, down to 50 in three moves.
        let with = |from: f64, to: f64| {
            let mut whole = ladder(400.0);
            whole.steps[5].conditions.distance_cm = Some(from);
            whole.steps[6].conditions.distance_cm = Some(to);
            whole.split(7).map(|it| it.steps.len())
        };
        assert!(with(60.0, 50.0).is_ok() && with(60.1, 50.0).is_ok());
        assert_eq!(with(59.95, 50.0), Err(NoSplit::TooClose));
        assert_eq!(with(50.0, 50.0), Err(NoSplit::TooClose));
    }

    #[test]
    fn each_reason_has_a_key() {
        let keys = [
            NoSplit::NoSuchStep,
            NoSplit::FirstStep,
            NoSplit::NothingBetween(Variable::View),
            NoSplit::TooClose,
            NoSplit::StepsBack,
        ]
        .map(NoSplit::key);
        assert_eq!(
            keys,
            [
                "no-such-step",
                "first-step",
                "nothing-between",
                "too-close",
                "steps-back"
            ]
        );
    }
}
