//! `perchside rules schema`: a schema of one kind of file.

use std::io;

use clap::{Args, ValueEnum};

use crate::papers::schema::{FileKind, of_file};

use super::{Common, Io, Outcome, house, speaking};

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// A rule.
    Rule,
    /// A gate.
    Gate,
    /// A measure.
    Measure,
    /// A group of questions.
    Question,
    /// A departure of a practice from a shipped rule.
    Departure,
    /// `practice.yaml`.
    Practice,
}

/// Arguments of `rules schema`.
#[derive(Debug, Args)]
pub(in crate::cli) struct Schema {
    /// What kind of file it is for.
    kind: Kind,
}

impl Schema {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(house) = house(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(voiced) = speaking(&house, &house.practice.language, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let kind = match self.kind {
            Kind::Rule => FileKind::Rule,
            Kind::Gate => FileKind::Gate,
            Kind::Measure => FileKind::Measure,
            Kind::Question => FileKind::Question,
            Kind::Departure => FileKind::Departure,
            Kind::Practice => FileKind::Practice,
        };
        let schema = of_file(kind, &voiced.rulebook, &house.library);
        writeln!(io.out, "{schema:#}")?;
        Ok(Outcome::Done)
    }
}
