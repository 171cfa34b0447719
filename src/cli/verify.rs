//! `perchside verify`: whether a case or a paper is what the record says.

use std::io;
use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::papers::engine::Engine;
use crate::record::{Read, verify};

use super::{Common, Io, Outcome, lines, say};

/// In which form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Words.
    Text,
    /// JSON.
    Json,
}

/// Arguments of `verify`.
#[derive(Debug, Args)]
pub(super) struct Verify {
    /// A filled-in form (`.yaml`, `.yml`), or a paper.
    path: PathBuf,
    /// The form that a paper belongs to. Without it, records are looked for in the paper's folder and up to three above it.
    #[arg(long, value_name = "FORM")]
    case: Option<PathBuf>,
    /// The log that the plan was signed with.
    #[arg(long, value_name = "LOG")]
    log: Option<PathBuf>,
    /// In which form.
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
}

impl Verify {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let is_form = self
            .path
            .extension()
            .is_some_and(|end| end.eq_ignore_ascii_case("yaml") || end.eq_ignore_ascii_case("yml"));
        let report = if is_form {
            verify::case(Read {
                intake: &self.path,
                log: self.log.as_deref(),
                rules: common.rules.as_deref(),
                practice: common.practice.as_deref(),
                today: io.today,
            })
        } else {
            verify::paper(&self.path, self.case.as_deref())
        };
        say(&report.problems, io)?;
        match self.format {
            Format::Json => {
                let text = serde_json::to_string_pretty(&report).map_err(io::Error::other)?;
                writeln!(io.out, "{text}")?;
            }
            Format::Text => {
                let text = Engine::embedded()
                    .render("verify.txt", &report)
                    .map_err(io::Error::other)?;
                lines(&text, io)?;
            }
        }
        Ok(if report.holds {
            Outcome::Done
        } else {
            Outcome::InputErrors
        })
    }
}
