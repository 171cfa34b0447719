//! Blanks worth asking about: which answers could change the outcome, and how far each alone could move it.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::answers::{Answers, Given};
use crate::language::Truth;
use crate::language::condition::{FactRef, Scope};
use crate::rulebook::Rulebook;
use crate::tree::Path;

use super::effect::{Key, Trials, Tried};
use super::guards::{Guards, Steps, verdict_of};
use super::{Counts, Decision, Reason};

/// A blank that holds something up.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Gap {
    /// The question as `group.question`, or the group alone when nothing in it was answered.
    pub question: String,
    /// Where it stands, or would stand, in the intake.
    pub at: String,
    /// True when it was asked and is not known.
    pub asked: bool,
    /// True when the question is private.
    pub private: bool,
    /// Rules and gates that are undecided because of it.
    pub holds_up: Vec<String>,
    /// How many steps one answer alone could move the ordered outcomes, known and until answered together.
    pub moves: usize,
    /// What the outcomes can become by this answer alone: the loosest until answered, and the tightest known.
    pub could: Could,
    /// The group.
    #[serde(skip)]
    pub group: usize,
    /// The entry.
    #[serde(skip)]
    pub item: Option<usize>,
    /// The question's place in its group; `None` for the group as a whole.
    #[serde(skip)]
    pub fact: Option<usize>,
    /// The way to it.
    #[serde(skip)]
    pub path: Path,
}

/// The outcomes that answers to one question alone can lead to.
#[derive(Debug, Clone, Serialize, PartialEq, Eq)]
pub struct Could {
    /// The loosest outcomes until answered, over all answers.
    pub loosest: Outcomes,
    /// The tightest known outcomes, over all answers.
    pub tightest: Outcomes,
}

/// One of each ordered outcome, in words.
#[derive(Debug, Clone, Serialize, PartialEq, Eq)]
pub struct Outcomes {
    /// Risk.
    pub risk: &'static str,
    /// Start.
    pub start: &'static str,
    /// Contact.
    pub contact: &'static str,
    /// Vet.
    pub vet: &'static str,
}

/// All gaps, most telling first.
pub(super) fn gaps(rulebook: &Rulebook, answers: &Answers, decision: &Decision) -> Vec<Gap> {
    let mut found: BTreeMap<Key, (bool, BTreeSet<String>)> = BTreeMap::new();
    for trace in &decision.rules {
        if trace.counts != Counts::UntilAnswered {
            continue;
        }
        let id = &rulebook.rules[trace.rule].id;
        if trace.bindings.is_empty()
            && let Some(people) = rulebook.vocabulary.group_by_noun("person")
        {
            found
                .entry((people, None, None))
                .or_default()
                .1
                .insert(id.clone());
        }
        for binding in &trace.bindings {
            blanks(rulebook, answers, &binding.reason, id, &mut found);
        }
    }
    for trace in &decision.gates {
        let id = &rulebook.gates[trace.gate].id;
        for need in trace.needs.iter().filter(|need| need.truth == Truth::Blank) {
            blanks(rulebook, answers, need, id, &mut found);
        }
    }
    let guards = Guards::of(rulebook);
    let trials = Trials::of(rulebook, &guards, decision.today);
    let mut scope = Scope::default();
    let weighed = guards.weigh(rulebook, &decision.facts, &mut scope);
    let mut facts = decision.facts.clone();
    let mut case = Tried {
        answers,
        facts: &mut facts,
        scope: &mut scope,
    };
    let mut gaps: Vec<Gap> = found
        .into_iter()
        .map(|((group, item, fact), (asked, holds_up))| {
            let info = &rulebook.vocabulary.groups[group];
            let question = fact.map_or_else(
                || info.id.clone(),
                |fact| format!("{}.{}", info.id, info.facts[fact].id),
            );
            let path = fact.map_or_else(
                || Path::default().key(&info.id),
                |fact| answers.path(&rulebook.questionnaire, group, item, fact),
            );
            let effect = trials.effect(&guards, &weighed, &mut case, (group, item, fact));
            Gap {
                question,
                at: path.to_string(),
                asked,
                private: fact.is_some_and(|fact| info.facts[fact].private),
                holds_up: holds_up.into_iter().collect(),
                moves: effect.moves(&weighed),
                could: Could {
                    loosest: outcomes(&effect.loosest),
                    tightest: outcomes(&effect.tightest),
                },
                group,
                item,
                fact,
                path,
            }
        })
        .collect();
    gaps.sort_by(|a, b| {
        // The entry comes last, so that the order of people or bites does not change which question comes first.
        (b.moves, b.holds_up.len(), a.group, a.fact, a.item).cmp(&(
            a.moves,
            a.holds_up.len(),
            b.group,
            b.fact,
            b.item,
        ))
    });
    gaps
}

/// The unanswered questions behind the blanks of a reason.
fn blanks(
    rulebook: &Rulebook,
    answers: &Answers,
    reason: &Reason,
    id: &str,
    found: &mut BTreeMap<Key, (bool, BTreeSet<String>)>,
) {
    if reason.truth != Truth::Blank {
        return;
    }
    let vocabulary = &rulebook.vocabulary;
    reason.visit_unanswered(&mut |group| {
        if let Some(group) = vocabulary.group(group) {
            found
                .entry((group, None, None))
                .or_default()
                .1
                .insert(id.to_owned());
        }
    });
    let mut note = |at: FactRef, item: Option<usize>| {
        let repeated = vocabulary.groups[at.group].repeats.is_some();
        let keys: Vec<Key> = match (repeated, answers.entries(at.group), item) {
            (false, _, _) => vec![(at.group, None, Some(at.fact))],
            (true, Some(_), Some(item)) => vec![(at.group, Some(item), Some(at.fact))],
            (true, Some(entries), None) => (0..entries.len())
                .map(|item| (at.group, Some(item), Some(at.fact)))
                .collect(),
            (true, None, _) => vec![(at.group, None, None)],
        };
        for key in keys {
            let given = key.2.and_then(|fact| answers.given(key.0, key.1, fact));
            if given.is_none_or(Given::is_blank) {
                let entry = found.entry(key).or_default();
                entry.0 |= given == Some(&Given::DontKnow);
                entry.1.insert(id.to_owned());
            }
        }
    };
    reason.visit(&mut |spoken, truth| {
        if truth != Truth::Blank {
            return;
        }
        let fact = vocabulary.fact(spoken.of);
        if fact.is_derived() {
            for from in &fact.from {
                note(
                    *from,
                    (from.group == spoken.of.group)
                        .then_some(spoken.item)
                        .flatten(),
                );
            }
        } else {
            note(spoken.of, spoken.item);
        }
        // Told that a question does not arise, its answer is not needed either.
        for by in vocabulary.arises_by(spoken.of) {
            note(
                by,
                (by.group == spoken.of.group)
                    .then_some(spoken.item)
                    .flatten(),
            );
        }
    });
}

/// Steps as words.
fn outcomes(steps: &Steps) -> Outcomes {
    let words = verdict_of(steps, steps);
    Outcomes {
        risk: words.risk.known.word(),
        start: words.start.known.word(),
        contact: words.contact.known.word(),
        vet: words.vet.known.word(),
    }
}
