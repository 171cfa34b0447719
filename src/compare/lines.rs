//! A plan as lines that can be told apart: each with its key, where it stands, its words, and the rules that ask for it.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::decision::{Decision, Landing};
use crate::plan::{Action, Card, Never, Plan};
use crate::rulebook::{MeasureKind, Rulebook};

use super::measures::is_practice;

/// Where a line stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Section {
    /// The first line.
    Headline,
    /// Why the outcomes stand where they stand.
    Reasons,
    /// What the household does now.
    Actions,
    /// How to practise.
    Practice,
    /// Standing orders for when something happens.
    Standing,
    /// What waits for its turn.
    Later,
    /// What nobody does.
    Never,
    /// What a person does, on that person's card.
    CardDoes,
    /// What a person never does, on that person's card.
    CardNever,
    /// What the consultant speaks of with that person.
    CardTalks,
    /// Whom to turn to.
    Referrals,
    /// What has to be true before the next stage.
    Proofs,
    /// What is not known, and what is assumed.
    Assumptions,
    /// Asked for, and not on paper: something stands in its place, or it waits behind others.
    Behind,
}

/// What tells one line from another.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Key {
    /// The first line.
    Headline,
    /// A reason, by its rule.
    Reason(String),
    /// A measure, for the household or for one person.
    Measure(String, Option<usize>),
    /// A referral.
    Referral(String),
    /// A thing to prove, by its gate and its words.
    Proof(String, String),
    /// A question that is open.
    Assumption(String),
}

impl Key {
    /// The id a reader knows it by.
    pub(super) fn id(&self) -> &str {
        match self {
            Self::Headline => "headline",
            Self::Reason(id)
            | Self::Measure(id, _)
            | Self::Referral(id)
            | Self::Proof(id, _)
            | Self::Assumption(id) => id,
        }
    }
}

/// How surely a line is asked for. More is tighter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Asked {
    /// It is not asked for.
    #[default]
    No,
    /// Until a blank is answered.
    UntilAnswered,
    /// Whatever the blanks are.
    Known,
}

impl Asked {
    fn of(known: bool) -> Self {
        if known {
            Self::Known
        } else {
            Self::UntilAnswered
        }
    }
}

/// A line.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// Where it stands.
    pub(super) section: Section,
    /// Whose card it stands on: letter and role.
    pub(super) person: Option<String>,
    /// Its words, part by part; the first says what it is.
    pub(super) words: Vec<(&'static str, String)>,
    /// Rules that ask for it.
    pub(super) rules: Vec<String>,
    /// How surely it is asked for.
    pub(super) asked: Asked,
    /// True for what keeps people safe: gaining it is tighter, losing it is looser.
    pub(super) protects: bool,
    /// What stands in its place: a measure's id.
    pub(super) aside: Option<String>,
}

/// Every line of a plan, and every measure and referral that is asked for and does not stand on it.
pub(super) fn lines(rulebook: &Rulebook, decision: &Decision, plan: &Plan) -> BTreeMap<Key, Line> {
    let mut lines = BTreeMap::new();
    let plain = |section, words: Vec<(&'static str, String)>, rules: Vec<String>| Line {
        section,
        person: None,
        words,
        rules,
        asked: Asked::Known,
        protects: false,
        aside: None,
    };
    lines.insert(
        Key::Headline,
        plain(
            Section::Headline,
            vec![("says", word(&plan.headline))],
            Vec::new(),
        ),
    );
    for why in &plan.reasons {
        let rule = rulebook.rule(&why.rule);
        let title = rule.map_or_else(String::new, |rule| rule.title.clone());
        // A reason that rests on a private answer has no words on paper.
        let words = vec![("title", title), ("tell", why.tell.clone())];
        lines.insert(
            Key::Reason(why.rule.clone()),
            plain(Section::Reasons, words, vec![why.rule.clone()]),
        );
    }
    for landing in &decision.landings {
        let key = Key::Measure(landing.measure.clone(), landing.person);
        lines.insert(key, measure(rulebook, plan, landing));
    }
    for landing in &decision.referrals {
        let on_paper = plan.referrals.iter().find(|it| it.id == landing.referral);
        let words = rulebook.tables.referrals.get(&landing.referral);
        let words = words.map_or_else(Vec::new, |it| {
            vec![
                ("title", it.title.clone()),
                ("tell", it.tell.clone()),
                ("who-arranges", it.who_arranges.clone()),
                ("when", it.when.clone()),
            ]
        });
        let line = Line {
            section: on_paper.map_or(Section::Behind, |_| Section::Referrals),
            person: None,
            words,
            rules: ids(rulebook, &landing.rules),
            asked: Asked::of(landing.known),
            protects: true,
            aside: None,
        };
        lines.insert(Key::Referral(landing.referral.clone()), line);
    }
    for proof in &plan.proofs {
        let words = vec![
            ("prove", proof.prove.clone()),
            ("state", word(&proof.state)),
        ];
        lines.insert(
            Key::Proof(proof.gate.clone(), proof.prove.clone()),
            plain(Section::Proofs, words, vec![proof.gate.clone()]),
        );
    }
    for open in &plan.assumed {
        lines.insert(
            Key::Assumption(open.question.clone()),
            plain(
                Section::Assumptions,
                vec![("says", open.says.clone())],
                Vec::new(),
            ),
        );
    }
    lines
}

/// A word as data has it.
fn word(value: &impl Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        _ => String::new(),
    }
}

fn ids(rulebook: &Rulebook, rules: &[usize]) -> Vec<String> {
    let rules = rules.iter().map(|at| rulebook.rules[*at].id.clone());
    rules.collect()
}

fn measure(rulebook: &Rulebook, plan: &Plan, landing: &Landing) -> Line {
    let id = landing.measure.as_str();
    let card = landing
        .person
        .and_then(|person| plan.cards.iter().find(|card| card.person == person));
    let aside = landing.ruled_out_by.clone().or(landing.covered_by.clone());
    Line {
        section: section(plan, card, landing),
        person: card.map(of_card),
        words: words(rulebook, landing),
        rules: ids(rulebook, &landing.rules),
        asked: Asked::of(landing.known),
        protects: !is_practice(rulebook, id),
        aside,
    }
}

/// Whose card it is: its letter, and the role in the household. No name.
pub(super) fn of_card(card: &Card) -> String {
    match (card.role.is_empty(), card.presence.is_empty()) {
        (true, true) => card.letter.clone(),
        (false, true) => format!("{} ({})", card.letter, card.role),
        (true, false) => format!("{} ({})", card.letter, card.presence),
        (false, false) => format!("{} ({}, {})", card.letter, card.role, card.presence),
    }
}

fn section(plan: &Plan, card: Option<&Card>, landing: &Landing) -> Section {
    let id = landing.measure.as_str();
    let does = |list: &[Action]| list.iter().any(|action| action.id == id);
    let never = |list: &[Never]| list.iter().any(|never| never.id == id);
    let places = match card {
        Some(card) => vec![
            (does(&card.does), Section::CardDoes),
            (never(&card.never), Section::CardNever),
            (does(&card.talks), Section::CardTalks),
        ],
        None if landing.person.is_some() => Vec::new(),
        None => vec![
            (does(&plan.actions), Section::Actions),
            (does(&plan.practice), Section::Practice),
            (does(&plan.standing), Section::Standing),
            (does(&plan.later), Section::Later),
            (never(&plan.never), Section::Never),
            (never(&plan.never_more), Section::Never),
        ],
    };
    places
        .into_iter()
        .find(|(there, _)| *there)
        .map_or(Section::Behind, |(_, section)| section)
}

/// All words a measure has on paper, whichever of them the paper prints.
fn words(rulebook: &Rulebook, landing: &Landing) -> Vec<(&'static str, String)> {
    let Some(measure) = rulebook.measures.get(&landing.measure) else {
        return Vec::new();
    };
    let mut words = vec![("title", measure.title.clone())];
    match &measure.kind {
        MeasureKind::Do {
            what,
            who,
            when,
            done,
            starts_when,
            ..
        } => {
            words.push(("do", what.clone()));
            words.push(("who", who.clone()));
            words.push(("when", when.clone()));
            words.push(("done", done.clone()));
            words.push(("starts-when", starts_when.clone().unwrap_or_default()));
        }
        MeasureKind::Never { what, instead, .. } => {
            words.push(("never", what.clone()));
            words.push(("instead", instead.clone()));
        }
    }
    words.push(("why", measure.why.clone()));
    words
}
