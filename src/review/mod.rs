//! The review: from a form and a log to where the next session of each list starts, and how it has gone so far.
//!
//! | part | holds |
//! |---|---|
//! | [`with_log`] | the form with what the log adds: bites, weighings, the record of sessions |
//! | [`History`] | the sessions of one list, put on the list in use |
//! | [`Look`] | the facts that rules of the next step speak of |
//! | [`Next`] | the next session: what the rules make of them |
//! | [`Measure`] | how it has gone over the weeks |
//! | [`Review`] | all of it |

mod facts;
mod history;
mod household;
mod measures;
mod merge;
mod next;
mod touches;

pub use facts::Look;
pub use history::{Floor, GOOD_FOR_A_FLOOR, History, Placed};
pub use household::Household;
pub use measures::{FEWEST_TO_SPEAK, Measure, Pairs, Says, Week, ticks};
pub use merge::with_log;
pub use next::{Next, Spoke, next};

use jiff::civil::Date;

use crate::answers::Answers;
use crate::decision::{Decision, decide};
use crate::facts::Facts;
use crate::facts::case::Case;
use crate::figures::interval::clopper_pearson;
use crate::figures::span::Span;
use crate::ladder::{Ladder, Stage};
use crate::log::{ChangeKind, Log, Worst};
use crate::rulebook::{After, LogBook, Rulebook};
use crate::training::{Chance, Dose, StepList, Work, lists, stage_of, work};

/// Newest sessions from which the chance of calm is told: older ones say what the bird once did.
const SESSIONS_FOR_THE_CHANCE: usize = 10;

/// Confidence of an interval.
const CONFIDENCE: f64 = 0.95;

/// Something in the log that a person should know of.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    /// Sessions at a stage that is freer than the plan allows.
    FreerThanAllowed {
        /// How many.
        sessions: usize,
    },
    /// Sessions by someone who has no list of steps.
    WithoutList {
        /// How many.
        sessions: usize,
    },
    /// Sessions whose sheet or numbers are not those of the list in use.
    OtherSheet {
        /// How many.
        sessions: usize,
    },
    /// Sessions at a stage that is behind: their list is closed.
    EarlierStage {
        /// How many.
        sessions: usize,
    },
    /// Sessions worked from the sheet of the list before a step was put in between.
    OlderSheet {
        /// How many, since the newest was put in.
        sessions: usize,
    },
    /// A step that was to be put in between where none fits.
    NoStepBetween {
        /// How many.
        changes: usize,
    },
}

/// A session as the chart shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Point {
    /// Its day.
    pub date: Date,
    /// Where it started.
    pub start: usize,
    /// The hardest calm step.
    pub best: usize,
    /// The hardest step tried.
    pub top: usize,
    /// The worst that was seen.
    pub worst: Worst,
}

/// One list with what is next for it.
#[derive(Debug, Clone)]
pub struct Reviewed {
    /// The list as the form gives it.
    pub list: StepList,
    /// The list in use, with every step that was put in between.
    pub ladder: Ladder,
    /// Its mark.
    pub mark: String,
    /// The facts the rules spoke of.
    pub facts: Facts,
    /// The next session.
    pub next: Next,
    /// Its sessions, oldest first; those on another sheet left out.
    pub points: Vec<Point>,
    /// How many sessions it has, on whatever sheet.
    pub sessions: usize,
    /// The day of the last one.
    pub last_day: Option<Date>,
    /// The floor, and the day that reached it.
    pub floor: Option<(usize, Date)>,
    /// Calm tries of all tries in the newest sessions.
    pub calm: (u32, u32),
    /// The exact interval of the chance of calm; `None` without a try.
    pub chance: Option<Span>,
    /// Work left at the ends and the middle of that interval; the error is the fewest tries a session needs.
    pub left: Result<Vec<Work>, u32>,
    /// How it has gone.
    pub measures: Vec<Measure>,
}

/// A review.
#[derive(Debug, Clone)]
pub struct Review {
    /// The day.
    pub today: Date,
    /// The form with what the log adds.
    pub answers: Answers,
    /// The decision on that.
    pub decision: Decision,
    /// The decision on the form alone.
    pub without_log: Decision,
    /// How much makes a session.
    pub dose: Dose,
    /// The lists that are worked now, or were.
    pub lists: Vec<Reviewed>,
    /// What a person should know of.
    pub warnings: Vec<Warning>,
    /// Weeks.
    pub weeks: Vec<Week>,
    /// How it has gone in the home.
    pub measures: Vec<Measure>,
}

impl Review {
    /// Reviews a log.
    #[must_use]
    pub fn of(
        rulebook: &Rulebook,
        book: &LogBook,
        answers: &Answers,
        log: &Log,
        today: Date,
    ) -> Self {
        let without_log = decide(rulebook, answers, today);
        let stage_of_form = stage_of(without_log.verdict.start.until_answered);
        // Who and what is new is judged by the form alone: the log is what tells of it.
        let form = Case {
            vocabulary: &rulebook.vocabulary,
            answers,
            groups: &without_log.facts.groups,
        };
        let household = Household::of(&form, &book.questionnaire);
        let answers = with_log(&rulebook.questionnaire, &book.questionnaire, answers, log);
        let decision = decide(rulebook, &answers, today);
        let case = Case {
            vocabulary: &rulebook.vocabulary,
            answers: &answers,
            groups: &decision.facts.groups,
        };
        // Where no stage is open, the list that was worked last is what the household has in hand.
        let stage = stage_of(decision.verdict.start.until_answered)
            .or(log.sessions.last().map(|session| session.stage))
            .unwrap_or(Stage::ThroughBarrier);
        let all = lists(&case, &decision, stage);
        let people: Vec<usize> = all
            .iter()
            .filter(|list| list.steps.is_ok())
            .map(|list| list.person)
            .collect();
        let dose = Dose::of(&case, &decision, &people);
        let plan_changed = log
            .changes
            .iter()
            .filter(|change| matches!(change.kind, ChangeKind::Plan | ChangeKind::StepSplit))
            .map(|change| change.date)
            .max();
        let mut reviewed = Vec::new();
        let (mut other_sheet, mut older_sheet, mut no_step_between) = (0, 0, 0);
        for list in &all {
            let Some(history) = History::of(list, log) else {
                continue;
            };
            // A list that comes later is none of today's business, unless it has been begun.
            if list.later && history.sessions.is_empty() {
                continue;
            }
            other_sheet += history.sessions.iter().filter(|it| !it.known).count();
            older_sheet += history
                .sessions
                .iter()
                .filter(|it| {
                    it.older_sheet
                        && history
                            .newest_split
                            .is_some_and(|day| it.session.date > day)
                })
                .count();
            no_step_between += history.no_split.len();
            let look = Look {
                book,
                log,
                household: &household,
                decision: &decision,
                stage_of_form,
                list,
                history: &history,
                dose: &dose,
                today,
            };
            let facts = look.facts();
            let next = next(book, &history, &facts, today);
            reviewed.push(one(list, &history, facts, next, &dose, plan_changed));
        }
        let belongs = |session: &crate::log::Session| {
            all.iter()
                .any(|list| list.steps.is_ok() && list.name == session.person)
        };
        let freer = log
            .sessions
            .iter()
            .filter(|session| stage_of_form.is_some_and(|allowed| session.stage > allowed))
            .count();
        let earlier = log
            .sessions
            .iter()
            .filter(|it| it.stage < stage && belongs(it))
            .count();
        let without = log.sessions.iter().filter(|it| !belongs(it)).count();
        let warnings = [
            (freer, Warning::FreerThanAllowed { sessions: freer }),
            (without, Warning::WithoutList { sessions: without }),
            (earlier, Warning::EarlierStage { sessions: earlier }),
            (
                other_sheet,
                Warning::OtherSheet {
                    sessions: other_sheet,
                },
            ),
            (
                older_sheet,
                Warning::OlderSheet {
                    sessions: older_sheet,
                },
            ),
            (
                no_step_between,
                Warning::NoStepBetween {
                    changes: no_step_between,
                },
            ),
        ]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(_, warning)| warning)
        .collect();
        Self {
            today,
            dose,
            lists: reviewed,
            warnings,
            weeks: measures::weeks(log, today),
            measures: measures::household(log, today),
            decision,
            without_log,
            answers,
        }
    }

    /// True when no session may take place at all.
    #[must_use]
    pub fn is_held(&self) -> bool {
        self.decision.verdict.is_held()
    }

    /// True when a bite in the log keeps all practice away until a restart is agreed in writing.
    #[must_use]
    pub fn is_frozen(&self) -> bool {
        self.lists.iter().any(|it| it.next.after == After::Restart)
    }

    /// What the rules that spoke of a list say to the household, the tightest first.
    #[must_use]
    pub fn tells(reviewed: &Reviewed) -> Vec<String> {
        reviewed
            .next
            .spoke
            .iter()
            .map(|spoke| spoke.tell.clone())
            .collect()
    }

    /// What is next for a list, by person and condition.
    #[must_use]
    pub fn find(&self, list: &StepList) -> Option<&Reviewed> {
        self.lists.iter().find(|it| {
            it.list.person == list.person
                && it.list.condition == list.condition
                && it.list.stage == list.stage
        })
    }
}

fn one(
    list: &StepList,
    history: &History<'_>,
    facts: Facts,
    next: Next,
    dose: &Dose,
    plan_changed: Option<Date>,
) -> Reviewed {
    let floor = history
        .floor()
        .and_then(|floor| Some((floor.step, history.sessions.get(floor.at)?.session.date)));
    let newest: Vec<&crate::log::Session> = history
        .sessions
        .iter()
        .rev()
        .take(SESSIONS_FOR_THE_CHANCE)
        .map(|it| it.session)
        .collect();
    let sum = |of: fn(&crate::log::Session) -> u32| newest.iter().map(|it| of(it)).sum::<u32>();
    let (calm, tries) = (sum(|it| it.calm), sum(|it| it.tries));
    // What was not calm and drew neither threat nor red sign was tense.
    let threats = sum(|it| it.threats + u32::from(it.worst() >= Worst::Red));
    let not_calm = tries - calm.min(tries);
    let mild = f64::from(not_calm.saturating_sub(threats)) / f64::from(not_calm.max(1));
    let chance = clopper_pearson(calm, tries, CONFIDENCE).ok();
    let steps_left = history.ladder.steps.len() + 1 - next.begin.min(history.ladder.steps.len());
    let chances: Vec<Chance> = chance
        .map(|chance| {
            [
                chance.low,
                f64::from(calm) / f64::from(tries.max(1)),
                chance.high,
            ]
        })
        .into_iter()
        .flatten()
        // Nobody is sure to stay calm, nor never to be.
        .filter(|chance| *chance > 0.0 && *chance < 1.0)
        .map(|calm| Chance {
            mild,
            ..Chance::even(calm)
        })
        .collect();
    Reviewed {
        mark: history.mark.clone(),
        ladder: history.ladder.clone(),
        points: history
            .sessions
            .iter()
            .filter(|it| it.known)
            .map(|it| Point {
                date: it.session.date,
                start: it.start,
                best: it.best,
                top: it.top,
                worst: it.session.worst(),
            })
            .collect(),
        sessions: history.sessions.len(),
        last_day: history.last().map(|it| it.session.date),
        floor,
        calm: (calm, tries),
        chance,
        left: work(steps_left, dose.run, dose.tries, &chances),
        measures: measures::of_list(history, plan_changed),
        list: list.clone(),
        facts,
        next,
    }
}
