//! The rows of a table (RFC 4180): taken from a stream one by one, and read into the same tree as any form.
//!
//! A quote that is never closed would swallow every row after it. So a row that runs over several lines and does not fit its
//! headers, or never ends, is given up after its first line, and reading goes on with the next: one row is looked at by hand, the
//! rest is kept.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use crate::mistake::Problem;
use crate::mistakes::inbox::{ColumnUnknown, QuoteOpen, RowDoesNotFit};
use crate::source::{MAX_BYTES, Source};
use crate::tree::{Node, Path, Places};
use crate::words::folded;

use super::columns::{Columns, Head, Target};
use super::feed::{item, source, too_large};
use super::split::{Line, Lines};
use super::{Item, Written};

/// How many lines one row may run over.
const MOST_LINES: usize = 500;

/// A row as it was taken from its file.
pub(super) struct Record {
    pub(super) line: usize,
    pub(super) text: Result<Source, Problem>,
}

/// Where quotes open and close: only at the start of a cell does a quote open, so that one inside a bare cell (`5" bars`) is
/// just a sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Quotes {
    /// Before the first sign of a cell.
    #[default]
    Start,
    /// In a cell without quotes.
    Bare,
    /// In a cell in quotes.
    Quoted,
    /// Behind a quote in a cell in quotes: it closes the cell, or a second one follows.
    Closed,
}

impl Quotes {
    fn step(&mut self, byte: u8, between: u8) {
        *self = match (*self, byte) {
            (Self::Quoted, b'"') => Self::Closed,
            (Self::Quoted, _) | (Self::Closed | Self::Start, b'"') => Self::Quoted,
            (_, b'\n') => Self::Start,
            (_, byte) if byte == between => Self::Start,
            _ => Self::Bare,
        };
    }

    /// True when a cell in quotes is still open after these bytes.
    fn open_after(&mut self, bytes: &[u8], between: u8) -> bool {
        for byte in bytes {
            self.step(*byte, between);
        }
        *self == Self::Quoted
    }
}

/// The next row as an enquiry.
pub(super) fn next(
    label: &Arc<str>,
    lines: &mut Lines,
    columns: &Arc<Columns>,
) -> std::io::Result<Option<Item>> {
    loop {
        let Some(record) = take(label, lines, Some((columns.heads.len(), columns.between)))? else {
            return Ok(None);
        };
        // A row of nothing but separators is how spreadsheets write an empty one.
        let blank = record.text.as_ref().is_ok_and(|source| {
            source
                .text
                .bytes()
                .all(|b| b == columns.between || b == b'"' || b.is_ascii_whitespace())
        });
        if !blank {
            let written = Written::Row(Arc::clone(columns));
            return Ok(Some(item(label, record.line, record.text, written)));
        }
    }
}

/// Takes one row: a line, or several where a quote runs over line breaks. Lines with nothing in them are passed over.
/// `fits` is how many cells a row has, and the sign between them.
pub(super) fn take(
    label: &str,
    lines: &mut Lines,
    fits: Option<(usize, u8)>,
) -> std::io::Result<Option<Record>> {
    let (line, first, cut) = loop {
        let Some(Line { bytes, cut }) = lines.next()? else {
            return Ok(None);
        };
        if cut || !bytes.trim_ascii().is_empty() {
            break (lines.taken, bytes, cut);
        }
    };
    let fault = |problem: Problem| {
        let mut problem = problem;
        problem.place.line = line;
        Ok(Some(Record {
            line,
            text: Err(problem),
        }))
    };
    if cut {
        return fault(too_large(label, first.len(), line));
    }
    let mut more: Vec<Vec<u8>> = Vec::new();
    let mut bytes = first.len();
    let between = fits.map_or(b',', |(_, between)| between);
    let mut quotes = Quotes::default();
    let mut open = quotes.open_after(&first, between);
    while open && more.len() < MOST_LINES && bytes <= MAX_BYTES {
        let Some(Line { bytes: next, .. }) = lines.next()? else {
            break;
        };
        bytes += next.len();
        open = quotes.open_after(&next, between);
        more.push(next);
    }
    let mut whole = first.clone();
    whole.extend(more.iter().flatten());
    let text = std::str::from_utf8(&whole);
    let misfit = !more.is_empty()
        && fits.is_some_and(|(count, between)| {
            text.ok()
                .and_then(|text| cells(text, between))
                .is_none_or(|cells| cells.len() != count)
        });
    if open || misfit {
        for line in more.into_iter().rev() {
            lines.give_back(line);
        }
        let text = String::from_utf8_lossy(&first).trim_end().to_owned();
        let source = Source::new(label, text).after_lines(line - 1);
        let at = source.text.rfind('"').unwrap_or(0);
        return fault(Problem::at(source.place(at..at + 1), QuoteOpen {}));
    }
    let text = source(label, whole, line);
    Ok(Some(Record { line, text }))
}

/// The cells of one row; `None` when it is none.
pub(super) fn cells(text: &str, between: u8) -> Option<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(between)
        .buffer_capacity(text.len().clamp(64, 8 << 10))
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    reader
        .read_record(&mut record)
        .ok()
        .filter(|found| *found)
        .map(|_| record.iter().map(str::to_owned).collect())
}

/// A row as a tree.
pub(super) struct Row<'s> {
    pub(super) root: Node<'static>,
    source: &'s Source,
    columns: &'s Columns,
    /// Which cell each value came from.
    from: Vec<(Path, usize)>,
}

impl Row<'_> {
    /// Where each value stands.
    pub(super) fn places(&self) -> Places {
        let ranges = ranges(&self.source.text, self.columns.between);
        let mut places = Places::default();
        for (path, cell) in &self.from {
            if let Some(range) = ranges.get(*cell) {
                places.values.insert(path.clone(), range.clone());
            }
        }
        places
    }
}

/// Reads a row.
///
/// # Errors
/// That it does not fit its headers, and every cell under a header that nobody knows.
pub(super) fn read<'s>(source: &'s Source, columns: &'s Columns) -> Result<Row<'s>, Vec<Problem>> {
    let mut cells = cells(&source.text, columns.between).unwrap_or_default();
    while cells.len() > columns.heads.len() && cells.last().is_some_and(|c| c.trim().is_empty()) {
        cells.pop();
    }
    if cells.len() != columns.heads.len() {
        return Err(vec![Problem::at(
            source.place(0..1),
            RowDoesNotFit {
                cells: cells.len(),
                columns: columns.heads.len(),
            },
        )]);
    }
    let mut problems = Vec::new();
    let mut answers: BTreeMap<&Target, (String, Option<usize>)> = BTreeMap::new();
    for (at, (head, cell)) in columns.heads.iter().zip(cells).enumerate() {
        if cell.trim().is_empty() {
            continue;
        }
        match head {
            Head::Ignored => {}
            Head::Unknown { name, close } => {
                let place = ranges(&source.text, columns.between)
                    .get(at)
                    .map_or_else(|| source.place(0..1), |range| source.place(range.clone()));
                let (name, close) = (name.clone(), close.clone());
                problems.push(Problem::at(place, ColumnUnknown { name, close }));
            }
            Head::Answers(target) => {
                answers.insert(target, (columns.called(target, cell), Some(at)));
            }
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    for (target, value) in &columns.mapping.always {
        // Of an entry only when something else is told of it: a column for a third child does not make one.
        let holds = target.entry.is_none()
            || answers
                .keys()
                .any(|other| (&other.group, other.entry) == (&target.group, target.entry));
        if holds && !answers.contains_key(target) {
            answers.insert(target, (value.clone(), None));
        }
    }
    Ok(grown(source, columns, answers))
}

impl Columns {
    /// An answer as the form calls it.
    fn called(&self, target: &Target, cell: String) -> String {
        let Some(question) = &target.question else {
            return cell;
        };
        self.mapping
            .answers
            .get(&(target.group.clone(), question.clone()))
            .and_then(|words| words.get(&folded(&cell)))
            .cloned()
            .unwrap_or(cell)
    }
}

/// The tree of a row: groups, entries in the order of their numbers, answers.
fn grown<'s>(
    source: &'s Source,
    columns: &'s Columns,
    answers: BTreeMap<&Target, (String, Option<usize>)>,
) -> Row<'s> {
    let mut groups: Vec<(Cow<'static, str>, Node<'static>)> = Vec::new();
    let mut from = Vec::new();
    let mut entry = None;
    for (target, (text, cell)) in answers {
        if groups
            .last()
            .is_none_or(|(group, _)| *group != target.group)
        {
            let node = if target.entry.is_some() {
                Node::List(Vec::new())
            } else {
                Node::Map(Vec::new())
            };
            groups.push((target.group.clone().into(), node));
            entry = None;
        }
        let Some((_, node)) = groups.last_mut() else {
            continue;
        };
        let mut path = Path::default().key(&target.group);
        let Some(question) = &target.question else {
            // `none` for a repeated group says that there are none; what else stands there is for the reader of forms.
            *node = if ["none", "no", "0", "[]"].contains(&folded(&text).as_str()) {
                Node::List(Vec::new())
            } else {
                Node::Text(text.into())
            };
            from.extend(cell.map(|cell| (path, cell)));
            continue;
        };
        let inner = match node {
            Node::List(items) => {
                if entry != target.entry {
                    entry = target.entry;
                    items.push(Node::Map(Vec::new()));
                }
                path = path.index(items.len() - 1);
                items.last_mut()
            }
            // Entries beside a word for the whole group: the entries count.
            Node::Text(_) if target.entry.is_some() => {
                entry = target.entry;
                *node = Node::List(vec![Node::Map(Vec::new())]);
                path = path.index(0);
                match node {
                    Node::List(items) => items.last_mut(),
                    _ => None,
                }
            }
            node => Some(node),
        };
        if let Some(Node::Map(entries)) = inner {
            path = path.key(question);
            entries.push((question.clone().into(), Node::Text(text.into())));
            from.extend(cell.map(|cell| (path, cell)));
        }
    }
    Row {
        root: Node::Map(groups),
        source,
        columns,
        from,
    }
}

/// Where each cell stands in its row, without its quotes.
fn ranges(text: &str, between: u8) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let (mut start, mut quotes) = (0, Quotes::default());
    let end = text.trim_end_matches(['\r', '\n']).len();
    for (at, byte) in text.bytes().enumerate().take(end) {
        quotes.step(byte, between);
        if byte == between && quotes == Quotes::Start {
            out.push(start..at);
            start = at + 1;
        }
    }
    out.push(start..end);
    for range in &mut out {
        if text[range.clone()].len() > 1 && text[range.clone()].starts_with('"') {
            *range = range.start + 1..range.end - 1;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &str) -> Vec<Vec<String>> {
        let bytes = text.as_bytes().to_vec();
        let mut lines = Lines::of(Box::new(std::io::Cursor::new(bytes)));
        let mut out = Vec::new();
        while let Ok(Some(record)) = take("t", &mut lines, None) {
            let text = record.text.map(|source| source.text).unwrap_or_default();
            out.push(cells(&text, b',').unwrap_or_default());
        }
        out
    }

    // RFC 4180, section 2, rules 1 to 7, each with its own example.
    #[test]
    fn the_published_examples_are_read() {
        let plain = vec![vec!["aaa", "bbb", "ccc"], vec!["zzz", "yyy", "xxx"]];
        assert_eq!(all("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), plain);
        assert_eq!(all("aaa,bbb,ccc\r\nzzz,yyy,xxx"), plain);
        let headed = all("field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n");
        assert_eq!(headed.len(), 3);
        assert_eq!(all("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), plain);
        assert_eq!(
            all("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx"),
            vec![vec!["aaa", "b\r\nbb", "ccc"], vec!["zzz", "yyy", "xxx"]]
        );
        assert_eq!(
            all("\"aaa\",\"b\"\"bb\",\"ccc\""),
            vec![vec!["aaa", "b\"bb", "ccc"]]
        );
    }

    #[test]
    fn a_quote_left_open_costs_its_own_row_alone() {
        let text = "a,b\n1,\"5 in cage\n2,x\n3,y\n";
        let mut lines = Lines::of(Box::new(std::io::Cursor::new(text.as_bytes().to_vec())));
        let mut seen = Vec::new();
        while let Ok(Some(record)) = take("t", &mut lines, Some((2, b','))) {
            seen.push((record.line, record.text.is_ok()));
        }
        assert_eq!(seen, [(1, true), (2, false), (3, true), (4, true)]);
        // A quote inside a bare cell opens nothing.
        let text = "a,b\n1,5\" cage\n2,6\" cage\n3,y\n";
        let mut lines = Lines::of(Box::new(std::io::Cursor::new(text.as_bytes().to_vec())));
        let mut seen = Vec::new();
        while let Ok(Some(record)) = take("t", &mut lines, Some((2, b','))) {
            seen.push((record.line, record.text.is_ok()));
        }
        assert_eq!(seen, [(1, true), (2, true), (3, true), (4, true)]);
    }

    #[test]
    fn cells_have_places() {
        let text = "a,\"b, \"\"c\",,d\r\n";
        let shown: Vec<&str> = ranges(text, b',').into_iter().map(|r| &text[r]).collect();
        assert_eq!(shown, ["a", "b, \"\"c", "", "d"]);
    }
}
