//! Taking a stream apart by its lines, each part within bounds.

use std::io::{BufRead, Read as _};

use crate::source::MAX_BYTES;

/// Lines of a stream, with their numbers.
pub(super) struct Lines {
    reader: Box<dyn BufRead + Send>,
    /// How many lines were taken so far.
    pub(super) taken: usize,
    /// Lines that were taken and given back, the next one last.
    back: Vec<Vec<u8>>,
}

/// A line, or the first part of one that is longer than is read.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Line {
    /// Its bytes, with the line break.
    pub(super) bytes: Vec<u8>,
    /// True when the rest of it was thrown away.
    pub(super) cut: bool,
}

impl Lines {
    pub(super) fn of(reader: Box<dyn BufRead + Send>) -> Self {
        Self {
            reader,
            taken: 0,
            back: Vec::new(),
        }
    }

    /// The next line; `None` at the end.
    pub(super) fn next(&mut self) -> std::io::Result<Option<Line>> {
        let mut bytes = Vec::new();
        let cut = self.append_to(&mut bytes)?;
        Ok(cut.map(|cut| Line { bytes, cut }))
    }

    /// Puts the next line behind what is there already, and tells whether the rest of it was thrown away; `None` at the end.
    pub(super) fn append_to(&mut self, text: &mut Vec<u8>) -> std::io::Result<Option<bool>> {
        if let Some(bytes) = self.back.pop() {
            self.taken += 1;
            text.extend(bytes);
            return Ok(Some(false));
        }
        let most = MAX_BYTES as u64 + 1;
        let read = self.reader.by_ref().take(most).read_until(b'\n', text)?;
        if read == 0 {
            return Ok(None);
        }
        self.taken += 1;
        let cut = read > MAX_BYTES && text.last() != Some(&b'\n');
        if cut {
            self.skip_rest_of_line()?;
        }
        Ok(Some(cut))
    }

    /// Gives a line back, to be taken again; of several, the last first.
    pub(super) fn give_back(&mut self, bytes: Vec<u8>) {
        self.taken -= 1;
        self.back.push(bytes);
    }

    fn skip_rest_of_line(&mut self) -> std::io::Result<()> {
        loop {
            let held = self.reader.fill_buf()?;
            if held.is_empty() {
                return Ok(());
            }
            if let Some(end) = held.iter().position(|byte| *byte == b'\n') {
                self.reader.consume(end + 1);
                return Ok(());
            }
            let all = held.len();
            self.reader.consume(all);
        }
    }
}

/// True for a line that ends one YAML document and starts the next: `---`, alone or with more behind it (YAML 1.2.2, 9.1.2).
pub(super) fn starts_document(line: &[u8]) -> bool {
    line.strip_prefix(b"---")
        .is_some_and(|rest| rest.first().is_none_or(u8::is_ascii_whitespace))
}

/// True for a line that ends a YAML document: `...` (YAML 1.2.2, 9.1.2).
pub(super) fn ends_document(line: &[u8]) -> bool {
    line.strip_prefix(b"...")
        .is_some_and(|rest| rest.first().is_none_or(u8::is_ascii_whitespace))
}

/// True for a line that says nothing in YAML: blank, or a comment.
pub(super) fn says_nothing(line: &[u8]) -> bool {
    let line = line.trim_ascii();
    line.is_empty() || line.starts_with(b"#")
}
