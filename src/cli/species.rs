//! `perchside species`: what is known of a kind of parrot.

use std::io;

use clap::Args;

use crate::facts::workings::Kind;
use crate::mistake::printable;
use crate::papers::engine::Engine;
use crate::papers::species;
use crate::plan::of_kind;
use crate::species::{Companion, Found};

use super::rules::Plain;
use super::{Common, Io, Outcome, rulebook};

/// How much of a name that was not found is said back, in characters.
const MOST_CHARS: usize = 60;

/// Arguments of `species`.
#[derive(Debug, Args)]
pub(super) struct Species {
    /// Its key, or its common, home or scientific name. Without one, all kinds by group.
    name: Vec<String>,
    /// Text or json.
    #[arg(long, value_enum, default_value = "text")]
    format: Plain,
}

impl Species {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(rulebook) = rulebook(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let table = &rulebook.vocabulary.tables.species;
        if self.name.is_empty() {
            match self.format {
                Plain::Text => io.out.write_all(species::list_text(table).as_bytes())?,
                Plain::Json => writeln!(io.out, "{:#}", species::list_json(table))?,
            }
            return Ok(Outcome::Done);
        }
        let name = self.name.join(" ");
        let found = table.find(&name);
        let figures = of_kind(&Kind::named(table, &name));
        let (value, text) =
            species::show(&Engine::embedded(), &found, &figures).map_err(io::Error::other)?;
        let shown: String = printable(&name).chars().take(MOST_CHARS).collect();
        if self.format == Plain::Json {
            writeln!(io.out, "{value:#}")?;
        }
        match &found {
            Found::One(_) | Found::Trait(_) | Found::Hybrid(_) => {
                if self.format == Plain::Text {
                    io.out.write_all(text.as_bytes())?;
                }
                Ok(Outcome::Done)
            }
            Found::Several(kinds) => {
                writeln!(
                    io.err,
                    "`{shown}` may be one of {}. Which is it?",
                    kinds.len()
                )?;
                for kind in kinds {
                    writeln!(io.err, "  {}", line(kind))?;
                }
                Ok(Outcome::WrongUse)
            }
            Found::Unknown { close } => {
                let meant = if close.is_empty() {
                    "`perchside species` lists the kinds there are".to_owned()
                } else {
                    let close: Vec<String> = close.iter().map(|it| format!("`{it}`")).collect();
                    format!("did you mean {}?", crate::words::either(&close))
                };
                writeln!(
                    io.err,
                    "error: no kind of parrot is called `{shown}`; {meant}"
                )?;
                Ok(Outcome::WrongUse)
            }
        }
    }
}

fn line(kind: &Companion) -> String {
    format!(
        "{:<32} {} ({})",
        kind.key, kind.common_name, kind.scientific_name
    )
}
