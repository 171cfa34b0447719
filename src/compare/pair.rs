//! Two cases side by side under one set of rules: what was told, which rules spoke, what came out, and what is advised.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::answers::{Answers, Given, one};
use crate::decision::{Counts, Decision, Pair as Outcome};
use crate::language::Truth;
use crate::plan::{Headline, Plan, Told};
use crate::rulebook::Rulebook;

use super::because::OUTCOMES;
use super::lines::{Asked, Key, Line, Section, lines, of_card};

/// One of two cases.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// What it is called.
    pub label: &'a str,
    /// Its answers, as they are: whether two answers are alike is told by these.
    pub answers: &'a Answers,
    /// Its decision.
    pub decision: &'a Decision,
    /// Its plan.
    pub plan: &'a Plan,
    /// The plan its answers are printed from: the same, or that of the redacted form.
    pub shown: &'a Plan,
}

/// Two cases side by side.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Pair {
    /// The day they were decided for.
    pub day: String,
    /// The rulebook, its version, and the start of its fingerprint.
    pub rulebook: [String; 3],
    /// True when names, places, codes and dates are replaced.
    pub redacted: bool,
    /// What the first is called.
    pub a: String,
    /// What the second is called.
    pub b: String,
    /// True when all ordered outcomes are the same.
    pub same_outcomes: bool,
    /// The ordered outcomes.
    pub outcomes: Vec<OutcomePair>,
    /// Rules and gates that do not say the same of both.
    pub rules: Vec<RulePair>,
    /// How many rules and gates say the same of both, and say something.
    pub rules_alike: usize,
    /// Answers.
    pub answers: Vec<AnswerPair>,
    /// How many answers are alike in both; a question that neither answered is not counted.
    pub answers_alike: usize,
    /// What the first line of each plan says.
    pub headlines: [Headline; 2],
    /// Lines of the papers that do not stand in both at the same place.
    pub lines: Vec<LinePair>,
    /// How many lines are alike.
    pub lines_alike: usize,
}

/// An ordered outcome of both.
#[derive(Debug, Clone, Serialize)]
pub struct OutcomePair {
    /// `risk`, `start`, `contact` or `vet`.
    pub outcome: &'static str,
    /// Of the first.
    pub a: Outcome<&'static str>,
    /// Of the second.
    pub b: Outcome<&'static str>,
    /// True when they are the same.
    pub alike: bool,
}

/// What a rule or gate says of both.
#[derive(Debug, Clone, Serialize)]
pub struct RulePair {
    /// Its id.
    pub rule: String,
    /// Its title.
    pub title: String,
    /// `rule` or `gate`.
    pub kind: &'static str,
    /// Of the first: `no`, `asks`, `until-answered`, `known`; of a gate `shut`, `not-known`, `open`.
    pub a: &'static str,
    /// Of the second.
    pub b: &'static str,
}

/// An answer of both.
#[derive(Debug, Clone, Serialize)]
pub struct AnswerPair {
    /// The question, as `group.question`; of a repeated group with the place of its entry, `group[1].question`.
    pub question: String,
    /// The question in words.
    pub ask: String,
    /// Whose card an entry of the list of people belongs to, in the first and in the second; for other lists nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of: Option<[String; 2]>,
    /// Of the first; none where it was not answered.
    pub a: Option<String>,
    /// Of the second.
    pub b: Option<String>,
    /// True when they are the same.
    pub alike: bool,
    /// True when it must never reach a shared paper.
    pub private: bool,
}

/// A line of the papers of one, or of both at different places.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LinePair {
    /// Its id.
    pub id: String,
    /// What it says.
    pub says: String,
    /// On whose card, where it is a person's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// Where it stands in the first.
    pub a: Option<Section>,
    /// Where it stands in the second.
    pub b: Option<Section>,
    /// How surely it is asked for in the first.
    pub asked_a: Asked,
    /// The same in the second.
    pub asked_b: Asked,
}

impl Pair {
    /// Puts two cases side by side. `all`: the answers that are alike, too. `redacted`: whether their answers are printed redacted.
    #[must_use]
    pub fn of(rulebook: &Rulebook, a: Case<'_>, b: Case<'_>, all: bool, redacted: bool) -> Self {
        let outcomes = outcomes(a.decision, b.decision);
        let (rules, rules_alike) = rules(rulebook, a.decision, b.decision);
        let mut answers = answers(rulebook, a, b);
        let answers_alike = answers.iter().filter(|it| it.alike).count();
        answers.retain(|it| all || !it.alike);
        let (lines, lines_alike) = line_pairs(rulebook, a, b);
        let record = &a.plan.record;
        Self {
            day: a.decision.today.to_string(),
            rulebook: [
                record.rulebook.clone(),
                record.rulebook_version.clone(),
                record.rulebook_fingerprint.clone(),
            ],
            redacted,
            a: a.label.to_owned(),
            b: b.label.to_owned(),
            same_outcomes: outcomes.iter().all(|it| it.alike),
            outcomes,
            rules,
            rules_alike,
            answers,
            answers_alike,
            headlines: [a.plan.headline, b.plan.headline],
            lines,
            lines_alike,
        }
    }
}

fn outcomes(a: &Decision, b: &Decision) -> Vec<OutcomePair> {
    let (a, b) = (super::case::told(&a.verdict), super::case::told(&b.verdict));
    OUTCOMES
        .iter()
        .enumerate()
        .map(|(at, outcome)| OutcomePair {
            outcome,
            a: a[at].0,
            b: b[at].0,
            alike: a[at].1 == b[at].1,
        })
        .collect()
}

fn rules(rulebook: &Rulebook, a: &Decision, b: &Decision) -> (Vec<RulePair>, usize) {
    let counts = |counts: Counts| match counts {
        Counts::No => "no",
        Counts::Asks => "asks",
        Counts::UntilAnswered => "until-answered",
        Counts::Known => "known",
    };
    let open = |truth: Truth| match truth {
        Truth::False => "shut",
        Truth::Blank => "not-known",
        Truth::True => "open",
    };
    let rules = a.rules.iter().zip(&b.rules).map(|(a, b)| {
        let rule = &rulebook.rules[a.rule];
        RulePair {
            rule: rule.id.clone(),
            title: rule.title.clone(),
            kind: "rule",
            a: counts(a.counts),
            b: counts(b.counts),
        }
    });
    let gates = a.gates.iter().zip(&b.gates).map(|(a, b)| {
        let gate = &rulebook.gates[a.gate];
        RulePair {
            rule: gate.id.clone(),
            title: gate.title.clone(),
            kind: "gate",
            a: open(a.truth),
            b: open(b.truth),
        }
    });
    let speak = rules.chain(gates).filter(|it| it.a != "no" || it.b != "no");
    let (alike, differ): (Vec<RulePair>, Vec<RulePair>) = speak.partition(|it| it.a == it.b);
    (differ, alike.len())
}

/// Which entry of one case stands beside which of the other: people in the order of their cards, which is that of their roles; other
/// entries in the order they were told in.
fn entries(group: &str, case: Case<'_>, at: usize) -> Vec<usize> {
    let count = case.answers.entries(at).map_or(0, <[_]>::len);
    if group == "people" && case.plan.cards.len() == count {
        return case.plan.cards.iter().map(|card| card.person).collect();
    }
    (0..count).collect()
}

fn answers(rulebook: &Rulebook, a: Case<'_>, b: Case<'_>) -> Vec<AnswerPair> {
    let mut found = Vec::new();
    for (at, group) in rulebook.questionnaire.groups.iter().enumerate() {
        // Notes are the consultant's own words of one household.
        if group.id == "notes" {
            continue;
        }
        let places: Vec<(Option<usize>, Option<usize>)> = if group.repeats.is_none() {
            vec![(Some(0), Some(0))]
        } else {
            let (a, b) = (entries(&group.id, a, at), entries(&group.id, b, at));
            (0..a.len().max(b.len()))
                .map(|place| (a.get(place).copied(), b.get(place).copied()))
                .collect()
        };
        for (place, (of_a, of_b)) in places.into_iter().enumerate() {
            for (question, about) in group.questions.iter().enumerate() {
                let given = |case: Case<'_>, item: Option<usize>| -> Given {
                    let item = item.filter(|_| group.repeats.is_some());
                    let given = case.answers.given(at, item, question);
                    given.cloned().unwrap_or(Given::Blank)
                };
                let (first, second) = (given(a, of_a), given(b, of_b));
                let never = |given: &Given| matches!(given, Given::Blank);
                if never(&first) && never(&second) {
                    continue;
                }
                let words = |case: Case<'_>, item: Option<usize>, given: &Given| {
                    if matches!(given, Given::DontKnow) {
                        return Some(one(about, given));
                    }
                    shown(case.shown, &group.id, item?, &about.id)?
                        .value
                        .clone()
                };
                let name = if group.repeats.is_some() {
                    format!("{}[{}].{}", group.id, place + 1, about.id)
                } else {
                    format!("{}.{}", group.id, about.id)
                };
                found.push(AnswerPair {
                    question: name,
                    ask: about.ask.clone(),
                    of: (group.id == "people").then(|| [card(a, of_a), card(b, of_b)]),
                    a: words(a, of_a, &first),
                    b: words(b, of_b, &second),
                    alike: first == second,
                    private: about.private,
                });
            }
        }
    }
    found
}

/// What was told to a question, in words.
fn shown<'p>(plan: &'p Plan, group: &str, item: usize, question: &str) -> Option<&'p Told> {
    let entries = plan.told.get(group)?.as_ref()?;
    entries.get(item)?.get(question)
}

fn card(case: Case<'_>, person: Option<usize>) -> String {
    let cards = &case.plan.cards;
    let card = person.and_then(|person| cards.iter().find(|card| card.person == person));
    card.map_or_else(String::new, of_card)
}

/// Lines by what they are; those of a person by the place of the card.
fn line_pairs(rulebook: &Rulebook, a: Case<'_>, b: Case<'_>) -> (Vec<LinePair>, usize) {
    let of = |case: Case<'_>| -> std::collections::BTreeMap<Key, Line> {
        let by_card = |key: Key| match key {
            Key::Measure(id, Some(person)) => {
                let mut cards = case.plan.cards.iter();
                let place = cards.position(|card| card.person == person);
                Key::Measure(id, place)
            }
            other => other,
        };
        lines(rulebook, case.decision, case.plan)
            .into_iter()
            .filter(|(_, line)| ![Section::Behind, Section::Headline].contains(&line.section))
            .map(|(key, line)| (by_card(key), line))
            .collect()
    };
    let (a, b) = (of(a), of(b));
    let keys: BTreeSet<&Key> = a.keys().chain(b.keys()).collect();
    let mut alike = 0;
    let mut differ = Vec::new();
    for key in keys {
        let (first, second) = (a.get(key), b.get(key));
        let section = |line: Option<&Line>| line.map(|it| it.section);
        let asked = |line: Option<&Line>| line.map_or(Asked::No, |it| it.asked);
        let words = |line: Option<&Line>| line.map(|it| it.words.clone());
        if section(first) == section(second)
            && asked(first) == asked(second)
            && words(first) == words(second)
        {
            alike += 1;
            continue;
        }
        let Some(line) = first.or(second) else {
            continue;
        };
        differ.push(LinePair {
            id: key.id().to_owned(),
            says: super::case::says(line),
            person: line.person.clone(),
            a: section(first),
            b: section(second),
            asked_a: asked(first),
            asked_b: asked(second),
        });
    }
    differ.sort_by_key(|it| (it.a.or(it.b), it.id.clone(), it.person.clone()));
    (differ, alike)
}
