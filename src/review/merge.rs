//! A form with what the log adds to it: new bites, weighings, and the record the gates ask for. Decisions on it are made as on
//! any form, so that a bite in the log counts like a bite in the form.

use jiff::civil::Date;

use crate::answers::{Answers, Entry, Given, Part};
use crate::dates::{PartialDate, days_between};
use crate::ladder::Stage;
use crate::log::{Log, Session, Worst};
use crate::questionnaire::{Questionnaire, find_choice};

/// The answers of a form with those of a log.
///
/// A part of the form that nobody filled in stays blank: what the log knows of the last weeks says nothing of the time before,
/// and a blank counts against. Where form and log tell of the same bite, it is taken once.
#[must_use]
pub fn with_log(
    intake: &Questionnaire,
    log_form: &Questionnaire,
    answers: &Answers,
    log: &Log,
) -> Answers {
    let mut merged = Merge {
        intake,
        log_form,
        answers: answers.clone(),
    };
    merged.bites(log);
    merged.weighings(log);
    merged.record(log, Stage::ThroughBarrier, "barrier");
    merged.record(log, Stage::Stationed, "station");
    merged.answers
}

struct Merge<'a> {
    intake: &'a Questionnaire,
    log_form: &'a Questionnaire,
    answers: Answers,
}

impl Merge<'_> {
    /// Puts an answer into one entry.
    fn put(&self, entry: &mut Entry, full: &str, given: Given) {
        if let Some((_, question)) = self.intake.find(full)
            && let Some(slot) = entry.given.get_mut(question)
        {
            *slot = given;
        }
    }

    /// A choice of the log's form as the same word of the intake's.
    fn same_choice(&self, from: &str, to: &str, at: u8) -> Given {
        let word = self
            .log_form
            .find(from)
            .and_then(|(group, question)| self.log_form.groups.get(group)?.questions.get(question))
            .and_then(|question| question.choices.get(usize::from(at)))
            .map(|choice| choice.id.as_str());
        self.choice(to, word.unwrap_or_default())
    }

    fn choice(&self, to: &str, word: &str) -> Given {
        self.intake
            .find(to)
            .and_then(|(group, question)| self.intake.groups.get(group)?.questions.get(question))
            .and_then(|question| find_choice(&question.choices, word))
            .and_then(|at| u8::try_from(at).ok())
            .map_or(Given::Blank, Given::Choice)
    }

    /// New entries behind those of a repeated part, unless it was not filled in.
    fn append(&mut self, group: &str, new: Vec<Entry>) {
        let Some(at) = self.intake.group(group) else {
            return;
        };
        if let Some(Part::Many(Some(entries))) = self.answers.parts.get_mut(at) {
            let next = entries.iter().map(|it| it.index + 1).max().unwrap_or(0);
            for (index, mut entry) in (next..).zip(new) {
                entry.index = index;
                entries.push(entry);
            }
        }
    }

    fn empty(&self, group: &str) -> Entry {
        let questions = self
            .intake
            .group(group)
            .and_then(|at| self.intake.groups.get(at))
            .map_or(0, |group| group.questions.len());
        Entry {
            index: 0,
            given: vec![Given::Blank; questions],
        }
    }

    /// Whether the form tells of a bite on a day already: to the same person, or to nobody by name.
    fn told(&self, date: Date, person: Option<&str>) -> usize {
        let Some((bites, at_date)) = self.intake.find("bites.date") else {
            return 0;
        };
        let at_person = self.intake.find("bites.person").map(|(_, at)| at);
        let entries = self.answers.entries(bites).unwrap_or_default();
        entries
            .iter()
            .filter(|entry| entry.given.get(at_date) == Some(&Given::Date(PartialDate::day(date))))
            .filter(|entry| {
                let named = at_person.and_then(|at| match entry.given.get(at) {
                    Some(Given::Text(name)) => Some(name.as_str()),
                    _ => None,
                });
                named.is_none() || person.is_none() || named == person
            })
            .count()
    }

    fn bites(&mut self, log: &Log) {
        let mut new = Vec::new();
        for day in log.days.iter().filter(|day| day.incidents > 0) {
            let told = self.told(day.date, day.person.as_deref());
            for _ in told..usize::try_from(day.incidents)
                .unwrap_or(usize::MAX)
                .min(200)
            {
                let mut entry = self.empty("bites");
                self.put(
                    &mut entry,
                    "bites.date",
                    Given::Date(PartialDate::day(day.date)),
                );
                if let Some(person) = &day.person {
                    self.put(&mut entry, "bites.person", Given::Text(person.clone()));
                }
                if let Some(injury) = day.injury {
                    // The worst of the day: none of the others was worse.
                    let given = self.same_choice("days.injury", "bites.injury", injury);
                    self.put(&mut entry, "bites.injury", given);
                }
                if let Some(part) = day.body_part {
                    let given = self.same_choice("days.body-part", "bites.body-part", part);
                    self.put(&mut entry, "bites.body-part", given);
                }
                new.push(entry);
            }
        }
        self.touches(log, &mut new);
        self.append("bites", new);
    }

    /// Touches in sessions that neither the form nor the days tell of. One told bite stands for one touch, and only for one that
    /// was no worse: a bite too many counts on the safe side, a wound left out does not.
    fn touches(&self, log: &Log, new: &mut Vec<Entry>) {
        let form = self.intake.group("bites");
        let mut told: Vec<&Entry> = form
            .and_then(|at| self.answers.entries(at))
            .unwrap_or_default()
            .iter()
            .chain(new.iter())
            .collect();
        let mut touches: Vec<&Session> = log
            .sessions
            .iter()
            .filter(|session| session.worst() >= Worst::Contact)
            .collect();
        // The worst first, so that a wound is told by the entry of a wound.
        touches.sort_by_key(|session| std::cmp::Reverse(session.worst()));
        let least = |session: &Session| {
            let word = if session.worst() == Worst::BrokenSkin {
                "broken-skin"
            } else {
                "pressure"
            };
            match self.choice("bites.injury", word) {
                Given::Choice(at) => at,
                _ => u8::MAX,
            }
        };
        let mut left_out = Vec::new();
        for session in touches {
            let stands_for = |entry: &&Entry| {
                self.given(entry, "bites.date")
                    == Some(&Given::Date(PartialDate::day(session.date)))
                    && match self.given(entry, "bites.person") {
                        Some(Given::Text(name)) => *name == session.person,
                        _ => true,
                    }
                    && match self.given(entry, "bites.injury") {
                        Some(Given::Choice(told)) => *told >= least(session),
                        _ => true,
                    }
            };
            if let Some(at) = told.iter().position(stands_for) {
                told.swap_remove(at);
            } else {
                left_out.push(session);
            }
        }
        left_out.sort_by_key(|session| (session.date, session.index));
        let entries: Vec<Entry> = left_out
            .into_iter()
            .map(|session| self.bite_of(session))
            .collect();
        new.extend(entries);
    }

    fn bite_of(&self, session: &Session) -> Entry {
        let mut entry = self.empty("bites");
        let date = Given::Date(PartialDate::day(session.date));
        self.put(&mut entry, "bites.date", date);
        let person = Given::Text(session.person.clone());
        self.put(&mut entry, "bites.person", person);
        // "The skin is whole" may still mean a bruise; "or worse" may mean anything.
        if session.worst() == Worst::Contact {
            let given = self.choice("bites.injury", "bruise");
            self.put(&mut entry, "bites.injury", given);
        }
        entry
    }

    fn given<'e>(&self, entry: &'e Entry, full: &str) -> Option<&'e Given> {
        let (_, question) = self.intake.find(full)?;
        entry.given.get(question)
    }

    fn weighings(&mut self, log: &Log) {
        let new = log
            .days
            .iter()
            .filter_map(|day| {
                let mut entry = self.empty("weights");
                self.put(
                    &mut entry,
                    "weights.date",
                    Given::Date(PartialDate::day(day.date)),
                );
                self.put(&mut entry, "weights.weight", Given::Number(day.weight_g?));
                Some(entry)
            })
            .collect();
        self.append("weights", new);
    }

    /// The record of a stage: good sessions since the last red one, of the person who has the fewest, and over how many days.
    fn record(&mut self, log: &Log, stage: Stage, name: &str) {
        let sessions: Vec<&Session> = log
            .sessions
            .iter()
            .filter(|session| session.stage == stage)
            .collect();
        let Some(newest) = sessions.last() else {
            return;
        };
        let red_at = sessions
            .iter()
            .rposition(|session| session.worst() >= Worst::Red);
        let since = &sessions[red_at.map_or(0, |at| at + 1)..];
        let good: Vec<&&Session> = since.iter().filter(|session| session.is_good()).collect();
        let least = self
            .reacted_to()
            .iter()
            .map(|name| {
                good.iter()
                    .filter(|session| session.person == *name)
                    .count()
            })
            .min()
            .unwrap_or(0);
        let days = match (good.first(), good.last()) {
            (Some(first), Some(last)) => days_between(first.date, last.date) + 1,
            _ => 0,
        };
        let red = newest.worst() >= Worst::Red;
        for (question, value) in [
            ("sessions", least as f64),
            ("days", f64::from(days)),
            ("red", f64::from(u8::from(red))),
        ] {
            let full = format!("progress.{name}-{question}");
            if let Some((group, question)) = self.intake.find(&full)
                && let Some(Part::Once(given)) = self.answers.parts.get_mut(group)
                && let Some(slot) = given.get_mut(question)
            {
                *slot = Given::Number(value);
            }
        }
    }

    /// The names of those the bird goes for.
    fn reacted_to(&self) -> Vec<String> {
        let (Some((people, role)), Some((_, name))) = (
            self.intake.find("people.role"),
            self.intake.find("people.name"),
        ) else {
            return Vec::new();
        };
        let word = self.choice("people.role", "reacted-to");
        self.answers
            .entries(people)
            .unwrap_or_default()
            .iter()
            .filter(|entry| entry.given.get(role) == Some(&word))
            .filter_map(|entry| match entry.given.get(name) {
                Some(Given::Text(name)) => Some(name.clone()),
                _ => None,
            })
            .collect()
    }
}
