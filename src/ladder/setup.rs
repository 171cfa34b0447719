//! What a ladder is built from, and why one cannot be.

use std::fmt;

use crate::figures::input::{Unusable, above_zero, within};
use crate::figures::reach::{LEAST_REACH_CM, MARGIN_CM};

use super::conditions::Stage;
use super::ordered::ordered;

/// Longest distance in a home that is believed, cm.
pub const MOST_DISTANCE_CM: f64 = 3_000.0;

/// Least safe line that is believed, cm: the shortest reach and the margin.
pub const LEAST_SAFE_LINE_CM: f64 = LEAST_REACH_CM + MARGIN_CM;

/// Fewest steps a ladder may be cut to: the five ways not to be wholly in view, the first step in view and one more.
pub const FEWEST_STEPS: usize = 7;

/// What the bird can do already; `None` where nobody knows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Prerequisites {
    /// It knows a sound or sign that means food is coming.
    pub marker: Option<bool>,
    /// It goes to a set place and stays there.
    pub station: Option<bool>,
    /// It goes home without being touched.
    pub hands_free_return: Option<bool>,
    /// It takes food calmly with people in view.
    pub takes_food_calmly: Option<bool>,
}

ordered! {
    /// What comes before the first step, in the order it is taught.
    Skill {
        /// The sound or sign that means food is coming.
        Marker = "marker",
        /// Going to a set place and staying there.
        Station = "station",
        /// Going home without being touched.
        HandsFreeReturn = "hands-free-return",
        /// Taking food calmly with people in view.
        TakesFoodCalmly = "takes-food-calmly",
    }
}

/// Something that has to be true before the ladder may start and is not yet, or is not known to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Prerequisite {
    /// What.
    pub skill: Skill,
    /// `Some(false)` when it is known to be missing, `None` when nobody knows.
    pub answer: Option<bool>,
}

impl Prerequisites {
    /// What is missing or not known at a stage. Behind bars the cage stays shut, so the way home is asked for only without them.
    #[must_use]
    pub fn missing(&self, stage: Stage) -> Vec<Prerequisite> {
        let all = [
            (Skill::Marker, self.marker),
            (Skill::Station, self.station),
            (Skill::HandsFreeReturn, self.hands_free_return),
            (Skill::TakesFoodCalmly, self.takes_food_calmly),
        ];
        all.into_iter()
            .filter(|(skill, _)| *skill != Skill::HandsFreeReturn || stage != Stage::ThroughBarrier)
            .filter(|(_, answer)| *answer != Some(true))
            .map(|(skill, answer)| Prerequisite { skill, answer })
            .collect()
    }
}

/// What a ladder is built from: one person, one condition of the favoured person, one stage.
///
/// All distances were measured for this person, this condition and this stage, or for a stage where the bird was freer: a
/// distance measured through bars says nothing about a bird that is out.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// How work is set up.
    pub stage: Stage,
    /// Where the bird gave its first sign, each time it was measured, cm: 0 to [`MOST_DISTANCE_CM`].
    pub first_sign_cm: Vec<f64>,
    /// The largest distance measured at which the bird eats calmly, cm: 0 to [`MOST_DISTANCE_CM`].
    pub calm_eating_cm: Option<f64>,
    /// The longest line of sight in the room from where the bird is, cm: above 0, to [`MOST_DISTANCE_CM`].
    pub sight_line_cm: Option<f64>,
    /// Reach and margin at this stage, cm: [`LEAST_SAFE_LINE_CM`] to [`MOST_DISTANCE_CM`].
    pub safe_line_cm: f64,
    /// Whether the person the bird seeks is there.
    pub favoured_present: bool,
    /// What the bird can do already.
    pub prerequisites_met: Prerequisites,
    /// Most steps the ladder may have: [`FEWEST_STEPS`] or more.
    pub most_steps: usize,
}

ordered! {
    /// A number of the [`Setup`].
    Input {
        /// A first sign.
        FirstSign = "first-sign",
        /// The distance of calm eating.
        CalmEating = "calm-eating",
        /// The longest line of sight.
        SightLine = "sight-line",
        /// The safe line.
        SafeLine = "safe-line",
    }
}

/// Why there is no ladder.
#[derive(Debug, Clone, PartialEq)]
pub enum CannotStart {
    /// A number cannot be worked with.
    Unusable {
        /// Which.
        input: Input,
        /// Why not.
        why: Unusable,
    },
    /// Without bars the place the bird stays on and its way home are all that keeps people out of reach: they are known to be
    /// there, or work stays behind bars.
    SkillsMissing(Vec<Prerequisite>),
    /// Without bars, and nowhere in the room is anyone in view outside the safe line. Whoever opens the door stands within reach.
    NoPlaceOutsideSafeLine {
        /// The longest line of sight, cm.
        sight_line_cm: f64,
        /// The safe line, cm.
        safe_line_cm: f64,
    },
    /// A ladder cut this short has no start and next step.
    TooFewSteps {
        /// Fewest steps it may be cut to.
        fewest: usize,
    },
}

impl CannotStart {
    /// The key its wording is kept under in `rules/ladder.yaml`.
    #[must_use]
    pub const fn key(&self) -> &'static str {
        match self {
            Self::Unusable { .. } => "unusable",
            Self::SkillsMissing(_) => "skills-missing",
            Self::NoPlaceOutsideSafeLine { .. } => "no-place-outside-safe-line",
            Self::TooFewSteps { .. } => "too-few-steps",
        }
    }
}

impl fmt::Display for CannotStart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unusable { input, why } => write!(f, "{}: {why}", input.key()),
            Self::SkillsMissing(skills) => {
                let keys: Vec<&str> = skills.iter().map(|it| it.skill.key()).collect();
                write!(f, "{}: {}", self.key(), keys.join(", "))
            }
            Self::NoPlaceOutsideSafeLine {
                sight_line_cm,
                safe_line_cm,
            } => write!(f, "{}: {sight_line_cm} cm, {safe_line_cm} cm", self.key()),
            Self::TooFewSteps { fewest } => write!(f, "{}: {fewest}", self.key()),
        }
    }
}

impl std::error::Error for CannotStart {}

impl Setup {
    /// Refuses what cannot be worked with.
    ///
    /// # Errors
    /// [`CannotStart::Unusable`] for a number outside its range, [`CannotStart::TooFewSteps`].
    pub fn check(&self) -> Result<(), CannotStart> {
        let unusable = |input| move |why| CannotStart::Unusable { input, why };
        for sign in &self.first_sign_cm {
            within(*sign, 0.0, MOST_DISTANCE_CM).map_err(unusable(Input::FirstSign))?;
        }
        if let Some(calm) = self.calm_eating_cm {
            within(calm, 0.0, MOST_DISTANCE_CM).map_err(unusable(Input::CalmEating))?;
        }
        if let Some(sight) = self.sight_line_cm {
            above_zero(sight)
                .and_then(|it| within(it, 0.0, MOST_DISTANCE_CM))
                .map_err(unusable(Input::SightLine))?;
        }
        within(self.safe_line_cm, LEAST_SAFE_LINE_CM, MOST_DISTANCE_CM)
            .map_err(unusable(Input::SafeLine))?;
        if self.most_steps < FEWEST_STEPS {
            return Err(CannotStart::TooFewSteps {
                fewest: FEWEST_STEPS,
            });
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::{CannotStart, Input, Prerequisite, Prerequisites, Setup, Skill};
    use crate::figures::input::Unusable;
    use crate::ladder::Stage;

    const BAD: [f64; 4] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0];

    fn setup() -> Setup {
        Setup {
            stage: Stage::ThroughBarrier,
            first_sign_cm: vec![200.0],
            calm_eating_cm: Some(300.0),
            sight_line_cm: Some(500.0),
            safe_line_cm: 75.0,
            favoured_present: true,
            prerequisites_met: Prerequisites::default(),
            most_steps: 40,
        }
    }

    fn refused(setup: &Setup) -> Option<Input> {
        match setup.check() {
            Err(CannotStart::Unusable { input, .. }) => Some(input),
            _ => None,
        }
    }

    #[test]
    fn numbers_that_are_none_are_refused_by_name() {
        for bad in BAD {
            let with = |change: fn(&mut Setup, f64)| {
                let mut setup = setup();
                change(&mut setup, bad);
                refused(&setup)
            };
            assert_eq!(
                with(|it, bad| it.first_sign_cm.push(bad)),
                Some(Input::FirstSign)
            );
            assert_eq!(
                with(|it, bad| it.calm_eating_cm = Some(bad)),
                Some(Input::CalmEating)
            );
            assert_eq!(
                with(|it, bad| it.sight_line_cm = Some(bad)),
                Some(Input::SightLine)
            );
            assert_eq!(with(|it, bad| it.safe_line_cm = bad), Some(Input::SafeLine));
        }
        assert_eq!(setup().check(), Ok(()));
    }

    #[test]
    fn the_ends_of_each_range_are_taken_and_nothing_beyond() {
        for (value, fits) in [(0.0, true), (3000.0, true), (3000.1, false), (-0.1, false)] {
            let sign = Setup {
                first_sign_cm: vec![value],
                ..setup()
            };
            assert_eq!(sign.check().is_ok(), fits, "{value}");
            let calm = Setup {
                calm_eating_cm: Some(value),
                ..setup()
            };
            assert_eq!(calm.check().is_ok(), fits, "{value}");
        }
        for (value, fits) in [(0.0, false), (0.001, true), (3000.0, true), (3000.1, false)] {
            let sight = Setup {
                sight_line_cm: Some(value),
                ..setup()
            };
            assert_eq!(sight.check().is_ok(), fits, "{value}");
        }
        // The shortest reach that is believed is 1 cm, the margin 30 cm.
        for (value, fits) in [(30.9, false), (31.0, true), (3000.0, true), (3000.1, false)] {
            let line = Setup {
                safe_line_cm: value,
                ..setup()
            };
            assert_eq!(line.check().is_ok(), fits, "{value}");
        }
        let none = Setup {
            first_sign_cm: vec![],
            calm_eating_cm: None,
            sight_line_cm: None,
            ..setup()
        };
        assert_eq!(none.check(), Ok(()));
    }

    #[test]
    fn a_ladder_needs_room_for_a_start_and_a_next_step() {
        for (most_steps, fits) in [(0, false), (6, false), (7, true), (usize::MAX, true)] {
            let cut = Setup {
                most_steps,
                ..setup()
            };
            let expected = if fits {
                Ok(())
            } else {
                Err(CannotStart::TooFewSteps { fewest: 7 })
            };
            assert_eq!(cut.check(), expected);
        }
    }

    #[test]
    fn what_is_not_known_counts_as_missing_and_stays_apart_from_a_no() {
        let known = Prerequisites {
            marker: Some(true),
            station: Some(false),
            hands_free_return: None,
            takes_food_calmly: None,
        };
        let missing = |skill, answer| Prerequisite { skill, answer };
        assert_eq!(
            known.missing(Stage::Stationed),
            [
                missing(Skill::Station, Some(false)),
                missing(Skill::HandsFreeReturn, None),
                missing(Skill::TakesFoodCalmly, None),
            ]
        );
        assert_eq!(
            known.missing(Stage::OpenRoom),
            known.missing(Stage::Stationed)
        );
        let none = Prerequisites::default().missing(Stage::OpenRoom);
        assert_eq!(
            none.iter().map(|it| it.skill).collect::<Vec<_>>(),
            Skill::ALL
        );
    }

    #[test]
    fn behind_bars_the_way_home_is_not_asked_for() {
        let missing = Prerequisites::default().missing(Stage::ThroughBarrier);
        let skills: Vec<Skill> = missing.iter().map(|it| it.skill).collect();
        assert_eq!(
            skills,
            [Skill::Marker, Skill::Station, Skill::TakesFoodCalmly]
        );
    }

    #[test]
    fn each_refusal_names_what_is_wrong() {
        let said = [
            CannotStart::Unusable {
                input: Input::SightLine,
                why: Unusable::NotFinite,
            },
            CannotStart::SkillsMissing(Prerequisites::default().missing(Stage::ThroughBarrier)),
            CannotStart::NoPlaceOutsideSafeLine {
                sight_line_cm: 90.0,
                safe_line_cm: 105.0,
            },
            CannotStart::TooFewSteps { fewest: 7 },
        ]
        .map(|it| it.to_string());
        assert_eq!(
            said,
            [
                "sight-line: not a finite number",
                "skills-missing: marker, station, takes-food-calmly",
                "no-place-outside-safe-line: 90 cm, 105 cm",
                "too-few-steps: 7",
            ]
        );
    }
}
