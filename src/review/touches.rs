//! The facts of one list that tell of touches: in sessions, on other days, since a call and since a restart.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::dates::days_between;
use crate::facts::Value;
use crate::log::{ChangeKind, Day, Worst};

use super::facts::{CHILD_BELOW, Look, THREE_MONTHS, TWO_WEEKS, WEEK, any, number};

/// Fewest touches and threats in a week that are called more than in the first one. Common practice, no source.
const FEWEST_TO_BE_MORE: u32 = 3;

impl Look<'_> {
    /// The newest day on which a restart was agreed.
    fn restart(&self) -> Option<Date> {
        self.newest(ChangeKind::RestartAgreed)
    }

    /// The newest day from which practice may go on after a call about a touch.
    fn call(&self) -> Option<Date> {
        self.newest(ChangeKind::CallTookPlace)
    }

    fn newest(&self, kind: ChangeKind) -> Option<Date> {
        self.log
            .changes
            .iter()
            .filter(|change| change.kind == kind)
            .map(|change| change.date)
            .max()
    }

    /// Touches of a stretch of days, one for each day or session that tells of one.
    fn touches(&self, counts: impl Fn(Date) -> bool) -> Vec<Touch> {
        let days = self
            .log
            .days
            .iter()
            .filter(|day| day.incidents > 0 && counts(day.date))
            .map(|day| Touch {
                date: day.date,
                times: day.incidents,
                injury: self.injury(day),
                person: day.person.clone(),
                body_part: day.body_part,
            });
        let mut all: Vec<Touch> = days.chain(self.touches_of_sessions(&counts)).collect();
        all.sort_by_key(|touch| touch.date);
        all
    }

    fn injury(&self, day: &Day) -> (u8, u8) {
        day.injury
            .map_or((1, self.household.worst_injury), |at| (at, at))
    }

    /// Touches in sessions. The entry of the day tells of as many of them as it counts, and how bad the worst one was; those
    /// are not counted twice. But whom they touched is told by the session, and so is a wound that the day leaves out.
    fn touches_of_sessions(&self, counts: impl Fn(Date) -> bool) -> Vec<Touch> {
        let broken = self.household.broken_skin;
        let mut told_of: BTreeMap<Date, u32> = BTreeMap::new();
        self.log
            .sessions
            .iter()
            .filter(|it| it.worst() >= Worst::Contact && counts(it.date))
            .map(|it| {
                let days = || {
                    self.log
                        .days
                        .iter()
                        .filter(|day| day.date == it.date && day.incidents > 0)
                };
                let told = told_of.entry(it.date).or_insert(0);
                *told += 1;
                let counted = *told <= days().map(|day| day.incidents).sum();
                let worst = days().map(|day| self.injury(day).1).max();
                let injury = match (it.worst() == Worst::BrokenSkin, worst) {
                    (true, Some(worst)) if worst >= broken => (broken, worst),
                    (true, _) => (broken, self.household.worst_injury),
                    (false, Some(_)) if counted => (1, 1),
                    (false, _) => (1, broken.saturating_sub(1)),
                };
                Touch {
                    date: it.date,
                    times: u32::from(!counted),
                    injury,
                    person: Some(it.person.clone()),
                    body_part: days().find_map(|day| day.body_part).filter(|_| counted),
                }
            })
            .collect()
    }

    pub(super) fn incidents(&self, fact: &str) -> Value {
        let restart = self.restart();
        let since_restart = |date: Date| restart.is_none_or(|restart| date >= restart);
        let in_week = |date: Date| (0..WEEK).contains(&days_between(date, self.today));
        match fact {
            "worst" => level(&self.touches(since_restart)),
            "worst-since-call" => level(&self.touches(|date| {
                self.call().is_none_or(|call| date >= call) && since_restart(date)
            })),
            "worst-7-days" => level(&self.touches(in_week)),
            "worst-90-days" => level(
                &self.touches(|date| (0..THREE_MONTHS).contains(&days_between(date, self.today))),
            ),
            "child-bitten" => any(self.touches(since_restart).iter().map(|touch| {
                match &touch.person {
                    Some(name) => self
                        .household
                        .person(name)
                        .and_then(|person| person.age)
                        .and_then(|age| age.below(CHILD_BELOW)),
                    None => self.household.may_hold_child().then_some(None)?,
                }
                .or_else(|| {
                    // Not known whom, in a home without children: no child.
                    (touch.person.is_none() && !self.household.may_hold_child()).then_some(false)
                })
            })),
            "face-touched" => any(self.touches(since_restart).iter().map(|touch| {
                touch
                    .body_part
                    .map(|part| self.household.face_parts.contains(&part))
            })),
            "new-person" => self.newly(since_restart, |touch| {
                touch.person.clone().map(|name| {
                    let known = self
                        .household
                        .bitten
                        .as_ref()
                        .map(|names| names.contains(&name));
                    (name, known)
                })
            }),
            "new-body-part" => self.newly(since_restart, |touch| {
                touch.body_part.map(|part| {
                    let known = self
                        .household
                        .body_parts
                        .as_ref()
                        .map(|parts| parts.contains(&part));
                    (part, known)
                })
            }),
            "in-7-days" => number(
                self.touches(in_week)
                    .iter()
                    .map(|touch| touch.times)
                    .sum::<u32>(),
            ),
            "above-first-week" => Value::YesNo(self.above_first_week()),
            "quiet-days" => number(self.quiet_days()),
            "slips-7-days" => number(
                self.log
                    .days
                    .iter()
                    .filter(|day| in_week(day.date))
                    .filter_map(|day| day.slips)
                    .sum::<u32>(),
            ),
            _ => Value::NotApplicable,
        }
    }

    /// Whether something of a touch in a stretch of days was never told before: not by the form, and by no earlier touch.
    fn newly<T: PartialEq>(
        &self,
        counts: impl Fn(Date) -> bool,
        of: impl Fn(&Touch) -> Option<(T, Option<bool>)>,
    ) -> Value {
        let all = self.touches(|_| true);
        let judged = all
            .iter()
            .enumerate()
            .filter(|(_, touch)| counts(touch.date));
        any(judged.map(|(at, touch)| {
            let (it, told) = of(touch)?;
            let earlier = all[..at].iter().any(|other| {
                other.date < touch.date && of(other).is_some_and(|(other, _)| other == it)
            });
            if earlier {
                return Some(false);
            }
            told.map(|told| !told)
        }))
    }

    fn above_first_week(&self) -> bool {
        let Some((first, _)) = self.log.span() else {
            return false;
        };
        if days_between(first, self.today) < TWO_WEEKS {
            return false;
        }
        let sum = |counts: &dyn Fn(Date) -> bool| {
            self.log
                .days
                .iter()
                .filter(|day| counts(day.date))
                .map(|day| day.incidents + day.threats)
                .sum::<u32>()
        };
        let now = sum(&|date| (0..WEEK).contains(&days_between(date, self.today)));
        let then = sum(&|date| (0..WEEK).contains(&days_between(first, date)));
        now > then && now >= FEWEST_TO_BE_MORE
    }

    fn quiet_days(&self) -> u32 {
        let mut quiet = 0;
        let mut wanted: Option<Date> = None;
        for day in self.log.days.iter().rev() {
            // A day told in several blocks is one day.
            let again = wanted.is_some_and(|wanted| day.date > wanted);
            let gap = !again && wanted.is_some_and(|wanted| day.date != wanted);
            let marked = day.incidents > 0 && day.injury.is_none_or(|injury| injury > 1);
            if gap || marked {
                break;
            }
            if !again {
                quiet += 1;
            }
            wanted = day.date.yesterday().ok();
        }
        quiet
    }
}

/// The beak touched someone.
struct Touch {
    date: Date,
    times: u32,
    /// Mildest and worst the hurt can be, by place among the choices.
    injury: (u8, u8),
    person: Option<String>,
    body_part: Option<u8>,
}

/// The worst hurt of some touches: none without one.
fn level(touches: &[Touch]) -> Value {
    let (mut low, mut high) = (0, 0);
    for touch in touches {
        low = low.max(touch.injury.0);
        high = high.max(touch.injury.1);
    }
    Value::Level { low, high }
}
