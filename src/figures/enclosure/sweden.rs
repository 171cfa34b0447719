//! Sweden: the size of cages by the length of the bird.
//!
//! Source: Swedish Board of Agriculture, regulation SJVFS 2014:17 (L 80), Annex 1, caged birds. Binding law there. The
//! least depth of twice the bird's length, never under 45 cm, stands in the same annex.
//!
//! Note 1 of the annex: where feathers are damaged the length is taken as if the tail were there, so the length to
//! enter is that of the species.

use super::Row;
use super::class::{Class, row_or_last};
use super::need::{Need, m2};
use super::reading::bird_length_cm;
use crate::figures::input::Unusable;

/// One row of the annex.
struct Size {
    floor_cm2: u32,
    floor_per_bird_cm2: u32,
    longest_side_cm: u32,
    height_cm: u32,
}

const fn size(
    floor_cm2: u32,
    floor_per_bird_cm2: u32,
    longest_side_cm: u32,
    height_cm: u32,
) -> Size {
    Size {
        floor_cm2,
        floor_per_bird_cm2,
        longest_side_cm,
        height_cm,
    }
}

/// The annex prints whole centimetres ("16-20"). A bird of 15.5 cm is past 15 and belongs to the class 16-20: each class
/// here runs from just over the edge below it.
const SIZES: [(f64, Size); 8] = [
    (15.0, size(3_100, 300, 70, 60)),
    (20.0, size(3_100, 400, 70, 60)),
    (25.0, size(4_500, 550, 90, 60)),
    (35.0, size(8_400, 1_000, 120, 80)),
    (45.0, size(14_400, 6_000, 160, 100)),
    (55.0, size(22_000, 10_000, 200, 120)),
    (65.0, size(31_200, 15_000, 240, 150)),
    (75.0, size(42_000, 20_000, 280, 180)),
];

/// More than 75 cm.
const LONGEST: Size = size(65_000, 30_000, 360, 180);

/// The depth is never less than this, in cm, however small the bird.
const LEAST_WIDTH_CM: f64 = 45.0;

/// The depth in bird lengths.
const WIDTH_IN_BIRD_LENGTHS: f64 = 2.0;

fn width_cm(length_cm: f64) -> f64 {
    (WIDTH_IN_BIRD_LENGTHS * length_cm).max(LEAST_WIDTH_CM)
}

fn class_and_size(length_cm: f64) -> (Class, &'static Size) {
    row_or_last(&SIZES, &LONGEST, length_cm)
}

/// What the annex asks for; it speaks of every caged bird.
///
/// The floor is the greater of the least floor and the birds times the floor per bird. The annex prints only the two
/// columns; that they join in this way is our reading, and the numbers of birds that follow from it agree with those
/// in use for the four smallest cages (see [`most_birds_in_smallest_cage`]).
pub(super) fn row(length_cm: f64, birds: u32) -> Row {
    let (class, size) = class_and_size(length_cm);
    let for_all_birds_cm2 = f64::from(birds) * f64::from(size.floor_per_bird_cm2);
    let need = Need {
        length_cm: Some(f64::from(size.longest_side_cm)),
        width_cm: Some(width_cm(length_cm)),
        height_cm: Some(f64::from(size.height_cm)),
        area_m2: Some(m2(for_all_birds_cm2.max(f64::from(size.floor_cm2)))),
        volume_m3: None,
    };
    Row { class, need }
}

/// The most birds of one length that the smallest cage of their class may hold.
///
/// Computed from SJVFS 2014:17 (L 80), Annex 1: the least floor by the floor per bird, rounded down.
///
/// # Errors
/// [`Unusable`] unless the length is finite, above zero and at most 150 cm.
pub fn most_birds_in_smallest_cage(length_cm: f64) -> Result<u32, Unusable> {
    let (_, size) = class_and_size(bird_length_cm(length_cm)?);
    Ok(size.floor_cm2 / size.floor_per_bird_cm2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::enclosure::{Bird, Cage, Shortfall, Standard, Verdict, assess};
    use crate::figures::span::Span;

    fn asked(length_cm: f64, birds: u32) -> Need {
        row(length_cm, birds).need
    }

    // SJVFS 2014:17 (L 80), Annex 1.
    #[test]
    fn the_floor_steps_up_just_past_each_edge_of_the_annex() {
        for (length_cm, area_m2) in [
            (15.0, 0.31),
            (16.0, 0.31),
            (20.0, 0.31),
            (21.0, 0.45),
            (25.0, 0.45),
            (26.0, 0.84),
            (35.0, 0.84),
            (36.0, 1.44),
            (45.0, 1.44),
            (46.0, 2.2),
            (55.0, 2.2),
            (56.0, 3.12),
            (65.0, 3.12),
            (66.0, 4.2),
            (75.0, 4.2),
            (76.0, 6.5),
        ] {
            assert_eq!(asked(length_cm, 1).area_m2, Some(area_m2), "{length_cm}");
        }
    }

    // SJVFS 2014:17 (L 80), Annex 1: whole centimetres, so anything past 15 is in 16-20.
    #[test]
    fn every_class_runs_from_just_over_one_edge_to_the_next() {
        let mut over_cm = 0.0;
        for edge_cm in [15.0, 20.0, 25.0, 35.0, 45.0, 55.0, 65.0, 75.0] {
            let class = Class::Lengths {
                over_cm,
                up_to_cm: Some(edge_cm),
            };
            assert_eq!(class_and_size(edge_cm).0, class);
            assert_eq!(class_and_size(edge_cm - 0.1).0, class);
            assert_ne!(class_and_size(edge_cm + 0.1).0, class);
            over_cm = edge_cm;
        }
        let last = Class::Lengths {
            over_cm: 75.0,
            up_to_cm: None,
        };
        assert_eq!(class_and_size(75.1).0, last);
        assert_eq!(class_and_size(150.0).0, last);
        let budgerigar_class = class_and_size(18.0).0;
        assert_eq!(class_and_size(15.5).0, budgerigar_class);
    }

    // SJVFS 2014:17 (L 80), Annex 1: floor, floor per further bird, longest side, height.
    #[test]
    fn each_row_reads_as_in_the_annex() {
        for (length_cm, floor_m2, per_bird_m2, longest_side_cm, height_cm) in [
            (15.0, 0.31, 0.03, 70.0, 60.0),
            (20.0, 0.31, 0.04, 70.0, 60.0),
            (25.0, 0.45, 0.055, 90.0, 60.0),
            (35.0, 0.84, 0.1, 120.0, 80.0),
            (45.0, 1.44, 0.6, 160.0, 100.0),
            (55.0, 2.2, 1.0, 200.0, 120.0),
            (65.0, 3.12, 1.5, 240.0, 150.0),
            (75.0, 4.2, 2.0, 280.0, 180.0),
            (86.0, 6.5, 3.0, 360.0, 180.0),
        ] {
            let one = asked(length_cm, 1);
            assert_eq!(one.area_m2, Some(floor_m2), "{length_cm}");
            assert_eq!(one.length_cm, Some(longest_side_cm), "{length_cm}");
            assert_eq!(one.height_cm, Some(height_cm), "{length_cm}");
            assert_eq!(one.volume_m3, None);
            let hundred = asked(length_cm, 100).area_m2.unwrap_or(f64::NAN);
            assert!((hundred - 100.0 * per_bird_m2).abs() < 1e-9, "{length_cm}");
        }
    }

    // The annex agrees with itself: the least floor is the longest side by the depth of the longest bird, to 0.01 m2.
    #[test]
    fn the_least_floor_is_the_longest_side_by_the_depth_of_the_longest_bird() {
        for length_cm in [20.0, 25.0, 35.0, 45.0, 55.0, 65.0, 75.0] {
            let need = asked(length_cm, 1);
            let sides_m2 = need.length_cm.unwrap_or(0.0) * need.width_cm.unwrap_or(0.0) / 10_000.0;
            let floor_m2 = need.area_m2.unwrap_or(0.0);
            assert!((sides_m2 - floor_m2).abs() < 0.01, "{length_cm}");
        }
    }

    // SJVFS 2014:17 (L 80), Annex 1: twice the bird's length, never under 45 cm.
    #[test]
    fn the_depth_is_twice_the_bird_and_never_under_forty_five() {
        for (length_cm, width_cm) in [
            (18.0, 45.0),
            (22.4, 45.0),
            (22.5, 45.0),
            (22.6, 45.2),
            (33.0, 66.0),
            (86.0, 172.0),
        ] {
            assert_eq!(asked(length_cm, 1).width_cm, Some(width_cm), "{length_cm}");
        }
    }

    // SJVFS 2014:17 (L 80), Annex 1, cockatiel class.
    #[test]
    fn eight_cockatiels_fit_the_least_floor_and_nine_do_not() {
        assert_eq!(asked(32.0, 8).area_m2, Some(0.84));
        assert_eq!(asked(32.0, 9).area_m2, Some(0.90));
    }

    // Numbers in use for L 80: 10, 7, 8, 8 birds in cages of 70x45, 70x45, 90x50 and 120x70 cm.
    #[test]
    fn the_smallest_cages_hold_ten_seven_eight_and_eight_birds() {
        for (length_cm, birds) in [(15.0, 10), (20.0, 7), (25.0, 8), (35.0, 8)] {
            assert_eq!(most_birds_in_smallest_cage(length_cm), Ok(birds));
        }
        // Computed from the same two columns for the classes above.
        for (length_cm, birds) in [(45.0, 2), (55.0, 2), (65.0, 2), (75.0, 2), (76.0, 2)] {
            assert_eq!(most_birds_in_smallest_cage(length_cm), Ok(birds));
        }
    }

    #[test]
    fn a_length_that_is_no_bird_has_no_smallest_cage() {
        for bad in [0.0, -18.0, 150.1, f64::NAN, f64::INFINITY] {
            assert!(most_birds_in_smallest_cage(bad).is_err(), "{bad}");
        }
        assert_eq!(most_birds_in_smallest_cage(150.0), Ok(2));
    }

    // SJVFS 2014:17 (L 80), Annex 1: budgerigar class, floor 0.31 m2, 70 cm long, 45 cm deep, 60 cm high.
    #[test]
    fn a_budgerigar_cage_on_the_mark_is_met_and_one_too_low_is_short() {
        let bird = Bird::of_length(Span::exact(18.0));
        let cage = Cage {
            length_cm: Some(70.0),
            width_cm: Some(45.0),
            height_cm: Some(60.0),
            birds: Some(7),
            outdoors: None,
        };
        let verdict = |cage| assess(Standard::Sweden, &bird, &cage).map(|found| found.verdict);
        assert_eq!(verdict(cage), Ok(Verdict::Met));
        let low = Cage {
            height_cm: Some(59.0),
            ..cage
        };
        let lacking = Shortfall {
            length_cm: 0.0,
            width_cm: 0.0,
            height_cm: 1.0,
            area_m2: 0.0,
            volume_m3: 0.0,
        };
        assert_eq!(verdict(low), Ok(Verdict::Short(lacking)));
        let crowded = Cage {
            birds: Some(8),
            ..cage
        };
        assert!(matches!(verdict(crowded), Ok(Verdict::Short(lacking)) if lacking.area_m2 > 0.0));
    }
}
