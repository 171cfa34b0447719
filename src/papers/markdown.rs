//! Text made safe for Markdown: whatever an intake says is printed as itself and can never become markup.

/// Escapes a text for any place in a CommonMark or GFM document: paragraph, list, heading or table cell.
///
/// Line breaks and tabs become character references, which every renderer turns back into themselves (CommonMark 0.31,
/// section 2.5), so that a text stays in its cell. A text that steers the direction of writing is wrapped in an isolate
/// (Unicode UAX 9), so that it steers nothing after it.
#[must_use]
pub fn escape(text: &str) -> String {
    let steers = text
        .chars()
        .any(|c| matches!(c, '\u{200e}' | '\u{200f}' | '\u{061c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'));
    let mut out = String::with_capacity(text.len() + 8);
    if steers {
        out.push('\u{2068}');
    }
    let mut start = true;
    let mut digits = false;
    // Isolates that the text itself opened and did not close.
    let mut isolates = 0;
    for (at, c) in text.char_indices() {
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '&' | '|' | '~' | '#' | '$' | '^' => {
                out.push('\\');
                out.push(c);
            }
            // A list, a rule, a heading's underline: only at the start of a line.
            '-' | '+' | '=' if start => {
                out.push('\\');
                out.push(c);
            }
            '.' | ')'
                if digits
                    && text[at + 1..]
                        .chars()
                        .next()
                        .is_none_or(char::is_whitespace) =>
            {
                out.push('\\');
                out.push(c);
            }
            '\r' if text[at + 1..].starts_with('\n') => continue,
            '\n' | '\r' => out.push_str("&#10;"),
            '\t' => out.push_str("&#9;"),
            // A blank at either end could make code or vanish.
            ' ' if start || text[at + 1..].chars().all(|c| c == ' ') => out.push_str("&#32;"),
            c if c.is_control() => out.push('\u{fffd}'),
            '\u{2066}'..='\u{2068}' => {
                isolates += 1;
                out.push(c);
            }
            // It would end the isolate around the text.
            '\u{2069}' if isolates == 0 => out.push('\u{fffd}'),
            '\u{2069}' => {
                isolates -= 1;
                out.push(c);
            }
            c => out.push(c),
        }
        digits = c.is_ascii_digit() && (start || digits);
        start = false;
    }
    if steers {
        // Closes whatever the text left open: each end of an isolate closes one, with the embeddings in it.
        out.extend(std::iter::repeat_n('\u{2069}', isolates + 1));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escape;
    use pulldown_cmark::{Event, Options, Parser, Tag};

    /// The plain text a renderer shows, and the tags it saw besides the paragraph.
    fn seen(markdown: &str) -> (String, usize) {
        let mut text = String::new();
        let mut tags = 0;
        for event in Parser::new_ext(markdown, Options::all() - Options::ENABLE_SMART_PUNCTUATION) {
            match event {
                Event::Text(part) => text.push_str(&part),
                Event::Start(Tag::Paragraph) | Event::End(_) => {}
                _ => tags += 1,
            }
        }
        (text, tags)
    }

    #[test]
    fn hostile_text_appears_as_itself() {
        for text in [
            "<script>alert(1)</script>",
            "[x](javascript:y)",
            "**bold**",
            "a | b",
            "{{ 7*7 }}",
            "1. one",
            "12) two",
            "- item",
            "+ item",
            "# head",
            "=====",
            "---",
            "> quote",
            "`code`",
            "~~~",
            "&amp; &#x3c;",
            "\\",
            "![i](u)",
            "line\nbreak",
            "    code",
            "a\r\nb",
            "tab\there",
            "$x$",
            "https://example.org",
            "two  spaces ",
            "#",
            "_",
            "@name",
            "1",
            "1.5 kg",
        ] {
            let (shown, tags) = seen(&escape(text));
            assert_eq!(
                shown.replace("\r\n", "\n"),
                text.replace("\r\n", "\n"),
                "{text:?}"
            );
            assert_eq!(tags, 0, "{text:?}");
        }
    }

    #[test]
    fn a_text_that_turns_the_writing_round_is_kept_to_itself() {
        let out = escape("a\u{202e}b");
        assert!(out.starts_with('\u{2068}') && out.ends_with('\u{2069}'));
        assert!(out.contains('\u{202e}'));
        // It can neither end the isolate around it, nor leave one of its own open that takes the end for itself.
        assert_eq!(
            escape("a\u{2069}\u{202e}b"),
            "\u{2068}a\u{fffd}\u{202e}b\u{2069}"
        );
        assert_eq!(
            escape("a\u{2067}b\u{2066}c"),
            "\u{2068}a\u{2067}b\u{2066}c\u{2069}\u{2069}\u{2069}"
        );
        assert_eq!(
            escape("a\u{2067}b\u{2069}c"),
            "\u{2068}a\u{2067}b\u{2069}c\u{2069}"
        );
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, ..Default::default() })]

        #[test]
        fn any_text_appears_as_itself(text in "[ -~äé\u{202e}\u{200f}\n]{1,40}") {
            let (shown, tags) = seen(&escape(&text));
            let shown = shown.trim_start_matches('\u{2068}').trim_end_matches('\u{2069}').to_owned();
            proptest::prop_assert_eq!(shown, text);
            proptest::prop_assert_eq!(tags, 0);
        }

        #[test]
        fn any_text_stays_in_its_table_cell(text in "[ -~äé\n]{1,40}") {
            let table = format!("| a | b |\n|---|---|\n| {} | end |\n", escape(&text));
            let html = crate::papers::html::fragment(&table);
            proptest::prop_assert_eq!(html.matches("<td>").count(), 2);
        }
    }
}
