//! Mistakes of an intake against the questionnaire.

use super::{meant, mistakes};
use crate::words::either;

mistakes! {
    /// A top-level key that is no group of the form.
    Error "unknown-group" UnknownGroup { key: String, close: Option<String>, belongs: Option<String>, groups: Vec<String> } "`{key}` is not a part of the form" => elsewhere(key, belongs).unwrap_or_else(|| meant(close, format!("the parts are {}", either(groups))));
    /// A key that is no question of its group.
    Error "unknown-key" UnknownKey { key: String, group: String, close: Option<String>, belongs: Option<String>, keys: Vec<String> } "`{key}` is not a question under `{group}`" => elsewhere(key, belongs).unwrap_or_else(|| meant(close, format!("the questions here are {}", either(keys))));
    /// A single value or list where a group of answers belongs.
    Error "group-expected" GroupExpected { group: String, found: String } "`{group}` needs its answers one to a line below it, and holds {found}" => format!("write `{group}:` and then each answer on its own line, indented, without `- `");
    /// One block of a repeated part is no block.
    Error "block-expected" BlockExpected { group: String, number: usize, found: String } "block {number} under `{group}` holds {found}, not answers" => "write `- ` and then each answer on its own line with its name and a colon";
    /// The file as a whole is no form.
    Error "not-a-form" NotAForm { found: String } "this file holds {found}, not a filled-in form" => "a fresh form comes from `perchside blank`, a fresh log from `perchside log blank`; each part is a heading like `bird:` with its answers below";
    /// A repeated part that is not a list.
    Error "list-expected" ListExpected { group: String, found: String } "`{group}` takes a list of blocks, and holds {found}" => format!("start each block under `{group}:` with `- `; write `{group}: []` for none at all");
    /// A list or group where one answer belongs.
    Error "one-answer-expected" OneAnswerExpected { key: String, found: String } "`{key}` takes one answer, and holds {found}" => "keep one answer, on the same line as the question";
    /// A set of choices that holds something else.
    Error "words-expected" WordsExpected { key: String, found: String } "`{key}` takes one or more of its words, and holds {found}" => "write them on one line with commas between";
    /// Not yes or no.
    Error "not-yes-or-no" NotYesOrNo { key: String, text: String } "`{text}` is not an answer to `{key}`" => "write yes, no, or unknown";
    /// Not one of the choices.
    Error "not-a-choice" NotAChoice { key: String, text: String, close: Option<String>, choices: Vec<String> } "`{text}` is not one of the answers to `{key}`" => meant(close, format!("choose {}, or unknown", either(choices)));
    /// "None" together with something.
    Error "none-with-others" NoneWithOthers { key: String, none: String } "`{key}` says `{none}` and something else as well" => format!("keep either `{none}` or the others");
    /// No number.
    Error "not-a-number" NotANumber { key: String, text: String, example: String } "`{text}` is not a number for `{key}`" => format!("write it like `{example}`, or unknown");
    /// A unit left out where that could mislead.
    Error "unit-missing" UnitMissing { key: String, text: String, fitting: Vec<String> } "`{key}` has the number {text} without a unit" => format!("write the unit after it: {}", either(fitting));
    /// A unit nobody knows.
    Error "unit-unknown" UnitUnknown { key: String, unit: String, close: Option<String>, fitting: Vec<String> } "`{unit}` is not a unit for `{key}`" => meant(close, if fitting.is_empty() { "write the number alone".to_owned() } else { format!("use {}", either(fitting)) });
    /// A unit of something else.
    Error "unit-wrong" UnitWrong { key: String, unit: String, fitting: Vec<String> } "`{unit}` does not measure `{key}`" => if fitting.is_empty() { "write the number alone".to_owned() } else { format!("use {}", either(fitting)) };
    /// Outside the possible range.
    Error "out-of-range" OutOfRange { key: String, text: String, least: String, most: String } "{text} cannot be right for `{key}`" => format!("it lies between {least} and {most}; check the number");
    /// No date.
    Error "not-a-date" NotADate { key: String, text: String } "`{text}` is not a date that `{key}` can take" => "write year-month-day like 2026-10-03, or only 2026-10 or 2026 if that is all you know";
    /// The form of a date, and no such day.
    Error "no-such-day" NoSuchDay { key: String, text: String } "there is no such day as {text}" => format!("check the month and the day of `{key}`");
    /// A day with something behind it that is no time of day.
    Error "no-such-time" NoSuchTime { key: String, text: String } "`{text}` has a time that `{key}` cannot take" => "write hours and minutes behind the day, like 2026-10-03 16:30; where the clock was elsewhere, like 2026-10-03 16:30 +01:00";
    /// A date that can be read two ways.
    Error "date-two-ways" DateTwoWays { key: String, text: String, one: String, other: String } "`{text}` can be read in two ways" => format!("write {one} or {other}, as year-month-day");
    /// A date after today.
    Error "date-ahead" DateAhead { key: String, text: String, today: String } "{text} lies after today ({today})" => format!("check the day, month and year; `{key}` is for things that have happened");
    /// A date nobody alive remembers.
    Error "date-too-old" DateTooOld { key: String, text: String } "{text} is too long ago for `{key}`" => "check the year";
    /// The bird's age against the day it came.
    Error "age-against-date" AgeAgainstDate { age: String, since: String } "a bird of {age} cannot have come home by {since}" => "check the bird's age and the day it came; if the age is a guess, write unknown";
    /// A bite older than the bird's time in this home.
    Warning "bite-before-home" BiteBeforeHome { bite: String, since: String } "this bite ({bite}) is older than the bird's time in this home (since {since})" => "check both days; if it happened in an earlier home, leave it as it is";
    /// Two people of one name.
    Error "person-named-twice" PersonNamedTwice { name: String } "two people are called `{name}`" => "give each a name or code of their own, so that bites can be told apart";
    /// A name that is not in the list of people.
    Warning "person-not-listed" PersonNotListed { name: String, close: Option<String> } "`{name}` is not among the people of this form" => match close { Some(close) => format!("did you mean `{close}`? If not, add this person under `people`"), None => "add this person under `people`, or use the name written there".to_owned() };
    /// A figure that this bird or this person cannot have.
    Error "figure-does-not-fit" FigureDoesNotFit { value: String, fits: String, of: Whose } "{value} does not fit {of}, which has {fits}" => "check the figure, its unit and the answer it does not fit; leave out what is not sure";
    /// A count that holds more than the one it is part of.
    Error "counts-contradict" CountsContradict { part: String, whole: String } "there cannot be {part} in the last 30 days and only {whole} in the last 90" => "count the last 30 days in with the 90";
    /// A block of a list with nothing in it.
    Warning "blank-block" BlankBlock { group: String, number: usize } "block {number} under `{group}` is empty, and counts as one more of which nothing is known" => "fill it in, or take it out";
    /// Nothing answered at all.
    Warning "nothing-answered" NothingAnswered {} "no question of this form is answered" => "a plan from it assumes the safer side everywhere; fill in what you know, bites and people first";
}

/// Whom a figure does not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// Birds of the kind that was told.
    Kind,
    /// Birds of the weight that was told.
    Weight,
    /// Birds of the size that was told or worked out.
    Size,
    /// People of the age that was told.
    Age,
}

impl std::fmt::Display for Whose {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Kind => "a bird of this kind",
            Self::Weight => "a bird of this weight",
            Self::Size => "a bird of this size",
            Self::Age => "a person of this age",
        })
    }
}

/// Where a misplaced question belongs.
fn elsewhere(key: &str, belongs: &Option<String>) -> Option<String> {
    belongs
        .as_ref()
        .map(|group| format!("`{key}` belongs under `{group}`"))
}
