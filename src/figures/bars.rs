//! Gaps between cage bars, and how thick a bar is: cautions from the trade.
//!
//! Common practice, no source of standing: the ranges are what several trade sheets give, and where they differ the part
//! they share is used. None is a standard, so a figure here may raise a caution and never passes or fails a cage. The rule
//! behind all of them is that the head must not go between the bars.

use super::input::{Unusable, above_zero, within};

/// Birds that the trade sheets take together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Budgerigar, parrotlet, lovebird.
    Budgerigar,
    /// Cockatiel.
    Cockatiel,
    /// Conures, Poicephalus.
    Conure,
    /// Caique, Pionus.
    Caique,
    /// Grey, Amazon, small cockatoo.
    Grey,
    /// Large cockatoo, large macaw.
    LargeCockatooOrMacaw,
}

impl Group {
    /// Every group, from small birds to large.
    pub const ALL: &[Self] = &[
        Self::Budgerigar,
        Self::Cockatiel,
        Self::Conure,
        Self::Caique,
        Self::Grey,
        Self::LargeCockatooOrMacaw,
    ];

    /// Upper end of the shared range. The sheets print eighths of an inch.
    const fn widest_gap_eighths(self) -> u32 {
        match self {
            Self::Budgerigar => 4,
            Self::Cockatiel => 5,
            Self::Conure | Self::Caique => 6,
            Self::Grey => 8,
            Self::LargeCockatooOrMacaw => 10,
        }
    }

    /// Lower end of the shared range, where the sheets give one.
    const fn narrowest_gap_eighths(self) -> Option<u32> {
        match self {
            Self::Budgerigar | Self::Cockatiel => None,
            Self::Conure | Self::Caique => Some(5),
            Self::Grey => Some(6),
            Self::LargeCockatooOrMacaw => Some(8),
        }
    }

    /// Widest gap on which the trade sheets agree, in mm: 12.7, 15.875, 19.05, 19.05, 25.4 and 31.75.
    #[must_use]
    pub fn widest_gap_mm(self) -> f64 {
        eighths_as_mm(self.widest_gap_eighths())
    }

    /// Narrowest gap on which the trade sheets agree, in mm: 15.875, 15.875, 19.05 and 25.4 from conures upward. `None`
    /// for the budgerigar and the cockatiel, whose gaps cannot be too narrow by any sheet.
    #[must_use]
    pub fn narrowest_gap_mm(self) -> Option<f64> {
        self.narrowest_gap_eighths().map(eighths_as_mm)
    }

    /// Least thickness of a bar, in mm. `None` for the budgerigar and the cockatiel, for which no sheet gives one.
    ///
    /// Work through a barrier needs bars the bird cannot bend.
    #[must_use]
    pub const fn least_bar_mm(self) -> Option<f64> {
        match self {
            Self::Budgerigar | Self::Cockatiel => None,
            Self::Conure | Self::Caique => Some(3.0),
            Self::Grey => Some(4.0),
            Self::LargeCockatooOrMacaw => Some(5.0),
        }
    }
}

/// An eighth of an inch is 3.175 mm, that is 127 fortieths (1 in = 25.4 mm); kept in whole numbers so that 3/4 in comes
/// out as 19.05 to the last digit.
fn eighths_as_mm(eighths: u32) -> f64 {
    f64::from(eighths * 127) / 40.0
}

/// Widest gap or bar that can be entered, in mm. A wider one is a slip of the unit.
const MOST_MM: f64 = 200.0;

/// Steps in one millimetre to which a gap is read.
///
/// Inches turned into millimetres carry a last binary digit nobody measured (0.75 x 25.4 is 19.049 999 999 999 997), which
/// must not turn a gap into a narrow one.
const STEPS_PER_MM: f64 = 1_000.0;

fn reading_mm(value_mm: f64) -> Result<f64, Unusable> {
    let as_measured = (value_mm * STEPS_PER_MM).round() / STEPS_PER_MM;
    within(above_zero(as_measured)?, 0.0, MOST_MM)
}

/// Whether a gap between bars is wider than the trade sheets agree on: a caution that the head may go through.
///
/// # Errors
/// [`Unusable`] unless the gap is finite, above zero and at most 200 mm.
pub fn gap_is_wide(group: Group, gap_mm: f64) -> Result<bool, Unusable> {
    Ok(reading_mm(gap_mm)? > group.widest_gap_mm())
}

/// Whether a gap between bars is narrower than the trade sheets agree on: often a cage made for smaller birds. Never so
/// for the groups without a lower end.
///
/// # Errors
/// [`Unusable`] unless the gap is finite, above zero and at most 200 mm.
pub fn gap_is_narrow(group: Group, gap_mm: f64) -> Result<bool, Unusable> {
    let gap_mm = reading_mm(gap_mm)?;
    Ok(group
        .narrowest_gap_mm()
        .is_some_and(|narrowest_mm| gap_mm < narrowest_mm))
}

/// Whether a bar is thinner than the trade sheets give: a caution that the bird may bend it. `None` for the groups
/// without a figure.
///
/// # Errors
/// [`Unusable`] unless the thickness is finite, above zero and at most 200 mm.
pub fn bar_is_thin(group: Group, bar_mm: f64) -> Result<Option<bool>, Unusable> {
    let bar_mm = reading_mm(bar_mm)?;
    Ok(group.least_bar_mm().map(|least_mm| bar_mm < least_mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDEST_MM: [(Group, f64); 6] = [
        (Group::Budgerigar, 12.7),
        (Group::Cockatiel, 15.875),
        (Group::Conure, 19.05),
        (Group::Caique, 19.05),
        (Group::Grey, 25.4),
        (Group::LargeCockatooOrMacaw, 31.75),
    ];

    const NARROWEST_MM: [(Group, f64); 4] = [
        (Group::Conure, 15.875),
        (Group::Caique, 15.875),
        (Group::Grey, 19.05),
        (Group::LargeCockatooOrMacaw, 25.4),
    ];

    const THINNEST_MM: [(Group, f64); 4] = [
        (Group::Conure, 3.0),
        (Group::Caique, 3.0),
        (Group::Grey, 4.0),
        (Group::LargeCockatooOrMacaw, 5.0),
    ];

    // Trade sheets: 1/2, 5/8, 3/4, 3/4, 1 and 1 1/4 in.
    #[test]
    fn a_gap_is_wide_only_past_the_upper_end() {
        assert_eq!(WIDEST_MM.map(|(group, _)| group).as_slice(), Group::ALL);
        for (group, widest_mm) in WIDEST_MM {
            assert_eq!(group.widest_gap_mm(), widest_mm);
            assert_eq!(gap_is_wide(group, widest_mm - 0.01), Ok(false), "{group:?}");
            assert_eq!(gap_is_wide(group, widest_mm), Ok(false), "{group:?}");
            assert_eq!(gap_is_wide(group, widest_mm + 0.01), Ok(true), "{group:?}");
        }
    }

    // Trade sheets: half an inch for a budgerigar, an inch for a grey.
    #[test]
    fn five_eighths_is_wide_for_a_budgerigar_and_twenty_six_millimetres_for_a_grey() {
        assert_eq!(gap_is_wide(Group::Budgerigar, 12.7), Ok(false));
        assert_eq!(gap_is_wide(Group::Budgerigar, 15.9), Ok(true));
        assert_eq!(gap_is_wide(Group::Grey, 25.4), Ok(false));
        assert_eq!(gap_is_wide(Group::Grey, 26.0), Ok(true));
    }

    // Trade sheets: 5/8, 5/8, 3/4 and 1 in.
    #[test]
    fn a_gap_is_narrow_only_below_the_lower_end() {
        for (group, narrowest_mm) in NARROWEST_MM {
            assert_eq!(group.narrowest_gap_mm(), Some(narrowest_mm));
            assert_eq!(gap_is_narrow(group, narrowest_mm - 0.01), Ok(true));
            assert_eq!(gap_is_narrow(group, narrowest_mm), Ok(false));
            assert_eq!(gap_is_narrow(group, narrowest_mm + 0.01), Ok(false));
        }
        for group in [Group::Budgerigar, Group::Cockatiel] {
            assert_eq!(group.narrowest_gap_mm(), None);
            assert_eq!(gap_is_narrow(group, 0.5), Ok(false));
        }
    }

    #[test]
    fn no_gap_is_wide_and_narrow_at_once() {
        for group in Group::ALL {
            for tenths in 1..=2_000 {
                let gap_mm = f64::from(tenths) / 10.0;
                let both = (gap_is_wide(*group, gap_mm), gap_is_narrow(*group, gap_mm));
                assert_ne!(both, (Ok(true), Ok(true)), "{group:?} {gap_mm}");
            }
        }
    }

    #[test]
    fn digits_left_over_from_inches_decide_nothing() {
        let three_quarters = 0.75 * 25.4;
        assert!(three_quarters < 19.05, "the case this guards against");
        assert_eq!(gap_is_narrow(Group::Grey, three_quarters), Ok(false));
        assert_eq!(
            gap_is_wide(Group::Conure, 19.050_000_000_000_004),
            Ok(false)
        );
        assert_eq!(reading_mm(12.3456), Ok(12.346));
        assert_eq!(reading_mm(12.345), Ok(12.345));
    }

    // Trade sheets: 3, 4 and 5 mm.
    #[test]
    fn a_bar_is_thin_only_below_its_mark() {
        for (group, least_mm) in THINNEST_MM {
            assert_eq!(group.least_bar_mm(), Some(least_mm));
            assert_eq!(bar_is_thin(group, least_mm - 0.01), Ok(Some(true)));
            assert_eq!(bar_is_thin(group, least_mm), Ok(Some(false)));
            assert_eq!(bar_is_thin(group, least_mm + 0.01), Ok(Some(false)));
        }
        for group in [Group::Budgerigar, Group::Cockatiel] {
            assert_eq!(group.least_bar_mm(), None);
            assert_eq!(bar_is_thin(group, 0.5), Ok(None));
        }
    }

    #[test]
    fn a_gap_or_bar_that_is_none_is_refused() {
        let too_wide = Unusable::OutOfRange {
            least: 0.0,
            most: 200.0,
        };
        for group in Group::ALL {
            assert_eq!(gap_is_wide(*group, 200.1), Err(too_wide));
            for bad in [0.0, -12.7, 200.1, f64::NAN, f64::INFINITY] {
                assert!(gap_is_wide(*group, bad).is_err(), "{bad}");
                assert!(gap_is_narrow(*group, bad).is_err(), "{bad}");
                assert!(bar_is_thin(*group, bad).is_err(), "{bad}");
            }
            assert_eq!(gap_is_wide(*group, 200.0), Ok(true));
        }
    }
}
