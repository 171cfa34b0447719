//! Phrases: what a rule can say of one fact, in plain words typed by the fact (`at least broken-skin`, `under 12 years`).

use crate::facts::{Fact, Value};
use crate::questionnaire::{Choice, Kind, find_choice};
use crate::units::Unit;
use crate::words::closest;

use super::truth::Truth;

/// The phrase for an answer that was given, whatever it says.
pub const ANSWERED: &str = "answered";
/// The phrase for an answer that was not given.
pub const BLANK: &str = "blank";

/// A range of numbers; either end may be left out of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Lower end.
    pub low: f64,
    /// True when the lower end itself is not in it.
    pub low_open: bool,
    /// Upper end.
    pub high: f64,
    /// True when the upper end itself is not in it.
    pub high_open: bool,
}

impl Range {
    /// Everything.
    pub const ALL: Self = Self {
        low: f64::NEG_INFINITY,
        low_open: false,
        high: f64::INFINITY,
        high_open: false,
    };

    /// From one number to another, both in it.
    #[must_use]
    pub fn closed(low: f64, high: f64) -> Self {
        Self {
            low,
            high,
            ..Self::ALL
        }
    }

    /// True when the number lies in it.
    #[must_use]
    pub fn has(&self, number: f64) -> bool {
        (number > self.low || (number == self.low && !self.low_open))
            && (number < self.high || (number == self.high && !self.high_open))
    }

    /// What two ranges share.
    #[must_use]
    pub fn shared(&self, other: &Self) -> Self {
        let (low, low_open) = match self.low.total_cmp(&other.low) {
            std::cmp::Ordering::Greater => (self.low, self.low_open),
            std::cmp::Ordering::Less => (other.low, other.low_open),
            std::cmp::Ordering::Equal => (self.low, self.low_open || other.low_open),
        };
        let (high, high_open) = match self.high.total_cmp(&other.high) {
            std::cmp::Ordering::Less => (self.high, self.high_open),
            std::cmp::Ordering::Greater => (other.high, other.high_open),
            std::cmp::Ordering::Equal => (self.high, self.high_open || other.high_open),
        };
        Self {
            low,
            low_open,
            high,
            high_open,
        }
    }

    /// True when no number lies in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.low > self.high || (self.low == self.high && (self.low_open || self.high_open))
    }
}

/// A phrase made ready for use.
#[derive(Debug, Clone, PartialEq)]
pub enum Test {
    /// Yes (or no).
    YesNo(bool),
    /// One of these choices or levels, a bit for each.
    OneOf(u64),
    /// The set includes at least one of these.
    IncludesAny(u64),
    /// The set includes all of these.
    IncludesAll(u64),
    /// The set includes none of these.
    Excludes(u64),
    /// The number, or for a date the days gone by, lies in this range.
    Within(Range),
    /// An answer was given.
    Answered,
    /// No answer was given.
    Blank,
}

impl Test {
    /// What the phrase says of a value. A question that does not apply satisfies no phrase.
    #[must_use]
    pub fn check(&self, value: &Value) -> Truth {
        match (self, value) {
            (Self::Answered, value) => {
                Truth::from(!matches!(value, Value::Blank { .. } | Value::NotApplicable))
            }
            (Self::Blank, value) => Truth::from(matches!(value, Value::Blank { .. })),
            (_, Value::NotApplicable) => Truth::False,
            (Self::YesNo(wanted), Value::YesNo(value)) => Truth::from(wanted == value),
            (Self::OneOf(mask), Value::Choice(at)) => Truth::from(mask & (1 << at) != 0),
            (Self::OneOf(mask), Value::Level { low, high }) => {
                let possible = span_mask(*low, *high);
                if possible & !mask == 0 {
                    Truth::True
                } else if possible & mask == 0 {
                    Truth::False
                } else {
                    Truth::Blank
                }
            }
            (Self::IncludesAny(mask), Value::Choices(bits)) => Truth::from(bits & mask != 0),
            (Self::IncludesAll(mask), Value::Choices(bits)) => Truth::from(bits & mask == *mask),
            (Self::Excludes(mask), Value::Choices(bits)) => Truth::from(bits & mask == 0),
            (Self::Within(range), Value::Number { low, high }) => {
                if range.has(*low) && range.has(*high) {
                    Truth::True
                } else if range.shared(&Range::closed(*low, *high)).is_empty() {
                    Truth::False
                } else {
                    Truth::Blank
                }
            }
            // Types were checked when the rulebook was loaded; what is left is a blank.
            _ => Truth::Blank,
        }
    }
}

/// The bits from one place to another, both included.
#[must_use]
pub fn span_mask(low: u8, high: u8) -> u64 {
    (low..=high).fold(0, |mask, at| mask | (1 << at))
}

/// Why a phrase does not fit its fact.
#[derive(Debug)]
pub enum Unfit {
    /// The type has no such phrase.
    Phrase,
    /// The fact has no such choice.
    Choice(String, Option<String>),
}

/// Reads a phrase for a fact.
///
/// # Errors
/// [`Unfit`], when the fact's type has no such phrase or the fact no such choice.
pub fn read(fact: &Fact, text: &str) -> Result<Test, Unfit> {
    let text = text.trim();
    match text {
        ANSWERED => return Ok(Test::Answered),
        BLANK => return Ok(Test::Blank),
        _ => {}
    }
    match fact.kind {
        Kind::YesNo => match text {
            "yes" => Ok(Test::YesNo(true)),
            "no" => Ok(Test::YesNo(false)),
            _ => Err(Unfit::Phrase),
        },
        Kind::Choice => choice(&fact.choices, text),
        Kind::Level => level(&fact.choices, text),
        Kind::Choices => set(&fact.choices, text),
        Kind::Number(unit) => number(unit, text).map(Test::Within).ok_or(Unfit::Phrase),
        Kind::Date => days(text).map(Test::Within).ok_or(Unfit::Phrase),
        Kind::Text => Err(Unfit::Phrase),
    }
}

fn one(choices: &[Choice], word: &str) -> Result<u64, Unfit> {
    find_choice(choices, word.trim())
        .map(|at| 1 << at)
        .ok_or_else(|| {
            Unfit::Choice(
                word.trim().to_owned(),
                closest(word, choices.iter().map(|c| c.id.as_str())),
            )
        })
}

fn several(choices: &[Choice], words: &str) -> Result<u64, Unfit> {
    words
        .split(',')
        .try_fold(0, |mask, word| Ok(mask | one(choices, word)?))
}

fn all(choices: &[Choice]) -> u64 {
    span_mask(0, (choices.len().max(1) - 1) as u8)
}

fn choice(choices: &[Choice], text: &str) -> Result<Test, Unfit> {
    let mask = if find_choice(choices, text).is_some() {
        one(choices, text)?
    } else if let Some(rest) = text.strip_prefix("one of ") {
        several(choices, rest)?
    } else if let Some(rest) = text.strip_prefix("none of ") {
        all(choices) & !several(choices, rest)?
    } else if let Some(rest) = text.strip_prefix("not ") {
        all(choices) & !one(choices, rest)?
    } else {
        one(choices, text)?
    };
    Ok(Test::OneOf(mask))
}

fn level(choices: &[Choice], text: &str) -> Result<Test, Unfit> {
    if find_choice(choices, text).is_some() {
        return choice(choices, text);
    }
    let top = (choices.len().max(1) - 1) as u8;
    let at = |word: &str| one(choices, word).map(|mask| mask.trailing_zeros() as u8);
    let mask = if let Some(rest) = text.strip_prefix("at least ") {
        span_mask(at(rest)?, top)
    } else if let Some(rest) = text.strip_prefix("at most ") {
        span_mask(0, at(rest)?)
    } else if let Some(rest) = text.strip_prefix("under ") {
        at(rest)?
            .checked_sub(1)
            .map_or(0, |below| span_mask(0, below))
    } else if let Some(rest) = text.strip_prefix("over ") {
        match at(rest)? {
            last if last >= top => 0,
            level => span_mask(level + 1, top),
        }
    } else if let Some((low, high)) = text
        .strip_prefix("between ")
        .and_then(|rest| rest.split_once(" and "))
    {
        span_mask(at(low)?, at(high)?)
    } else {
        return choice(choices, text);
    };
    Ok(Test::OneOf(mask))
}

fn set(choices: &[Choice], text: &str) -> Result<Test, Unfit> {
    if let Some(rest) = text.strip_prefix("includes any of ") {
        Ok(Test::IncludesAny(several(choices, rest)?))
    } else if let Some(rest) = text.strip_prefix("includes all of ") {
        Ok(Test::IncludesAll(several(choices, rest)?))
    } else if let Some(rest) = text.strip_prefix("includes ") {
        Ok(Test::IncludesAny(one(choices, rest)?))
    } else if let Some(rest) = text.strip_prefix("excludes all of ") {
        Ok(Test::Excludes(several(choices, rest)?))
    } else if let Some(rest) = text.strip_prefix("excludes ") {
        Ok(Test::Excludes(one(choices, rest)?))
    } else {
        Err(Unfit::Phrase)
    }
}

fn number(unit: Unit, text: &str) -> Option<Range> {
    let read = |text: &str| unit.read(text).ok();
    if let Some(rest) = text.strip_prefix("under ") {
        return Some(Range {
            high: read(rest)?,
            high_open: true,
            ..Range::ALL
        });
    }
    if let Some(rest) = text.strip_prefix("over ") {
        return Some(Range {
            low: read(rest)?,
            low_open: true,
            ..Range::ALL
        });
    }
    if let Some(rest) = text.strip_prefix("at least ") {
        return Some(Range {
            low: read(rest)?,
            ..Range::ALL
        });
    }
    if let Some(rest) = text.strip_prefix("at most ") {
        return Some(Range {
            high: read(rest)?,
            ..Range::ALL
        });
    }
    if let Some((low, high)) = text
        .strip_prefix("between ")
        .and_then(|rest| rest.split_once(" and "))
    {
        let word = high
            .trim_start_matches(|c: char| c.is_ascii_digit() || c == '.')
            .trim();
        let low = read(low).or_else(|| read(&format!("{low} {word}")))?;
        let range = Range::closed(low, read(high)?);
        return (range.low <= range.high).then_some(range);
    }
    read(text).map(|exact| Range::closed(exact, exact))
}

/// Phrases about dates, as days gone by.
fn days(text: &str) -> Option<Range> {
    let read = |text: &str| {
        // A bare number would leave days or weeks open.
        text.ends_with(|c: char| c.is_alphabetic())
            .then(|| Unit::Days.read(text).ok())
            .flatten()
    };
    if let Some(rest) = text.strip_prefix("in the next ") {
        return Some(Range::closed(-read(rest)?, 0.0));
    }
    if let Some(rest) = text.strip_prefix("within ") {
        return Some(Range::closed(0.0, read(rest)?));
    }
    let rest = text.strip_prefix("over ")?.strip_suffix(" ago")?;
    Some(Range {
        low: read(rest)?,
        low_open: true,
        ..Range::ALL
    })
}

/// Phrases that would fit a fact, for a mistake to list.
#[must_use]
pub fn fitting(fact: &Fact) -> Vec<String> {
    let first = fact.choices.first().map_or("x", |c| c.id.as_str());
    let second = fact.choices.get(1).map_or("y", |c| c.id.as_str());
    let mut phrases: Vec<String> = match fact.kind {
        Kind::YesNo => vec!["yes".into(), "no".into()],
        Kind::Choice => vec![
            first.into(),
            format!("not {first}"),
            format!("one of {first}, {second}"),
            format!("none of {first}, {second}"),
        ],
        Kind::Level => vec![
            first.into(),
            format!("at least {second}"),
            format!("under {second}"),
            format!("over {first}"),
            format!("between {first} and {second}"),
        ],
        Kind::Choices => vec![
            format!("includes {first}"),
            format!("includes any of {first}, {second}"),
            format!("excludes {first}"),
        ],
        Kind::Number(unit) => {
            let unit = unit.label();
            let with = |number: &str| format!("{number} {unit}").trim_end().to_owned();
            vec![
                with("5"),
                format!("under {}", with("5")),
                format!("at least {}", with("5")),
                format!("between 2 and {}", with("5")),
            ]
        }
        Kind::Date => vec![
            "within 90 days".into(),
            "over 90 days ago".into(),
            "in the next 60 days".into(),
        ],
        Kind::Text => Vec::new(),
    };
    phrases.push(ANSWERED.into());
    phrases.push(BLANK.into());
    phrases
}
