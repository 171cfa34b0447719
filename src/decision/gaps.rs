//! Blanks worth asking about: which answers could change the outcome, and how far each alone could move it.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use crate::answers::{Answers, Given, Part};
use crate::dates::PartialDate;
use crate::facts::Facts;
use crate::language::condition::FactRef;
use crate::language::phrase::Range;
use crate::language::{Test, Truth};
use crate::questionnaire::Kind;
use crate::rulebook::Rulebook;
use crate::tree::Path;

use super::verdict::{Pair, Truths, Verdict, gate_truth, rule_truth, verdict};
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
    pub could: Option<Could>,
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

type Key = (usize, Option<usize>, Option<usize>);

/// All gaps, most telling first.
pub(super) fn gaps(
    rulebook: &Rulebook,
    answers: &Answers,
    decision: &Decision,
    truths: &Truths,
) -> Vec<Gap> {
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
    let mover = Mover::new(rulebook, answers, decision, truths);
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
            let (moves, could) = fact.map_or_else(
                || mover.empty_group(group),
                |fact| mover.question(group, item, fact),
            );
            Gap {
                question,
                at: path.to_string(),
                asked,
                private: fact.is_some_and(|fact| info.facts[fact].private),
                holds_up: holds_up.into_iter().collect(),
                moves,
                could,
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
    });
}

/// Tries answers out: only rules that rest on the changed facts are asked again.
struct Mover<'a> {
    rulebook: &'a Rulebook,
    answers: &'a Answers,
    today: Date,
    truths: &'a Truths,
    now: Verdict,
    /// Rules and gates that rest on each group's facts: (is a gate, place).
    users: BTreeMap<FactRef, BTreeSet<(bool, usize)>>,
    group_users: BTreeMap<usize, BTreeSet<(bool, usize)>>,
    /// Numbers that phrases turn on, by fact.
    edges: BTreeMap<FactRef, Vec<f64>>,
}

impl<'a> Mover<'a> {
    fn new(
        rulebook: &'a Rulebook,
        answers: &'a Answers,
        decision: &'a Decision,
        truths: &'a Truths,
    ) -> Self {
        let mut mover = Self {
            rulebook,
            answers,
            today: decision.today,
            truths,
            now: decision.verdict,
            users: BTreeMap::new(),
            group_users: BTreeMap::new(),
            edges: BTreeMap::new(),
        };
        let people = rulebook.vocabulary.group_by_noun("person");
        for (at, rule) in rulebook.rules.iter().enumerate() {
            if let (true, Some(people)) = (rule.each_person, people) {
                mover
                    .group_users
                    .entry(people)
                    .or_default()
                    .insert((false, at));
            }
            mover.learn(&rule.when, (false, at));
        }
        for (at, gate) in rulebook.gates.iter().enumerate() {
            for need in &gate.needs {
                mover.learn(&need.when, (true, at));
            }
        }
        mover
    }

    fn learn(&mut self, condition: &crate::language::Condition, user: (bool, usize)) {
        condition.visit(&mut |fact, test, _| {
            self.users.entry(fact).or_default().insert(user);
            if let Test::Within(Range { low, high, .. }) = test {
                self.edges
                    .entry(fact)
                    .or_default()
                    .extend([*low, *high].into_iter().filter(|edge| edge.is_finite()));
            }
        });
        condition.visit_groups(&mut |group| {
            self.group_users.entry(group).or_default().insert(user);
        });
    }

    /// The facts an answer changes: its own, and those worked out from it.
    fn touched(&self, at: FactRef) -> Vec<FactRef> {
        let vocabulary = &self.rulebook.vocabulary;
        let mut touched = vec![at];
        for (derived, _) in &vocabulary.derived {
            // What hangs on an entry as a whole (a name that ties a bite to a person) may reach any derived fact.
            if vocabulary
                .fact(*derived)
                .from
                .iter()
                .any(|from| from.group == at.group)
            {
                touched.push(*derived);
            }
        }
        touched
    }

    fn question(&self, group: usize, item: Option<usize>, fact: usize) -> (usize, Option<Could>) {
        let at = FactRef { group, fact };
        let touched = self.touched(at);
        let mut users: BTreeSet<(bool, usize)> = BTreeSet::new();
        for fact in &touched {
            users.extend(self.users.get(fact).into_iter().flatten().copied());
        }
        let verdicts: Vec<Verdict> = self
            .candidates(at, &touched)
            .into_iter()
            .map(|given| {
                let mut answers = self.answers.clone();
                match (&mut answers.parts[group], item) {
                    (Part::Once(values), _) => values[fact] = given,
                    (Part::Many(Some(entries)), Some(item)) => entries[item].given[fact] = given,
                    _ => {}
                }
                self.verdict(&answers, &users)
            })
            .collect();
        self.moved(&verdicts)
    }

    fn empty_group(&self, group: usize) -> (usize, Option<Could>) {
        let mut users = self.group_users.get(&group).cloned().unwrap_or_default();
        for fact in 0..self.rulebook.vocabulary.groups[group].facts.len() {
            for touched in self.touched(FactRef { group, fact }) {
                users.extend(self.users.get(&touched).into_iter().flatten().copied());
            }
        }
        let mut answers = self.answers.clone();
        answers.parts[group] = Part::Many(Some(Vec::new()));
        let none = self.verdict(&answers, &users);
        // What stands in the list cannot be tried out; at worst everything that hangs on it holds.
        let mut worst = self.truths.clone();
        for (is_gate, at) in &users {
            let truth = if *is_gate {
                &mut worst.gates[*at]
            } else {
                &mut worst.rules[*at]
            };
            if *truth == Truth::Blank {
                *truth = if *is_gate { Truth::False } else { Truth::True };
            }
        }
        self.moved(&[none, verdict(self.rulebook, &worst)])
    }

    fn verdict(&self, answers: &Answers, users: &BTreeSet<(bool, usize)>) -> Verdict {
        let facts = Facts::of(
            &self.rulebook.questionnaire,
            &self.rulebook.vocabulary,
            answers,
            self.today,
        );
        let mut truths = self.truths.clone();
        for (is_gate, at) in users {
            if *is_gate {
                truths.gates[*at] = gate_truth(&self.rulebook.gates[*at], &facts);
            } else {
                truths.rules[*at] = rule_truth(self.rulebook, &self.rulebook.rules[*at], &facts);
            }
        }
        verdict(self.rulebook, &truths)
    }

    /// Answers that stand for all: every choice, and a number on each side of every edge that a phrase turns on.
    fn candidates(&self, at: FactRef, touched: &[FactRef]) -> Vec<Given> {
        let fact = self.rulebook.vocabulary.fact(at);
        let choices = fact.choices.len().min(64) as u8;
        let mut edges: Vec<f64> = touched
            .iter()
            .filter(|other| {
                matches!(
                    self.rulebook.vocabulary.fact(**other).kind,
                    Kind::Number(_) | Kind::Date
                )
            })
            .filter_map(|other| self.edges.get(other))
            .flatten()
            .copied()
            .collect();
        edges.sort_by(f64::total_cmp);
        edges.dedup();
        match fact.kind {
            Kind::YesNo => vec![Given::YesNo(true), Given::YesNo(false)],
            Kind::Choice | Kind::Level => (0..choices).map(Given::Choice).collect(),
            Kind::Choices => {
                let alone = self
                    .rulebook
                    .questionnaire
                    .groups
                    .get(at.group)
                    .and_then(|group| group.questions.get(at.fact))
                    .and_then(|question| question.alone);
                let all = (0..choices)
                    .filter(|choice| Some(usize::from(*choice)) != alone)
                    .fold(0, |mask, choice| mask | (1 << choice));
                (0..choices)
                    .map(|choice| Given::Choices(1 << choice))
                    .chain([Given::Choices(all)])
                    .collect()
            }
            Kind::Number(_) => {
                let (min, max) = (fact.min.max(-1e9), fact.max.min(1e9));
                edges
                    .into_iter()
                    .flat_map(|edge| [edge - 0.5, edge, edge + 0.5])
                    .chain([min, max])
                    .filter(|number| (min..=max).contains(number))
                    .map(Given::Number)
                    .collect()
            }
            Kind::Date => {
                edges.push(0.0);
                edges
                    .into_iter()
                    .flat_map(|edge| [edge - 1.0, edge, edge + 1.0])
                    .chain([3650.0])
                    .filter(|days| fact.future || *days >= 0.0)
                    .filter_map(|days| {
                        let back = (days as i32).days();
                        let date = self.today.checked_sub(back).ok()?;
                        Some(Given::Date(PartialDate::day(date)))
                    })
                    .collect()
            }
            Kind::Text => Vec::new(),
        }
    }

    fn moved(&self, verdicts: &[Verdict]) -> (usize, Option<Could>) {
        if verdicts.is_empty() {
            return (0, None);
        }
        let mut steps = 0;
        let risk = ends(self.now.risk, verdicts.iter().map(|v| v.risk), &mut steps);
        let start = ends(self.now.start, verdicts.iter().map(|v| v.start), &mut steps);
        let contact = ends(
            self.now.contact,
            verdicts.iter().map(|v| v.contact),
            &mut steps,
        );
        let vet = ends(self.now.vet, verdicts.iter().map(|v| v.vet), &mut steps);
        let could = Could {
            loosest: Outcomes {
                risk: risk.0.word(),
                start: start.0.word(),
                contact: contact.0.word(),
                vet: vet.0.word(),
            },
            tightest: Outcomes {
                risk: risk.1.word(),
                start: start.1.word(),
                contact: contact.1.word(),
                vet: vet.1.word(),
            },
        };
        (steps, Some(could))
    }
}

/// Outcomes that can be counted in steps.
trait Steps: Copy + Ord {
    fn at(self) -> usize;
}

macro_rules! steps {
    ($($type:ty),*) => { $(impl Steps for $type { fn at(self) -> usize { self.steps() } })* };
}
steps!(
    crate::rulebook::Risk,
    crate::rulebook::Start,
    crate::rulebook::Contact,
    crate::rulebook::Vet
);

/// The loosest until answered and the tightest known; steps moved are added up.
fn ends<T: Steps>(now: Pair<T>, moved: impl Iterator<Item = Pair<T>>, steps: &mut usize) -> (T, T) {
    let (mut loosest, mut tightest) = (now.until_answered, now.known);
    for pair in moved {
        loosest = loosest.min(pair.until_answered);
        tightest = tightest.max(pair.known);
    }
    *steps += now.until_answered.at() - loosest.at() + tightest.at() - now.known.at();
    (loosest, tightest)
}
