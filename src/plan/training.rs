//! Practice in words: the session, the signs and what holds for all lists of steps.

use serde::Serialize;

use crate::decision::Decision;
use crate::facts::case::Case;
use crate::intake::Intake;
use crate::review::Review;
use crate::rulebook::Rulebook;
use crate::training::{
    CHANCES, Dose, Lack, Limit, REST_MINUTES, StepList, Work, lists, stage_of, work,
};

use super::cards::Card;
use super::reading::ReadingPart;
use super::steps::ListWords;
use super::week::{DayLine, WeekLine};

/// Longest rest between two tries that is told, minutes. Common practice, no source.
const LONGEST_REST_MINUTES: u32 = 3;

/// A range of whole numbers.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Range {
    /// From.
    pub low: u32,
    /// To.
    pub high: u32,
}

/// The three bands of signs.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Bands {
    /// Go on.
    pub green: Vec<String>,
    /// Wait.
    pub amber: Vec<String>,
    /// Stop.
    pub red: Vec<String>,
    /// Signs this bird gave before a bite.
    pub own_signs: Vec<String>,
}

/// A session in numbers and words.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SessionWords {
    /// Tries at most.
    pub tries: u32,
    /// Calm tries in a row that a step asks for, on each of two days.
    pub run: u32,
    /// Length, minutes.
    pub minutes: Range,
    /// Rest between two tries, minutes.
    pub rest_minutes: Range,
    /// Sessions a day.
    pub a_day: u32,
    /// Most sessions a day.
    pub most_a_day: u32,
    /// Days a week.
    pub days_a_week: u32,
    /// Treats that fit in a day, where a food was told.
    pub day_pieces: Option<u32>,
    /// What sets these numbers.
    pub why: Vec<String>,
}

/// What to do when the day of the visit goes another way.
#[derive(Debug, Clone, Serialize)]
pub struct Bend {
    /// After what.
    #[serde(rename = "if")]
    pub after: String,
    /// What then.
    pub then: String,
}

/// Expected work at one chance of calm.
#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WorkLine {
    /// The chance of calm in one try, on the first step.
    pub calm: f64,
    /// The chance on the last step; the same where it does not change.
    pub calm_last: f64,
    /// Tries.
    pub tries: f64,
    /// Tries with a threat or worse.
    pub aggressive: f64,
    /// Sessions.
    pub sessions: f64,
    /// Sessions by which half of such lists are done.
    pub half_by: Option<u32>,
    /// Sessions by which nine in ten are done.
    pub nine_in_ten_by: Option<u32>,
}

impl From<&Work> for WorkLine {
    fn from(work: &Work) -> Self {
        Self {
            calm: work.chance.first,
            calm_last: work.chance.last,
            tries: work.tries,
            aggressive: work.aggressive,
            sessions: work.sessions,
            half_by: work.half_by,
            nine_in_ten_by: work.nine_in_ten_by,
        }
    }
}

/// Practice.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Training {
    /// True when nothing may be practised now.
    pub held: bool,
    /// The lists of steps, the one to begin with first for each person.
    pub lists: Vec<ListWords>,
    /// Lists that come after another of the same person, in a line each.
    pub later: Vec<ListWords>,
    /// What is said of lists that come later.
    pub later_tell: String,
    /// Signs.
    pub bands: Bands,
    /// When a step is passed.
    pub pass: Vec<String>,
    /// When to stay.
    pub hold: Vec<String>,
    /// When to go back.
    pub drop: Vec<String>,
    /// What happens between two tries.
    pub between: Vec<String>,
    /// The session.
    pub session: SessionWords,
    /// What is looked at before a session.
    pub before: Vec<String>,
    /// A week at home.
    pub week: Vec<WeekLine>,
    /// The day of the visit.
    pub day: Vec<DayLine>,
    /// How that day bends.
    pub day_bends: Vec<Bend>,
    /// What calm earns, with cautions.
    pub procedures: Vec<String>,
    /// Expected work of the longest list.
    pub work: Vec<WorkLine>,
    /// What that takes for granted.
    pub work_assumes: String,
    /// Why it can not be done in sessions this short.
    pub work_cannot: Option<String>,
    /// What the log changed, when there is one.
    pub since_last: Vec<String>,
}

/// What the practice of a case is told from.
pub(super) struct Teller<'a> {
    pub(super) rulebook: &'a Rulebook,
    pub(super) intake: &'a Intake,
    pub(super) decision: &'a Decision,
    pub(super) cards: &'a [Card],
    pub(super) reading: &'a ReadingPart,
    pub(super) review: Option<&'a Review>,
    pub(super) held: bool,
    pub(super) without_work: bool,
}

impl Teller<'_> {
    pub(super) fn case(&self) -> Case<'_> {
        Case {
            vocabulary: &self.rulebook.vocabulary,
            answers: &self.intake.answers,
            groups: &self.decision.facts.groups,
        }
    }

    pub(super) fn say(&self, part: &str, key: &str, numbers: &[(&str, String)]) -> String {
        self.rulebook.sayings.say(part, key, numbers)
    }

    /// All of it.
    pub(super) fn training(&self, since_last: Vec<String>) -> Training {
        let case = self.case();
        let stage = stage_of(self.decision.verdict.start.until_answered).filter(|_| !self.held);
        let all = stage.map_or_else(Vec::new, |stage| lists(&case, self.decision, stage));
        let people: Vec<usize> = all
            .iter()
            .filter(|list| list.steps.is_ok())
            .map(|list| list.person)
            .collect();
        let dose = Dose::of(&case, self.decision, &people);
        let (later, now): (Vec<&StepList>, Vec<&StepList>) = all.iter().partition(|list| {
            // A list that was begun is one of today's.
            list.later && self.reviewed(list).is_none_or(|it| it.sessions == 0)
        });
        let not_now = self.no_time(&all, &dose);
        let list = |it: &&StepList| match &not_now {
            Some(why) if it.steps.is_ok() => ListWords {
                cannot: Some(why.clone()),
                ..self.without_steps(it)
            },
            _ => self.list(it),
        };
        let lists: Vec<ListWords> = now.iter().map(list).collect();
        let longest = lists
            .iter()
            .filter(|list| list.cannot.is_none())
            .map(|list| list.steps.len() + 1 - list.start)
            .max();
        let worked = longest
            .filter(|_| !self.without_work)
            .and_then(|steps| work(steps, dose.run, dose.tries, &CHANCES).ok());
        let sayings = &self.rulebook.sayings;
        Training {
            held: self.held,
            week: self.week(&now, &lists, &dose),
            later: later.iter().map(list).collect(),
            later_tell: self.say("later-list", "other-condition", &[]),
            bands: Bands {
                green: sayings.tells("green"),
                amber: sayings.tells("amber"),
                red: sayings.tells("red"),
                own_signs: self.own_signs(),
            },
            pass: sayings.tells("pass"),
            hold: sayings.tells("hold"),
            drop: sayings.tells("drop"),
            between: sayings.tells("between-repetitions"),
            session: self.session(&dose),
            before: sayings.tells("before"),
            day: self.day(),
            day_bends: sayings
                .part("visit-bends")
                .iter()
                .map(|(key, saying)| Bend {
                    after: key.replace('-', " "),
                    then: saying.tell.clone(),
                })
                .collect(),
            procedures: self.procedures(),
            work: worked.iter().flatten().map(WorkLine::from).collect(),
            work_assumes: self.say("assumed-chance", "equal", &[]),
            work_cannot: not_now.clone(),
            lists,
            since_last,
        }
    }

    /// Why there is no practice for now though there are steps: sessions too short for any step to pass, or no day for one.
    fn no_time(&self, all: &[StepList], dose: &Dose) -> Option<String> {
        let longest = all
            .iter()
            .filter_map(|list| list.ladder())
            .map(|ladder| ladder.steps.len())
            .max()?;
        let (key, least) = match dose.lacks(longest)? {
            Lack::Days => ("no-days", 0),
            Lack::Tries { least } => ("no-room", least),
        };
        let word = if dose.tries == 1 { "try" } else { "tries" };
        let numbers = [
            ("tries", format!("{} {word}", dose.tries)),
            ("least", least.to_string()),
        ];
        Some(self.say("work-cannot", key, &numbers))
    }

    /// Signs that any bite told of, each once, in the order of the form.
    fn own_signs(&self) -> Vec<String> {
        let case = self.case();
        let slot = case.vocabulary.slots.bite_warning;
        let bites = case.entries(slot).map_or(0, <[_]>::len);
        let seen: Vec<&str> = (0..bites)
            .filter_map(|bite| case.chosen(slot, case.of(slot, bite)))
            .flatten()
            .collect();
        self.rulebook
            .sayings
            .part("own-signs")
            .iter()
            .filter(|(key, _)| seen.contains(&key.as_str()))
            .map(|(_, saying)| saying.tell.clone())
            .collect()
    }

    fn session(&self, dose: &Dose) -> SessionWords {
        let numbers = [
            ("tries", dose.tries.to_string()),
            ("pieces", dose.pieces_told.unwrap_or(0).to_string()),
            ("day_pieces", dose.day_pieces.unwrap_or(0).to_string()),
            (
                "minutes",
                format!("{}", dose.minutes_told.unwrap_or(0.0).floor()),
            ),
            ("days", dose.days_a_week.to_string()),
        ];
        let mut keys = vec![match dose.limit {
            Limit::PiecesTold => "pieces-told",
            Limit::PiecesNotTold => "pieces-not-told",
            Limit::DayBudget => "day-budget",
            Limit::Time => "time-told",
        }];
        if dose
            .pieces_told
            .is_some_and(|pieces| pieces <= dose.run + 1)
        {
            keys.push("few-pieces");
        }
        if dose.minutes_told.is_none() || dose.days_told.is_none() {
            keys.push("time-not-told");
        }
        keys.push("spaced");
        SessionWords {
            tries: dose.tries,
            run: dose.run,
            minutes: Range {
                low: dose.minutes.0,
                high: dose.minutes.1,
            },
            rest_minutes: Range {
                low: REST_MINUTES as u32,
                high: LONGEST_REST_MINUTES,
            },
            a_day: 1,
            most_a_day: dose.most_a_day(),
            days_a_week: dose.days_a_week,
            day_pieces: dose.day_pieces,
            why: keys
                .into_iter()
                .map(|key| self.say("session", key, &numbers))
                .collect(),
        }
    }

    /// What the reading of the biting makes of the reward, with the caution of each.
    fn procedures(&self) -> Vec<String> {
        self.reading
            .likely
            .iter()
            .flat_map(|likely| &likely.procedures)
            .map(|it| format!("{}: {} {}", it.title, it.tell, it.not_when))
            .collect()
    }
}
