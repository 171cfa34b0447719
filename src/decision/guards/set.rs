//! A set of guards, a bit each: which of them an answer could change is asked for every blank of every form.

/// A set of guards by their places.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(in super::super) struct GuardSet(Vec<u64>);

impl GuardSet {
    /// Takes one in.
    pub(in super::super) fn insert(&mut self, guard: usize) {
        let word = guard / 64;
        if self.0.len() <= word {
            self.0.resize(word + 1, 0);
        }
        self.0[word] |= 1 << (guard % 64);
    }

    /// Takes one out.
    pub(in super::super) fn remove(&mut self, guard: usize) {
        if let Some(word) = self.0.get_mut(guard / 64) {
            *word &= !(1 << (guard % 64));
        }
    }

    /// Takes in all of another set.
    pub(in super::super) fn extend(&mut self, other: &Self) {
        if self.0.len() < other.0.len() {
            self.0.resize(other.0.len(), 0);
        }
        for (word, other) in self.0.iter_mut().zip(&other.0) {
            *word |= other;
        }
    }

    /// True when there is none.
    pub(in super::super) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    /// All of them, in order.
    pub(in super::super) fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        bits(self.0.iter().copied())
    }

    /// Those that are in another set as well, in order.
    pub(in super::super) fn and<'s>(&'s self, other: &'s Self) -> impl Iterator<Item = usize> + 's {
        bits(self.0.iter().zip(&other.0).map(|(one, other)| one & other))
    }

    /// Those that are not in another set, in order.
    pub(in super::super) fn without<'s>(
        &'s self,
        other: &'s Self,
    ) -> impl Iterator<Item = usize> + 's {
        let others = other.0.iter().copied().chain(std::iter::repeat(0));
        bits(self.0.iter().zip(others).map(|(one, other)| one & !other))
    }

    /// True when none is in another set as well.
    pub(in super::super) fn is_apart(&self, other: &Self) -> bool {
        self.0
            .iter()
            .zip(&other.0)
            .all(|(one, other)| one & other == 0)
    }

    /// True when all of them are in another set.
    pub(in super::super) fn is_within(&self, other: &Self) -> bool {
        let others = other.0.iter().copied().chain(std::iter::repeat(0));
        self.0
            .iter()
            .zip(others)
            .all(|(one, other)| one & !other == 0)
    }
}

fn bits(words: impl Iterator<Item = u64>) -> impl Iterator<Item = usize> {
    words.enumerate().flat_map(|(at, word)| {
        let mut left = word;
        std::iter::from_fn(move || {
            let bit = (left != 0).then(|| left.trailing_zeros() as usize)?;
            left &= left - 1;
            Some(at * 64 + bit)
        })
    })
}

impl FromIterator<usize> for GuardSet {
    fn from_iter<T: IntoIterator<Item = usize>>(guards: T) -> Self {
        let mut set = Self::default();
        guards.into_iter().for_each(|guard| set.insert(guard));
        set
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_of_any_length_are_held_against_each_other() {
        let few: GuardSet = [3, 64].into_iter().collect();
        let many: GuardSet = [3, 64, 130].into_iter().collect();
        let none = GuardSet::default();
        assert_eq!(many.iter().collect::<Vec<_>>(), [3, 64, 130]);
        assert_eq!(many.and(&few).collect::<Vec<_>>(), [3, 64]);
        assert_eq!(many.without(&few).collect::<Vec<_>>(), [130]);
        assert!(few.is_within(&many) && !many.is_within(&few));
        assert!(none.is_within(&few) && none.is_apart(&many));
        assert!(!few.is_apart(&many));
        let mut left = many.clone();
        left.remove(64);
        left.remove(500);
        assert_eq!(left.iter().collect::<Vec<_>>(), [3, 130]);
        left.extend(&few);
        assert_eq!(left, many);
    }
}
