//! Markdown turned into HTML, and cleaned against our own list of what may stand in it.

use std::collections::{HashMap, HashSet};

use pulldown_cmark::{Options, Parser};

/// The tags a paper may hold. No attributes but `scope` on table heads; no links, no images, no styles.
const TAGS: &[&str] = &[
    "h1",
    "h2",
    "h3",
    "h4",
    "p",
    "ul",
    "ol",
    "li",
    "table",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "strong",
    "em",
    "br",
    "hr",
    "blockquote",
    "code",
    "pre",
];

/// One part of a paper as HTML.
#[must_use]
pub fn fragment(markdown: &str) -> String {
    let parser = Parser::new_ext(markdown, Options::ENABLE_TABLES);
    let mut html = String::with_capacity(markdown.len() * 2);
    pulldown_cmark::html::push_html(&mut html, parser);
    // Heads of columns say so to a screen reader.
    // A head with nothing in it is no head.
    let html = html
        .replace("<th></th>", "<td></td>")
        .replace("<th>", "<th scope=\"col\">");
    ammonia::Builder::new()
        .tags(TAGS.iter().copied().collect())
        .tag_attributes(HashMap::from([("th", HashSet::from(["scope"]))]))
        .generic_attributes(HashSet::new())
        .url_schemes(HashSet::new())
        .clean(&html)
        .to_string()
}

#[cfg(test)]
mod tests {
    use super::fragment;

    #[test]
    fn markup_in_markdown_does_not_come_through() {
        let html = fragment(
            "a <script>x</script> [l](javascript:y) ![i](http://e.org/i.png) <b onclick=\"x\">t</b>",
        );
        for bad in ["<script", "javascript", "<img", "onclick", "<a"] {
            assert!(!html.contains(bad), "{html}");
        }
    }

    #[test]
    fn table_heads_have_a_scope() {
        assert!(fragment("| a |\n|---|\n| b |\n").contains("<th scope=\"col\">a</th>"));
    }
}
