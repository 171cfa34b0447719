//! What a household measured, checked before it is compared with a table.

use crate::figures::input::{Unusable, above_zero, within};
use crate::figures::span::Span;

/// Longest side a cage may be given with, in cm: 20 m. A slip of the unit is far likelier than a longer aviary at home.
pub const MOST_SIDE_CM: f64 = 2_000.0;

/// Longest bird, bill tip to tail tip, in cm. No parrot comes near it.
pub const MOST_BIRD_LENGTH_CM: f64 = 150.0;

/// Widest wingspan, tip to tip, in cm. No parrot comes near it.
pub const MOST_WINGSPAN_CM: f64 = 200.0;

/// Most birds in one cage: more than that is a breeder's aviary or a slip of the pen.
pub const MOST_BIRDS: u32 = 200;

/// Steps in one centimetre to which a length is read: a thousandth of a millimetre, finer than any tape.
const STEPS_PER_CM: f64 = 10_000.0;

/// A length as the tape gives it.
///
/// A length that came from metres or inches carries a last binary digit nobody measured (0.55 m x 100 is
/// 55.000 000 000 000 01), and that digit must not push a bird into the next class or a cage below its floor.
fn as_measured(cm: f64) -> f64 {
    (cm * STEPS_PER_CM).round() / STEPS_PER_CM
}

/// A finite length above zero and no longer than `most_cm`.
fn length_cm(value_cm: f64, most_cm: f64) -> Result<f64, Unusable> {
    within(above_zero(as_measured(value_cm))?, 0.0, most_cm)
}

/// One side, the height or the diameter of a cage, in cm.
///
/// # Errors
/// [`Unusable`] unless finite, above zero and at most [`MOST_SIDE_CM`].
pub(super) fn side_cm(value_cm: f64) -> Result<f64, Unusable> {
    length_cm(value_cm, MOST_SIDE_CM)
}

/// The length of one bird, in cm.
///
/// # Errors
/// [`Unusable`] unless finite, above zero and at most [`MOST_BIRD_LENGTH_CM`].
pub(super) fn bird_length_cm(value_cm: f64) -> Result<f64, Unusable> {
    length_cm(value_cm, MOST_BIRD_LENGTH_CM)
}

/// The wingspan of one bird, in cm.
///
/// # Errors
/// [`Unusable`] unless finite, above zero and at most [`MOST_WINGSPAN_CM`].
pub(super) fn wingspan_cm(value_cm: f64) -> Result<f64, Unusable> {
    length_cm(value_cm, MOST_WINGSPAN_CM)
}

/// Both ends of a range put through the same check, and in their order.
///
/// # Errors
/// [`Unusable`] when either end is, or when the high end lies below the low one.
pub(super) fn span_cm(
    span: Span,
    check: impl Fn(f64) -> Result<f64, Unusable>,
) -> Result<Span, Unusable> {
    let (low, high) = (check(span.low)?, check(span.high)?);
    within(high, low, f64::MAX)?;
    Ok(Span { low, high })
}

/// The number of birds in one cage.
///
/// # Errors
/// [`Unusable`] for none, and for more than [`MOST_BIRDS`].
pub(super) fn birds(count: u32) -> Result<u32, Unusable> {
    above_zero(f64::from(count))?;
    within(f64::from(count), 1.0, f64::from(MOST_BIRDS))?;
    Ok(count)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NONSENSE: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];

    fn check_ends(check: impl Fn(f64) -> Result<f64, Unusable>, most: f64) {
        assert_eq!(check(most), Ok(most));
        assert_eq!(check(0.1), Ok(0.1));
        let too_long = Err(Unusable::OutOfRange { least: 0.0, most });
        assert_eq!(check(most + 0.001), too_long);
        assert_eq!(check(0.0), Err(Unusable::NotAboveZero));
        assert_eq!(check(-10.0), Err(Unusable::NotAboveZero));
        for bad in NONSENSE {
            assert_eq!(check(bad), Err(Unusable::NotFinite));
        }
    }

    #[test]
    fn a_side_is_at_most_twenty_metres() {
        check_ends(side_cm, 2_000.0);
    }

    #[test]
    fn a_bird_is_at_most_a_metre_and_a_half_long() {
        check_ends(bird_length_cm, 150.0);
    }

    #[test]
    fn a_wingspan_is_at_most_two_metres() {
        check_ends(wingspan_cm, 200.0);
    }

    #[test]
    fn a_length_is_read_to_a_thousandth_of_a_millimetre() {
        assert_eq!(as_measured(12.3456), 12.3456);
        assert_eq!(as_measured(12.345_64), 12.3456);
        assert_eq!(as_measured(12.345_66), 12.3457);
    }

    #[test]
    fn digits_left_over_from_metres_are_dropped() {
        let from_metres = 0.55 * 100.0;
        assert!(from_metres > 55.0, "the case this guards against");
        assert_eq!(bird_length_cm(from_metres), Ok(55.0));
    }

    #[test]
    fn a_range_keeps_its_ends_in_order() {
        let good = Span {
            low: 30.0,
            high: 34.0,
        };
        assert_eq!(span_cm(good, bird_length_cm), Ok(good));
        assert_eq!(span_cm(Span::exact(30.0), side_cm), Ok(Span::exact(30.0)));
        let turned = Span {
            low: 34.0,
            high: 30.0,
        };
        assert!(span_cm(turned, bird_length_cm).is_err());
        for bad in NONSENSE.into_iter().chain([0.0, -1.0, 150.01]) {
            let low = Span {
                low: bad,
                high: 34.0,
            };
            let high = Span {
                low: 30.0,
                high: bad,
            };
            assert!(span_cm(low, bird_length_cm).is_err(), "{bad}");
            assert!(span_cm(high, bird_length_cm).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_cage_holds_one_to_two_hundred_birds() {
        assert_eq!(birds(0), Err(Unusable::NotAboveZero));
        assert_eq!(birds(1), Ok(1));
        assert_eq!(birds(200), Ok(200));
        let too_many = Err(Unusable::OutOfRange {
            least: 1.0,
            most: 200.0,
        });
        assert_eq!(birds(201), too_many);
        assert_eq!(birds(u32::MAX), too_many);
    }
}
