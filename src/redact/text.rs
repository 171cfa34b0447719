//! Running text: known names replaced, dates moved, and numbers and addresses that reach a person left out.

use std::sync::LazyLock;

use jiff::civil::Date;
use regex::{Captures, Regex};

use crate::names;

use super::Secret;

/// What stands where something was left out.
const LEFT_OUT: &str = "[…]";

/// A text after the work.
pub(super) struct Cleaned {
    pub(super) text: String,
    /// Stand-ins that were put in.
    pub(super) replaced: Vec<String>,
    /// Dates that were moved.
    pub(super) dates: usize,
    /// Things that were left out.
    pub(super) left_out: usize,
}

/// Whole dates as the form has them.
static DAY: LazyLock<Option<Regex>> = LazyLock::new(|| Regex::new(r"\b\d{4}-\d{2}-\d{2}\b").ok());

/// What reaches or finds a person: addresses of mail, pages and streets, handles, post codes, telephone numbers, and dates written any
/// other way. Rather too much than too little: what is left out is told.
static REACHES: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let month = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|ene|abr|ago|dic)[a-z]*";
    let nth = r"(?:\d{1,2}(?:st|nd|rd|th|\.)?|first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|eleventh|twelfth|[a-z]+teenth|twentieth|thirtieth|(?:twenty|thirty)-[a-z]+)";
    Regex::new(&[
        r"(?i)[\w.+-]+@[\w-]+(?:\.[\w-]+)+|@\w{2,}",
        r"\b(?:https?://|www\.)\S+",
        r"\b\d{1,5}[a-z]? (?:\p{L}[\p{L}'’-]* ){0,3}(?:street|st|road|rd|lane|ln|avenue|ave|drive|close|way|court|place|square|terrace|boulevard|row|hill|gardens|crescent)\b",
        r"\b[a-z]{1,2}\d[a-z\d]? ?\d[a-z]{2}\b",
        r"\+?\d(?:[ ()/.-]{0,2}\d){6,}",
        r"\b\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b|\b\d{1,2}/\d{1,2}\b",
        &format!(r"\b{nth} (?:of |de )?{month}\b(?:,? (?:de )?\d{{4}})?"),
        &format!(r"\b{month} {nth}\b(?:,? \d{{4}})?"),
        &format!(r"\b{month} \d{{4}}\b"),
        r"\b(?:mon|tues|wednes|thurs|fri|satur|sun)day (?:the )?\d{1,2}(?:st|nd|rd|th)\b",
        r"\b(?:christmas|new year|easter|halloween|thanksgiving|boxing)[a-z' ]{0,12}(?:day|eve)?\b",
        r"\b(?:19|20)\d{2}\b",
    ]
    .join("|"))
    .ok()
});

/// A text without what tells who it is about. Where a pattern could not be made, nothing of the text is kept.
pub(super) fn cleaned(text: &str, secrets: &[Secret], moved: impl Fn(Date) -> Date) -> Cleaned {
    let mut out = Cleaned {
        text: text.to_owned(),
        replaced: Vec::new(),
        dates: 0,
        left_out: 0,
    };
    let (Some(day), Some(reaches)) = (DAY.as_ref(), REACHES.as_ref()) else {
        LEFT_OUT.clone_into(&mut out.text);
        out.left_out = 1;
        return out;
    };
    // What is put in is kept out of the way of the patterns that follow.
    let mut kept: Vec<String> = Vec::new();
    let mut keep = |shown: String| {
        kept.push(shown);
        format!("\u{e000}{}\u{e001}", letters(kept.len() - 1))
    };
    for secret in secrets {
        let found = secret.places(&out.text);
        if !found.is_empty() {
            out.replaced.push(secret.stand_in.clone());
            let mark = keep(secret.stand_in.clone());
            out.text = names::replaced(&out.text, &found, &mark);
        }
    }
    let mut dates = 0;
    let text = day.replace_all(&out.text, |found: &Captures<'_>| {
        dates += 1;
        keep(
            found[0]
                .parse::<Date>()
                .map_or_else(|_| LEFT_OUT.to_owned(), |date| moved(date).to_string()),
        )
    });
    let mut left_out = 0;
    let text = reaches.replace_all(&text, |_: &Captures<'_>| {
        left_out += 1;
        LEFT_OUT
    });
    let mut text = text.into_owned();
    for (at, shown) in kept.iter().enumerate() {
        text = text.replace(&format!("\u{e000}{}\u{e001}", letters(at)), shown);
    }
    out.dates = dates;
    out.left_out = left_out;
    out.text = text;
    out
}

/// A number in letters, which no pattern for numbers takes for one.
fn letters(number: usize) -> String {
    number
        .to_string()
        .bytes()
        .map(|digit| char::from(digit - b'0' + b'a'))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::ToSpan;

    fn secret(text: &str, stand_in: &str) -> Secret {
        Secret {
            text: text.to_owned(),
            stand_in: stand_in.to_owned(),
            question: "people.name".to_owned(),
            is_code: false,
        }
    }

    fn clean(text: &str) -> String {
        let secrets = [secret("Wren", "person-1"), secret("Böhm", "person-2")];
        let moved = |day: Date| day.checked_sub(7.days()).unwrap_or(day);
        cleaned(text, &secrets, moved).text
    }

    #[test]
    fn names_go_in_any_case_and_only_as_whole_words() {
        assert_eq!(
            clean("WREN and wren's hand, not Wrenfield. BÖHM!"),
            "person-1 and person-1's hand, not Wrenfield. person-2!"
        );
    }

    #[test]
    fn dates_move_and_what_reaches_a_person_goes() {
        for (text, shown) in [
            (
                "on 2026-10-14, again 2026-10-20",
                "on 2026-10-07, again 2026-10-13",
            ),
            ("call +44 20 7946 0018 now", "call […] now"),
            (
                "mail a.b@example.org or https://example.org/x?y",
                "mail […] or […]",
            ),
            ("since 14 October 2025, and October 3", "since […], and […]"),
            ("14/10/2025 or 14.10.25 or 03/04", "[…] or […] or […]"),
            (
                "the third of March, Mar 3rd, in 2019",
                "the […], […], in […]",
            ),
            ("at 14 Oak Lane, SY16 2AB, @rosie_b", "at […], […], […]"),
            ("Wren 020 7946 0018", "person-1 […]"),
            (
                "Wren\u{2bc}s and **Wr**en",
                "person-1\u{2bc}s and **person-1",
            ),
            ("3 bites in 14 days at 30 cm", "3 bites in 14 days at 30 cm"),
        ] {
            assert_eq!(clean(text), shown);
        }
    }
}
