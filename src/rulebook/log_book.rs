//! What a log is read and judged with: its questions, its facts, the rules of the next step and what they ask to look at.
//! Loaded apart from the rest: most commands need none of it.

use std::borrow::Cow;

use jiff::civil::Date;

use crate::answers;
use crate::facts::{Facts, LOG_FACTS, Vocabulary};
use crate::fields::{Fields, File};
use crate::language::{FactRef, Truth, parse};
use crate::library::{Library, document_without};
use crate::log::NEEDED;
use crate::mistake::{Place, Problem, sort};
use crate::mistakes::data::{
    IdNotFileName, IdUsedTwice, QuestionDoesNotFit, UnknownWord, WrongKind,
};
use crate::mistakes::rulebook::{CheckUnused, ExampleFails, ExampleMissing, RuleWithoutOutcome};
use crate::questionnaire::{Group, Question, Questionnaire, load as load_questionnaire};
use crate::tree::{Node, Path};
use crate::words::closest;

use super::next::{After, Begin, Cap, Check, NextExample, NextRule, NextThen, Tell, Work};
use super::rule::ExampleKind;
use super::tables::Tables;
use super::{Care, check};

/// The part of a rulebook that reads logs.
#[derive(Debug)]
pub struct LogBook {
    /// The questions of the log.
    pub questionnaire: Questionnaire,
    /// What the rules of the next step can speak of.
    pub vocabulary: Vocabulary,
    /// The place of each of [`LOG_FACTS`].
    pub places: Vec<FactRef>,
    /// The rules, in the order of their ids.
    pub rules: Vec<NextRule>,
    /// What is looked at, in order.
    pub checks: Vec<Check>,
}

impl LogBook {
    /// Loads it, giving what was found wrong along with it.
    ///
    /// # Errors
    /// All problems, when at least one of them is an error.
    pub fn load(
        library: &Library,
        tables: &Tables,
        care: Care,
    ) -> Result<(Self, Vec<Problem>), Vec<Problem>> {
        let as_written;
        let library = if care == Care::Full {
            as_written = library.as_written();
            &as_written
        } else {
            library
        };
        let mut problems = Vec::new();
        let questionnaire = load_questionnaire(library, "log", &mut problems);
        needed(&questionnaire, library, &mut problems);
        let (vocabulary, found) =
            Vocabulary::of_log(library, &questionnaire, LOG_FACTS, &mut problems);
        for ((name, _), place) in LOG_FACTS.iter().zip(&found) {
            if place.is_none() && problems.is_empty() {
                problems.push(Problem::of_file(
                    &format!("{}/log-facts.yaml", library.label),
                    QuestionDoesNotFit {
                        id: (*name).to_owned(),
                        why: "the program works it out, and the file does not tell of it"
                            .to_owned(),
                    },
                ));
            }
        }
        if problems.iter().any(Problem::is_error) {
            // Rules would only repeat what is wrong with the names they use.
            sort(&mut problems);
            return Err(problems);
        }
        let checks = checks(library, tables, &mut problems);
        let mut rules: Vec<NextRule> = Vec::new();
        let facts_form = facts_form(&questionnaire, &vocabulary);
        for (path, source) in &library.files {
            let Some(stem) = path
                .strip_prefix("next-step/")
                .and_then(|name| name.strip_suffix(".yaml"))
            else {
                continue;
            };
            let left_out = (care == Care::Trusted).then_some("examples");
            let document = match document_without(source, left_out) {
                Ok(document) => document,
                Err(found) => {
                    problems.extend(found);
                    continue;
                }
            };
            let file = File::new(&document);
            let reader = Reader {
                file: &file,
                vocabulary: &vocabulary,
                facts_form: &facts_form,
                asked: questionnaire.groups.len(),
                tables,
                checks: &checks,
                stem,
                care,
            };
            rules.extend(reader.rule());
            problems.extend(file.into_problems());
        }
        rules.sort_by(|a, b| a.id.cmp(&b.id));
        let book = Self {
            questionnaire,
            vocabulary,
            places: found.into_iter().flatten().collect(),
            rules,
            checks,
        };
        if care == Care::Full {
            book.unused(library, &mut problems);
            book.covered(&mut problems);
            problems.extend(book.failures());
        }
        sort(&mut problems);
        if problems.iter().any(Problem::is_error) {
            Err(problems)
        } else {
            Ok((book, problems))
        }
    }

    /// A rule by id.
    #[must_use]
    pub fn rule(&self, id: &str) -> Option<&NextRule> {
        self.rules.iter().find(|rule| rule.id == id)
    }

    /// Facts of which none applies.
    #[must_use]
    pub fn no_facts(&self) -> Facts {
        Facts::none_applies(&self.vocabulary)
    }

    /// Examples that do not show what they are to show.
    #[must_use]
    pub fn failures(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        for rule in &self.rules {
            for example in &rule.examples {
                let truth = rule.truth(&example.facts);
                let found = match truth {
                    Truth::True => ExampleKind::Fires,
                    Truth::False => ExampleKind::Quiet,
                    Truth::Blank => ExampleKind::Blank,
                };
                if found != example.kind {
                    problems.push(Problem::at(
                        example.place.clone(),
                        ExampleFails {
                            wanted: example.kind.word().to_owned(),
                            found: found.word().to_owned(),
                        },
                    ));
                }
            }
        }
        problems
    }

    /// Every rule that is covered by another is there.
    fn covered(&self, problems: &mut Vec<Problem>) {
        let ids: Vec<&str> = self.rules.iter().map(|rule| rule.id.as_str()).collect();
        for rule in &self.rules {
            for id in rule.covers.iter().filter(|id| !ids.contains(&id.as_str())) {
                problems.push(Problem::at(
                    rule.place.clone(),
                    UnknownWord {
                        key: "covers".to_owned(),
                        close: closest(id, ids.iter().copied()),
                        words: ids.iter().map(|id| (*id).to_owned()).collect(),
                        text: id.clone(),
                    },
                ));
            }
        }
    }

    fn unused(&self, library: &Library, problems: &mut Vec<Problem>) {
        for check in &self.checks {
            if !self
                .rules
                .iter()
                .any(|rule| rule.then.check.contains(&check.id))
            {
                problems.push(Problem::of_file(
                    &format!("{}/checks.yaml", library.label),
                    CheckUnused {
                        id: check.id.clone(),
                    },
                ));
            }
        }
    }
}

impl NextRule {
    /// Whether it speaks.
    #[must_use]
    pub fn truth(&self, facts: &Facts) -> Truth {
        self.when
            .truth(facts, &mut crate::language::condition::Scope::default())
    }
}

/// Every question the program reads is there, with its type.
fn needed(questionnaire: &Questionnaire, library: &Library, problems: &mut Vec<Problem>) {
    if questionnaire.groups.is_empty() {
        return;
    }
    for (name, kind) in NEEDED {
        let found = questionnaire
            .find(name)
            .map(|(group, question)| questionnaire.groups[group].questions[question].kind.word());
        if found != Some(kind) {
            problems.push(Problem::of_file(
                &format!("{}/log", library.label),
                QuestionDoesNotFit {
                    id: (*name).to_owned(),
                    why: format!("the program reads it as a question of type {kind}"),
                },
            ));
        }
    }
}

/// The worked out facts as a form, so that examples are read with the same care as answers.
fn facts_form(questionnaire: &Questionnaire, vocabulary: &Vocabulary) -> Questionnaire {
    let groups = vocabulary
        .groups
        .iter()
        .skip(questionnaire.groups.len())
        .map(|group| Group {
            id: group.id.clone(),
            title: group.title.clone(),
            about: String::new(),
            repeats: None,
            blank: None,
            order: 0.0,
            questions: group
                .facts
                .iter()
                .map(|fact| Question {
                    id: fact.id.clone(),
                    ask: fact.title.clone(),
                    why: fact.about.clone(),
                    kind: fact.kind,
                    choices: fact.choices.clone(),
                    min: fact.min,
                    max: fact.max.min(f64::MAX),
                    tier: fact.tier,
                    private: false,
                    blank: String::new(),
                    label: None,
                    help: None,
                    example: None,
                    future: false,
                    time: false,
                    alone: None,
                    identifies: None,
                    asked_when: Vec::new(),
                })
                .collect(),
        })
        .collect();
    Questionnaire { groups }
}

/// Reads `checks.yaml`.
fn checks(library: &Library, tables: &Tables, problems: &mut Vec<Problem>) -> Vec<Check> {
    let Some(document) = library.document("checks.yaml", problems) else {
        return Vec::new();
    };
    let file = File::new(&document);
    let mut checks: Vec<Check> = Vec::new();
    if let Node::List(items) = file.root {
        for (at, node) in items.iter().enumerate() {
            let fields = Fields::new(
                &file,
                node,
                Path::default().index(at),
                &["id", "title", "ask", "tell", "source"],
            );
            let id = fields.needed_text("id");
            let source = check::sources(&fields, tables);
            check::refused_words(&fields, &["title", "ask", "tell"], tables);
            if checks.iter().any(|other| other.id == id) {
                file.fault(
                    &fields.at("id"),
                    IdUsedTwice {
                        id,
                        other: "this file".to_owned(),
                    },
                );
                continue;
            }
            checks.push(Check {
                id,
                title: fields.needed_text("title"),
                ask: fields.needed_text("ask"),
                tell: fields.needed_text("tell"),
                source,
            });
        }
    } else {
        file.fault(
            &Path::default(),
            WrongKind {
                key: "this file".to_owned(),
                wanted: "a list".to_owned(),
                found: file.root.kind().to_owned(),
            },
        );
    }
    problems.extend(file.into_problems());
    checks
}

struct Reader<'a> {
    file: &'a File<'a>,
    vocabulary: &'a Vocabulary,
    facts_form: &'a Questionnaire,
    /// How many groups of questions come before the worked out ones.
    asked: usize,
    tables: &'a Tables,
    checks: &'a [Check],
    stem: &'a str,
    care: Care,
}

impl<'a> Reader<'a> {
    fn rule(&self) -> Option<NextRule> {
        let fields = self.file.fields(&[
            "id", "title", "why", "tell", "source", "covers", "when", "then", "examples",
        ]);
        let id = fields.needed_text("id");
        if !id.is_empty() && id != self.stem {
            self.file.fault(
                &fields.at("id"),
                IdNotFileName {
                    id: id.clone(),
                    stem: self.stem.to_owned(),
                },
            );
        }
        let when = fields.need("when").and_then(|node| {
            let path = fields.at("when");
            let when = parse::condition(self.file, self.vocabulary, node, &path, &[])?;
            check::can_hold(self.file, &path, self.vocabulary, &when);
            check::no_blank_tests(self.file, self.vocabulary, &when);
            Some(when)
        });
        if self.care == Care::Full {
            check::refused_words(&fields, &["tell"], self.tables);
        }
        let source = check::sources(&fields, self.tables);
        let (title, why, tell) = (
            fields.needed_text("title"),
            fields.needed_text("why"),
            fields.needed_text("tell"),
        );
        let then = self.then(&fields);
        let examples = self.examples(&fields);
        Some(NextRule {
            id: self.stem.to_owned(),
            title,
            why,
            tell,
            source,
            covers: fields.words("covers"),
            when: when?,
            then,
            examples,
            place: self.place(),
        })
    }

    fn place(&self) -> Place {
        self.file.source.place(0..1)
    }

    fn then(&self, fields: &Fields<'a>) -> NextThen {
        let known = ["begin", "cap", "length", "when", "work", "call", "check"];
        let Some(node) = fields.need("then") else {
            return NextThen::default();
        };
        let fields = Fields::new(self.file, node, fields.at("then"), &known);
        if known.iter().all(|key| fields.get(key).is_none()) {
            self.file.fault(&fields.path, RuleWithoutOutcome {});
        }
        let mut check = Vec::new();
        for (id, way) in fields.texts("check") {
            if !self.checks.iter().any(|check| check.id == id) {
                self.file.fault(
                    &way.path(),
                    UnknownWord {
                        key: "check".to_owned(),
                        close: closest(&id, self.checks.iter().map(|check| check.id.as_str())),
                        words: self.checks.iter().map(|check| check.id.clone()).collect(),
                        text: id.clone(),
                    },
                );
            }
            check.push(id);
        }
        NextThen {
            begin: fields.word("begin", Begin::WORDS).map(|at| Begin::ALL[at]),
            cap: fields.word("cap", Cap::WORDS).map(|at| Cap::ALL[at]),
            shorter: fields.word("length", &["a third shorter"]).is_some(),
            after: fields.word("when", After::WORDS).map(|at| After::ALL[at]),
            work: fields.word("work", Work::WORDS).map(|at| Work::ALL[at]),
            tell: fields.word("call", Tell::WORDS).map(|at| Tell::ALL[at]),
            check,
        }
    }

    fn examples(&self, fields: &Fields<'a>) -> Vec<NextExample> {
        let mut examples = Vec::new();
        if self.care == Care::Trusted {
            return examples;
        }
        let _ = fields.need("examples");
        let words = &ExampleKind::WORDS[..2];
        let mut shown = Vec::new();
        for (node, path) in fields.items("examples") {
            let example = Fields::new(self.file, node, path, words);
            for (at, word) in words.iter().enumerate() {
                let Some(node) = example.get(word) else {
                    continue;
                };
                shown.push(at);
                let below = example.at(word);
                if let Some(facts) = self.facts(node, &below) {
                    examples.push(NextExample {
                        kind: ExampleKind::ALL[at],
                        facts,
                        place: self.file.place(&below),
                    });
                }
            }
        }
        for (at, kind) in ["fires", "stays quiet"].into_iter().enumerate() {
            if fields.get("examples").is_some() && !shown.contains(&at) {
                self.file.fault_at_key(
                    &fields.at("examples"),
                    ExampleMissing {
                        kind: kind.to_owned(),
                    },
                );
            }
        }
        examples
    }

    /// Facts of an example: `{last.worst: red}`. What is not named does not apply.
    fn facts(&self, node: &Node<'a>, below: &Path) -> Option<Facts> {
        let today: Date = self.tables.examples_day?;
        let Node::Map(entries) = node else {
            self.file.fault(
                below,
                WrongKind {
                    key: "an example".to_owned(),
                    wanted: "facts with values".to_owned(),
                    found: node.kind().to_owned(),
                },
            );
            return None;
        };
        let mut groups: Vec<(Cow<'_, str>, Node<'_>)> = Vec::new();
        for (name, value) in entries {
            let (group, fact) = name.split_once('.').unwrap_or((name, ""));
            let field = (Cow::Borrowed(fact), value.clone());
            match groups.iter_mut().find(|(other, _)| other == group) {
                Some((_, Node::Map(fields))) => fields.push(field),
                _ => groups.push((Cow::Borrowed(group), Node::Map(vec![field]))),
            }
        }
        let places = || self.file.places().clone();
        let (answers, problems) = answers::read(
            self.facts_form,
            self.file.source,
            &Node::Map(groups),
            below,
            &places,
            today,
        );
        let failed = problems.iter().any(Problem::is_error);
        self.file.extend(problems);
        (!failed).then(|| Facts::told(self.vocabulary, self.asked, &answers, today))
    }
}
