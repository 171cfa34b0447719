//! What the record of a case says of a plan as it would be made now.

use std::fmt;
use std::path::Path;

use crate::mistake::Problem;
use crate::plan::{Lapsed, Plan, Signature, WhyLapsed};

use super::chain::Chain;
use super::entry::Entry;
use super::seal::{Part, Seal};

/// What the record says.
#[derive(Debug)]
pub enum Standing {
    /// There is no record, or no signature in it.
    Unsigned,
    /// The newest signature covers the plan.
    Holds(Entry),
    /// The newest signature covers something else.
    Changed(Entry, Vec<Part>),
    /// The newest signature was taken back.
    Withdrawn(Entry),
    /// The record is not as it was written.
    Broken(Vec<Problem>),
}

impl Standing {
    /// Holds a plan against its record. What it is made from is worked out only where a signature stands.
    #[must_use]
    pub fn of(record: &Path, found: impl FnOnce() -> Seal) -> Self {
        let chain = match Chain::read(record) {
            Ok(None) => return Self::Unsigned,
            Ok(Some(chain)) => chain,
            Err(broken) => return Self::Broken(broken.problems),
        };
        let Some(entry) = chain.signature() else {
            return Self::Unsigned;
        };
        if chain.withdrawal(entry).is_some() {
            return Self::Withdrawn(entry.clone());
        }
        let found = found();
        match entry.covers.as_ref().map(|seal| seal.differs(&found)) {
            Some(changed) if changed.is_empty() => Self::Holds(entry.clone()),
            Some(changed) => Self::Changed(entry.clone(), changed),
            None => Self::Unsigned,
        }
    }

    /// The plan with what the record says of it.
    #[must_use]
    pub fn mark(&self, plan: Plan) -> Plan {
        let lapsed = |why, entry: Option<&Entry>, changed: &[Part]| Lapsed {
            why,
            by: entry.and_then(|entry| entry.by.clone()),
            date: entry.map(|entry| entry.day.to_string()),
            changed: changed.iter().map(|part| part.word()).collect(),
        };
        match self {
            Self::Unsigned => plan,
            Self::Holds(entry) => plan.signed(Signature {
                by: entry.by.clone().unwrap_or_default(),
                second: entry.second.clone(),
                date: entry.day.to_string(),
                entry: entry.number,
                hash: entry.short_hash(),
            }),
            Self::Changed(entry, parts) => {
                plan.lapsed(lapsed(WhyLapsed::Changed, Some(entry), parts))
            }
            Self::Withdrawn(entry) => plan.lapsed(lapsed(WhyLapsed::Withdrawn, Some(entry), &[])),
            Self::Broken(_) => plan.lapsed(lapsed(WhyLapsed::Broken, None, &[])),
        }
    }
}

/// A signature in words: `R. Vale on 2026-11-02, second reader T. Moss (entry 3, a1b2c3d4e5f6)`.
struct Told<'e>(&'e Entry);

impl fmt::Display for Told<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let entry = self.0;
        let by = entry.by.as_deref().unwrap_or_default();
        write!(f, "{by} on {}", entry.day)?;
        if let Some(second) = &entry.second {
            write!(f, ", second reader {second}")?;
        }
        write!(f, " (entry {}, {})", entry.number, entry.short_hash())
    }
}

/// What is said of it in messages; nothing of a case that nobody signed.
impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unsigned => Ok(()),
            Self::Holds(entry) => write!(f, "signed by {}", Told(entry)),
            Self::Changed(entry, parts) => {
                let parts: Vec<&str> = parts.iter().map(|part| part.named()).collect();
                let parts = match parts.split_last() {
                    Some((last, rest)) if !rest.is_empty() => {
                        format!("{} and {last}", rest.join(", "))
                    }
                    _ => parts.concat(),
                };
                write!(
                    f,
                    "signed by {}; since then {parts} changed, so this plan is a DRAFT",
                    Told(entry)
                )
            }
            Self::Withdrawn(entry) => write!(
                f,
                "signed by {}; the signature was taken back, so this plan is a DRAFT",
                Told(entry)
            ),
            Self::Broken(_) => {
                f.write_str("the record of this case is broken, so this plan is a DRAFT")
            }
        }
    }
}
