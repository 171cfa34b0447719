//! `perchside explain`: why, why not, and what would change it.

use std::io;
use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::decision::decide;
use crate::papers::engine::Engine;
use crate::papers::reason;

use super::{Common, Io, Outcome, intake, overruled_said, rulebook};

/// A form of an explanation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For a person.
    Text,
    /// JSON.
    Json,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub(super) struct Explain {
    /// The filled-in form.
    intake: PathBuf,
    /// What to explain: risk, start, contact, vet, blanks, reading, figures, or the id of a figure, rule, gate or measure. Without it, the whole decision.
    about: Option<String>,
    /// Text or json.
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
}

impl Explain {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(rulebook) = rulebook(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(intake) = intake(&rulebook, &self.intake, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let decision = decide(&rulebook, &intake.answers, io.today);
        overruled_said(&decision.overruled, &self.intake, io)?;
        let explained = reason::explain(
            &Engine::embedded(),
            &rulebook,
            &intake,
            &decision,
            self.about.as_deref(),
        )
        .map_err(io::Error::other)?;
        let Some((value, text)) = explained else {
            return super::rules::unknown_id(
                &rulebook,
                self.about.as_deref().unwrap_or_default(),
                io,
            );
        };
        match self.format {
            Format::Text => io.out.write_all(text.as_bytes())?,
            Format::Json => writeln!(io.out, "{value:#}")?,
        }
        Ok(Outcome::Done)
    }
}
