//! Numbers that look random and are the same for the same seed, on every machine.

/// A stream of numbers. Only functions that do not hang on the width of the machine's words are used, and the crate is pinned: its
/// sequence changed once between minor versions.
#[derive(Debug)]
pub(crate) struct Random(fastrand::Rng);

impl Random {
    /// The stream of one form, for one purpose: it does not hang on how many forms come before.
    pub(crate) fn of(seed: u64, form: u64, purpose: u64) -> Self {
        let mut mixed = fastrand::Rng::with_seed(seed);
        for part in [form, purpose] {
            mixed =
                fastrand::Rng::with_seed(mixed.u64(..) ^ part.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        }
        Self(mixed)
    }

    /// A number below `end`; 0 where there is none.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        if end == 0 {
            return 0;
        }
        usize::try_from(self.0.u64(..end as u64)).unwrap_or(0)
    }

    /// A number from `least` to `most`, both included.
    pub(crate) fn between(&mut self, least: usize, most: usize) -> usize {
        least + self.below(most.saturating_sub(least) + 1)
    }

    /// A number from `least` to `most`, in steps of a thousandth of the way.
    pub(crate) fn share(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.below(1001) as f64 / 1000.0
    }

    /// True so many times in a thousand.
    pub(crate) fn chance(&mut self, in_a_thousand: usize) -> bool {
        self.below(1000) < in_a_thousand
    }

    /// One of several.
    pub(crate) fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        from.get(self.below(from.len()))
    }
}
