//! What differs between two decisions on one case.

use serde::Serialize;

use crate::decision::{Decision, Landing, Pair, ReferralLanding};

/// An ordered outcome that moves, as known and until answered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Moved {
    /// Which outcome.
    pub outcome: &'static str,
    /// What it was.
    pub before: Words,
    /// What it is.
    pub after: Words,
}

/// The two words of an outcome.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Words {
    /// Blanks do not count.
    pub known: String,
    /// Blanks count against.
    pub until_answered: String,
}

/// A measure that lands otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Landed {
    /// Its id.
    pub measure: String,
    /// The person, by the place in the list of people.
    pub person: Option<usize>,
    /// How it landed; `None` where it did not.
    pub before: Option<State>,
    /// How it lands; `None` where it does not.
    pub after: Option<State>,
}

/// How a measure lands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct State {
    /// True when it is known to be needed; else it lands until a blank is answered.
    pub known: bool,
    /// The never-measure that rules it out.
    pub ruled_out_by: Option<String>,
    /// The measure that makes it needless.
    pub covered_by: Option<String>,
    /// The measure it waits for.
    pub waits_for: Option<String>,
}

/// A referral that lands otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Referred {
    /// Its id.
    pub referral: String,
    /// Whether it was known to be needed; `None` where it did not land.
    pub before: Option<bool>,
    /// Whether it is.
    pub after: Option<bool>,
}

/// Outcomes that move.
pub(super) fn moved(before: &Decision, after: &Decision) -> Vec<Moved> {
    fn one<T: Copy + Ord + ToString>(
        outcome: &'static str,
        before: Pair<T>,
        after: Pair<T>,
    ) -> Option<Moved> {
        let words = |pair: Pair<T>| Words {
            known: pair.known.to_string(),
            until_answered: pair.until_answered.to_string(),
        };
        (before.known != after.known || before.until_answered != after.until_answered).then(|| {
            Moved {
                outcome,
                before: words(before),
                after: words(after),
            }
        })
    }
    let (before, after) = (&before.verdict, &after.verdict);
    [
        one("risk", before.risk, after.risk),
        one("start", before.start, after.start),
        one("contact", before.contact, after.contact),
        one("vet", before.vet, after.vet),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Measures that land otherwise: those of the second decision in their order, then those that land no more.
pub(super) fn landed(before: &Decision, after: &Decision) -> Vec<Landed> {
    fn find<'d>(decision: &'d Decision, of: &Landing) -> Option<&'d Landing> {
        let mut landings = decision.landings.iter();
        landings.find(|other| other.measure == of.measure && other.person == of.person)
    }
    let state = |landing: &Landing| State {
        known: landing.known,
        ruled_out_by: landing.ruled_out_by.clone(),
        covered_by: landing.covered_by.clone(),
        waits_for: landing.waits_for.clone(),
    };
    let gone = before
        .landings
        .iter()
        .filter(|landing| find(after, landing).is_none());
    let all = after.landings.iter().chain(gone);
    all.map(|landing| Landed {
        measure: landing.measure.clone(),
        person: landing.person,
        before: find(before, landing).map(state),
        after: find(after, landing).map(state),
    })
    .filter(|landed| landed.before != landed.after)
    .collect()
}

/// Referrals that land otherwise.
pub(super) fn referred(before: &Decision, after: &Decision) -> Vec<Referred> {
    fn find<'d>(decision: &'d Decision, id: &str) -> Option<&'d ReferralLanding> {
        decision
            .referrals
            .iter()
            .find(|landing| landing.referral == id)
    }
    let gone = before
        .referrals
        .iter()
        .filter(|landing| find(after, &landing.referral).is_none());
    let all = after.referrals.iter().chain(gone);
    all.map(|landing| Referred {
        referral: landing.referral.clone(),
        before: find(before, &landing.referral).map(|landing| landing.known),
        after: find(after, &landing.referral).map(|landing| landing.known),
    })
    .filter(|referred| referred.before != referred.after)
    .collect()
}
