//! `perchside plan`: the papers of one intake. `set.rs` makes and writes files, `redaction.rs` tells what was replaced.

mod redaction;
mod set;

use std::io;
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use jiff::civil::Date;

use crate::decision::decide;
use crate::house::{House, Voiced};
use crate::intake::Intake;
use crate::log::Log;
use crate::mistake::Mistake as _;
use crate::names::{parts, places};
use crate::papers::engine::Engine;
use crate::papers::{Copy, PAPERS, Press, copy_of};
use crate::plan::{Logged, Options, Plan};
use crate::questionnaire::Questionnaire;
use crate::redact::Case;
use crate::review::Review;
use crate::rulebook::{LogBook, Rulebook};
use crate::wording::OWN;
use crate::wording::practice::{find_language, unknown_language};

use self::redaction::account_said;
pub(super) use self::redaction::nothing_left;
use self::set::PaperSet;
use super::{
    Common, Io, Outcome, house, intake, log, log_book_of, overruled_said, say, speaking,
    told_language,
};

/// Every paper.
const ALL: &str = "all";

/// A form a paper takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Markdown.
    Md,
    /// One HTML file.
    Html,
    /// The whole plan as JSON.
    Json,
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
pub(super) struct PlanCommand {
    /// The filled-in form.
    intake: PathBuf,
    /// Write the papers into this folder. Without it one paper goes to standard output.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Plan with what this log tells: new bites, weighings, the step in hand and where the next session starts.
    #[arg(long, value_name = "LOG")]
    log: Option<PathBuf>,
    /// Which paper, or all. Without it, all into a folder, and the household plan to standard output.
    #[arg(long, value_parser = clap::builder::PossibleValuesParser::new(PAPERS.iter().copied().chain([ALL])))]
    paper: Option<String>,
    /// In which forms: md, html, json; several with commas between. Without it, all into a folder, and md to standard output.
    #[arg(long, value_enum, value_delimiter = ',')]
    format: Vec<Format>,
    /// Print on each card what rests on private answers about that person's health. Hand such a card to its person alone.
    #[arg(long)]
    private: bool,
    /// Print people's names on the papers.
    #[arg(long)]
    names: bool,
    /// The language of the household's papers. Without it, the one the form asks for, or the practice's own.
    #[arg(long, value_name = "LANGUAGE")]
    language: Option<String>,
    /// Large print on the household's papers, whether or not the form asks for it.
    #[arg(long)]
    large_print: bool,
    /// Replace names, places, codes and dates, for teaching or a second opinion; nothing is written when one of them is left.
    #[arg(long)]
    redact: bool,
}

/// A plan with what its papers are filled with.
struct Spoken {
    plan: Plan,
    engine: Engine,
    press: Press,
}

impl Spoken {
    fn of(engine: Engine, plan: Plan) -> io::Result<Self> {
        let press = Press::of(&engine, &plan).map_err(io::Error::other)?;
        Ok(Self {
            plan,
            engine,
            press,
        })
    }
}

impl PlanCommand {
    pub(super) fn run(self, common: &Common, io: &mut Io<'_>) -> io::Result<Outcome> {
        let mut formats = self.format.clone();
        formats.dedup();
        if formats.is_empty() {
            formats = if self.out.is_some() {
                vec![Format::Md, Format::Html, Format::Json]
            } else {
                vec![Format::Md]
            };
        }
        let names: Vec<&'static str> = match self.paper.as_deref() {
            Some(ALL) => PAPERS.to_vec(),
            None if self.out.is_some() => PAPERS.to_vec(),
            None => PAPERS[..1].to_vec(),
            Some(wanted) => PAPERS
                .iter()
                .copied()
                .filter(|name| *name == wanted)
                .collect(),
        };
        let whole_set = names.len() == PAPERS.len();
        let papers = formats
            .iter()
            .filter(|format| **format != Format::Json)
            .count()
            * names.len();
        let files = papers + usize::from(formats.contains(&Format::Json));
        if self.out.is_none() && files > 1 {
            writeln!(
                io.err,
                "error: several papers need a folder: add `--out DIR`"
            )?;
            return Ok(Outcome::WrongUse);
        }
        let Some(mut house) = house(common, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let practice = house.practice.clone();
        if self.redact {
            house = house.unnamed();
        }
        let house = house;
        let Some(own) = speaking(&house, &house.practice.language, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let Some(mut intake) = intake(&own.rulebook, &self.intake, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let mut read = match &self.log {
            None => None,
            Some(path) => {
                let Some(book) = log_book_of(&house, &own.rulebook, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                let Some(log) = log(&own.rulebook, &book, &intake, path, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                Some((book, log))
            }
        };
        let Some(language) = self.language(&house, &own.rulebook, &intake, io)? else {
            return Ok(Outcome::WrongUse);
        };
        let mut today = io.today;
        let mut secrets = None;
        if self.redact {
            let logged = read.as_ref().map(|(book, log)| (book, log));
            let texts = house.all_texts();
            let case = match Case::of(&own.rulebook, &intake, logged, today, &practice, &texts) {
                Ok(case) => case,
                Err(problems) => {
                    say(&problems, io)?;
                    return Ok(Outcome::InputErrors);
                }
            };
            account_said(&case, io)?;
            intake = case.intake;
            read = read.zip(case.log).map(|((book, _), log)| (book, log));
            today = case.today;
            secrets = Some((case.secrets, texts));
        }
        // Each language that a paper is printed in: the household's, the practice's, and the one the rulebook is written in.
        let mut voices = vec![own];
        for wanted in [language.as_str(), OWN] {
            if voices.iter().all(|voiced| voiced.voice.language != wanted) {
                let Some(voiced) = speaking(&house, wanted, io)? else {
                    return Ok(Outcome::InputErrors);
                };
                voices.push(voiced);
            }
        }
        let options = Options {
            names: self.names,
            private: self.private,
            large_print: self.large_print || house.practice.large_print,
            sign_read_from_cm: Some(house.practice.sign_distance_cm),
            without_work: !names.contains(&"consultant") && !formats.contains(&Format::Json),
        };
        words_said(&house, &voices, &language, io)?;
        let spoken: Vec<Spoken> = voices
            .iter()
            .map(|voiced| {
                let plan = planned(&voiced.rulebook, &intake, read.as_ref(), today, options);
                Spoken::of(Engine::speaking(&house, voiced), plan)
            })
            .collect::<io::Result<_>>()?;
        let speaks = |id: &str| spoken.iter().find(|it| it.engine.tongue.id == id);
        let first = &spoken[0];
        overruled_said(&first.plan.departures.of_case, &self.intake, io)?;
        let household = speaks(&language).unwrap_or(first);
        if !self.names {
            names_said(&first.plan, &intake, &voices[0].rulebook.questionnaire, io)?;
        }
        let mut set = PaperSet::new(&formats, self.out.is_some());
        for name in names {
            // A paper that a language does not have yet is printed in the rulebook's own. The household's says so.
            let wanted = if copy_of(name) == Copy::Household {
                household
            } else {
                first
            };
            let (voice, mut notice) = if wanted.engine.tongue.has_paper(name) {
                (wanted, None)
            } else {
                let tongue = &wanted.engine.tongue;
                let voice = speaks(OWN).unwrap_or(first);
                if voice.engine.tongue.id == tongue.id {
                    (voice, None)
                } else {
                    writeln!(
                        io.err,
                        "warning: the paper `{name}` is not in {} yet; it is printed in {}, and says so",
                        tongue.in_english, voice.engine.tongue.in_english
                    )?;
                    (voice, Some(tongue.word("paper-not-yet").to_owned()))
                }
            };
            if self.redact {
                let redacted = voice.engine.tongue.word("redacted-paper");
                notice = Some(notice.map_or_else(
                    || redacted.to_owned(),
                    |notice| format!("{notice} {redacted}"),
                ));
            }
            set.add(voice, name, notice)?;
        }
        set.finish(first, household)?;
        if let Some((secrets, texts)) = &secrets
            && !nothing_left(secrets, &set.files, texts, io)?
        {
            return Ok(Outcome::InputErrors);
        }
        let Some(folder) = &self.out else {
            for (_, text) in &set.files {
                io.out.write_all(text.as_bytes())?;
            }
            return Ok(Outcome::Done);
        };
        set.write(folder, whole_set, io)?;
        Ok(Outcome::Done)
    }

    /// The language of the household's papers; nothing when the one asked for on the command line is not there.
    fn language(
        &self,
        house: &House,
        rulebook: &Rulebook,
        intake: &Intake,
        io: &mut Io<'_>,
    ) -> io::Result<Option<String>> {
        if let Some(text) = &self.language {
            let found = find_language(&house.library, text);
            if found.is_none() {
                let mistake = unknown_language(&house.library, text);
                writeln!(io.err, "error: {mistake}; {}", mistake.advice())?;
            }
            return Ok(found);
        }
        told_language(house, rulebook, intake, io).map(Some)
    }
}

/// The plan in the words of one rulebook. Words change no decision; each language decides anew so that its trace speaks it.
fn planned(
    rulebook: &Rulebook,
    intake: &Intake,
    read: Option<&(LogBook, Log)>,
    today: Date,
    options: Options,
) -> Plan {
    match read {
        None => {
            let decision = decide(rulebook, &intake.answers, today);
            Plan::of(rulebook, intake, &decision, options)
        }
        Some((book, log)) => {
            let review = Review::of(rulebook, book, &intake.answers, log, today);
            let logged = Logged {
                review: &review,
                log,
            };
            Plan::with_log(rulebook, intake, logged, options)
        }
    }
}

/// Says which words are the practice's own, and which sentences are missing in the household's language.
fn words_said(house: &House, voices: &[Voiced], language: &str, io: &mut Io<'_>) -> io::Result<()> {
    let mut own: Vec<String> = Vec::new();
    for voiced in voices {
        own.extend(voiced.spoken.replaced.iter().cloned());
        let missing = &voiced.spoken.missing;
        if voiced.voice.language == language && !missing.is_empty() {
            writeln!(
                io.err,
                "warning: {} sentences are not in {} yet and are printed in English, marked: {}",
                missing.len(),
                voiced.rulebook.tongue.in_english,
                missing.join(", ")
            )?;
        }
    }
    let templates = house.templates.own();
    own.extend(templates.map(|(name, _)| format!("templates/{name}")));
    own.sort();
    own.dedup();
    if !own.is_empty() {
        writeln!(io.err, "the practice's own words: {}", own.join(", "))?;
    }
    Ok(())
}

/// Says where a name of the list of people is about to be printed: notes and the case's code are printed as written.
fn names_said(
    plan: &Plan,
    intake: &Intake,
    questionnaire: &Questionnaire,
    io: &mut Io<'_>,
) -> io::Result<()> {
    let Some((people, question)) = questionnaire.find("people.name") else {
        return Ok(());
    };
    let told: Vec<&str> = (0..intake.answers.entries(people).map_or(0, <[_]>::len))
        .filter_map(|item| intake.answers.text(people, Some(item), question))
        .collect();
    let holds = |text: &str| {
        told.iter().any(|name| {
            std::iter::once(*name)
                .chain(parts(name))
                .any(|name| !places(text, name).is_empty())
        })
    };
    let mut named: Vec<String> = plan
        .notes
        .iter()
        .filter(|(section, text)| *section != "colleagues" && *section != "vet" && holds(text))
        .map(|(section, _)| format!("notes.{section}"))
        .collect();
    if plan.reference.as_deref().is_some_and(holds) {
        named.push("case.reference".to_owned());
    }
    if !named.is_empty() {
        writeln!(
            io.err,
            "warning: these name someone of the list of people and are printed as written: {}",
            named.join(", ")
        )?;
    }
    Ok(())
}
