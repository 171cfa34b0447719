//! The entries of a log against each other, against the counts kept with them, and against the intake.

use crate::answers::Given;
use crate::mistake::Mistake;
use crate::mistakes::log::{
    CalmStepWithoutCalm, DayTwice, EndWithoutSign, EntryMissing, LogOfAnotherCase,
    LogPersonUnknown, MoreCalmThanTries, RedEndedByPlan, RestartByHousehold, SessionAfterRed,
    SessionTwice, SessionWhileFrozen, StepsDoNotFit, TouchDoesNotFit,
};
use crate::questionnaire::Questionnaire;
use crate::tree::{Path, shown};
use crate::words::closest;

use super::slots::{Slot, Slots};
use super::{ChangeKind, Ended, Household, Log, Worst};

type Faults = Vec<(Path, Box<dyn Mistake>)>;

pub(super) fn check(
    questionnaire: &Questionnaire,
    slots: &Slots,
    household: Household<'_>,
    log: &Log,
) -> Faults {
    let mut checker = Checker {
        questionnaire,
        slots,
        log,
        faults: Faults::new(),
    };
    checker.sessions();
    checker.days();
    checker.frozen();
    checker.counts();
    checker.case(household);
    checker.people(household);
    checker.faults
}

struct Checker<'a> {
    questionnaire: &'a Questionnaire,
    slots: &'a Slots,
    log: &'a Log,
    faults: Faults,
}

impl Checker<'_> {
    fn at(&self, slot: Option<Slot>, index: Option<usize>) -> Path {
        let Some((group, question)) = slot else {
            return Path::default();
        };
        let group = &self.questionnaire.groups[group];
        let mut path = Path::default().key(&group.id);
        if let Some(index) = index {
            path = path.index(index);
        }
        group
            .questions
            .get(question)
            .map_or(path.clone(), |question| path.key(&question.id))
    }

    fn fault(&mut self, slot: Option<Slot>, index: Option<usize>, mistake: impl Mistake + 'static) {
        let path = self.at(slot, index);
        self.faults.push((path, Box::new(mistake)));
    }

    fn sessions(&mut self) {
        let (slots, log) = (self.slots, self.log);
        for (at, session) in log.sessions.iter().enumerate() {
            let index = Some(session.index);
            if session.calm > session.tries {
                self.fault(
                    slots.session_calm,
                    index,
                    MoreCalmThanTries {
                        calm: session.calm,
                        tries: session.tries,
                    },
                );
            }
            if session.top < session.start || session.best > session.top {
                self.fault(
                    slots.session_top,
                    index,
                    StepsDoNotFit {
                        start: session.start,
                        top: session.top,
                        best: session.best,
                    },
                );
            }
            if session.best > 0 && session.calm == 0 {
                self.fault(
                    slots.session_best,
                    index,
                    CalmStepWithoutCalm { best: session.best },
                );
            }
            let red = session.worst() >= Worst::Red;
            for (ended, sign, told) in [
                (Ended::Red, "a red", red),
                (Ended::Amber, "an amber", session.worst() >= Worst::Amber),
            ] {
                if session.ended == Some(ended) && !told {
                    let mistake = EndWithoutSign {
                        ended: sign.to_owned(),
                    };
                    self.fault(slots.session_ended, index, mistake);
                }
            }
            if red && session.ended_by_plan() {
                self.fault(slots.session_ended, index, RedEndedByPlan {});
            }
            let Some(before) = at.checked_sub(1).and_then(|at| log.sessions.get(at)) else {
                continue;
            };
            let earlier = log.sessions.get(..at).unwrap_or_default();
            if earlier
                .iter()
                .any(|other| other.date == session.date && other.worst() >= Worst::Red)
            {
                self.fault(
                    slots.session_date,
                    index,
                    SessionAfterRed {
                        date: session.date.to_string(),
                    },
                );
            }
            let same = super::Session {
                index: before.index,
                ..session.clone()
            };
            if same == *before {
                self.fault(
                    slots.session_date,
                    index,
                    SessionTwice {
                        date: session.date.to_string(),
                    },
                );
            }
        }
    }

    fn days(&mut self) {
        let (slots, log) = (self.slots, self.log);
        for (at, day) in log.days.iter().enumerate() {
            let index = Some(day.index);
            if at
                .checked_sub(1)
                .and_then(|at| log.days.get(at))
                .is_some_and(|before| before.date == day.date)
            {
                self.fault(
                    slots.day_date,
                    index,
                    DayTwice {
                        date: day.date.to_string(),
                    },
                );
            }
            // The mildest choice is "nothing was touched".
            if let Some(injury) = day.injury
                && (injury > 0) != (day.incidents > 0)
            {
                let word = slots
                    .day_injury
                    .and_then(|(group, question)| {
                        let question = self.questionnaire.groups[group].questions.get(question)?;
                        question.choices.get(usize::from(injury))
                    })
                    .map_or_else(String::new, |choice| choice.id.clone());
                self.fault(
                    slots.day_injury,
                    index,
                    TouchDoesNotFit {
                        incidents: day.incidents,
                        injury: word,
                    },
                );
            }
        }
    }

    /// Sessions after skin was broken and before a restart was agreed.
    fn frozen(&mut self) {
        let (slots, log) = (self.slots, self.log);
        let broken = |at: Option<u8>| {
            let choices = self.words(slots.day_injury);
            at.is_none_or(|at| {
                choices
                    .iter()
                    .position(|word| word == "broken-skin")
                    .is_none_or(|it| usize::from(at) >= it)
            })
        };
        let mut bites: Vec<jiff::civil::Date> = log
            .days
            .iter()
            .filter(|day| day.incidents > 0 && day.injury.is_some() && broken(day.injury))
            .map(|day| day.date)
            .chain(
                log.sessions
                    .iter()
                    .filter(|it| it.worst() == Worst::BrokenSkin)
                    .map(|it| it.date),
            )
            .collect();
        bites.sort_unstable();
        for session in &log.sessions {
            // The newest bite before it, unless work was agreed to begin again in between.
            let bite = bites.iter().rev().find(|bite| **bite < session.date);
            let restarted = log.changes.iter().any(|change| {
                change.kind == ChangeKind::RestartAgreed
                    && bite.is_some_and(|bite| change.date > *bite)
                    && change.date <= session.date
            });
            if let Some(bite) = bite
                && !restarted
            {
                let mistake = SessionWhileFrozen {
                    date: session.date.to_string(),
                    bite: bite.to_string(),
                };
                self.fault(slots.session_date, Some(session.index), mistake);
            }
        }
    }

    /// The words of a choice.
    fn words(&self, slot: Option<Slot>) -> Vec<String> {
        slot.and_then(|(group, question)| {
            self.questionnaire
                .groups
                .get(group)?
                .questions
                .get(question)
        })
        .map_or_else(Vec::new, |question| {
            question.choices.iter().map(|it| it.id.clone()).collect()
        })
    }

    /// Entries that were counted when they were written, and are gone.
    fn counts(&mut self) {
        let (slots, log) = (self.slots, self.log);
        let found = super::add::Counts::of(log);
        for (slot, what, found) in [
            (slots.sessions_counted, "sessions", found.sessions),
            (slots.days_counted, "days", found.days),
            (
                slots.reds_counted,
                "entries with a red sign or a touch",
                found.reds,
            ),
        ] {
            let Some((group, question)) = slot else {
                continue;
            };
            if let Some(Given::Number(counted)) = log.answers.given(group, None, question)
                && *counted > f64::from(found)
            {
                self.fault(
                    slot,
                    None,
                    EntryMissing {
                        what: what.to_owned(),
                        counted: counted.round() as u32,
                        found,
                    },
                );
            }
        }
    }

    fn case(&mut self, household: Household<'_>) {
        let told = self
            .slots
            .case
            .and_then(|(group, question)| self.log.answers.text(group, None, question));
        if let (Some(log), Some(intake)) = (told, household.reference)
            && log != intake
        {
            let mistake = LogOfAnotherCase {
                log: shown(log),
                intake: shown(intake),
            };
            self.fault(self.slots.case, None, mistake);
        }
    }

    fn people(&mut self, household: Household<'_>) {
        let Some(people) = household.people else {
            return;
        };
        let (slots, log) = (self.slots, self.log);
        for change in &log.changes {
            if change.kind.is_agreed()
                && let Some(name) = change.by.as_ref().filter(|name| people.contains(name))
            {
                let mistake = RestartByHousehold { name: shown(name) };
                self.fault(slots.change_by, Some(change.index), mistake);
            }
        }
        let named = log
            .sessions
            .iter()
            .map(|it| (slots.session_person, it.index, Some(&it.person)))
            .chain(
                log.days
                    .iter()
                    .map(|it| (slots.day_person, it.index, it.person.as_ref())),
            )
            .chain(
                log.changes
                    .iter()
                    .map(|it| (slots.change_person, it.index, it.person.as_ref())),
            );
        for (slot, index, name) in named {
            if let Some(name) = name
                && !people.contains(name)
            {
                self.fault(
                    slot,
                    Some(index),
                    LogPersonUnknown {
                        name: shown(name),
                        close: closest(name, people.iter().map(String::as_str)),
                        people: people.to_vec(),
                    },
                );
            }
        }
    }
}
