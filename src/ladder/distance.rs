//! Where the person starts, and how the way from there to the safe line is cut into moves.

use crate::figures::approach::{ENOUGH_DAYS, FEW_MEASURES_FACTOR, buffered_cm, distances, moves};

/// What one move leaves of the distance. Equal shares change the size of what the bird sees by equal shares (geometry of the
/// visual angle; Weber's law for the least change that is noticed, no value for parrots found). The share of 0.8 is our own
/// choice.
pub const SHARE_A_MOVE: f64 = 0.8;

/// Most moves between the start and the safe line; a longer way is cut into bigger moves. Our own choice, no source.
pub const MOST_MOVES: usize = 10;

/// Least share by which the start lies beyond the largest measure. Measures that agree have no spread, and a start at the very
/// place of the first sign is no start beyond it. Our own choice, no source.
pub const BEYOND_LARGEST: f64 = 1.05;

/// A first sign nearer than this counts as this, cm: a logarithm of zero is no number.
pub const NEAREST_SIGN_CM: f64 = 1.0;

/// How far away a person has to be for the first step in view, cm, by where the bird gave its first sign on different days
/// (alert distance, not where it lunged).
///
/// Three measures or more: `exp(mean ln + 1.6495 SD ln)`, with the standard deviation of a sample, and never less than
/// [`BEYOND_LARGEST`] times the largest. Fewer: the largest times [`FEW_MEASURES_FACTOR`]. `None` without a measure. Takes
/// finite measures of zero or more; anything else is left out.
#[must_use]
pub fn beyond_reaction_cm(first_sign_cm: &[f64]) -> Option<f64> {
    let usable: Vec<f64> = first_sign_cm
        .iter()
        .copied()
        .filter(|it| it.is_finite() && *it >= 0.0)
        .map(|it| it.max(NEAREST_SIGN_CM))
        .collect();
    let largest = usable.iter().copied().reduce(f64::max)?;
    if usable.len() < ENOUGH_DAYS {
        return Some(largest * FEW_MEASURES_FACTOR);
    }
    let buffer = buffered_cm(&usable);
    Some(buffer.max(largest * BEYOND_LARGEST))
}

/// How many moves of [`SHARE_A_MOVE`] lead from one distance to a shorter one, the last of them perhaps a smaller one. Zero when
/// the first is not the longer one, or when one of them is not a finite number above zero.
#[must_use]
pub fn moves_between(from_cm: f64, to_cm: f64) -> usize {
    let usable = |cm: f64| cm.is_finite() && cm > 0.0;
    if !usable(from_cm) || !usable(to_cm) {
        return 0;
    }
    moves(from_cm, to_cm, SHARE_A_MOVE) as usize
}

/// The distances from the first to the last, cm, both included and exact, in moves that each leave the same share of the
/// distance: as many moves as [`moves_between`], at most [`MOST_MOVES`]. Only the last when the first is not the longer one.
#[must_use]
pub fn distances_cm(first_cm: f64, last_cm: f64) -> Vec<f64> {
    let moves = moves_between(first_cm, last_cm).min(MOST_MOVES) as u32;
    let ratio = (last_cm / first_cm).powf(1.0 / f64::from(moves.max(1)));
    distances(first_cm, last_cm, ratio, moves)
}

/// The distance in the middle of two by share, cm: `sqrt(a b)`.
#[must_use]
pub fn middle_cm(one_cm: f64, other_cm: f64) -> f64 {
    (one_cm * other_cm).sqrt()
}

#[cfg(test)]
mod tests {
    use super::{beyond_reaction_cm, distances_cm, middle_cm, moves_between};

    fn close(value: f64, expected: f64, within: f64) {
        assert!(
            (value - expected).abs() <= within,
            "{value} is not {expected}"
        );
    }

    // Buffer of Rodgers and Smith, 1997, without the 40 m. Measures of 1.2, 1.5, 1.4, 1.8 and 1.6 m: mean ln 0.396410,
    // SD ln 0.151286 (for metres), start 1.907809 m.
    #[test]
    fn five_measures_give_the_buffer_of_their_logarithms() {
        let start = beyond_reaction_cm(&[120.0, 150.0, 140.0, 180.0, 160.0]).unwrap();
        close(start, 190.7809, 1e-4);
    }

    // Three measures of 1, 2 and 4 m: mean ln 2, SD ln 2 exactly; 2 m times 2^1.6495.
    #[test]
    fn three_measures_are_enough_for_the_buffer() {
        let start = beyond_reaction_cm(&[400.0, 100.0, 200.0]).unwrap();
        close(start, 200.0 * 2.0_f64.powf(1.6495), 1e-9);
    }

    #[test]
    fn fewer_than_three_measures_give_the_largest_and_half_again() {
        close(beyond_reaction_cm(&[200.0]).unwrap(), 300.0, 1e-9);
        close(beyond_reaction_cm(&[100.0, 200.0]).unwrap(), 300.0, 1e-9);
        close(beyond_reaction_cm(&[200.0, 100.0]).unwrap(), 300.0, 1e-9);
        assert_eq!(beyond_reaction_cm(&[]), None);
    }

    #[test]
    fn the_start_lies_beyond_the_largest_measure_when_all_agree() {
        close(
            beyond_reaction_cm(&[200.0, 200.0, 200.0]).unwrap(),
            210.0,
            1e-9,
        );
    }

    #[test]
    fn a_sign_only_at_contact_counts_as_one_centimetre() {
        close(beyond_reaction_cm(&[0.0]).unwrap(), 1.5, 1e-12);
        close(beyond_reaction_cm(&[0.0, 1.0, 1.0]).unwrap(), 1.05, 1e-12);
    }

    #[test]
    fn what_is_no_distance_is_left_out() {
        assert_eq!(beyond_reaction_cm(&[f64::NAN, f64::INFINITY, -1.0]), None);
        close(beyond_reaction_cm(&[f64::NAN, 100.0]).unwrap(), 150.0, 1e-9);
    }

    // 4 m to 0.5 m in shares of 0.8: n = ceil(ln(0.125) / ln(0.8)) = 10. A room of 2.5 m: 8, and 3 between 4 m and 2.5 m.
    #[test]
    fn the_number_of_moves_is_the_logarithm_rounded_up() {
        assert_eq!(moves_between(400.0, 50.0), 10);
        assert_eq!(moves_between(250.0, 50.0), 8);
        assert_eq!(moves_between(400.0, 250.0), 3);
        for (to, moves) in [
            (100.0, 0),
            (99.9, 1),
            (80.1, 1),
            (80.0, 1),
            (79.9, 2),
            (64.0, 2),
            (63.9, 3),
        ] {
            assert_eq!(moves_between(100.0, to), moves, "{to}");
        }
        assert_eq!(moves_between(50.0, 400.0), 0);
        assert_eq!(moves_between(0.01, 0.008), 1);
    }

    #[test]
    fn nothing_moves_between_what_is_no_distance() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -1.0] {
            assert_eq!(moves_between(100.0, bad), 0, "{bad}");
            assert_eq!(moves_between(bad, 100.0), 0, "{bad}");
        }
    }

    // f = 8^(-1/10) = 0.812252 for 4 m to 0.5 m.
    #[test]
    fn four_metres_to_half_a_metre_in_ten_equal_shares() {
        let expected = [
            400.0, 324.9010, 263.9016, 214.3547, 174.1101, 141.4214, 114.8698, 93.3033, 75.7858,
            61.5572, 50.0,
        ];
        let distances = distances_cm(400.0, 50.0);
        assert_eq!(distances.len(), expected.len());
        for (distance, expected) in distances.iter().zip(expected) {
            close(*distance, expected, 1e-4);
        }
        assert_eq!((distances[0], distances[10]), (400.0, 50.0));
    }

    #[test]
    fn a_long_way_is_cut_into_ten_bigger_moves() {
        let distances = distances_cm(3000.0, 50.0);
        assert_eq!(distances.len(), 11);
        close(distances[5], (3000.0_f64 * 50.0).sqrt(), 1e-9);
    }

    #[test]
    fn one_distance_is_left_when_there_is_no_way() {
        assert_eq!(distances_cm(100.0, 100.0), [100.0]);
        assert_eq!(distances_cm(90.0, 100.0), [100.0]);
        assert_eq!(distances_cm(101.0, 100.0), [101.0, 100.0]);
    }

    #[test]
    fn the_middle_shares_the_way() {
        close(middle_cm(400.0, 100.0), 200.0, 1e-9);
        // 4 m and 1 m have 2 m between them: sqrt(8) m is the middle of 4 m and 2 m.
        close(middle_cm(400.0, 200.0), 282.842_712, 1e-6);
    }
}
