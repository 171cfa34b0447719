//! Which measures go on paper: few, the strongest kind of control first.

use serde::Serialize;

use crate::decision::{Decision, Landing};
use crate::rulebook::{
    Contact, Control, HumaneStep, Measure, MeasureKind, Priority, Risk, Rulebook, Start, Urgency,
    Vet,
};

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
    /// The title of the measure that has to be done first.
    pub after: Option<String>,
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
    pub(super) practice: Vec<Action>,
    pub(super) standing: Vec<Action>,
    pub(super) later: Vec<Action>,
    pub(super) never: Vec<Never>,
    pub(super) never_more: Vec<Never>,
}

/// The order measures are taken in: what cannot wait for anyone's health; known before assumed; what answers the rules that hold
/// the case where it is; then the rules' own priority, the kind of control, how soon, the humane order, the weight of the rules
/// behind it, and the id.
type Rank = (
    bool,
    bool,
    bool,
    Priority,
    usize,
    usize,
    usize,
    usize,
    String,
);

fn rank(rulebook: &Rulebook, decision: &Decision, landing: &Landing, measure: &Measure) -> Rank {
    let verdict = &decision.verdict;
    let rules = || landing.rules.iter().map(|at| &rulebook.rules[*at]);
    let thens = || rules().map(|rule| &rule.then);
    let urgent = landing.known
        && thens()
            .any(|then| then.vet == Some(Vet::Urgent) || then.contact == Some(Contact::AtOnce));
    let holds = thens().any(|then| {
        then.start
            .is_some_and(|s| s > Start::OpenRoom && s == verdict.start.known)
            || then
                .risk
                .is_some_and(|r| r >= Risk::High && r == verdict.risk.known)
            || then
                .contact
                .is_some_and(|c| c >= Contact::TwoDays && c == verdict.contact.known)
    });
    let start = match &measure.kind {
        MeasureKind::Do { start, .. } => *start as usize,
        MeasureKind::Never { .. } => 0,
    };
    let weight = thens()
        .map(|then| {
            then.risk.map_or(0, |r| r.steps())
                + then.start.map_or(0, |s| s.steps())
                + then.vet.map_or(0, |v| v.steps())
        })
        .max()
        .unwrap_or(0);
    (
        !urgent,
        !landing.known,
        !holds,
        rules()
            .map(|rule| rule.priority)
            .min()
            .unwrap_or(Priority::Normal),
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
        .filter(|landing| {
            landing.person == person
                && landing.ruled_out_by.is_none()
                && landing.covered_by.is_none()
        })
        .filter_map(|landing| {
            let measure = rulebook.measures.get(&landing.measure)?;
            let open = measure
                .only_from()
                .is_none_or(|from| !held && now <= from && now < Start::HandsOff);
            // Keeping apart does no harm when it turns out that it was not needed. A health measure speaks of signs that were seen;
            // while nobody knows, the open question is printed instead.
            let fits = landing.known || measure.step != HumaneStep::Health;
            (open && fits).then(|| (rank(rulebook, decision, landing, measure), landing, measure))
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
        after: landing
            .waits_for
            .as_ref()
            .and_then(|id| rulebook.measures.get(id))
            .map(|measure| measure.title.clone()),
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
    let mut chosen = Chosen {
        actions: Vec::new(),
        practice: Vec::new(),
        standing: Vec::new(),
        later: Vec::new(),
        never: ranked
            .iter()
            .filter_map(|(landing, measure)| never(rulebook, landing, measure))
            .collect(),
        never_more: Vec::new(),
    };
    for (landing, measure) in &ranked {
        let Some(action) = action(rulebook, landing, measure) else {
            continue;
        };
        // What is only assumed does not queue up: the answer may do away with it.
        let list = if measure.only_from().is_some() {
            &mut chosen.practice
        } else if action.start == Urgency::WhenItHappens {
            &mut chosen.standing
        } else if action.start != Urgency::Later
            && action.after.is_none()
            && chosen.actions.len() < MAX_ACTIONS
        {
            &mut chosen.actions
        } else if !action.assumed {
            &mut chosen.later
        } else {
            continue;
        };
        list.push(action);
    }
    chosen.standing.retain(|action| !action.assumed);
    keep_apart(&mut chosen, decision);
    if chosen.never.len() > MAX_NEVER {
        chosen.never_more = chosen.never.split_off(MAX_NEVER);
    }
    chosen
}

/// Where harm is likely or work is held, at least one live action keeps people and bird apart.
fn keep_apart(chosen: &mut Chosen, decision: &Decision) {
    let verdict = &decision.verdict;
    let apart = |action: &Action| {
        action.control == Control::Barrier.word() && action.step == HumaneStep::Setting.word()
    };
    let wanted = verdict.risk.known >= Risk::High || verdict.start.known == Start::HandsOff;
    if !wanted || chosen.actions.iter().any(apart) {
        return;
    }
    if let Some(at) = chosen
        .later
        .iter()
        .position(|action| apart(action) && action.start == Urgency::Today)
        && let Some(last) = chosen.actions.pop()
    {
        let barrier = chosen.later.remove(at);
        chosen.actions.push(barrier);
        chosen.later.insert(0, last);
    }
}
