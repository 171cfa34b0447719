//! One entry of a record, and the line it is written as.

use jiff::Timestamp;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::fingerprint;

use super::seal::Seal;

/// What stands in place of a hash before the first entry: 64 zeros.
pub const FIRST: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// What comes between the bytes that are hashed and their hash.
const BEFORE_HASH: &str = ",\"hash\":\"";
/// What comes after it.
const AFTER_HASH: &str = "\"}";
/// Digits of a hash.
const DIGITS: usize = 64;

/// What an entry says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Someone read the plan and signed it.
    Signed,
    /// Papers of a signed plan were made.
    Issued,
    /// The signature was taken back.
    Withdrawn,
    /// Something worth keeping: a correction, an objection, a late entry.
    Note,
}

/// One paper that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct IssuedPaper {
    /// Its path below the folder of papers.
    pub name: String,
    /// SHA-256 of its bytes.
    pub fingerprint: String,
    /// Which paper it is.
    pub paper: String,
    /// Its form: `md`, `html`, `json` or `svg`.
    pub format: String,
}

/// The papers of one run, and what they were made with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Issue {
    /// The language of the household's papers.
    pub language: String,
    /// True when people's names were printed.
    pub names: bool,
    /// True when cards held what rests on private answers.
    pub private: bool,
    /// True when large print was asked for.
    pub large_print: bool,
    /// The papers.
    pub papers: Vec<IssuedPaper>,
}

/// One entry. The order of its fields is the order of the keys on its line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Entry {
    /// Its number, from 1.
    pub number: u64,
    /// What it says.
    pub kind: Kind,
    /// The moment it was written (RFC 3339, with the offset of the place).
    pub at: String,
    /// The day the case was decided for.
    pub day: Date,
    /// Who.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Who read it as well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub second: Option<String>,
    /// Why, or what is noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// The number of the entry it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<u64>,
    /// What a signature covers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub covers: Option<Seal>,
    /// The papers that were made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub issue: Option<Issue>,
    /// The hash of the entry before it; [`FIRST`] for the first.
    pub previous: String,
    /// SHA-256 over the bytes of its line before this key.
    pub hash: String,
}

impl Entry {
    /// The start of its hash, as papers quote it.
    #[must_use]
    pub fn short_hash(&self) -> String {
        fingerprint::short(&self.hash)
    }

    /// Its line, with its end, once its hash is filled in.
    ///
    /// # Errors
    /// When it cannot be written as JSON, which no entry gives.
    pub(super) fn sealed(mut self) -> serde_json::Result<(Self, String)> {
        self.hash.clear();
        let mut line = serde_json::to_string(&self)?;
        line.truncate(line.len() - BEFORE_HASH.len() - AFTER_HASH.len());
        self.hash = fingerprint::of(line.as_bytes());
        line.push_str(BEFORE_HASH);
        line.push_str(&self.hash);
        line.push_str(AFTER_HASH);
        line.push('\n');
        Ok((self, line))
    }

    /// An entry from its line without the line's end.
    ///
    /// # Errors
    /// What about the line is not as entries are written.
    pub(super) fn of_line(line: &[u8]) -> Result<Self, String> {
        let text = std::str::from_utf8(line).map_err(|_| "it is no plain text".to_owned())?;
        let entry: Self = serde_json::from_str(text).map_err(|error| error.to_string())?;
        match (body(line), entry.misshapen()) {
            (None, _) => Err("it does not end in its hash".to_owned()),
            (_, Some(why)) => Err(why.to_owned()),
            (Some(_), None) => Ok(entry),
        }
    }

    /// What an entry of its kind lacks, or has too much.
    fn misshapen(&self) -> Option<&'static str> {
        let has = (
            self.by.is_some(),
            self.why.is_some(),
            self.of.is_some(),
            self.covers.is_some(),
            self.issue.is_some(),
        );
        let wanted = match self.kind {
            Kind::Signed => (true, false, false, true, false),
            Kind::Issued => (false, false, true, false, true),
            Kind::Withdrawn => (true, true, true, false, false),
            Kind::Note => (true, true, false, false, false),
        };
        if has != wanted || (self.second.is_some() && self.kind != Kind::Signed) {
            return Some("it does not hold what an entry of its kind holds");
        }
        if self.of.is_some_and(|of| of == 0 || of >= self.number) {
            return Some("it speaks of an entry that is not before it");
        }
        if self.at.parse::<Timestamp>().is_err() {
            return Some("its moment is none");
        }
        None
    }
}

/// The bytes of a line that its hash is made of; `None` where it does not end as entries do.
pub(super) fn body(line: &[u8]) -> Option<&[u8]> {
    let rest = line.strip_suffix(AFTER_HASH.as_bytes())?;
    let (rest, hash) = rest.split_at_checked(rest.len().checked_sub(DIGITS)?)?;
    let hexadecimal = hash
        .iter()
        .all(|digit| digit.is_ascii_digit() || (b'a'..=b'f').contains(digit));
    rest.strip_suffix(BEFORE_HASH.as_bytes())
        .filter(|_| hexadecimal)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note() -> Entry {
        Entry {
            number: 1,
            kind: Kind::Note,
            at: "2026-11-02T10:00:00+00:00".to_owned(),
            day: jiff::civil::date(2026, 11, 2),
            by: Some("R. Vale".to_owned()),
            second: None,
            why: Some("The \"door\" was moved,\nand the perch".to_owned()),
            of: None,
            covers: None,
            issue: None,
            previous: FIRST.to_owned(),
            hash: String::new(),
        }
    }

    #[test]
    fn an_entry_is_read_as_it_was_written() {
        let (entry, line) = note().sealed().unwrap();
        let bytes = line.strip_suffix('\n').unwrap().as_bytes();
        assert_eq!(Entry::of_line(bytes).unwrap(), entry);
        assert_eq!(fingerprint::of(body(bytes).unwrap()), entry.hash);
    }

    #[test]
    fn keys_come_in_one_order_and_one_line() {
        let (entry, line) = note().sealed().unwrap();
        assert_eq!(line.matches('\n').count(), 1);
        assert_eq!(
            line,
            format!(
                "{{\"number\":1,\"kind\":\"note\",\"at\":\"2026-11-02T10:00:00+00:00\",\"day\":\"2026-11-02\",\"by\":\"R. Vale\",\
                 \"why\":\"The \\\"door\\\" was moved,\\nand the perch\",\"previous\":\"{FIRST}\",\"hash\":\"{}\"}}\n",
                entry.hash
            )
        );
    }

    #[test]
    fn an_entry_has_what_its_kind_asks_for_and_nothing_else() {
        for kind in [Kind::Signed, Kind::Issued, Kind::Withdrawn] {
            let (_, line) = Entry { kind, ..note() }.sealed().unwrap();
            assert!(Entry::of_line(line.trim_end().as_bytes()).is_err());
        }
        let odd = |entry: Entry| {
            let (_, line) = entry.sealed().unwrap();
            Entry::of_line(line.trim_end().as_bytes()).is_err()
        };
        assert!(odd(Entry {
            second: Some("T. Moss".to_owned()),
            ..note()
        }));
        assert!(odd(Entry {
            at: "yesterday".to_owned(),
            ..note()
        }));
        let withdrawn = |of| Entry {
            number: 2,
            kind: Kind::Withdrawn,
            of: Some(of),
            ..note()
        };
        assert!(odd(withdrawn(0)) && odd(withdrawn(2)) && !odd(withdrawn(1)));
    }
}
