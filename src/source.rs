//! One text that was read: its label, its words, and where each line starts.

use std::borrow::Cow;
use std::path::Path;
use std::sync::OnceLock;

use crate::embedded::Embedded;
use crate::mistake::{Place, Problem};
use crate::mistakes::file::{
    EmptyFile, FileIsFolder, FileMissing, FileTooLarge, FileUnreadable, NotUtf8,
};

/// The largest file that is read, in bytes (1 MiB).
pub const MAX_BYTES: usize = 1 << 20;

/// A text with the label it is known by (a path, or `rules/…` for an embedded file).
#[derive(Debug, Clone)]
pub struct Source {
    /// What mistakes call this text: the path as the person gave it.
    pub label: Cow<'static, str>,
    /// The text, without a byte order mark.
    pub text: Cow<'static, str>,
    embedded: Option<&'static Embedded>,
    /// Where each line starts; worked out when a place is first asked for, which most texts never are.
    line_starts: OnceLock<Vec<usize>>,
    /// Lines of the file before this text, when it is a part of one.
    lines_before: usize,
}

/// Two sources are the same when they say the same under the same label.
impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        self.label == other.label && self.text == other.text
    }
}

impl Eq for Source {}

impl Source {
    /// A source from text in memory. A leading byte order mark is dropped.
    #[must_use]
    pub fn new(label: impl Into<String>, text: impl Into<String>) -> Self {
        let mut text: String = text.into();
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        Self {
            label: Cow::Owned(label.into()),
            text: Cow::Owned(text),
            embedded: None,
            line_starts: OnceLock::new(),
            lines_before: 0,
        }
    }

    /// A file of the rulebook inside the program.
    #[must_use]
    pub fn embedded(file: &'static Embedded) -> Self {
        Self {
            label: Cow::Borrowed(file.label),
            text: Cow::Borrowed(file.text),
            embedded: Some(file),
            line_starts: OnceLock::new(),
            lines_before: 0,
        }
    }

    /// This text as a part of a larger file, of which so many lines stand before it.
    #[must_use]
    pub fn after_lines(self, lines_before: usize) -> Self {
        Self {
            lines_before,
            ..self
        }
    }

    /// The file inside the program that this is, as long as it has that very text.
    #[must_use]
    pub fn as_embedded(&self) -> Option<&'static Embedded> {
        self.embedded
            .filter(|file| std::ptr::eq(file.text, &*self.text))
    }

    /// The same text, of which nothing is known but what it says.
    #[must_use]
    pub fn as_written(&self) -> Self {
        Self {
            embedded: None,
            ..self.clone()
        }
    }

    fn line_starts(&self) -> &[usize] {
        self.line_starts.get_or_init(|| {
            std::iter::once(0)
                .chain(self.text.match_indices('\n').map(|(at, _)| at + 1))
                .collect()
        })
    }

    /// The line a byte is in, from 0, and where that line starts.
    fn line(&self, byte: usize) -> (usize, usize) {
        // Every rule notes its first line: that takes no table of them.
        if !self.text[..byte].contains('\n') {
            return (0, 0);
        }
        let starts = self.line_starts();
        let line = starts.partition_point(|start| *start <= byte) - 1;
        (line, starts[line])
    }

    /// Checks raw bytes (size, encoding, emptiness) and makes a source of them.
    ///
    /// # Errors
    /// `file-too-large`, `not-utf8` (with the place of the first bad byte) or `empty-file`.
    pub fn from_bytes(label: &str, bytes: Vec<u8>) -> Result<Self, Problem> {
        if bytes.len() > MAX_BYTES {
            return Err(Problem::of_file(
                label,
                FileTooLarge {
                    bytes: bytes.len(),
                    most: MAX_BYTES,
                },
            ));
        }
        // Text that people write holds no zero bytes; UTF-16 without its mark does.
        if bytes.iter().take(64).any(|byte| *byte == 0) {
            return Err(Problem::of_file(
                label,
                NotUtf8 {
                    line: 1,
                    wide: true,
                },
            ));
        }
        let text = String::from_utf8(bytes).map_err(|error| {
            let good = error.utf8_error().valid_up_to();
            let bytes = error.into_bytes();
            let line = bytes[..good].iter().filter(|byte| **byte == b'\n').count() + 1;
            let wide = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
            Problem::of_file(label, NotUtf8 { line, wide })
        })?;
        let source = Self::new(label, text);
        if source.text.trim().is_empty() {
            return Err(Problem::of_file(label, EmptyFile {}));
        }
        Ok(source)
    }

    /// Reads a file whole, within [`MAX_BYTES`].
    ///
    /// # Errors
    /// `file-missing`, `file-is-folder`, `file-unreadable` and what [`Source::from_bytes`] says.
    pub fn read(path: &Path) -> Result<Self, Problem> {
        use std::io::Read as _;
        let label = path.display().to_string();
        if path.is_dir() {
            return Err(Problem::of_file(&label, FileIsFolder {}));
        }
        let mut bytes = Vec::new();
        let read = std::fs::File::open(path).and_then(|file| {
            // One byte past the limit is enough to know that it is too large.
            file.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes)
        });
        match read {
            Ok(_) => Self::from_bytes(&label, bytes),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                Err(Problem::of_file(&label, FileMissing {}))
            }
            Err(error) => Err(Problem::of_file(
                &label,
                FileUnreadable {
                    reason: error.to_string(),
                },
            )),
        }
    }

    /// The bytes at a line and column, both from 1.
    #[must_use]
    pub fn offset(&self, (line, column): (usize, usize)) -> std::ops::Range<usize> {
        let start = self
            .line_starts()
            .get(line.saturating_sub(1))
            .copied()
            .unwrap_or(0);
        let at = self.text[start..]
            .char_indices()
            .nth(column.saturating_sub(1))
            .map_or(self.text.len(), |(at, _)| start + at);
        at..at + 1
    }

    /// The byte at a line and a column in bytes, both from 1 and counted in this text.
    #[must_use]
    pub(crate) fn byte_offset(&self, (line, column): (usize, usize)) -> std::ops::Range<usize> {
        let starts = self.line_starts();
        let start = starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let at = (start + column.saturating_sub(1)).min(self.text.len());
        at..at + 1
    }

    /// The place of a byte range: its line and column (both from 1, columns in characters), and the line itself.
    #[must_use]
    pub fn place(&self, range: std::ops::Range<usize>) -> Place {
        let mut start = range.start.min(self.text.len());
        while !self.text.is_char_boundary(start) {
            start -= 1;
        }
        let (index, line_start) = self.line(start);
        let line_end = self.text[line_start..]
            .find('\n')
            .map_or(self.text.len(), |at| line_start + at);
        let line_text = self.text[line_start..line_end].trim_end_matches('\r');
        let column = self.text[line_start..start].chars().count() + 1;
        let mut end = range
            .end
            .clamp(start, line_start + line_text.len().max(start - line_start));
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        Place {
            file: self.label.to_string(),
            line: self.lines_before + index + 1,
            column,
            width: self.text[start..end].chars().count(),
            line_text: line_text.to_owned(),
        }
    }
}

/// The range of a part that borrows from a whole.
#[must_use]
pub(crate) fn range_in(whole: &str, part: &str) -> Option<std::ops::Range<usize>> {
    let start = (part.as_ptr() as usize).checked_sub(whole.as_ptr() as usize)?;
    (start + part.len() <= whole.len()).then_some(start..start + part.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_counts_lines_and_characters_from_one() {
        let source = Source::new("x", "a: é\nbé: c\r\n");
        let place = source.place(source.text.find('c').unwrap_or(0)..source.text.len());
        assert_eq!((place.line, place.column), (2, 5));
        assert_eq!(place.line_text, "bé: c");
    }

    #[test]
    fn a_byte_order_mark_is_not_part_of_the_text() {
        assert_eq!(Source::new("x", "\u{feff}a: 1").text, "a: 1");
    }

    #[test]
    fn a_range_past_the_end_is_the_last_place() {
        let source = Source::new("x", "a");
        assert_eq!(source.place(10..20).line, 1);
    }
}
