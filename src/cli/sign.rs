//! `perchside sign`: a signature, the taking back of one, or a note, as an entry of the record beside the intake.

use std::io;
use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::json;

use crate::decision::decide;
use crate::mistake::Problem;
use crate::papers::engine::Engine;
use crate::record::{
    Added, Chain, Moment, Seal, Signed, Who, note, reasons, record_of, refusals, sign, withdraw,
};
use crate::review::Review;
use crate::source::Source;

use super::{Common, Io, Outcome, house, intake, lines, log, log_book_of, say, speaking};

/// Arguments of `sign`.
#[derive(Debug, Args)]
pub(super) struct Sign {
    /// The filled-in form.
    intake: PathBuf,
    /// Who has read the plan and signs it, takes the signature back, or adds the note.
    #[arg(long, value_name = "NAME")]
    by: String,
    /// Who has read it as well.
    #[arg(long, value_name = "NAME", conflicts_with_all = ["withdraw", "note"])]
    second: Option<String>,
    /// The log that the plan is made with.
    #[arg(long, value_name = "LOG", conflicts_with_all = ["withdraw", "note"])]
    log: Option<PathBuf>,
    /// Take back the signature that stands. The entry stays; a second one says that it counts no more.
    #[arg(long, requires = "why", conflicts_with = "note")]
    withdraw: bool,
    /// Why it is taken back.
    #[arg(long, value_name = "TEXT", requires = "withdraw")]
    why: Option<String>,
    /// Add a note: a correction, an objection, something that was forgotten. It changes nothing of what is signed.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
}

impl Sign {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(house) = house(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let record = record_of(&self.intake);
        let now = io.now.clone();
        let moment = Moment {
            now: &now,
            today: io.today,
        };
        let team = &house.practice.team;
        // A record belongs to an intake that is there; what is wrong with it is no reason against a note.
        if self.withdraw || self.note.is_some() {
            if let Err(problem) = Source::read(&self.intake) {
                say(&[problem], io)?;
                return Ok(Outcome::InputErrors);
            }
            let added = match (&self.note, &self.why) {
                (Some(text), _) => note(&record, moment, team, &self.by, text)?,
                (None, why) => {
                    let why = why.as_deref().unwrap_or_default();
                    withdraw(&record, moment, team, &self.by, why)?
                }
            };
            return told(added, &record, io);
        }
        let who = Who {
            by: &self.by,
            second: self.second.as_deref(),
        };
        let Some(voiced) = speaking(&house, &house.practice.language, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let rulebook = &voiced.rulebook;
        let label = self.intake.display().to_string();
        // Everything that stands against it at once; a broken record is looked at again under the lock.
        let refused = |needed: &[_]| {
            let mut problems = Problem::all_of_file(&label, refusals(team, who, needed));
            problems.extend(
                Chain::read(&record)
                    .err()
                    .map_or_else(Vec::new, |it| it.problems),
            );
            problems
        };
        let Some(intake) = intake(rulebook, &self.intake, io)? else {
            say(&refused(&[]), io)?;
            return Ok(Outcome::InputErrors);
        };
        let read = match &self.log {
            None => None,
            Some(path) => {
                let Some(book) = log_book_of(&house, rulebook, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let Some(log) = log(rulebook, &book, &intake, path, io)? else {
                    say(&refused(&[]), io)?;
                    return Ok(Outcome::InputErrors);
                };
                let review = Review::of(rulebook, &book, &intake.answers, &log, io.today);
                Some((log, review))
            }
        };
        let decision = match &read {
            None => decide(rulebook, &intake.answers, io.today),
            Some((_, review)) => review.decision.clone(),
        };
        let needed = reasons(rulebook, team, &decision);
        let problems = refused(&needed);
        if !problems.is_empty() {
            say(&problems, io)?;
            return Ok(Outcome::InputErrors);
        }
        let logged = read.as_ref().map(|(log, review)| (log, review));
        let covers = Seal::of(&house, rulebook, &intake, (&decision, logged));
        let signed = Signed {
            who,
            covers: covers.clone(),
        };
        let added = sign(&record, moment, signed)?;
        if let Ok(Added::New(entry) | Added::Already(entry)) = &added {
            let context = json!({
                "entry": entry,
                "short": entry.short_hash(),
                "verdict": decision.verdict,
                "needed": needed,
                "measures": decision.landings.len(),
                "referrals": decision.referrals.len(),
            });
            let text = Engine::embedded()
                .render("signed.txt", &context)
                .map_err(io::Error::other)?;
            lines(&text, io)?;
        }
        told(added, &record, io)
    }
}

/// Says what was added.
fn told(added: Result<Added, Vec<Problem>>, record: &Path, io: &mut Io<'_>) -> io::Result<Outcome> {
    match added {
        Ok(Added::New(entry)) => {
            let (number, hash, record) = (entry.number, entry.short_hash(), record.display());
            writeln!(io.err, "entry {number} ({hash}) added to {record}")?;
            Ok(Outcome::Done)
        }
        Ok(Added::Already(entry)) => {
            writeln!(
                io.err,
                "signed already, by the same people and with nothing changed since: entry {} ({}) of {}; nothing was added",
                entry.number,
                entry.short_hash(),
                record.display()
            )?;
            Ok(Outcome::Done)
        }
        Err(problems) => {
            say(&problems, io)?;
            Ok(Outcome::InputErrors)
        }
    }
}
