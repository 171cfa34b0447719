//! The same figures, each worked out when something first asks for it.

use std::cell::OnceCell;

use crate::figures::enclosure::Standard;

use super::super::case::Case;
use super::{
    CageFigures, Figures, FoodFigures, Kind, ReachFigures, RecordFigures, Room, WeightFigures,
    illness_fits, too_few,
};

/// The figures of one case, worked out as far as they are asked for.
#[derive(Debug)]
pub struct WhenAsked<'c> {
    case: Case<'c>,
    kind: OnceCell<Kind>,
    cage: OnceCell<CageFigures>,
    local: OnceCell<Vec<Standard>>,
    food: OnceCell<FoodFigures>,
    weight: OnceCell<WeightFigures>,
    reach: OnceCell<Option<ReachFigures>>,
    room: OnceCell<Room>,
    record: OnceCell<Option<RecordFigures>>,
}

impl<'c> WhenAsked<'c> {
    /// Those of a case.
    #[must_use]
    pub fn of(case: Case<'c>) -> Self {
        Self {
            case,
            kind: OnceCell::new(),
            cage: OnceCell::new(),
            local: OnceCell::new(),
            food: OnceCell::new(),
            weight: OnceCell::new(),
            reach: OnceCell::new(),
            room: OnceCell::new(),
            record: OnceCell::new(),
        }
    }
}

impl Figures for WhenAsked<'_> {
    fn kind(&self) -> &Kind {
        self.kind.get_or_init(|| Kind::of(&self.case))
    }

    fn cage(&self) -> &CageFigures {
        self.cage
            .get_or_init(|| CageFigures::of(&self.case, self.kind()))
    }

    fn local(&self) -> &[Standard] {
        let regions = &self.case.vocabulary.tables.regions;
        self.local
            .get_or_init(|| self.cage().local_standards(regions))
    }

    fn food(&self) -> &FoodFigures {
        self.food
            .get_or_init(|| FoodFigures::of(&self.case, self.kind()))
    }

    fn weight(&self) -> &WeightFigures {
        self.weight.get_or_init(|| WeightFigures::of(&self.case))
    }

    fn reach(&self) -> Option<&ReachFigures> {
        self.reach
            .get_or_init(|| ReachFigures::of(&self.case, self.kind()))
            .as_ref()
    }

    fn room(&self) -> &Room {
        self.room.get_or_init(|| Room::of(&self.case, self.reach()))
    }

    fn record(&self) -> Option<&RecordFigures> {
        self.record
            .get_or_init(|| RecordFigures::of(&self.case))
            .as_ref()
    }

    fn too_few(&self) -> Option<bool> {
        too_few(&self.case)
    }

    fn illness_fits(&self) -> Option<bool> {
        illness_fits(&self.case)
    }
}
