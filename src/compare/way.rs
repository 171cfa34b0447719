//! Which way a change goes. This is the one place that says what tighter and looser mean.
//!
//! | what | tighter | looser |
//! |---|---|---|
//! | an ordered outcome, known or until answered | further along its scale | less far |
//! | a rule's word, a rule, a need of a gate | gained | lost |
//! | a rule's condition | holds of every case it held of, and of more | holds of fewer |
//! | a gate's needs | hold of fewer cases, so that it opens for fewer | hold of more |
//! | a thing to do, never to do, or someone to turn to | asked for, or asked for more surely | less surely, or no longer |
//! | a row of the stop-and-call table, a standing caution | gained | lost |
//! | the mark of the safety floor | gained | lost |
//!
//! A thing to do goes neither way when something that covers it or rules it out stands in its place. Steps of practice go neither way:
//! they are work that may begin, not what keeps people safe. Words, titles, sources, questions and the order on paper go neither way.
//! A condition that holds of more cases in one place and of fewer in another goes either way, and so does one of which it cannot be
//! told; that counts as looser wherever a person has to look.

use serde::Serialize;

/// Which way a change goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// It is neither tighter nor looser.
    #[default]
    Neither,
    /// It is tighter.
    Tightened,
    /// It is looser.
    Loosened,
    /// In part tighter and in part looser, or it cannot be told.
    Either,
}

impl Way {
    /// From one point of a scale to another; more is tighter.
    #[must_use]
    pub fn between<T: Ord>(before: &T, after: &T) -> Self {
        match after.cmp(before) {
            std::cmp::Ordering::Less => Self::Loosened,
            std::cmp::Ordering::Equal => Self::Neither,
            std::cmp::Ordering::Greater => Self::Tightened,
        }
    }

    /// Both together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Neither, way) | (way, Self::Neither) => way,
            (one, other) if one == other => one,
            _ => Self::Either,
        }
    }

    /// Of all together.
    #[must_use]
    pub fn of(ways: impl IntoIterator<Item = Self>) -> Self {
        ways.into_iter().fold(Self::Neither, Self::and)
    }

    /// The same change the other way round.
    #[must_use]
    pub fn turned(self) -> Self {
        match self {
            Self::Tightened => Self::Loosened,
            Self::Loosened => Self::Tightened,
            same => same,
        }
    }

    /// True when something is looser, or may be.
    #[must_use]
    pub fn loosens(self) -> bool {
        matches!(self, Self::Loosened | Self::Either)
    }

    /// True when something is tighter, or may be.
    #[must_use]
    pub fn tightens(self) -> bool {
        matches!(self, Self::Tightened | Self::Either)
    }
}

#[cfg(test)]
mod tests {
    use super::Way;

    const ALL: [Way; 4] = [Way::Neither, Way::Tightened, Way::Loosened, Way::Either];

    #[test]
    fn joining_does_not_hang_on_the_order() {
        for one in ALL {
            assert_eq!(one.turned().turned(), one);
            assert_eq!(one.and(one), one);
            for other in ALL {
                assert_eq!(one.and(other), other.and(one));
                assert_eq!(one.and(other).turned(), one.turned().and(other.turned()));
                for third in ALL {
                    assert_eq!(one.and(other).and(third), one.and(other.and(third)));
                }
            }
        }
    }
}
