//! What people add to a record: a signature, the taking back of one, a note.

use std::io;
use std::path::Path;

use crate::mistake::{Mistake, Problem};
use crate::mistakes::record::{NothingToWithdraw, RecordTextBlank};
use crate::names::same_name;
use crate::wording::Team;

use super::chain::{Added, Chain, Moment, append, unsealed};
use super::entry::{Entry, Kind};
use super::rights::{blank, member, unnamed};
use super::seal::Seal;

/// Who signs.
#[derive(Debug, Clone, Copy)]
pub struct Who<'a> {
    /// The person who read the plan.
    pub by: &'a str,
    /// The second reader.
    pub second: Option<&'a str>,
}

/// A signature that is to be given.
#[derive(Debug, Clone)]
pub struct Signed<'a> {
    /// Who signs.
    pub who: Who<'a>,
    /// What the signature covers.
    pub covers: Seal,
}

/// Signs: adds an entry, unless the newest signature stands, is by the same people and covers the same.
///
/// # Errors
/// What the file system says; and within, what is wrong with the record.
pub fn sign(
    record: &Path,
    moment: Moment<'_>,
    signed: Signed<'_>,
) -> io::Result<Result<Added, Vec<Problem>>> {
    let Signed { who, covers } = signed;
    append(record, moment, |chain| {
        let standing = standing(chain).filter(|entry| {
            entry.covers.as_ref() == Some(&covers)
                && entry.by.as_deref().is_some_and(|by| same_name(by, who.by))
                && match (entry.second.as_deref(), who.second) {
                    (Some(one), Some(other)) => same_name(one, other),
                    (one, other) => one.is_none() && other.is_none(),
                }
        });
        Ok(match standing {
            Some(entry) => Added::Already(entry.clone()),
            None => Added::New(Entry {
                by: Some(who.by.trim().to_owned()),
                second: who.second.map(|name| name.trim().to_owned()),
                covers: Some(covers),
                ..unsealed(Kind::Signed)
            }),
        })
    })
}

/// The newest signature, unless it was taken back.
fn standing(chain: &Chain) -> Option<&Entry> {
    chain
        .signature()
        .filter(|signature| chain.withdrawal(signature).is_none())
}

/// Takes back the signature that stands. Anyone of the team may: it only makes a plan a draft again.
///
/// # Errors
/// What the file system says; and within, what is wrong with the record or with who and why.
pub fn withdraw(
    record: &Path,
    moment: Moment<'_>,
    team: &Team,
    by: &str,
    why: &str,
) -> io::Result<Result<Added, Vec<Problem>>> {
    if let Some(problems) = unfit(record, team, by, ("--why", why)) {
        return Ok(Err(problems));
    }
    // A record that is not there is not made for this.
    if !record.exists() {
        return Ok(Err(of_record(record, vec![Box::new(NothingToWithdraw {})])));
    }
    append(record, moment, |chain| {
        let Some(signature) = standing(chain) else {
            return Err(of_record(record, vec![Box::new(NothingToWithdraw {})]));
        };
        Ok(Added::New(Entry {
            by: Some(by.trim().to_owned()),
            why: Some(why.trim().to_owned()),
            of: Some(signature.number),
            ..unsealed(Kind::Withdrawn)
        }))
    })
}

/// Adds a note. It changes nothing of what is signed.
///
/// # Errors
/// What the file system says; and within, what is wrong with the record or with who and what.
pub fn note(
    record: &Path,
    moment: Moment<'_>,
    team: &Team,
    by: &str,
    text: &str,
) -> io::Result<Result<Added, Vec<Problem>>> {
    if let Some(problems) = unfit(record, team, by, ("--note", text)) {
        return Ok(Err(problems));
    }
    append(record, moment, |_| {
        Ok(Added::New(Entry {
            by: Some(by.trim().to_owned()),
            why: Some(text.trim().to_owned()),
            ..unsealed(Kind::Note)
        }))
    })
}

/// What is wrong with a name and a text.
fn unfit(
    record: &Path,
    team: &Team,
    by: &str,
    (option, text): (&str, &str),
) -> Option<Vec<Problem>> {
    let mut found = unnamed(Who { by, second: None });
    if blank(text) {
        let option = option.to_owned();
        found.push(Box::new(RecordTextBlank { option }));
    }
    if !blank(by) {
        let _ = member(team, by, &mut found);
    }
    (!found.is_empty()).then(|| of_record(record, found))
}

fn of_record(record: &Path, found: Vec<Box<dyn Mistake>>) -> Vec<Problem> {
    Problem::all_of_file(&record.display().to_string(), found)
}
