//! Reads a folder of questions: `questions/` for the intake, `log/` for the log.

use super::{Choice, Group, Identifies, Kind, Question, Questionnaire, TIERS, Tier, find_choice};
use crate::fields::{Fields, File};
use crate::file_kind::FileKind;
use crate::library::{Library, document};
use crate::mistake::Problem;
use crate::mistakes::data::{
    DataFileMissing, FileInWrongFolder, IdNotFileName, IdNotKebab, IdUsedTwice, QuestionDoesNotFit,
    UnknownWord,
};
use crate::tree::Path;
use crate::units::Unit;
use crate::words::{closest, is_kebab};

/// The keys of a group of questions.
pub const GROUP_KEYS: &[&str] = &[
    "group",
    "order",
    "title",
    "about",
    "repeats",
    "blank",
    "questions",
];
/// The keys of a question.
pub const QUESTION_KEYS: &[&str] = &[
    "id",
    "ask",
    "why",
    "type",
    "unit",
    "min",
    "max",
    "choices",
    "tier",
    "private",
    "blank",
    "help",
    "example",
    "label",
    "future",
    "time",
    "alone",
    "asked-when",
    "identifies",
];
/// The types of questions.
pub const KINDS: &[&str] = &[
    "yes-no", "choice", "level", "choices", "number", "date", "text",
];
/// The units of numbers.
pub const UNITS: &[&str] = &[
    "count", "percent", "s", "minutes", "hours", "days", "years", "mm", "cm", "g",
];

/// The most choices a question may have: a set of them is held in 64 bits.
pub const MOST_CHOICES: usize = 60;
/// What `future` and `time` can say.
pub const ALLOWED: &[&str] = &["allowed"];

/// Reads all question files in a folder of a library; faults are added to `problems`.
#[must_use]
pub fn load(library: &Library, folder: &str, problems: &mut Vec<Problem>) -> Questionnaire {
    let mut groups: Vec<Group> = Vec::new();
    let before = problems.len();
    for (path, source) in &library.files {
        let Some(stem) = path
            .strip_prefix(folder)
            .and_then(|name| name.strip_prefix('/'))
            .and_then(|name| name.strip_suffix(".yaml"))
        else {
            continue;
        };
        match document(source) {
            Err(found) => problems.extend(found),
            Ok(document) => {
                let file = File::new(&document);
                let kind = FileKind::told_by(&document.root);
                if let Some(kind) = kind.filter(|kind| *kind != FileKind::Question) {
                    file.fault(
                        &Path::default(),
                        FileInWrongFolder {
                            is: kind.words().to_owned(),
                            belongs: kind.belongs().to_owned(),
                        },
                    );
                    problems.extend(file.into_problems());
                    continue;
                }
                let group = group(&file, stem);
                problems.extend(file.into_problems());
                groups.push(group);
            }
        }
    }
    if groups.is_empty() && problems.len() == before {
        problems.push(Problem::of_file(
            &format!("{}/{folder}", library.label),
            DataFileMissing {
                file: format!("{folder}/*.yaml"),
            },
        ));
    }
    groups.sort_by(|a, b| a.order.total_cmp(&b.order).then_with(|| a.id.cmp(&b.id)));
    Questionnaire { groups }
}

fn group<'a>(file: &'a File<'a>, stem: &str) -> Group {
    let fields = file.fields(GROUP_KEYS);
    let id = fields.needed_text("group");
    if !id.is_empty() && id != stem {
        file.fault(
            &fields.at("group"),
            IdNotFileName {
                id: id.clone(),
                stem: stem.to_owned(),
            },
        );
    }
    let _ = fields.need("questions");
    let items = fields.items("questions");
    let mut questions: Vec<Question> = Vec::with_capacity(items.len());
    for (node, path) in items {
        let fields = Fields::new(file, node, path, QUESTION_KEYS);
        let question = question(&fields);
        if questions.iter().any(|other| other.id == question.id) {
            file.fault(
                &fields.at("id"),
                IdUsedTwice {
                    id: question.id.clone(),
                    other: "this group".to_owned(),
                },
            );
            continue;
        }
        questions.push(question);
    }
    Group {
        id,
        title: fields.needed_text("title"),
        about: fields.needed_text("about"),
        blank: match fields.get("repeats") {
            // A repeated group can be left out whole, and the plan has to say what follows.
            Some(_) => Some(fields.needed_text("blank")),
            None => fields.text("blank"),
        },
        repeats: fields.text("repeats"),
        order: fields.number("order").unwrap_or(f64::MAX),
        questions,
    }
}

fn question(fields: &Fields<'_>) -> Question {
    let id = fields.needed_text("id");
    let unfit = |key: &str, why: String| {
        fields.file.fault(
            &fields.at(key),
            QuestionDoesNotFit {
                id: id.clone(),
                why,
            },
        );
    };
    if !id.is_empty() && !is_kebab(&id) {
        fields
            .file
            .fault(&fields.at("id"), IdNotKebab { id: id.clone() });
    }
    let word = fields
        .needed_word("type", KINDS)
        .map_or("text", |at| KINDS[at]);
    let unit = fields
        .word("unit", UNITS)
        .and_then(|at| Unit::named(UNITS[at]));
    let mut choices: Vec<Choice> = fields
        .entries("choices")
        .into_iter()
        .map(|(id, node, _)| Choice {
            id: id.trim().to_owned(),
            words: node.scalar().map(|s| s.into_owned()).unwrap_or_default(),
        })
        .collect();
    let kind = match word {
        "yes-no" => Kind::YesNo,
        "choice" => Kind::Choice,
        "level" => Kind::Level,
        "choices" => Kind::Choices,
        "number" => {
            if fields.get("unit").is_none() {
                unfit("type", "a number needs a `unit`".to_owned());
            }
            Kind::Number(unit.unwrap_or(Unit::Count))
        }
        "date" => Kind::Date,
        _ => Kind::Text,
    };
    let chosen = matches!(kind, Kind::Choice | Kind::Level | Kind::Choices);
    if chosen && choices.len() < 2 {
        unfit("choices", "it needs at least two choices".to_owned());
    }
    if choices.len() > MOST_CHOICES {
        unfit(
            "choices",
            format!("it has more than {MOST_CHOICES} choices"),
        );
        choices.truncate(MOST_CHOICES);
    }
    if !chosen && !choices.is_empty() {
        unfit(
            "choices",
            format!("a question of type {word} takes no choices"),
        );
    }
    for (at, choice) in choices.iter().enumerate() {
        if choice.id.contains(',') || find_choice(&choices[..at], &choice.id).is_some() {
            let why = if choice.id.contains(',') {
                "holds a comma"
            } else {
                "stands twice"
            };
            unfit("choices", format!("the choice `{}` {why}", choice.id));
        }
    }
    let alone = fields.text("alone").and_then(|word| {
        let found = find_choice(&choices, &word);
        if found.is_none() {
            fields.file.fault(
                &fields.at("alone"),
                UnknownWord {
                    key: "alone".to_owned(),
                    close: closest(&word, choices.iter().map(|c| c.id.as_str())),
                    text: word,
                    words: choices.iter().map(|c| c.id.clone()).collect(),
                },
            );
        }
        found
    });
    let (min, max) = (fields.number("min"), fields.number("max"));
    if matches!(kind, Kind::Number(_))
        && (fields.get("min").is_none() || fields.get("max").is_none())
    {
        unfit("type", "a number needs `min` and `max`".to_owned());
    }
    if let (Some(min), Some(max)) = (min, max)
        && min >= max
    {
        unfit("min", "`min` is not below `max`".to_owned());
    }
    let time = fields.word("time", ALLOWED).is_some();
    if time && kind != Kind::Date {
        unfit(
            "time",
            format!("a question of type {word} takes no time of day"),
        );
    }
    let tier = match fields.needed_word("tier", TIERS) {
        Some(0) => Tier::Enquiry,
        Some(1) | None => Tier::Intake,
        Some(_) => Tier::Visit,
    };
    Question {
        ask: fields.needed_text("ask"),
        why: fields.needed_text("why"),
        kind,
        choices,
        min: min.unwrap_or(f64::MIN),
        max: max.unwrap_or(f64::MAX),
        tier,
        private: fields.yes("private"),
        blank: fields.needed_text("blank"),
        label: fields.text("label"),
        help: fields.text("help"),
        example: fields.text("example"),
        future: fields.word("future", ALLOWED).is_some(),
        time,
        alone,
        identifies: fields
            .word("identifies", Identifies::WORDS)
            .map(|at| Identifies::ALL[at]),
        asked_when: fields
            .entries("asked-when")
            .into_iter()
            .map(|(fact, node, _)| {
                (
                    fact.to_owned(),
                    node.scalar().map(|s| s.into_owned()).unwrap_or_default(),
                )
            })
            .collect(),
        id,
    }
}
