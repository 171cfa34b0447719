//! The week at home and the day of the visit.

use serde::Serialize;

use crate::training::{Dose, StepList, WHOLE_WEEK};

use super::steps::ListWords;
use super::training::Teller;

/// A line of the week at home.
#[derive(Debug, Clone, Serialize)]
pub struct WeekLine {
    /// The day.
    pub day: String,
    /// Who works.
    pub who: String,
    /// Minutes.
    pub minutes: u32,
    /// Which list.
    pub list: String,
}

/// A line of the day of the visit.
#[derive(Debug, Clone, Serialize)]
pub struct DayLine {
    /// From, hours and minutes after the start.
    pub from: String,
    /// To.
    pub to: String,
    /// What people do.
    pub people: String,
    /// What the bird does.
    pub bird: String,
    /// What comes of it.
    pub output: String,
    /// Whether it is a session.
    pub session: bool,
}

impl Teller<'_> {
    /// A session on each of so many days, spread over the week; with several people one list a person, a person a day in turn.
    pub(super) fn week(
        &self,
        now: &[&StepList],
        lists: &[ListWords],
        dose: &Dose,
    ) -> Vec<WeekLine> {
        // Each person works one list: the first of theirs that has steps.
        let mut people: Vec<(usize, &ListWords)> = Vec::new();
        for (list, words) in now.iter().zip(lists) {
            if words.cannot.is_none() && !people.iter().any(|(person, _)| *person == list.person) {
                people.push((list.person, words));
            }
        }
        if people.is_empty() || dose.days_a_week == 0 {
            return Vec::new();
        }
        let people = &people;
        let most = dose.most_a_day() as usize;
        spread(dose.days_a_week)
            .into_iter()
            .enumerate()
            .flat_map(|(nth, day)| {
                people
                    .iter()
                    .enumerate()
                    .filter(move |(at, _)| people_on(*at, nth, people.len(), most))
                    .map(move |(_, (_, words))| WeekLine {
                        day: self.say("days-of-the-week", &day.to_string(), &[]),
                        who: words.person.clone(),
                        minutes: dose.minutes.1,
                        list: words.mark.clone(),
                    })
                    .collect::<Vec<_>>()
            })
            .collect()
    }

    pub(super) fn day(&self) -> Vec<DayLine> {
        let mut at = 0.0;
        self.rulebook
            .sayings
            .part("visit-day")
            .iter()
            .map(|(_, saying)| {
                let from = at;
                at += saying.minutes;
                DayLine {
                    from: clock(from),
                    to: clock(at),
                    people: saying.people.clone(),
                    bird: saying.bird.clone(),
                    output: saying.output.clone(),
                    session: saying.session,
                }
            })
            .collect()
    }
}

/// Which of several people works on a day, by its place among the days of practice: as many as the day has sessions, in turn.
fn people_on(at: usize, day: usize, people: usize, most: usize) -> bool {
    (0..most.min(people)).any(|turn| at == (day * most + turn) % people)
}

/// So many days of a week, from 0 for Monday, as even as can be.
fn spread(days: u32) -> Vec<u32> {
    let days = days.min(WHOLE_WEEK);
    (0..days).map(|at| at * WHOLE_WEEK / days.max(1)).collect()
}

/// Minutes as hours and minutes.
fn clock(minutes: f64) -> String {
    let whole = minutes.round().max(0.0) as u32;
    format!("{}:{:02}", whole / 60, whole % 60)
}
