//! What a figure takes as input, and why it refuses some numbers.

use std::fmt;

/// Why a number cannot be worked with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unusable {
    /// Infinite, or no number at all.
    NotFinite,
    /// Zero or below where something must be above zero.
    NotAboveZero,
    /// Outside what the figure is valid for.
    OutOfRange {
        /// Least value the figure takes.
        least: f64,
        /// Greatest value the figure takes.
        most: f64,
    },
}

impl fmt::Display for Unusable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite => write!(f, "not a finite number"),
            Self::NotAboveZero => write!(f, "not above zero"),
            Self::OutOfRange { least, most } => write!(f, "not between {least} and {most}"),
        }
    }
}

impl std::error::Error for Unusable {}

/// A finite number above zero.
///
/// # Errors
/// [`Unusable::NotFinite`] or [`Unusable::NotAboveZero`].
pub fn above_zero(value: f64) -> Result<f64, Unusable> {
    if !value.is_finite() {
        Err(Unusable::NotFinite)
    } else if value <= 0.0 {
        Err(Unusable::NotAboveZero)
    } else {
        Ok(value)
    }
}

/// A finite number from `least` to `most`, both included.
///
/// # Errors
/// [`Unusable::NotFinite`] or [`Unusable::OutOfRange`].
pub fn within(value: f64, least: f64, most: f64) -> Result<f64, Unusable> {
    if !value.is_finite() {
        Err(Unusable::NotFinite)
    } else if value < least || value > most {
        Err(Unusable::OutOfRange { least, most })
    } else {
        Ok(value)
    }
}

#[cfg(test)]
mod tests {
    use super::{Unusable, above_zero, within};

    #[test]
    fn only_finite_numbers_above_zero_pass() {
        assert_eq!(above_zero(0.001), Ok(0.001));
        assert_eq!(above_zero(0.0), Err(Unusable::NotAboveZero));
        assert_eq!(above_zero(-1.0), Err(Unusable::NotAboveZero));
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(above_zero(bad), Err(Unusable::NotFinite));
            assert_eq!(within(bad, 0.0, 1.0), Err(Unusable::NotFinite));
        }
    }

    #[test]
    fn the_ends_of_a_range_pass() {
        let outside = Err(Unusable::OutOfRange {
            least: 1.0,
            most: 2.0,
        });
        assert_eq!(within(1.0, 1.0, 2.0), Ok(1.0));
        assert_eq!(within(2.0, 1.0, 2.0), Ok(2.0));
        assert_eq!(within(0.999, 1.0, 2.0), outside);
        assert_eq!(within(2.001, 1.0, 2.0), outside);
    }

    #[test]
    fn each_refusal_says_why() {
        assert_eq!(Unusable::NotFinite.to_string(), "not a finite number");
        assert_eq!(Unusable::NotAboveZero.to_string(), "not above zero");
        let range = Unusable::OutOfRange {
            least: 1.0,
            most: 2.5,
        };
        assert_eq!(range.to_string(), "not between 1 and 2.5");
    }
}
