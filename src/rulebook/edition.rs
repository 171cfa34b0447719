//! Which edition of a set of rules this is: its name, version, day, owner, when it has to be looked at again, and what changed.

use jiff::civil::Date;
use semver::Version;
use serde::Serialize;

use crate::fields::Fields;
use crate::mistake::Problem;
use crate::mistakes::data::WrongKind;
use crate::mistakes::edition::{
    ChangesOutOfOrder, PastReview, ReviewBeforeEdition, VersionNotSemantic, VersionWithoutChange,
};

use super::Rulebook;

/// One entry of a changelog, in a practice's words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Change {
    /// The version it made.
    pub version: Version,
    /// Its day.
    pub date: Date,
    /// What changed, and why.
    pub what: String,
}

/// An edition of a rulebook, or of a practice's own rules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Edition {
    /// Its name.
    pub name: String,
    /// Its version, by Semantic Versioning 2.0.0.
    pub version: Version,
    /// Its day.
    pub date: Date,
    /// Who answers for it.
    pub owner: String,
    /// By when it has to be looked at again.
    pub review_by: Date,
    /// What changed, the newest first.
    pub changes: Vec<Change>,
}

impl Default for Edition {
    fn default() -> Self {
        Self {
            name: String::new(),
            version: NO_VERSION,
            date: Date::ZERO,
            owner: String::new(),
            review_by: Date::ZERO,
            changes: Vec::new(),
        }
    }
}

/// What stands where a version could not be read.
const NO_VERSION: Version = Version::new(0, 0, 0);

impl Edition {
    /// The keys of its block.
    pub const KEYS: &'static [&'static str] =
        &["name", "version", "date", "owner", "review-by", "changes"];
    /// The keys of one entry of its changelog.
    pub const CHANGE_KEYS: &'static [&'static str] = &["version", "date", "what"];

    /// Reads it; faults go to the file of the fields.
    #[must_use]
    pub fn read(fields: &Fields<'_>) -> Self {
        let _ = fields.need("version");
        let version = version(fields, "version");
        let date = day(fields, "date");
        let review_by = day(fields, "review-by");
        if let (Some(date), Some(review_by)) = (date, review_by)
            && review_by <= date
        {
            let mistake = ReviewBeforeEdition {
                date: date.to_string(),
            };
            fields.file.fault(&fields.at("review-by"), mistake);
        }
        let changes: Vec<Change> = fields
            .items("changes")
            .into_iter()
            .filter_map(|(node, path)| {
                let fields = Fields::new(fields.file, node, path, Self::CHANGE_KEYS);
                let what = fields.needed_text("what");
                let _ = fields.need("version");
                Some(Change {
                    version: self::version(&fields, "version")?,
                    date: day(&fields, "date")?,
                    what,
                })
            })
            .collect();
        if let Some(version) = &version {
            in_order(fields, version, &changes);
        }
        Self {
            name: fields.needed_text("name"),
            version: version.unwrap_or(NO_VERSION),
            date: date.unwrap_or_default(),
            owner: fields.needed_text("owner"),
            review_by: review_by.unwrap_or_default(),
            changes,
        }
    }

    /// True when it should have been looked at again before a day.
    #[must_use]
    pub fn is_past_review(&self, today: Date) -> bool {
        self.review_by < today
    }
}

impl Rulebook {
    /// What should have been looked at again before a day: editions, and rules with a day of their own.
    #[must_use]
    pub fn past_review(&self, today: Date) -> Vec<Problem> {
        let said = |what: &str, review_by: Date| PastReview {
            what: what.to_owned(),
            review_by: review_by.to_string(),
        };
        let editions = [
            (Some(&self.tables.edition), "rulebook.yaml"),
            (self.house_rules.as_ref(), "practice.yaml"),
        ];
        let mut problems: Vec<Problem> = Vec::new();
        for (edition, file) in editions {
            if let Some(edition) = edition.filter(|edition| edition.is_past_review(today)) {
                let mistake = said(&edition.name, edition.review_by);
                problems.push(Problem::of_file(file, mistake));
            }
        }
        for rule in &self.rules {
            if let Some(day) = rule.review_by.filter(|day| *day < today) {
                problems.push(Problem::at(rule.place.clone(), said(&rule.id, day)));
            }
        }
        problems
    }
}

/// The newest change is the version, and each is newer than the next, by the precedence of Semantic Versioning.
fn in_order(fields: &Fields<'_>, version: &Version, changes: &[Change]) {
    let Some(newest) = changes.first() else {
        return;
    };
    if newest.version != *version {
        let mistake = VersionWithoutChange {
            version: version.to_string(),
            newest: newest.version.to_string(),
        };
        fields.file.fault(&fields.at("changes"), mistake);
    }
    for pair in changes.windows(2) {
        let [newer, older] = pair else { continue };
        if newer.version.cmp_precedence(&older.version).is_le() || newer.date < older.date {
            let mistake = ChangesOutOfOrder {
                upper: newer.version.to_string(),
                lower: older.version.to_string(),
            };
            fields.file.fault(&fields.at("changes"), mistake);
        }
    }
}

/// A version, where the key is there.
pub(crate) fn version(fields: &Fields<'_>, key: &str) -> Option<Version> {
    let text = fields.text(key)?;
    match text.parse() {
        Ok(version) => Some(version),
        Err(error) => {
            let error: semver::Error = error;
            let mistake = VersionNotSemantic {
                text,
                why: error.to_string(),
            };
            fields.file.fault(&fields.at(key), mistake);
            None
        }
    }
}

/// A needed day.
pub(crate) fn day(fields: &Fields<'_>, key: &str) -> Option<Date> {
    let text = fields.needed_text(key);
    let day = text.parse().ok();
    if day.is_none() && !text.is_empty() {
        let mistake = WrongKind {
            key: key.to_owned(),
            wanted: "a day like 2026-06-01".to_owned(),
            found: format!("`{text}`"),
        };
        fields.file.fault(&fields.at(key), mistake);
    }
    day
}

#[cfg(test)]
mod tests {
    use super::Version;

    /// Semantic Versioning 2.0.0, item 11: the two lists of precedence printed there.
    #[test]
    fn versions_stand_in_the_published_order() {
        let lists = [
            "1.0.0 2.0.0 2.1.0 2.1.1",
            "1.0.0-alpha 1.0.0-alpha.1 1.0.0-alpha.beta 1.0.0-beta 1.0.0-beta.2 1.0.0-beta.11 1.0.0-rc.1 1.0.0",
        ];
        for list in lists {
            let versions: Vec<Version> = list
                .split_whitespace()
                .map(|text| text.parse().unwrap())
                .collect();
            for (at, one) in versions.iter().enumerate() {
                for (other_at, other) in versions.iter().enumerate() {
                    assert_eq!(
                        one.cmp_precedence(other),
                        at.cmp(&other_at),
                        "{one} {other}"
                    );
                }
            }
        }
        // Item 10: build metadata is left out of precedence.
        let build = |text: &str| text.parse::<Version>().unwrap();
        assert!(
            build("1.0.0+one")
                .cmp_precedence(&build("1.0.0+two"))
                .is_eq()
        );
    }
}
