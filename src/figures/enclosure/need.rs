//! What a standard asks of a cage, and what a cage lacks of it.

use super::Cage;
use super::reading::MOST_SIDE_CM;

const CM2_PER_M2: f64 = 10_000.0;
const CM3_PER_M3: f64 = 1_000_000.0;

/// Square centimetres as square metres.
pub(super) fn m2(area_cm2: f64) -> f64 {
    area_cm2 / CM2_PER_M2
}

/// Cubic centimetres as cubic metres.
pub(super) fn m3(volume_cm3: f64) -> f64 {
    volume_cm3 / CM3_PER_M3
}

/// The least a standard asks for. `None`: it asks nothing of that dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Longer side of the floor, in cm.
    pub length_cm: Option<f64>,
    /// Shorter side of the floor, in cm.
    pub width_cm: Option<f64>,
    /// Height, in cm.
    pub height_cm: Option<f64>,
    /// Floor, in square metres.
    pub area_m2: Option<f64>,
    /// Room, in cubic metres.
    pub volume_m3: Option<f64>,
}

/// How far a cage stays below a [`Need`]; 0 where nothing is missing. Not rounded.
///
/// With a side left blank it holds what is missing however long that side turns out to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortfall {
    /// Missing from the longer side of the floor, in cm.
    pub length_cm: f64,
    /// Missing from the shorter side of the floor, in cm.
    pub width_cm: f64,
    /// Missing height, in cm.
    pub height_cm: f64,
    /// Missing floor, in square metres.
    pub area_m2: f64,
    /// Missing room, in cubic metres.
    pub volume_m3: f64,
}

impl Shortfall {
    /// True when nothing is missing anywhere.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        [
            self.length_cm,
            self.width_cm,
            self.height_cm,
            self.area_m2,
            self.volume_m3,
        ]
        .iter()
        .all(|missing| *missing <= 0.0)
    }
}

/// A cage with every side filled in, the floor's longer side first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sides {
    pub(super) long_cm: f64,
    pub(super) short_cm: f64,
    pub(super) height_cm: f64,
}

impl Sides {
    /// The best cage the answers leave open: every standard here asks for "at least", so a blank side is taken as long as
    /// a side may be.
    pub(super) fn at_best(cage: &Cage) -> Self {
        Self::of(cage, MOST_SIDE_CM)
    }

    /// The worst cage the answers leave open: a blank side is taken as nothing.
    pub(super) fn at_worst(cage: &Cage) -> Self {
        Self::of(cage, 0.0)
    }

    /// The cage with `blank_cm` for every side that was left blank.
    fn of(cage: &Cage, blank_cm: f64) -> Self {
        let one_cm = cage.length_cm.unwrap_or(blank_cm);
        let other_cm = cage.width_cm.unwrap_or(blank_cm);
        Self {
            long_cm: one_cm.max(other_cm),
            short_cm: one_cm.min(other_cm),
            height_cm: cage.height_cm.unwrap_or(blank_cm),
        }
    }
}

impl Need {
    /// What these sides lack of it.
    pub(super) fn missing_from(&self, sides: Sides) -> Shortfall {
        let floor_cm2 = sides.long_cm * sides.short_cm;
        Shortfall {
            length_cm: missing(self.length_cm, sides.long_cm),
            width_cm: missing(self.width_cm, sides.short_cm),
            height_cm: missing(self.height_cm, sides.height_cm),
            area_m2: missing(self.area_m2, m2(floor_cm2)),
            volume_m3: missing(self.volume_m3, m3(floor_cm2 * sides.height_cm)),
        }
    }
}

fn missing(asked: Option<f64>, given: f64) -> f64 {
    asked.map_or(0.0, |asked| (asked - given).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    const NEED: Need = Need {
        length_cm: Some(100.0),
        width_cm: Some(50.0),
        height_cm: Some(60.0),
        area_m2: Some(0.5),
        volume_m3: Some(0.3),
    };

    const NOTHING: Shortfall = Shortfall {
        length_cm: 0.0,
        width_cm: 0.0,
        height_cm: 0.0,
        area_m2: 0.0,
        volume_m3: 0.0,
    };

    fn cage(length_cm: Option<f64>, width_cm: Option<f64>, height_cm: Option<f64>) -> Cage {
        Cage {
            length_cm,
            width_cm,
            height_cm,
            birds: None,
            outdoors: None,
        }
    }

    #[test]
    fn the_longer_side_counts_as_the_length_whichever_way_it_was_written() {
        let one = Sides::of(&cage(Some(100.0), Some(50.0), Some(60.0)), 7.0);
        let other = Sides::of(&cage(Some(50.0), Some(100.0), Some(60.0)), 7.0);
        assert_eq!(one, other);
        assert_eq!(
            (one.long_cm, one.short_cm, one.height_cm),
            (100.0, 50.0, 60.0)
        );
    }

    #[test]
    fn a_blank_side_is_filled_in() {
        let sides = Sides::of(&cage(None, Some(50.0), None), 7.0);
        assert_eq!(
            (sides.long_cm, sides.short_cm, sides.height_cm),
            (50.0, 7.0, 7.0)
        );
        let sides = Sides::of(&cage(Some(3.0), None, None), 7.0);
        assert_eq!((sides.long_cm, sides.short_cm), (7.0, 3.0));
    }

    #[test]
    fn a_blank_side_is_twenty_metres_at_best_and_nothing_at_worst() {
        let blank = cage(None, Some(50.0), None);
        assert_eq!(Sides::at_best(&blank), Sides::of(&blank, 2_000.0));
        assert_eq!(Sides::at_worst(&blank), Sides::of(&blank, 0.0));
    }

    #[test]
    fn a_cage_exactly_as_asked_lacks_nothing() {
        let sides = Sides::of(&cage(Some(100.0), Some(50.0), Some(60.0)), 0.0);
        assert_eq!(NEED.missing_from(sides), NOTHING);
        assert!(NEED.missing_from(sides).is_nothing());
    }

    #[test]
    fn a_longer_side_does_not_pay_for_another() {
        let sides = Sides::of(&cage(Some(200.0), Some(40.0), Some(90.0)), 0.0);
        let lacking = NEED.missing_from(sides);
        assert_eq!(
            lacking,
            Shortfall {
                width_cm: 10.0,
                ..NOTHING
            }
        );
        assert!(!lacking.is_nothing());
    }

    #[test]
    fn every_dimension_is_counted_by_itself() {
        let sides = Sides::of(&cage(Some(80.0), Some(50.0), Some(25.0)), 0.0);
        let lacking = NEED.missing_from(sides);
        assert_eq!(
            (lacking.length_cm, lacking.width_cm, lacking.height_cm),
            (20.0, 0.0, 35.0)
        );
        // 80 x 50 cm is 0.4 m2, and 25 cm above it 0.1 m3.
        assert!((lacking.area_m2 - 0.1).abs() < 1e-12);
        assert!((lacking.volume_m3 - 0.2).abs() < 1e-12);
    }

    #[test]
    fn one_missing_dimension_is_enough() {
        for lacking in [
            Shortfall {
                length_cm: 0.1,
                ..NOTHING
            },
            Shortfall {
                width_cm: 0.1,
                ..NOTHING
            },
            Shortfall {
                height_cm: 0.1,
                ..NOTHING
            },
            Shortfall {
                area_m2: 0.1,
                ..NOTHING
            },
            Shortfall {
                volume_m3: 0.1,
                ..NOTHING
            },
        ] {
            assert!(!lacking.is_nothing(), "{lacking:?}");
        }
    }

    #[test]
    fn nothing_asked_is_nothing_missing() {
        let asks_nothing = Need {
            length_cm: None,
            width_cm: None,
            height_cm: None,
            area_m2: None,
            volume_m3: None,
        };
        let sides = Sides::of(&cage(None, None, None), 0.0);
        assert_eq!(asks_nothing.missing_from(sides), NOTHING);
    }
}
