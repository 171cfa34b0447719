//! `perchside blank`: a fresh form, as a text file or as a page, or a schema of it.

use std::io;

use clap::{Args, ValueEnum};

use crate::papers::engine::Engine;
use crate::papers::{form, schema, web_form};
use crate::questionnaire;

use super::{Common, Io, Outcome, rulebook};

/// Which questions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Tier {
    /// The few asked at first contact.
    Enquiry,
    /// The full form.
    Intake,
    /// The full form and what the consultant measures at the visit.
    Visit,
}

/// Arguments of `blank`.
#[derive(Debug, Args)]
pub(super) struct Blank {
    /// Which questions: the short enquiry, the full intake, or all with the consultant's own.
    #[arg(long, value_enum, default_value = "visit")]
    tier: Tier,
    /// Write a JSON Schema of the form instead, for an editor that completes and checks.
    #[arg(long, conflicts_with = "tier")]
    schema: bool,
    /// Write the form as one HTML page instead, to fill in with a browser and no network.
    #[arg(long, conflicts_with_all = ["schema", "with_schema"])]
    form: bool,
    /// Name a schema file in the first line of the form, for editors that look for one.
    #[arg(long, value_name = "FILE")]
    with_schema: Option<String>,
}

impl Blank {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(rulebook) = rulebook(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        if self.schema {
            writeln!(io.out, "{:#}", schema::schema(&rulebook.questionnaire))?;
            return Ok(Outcome::Done);
        }
        let tier = match self.tier {
            Tier::Enquiry => questionnaire::Tier::Enquiry,
            Tier::Intake => questionnaire::Tier::Intake,
            Tier::Visit => questionnaire::Tier::Visit,
        };
        let engine = Engine::embedded();
        let text = if self.form {
            web_form::web_form(&engine, &rulebook.questionnaire, &rulebook.vocabulary, tier)
        } else {
            form::blank(
                &engine,
                &rulebook.questionnaire,
                tier,
                self.with_schema.as_deref(),
            )
        }
        .map_err(io::Error::other)?;
        io.out.write_all(text.as_bytes())?;
        Ok(Outcome::Done)
    }
}
