//! A form as YAML, as JSON, and as the cells of a table.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use perchside::tree::Node;

/// The form as YAML, a line to an answer.
pub(crate) fn yaml(tree: &Node<'_>) -> String {
    let mut out = String::new();
    let Node::Map(groups) = tree else { return out };
    for (group, node) in groups {
        let _ = write!(out, "{group}:");
        match node {
            Node::List(blocks) if blocks.is_empty() => out.push_str(" []\n"),
            Node::List(blocks) => {
                out.push('\n');
                for block in blocks {
                    answers(&mut out, block, "  - ", "    ");
                }
            }
            Node::Map(_) => {
                out.push('\n');
                answers(&mut out, node, "  ", "  ");
            }
            other => {
                out.push(' ');
                value(&mut out, other);
                out.push('\n');
            }
        }
    }
    out
}

fn answers(out: &mut String, block: &Node<'_>, first: &str, then: &str) {
    let Node::Map(block) = block else { return };
    for (at, (id, node)) in block.iter().enumerate() {
        let _ = write!(out, "{}{id}: ", if at == 0 { first } else { then });
        value(out, node);
        out.push('\n');
    }
}

/// How many bytes the line of an answer has, about.
pub(crate) fn line(id: &str, node: &Node<'_>) -> usize {
    let mut out = String::new();
    value(&mut out, node);
    id.len() + out.len() + 7
}

fn value(out: &mut String, node: &Node<'_>) {
    match node {
        Node::List(items) => {
            out.push('[');
            for (at, item) in items.iter().enumerate() {
                out.push_str(if at > 0 { ", " } else { "" });
                value(out, item);
            }
            out.push(']');
        }
        Node::Text(text) if !is_plain(text) => out.push_str(&quoted(text)),
        other => out.push_str(&other.scalar().unwrap_or_default()),
    }
}

/// True for text that YAML takes for the same text without quotes. Says no rather too often.
fn is_plain(text: &str) -> bool {
    let mut signs = text.chars();
    let starts_well = match signs.next() {
        Some(first) if first.is_alphabetic() => true,
        // A number is text once something stands behind it: a unit, or the month of a date.
        Some(first) if first.is_ascii_digit() => {
            text.contains(' ') || (text.contains('-') && !text.contains(['.', 'e', 'E']))
        }
        _ => false,
    };
    starts_well
        && signs.all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '.' | '/' | '\''))
        && !text.ends_with(' ')
        && !["true", "false", "null", "nan", "inf"].contains(&text.to_lowercase().as_str())
}

fn quoted(text: &str) -> String {
    // Strings of JSON are strings of YAML.
    serde_json::Value::from(text).to_string()
}

/// The form as JSON on one line. A repeated key stands as often as in the tree.
pub(crate) fn json(tree: &Node<'_>) -> String {
    let mut out = String::new();
    json_into(&mut out, tree);
    out
}

fn json_into(out: &mut String, node: &Node<'_>) {
    match node {
        Node::Blank => out.push_str("null"),
        Node::Text(text) => out.push_str(&quoted(text)),
        Node::Bool(yes) => {
            let _ = write!(out, "{yes}");
        }
        Node::Int(_) | Node::Float(_) => out.push_str(&node.scalar().unwrap_or_default()),
        Node::List(items) => {
            out.push('[');
            for (at, item) in items.iter().enumerate() {
                out.push_str(if at > 0 { "," } else { "" });
                json_into(out, item);
            }
            out.push(']');
        }
        Node::Map(entries) => {
            out.push('{');
            for (at, (key, node)) in entries.iter().enumerate() {
                out.push_str(if at > 0 { "," } else { "" });
                out.push_str(&quoted(key));
                out.push(':');
                json_into(out, node);
            }
            out.push('}');
        }
    }
}

/// The cells of a table, by heading: `case.region`, `people.1.age`. Choices of a set stand in one cell with commas between. An empty list
/// has no cell: in a table, nothing told and none are the same.
pub(crate) fn cells(tree: &Node<'_>) -> BTreeMap<String, String> {
    let mut cells = BTreeMap::new();
    let Node::Map(groups) = tree else {
        return cells;
    };
    for (group, node) in groups {
        match node {
            Node::List(blocks) => {
                for (at, block) in blocks.iter().enumerate() {
                    row(&mut cells, &format!("{group}.{}", at + 1), block);
                }
            }
            _ => row(&mut cells, group, node),
        }
    }
    cells
}

fn row(cells: &mut BTreeMap<String, String>, before: &str, block: &Node<'_>) {
    let Node::Map(block) = block else { return };
    for (id, node) in block {
        let text = match node {
            Node::List(items) => {
                let items: Vec<_> = items.iter().filter_map(Node::scalar).collect();
                items.join(", ")
            }
            other => other.scalar().unwrap_or_default().into_owned(),
        };
        cells.insert(format!("{before}.{id}"), text);
    }
}
