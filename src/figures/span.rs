//! A number known only between two ends.

/// A closed range: the number lies between `low` and `high`, both included. One value when they are equal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Least it can be.
    pub low: f64,
    /// Greatest it can be.
    pub high: f64,
}

impl Span {
    /// A number that is known.
    #[must_use]
    pub const fn exact(value: f64) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// The range between two numbers, in either order.
    #[must_use]
    pub const fn between(one: f64, other: f64) -> Self {
        Self {
            low: one.min(other),
            high: one.max(other),
        }
    }

    /// True when it is one value.
    #[must_use]
    pub fn is_exact(self) -> bool {
        self.low >= self.high
    }

    /// True when a value lies in it, ends included.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// The smallest range that holds both.
    #[must_use]
    pub const fn join(self, other: Self) -> Self {
        Self {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    /// Whether the number is at least a mark: `None` while that is open.
    #[must_use]
    pub fn at_least(self, mark: f64) -> Option<bool> {
        if self.low >= mark {
            Some(true)
        } else if self.high < mark {
            Some(false)
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Span;

    #[test]
    fn a_range_holds_its_ends() {
        let span = Span::between(3.0, 1.0);
        assert_eq!((span.low, span.high), (1.0, 3.0));
        assert!(span.holds(1.0) && span.holds(3.0) && !span.holds(0.99) && !span.holds(3.01));
        assert!(!span.is_exact() && Span::exact(2.0).is_exact());
    }

    #[test]
    fn joined_ranges_hold_both() {
        let joined = Span::between(1.0, 2.0).join(Span::exact(5.0));
        assert_eq!((joined.low, joined.high), (1.0, 5.0));
        let joined = Span::between(1.0, 2.0).join(Span::exact(0.5));
        assert_eq!((joined.low, joined.high), (0.5, 2.0));
    }

    #[test]
    fn a_mark_inside_leaves_it_open() {
        let span = Span::between(1.0, 3.0);
        assert_eq!(span.at_least(1.0), Some(true));
        assert_eq!(span.at_least(1.01), None);
        assert_eq!(span.at_least(3.0), None);
        assert_eq!(span.at_least(3.01), Some(false));
    }
}
