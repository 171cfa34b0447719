//! Pages about the rulebook: lists, one rule, all questions, the start of a new rule.

use jiff::civil::Date;
use serde_json::{Value, json};

use crate::facts::Vocabulary;
use crate::language::Condition;
use crate::language::condition::Quantifier;
use crate::questionnaire::Kind;
use crate::rulebook::{Check, Gate, LogBook, Measure, MeasureKind, NextRule, Rule, Rulebook, Then};

use super::engine::{Engine, PaperError};

/// The topic of the rules of the next step.
const NEXT_STEP: &str = "next-step";

/// All rules and gates, a line each.
#[must_use]
pub fn list_text(rulebook: &Rulebook, book: &LogBook, topic: Option<&str>) -> String {
    let mut out = String::new();
    let next = book
        .rules
        .iter()
        .map(|rule| (rule.id.as_str(), NEXT_STEP, rule.title.as_str()));
    for (id, of, title) in entries(rulebook).into_iter().chain(next) {
        if topic.is_none_or(|topic| topic == of) {
            out.push_str(&format!("{of:<9} {id:<44} {title}\n"));
        }
    }
    out
}

fn entries(rulebook: &Rulebook) -> Vec<(&str, &str, &str)> {
    let mut all: Vec<(&str, &str, &str)> = rulebook
        .rules
        .iter()
        .map(|rule| (rule.id.as_str(), rule.topic.as_str(), rule.title.as_str()))
        .chain(
            rulebook
                .gates
                .iter()
                .map(|gate| (gate.id.as_str(), gate.topic.as_str(), gate.title.as_str())),
        )
        .collect();
    all.sort_by(|a, b| (a.1, a.0).cmp(&(b.1, b.0)));
    all
}

/// All rules and gates as JSON.
#[must_use]
pub fn list_json(rulebook: &Rulebook, book: &LogBook, topic: Option<&str>) -> String {
    let rules = rulebook
        .rules
        .iter()
        .filter(|rule| topic.is_none_or(|topic| topic == rule.topic))
        .map(|rule| rule_value(rulebook, rule));
    let gates = rulebook
        .gates
        .iter()
        .filter(|gate| topic.is_none_or(|topic| topic == gate.topic))
        .map(|gate| gate_value(rulebook, gate));
    let next = book
        .rules
        .iter()
        .filter(|_| topic.is_none_or(|topic| topic == NEXT_STEP))
        .map(|rule| next_value(rulebook, book, rule));
    format!(
        "{:#}\n",
        Value::Array(rules.chain(gates).chain(next).collect())
    )
}

/// A page of all rules that a practice can read.
#[must_use]
pub fn list_markdown(rulebook: &Rulebook) -> String {
    let mut topics: Vec<&str> = entries(rulebook).iter().map(|e| e.1).collect();
    topics.dedup();
    let topics: Vec<Value> = topics
        .into_iter()
        .map(|topic| {
            let rules = rulebook.rules.iter().filter(|r| r.topic == topic).map(|r| rule_value(rulebook, r));
            let gates = rulebook.gates.iter().filter(|g| g.topic == topic).map(|g| gate_value(rulebook, g));
            json!({"topic": topic, "rules": rules.collect::<Vec<_>>(), "gates": gates.collect::<Vec<_>>()})
        })
        .collect();
    page(
        "rules.md",
        &json!({"topics": topics, "name": rulebook.tables.edition.name, "version": rulebook.tables.edition.version, "date": rulebook.tables.edition.date, "review": rulebook.tables.edition.review_by}),
    )
}

/// A page of the log: its questions, its facts, the rules of the next step and what they ask to look at.
#[must_use]
pub fn next_step_markdown(rulebook: &Rulebook, book: &LogBook) -> String {
    let rules: Vec<Value> = book
        .rules
        .iter()
        .map(|rule| next_value(rulebook, book, rule))
        .collect();
    let facts: Vec<Value> = book
        .places
        .iter()
        .map(|at| {
            let fact = book.vocabulary.fact(*at);
            json!({
                "id": book.vocabulary.name(*at), "title": fact.title, "about": fact.about, "type": fact.kind.word(),
                "choices": fact.choices.iter().map(|c| json!({"id": c.id, "words": c.words})).collect::<Vec<_>>(),
            })
        })
        .collect();
    page(
        "next-step.md",
        &json!({"rules": rules, "facts": facts, "checks": book.checks, "name": rulebook.tables.edition.name, "version": rulebook.tables.edition.version, "date": rulebook.tables.edition.date}),
    )
}

/// A page of all questions and derived facts.
#[must_use]
pub fn questions_markdown(rulebook: &Rulebook) -> String {
    let groups: Vec<Value> = rulebook
        .questionnaire
        .groups
        .iter()
        .map(|group| {
            let questions: Vec<Value> = group
                .questions
                .iter()
                .map(|q| {
                    json!({
                        "id": q.id, "ask": q.ask, "why": q.why, "type": q.kind.word(), "tier": q.tier, "private": q.private,
                        "time": q.time,
                        "unit": match q.kind { Kind::Number(unit) => unit.label(), _ => "" },
                        "choices": q.choices.iter().map(|c| json!({"id": c.id, "words": c.words})).collect::<Vec<_>>(),
                        "blank": q.blank, "help": q.help,
                    })
                })
                .collect();
            json!({"id": group.id, "title": group.title, "about": group.about, "repeats": group.repeats, "questions": questions})
        })
        .collect();
    let vocabulary = &rulebook.vocabulary;
    let derived: Vec<Value> = vocabulary
        .derived
        .iter()
        .map(|(at, _)| {
            let fact = vocabulary.fact(*at);
            let from: Vec<String> = fact.from.iter().map(|at| vocabulary.name(*at)).collect();
            json!({"id": vocabulary.name(*at), "title": fact.title, "about": fact.about, "type": fact.kind.word(), "from": from})
        })
        .collect();
    page(
        "questions.md",
        &json!({"groups": groups, "derived": derived}),
    )
}

/// What can be started from a template.
#[derive(Debug, Clone, Copy)]
pub enum Scaffold<'a> {
    /// A rule of a topic.
    Rule {
        /// The topic.
        topic: &'a str,
    },
    /// A gate.
    Gate,
    /// A measure.
    Measure,
    /// A group with one question.
    Group {
        /// The group.
        group: &'a str,
    },
    /// One question more for a group.
    Question,
    /// A departure, from a first day to a last.
    Departure {
        /// The rule it is from.
        rule: &'a Rule,
        /// Its first day.
        date: Date,
        /// Its last day.
        until: Date,
    },
    /// What a practice says of itself.
    Practice,
}

/// The start of a new file, or of a new question.
#[must_use]
pub fn scaffold(what: Scaffold<'_>, id: &str) -> String {
    match what {
        Scaffold::Rule { topic: NEXT_STEP } => page("new-next-step.yaml", &json!({ "id": id })),
        Scaffold::Rule { .. } => page("new-rule.yaml", &json!({ "id": id })),
        Scaffold::Gate => page("new-gate.yaml", &json!({ "id": id })),
        Scaffold::Measure => page("new-measure.yaml", &json!({ "id": id })),
        Scaffold::Group { group } => page("new-group.yaml", &json!({"id": id, "group": group})),
        Scaffold::Question => page("new-question.yaml", &json!({ "id": id })),
        Scaffold::Departure { rule, date, until } => page(
            "new-departure.yaml",
            &json!({
                "id": id, "rule": rule.id, "title": rule.title, "date": date, "until": until,
                "then": then_value(rule.departed.as_ref().map_or(&rule.then, |departed| &departed.then)),
            }),
        ),
        Scaffold::Practice => page("new-practice.yaml", &json!({})),
    }
}

/// A page whose template is part of the program; the tests fill each one, so a failure is told in its place.
fn page(template: &str, context: &Value) -> String {
    filled(template, context).unwrap_or_else(|error| error.to_string())
}

fn filled(template: &str, context: &Value) -> Result<String, PaperError> {
    let text = Engine::embedded().render(template, context)?;
    let mut text = super::tidy(&text);
    text.push('\n');
    Ok(text)
}

/// One rule, gate or measure as JSON.
#[must_use]
pub fn show_json(rulebook: &Rulebook, book: &LogBook, id: &str) -> Option<String> {
    shown(rulebook, book, id).map(|value| format!("{value:#}\n"))
}

/// One rule, gate or measure as text.
#[must_use]
pub fn show_text(rulebook: &Rulebook, book: &LogBook, id: &str) -> Option<String> {
    let value = shown(rulebook, book, id)?;
    Some(page("show.txt", &json!({ "it": value })))
}

fn shown(rulebook: &Rulebook, book: &LogBook, id: &str) -> Option<Value> {
    rulebook
        .rule(id)
        .map(|rule| rule_value(rulebook, rule))
        .or_else(|| rulebook.gate(id).map(|gate| gate_value(rulebook, gate)))
        .or_else(|| {
            rulebook
                .measures
                .get(id)
                .map(|measure| measure_value(rulebook, measure))
        })
        .or_else(|| book.rule(id).map(|rule| next_value(rulebook, book, rule)))
        .or_else(|| {
            let check = book.checks.iter().find(|check| check.id == id)?;
            Some(check_value(rulebook, book, check))
        })
}

fn next_value(rulebook: &Rulebook, book: &LogBook, rule: &NextRule) -> Value {
    let then = &rule.then;
    json!({
        "kind": "next-step", "id": rule.id, "topic": NEXT_STEP, "title": rule.title, "why": rule.why, "tell": rule.tell,
        "when": condition_lines(&book.vocabulary, &rule.when),
        "then": {
            "begin": then.begin, "cap": then.cap, "length": then.shorter.then_some("a third shorter"),
            "when": then.after, "work": then.work, "call": then.tell, "check": then.check,
        },
        "sources": sources(rulebook, &rule.source), "file": rule.place.file,
    })
}

fn check_value(rulebook: &Rulebook, book: &LogBook, check: &Check) -> Value {
    let used: Vec<&str> = book
        .rules
        .iter()
        .filter(|rule| rule.then.check.contains(&check.id))
        .map(|rule| rule.id.as_str())
        .collect();
    json!({
        "kind": "check", "id": check.id, "title": check.title, "why": check.ask, "tell": check.tell, "used-by": used,
        "sources": sources(rulebook, &check.source), "file": "rules/checks.yaml",
    })
}

fn sources(rulebook: &Rulebook, keys: &[String]) -> Vec<Value> {
    keys.iter()
        .map(|key| {
            let source = rulebook.sources.get(key);
            json!({"key": key, "source": source})
        })
        .collect()
}

fn rule_value(rulebook: &Rulebook, rule: &Rule) -> Value {
    json!({
        "kind": "rule", "id": rule.id, "topic": rule.topic, "title": rule.title, "why": rule.why, "tell": rule.tell,
        "each-person": rule.each_person, "private": rule.private,
        "when": condition_lines(&rulebook.vocabulary, &rule.when), "then": then_value(&rule.then),
        "floor": rule.floor, "layer": rule.layer, "review-by": rule.review_by,
        "departure": rule.departed.as_ref().map(|departed| &rulebook.departures[departed.by]),
        "guard": rule.then.is_guard(), "sources": sources(rulebook, &rule.source), "file": rule.place.file,
    })
}

fn gate_value(rulebook: &Rulebook, gate: &Gate) -> Value {
    let needs: Vec<Value> = gate
        .needs
        .iter()
        .map(|need| json!({"prove": need.prove, "when": condition_lines(&rulebook.vocabulary, &need.when)}))
        .collect();
    json!({
        "kind": "gate", "id": gate.id, "topic": gate.topic, "title": gate.title, "why": gate.why, "tell": gate.tell,
        "floor": true, "layer": gate.layer, "opens": gate.opens, "needs": needs, "sources": sources(rulebook, &gate.source), "file": gate.place.file,
    })
}

fn measure_value(rulebook: &Rulebook, measure: &Measure) -> Value {
    let used: Vec<&str> = rulebook
        .rules
        .iter()
        .filter(|rule| rule.then.do_.contains(&measure.id) || rule.then.never.contains(&measure.id))
        .map(|rule| rule.id.as_str())
        .collect();
    let mut value = json!({
        "kind": "measure", "id": measure.id, "title": measure.title, "why": measure.why,
        "for": if measure.for_person { "person" } else { "household" },
        "control": measure.control, "step": measure.step, "used-by": used,
        "sources": sources(rulebook, &measure.source), "file": measure.place.file,
    });
    let more = match &measure.kind {
        MeasureKind::Do {
            what,
            who,
            when,
            start,
            done,
            only_from,
            starts_when,
            covers,
            comes_before,
        } => {
            json!({"do": what, "who": who, "when": when, "start": start, "done": done, "only-from": only_from, "starts-when": starts_when, "covers": covers, "comes-before": comes_before})
        }
        MeasureKind::Never {
            what,
            instead,
            rules_out,
        } => json!({"never": what, "instead": instead, "rules-out": rules_out}),
    };
    if let (Value::Object(value), Value::Object(more)) = (&mut value, more) {
        value.extend(more);
    }
    value
}

fn then_value(then: &Then) -> Value {
    json!({
        "risk": then.risk, "start": then.start, "contact": then.contact, "vet": then.vet,
        "do": then.do_, "never": then.never, "refer": then.refer, "ask": then.ask,
    })
}

/// A condition as indented lines, in the words it was written in.
#[must_use]
pub fn condition_lines(vocabulary: &Vocabulary, condition: &Condition) -> Vec<String> {
    let mut lines = Vec::new();
    push(vocabulary, condition, 0, &mut lines);
    lines
}

fn push(vocabulary: &Vocabulary, condition: &Condition, depth: usize, lines: &mut Vec<String>) {
    let pad = "  ".repeat(depth);
    match condition {
        Condition::All(parts) => {
            for part in parts {
                push(vocabulary, part, depth, lines);
            }
        }
        Condition::Any(parts) => {
            lines.push(format!("{pad}any of:"));
            for part in parts {
                let before = lines.len();
                push(vocabulary, part, depth + 1, lines);
                if let Some(first) = lines.get_mut(before) {
                    // Each way starts with a dash, so that ways of several lines can be told apart.
                    let indent = "  ".repeat(depth + 1);
                    *first = format!(
                        "{}- {}",
                        "  ".repeat(depth),
                        first.trim_start_matches(indent.as_str())
                    );
                }
            }
        }
        Condition::Not(part) => {
            lines.push(format!("{pad}not:"));
            push(vocabulary, part, depth + 1, lines);
        }
        Condition::Is { fact, phrase, .. } => {
            lines.push(format!("{pad}{}: {phrase}", vocabulary.name(*fact)));
        }
        Condition::Count {
            quantifier,
            each,
            words,
            ..
        } => {
            debug_assert!(!matches!(quantifier, Quantifier::AtLeast(0)));
            lines.push(format!("{pad}{words}:"));
            push(vocabulary, each, depth + 1, lines);
        }
    }
}
