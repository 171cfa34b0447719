//! Austria: aviaries for parakeets, and how a cage stands.
//!
//! Sources: 2nd animal keeping ordinance (2. Tierhaltungsverordnung), Annex 2; for further pairs and round bases the
//! animal keeping ordinance of Burgenland, Annex 14. The budgerigar and the cockatiel are excluded from the sizes; for
//! parrots other than parakeets no row is carried.

use super::class::row_or_last;
use super::need::m2;
use super::pair_size::PairSize;
use super::reading::{MOST_SIDE_CM, bird_length_cm, side_cm, span_cm};
use super::{Bird, NotCovered, Row};
use crate::figures::input::{Unusable, within};
use crate::figures::span::Span;

/// Aviary of a pair, and the floor of its shelter.
struct Size {
    pair: PairSize,
    shelter_cm2: u32,
}

/// Parakeets up to 30 cm.
const PARAKEETS: [(f64, Size); 1] = [(
    30.0,
    Size {
        pair: PairSize {
            length_cm: 200,
            width_cm: 150,
            height_cm: 200,
        },
        shelter_cm2: 10_000,
    },
)];

/// Parakeets over 30 cm.
const LONGEST_PARAKEETS: Size = Size {
    pair: PairSize {
        length_cm: 400,
        width_cm: 200,
        height_cm: 200,
    },
    shelter_cm2: 20_000,
};

/// A cage stands at least this far above the floor, in cm.
///
/// 2. Tierhaltungsverordnung, Annex 2 no. 1(4), domesticated parrots.
pub const STAND_HEIGHT_CM: f64 = 80.0;

/// A round base needs at least this diameter, in cm: Burgenland, Annex 14.
pub const ROUND_BASE_LEAST_DIAMETER_CM: f64 = 200.0;

const fn outside(bird: &Bird) -> Option<NotCovered> {
    if bird.is_budgerigar || bird.is_cockatiel {
        Some(NotCovered::Excluded)
    } else if bird.is_parakeet {
        None
    } else {
        Some(NotCovered::NoFigure)
    }
}

/// What the ordinance asks for. One bird is measured by the same row as a pair, since none is given for one; the half
/// floor for each further pair is the state ordinance's.
pub(super) fn row(bird: &Bird, length_cm: f64, birds: u32) -> Result<Row, NotCovered> {
    match outside(bird) {
        Some(reason) => Err(reason),
        None => {
            let (class, size) = row_or_last(&PARAKEETS, &LONGEST_PARAKEETS, length_cm);
            let need = size.pair.need(birds);
            Ok(Row { class, need })
        }
    }
}

/// The floor of the shelter of an outdoor aviary, in square metres, for the least and the greatest length of the bird.
/// `None` for a bird the sizes do not reach. Up to 30 cm the shelter is also 1 m high.
///
/// # Errors
/// [`Unusable`] when the bird's length is.
pub fn shelter_floor_m2(bird: &Bird) -> Result<Option<Span>, Unusable> {
    let length_cm = span_cm(bird.length_cm, bird_length_cm)?;
    if outside(bird).is_some() {
        return Ok(None);
    }
    let floor_m2 = |length_cm| {
        let (_, size) = row_or_last(&PARAKEETS, &LONGEST_PARAKEETS, length_cm);
        m2(f64::from(size.shelter_cm2))
    };
    Ok(Some(Span::between(
        floor_m2(length_cm.low),
        floor_m2(length_cm.high),
    )))
}

/// Whether a cage stands high enough above the floor of the room; 0 is a cage on the floor.
///
/// # Errors
/// [`Unusable`] unless finite and from 0 to 20 m.
pub fn stands_high_enough(above_floor_cm: f64) -> Result<bool, Unusable> {
    Ok(within(above_floor_cm, 0.0, MOST_SIDE_CM)? >= STAND_HEIGHT_CM)
}

/// Whether a round base is wide enough to be used at all.
///
/// # Errors
/// [`Unusable`] unless the diameter is finite, above zero and at most 20 m.
pub fn round_base_is_allowed(diameter_cm: f64) -> Result<bool, Unusable> {
    Ok(side_cm(diameter_cm)? >= ROUND_BASE_LEAST_DIAMETER_CM)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::enclosure::{Class, Need};

    fn parakeet(length_cm: f64) -> Bird {
        Bird {
            is_parakeet: true,
            ..Bird::of_length(Span::exact(length_cm))
        }
    }

    fn asked(length_cm: f64, birds: u32) -> Row {
        match row(&parakeet(length_cm), length_cm, birds) {
            Ok(row) => row,
            Err(reason) => panic!("{reason:?}"),
        }
    }

    fn size(length_cm: f64, width_cm: f64, height_cm: f64, area_m2: f64) -> Need {
        Need {
            length_cm: Some(length_cm),
            width_cm: Some(width_cm),
            height_cm: Some(height_cm),
            area_m2: Some(area_m2),
            volume_m3: None,
        }
    }

    // 2. Tierhaltungsverordnung, Annex 2: 2.0 x 1.5 x 2.0 m up to 30 cm, 4.0 x 2.0 x 2.0 m over it.
    #[test]
    fn parakeets_step_up_past_thirty_centimetres() {
        let small = size(200.0, 150.0, 200.0, 3.0);
        let large = size(400.0, 200.0, 200.0, 8.0);
        for (length_cm, need) in [
            (25.1, small),
            (29.9, small),
            (30.0, small),
            (30.1, large),
            (40.1, large),
        ] {
            assert_eq!(asked(length_cm, 2).need, need, "{length_cm}");
        }
        let over_thirty = Class::Lengths {
            over_cm: 30.0,
            up_to_cm: None,
        };
        assert_eq!(asked(30.1, 2).class, over_thirty);
    }

    // Burgenland, Annex 14: half of the floor more for each further pair.
    #[test]
    fn each_further_pair_adds_half_of_the_floor() {
        let floors = [1, 2, 3, 4, 5].map(|birds| asked(30.0, birds).need.area_m2);
        assert_eq!(floors, [3.0, 3.0, 4.5, 4.5, 6.0].map(Some));
    }

    // 2. Tierhaltungsverordnung, Annex 2.
    #[test]
    fn the_budgerigar_and_the_cockatiel_are_excluded_and_other_parrots_have_no_figure() {
        let budgerigar = Bird {
            is_budgerigar: true,
            ..parakeet(18.0)
        };
        let cockatiel = Bird {
            is_cockatiel: true,
            ..parakeet(32.0)
        };
        let amazon = Bird::of_length(Span::exact(37.0));
        assert_eq!(row(&budgerigar, 18.0, 2), Err(NotCovered::Excluded));
        assert_eq!(row(&cockatiel, 32.0, 2), Err(NotCovered::Excluded));
        assert_eq!(row(&amazon, 37.0, 2), Err(NotCovered::NoFigure));
        for bird in [budgerigar, cockatiel, amazon] {
            assert_eq!(shelter_floor_m2(&bird), Ok(None));
        }
    }

    // 2. Tierhaltungsverordnung, Annex 2: 1 m2 of shelter up to 30 cm, 2 m2 over it.
    #[test]
    fn an_outdoor_aviary_has_a_shelter_by_the_same_edge() {
        for (length_cm, floor_m2) in [(30.0, 1.0), (30.1, 2.0)] {
            assert_eq!(
                shelter_floor_m2(&parakeet(length_cm)),
                Ok(Some(Span::exact(floor_m2)))
            );
        }
        let between = Bird {
            length_cm: Span::between(29.0, 31.0),
            ..parakeet(30.0)
        };
        assert_eq!(
            shelter_floor_m2(&between),
            Ok(Some(Span::between(1.0, 2.0)))
        );
        assert!(shelter_floor_m2(&parakeet(-30.0)).is_err());
        assert!(shelter_floor_m2(&parakeet(150.1)).is_err());
    }

    // 2. Tierhaltungsverordnung, Annex 2 no. 1(4): at least 80 cm above the floor.
    #[test]
    fn a_cage_stands_eighty_centimetres_above_the_floor() {
        assert_eq!(stands_high_enough(80.0), Ok(true));
        assert_eq!(stands_high_enough(80.1), Ok(true));
        assert_eq!(stands_high_enough(79.9), Ok(false));
        assert_eq!(stands_high_enough(0.0), Ok(false));
        for bad in [-1.0, 2_000.1, f64::NAN, f64::INFINITY] {
            assert!(stands_high_enough(bad).is_err(), "{bad}");
        }
    }

    // Burgenland, Annex 14: round aviaries only from 2 m across.
    #[test]
    fn a_round_base_is_two_metres_across() {
        assert_eq!(round_base_is_allowed(200.0), Ok(true));
        assert_eq!(round_base_is_allowed(199.9), Ok(false));
        assert_eq!(round_base_is_allowed(45.0), Ok(false));
        for bad in [0.0, -1.0, 2_000.1, f64::NAN, f64::INFINITY] {
            assert!(round_base_is_allowed(bad).is_err(), "{bad}");
        }
    }
}
