//! Switzerland: floor and room for the large parrots, the budgerigar and the cockatiel.
//!
//! Source: Animal Protection Ordinance (TSchV, SR 455.1) of 23 April 2008, Annex 2 Table 2 with its notes, Art. 89 for
//! the permit. The row for greys, Amazons and the smaller macaws and cockatoos is left out: its figures could not be
//! checked, so those birds are answered with "no figure" and not with a guess.

use super::class::Class;
use super::need::{Need, m2, m3};
use super::reading::MOST_SIDE_CM;
use super::{Bird, NotCovered, Row};
use crate::figures::input::{Unusable, above_zero, within};

/// One row of the table.
struct Size {
    floor_cm2: u32,
    room_cm3: u32,
    birds: u32,
    floor_per_further_bird_cm2: u32,
}

/// Large macaws and large cockatoos, up to two birds.
const LARGE_PARROTS: Size = Size {
    floor_cm2: 100_000,
    room_cm3: 30_000_000,
    birds: 2,
    floor_per_further_bird_cm2: 10_000,
};

/// Two to four budgerigars.
const BUDGERIGARS: Size = Size {
    floor_cm2: 2_400,
    room_cm3: 120_000,
    birds: 4,
    floor_per_further_bird_cm2: 500,
};

/// Two to four cockatiels. The floor for further birds rests on one print only.
const COCKATIELS: Size = Size {
    floor_cm2: 5_000,
    room_cm3: 300_000,
    birds: 4,
    floor_per_further_bird_cm2: 500,
};

/// Note b: the height is at least this share of room by floor, in per cent.
const HEIGHT_PERCENT: f64 = 80.0;

/// Note 5: an outdoor part counts for at most the indoor part by this number.
const INDOOR_BY_OUTDOOR_CREDIT: f64 = 3.0;

/// Most floor a figure is worked out for, in square metres: both sides as long as a side may be.
const MOST_FLOOR_M2: f64 = MOST_SIDE_CM * MOST_SIDE_CM / 10_000.0;

impl Size {
    /// Note b: with further birds the room grows in the ratio of the floor, so the height asked for stays.
    fn need(&self, birds: u32) -> Need {
        let least_floor_cm2 = f64::from(self.floor_cm2);
        let least_room_cm3 = f64::from(self.room_cm3);
        let further_birds = f64::from(birds.saturating_sub(self.birds));
        let floor_cm2 =
            least_floor_cm2 + further_birds * f64::from(self.floor_per_further_bird_cm2);
        Need {
            length_cm: None,
            width_cm: None,
            height_cm: Some(least_room_cm3 * HEIGHT_PERCENT / (least_floor_cm2 * 100.0)),
            area_m2: Some(m2(floor_cm2)),
            volume_m3: Some(m3(least_room_cm3 * floor_cm2 / least_floor_cm2)),
        }
    }
}

/// What the table asks for.
///
/// The rows of the budgerigar and the cockatiel are printed for two to four birds, because social species are not to be
/// kept singly. A single one is measured by the same row: nothing in it makes the cage of a lone bird smaller.
pub(super) fn row(bird: &Bird, birds: u32) -> Result<Row, NotCovered> {
    let (class, size) = if bird.is_budgerigar {
        (Class::Budgerigar, &BUDGERIGARS)
    } else if bird.is_cockatiel {
        (Class::Cockatiel, &COCKATIELS)
    } else if bird.on_swiss_large_list {
        (Class::LargeParrot, &LARGE_PARROTS)
    } else {
        return Err(NotCovered::NoFigure);
    };
    let need = size.need(birds);
    Ok(Row { class, need })
}

/// Whether private keeping needs a permit: TSchV Art. 89, the large parrots of Annex 2.
#[must_use]
pub const fn needs_permit(bird: &Bird) -> bool {
    bird.on_swiss_large_list
}

/// Whether the enclosure must be one that can be divided when needed: TSchV Annex 2 Table 2, note 16, where two birds
/// are held.
#[must_use]
pub const fn must_be_divisible(birds: u32) -> bool {
    birds == 2
}

/// How much of an outdoor part that is always open counts towards the floor asked for indoors, in square metres.
///
/// TSchV Annex 2 Table 2, note 5: it may stand for at most a third of the indoor part.
///
/// # Errors
/// [`Unusable`] unless the floor asked for is above zero, the outdoor floor zero or more, and both at most 400 m2.
pub fn creditable_outdoor_m2(asked_indoor_m2: f64, outdoor_m2: f64) -> Result<f64, Unusable> {
    let asked_indoor_m2 = within(above_zero(asked_indoor_m2)?, 0.0, MOST_FLOOR_M2)?;
    let outdoor_m2 = within(outdoor_m2, 0.0, MOST_FLOOR_M2)?;
    Ok(outdoor_m2.min(asked_indoor_m2 / INDOOR_BY_OUTDOOR_CREDIT))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::enclosure::{Assessment, Cage, Standard, Verdict, assess};
    use crate::figures::span::Span;

    fn large() -> Bird {
        Bird {
            is_macaw: true,
            on_swiss_large_list: true,
            ..Bird::of_length(Span::exact(86.0))
        }
    }

    fn budgerigar() -> Bird {
        Bird {
            is_budgerigar: true,
            is_parakeet: true,
            ..Bird::of_length(Span::exact(18.0))
        }
    }

    fn cockatiel() -> Bird {
        Bird {
            is_cockatiel: true,
            is_parakeet: true,
            ..Bird::of_length(Span::between(30.0, 34.0))
        }
    }

    fn asked(bird: &Bird, birds: u32) -> (Option<f64>, Option<f64>, Option<f64>) {
        match row(bird, birds) {
            Ok(Row { need, .. }) => (need.area_m2, need.volume_m3, need.height_cm),
            Err(reason) => panic!("{reason:?}"),
        }
    }

    fn found(bird: &Bird, sides_cm: [f64; 3], birds: u32) -> Assessment {
        let cage = Cage {
            length_cm: Some(sides_cm[0]),
            width_cm: Some(sides_cm[1]),
            height_cm: Some(sides_cm[2]),
            birds: Some(birds),
            outdoors: None,
        };
        match assess(Standard::Switzerland, bird, &cage) {
            Ok(assessment) => assessment,
            Err(reason) => panic!("{reason}"),
        }
    }

    // TSchV Annex 2 Table 2, with notes b: 10 m2 and 30 m3 for up to two, 1 m2 for each further, room in ratio, 80 %.
    #[test]
    fn large_parrots_need_ten_square_metres_and_one_more_for_each_past_two() {
        let for_two = (Some(10.0), Some(30.0), Some(240.0));
        assert_eq!(asked(&large(), 1), for_two);
        assert_eq!(asked(&large(), 2), for_two);
        assert_eq!(asked(&large(), 3), (Some(11.0), Some(33.0), Some(240.0)));
        assert_eq!(asked(&large(), 4), (Some(12.0), Some(36.0), Some(240.0)));
    }

    // TSchV Annex 2 Table 2: 0.24 m2 and 0.12 m3 for two to four budgerigars, 0.05 m2 for each further.
    #[test]
    fn budgerigars_share_one_row_up_to_four() {
        for birds in 1..=4 {
            assert_eq!(
                asked(&budgerigar(), birds),
                (Some(0.24), Some(0.12), Some(40.0))
            );
        }
        assert_eq!(
            asked(&budgerigar(), 5),
            (Some(0.29), Some(0.145), Some(40.0))
        );
    }

    // TSchV Annex 2 Table 2: 0.5 m2 and 0.3 m3 for two to four cockatiels, 0.05 m2 for each further.
    #[test]
    fn cockatiels_share_one_row_up_to_four() {
        for birds in 1..=4 {
            assert_eq!(
                asked(&cockatiel(), birds),
                (Some(0.5), Some(0.3), Some(48.0))
            );
        }
        assert_eq!(asked(&cockatiel(), 6), (Some(0.6), Some(0.36), Some(48.0)));
    }

    // TSchV Annex 2 Table 2, worked cages: 60x40x50 cm for budgerigars, 100x50x60 cm for cockatiels.
    #[test]
    fn the_worked_cages_meet_it_exactly() {
        let budgerigars = found(&budgerigar(), [60.0, 40.0, 50.0], 2);
        assert_eq!(budgerigars.verdict, Verdict::Met);
        assert_eq!(budgerigars.class, Some(Class::Budgerigar));
        let cockatiels = found(&cockatiel(), [100.0, 50.0, 60.0], 2);
        assert_eq!(cockatiels.verdict, Verdict::Met);
        assert_eq!(cockatiels.class, Some(Class::Cockatiel));
    }

    // TSchV Annex 2 Table 2: a floor of 59x40 cm is 0.236 m2 and stays below 0.24 m2.
    #[test]
    fn a_budgerigar_cage_one_centimetre_too_short_is_short_of_floor_and_room() {
        let Verdict::Short(lacking) = found(&budgerigar(), [59.0, 40.0, 50.0], 2).verdict else {
            panic!("59 cm is too short");
        };
        assert!((lacking.area_m2 - 0.004).abs() < 1e-12);
        assert!((lacking.volume_m3 - 0.002).abs() < 1e-12);
        assert_eq!(
            (lacking.length_cm, lacking.width_cm, lacking.height_cm),
            (0.0, 0.0, 0.0)
        );
    }

    // TSchV Annex 2 Table 2, note b: enough floor and room do not make up for a roof under 2.4 m.
    #[test]
    fn a_low_aviary_is_short_of_height_alone() {
        let Verdict::Short(lacking) = found(&large(), [500.0, 500.0, 239.0], 2).verdict else {
            panic!("239 cm is too low");
        };
        assert_eq!(
            (lacking.height_cm, lacking.area_m2, lacking.volume_m3),
            (1.0, 0.0, 0.0)
        );
        assert_eq!(
            found(&large(), [500.0, 500.0, 240.0], 2).verdict,
            Verdict::Met
        );
    }

    // TSchV Annex 2 Table 2, note f names the large parrots; greys, Amazons and the galah are not among them.
    #[test]
    fn a_bird_on_none_of_the_rows_has_no_figure() {
        let grey = Bird::of_length(Span::exact(33.0));
        assert_eq!(row(&grey, 2), Err(NotCovered::NoFigure));
        let galah = Bird {
            is_cockatoo: true,
            ..grey
        };
        assert_eq!(row(&galah, 2), Err(NotCovered::NoFigure));
    }

    // TSchV Art. 89.
    #[test]
    fn the_large_parrots_need_a_permit_and_no_other() {
        assert!(needs_permit(&large()));
        assert!(!needs_permit(&budgerigar()));
        assert!(!needs_permit(&Bird::of_length(Span::exact(86.0))));
    }

    // TSchV Annex 2 Table 2, note 16.
    #[test]
    fn an_enclosure_for_two_birds_can_be_divided() {
        assert!(must_be_divisible(2));
        assert!(!must_be_divisible(1) && !must_be_divisible(3));
    }

    // TSchV Annex 2 Table 2, note 5: of 10 m2 at most 3.33 m2 may lie outdoors.
    #[test]
    fn an_outdoor_part_counts_for_a_third_at_most() {
        assert_eq!(creditable_outdoor_m2(10.0, 8.0), Ok(10.0 / 3.0));
        assert_eq!(creditable_outdoor_m2(12.0, 4.1), Ok(4.0));
        assert_eq!(creditable_outdoor_m2(12.0, 4.0), Ok(4.0));
        assert_eq!(creditable_outdoor_m2(12.0, 3.9), Ok(3.9));
        assert_eq!(creditable_outdoor_m2(12.0, 0.0), Ok(0.0));
        assert_eq!(creditable_outdoor_m2(400.0, 400.0), Ok(400.0 / 3.0));
    }

    #[test]
    fn floors_that_are_none_give_no_credit() {
        let too_wide = Err(Unusable::OutOfRange {
            least: 0.0,
            most: 400.0,
        });
        assert_eq!(creditable_outdoor_m2(400.1, 1.0), too_wide);
        assert_eq!(creditable_outdoor_m2(10.0, 400.1), too_wide);
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(creditable_outdoor_m2(bad, 1.0).is_err(), "{bad}");
            assert!(creditable_outdoor_m2(10.0, bad).is_err(), "{bad}");
        }
        assert_eq!(creditable_outdoor_m2(0.0, 1.0), Err(Unusable::NotAboveZero));
    }
}
