//! What a bird likes best, from what it took: offered in pairs, or all at once without putting back what was taken.
//!
//! Compare the ranks, not the scores with a mark: what is always taken last of five still scores a fifth. A preference
//! holds for the day and the bird; keepers' own opinions often miss it (Gaalema and others 2011).

use super::input::{Unusable, within};

/// Fewest things that are compared.
pub const FEWEST_ITEMS: usize = 2;

/// Most things that are compared. Our own choice.
pub const MOST_ITEMS: usize = 20;

/// Most trials or rounds that are read together.
pub const MOST_TRIALS: usize = 1_000;

/// One offer of two things, each named by its place in the list, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Pair {
    /// What was on the one side.
    pub one: usize,
    /// What was on the other side.
    pub other: usize,
    /// Which side was taken, if any.
    pub taken: Option<PairSide>,
}

/// A side of a [`Pair`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PairSide {
    /// The one.
    One,
    /// The other.
    Other,
}

/// How one thing fared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Score {
    /// How often it was taken.
    pub taken: u32,
    /// In how many choices it was there to be taken.
    pub available: u32,
    /// Points for places: of n things the first taken gets n, the last 1, what was left nothing. None in pairs.
    pub points: u32,
}

impl Score {
    /// Of the choices in which it was there, the percentage in which it was taken. `None` when it never was.
    #[must_use]
    pub fn percent(&self) -> Option<f64> {
        (self.available > 0).then(|| 100.0 * f64::from(self.taken) / f64::from(self.available))
    }
}

/// Scores of things offered in pairs, in the order of the list. An offer from which nothing was taken counts for both.
///
/// Paired choice, Fisher and others (1992, Journal of Applied Behavior Analysis 25:491-498). Every pair
/// should be offered, and again with the sides swapped; a bird that always takes the same side shows no preference.
///
/// # Errors
/// [`Unusable`] when `items` is not from [`FEWEST_ITEMS`] to [`MOST_ITEMS`], when there are more than [`MOST_TRIALS`]
/// offers, or when an offer names a thing that is not on the list, or one thing twice.
pub fn paired(items: usize, offers: &[Pair]) -> Result<Vec<Score>, Unusable> {
    let mut scores = blank(items, offers.len())?;
    for offer in offers {
        // Something offered against itself is there twice, where once is the most.
        within(f64::from(u8::from(offer.one == offer.other)), 0.0, 0.0)?;
        for (item, side) in [(offer.one, PairSide::One), (offer.other, PairSide::Other)] {
            let score = on_the_list(&mut scores, item)?;
            score.available += 1;
            score.taken += u32::from(offer.taken == Some(side));
        }
    }
    Ok(scores)
}

/// Scores of things laid out all at once, in the order of the list.
///
/// Each round is the order in which things were taken, by their places in the list, from 0; what was taken is not put
/// back. Multiple stimulus without replacement, DeLeon and Iwata (1996, Journal of Applied Behavior Analysis
/// 29:519-533). A round may end early: what was left was there in every choice that was made.
///
/// # Errors
/// [`Unusable`] when `items` is not from [`FEWEST_ITEMS`] to [`MOST_ITEMS`], when there are more than [`MOST_TRIALS`]
/// rounds, or when a round names a thing that is not on the list, or one thing twice.
pub fn without_replacement(items: usize, rounds: &[Vec<usize>]) -> Result<Vec<Score>, Unusable> {
    let mut scores = blank(items, rounds.len())?;
    for round in rounds {
        let mut left = vec![true; items];
        let mut points = items as u32;
        for taken in round {
            let score = on_the_list(&mut scores, *taken)?;
            score.taken += 1;
            score.points += points;
            // What was taken before is no longer there.
            let is_left = left.get(*taken).copied().unwrap_or(false);
            within(f64::from(u8::from(is_left)), 1.0, 1.0)?;
            for (score, _) in scores.iter_mut().zip(&left).filter(|(_, left)| **left) {
                score.available += 1;
            }
            if let Some(left) = left.get_mut(*taken) {
                *left = false;
            }
            points = points.saturating_sub(1);
        }
    }
    Ok(scores)
}

/// Ranks of scores, 1 for the highest; equal scores share the mean of their places. A blank or a number that is not
/// finite has no rank and takes no place.
#[must_use]
pub fn ranks(scores: &[Option<f64>]) -> Vec<Option<f64>> {
    let known = |score: &Option<f64>| score.filter(|score| score.is_finite());
    scores
        .iter()
        .map(|score| {
            known(score).map(|own| {
                let others = || scores.iter().filter_map(known);
                let above = others().filter(|other| *other > own).count();
                let level = others().filter(|other| *other >= own).count() - above;
                above as f64 + (level as f64 + 1.0) / 2.0
            })
        })
        .collect()
}

/// A score of nothing for each thing.
fn blank(items: usize, trials: usize) -> Result<Vec<Score>, Unusable> {
    within(items as f64, FEWEST_ITEMS as f64, MOST_ITEMS as f64)?;
    within(trials as f64, 0.0, MOST_TRIALS as f64)?;
    Ok(vec![Score::default(); items])
}

fn on_the_list(scores: &mut [Score], item: usize) -> Result<&mut Score, Unusable> {
    let most = scores.len().saturating_sub(1) as f64;
    scores
        .get_mut(item)
        .ok_or(Unusable::OutOfRange { least: 0.0, most })
}

#[cfg(test)]
mod tests {
    use super::{Pair, PairSide, Score, Unusable, paired, ranks, without_replacement};

    fn percents(scores: &[Score]) -> Vec<Option<f64>> {
        scores.iter().map(Score::percent).collect()
    }

    fn near(got: &[Option<f64>], expected: &[f64]) {
        assert_eq!(got.len(), expected.len());
        for (got, expected) in got.iter().zip(expected) {
            assert!(
                (got.unwrap() - expected).abs() <= 1e-6,
                "{got:?} {expected}"
            );
        }
    }

    fn outside<T>(least: f64, most: f64) -> Result<T, Unusable> {
        Err(Unusable::OutOfRange { least, most })
    }

    fn offer(one: usize, other: usize, taken: Option<PairSide>) -> Pair {
        Pair { one, other, taken }
    }

    /// Walnut, pine nut, apple, seed and pellet in three rounds.
    fn five_foods() -> Vec<Score> {
        let rounds = [
            vec![0, 1, 2, 3, 4],
            vec![1, 0, 2, 4, 3],
            vec![0, 1, 3, 2, 4],
        ];
        without_replacement(5, &rounds).unwrap()
    }

    // Scored as DeLeon and Iwata (1996) do; the rounds are an own example, computed.
    #[test]
    fn five_foods_in_three_rounds_have_their_computed_scores() {
        let scores = five_foods();
        let expected = [75.0, 60.0, 30.0, 25.0, 21.428_571];
        near(&percents(&scores), &expected);
        assert!(scores.iter().all(|score| score.taken == 3));
        let available: Vec<u32> = scores.iter().map(|score| score.available).collect();
        assert_eq!(available, [4, 5, 10, 12, 14]);
        let points: Vec<u32> = scores.iter().map(|score| score.points).collect();
        assert_eq!(points, [14, 13, 8, 6, 4]);
    }

    #[test]
    fn the_percentages_and_the_points_of_the_five_foods_rank_alike() {
        let scores = five_foods();
        let by_percent = ranks(&percents(&scores));
        near(&by_percent, &[1.0, 2.0, 3.0, 4.0, 5.0]);
        let points: Vec<Option<f64>> = scores
            .iter()
            .map(|score| Some(f64::from(score.points)))
            .collect();
        assert_eq!(ranks(&points), by_percent);
    }

    #[test]
    fn what_is_always_taken_last_of_five_scores_a_fifth() {
        let scores = without_replacement(5, &[vec![0, 1, 2, 3, 4], vec![3, 2, 1, 0, 4]]).unwrap();
        assert_eq!(scores[4].percent(), Some(20.0));
    }

    // Computed: four things, each pair twice, so six offers each; taken 6, 3, 2 and 1 times.
    #[test]
    fn four_things_in_every_pair_twice_have_their_computed_scores() {
        use PairSide::{One, Other};
        let offers = [
            offer(0, 1, Some(One)),
            offer(1, 0, Some(Other)),
            offer(0, 2, Some(One)),
            offer(2, 0, Some(Other)),
            offer(0, 3, Some(One)),
            offer(3, 0, Some(Other)),
            offer(1, 2, Some(One)),
            offer(2, 1, Some(One)),
            offer(1, 3, Some(One)),
            offer(3, 1, Some(Other)),
            offer(2, 3, Some(One)),
            offer(3, 2, Some(One)),
        ];
        let scores = paired(4, &offers).unwrap();
        near(&percents(&scores), &[100.0, 50.0, 33.333_333, 16.666_667]);
        let all_six = |score: &Score| (score.available, score.points) == (6, 0);
        assert!(scores.iter().all(all_six));
        near(&ranks(&percents(&scores)), &[1.0, 2.0, 3.0, 4.0]);
    }

    #[test]
    fn an_offer_that_is_left_counts_for_both_and_one_never_made_for_none() {
        let scores = paired(3, &[offer(0, 1, None), offer(1, 0, Some(PairSide::One))]).unwrap();
        assert_eq!(percents(&scores), [Some(0.0), Some(50.0), None]);
        assert_eq!(paired(2, &[]), Ok(vec![Score::default(); 2]));
    }

    #[test]
    fn a_round_that_ends_early_counts_the_choices_that_were_made() {
        let scores = without_replacement(3, &[vec![1, 2], vec![1]]).unwrap();
        near(&percents(&scores), &[0.0, 100.0, 100.0 / 3.0]);
        let points: Vec<u32> = scores.iter().map(|score| score.points).collect();
        assert_eq!(points, [0, 6, 2]);
        let once = without_replacement(3, &[vec![1]]).unwrap();
        assert_eq!(percents(&once), [Some(0.0), Some(100.0), Some(0.0)]);
        let nothing = without_replacement(3, &[vec![]]).unwrap();
        assert_eq!(percents(&nothing), [None, None, None]);
    }

    #[test]
    fn equal_scores_share_the_mean_of_their_places() {
        let rank = |scores: &[f64]| {
            let scores: Vec<Option<f64>> = scores.iter().copied().map(Some).collect();
            ranks(&scores)
        };
        near(&rank(&[10.0, 40.0, 10.0, 20.0]), &[3.5, 1.0, 3.5, 2.0]);
        near(&rank(&[5.0, 5.0, 5.0]), &[2.0, 2.0, 2.0]);
        assert!(rank(&[]).is_empty());
    }

    #[test]
    fn blanks_have_no_rank_and_take_no_place() {
        for blank in [None, Some(f64::NAN), Some(f64::INFINITY)] {
            let ranked = ranks(&[Some(20.0), blank, Some(60.0)]);
            assert_eq!(ranked, [Some(2.0), None, Some(1.0)]);
        }
    }

    #[test]
    fn records_that_cannot_be_are_refused() {
        for items in [0, 1, 21, usize::MAX] {
            assert_eq!(paired(items, &[]), outside(2.0, 20.0));
            assert_eq!(without_replacement(items, &[]), outside(2.0, 20.0));
        }
        assert!(paired(2, &[]).is_ok() && paired(20, &[]).is_ok());
        assert_eq!(paired(3, &[offer(0, 3, None)]), outside(0.0, 2.0));
        assert_eq!(paired(3, &[offer(3, 0, None)]), outside(0.0, 2.0));
        assert_eq!(paired(3, &[offer(1, 1, None)]), outside(0.0, 0.0));
        assert_eq!(without_replacement(3, &[vec![0, 3]]), outside(0.0, 2.0));
        assert_eq!(without_replacement(3, &[vec![0, 0]]), outside(1.0, 1.0));
        assert!(without_replacement(3, &[vec![0, 1, 2, 0]]).is_err());
        let offers = vec![offer(0, 1, None); 1_001];
        assert!(paired(2, &offers[..1_000]).is_ok());
        assert_eq!(paired(2, &offers), outside(0.0, 1_000.0));
        let rounds = vec![vec![0]; 1_001];
        assert!(without_replacement(2, &rounds[..1_000]).is_ok());
        assert_eq!(without_replacement(2, &rounds), outside(0.0, 1_000.0));
    }
}
