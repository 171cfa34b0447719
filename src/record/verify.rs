//! Whether a case, or a paper, is what the record says.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use regex::Regex;
use serde::Serialize;

use crate::fingerprint;
use crate::mistake::{Problem, Report as ProblemReport};
use crate::mistakes::file::{FileMissing, FileUnreadable};

use super::chain::{Chain, END, by_number, newest, record_of, withdrawal};
use super::entry::{Entry, IssuedPaper, Kind};
use super::found::{Found, Read};
use super::seal::Part;

/// How many folders above a paper are looked through for records: `household/` lies in a folder of papers, that beside the case.
const FOLDERS_ABOVE: usize = 3;

/// How a paper quotes the entry it was signed under: its number, and the start of its hash.
static QUOTE: LazyLock<Option<Regex>> =
    LazyLock::new(|| Regex::new(r"\b([1-9][0-9]{0,8}):([0-9a-f]{12})\b").ok());

/// What was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// A case, by its intake.
    Case,
    /// A paper.
    Paper,
}

/// How a part stands against the signature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// As it was signed.
    Same,
    /// Not as it was signed.
    Changed,
    /// It cannot be read, or not be worked out because something else cannot be read.
    Unreadable,
}

/// A part with its state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct PartState {
    /// Which.
    pub part: Part,
    /// How it stands.
    pub state: State,
}

/// An entry, as reports tell of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TellEntry {
    /// Its number.
    pub entry: u64,
    /// The start of its hash.
    pub hash: String,
    /// The moment.
    pub at: String,
    /// The day it was for.
    pub day: String,
    /// Who.
    pub by: Option<String>,
    /// Who read it as well.
    pub second: Option<String>,
    /// Why.
    pub why: Option<String>,
}

impl TellEntry {
    fn of(entry: &Entry) -> Self {
        Self {
            entry: entry.number,
            hash: entry.short_hash(),
            at: entry.at.clone(),
            day: entry.day.to_string(),
            by: entry.by.clone(),
            second: entry.second.clone(),
            why: entry.why.clone(),
        }
    }
}

/// A paper as it was entered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TellPaper {
    /// The entry that lists it.
    pub entry: u64,
    /// The day of that entry.
    pub day: String,
    /// What it was entered as.
    #[serde(flatten)]
    pub paper: IssuedPaper,
    /// The language of the household's papers.
    pub language: String,
    /// True when people's names were printed.
    pub names: bool,
    /// True when cards held what rests on private answers.
    pub private: bool,
}

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Finding {
    /// Its kind: `record-missing`, `record-broken`, `unsigned`, `signature-withdrawn`, a part with `-changed` or `-unreadable` behind it,
    /// `paper-changed`, `paper-unknown`, `paper-unreadable`, `entry-missing` or `entry-differs`.
    pub kind: String,
    /// The entry it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entry: Option<u64>,
    /// The hash that a paper quotes for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quoted: Option<String>,
    /// The name of the paper that was entered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// True where a part was signed with and is not named now: an option may have been forgotten.
    pub left_out: bool,
}

impl Finding {
    fn of(kind: &str) -> Self {
        Self {
            kind: kind.to_owned(),
            entry: None,
            quoted: None,
            name: None,
            left_out: false,
        }
    }
}

/// What was found.
#[derive(Debug, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Report {
    /// The file that was looked at.
    pub path: String,
    /// What it is.
    pub what: Option<What>,
    /// True when it is what the record says.
    pub holds: bool,
    /// The record it was held against.
    pub record: Option<String>,
    /// How many entries of it are sound.
    pub entries: usize,
    /// The signature: the newest one of a case, the one a paper was made under.
    pub signature: Option<TellEntry>,
    /// The entry that took it back.
    pub withdrawn: Option<TellEntry>,
    /// The newest signature, where the one of a paper is older.
    pub newer: Option<TellEntry>,
    /// How each part of a case stands.
    pub parts: Vec<PartState>,
    /// The paper, where the record knows it.
    pub paper: Option<TellPaper>,
    /// What is not as it should be.
    pub findings: Vec<Finding>,
    /// What is wrong with the record.
    pub broken: Vec<ProblemReport>,
    /// The same, and why a part cannot be read, with the places.
    #[serde(skip)]
    pub problems: Vec<Problem>,
}

impl Report {
    fn finished(mut self) -> Self {
        self.holds = self.findings.is_empty();
        self
    }

    fn find(&mut self, kind: &str) {
        self.findings.push(Finding::of(kind));
    }

    /// Takes a record in: its path, its sound entries, what is wrong with it.
    fn of_record(&mut self, record: Record) -> Vec<Entry> {
        self.record = Some(record.path.display().to_string());
        self.entries = record.entries.len();
        if !record.problems.is_empty() {
            self.find("record-broken");
        }
        self.broken = record.problems.iter().map(Problem::report).collect();
        self.problems.extend(record.problems);
        record.entries
    }
}

/// A record, sound or not.
struct Record {
    path: PathBuf,
    entries: Vec<Entry>,
    problems: Vec<Problem>,
}

impl Record {
    /// `None` where there is no file.
    fn read(path: PathBuf) -> Option<Self> {
        let (entries, problems) = match Chain::read(&path) {
            Ok(chain) => (chain?.entries, Vec::new()),
            Err(broken) => (broken.sound, broken.problems),
        };
        Some(Self {
            path,
            entries,
            problems,
        })
    }
}

/// Holds a case against its record.
#[must_use]
pub fn case(read: Read<'_>) -> Report {
    let mut report = Report {
        path: read.intake.display().to_string(),
        what: Some(What::Case),
        ..Report::default()
    };
    let Some(record) = Record::read(record_of(read.intake)) else {
        if !read.intake.exists() {
            let missing = Problem::of_file(&report.path, FileMissing {});
            report.problems.push(missing);
        }
        report.find("record-missing");
        return report.finished();
    };
    let entries = report.of_record(record);
    let Some((signature, covers)) =
        newest(&entries).and_then(|entry| Some((entry, entry.covers.as_ref()?)))
    else {
        report.find("unsigned");
        return report.finished();
    };
    report.signature = Some(TellEntry::of(signature));
    report.withdrawn = withdrawal(&entries, signature).map(TellEntry::of);
    if report.withdrawn.is_some() {
        report.find("signature-withdrawn");
    }
    let found = Found::of(read);
    for part in Part::ALL {
        let state = match found.same(covers, *part) {
            Some(true) => State::Same,
            Some(false) => State::Changed,
            None => State::Unreadable,
        };
        report.parts.push(PartState { part: *part, state });
        let end = match state {
            State::Same => continue,
            State::Changed => "changed",
            State::Unreadable => "unreadable",
        };
        let left_out = match part {
            Part::Log => covers.log.is_some() && read.log.is_none(),
            Part::Practice => covers.practice.is_some() && read.practice.is_none(),
            _ => false,
        };
        report.findings.push(Finding {
            left_out,
            ..Finding::of(&format!("{}-{end}", part.word()))
        });
    }
    report.problems.extend(found.problems);
    report.finished()
}

/// Holds a paper against the record of a case, or the records in its own folder and those above it.
#[must_use]
pub fn paper(path: &Path, case: Option<&Path>) -> Report {
    let mut report = Report {
        path: path.display().to_string(),
        what: Some(What::Paper),
        ..Report::default()
    };
    let bytes = match std::fs::read(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            let reason = error.to_string();
            let problem = match error.kind() {
                std::io::ErrorKind::NotFound => Problem::of_file(&report.path, FileMissing {}),
                _ => Problem::of_file(&report.path, FileUnreadable { reason }),
            };
            report.problems.push(problem);
            report.find("paper-unreadable");
            return report.finished();
        }
    };
    let looked_for = Paper {
        fingerprint: fingerprint::of(&bytes),
        quotes: quotes(&String::from_utf8_lossy(&bytes)),
        path: path.to_string_lossy().replace('\\', "/"),
    };
    let records = match case {
        Some(case) => Record::read(record_of(case)).into_iter().collect(),
        None => records_near(path),
    };
    // Of several records the one that knows it; else the one it quotes; else the nearest.
    let record = records.into_iter().min_by_key(|record| {
        let entries = &record.entries;
        if looked_for.listed(entries).is_some() {
            0
        } else if looked_for.quotes_one_of(entries) {
            1
        } else if looked_for.named(entries).is_some() {
            2
        } else {
            3
        }
    });
    let Some(record) = record else {
        report.find("record-missing");
        return report.finished();
    };
    let entries = report.of_record(record);
    if let Some((entry, paper)) = looked_for.listed(&entries) {
        known(&mut report, &entries, entry, paper);
    } else {
        looked_for.unknown(&mut report, &entries);
    }
    report.finished()
}

fn known(report: &mut Report, entries: &[Entry], entry: &Entry, paper: &IssuedPaper) {
    report.paper = entry.issue.as_ref().map(|issue| TellPaper {
        entry: entry.number,
        day: entry.day.to_string(),
        paper: paper.clone(),
        language: issue.language.clone(),
        names: issue.names,
        private: issue.private,
    });
    let Some(signature) = entry.of.and_then(|number| by_number(entries, number)) else {
        return;
    };
    report.signature = Some(TellEntry::of(signature));
    report.withdrawn = withdrawal(entries, signature).map(TellEntry::of);
    if report.withdrawn.is_some() {
        report.find("signature-withdrawn");
    }
    report.newer = newest(entries)
        .filter(|newest| newest.number > signature.number)
        .map(TellEntry::of);
}

/// A paper that is looked for.
struct Paper {
    fingerprint: String,
    quotes: Vec<(u64, String)>,
    path: String,
}

impl Paper {
    /// The entry that lists its bytes, the newest first.
    fn listed<'e>(&self, entries: &'e [Entry]) -> Option<(&'e Entry, &'e IssuedPaper)> {
        issued(entries).find(|(_, paper)| paper.fingerprint == self.fingerprint)
    }

    /// The entry that lists a paper of its name: of the longest name that the path ends in, the newest.
    fn named<'e>(&self, entries: &'e [Entry]) -> Option<(&'e Entry, &'e IssuedPaper)> {
        let file = |path: &str| path.rsplit('/').next().unwrap_or(path).to_owned();
        let wanted = file(&self.path);
        let fits = |paper: &IssuedPaper| {
            let whole = self.path == paper.name || self.path.ends_with(&format!("/{}", paper.name));
            whole
                .then_some(0)
                .or_else(|| (file(&paper.name) == wanted).then_some(1))
        };
        let all = issued(entries).filter_map(|(entry, paper)| {
            let fit = fits(paper)?;
            Some(((fit, std::cmp::Reverse(paper.name.len())), entry, paper))
        });
        all.min_by_key(|(order, ..)| *order)
            .map(|(_, entry, paper)| (entry, paper))
    }

    fn quotes_one_of(&self, entries: &[Entry]) -> bool {
        let stands = |(number, hash): &(u64, String)| {
            by_number(entries, *number).is_some_and(|entry| entry.short_hash() == *hash)
        };
        self.quotes.iter().any(stands)
    }

    /// What a paper that the record does not know may be.
    fn unknown(&self, report: &mut Report, entries: &[Entry]) {
        for (number, hash) in &self.quotes {
            let kind = match by_number(entries, *number) {
                None => "entry-missing",
                Some(entry) if entry.short_hash() != *hash => "entry-differs",
                Some(entry) => {
                    report.signature = Some(TellEntry::of(entry));
                    continue;
                }
            };
            report.findings.push(Finding {
                entry: Some(*number),
                quoted: Some(hash.clone()),
                ..Finding::of(kind)
            });
        }
        report.findings.push(match self.named(entries) {
            Some((entry, paper)) => Finding {
                entry: Some(entry.number),
                name: Some(paper.name.clone()),
                ..Finding::of("paper-changed")
            },
            None => Finding::of("paper-unknown"),
        });
    }
}

/// Every paper that was entered, the newest entry first.
fn issued(entries: &[Entry]) -> impl Iterator<Item = (&Entry, &IssuedPaper)> {
    let issued = entries.iter().rev().filter(|it| it.kind == Kind::Issued);
    issued.flat_map(|entry| {
        let papers = entry.issue.iter().flat_map(|issue| &issue.papers);
        papers.map(move |paper| (entry, paper))
    })
}

/// The entries a paper quotes. `plan.json` holds number and hash under keys of their own.
fn quotes(text: &str) -> Vec<(u64, String)> {
    let mut found: Vec<(u64, String)> = Vec::new();
    let mut add = |number: u64, hash: &str| {
        let quote = (number, hash.to_owned());
        if !found.contains(&quote) {
            found.push(quote);
        }
    };
    if let Ok(json) = serde_json::from_str::<serde_json::Value>(text) {
        let signed = json["record"]["signed"].as_array();
        for signature in signed.into_iter().flatten() {
            let hash = signature["hash"].as_str();
            if let (Some(number), Some(hash)) = (signature["entry"].as_u64(), hash) {
                add(number, hash);
            }
        }
    } else if let Some(pattern) = QUOTE.as_ref() {
        for quote in pattern.captures_iter(text) {
            if let Ok(number) = quote[1].parse() {
                add(number, &quote[2]);
            }
        }
    }
    found
}

/// The records in the folder of a paper and the folders above it, the nearest first.
fn records_near(paper: &Path) -> Vec<Record> {
    let absolute = std::path::absolute(paper).unwrap_or_else(|_| paper.to_path_buf());
    let folders = absolute.ancestors().skip(1).take(FOLDERS_ABOVE + 1);
    let in_folder = |folder: &Path| -> Vec<PathBuf> {
        let Ok(entries) = std::fs::read_dir(folder) else {
            return Vec::new();
        };
        let paths = entries.flatten().map(|entry| entry.path());
        let is_record = |path: &PathBuf| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.ends_with(END) && !name.starts_with('.')
        };
        let mut paths: Vec<PathBuf> = paths.filter(is_record).collect();
        paths.sort();
        paths
    };
    folders
        .flat_map(in_folder)
        .filter_map(Record::read)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paper_quotes_an_entry_by_number_and_hash() {
        let text = "| Signed by | R. Vale; entry 3:a1b2c3d4e5f6 of the record |\n9:30 or 12:45, 03:a1b2c3d4e5f6";
        assert_eq!(quotes(text), [(3, "a1b2c3d4e5f6".to_owned())]);
        let json = r#"{"record":{"signed":[{"entry":7,"hash":"0123456789ab"}]}}"#;
        assert_eq!(quotes(json), [(7, "0123456789ab".to_owned())]);
        assert_eq!(quotes("nobody yet: DRAFT"), []);
    }
}
