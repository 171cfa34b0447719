//! When to ask a clinician about tetanus after a bite. It says what to ask about and never what to give.
//!
//! The table of the Australian Immunisation Handbook, tetanus in wound management; the Merck Manual agrees, and counts
//! wounds with saliva and puncture wounds as dirty.

use super::input::{Unusable, within};

/// Doses after which a person counts as having had the full first course (Australian Immunisation Handbook).
pub const FULL_COURSE: u32 = 3;

/// Years since the last dose below which no wound asks for a booster (Australian Immunisation Handbook).
pub const RECENT_YEARS: f64 = 5.0;

/// Years since the last dose above which even a clean minor wound asks for a booster (Australian Immunisation
/// Handbook).
pub const LONG_AGO_YEARS: f64 = 10.0;

/// Most years since a dose that are believed: a long human life.
pub const MOST_YEARS: f64 = 120.0;

/// How many tetanus doses a person has had in their life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doses {
    /// [`FULL_COURSE`] or more, and known to be.
    ThreeOrMore,
    /// Fewer, or not sure.
    FewerOrUnsure,
}

impl Doses {
    /// From a count of doses; a blank counts as unsure.
    #[must_use]
    pub fn of(count: Option<u32>) -> Self {
        match count {
            Some(count) if count >= FULL_COURSE => Self::ThreeOrMore,
            _ => Self::FewerOrUnsure,
        }
    }
}

/// The kinds of wound that the table tells apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WoundClass {
    /// Clean and minor.
    CleanMinor,
    /// Any other: deep, dirty, punctured, or with saliva in it.
    Other,
}

/// What to ask a clinician about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// A tetanus booster.
    pub booster: bool,
    /// Tetanus immunoglobulin.
    pub immunoglobulin: bool,
}

/// The kind of wound a parrot bite is: `None` when skin is whole, and never clean and minor.
///
/// A bite puts saliva into the wound and is often a puncture, and the Merck Manual counts both as dirty. A blank counts
/// as broken skin.
#[must_use]
pub fn wound_class(skin_broken: Option<bool>) -> Option<WoundClass> {
    skin_broken.unwrap_or(true).then_some(WoundClass::Other)
}

/// What to ask a clinician about, by the table of the Australian Immunisation Handbook.
///
/// `years_since_last` is the years since the last dose, from 0 to [`MOST_YEARS`]. Exactly [`RECENT_YEARS`] and exactly
/// [`LONG_AGO_YEARS`] belong to the row between them. Blanks count as uncertain: no date as long ago, an unanswered
/// `immunodeficient` as yes.
///
/// # Errors
/// [`Unusable`] when the years are not from 0 to [`MOST_YEARS`].
pub fn ask(
    doses: Doses,
    years_since_last: Option<f64>,
    wound: WoundClass,
    immunodeficient: Option<bool>,
) -> Result<Ask, Unusable> {
    let years = match years_since_last {
        Some(years) => within(years, 0.0, MOST_YEARS)?,
        None => f64::INFINITY,
    };
    let unsure = doses == Doses::FewerOrUnsure;
    Ok(match wound {
        WoundClass::CleanMinor => Ask {
            booster: unsure || years > LONG_AGO_YEARS,
            immunoglobulin: false,
        },
        WoundClass::Other => Ask {
            booster: unsure || years >= RECENT_YEARS,
            immunoglobulin: unsure || immunodeficient.unwrap_or(true),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::Doses::{FewerOrUnsure, ThreeOrMore};
    use super::WoundClass::{CleanMinor, Other};
    use super::{Ask, Doses, Unusable, WoundClass, ask, wound_class};

    /// (booster, immunoglobulin) for a person with sound immunity.
    fn asked(doses: Doses, years: Option<f64>, wound: WoundClass) -> (bool, bool) {
        let Ask {
            booster,
            immunoglobulin,
        } = ask(doses, years, wound, Some(false)).unwrap();
        (booster, immunoglobulin)
    }

    // Australian Immunisation Handbook, tetanus, wound management: the eight cells.
    #[test]
    fn the_eight_cells_of_the_australian_immunisation_handbook() {
        assert_eq!(asked(ThreeOrMore, Some(4.0), CleanMinor), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(4.0), Other), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(7.0), CleanMinor), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(7.0), Other), (true, false));
        assert_eq!(asked(ThreeOrMore, Some(11.0), CleanMinor), (true, false));
        assert_eq!(asked(ThreeOrMore, Some(11.0), Other), (true, false));
        for years in [0.0, 4.0, 7.0, 11.0] {
            assert_eq!(asked(FewerOrUnsure, Some(years), CleanMinor), (true, false));
            assert_eq!(asked(FewerOrUnsure, Some(years), Other), (true, true));
        }
    }

    // The same table with the Merck Manual's reading of a bite as a dirty wound.
    #[test]
    fn a_parrot_bite_through_the_table_of_the_australian_immunisation_handbook_and_merck() {
        let bite = wound_class(Some(true)).unwrap();
        assert_eq!(bite, Other);
        assert_eq!(asked(ThreeOrMore, Some(4.0), bite), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(6.0), bite), (true, false));
        assert_eq!(asked(ThreeOrMore, Some(6.0), CleanMinor), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(11.0), CleanMinor), (true, false));
        assert_eq!(asked(Doses::of(None), None, bite), (true, true));
    }

    // Australian Immunisation Handbook: under 5, 5 to 10, over 10 years.
    #[test]
    fn exactly_five_and_exactly_ten_years_belong_to_the_middle_row() {
        assert_eq!(asked(ThreeOrMore, Some(4.999), Other), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(5.0), Other), (true, false));
        assert_eq!(asked(ThreeOrMore, Some(5.001), Other), (true, false));
        assert_eq!(asked(ThreeOrMore, Some(9.999), CleanMinor), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(10.0), CleanMinor), (false, false));
        assert_eq!(asked(ThreeOrMore, Some(10.001), CleanMinor), (true, false));
    }

    // Australian Immunisation Handbook: with immune deficiency, immunoglobulin for any wound that is not clean and
    // minor.
    #[test]
    fn immune_deficiency_asks_about_immunoglobulin_for_other_wounds_alone() {
        for years in [0.0, 7.0, 11.0] {
            let asks = |wound, immunodeficient| {
                ask(ThreeOrMore, Some(years), wound, immunodeficient)
                    .unwrap()
                    .immunoglobulin
            };
            assert!(asks(Other, Some(true)) && asks(Other, None) && !asks(Other, Some(false)));
            assert!(!asks(CleanMinor, Some(true)) && !asks(CleanMinor, None));
        }
    }

    #[test]
    fn an_unknown_date_counts_as_long_ago() {
        assert_eq!(asked(ThreeOrMore, None, CleanMinor), (true, false));
        assert_eq!(asked(ThreeOrMore, None, Other), (true, false));
        assert_eq!(asked(FewerOrUnsure, None, Other), (true, true));
    }

    // Australian Immunisation Handbook: three doses or more, or fewer and uncertain.
    #[test]
    fn three_doses_are_the_full_course() {
        assert_eq!(Doses::of(Some(2)), FewerOrUnsure);
        assert_eq!(Doses::of(Some(3)), ThreeOrMore);
        assert_eq!(Doses::of(Some(4)), ThreeOrMore);
        assert_eq!(Doses::of(Some(0)), FewerOrUnsure);
        assert_eq!(Doses::of(None), FewerOrUnsure);
    }

    // Merck Manual: saliva-contaminated wounds and punctures are dirty.
    #[test]
    fn a_bite_that_breaks_skin_is_never_clean_and_minor_by_merck() {
        assert_eq!(wound_class(Some(true)), Some(Other));
        assert_eq!(wound_class(None), Some(Other));
        assert_eq!(wound_class(Some(false)), None);
    }

    #[test]
    fn impossible_years_are_refused() {
        let outside = Err(Unusable::OutOfRange {
            least: 0.0,
            most: 120.0,
        });
        let ask = |years| ask(ThreeOrMore, Some(years), Other, Some(false));
        assert!(ask(0.0).is_ok() && ask(120.0).is_ok());
        assert_eq!(ask(-0.001), outside);
        assert_eq!(ask(120.001), outside);
        assert_eq!(ask(f64::NAN), Err(Unusable::NotFinite));
        assert_eq!(ask(f64::INFINITY), Err(Unusable::NotFinite));
    }
}
