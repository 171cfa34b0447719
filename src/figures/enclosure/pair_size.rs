//! A cage size written for one pair, and the floor that further pairs add.

use super::need::{Need, m2};

/// Length, width and height a pair needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PairSize {
    pub(super) length_cm: u32,
    pub(super) width_cm: u32,
    pub(super) height_cm: u32,
}

impl PairSize {
    /// What a number of birds needs: the floor grows by half of the pair's floor with each pair after the first.
    ///
    /// The further half is added to the pair's floor each time (1, 1.5, 2 ...), not compounded. An odd bird counts as
    /// a pair of its own, so one bird needs what two need.
    pub(super) fn need(self, birds: u32) -> Need {
        let (length_cm, width_cm) = (f64::from(self.length_cm), f64::from(self.width_cm));
        let pair_floor_cm2 = length_cm * width_cm;
        let further_pairs = birds.div_ceil(2).saturating_sub(1);
        let floor_cm2 = pair_floor_cm2 + f64::from(further_pairs) * pair_floor_cm2 / 2.0;
        Need {
            length_cm: Some(length_cm),
            width_cm: Some(width_cm),
            height_cm: Some(f64::from(self.height_cm)),
            area_m2: Some(m2(floor_cm2)),
            volume_m3: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: PairSize = PairSize {
        length_cm: 300,
        width_cm: 100,
        height_cm: 200,
    };

    // Germany, expert report of 10 January 1995: 3.0, 4.5, 6.0 m2 for one, two, three pairs over 40 cm.
    #[test]
    fn each_further_pair_adds_half_of_the_first_pairs_floor() {
        let floors: Vec<_> = (1..=6).map(|birds| SIZE.need(birds).area_m2).collect();
        let asked = [3.0, 3.0, 4.5, 4.5, 6.0, 6.0].map(Some);
        assert_eq!(floors, asked);
    }

    #[test]
    fn only_the_floor_grows() {
        for birds in [1, 2, 7] {
            let need = SIZE.need(birds);
            assert_eq!(
                (need.length_cm, need.width_cm, need.height_cm),
                (Some(300.0), Some(100.0), Some(200.0))
            );
            assert_eq!(need.volume_m3, None);
        }
    }
}
