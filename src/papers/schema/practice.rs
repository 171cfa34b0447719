//! `practice.yaml`.

use serde_json::{Value, json};

use crate::library::Library;
use crate::rulebook::{Edition, second_reader_ids};
use crate::tongue::Tongue;
use crate::wording::opening::{DAYS, EVERY_DAY, KEYS as OPENING_KEYS};
use crate::wording::practice::{EMERGENCY_KEYS, KEYS, PaperSize};
use crate::wording::team::{KEYS as TEAM_KEYS, MEMBER_KEYS, May};
use crate::wording::{Spelling, Units, language};

use super::parts::{day, literal, object, said, text, word, yes_no};

/// A practice. An empty file is one too.
pub(super) fn practice(library: &Library) -> Value {
    let mut schema = object(
        &[KEYS, OPENING_KEYS, TEAM_KEYS].concat(),
        &[],
        |key| match key {
            "name" => said("The name of the practice.", text()),
            "consultant" => said("Who writes the papers.", text()),
            "contact" => said("How to reach the practice.", text()),
            "hours" => said(
                "When it can be reached, in the words that are printed.",
                text(),
            ),
            "cover" => said("Who covers outside those hours.", text()),
            "emergency" => said(
                "Numbers that are printed beside \"your local emergency number\".",
                emergency(),
            ),
            "opening" => said(
                "A sentence or two at the start of household papers.",
                text(),
            ),
            "closing" => said("And at their end.", text()),
            "house-rules" => said(
                "The edition of your own rules, with what changed.",
                edition(),
            ),
            "paper" => said("The sheet papers are printed on.", word(PaperSize::WORDS)),
            "large-print" => said("`yes` for large print on every household paper.", yes_no()),
            "sign-distance" => said("From how far the door sign is read: 1 m to 3 m.", text()),
            "language" => said("The language of the practice.", named(library)),
            "units" => said(
                "Metric, or inches and pounds with the metric value beside them.",
                word(Units::WORDS),
            ),
            "spelling" => said("British or American.", word(Spelling::WORDS)),
            "team" => said("Who works here, and what each may do with a plan.", team()),
            "second-reader" => said(
                "Which plans need a second reader.",
                json!({"type": "array", "items": {"enum": second_reader_ids(library)}}),
            ),
            "time-zone" => said(
                "The time zone, such as Europe/Lisbon. Replies are due by its clock.",
                json!({"type": "string"}),
            ),
            "open" => said(
                "Days and hours on the 24-hour clock, such as `monday to friday: 9:00-17:00`. A day that is not here is shut.",
                open(),
            ),
            "holidays" => said(
                "Days, and spans such as `2026-12-24 to 2027-01-01`.",
                json!({"anyOf": [
                    {"type": "array", "items": {"type": "string"}}, {"type": "string"},
                ]}),
            ),
            _ => None,
        },
    );
    schema["type"] = json!(["object", "null"]);
    schema
}

fn team() -> Value {
    let member = object(MEMBER_KEYS, MEMBER_KEYS, |key| match key {
        "name" => said("The name that is signed with.", text()),
        "may" => said(
            "`observes`; `drafts` (with someone who signs); `co-signs` (second reader as well); `signs` (alone).",
            word(May::WORDS),
        ),
        _ => None,
    });
    json!({"type": "array", "items": member})
}

fn emergency() -> Value {
    object(EMERGENCY_KEYS, &[], |key| match key {
        "people" => said("For a hurt person.", text()),
        "vet" => said("For a sick bird.", text()),
        "checked" => said("The day somebody last checked them.", day()),
        _ => None,
    })
}

fn edition() -> Value {
    let change = object(
        Edition::CHANGE_KEYS,
        Edition::CHANGE_KEYS,
        |key| match key {
            "version" => said("The version it made.", version()),
            "date" => said("Its day.", day()),
            "what" => said("What changed, and why.", text()),
            _ => None,
        },
    );
    object(
        Edition::KEYS,
        &["name", "version", "date", "owner", "review-by"],
        |key| match key {
            "name" => said("What your rules are called.", text()),
            "version" => said(
                "Three numbers, such as 1.0.0. Raise it with each change.",
                version(),
            ),
            "date" => said("The day of this version.", day()),
            "owner" => said("Who answers for it.", text()),
            "review-by" => said("The day by which somebody has to look at it again.", day()),
            "changes" => said(
                "What changed, the newest first.",
                json!({"type": "array", "items": change}),
            ),
            _ => None,
        },
    )
}

/// A version of Semantic Versioning 2.0.0, by the expression its authors suggest (named groups taken out).
fn version() -> Value {
    json!({"type": "string", "pattern": "^(0|[1-9]\\d*)\\.(0|[1-9]\\d*)\\.(0|[1-9]\\d*)(?:-((?:0|[1-9]\\d*|\\d*[a-zA-Z-][0-9a-zA-Z-]*)(?:\\.(?:0|[1-9]\\d*|\\d*[a-zA-Z-][0-9a-zA-Z-]*))*))?(?:\\+([0-9a-zA-Z-]+(?:\\.[0-9a-zA-Z-]+)*))?$"})
}

/// Days as keys, alone, from one to another, or several.
fn open() -> Value {
    let days: Vec<&str> = DAYS
        .iter()
        .flat_map(|(day, short)| [*day].into_iter().chain(short.iter().copied()))
        .collect();
    let one = format!(
        "({})",
        days.iter()
            .map(|day| insensitive(day))
            .collect::<Vec<_>>()
            .join("|")
    );
    let part = format!("({}|{one}( *(to|-|–) *{one})?)", insensitive(EVERY_DAY));
    let pattern = format!("^ *{part}( *, *{part})* *$");
    let hours = json!({"anyOf": [text(), {"type": "array", "items": text()}], "description": "Such as `9:00-12:30, 13:30-17:00`, `all day` or `shut`."});
    json!({"type": "object", "additionalProperties": false, "patternProperties": {pattern: hours}})
}

/// A language by its id, its own name, its English name or the form's answer, or by a tag with a region.
fn named(library: &Library) -> Value {
    let (mut names, mut tags) = (Vec::new(), Vec::new());
    for id in language::ids(library) {
        let tongue = Tongue::load(library, &id, &mut Vec::new());
        names.extend([
            tongue.in_english.to_lowercase(),
            tongue.name,
            tongue.answer,
            id.clone(),
        ]);
        tags.push(insensitive(&id));
    }
    let mut seen = Vec::new();
    names.retain(|name| {
        !seen.contains(name) && {
            seen.push(name.clone());
            true
        }
    });
    let loose: Vec<String> = names.iter().map(|name| insensitive(name)).collect();
    let pattern = format!("^(({})|({})[-_].{{1,4}})$", loose.join("|"), tags.join("|"));
    json!({"anyOf": [{ "enum": names }, {"type": "string", "pattern": pattern}]})
}

/// A text in any case.
fn insensitive(text: &str) -> String {
    text.chars()
        .map(|c| {
            let (lower, upper): (String, String) =
                (c.to_lowercase().collect(), c.to_uppercase().collect());
            if lower == upper {
                literal(&lower)
            } else {
                format!("[{lower}{upper}]")
            }
        })
        .collect()
}
