//! Where a bird may be on the ladder after so many repetitions: the chance of every rung and every run so far.

use super::rung::Chances;

/// The chances of all places on a ladder. What is missing from 1 has passed the last rung.
#[derive(Debug, Clone)]
pub(super) struct Walk<'a> {
    ladder: &'a [Chances],
    /// How many rungs aggression costs.
    back: usize,
    /// For each rung, the chance of each number of calm repetitions in a row so far.
    places: Vec<Vec<f64>>,
    /// Expected repetitions so far, and those with aggression among them.
    spent: Spent,
}

/// What is expected to be spent on the way.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Spent {
    pub(super) repetitions: f64,
    /// Those with aggression among them.
    pub(super) aggressive: f64,
}

impl Spent {
    fn one(&mut self, here: f64, chances: &Chances) {
        self.repetitions += here;
        self.aggressive += here * chances.aggression;
    }
}

impl<'a> Walk<'a> {
    /// Nobody on the ladder yet.
    pub(super) fn empty(ladder: &'a [Chances], run: u32, back: usize) -> Self {
        let nobody: Vec<f64> = (0..run).map(|_| 0.0).collect();
        Self {
            ladder,
            back,
            places: vec![nobody; ladder.len()],
            spent: Spent::default(),
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
        match self
            .places
            .get_mut(rung)
            .and_then(|place| place.first_mut())
        {
            Some(so_far) => {
                *so_far += chance;
                None
            }
            None => Some(chance),
        }
    }

    /// One repetition. Gives the chance that it was the one that passed the last rung.
    pub(super) fn step(&mut self) -> f64 {
        let mut arrivals = Vec::with_capacity(2 * self.places.len());
        for (rung, (place, chances)) in self.places.iter_mut().zip(self.ladder).enumerate() {
            let here: f64 = place.iter().sum();
            if here == 0.0 {
                continue;
            }
            self.spent.one(here, chances);
            for chance in place.iter_mut() {
                *chance *= chances.calm;
            }
            // One more in each run. What was the last place comes first now: with this calm one its run is complete.
            place.rotate_right(1);
            let rises = place
                .first_mut()
                .map_or(0.0, |start| std::mem::replace(start, chances.mild * here));
            arrivals.push((rung + 1, rises));
            arrivals.push((rung.saturating_sub(self.back), chances.aggression * here));
        }
        // What rises from the last rung finds no rung above it: it has finished.
        arrivals
            .into_iter()
            .filter_map(|(rung, chance)| self.put(rung, chance))
            .sum()
    }

    /// The first repetition of a session that opens with a warm-up, from the rungs the session before ended on. Gives the
    /// chance that it was the one that passed the last rung.
    ///
    /// The runs so far are dropped. On the first rung there is no warm-up and it is a repetition like any other. Above
    /// it, it is on the rung below and counts towards no run: calm leads up to the rung again, arousal stays on the lower
    /// rung, and aggression costs what it costs there.
    pub(super) fn warm_up(&mut self) -> f64 {
        let ended_on = self.on_rungs();
        for chance in self.places.iter_mut().flatten() {
            *chance = 0.0;
        }
        self.put(0, ended_on.first().copied().unwrap_or_default());
        let passed = self.step();
        for (below, (chances, here)) in self.ladder.iter().zip(ended_on.iter().skip(1)).enumerate()
        {
            self.spent.one(*here, chances);
            self.put(below + 1, here * chances.calm);
            self.put(below, here * chances.mild);
            let back = below.saturating_sub(self.back);
            self.put(back, here * chances.aggression);
        }
        passed
    }

    /// The expected repetitions so far, each weighed with the chance that it took place.
    pub(super) fn spent(&self) -> Spent {
        self.spent
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
    use super::{Chances, Spent, Walk};

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
        let spent = Spent {
            repetitions: 4.0,
            aggressive: 1.5,
        };
        assert_eq!(walk.spent(), spent);
        walk.step();
        assert_eq!(walk.spent().repetitions, 4.9375);
    }

    // By hand: a quarter ended on each of four rungs, with a run begun on the third that is dropped. The second warms up
    // on the first, where aggression costs nothing; the third on the second, the fourth on the third.
    #[test]
    fn a_warm_up_is_on_the_rung_below() {
        let ladder = [HALVES; 4];
        let mut walk = Walk::empty(&ladder, 2, 1);
        for rung in [0, 1, 3] {
            walk.put(rung, 0.25);
        }
        walk.places[2][1] = 0.25;
        assert_eq!(walk.warm_up(), 0.0);
        let (calm, mild, aggression) = (0.125, 0.031_25, 0.093_75);
        let (hold, fall) = (mild + aggression, aggression);
        assert_eq!(
            walk.places,
            [
                [hold + hold + fall, calm],
                [calm + mild + fall, 0.0],
                [calm + mild, 0.0],
                [calm, 0.0],
            ]
        );
        let spent = Spent {
            repetitions: 1.0,
            aggressive: 0.375,
        };
        assert_eq!(walk.spent(), spent);
    }

    #[test]
    fn on_the_first_rung_there_is_no_warm_up() {
        let ladder = [HALVES];
        let mut walk = Walk::from_the_first_rung(&ladder, 1, 1);
        assert_eq!((walk.warm_up(), walk.unfinished()), (0.5, 0.5));
        let mut nobody = Walk::empty(&[], 1, 1);
        assert_eq!((nobody.warm_up(), nobody.unfinished()), (0.0, 0.0));
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
