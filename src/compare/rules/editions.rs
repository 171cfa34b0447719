//! Which of two editions is newer, by the precedence of Semantic Versioning 2.0.0 (item 11).

use serde::Serialize;

use crate::compare::side::Side;
use crate::rulebook::{Change, Edition};

/// Which of two editions is newer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Age {
    /// The old set has the newer edition.
    Old,
    /// The new set has the newer edition.
    New,
    /// Both have the same precedence.
    Same,
    /// They have different names, or only one of them has an edition: versions tell nothing.
    Unlike,
}

/// Which of two sets is newer: in its rulebook, and in the practice's own rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Editions {
    /// Of the rulebook.
    pub rulebook: Age,
    /// Of the practice's own rules; none where neither set has any.
    pub practice: Option<Age>,
}

impl Age {
    fn of(old: &Edition, new: &Edition) -> Self {
        if old.name != new.name {
            return Self::Unlike;
        }
        match old.version.cmp_precedence(&new.version) {
            std::cmp::Ordering::Less => Self::New,
            std::cmp::Ordering::Equal => Self::Same,
            std::cmp::Ordering::Greater => Self::Old,
        }
    }
}

impl Editions {
    /// Of two sets of rules.
    #[must_use]
    pub(super) fn of(old: &Side, new: &Side) -> Self {
        Self {
            rulebook: Age::of(&old.rulebook.tables.edition, &new.rulebook.tables.edition),
            practice: match (old.house.edition(), new.house.edition()) {
                (None, None) => None,
                (Some(old), Some(new)) => Some(Age::of(old, new)),
                _ => Some(Age::Unlike),
            },
        }
    }
}

/// What the changelogs of the new set say that those of the old one do not: of the rulebook first, then of the practice.
#[must_use]
pub(super) fn written(old: &Side, new: &Side) -> Vec<Change> {
    let changes = |side: &Side| -> Vec<Change> {
        let editions = [Some(&side.rulebook.tables.edition), side.house.edition()];
        let all = editions.into_iter().flatten();
        all.flat_map(|edition| edition.changes.clone()).collect()
    };
    let before = changes(old);
    changes(new)
        .into_iter()
        .filter(|change| !before.contains(change))
        .collect()
}
