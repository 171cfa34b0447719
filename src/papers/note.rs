//! A consultant's own note: its Markdown kept where it is emphasis, lists and paragraphs, and everything else turned into text.

use pulldown_cmark::{CowStr, Event, Options, Parser, Tag, TagEnd};
use pulldown_cmark_to_cmark::cmark;

/// A note as a quotation that can stand anywhere between paragraphs. No tag, link, picture or heading comes out of it: a link keeps its
/// words and its address as text, a heading becomes a bold line.
#[must_use]
pub fn quoted(text: &str) -> String {
    let mut addresses: Vec<String> = Vec::new();
    let mut events: Vec<Event<'_>> = Vec::new();
    for event in Parser::new_ext(text, Options::empty()) {
        match event {
            Event::Start(Tag::Heading { .. }) => {
                events.push(Event::Start(Tag::Paragraph));
                events.push(Event::Start(Tag::Strong));
            }
            Event::End(TagEnd::Heading(_)) => {
                events.push(Event::End(TagEnd::Strong));
                events.push(Event::End(TagEnd::Paragraph));
            }
            Event::Start(Tag::HtmlBlock) => events.push(Event::Start(Tag::Paragraph)),
            Event::End(TagEnd::HtmlBlock) => events.push(Event::End(TagEnd::Paragraph)),
            Event::Html(text) | Event::InlineHtml(text) => events.push(Event::Text(text)),
            Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
                addresses.push(dest_url.to_string());
            }
            Event::End(TagEnd::Link | TagEnd::Image) => {
                let address = addresses.pop().unwrap_or_default();
                if !address.is_empty() {
                    events.push(Event::Text(CowStr::from(format!(" ({address})"))));
                }
            }
            Event::Rule => {}
            other => events.push(other),
        }
    }
    let mut out = String::new();
    if cmark(events, &mut out, Options::empty()).is_err() {
        // Writing to a string cannot fail; were it to, the note is printed as plain text.
        out = super::markdown::escape(text);
    }
    out.lines()
        .map(|line| format!("> {line}").trim_end().to_owned())
        .collect::<Vec<_>>()
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::quoted;
    use crate::papers::html::fragment;

    #[test]
    fn emphasis_and_lists_stay() {
        let html = fragment(&quoted("Keep **both** doors shut.\n\n- one\n- two"));
        for part in ["<blockquote>", "<strong>both</strong>", "<li>one</li>"] {
            assert!(html.contains(part), "{html}");
        }
    }

    #[test]
    fn nothing_else_becomes_markup() {
        for text in [
            "<script>alert(1)</script>",
            "a <b onclick=\"x\">b</b>",
            "[words](javascript:alert(1))",
            "![x](data:text/html,y)",
            "# Heading\n\nUnder\n=====",
            "<div>\n<p>block</p>\n</div>",
            "---\n\n***\n\nx",
            "{{ 7*7 }} {% raw %}",
        ] {
            let html = fragment(&quoted(text));
            for bad in ["<script", "<b ", "<a", "<img", "<h1", "<h2", "<div", "<hr"] {
                assert!(!html.contains(bad), "{text:?}: {html}");
            }
        }
        assert!(fragment(&quoted("[words](javascript:x)")).contains("words (javascript:x)"));
        assert!(fragment(&quoted("<script>alert(1)</script>")).contains("alert(1)"));
    }
}
