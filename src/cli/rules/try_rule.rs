//! `perchside rules try`: what one rule would do over some cases.

use std::io;
use std::path::{Path, PathBuf};

use clap::Args;

use crate::decision::examples;
use crate::fingerprint;
use crate::house::{House, Voiced};
use crate::inbox::{Inbox, Input, Item};
use crate::intake::{Checked, Intake};
use crate::library::Library;
use crate::mistake::{Problem, sort};
use crate::papers::engine::Engine;
use crate::papers::trial::{Examples, Tried, trial};
use crate::rulebook::{Care, Rulebook};
use crate::source::Source;
use crate::trial::{Laid, Trial, lay_in, take_out};

use super::{Common, Io, Outcome, Plain, say};

/// Arguments of `rules try`.
#[derive(Debug, Args)]
pub(in crate::cli) struct TryRule {
    /// Filled-in forms, and folders of them.
    #[arg(required = true)]
    intake: Vec<PathBuf>,
    /// The file of the rule or gate. It may lie anywhere.
    #[arg(long, value_name = "FILE")]
    rule: PathBuf,
    /// Text or json.
    #[arg(long, value_enum, default_value = "text")]
    format: Plain,
}

/// A rulebook without a rule and with it.
struct Both {
    before: Voiced,
    after: Voiced,
    id: String,
    laid: Laid,
    /// What the rule brings with it, worth a look.
    warnings: Vec<Problem>,
}

impl TryRule {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let both = match self.both(common, io) {
            Ok(both) => both,
            Err(problems) => {
                say(&problems, io)?;
                return Ok(Outcome::InputErrors);
            }
        };
        let Some(tried) = Trial::of(&both.before.rulebook, &both.after.rulebook, &both.id) else {
            writeln!(
                io.err,
                "error: {} holds a rule that no case can try; rules and gates on the answers of a form can be tried",
                self.rule.display()
            )?;
            return Ok(Outcome::InputErrors);
        };
        let label = self.rule.display().to_string();
        let rulebook = &both.after.rulebook;
        let mut problems = both.warnings;
        let failed = examples::failures(rulebook)
            .into_iter()
            .filter(|problem| problem.place.file == label);
        let of_rule = rulebook.rule(&both.id).map(|rule| rule.examples.len());
        let of_gate = rulebook.gate(&both.id).map(|gate| gate.examples.len());
        let before = problems.len();
        problems.extend(failed);
        let examples = Examples {
            run: of_rule.or(of_gate).unwrap_or(0),
            failed: problems.len() - before,
        };
        sort(&mut problems);
        say(&problems, io)?;
        let (intakes, unread) = self.intakes(rulebook, io)?;
        if intakes.is_empty() {
            if unread == 0 {
                writeln!(io.err, "error: there is no form to try it over")?;
            }
            return Ok(Outcome::InputErrors);
        }
        let cases: Vec<Tried<'_>> = intakes
            .iter()
            .map(|(name, intake)| Tried {
                name,
                intake,
                case: tried.over(intake, io.today),
            })
            .collect();
        let engine = Engine::embedded();
        let (value, text) = trial(&engine, &tried, both.laid, examples, &cases, unread)
            .map_err(io::Error::other)?;
        match self.format {
            Plain::Text => io.out.write_all(text.as_bytes())?,
            Plain::Json => writeln!(io.out, "{value:#}")?,
        }
        Ok(if unread > 0 || examples.failed > 0 {
            Outcome::InputErrors
        } else {
            Outcome::Done
        })
    }

    /// Loads the rulebook in use, and once more with the rule laid in.
    fn both(&self, common: &Common, io: &Io<'_>) -> Result<Both, Vec<Problem>> {
        let base = match &common.rules {
            None => Library::embedded(),
            Some(folder) => Library::folder(folder)?,
        };
        let practice = common.practice.as_deref();
        let mut house = House::open(base, practice, Care::Full, io.today)?;
        let language = house.practice.language.clone();
        let (as_it_is, told) = house.speaking(&language)?;
        let source = Source::read(&self.rule).map_err(|problem| vec![problem])?;
        let (id, laid) = lay_in(&mut house.library, &self.rule, source);
        let (after, mut warnings) = house.speaking(&language)?;
        // What is told of the rulebook without the rule is not the rule's.
        let seen: Vec<String> = told.iter().map(key).collect();
        warnings.retain(|problem| !seen.contains(&key(problem)));
        let mut before = as_it_is;
        if laid == Laid::There {
            take_out(&mut house.library, &id);
            // Without its only gate a way of working stands open, and no such rulebook is loaded.
            if let Ok((without, _)) = house.speaking(&language) {
                before = without;
            }
        }
        Ok(Both {
            before,
            after,
            id,
            laid,
            warnings,
        })
    }

    /// The forms, each with its name, and how many could not be read. Mistakes and warnings are said.
    fn intakes(
        &self,
        rulebook: &Rulebook,
        io: &mut Io<'_>,
    ) -> io::Result<(Vec<(String, Intake)>, usize)> {
        let inputs = self.intake.iter().cloned().map(Input::Path).collect();
        let mut inbox = Inbox::new(&rulebook.questionnaire, inputs, None, None);
        let (mut read, mut unread) = (Vec::new(), 0);
        for item in inbox.by_ref() {
            let named = self
                .intake
                .iter()
                .any(|path| path.as_path() == Path::new(&*item.label));
            let place = item.place();
            match intake(rulebook, item, named, io) {
                Ok(Some((intake, warnings))) => {
                    say(&warnings, io)?;
                    read.push((place, intake));
                }
                // Folders hold other papers too.
                Ok(None) => writeln!(io.err, "passed over: {place}, which is no form")?,
                Err(problems) => {
                    say(&problems, io)?;
                    unread += 1;
                }
            }
        }
        Ok((read, unread))
    }
}

fn key(problem: &Problem) -> String {
    format!(
        "{} {} {}",
        problem.place.file, problem.place.line, problem.mistake
    )
}

/// One form, with its warnings. `None` for a file out of a folder that has no part of a form in it.
fn intake(
    rulebook: &Rulebook,
    item: Item,
    named: bool,
    io: &Io<'_>,
) -> Result<Option<(Intake, Vec<Problem>)>, Vec<Problem>> {
    let source = match &item.text {
        Ok(source) => source.clone(),
        Err(_) => return Err(item.text.err().into_iter().collect()),
    };
    let form = &rulebook.questionnaire;
    let triage = &rulebook.triage;
    if !named {
        // A long paper of a case is no less one for being too long for a form.
        let keys = item.keys(&source);
        let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
        if triage.other_paper(form, &keys).is_some() {
            return Ok(None);
        }
    }
    let read = item.read(&source, |root, places| {
        let keys = root.keys();
        let is_form = keys.iter().any(|key| form.group(key).is_some())
            && triage.other_paper(form, &keys).is_none();
        (named || is_form).then(|| {
            let checked =
                Checked::read(form, &rulebook.vocabulary, &source, root, places, io.today);
            (checked, places())
        })
    })?;
    let Some((checked, places)) = read else {
        return Ok(None);
    };
    if !checked.is_sound() {
        return Err(checked.problems);
    }
    let fingerprint = fingerprint::of(source.text.as_bytes());
    let intake = Intake {
        answers: checked.answers,
        places,
        fingerprint,
        case_file_fingerprint: None,
        source,
    };
    Ok(Some((intake, checked.problems)))
}
