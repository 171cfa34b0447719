//! The figures of one case: what `figures` makes of the answers. Facts are filled from them, and papers print them.

mod cage;
mod food;
mod kind;
mod reach;
mod record;
mod when_asked;
mod wounds;

pub use cage::{CageFigures, Local};
pub use food::FoodFigures;
pub use kind::{How, Kind, SizeFrom, near};
pub use reach::{ReachFigures, Room, Spot, Use, eye_height};
pub use record::{EARLIER_DAYS, LATER_DAYS, RecordFigures, WeightFigures, too_few};
pub use when_asked::WhenAsked;
pub use wounds::{asks_about_tetanus, illness_fits, wound_of};

use crate::figures::enclosure::Standard;

use super::case::Case;

/// The figures of one case.
#[derive(Debug, Clone, PartialEq)]
pub struct Workings {
    /// The kind of bird, its weight, length and size.
    pub kind: Kind,
    /// The cage against the figures that are held.
    pub cage: CageFigures,
    /// The standards of the place.
    pub local: Vec<Standard>,
    /// Energy and rewards.
    pub food: FoodFigures,
    /// The weighings.
    pub weight: WeightFigures,
    /// Reach; `None` when a measured one is none.
    pub reach: Option<ReachFigures>,
    /// The room.
    pub room: Room,
    /// How often it bites; `None` while a count is missing.
    pub record: Option<RecordFigures>,
    /// Whether there are too few bites to judge a change.
    pub too_few: Option<bool>,
    /// Whether a flu-like illness began within the time after being near a bird.
    pub illness_fits: Option<bool>,
}

impl Workings {
    /// Works them out.
    #[must_use]
    pub fn of(case: &Case<'_>) -> Self {
        let kind = Kind::of(case);
        let reach = ReachFigures::of(case, &kind);
        let cage = CageFigures::of(case, &kind);
        Self {
            local: cage.local_standards(&case.vocabulary.tables.regions),
            cage,
            food: FoodFigures::of(case, &kind),
            weight: WeightFigures::of(case),
            room: Room::of(case, reach.as_ref()),
            reach,
            record: RecordFigures::of(case),
            too_few: too_few(case),
            illness_fits: illness_fits(case),
            kind,
        }
    }
}

/// Figures as the derived facts ask for them.
pub trait Figures {
    /// The kind of bird, its weight, length and size.
    fn kind(&self) -> &Kind;
    /// The cage against the figures that are held.
    fn cage(&self) -> &CageFigures;
    /// The standards of the place.
    fn local(&self) -> &[Standard];
    /// Energy and rewards.
    fn food(&self) -> &FoodFigures;
    /// The weighings.
    fn weight(&self) -> &WeightFigures;
    /// Reach; `None` when a measured one is none.
    fn reach(&self) -> Option<&ReachFigures>;
    /// The room.
    fn room(&self) -> &Room;
    /// How often it bites; `None` while a count is missing.
    fn record(&self) -> Option<&RecordFigures>;
    /// Whether there are too few bites to judge a change.
    fn too_few(&self) -> Option<bool>;
    /// Whether a flu-like illness began within the time after being near a bird.
    fn illness_fits(&self) -> Option<bool>;
}

impl Figures for Workings {
    fn kind(&self) -> &Kind {
        &self.kind
    }

    fn cage(&self) -> &CageFigures {
        &self.cage
    }

    fn local(&self) -> &[Standard] {
        &self.local
    }

    fn food(&self) -> &FoodFigures {
        &self.food
    }

    fn weight(&self) -> &WeightFigures {
        &self.weight
    }

    fn reach(&self) -> Option<&ReachFigures> {
        self.reach.as_ref()
    }

    fn room(&self) -> &Room {
        &self.room
    }

    fn record(&self) -> Option<&RecordFigures> {
        self.record.as_ref()
    }

    fn too_few(&self) -> Option<bool> {
        self.too_few
    }

    fn illness_fits(&self) -> Option<bool> {
        self.illness_fits
    }
}
