//! Queensland: floor and height by the length of the bird, indoors and outdoors.
//!
//! Source: Queensland code of practice for aviculture, table of cage sizes as issued by Logan City Council. The rows are
//! for a pair; each further bird adds floor.
//!
//! The table gives "approximate" lengths and no rule for those in between. Here a length in between is rounded up to the
//! next row, the side that favours the bird: a design choice, not the code's words. One bird is measured as a pair,
//! because no smaller row is given.

use super::class::row_up_to;
use super::need::{Need, m2};
use super::{NotCovered, Row};

/// Room for a pair and for each bird after it.
struct Space {
    pair_cm2: u32,
    height_cm: u32,
    per_further_bird_cm2: u32,
}

/// One row of the table.
struct Step {
    indoors: Space,
    outdoors: Space,
}

/// Every outdoor aviary of the table is this high, in cm.
const OUTDOOR_HEIGHT_CM: u32 = 180;

const fn step(indoors: [u32; 3], outdoors: [u32; 2]) -> Step {
    let [pair_cm2, height_cm, per_further_bird_cm2] = indoors;
    let [outdoor_pair_cm2, outdoor_per_further_bird_cm2] = outdoors;
    Step {
        indoors: Space {
            pair_cm2,
            height_cm,
            per_further_bird_cm2,
        },
        outdoors: Space {
            pair_cm2: outdoor_pair_cm2,
            height_cm: OUTDOOR_HEIGHT_CM,
            per_further_bird_cm2: outdoor_per_further_bird_cm2,
        },
    }
}

/// Indoors: floor of a pair (cm2), height (cm), floor of each further bird (cm2). Outdoors: the two floors.
const STEPS: [(f64, Step); 6] = [
    (10.0, step([1_000, 34, 1_000], [3_700, 1_800])),
    (20.0, step([1_600, 34, 1_000], [7_200, 3_600])),
    (30.0, step([5_000, 90, 2_500], [10_000, 5_000])),
    (40.0, step([10_000, 90, 6_000], [15_000, 7_500])),
    (50.0, step([22_500, 150, 8_500], [25_000, 12_500])),
    (90.0, step([40_000, 150, 14_000], [50_000, 25_000])),
];

/// Birds the first figure of a row is for.
const BIRDS_IN_ROW: u32 = 2;

/// What the code asks for; a bird over 90 cm is beyond its table.
pub(super) fn row(length_cm: f64, birds: u32, outdoors: bool) -> Result<Row, NotCovered> {
    let (class, step) = row_up_to(&STEPS, length_cm).ok_or(NotCovered::BeyondTable)?;
    let space = if outdoors {
        &step.outdoors
    } else {
        &step.indoors
    };
    let further_birds = f64::from(birds.saturating_sub(BIRDS_IN_ROW));
    let floor_cm2 =
        f64::from(space.pair_cm2) + further_birds * f64::from(space.per_further_bird_cm2);
    let need = Need {
        length_cm: None,
        width_cm: None,
        height_cm: Some(f64::from(space.height_cm)),
        area_m2: Some(m2(floor_cm2)),
        volume_m3: None,
    };
    Ok(Row { class, need })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::enclosure::{Bird, Cage, Class, Standard, Verdict, assess};
    use crate::figures::span::Span;

    const INDOORS: bool = false;
    const OUTDOORS: bool = true;

    fn found(length_cm: f64, birds: u32, outdoors: bool) -> Result<Row, NotCovered> {
        row(length_cm, birds, outdoors)
    }

    /// Floor in m2, height in cm.
    fn asked(length_cm: f64, birds: u32, outdoors: bool) -> (f64, f64) {
        match found(length_cm, birds, outdoors) {
            Ok(Row { need, .. }) => {
                assert_eq!(
                    (need.length_cm, need.width_cm, need.volume_m3),
                    (None, None, None)
                );
                (
                    need.area_m2.unwrap_or(f64::NAN),
                    need.height_cm.unwrap_or(f64::NAN),
                )
            }
            Err(reason) => panic!("{reason:?}"),
        }
    }

    // Queensland aviculture code, indoor or suspended cages.
    #[test]
    fn indoor_rows_read_as_in_the_code() {
        for (length_cm, pair_m2, height_cm, three_birds_m2) in [
            (10.0, 0.10, 34.0, 0.20),
            (20.0, 0.16, 34.0, 0.26),
            (30.0, 0.50, 90.0, 0.75),
            (40.0, 1.00, 90.0, 1.60),
            (50.0, 2.25, 150.0, 3.10),
            (90.0, 4.00, 150.0, 5.40),
        ] {
            assert_eq!(asked(length_cm, 2, INDOORS), (pair_m2, height_cm));
            assert_eq!(asked(length_cm, 3, INDOORS), (three_birds_m2, height_cm));
        }
    }

    // Queensland aviculture code, outdoor aviaries, all 1,800 mm high; each further bird half of the pair's floor.
    #[test]
    fn outdoor_rows_read_as_in_the_code() {
        for (length_cm, pair_m2, three_birds_m2) in [
            (10.0, 0.37, 0.55),
            (20.0, 0.72, 1.08),
            (30.0, 1.00, 1.50),
            (40.0, 1.50, 2.25),
            (50.0, 2.50, 3.75),
            (90.0, 5.00, 7.50),
        ] {
            assert_eq!(asked(length_cm, 2, OUTDOORS), (pair_m2, 180.0));
            assert_eq!(asked(length_cm, 3, OUTDOORS), (three_birds_m2, 180.0));
        }
    }

    // Queensland aviculture code: 1.00 + 0.60 m2 at 900 mm; 2.50 + 2 x 1.25 m2 at 1,800 mm.
    #[test]
    fn three_birds_of_forty_indoors_and_four_of_fifty_outdoors() {
        assert_eq!(asked(40.0, 3, INDOORS), (1.60, 90.0));
        assert_eq!(asked(50.0, 4, OUTDOORS), (5.00, 180.0));
    }

    // Design choice: the code gives no rule for lengths in between.
    #[test]
    fn a_length_in_between_is_rounded_up_to_the_next_row() {
        let edges_cm = [10.0, 20.0, 30.0, 40.0, 50.0, 90.0];
        let mut over_cm = 0.0;
        for up_to_cm in edges_cm {
            let class = Class::Lengths {
                over_cm,
                up_to_cm: Some(up_to_cm),
            };
            for length_cm in [over_cm + 0.1, up_to_cm - 0.1, up_to_cm] {
                assert_eq!(found(length_cm, 2, INDOORS).map(|row| row.class), Ok(class));
            }
            over_cm = up_to_cm;
        }
        // A monk parakeet of 28 cm is measured by the row of 300 mm.
        assert_eq!(asked(28.0, 2, INDOORS), (0.50, 90.0));
    }

    #[test]
    fn a_bird_past_the_last_row_is_beyond_the_table() {
        for outdoors in [INDOORS, OUTDOORS] {
            assert!(found(90.0, 2, outdoors).is_ok());
            assert_eq!(found(90.1, 2, outdoors), Err(NotCovered::BeyondTable));
        }
    }

    #[test]
    fn one_bird_needs_what_a_pair_needs() {
        for outdoors in [INDOORS, OUTDOORS] {
            assert_eq!(asked(35.0, 1, outdoors), asked(35.0, 2, outdoors));
        }
    }

    // Queensland aviculture code, 400 mm: 1.00 m2 indoors, 1.50 m2 and 1,800 mm outdoors.
    #[test]
    fn where_the_cage_stands_can_decide_and_a_blank_leaves_it_open() {
        let bird = Bird::of_length(Span::exact(33.0));
        let verdict = |height_cm, outdoors| {
            let cage = Cage {
                length_cm: Some(120.0),
                width_cm: Some(100.0),
                height_cm: Some(height_cm),
                birds: Some(1),
                outdoors,
            };
            assess(Standard::Queensland, &bird, &cage).map(|found| found.verdict)
        };
        assert_eq!(verdict(100.0, Some(INDOORS)), Ok(Verdict::Met));
        assert!(matches!(
            verdict(100.0, Some(OUTDOORS)),
            Ok(Verdict::Short(_))
        ));
        assert_eq!(verdict(100.0, None), Ok(Verdict::NotKnown));
        // Below the indoor row it is short wherever it stands, by the indoor figure at least.
        let Ok(Verdict::Short(lacking)) = verdict(80.0, None) else {
            panic!("80 cm is too low anywhere");
        };
        assert_eq!(lacking.height_cm, 10.0);
    }
}
