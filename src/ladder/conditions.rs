//! What makes up a step: each thing the bird can see or hear of the person, from easy to hard.

use super::ordered::ordered;

ordered! {
    /// How work is set up, from safest to freest. A ladder belongs to one stage.
    Stage {
        /// Bars or mesh between beak and hand.
        ThroughBarrier = "through-barrier",
        /// Cage open, bird on a fixed place, people beyond its reach.
        Stationed = "stationed",
        /// Bird and people share the room.
        OpenRoom = "open-room",
    }
}

ordered! {
    /// What is between the bird and the person.
    Barrier {
        /// Bars or mesh.
        Bars = "bars",
        /// Nothing but the place the bird stays on.
        Station = "station",
        /// Nothing.
        Nothing = "nothing",
    }
}

ordered! {
    /// How much of the person the bird can see. No exchange rate between "half in view" and a distance was found, so each is a
    /// step of its own.
    View {
        /// Out of sight in another room.
        OtherRoom = "other-room",
        /// Footsteps at the closed door.
        ClosedDoor = "closed-door",
        /// The door open, the person behind a solid screen.
        BehindScreen = "behind-screen",
        /// One shoulder.
        OneShoulder = "one-shoulder",
        /// Half the body, side-on.
        HalfBody = "half-body",
        /// The whole body.
        WholeBody = "whole-body",
    }
}

impl View {
    /// Whether any part of the person can be seen.
    #[must_use]
    pub fn in_sight(self) -> bool {
        self > Self::BehindScreen
    }
}

ordered! {
    /// How the person moves.
    Movement {
        /// Not at all.
        Still = "still",
        /// A few slow steps.
        SlowSteps = "slow-steps",
        /// Past the bird at an even pace.
        WalksPast = "walks-past",
        /// As on any day.
        Ordinary = "ordinary",
    }
}

ordered! {
    /// Where the person's body and eyes point.
    Facing {
        /// Side-on, looking away.
        SideOnAway = "side-on-away",
        /// Side-on, with a glance at the bird.
        SideOn = "side-on",
        /// Front to the bird.
        Front = "front",
    }
}

ordered! {
    /// What the hands do.
    Hands {
        /// Down and still.
        DownStill = "down-still",
        /// Moving.
        Moving = "moving",
        /// Holding the tool that food comes from.
        HoldingFoodTool = "holding-food-tool",
        /// Letting food drop in the dish from outside the safe line.
        DropsFoodInDish = "drops-food-in-dish",
    }
}

ordered! {
    /// How the person speaks.
    Speech {
        /// Not at all.
        Silent = "silent",
        /// Softly.
        Soft = "soft",
        /// As on any day.
        Ordinary = "ordinary",
    }
}

ordered! {
    /// What the person wears or carries.
    ObjectWorn {
        /// Plain clothes, nothing carried.
        Plain = "plain",
        /// One everyday thing, such as a hat or a bag.
        EverydayItem = "everyday-item",
    }
}

ordered! {
    /// Where the person the bird seeks is. A favoured person in view may become a signal that all is safe, so the place is a
    /// step of its own (Craske and others, 2014). That person's absence is another condition, with a ladder of its own.
    Favoured {
        /// In the room with a job, outside the safe line.
        ActiveNearby = "active-nearby",
        /// In the room, as far off as it allows.
        Far = "far",
        /// In another room.
        OtherRoom = "other-room",
    }
}

ordered! {
    /// What can differ between two steps.
    Variable {
        /// Bars, station or nothing.
        Barrier = "barrier",
        /// How much of the person can be seen.
        View = "view",
        /// How far away the person is.
        Distance = "distance",
        /// How the person moves.
        Movement = "movement",
        /// Where the person faces.
        Facing = "facing",
        /// What the hands do.
        Hands = "hands",
        /// How the person speaks.
        Speech = "speech",
        /// What the person wears or carries.
        Object = "object",
        /// Where the person the bird seeks is.
        Favoured = "favoured",
        /// Whether a second person is there.
        SecondPerson = "second-person",
    }
}

/// Everything that is the case during one step.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    /// What is between bird and person.
    pub barrier: Barrier,
    /// How much of the person can be seen.
    pub view: View,
    /// From the bars, from the station or from the bird to the nearest part of the person, cm; `None` exactly while nothing of
    /// the person can be seen.
    pub distance_cm: Option<f64>,
    /// How the person moves.
    pub movement: Movement,
    /// Where the person faces.
    pub facing: Facing,
    /// What the hands do.
    pub hands: Hands,
    /// How the person speaks.
    pub speech: Speech,
    /// What the person wears or carries.
    pub object: ObjectWorn,
    /// Where the person the bird seeks is.
    pub favoured: Favoured,
    /// Whether a second person is there.
    pub second_person: bool,
}

impl Conditions {
    /// The easiest step there is: out of sight, everything else at its easiest for this stage and condition.
    #[must_use]
    pub fn easiest(stage: Stage, favoured_present: bool) -> Self {
        Self {
            barrier: match stage {
                Stage::ThroughBarrier => Barrier::Bars,
                Stage::Stationed => Barrier::Station,
                Stage::OpenRoom => Barrier::Nothing,
            },
            view: View::OtherRoom,
            distance_cm: None,
            movement: Movement::Still,
            facing: Facing::SideOnAway,
            hands: Hands::DownStill,
            speech: Speech::Silent,
            object: ObjectWorn::Plain,
            favoured: if favoured_present {
                Favoured::ActiveNearby
            } else {
                Favoured::OtherRoom
            },
            second_person: false,
        }
    }

    /// What differs between two steps, in the order of [`Variable`].
    ///
    /// A person who comes into view, or goes out of it, has a distance from then on, or has none any more: that is the view
    /// changing and not the distance.
    #[must_use]
    pub fn differences(&self, other: &Self) -> Vec<Variable> {
        let came_into_view = self.view.in_sight() != other.view.in_sight()
            && self.distance_cm.is_some() != other.distance_cm.is_some();
        let all = [
            (Variable::Barrier, self.barrier != other.barrier),
            (Variable::View, self.view != other.view),
            (
                Variable::Distance,
                self.distance_cm != other.distance_cm && !came_into_view,
            ),
            (Variable::Movement, self.movement != other.movement),
            (Variable::Facing, self.facing != other.facing),
            (Variable::Hands, self.hands != other.hands),
            (Variable::Speech, self.speech != other.speech),
            (Variable::Object, self.object != other.object),
            (Variable::Favoured, self.favoured != other.favoured),
            (
                Variable::SecondPerson,
                self.second_person != other.second_person,
            ),
        ];
        all.into_iter()
            .filter_map(|(variable, differs)| differs.then_some(variable))
            .collect()
    }

    /// The key of the wording for each variable that matters to the bird, as `rules/ladder.yaml` holds it. Out of sight it does
    /// not matter how a person moves, faces, holds the hands or is dressed.
    #[must_use]
    pub fn keys(&self) -> Vec<(Variable, &'static str)> {
        let only_seen = [
            Variable::Movement,
            Variable::Facing,
            Variable::Hands,
            Variable::Object,
        ];
        Variable::ALL
            .iter()
            .filter(|variable| self.view.in_sight() || !only_seen.contains(variable))
            .map(|variable| (*variable, self.key(*variable)))
            .collect()
    }

    /// The key of the wording for one variable. A distance is told by what it is measured from.
    #[must_use]
    pub fn key(&self, variable: Variable) -> &'static str {
        match variable {
            Variable::Barrier => self.barrier.key(),
            Variable::View => self.view.key(),
            Variable::Distance => match (self.distance_cm, self.barrier) {
                (None, _) => "out-of-view",
                (Some(_), Barrier::Bars) => "from-the-bars",
                (Some(_), Barrier::Station) => "from-the-station",
                (Some(_), Barrier::Nothing) => "from-the-bird",
            },
            Variable::Movement => self.movement.key(),
            Variable::Facing => self.facing.key(),
            Variable::Hands => self.hands.key(),
            Variable::Speech => self.speech.key(),
            Variable::Object => self.object.key(),
            Variable::Favoured => self.favoured.key(),
            Variable::SecondPerson => {
                if self.second_person {
                    "two-people"
                } else {
                    "one-person"
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{
        Barrier, Conditions, Facing, Favoured, Hands, Movement, ObjectWorn, Speech, Stage,
        Variable, View,
    };

    fn seen(distance_cm: f64) -> Conditions {
        Conditions {
            view: View::WholeBody,
            distance_cm: Some(distance_cm),
            ..Conditions::easiest(Stage::ThroughBarrier, true)
        }
    }

    #[test]
    fn the_easiest_step_is_out_of_sight_with_everything_at_its_easiest() {
        for (stage, barrier) in [
            (Stage::ThroughBarrier, Barrier::Bars),
            (Stage::Stationed, Barrier::Station),
            (Stage::OpenRoom, Barrier::Nothing),
        ] {
            for (present, favoured) in
                [(true, Favoured::ActiveNearby), (false, Favoured::OtherRoom)]
            {
                let easiest = Conditions::easiest(stage, present);
                assert_eq!(
                    easiest,
                    Conditions {
                        barrier,
                        view: View::ALL[0],
                        distance_cm: None,
                        movement: Movement::ALL[0],
                        facing: Facing::ALL[0],
                        hands: Hands::ALL[0],
                        speech: Speech::ALL[0],
                        object: ObjectWorn::ALL[0],
                        favoured,
                        second_person: false,
                    }
                );
            }
        }
    }

    #[test]
    fn every_scale_runs_from_easy_to_hard() {
        assert!(View::ALL.is_sorted() && Movement::ALL.is_sorted() && Facing::ALL.is_sorted());
        assert!(Hands::ALL.is_sorted() && Speech::ALL.is_sorted() && Favoured::ALL.is_sorted());
        assert!(Barrier::Bars < Barrier::Station && Barrier::Station < Barrier::Nothing);
        assert!(Stage::ThroughBarrier < Stage::Stationed && Stage::Stationed < Stage::OpenRoom);
    }

    #[test]
    fn a_person_behind_a_screen_is_out_of_sight_and_one_shoulder_is_in_sight() {
        let in_sight: Vec<bool> = View::ALL.iter().map(|view| view.in_sight()).collect();
        assert_eq!(in_sight, [false, false, false, true, true, true]);
    }

    #[test]
    fn each_thing_that_differs_is_named_and_nothing_else() {
        let base = seen(200.0);
        let one_change: [(Variable, Conditions); 10] = [
            (
                Variable::Barrier,
                Conditions {
                    barrier: Barrier::Station,
                    ..base.clone()
                },
            ),
            (
                Variable::View,
                Conditions {
                    view: View::HalfBody,
                    ..base.clone()
                },
            ),
            (
                Variable::Distance,
                Conditions {
                    distance_cm: Some(199.0),
                    ..base.clone()
                },
            ),
            (
                Variable::Movement,
                Conditions {
                    movement: Movement::SlowSteps,
                    ..base.clone()
                },
            ),
            (
                Variable::Facing,
                Conditions {
                    facing: Facing::Front,
                    ..base.clone()
                },
            ),
            (
                Variable::Hands,
                Conditions {
                    hands: Hands::Moving,
                    ..base.clone()
                },
            ),
            (
                Variable::Speech,
                Conditions {
                    speech: Speech::Soft,
                    ..base.clone()
                },
            ),
            (
                Variable::Object,
                Conditions {
                    object: ObjectWorn::EverydayItem,
                    ..base.clone()
                },
            ),
            (
                Variable::Favoured,
                Conditions {
                    favoured: Favoured::Far,
                    ..base.clone()
                },
            ),
            (
                Variable::SecondPerson,
                Conditions {
                    second_person: true,
                    ..base.clone()
                },
            ),
        ];
        assert_eq!(one_change.each_ref().map(|it| it.0), Variable::ALL);
        for (variable, other) in one_change {
            assert_eq!(base.differences(&other), [variable]);
            assert_eq!(other.differences(&base), [variable]);
            if variable != Variable::Distance {
                assert_ne!(base.key(variable), other.key(variable));
            }
        }
        assert!(base.differences(&base.clone()).is_empty());
    }

    #[test]
    fn coming_into_view_gives_a_distance_and_is_one_change() {
        let hidden = Conditions {
            view: View::BehindScreen,
            ..Conditions::easiest(Stage::ThroughBarrier, true)
        };
        let shoulder = Conditions {
            view: View::OneShoulder,
            ..seen(200.0)
        };
        assert_eq!(hidden.differences(&shoulder), [Variable::View]);
        assert_eq!(shoulder.differences(&hidden), [Variable::View]);
    }

    #[test]
    fn a_distance_that_comes_or_goes_without_the_view_is_a_change_of_distance() {
        let lost = Conditions {
            distance_cm: None,
            ..seen(200.0)
        };
        assert_eq!(seen(200.0).differences(&lost), [Variable::Distance]);
        let both = Conditions {
            view: View::HalfBody,
            ..seen(150.0)
        };
        assert_eq!(
            seen(200.0).differences(&both),
            [Variable::View, Variable::Distance]
        );
        // A place told for someone who cannot be seen is not made up for by the view.
        let hidden_place = Conditions {
            view: View::BehindScreen,
            ..seen(200.0)
        };
        assert_eq!(
            hidden_place.differences(&seen(150.0)),
            [Variable::View, Variable::Distance]
        );
    }

    #[test]
    fn a_distance_is_told_by_what_it_is_measured_from() {
        let from = |barrier| {
            Conditions {
                barrier,
                ..seen(200.0)
            }
            .key(Variable::Distance)
        };
        assert_eq!(from(Barrier::Bars), "from-the-bars");
        assert_eq!(from(Barrier::Station), "from-the-station");
        assert_eq!(from(Barrier::Nothing), "from-the-bird");
        let hidden = Conditions::easiest(Stage::OpenRoom, false);
        assert_eq!(hidden.key(Variable::Distance), "out-of-view");
    }

    #[test]
    fn every_variable_has_a_key_in_order() {
        let keys = seen(200.0).keys();
        let all = [
            (Variable::Barrier, "bars"),
            (Variable::View, "whole-body"),
            (Variable::Distance, "from-the-bars"),
            (Variable::Movement, "still"),
            (Variable::Facing, "side-on-away"),
            (Variable::Hands, "down-still"),
            (Variable::Speech, "silent"),
            (Variable::Object, "plain"),
            (Variable::Favoured, "active-nearby"),
            (Variable::SecondPerson, "one-person"),
        ];
        assert_eq!(keys, all);
    }

    #[test]
    fn out_of_sight_nothing_is_told_of_what_cannot_be_seen() {
        let told = |view| {
            let keys = Conditions {
                view,
                ..seen(200.0)
            }
            .keys();
            keys.into_iter().map(|it| it.0).collect::<Vec<_>>()
        };
        let hidden = [
            Variable::Barrier,
            Variable::View,
            Variable::Distance,
            Variable::Speech,
            Variable::Favoured,
            Variable::SecondPerson,
        ];
        assert_eq!(told(View::BehindScreen), hidden);
        assert_eq!(told(View::OneShoulder), Variable::ALL);
    }
}
