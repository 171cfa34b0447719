//! The list as CSV (RFC 4180), the same columns for what is ranked and for what is looked at by hand.

use std::io::{self, Write};

use crate::decision::Verdict;
use crate::triage::{AskRow, ByHandRow, Row};

use super::List;

const HEADERS: &[&str] = &[
    "at",
    "id",
    "place",
    "by-hand",
    "reference",
    "species",
    "received",
    "reply-by",
    "overdue",
    "contact-known",
    "contact-until-answered",
    "risk-known",
    "risk-until-answered",
    "start-known",
    "start-until-answered",
    "vet-known",
    "vet-until-answered",
    "rule",
    "because",
    "unanswered",
    "first",
    "ask-1",
    "ask-2",
    "ask-3",
    "same-household",
    "warnings",
    "mistakes",
    "rank",
];

pub(super) fn write(list: &List<'_>, out: &mut dyn Write) -> io::Result<()> {
    // That a reader stopped reading has to be known for what it is.
    records(list, out).map_err(|error| match error.into_kind() {
        csv::ErrorKind::Io(error) => error,
        other => io::Error::other(format!("{other:?}")),
    })
}

fn records(list: &List<'_>, out: &mut dyn Write) -> csv::Result<()> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(out);
    writer.write_record(HEADERS)?;
    for by_hand in &list.board.by_hand {
        writer.write_record(by_hand_cells(&list.desk.by_hand_row(by_hand)))?;
    }
    for row in list.rows() {
        writer.write_record(cells(&row))?;
    }
    Ok(writer.flush()?)
}

fn yes(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_owned()
}

/// Text of an enquiry as a cell. A spreadsheet would run what starts with one of these signs; with a quote before it, it is text.
fn plain(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

fn outcomes(verdict: Option<&Verdict>) -> [String; 8] {
    let Some(v) = verdict else {
        return Default::default();
    };
    [
        v.contact.known.word(),
        v.contact.until_answered.word(),
        v.risk.known.word(),
        v.risk.until_answered.word(),
        v.start.known.word(),
        v.start.until_answered.word(),
        v.vet.known.word(),
        v.vet.until_answered.word(),
    ]
    .map(str::to_owned)
}

fn asked(ask: Option<&AskRow>) -> String {
    ask.map_or_else(String::new, |ask| match &ask.about {
        Some(about) => format!("{} ({about})", ask.ask),
        None => ask.ask.clone(),
    })
}

fn cells(row: &Row) -> Vec<String> {
    let text = |text: &Option<String>| text.as_deref().map_or_else(String::new, plain);
    let mut cells = vec![
        row.at.map_or_else(String::new, |at| at.to_string()),
        plain(&row.id),
        plain(&row.place),
        yes(false),
        text(&row.reference),
        text(&row.species),
        text(&row.received),
        row.reply_by.clone(),
        yes(row.overdue),
    ];
    cells.extend(outcomes(Some(&row.verdict)));
    let first: Vec<&str> = row.first.iter().map(|first| first.id.as_str()).collect();
    let others: Vec<String> = row.same_household.iter().map(|o| plain(o)).collect();
    cells.extend([
        row.rule.clone().unwrap_or_default(),
        row.because.clone(),
        yes(row.unanswered),
        first.join("; "),
        asked(row.ask_first.first()),
        asked(row.ask_first.get(1)),
        asked(row.ask_first.get(2)),
        others.join("; "),
        row.warnings.to_string(),
        String::new(),
        row.rank.clone(),
    ]);
    cells
}

fn by_hand_cells(row: &ByHandRow) -> Vec<String> {
    let blanks = |count: usize| std::iter::repeat_n(String::new(), count);
    let mut cells = vec![
        String::new(),
        plain(&row.id),
        plain(&row.place),
        yes(true),
        row.reference.as_deref().map_or_else(String::new, plain),
    ];
    cells.extend(blanks(4));
    cells.extend(outcomes(row.verdict.as_ref()));
    cells.extend(blanks(9));
    let mistakes: Vec<String> = row
        .mistakes
        .iter()
        .map(|fault| format!("line {}: {}", fault.line, fault.says))
        .collect();
    cells.extend([plain(&mistakes.join("; ")), String::new()]);
    cells
}
