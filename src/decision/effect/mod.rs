//! What one answer alone could change: every answer that stands for others is tried out, and the engine weighs the case anew.
//!
//! An answer changes nothing but what it reaches. So only the facts are worked out anew that are worked out from it and that an open
//! guard speaks of, and only the guards are weighed anew that can change with it; all other open guards stay as they are, blank.
//! The tests hold this against working everything out anew.

mod candidates;
mod reach;
#[cfg(test)]
mod tests;

use std::sync::OnceLock;

use jiff::civil::Date;

use crate::answers::Answers;
use crate::facts::tried::{Before, put_back, replace, swap_all};
use crate::facts::{Facts, Items, derive};
use crate::language::Truth;
use crate::language::condition::{FactRef, Scope};
use crate::rulebook::Rulebook;

use super::guards::{GuardSet, Guards, Steps, Weighed, could_lift, raise};
use candidates::Candidates;
use reach::{Reach, Reaches};

/// A blank: its group, the entry of a repeated group, and the question; a group alone when nothing in it was answered.
pub(super) type Key = (usize, Option<usize>, Option<usize>);

/// How far one answer could move the outcomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Effect {
    /// The loosest outcomes until answered, over all answers.
    pub(super) loosest: Steps,
    /// The tightest known outcomes, over all answers.
    pub(super) tightest: Steps,
}

impl Effect {
    /// Nothing changes.
    fn none(weighed: &Weighed) -> Self {
        Self {
            loosest: weighed.until_answered,
            tightest: weighed.known,
        }
    }

    /// Steps moved on all scales, known and until answered together.
    pub(super) fn moves(&self, weighed: &Weighed) -> usize {
        (0..4)
            .map(|on| {
                usize::from(weighed.until_answered[on] - self.loosest[on])
                    + usize::from(self.tightest[on] - weighed.known[on])
            })
            .sum()
    }

    fn tighten(&mut self, (known, until_answered): &(Steps, Steps)) {
        raise(&mut self.tightest, known);
        for (loosest, until) in self.loosest.iter_mut().zip(until_answered) {
            *loosest = (*loosest).min(*until);
        }
    }
}

/// Ready to try answers out, for one rulebook on one day.
#[derive(Debug)]
pub(super) struct Trials<'r> {
    rulebook: &'r Rulebook,
    today: Date,
    reaches: Reaches<'r>,
    /// By group and place, found when first needed.
    candidates: Vec<Vec<OnceLock<Candidates>>>,
}

/// One case on which answers are tried out; left as it was found.
#[derive(Debug)]
pub(super) struct Tried<'c> {
    pub(super) answers: &'c Answers,
    pub(super) facts: &'c mut Facts,
    pub(super) scope: &'c mut Scope,
}

/// What an answer could change of one case.
struct Stake {
    /// Open guards that could change with it.
    guards: Vec<usize>,
    /// The outcomes until answered by all others: what is known, and what open guards add that stay blank.
    others: Steps,
    /// Facts to be worked out anew.
    derived: Vec<usize>,
    /// True when questions may arise by it, or no longer.
    settles: bool,
}

/// What stood in a case before something was tried.
#[derive(Default)]
struct Aside {
    /// Questions that do not arise, while they are blank again.
    unsettled: Vec<Before>,
    /// What one answer changed.
    before: Vec<Before>,
}

impl<'r> Trials<'r> {
    pub(super) fn of(rulebook: &'r Rulebook, guards: &Guards, today: Date) -> Self {
        let groups = &rulebook.vocabulary.groups;
        Self {
            rulebook,
            today,
            reaches: Reaches::of(rulebook, guards),
            candidates: groups
                .iter()
                .map(|group| group.facts.iter().map(|_| OnceLock::new()).collect())
                .collect(),
        }
    }

    /// What the answer to a blank reaches.
    pub(super) fn reach(&self, (group, _, question): Key) -> &Reach<'r> {
        match question {
            Some(question) => &self.reaches.questions[group][question],
            None => &self.reaches.groups[group],
        }
    }

    /// The most that an answer could move, without trying it: what it could change may all come to hold, or all come not to.
    pub(super) fn bound(&self, guards: &Guards, weighed: &Weighed, key: Key) -> Effect {
        let Reach { change, rest, .. } = self.reach(key);
        let mut most = Effect::none(weighed);
        for guard in weighed.open.and(change) {
            raise(&mut most.tightest, &guards.all[guard].lift);
        }
        if key.2.is_none() {
            for guard in weighed.open.and(rest) {
                raise(&mut most.tightest, &guards.all[guard].lift);
            }
        }
        if weighed
            .holders
            .iter()
            .any(|holders| holders.is_within(change))
        {
            most.loosest = others(guards, weighed, change);
        }
        most
    }

    /// What an answer to one blank could make of the outcomes.
    pub(super) fn effect(
        &self,
        guards: &Guards,
        weighed: &Weighed,
        case: &mut Tried<'_>,
        key: Key,
    ) -> Effect {
        let stake = self.stake(guards, weighed, self.reach(key));
        let mut effect = Effect::none(weighed);
        let (group, item, Some(fact)) = key else {
            self.empty_group(guards, weighed, case, (key.0, &stake), &mut effect);
            return effect;
        };
        let at = FactRef { group, fact };
        let candidates = self.candidates[group][fact]
            .get_or_init(|| Candidates::of(self.rulebook, &self.reaches, self.today, at));
        // Where nothing is worked out from it, answers are alike that no phrase tells apart.
        let candidates = if stake.derived.is_empty() {
            &candidates.apart
        } else {
            &candidates.all
        };
        let most = self.bound(guards, weighed, key);
        let mut aside = self.aside(case, &stake);
        for value in candidates {
            // A blank of a group that was not told stands for the whole group, never for one question.
            let Some(was) = replace(&mut case.facts.groups, at, item, value.clone()) else {
                break;
            };
            aside.before.push(was);
            effect.tighten(&self.weigh(guards, (weighed, &effect), case, &stake, &mut aside));
            put_back(&mut case.facts.groups, &mut aside.before);
            if effect == most {
                break;
            }
        }
        put_back(&mut case.facts.groups, &mut aside.unsettled);
        effect
    }

    /// A group of which nothing was told: none at all; and, since what may stand in it cannot be tried out, everything that
    /// rests on it.
    fn empty_group(
        &self,
        guards: &Guards,
        weighed: &Weighed,
        case: &mut Tried<'_>,
        (group, stake): (usize, &Stake),
        effect: &mut Effect,
    ) {
        let mut aside = self.aside(case, stake);
        let told = std::mem::replace(&mut case.facts.groups[group], Items::Many(Some(Vec::new())));
        effect.tighten(&self.weigh(guards, (weighed, effect), case, stake, &mut aside));
        put_back(&mut case.facts.groups, &mut aside.before);
        case.facts.groups[group] = told;
        put_back(&mut case.facts.groups, &mut aside.unsettled);
        for guard in weighed.open.and(&self.reaches.groups[group].rest) {
            raise(&mut effect.tightest, &guards.all[guard].lift);
        }
    }

    /// Makes ready to work facts out anew: they see blanks where it was found that a question does not arise.
    fn aside(&self, case: &mut Tried<'_>, stake: &Stake) -> Aside {
        let mut aside = Aside::default();
        if stake.settles || !stake.derived.is_empty() {
            let vocabulary = &self.rulebook.vocabulary;
            case.facts
                .unsettle(vocabulary, case.answers, &mut aside.unsettled);
        }
        aside
    }

    fn stake(&self, guards: &Guards, weighed: &Weighed, reach: &Reach<'_>) -> Stake {
        let spoken = |derived: &usize| {
            self.reaches.settle[*derived] || !self.reaches.speak[*derived].is_apart(&weighed.open)
        };
        Stake {
            guards: weighed.open.and(&reach.change).collect(),
            others: others(guards, weighed, &reach.change),
            derived: reach.derived.iter().copied().filter(spoken).collect(),
            settles: reach.settles,
        }
    }

    /// The outcomes with what was put in place: known, and until answered, as far as they add to the effect that was found
    /// before. What is changed for it is set aside.
    fn weigh(
        &self,
        guards: &Guards,
        (weighed, found): (&Weighed, &Effect),
        case: &mut Tried<'_>,
        stake: &Stake,
        aside: &mut Aside,
    ) -> (Steps, Steps) {
        let vocabulary = &self.rulebook.vocabulary;
        let Aside { unsettled, before } = aside;
        if !stake.derived.is_empty() {
            let groups = &mut case.facts.groups;
            derive::anew(vocabulary, case.answers, groups, &stake.derived, before);
        }
        if stake.settles {
            case.facts.settle_not_applicable(vocabulary, before);
        } else {
            swap_all(&mut case.facts.groups, unsettled);
        }
        let (mut known, mut until_answered) = (weighed.known, stake.others);
        for at in &stake.guards {
            let guard = &guards.all[*at];
            // Once this answer leaves everything as tight as an earlier one did, it loosens nothing more, and only what it tightens counts.
            let holds = could_lift(&found.loosest, &until_answered)
                && could_lift(&guard.lift, &until_answered);
            if !holds && !could_lift(&guard.lift, &found.tightest) {
                continue;
            }
            match guards.truth(self.rulebook, guard.which, case.facts, case.scope) {
                Truth::False => {}
                Truth::Blank => raise(&mut until_answered, &guard.lift),
                Truth::True => {
                    raise(&mut known, &guard.lift);
                    raise(&mut until_answered, &guard.lift);
                }
            }
        }
        if !stake.settles {
            swap_all(&mut case.facts.groups, unsettled);
        }
        (known, until_answered)
    }
}

/// What is known, and what the open guards add that an answer does not change.
fn others(guards: &Guards, weighed: &Weighed, change: &GuardSet) -> Steps {
    let mut steps = weighed.known;
    for guard in weighed.open.without(change) {
        raise(&mut steps, &guards.all[guard].lift);
    }
    steps
}
