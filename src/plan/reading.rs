//! How the biting is read, and which answers do not go together.

use serde::Serialize;

use crate::decision::reading::{Context, Counted};
use crate::decision::{Counts, Decision};
use crate::facts::{Items, Value};
use crate::intake::Intake;
use crate::language::{FactRef, Truth};
use crate::rulebook::Rulebook;

/// How the biting is read.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ReadingPart {
    /// Bites told.
    pub bites: usize,
    /// Bites of which both what came before and what followed is known.
    pub usable: usize,
    /// The function the counts carry: its id, title and words.
    pub likely: Option<Likely>,
    /// Functions some bite speaks for or against, most carried first.
    pub counted: Vec<CountedLine>,
    /// Contexts that hold several bites.
    pub contexts: Vec<Context>,
}

/// A working reading.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Likely {
    /// The function.
    pub function: String,
    /// In a few words.
    pub title: String,
    /// For the household.
    pub tell: String,
    /// Bites for it.
    pub speaks_for: usize,
    /// Bites against it.
    pub against: usize,
    /// What to watch next.
    pub watch: String,
    /// Procedures that fit.
    pub procedures: Vec<ProcedureLine>,
}

/// A procedure with its caution.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ProcedureLine {
    /// Its id.
    pub id: String,
    /// What it is.
    pub title: String,
    /// What is done.
    pub tell: String,
    /// When not to use it.
    pub not_when: String,
}

/// A function's counts with its title.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CountedLine {
    /// Its title.
    pub title: String,
    /// The counts.
    #[serde(flatten)]
    pub counts: Counted,
}

/// Two answers that do not go together.
#[derive(Debug, Clone, Serialize)]
pub struct Contradiction {
    /// The rule that noticed.
    pub rule: String,
    /// What it is about, in words for the household.
    pub tell: String,
    /// The answers side by side.
    pub statements: Vec<Statement>,
}

/// One of the answers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Statement {
    /// The question.
    pub ask: String,
    /// The answer.
    pub answer: String,
    /// Its line in the intake.
    pub line: usize,
}

pub(super) fn part(rulebook: &Rulebook, decision: &Decision) -> ReadingPart {
    let reading = &decision.reading;
    let functions = &rulebook.functions;
    let find = |id: &str| functions.functions.iter().find(|f| f.id == id);
    let likely = reading.likely.as_ref().and_then(|id| {
        let function = find(id)?;
        let counted = reading.functions.iter().find(|c| c.function == *id)?;
        Some(Likely {
            function: id.clone(),
            title: function.title.clone(),
            tell: function.tell.clone(),
            speaks_for: counted.speaks_for,
            against: counted.against,
            watch: function.watch.clone(),
            procedures: function
                .procedures
                .iter()
                .filter_map(|id| {
                    let procedure = functions.procedures.get(id)?;
                    Some(ProcedureLine {
                        id: id.clone(),
                        title: procedure.title.clone(),
                        tell: procedure.tell.clone(),
                        not_when: procedure.not_when.clone(),
                    })
                })
                .collect(),
        })
    });
    ReadingPart {
        bites: reading.bites,
        usable: reading.usable,
        likely,
        counted: reading
            .functions
            .iter()
            .filter(|counted| counted.speaks_for + counted.against > 0)
            .filter_map(|counted| {
                Some(CountedLine {
                    title: find(&counted.function)?.title.clone(),
                    counts: counted.clone(),
                })
            })
            .collect(),
        contexts: reading.contexts.iter().take(6).cloned().collect(),
    }
}

/// The value a spoken fact has, of its entry where there are several.
fn value(decision: &Decision, of: FactRef, item: Option<usize>) -> Option<&Value> {
    match (decision.facts.groups.get(of.group)?, item) {
        (Items::Once(values), _) => values.get(of.fact),
        (Items::Many(items), Some(item)) => items.as_ref()?.get(item)?.get(of.fact),
        (Items::Many(_), None) => None,
    }
}

pub(super) fn contradictions(
    rulebook: &Rulebook,
    intake: &Intake,
    decision: &Decision,
) -> Vec<Contradiction> {
    let mut found = Vec::new();
    for trace in decision
        .rules
        .iter()
        .filter(|trace| trace.counts == Counts::Known)
    {
        let rule = &rulebook.rules[trace.rule];
        if rule.between.is_empty() || trace.is_private() {
            continue;
        }
        let mut statements: Vec<Statement> = Vec::new();
        for binding in trace
            .bindings
            .iter()
            .filter(|b| b.reason.truth == Truth::True)
        {
            binding.reason.visit(&mut |spoken, truth| {
                if truth != Truth::True || !rule.between.contains(&spoken.of) || spoken.private {
                    return;
                }
                let line = spoken.paths.first().map_or(0, |path| {
                    intake.source.place(intake.places.value(path)).line
                });
                let statement = Statement {
                    ask: rulebook.vocabulary.fact(spoken.of).title.clone(),
                    answer: value(decision, spoken.of, spoken.item).map_or_else(
                        || spoken.value.clone(),
                        |value| {
                            let fact = rulebook.vocabulary.fact(spoken.of);
                            rulebook.tongue.value(fact, value)
                        },
                    ),
                    line,
                };
                if !statements
                    .iter()
                    .any(|other| (&other.ask, &other.answer) == (&statement.ask, &statement.answer))
                {
                    statements.push(statement);
                }
            });
        }
        // The order of bites or people does not change what is said first.
        statements.sort_by(|a, b| (&a.ask, &a.answer, a.line).cmp(&(&b.ask, &b.answer, b.line)));
        found.push(Contradiction {
            rule: rule.id.clone(),
            tell: rule.tell.clone(),
            statements,
        });
    }
    found
}
