//! Strong Kleene logic: true, false, and blank for what is not known.
//!
//! Source: Kleene, *Introduction to Metamathematics*, 1952, section 64; the same tables stand in the Clinical Quality
//! Language specification (HL7), appendix on logical specification.

use serde::Serialize;

/// A truth value. The order is False < Blank < True, so that `and` is the lesser and `or` the greater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Truth {
    /// Known not to hold.
    False,
    /// Not known.
    Blank,
    /// Known to hold.
    True,
}

impl Truth {
    /// Both hold.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.min(other)
    }

    /// At least one holds.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        self.max(other)
    }

    /// At least `least` of the values hold.
    #[must_use]
    pub fn at_least(least: usize, values: impl IntoIterator<Item = Self>) -> Self {
        let (mut holds, mut may) = (0, 0);
        for value in values {
            match value {
                Self::True => holds += 1,
                Self::Blank => may += 1,
                Self::False => {}
            }
        }
        if holds >= least {
            Self::True
        } else if holds + may >= least {
            Self::Blank
        } else {
            Self::False
        }
    }
}

impl std::ops::Not for Truth {
    type Output = Self;

    fn not(self) -> Self {
        match self {
            Self::True => Self::False,
            Self::Blank => Self::Blank,
            Self::False => Self::True,
        }
    }
}

impl From<bool> for Truth {
    fn from(value: bool) -> Self {
        if value { Self::True } else { Self::False }
    }
}
