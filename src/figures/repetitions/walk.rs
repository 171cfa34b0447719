//! Where a bird may be on the ladder after so many repetitions: the chance of every rung and every run so far.

use super::rung::Chances;
use std::collections::VecDeque;

/// The chances of all places on a ladder. What is missing from 1 has passed the last rung.
#[derive(Debug, Clone)]
pub(super) struct Walk<'a> {
    ladder: &'a [Chances],
    /// How many rungs aggression costs.
    back: usize,
    /// For each rung, the chance of each number of calm repetitions in a row so far.
    places: Vec<VecDeque<f64>>,
}

impl<'a> Walk<'a> {
    /// Nobody on the ladder yet.
    pub(super) fn empty(ladder: &'a [Chances], run: u32, back: usize) -> Self {
        let nobody: VecDeque<f64> = (0..run).map(|_| 0.0).collect();
        Self {
            ladder,
            back,
            places: vec![nobody; ladder.len()],
        }
    }

    /// Surely at the start of the first rung.
    pub(super) fn from_the_first_rung(ladder: &'a [Chances], run: u32, back: usize) -> Self {
        let mut walk = Self::empty(ladder, run, back);
        walk.put(0, 1.0);
        walk
    }

    /// More chance at the start of a rung, counted from 0. Gives back what has no such rung to go to.
    pub(super) fn put(&mut self, rung: usize, chance: f64) -> Option<f64> {
        match self.places.get_mut(rung).and_then(VecDeque::front_mut) {
            Some(so_far) => {
                *so_far += chance;
                None
            }
            None => Some(chance),
        }
    }

    /// One repetition. Gives the chance that it was the one that passed the last rung.
    pub(super) fn step(&mut self) -> f64 {
        let mut arrivals = Vec::new();
        for (rung, (place, chances)) in self.places.iter_mut().zip(self.ladder).enumerate() {
            let here: f64 = place.iter().sum();
            // With this calm one the run is complete.
            let rises = chances.calm * place.pop_back().unwrap_or_default();
            for chance in place.iter_mut() {
                *chance *= chances.calm;
            }
            place.push_front(chances.mild * here);
            arrivals.push((rung + 1, rises));
            arrivals.push((rung.saturating_sub(self.back), chances.aggression * here));
        }
        // What rises from the last rung finds no rung above it: it has finished.
        arrivals
            .into_iter()
            .filter_map(|(rung, chance)| self.put(rung, chance))
            .sum()
    }

    /// The chance of being on each rung.
    pub(super) fn on_rungs(&self) -> Vec<f64> {
        self.places.iter().map(|place| place.iter().sum()).collect()
    }

    /// The chance of not having finished.
    pub(super) fn unfinished(&self) -> f64 {
        self.on_rungs().iter().sum()
    }
}

#[cfg(test)]
mod tests {
    use super::{Chances, Walk};

    const HALVES: Chances = Chances {
        calm: 0.5,
        mild: 0.125,
        aggression: 0.375,
    };

    // By hand: run of 2, two rungs.
    #[test]
    fn three_repetitions_followed_by_hand() {
        let ladder = [HALVES; 2];
        let mut walk = Walk::from_the_first_rung(&ladder, 2, 1);
        assert_eq!(walk.on_rungs(), [1.0, 0.0]);
        assert_eq!(walk.step(), 0.0);
        assert_eq!(walk.places, [[0.5, 0.5], [0.0, 0.0]]);
        assert_eq!(walk.step(), 0.0);
        assert_eq!(walk.places, [[0.5, 0.25], [0.25, 0.0]]);
        // From the first rung 0.125 rises, 0.75 / 2 starts again and 0.25 goes on; from the second 0.25 * 0.375 falls.
        assert_eq!(walk.step(), 0.0);
        assert_eq!(
            walk.places,
            [[0.375 + 0.093_75, 0.25], [0.125 + 0.031_25, 0.125]]
        );
        assert_eq!(walk.unfinished(), 1.0);
        assert_eq!(walk.step(), 0.0625);
        assert_eq!(walk.unfinished(), 0.9375);
    }

    #[test]
    fn aggression_costs_as_many_rungs_as_said_but_never_the_first() {
        let ladder = [HALVES; 4];
        let landing = |from, back| {
            let mut walk = Walk::empty(&ladder, 3, back);
            walk.put(from, 1.0);
            walk.step();
            walk.on_rungs()
        };
        assert_eq!(landing(3, 0), [0.0, 0.0, 0.0, 1.0]);
        assert_eq!(landing(3, 1), [0.0, 0.0, 0.375, 0.625]);
        assert_eq!(landing(3, 2), [0.0, 0.375, 0.0, 0.625]);
        assert_eq!(landing(1, 2), [0.375, 0.625, 0.0, 0.0]);
        assert_eq!(landing(0, 2), [1.0, 0.0, 0.0, 0.0]);
    }

    #[test]
    fn a_run_of_one_passes_a_rung_each_time() {
        let ladder = [HALVES];
        let mut walk = Walk::from_the_first_rung(&ladder, 1, 1);
        assert_eq!((walk.step(), walk.step(), walk.step()), (0.5, 0.25, 0.125));
        walk.put(1, 1.0);
        assert_eq!(walk.unfinished(), 0.125);
    }
}
