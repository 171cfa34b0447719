//! `perchside plan`: the papers of one intake.

use std::io;
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use jiff::civil::Date;

use crate::decision::decide;
use crate::intake::Intake;
use crate::log::Log;
use crate::mistake::Mistake as _;
use crate::papers::engine::Engine;
use crate::papers::{Copy, Listed, PAPERS, Paper, copy_of, drawings, index, listed, plan_json};
use crate::plan::{Logged, Options, Plan};
use crate::redact::{Case, Secret, leaks};
use crate::review::Review;
use crate::rulebook::{LogBook, Rulebook};
use crate::wording::practice::{find_language, unknown_language};
use crate::wording::{House, Voiced};

use super::output::write_whole;
use super::{Common, Io, Outcome, house, intake, log, log_book, say, speaking};

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
                let Some(book) = log_book(common, &own.rulebook, io)? else {
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
            let case = match Case::of(&own.rulebook, &intake, logged, today, &texts) {
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
        let other = if language == house.practice.language {
            None
        } else {
            let Some(voiced) = speaking(&house, &language, io)? else {
                return Ok(Outcome::InputErrors);
            };
            Some(voiced)
        };
        let options = Options {
            names: self.names,
            private: self.private,
            large_print: self.large_print || house.practice.large_print,
            sign_read_from_cm: Some(house.practice.sign_distance_cm),
            without_work: !names.contains(&"consultant") && !formats.contains(&Format::Json),
        };
        let spoken = |voiced: &Voiced| Spoken {
            plan: planned(&voiced.rulebook, &intake, read.as_ref(), today, options),
            engine: Engine::speaking(&house, voiced),
        };
        let professional = spoken(&own);
        let household = other.as_ref().map(spoken);
        words_said(&house, &own, other.as_ref(), io)?;
        let mut set = PaperSet::new(&formats, self.out.is_some());
        for name in names {
            // A paper that a language does not have yet is printed in the practice's own, and says so.
            let (voice, notice) = match household
                .as_ref()
                .filter(|_| copy_of(name) == Copy::Household)
            {
                None => (&professional, None),
                Some(it) if it.engine.tongue.has_paper(name) => (it, None),
                Some(it) => {
                    let tongue = &it.engine.tongue;
                    writeln!(
                        io.err,
                        "warning: the paper `{name}` is not in {} yet; it is printed in {}, and says so",
                        tongue.in_english, professional.engine.tongue.in_english
                    )?;
                    (&professional, Some(tongue.word("paper-not-yet").to_owned()))
                }
            };
            set.add(voice, name, notice)?;
        }
        set.finish(&professional, household.as_ref().unwrap_or(&professional))?;
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
        for (name, text) in &set.files {
            let path = folder.join(name);
            write_whole(&path, text)?;
            writeln!(io.err, "wrote {}", path.display())?;
        }
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
        let own = house.practice.language.clone();
        let told = rulebook
            .questionnaire
            .find("case.language")
            .and_then(|(group, question)| intake.answers.text(group, None, question));
        let Some(text) = told else {
            return Ok(Some(own));
        };
        let found = find_language(&house.library, text);
        if found.is_none() {
            let mistake = unknown_language(&house.library, text);
            writeln!(
                io.err,
                "warning: {mistake}; {}. The household reads best in another language: find someone who can read the papers with them",
                mistake.advice()
            )?;
        }
        Ok(Some(found.unwrap_or(own)))
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

/// Says what a redaction replaced, without repeating it.
fn account_said(case: &Case, io: &mut Io<'_>) -> io::Result<()> {
    let account = &case.account;
    for (stand_in, (question, count)) in &account.replaced {
        let times = if *count == 1 { "answer" } else { "answers" };
        writeln!(
            io.err,
            "replaced: {question} by {stand_in}, in {count} {times}"
        )?;
    }
    writeln!(
        io.err,
        "replaced: {} dates, all moved by the same number of days; {} numbers, addresses or dates in running text were left out",
        account.dates, account.left_out
    )?;
    if !account.kept.is_empty() {
        writeln!(
            io.err,
            "kept, with known names taken out; a second person reads these before they leave the house: {}",
            account.kept.join(", ")
        )?;
    }
    if !case.differs.is_empty() {
        writeln!(
            io.err,
            "warning: without place and whole dates these come out another way than in the real case: {}",
            case.differs.join(", ")
        )?;
    }
    Ok(())
}

/// True when no paper holds what was to be replaced. A word that the papers' own texts have too is said, for someone to look.
fn nothing_left(
    secrets: &[Secret],
    files: &[(String, String)],
    texts: &str,
    io: &mut Io<'_>,
) -> io::Result<bool> {
    let papers = files
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()));
    let mut clean = true;
    for leak in leaks(secrets, papers, texts) {
        if leak.ordinary {
            writeln!(
                io.err,
                "look at it: {} holds a word told to {}, which is also an ordinary word of the papers",
                leak.file, leak.question
            )?;
        } else {
            clean = false;
            writeln!(
                io.err,
                "error: {} still holds what was told to {}; nothing was written",
                leak.file, leak.question
            )?;
        }
    }
    Ok(clean)
}

/// Says which words are the practice's own, and which sentences are missing in the household's language.
fn words_said(
    house: &House,
    own: &Voiced,
    other: Option<&Voiced>,
    io: &mut Io<'_>,
) -> io::Result<()> {
    let mut replaced: Vec<&str> = own.spoken.replaced.iter().map(String::as_str).collect();
    if let Some(other) = other {
        replaced.extend(other.spoken.replaced.iter().map(String::as_str));
        let missing = &other.spoken.missing;
        if !missing.is_empty() {
            writeln!(
                io.err,
                "warning: {} sentences are not in {} yet and are printed in {}, marked: {}",
                missing.len(),
                other.rulebook.tongue.in_english,
                own.rulebook.tongue.in_english,
                missing.join(", ")
            )?;
        }
    }
    let templates: Vec<String> = house
        .templates
        .own()
        .map(|(name, _)| format!("templates/{name}"))
        .collect();
    replaced.extend(templates.iter().map(String::as_str));
    if !replaced.is_empty() {
        writeln!(io.err, "the practice's own words: {}", replaced.join(", "))?;
    }
    Ok(())
}

/// The files of one run: all made before any is written.
struct PaperSet<'a> {
    formats: &'a [Format],
    in_folder: bool,
    listed: Vec<Listed>,
    files: Vec<(String, String)>,
}

impl<'a> PaperSet<'a> {
    fn new(formats: &'a [Format], in_folder: bool) -> Self {
        Self {
            formats,
            in_folder,
            listed: Vec::new(),
            files: Vec::new(),
        }
    }

    fn add(
        &mut self,
        voice: &Spoken,
        name: &'static str,
        notice: Option<String>,
    ) -> io::Result<()> {
        let (engine, plan) = (&voice.engine, &voice.plan);
        let mut paper = Paper::of(engine, plan, name).map_err(io::Error::other)?;
        paper.notice = notice;
        let singles = if self.in_folder {
            paper.single_cards()
        } else {
            Vec::new()
        };
        let papers: Vec<Paper> = std::iter::once(paper).chain(singles).collect();
        for paper in &papers {
            let folder = paper.copy.folder();
            for format in self.formats {
                let (end, text) = match format {
                    Format::Md => ("md", paper.markdown()),
                    Format::Html => ("html", paper.html(engine, plan).map_err(io::Error::other)?),
                    Format::Json => continue,
                };
                self.files
                    .push((format!("{folder}/{}.{end}", paper.name), text));
            }
        }
        self.listed
            .extend(listed(engine, plan, &papers).map_err(io::Error::other)?);
        Ok(())
    }

    /// The plan as JSON, the drawings, and the pages that lead to the papers.
    fn finish(&mut self, professional: &Spoken, household: &Spoken) -> io::Result<()> {
        if self.formats.contains(&Format::Json) {
            let text = plan_json(&professional.plan);
            self.files.push(("professional/plan.json".to_owned(), text));
        }
        if !self.in_folder {
            return Ok(());
        }
        let drawn = drawings(&household.engine, &household.plan, true).map_err(io::Error::other)?;
        for drawing in drawn {
            self.files
                .push((format!("household/{}.svg", drawing.name), drawing.svg));
        }
        if self.formats.contains(&Format::Html) {
            let of_household: Vec<&Listed> = self
                .listed
                .iter()
                .filter(|paper| paper.copy == Copy::Household)
                .collect();
            let all: Vec<&Listed> = self.listed.iter().collect();
            let pages = [
                ("household/index.html", household, of_household, ""),
                ("index.html", professional, all, "folders"),
            ];
            for (path, voice, papers, folders) in pages {
                let page = index(&voice.engine, &voice.plan, &papers, !folders.is_empty())
                    .map_err(io::Error::other)?;
                if !papers.is_empty() {
                    self.files.push((path.to_owned(), page));
                }
            }
        }
        Ok(())
    }
}
