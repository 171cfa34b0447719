//! Great Britain: a cage must let the bird stretch its wings freely.
//!
//! Source: Wildlife and Countryside Act 1981, section 8: the height, the length and the breadth must each be enough for
//! the bird to stretch its wings freely; section 8(2) lists what is exempt. A cage that is not is an offence, so this is
//! a legal caution, not a size to aim for.

use super::Cage;
use super::reading::{MOST_WINGSPAN_CM, span_cm, wingspan_cm};
use crate::figures::input::{Unusable, above_zero, within};
use crate::figures::span::Span;

/// Longest time a bird may be shown without the rule, in hours in all: section 8(2).
pub const SHOW_MOST_HOURS: f64 = 72.0;

/// Longest show that can be entered, in hours: a year.
const LONGEST_SHOW_HOURS: f64 = 8_760.0;

/// What the rule does not reach: section 8(2).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Exemption {
    /// Poultry.
    Poultry,
    /// While the bird is being conveyed: a carrier.
    Conveyance,
    /// While it is shown to the public or in a competition.
    Show {
        /// Hours in all.
        hours: f64,
    },
    /// While a veterinary surgeon examines or treats it: a hospital cage.
    VeterinaryTreatment,
}

impl Exemption {
    /// Whether it holds: a show only up to 72 hours in all, the others always.
    ///
    /// # Errors
    /// [`Unusable`] when the hours are not finite, below zero or more than a year.
    pub fn holds(self) -> Result<bool, Unusable> {
        match self {
            Self::Poultry | Self::Conveyance | Self::VeterinaryTreatment => Ok(true),
            Self::Show { hours } => Ok(within(hours, 0.0, LONGEST_SHOW_HOURS)? <= SHOW_MOST_HOURS),
        }
    }
}

/// Whether the wings can be stretched in every direction: any one of length, width and height below the wingspan is a
/// "no". `None` while a blank side or the range of the wingspan leaves it open, and when a number is unusable (not finite,
/// zero or below, a side over 20 m, a wingspan over 2 m).
#[must_use]
pub fn wings_can_stretch(cage: &Cage, wingspan: Span) -> Option<bool> {
    let cage = cage.checked().ok()?;
    let wingspan = span_cm(wingspan, wingspan_cm).ok()?;
    let sides = [cage.length_cm, cage.width_cm, cage.height_cm];
    if sides
        .iter()
        .flatten()
        .any(|side_cm| *side_cm < wingspan.low)
    {
        return Some(false);
    }
    sides
        .iter()
        .all(|side| side.is_some_and(|side_cm| side_cm >= wingspan.high))
        .then_some(true)
}

/// The wingspan a bird surely has, in cm, from the folded wing in mm (wrist to the longest flight feather).
///
/// Our own geometry: spread, each side shows at least the folded wing, and the upper arm, the forearm and the body come on
/// top. The true wingspan is longer, so a cage that fails by this figure fails; one that passes by it may still fail.
///
/// # Errors
/// [`Unusable`] unless finite, above zero and at most a metre.
pub fn least_wingspan_cm(folded_wing_mm: f64) -> Result<f64, Unusable> {
    let both_wings_cm = 2.0 * above_zero(folded_wing_mm)? / 10.0;
    within(both_wings_cm, 0.0, MOST_WINGSPAN_CM)
}

/// Each side in wingspans, as the trade advises it.
const ADVISED_SIDE_IN_WINGSPANS: f64 = 1.5;

/// The least side the trade advises, in cm, for length, width and height alike: one and a half wingspans.
///
/// Trade guidance, no source of standing, and below what several laws ask for.
///
/// # Errors
/// [`Unusable`] when the wingspan is.
pub fn trade_least_side_cm(wingspan: Span) -> Result<Span, Unusable> {
    let wingspan = span_cm(wingspan, wingspan_cm)?;
    Ok(Span::between(
        ADVISED_SIDE_IN_WINGSPANS * wingspan.low,
        ADVISED_SIDE_IN_WINGSPANS * wingspan.high,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cage(sides_cm: [Option<f64>; 3]) -> Cage {
        Cage {
            length_cm: sides_cm[0],
            width_cm: sides_cm[1],
            height_cm: sides_cm[2],
            birds: None,
            outdoors: None,
        }
    }

    fn stretch(sides_cm: [f64; 3], wingspan: Span) -> Option<bool> {
        wings_can_stretch(&cage(sides_cm.map(Some)), wingspan)
    }

    // Wildlife and Countryside Act 1981, section 8(1).
    #[test]
    fn any_one_of_three_dimensions_below_the_wingspan_fails() {
        let wings = Span::exact(50.0);
        assert_eq!(stretch([50.0, 50.0, 50.0], wings), Some(true));
        assert_eq!(stretch([49.9, 50.0, 50.0], wings), Some(false));
        assert_eq!(stretch([50.0, 49.9, 50.0], wings), Some(false));
        assert_eq!(stretch([50.0, 50.0, 49.9], wings), Some(false));
        assert_eq!(stretch([500.0, 500.0, 49.9], wings), Some(false));
        assert_eq!(stretch([50.1, 50.1, 50.1], wings), Some(true));
    }

    #[test]
    fn one_side_below_decides_and_a_blank_side_leaves_it_open() {
        let wings = Span::exact(50.0);
        let stretch = |sides_cm| wings_can_stretch(&cage(sides_cm), wings);
        for side in 0..3 {
            let mut sides = [Some(60.0); 3];
            sides[side] = None;
            assert_eq!(stretch(sides), None);
            let mut sides = [None; 3];
            sides[side] = Some(49.9);
            assert_eq!(stretch(sides), Some(false));
        }
        assert_eq!(stretch([None; 3]), None);
    }

    #[test]
    fn a_wingspan_in_a_range_decides_only_past_its_ends() {
        let wings = Span::between(48.0, 52.0);
        assert_eq!(stretch([47.9, 60.0, 60.0], wings), Some(false));
        assert_eq!(stretch([48.0, 60.0, 60.0], wings), None);
        assert_eq!(stretch([51.9, 60.0, 60.0], wings), None);
        assert_eq!(stretch([52.0, 60.0, 60.0], wings), Some(true));
    }

    #[test]
    fn a_number_that_is_none_leaves_it_open() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 2_000.1] {
            assert_eq!(stretch([bad, 60.0, 60.0], Span::exact(50.0)), None);
            assert_eq!(stretch([60.0, 60.0, 60.0], Span::exact(bad)), None);
        }
        assert_eq!(stretch([2_000.0; 3], Span::exact(200.0)), Some(true));
        assert_eq!(stretch([2_000.0; 3], Span::exact(200.1)), None);
    }

    // Wildlife and Countryside Act 1981, section 8(2).
    #[test]
    fn carriers_hospital_cages_and_poultry_are_exempt() {
        for exemption in [
            Exemption::Poultry,
            Exemption::Conveyance,
            Exemption::VeterinaryTreatment,
        ] {
            assert_eq!(exemption.holds(), Ok(true));
        }
    }

    // Wildlife and Countryside Act 1981, section 8(2): up to 72 hours in all.
    #[test]
    fn a_show_is_exempt_for_seventy_two_hours() {
        let show = |hours| Exemption::Show { hours }.holds();
        assert_eq!(show(0.0), Ok(true));
        assert_eq!(show(71.9), Ok(true));
        assert_eq!(show(72.0), Ok(true));
        assert_eq!(show(72.1), Ok(false));
        assert_eq!(show(8_760.0), Ok(false));
        for bad in [-0.1, 8_760.1, f64::NAN, f64::INFINITY] {
            assert!(show(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_bird_spans_at_least_twice_its_folded_wing() {
        assert_eq!(least_wingspan_cm(240.0), Ok(48.0));
        assert_eq!(least_wingspan_cm(1_000.0), Ok(200.0));
        let too_wide = Err(Unusable::OutOfRange {
            least: 0.0,
            most: 200.0,
        });
        assert_eq!(least_wingspan_cm(1_000.1), too_wide);
        for bad in [0.0, -240.0, f64::NAN, f64::INFINITY] {
            assert!(least_wingspan_cm(bad).is_err(), "{bad}");
        }
    }

    // Trade guidance: every side one and a half wingspans.
    #[test]
    fn the_trade_advises_one_and_a_half_wingspans() {
        assert_eq!(
            trade_least_side_cm(Span::exact(30.0)),
            Ok(Span::exact(45.0))
        );
        assert_eq!(
            trade_least_side_cm(Span::between(30.0, 40.0)),
            Ok(Span::between(45.0, 60.0))
        );
        for bad in [0.0, -1.0, 200.1, f64::NAN, f64::INFINITY] {
            assert!(trade_least_side_cm(Span::exact(bad)).is_err(), "{bad}");
        }
    }
}
