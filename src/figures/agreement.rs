//! How far people who watched the same bird, or judged the same case, agree.
//!
//! The usual counts of agreement in behaviour analysis, interval by interval; the share of pairs who said the same; Cohen's kappa for
//! two people and Fleiss' kappa for any number. A high share of agreement can hide that people never agree on the rare thing that
//! matters: a bite. Look at the scored intervals and at kappa then.

/// The agreement of two people's counts, each from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CountAgreement {
    /// The smaller total over the larger. `None` when neither counted anything.
    pub total: Option<f64>,
    /// Share of intervals with the same count.
    pub exact: f64,
    /// Mean over intervals of the smaller count over the larger; an interval where neither counted anything is 1.
    pub mean_count: f64,
    /// Share of intervals in which both counted something or both nothing.
    pub interval: f64,
    /// Of the intervals in which at least one counted something: the share in which both did. `None` without any.
    pub scored: Option<f64>,
    /// Of the intervals in which at least one counted nothing: the share in which both did. `None` without any.
    pub unscored: Option<f64>,
}

/// The agreement of two people's counts in the same intervals, in the same order.
///
/// `None` when there is no interval, or when one counted in more intervals than the other.
#[must_use]
pub fn of_counts(one: &[u32], other: &[u32]) -> Option<CountAgreement> {
    if one.len() != other.len() {
        return None;
    }
    let pairs = || one.iter().copied().zip(other.iter().copied());
    let number = |holds: fn(u32, u32) -> bool| {
        pairs().filter(|(one, other)| holds(*one, *other)).count() as f64
    };
    let intervals = one.len() as f64;
    let both_scored = number(|one, other| one > 0 && other > 0);
    let both_unscored = number(|one, other| one == 0 && other == 0);
    let sum = |counts: &[u32]| counts.iter().map(|count| f64::from(*count)).sum();
    let mean_count: f64 = pairs()
        .map(|(one, other)| smaller_over_larger(f64::from(one), f64::from(other)).unwrap_or(1.0))
        .sum();
    Some(CountAgreement {
        total: smaller_over_larger(sum(one), sum(other)),
        exact: share(number(|one, other| one == other), intervals)?,
        mean_count: share(mean_count, intervals)?,
        interval: share(both_scored + both_unscored, intervals)?,
        scored: share(both_scored, intervals - both_unscored),
        unscored: share(both_unscored, intervals - both_scored),
    })
}

/// `None` when both are zero.
fn smaller_over_larger(one: f64, other: f64) -> Option<f64> {
    share(one.min(other), one.max(other))
}

/// `None` of nothing.
fn share(part: f64, whole: f64) -> Option<f64> {
    (whole > 0.0).then(|| part / whole)
}

/// Cohen's kappa: agreement beyond what the two would reach by chance, 1 for full agreement, 0 for no more than chance.
///
/// Cohen (1960, Educational and Psychological Measurement 20:37-46). `table[i][j]` is how often one person said class
/// `i` while the other said class `j`, with as many classes across as down. `None` when chance alone would make them agree always:
/// nothing was rated, or both said one and the same class every time. `None` also for a table that is not square.
#[must_use]
pub fn kappa<Row: AsRef<[u32]>>(table: &[Row]) -> Option<f64> {
    beyond_chance(table, |one, other| if one == other { 0.0 } else { 1.0 })
}

/// Cohen's kappa for classes in an order: being two classes apart counts twice as much as being one apart.
///
/// Cohen (1968, Psychological Bulletin 70:213-220) with linear weights. Table and `None` as for [`kappa`].
#[must_use]
pub fn linear_weighted_kappa<Row: AsRef<[u32]>>(table: &[Row]) -> Option<f64> {
    beyond_chance(table, |one, other| one.abs_diff(other) as f64)
}

/// 1 less the disagreement seen over the disagreement that chance would bring.
fn beyond_chance<Row: AsRef<[u32]>>(
    table: &[Row],
    disagreement: fn(usize, usize) -> f64,
) -> Option<f64> {
    let classes = table.len();
    if table.iter().any(|row| row.as_ref().len() != classes) {
        return None;
    }
    let of_one: Vec<f64> = table.iter().map(|row| sum_of(row.as_ref())).collect();
    let mut of_other = vec![0.0; classes];
    for row in table {
        for (sum, count) in of_other.iter_mut().zip(row.as_ref()) {
            *sum += f64::from(*count);
        }
    }
    let (mut seen, mut by_chance) = (0.0, 0.0);
    for ((one, row), one_sum) in table.iter().enumerate().zip(&of_one) {
        for ((other, count), other_sum) in row.as_ref().iter().enumerate().zip(&of_other) {
            seen += disagreement(one, other) * f64::from(*count);
            by_chance += disagreement(one, other) * one_sum * other_sum;
        }
    }
    let ratings: f64 = of_one.iter().sum();
    share(seen * ratings, by_chance).map(|disagreement| 1.0 - disagreement)
}

fn sum_of(counts: &[u32]) -> f64 {
    counts.iter().copied().map(f64::from).sum()
}

/// Of all pairs of people who judged one thing, the share who put it into the same class. `counts[class]` is how many people chose
/// that class. `None` with fewer than two people.
///
/// Fleiss (1971, Psychological Bulletin 76:378-382) calls it the extent of agreement on one subject.
#[must_use]
pub fn pairs_alike(counts: &[u32]) -> Option<f64> {
    let people = sum_of(counts);
    let alike: f64 = counts
        .iter()
        .copied()
        .map(f64::from)
        .map(|count| count * (count - 1.0))
        .sum();
    share(alike, people * (people - 1.0))
}

/// Fleiss' kappa: agreement of any number of people beyond what their use of the classes would bring by chance.
///
/// Fleiss (1971, Psychological Bulletin 76:378-382). `table[subject][class]` is how many people put that subject into that class; each
/// subject was judged by the same number of people, two or more, who need not be the same ones. `None` when they were not, when
/// nothing was judged, or when one class alone was ever used.
#[must_use]
pub fn fleiss_kappa<Row: AsRef<[u32]>>(table: &[Row]) -> Option<f64> {
    let first = table.first()?.as_ref();
    let people = sum_of(first);
    let mut of_class = vec![0.0; first.len()];
    let mut alike = 0.0;
    for row in table {
        let row = row.as_ref();
        if row.len() != first.len() || sum_of(row) != people {
            return None;
        }
        for (sum, count) in of_class.iter_mut().zip(row) {
            *sum += f64::from(*count);
        }
        alike += pairs_alike(row)?;
    }
    let subjects = table.len() as f64;
    let judgements = subjects * people;
    // Both sides are whole numbers, so one class alone is told exactly.
    if of_class.contains(&judgements) {
        return None;
    }
    let by_chance: f64 = of_class
        .iter()
        .map(|sum| (sum / judgements) * (sum / judgements))
        .sum();
    share(alike / subjects - by_chance, 1.0 - by_chance)
}

#[cfg(test)]
mod tests {
    use super::{
        CountAgreement, fleiss_kappa, kappa, linear_weighted_kappa, of_counts, pairs_alike,
    };

    fn near(got: Option<f64>, expected: f64) {
        let got = got.unwrap();
        assert!((got - expected).abs() <= 1e-6, "{got} is not {expected}");
    }

    // Computed from the definitions.
    #[test]
    fn ten_intervals_have_their_six_agreements() {
        let one = [3, 0, 2, 1, 0, 0, 4, 1, 0, 0];
        let other = [2, 0, 2, 1, 1, 0, 4, 0, 0, 0];
        for agreement in [of_counts(&one, &other), of_counts(&other, &one)] {
            let agreement = agreement.unwrap();
            near(agreement.total, 10.0 / 11.0);
            near(Some(agreement.exact), 0.7);
            near(Some(agreement.mean_count), 0.766_667);
            near(Some(agreement.interval), 0.8);
            near(agreement.scored, 0.666_667);
            near(agreement.unscored, 0.666_667);
        }
    }

    // Counted by hand: four intervals with a count on either side, three with a blank on either side.
    #[test]
    fn scored_and_unscored_intervals_are_counted_apart() {
        let agreement = of_counts(&[1, 5, 2, 0, 0], &[1, 2, 0, 3, 0]).unwrap();
        near(agreement.total, 6.0 / 8.0);
        near(Some(agreement.exact), 2.0 / 5.0);
        near(Some(agreement.mean_count), (1.0 + 0.4 + 1.0) / 5.0);
        near(Some(agreement.interval), 3.0 / 5.0);
        near(agreement.scored, 2.0 / 4.0);
        near(agreement.unscored, 1.0 / 3.0);
    }

    #[test]
    fn equal_totals_can_hide_that_no_interval_agrees() {
        let hidden = CountAgreement {
            total: Some(1.0),
            exact: 0.0,
            mean_count: 0.0,
            interval: 0.0,
            scored: Some(0.0),
            unscored: Some(0.0),
        };
        assert_eq!(of_counts(&[2, 0], &[0, 2]), Some(hidden));
    }

    #[test]
    fn what_was_never_counted_is_left_blank() {
        let nothing = of_counts(&[0, 0], &[0, 0]).unwrap();
        assert_eq!((nothing.total, nothing.scored), (None, None));
        assert_eq!(nothing.unscored, Some(1.0));
        assert_eq!(nothing.mean_count, 1.0);
        let always = of_counts(&[1, 1], &[1, 1]).unwrap();
        assert_eq!((always.scored, always.unscored), (Some(1.0), None));
        assert_eq!((always.exact, always.interval), (1.0, 1.0));
        let one_sided = of_counts(&[0, 0], &[1, 0]).unwrap();
        assert_eq!((one_sided.total, one_sided.scored), (Some(0.0), Some(0.0)));
    }

    #[test]
    fn intervals_that_do_not_match_say_nothing() {
        assert_eq!(of_counts(&[], &[]), None);
        assert_eq!(of_counts(&[1], &[]), None);
        assert_eq!(of_counts(&[1, 2], &[1, 2, 3]), None);
    }

    #[test]
    fn the_greatest_counts_do_not_overflow() {
        let agreement = of_counts(&[u32::MAX; 3], &[u32::MAX; 3]).unwrap();
        assert_eq!((agreement.total, agreement.exact), (Some(1.0), 1.0));
        assert_eq!(kappa(&[[u32::MAX, 0], [0, u32::MAX]]), Some(1.0));
    }

    // Computed; the first is the usual textbook table.
    #[test]
    fn kappa_of_two_classes_is_the_computed_one() {
        near(kappa(&[[20, 5], [10, 15]]), 0.4);
        near(kappa(&[[1, 1], [1, 57]]), 0.482_759);
    }

    // Computed: sixty intervals, a bite seen by both in one, by either one alone in one each.
    #[test]
    fn rare_bites_agree_in_97_of_100_intervals_and_hardly_in_kappa() {
        let (mut one, mut other) = ([0; 60], [0; 60]);
        (one[0], one[1]) = (1, 1);
        (other[0], other[2]) = (1, 1);
        let agreement = of_counts(&one, &other).unwrap();
        near(Some(agreement.interval), 0.966_667);
        near(agreement.scored, 1.0 / 3.0);
        assert!(kappa(&[[1, 1], [1, 57]]).unwrap() < 0.5);
    }

    // Computed from the definitions.
    #[test]
    fn kappa_of_three_ordered_classes_is_the_computed_one() {
        let table = [[22, 3, 0], [2, 9, 1], [0, 1, 2]];
        near(kappa(&table), 0.664_671);
        near(linear_weighted_kappa(&table), 0.714_868);
    }

    #[test]
    fn being_far_apart_costs_more_only_when_weighted() {
        let (close, far) = (
            [[5, 5, 0], [0, 5, 0], [0, 0, 5]],
            [[5, 0, 5], [0, 5, 0], [0, 0, 5]],
        );
        assert!(linear_weighted_kappa(&close) > linear_weighted_kappa(&far));
        near(kappa(&close), kappa(&far).unwrap());
    }

    #[test]
    fn with_two_classes_weights_change_nothing() {
        let table = [[20, 5], [10, 15]];
        assert_eq!(linear_weighted_kappa(&table), kappa(&table));
    }

    #[test]
    fn full_agreement_is_one_chance_is_zero_and_reversal_is_below() {
        assert_eq!(kappa(&[[3, 0], [0, 7]]), Some(1.0));
        assert_eq!(kappa(&[[5, 5], [5, 5]]), Some(0.0));
        assert_eq!(kappa(&[[0, 5], [5, 0]]), Some(-1.0));
    }

    #[test]
    fn one_class_only_or_no_rating_leaves_kappa_blank() {
        assert_eq!(kappa(&[[0, 0], [0, 0]]), None);
        assert_eq!(kappa(&[[60, 0], [0, 0]]), None);
        assert_eq!(kappa(&[[0, 0], [0, 60]]), None);
        assert_eq!(kappa(&[[9]]), None);
        assert_eq!(kappa::<[u32; 0]>(&[]), None);
        assert_eq!(linear_weighted_kappa(&[[0; 3]; 3]), None);
        // One of them only ever said one class: kappa is defined, and zero.
        assert_eq!(kappa(&[[50, 10], [0, 0]]), Some(0.0));
    }
    #[test]
    fn a_table_that_is_not_square_says_nothing() {
        assert_eq!(kappa(&[vec![1, 2], vec![3]]), None);
        assert_eq!(kappa(&[vec![1, 2, 0], vec![3, 1, 0]]), None);
        assert_eq!(linear_weighted_kappa(&[[1, 2, 3]]), None);
    }

    #[test]
    fn a_table_made_while_the_program_runs_gives_the_same() {
        let rows = vec![vec![22, 3, 0], vec![2, 9, 1], vec![0, 1, 2]];
        let fixed = [[22, 3, 0], [2, 9, 1], [0, 1, 2]];
        assert_eq!(kappa(&rows), kappa(&fixed));
        assert_eq!(linear_weighted_kappa(&rows), linear_weighted_kappa(&fixed));
    }

    // Counted by hand: of six pairs of four people, three of three alike, one of two and two, none of four apart.
    #[test]
    fn pairs_who_said_the_same_are_counted() {
        assert_eq!(pairs_alike(&[4, 0]), Some(1.0));
        assert_eq!(pairs_alike(&[3, 1]), Some(0.5));
        near(pairs_alike(&[2, 2]), 2.0 / 6.0);
        assert_eq!(pairs_alike(&[1, 1, 1, 1]), Some(0.0));
        assert_eq!(pairs_alike(&[1, 1]), Some(0.0));
        for nobody in [&[][..], &[0, 0], &[1, 0], &[0, 1]] {
            assert_eq!(pairs_alike(nobody), None);
        }
    }

    // Fleiss (1971): thirty patients put into five groups by six psychiatrists each, kappa 0.430. The table as the tests of
    // statsmodels 0.15.0 hold it, rater by rater, here counted for each patient.
    #[test]
    fn fleiss_own_example_is_0_430() {
        let said = [
            "444444", "222555", "233335", "555555", "222444", "113333", "333355", "113334",
            "114444", "555555", "144444", "124444", "222333", "144444", "224445", "333335",
            "111455", "111112", "224444", "133555", "555555", "244444", "224555", "114444",
            "144445", "222224", "111155", "224444", "133333", "555555",
        ];
        let table: Vec<Vec<u32>> = said
            .iter()
            .map(|patient| {
                ('1'..='5')
                    .map(|group| patient.chars().filter(|it| *it == group).count() as u32)
                    .collect()
            })
            .collect();
        let sums: Vec<u32> = (0..5)
            .map(|group| table.iter().map(|row| row[group]).sum())
            .collect();
        assert_eq!(sums, [26, 26, 30, 55, 43]);
        let kappa = fleiss_kappa(&table).unwrap();
        assert!((kappa - 0.430).abs() < 0.0005, "{kappa}");
    }

    // Computed from the definition: of one item all say yes, of the other two of three; chance 26/36, seen 4/6, so -1/5.
    #[test]
    fn fleiss_kappa_of_two_items_is_the_computed_one() {
        near(fleiss_kappa(&[[3, 0], [2, 1]]), -0.2);
    }

    #[test]
    fn fleiss_kappa_is_one_for_full_agreement_and_below_zero_for_none() {
        assert_eq!(fleiss_kappa(&[[3, 0], [0, 3]]), Some(1.0));
        assert_eq!(fleiss_kappa(&[[1, 1], [1, 1]]), Some(-1.0));
    }

    #[test]
    fn fleiss_kappa_is_blank_where_it_has_no_meaning() {
        assert_eq!(fleiss_kappa::<[u32; 2]>(&[]), None);
        // One class alone, one person alone, not the same number of people, not the same classes.
        assert_eq!(fleiss_kappa(&[[3, 0], [3, 0]]), None);
        assert_eq!(fleiss_kappa(&[[1, 0], [0, 1]]), None);
        assert_eq!(fleiss_kappa(&[[0, 0], [0, 0]]), None);
        assert_eq!(fleiss_kappa(&[[3, 0], [2, 0]]), None);
        assert_eq!(fleiss_kappa(&[vec![3, 0], vec![2, 1, 0]]), None);
    }
}
