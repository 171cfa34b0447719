//! A record as a whole: read, checked byte by byte, and added to.

use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;
use jiff::civil::Date;

use crate::fingerprint;
use crate::lock::Lock;
use crate::mistake::{Mistake, Place, Problem};
use crate::mistakes::file::{FileTooLarge, FileUnreadable};
use crate::mistakes::record::{
    RecordCutOff, RecordEntryChanged, RecordLineUnreadable, RecordLinkBroken, RecordNumberWrong,
};

use super::entry::{Entry, FIRST, Kind, body};

/// The largest record that is read, in bytes (16 MiB: some thousands of whole sets of papers).
pub const MAX_BYTES: u64 = 16 << 20;

/// Signs of a line that a mistake shows: a line of papers runs over many screens.
const SHOWN: usize = 76;

/// A record whose every byte is as it was written.
#[derive(Debug, Clone, Default)]
pub struct Chain {
    /// Its entries, oldest first.
    pub entries: Vec<Entry>,
    text: String,
}

/// A record that is not as it was written.
#[derive(Debug)]
pub struct Broken {
    /// What is wrong, entry by entry.
    pub problems: Vec<Problem>,
    /// The entries before the first that is wrong.
    pub sound: Vec<Entry>,
}

/// When something is written down.
#[derive(Debug, Clone, Copy)]
pub struct Moment<'a> {
    /// The moment.
    pub now: &'a ZonedDateTime,
    /// The day the case is decided for.
    pub today: Date,
}

/// What came of adding to a record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Added {
    /// A new entry.
    New(Entry),
    /// An entry that says the same was there.
    Already(Entry),
}

/// The record of an intake: `<stem>.record.jsonl` beside it. Through a link it is beside the file that the link leads to.
#[must_use]
pub fn record_of(intake: &Path) -> PathBuf {
    let file = if intake.is_symlink() {
        intake
            .canonicalize()
            .unwrap_or_else(|_| intake.to_path_buf())
    } else {
        intake.to_path_buf()
    };
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    file.with_file_name(format!("{stem}{END}"))
}

/// How the names of records end.
pub(super) const END: &str = ".record.jsonl";

impl Chain {
    /// The record in a file; `None` where there is no such file.
    ///
    /// # Errors
    /// A file that cannot be read, and everything in it that is not as it was written.
    pub fn read(path: &Path) -> Result<Option<Self>, Broken> {
        let label = path.display().to_string();
        let whole = |mistake: Box<dyn Mistake>| Broken {
            problems: Problem::all_of_file(&label, vec![mistake]),
            sound: Vec::new(),
        };
        let mut bytes = Vec::new();
        let read = std::fs::File::open(path)
            .and_then(|file| file.take(MAX_BYTES + 1).read_to_end(&mut bytes));
        match read {
            Ok(read) if read as u64 > MAX_BYTES => Err(whole(Box::new(FileTooLarge {
                bytes: read,
                most: usize::try_from(MAX_BYTES).unwrap_or(usize::MAX),
            }))),
            Ok(_) => Self::of_bytes(&label, &bytes).map(Some),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => {
                let reason = error.to_string();
                Err(whole(Box::new(FileUnreadable { reason })))
            }
        }
    }

    /// A record from its bytes. No bytes are a record without entries.
    ///
    /// # Errors
    /// Everything in it that is not as it was written.
    pub fn of_bytes(label: &str, bytes: &[u8]) -> Result<Self, Broken> {
        let mut problems = Vec::new();
        let mut entries: Vec<Option<Entry>> = Vec::new();
        for line in bytes.split_inclusive(|byte| *byte == b'\n') {
            let number = entries.len() + 1;
            let before = entries.last();
            let previous = match before {
                None => Some(FIRST),
                // What follows a line that cannot be read cannot be held against it.
                Some(before) => before.as_ref().map(|entry| entry.hash.as_str()),
            };
            let (entry, wrong) = checked(line, number, previous);
            if let Some(mistake) = wrong {
                let place = place(label, number, line);
                problems.push(Problem { place, mistake });
            }
            entries.push(entry);
        }
        let first_wrong = problems.first().map(|problem| problem.place.line);
        let sound = entries.into_iter().map_while(|entry| entry);
        match (first_wrong, std::str::from_utf8(bytes)) {
            (None, Ok(text)) => Ok(Self {
                entries: sound.collect(),
                text: text.to_owned(),
            }),
            (first_wrong, _) => Err(Broken {
                problems,
                sound: sound
                    .take(first_wrong.map_or(0, |line| line.saturating_sub(1)))
                    .collect(),
            }),
        }
    }

    /// An entry by its number.
    #[must_use]
    pub fn entry(&self, number: u64) -> Option<&Entry> {
        by_number(&self.entries, number)
    }

    /// The newest signature.
    #[must_use]
    pub fn signature(&self) -> Option<&Entry> {
        newest(&self.entries)
    }

    /// The entry that took a signature back: the first withdrawal after it. One takes back all signatures before it.
    #[must_use]
    pub fn withdrawal(&self, signature: &Entry) -> Option<&Entry> {
        withdrawal(&self.entries, signature)
    }
}

pub(super) fn by_number(entries: &[Entry], number: u64) -> Option<&Entry> {
    let at = usize::try_from(number.checked_sub(1)?).ok()?;
    entries.get(at)
}

pub(super) fn newest(entries: &[Entry]) -> Option<&Entry> {
    entries.iter().rev().find(|it| it.kind == Kind::Signed)
}

pub(super) fn withdrawal<'e>(entries: &'e [Entry], signature: &Entry) -> Option<&'e Entry> {
    entries
        .iter()
        .find(|it| it.kind == Kind::Withdrawn && it.number > signature.number)
}

/// The entry of a line, where it can be read, and what is wrong with the line.
fn checked(
    line: &[u8],
    number: usize,
    previous: Option<&str>,
) -> (Option<Entry>, Option<Box<dyn Mistake>>) {
    let entry = number;
    let Some(line) = line.strip_suffix(b"\n") else {
        return (None, Some(Box::new(RecordCutOff { entry })));
    };
    let read = match Entry::of_line(line) {
        Ok(read) => read,
        Err(why) => return (None, Some(Box::new(RecordLineUnreadable { entry, why }))),
    };
    let wrong: Option<Box<dyn Mistake>> =
        if body(line).map(fingerprint::of).as_ref() != Some(&read.hash) {
            Some(Box::new(RecordEntryChanged { entry }))
        } else if read.number != entry as u64 {
            let found = read.number;
            Some(Box::new(RecordNumberWrong { entry, found }))
        } else if previous.is_some_and(|previous| previous != read.previous) {
            Some(Box::new(RecordLinkBroken { entry }))
        } else {
            None
        };
    (Some(read), wrong)
}

fn place(label: &str, line: usize, bytes: &[u8]) -> Place {
    let text = String::from_utf8_lossy(bytes);
    let line_text: String = text.trim_end().chars().take(SHOWN).collect();
    Place {
        file: label.to_owned(),
        line,
        column: 1,
        width: line_text.chars().count(),
        line_text,
    }
}

/// Adds what `new` makes of the record as it stands: under a lock, after every byte of it was checked, written whole. `new` gives the
/// entry without number, moment and hashes.
///
/// # Errors
/// What the file system says; and within, everything wrong with the record, or what `new` finds wrong.
pub fn append(
    path: &Path,
    moment: Moment<'_>,
    new: impl FnOnce(&Chain) -> Result<Added, Vec<Problem>>,
) -> io::Result<Result<Added, Vec<Problem>>> {
    let lock = Lock::of(path)?;
    let chain = match Chain::read(path) {
        Ok(chain) => chain.unwrap_or_default(),
        Err(broken) => return Ok(Err(broken.problems)),
    };
    let entry = match new(&chain) {
        Ok(Added::New(entry)) => entry,
        Ok(same @ Added::Already(_)) => return Ok(Ok(same)),
        Err(problems) => return Ok(Err(problems)),
    };
    let last = chain.entries.last();
    let entry = Entry {
        number: last.map_or(1, |last| last.number + 1),
        at: moment.now.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string(),
        day: moment.today,
        previous: last.map_or_else(|| FIRST.to_owned(), |last| last.hash.clone()),
        ..entry
    };
    let (entry, line) = entry.sealed().map_err(io::Error::other)?;
    lock.replace(&format!("{}{line}", chain.text))?;
    Ok(Ok(Added::New(entry)))
}

/// An entry that has yet to be numbered, dated and sealed.
pub(super) fn unsealed(kind: Kind) -> Entry {
    Entry {
        number: 0,
        kind,
        at: String::new(),
        day: Date::ZERO,
        by: None,
        second: None,
        why: None,
        of: None,
        covers: None,
        issue: None,
        previous: String::new(),
        hash: String::new(),
    }
}
