//! `perchside compare`: two cases side by side.

use std::io;
use std::path::PathBuf;

use clap::Args;

use crate::compare::page::{self, Form};
use crate::compare::pair::{Case, Pair};
use crate::decision::{Decision, decide};
use crate::intake::Intake;
use crate::papers::engine::Engine;
use crate::plan::{Options, Plan};
use crate::redact;
use crate::rulebook::Rulebook;

use super::output::write_whole;
use super::plan::nothing_left;
use super::{Common, Io, Outcome, house, intake, say, speaking};

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub(super) struct CompareCommand {
    /// The form of the first case.
    a: PathBuf,
    /// The form of the second case.
    b: PathBuf,
    /// Text, md or json. Without it, as the name of `--out` says; else text.
    #[arg(long, value_enum)]
    format: Option<Form>,
    /// Write the page into this file.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Print names, places, codes and dates as they were told. Without it, they are replaced.
    #[arg(long)]
    names: bool,
    /// Print the answers that are alike, too.
    #[arg(long)]
    all: bool,
}

/// A case read and decided, with the plan its answers are printed from.
struct Made {
    label: String,
    intake: Intake,
    decision: Decision,
    plan: Plan,
    shown: Plan,
}

impl Made {
    fn of(
        rulebook: &Rulebook,
        label: String,
        intake: Intake,
        redacted: Option<&redact::Case>,
        today: jiff::civil::Date,
    ) -> Self {
        let options = Options {
            without_work: true,
            names: redacted.is_none(),
            ..Options::default()
        };
        let decision = decide(rulebook, &intake.answers, today);
        let plan = Plan::of(rulebook, &intake, &decision, options);
        let shown = match redacted {
            None => plan.clone(),
            Some(case) => {
                let decision = decide(rulebook, &case.intake.answers, case.today);
                Plan::of(rulebook, &case.intake, &decision, options)
            }
        };
        Self {
            label,
            intake,
            decision,
            plan,
            shown,
        }
    }

    fn case(&self) -> Case<'_> {
        Case {
            label: &self.label,
            answers: &self.intake.answers,
            decision: &self.decision,
            plan: &self.plan,
            shown: &self.shown,
        }
    }
}

impl CompareCommand {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let Some(mut house) = house(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let practice = house.practice.clone();
        if !self.names {
            house = house.unnamed();
        }
        let Some(voiced) = speaking(&house, &house.practice.language, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let rulebook = &voiced.rulebook;
        // Both are read before either is given up, so that the mistakes of both are said.
        let (a, b) = (
            intake(rulebook, &self.a, io)?,
            intake(rulebook, &self.b, io)?,
        );
        let (Some(a), Some(b)) = (a, b) else {
            return Ok(Outcome::InputErrors);
        };
        let texts = house.all_texts();
        let mut secrets = Vec::new();
        let mut made = Vec::new();
        for (intake, letter, path) in [(a, "A", &self.a), (b, "B", &self.b)] {
            if self.names {
                let label = told(rulebook, &intake, "case.reference");
                let label = label.unwrap_or_else(|| path.display().to_string());
                made.push(Made::of(rulebook, label, intake, None, io.today));
                continue;
            }
            let case = redact::Case::of(rulebook, &intake, None, io.today, &practice, &texts);
            let case = match case {
                Ok(case) => case,
                Err(problems) => {
                    say(&problems, io)?;
                    return Ok(Outcome::InputErrors);
                }
            };
            let label = letter.to_owned();
            made.push(Made::of(rulebook, label, intake, Some(&case), io.today));
            secrets.extend(case.secrets);
        }
        let [a, b] = made.as_slice() else {
            return Ok(Outcome::InputErrors);
        };
        let pair = Pair::of(rulebook, a.case(), b.case(), self.all, !self.names);
        let engine = Engine::speaking(&house, &voiced);
        let text = page::pair(&pair, &engine, self.form()).map_err(io::Error::other)?;
        let page = [("the comparison".to_owned(), text)];
        if !nothing_left(&secrets, &page, &texts, io)? {
            return Ok(Outcome::InputErrors);
        }
        if !self.names {
            writeln!(
                io.err,
                "names, places, codes and dates are replaced; a second person reads answers in free text before they leave the house"
            )?;
        }
        let [(_, text)] = page;
        match &self.out {
            Some(path) => write_whole(path, &text)?,
            None => io.out.write_all(text.as_bytes())?,
        }
        Ok(Outcome::Done)
    }

    fn form(&self) -> Form {
        self.format.unwrap_or_else(|| {
            let ending = self.out.as_deref().and_then(std::path::Path::extension);
            Form::of_ending(ending.and_then(|ending| ending.to_str()))
        })
    }
}

fn told(rulebook: &Rulebook, intake: &Intake, question: &str) -> Option<String> {
    let (group, question) = rulebook.questionnaire.find(question)?;
    let text = intake.answers.text(group, None, question)?;
    Some(text.to_owned())
}
