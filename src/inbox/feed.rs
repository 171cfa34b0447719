//! One opened input, taken apart into its enquiries.

use std::collections::VecDeque;
use std::io::{BufRead, Read as _};
use std::sync::Arc;

use serde_json::value::RawValue;

use crate::mistake::Problem;
use crate::mistakes::file::{EmptyFile, FileTooLarge, FileUnreadable};
use crate::questionnaire::Questionnaire;
use crate::source::{MAX_BYTES, Source, range_in};

use super::split::{Line, Lines, ends_document, says_nothing, starts_document};
use super::{Columns, Form, Item, Mapping, Written, rows};

/// The largest file of JSON that is read whole, in bytes (64 MiB). JSON Lines have no such bound.
const MOST_JSON: u64 = 64 << 20;

/// One opened input.
pub(super) struct Feed {
    label: Arc<str>,
    kind: Kind,
}

enum Kind {
    /// With whether an enquiry was found so far.
    Yaml(Lines, bool),
    Jsonl(Lines, bool),
    Table(Lines, Arc<Columns>),
    Whole(VecDeque<Item>),
    Done,
}

impl Feed {
    /// Opens an input. What it is written in is told by its start where nothing else tells it.
    pub(super) fn open(
        label: &Arc<str>,
        mut reader: Box<dyn BufRead + Send>,
        form: Option<Form>,
        questionnaire: &Questionnaire,
        mapping: Option<&Mapping>,
    ) -> Result<Self, Vec<Problem>> {
        let unreadable = |error: std::io::Error| {
            let reason = error.to_string();
            vec![Problem::of_file(label, FileUnreadable { reason })]
        };
        let form = match form {
            Some(form) => form,
            None => Form::of_start(reader.fill_buf().map_err(unreadable)?),
        };
        let kind = match form {
            Form::Yaml => Kind::Yaml(Lines::of(reader), false),
            Form::Jsonl => Kind::Jsonl(Lines::of(reader), false),
            Form::Csv => {
                let mut lines = Lines::of(reader);
                let columns = Columns::read(label, &mut lines, questionnaire, mapping)?;
                Kind::Table(lines, Arc::new(columns))
            }
            Form::Json => {
                let mut bytes = Vec::new();
                reader
                    .take(MOST_JSON + 1)
                    .read_to_end(&mut bytes)
                    .map_err(unreadable)?;
                Kind::Whole(whole(label, bytes))
            }
        };
        Ok(Self {
            label: Arc::clone(label),
            kind,
        })
    }

    pub(super) fn next(&mut self) -> Option<Item> {
        let taken = match &mut self.kind {
            Kind::Yaml(lines, found) => or_empty(&self.label, document(&self.label, lines), found),
            Kind::Jsonl(lines, found) => or_empty(&self.label, line(&self.label, lines), found),
            Kind::Table(lines, columns) => rows::next(&self.label, lines, columns),
            Kind::Whole(items) => return items.pop_front(),
            Kind::Done => return None,
        };
        taken.unwrap_or_else(|error| {
            // A stream that broke off: what came before it is kept, and that it broke off is said.
            self.kind = Kind::Done;
            let reason = error.to_string();
            let problem = Problem::of_file(&self.label, FileUnreadable { reason });
            Some(item(&self.label, 0, Err(problem), Written::Yaml))
        })
    }
}

pub(super) fn item(
    label: &Arc<str>,
    line: usize,
    text: Result<Source, Problem>,
    written: Written,
) -> Item {
    Item {
        label: Arc::clone(label),
        line,
        text,
        written,
    }
}

/// The text of an enquiry that starts in a line.
pub(super) fn source(label: &str, bytes: Vec<u8>, line: usize) -> Result<Source, Problem> {
    Source::from_bytes(label, bytes).map_or_else(
        |mut problem| {
            problem.place.line = problem.place.line.max(line);
            Err(problem)
        },
        |source| Ok(source.after_lines(line.saturating_sub(1))),
    )
}

pub(super) fn too_large(label: &str, bytes: usize, line: usize) -> Problem {
    let most = MAX_BYTES;
    let mut problem = Problem::of_file(label, FileTooLarge { bytes, most });
    problem.place.line = line;
    problem
}

/// One line of JSON.
fn line(label: &Arc<str>, lines: &mut Lines) -> std::io::Result<Option<Item>> {
    while let Some(Line { bytes, cut }) = lines.next()? {
        let at = lines.taken;
        if cut {
            let fault = too_large(label, bytes.len(), at);
            return Ok(Some(item(label, at, Err(fault), Written::Json)));
        }
        if bytes.trim_ascii().is_empty() {
            continue;
        }
        return Ok(Some(item(
            label,
            at,
            source(label, bytes, at),
            Written::Json,
        )));
    }
    Ok(None)
}

/// A file in which nothing was found is an enquiry that was lost on the way, and is told as one that is empty.
fn or_empty(
    label: &Arc<str>,
    taken: std::io::Result<Option<Item>>,
    found: &mut bool,
) -> std::io::Result<Option<Item>> {
    let taken = taken?;
    let empty = taken.is_none() && !*found;
    *found = true;
    Ok(taken.or_else(|| {
        empty.then(|| {
            let problem = Problem::of_file(label, EmptyFile {});
            item(label, 0, Err(problem), Written::Yaml)
        })
    }))
}

/// One YAML document.
fn document(label: &Arc<str>, lines: &mut Lines) -> std::io::Result<Option<Item>> {
    let mut text: Vec<u8> = Vec::new();
    let mut begins = lines.taken + 1;
    let (mut bytes, mut speaks, mut large) = (0, false, false);
    loop {
        let start = text.len();
        let Some(cut) = lines.append_to(&mut text)? else {
            break;
        };
        let line = &text[start..];
        bytes += line.len();
        if starts_document(line) {
            if speaks {
                lines.give_back(text.split_off(start));
                break;
            }
            // Only comments stood before it.
            text.drain(..start);
            begins = lines.taken;
            // A document may begin on the line of its marker.
            speaks |= !says_nothing(&text[3..]);
        } else if ends_document(line) {
            text.truncate(start);
            if speaks {
                break;
            }
        } else {
            speaks = speaks || !says_nothing(line);
        }
        large |= cut || bytes > MAX_BYTES;
        if large {
            text.clear();
        }
    }
    if !speaks {
        return Ok(None);
    }
    // The first document of a file is called by the file alone.
    let at = if begins > 1 { begins } else { 0 };
    let text = if large {
        Err(too_large(label, bytes, at))
    } else {
        source(label, text, at)
    };
    Ok(Some(item(label, at, text, Written::Yaml)))
}

/// A file of JSON: an object, or an array of them, each element an enquiry of its own.
fn whole(label: &Arc<str>, bytes: Vec<u8>) -> VecDeque<Item> {
    let one = |text| VecDeque::from([item(label, 0, text, Written::Json)]);
    if bytes.len() as u64 > MOST_JSON {
        let most = MOST_JSON as usize;
        let bytes = bytes.len();
        return one(Err(Problem::of_file(label, FileTooLarge { bytes, most })));
    }
    let starts = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    if starts.trim_ascii_start().first() != Some(&b'[') {
        return one(source(label, bytes, 0));
    }
    let Ok(text) = String::from_utf8(bytes) else {
        return one(source(label, vec![0xff], 0));
    };
    let text = text.trim_start_matches('\u{feff}');
    let Ok(elements) = serde_json::from_str::<Vec<&RawValue>>(text) else {
        // Told with its place when it is read as one form.
        return one(Ok(Source::new(&**label, text)));
    };
    let (mut line, mut seen) = (1, 0);
    elements
        .into_iter()
        .map(|element| {
            let start = range_in(text, element.get()).map_or(seen, |range| range.start);
            line += text[seen..start].matches('\n').count();
            seen = start;
            let bytes = element.get().as_bytes().to_vec();
            item(label, line, source(label, bytes, line), Written::Json)
        })
        .collect()
}
