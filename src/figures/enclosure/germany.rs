//! Germany: cage sizes for a pair, by length, with rows of their own for macaws.
//!
//! Source: Federal Ministry of Food, Agriculture and Forestry, expert report on minimum requirements for keeping
//! parrots, 10 January 1995. An expert floor, not a goal: two welfare bodies recorded that they find the sizes too small.
//! The budgerigar and the cockatiel are outside its scope. It also holds rows for cockatoos and lories, which are not
//! carried here because their figures could not be checked.

use super::class::{Class, row_or_last};
use super::need::m2;
use super::pair_size::PairSize;
use super::reading::{bird_length_cm, span_cm};
use super::{Bird, NotCovered, Row};
use crate::figures::input::Unusable;
use crate::figures::span::Span;

/// Cage of a pair, and the floor of the shelter where the cage stands outdoors.
struct Size {
    pair: PairSize,
    shelter_cm2: u32,
}

const fn pair(length_cm: u32, width_cm: u32, height_cm: u32) -> PairSize {
    PairSize {
        length_cm,
        width_cm,
        height_cm,
    }
}

/// Parakeets and short-tailed parrots, sections 1.2 and 2.2.
const PARROTS: [(f64, Size); 2] = [
    (
        25.0,
        Size {
            pair: pair(100, 50, 50),
            shelter_cm2: 5_000,
        },
    ),
    (
        40.0,
        Size {
            pair: pair(200, 100, 100),
            shelter_cm2: 10_000,
        },
    ),
];

/// Over 40 cm. One reprint gives a width of 1.5 m; 1.0 m is what the others give.
const LONGEST_PARROTS: Size = Size {
    pair: pair(300, 100, 200),
    shelter_cm2: 20_000,
};

/// Macaws, section 3.2.
const MACAWS: [(f64, PairSize); 2] = [(40.0, pair(200, 100, 150)), (60.0, pair(300, 100, 200))];

/// Macaws over 60 cm.
const LONGEST_MACAWS: PairSize = pair(400, 200, 200);

/// Why the report's rows do not reach a bird, where they do not.
///
/// The cockatiel is a cockatoo by descent; that it is outside the report's scope comes first.
const fn outside(bird: &Bird) -> Option<NotCovered> {
    if bird.is_budgerigar || bird.is_cockatiel {
        Some(NotCovered::Excluded)
    } else if bird.is_cockatoo || bird.is_lory {
        Some(NotCovered::NoFigure)
    } else {
        None
    }
}

fn pair_size(bird: &Bird, length_cm: f64) -> (Class, PairSize) {
    if bird.is_macaw {
        let (class, size) = row_or_last(&MACAWS, &LONGEST_MACAWS, length_cm);
        (class, *size)
    } else {
        let (class, size) = row_or_last(&PARROTS, &LONGEST_PARROTS, length_cm);
        (class, size.pair)
    }
}

/// What the report asks for: the size of a pair also for one bird, and half of its floor more for each further pair.
pub(super) fn row(bird: &Bird, length_cm: f64, birds: u32) -> Result<Row, NotCovered> {
    match outside(bird) {
        Some(reason) => Err(reason),
        None => {
            let (class, size) = pair_size(bird, length_cm);
            let need = size.need(birds);
            Ok(Row { class, need })
        }
    }
}

/// The floor of the shelter that an outdoor aviary for a pair must have, in square metres, for the least and the
/// greatest length of the bird. `None` where the report does not speak of the bird or no figure is carried (macaws,
/// cockatoos, lories).
///
/// # Errors
/// [`Unusable`] when the bird's length is.
pub fn shelter_floor_m2(bird: &Bird) -> Result<Option<Span>, Unusable> {
    let length_cm = span_cm(bird.length_cm, bird_length_cm)?;
    if bird.is_macaw || outside(bird).is_some() {
        return Ok(None);
    }
    let floor_m2 = |length_cm| {
        let (_, size) = row_or_last(&PARROTS, &LONGEST_PARROTS, length_cm);
        m2(f64::from(size.shelter_cm2))
    };
    Ok(Some(Span::between(
        floor_m2(length_cm.low),
        floor_m2(length_cm.high),
    )))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::enclosure::{Cage, Standard, Verdict, assess};

    fn plain(length_cm: f64) -> Bird {
        Bird::of_length(Span::exact(length_cm))
    }

    fn macaw(length_cm: f64) -> Bird {
        Bird {
            is_macaw: true,
            ..plain(length_cm)
        }
    }

    /// Length, width and height in cm, floor in m2.
    fn asked(bird: &Bird, birds: u32) -> [Option<f64>; 4] {
        match row(bird, bird.length_cm.low, birds) {
            Ok(Row { need, .. }) => [need.length_cm, need.width_cm, need.height_cm, need.area_m2],
            Err(reason) => panic!("{reason:?}"),
        }
    }

    // Expert report of 10 January 1995, 1.2 and 2.2.
    #[test]
    fn parrots_step_up_past_twenty_five_and_forty_centimetres() {
        let small = [100.0, 50.0, 50.0, 0.5].map(Some);
        let middle = [200.0, 100.0, 100.0, 2.0].map(Some);
        let long = [300.0, 100.0, 200.0, 3.0].map(Some);
        for (length_cm, size) in [
            (12.0, small),
            (24.9, small),
            (25.0, small),
            (25.1, middle),
            (39.9, middle),
            (40.0, middle),
            (40.1, long),
            (90.0, long),
        ] {
            assert_eq!(asked(&plain(length_cm), 2), size, "{length_cm}");
        }
    }

    // Expert report of 10 January 1995, 3.2.
    #[test]
    fn macaws_step_up_past_forty_and_sixty_centimetres() {
        let small = [200.0, 100.0, 150.0, 2.0].map(Some);
        let middle = [300.0, 100.0, 200.0, 3.0].map(Some);
        let large = [400.0, 200.0, 200.0, 8.0].map(Some);
        for (length_cm, size) in [
            (30.0, small),
            (39.9, small),
            (40.0, small),
            (40.1, middle),
            (59.9, middle),
            (60.0, middle),
            (60.1, large),
            (61.0, large),
            (86.0, large),
        ] {
            assert_eq!(asked(&macaw(length_cm), 2), size, "{length_cm}");
        }
    }

    // Expert report of 10 January 1995, general part: no less for one bird; half of the floor more for each further pair.
    #[test]
    fn one_bird_needs_what_a_pair_needs_and_an_odd_bird_is_a_pair() {
        for bird in [
            plain(25.0),
            plain(40.0),
            plain(40.1),
            macaw(40.0),
            macaw(61.0),
        ] {
            assert_eq!(asked(&bird, 1), asked(&bird, 2));
            assert_eq!(asked(&bird, 3), asked(&bird, 4));
        }
        let floors = [2, 3, 4, 5, 6].map(|birds| asked(&plain(40.1), birds)[3]);
        assert_eq!(floors, [3.0, 4.5, 4.5, 6.0, 6.0].map(Some));
    }

    // Expert report of 10 January 1995, scope.
    #[test]
    fn the_budgerigar_and_the_cockatiel_are_excluded() {
        let budgerigar = Bird {
            is_budgerigar: true,
            is_parakeet: true,
            ..plain(18.0)
        };
        let cockatiel = Bird {
            is_cockatiel: true,
            is_cockatoo: true,
            ..plain(32.0)
        };
        assert_eq!(row(&budgerigar, 18.0, 2), Err(NotCovered::Excluded));
        assert_eq!(row(&cockatiel, 32.0, 2), Err(NotCovered::Excluded));
        assert_eq!(shelter_floor_m2(&budgerigar), Ok(None));
        assert_eq!(shelter_floor_m2(&cockatiel), Ok(None));
    }

    #[test]
    fn cockatoos_and_lories_have_no_figure_here() {
        let cockatoo = Bird {
            is_cockatoo: true,
            ..plain(49.0)
        };
        let lory = Bird {
            is_lory: true,
            ..plain(30.0)
        };
        assert_eq!(row(&cockatoo, 49.0, 2), Err(NotCovered::NoFigure));
        assert_eq!(row(&lory, 30.0, 2), Err(NotCovered::NoFigure));
        assert_eq!(shelter_floor_m2(&cockatoo), Ok(None));
        assert_eq!(shelter_floor_m2(&lory), Ok(None));
    }

    // Expert report of 10 January 1995, 1.2 and 2.2: 0.5, 1.0 and 2.0 m2 of shelter.
    #[test]
    fn an_outdoor_aviary_has_a_shelter_by_the_same_classes() {
        for (length_cm, floor_m2) in [(25.0, 0.5), (25.1, 1.0), (40.0, 1.0), (40.1, 2.0)] {
            assert_eq!(
                shelter_floor_m2(&plain(length_cm)),
                Ok(Some(Span::exact(floor_m2))),
                "{length_cm}"
            );
        }
        let between = Bird::of_length(Span::between(24.0, 41.0));
        assert_eq!(
            shelter_floor_m2(&between),
            Ok(Some(Span::between(0.5, 2.0)))
        );
        assert_eq!(shelter_floor_m2(&macaw(86.0)), Ok(None));
        assert!(shelter_floor_m2(&plain(0.0)).is_err());
        assert!(shelter_floor_m2(&macaw(f64::NAN)).is_err());
    }

    // Expert report of 10 January 1995, 2.2: 2.0 x 1.0 x 1.0 m over 25 to 40 cm.
    #[test]
    fn a_grey_in_a_cage_of_one_metre_is_short_of_every_side() {
        let cage = Cage {
            length_cm: Some(100.0),
            width_cm: Some(60.0),
            height_cm: Some(90.0),
            birds: Some(1),
            outdoors: Some(false),
        };
        let found = assess(Standard::Germany, &plain(33.0), &cage);
        let Ok(Verdict::Short(lacking)) = found.map(|found| found.verdict) else {
            panic!("{found:?}");
        };
        assert_eq!(
            (lacking.length_cm, lacking.width_cm, lacking.height_cm),
            (100.0, 40.0, 10.0)
        );
        assert!((lacking.area_m2 - 1.4).abs() < 1e-12);
    }
}
