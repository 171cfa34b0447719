//! Energy a bird uses in a day, in kilocalories, from its body mass in grams.
//!
//! Published figures for a companion parrot's day differ by a factor of nearly two, so what is shown to anyone is the
//! range, with the assumption beside it. All figures here take body masses from 10 g to 5 kg (see
//! [`usable_body_g`]), of adult birds in ordinary health, indoors.

use super::input::Unusable;
use super::size::{usable_body_g, usable_body_span_g};
use super::span::Span;

/// Order of birds, which decides the constant of the resting rate. Parrots are not passerines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Parrots and every other bird that is not a perching songbird.
    NonPasserine,
    /// Perching songbirds: finches, canaries.
    Passerine,
}

impl Order {
    /// Kilocalories a day of a bird of 1 kg at rest. Quesenberry, Mauldin and Hillyer 1989 (proceedings of the
    /// Association of Avian Veterinarians, 11-19); Bartges and Ritchie 1999 (Compendium).
    const fn kcal_a_day_at_one_kg(self) -> f64 {
        match self {
            Self::NonPasserine => 78.0,
            Self::Passerine => 129.0,
        }
    }
}

/// Power of the body mass that the resting rate follows. Same sources as the constants of [`Order`].
const MASS_POWER: f64 = 0.75;

/// Adult maintenance as a multiple of the resting rate. Same sources.
const MAINTENANCE_MULTIPLE: f64 = 1.5;

/// Growth as a multiple of maintenance. Quesenberry, Mauldin and Hillyer 1989.
const GROWTH_MULTIPLE: Span = Span {
    low: 1.5,
    high: 3.0,
};

/// Published spread of a parrot's maintenance, in kilocalories a day for each kilogram to the power 0.75.
///
/// The low end is 1.5 times the resting rate (Quesenberry, Mauldin and Hillyer 1989). The high end is what a parrot
/// rescue's published estimates come to (about 100 kcal a day at 350 g, 220 at 1,000 g; it names no source of its own).
/// A measured feeding trial with caged Goffin's cockatoos lies between the two.
const MAINTENANCE_SPREAD: Span = Span {
    low: 117.0,
    high: 220.0,
};

/// Grams in a kilogram.
const G_IN_KG: f64 = 1000.0;

/// Seconds in a day, to turn watts into joules a day.
const SECONDS_A_DAY: f64 = 86_400.0;

/// Joules in a thermochemical kilocalorie.
const JOULES_IN_KCAL: f64 = 4184.0;

/// Energy at rest, in kcal a day, of a bird of `body_g` grams: 78 (or 129, passerines) times kilograms to the power 0.75.
///
/// Source: Quesenberry, Mauldin and Hillyer 1989; Bartges and Ritchie 1999.
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn basal_kcal_a_day(body_g: f64, order: Order) -> Result<f64, Unusable> {
    Ok(order.kcal_a_day_at_one_kg() * metabolic_kg(usable_body_g(body_g)?))
}

/// Energy an adult bird needs to keep its weight, in kcal a day: 1.5 times [`basal_kcal_a_day`].
///
/// The low end of what is published for parrots; show [`maintenance_range_kcal_a_day`]. Source: as for the resting rate.
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn maintenance_kcal_a_day(body_g: f64, order: Order) -> Result<f64, Unusable> {
    Ok(MAINTENANCE_MULTIPLE * basal_kcal_a_day(body_g, order)?)
}

/// Published spread of a parrot's maintenance, in kcal a day: 117 to 220 times kilograms to the power 0.75, the low end
/// for the low mass and the high end for the high mass.
///
/// Sources: Quesenberry, Mauldin and Hillyer 1989 (low end); a parrot rescue's published estimates (high end).
///
/// # Errors
/// Those of [`usable_body_g`], for either end.
pub fn maintenance_range_kcal_a_day(body_g: Span) -> Result<Span, Unusable> {
    let body_g = usable_body_span_g(body_g)?;
    Ok(Span::between(
        MAINTENANCE_SPREAD.low * metabolic_kg(body_g.low),
        MAINTENANCE_SPREAD.high * metabolic_kg(body_g.high),
    ))
}

/// Energy of a growing parrot, in kcal a day: 1.5 to 3 times [`maintenance_kcal_a_day`].
///
/// For a vet's use only, and never printed for a household: a chick that is fed by a table is a chick at risk.
/// Source: Quesenberry, Mauldin and Hillyer 1989; the table B.2 of Hand-Rearing Birds, second edition.
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn growth_range_kcal_a_day(body_g: f64) -> Result<Span, Unusable> {
    let maintenance = maintenance_kcal_a_day(body_g, Order::NonPasserine)?;
    Ok(Span::between(
        GROWTH_MULTIPLE.low * maintenance,
        GROWTH_MULTIPLE.high * maintenance,
    ))
}

/// Energy at rest of all birds, in kcal a day: 74.3 times kilograms to the power 0.744.
///
/// A cross-check of the published spread, not a figure to plan by. Source: King and Farner 1961, quoted in Lasiewski
/// and Dawson 1967 (Condor 69:13-23), which prints a spread of 0.074 in the decimal logarithm.
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn king_and_farner_kcal_a_day(body_g: f64) -> Result<f64, Unusable> {
    Ok(74.3 * kilograms(body_g)?.powf(0.744))
}

/// Energy at rest of all birds, in kcal a day: 89 times kilograms to the power 0.64.
///
/// A cross-check of the published spread, not a figure to plan by: under about 83 g this resting line lies above the low
/// end of the spread, so for the smallest birds the low end may be too low. Source: Brody and Proctor 1932, quoted in
/// Lasiewski and Dawson 1967 (Condor 69:13-23).
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn brody_and_proctor_kcal_a_day(body_g: f64) -> Result<f64, Unusable> {
    Ok(89.0 * kilograms(body_g)?.powf(0.64))
}

/// Energy at rest of all birds, in kcal a day: ten to the power -1.461 times grams to the power 0.669, in watts.
///
/// A cross-check of the published spread, not a figure to plan by. Source: McKechnie and Wolf 2004 (Physiological and
/// Biochemical Zoology 77:502-521), known at second hand.
///
/// # Errors
/// Those of [`usable_body_g`].
pub fn mckechnie_and_wolf_basal_kcal_a_day(body_g: f64) -> Result<f64, Unusable> {
    let watts = 10_f64.powf(-1.461) * usable_body_g(body_g)?.powf(0.669);
    Ok(watts * SECONDS_A_DAY / JOULES_IN_KCAL)
}

fn kilograms(body_g: f64) -> Result<f64, Unusable> {
    Ok(usable_body_g(body_g)? / G_IN_KG)
}

/// Kilograms to the power 0.75 of a body mass that was looked at before.
fn metabolic_kg(body_g: f64) -> f64 {
    (body_g / G_IN_KG).powf(MASS_POWER)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// Hand-Rearing Birds, second edition, appendix B, table B.2 (birds that are not passerines), page 783: body mass in
    /// grams, resting rate and maintenance in kcal a day as printed, growth from and to in kcal a day as printed.
    const HAND_REARING_BIRDS_B2: [(f64, &str, &str, &str, &str); 20] = [
        (30.0, "5.6", "8.4", "13", "25"),
        (40.0, "7.0", "10.5", "16", "31"),
        (50.0, "8.2", "12.4", "19", "37"),
        (60.0, "9.5", "14.2", "21", "43"),
        (70.0, "10.6", "15.9", "24", "48"),
        (80.0, "11.7", "17.6", "26", "53"),
        (90.0, "12.8", "19.2", "29", "58"),
        (100.0, "13.9", "20.8", "31", "62"),
        (120.0, "15.9", "23.9", "36", "72"),
        (140.0, "17.9", "26.8", "40", "80"),
        (160.0, "19.7", "29.6", "44", "89"),
        (180.0, "21.6", "32.3", "48", "97"),
        (200.0, "23.3", "35.0", "52", "105"),
        (225.0, "25.5", "38.2", "57", "115"),
        (250.0, "27.6", "41.4", "62", "124"),
        (275.0, "29.6", "44.4", "67", "133"),
        (300.0, "31.6", "47.4", "71", "142"),
        (350.0, "35.5", "53.2", "80", "160"),
        (400.0, "39.2", "58.8", "88", "177"),
        (450.0, "42.9", "64.3", "96", "193"),
    ];

    fn one_decimal(value: f64) -> String {
        format!("{value:.1}")
    }

    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!(
            (value - expected).abs() <= tolerance,
            "{value} is not {expected}"
        );
    }

    #[test]
    fn bartges_and_ritchie_1999_work_out_a_swan_of_4600_grams() {
        let basal = basal_kcal_a_day(4600.0, Order::NonPasserine).unwrap();
        near(basal, 244.998_246_7, 1e-6);
        near(basal / 78.0, 3.141_003_163, 1e-9);
    }

    #[test]
    fn hand_rearing_birds_table_b2_resting_rates() {
        for (body_g, basal, ..) in HAND_REARING_BIRDS_B2 {
            let kcal = basal_kcal_a_day(body_g, Order::NonPasserine).unwrap();
            assert_eq!(one_decimal(kcal), basal, "{body_g} g");
        }
    }

    #[test]
    fn hand_rearing_birds_table_b2_maintenance() {
        for (body_g, _, maintenance, ..) in HAND_REARING_BIRDS_B2 {
            let kcal = maintenance_kcal_a_day(body_g, Order::NonPasserine).unwrap();
            assert_eq!(one_decimal(kcal), maintenance, "{body_g} g");
        }
    }

    #[test]
    fn hand_rearing_birds_table_b2_growth() {
        for (body_g, _, _, from, to) in HAND_REARING_BIRDS_B2 {
            let growth = growth_range_kcal_a_day(body_g).unwrap();
            assert_eq!(format!("{:.0}", growth.low), from, "{body_g} g");
            assert_eq!(format!("{:.0}", growth.high), to, "{body_g} g");
        }
    }

    // Hand-Rearing Birds, second edition, table B.1 (passerines), page 782.
    #[test]
    fn hand_rearing_birds_table_b1_a_finch_is_not_a_parrot() {
        for (body_g, basal, maintenance) in [
            (10.0, "4.1", "6.1"),
            (20.0, "6.9", "10.3"),
            (30.0, "9.3", "13.9"),
            (50.0, "13.6", "20.5"),
            (70.0, "17.6", "26.3"),
            (90.0, "21.2", "31.8"),
        ] {
            let kcal = basal_kcal_a_day(body_g, Order::Passerine).unwrap();
            assert_eq!(one_decimal(kcal), basal, "{body_g} g");
            let kcal = maintenance_kcal_a_day(body_g, Order::Passerine).unwrap();
            assert_eq!(one_decimal(kcal), maintenance, "{body_g} g");
        }
        let parrot = basal_kcal_a_day(30.0, Order::NonPasserine).unwrap();
        assert_eq!(one_decimal(parrot), "5.6");
    }

    #[test]
    fn king_and_farner_1961_as_lasiewski_and_dawson_1967_quote_it() {
        near(king_and_farner_kcal_a_day(1000.0).unwrap(), 74.3, 1e-9);
        near(king_and_farner_kcal_a_day(400.0).unwrap(), 37.58, 0.005);
    }

    #[test]
    fn brody_and_proctor_1932_as_lasiewski_and_dawson_1967_quote_it() {
        near(brody_and_proctor_kcal_a_day(1000.0).unwrap(), 89.0, 1e-9);
        near(brody_and_proctor_kcal_a_day(400.0).unwrap(), 49.51, 0.005);
    }

    #[test]
    fn mckechnie_and_wolf_2004_give_1_9045_watts_at_400_grams() {
        let kcal = mckechnie_and_wolf_basal_kcal_a_day(400.0).unwrap();
        near(kcal, 39.33, 0.005);
        // A joule a second is 86,400 joules a day, and 4,184 joules are a kilocalorie.
        near(kcal * 4184.0 / 86_400.0, 1.9045, 0.000_05);
    }

    // A published feeding trial of caged Goffin's cockatoos: 48 kcal a day a bird, 186 kcal a day for each kilogram.
    #[test]
    fn goffins_cockatoos_measured_intake_lies_inside_the_spread() {
        let measured_kcal = 48.0;
        let body_g = measured_kcal / 186.0 * 1000.0;
        near(body_g, 258.1, 0.05);
        let maintenance = maintenance_kcal_a_day(body_g, Order::NonPasserine).unwrap();
        near(measured_kcal / maintenance, 1.133, 0.001);
        assert!((0.75..=1.35).contains(&(maintenance / measured_kcal)));
        let spread = maintenance_range_kcal_a_day(Span::exact(body_g)).unwrap();
        assert!(spread.holds(measured_kcal));
    }

    // A parrot rescue's published estimates: about 100 kcal at 350 g, 220 kcal at 1,000 g.
    #[test]
    fn a_rescues_estimates_are_the_high_end_of_the_spread() {
        let high = |body_g| maintenance_range_kcal_a_day(Span::exact(body_g)).map(|kcal| kcal.high);
        near(high(1000.0).unwrap(), 220.0, 1e-9);
        near(high(350.0).unwrap(), 100.0, 0.2);
    }

    // Quesenberry, Mauldin and Hillyer 1989: 1.5 times 78 is 117.
    #[test]
    fn the_low_end_of_the_spread_is_the_maintenance_figure() {
        for body_g in [10.0, 30.0, 450.0, 1000.0, 5000.0] {
            let spread = maintenance_range_kcal_a_day(Span::exact(body_g)).unwrap();
            let maintenance = maintenance_kcal_a_day(body_g, Order::NonPasserine).unwrap();
            near(spread.low, maintenance, 1e-9);
            assert!(spread.high > spread.low);
        }
    }

    #[test]
    fn a_bird_of_uncertain_mass_needs_between_its_lightest_and_its_heaviest() {
        let open = maintenance_range_kcal_a_day(Span::between(350.0, 450.0)).unwrap();
        let light = maintenance_range_kcal_a_day(Span::exact(350.0)).unwrap();
        let heavy = maintenance_range_kcal_a_day(Span::exact(450.0)).unwrap();
        assert_eq!((open.low, open.high), (light.low, heavy.high));
        let reversed = Span {
            low: 450.0,
            high: 350.0,
        };
        assert_eq!(maintenance_range_kcal_a_day(reversed), Ok(open));
    }

    // King and Farner 1961, Brody and Proctor 1932, McKechnie and Wolf 2004: birds at rest use no more than birds that live.
    #[test]
    fn every_published_resting_line_lies_under_the_high_end_of_the_spread() {
        for body_g in [10.0, 30.0, 83.0, 90.0, 258.0, 450.0, 1331.0, 5000.0] {
            let spread = maintenance_range_kcal_a_day(Span::exact(body_g)).unwrap();
            let resting = [
                king_and_farner_kcal_a_day(body_g).unwrap(),
                brody_and_proctor_kcal_a_day(body_g).unwrap(),
                mckechnie_and_wolf_basal_kcal_a_day(body_g).unwrap(),
            ];
            for kcal in resting {
                assert!(kcal < spread.high, "{kcal} at {body_g} g");
                assert!(body_g < 84.0 || kcal < spread.low, "{kcal} at {body_g} g");
            }
        }
    }

    // Brody and Proctor 1932 against 117 times kilograms to the power 0.75: they cross between 82 and 84 g.
    #[test]
    fn under_83_grams_one_published_resting_line_passes_the_low_end() {
        let low = |body_g| maintenance_kcal_a_day(body_g, Order::NonPasserine).unwrap();
        assert!(brody_and_proctor_kcal_a_day(82.0).unwrap() > low(82.0));
        assert!(brody_and_proctor_kcal_a_day(84.0).unwrap() < low(84.0));
    }

    #[test]
    fn no_figure_is_given_for_a_mass_no_companion_bird_has() {
        let outside = Unusable::OutOfRange {
            least: 10.0,
            most: 5000.0,
        };
        for (bad, why) in [
            (0.0, Unusable::NotAboveZero),
            (-100.0, Unusable::NotAboveZero),
            (9.99, outside),
            (5000.01, outside),
            (1e300, outside),
            (f64::NAN, Unusable::NotFinite),
            (f64::INFINITY, Unusable::NotFinite),
        ] {
            let refused = Err(why);
            assert_eq!(basal_kcal_a_day(bad, Order::NonPasserine), refused);
            assert_eq!(maintenance_kcal_a_day(bad, Order::Passerine), refused);
            assert_eq!(king_and_farner_kcal_a_day(bad), refused);
            assert_eq!(brody_and_proctor_kcal_a_day(bad), refused);
            assert_eq!(mckechnie_and_wolf_basal_kcal_a_day(bad), refused);
            assert_eq!(growth_range_kcal_a_day(bad), Err(why));
            for (low, high) in [(bad, 100.0), (100.0, bad)] {
                let span = Span { low, high };
                assert_eq!(maintenance_range_kcal_a_day(span), Err(why));
            }
        }
        for edge in [10.0, 5000.0] {
            assert!(basal_kcal_a_day(edge, Order::NonPasserine).is_ok());
        }
    }
}
