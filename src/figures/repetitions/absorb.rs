//! How much is gathered on the way to the end of a chain of any shape, without a subtraction.
//!
//! The states are taken out one by one, the last first, and what each one passes on is handed to those that lead to it.
//! The chance of leaving a state is added up from where it leads to, never taken as 1 less the chance of staying. So
//! nothing cancels, however small the chance to finish is (the elimination of Grassmann, Taksar and Heyman, 1985,
//! Operations Research 33, from memory).

/// One state of a chain that gathers so many kinds of things.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct State<const KINDS: usize> {
    /// Chance of going to each state next, itself included.
    pub(super) to: Vec<f64>,
    /// Chance of ending here.
    pub(super) ends: f64,
    /// What each visit gathers: sessions, repetitions and the like.
    pub(super) gathers: [f64; KINDS],
}

/// What is gathered from the first state to the end; `None` for a chain without states.
///
/// Every `to` has one chance for each state. From a state that cannot end the result is no finite number. A chain whose
/// states lead only to those near them in the list is solved faster: what leads nowhere is passed over.
pub(super) fn gathered<const KINDS: usize>(mut chain: Vec<State<KINDS>>) -> Option<[f64; KINDS]> {
    let mut total = None;
    while let Some(mut last) = chain.pop() {
        // Staying only means one more visit.
        last.to.pop();
        let leaves = last.to.iter().sum::<f64>() + last.ends;
        for state in &mut chain {
            let Some(into) = state.to.pop() else {
                continue;
            };
            if into == 0.0 {
                continue;
            }
            let visits = into / leaves;
            for (direct, onward) in state.to.iter_mut().zip(&last.to) {
                *direct += visits * onward;
            }
            state.ends += visits * last.ends;
            for (own, passed_on) in state.gathers.iter_mut().zip(last.gathers) {
                *own += visits * passed_on;
            }
        }
        total = Some(last.gathers.map(|each| each / leaves));
    }
    total
}

/// A chain followed step by step.
#[derive(Debug, Clone)]
pub(super) struct Followed<'a, const KINDS: usize> {
    chain: &'a [State<KINDS>],
    /// The chance of being in each state.
    at: Vec<f64>,
}

impl<'a, const KINDS: usize> Followed<'a, KINDS> {
    /// Nobody in the chain yet.
    pub(super) fn empty(chain: &'a [State<KINDS>]) -> Self {
        Self {
            chain,
            at: vec![0.0; chain.len()],
        }
    }

    /// Surely in the first state.
    pub(super) fn from_the_first(chain: &'a [State<KINDS>]) -> Self {
        let mut followed = Self::empty(chain);
        followed.start(1.0);
        followed
    }

    /// More chance in the first state.
    pub(super) fn start(&mut self, chance: f64) {
        if let Some(first) = self.at.first_mut() {
            *first += chance;
        }
    }

    /// One step. Gives `ended` and what has ended with this step.
    pub(super) fn step(&mut self, mut ended: f64) -> f64 {
        let mut next = vec![0.0; self.at.len()];
        for (state, chance) in self.chain.iter().zip(&self.at) {
            ended += chance * state.ends;
            for (there, onward) in next.iter_mut().zip(&state.to) {
                *there += chance * onward;
            }
        }
        self.at = next;
        ended
    }
}

#[cfg(test)]
mod tests {
    use super::{Followed, State, gathered};

    fn state<const KINDS: usize>(to: &[f64], ends: f64, gathers: [f64; KINDS]) -> State<KINDS> {
        State {
            to: to.to_vec(),
            ends,
            gathers,
        }
    }

    #[test]
    fn one_state_is_visited_until_it_ends() {
        assert_eq!(
            gathered(vec![state(&[0.75], 0.25, [1.0, 3.0])]),
            Some([4.0, 12.0])
        );
        assert_eq!(gathered(vec![state(&[0.5], 0.5, [7.0])]), Some([14.0]));
        assert_eq!(gathered::<2>(Vec::new()), None);
    }

    // By hand: t1 = 1 + t1/4 + t2/2 and t2 = 1 + t1/2 + t2/4 give 4 each; with 1 and 2 gathered, 28/5 from the first.
    #[test]
    fn two_states_by_hand() {
        let chain = vec![
            state(&[0.25, 0.5], 0.25, [1.0, 1.0]),
            state(&[0.5, 0.25], 0.25, [1.0, 2.0]),
        ];
        let [ones, mixed] = gathered(chain).unwrap();
        assert!(
            (ones - 4.0).abs() < 1e-14 && (mixed - 5.6).abs() < 1e-14,
            "{ones} {mixed}"
        );
    }

    #[test]
    fn a_chain_that_cannot_end_has_no_finite_sum() {
        let chain = vec![
            state(&[0.5, 0.5], 0.0, [1.0, 1.0]),
            state(&[0.5, 0.5], 0.0, [1.0, 1.0]),
        ];
        assert!(gathered(chain).unwrap().iter().all(|sum| !sum.is_finite()));
    }

    // By hand: the second is never come to; whether it can end does not matter.
    #[test]
    fn what_is_never_visited_gathers_nothing() {
        let chain = vec![
            state(&[0.5, 0.0], 0.5, [1.0, 2.0, 0.5]),
            state(&[0.0, 1.0], 0.0, [1.0, 1.0, 1.0]),
        ];
        assert_eq!(gathered(chain), Some([2.0, 4.0, 1.0]));
    }

    // A chance to end that is lost when taken as 1 less the rest: still exact.
    #[test]
    fn the_smallest_chance_to_end_is_not_lost() {
        let chain = vec![
            state(&[0.5, 0.5], 0.0, [1.0, 1.0]),
            state(&[1.0, 0.0], 1e-30, [1.0, 0.0]),
        ];
        let [both, first] = gathered(chain).unwrap();
        assert!((both / 3e30 - 1.0).abs() < 1e-14, "{both}");
        assert!((first / 2e30 - 1.0).abs() < 1e-14, "{first}");
    }

    // By hand: from the first state a quarter ends, a quarter stays and half changes over; half of the second ends.
    #[test]
    fn a_chain_is_followed_step_by_step() {
        let chain = [
            state(&[0.25, 0.5], 0.25, [1.0]),
            state(&[0.5, 0.0], 0.5, [1.0]),
        ];
        let mut followed = Followed::from_the_first(&chain);
        assert_eq!(followed.step(0.0), 0.25);
        assert_eq!(followed.at, [0.25, 0.5]);
        assert_eq!(followed.step(0.25), 0.5625);
        assert_eq!(followed.at, [0.3125, 0.125]);
        followed.start(0.5);
        assert_eq!(followed.at, [0.8125, 0.125]);
        let mut nobody = Followed::empty(&chain);
        assert_eq!((nobody.step(0.0), nobody.at), (0.0, vec![0.0, 0.0]));
        let mut nowhere = Followed::<1>::from_the_first(&[]);
        assert_eq!(nowhere.step(0.0), 0.0);
    }
}
