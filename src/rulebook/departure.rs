//! A practice's written departure from a shipped rule: what it changes, why, who says so, and until when.
//!
//! A departure loosens; tightening needs none. The safety floor has none: no gate, and no rule marked `floor`. Reason, name and day
//! are needed: clinical guideline bodies ask that a significant departure from guidance is written down with its reason when it is
//! made (notes for users of a national clinical guideline network, as the practice handbook cites them).

use jiff::civil::Date;
use serde::Serialize;

use super::outcome::{Contact, Risk, Start, Vet};
use super::rule::Then;
use super::{Layer, Rulebook};

/// The longest a departure may run, days. Rules are to be approved anew every twelve months (common practice, no source).
pub const LONGEST_DAYS: i32 = 366;

/// What a departure makes of one ordered outcome of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Instead<T> {
    /// A looser word.
    Word(T),
    /// No word at all.
    Nothing,
}

/// What a departure changes in its rule.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Loosening {
    /// True when the rule says nothing any more.
    pub switch_off: bool,
    /// What it says of risk.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub risk: Option<Instead<Risk>>,
    /// What it says of the start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start: Option<Instead<Start>>,
    /// What it says of the reply.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contact: Option<Instead<Contact>>,
    /// What it says of a vet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vet: Option<Instead<Vet>>,
    /// Measures, referrals and questions it no longer asks for.
    pub leave_out: Vec<String>,
}

/// Whether a departure counts on the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// It counts.
    InForce,
    /// Its first day has not come.
    Ahead,
    /// Its last day is over: the shipped rule counts again.
    Expired,
}

/// A departure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Departure {
    /// Its id, the name of its file.
    pub id: String,
    /// The rule it departs from.
    pub rule: String,
    /// What it changes.
    pub what: Loosening,
    /// Why.
    pub reason: String,
    /// Who says so.
    pub by: String,
    /// Who read it as well.
    pub second: Option<String>,
    /// Its first day.
    pub date: Date,
    /// Its last day.
    pub until: Date,
    /// Whether it counts on the day the rulebook was opened for.
    pub state: State,
}

/// What a rule said before a departure changed it.
#[derive(Debug, Clone)]
pub struct Departed {
    /// The departure, by its place in [`Rulebook::departures`].
    pub by: usize,
    /// What the rule said.
    pub then: Then,
}

impl Departure {
    /// Leaves out who wrote it and why, which may tell whose it is.
    pub fn unnamed(&mut self) {
        self.by.clear();
        self.reason.clear();
        self.second = None;
    }

    /// Whether it counts on a day, its first and last day included.
    #[must_use]
    pub fn state_on(&self, today: Date) -> State {
        if today < self.date {
            State::Ahead
        } else if today > self.until {
            State::Expired
        } else {
            State::InForce
        }
    }
}

impl Loosening {
    /// What is left of what a rule says.
    #[must_use]
    pub fn of(&self, then: &Then) -> Then {
        if self.switch_off {
            return Then::default();
        }
        let kept = |ids: &[String]| -> Vec<String> {
            ids.iter()
                .filter(|id| !self.leave_out.contains(id))
                .cloned()
                .collect()
        };
        Then {
            risk: instead(self.risk, then.risk),
            start: instead(self.start, then.start),
            contact: instead(self.contact, then.contact),
            vet: instead(self.vet, then.vet),
            do_: kept(&then.do_),
            never: kept(&then.never),
            refer: kept(&then.refer),
            ask: kept(&then.ask),
        }
    }
}

/// Never tighter than what the rule says: a departure only loosens.
fn instead<T: Copy + Ord>(instead: Option<Instead<T>>, said: Option<T>) -> Option<T> {
    match instead {
        None => said,
        Some(Instead::Nothing) => None,
        Some(Instead::Word(word)) => said.map(|said| said.min(word)),
    }
}

impl Rulebook {
    /// Lets the departures that are in force change their rules. Departures from the floor, from rules that are not there and
    /// from a practice's own rules change nothing: whoever reads departures reports them.
    pub fn depart(&mut self, departures: Vec<Departure>) {
        for (at, departure) in departures.iter().enumerate() {
            if departure.state != State::InForce {
                continue;
            }
            let found = self
                .rules
                .binary_search_by(|rule| rule.id.as_str().cmp(&departure.rule));
            let Some(rule) = found.ok().and_then(|at| self.rules.get_mut(at)) else {
                continue;
            };
            if rule.floor || rule.layer != Layer::Base || rule.departed.is_some() {
                continue;
            }
            let then = departure.what.of(&rule.then);
            rule.departed = Some(Departed {
                by: at,
                then: std::mem::replace(&mut rule.then, then),
            });
        }
        self.departures = departures;
    }
}
