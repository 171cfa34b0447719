//! Mistakes of signing, and of the record of a case: lines that are not what was written, and signatures that may not be given.

use super::{meant, mistakes};
use crate::words::either;

mistakes! {
    /// A line of a record that is no entry.
    Error "record-line-unreadable" RecordLineUnreadable { entry: usize, why: String } "entry {entry} of this record is not as it was written: {why}" => BROKEN;
    /// A line whose bytes do not give the hash at its end.
    Error "record-entry-changed" RecordEntryChanged { entry: usize } "entry {entry} of this record was changed after it was written: its bytes do not give its hash" => BROKEN;
    /// An entry that does not follow the one before it.
    Error "record-link-broken" RecordLinkBroken { entry: usize } "entry {entry} of this record does not follow the entry before it: one was taken out, put in or changed" => BROKEN;
    /// An entry with the number of another place.
    Error "record-number-wrong" RecordNumberWrong { entry: usize, found: u64 } "this stands in place {entry} of the record and says it is entry {found}" => BROKEN;
    /// The end of the last line is missing.
    Error "record-cut-off" RecordCutOff { entry: usize } "entry {entry} of this record is cut off: the end of its line is missing" => BROKEN;
    /// A name or a reason with nothing in it.
    Error "record-text-blank" RecordTextBlank { option: String } "`{option}` says nothing" => "a record needs names and reasons in words";
    /// A case that needs two people.
    Error "second-reader-missing" SecondReaderMissing { reasons: String } "this plan needs a second reader, as the practice has laid down: {reasons}" => "let someone else read the plan, and name that person with `--second`";
    /// One person twice.
    Error "second-reader-is-first" SecondReaderIsFirst { name: String } "`{name}` is named as the second reader too" => "a second reader is someone else";
    /// A name that is not in the team.
    Error "signer-not-in-team" SignerNotInTeam { name: String, close: Option<String>, team: Vec<String> } "`{name}` is not in the team of this practice" => meant(close, format!("its team is {}; `team` in `practice.yaml` lists who may sign", team.join(", ")));
    /// Somebody who looks on.
    Error "signer-may-not-sign" SignerMayNotSign { name: String } "`{name}` observes, and may not sign" => "let someone sign who may; what each person may do stands under `team` in `practice.yaml`";
    /// Somebody who may not sign alone.
    Error "signer-needs-second" SignerNeedsSecond { name: String, may: String } "`{name}` {may}, and does not sign without someone who signs" => "let someone read the plan who signs, and name that person with `--second`";
    /// A second reader whose reading does not count.
    Error "second-reader-may-not" SecondReaderMayNot { name: String, may: String } "`{name}` {may}, and may not be the second reader" => "a second reader co-signs or signs; what each person may do stands under `team` in `practice.yaml`";
    /// Nothing there to be taken back.
    Error "nothing-to-withdraw" NothingToWithdraw {} "no signature stands in the record of this case" => "nothing has to be taken back";
    /// The record changed between the signature that was seen and the entry that was to follow.
    Error "record-moved-on" RecordMovedOn { entry: u64 } "someone else added to this record meanwhile, and the signature of entry {entry} is no longer the last word" => "run the command once more";
    /// An id that the rulebook does not have.
    Error "second-reader-unknown" SecondReaderUnknown { id: String, close: Option<String>, ids: Vec<String> } "`{id}` is nothing that can ask for a second reader" => meant(close, format!("there are {}", either(ids)));
    /// One person twice in a team.
    Error "team-member-twice" TeamMemberTwice { name: String } "`{name}` is in the team already" => "keep one of them; capitals, accents and points make no other name";
}

/// What to do with a record that is broken.
const BROKEN: &str = "nothing is added to it; keep this file as it is, find out who changed it, and go on with a copy kept elsewhere that is sound";
