//! Marks a vet uses. They serve the letter to the vet and the rules that send a household there; none of them is a
//! diagnosis, and a bird below every mark may still be ill.

use super::input::{Unusable, above_zero, within};

/// Blood lead, in micrograms per decilitre, above which the mark is diagnostic (0.5 ppm).
/// Merck Veterinary Manual, Toxicoses of Pet Birds, revised September 2021.
pub const LEAD_DIAGNOSTIC_ABOVE_UG_DL: f64 = 50.0;

/// Blood lead, in micrograms per decilitre, above which a bird with signs fits lead poisoning (0.2 ppm). Same source.
pub const LEAD_WITH_SIGNS_ABOVE_UG_DL: f64 = 20.0;

/// Greatest blood lead, in micrograms per decilitre, that is taken for a reading and not for a slip. Our own choice.
const MOST_LEAD_UG_DL: f64 = 10_000.0;

/// Micrograms per decilitre in one part per million of blood lead. Merck Veterinary Manual prints 50 ug/dL as 0.5 ppm.
const LEAD_UG_DL_IN_PPM: f64 = 100.0;

/// Hours without food from which it is an emergency. An avian specialist's published list of emergency signs; small
/// birds can die of low blood sugar in that time, by an exotics practice's published advice.
pub const HOURS_WITHOUT_FOOD_EMERGENCY: f64 = 12.0;

/// Greatest number of hours since a meal that is taken for an answer and not for a slip: a year. Our own choice.
const MOST_HOURS: f64 = 8784.0;

/// Heat, in degrees Celsius, above which non-stick coating is said to give off fumes that kill birds. A veterinary
/// hospital group's published list of household hazards.
///
/// Not a safe temperature: deaths at recommended cooking heat are on record. The measure is to take the pan away, and
/// no plan tells anyone how hot it may get.
pub const NON_STICK_FUMES_ABOVE_CELSIUS: f64 = 280.0;

/// Absolute zero, in degrees Celsius: nothing is colder.
const ABSOLUTE_ZERO_CELSIUS: f64 = -273.15;

/// Greatest temperature, in degrees Celsius, that is taken for one of a home. Our own choice.
const MOST_CELSIUS: f64 = 1000.0;

/// Greatest change of temperature, in Fahrenheit degrees, that is taken for one of a home. Our own choice.
const MOST_FAHRENHEIT_STEP: f64 = 1800.0;

/// Fahrenheit degrees in one Celsius degree. Definition of the scales.
const FAHRENHEIT_IN_CELSIUS: f64 = 1.8;

/// The melting point of ice on the Fahrenheit scale. Definition of the scales.
const FAHRENHEIT_AT_ZERO_CELSIUS: f64 = 32.0;

/// What a blood lead reading reaches. For the vet to weigh, never a diagnosis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeadMark {
    /// Neither mark is reached, which rules nothing out.
    Neither,
    /// Over 20 ug/dL in a bird with signs: fits lead poisoning.
    ConsistentWithSigns,
    /// Over 50 ug/dL: the mark the manual calls diagnostic.
    Diagnostic,
}

/// The mark a blood lead reading, in micrograms per decilitre, reaches in a bird with or without signs.
///
/// Both marks are strict: 50 and 20 themselves do not reach them. An analyser that prints "low" has given no number, so
/// zero is refused. Takes readings above zero to 10,000 ug/dL.
/// Source: Merck Veterinary Manual, Toxicoses of Pet Birds, revised September 2021.
///
/// # Errors
/// [`Unusable::NotFinite`], [`Unusable::NotAboveZero`] or [`Unusable::OutOfRange`].
pub fn lead_mark(lead_ug_dl: f64, with_signs: bool) -> Result<LeadMark, Unusable> {
    let lead_ug_dl = usable_lead_ug_dl(lead_ug_dl)?;
    Ok(if lead_ug_dl > LEAD_DIAGNOSTIC_ABOVE_UG_DL {
        LeadMark::Diagnostic
    } else if with_signs && lead_ug_dl > LEAD_WITH_SIGNS_ABOVE_UG_DL {
        LeadMark::ConsistentWithSigns
    } else {
        LeadMark::Neither
    })
}

/// Blood lead in parts per million, from micrograms per decilitre, as the Merck Veterinary Manual prints it
/// (50 ug/dL as 0.5 ppm). Takes readings above zero to 10,000 ug/dL.
///
/// # Errors
/// As for [`lead_mark`].
pub fn lead_ppm(lead_ug_dl: f64) -> Result<f64, Unusable> {
    Ok(usable_lead_ug_dl(lead_ug_dl)? / LEAD_UG_DL_IN_PPM)
}

fn usable_lead_ug_dl(lead_ug_dl: f64) -> Result<f64, Unusable> {
    within(above_zero(lead_ug_dl)?, 0.0, MOST_LEAD_UG_DL)
}

/// Whether hours without food make an emergency: from 12 hours, 12 included. Takes 0 hours (it ate just now) to a year.
///
/// Source: an avian specialist's published list of emergency signs.
///
/// # Errors
/// [`Unusable::NotFinite`] or [`Unusable::OutOfRange`].
pub fn hours_without_food_is_emergency(hours: f64) -> Result<bool, Unusable> {
    Ok(within(hours, 0.0, MOST_HOURS)? >= HOURS_WITHOUT_FOOD_EMERGENCY)
}

/// A temperature in degrees Fahrenheit, from degrees Celsius. Takes absolute zero to 1,000 degrees Celsius.
///
/// # Errors
/// [`Unusable::NotFinite`] or [`Unusable::OutOfRange`].
pub fn fahrenheit(celsius: f64) -> Result<f64, Unusable> {
    let celsius = within(celsius, ABSOLUTE_ZERO_CELSIUS, MOST_CELSIUS)?;
    Ok(celsius * FAHRENHEIT_IN_CELSIUS + FAHRENHEIT_AT_ZERO_CELSIUS)
}

/// A change of temperature in Celsius degrees, from one in Fahrenheit degrees, up or down.
///
/// A change has no offset of 32; a published page that forgot so prints 10 to 20 Fahrenheit degrees as 2 to 5 Celsius,
/// where 5.6 to 11.1 is right. Takes changes of up to 1,800 Fahrenheit degrees.
///
/// # Errors
/// [`Unusable::NotFinite`] or [`Unusable::OutOfRange`].
pub fn celsius_step(fahrenheit_step: f64) -> Result<f64, Unusable> {
    let step = within(fahrenheit_step, -MOST_FAHRENHEIT_STEP, MOST_FAHRENHEIT_STEP)?;
    Ok(step / FAHRENHEIT_IN_CELSIUS)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Merck Veterinary Manual, Toxicoses of Pet Birds, revised September 2021: over 50 ug/dL, strictly.
    #[test]
    fn merck_2021_51_micrograms_of_lead_are_diagnostic_and_50_are_not() {
        for with_signs in [false, true] {
            assert_eq!(lead_mark(51.0, with_signs), Ok(LeadMark::Diagnostic));
            assert_eq!(lead_mark(50.01, with_signs), Ok(LeadMark::Diagnostic));
        }
        assert_eq!(lead_mark(50.0, true), Ok(LeadMark::ConsistentWithSigns));
        assert_eq!(lead_mark(50.0, false), Ok(LeadMark::Neither));
    }

    // Same source: over 20 ug/dL with signs, strictly.
    #[test]
    fn merck_2021_21_micrograms_of_lead_fit_only_with_signs_and_20_never() {
        assert_eq!(lead_mark(21.0, true), Ok(LeadMark::ConsistentWithSigns));
        assert_eq!(lead_mark(20.01, true), Ok(LeadMark::ConsistentWithSigns));
        assert_eq!(lead_mark(21.0, false), Ok(LeadMark::Neither));
        assert_eq!(lead_mark(20.0, true), Ok(LeadMark::Neither));
        assert_eq!(lead_mark(19.99, true), Ok(LeadMark::Neither));
    }

    // Same source: 0.5 ppm and 0.2 ppm beside 50 and 20 ug/dL.
    #[test]
    fn merck_2021_51_micrograms_are_0_51_parts_per_million() {
        assert_eq!(lead_ppm(51.0), Ok(0.51));
        assert_eq!(lead_ppm(50.0), Ok(0.5));
        assert_eq!(lead_ppm(20.0), Ok(0.2));
    }

    #[test]
    fn a_reading_that_is_no_reading_reaches_no_mark() {
        let outside = Unusable::OutOfRange {
            least: 0.0,
            most: 10_000.0,
        };
        for (bad, why) in [
            (0.0, Unusable::NotAboveZero),
            (-51.0, Unusable::NotAboveZero),
            (10_000.01, outside),
            (f64::NAN, Unusable::NotFinite),
            (f64::INFINITY, Unusable::NotFinite),
        ] {
            assert_eq!(lead_mark(bad, true), Err(why));
            assert_eq!(lead_ppm(bad), Err(why));
        }
        assert_eq!(lead_mark(10_000.0, false), Ok(LeadMark::Diagnostic));
        assert_eq!(lead_mark(0.01, true), Ok(LeadMark::Neither));
    }

    // An avian specialist's published list of emergency signs: not eating for 12 hours or more.
    #[test]
    fn twelve_hours_without_food_are_an_emergency() {
        assert_eq!(hours_without_food_is_emergency(11.99), Ok(false));
        assert_eq!(hours_without_food_is_emergency(12.0), Ok(true));
        assert_eq!(hours_without_food_is_emergency(12.01), Ok(true));
        assert_eq!(hours_without_food_is_emergency(0.0), Ok(false));
        assert_eq!(hours_without_food_is_emergency(8784.0), Ok(true));
    }

    #[test]
    fn hours_that_cannot_be_are_refused() {
        let outside = Err(Unusable::OutOfRange {
            least: 0.0,
            most: 8784.0,
        });
        assert_eq!(hours_without_food_is_emergency(-0.01), outside);
        assert_eq!(hours_without_food_is_emergency(8784.01), outside);
        for bad in [f64::NAN, f64::INFINITY] {
            let refused = Err(Unusable::NotFinite);
            assert_eq!(hours_without_food_is_emergency(bad), refused);
        }
    }

    // A veterinary hospital group's published hazard list prints 280 C as 536 F.
    #[test]
    fn non_stick_fumes_280_celsius_are_536_fahrenheit() {
        assert_eq!(fahrenheit(NON_STICK_FUMES_ABOVE_CELSIUS), Ok(536.0));
        assert_eq!(fahrenheit(280.0), Ok(536.0));
    }

    // Definition of the scales: ice melts at 0 C and 32 F, water boils at 100 C and 212 F.
    #[test]
    fn ice_and_steam_fix_the_scales() {
        assert_eq!(fahrenheit(0.0), Ok(32.0));
        assert_eq!(fahrenheit(100.0), Ok(212.0));
        assert_eq!(fahrenheit(-40.0), Ok(-40.0));
    }

    #[test]
    fn no_home_is_colder_than_absolute_zero_or_hotter_than_a_kiln() {
        let outside = Err(Unusable::OutOfRange {
            least: -273.15,
            most: 1000.0,
        });
        assert!(fahrenheit(-273.15).is_ok() && fahrenheit(1000.0).is_ok());
        assert_eq!(fahrenheit(-273.16), outside);
        assert_eq!(fahrenheit(1000.01), outside);
        assert_eq!(fahrenheit(f64::NAN), Err(Unusable::NotFinite));
    }

    // A veterinary hospital group's published hazard list: steps of 10 to 20 F, gradual. Its own 2-5 C is wrong.
    #[test]
    fn a_step_of_ten_fahrenheit_is_5_56_celsius_with_no_offset() {
        let in_print = |step| celsius_step(step).map(|celsius| format!("{celsius:.2}"));
        assert_eq!(in_print(10.0), Ok("5.56".to_owned()));
        assert_eq!(in_print(20.0), Ok("11.11".to_owned()));
        assert_eq!(in_print(-10.0), Ok("-5.56".to_owned()));
        assert_eq!(celsius_step(0.0), Ok(0.0));
    }

    #[test]
    fn a_step_no_home_makes_is_refused() {
        let outside = Err(Unusable::OutOfRange {
            least: -1800.0,
            most: 1800.0,
        });
        assert!(celsius_step(1800.0).is_ok() && celsius_step(-1800.0).is_ok());
        assert_eq!(celsius_step(1800.01), outside);
        assert_eq!(celsius_step(-1800.01), outside);
        assert_eq!(celsius_step(f64::INFINITY), Err(Unusable::NotFinite));
    }
}
