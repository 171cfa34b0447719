//! What a measure is to a comparison: whether it keeps people safe, and what stands in its place.

use crate::rulebook::{MeasureKind, Rulebook};

/// True for a step of practice: work that may begin, not what keeps people safe.
#[must_use]
pub(super) fn is_practice(rulebook: &Rulebook, id: &str) -> bool {
    let measure = rulebook.measures.get(id);
    measure.is_some_and(|measure| measure.only_from().is_some())
}

/// Which of some measures covers another one or rules it out, and so stands in its place.
#[must_use]
pub(super) fn stand_in<'a>(
    rulebook: &Rulebook,
    measures: impl Iterator<Item = &'a str>,
    id: &str,
) -> Option<&'a str> {
    let mut measures = measures;
    measures.find(|other| {
        let kind = rulebook.measures.get(*other).map(|measure| &measure.kind);
        kind.is_some_and(|kind| match kind {
            MeasureKind::Do { covers, .. } => covers.iter().any(|covered| covered == id),
            MeasureKind::Never { rules_out, .. } => rules_out.iter().any(|out| out == id),
        })
    })
}
