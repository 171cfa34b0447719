//! What a file of enquiries is written in, told by its name or by how it starts.

use std::path::Path;

/// What enquiries are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Form {
    /// YAML, one document or many.
    Yaml,
    /// JSON: an object, or an array of objects.
    Json,
    /// JSON Lines: one JSON object a line.
    Jsonl,
    /// CSV with a row of headers.
    Csv,
}

impl Form {
    /// By the ending of a file's name.
    #[must_use]
    pub fn of_name(path: &Path) -> Option<Self> {
        let ending = path.extension()?.to_str()?.to_ascii_lowercase();
        Some(match ending.as_str() {
            "yaml" | "yml" => Self::Yaml,
            "json" => Self::Json,
            "jsonl" | "ndjson" => Self::Jsonl,
            "csv" | "tsv" => Self::Csv,
            _ => return None,
        })
    }

    /// By how the text starts: a line that opens and closes an object is JSON Lines, another `{` or `[` is JSON, else it is
    /// YAML. CSV has to be said.
    #[must_use]
    pub fn of_start(start: &[u8]) -> Self {
        let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start);
        let text = text.trim_ascii_start();
        match text.first() {
            Some(b'[') => Self::Json,
            // In JSON a name in quotes follows; YAML has braces as well, with bare names.
            Some(b'{')
                if matches!(
                    text[1..].trim_ascii_start().first(),
                    None | Some(b'"' | b'}')
                ) =>
            {
                let line = text.split(|byte| *byte == b'\n').next().unwrap_or(text);
                // One line longer than what is looked at can only be a form on a line of its own.
                if line.len() == text.len() || line.trim_ascii_end().ends_with(b"}") {
                    Self::Jsonl
                } else {
                    Self::Json
                }
            }
            _ => Self::Yaml,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_tells_by_its_ending() {
        let of = |name: &str| Form::of_name(Path::new(name));
        assert_eq!(of("a/b.YML"), Some(Form::Yaml));
        assert_eq!(of("b.ndjson"), Some(Form::Jsonl));
        assert_eq!(of("b.tsv"), Some(Form::Csv));
        assert_eq!(of("b.txt"), None);
        assert_eq!(of("yaml"), None);
    }

    #[test]
    fn a_stream_tells_by_how_it_starts() {
        assert_eq!(Form::of_start(b"\xef\xbb\xbfcase:\n  a: 1\n"), Form::Yaml);
        assert_eq!(Form::of_start(b"  [\n{}]"), Form::Json);
        assert_eq!(Form::of_start(b"{\n \"case\": {}}"), Form::Json);
        assert_eq!(
            Form::of_start(b"{\"case\": {}}\n{\"case\": {}}\n"),
            Form::Jsonl
        );
        // One line longer than what was looked at: nobody writes a whole form on one line but as JSON Lines.
        assert_eq!(Form::of_start(b"{\"case\": {\"reference\""), Form::Jsonl);
        assert_eq!(Form::of_start(b"{case: {reference: a}}"), Form::Yaml);
        assert_eq!(Form::of_start(b"{}"), Form::Jsonl);
        assert_eq!(Form::of_start(b""), Form::Yaml);
    }
}
