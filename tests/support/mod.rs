//! What the tests share: the embedded rulebook, and random intakes made from the questionnaire itself.
#![allow(dead_code, unreachable_pub, missing_docs)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fmt::Write as _;
use std::sync::OnceLock;

use jiff::ToSpan;
use jiff::civil::{Date, date};
use perchside::answers::Answers;
use perchside::decision::{Decision, Truths, Verdict, decide, verdict};
use perchside::facts::Facts;
use perchside::intake::Intake;
use perchside::library::Library;
use perchside::questionnaire::{Kind, Question, Questionnaire};
use perchside::rulebook::{Care, LogBook, Rulebook};
use perchside::source::Source;
use perchside::units::Unit;

/// The day of the tests.
pub const TODAY: Date = date(2026, 11, 25);

/// The rulebook inside the program.
pub fn rulebook() -> &'static Rulebook {
    static RULEBOOK: OnceLock<Rulebook> = OnceLock::new();
    RULEBOOK.get_or_init(|| {
        Rulebook::load(&Library::embedded(), Care::Trusted)
            .expect("the embedded rulebook loads")
            .0
    })
}

/// The part of it that reads logs.
pub fn log_book() -> &'static LogBook {
    static BOOK: OnceLock<LogBook> = OnceLock::new();
    BOOK.get_or_init(
        || match LogBook::load(&Library::embedded(), &rulebook().tables, Care::Full) {
            Ok((book, _)) => book,
            Err(problems) => panic!("{}", perchside::mistake::render(&problems, false)),
        },
    )
}

/// Reads an intake that must be free of errors.
pub fn intake(yaml: &str) -> Intake {
    match Intake::read(
        &rulebook().questionnaire,
        &rulebook().vocabulary,
        Source::new("test", yaml),
        TODAY,
    ) {
        Ok((intake, _)) => intake,
        Err(problems) => panic!("{}\n{yaml}", perchside::mistake::render(&problems, false)),
    }
}

/// Decides an intake.
pub fn decided(yaml: &str) -> (Intake, Decision) {
    let intake = intake(yaml);
    let decision = decide(rulebook(), &intake.answers, TODAY);
    (intake, decision)
}

/// The verdict alone, from answers.
pub fn verdict_of(answers: &Answers) -> Verdict {
    let rulebook = rulebook();
    let facts = Facts::of(
        &rulebook.questionnaire,
        &rulebook.vocabulary,
        answers,
        TODAY,
    );
    verdict(rulebook, &Truths::of(rulebook, &facts))
}

/// Small numbers that look random and are the same for the same seed (SplitMix64, public domain).
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    /// True in so many of a hundred cases.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for at in (1..items.len()).rev() {
            items.swap(at, self.below(at + 1));
        }
    }
}

/// A filled-in form: for each group its answers, or a list of blocks.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    pub groups: Vec<(String, Part)>,
}

/// The answers of one group: question and text as written.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    Once(Vec<(String, String)>),
    Many(Vec<Vec<(String, String)>>),
}

/// How lengths are written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lengths {
    Metric,
    Inches,
}

impl Form {
    /// A form filled in at random: sometimes nearly blank, sometimes nearly full.
    pub fn random(questionnaire: &Questionnaire, seed: u64) -> Self {
        Self::random_in(questionnaire, seed, Lengths::Metric)
    }

    pub fn random_in(questionnaire: &Questionnaire, seed: u64, lengths: Lengths) -> Self {
        let mut random = Random(seed);
        let filled = [10, 40, 75, 95, 100][random.below(5)];
        let people = random.below(4);
        let names: Vec<String> = (0..people).map(|at| format!("person-{}", at + 1)).collect();
        let mut groups = Vec::new();
        for group in &questionnaire.groups {
            if !random.chance(filled.max(60)) {
                continue;
            }
            let block = |random: &mut Random, name: Option<&String>| -> Vec<(String, String)> {
                group
                    .questions
                    .iter()
                    .filter_map(|question| {
                        if let (Some(name), "name") = (name, question.id.as_str()) {
                            return Some((question.id.clone(), name.clone()));
                        }
                        if !random.chance(filled) {
                            return None;
                        }
                        let text = if random.chance(4) {
                            "unknown".to_owned()
                        } else {
                            answer(question, &names, random, lengths)
                        };
                        Some((question.id.clone(), text))
                    })
                    .collect()
            };
            let part = if group.repeats.is_some() {
                let count = if group.id == "people" {
                    people
                } else {
                    random.below(4)
                };
                Part::Many(
                    (0..count)
                        .map(|at| {
                            let name = (group.id == "people").then(|| &names[at]);
                            block(&mut random, name)
                        })
                        .filter(|block| !block.is_empty())
                        .collect(),
                )
            } else {
                Part::Once(block(&mut random, None))
            };
            groups.push((group.id.clone(), part));
        }
        Self { groups }.settled()
    }

    /// The form without answers that no bird or person can have together: those are another test's matter.
    fn settled(mut self) -> Self {
        loop {
            let read = Intake::read(
                &rulebook().questionnaire,
                &rulebook().vocabulary,
                Source::new("test", self.yaml()),
                TODAY,
            );
            let Err(problems) = read else { return self };
            let unfit: Vec<usize> = problems
                .iter()
                .filter(|problem| {
                    ["figure-does-not-fit", "counts-contradict"].contains(&problem.mistake.name())
                })
                .map(|problem| problem.place.line)
                .collect();
            if unfit.is_empty() {
                return self;
            }
            self.without_lines(&unfit);
        }
    }

    /// Makes the answers unknown that stand on these lines of [`Form::yaml`].
    fn without_lines(&mut self, lines: &[usize]) {
        let mut line = 0;
        let mut settle = |fields: &mut Vec<(String, String)>| {
            for (_, text) in fields {
                line += 1;
                // Unknown, not left out, so that no block goes missing.
                if lines.contains(&line) {
                    *text = "unknown".to_owned();
                }
            }
        };
        for (_, part) in &mut self.groups {
            // The line of the group itself.
            settle(&mut vec![(String::new(), String::new())]);
            match part {
                Part::Once(fields) => settle(fields),
                Part::Many(blocks) => blocks.iter_mut().for_each(&mut settle),
            }
        }
    }

    /// The form as YAML.
    pub fn yaml(&self) -> String {
        let mut out = String::new();
        for (group, part) in &self.groups {
            match part {
                Part::Once(fields) if fields.is_empty() => {
                    let _ = writeln!(out, "{group}:");
                }
                Part::Once(fields) => {
                    let _ = writeln!(out, "{group}:");
                    for (id, text) in fields {
                        let _ = writeln!(out, "  {id}: {text}");
                    }
                }
                Part::Many(blocks) if blocks.is_empty() => {
                    let _ = writeln!(out, "{group}: []");
                }
                Part::Many(blocks) => {
                    let _ = writeln!(out, "{group}:");
                    for block in blocks {
                        for (at, (id, text)) in block.iter().enumerate() {
                            let lead = if at == 0 { "  - " } else { "    " };
                            let _ = writeln!(out, "{lead}{id}: {text}");
                        }
                    }
                }
            }
        }
        if out.is_empty() {
            out.push_str("bird:\n");
        }
        out
    }
}

/// What people write for the kind of bird: known, several, a cross, outside the table, unknown.
const KINDS: &[&str] = &[
    "cockatiel",
    "galah",
    "sun conure",
    "scarlet macaw",
    "umbrella cockatoo",
    "budgie",
    "conure",
    "mini macaw",
    "sun conure x jenday conure",
    "hybrid",
    "Amazona vittata",
    "a green one",
];

/// What people write for the place.
const REGIONS: &[&str] = &[
    "Sweden",
    "Zurich, Switzerland",
    "Germany",
    "Queensland",
    "Wales",
    "Oregon, USA",
    "somewhere",
];

fn answer(question: &Question, names: &[String], random: &mut Random, lengths: Lengths) -> String {
    let choices = question.choices.len();
    match question.kind {
        Kind::YesNo => ["yes", "no"][random.below(2)].to_owned(),
        Kind::Choice | Kind::Level => {
            perchside::yaml::quoted(&question.choices[random.below(choices)].id)
        }
        Kind::Choices => {
            if let Some(alone) = question.alone
                && random.chance(40)
            {
                return format!("[{}]", perchside::yaml::quoted(&question.choices[alone].id));
            }
            let mut chosen: Vec<String> = Vec::new();
            for (at, choice) in question.choices.iter().enumerate() {
                if Some(at) != question.alone && random.chance(25) {
                    chosen.push(perchside::yaml::quoted(&choice.id));
                }
            }
            if chosen.is_empty() {
                let at = (0..choices)
                    .find(|at| Some(*at) != question.alone)
                    .unwrap_or(0);
                chosen.push(perchside::yaml::quoted(&question.choices[at].id));
            }
            format!("[{}]", chosen.join(", "))
        }
        Kind::Number(unit) => number(question, unit, random, lengths),
        Kind::Date => {
            // A bird that came home lately contradicts its age; that is another test's matter.
            if question.id == "home-since" {
                return "2026".to_owned();
            }
            let day = TODAY
                .checked_sub((random.below(500) as i32).days())
                .unwrap();
            match random.below(6) {
                0 => format!("{:04}-{:02}", day.year(), day.month()),
                1 => format!("{:04}", day.year()),
                2 if question.time => format!("{day} {:02}:30", random.below(24)),
                3 if question.time => format!("{day}T23:59:30.5-03:30"),
                _ => day.to_string(),
            }
        }
        Kind::Text if question.id == "species" => KINDS[random.below(KINDS.len())].to_owned(),
        Kind::Text if question.id == "region" => REGIONS[random.below(REGIONS.len())].to_owned(),
        Kind::Text if question.id == "person" && !names.is_empty() => {
            names[random.below(names.len())].clone()
        }
        Kind::Text => ["plain words", "\"a: b # c\"", "ünï", "'**x**'"][random.below(4)].to_owned(),
    }
}

fn number(question: &Question, unit: Unit, random: &mut Random, lengths: Lengths) -> String {
    let (min, max) = (question.min, question.max);
    // Numbers near the low end matter as much as large ones.
    let share = random.below(1001) as f64 / 1000.0;
    let share = if random.chance(50) {
        share * share * share
    } else {
        share
    };
    let number = min + (max - min) * share;
    match unit {
        Unit::Centimetres | Unit::Millimetres => {
            let per_inch = if unit == Unit::Centimetres {
                2.54
            } else {
                25.4
            };
            // Whole hundredths of an inch can be written exactly either way.
            let inches = ((number / per_inch) * 100.0).floor() / 100.0;
            let inches = inches.max((min / per_inch * 100.0).ceil() / 100.0);
            match lengths {
                Lengths::Inches => format!("{inches:.2} in"),
                Lengths::Metric => format!("{:.4} {}", inches * per_inch, unit.label()),
            }
        }
        Unit::Count => format!("{:.0}", number.round()),
        _ => format!("{:.1} {}", number.floor(), unit.label()).replace(".0 ", " "),
    }
}
