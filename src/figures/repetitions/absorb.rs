//! How much is gathered on the way to the end of a chain of any shape, without a subtraction.
//!
//! The states are taken out one by one, the last first, and what each one passes on is handed to those that lead to it.
//! The chance of leaving a state is added up from where it leads to, never taken as 1 less the chance of staying. So
//! nothing cancels, however small the chance to finish is (the elimination of Grassmann, Taksar and Heyman, 1985,
//! Operations Research 33, from memory).

/// One state of a chain.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct State {
    /// Chance of going to each state next, itself included.
    pub(super) to: Vec<f64>,
    /// Chance of ending here.
    pub(super) ends: f64,
    /// What each visit gathers: sessions and repetitions.
    pub(super) gathers: [f64; 2],
}

/// What is gathered from the first state to the end; `None` for a chain without states.
///
/// Every `to` has one chance for each state. From a state that cannot end the result is no finite number.
pub(super) fn gathered(mut chain: Vec<State>) -> Option<[f64; 2]> {
    let mut total = None;
    while let Some(mut last) = chain.pop() {
        // Staying only means one more visit.
        last.to.pop();
        let leaves = last.to.iter().sum::<f64>() + last.ends;
        for state in &mut chain {
            let Some(into) = state.to.pop() else {
                continue;
            };
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

#[cfg(test)]
mod tests {
    use super::{State, gathered};

    fn state(to: &[f64], ends: f64, gathers: [f64; 2]) -> State {
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
        assert_eq!(gathered(Vec::new()), None);
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
}
