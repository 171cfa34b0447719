//! What differs between two sets of rules, thing by thing.

mod editions;
mod files;
mod measure;
mod question;
mod rule;
mod tables;

use std::collections::BTreeSet;

use serde::Serialize;

use crate::rulebook::Change;
use crate::rulebook::departure::{Departure, State};

pub use editions::{Age, Editions};

use super::item::Item;
use super::side::Side;
use super::way::Way;

/// What differs between two sets of rules.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Difference {
    /// Which of the two is newer.
    pub newer: Editions,
    /// What the changelogs of the new set say that those of the old one do not.
    pub written: Vec<Change>,
    /// Which way the rules went as a whole.
    pub way: Way,
    /// Everything that differs, by kind and id.
    pub items: Vec<Item>,
    /// The departures of both sets, whether they count on the day or not.
    pub departures: Vec<DepartureAbout>,
}

/// A departure, and in which of the sets it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct DepartureAbout {
    /// Its id.
    pub id: String,
    /// The rule it departs from.
    pub rule: String,
    /// Why.
    pub reason: String,
    /// Who says so, and who read it as well; nobody unless names may be told.
    pub by: Vec<String>,
    /// Its first day.
    pub date: String,
    /// Its last day.
    pub until: String,
    /// `in-force`, `ahead` or `expired` on the day.
    pub state: State,
    /// `old`, `new` or `both`.
    pub of: &'static str,
}

impl Difference {
    /// Compares two sets of rules. `names`: whether the names of who signed departures may be told.
    #[must_use]
    pub fn of(old: &Side, new: &Side, names: bool) -> Self {
        let mut items = Vec::new();
        rule::rules(old, new, &mut items);
        rule::gates(old, new, &mut items);
        rule::next_steps(old, new, &mut items);
        measure::measures(old, new, &mut items);
        question::questions(old, new, &mut items);
        tables::tables(old, new, &mut items);
        tables::sentences(old, new, &mut items);
        tables::templates(old, new, &mut items);
        tables::settings(old, new, &mut items);
        files::files(old, new, &mut items);
        Self {
            newer: Editions::of(old, new),
            written: editions::written(old, new),
            way: Way::of(items.iter().map(|item| item.way)),
            departures: departures(old, new, names),
            items,
        }
    }

    /// True when nothing differs.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// The ids of those of one kind.
    #[must_use]
    pub fn ids(&self, kind: &str) -> BTreeSet<&str> {
        let of_kind = self.items.iter().filter(|item| item.kind == kind);
        of_kind.map(|item| item.id.as_str()).collect()
    }

    /// A thing that differs.
    #[must_use]
    pub fn find(&self, kind: &str, id: &str) -> Option<&Item> {
        self.items
            .iter()
            .find(|item| item.kind == kind && item.id == id)
    }
}

fn departures(old: &Side, new: &Side, names: bool) -> Vec<DepartureAbout> {
    let about = |departure: &Departure, of: &'static str| DepartureAbout {
        id: departure.id.clone(),
        rule: departure.rule.clone(),
        reason: departure.reason.clone(),
        by: if names {
            let second = departure.second.clone();
            std::iter::once(departure.by.clone())
                .chain(second)
                .collect()
        } else {
            Vec::new()
        },
        date: departure.date.to_string(),
        until: departure.until.to_string(),
        state: departure.state,
        of,
    };
    let before = &old.rulebook.departures;
    let after = &new.rulebook.departures;
    let mut all: Vec<DepartureAbout> = before
        .iter()
        .map(|it| about(it, if after.contains(it) { "both" } else { "old" }))
        .collect();
    all.extend(
        after
            .iter()
            .filter(|it| !before.contains(it))
            .map(|it| about(it, "new")),
    );
    all.sort_by(|a, b| (&a.id, a.of).cmp(&(&b.id, b.of)));
    all
}
