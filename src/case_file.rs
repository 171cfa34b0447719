//! What a consultant keeps beside a form: `NAME.case.yaml` for the form `NAME.yaml`. To which versions of the rules the case is held,
//! and where an outcome is overruled for this case alone, with reason and name.

use std::path::{Path as FilePath, PathBuf};

use jiff::civil::Date;
use semver::Version;

use crate::answers::Overruling;
use crate::decision::overrule::{OUTCOMES, words_of};
use crate::fields::{Fields, File};
use crate::fingerprint;
use crate::mistake::{Place, Problem};
use crate::mistakes::departure::{
    CaseDepartureTwice, CaseDepartureWithoutChange, DepartureEndsFirst, DepartureTooLong,
};
use crate::mistakes::edition::HeldToOtherVersion;
use crate::rulebook::departure::LONGEST_DAYS;
use crate::rulebook::{Rulebook, day, version};
use crate::source::Source;
use crate::tree::Path;
use crate::yaml;

/// What stands behind the name of a form in the name of this file.
const ENDING: &str = "case.yaml";

/// What a consultant keeps beside a form.
#[derive(Debug, Clone, Default)]
pub struct CaseFile {
    /// The version of the rulebook the case is held to, with its place.
    pub rulebook: Option<(Version, Place)>,
    /// The version of the practice's own rules the case is held to, with its place.
    pub house_rules: Option<(Version, Place)>,
    /// Outcomes that are overruled, in the order of the file.
    pub overrulings: Vec<Overruling>,
    /// SHA-256 of the file's text; `None` where there is no file.
    pub fingerprint: Option<String>,
}

/// Where it lies.
#[must_use]
pub fn beside(form: &FilePath) -> PathBuf {
    form.with_extension(ENDING)
}

impl CaseFile {
    /// Reads what lies beside a form; nothing is kept where there is no such file.
    ///
    /// # Errors
    /// All mistakes in the file, or that it cannot be read.
    pub fn of_form(form: &FilePath) -> Result<Self, Vec<Problem>> {
        let path = beside(form);
        if !path.exists() {
            return Ok(Self::default());
        }
        let source = Source::read(&path).map_err(|problem| vec![problem])?;
        Self::read(&source)
    }

    /// Reads it out of a text.
    ///
    /// # Errors
    /// All mistakes in it.
    pub fn read(source: &Source) -> Result<Self, Vec<Problem>> {
        let document = yaml::read(source)?;
        let file = File::new(&document);
        let fields = file.fields(&["rulebook", "house-rules", "departures"]);
        let held_to = |key: &str| {
            let version = version(&fields, key)?;
            Some((version, file.place(&fields.at(key))))
        };
        let (rulebook, house_rules) = (held_to("rulebook"), held_to("house-rules"));
        let found: Vec<(Overruling, Path)> = fields
            .items("departures")
            .into_iter()
            .filter_map(|(node, path)| {
                let keys = ["reason", "by", "second", "date", "until"];
                let known = [&OUTCOMES[..], &keys].concat();
                let fields = Fields::new(&file, node, path.clone(), &known);
                Some((overruling(&fields)?, path))
            })
            .collect();
        at_the_same_time(&file, &found);
        let problems = file.into_problems();
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(Self {
            rulebook,
            house_rules,
            overrulings: found.into_iter().map(|(one, _)| one).collect(),
            fingerprint: Some(fingerprint::of(source.text.as_bytes())),
        })
    }

    /// Holds the versions a case is held to against those in use.
    #[must_use]
    pub fn held_to(&self, rulebook: &Rulebook) -> Vec<Problem> {
        let of_practice = rulebook.house_rules.as_ref();
        let both = [
            (
                "the rulebook",
                &self.rulebook,
                Some(&rulebook.tables.edition),
            ),
            ("the house rules", &self.house_rules, of_practice),
        ];
        let mut problems = Vec::new();
        for (what, held_to, edition) in both {
            let Some((version, place)) = held_to else {
                continue;
            };
            let in_use = edition.map(|edition| &edition.version);
            if in_use != Some(version) {
                let mistake = HeldToOtherVersion {
                    what: what.to_owned(),
                    version: version.to_string(),
                    in_use: in_use.map_or_else(|| "none".to_owned(), Version::to_string),
                };
                problems.push(Problem::at(place.clone(), mistake));
            }
        }
        problems
    }
}

fn overruling(fields: &Fields<'_>) -> Option<Overruling> {
    let mut steps = [None; 4];
    for (on, (step, name)) in steps.iter_mut().zip(OUTCOMES).enumerate() {
        *step = fields
            .word(name, words_of(on))
            .and_then(|at| u8::try_from(at).ok());
    }
    if OUTCOMES.iter().all(|name| fields.get(name).is_none()) {
        fields
            .file
            .fault(&fields.path, CaseDepartureWithoutChange {});
    }
    let reason = fields.needed_text("reason");
    let by = fields.needed_text("by");
    let (date, until) = (day(fields, "date"), day(fields, "until"));
    let (date, until) = (date?, until?);
    in_time(fields, date, until);
    Some(Overruling {
        steps,
        reason,
        by,
        second: fields.text("second"),
        date,
        until,
    })
}

/// A departure ends after it begins, and within a year.
pub(crate) fn in_time(fields: &Fields<'_>, date: Date, until: Date) {
    if until < date {
        let mistake = DepartureEndsFirst {
            date: date.to_string(),
        };
        fields.file.fault(&fields.at("until"), mistake);
        return;
    }
    let days = date.until(until).map_or(i32::MAX, |span| span.get_days());
    if days > LONGEST_DAYS {
        fields
            .file
            .fault(&fields.at("until"), DepartureTooLong { days });
    }
}

/// No two entries speak of one outcome at the same time: which of them counts would be anyone's guess.
fn at_the_same_time(file: &File<'_>, found: &[(Overruling, Path)]) {
    for (at, (one, path)) in found.iter().enumerate() {
        for (on, name) in OUTCOMES.iter().enumerate() {
            let clashes = found[..at].iter().any(|(other, _)| {
                one.steps[on].is_some()
                    && other.steps[on].is_some()
                    && other.date <= one.until
                    && one.date <= other.until
            });
            if clashes {
                let outcome = (*name).to_owned();
                file.fault(&path.key(name), CaseDepartureTwice { outcome });
            }
        }
    }
}
