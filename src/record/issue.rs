//! The papers of a signed plan, entered before they leave.

use std::io;
use std::path::Path;

use crate::fingerprint;
use crate::mistake::Problem;
use crate::mistakes::record::RecordMovedOn;

use super::chain::{Added, Moment, append, unsealed};
use super::entry::{Entry, Issue, IssuedPaper, Kind};

impl IssuedPaper {
    /// A paper by its path below the folder of papers, and its text.
    #[must_use]
    pub fn of(name: &str, text: &str) -> Self {
        let file = name.rsplit('/').next().unwrap_or(name);
        let (paper, format) = file.rsplit_once('.').unwrap_or((file, ""));
        Self {
            name: name.to_owned(),
            fingerprint: fingerprint::of(text.as_bytes()),
            paper: paper.to_owned(),
            format: format.to_owned(),
        }
    }
}

/// Enters papers under the signature they were made with, unless the very same were entered under it before.
///
/// # Errors
/// What the file system says; and within, what is wrong with the record, or `record-moved-on` where that signature is no longer
/// the newest or was taken back meanwhile.
pub fn issue(
    record: &Path,
    moment: Moment<'_>,
    signature: &Entry,
    issue: Issue,
) -> io::Result<Result<Added, Vec<Problem>>> {
    append(record, moment, |chain| {
        let newest = chain.signature();
        if newest != Some(signature) || chain.withdrawal(signature).is_some() {
            let entry = signature.number;
            let label = record.display().to_string();
            return Err(vec![Problem::of_file(&label, RecordMovedOn { entry })]);
        }
        let same = chain.entries.iter().find(|entry| {
            entry.of == Some(signature.number) && entry.issue.as_ref() == Some(&issue)
        });
        Ok(match same {
            Some(entry) => Added::Already(entry.clone()),
            None => Added::New(Entry {
                of: Some(signature.number),
                issue: Some(issue),
                ..unsealed(Kind::Issued)
            }),
        })
    })
}
