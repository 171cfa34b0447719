//! The headers of a table: which question each column answers, by its own name or by a mapping file.
//!
//! A column is called `group.question`, or `group.2.question` for the second entry of a group that repeats (`people.1.age`). A
//! repeated group alone (`bites`) takes `none` for "there are none".

use std::collections::{BTreeMap, BTreeSet};

use crate::fields::{Fields, File};
use crate::mistake::Problem;
use crate::mistakes::inbox::{ColumnTwice, ColumnUnknown, HeadersMissing};
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::{Node, Path};
use crate::words::{closest, folded};
use crate::yaml;

use super::rows::{self, Record};
use super::split::Lines;

/// The word that stands for a column nobody reads.
const IGNORED: &str = "ignore";

/// Where a cell goes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Target {
    pub(super) group: String,
    /// The entry of a repeated group, from 1.
    pub(super) entry: Option<usize>,
    /// None for a repeated group as a whole.
    pub(super) question: Option<String>,
}

/// What a column is.
#[derive(Debug, Clone)]
pub(super) enum Head {
    /// It answers a question.
    Answers(Target),
    /// It is not read.
    Ignored,
    /// Nobody knows what it is; a row that writes something in it is looked at by hand.
    Unknown { name: String, close: Option<String> },
}

/// The headers of one table.
#[derive(Debug)]
pub struct Columns {
    /// The sign between cells.
    pub(super) between: u8,
    pub(super) heads: Vec<Head>,
    pub(super) mapping: Mapping,
}

/// What the columns and answers of another program's export are called in the form.
#[derive(Debug, Clone, Default)]
pub struct Mapping {
    /// By header: where its cells go, or nowhere.
    columns: BTreeMap<String, Option<Target>>,
    /// By question: what its answers are called.
    pub(super) answers: BTreeMap<(String, String), BTreeMap<String, String>>,
    /// Answers that stand in no column and hold for every row.
    pub(super) always: BTreeMap<Target, String>,
}

impl Columns {
    /// Reads the row of headers, and tells by it which sign stands between cells.
    pub(super) fn read(
        label: &str,
        lines: &mut Lines,
        questionnaire: &Questionnaire,
        mapping: Option<&Mapping>,
    ) -> Result<Self, Vec<Problem>> {
        let missing = || vec![Problem::of_file(label, HeadersMissing {})];
        let Ok(Some(Record {
            text: Ok(source), ..
        })) = rows::take(label, lines, None)
        else {
            return Err(missing());
        };
        let between = separator(source.text.as_bytes());
        let Some(names) = rows::cells(&source.text, between) else {
            return Err(missing());
        };
        let mapping = mapping.cloned().unwrap_or_default();
        let heads: Vec<Head> = names
            .iter()
            .map(|name| head(name.trim(), questionnaire, &mapping))
            .collect();
        if !heads.iter().any(|head| matches!(head, Head::Answers(_))) {
            return Err(missing());
        }
        let mut seen = BTreeSet::new();
        let mut problems = Vec::new();
        for (head, name) in heads.iter().zip(&names) {
            if let Head::Answers(target) = head
                && !seen.insert(target)
            {
                let name = name.trim().to_owned();
                let mut problem = Problem::of_file(label, ColumnTwice { name });
                problem.place.line = 1;
                problems.push(problem);
            }
        }
        if problems.is_empty() {
            Ok(Self {
                between,
                heads,
                mapping,
            })
        } else {
            Err(problems)
        }
    }
}

/// The sign between cells: of comma, semicolon and tab the one that stands most often outside quotes.
fn separator(header: &[u8]) -> u8 {
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    let mut quoted = false;
    for byte in header {
        if *byte == b'"' {
            quoted = !quoted;
        } else if !quoted && let Some((_, count)) = counts.iter_mut().find(|(b, _)| b == byte) {
            *count += 1;
        }
    }
    counts
        .iter()
        .rev()
        .max_by_key(|(_, count)| *count)
        .map_or(b',', |(byte, _)| *byte)
}

fn head(name: &str, questionnaire: &Questionnaire, mapping: &Mapping) -> Head {
    if let Some(mapped) = mapping.columns.get(&folded(name)) {
        return mapped.clone().map_or(Head::Ignored, Head::Answers);
    }
    target(name, questionnaire).map_or_else(
        || Head::Unknown {
            name: name.to_owned(),
            close: near(name, questionnaire),
        },
        Head::Answers,
    )
}

/// The question of a header in the form's own words.
fn target(name: &str, questionnaire: &Questionnaire) -> Option<Target> {
    let parts: Vec<&str> = name.split('.').map(str::trim).collect();
    let group = parts.first()?.to_ascii_lowercase();
    let info = &questionnaire.groups[questionnaire.group(&group)?];
    let (entry, question) = match (parts.as_slice(), &info.repeats) {
        ([_], Some(_)) => (None, None),
        ([_, question], None) => (None, Some(question)),
        ([_, entry, question], Some(_)) => {
            let entry: usize = entry
                .parse()
                .ok()
                .filter(|entry| (1..=99).contains(entry))?;
            (Some(entry), Some(question))
        }
        _ => return None,
    };
    let question = match question {
        None => None,
        Some(question) => {
            let wanted = folded(question);
            let known = info.questions.iter().find(|q| folded(&q.id) == wanted)?;
            Some(known.id.clone())
        }
    };
    Some(Target {
        group,
        entry,
        question,
    })
}

/// The column that was meant, when one is near.
fn near(name: &str, questionnaire: &Questionnaire) -> Option<String> {
    let names: Vec<String> = questionnaire
        .groups
        .iter()
        .flat_map(|group| {
            // Numbers are kept as they were written.
            let entry = name
                .split('.')
                .nth(1)
                .filter(|part| part.parse::<usize>().is_ok())
                .unwrap_or("1");
            group.questions.iter().map(move |question| {
                if group.repeats.is_some() {
                    format!("{}.{entry}.{}", group.id, question.id)
                } else {
                    format!("{}.{}", group.id, question.id)
                }
            })
        })
        .collect();
    closest(name, names.iter().map(String::as_str))
}

impl Mapping {
    /// Reads a mapping file.
    ///
    /// # Errors
    /// All mistakes in it.
    pub fn read(source: &Source, questionnaire: &Questionnaire) -> Result<Self, Vec<Problem>> {
        let document = yaml::read(source)?;
        let file = File::new(&document);
        let fields = file.fields(&["columns", "answers", "always"]);
        let mut mapping = Self::default();
        let find = |file: &File<'_>, name: &str, path: &Path, at_key: bool| {
            let found = target(name, questionnaire);
            if found.is_none() {
                let mistake = ColumnUnknown {
                    name: name.to_owned(),
                    close: near(name, questionnaire),
                };
                if at_key {
                    file.fault_at_key(path, mistake);
                } else {
                    file.fault(path, mistake);
                }
            }
            found
        };
        for (header, node, path) in entries(&file, &fields, "columns") {
            let Some(name) = text(&file, node, &path) else {
                continue;
            };
            let to = if folded(&name) == IGNORED {
                None
            } else {
                match find(&file, &name, &path, false) {
                    Some(target) => Some(target),
                    None => continue,
                }
            };
            mapping.columns.insert(folded(header), to);
        }
        for (question, node, path) in entries(&file, &fields, "answers") {
            // An entry's number does not matter here: what an answer is called is the same for all.
            let plain: Vec<&str> = question.split('.').collect();
            let known = match plain.as_slice() {
                [group, question] => questionnaire
                    .find(&format!("{group}.{question}"))
                    .map(|_| ((*group).to_owned(), (*question).to_owned())),
                _ => None,
            };
            let Some(known) = known else {
                let close = closest(
                    question,
                    questionnaire
                        .names()
                        .collect::<Vec<_>>()
                        .iter()
                        .map(String::as_str),
                );
                let name = question.to_owned();
                file.fault_at_key(&path, ColumnUnknown { name, close });
                continue;
            };
            let Node::Map(words) = node else {
                let _ = text(&file, &Node::List(Vec::new()), &path);
                continue;
            };
            let to = mapping.answers.entry(known).or_default();
            for (from, word) in words {
                if let Some(word) = text(&file, word, &path.key(from)) {
                    to.insert(folded(from), word);
                }
            }
        }
        for (name, node, path) in entries(&file, &fields, "always") {
            let (Some(target), Some(value)) =
                (find(&file, name, &path, true), text(&file, node, &path))
            else {
                continue;
            };
            mapping.always.insert(target, value);
        }
        let problems = file.into_problems();
        if problems.is_empty() {
            Ok(mapping)
        } else {
            Err(problems)
        }
    }
}

type Entry<'n> = (&'n str, &'n Node<'n>, Path);

/// The entries of a map of the file; that it is no map is a fault.
fn entries<'n>(file: &File<'_>, fields: &Fields<'n>, key: &str) -> Vec<Entry<'n>> {
    match fields.get(key) {
        None | Some(Node::Blank) => Vec::new(),
        Some(Node::Map(entries)) => entries
            .iter()
            .map(|(name, node)| (name.as_ref(), node, fields.at(key).key(name)))
            .collect(),
        Some(other) => {
            file.fault(
                &fields.at(key),
                crate::mistakes::data::WrongKind {
                    key: key.to_owned(),
                    wanted: "names with values".to_owned(),
                    found: other.kind().to_owned(),
                },
            );
            Vec::new()
        }
    }
}

/// A single value; anything else is a fault.
fn text(file: &File<'_>, node: &Node<'_>, path: &Path) -> Option<String> {
    let text = node.scalar().map(|text| text.trim().to_owned());
    if text.is_none() {
        file.fault(
            path,
            crate::mistakes::data::WrongKind {
                key: path.to_string(),
                wanted: "a word".to_owned(),
                found: node.kind().to_owned(),
            },
        );
    }
    text
}
