//! The facts of one list of steps on one day: what the rules of the next step speak of. Each is told in `rules/log-facts.yaml`.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::dates::days_between;
use crate::decision::Decision;
use crate::facts::{Facts, LOG_FACTS, Value};
use crate::ladder::Stage;
use crate::log::{ChangeKind, Log, Session, Worst};
use crate::rulebook::LogBook;
use crate::training::{Dose, StepList, stage_of};

use super::history::History;
use super::household::Household;

/// Days of three months, of two weeks and of one.
pub(super) const THREE_MONTHS: i32 = 90;
pub(super) const TWO_WEEKS: i32 = 14;
pub(super) const WEEK: i32 = 7;

/// Age below which someone is a child, years.
pub(super) const CHILD_BELOW: f64 = 18.0;

/// Everything the facts of one list rest on.
#[derive(Debug, Clone, Copy)]
pub struct Look<'a> {
    /// The questions and rules.
    pub book: &'a LogBook,
    /// The log.
    pub log: &'a Log,
    /// The people, and the bites of the form.
    pub household: &'a Household,
    /// The decision of today, with what the log adds.
    pub decision: &'a Decision,
    /// The stage that the form alone allows.
    pub stage_of_form: Option<Stage>,
    /// The list.
    pub list: &'a StepList,
    /// Its sessions.
    pub history: &'a History<'a>,
    /// How much makes a session.
    pub dose: &'a Dose,
    /// The day.
    pub today: Date,
}

impl Look<'_> {
    /// The facts.
    #[must_use]
    pub fn facts(&self) -> Facts {
        let mut facts = self.book.no_facts();
        for ((name, _), at) in LOG_FACTS.iter().zip(&self.book.places) {
            facts.put(*at, self.value(name));
        }
        facts
    }

    fn value(&self, name: &str) -> Value {
        let (group, fact) = name.split_once('.').unwrap_or((name, ""));
        match group {
            "plan" => self.plan(fact),
            "ladder" => self.ladder(fact),
            "last" => self.last(fact),
            "before" => self
                .history
                .before()
                .map_or(Value::NotApplicable, |it| worst(it.session)),
            "since" => self.since(fact),
            "incidents" => self.incidents(fact),
            "today" => self.today(fact),
            "kept" => self.kept(fact),
            _ => Value::NotApplicable,
        }
    }

    fn plan(&self, fact: &str) -> Value {
        let verdict = &self.decision.verdict;
        match fact {
            "held" => Value::YesNo(verdict.is_held()),
            "stage-open" => Value::YesNo(
                stage_of(verdict.start.until_answered)
                    .is_some_and(|allowed| self.list.stage <= allowed),
            ),
            "no-room-for-steps" => {
                Value::YesNo(self.dose.lacks(self.history.ladder.steps.len()).is_some())
            }
            "child-practised" => any(self
                .log
                .sessions
                .iter()
                .filter(|it| (0..TWO_WEEKS).contains(&days_between(it.date, self.today)))
                .map(|it| {
                    let age = self.household.person(&it.person)?.age?;
                    age.below(CHILD_BELOW)
                })),
            "freer-session" => Value::YesNo(self.stage_of_form.is_some_and(|allowed| {
                self.log.sessions.iter().any(|it| {
                    it.stage > allowed
                        && (0..TWO_WEEKS).contains(&days_between(it.date, self.today))
                })
            })),
            _ => Value::NotApplicable,
        }
    }

    fn ladder(&self, fact: &str) -> Value {
        let history = self.history;
        let sessions = &history.sessions;
        let (floor, last) = (history.floor(), history.last());
        match fact {
            "sessions" => count(sessions.len()),
            "days-since-session" => {
                last.map_or(Value::NotApplicable, |it| self.days_since(it.session.date))
            }
            "skills-missing" => {
                let missing = &history.ladder.prerequisites;
                any(missing.iter().map(|skill| skill.answer.map(|there| !there)))
            }
            "sheet-differs" => last.map_or(Value::NotApplicable, |it| Value::YesNo(!it.known)),
            "good-run" => count(history.good_run()),
            "floor-reached" => Value::YesNo(floor.is_some()),
            "floor-is-last" => {
                Value::YesNo(floor.is_some_and(|it| it.step == history.ladder.steps.len()))
            }
            "sessions-since-floor" => {
                count(floor.map_or(sessions.len(), |floor| sessions.len() - 1 - floor.at))
            }
            "days-since-floor" => {
                let from = floor
                    .and_then(|floor| sessions.get(floor.at))
                    .or(sessions.first());
                match (from, last) {
                    (Some(from), Some(last)) => {
                        number(days_between(from.session.date, last.session.date))
                    }
                    _ => Value::NotApplicable,
                }
            }
            "fell-twice" => {
                let best: Vec<usize> = sessions
                    .iter()
                    .rev()
                    .take(3)
                    .take_while(|it| it.known)
                    .map(|it| it.best)
                    .collect();
                Value::YesNo(
                    matches!(best[..], [last, before, first] if last < before && before < first),
                )
            }
            "failed-same-step" => {
                let top = last.map(|it| it.top);
                count(
                    sessions
                        .iter()
                        .rev()
                        .take_while(|it| it.known && Some(it.top) == top && it.best < it.top)
                        .count(),
                )
            }
            "first-step-failed" => last.map_or(Value::NotApplicable, |it| {
                Value::YesNo(it.session.best == 0)
            }),
            _ => Value::NotApplicable,
        }
    }

    fn last(&self, fact: &str) -> Value {
        let Some(last) = self.history.last() else {
            return Value::NotApplicable;
        };
        let session = last.session;
        let earlier = || {
            let sessions = &self.history.sessions;
            sessions[..sessions.len() - 1].iter().filter(|it| it.known)
        };
        let best_before = || earlier().map(|it| it.best).max();
        let told = |value: Option<f64>| value.map_or(Value::NotApplicable, Value::number);
        match fact {
            "worst" => worst(session),
            "threats" => number(session.threats),
            "calm-share" => Value::number(session.calm_share() * 100.0),
            "as-written" => Value::YesNo(session.as_written),
            "ended-by-plan" => Value::YesNo(session.ended_by_plan()),
            "took-new-step" => {
                Value::YesNo(last.known && best_before().is_none_or(|best| last.best > best))
            }
            "steps-risen" if !last.known => Value::number(0.0),
            "steps-risen" => {
                let from = best_before().unwrap_or_else(|| self.history.first_start());
                count(last.top.saturating_sub(from))
            }
            "minutes" => told(session.minutes),
            "seconds-to-take" => told(session.seconds_to_take),
            "food-slower" => {
                let seconds: Vec<f64> = self
                    .history
                    .sessions
                    .iter()
                    .rev()
                    .filter_map(|it| it.session.seconds_to_take)
                    .take(3)
                    .collect();
                Value::YesNo(
                    session.seconds_to_take.is_some()
                        && matches!(seconds[..], [last, before, first] if last > before && before > first),
                )
            }
            "interest-dropped" => {
                let pieces: Vec<f64> = self
                    .history
                    .sessions
                    .iter()
                    .filter_map(|it| it.session.pieces)
                    .map(f64::from)
                    .collect();
                Value::YesNo(match (session.pieces, pieces.split_last()) {
                    (Some(_), Some((last, earlier))) if earlier.len() >= 2 => {
                        let mean = earlier.iter().sum::<f64>() / earlier.len() as f64;
                        *last < mean / 2.0
                    }
                    _ => false,
                })
            }
            _ => Value::NotApplicable,
        }
    }

    /// The day from which on changes count as new for this list; `None` for all of them.
    fn since_day(&self) -> Option<Date> {
        self.history
            .last()
            .map(|it| it.session.date)
            .or(self.history.since)
            .or_else(|| {
                self.log
                    .changes
                    .iter()
                    .filter(|change| change.kind == ChangeKind::Plan)
                    .map(|change| change.date)
                    .min()
            })
    }

    fn since(&self, fact: &str) -> Value {
        let from = self.since_day();
        let counts = |date: Date| from.is_none_or(|from| date >= from);
        let bits = match fact {
            "changes" => self
                .log
                .changes
                .iter()
                .filter(|it| counts(it.date))
                .filter(|it| {
                    it.person
                        .as_ref()
                        .is_none_or(|name| *name == self.list.name)
                })
                .fold(0, |bits, it| bits | 1_u64 << it.what),
            "new" => self
                .log
                .days
                .iter()
                .filter(|it| counts(it.date))
                .fold(0, |bits, it| bits | it.new),
            _ => return Value::NotApplicable,
        };
        Value::Choices(bits)
    }

    fn today(&self, fact: &str) -> Value {
        let today = self.today;
        match fact {
            "poor-sleep" => Value::YesNo(self.now(|day| day.0).unwrap_or(false)),
            "odd-health" => Value::YesNo(self.now(|day| day.1).unwrap_or(false)),
            "odd-health-days" => {
                let odd = self.by_day(|day| day.1);
                let mut at = if odd.contains_key(&today) {
                    Some(today)
                } else {
                    today.yesterday().ok()
                };
                let mut days = 0;
                while let Some(day) = at.filter(|day| odd.get(day) == Some(&true)) {
                    days += 1;
                    at = day.yesterday().ok();
                }
                number(days)
            }
            "new" => Value::Choices(
                self.log
                    .days
                    .iter()
                    .filter(|day| (0..=1).contains(&days_between(day.date, today)))
                    .fold(0, |bits, day| bits | day.new),
            ),
            "sessions" => count(
                self.log
                    .sessions
                    .iter()
                    .filter(|session| session.date == today)
                    .count(),
            ),
            "red" => Value::YesNo(
                self.log
                    .sessions
                    .iter()
                    .any(|it| it.date == today && it.worst() >= Worst::Red)
                    || self
                        .log
                        .days
                        .iter()
                        .any(|day| day.date == today && day.incidents > 0),
            ),
            _ => Value::NotApplicable,
        }
    }

    /// What is told of each day, by a day or a session: yes where one of them says so.
    fn by_day(
        &self,
        of: impl Fn((Option<bool>, Option<bool>)) -> Option<bool>,
    ) -> BTreeMap<Date, bool> {
        let days = self
            .log
            .days
            .iter()
            .map(|it| (it.date, of((it.poor_sleep, it.odd_health))));
        let sessions = self
            .log
            .sessions
            .iter()
            .map(|it| (it.date, of((it.poor_sleep, it.odd_health))));
        let mut told = BTreeMap::new();
        for (date, says) in days.chain(sessions) {
            if let Some(says) = says {
                *told.entry(date).or_insert(false) |= says;
            }
        }
        told
    }

    /// What is told of today, or of yesterday where nothing is told of today.
    fn now(&self, of: impl Fn((Option<bool>, Option<bool>)) -> Option<bool>) -> Option<bool> {
        let told = self.by_day(of);
        told.get(&self.today)
            .or_else(|| told.get(&self.today.yesterday().ok()?))
            .copied()
    }

    fn kept(&self, fact: &str) -> Value {
        let recent: Vec<&Session> = self
            .history
            .sessions
            .iter()
            .map(|it| it.session)
            .filter(|it| (0..TWO_WEEKS).contains(&days_between(it.date, self.today)))
            .collect();
        let written = recent.iter().filter(|it| it.as_written).count() as f64;
        let age = self
            .log
            .span()
            .map(|(first, _)| days_between(first, self.today));
        match fact {
            "sessions-14-days" => count(recent.len()),
            "as-written-share" if recent.is_empty() => Value::NotApplicable,
            "as-written-share" => Value::number(written / recent.len() as f64 * 100.0),
            "done-share" => match self.history.sessions.first() {
                Some(first)
                    if days_between(first.session.date, self.today) >= TWO_WEEKS
                        && self.dose.days_a_week > 0 =>
                {
                    let planned = f64::from(self.dose.days_a_week) * 2.0;
                    Value::number((written / planned * 100.0).min(100.0))
                }
                _ => Value::NotApplicable,
            },
            "days-missing" => {
                let Some(age) = age else {
                    return Value::number(0.0);
                };
                // From yesterday back, two weeks at most and not before the log.
                let missing = (1..=age.min(TWO_WEEKS))
                    .filter(|ago| {
                        !self
                            .log
                            .days
                            .iter()
                            .any(|day| days_between(day.date, self.today) == *ago)
                    })
                    .count();
                count(missing)
            }
            "record-sessions" => number(self.record().0),
            "record-days" => number(self.record().1),
            "log-age" => age.map_or(Value::NotApplicable, number),
            _ => Value::NotApplicable,
        }
    }

    /// Good sessions with this list since the last red one, and over how many days.
    fn record(&self) -> (u32, i32) {
        let since = self
            .history
            .sessions
            .iter()
            .rev()
            .take_while(|it| it.session.worst() < Worst::Red);
        let good: Vec<Date> = since
            .filter(|it| it.session.is_good())
            .map(|it| it.session.date)
            .collect();
        let days = match (good.last(), good.first()) {
            (Some(first), Some(last)) => days_between(*first, *last) + 1,
            _ => 0,
        };
        (u32::try_from(good.len()).unwrap_or(u32::MAX), days)
    }

    fn days_since(&self, date: Date) -> Value {
        number(days_between(date, self.today))
    }
}

fn worst(session: &Session) -> Value {
    Value::level(session.worst() as u8)
}

/// Yes when one is, blank when one may be, no otherwise.
pub(super) fn any(all: impl Iterator<Item = Option<bool>>) -> Value {
    let mut open = false;
    for one in all {
        match one {
            Some(true) => return Value::YesNo(true),
            Some(false) => {}
            None => open = true,
        }
    }
    if open {
        Value::UNANSWERED
    } else {
        Value::YesNo(false)
    }
}

pub(super) fn number(value: impl Into<f64>) -> Value {
    Value::number(value.into())
}

fn count(value: usize) -> Value {
    Value::number(value as f64)
}
