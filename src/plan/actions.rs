//! Which measures go on paper: few, the strongest kind of control first.

use serde::Serialize;

use crate::decision::{Decision, Landing};
use crate::rulebook::{Contact, Measure, MeasureKind, Rulebook, Start, Urgency, Vet};

use super::{MAX_ACTIONS, MAX_NEVER};

/// One thing to do.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Action {
    /// The measure's id.
    pub id: String,
    /// Its short name.
    pub title: String,
    /// What to do.
    pub what: String,
    /// Why.
    pub why: String,
    /// Who.
    pub who: String,
    /// When.
    pub when: String,
    /// How to know that it is done.
    pub done: String,
    /// How soon it starts.
    pub start: Urgency,
    /// Its place in the hierarchy of controls.
    pub control: &'static str,
    /// Its place in the humane order.
    pub step: &'static str,
    /// What releases it from the later list.
    pub starts_when: Option<String>,
    /// True when it counts only until a blank is answered.
    pub assumed: bool,
    /// Rules that ask for it.
    pub rules: Vec<String>,
    /// Keys of its sources.
    pub source: Vec<String>,
}

/// One thing nobody does, with what to do instead.
#[derive(Debug, Clone, Serialize)]
pub struct Never {
    /// The measure's id.
    pub id: String,
    /// What not to do.
    pub never: String,
    /// What to do instead.
    pub instead: String,
    /// Why.
    pub why: String,
    /// True when it counts only until a blank is answered.
    pub assumed: bool,
    /// Rules that ask for it.
    pub rules: Vec<String>,
}

/// What was chosen for the household.
pub(super) struct Chosen {
    pub(super) actions: Vec<Action>,
    pub(super) later: Vec<Action>,
    pub(super) never: Vec<Never>,
    pub(super) never_more: Vec<Never>,
}

/// The order measures are taken in: what cannot wait for anyone's health, then known before assumed, then the kind of control,
/// then how soon, then the humane order, then the weight of the rules behind it, then the id.
type Rank = (bool, bool, usize, usize, usize, usize, String);

fn rank(rulebook: &Rulebook, landing: &Landing, measure: &Measure) -> Rank {
    let rules = || landing.rules.iter().map(|at| &rulebook.rules[*at].then);
    let urgent = landing.known
        && rules().any(|then| then.vet == Some(Vet::Urgent) || then.contact == Some(Contact::AtOnce));
    let start = match &measure.kind {
        MeasureKind::Do { start, .. } => *start as usize,
        MeasureKind::Never { .. } => 0,
    };
    let weight = rules()
        .map(|then| then.risk.map_or(0, |r| r.steps()) + then.start.map_or(0, |s| s.steps()) + then.vet.map_or(0, |v| v.steps()))
        .max()
        .unwrap_or(0);
    (
        !urgent,
        !landing.known,
        measure.control as usize,
        start,
        measure.step as usize,
        usize::MAX - weight,
        measure.id.clone(),
    )
}

/// Landings that may be printed, in the order they are taken in. Training steps wait for their start mode, and for nothing
/// being held.
pub(super) fn ranked<'a>(
    rulebook: &'a Rulebook,
    decision: &'a Decision,
    held: bool,
    person: Option<usize>,
) -> Vec<(&'a Landing, &'a Measure)> {
    let now = decision.verdict.start.until_answered;
    let mut found: Vec<(Rank, &Landing, &Measure)> = decision
        .landings
        .iter()
        .filter(|landing| landing.person == person && landing.ruled_out_by.is_none())
        .filter_map(|landing| {
            let measure = rulebook.measures.get(&landing.measure)?;
            let open = measure.only_from().is_none_or(|from| !held && now <= from && now < Start::HandsOff);
            open.then(|| (rank(rulebook, landing, measure), landing, measure))
        })
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found
        .into_iter()
        .map(|(_, landing, measure)| (landing, measure))
        .collect()
}

pub(super) fn action(rulebook: &Rulebook, landing: &Landing, measure: &Measure) -> Option<Action> {
    let MeasureKind::Do {
        what,
        who,
        when,
        start,
        done,
        starts_when,
        ..
    } = &measure.kind
    else {
        return None;
    };
    Some(Action {
        id: measure.id.clone(),
        title: measure.title.clone(),
        what: what.clone(),
        why: measure.why.clone(),
        who: who.clone(),
        when: when.clone(),
        done: done.clone(),
        start: *start,
        control: measure.control.word(),
        step: measure.step.word(),
        starts_when: starts_when.clone(),
        assumed: !landing.known,
        rules: rule_ids(rulebook, landing),
        source: measure.source.clone(),
    })
}

pub(super) fn never(rulebook: &Rulebook, landing: &Landing, measure: &Measure) -> Option<Never> {
    let MeasureKind::Never { what, instead, .. } = &measure.kind else {
        return None;
    };
    Some(Never {
        id: measure.id.clone(),
        never: what.clone(),
        instead: instead.clone(),
        why: measure.why.clone(),
        assumed: !landing.known,
        rules: rule_ids(rulebook, landing),
    })
}

fn rule_ids(rulebook: &Rulebook, landing: &Landing) -> Vec<String> {
    landing
        .rules
        .iter()
        .map(|at| rulebook.rules[*at].id.clone())
        .collect()
}

/// Chooses for the household: at most [`MAX_ACTIONS`] live actions and [`MAX_NEVER`] lines of what nobody does.
pub(super) fn choose(rulebook: &Rulebook, decision: &Decision, held: bool) -> Chosen {
    let ranked = ranked(rulebook, decision, held, None);
    // What starts later by its own nature never takes a live place.
    let (mut actions, mut later): (Vec<Action>, Vec<Action>) = ranked
        .iter()
        .filter_map(|(landing, measure)| action(rulebook, landing, measure))
        .partition(|action| action.start != Urgency::Later);
    if actions.len() > MAX_ACTIONS {
        let waiting = actions.split_off(MAX_ACTIONS);
        later.splice(0..0, waiting);
    }
    let mut never: Vec<Never> = ranked
        .iter()
        .filter_map(|(landing, measure)| self::never(rulebook, landing, measure))
        .collect();
    let never_more = if never.len() > MAX_NEVER {
        never.split_off(MAX_NEVER)
    } else {
        Vec::new()
    };
    Chosen {
        actions,
        later,
        never,
        never_more,
    }
}
