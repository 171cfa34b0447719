//! The form as one HTML file that works with no network: questions, style and scripts in a single page.
//!
//! The page is made from the questionnaire, so a practice's own questions stand in it. Its scripts know no rule and no
//! phrase: when a question is asked, which words are units and how large each is, are worked out here and handed over as data.

use serde_json::{Map, Value as Json, json};
use sha2::{Digest, Sha256};

use crate::facts::{Value, Vocabulary};
use crate::language::condition::Condition;
use crate::language::{FactRef, Test, Truth};
use crate::questionnaire::{Kind, Question, Questionnaire, Tier};
use crate::units::Unit;

use super::engine::{Engine, PaperError};
use super::form::groups;

/// The scripts of the form, in the order they are joined.
const SCRIPTS: &[&str] = &[
    include_str!("../../templates/form/words.js"),
    include_str!("../../templates/form/quantities.js"),
    include_str!("../../templates/form/dates.js"),
    include_str!("../../templates/form/yaml.js"),
    include_str!("../../templates/form/answers.js"),
    include_str!("../../templates/form/checks.js"),
    include_str!("../../templates/form/keep.js"),
    include_str!("../../templates/form/view.js"),
    include_str!("../../templates/form/file.js"),
    include_str!("../../templates/form/paper.js"),
    include_str!("../../templates/form/start.js"),
];
const LIBRARY: &str = include_str!("../../templates/form/vendor/js-yaml.umd.min.js");
const LICENCE: &str = include_str!("../../templates/form/vendor/js-yaml.LICENSE");
const WORDS: &str = include_str!("../../templates/form/words.json");

/// Most choices that are shown side by side; more are folded into a list.
const MOST_RADIOS: usize = 7;

/// Names of units that people write. Whether one fits a question, and how large it is, is asked of [`Unit`].
pub(super) const UNIT_NAMES: &[&str] = &[
    "mm",
    "millimetre",
    "millimetres",
    "millimeter",
    "millimeters",
    "cm",
    "centimetre",
    "centimetres",
    "centimeter",
    "centimeters",
    "m",
    "metre",
    "metres",
    "meter",
    "meters",
    "in",
    "inch",
    "inches",
    "\"",
    "″",
    "ft",
    "foot",
    "feet",
    "'",
    "′",
    "g",
    "gram",
    "grams",
    "gramme",
    "grammes",
    "kg",
    "kilo",
    "kilos",
    "kilogram",
    "kilograms",
    "oz",
    "ounce",
    "ounces",
    "lb",
    "lbs",
    "pound",
    "pounds",
    "s",
    "sec",
    "secs",
    "second",
    "seconds",
    "min",
    "mins",
    "minute",
    "minutes",
    "h",
    "hr",
    "hrs",
    "hour",
    "hours",
    "d",
    "day",
    "days",
    "week",
    "weeks",
    "wk",
    "wks",
    "month",
    "months",
    "y",
    "yr",
    "yrs",
    "year",
    "years",
    "%",
    "percent",
    "per cent",
    "times",
    "time",
    "x",
];

/// The form with the questions up to a tier, as one HTML file.
///
/// # Errors
/// When a template or the file of words does not fit.
pub fn web_form(
    engine: &Engine,
    questionnaire: &Questionnaire,
    vocabulary: &Vocabulary,
    up_to: Tier,
) -> Result<String, PaperError> {
    let words: Json = serde_json::from_str(WORDS).map_err(|fault| PaperError {
        template: "form/words.json".to_owned(),
        source: minijinja::Error::new(minijinja::ErrorKind::BadSerialization, fault.to_string()),
    })?;
    let shown: Vec<Json> = groups(questionnaire, up_to)
        .into_iter()
        .map(|group| shown(json!(group), questionnaire, vocabulary, &words))
        .collect();
    let data = in_script(&data(&shown, questionnaire, up_to, &words).to_string());
    // The note on its source map would send a browser's own tools looking for a file.
    let library: String = lines(LIBRARY)
        .lines()
        .filter(|line| !line.starts_with("//# sourceMappingURL"))
        .map(printable)
        .collect::<Vec<_>>()
        .join("\n");
    let script = format!(
        "(() => {{\n\"use strict\";\n{}}})();",
        lines(&SCRIPTS.concat())
    );
    let style = lines(&engine.render("form/form.css", &json!({}))?);
    let policy = format!(
        "default-src 'none'; script-src {} {} {}; style-src {}; form-action 'none'; base-uri 'none'",
        // Data run nothing and need no leave; checkers that hold every script against the policy ask for it all the same.
        hash(&data),
        hash(&library),
        hash(&script),
        hash(&style),
    );
    let page = engine.render(
        "form/form.html",
        &json!({
            "words": words,
            "groups": shown,
            "policy": policy,
            "style": style,
            "data": data,
            "library": library,
            "script": script,
            "licence": LICENCE,
        }),
    )?;
    // What stands before the first tag comes from the template's own macros.
    Ok(page.trim_start().to_owned())
}

/// A page is read with plain line ends, and its hashes are taken over what is read.
fn lines(text: &str) -> String {
    text.replace("\r\n", "\n")
}

/// A script whose strings hold no bare control characters, which HTML does not allow; an escape means the same.
fn printable(script: &str) -> String {
    script
        .chars()
        .map(|c| {
            if c.is_control() && c != '\t' {
                format!("\\u{:04x}", u32::from(c))
            } else {
                c.to_string()
            }
        })
        .collect()
}

/// How a content security policy names an inline script or style.
fn hash(text: &str) -> String {
    format!("'sha256-{}'", base64(&Sha256::digest(text.as_bytes())))
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::new();
    for chunk in bytes.chunks(3) {
        let word = chunk
            .iter()
            .chain(&[0, 0])
            .take(3)
            .fold(0_usize, |word, byte| word << 8 | usize::from(*byte));
        for place in 0..4 {
            let sign = SIGNS[word >> (18 - 6 * place) & 63];
            out.push(if place <= chunk.len() {
                char::from(sign)
            } else {
                '='
            });
        }
    }
    out
}

/// JSON that cannot end the script element it stands in.
fn in_script(json: &str) -> String {
    json.replace('<', "\\u003c")
}

fn filled(words: &Json, key: &str, fills: &[(&str, &str)]) -> String {
    let mut text = words[key].as_str().unwrap_or_default().to_owned();
    for (name, value) in fills {
        text = text.replace(&format!("{{{name}}}"), value);
    }
    text
}

/// A group as the template sees it: what the blank form has, and how each question looks and when it is asked.
fn shown(
    mut group: Json,
    questionnaire: &Questionnaire,
    vocabulary: &Vocabulary,
    words: &Json,
) -> Json {
    let Some(at) = group["id"].as_str().and_then(|id| questionnaire.group(id)) else {
        return group;
    };
    let info = &questionnaire.groups[at];
    let Some(questions) = group["questions"].as_array_mut() else {
        return group;
    };
    for shown in questions {
        let Some(place) = info.questions.iter().position(|q| shown["id"] == q.id) else {
            continue;
        };
        let question = &info.questions[place];
        if question.kind == Kind::YesNo {
            shown["choices"] =
                json!([{"id": "yes", "words": words["yes"]}, {"id": "no", "words": words["no"]}]);
        }
        let names = names_person(questionnaire, &info.id, question);
        shown["names"] = json!(names);
        shown["look"] = json!(match question.kind {
            Kind::YesNo => "radios",
            Kind::Choice | Kind::Level if question.choices.len() <= MOST_RADIOS => "radios",
            Kind::Choice | Kind::Level => "select",
            Kind::Choices => "boxes",
            Kind::Text if takes_sentences(question) => "long",
            Kind::Number(_) | Kind::Date | Kind::Text => "line",
        });
        // Where `unknown` is itself one of the answers, there is no second way to say it.
        shown["dont_know"] = json!(question.choice("unknown").is_none());
        if let Kind::Number(unit) = question.kind {
            shown["own"] = json!(own(unit));
            shown["bare"] = json!(unit.may_be_left_out());
        }
        shown["hint_lines"] = json!(hint_lines(question, words));
        shown["when"] = json!(when(
            vocabulary,
            FactRef {
                group: at,
                fact: place
            }
        ));
    }
    group
}

/// True for a text that names one of the people of the form.
fn names_person(questionnaire: &Questionnaire, group: &str, question: &Question) -> bool {
    question.kind == Kind::Text
        && group != "people"
        && matches!(question.id.as_str(), "person" | "who")
        && questionnaire.find("people.name").is_some()
}

/// True for a text whose example, or whose hint, asks for whole sentences.
fn takes_sentences(question: &Question) -> bool {
    match (&question.example, &question.help) {
        (Some(example), _) => example.ends_with('.'),
        (None, Some(help)) => help.ends_with('?'),
        (None, None) => false,
    }
}

fn hint_lines(question: &Question, words: &Json) -> Vec<String> {
    let mut lines: Vec<String> = question.help.iter().cloned().collect();
    match question.kind {
        Kind::Choices => lines.push(filled(words, "several", &[])),
        Kind::Date if question.time => lines.push(filled(words, "time-hint", &[])),
        Kind::Date => lines.push(filled(words, "date-hint", &[])),
        _ => {
            if let Some(example) = &question.example {
                lines.push(filled(words, "example", &[("text", example)]));
            }
        }
    }
    lines
}

/// The word of a question's own unit among those that fit it.
fn own(unit: Unit) -> &'static str {
    unit.fitting()
        .iter()
        .find(|word| unit.read(&format!("1 {word}")) == Ok(1.0))
        .copied()
        .unwrap_or_default()
}

/// What the scripts are told.
fn data(shown: &[Json], questionnaire: &Questionnaire, up_to: Tier, words: &Json) -> Json {
    let mut units = Map::new();
    let groups: Vec<Json> = shown
        .iter()
        .filter_map(|group| {
            let info = &questionnaire.groups[questionnaire.group(group["id"].as_str()?)?];
            let shown = group["questions"].as_array()?;
            let questions: Vec<Json> = shown
                .iter()
                .filter_map(|shown| {
                    let question = info.questions.iter().find(|q| shown["id"] == q.id)?;
                    let mut it = json!({
                        "id": question.id,
                        "ask": question.ask,
                        "type": question.kind.word(),
                        "look": shown["look"],
                        "choices": shown["choices"].as_array()?.iter().map(|c| c["id"].clone()).collect::<Vec<_>>(),
                        "alone": question.alone.and_then(|at| question.choices.get(at)).map(|c| &c.id),
                        "future": question.future,
                        "time": question.time,
                        "when": shown["when"],
                    });
                    if let Kind::Number(unit) = question.kind {
                        let name = if unit.label().is_empty() { "count" } else { unit.label() };
                        units.entry(name).or_insert_with(|| sizes(unit));
                        it["unit"] = json!(name);
                        it["min"] = json!(question.min);
                        it["max"] = json!(question.max);
                        it["least"] = json!(unit.show(question.min));
                        it["most"] = json!(unit.show(question.max));
                    }
                    Some(it)
                })
                .collect();
            let others: Vec<&str> = info
                .questions
                .iter()
                .map(|q| q.id.as_str())
                .filter(|id| !questions.iter().any(|q| q["id"] == *id))
                .collect();
            Some(json!({
                "id": info.id,
                "title": info.title,
                "repeats": info.repeats,
                "others": others,
                "questions": questions,
            }))
        })
        .collect();
    json!({ "tier": up_to, "groups": groups, "units": units, "words": words })
}

/// The units that fit a question, and the size of each name for one in the question's own.
fn sizes(unit: Unit) -> Json {
    let mut sizes = Map::new();
    for name in UNIT_NAMES {
        // Asked for a million of them, because a quantity is rounded to a millionth.
        if let Ok(size) = unit.read(&format!("1000000 {name}")) {
            sizes.insert((*name).to_owned(), json!(size / 1e6));
        }
    }
    json!({"own": own(unit), "fits": unit.fitting(), "bare": unit.may_be_left_out(), "sizes": sizes})
}

/// When a question is asked, as plain lists of answers; a part that a page cannot judge is left out, so that the question shows.
fn when(vocabulary: &Vocabulary, at: FactRef) -> Vec<Json> {
    let parts = match &vocabulary.fact(at).asked_when {
        Some(Condition::All(parts)) => parts.as_slice(),
        _ => &[],
    };
    parts
        .iter()
        .filter_map(|part| {
            let Condition::Is { fact, test, .. } = part else {
                return None;
            };
            let told = vocabulary.fact(*fact);
            let repeats = vocabulary.groups[fact.group].repeats.is_some();
            if told.is_derived() || (repeats && fact.group != at.group) {
                return None;
            }
            let ids = |bits: u64| -> Vec<&str> {
                let set = told.choices.iter().enumerate();
                set.filter(|(at, _)| bits & (1 << at) != 0)
                    .map(|(_, c)| c.id.as_str())
                    .collect()
            };
            let holds = |value: &Value| test.check(value) != Truth::False;
            let says = match (test, told.kind) {
                (Test::Answered, _) => json!({"answered": true}),
                (Test::Blank, _) => json!({"answered": false}),
                (_, Kind::YesNo) => {
                    let both = [("yes", true), ("no", false)];
                    let shows: Vec<&str> = both
                        .iter()
                        .filter(|(_, yes)| holds(&Value::YesNo(*yes)))
                        .map(|(id, _)| *id)
                        .collect();
                    json!({"one": shows})
                }
                (_, Kind::Choice | Kind::Level) => {
                    let value = |at: usize| {
                        let at = u8::try_from(at).unwrap_or(u8::MAX);
                        if told.kind == Kind::Level {
                            Value::level(at)
                        } else {
                            Value::Choice(at)
                        }
                    };
                    let shows: Vec<&str> = (0..told.choices.len())
                        .filter(|at| holds(&value(*at)))
                        .map(|at| told.choices[at].id.as_str())
                        .collect();
                    json!({"one": shows})
                }
                (Test::IncludesAny(bits), _) => json!({"any": ids(*bits)}),
                (Test::IncludesAll(bits), _) => json!({"all": ids(*bits)}),
                (Test::Excludes(bits), _) => json!({"none": ids(*bits)}),
                (Test::Within(range), Kind::Number(_)) => json!({"range": {
                    "low": range.low.is_finite().then_some(range.low),
                    "lowOpen": range.low_open,
                    "high": range.high.is_finite().then_some(range.high),
                    "highOpen": range.high_open,
                }}),
                _ => return None,
            };
            Some(json!({
                "group": vocabulary.groups[fact.group].id,
                "question": told.id,
                "says": says,
            }))
        })
        .collect()
}
