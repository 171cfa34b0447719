//! The list for a terminal: a table where there is room for one, else a block for each enquiry. No line is longer than the width.

use std::io::{self, Write};

use textwrap::core::display_width;

use crate::mistake::printable;
use crate::rulebook::Contact;
use crate::triage::{ByHandRow, Fault, Row};

use super::{List, clock, level, risk, summary};

/// How wide a terminal is, in columns, and whether it shows bold text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Width {
    /// Columns.
    pub columns: usize,
    /// True when text may be set off.
    pub bold: bool,
}

/// The least width for a table.
const TABLE: usize = 96;
/// The least width anything is fitted to.
const LEAST: usize = 30;
/// The greatest width that is used; longer lines are hard to read.
const MOST: usize = 200;

/// Advice longer than this, in characters, is left to the other forms.
const LONG_ADVICE: usize = 160;

const HEADS: [&str; 6] = ["", "Reply by", "Enquiry", "Risk", "Why", "Ask first"];

pub(super) fn write(list: &List<'_>, width: Width, out: &mut dyn Write) -> io::Result<()> {
    let columns = width.columns.clamp(LEAST, MOST);
    for line in wrapped(&format!("{}.", summary(&list.board.counts())), columns) {
        writeln!(out, "{line}")?;
    }
    if !list.board.by_hand.is_empty() {
        writeln!(out, "\n{}", heading("Look at it by hand", width))?;
        for by_hand in &list.board.by_hand {
            by_hand_lines(&list.desk.by_hand_row(by_hand), columns, out)?;
        }
    }
    if list.board.lines.is_empty() {
        return Ok(());
    }
    writeln!(out)?;
    let told = list.board.lines.len().min(list.top);
    if told == 0 {
        return writeln!(out, "and {} more, ranked", list.left_out());
    }
    let digits = told.to_string().len();
    if columns >= TABLE {
        table(list, columns, digits, width, out)?;
    } else {
        for row in list.rows() {
            block(&row, columns, width, out)?;
        }
    }
    match list.left_out() {
        0 => Ok(()),
        left => writeln!(out, "and {left} more that are less urgent"),
    }
}

fn heading(text: &str, width: Width) -> String {
    if width.bold {
        format!("\u{1b}[1m{text}\u{1b}[0m")
    } else {
        text.to_owned()
    }
}

/// Text as lines of at most so many columns; words longer than a line are broken.
fn wrapped(text: &str, columns: usize) -> Vec<String> {
    textwrap::wrap(&printable(text), columns.max(1))
        .into_iter()
        .map(std::borrow::Cow::into_owned)
        .collect()
}

fn by_hand_lines(row: &ByHandRow, columns: usize, out: &mut dyn Write) -> io::Result<()> {
    // That nothing urgent could be read says nothing of what could not.
    let urgent = row
        .verdict
        .map(|verdict| verdict.contact.known)
        .filter(|contact| *contact > Contact::Routine);
    let known = urgent.map_or_else(String::new, |contact| {
        format!(" (by what could be read: {})", contact.word())
    });
    let name = if row.id == row.place {
        row.place.clone()
    } else {
        format!("{}, {}", row.id, row.place)
    };
    for line in wrapped(&format!("{name}{known}"), columns) {
        writeln!(out, "{line}")?;
    }
    for fault in &row.mistakes {
        let at = match (fault.line, fault.column) {
            (0, _) => String::new(),
            (line, 0) => format!("line {line}: "),
            (line, column) => format!("line {line}, column {column}: "),
        };
        for line in wrapped(&said(&at, fault), columns - 4) {
            writeln!(out, "    {line}")?;
        }
    }
    if row.more_mistakes > 0 {
        writeln!(out, "    and {} more", row.more_mistakes)?;
    }
    Ok(())
}

/// What is wrong, and what to do where that is no long list of names.
fn said(at: &str, fault: &Fault) -> String {
    if fault.advice.chars().count() > LONG_ADVICE {
        format!("{at}{}", fault.says)
    } else {
        format!("{at}{}; {}", fault.says, fault.advice)
    }
}

/// When the reply is due, in two short lines.
fn due(row: &Row) -> Vec<String> {
    let mut lines = vec![clock(&row.reply_by)];
    if row.overdue {
        lines.push("OVERDUE".to_owned());
    }
    lines.push(level(row));
    lines
}

fn name(row: &Row) -> Vec<String> {
    let mut lines = vec![row.id.clone()];
    lines.extend(row.species.clone());
    lines.push(match &row.received {
        Some(at) => format!("came {}", clock(at)),
        None => "came: no day told".to_owned(),
    });
    if !row.same_household.is_empty() {
        let more = match row.more_of_household {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let others: Vec<String> = row.same_household_at.iter().map(usize::to_string).collect();
        lines.push(format!("same household? {}{more}", others.join(", ")));
    }
    lines
}

fn why(row: &Row) -> Vec<String> {
    let mut lines = vec![if row.unanswered {
        format!("Not answered, and so possible: {}", row.because)
    } else {
        row.because.clone()
    }];
    lines.extend(
        row.first
            .iter()
            .filter(|first| first.known)
            .map(|first| format!("+ {}", first.title)),
    );
    if let Some(closes) = &row.closes {
        lines.push(format!(
            "Closed from {}: send holding advice before",
            clock(closes)
        ));
    }
    lines
}

fn asks(row: &Row) -> Vec<String> {
    row.ask_first
        .iter()
        .enumerate()
        .map(|(at, ask)| {
            let about = ask
                .about
                .as_ref()
                .map_or_else(String::new, |a| format!(" ({a})"));
            format!("{}. {}{about}", at + 1, ask.ask)
        })
        .collect()
}

fn table(
    list: &List<'_>,
    columns: usize,
    digits: usize,
    width: Width,
    out: &mut dyn Write,
) -> io::Result<()> {
    // What is left after the narrow columns is shared by the two wide ones.
    let fixed = [digits, 16, 18, 9];
    let left = columns - fixed.iter().sum::<usize>() - 2 * (HEADS.len() - 1);
    let widths = [
        fixed[0],
        fixed[1],
        fixed[2],
        fixed[3],
        left / 2,
        left - left / 2,
    ];
    let heads = HEADS.map(|head| vec![head.to_owned()]);
    let mut text = Vec::new();
    lines(&heads, &widths, &mut text)?;
    let text = String::from_utf8_lossy(&text).into_owned();
    writeln!(out, "{}", heading(text.trim_end(), width))?;
    for row in list.rows() {
        let cells = [
            row.at.iter().map(ToString::to_string).collect(),
            due(&row),
            name(&row),
            vec![risk(&row)],
            why(&row),
            asks(&row),
        ];
        lines(&cells, &widths, out)?;
        writeln!(out)?;
    }
    Ok(())
}

/// One row of a table: every cell wrapped to its column.
fn lines(cells: &[Vec<String>; 6], widths: &[usize; 6], out: &mut dyn Write) -> io::Result<()> {
    let cells: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| cell.iter().flat_map(|text| wrapped(text, *width)).collect())
        .collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    for at in 0..height {
        let mut line = String::new();
        for (cell, width) in cells.iter().zip(widths) {
            let text = cell.get(at).map_or("", String::as_str);
            line.push_str(text);
            line.extend(std::iter::repeat_n(
                ' ',
                width.saturating_sub(display_width(text)) + 2,
            ));
        }
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}

/// One enquiry where there is no room for a table.
fn block(row: &Row, columns: usize, width: Width, out: &mut dyn Write) -> io::Result<()> {
    let at = row.at.unwrap_or_default();
    let overdue = if row.overdue {
        "OVERDUE since"
    } else {
        "reply by"
    };
    let head = format!("{at}. {}: {overdue} {}", row.id, clock(&row.reply_by));
    for line in wrapped(&head, columns) {
        writeln!(out, "{}", heading(&line, width))?;
    }
    let risk = format!("{}; risk {}", level(row), risk(row));
    let rest = name(row).into_iter().skip(1);
    for text in std::iter::once(risk)
        .chain(rest)
        .chain(why(row))
        .chain(asks(row))
    {
        for line in wrapped(&text, columns - 3) {
            writeln!(out, "   {line}")?;
        }
    }
    writeln!(out)
}
