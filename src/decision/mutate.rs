//! Mutation of rules: every threshold, level, choice and quantifier is changed one at a time, and the changes that no example
//! notices are listed.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::answers::{Answers, Given, Part, flow};
use crate::dates::PartialDate;
use crate::facts::{Facts, Vocabulary};
use crate::language::Truth;
use crate::language::condition::{Condition, FactRef, Quantifier, Scope};
use crate::language::phrase::{Range, Test, span_mask};
use crate::questionnaire::Kind;
use crate::rulebook::{Example, ExampleKind, LogBook, Rulebook};

use super::verdict::conditions_truth;

/// A change that no example notices.
#[derive(Debug, Clone)]
pub struct Unnoticed {
    /// The rule or gate.
    pub id: String,
    /// What was changed into what.
    pub change: String,
    /// An example that would notice, found by moving one answer of an example to the edge: its kind and its answers.
    pub would_notice: Option<(ExampleKind, String)>,
}

/// How many changes were tried, and those that nothing notices.
#[derive(Debug, Clone, Default)]
pub struct Mutation {
    /// Changes tried.
    pub tried: usize,
    /// Changes that no example notices.
    pub unnoticed: Vec<Unnoticed>,
}

/// Changes every rule and gate and looks whether its examples notice.
#[must_use]
pub fn mutate(rulebook: &Rulebook) -> Mutation {
    let mut mutation = Mutation::default();
    for rule in &rulebook.rules {
        let each = rule.each_person;
        try_all(
            rulebook,
            &mut mutation,
            &rule.id,
            std::slice::from_ref(&rule.when),
            each,
            &rule.examples,
        );
    }
    for gate in &rulebook.gates {
        let needs: Vec<Condition> = gate.needs.iter().map(|need| need.when.clone()).collect();
        try_all(
            rulebook,
            &mut mutation,
            &gate.id,
            &needs,
            false,
            &gate.examples,
        );
    }
    mutation
}

/// Changes every rule of the next step and looks whether its examples notice.
#[must_use]
pub fn mutate_next_step(book: &LogBook) -> Mutation {
    let mut mutation = Mutation::default();
    for rule in &book.rules {
        for (change, _, mutant) in mutants(&book.vocabulary, &rule.when) {
            mutation.tried += 1;
            let noticed = rule.examples.iter().any(|example| {
                kind(mutant.truth(&example.facts, &mut Scope::default())) != example.kind
            });
            if !noticed {
                mutation.unnoticed.push(Unnoticed {
                    id: rule.id.clone(),
                    change,
                    would_notice: None,
                });
            }
        }
    }
    mutation
}

fn try_all(
    rulebook: &Rulebook,
    mutation: &mut Mutation,
    id: &str,
    conditions: &[Condition],
    each_person: bool,
    examples: &[Example],
) {
    let facts_of = |example: &Example, answers: &Answers| {
        Facts::of(
            &rulebook.questionnaire,
            &rulebook.vocabulary,
            answers,
            example.today,
        )
    };
    let facts: Vec<Facts> = examples
        .iter()
        .map(|example| facts_of(example, &example.answers))
        .collect();
    for (at, condition) in conditions.iter().enumerate() {
        for (change, fact, mutant) in mutants(&rulebook.vocabulary, condition) {
            mutation.tried += 1;
            let mut changed = conditions.to_vec();
            changed[at] = mutant;
            let noticed = examples.iter().zip(&facts).any(|(example, facts)| {
                kind(conditions_truth(rulebook, &changed, each_person, facts)) != example.kind
            });
            if noticed {
                continue;
            }
            let would_notice = examples.iter().find_map(|example| {
                let candidates = match fact {
                    Some(fact) => variants(rulebook, example, fact),
                    None => examples
                        .iter()
                        .flat_map(|other| joined(&example.answers, &other.answers))
                        .collect(),
                };
                candidates.into_iter().find_map(|answers| {
                    let facts = facts_of(example, &answers);
                    let before = conditions_truth(rulebook, conditions, each_person, &facts);
                    let after = conditions_truth(rulebook, &changed, each_person, &facts);
                    // An example that is known to fire or to stay quiet says more than one that is open.
                    (before != after && before != Truth::Blank).then(|| {
                        let text = flow(&rulebook.questionnaire, &answers);
                        (kind(before), text)
                    })
                })
            });
            mutation.unnoticed.push(Unnoticed {
                id: id.to_owned(),
                change,
                would_notice,
            });
        }
    }
}

fn kind(truth: Truth) -> ExampleKind {
    match truth {
        Truth::True => ExampleKind::Fires,
        Truth::False => ExampleKind::Quiet,
        Truth::Blank => ExampleKind::Blank,
    }
}

/// Every single change of a condition: in words, the fact it is about, and the changed condition.
fn mutants(
    vocabulary: &Vocabulary,
    condition: &Condition,
) -> Vec<(String, Option<FactRef>, Condition)> {
    let list = |parts: &[Condition], make: fn(Vec<Condition>) -> Condition| {
        let mut all = Vec::new();
        for (at, part) in parts.iter().enumerate() {
            for (change, fact, mutant) in mutants(vocabulary, part) {
                let mut changed = parts.to_vec();
                changed[at] = mutant;
                all.push((change, fact, make(changed)));
            }
        }
        all
    };
    match condition {
        Condition::All(parts) => list(parts, Condition::All),
        Condition::Any(parts) => list(parts, Condition::Any),
        Condition::Not(part) => mutants(vocabulary, part)
            .into_iter()
            .map(|(change, fact, mutant)| (change, fact, Condition::Not(Box::new(mutant))))
            .collect(),
        Condition::Is {
            fact,
            test,
            phrase,
            path,
        } => tests(vocabulary, *fact, test)
            .into_iter()
            .map(|(into, test)| {
                (
                    format!("{}: {phrase} -> {into}", vocabulary.name(*fact)),
                    Some(*fact),
                    Condition::Is {
                        fact: *fact,
                        test,
                        phrase: into,
                        path: path.clone(),
                    },
                )
            })
            .collect(),
        Condition::Count {
            quantifier,
            group,
            each,
            words,
        } => {
            let count = |quantifier: Quantifier, each: Condition| Condition::Count {
                quantifier,
                group: *group,
                each: Box::new(each),
                words: words.clone(),
            };
            let mut all: Vec<_> = mutants(vocabulary, each)
                .into_iter()
                .map(|(change, fact, mutant)| (change, fact, count(*quantifier, mutant)))
                .collect();
            let others: Vec<(&str, Quantifier)> = match quantifier {
                Quantifier::AtLeast(1) => vec![
                    ("at least 2", Quantifier::AtLeast(2)),
                    ("every", Quantifier::Every),
                ],
                Quantifier::AtLeast(n) => vec![
                    ("one more", Quantifier::AtLeast(n + 1)),
                    ("one fewer", Quantifier::AtLeast(n - 1)),
                ],
                Quantifier::No => vec![("any", Quantifier::AtLeast(1))],
                Quantifier::Every => vec![("any", Quantifier::AtLeast(1))],
            };
            all.extend(others.into_iter().map(|(into, other)| {
                (
                    format!("{words} -> {into}"),
                    None,
                    count(other, (**each).clone()),
                )
            }));
            all
        }
    }
}

/// Every single change of a phrase.
fn tests(vocabulary: &Vocabulary, at: FactRef, test: &Test) -> Vec<(String, Test)> {
    let fact = vocabulary.fact(at);
    let count = fact.choices.len() as u8;
    let words = |mask: u64| {
        let chosen: Vec<&str> = (0..usize::from(count))
            .filter(|at| mask & (1 << at) != 0)
            .map(|at| fact.choices[at].id.as_str())
            .collect();
        chosen.join(", ")
    };
    let masks = |mask: u64, make: fn(u64) -> Test| -> Vec<(String, Test)> {
        let bits: Vec<u8> = (0..count).filter(|bit| mask & (1 << bit) != 0).collect();
        let mut changed: Vec<u64> = Vec::new();
        if fact.kind == Kind::Level {
            // A level's ends move by one step each way.
            if let (Some(low), Some(high)) = (bits.first(), bits.last()) {
                if *low > 0 {
                    changed.push(span_mask(low - 1, *high));
                }
                if *high + 1 < count {
                    changed.push(span_mask(*low, high + 1));
                }
                if low < high {
                    if *low > 0 {
                        changed.push(span_mask(low + 1, *high));
                    }
                    if *high + 1 < count {
                        changed.push(span_mask(*low, high - 1));
                    }
                }
            }
        } else if let [only] = bits.as_slice() {
            changed.push(1 << ((only + 1) % count.max(1)));
        } else {
            changed.extend(bits.iter().map(|bit| mask & !(1 << bit)));
        }
        changed
            .into_iter()
            .filter(|other| *other != mask && *other != 0)
            .map(|other| (words(other), make(other)))
            .collect()
    };
    match test {
        Test::YesNo(yes) => vec![(
            if *yes { "no" } else { "yes" }.to_owned(),
            Test::YesNo(!yes),
        )],
        Test::OneOf(mask) => masks(*mask, Test::OneOf),
        Test::IncludesAny(mask) => masks(*mask, Test::IncludesAny),
        Test::IncludesAll(mask) => masks(*mask, Test::IncludesAll),
        Test::Excludes(mask) => masks(*mask, Test::Excludes),
        Test::Within(range) => ranges(range),
        Test::Answered => vec![("blank".to_owned(), Test::Blank)],
        Test::Blank => vec![("answered".to_owned(), Test::Answered)],
    }
}

/// Each end of a range moved by one, or by a tenth where that is more.
fn ranges(range: &Range) -> Vec<(String, Test)> {
    let mut all = Vec::new();
    let step = |edge: f64| (edge.abs() / 10.0).round().max(1.0);
    let mut push = |changed: Range| {
        if !changed.is_empty() {
            all.push((
                format!("{} to {}", changed.low, changed.high),
                Test::Within(changed),
            ));
        }
    };
    // The end at nought of "within 30 days" is no threshold: nothing lies beyond it.
    if range.low.is_finite() && range.low != 0.0 {
        for by in [-step(range.low), step(range.low)] {
            push(Range {
                low: range.low + by,
                ..*range
            });
        }
    }
    if range.high.is_finite() && range.high != 0.0 {
        for by in [-step(range.high), step(range.high)] {
            push(Range {
                high: range.high + by,
                ..*range
            });
        }
    }
    all
}

/// Answers in which one answer behind a fact was moved: to every choice, or to numbers and days about the edges that phrases
/// turn on.
fn variants(rulebook: &Rulebook, example: &Example, at: FactRef) -> Vec<Answers> {
    let vocabulary = &rulebook.vocabulary;
    let fact = vocabulary.fact(at);
    let edges = edges(rulebook, at);
    let behind = if fact.is_derived() {
        fact.from.clone()
    } else {
        vec![at]
    };
    behind
        .into_iter()
        .flat_map(|at| {
            moved(
                &example.answers,
                at,
                &given(vocabulary, example.today, at, &edges),
            )
        })
        .collect()
}

/// Numbers about every edge that a phrase of the rulebook sets for a fact.
fn edges(rulebook: &Rulebook, at: FactRef) -> Vec<f64> {
    let mut numbers: Vec<f64> = Vec::new();
    let mut learn = |condition: &Condition| {
        condition.visit(&mut |other, test, _| {
            if let (true, Test::Within(range)) = (other == at, test) {
                for edge in [range.low, range.high]
                    .into_iter()
                    .filter(|edge| edge.is_finite())
                {
                    let step = (edge.abs() / 10.0).round().max(1.0);
                    numbers.extend([edge - step, edge - 0.5, edge, edge + 0.5, edge + step]);
                }
            }
        });
    };
    for rule in &rulebook.rules {
        learn(&rule.when);
    }
    for gate in &rulebook.gates {
        for need in &gate.needs {
            learn(&need.when);
        }
    }
    numbers.sort_by(f64::total_cmp);
    numbers.dedup();
    numbers
}

fn given(vocabulary: &Vocabulary, today: Date, at: FactRef, edges: &[f64]) -> Vec<Given> {
    let fact = vocabulary.fact(at);
    let count = fact.choices.len() as u8;
    match fact.kind {
        Kind::YesNo => vec![Given::YesNo(true), Given::YesNo(false)],
        Kind::Choice | Kind::Level => (0..count).map(Given::Choice).collect(),
        Kind::Choices => (0..count).map(|bit| Given::Choices(1 << bit)).collect(),
        Kind::Number(_) => edges
            .iter()
            .filter(|number| (fact.min..=fact.max).contains(number))
            .map(|number| Given::Number(*number))
            .collect(),
        Kind::Date => edges
            .iter()
            .filter(|days| days.fract() == 0.0 && (fact.future || **days >= 0.0))
            .filter_map(|days| today.checked_sub((*days as i32).days()).ok())
            .map(|date| Given::Date(PartialDate::day(date)))
            .collect(),
        Kind::Text => Vec::new(),
    }
}

fn moved(answers: &Answers, at: FactRef, given: &[Given]) -> Vec<Answers> {
    let count = match &answers.parts[at.group] {
        Part::Once(_) => 1,
        Part::Many(entries) => entries.as_ref().map_or(0, Vec::len),
    };
    let mut all = Vec::new();
    for item in 0..count {
        for given in given {
            let mut changed = answers.clone();
            match &mut changed.parts[at.group] {
                Part::Once(values) => values[at.fact] = given.clone(),
                Part::Many(Some(entries)) => entries[item].given[at.fact] = given.clone(),
                Part::Many(None) => {}
            }
            all.push(changed);
        }
    }
    all
}

/// Answers in which the entries of a repeated group of two examples stand together.
fn joined(one: &Answers, other: &Answers) -> Vec<Answers> {
    let mut all = Vec::new();
    for (group, (left, right)) in one.parts.iter().zip(&other.parts).enumerate() {
        if let (Part::Many(Some(left)), Part::Many(Some(right))) = (left, right) {
            let mut changed = one.clone();
            let mut entries = left.clone();
            entries.extend(right.iter().cloned());
            changed.parts[group] = Part::Many(Some(entries));
            all.push(changed);
        }
    }
    all
}
