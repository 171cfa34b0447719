//! The list as Markdown and as one HTML page. Templates are filled for a few rows at a time.

use std::io::Write;

use serde_json::{Value, json};

use crate::mistake::printable;
use crate::papers::engine::Engine;

use super::{List, WriteError, clock, orders, summary, told};

/// How many rows one filling of a template holds.
const ROWS: usize = 50;

pub(super) fn markdown(
    list: &List<'_>,
    engine: &Engine,
    out: &mut dyn Write,
) -> Result<(), WriteError> {
    fill(list, engine, "md", out)
}

pub(super) fn html(
    list: &List<'_>,
    engine: &Engine,
    out: &mut dyn Write,
) -> Result<(), WriteError> {
    fill(list, engine, "html", out)
}

fn fill(
    list: &List<'_>,
    engine: &Engine,
    ending: &str,
    out: &mut dyn Write,
) -> Result<(), WriteError> {
    let counts = list.board.counts();
    let by_hand: Vec<_> = list
        .board
        .by_hand
        .iter()
        .map(|by_hand| list.desk.by_hand_row(by_hand))
        .collect();
    let page = ending == "html";
    let mut around = json!({
        "summary": summary(&counts),
        "counts": counts,
        "now": clock(&list.moment().strftime("%Y-%m-%dT%H:%M:%S").to_string()),
        "zone": list.desk.hours.zone().iana_name(),
        "by_hand": by_hand,
        "rows": list.board.lines.len().min(list.top),
        "left_out": list.left_out(),
        "rulebook": {
            "name": list.desk.rulebook().tables.edition.name,
            "version": list.desk.rulebook().tables.edition.version,
            "fingerprint": list.desk.rulebook().fingerprint,
        },
    });
    if page {
        show(&mut around);
    }
    let put = |name: &str, context: &Value, out: &mut dyn Write| -> Result<(), WriteError> {
        let text = engine.render(&format!("triage/{name}.{ending}"), context)?;
        Ok(out.write_all(text.as_bytes())?)
    };
    put("head", &around, out)?;
    let orders = if page { orders(list) } else { Vec::new() };
    let mut chunk = Vec::new();
    for (at, row) in list.rows().enumerate() {
        let mut value = json!(row);
        value["told"] = told(&row);
        value["told"]["orders"] = json!(orders.get(at));
        if page {
            show(&mut value);
        }
        chunk.push(value);
        if chunk.len() == ROWS {
            put("rows", &json!({ "rows": std::mem::take(&mut chunk) }), out)?;
        }
    }
    if !chunk.is_empty() {
        put("rows", &json!({ "rows": chunk }), out)?;
    }
    put("foot", &around, out)
}

/// Makes every text fit for a page: no control character, which HTML cannot hold, and no sign that turns the direction of what stands
/// after it. In Markdown, escaping does that.
fn show(value: &mut Value) {
    match value {
        Value::String(text) => *text = printable(&text.replace(['\n', '\r'], " ")),
        Value::Array(values) => values.iter_mut().for_each(show),
        Value::Object(values) => values.values_mut().for_each(show),
        _ => {}
    }
}
