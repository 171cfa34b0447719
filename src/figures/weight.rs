//! Change of weight over a series of weighings.

/// The fall from the first weighing to the newest, in per cent of the first; negative for a gain.
///
/// `series` holds (day, grams) in the order of days. `None` with fewer than two weighings or a first weight that is not
/// above zero.
#[must_use]
pub fn fall_percent(series: &[(f64, f64)]) -> Option<f64> {
    let ((_, first_g), (_, last_g)) = (series.first()?, series.last()?);
    (series.len() > 1 && *first_g > 0.0).then(|| (first_g - last_g) / first_g * 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // A fall from 30 g to 27 g is 10 %: the urgent mark of avian health pages (3 g of 30 g).
    #[test]
    fn three_grams_of_thirty_are_ten_percent() {
        assert_eq!(fall_percent(&[(0.0, 30.0), (7.0, 27.0)]), Some(10.0));
    }

    #[test]
    fn a_gain_is_negative_and_one_weighing_says_nothing() {
        assert_eq!(fall_percent(&[(0.0, 100.0), (1.0, 110.0)]), Some(-10.0));
        assert_eq!(fall_percent(&[(0.0, 100.0)]), None);
        assert_eq!(fall_percent(&[(0.0, 0.0), (1.0, 1.0)]), None);
    }
}
