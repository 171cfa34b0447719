//! Runs the examples that stand in rules and gates.

use crate::answers::Answers;
use crate::facts::Facts;
use crate::language::Truth;
use crate::mistake::Problem;
use crate::mistakes::rulebook::ExampleFails;
use crate::rulebook::{Example, ExampleKind, Rulebook};

use super::verdict::{gate_truth, rule_truth};

/// Examples that do not show what they are to show.
#[must_use]
pub fn failures(rulebook: &Rulebook) -> Vec<Problem> {
    let mut problems = Vec::new();
    let facts = |example: &Example, answers: &Answers| {
        Facts::of(
            &rulebook.questionnaire,
            &rulebook.vocabulary,
            answers,
            example.today,
        )
    };
    for rule in &rulebook.rules {
        for example in &rule.examples {
            let truth = rule_truth(rulebook, rule, &facts(example, &example.answers));
            problems.extend(failure(example, truth));
        }
    }
    for gate in &rulebook.gates {
        for example in &gate.examples {
            let truth = gate_truth(gate, &facts(example, &example.answers));
            problems.extend(failure(example, truth));
        }
    }
    problems
}

fn failure(example: &Example, truth: Truth) -> Option<Problem> {
    let found = match truth {
        Truth::True => ExampleKind::Fires,
        Truth::False => ExampleKind::Quiet,
        Truth::Blank => ExampleKind::Blank,
    };
    (found != example.kind).then(|| {
        Problem::at(
            example.place.clone(),
            ExampleFails {
                wanted: example.kind.word().to_owned(),
                found: found.word().to_owned(),
            },
        )
    })
}
