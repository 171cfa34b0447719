//! Who signed a plan, or why an earlier signature is none for it: what the record foot says.

use serde::Serialize;

use super::Plan;

/// A signature that covers this plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Signature {
    /// Who signed.
    pub by: String,
    /// Who read it as well.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second: Option<String>,
    /// Its day.
    pub date: String,
    /// The number of its entry in the record.
    pub entry: u64,
    /// The start of that entry's hash.
    pub hash: String,
}

/// Why an earlier signature is none for this plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WhyLapsed {
    /// What it covers has changed.
    Changed,
    /// It was taken back.
    Withdrawn,
    /// The record is not as it was written, so no signature in it counts.
    Broken,
}

/// An earlier signature that does not hold.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Lapsed {
    /// Why.
    pub why: WhyLapsed,
    /// Whose it was; nobody's where the record is broken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Its day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// What has changed since: `intake`, `log`, `rulebook`, `practice`, `program`, `outcomes`.
    pub changed: Vec<&'static str>,
}

impl Plan {
    /// The plan with a signature that covers it: no draft any more.
    #[must_use]
    pub fn signed(mut self, signature: Signature) -> Self {
        self.draft = false;
        self.record.signed = vec![signature];
        self
    }

    /// The plan with an earlier signature that does not hold for it.
    #[must_use]
    pub fn lapsed(mut self, lapsed: Lapsed) -> Self {
        self.draft = true;
        self.record.signed.clear();
        self.record.lapsed = Some(lapsed);
        self
    }
}
