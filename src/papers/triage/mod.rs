//! The ranked enquiries on paper and on screen, each form written row by row, so that a long list takes no more memory than a short one.

mod csv;
mod page;
mod table;

use std::io::{self, Write};

use jiff::ZonedDateTime;
use serde::Serialize;

use crate::papers::engine::{Engine, PaperError};
use crate::rulebook::{Contact, Risk};
use crate::triage::{Board, Counts, Desk, Row};

pub use table::Width;

/// In which form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// A table for the terminal.
    Table,
    /// Markdown.
    Md,
    /// One HTML page that can be sorted and printed.
    Html,
    /// CSV (RFC 4180).
    Csv,
    /// JSON Lines: one JSON object a line (RFC 8259).
    Jsonl,
}

/// Why a list could not be written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// Where it goes takes no more.
    #[error(transparent)]
    Io(#[from] io::Error),
    /// A template does not fit.
    #[error(transparent)]
    Paper(#[from] PaperError),
}

/// What is written, and how much of it.
#[derive(Debug, Clone, Copy)]
pub struct List<'a> {
    /// What the enquiries were assessed with.
    pub desk: &'a Desk<'a>,
    /// The ranked enquiries.
    pub board: &'a Board,
    /// At most so many of the ranked ones; what is looked at by hand is always told whole.
    pub top: usize,
}

impl List<'_> {
    /// Writes the list.
    ///
    /// # Errors
    /// When its reader takes no more, or a template does not fit.
    pub fn write(
        &self,
        format: Format,
        engine: &Engine,
        width: Width,
        out: &mut dyn Write,
    ) -> Result<(), WriteError> {
        match format {
            Format::Table => Ok(table::write(self, width, out)?),
            Format::Md => page::markdown(self, engine, out),
            Format::Html => page::html(self, engine, out),
            Format::Csv => Ok(csv::write(self, out)?),
            Format::Jsonl => {
                for by_hand in &self.board.by_hand {
                    json_line(&self.desk.by_hand_row(by_hand), out)?;
                }
                for row in self.rows() {
                    json_line(&row, out)?;
                }
                Ok(())
            }
        }
    }

    /// The ranked enquiries as they are told.
    fn rows(&self) -> impl Iterator<Item = Row> + '_ {
        (0..self.board.lines.len().min(self.top)).map(|at| self.desk.row_of(self.board, at))
    }

    /// How many ranked enquiries are left out.
    fn left_out(&self) -> usize {
        self.board.lines.len().saturating_sub(self.top)
    }

    /// The moment it is, in the practice's time zone.
    fn moment(&self) -> ZonedDateTime {
        self.desk
            .now
            .to_zoned_datetime(self.desk.hours.zone().clone())
    }
}

/// A value as a line of JSON.
///
/// # Errors
/// When its reader takes no more.
pub fn json_line(value: &impl Serialize, out: &mut dyn Write) -> io::Result<()> {
    // A line is written in hundreds of small parts; put together first, they are one for whoever takes them.
    let mut line = serde_json::to_vec(value)?;
    line.push(b'\n');
    out.write_all(&line)
}

/// A moment for people who look at a clock: `Wed 25 Nov 16:30`; a day alone: `Wed 25 Nov`.
fn clock(rfc3339: &str) -> String {
    if let Ok(day) = rfc3339.parse::<jiff::civil::Date>()
        && rfc3339.len() == 10
    {
        return day.strftime("%a %-d %b").to_string();
    }
    rfc3339
        .parse::<jiff::civil::DateTime>()
        .or_else(|_| rfc3339[..rfc3339.len().min(19)].parse())
        .map_or_else(
            |_| rfc3339.to_owned(),
            |at: jiff::civil::DateTime| at.strftime("%a %-d %b %H:%M").to_string(),
        )
}

/// Risk as it is told: one word, or from what is known to what it may be.
fn risk(row: &Row) -> String {
    let pair = row.verdict.risk;
    if pair.known == pair.until_answered {
        pair.known.word().to_owned()
    } else {
        format!("{} to {}", pair.known.word(), pair.until_answered.word())
    }
}

/// How soon to reply, as it is told.
fn level(row: &Row) -> String {
    let pair = row.verdict.contact;
    if pair.known == pair.until_answered {
        pair.known.word().to_owned()
    } else {
        format!("{} until answered", pair.until_answered.word())
    }
}

/// What a row says to people: times on the clock, levels and risk in words.
#[must_use]
pub fn told(row: &Row) -> serde_json::Value {
    serde_json::json!({
        "reply-by": clock(&row.reply_by),
        "received": row.received.as_deref().map(clock),
        "closes": row.closes.as_deref().map(clock),
        "level": level(row),
        "class": level_class(row.verdict.contact.until_answered),
        "risk": risk(row),
    })
}

/// The counts in one line.
fn summary(counts: &Counts) -> String {
    let mut parts = vec![match counts.enquiries {
        1 => "1 enquiry".to_owned(),
        many => format!("{many} enquiries"),
    }];
    if counts.by_hand > 0 {
        parts.push(format!("{} to look at by hand", counts.by_hand));
    }
    if counts.overdue > 0 {
        parts.push(format!("{} overdue", counts.overdue));
    }
    for level in &counts.levels {
        let all = level.known + level.until_answered;
        if all > 0 {
            let word = level.contact.word();
            parts.push(match level.until_answered {
                0 => format!("{word} {all}"),
                open => format!("{word} {all} ({open} until answered)"),
            });
        }
    }
    if counts.of_one_household > 0 {
        parts.push(format!("{} share a household", counts.of_one_household));
    }
    parts.join(", ")
}

/// All that a page can be sorted by: for each row its place in that order, from 1.
fn orders(list: &List<'_>) -> Vec<[usize; 4]> {
    let lines = &list.board.lines;
    let count = lines.len().min(list.top);
    let mut orders = vec![[0; 4]; count];
    let mut put = |on: usize, key: &dyn Fn(usize) -> (i128, String)| {
        let mut places: Vec<usize> = (0..count).collect();
        places.sort_by_cached_key(|at| key(*at));
        for (place, at) in places.into_iter().enumerate() {
            orders[at][on] = place + 1;
        }
    };
    let none = String::new;
    put(0, &|at| (lines[at].reply_by().as_nanosecond(), none()));
    put(1, &|at| {
        let risk = lines[at].verdict.risk;
        let steps = Risk::ALL.len() * risk.until_answered.steps() + risk.known.steps();
        (-(steps as i128), none())
    });
    put(2, &|at| {
        (
            lines[at]
                .received()
                .map_or(i128::MIN, |at| at.as_nanosecond()),
            none(),
        )
    });
    put(3, &|at| (0, lines[at].id().to_lowercase()));
    orders
}

/// The class of a level on a page.
fn level_class(contact: Contact) -> String {
    contact.word().replace(' ', "-")
}
