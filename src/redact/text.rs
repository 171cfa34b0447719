//! Running text: known names replaced, dates moved, and numbers and addresses that reach a person left out.

use std::sync::LazyLock;

use jiff::civil::Date;
use regex::{Captures, Regex};

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

/// What reaches or finds a person: addresses of mail and pages, telephone numbers, and dates written any other way.
static REACHES: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(concat!(
        r"(?i)[\w.+-]+@[\w-]+(?:\.[\w-]+)+",
        r"|\b(?:https?://|www\.)\S+",
        r"|\+?\d(?:[ ()/.-]{0,2}\d){6,}",
        r"|\b\d{1,2}[./-]\d{1,2}(?:[./-]\d{2,4})\b",
        r"|\b\d{1,2}(?:st|nd|rd|th|\.)? (?:of |de )?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|ene|abr|ago|dic)[a-z]*\b(?:,? (?:de )?\d{4})?",
        r"|\b(?:january|february|march|april|may|june|july|august|september|october|november|december) \d{1,2}\b(?:,? \d{4})?",
        r"|\b(?:january|february|march|april|may|june|july|august|september|october|november|december) \d{4}\b",
    ))
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
    for secret in secrets {
        let (text, count) = without(&out.text, &secret.text, &secret.stand_in);
        if count > 0 {
            out.text = text;
            out.replaced.push(secret.stand_in.clone());
        }
    }
    // Dates first, kept out of the way of the patterns for numbers.
    let mut dates: Vec<String> = Vec::new();
    let text = day.replace_all(&out.text, |found: &Captures<'_>| {
        let shown = found[0]
            .parse::<Date>()
            .map_or_else(|_| LEFT_OUT.to_owned(), |date| moved(date).to_string());
        dates.push(shown);
        format!("\u{e000}{}\u{e001}", letters(dates.len() - 1))
    });
    let mut left_out = 0;
    let text = reaches.replace_all(&text, |_: &Captures<'_>| {
        left_out += 1;
        LEFT_OUT
    });
    let mut text = text.into_owned();
    for (at, shown) in dates.iter().enumerate() {
        text = text.replace(&format!("\u{e000}{}\u{e001}", letters(at)), shown);
    }
    out.dates = dates.len();
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

/// A text with a word replaced wherever it stands as a whole word, in any case; and how often.
pub(super) fn without(text: &str, word: &str, stand_in: &str) -> (String, usize) {
    let mut out = String::with_capacity(text.len());
    let mut count = 0;
    let mut last = 0;
    for (from, to) in whole_words(text, word) {
        out.push_str(&text[last..from]);
        out.push_str(stand_in);
        last = to;
        count += 1;
    }
    out.push_str(&text[last..]);
    (out, count)
}

/// Where a word stands as a whole word, in any case.
pub(super) fn whole_words(text: &str, word: &str) -> Vec<(usize, usize)> {
    let Ok(pattern) = Regex::new(&format!("(?i){}", regex::escape(word))) else {
        return Vec::new();
    };
    pattern
        .find_iter(text)
        .filter(|found| {
            let before = text[..found.start()].chars().next_back();
            let after = text[found.end()..].chars().next();
            !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
        })
        .map(|found| (found.start(), found.end()))
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
            ("14/10/2025 or 14.10.25", "[…] or […]"),
            ("3 bites in 14 days at 30 cm", "3 bites in 14 days at 30 cm"),
        ] {
            assert_eq!(clean(text), shown);
        }
    }
}
