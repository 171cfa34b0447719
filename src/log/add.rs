//! One entry more. What stands in a log is never touched: not its order, not its comments, not its spelling.
//!
//! The entry is put as text behind the last one of its list, the result is read again, and only when it holds exactly the old
//! entries and the new one does it take the place of the old file: written whole beside it, synced, and moved over it in one
//! step. A lock held from before the reading until after the move keeps two writers apart. Whoever is stopped at any point
//! leaves the old log or the new one, never half of either.

use jiff::civil::Date;

use crate::answers::{self, Given, Part};
use crate::mistake::Problem;
use crate::mistakes::log::{ListOnOneLine, LogWouldChange};
use crate::questionnaire::Questionnaire;
use crate::source::Source;
use crate::tree::Path;
use crate::yaml;

use super::{Household, Log, Slots, Worst};

/// How many entries a log has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Sessions.
    pub sessions: u32,
    /// Days.
    pub days: u32,
    /// Sessions with a red sign, and days with a touch.
    pub reds: u32,
}

impl Counts {
    /// Counts them.
    #[must_use]
    pub fn of(log: &Log) -> Self {
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let red = log.sessions.iter().filter(|it| it.worst() >= Worst::Red);
        let touched = log.days.iter().filter(|it| it.incidents > 0);
        Self {
            sessions: count(log.sessions.len()),
            days: count(log.days.len()),
            reds: count(red.count() + touched.count()),
        }
    }
}

/// Answers of one entry as they were typed: question, answer.
pub type Typed = Vec<(String, String)>;

/// The text of a log with one entry more in a group, and the counts brought up to date.
///
/// # Errors
/// Every mistake of the log and of the entry, and `list-on-one-line` or `log-would-change` where it cannot be added.
pub fn added(
    questionnaire: &Questionnaire,
    household: Household<'_>,
    source: &Source,
    group: &str,
    typed: &Typed,
    today: Date,
) -> Result<(String, Vec<Problem>), Vec<Problem>> {
    let (before, _) = Log::read(questionnaire, household, source, today)?;
    let block = block(questionnaire, group, typed, today)?;
    let at = questionnaire.group(group);
    for place in [Place::LastEntry, Place::EndOfList] {
        let text = insert(&source.text, group, &block, place).ok_or_else(|| {
            vec![Problem::of_file(
                &source.label,
                ListOnOneLine {
                    group: group.to_owned(),
                },
            )]
        })?;
        let entry = Source::new(source.label.clone(), text);
        // Mistakes of the entry itself are told with their place in the log as it would be.
        let (mut after, _) = match Log::read(questionnaire, household, &entry, today) {
            Ok(read) => read,
            Err(problems) => {
                if only_one_more(questionnaire, &before, None, &entry, at, today) {
                    return Err(problems);
                }
                continue;
            }
        };
        if !only_one_more(questionnaire, &before, Some(&after), &entry, at, today) {
            continue;
        }
        let mut text = entry.text.into_owned();
        let counts = Counts::of(&after);
        for (key, count) in [
            ("sessions-counted", counts.sessions),
            ("days-counted", counts.days),
            ("reds-counted", counts.reds),
        ] {
            text = with_count(&text, key, count).ok_or_else(|| {
                vec![Problem::of_file(
                    &source.label,
                    ListOnOneLine {
                        group: "log".to_owned(),
                    },
                )]
            })?;
        }
        let entry = Source::new(source.label.clone(), text);
        let (counted, warnings) = Log::read(questionnaire, household, &entry, today)?;
        // The counts are all that may differ now.
        if let Some((about, _)) = Slots::of(questionnaire).case
            && let (Some(mine), Some(part)) = (
                after.answers.parts.get_mut(about),
                counted.answers.parts.get(about),
            )
        {
            *mine = part.clone();
        }
        if counted.answers == after.answers {
            return Ok((entry.text.into_owned(), warnings));
        }
    }
    Err(vec![Problem::of_file(
        &source.label,
        LogWouldChange {
            group: group.to_owned(),
        },
    )])
}

/// Whether a text holds the old entries, in their order, and one more at the end of one group.
fn only_one_more(
    questionnaire: &Questionnaire,
    before: &Log,
    after: Option<&Log>,
    source: &Source,
    group: Option<usize>,
    today: Date,
) -> bool {
    let read = || {
        let document = yaml::read_up_to(source, super::MAX_ENTRIES).ok()?;
        let places = || document.places();
        let (answers, _) = answers::read(
            questionnaire,
            source,
            &document.root,
            &Path::default(),
            &places,
            today,
        );
        Some(answers)
    };
    let Some(after) = after.map(|log| log.answers.clone()).or_else(read) else {
        return false;
    };
    before
        .answers
        .parts
        .iter()
        .zip(&after.parts)
        .enumerate()
        .all(|(at, parts)| match parts {
            (Part::Many(old), Part::Many(new)) if Some(at) == group => {
                let (old, new) = (
                    old.as_deref().unwrap_or_default(),
                    new.as_deref().unwrap_or_default(),
                );
                new.len() == old.len() + 1 && new.get(..old.len()) == Some(old)
            }
            (old, new) => old == new,
        })
}

/// The lines of an entry, each answer written as the form has it.
fn block(
    questionnaire: &Questionnaire,
    group: &str,
    typed: &Typed,
    today: Date,
) -> Result<Vec<String>, Vec<Problem>> {
    let mut text = format!("{group}:\n");
    for (at, (key, value)) in typed.iter().enumerate() {
        let lead = if at == 0 { "- " } else { "  " };
        // Every value as quoted text: what was typed is text, whatever it looks like.
        text.push_str(&format!(
            "  {lead}{}: {}\n",
            serde_json::Value::from(key.as_str()),
            serde_json::Value::from(value.as_str())
        ));
    }
    let source = Source::new("the new entry", text);
    let document = yaml::read(&source)?;
    let places = || document.places();
    let (read, problems) = answers::read(
        questionnaire,
        &source,
        &document.root,
        &Path::default(),
        &places,
        today,
    );
    if problems.iter().any(Problem::is_error) {
        return Err(problems);
    }
    let at = questionnaire.group(group).unwrap_or_default();
    let given: &[Given] = read
        .entries(at)
        .and_then(<[_]>::first)
        .map_or(&[], |entry| &entry.given);
    Ok(questionnaire.groups[at]
        .questions
        .iter()
        .zip(given)
        .filter(|(_, given)| **given != Given::Blank)
        .map(|(question, given)| format!("{}: {}", question.id, answers::one(question, given)))
        .collect())
}

/// Where a new entry is put.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// Right behind the last line of the list that is no comment.
    LastEntry,
    /// Behind all that belongs to the list, comments as well: the last lines may be text that only looks like comments.
    EndOfList,
}

/// A text with a block at the end of a top-level list; `None` where the list is written on one line.
fn insert(text: &str, key: &str, block: &[String], place: Place) -> Option<String> {
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    if let Some(last) = lines.last_mut()
        && !last.ends_with('\n')
    {
        last.push_str(end);
    }
    let head = lines.iter().position(|line| is_key(line, key));
    let Some(head) = head else {
        lines.push(format!("{key}:{end}"));
        lines.extend(written(block, 2, end));
        return Some(lines.concat());
    };
    let rest = lines[head][key.len() + 1..].to_owned();
    let (value, comment) = match rest.split_once(" #") {
        Some((value, comment)) => (value.trim(), format!(" #{}", comment.trim_end())),
        None => (rest.trim(), String::new()),
    };
    if !matches!(value, "" | "[]" | "~" | "null") {
        return None;
    }
    if !value.is_empty() {
        lines[head] = format!("{key}:{comment}{end}");
    }
    let until = lines
        .iter()
        .enumerate()
        .skip(head + 1)
        .find(|(_, line)| {
            line.starts_with(|c: char| !c.is_whitespace() && c != '#' && c != '-')
                || line.starts_with("---")
        })
        .map_or(lines.len(), |(at, _)| at);
    let indent = lines[head + 1..until]
        .iter()
        .find(|line| line.trim_start().starts_with("- ") || line.trim() == "-")
        .map_or(2, |line| line.len() - line.trim_start().len());
    let last = (head..until)
        .rev()
        .find(|at| {
            let line = lines[*at].as_str();
            let within = line.len() - line.trim_start().len() > indent;
            // A comment that is indented as deep as an answer belongs to the entry above it.
            let content = !line.trim_start().starts_with('#') || within;
            !line.trim().is_empty() && (*at == head || place == Place::EndOfList || content)
        })
        .unwrap_or(head);
    let new = written(block, indent, end);
    lines.splice(last + 1..last + 1, new);
    Some(lines.concat())
}

/// The lines of a list item.
fn written(block: &[String], indent: usize, end: &str) -> Vec<String> {
    block
        .iter()
        .enumerate()
        .map(|(at, line)| {
            let lead = if at == 0 { "- " } else { "  " };
            format!("{}{lead}{line}{end}", " ".repeat(indent))
        })
        .collect()
}

fn is_key(line: &str, key: &str) -> bool {
    line.strip_prefix(key)
        .is_some_and(|rest| rest.starts_with(':') && rest[1..].starts_with([' ', '\r', '\n', '\t']))
}

/// A text with a count under `log:`; `None` where `log` is written on one line.
fn with_count(text: &str, key: &str, count: u32) -> Option<String> {
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    let Some(head) = lines.iter().position(|line| is_key(line, "log")) else {
        if let Some(last) = lines.last_mut()
            && !last.ends_with('\n')
        {
            last.push_str(end);
        }
        lines.push(format!("log:{end}"));
        lines.push(format!("  {key}: {count}{end}"));
        return Some(lines.concat());
    };
    let rest = lines[head]["log:".len()..].trim().to_owned();
    if !rest.is_empty() && !rest.starts_with('#') {
        return None;
    }
    let until = lines
        .iter()
        .enumerate()
        .skip(head + 1)
        .find(|(_, line)| line.starts_with(|c: char| !c.is_whitespace() && c != '#'))
        .map_or(lines.len(), |(at, _)| at);
    let found = (head + 1..until).find(|at| is_key(lines[*at].trim_start(), key));
    match found {
        Some(at) => {
            let line = lines[at].clone();
            let lead = &line[..line.len() - line.trim_start().len()];
            let comment = line
                .split_once(" #")
                .map_or_else(String::new, |(_, comment)| {
                    format!(" #{}", comment.trim_end())
                });
            lines[at] = format!("{lead}{key}: {count}{comment}{end}");
        }
        None => {
            let indent = lines[head + 1..until]
                .iter()
                .find(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#'))
                .map_or(2, |line| line.len() - line.trim_start().len());
            let last = (head..until)
                .rev()
                .find(|at| {
                    !lines[*at].trim().is_empty() && !lines[*at].trim_start().starts_with('#')
                })
                .unwrap_or(head);
            lines.insert(
                last + 1,
                format!("{}{key}: {count}{end}", " ".repeat(indent)),
            );
        }
    }
    Some(lines.concat())
}
