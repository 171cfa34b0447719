//! A decision without its trace: the same outcomes, the rule that decides how soon to reply, and what to ask first.
//!
//! For ranking many enquiries, where nobody reads the reasons of each. Tests hold it against [`super::decide`].

use jiff::civil::Date;

use crate::answers::{Answers, Given};
use crate::facts::Facts;
use crate::language::condition::{FactRef, Scope};
use crate::questionnaire::Tier;
use crate::rulebook::Rulebook;

use super::effect::{Key, Trials, Tried};
use super::guards::{Guards, Weighed, could_lift, raise, verdict_of};
use super::overrule::overrule;
use super::verdict::Verdict;

/// How many questions are asked first.
pub const ASKS: usize = 3;

/// A rulebook made ready for many short decisions on one day.
#[derive(Debug)]
pub struct Briefing<'r> {
    /// The rulebook.
    pub rulebook: &'r Rulebook,
    /// The day.
    pub today: Date,
    guards: Guards,
    trials: Trials<'r>,
}

/// A decision without its trace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brief {
    /// The ordered outcomes, as [`super::decide`] gives them.
    pub verdict: Verdict,
    /// The rule that decides how soon to reply, by its place in the rulebook; none for a routine reply.
    pub rule: Option<usize>,
    /// What to ask first, the most telling first; at most [`ASKS`].
    pub asks: Vec<Ask>,
}

/// A question worth asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// Its group.
    pub group: usize,
    /// The entry of a repeated group, by its place among the entries.
    pub item: Option<usize>,
    /// The question's place in its group; none for a whole group of which nothing was told.
    pub question: Option<usize>,
    /// Steps the answer alone could move the ordered outcomes, known and until answered together.
    pub moves: usize,
    /// The outcomes it could lead to: `known` the tightest that could become known, `until_answered` the loosest that could be left.
    pub could: Verdict,
}

impl<'r> Briefing<'r> {
    /// Makes a rulebook ready.
    #[must_use]
    pub fn of(rulebook: &'r Rulebook, today: Date) -> Self {
        let guards = Guards::of(rulebook);
        let trials = Trials::of(rulebook, &guards, today);
        Self {
            rulebook,
            today,
            guards,
            trials,
        }
    }

    /// The facts of a case, on the day of the briefing.
    #[must_use]
    pub fn facts(&self, answers: &Answers) -> Facts {
        Facts::of(
            &self.rulebook.questionnaire,
            &self.rulebook.vocabulary,
            answers,
            self.today,
        )
    }

    /// The ordered outcomes alone, as the rules have them.
    #[must_use]
    pub fn verdict(&self, facts: &Facts) -> Verdict {
        self.guards
            .weigh(self.rulebook, facts, &mut Scope::default())
            .verdict()
    }

    /// Decides a case. `rank` orders questions that could move as much: the lesser comes first.
    ///
    /// Answers and facts are tried out in place and are left as they were.
    pub fn decide(
        &self,
        answers: &mut Answers,
        facts: &mut Facts,
        rank: &dyn Fn(usize, Option<usize>) -> usize,
    ) -> Brief {
        let mut scope = Scope::default();
        let weighed = self.guards.weigh(self.rulebook, facts, &mut scope);
        let rule = self
            .guards
            .caller(self.rulebook, &weighed, facts, &mut scope)
            .map(|(at, _)| at);
        let mut case = Tried {
            answers,
            facts,
            scope: &mut scope,
        };
        let asks = self.asks(&weighed, &mut case, rank);
        let (verdict, _) = overrule(
            self.rulebook,
            case.facts,
            &case.answers.overrulings,
            self.today,
            weighed.verdict(),
        );
        Brief {
            verdict,
            rule,
            asks,
        }
    }

    /// The blanks that open guards hang on, with the guards of each.
    fn blanks(&self, weighed: &Weighed, answers: &Answers) -> Vec<(Key, Vec<usize>)> {
        let vocabulary = &self.rulebook.vocabulary;
        let questionnaire = &self.rulebook.questionnaire;
        let mut found: Vec<(Key, Vec<usize>)> = Vec::new();
        let mut note = |key: Key, guard: usize| match found.iter_mut().find(|(k, _)| *k == key) {
            Some((_, guards)) => {
                if guards.last() != Some(&guard) {
                    guards.push(guard);
                }
            }
            None => found.push((key, vec![guard])),
        };
        let asked = |at: &FactRef| {
            questionnaire
                .groups
                .get(at.group)
                .and_then(|group| group.questions.get(at.fact))
                .is_some_and(|question| question.tier < Tier::Visit)
        };
        for guard in &weighed.open {
            let rests = &self.trials.rests[*guard];
            for at in &rests.questions {
                let blank = |item| {
                    answers
                        .given(at.group, item, at.fact)
                        .is_some_and(Given::is_blank)
                };
                if vocabulary.groups[at.group].repeats.is_none() {
                    if asked(at) && blank(None) {
                        note((at.group, None, Some(at.fact)), *guard);
                    }
                    continue;
                }
                match answers.entries(at.group) {
                    None => note((at.group, None, None), *guard),
                    Some(entries) if asked(at) => {
                        for item in (0..entries.len()).filter(|item| blank(Some(*item))) {
                            note((at.group, Some(item), Some(at.fact)), *guard);
                        }
                    }
                    Some(_) => {}
                }
            }
            for group in &rests.groups {
                if answers.entries(*group).is_none() {
                    note((*group, None, None), *guard);
                }
            }
        }
        found
    }

    /// The most that an answer could move, without trying it: what hangs on it may all come to hold, or all come not to.
    fn bound(&self, weighed: &Weighed, guards: &[usize]) -> usize {
        let mut tightest = weighed.known;
        let mut loosest = weighed.known;
        for at in &weighed.open {
            let lift = &self.guards.all[*at].lift;
            if guards.contains(at) {
                raise(&mut tightest, lift);
            } else {
                raise(&mut loosest, lift);
            }
        }
        (0..4)
            .map(|on| {
                usize::from(tightest[on] - weighed.known[on])
                    + usize::from(weighed.until_answered[on] - loosest[on])
            })
            .sum()
    }

    fn asks(
        &self,
        weighed: &Weighed,
        case: &mut Tried<'_>,
        rank: &dyn Fn(usize, Option<usize>) -> usize,
    ) -> Vec<Ask> {
        if !could_lift(&weighed.until_answered, &weighed.known) {
            return Vec::new();
        }
        let mut blanks: Vec<(usize, Key)> = self
            .blanks(weighed, case.answers)
            .into_iter()
            .map(|(key, guards)| (self.bound(weighed, &guards), key))
            .filter(|(bound, _)| *bound > 0)
            .collect();
        // What could move most is tried first, so that the rest need not be tried at all.
        blanks.sort_by_key(|(bound, key)| (std::cmp::Reverse(*bound), *key));
        type Place = (std::cmp::Reverse<usize>, usize, Key);
        let mut best: Vec<(Place, Ask)> = Vec::with_capacity(ASKS + 1);
        for (bound, key) in blanks {
            if best.len() == ASKS && best.last().is_some_and(|(place, _)| place.0.0 > bound) {
                break;
            }
            let effect = self.trials.effect(&self.guards, weighed, case, key);
            let moves = effect.moves(weighed);
            if moves == 0 {
                continue;
            }
            let (group, item, question) = key;
            let place = (std::cmp::Reverse(moves), rank(group, question), key);
            let at = best.partition_point(|(other, _)| *other < place);
            if at < ASKS {
                let ask = Ask {
                    group,
                    item,
                    question,
                    moves,
                    could: verdict_of(&effect.tightest, &effect.loosest),
                };
                best.insert(at, (place, ask));
                best.truncate(ASKS);
            }
        }
        best.into_iter().map(|(_, ask)| ask).collect()
    }
}
