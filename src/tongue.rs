//! The small words of a language around values: yes and no, units, dates, ranges. Its sentences are the matter of [`crate::wording`].

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::customary::Units;
use crate::dates::PartialDate;
use crate::facts::{Fact, Value};
use crate::fields::File;
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::MissingField;
use crate::questionnaire::Kind;
use crate::tree::{Node, Path};
use crate::units::Unit;

/// Words every language has to have.
const WORDS: &[&str] = &[
    "yes",
    "no",
    "not-known",
    "range",
    "at-least",
    "or-worse",
    "from-to",
    "ago",
    "today",
    "count",
    "percent",
    "second",
    "seconds",
    "minute",
    "minutes",
    "hour",
    "hours",
    "day",
    "days",
    "year",
    "years",
    "mm",
    "cm",
    "g",
    "date",
    "decimal",
    "paper-not-yet",
    "redacted-paper",
];

/// A language with its small words.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Tongue {
    /// Its id, the name of its folder: a BCP 47 language tag.
    pub id: String,
    /// What it calls itself.
    pub name: String,
    /// What it is called in English.
    pub in_english: String,
    /// The answer to the form's question that chooses it.
    pub answer: String,
    /// What papers in it say about the translation; empty for none.
    pub note: String,
    /// Papers that are written in it.
    pub papers: Vec<String>,
    /// What stands behind a sentence that has no translation yet.
    pub untranslated: String,
    /// Which units values are told in first.
    #[serde(skip)]
    pub units: Units,
    words: BTreeMap<String, String>,
    months: Vec<String>,
    weekdays: Vec<String>,
}

impl Tongue {
    /// The rulebook's own language, as it is inside the program.
    #[must_use]
    pub fn own() -> Self {
        let library = Library::embedded_file("languages/en/language.yaml");
        Self::load(&library, "en", &mut Vec::new())
    }

    /// Reads `languages/ID/language.yaml`; faults are added to `problems`.
    #[must_use]
    pub fn load(library: &Library, id: &str, problems: &mut Vec<Problem>) -> Self {
        let name = format!("languages/{id}/language.yaml");
        let Some(document) = library.document(&name, problems) else {
            return Self::default();
        };
        let file = File::new(&document);
        let fields = file.fields(&[
            "name",
            "in-english",
            "answer",
            "note",
            "papers",
            "untranslated",
            "words",
            "months",
            "weekdays",
        ]);
        let list = |key: &str| -> Vec<String> {
            let _ = fields.need(key);
            fields.words(key)
        };
        let tongue = Self {
            id: id.to_owned(),
            name: fields.needed_text("name"),
            in_english: fields.needed_text("in-english"),
            answer: fields.needed_text("answer"),
            note: fields.text("note").unwrap_or_default(),
            papers: list("papers"),
            untranslated: fields.text("untranslated").unwrap_or_default(),
            units: Units::default(),
            words: fields
                .entries("words")
                .into_iter()
                .filter_map(|(key, node, _)| Some((key.to_owned(), node.scalar()?.into_owned())))
                .collect(),
            months: list("months"),
            weekdays: list("weekdays"),
        };
        let mut missing: Vec<String> = WORDS
            .iter()
            .filter(|word| !tongue.words.contains_key(**word))
            .map(|word| format!("words.{word}"))
            .collect();
        if tongue.months.len() != 12 {
            missing.push("months (twelve)".to_owned());
        }
        if tongue.weekdays.len() != 7 {
            missing.push("weekdays (seven, from Monday)".to_owned());
        }
        if matches!(file.root, Node::Map(_)) {
            for key in missing {
                file.fault(&Path::default(), MissingField { key });
            }
        }
        problems.extend(file.into_problems());
        tongue
    }

    /// True when a paper is written in it.
    #[must_use]
    pub fn has_paper(&self, name: &str) -> bool {
        self.papers.iter().any(|paper| paper == name)
    }

    /// One of its small words; the name of the word where a language that was not looked at in full lacks it.
    #[must_use]
    pub fn word<'a>(&'a self, name: &'a str) -> &'a str {
        self.words.get(name).map_or(name, String::as_str)
    }

    fn with(&self, name: &str, value: &str) -> String {
        self.word(name).replace("{value}", value)
    }

    /// A number with at most two decimals, and this language's decimal sign.
    #[must_use]
    pub fn number(&self, value: f64) -> String {
        let text = crate::units::show_number(value);
        text.replace('.', self.word("decimal"))
    }

    fn measured(&self, unit: Unit, low: f64, high: f64) -> String {
        let name = |many: f64| match unit {
            Unit::Count => "count",
            Unit::Percent => "percent",
            Unit::Seconds if many == 1.0 => "second",
            Unit::Seconds => "seconds",
            Unit::Minutes if many == 1.0 => "minute",
            Unit::Minutes => "minutes",
            Unit::Hours if many == 1.0 => "hour",
            Unit::Hours => "hours",
            Unit::Days if many == 1.0 => "day",
            Unit::Days => "days",
            Unit::Years if many == 1.0 => "year",
            Unit::Years => "years",
            Unit::Millimetres => "mm",
            Unit::Centimetres => "cm",
            Unit::Grams => "g",
        };
        let in_unit = |number: &str, many: f64| {
            self.units
                .applied(&self.word(name(many)).replace("{n}", number))
        };
        if low == high {
            in_unit(&self.number(low), low)
        } else if high.is_infinite() {
            self.with("at-least", &in_unit(&self.number(low), low))
        } else {
            let range = self
                .word("range")
                .replace("{low}", &self.number(low))
                .replace("{high}", &self.number(high));
            in_unit(&range, high)
        }
    }

    /// A value as a reader is told it: choices in their plain words.
    #[must_use]
    pub fn value(&self, fact: &Fact, value: &Value) -> String {
        let words = |at: u8| {
            fact.choices
                .get(usize::from(at))
                .map_or("", |choice| choice.words.as_str())
        };
        match value {
            Value::Blank { .. } | Value::NotApplicable | Value::Text => {
                self.word("not-known").to_owned()
            }
            Value::YesNo(true) => self.word("yes").to_owned(),
            Value::YesNo(false) => self.word("no").to_owned(),
            Value::Choice(at) => words(*at).to_owned(),
            Value::Level { low, high } if low == high => words(*low).to_owned(),
            // The worst there is may be meant.
            Value::Level { low, high } if usize::from(*high) + 1 == fact.choices.len() => {
                self.with("or-worse", words(*low))
            }
            Value::Level { low, high } => self
                .word("from-to")
                .replace("{low}", words(*low))
                .replace("{high}", words(*high)),
            Value::Choices(bits) => {
                let chosen: Vec<&str> = fact
                    .choices
                    .iter()
                    .enumerate()
                    .filter(|(at, _)| bits & (1 << at) != 0)
                    .map(|(_, choice)| choice.words.as_str())
                    .collect();
                chosen.join("; ")
            }
            Value::Number { low, high } => match fact.kind {
                Kind::Date if *low == 0.0 && *high == 0.0 => self.word("today").to_owned(),
                Kind::Date => self.with("ago", &self.measured(Unit::Days, *low, *high)),
                Kind::Number(unit) => self.measured(unit, *low, *high),
                _ => self.measured(Unit::Count, *low, *high),
            },
        }
    }

    /// A day as people say it: `Saturday, 28 November 2026`.
    #[must_use]
    pub fn day(&self, date: Date) -> String {
        self.word("date")
            .replace(
                "{weekday}",
                &of(&self.weekdays, date.weekday().to_monday_zero_offset()),
            )
            .replace("{day}", &date.day().to_string())
            .replace("{month}", &of(&self.months, date.month() - 1))
            .replace("{year}", &date.year().to_string())
    }

    /// A day, or the part of a date that was told; with its time of day, where there is one.
    #[must_use]
    pub fn date(&self, date: &PartialDate) -> String {
        if let Some(moment) = date.moment() {
            return format!("{}, {moment}", self.day(date.first));
        }
        if date.first == date.last {
            return self.day(date.first);
        }
        let year = date.first.year().to_string();
        if date.first.month() != date.last.month() {
            return year;
        }
        self.word("month-and-year")
            .replace("{month}", &of(&self.months, date.first.month() - 1))
            .replace("{year}", &year)
    }
}

/// A word of a list by its place, from 0.
fn of(list: &[String], at: i8) -> String {
    usize::try_from(at)
        .ok()
        .and_then(|at| list.get(at).cloned())
        .unwrap_or_default()
}
