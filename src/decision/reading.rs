//! Why the bird may bite: the bites are counted for and against each possible function. A working reading is named only where the
//! counts carry it; "not enough to say" is a proper answer. Counts are given, never shares.

use serde::Serialize;

use crate::facts::{Facts, Items, Value};
use crate::language::condition::{FactRef, Scope};
use crate::language::{Condition, Truth};
use crate::rulebook::Rulebook;

/// Fewest bites with a known trigger and outcome before anything is read from them (common practice, no source).
const FEWEST: usize = 3;

/// The reading of one case.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Reading {
    /// Bites told.
    pub bites: usize,
    /// Bites of which both what came before and what followed is known.
    pub usable: usize,
    /// The function the counts carry, if they carry one.
    pub likely: Option<String>,
    /// Every function with its counts, most carried first.
    pub functions: Vec<Counted>,
    /// Contexts with two bites or more, most frequent first.
    pub contexts: Vec<Context>,
}

/// A function with its counts.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Counted {
    /// The function.
    pub function: String,
    /// Bites that speak for it.
    pub speaks_for: usize,
    /// Bites that speak against it.
    pub against: usize,
    /// Whether the case as a whole speaks for it too, for a function that needs that.
    pub also: Option<bool>,
}

/// How often one answer stands in the record.
#[derive(Debug, Clone, Serialize)]
pub struct Context {
    /// The fact.
    pub fact: String,
    /// The question in plain words.
    pub ask: String,
    /// The answer.
    pub answer: String,
    /// In how many bites.
    pub count: usize,
    /// Of how many in which it was answered.
    pub of: usize,
}

/// Reads the record of bites.
#[must_use]
pub fn read(rulebook: &Rulebook, facts: &Facts) -> Reading {
    let vocabulary = &rulebook.vocabulary;
    let bites = vocabulary.group_by_noun("bite");
    let items: &[Vec<Value>] = match bites.map(|group| &facts.groups[group]) {
        Some(Items::Many(Some(items))) => items,
        _ => &[],
    };
    let group = bites.unwrap_or_default();
    let holds = |conditions: &[Condition], scope: &mut Scope| {
        conditions
            .iter()
            .any(|condition| condition.truth(facts, scope) == Truth::True)
    };
    let mut functions: Vec<Counted> = rulebook
        .functions
        .functions
        .iter()
        .map(|function| {
            let count = |conditions: &[Condition]| {
                (0..items.len())
                    .filter(|item| holds(conditions, &mut Scope::of(group, *item)))
                    .count()
            };
            Counted {
                function: function.id.clone(),
                speaks_for: count(&function.speaks_for),
                against: count(&function.against),
                also: (!function.also.is_empty())
                    .then(|| holds(&function.also, &mut Scope::default())),
            }
        })
        .collect();
    let usable = {
        let known = |name: &str| vocabulary.find(&format!("bites.{name}")).map(|at| at.fact);
        match (known("trigger"), known("after")) {
            (Some(trigger), Some(after)) => items
                .iter()
                .filter(|values| !values[trigger].is_blank() && !values[after].is_blank())
                .count(),
            _ => 0,
        }
    };
    functions.sort_by_key(|counted| std::cmp::Reverse(weight(counted)));
    let likely = likely(&functions, usable);
    let contexts = contexts(rulebook, items);
    Reading {
        bites: items.len(),
        usable,
        likely,
        functions,
        contexts,
    }
}

/// What counts for a function: bites for it less those against it; where they are alike, one the case as a whole speaks for comes
/// first.
fn weight(counted: &Counted) -> (isize, bool) {
    (
        counted.speaks_for as isize - counted.against as isize,
        counted.also == Some(true),
    )
}

/// A function is carried when at least half of the usable bites, and three at the least, speak for it, and it leads the next by
/// two bites, or by one where the case as a whole speaks for it. One that needs the case as a whole is not carried without it.
fn likely(functions: &[Counted], usable: usize) -> Option<String> {
    let mut open = functions
        .iter()
        .filter(|counted| counted.also != Some(false));
    let first = open.next()?;
    let (lead, also) = weight(first);
    let second = open.next().map_or(0, |counted| weight(counted).0);
    let margin = if also { 1 } else { 2 };
    (usable >= FEWEST
        && first.speaks_for >= FEWEST
        && first.speaks_for * 2 >= usable
        && lead - second >= margin)
        .then(|| first.function.clone())
}

fn contexts(rulebook: &Rulebook, items: &[Vec<Value>]) -> Vec<Context> {
    let vocabulary = &rulebook.vocabulary;
    let mut found: Vec<Context> = Vec::new();
    for at in &rulebook.functions.contexts {
        let FactRef { fact, .. } = *at;
        let about = vocabulary.fact(*at);
        let known: Vec<&Value> = items
            .iter()
            .map(|values| &values[fact])
            .filter(|value| !value.is_blank() && **value != Value::NotApplicable)
            .collect();
        let mut answers: Vec<(String, usize)> = Vec::new();
        for value in &known {
            let answer = rulebook.tongue.value(about, value);
            match answers.iter_mut().find(|(other, _)| *other == answer) {
                Some((_, count)) => *count += 1,
                None => answers.push((answer, 1)),
            }
        }
        for (answer, count) in answers.into_iter().filter(|(_, count)| *count >= 2) {
            found.push(Context {
                fact: vocabulary.name(*at),
                ask: about.title.clone(),
                answer,
                count,
                of: known.len(),
            });
        }
    }
    found.sort_by(|a, b| (b.count, &a.fact, &a.answer).cmp(&(a.count, &b.fact, &b.answer)));
    found
}
