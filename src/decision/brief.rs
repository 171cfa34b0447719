//! A decision without its trace: the same outcomes, the rule that decides how soon to reply, and what to ask first.
//!
//! For ranking many enquiries, where nobody reads the reasons of each. Tests hold it against [`super::decide`].

use std::cmp::Reverse;

use jiff::civil::Date;

use crate::answers::{Answers, Given, Part};
use crate::facts::Facts;
use crate::language::condition::Scope;
use crate::questionnaire::Tier;
use crate::rulebook::Rulebook;

use super::effect::{Key, Trials, Tried};
use super::guards::{Guards, Weighed, could_lift, verdict_of};
use super::overrule::overrule;
use super::verdict::Verdict;

/// How many questions are asked first.
pub const ASKS: usize = 3;

/// Where a question stands among others: what moves more comes first, then the lesser rank, then the order of the form.
type Place = (Reverse<usize>, usize, Key);

/// A rulebook made ready for many short decisions on one day.
#[derive(Debug)]
pub struct Briefing<'r> {
    /// The rulebook.
    pub rulebook: &'r Rulebook,
    /// The day.
    pub today: Date,
    guards: Guards,
    trials: Trials<'r>,
    /// By group: questions that are asked before a visit and on which some guard rests.
    telling: Vec<Vec<usize>>,
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
        let groups = rulebook.questionnaire.groups.iter().enumerate();
        let telling = groups
            .map(|(at, group)| {
                let questions = group.questions.iter().enumerate();
                questions
                    .filter(|(_, question)| question.tier < Tier::Visit)
                    .map(|(question, _)| question)
                    .filter(|question| !trials.reach((at, None, Some(*question))).rest.is_empty())
                    .collect()
            })
            .collect();
        Self {
            rulebook,
            today,
            guards,
            trials,
            telling,
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
    /// Answers are tried out in place among the facts, which are left as they were.
    pub fn decide(
        &self,
        answers: &Answers,
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

    /// The blanks that open guards rest on, with the most that an answer could move: what could move most comes first.
    fn blanks(&self, weighed: &Weighed, answers: &Answers) -> Vec<(usize, Key)> {
        let mut found: Vec<(usize, Key)> = Vec::new();
        let mut note = |key: Key| {
            let bound = self.trials.bound(&self.guards, weighed, key).moves(weighed);
            if bound > 0 {
                found.push((bound, key));
            }
        };
        let open = |key: Key| !self.trials.reach(key).rest.is_apart(&weighed.open);
        for (group, (questions, part)) in self.telling.iter().zip(&answers.parts).enumerate() {
            match part {
                Part::Many(None) => {
                    if open((group, None, None)) {
                        note((group, None, None));
                    }
                }
                Part::Once(given) => {
                    for question in questions {
                        let key = (group, None, Some(*question));
                        if given.get(*question).is_some_and(Given::is_blank) && open(key) {
                            note(key);
                        }
                    }
                }
                Part::Many(Some(entries)) => {
                    for (item, entry) in entries.iter().enumerate() {
                        for question in questions {
                            let key = (group, Some(item), Some(*question));
                            if entry.given.get(*question).is_some_and(Given::is_blank) && open(key)
                            {
                                note(key);
                            }
                        }
                    }
                }
            }
        }
        found.sort_unstable_by_key(|(bound, key)| (Reverse(*bound), *key));
        found
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
        let mut best: Vec<(Place, Ask)> = Vec::with_capacity(ASKS + 1);
        let blanks = self.blanks(weighed, case.answers);
        'settled: for alike in blanks.chunk_by(|(one, _), (other, _)| one == other) {
            let mut places: Vec<Place> = alike
                .iter()
                .map(|(bound, key)| (Reverse(*bound), rank(key.0, key.2), *key))
                .collect();
            places.sort_unstable();
            for highest in places {
                // No answer moves more than its bound, so neither this one nor any after it comes before those that were found.
                if best.len() == ASKS && best.last().is_some_and(|(place, _)| *place < highest) {
                    break 'settled;
                }
                let key = highest.2;
                let effect = self.trials.effect(&self.guards, weighed, case, key);
                let moves = effect.moves(weighed);
                if moves == 0 {
                    continue;
                }
                let (group, item, question) = key;
                let place = (Reverse(moves), highest.1, key);
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
        }
        best.into_iter().map(|(_, ask)| ask).collect()
    }
}
