//! The chart of one list: sessions, weeks and changes on one line of days, ready to be drawn.

use jiff::civil::Date;
use serde::Serialize;

use crate::dates::days_between;
use crate::log::Worst;
use crate::review::{self, ticks};

use super::progress::Teller;
use super::steps::list_id;

/// Letters for the changes of a chart.
const LETTERS: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/// A line of the days of a chart.
#[derive(Debug, Clone, Serialize)]
pub struct Tick {
    /// Day, from 0.
    pub day: i32,
    /// What it says.
    pub label: String,
}

/// A session of a chart.
#[derive(Debug, Clone, Serialize)]
pub struct ChartPoint {
    /// Day, from 0.
    pub day: i32,
    /// Start step.
    pub start: usize,
    /// Hardest calm step.
    pub best: usize,
    /// Hardest step tried.
    pub top: usize,
    /// The worst that was seen.
    pub worst: &'static str,
}

/// A week of a chart.
#[derive(Debug, Clone, Serialize)]
pub struct ChartWeek {
    /// Its first day, from 0.
    pub from: i32,
    /// The day after its last.
    pub to: i32,
    /// Touches.
    pub incidents: u32,
    /// Threats and misses.
    pub threats: u32,
    /// Days with an entry.
    pub told: u32,
}

/// A change of a chart.
#[derive(Debug, Clone, Serialize)]
pub struct ChartMark {
    /// Day, from 0.
    pub day: i32,
    /// Its letter.
    pub letter: String,
    /// What it was.
    pub what: String,
    /// More; empty on a chart anyone may see.
    pub note: String,
}

/// The chart of one list.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Chart {
    /// For ids within a page.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// A text alternative.
    pub desc: String,
    /// Days it shows.
    pub days: i32,
    /// The first of them.
    pub first: String,
    /// The last of them.
    pub last: String,
    /// Labels of days.
    pub ticks: Vec<Tick>,
    /// Steps of the list.
    pub steps: usize,
    /// Labels of steps.
    pub step_ticks: Vec<usize>,
    /// Sessions.
    pub sessions: Vec<ChartPoint>,
    /// The floor.
    pub floor: Option<usize>,
    /// Weeks.
    pub weeks: Vec<ChartWeek>,
    /// Most touches and threats of a week, at least 4.
    pub most: u32,
    /// Changes.
    pub marks: Vec<ChartMark>,
}

impl Teller<'_> {
    pub(super) fn chart(&self, it: &review::Reviewed, person: &str) -> Chart {
        let review = self.review;
        let first = self.log.span().map_or(review.today, |span| span.0);
        let last = self
            .log
            .span()
            .map_or(review.today, |span| span.1.max(review.today));
        let day = |date| days_between(first, date).max(0);
        let days = days_between(first, last).max(1);
        let steps = it.ladder.steps.len();
        let mut step_ticks: Vec<usize> = (1..=steps)
            .filter(|step| *step == 1 || step % 5 == 0)
            .collect();
        if steps > 0 && !step_ticks.contains(&steps) && steps % 5 > 1 {
            step_ticks.push(steps);
        }
        let weeks: Vec<ChartWeek> = review
            .weeks
            .iter()
            .map(|week| ChartWeek {
                from: week.from,
                to: week.to,
                incidents: week.incidents,
                threats: week.threats,
                told: week.told,
            })
            .collect();
        let (best_first, best_last) = (
            it.points.first().map_or(0, |point| point.best),
            it.points.last().map_or(0, |point| point.best),
        );
        let desc = if it.points.is_empty() {
            self.say("chart", "nothing", &[])
        } else {
            let reds = it
                .points
                .iter()
                .filter(|point| point.worst >= Worst::Red)
                .count();
            let sum = |of: &dyn Fn(&ChartWeek) -> u32| weeks.iter().map(of).sum::<u32>();
            self.say(
                "chart",
                "about",
                &[
                    ("sessions", it.points.len().to_string()),
                    (
                        "from",
                        it.points
                            .first()
                            .map_or_else(String::new, |point| point.date.to_string()),
                    ),
                    (
                        "to",
                        it.points
                            .last()
                            .map_or_else(String::new, |point| point.date.to_string()),
                    ),
                    ("first", best_first.to_string()),
                    ("last", best_last.to_string()),
                    (
                        "floor",
                        it.floor
                            .map_or_else(|| "0".to_owned(), |floor| floor.0.to_string()),
                    ),
                    ("reds", reds.to_string()),
                    ("touches", sum(&|week| week.incidents).to_string()),
                    ("threats", sum(&|week| week.threats).to_string()),
                ],
            )
        };
        Chart {
            id: list_id(&it.list),
            title: person.to_owned(),
            desc,
            days,
            first: first.to_string(),
            last: last.to_string(),
            ticks: ticks(first, days)
                .into_iter()
                .map(|(day, date)| Tick {
                    day,
                    label: date.strftime("%m-%d").to_string(),
                })
                .collect(),
            steps,
            step_ticks,
            sessions: it
                .points
                .iter()
                .map(|point| ChartPoint {
                    day: day(point.date),
                    start: point.start,
                    best: point.best,
                    top: point.top,
                    worst: point.worst.word(),
                })
                .collect(),
            floor: it.floor.map(|floor| floor.0),
            most: weeks
                .iter()
                .map(|week| week.incidents + week.threats)
                .max()
                .unwrap_or(0)
                .max(4),
            weeks,
            marks: self.marks(&it.list.name, first),
        }
    }

    /// The changes that concern a person, with letters.
    fn marks(&self, name: &str, first: Date) -> Vec<ChartMark> {
        let choices = self
            .book
            .questionnaire
            .find("changes.what")
            .and_then(|(group, question)| {
                self.book
                    .questionnaire
                    .groups
                    .get(group)?
                    .questions
                    .get(question)
            })
            .map_or(&[][..], |question| &question.choices);
        self.log
            .changes
            .iter()
            .filter(|change| change.person.as_ref().is_none_or(|other| other == name))
            .enumerate()
            .map(|(at, change)| ChartMark {
                day: days_between(first, change.date).max(0),
                letter: LETTERS
                    .chars()
                    .nth(at % LETTERS.len())
                    .map(String::from)
                    .unwrap_or_default(),
                what: choices
                    .get(usize::from(change.what))
                    .map_or_else(String::new, |choice| choice.words.clone()),
                note: String::new(),
            })
            .collect()
    }
}
