//! New South Wales: floor of indoor cages for small birds, the shape of a cage, and a rule of thumb.
//!
//! Sources: NSW Department of Education, animals in schools, caged birds (sizes and shape); RSPCA NSW, housing advice for
//! birds (the rule of threes). Guidance, not a law for homes. Two rows of indoor cages are carried, for birds of 100 and
//! 200 mm; a length in between is rounded up, as a design choice that favours the bird.

use super::class::row_up_to;
use super::need::{Need, Sides, m2};
use super::reading::{self, bird_length_cm, span_cm, wingspan_cm};
use super::{Cage, NotCovered, Row};
use crate::figures::input::Unusable;
use crate::figures::span::Span;

/// Floor for one bird and for each bird after it.
struct Size {
    one_bird_cm2: u32,
    per_further_bird_cm2: u32,
}

const SIZES: [(f64, Size); 2] = [
    (
        10.0,
        Size {
            one_bird_cm2: 1_000,
            per_further_bird_cm2: 500,
        },
    ),
    (
        20.0,
        Size {
            one_bird_cm2: 1_600,
            per_further_bird_cm2: 800,
        },
    ),
];

/// Height of both rows, in cm.
const HEIGHT_CM: f64 = 34.0;

/// The shortest side of the floor in wingspans.
const SHORT_SIDE_IN_WINGSPANS: f64 = 2.0;

/// Most the length may be, in widths.
const MOST_LENGTH_IN_WIDTHS: f64 = 4.0;

/// With a short side of this many cm or more, any length is allowed.
const SHORT_SIDE_FOR_ANY_LENGTH_CM: f64 = 90.0;

/// What the guidance asks for. A bird over 200 mm is beyond the rows carried; for outdoor aviaries there is none.
pub(super) fn row(length_cm: f64, birds: u32, outdoors: bool) -> Result<Row, NotCovered> {
    let (class, size) = row_up_to(&SIZES, length_cm).ok_or(NotCovered::BeyondTable)?;
    if outdoors {
        return Err(NotCovered::NoFigure);
    }
    let further_birds = f64::from(birds.saturating_sub(1));
    let floor_cm2 =
        f64::from(size.one_bird_cm2) + further_birds * f64::from(size.per_further_bird_cm2);
    let need = Need {
        length_cm: None,
        width_cm: None,
        height_cm: Some(HEIGHT_CM),
        area_m2: Some(m2(floor_cm2)),
        volume_m3: None,
    };
    Ok(Row { class, need })
}

/// Whether the floor is not too long for its width: at most 4 to 1, unless the short side is 90 cm or more. `None` while
/// a side is blank.
///
/// NSW Department of Education, caged birds.
///
/// # Errors
/// [`Unusable`] when a side that was given is.
pub fn ratio_is_allowed(cage: &Cage) -> Result<Option<bool>, Unusable> {
    let cage = cage.checked()?;
    // With one side known the other may be just as long (allowed) or a sliver (not allowed): nothing can be said yet.
    if cage.length_cm.is_none() || cage.width_cm.is_none() {
        return Ok(None);
    }
    let sides = Sides::at_worst(&cage);
    Ok(Some(
        sides.short_cm >= SHORT_SIDE_FOR_ANY_LENGTH_CM
            || sides.long_cm <= MOST_LENGTH_IN_WIDTHS * sides.short_cm,
    ))
}

/// Whether the shorter side of the floor is at least two wingspans. `None` while that is open.
///
/// NSW Department of Education, caged birds; "shortest side" is read as that of the floor.
///
/// # Errors
/// [`Unusable`] when a side or the wingspan is.
pub fn short_side_fits_wings(
    cage: &Cage,
    wingspan: Option<Span>,
) -> Result<Option<bool>, Unusable> {
    let cage = cage.checked()?;
    let Some(wingspan) = wingspan else {
        return Ok(None);
    };
    let wingspan = span_cm(wingspan, wingspan_cm)?;
    let longest_cm = Sides::at_best(&cage).short_cm;
    let shortest_cm = Sides::at_worst(&cage).short_cm;
    Ok(if longest_cm < SHORT_SIDE_IN_WINGSPANS * wingspan.low {
        Some(false)
    } else if shortest_cm >= SHORT_SIDE_IN_WINGSPANS * wingspan.high {
        Some(true)
    } else {
        None
    })
}

/// Whether a cage has a shape the guidance allows: both [`ratio_is_allowed`] and [`short_side_fits_wings`]. One "no"
/// decides; a blank leaves it open otherwise.
///
/// # Errors
/// [`Unusable`] when a side or the wingspan is.
pub fn shape_is_allowed(cage: &Cage, wingspan: Option<Span>) -> Result<Option<bool>, Unusable> {
    let ratio = ratio_is_allowed(cage)?;
    let short_side = short_side_fits_wings(cage, wingspan)?;
    Ok(match (ratio, short_side) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    })
}

/// How large a cage the rule of threes would like. Advice, not a floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleOfThrees {
    /// Width, in cm.
    pub width_cm: Span,
    /// Height, in cm.
    pub height_cm: Span,
}

/// Both threes of the rule.
const THREE: f64 = 3.0;

/// The rule of threes: a width of three wingspans for each bird, a height of three bird lengths (head to tail).
///
/// RSPCA NSW, housing advice. Advice to compare a cage with, never a verdict.
///
/// # Errors
/// [`Unusable`] when the wingspan, the length or the number of birds is.
pub fn rule_of_threes(
    wingspan: Span,
    bird_length: Span,
    birds: u32,
) -> Result<RuleOfThrees, Unusable> {
    let wingspan = span_cm(wingspan, wingspan_cm)?;
    let bird_length = span_cm(bird_length, bird_length_cm)?;
    let birds = f64::from(reading::birds(birds)?);
    Ok(RuleOfThrees {
        width_cm: Span::between(THREE * wingspan.low * birds, THREE * wingspan.high * birds),
        height_cm: Span::between(THREE * bird_length.low, THREE * bird_length.high),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::enclosure::Class;

    const INDOORS: bool = false;
    const OUTDOORS: bool = true;

    fn found(length_cm: f64, birds: u32, outdoors: bool) -> Result<Row, NotCovered> {
        row(length_cm, birds, outdoors)
    }

    fn floor(length_cm: Option<f64>, width_cm: Option<f64>) -> Cage {
        Cage {
            length_cm,
            width_cm,
            height_cm: None,
            birds: None,
            outdoors: None,
        }
    }

    // NSW Department of Education, caged birds: 1,000 cm2 and 500 more, 1,600 cm2 and 800 more, 34 cm high.
    #[test]
    fn both_rows_read_as_in_the_guidance() {
        for (length_cm, birds, area_m2) in [
            (10.0, 1, 0.10),
            (10.0, 2, 0.15),
            (10.0, 3, 0.20),
            (20.0, 1, 0.16),
            (20.0, 2, 0.24),
            (20.0, 3, 0.32),
        ] {
            let need = Need {
                length_cm: None,
                width_cm: None,
                height_cm: Some(34.0),
                area_m2: Some(area_m2),
                volume_m3: None,
            };
            assert_eq!(
                found(length_cm, birds, INDOORS).map(|row| row.need),
                Ok(need)
            );
        }
    }

    #[test]
    fn lengths_round_up_to_ten_and_twenty_and_end_there() {
        let first = Class::Lengths {
            over_cm: 0.0,
            up_to_cm: Some(10.0),
        };
        let second = Class::Lengths {
            over_cm: 10.0,
            up_to_cm: Some(20.0),
        };
        for (length_cm, class) in [(9.9, first), (10.0, first), (10.1, second), (20.0, second)] {
            assert_eq!(found(length_cm, 1, INDOORS).map(|row| row.class), Ok(class));
        }
        assert_eq!(found(20.1, 1, INDOORS), Err(NotCovered::BeyondTable));
        assert_eq!(found(20.1, 1, OUTDOORS), Err(NotCovered::BeyondTable));
        assert_eq!(found(20.0, 1, OUTDOORS), Err(NotCovered::NoFigure));
    }

    // NSW Department of Education, caged birds: at most 4 to 1.
    #[test]
    fn four_to_one_passes_and_a_hair_more_fails() {
        let ratio = |length_cm, width_cm| ratio_is_allowed(&floor(Some(length_cm), Some(width_cm)));
        assert_eq!(ratio(320.0, 80.0), Ok(Some(true)));
        assert_eq!(ratio(319.9, 80.0), Ok(Some(true)));
        assert_eq!(ratio(320.8, 80.0), Ok(Some(false)));
        // Written the other way round it is the same cage.
        assert_eq!(ratio(80.0, 320.0), Ok(Some(true)));
        assert_eq!(ratio(80.0, 320.8), Ok(Some(false)));
    }

    // NSW Department of Education, caged birds: unless the short side is 900 mm or more.
    #[test]
    fn a_short_side_of_ninety_centimetres_allows_any_length() {
        let ratio = |length_cm, width_cm| ratio_is_allowed(&floor(Some(length_cm), Some(width_cm)));
        assert_eq!(ratio(500.0, 90.0), Ok(Some(true)));
        assert_eq!(ratio(500.0, 90.1), Ok(Some(true)));
        assert_eq!(ratio(500.0, 89.9), Ok(Some(false)));
    }

    #[test]
    fn one_side_says_nothing_about_the_ratio() {
        for side_cm in [10.0, 95.0, 1_000.0] {
            assert_eq!(ratio_is_allowed(&floor(Some(side_cm), None)), Ok(None));
            assert_eq!(ratio_is_allowed(&floor(None, Some(side_cm))), Ok(None));
        }
        assert_eq!(ratio_is_allowed(&floor(None, None)), Ok(None));
    }

    // NSW Department of Education, caged birds: the shortest side is at least two wingspans.
    #[test]
    fn the_short_side_is_at_least_two_wingspans() {
        let fits = |width_cm, wingspan| {
            short_side_fits_wings(&floor(Some(100.0), Some(width_cm)), Some(wingspan))
        };
        assert_eq!(fits(60.0, Span::exact(30.0)), Ok(Some(true)));
        assert_eq!(fits(59.9, Span::exact(30.0)), Ok(Some(false)));
        assert_eq!(fits(60.0, Span::between(28.0, 30.0)), Ok(Some(true)));
        assert_eq!(fits(60.0, Span::between(30.0, 31.0)), Ok(None));
        assert_eq!(fits(59.9, Span::between(30.0, 31.0)), Ok(Some(false)));
    }

    #[test]
    fn one_side_that_is_too_short_decides_whatever_the_other_is() {
        let wings = Some(Span::exact(30.0));
        assert_eq!(
            short_side_fits_wings(&floor(None, Some(59.9)), wings),
            Ok(Some(false))
        );
        assert_eq!(
            short_side_fits_wings(&floor(Some(59.9), None), wings),
            Ok(Some(false))
        );
        assert_eq!(
            short_side_fits_wings(&floor(Some(60.0), None), wings),
            Ok(None)
        );
        assert_eq!(short_side_fits_wings(&floor(None, None), wings), Ok(None));
        assert_eq!(
            short_side_fits_wings(&floor(Some(60.0), Some(60.0)), None),
            Ok(None)
        );
    }

    #[test]
    fn a_shape_needs_both_and_one_no_decides() {
        let shape = |length_cm, width_cm, wingspan: f64| {
            shape_is_allowed(
                &floor(Some(length_cm), Some(width_cm)),
                Some(Span::exact(wingspan)),
            )
        };
        assert_eq!(shape(240.0, 60.0, 30.0), Ok(Some(true)));
        assert_eq!(shape(241.0, 60.0, 30.0), Ok(Some(false)));
        assert_eq!(shape(240.0, 60.0, 30.1), Ok(Some(false)));
        // Too long for its width, whatever the wings.
        let long = floor(Some(241.0), Some(60.0));
        assert_eq!(shape_is_allowed(&long, None), Ok(Some(false)));
        // Too narrow for the wings, whatever the length.
        let narrow = floor(None, Some(59.0));
        let wings = Some(Span::exact(30.0));
        assert_eq!(shape_is_allowed(&narrow, wings), Ok(Some(false)));
        // Open: the ratio is fine and the wings are blank, or the other way round.
        let good = floor(Some(240.0), Some(60.0));
        assert_eq!(shape_is_allowed(&good, None), Ok(None));
        let open = floor(Some(240.0), None);
        assert_eq!(shape_is_allowed(&open, wings), Ok(None));
    }

    #[test]
    fn a_shape_that_is_none_is_refused() {
        let good = floor(Some(100.0), Some(60.0));
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 2_000.1] {
            let cage = floor(Some(bad), Some(60.0));
            assert!(ratio_is_allowed(&cage).is_err(), "{bad}");
            assert!(short_side_fits_wings(&cage, None).is_err(), "{bad}");
            let wings = Some(Span::exact(bad));
            assert!(short_side_fits_wings(&good, wings).is_err(), "{bad}");
            assert!(shape_is_allowed(&good, wings).is_err(), "{bad}");
            assert!(shape_is_allowed(&cage, None).is_err(), "{bad}");
        }
    }

    // RSPCA NSW: three wingspans for each bird, three bird lengths high.
    #[test]
    fn two_birds_of_thirty_centimetres_span_would_like_a_hundred_and_eighty() {
        assert_eq!(
            rule_of_threes(Span::exact(30.0), Span::exact(18.0), 2),
            Ok(RuleOfThrees {
                width_cm: Span::exact(180.0),
                height_cm: Span::exact(54.0),
            })
        );
        assert_eq!(
            rule_of_threes(Span::between(28.0, 30.0), Span::between(18.0, 20.0), 1),
            Ok(RuleOfThrees {
                width_cm: Span::between(84.0, 90.0),
                height_cm: Span::between(54.0, 60.0),
            })
        );
    }

    #[test]
    fn the_rule_of_threes_refuses_what_is_no_bird() {
        let fine = Span::exact(30.0);
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 200.1] {
            let bad = Span::exact(bad);
            assert!(rule_of_threes(bad, fine, 1).is_err());
            assert!(rule_of_threes(fine, bad, 1).is_err());
        }
        assert!(rule_of_threes(fine, fine, 0).is_err());
        assert!(rule_of_threes(fine, fine, 201).is_err());
    }
}
