//! The whole of a comparison: two sets of rules and every open case, worst first.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::inbox::{Inbox, each};

use super::case::{CaseChange, Comparison, Seen, Unreadable};
use super::rules::Difference;
use super::side::SideAbout;
use super::way::Way;

/// What a change of rules does.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Report {
    /// The day it was decided for.
    pub day: String,
    /// The old set of rules.
    pub old: SideAbout,
    /// The new set of rules.
    pub new: SideAbout,
    /// True when something is looser or may be, in the rules or in a case: a person has to look at it.
    pub loosened: bool,
    /// What differs in the rules.
    pub rules: Difference,
    /// What changes for the open cases; nothing when none were given.
    pub cases: Option<Cases>,
}

/// What changes for the open cases.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Cases {
    /// How many cases were read, or could not be.
    pub count: usize,
    /// How many of them are looser somewhere, or may be.
    pub looser: usize,
    /// How many are tighter, and looser nowhere.
    pub tighter: usize,
    /// How many change, and are neither.
    pub otherwise: usize,
    /// How many do not change.
    pub untouched: usize,
    /// How many cannot be read under one of the sets.
    pub unreadable: usize,
    /// Those that change, worst first.
    pub touched: Vec<CaseChange>,
    /// Those that cannot be read.
    pub by_hand: Vec<Unreadable>,
    /// Other papers that lay among them: what they are, and how many.
    pub passed_over: BTreeMap<String, usize>,
}

impl Cases {
    /// Looks at every case of an inbox on the cores of a pool. `seen` hears how many were taken so far.
    #[must_use]
    pub fn of(
        comparison: &Comparison<'_>,
        pool: &rayon::ThreadPool,
        inbox: &mut Inbox<'_>,
        mut seen: impl FnMut(usize),
    ) -> Self {
        let mut cases = Self::default();
        let mut taken = 0;
        let never: Result<(), std::convert::Infallible> = each(
            pool,
            inbox,
            |item| comparison.case(item),
            |batch: Vec<Seen>| {
                taken += batch.len();
                batch.into_iter().for_each(|one| cases.take(one));
                seen(taken);
                Ok(())
            },
        );
        let Ok(()) = never;
        cases.finish();
        cases
    }

    /// Takes one case.
    pub fn take(&mut self, seen: Seen) {
        match seen {
            Seen::PassedOver(what) => {
                *self.passed_over.entry(what).or_default() += 1;
                return;
            }
            Seen::Untouched => self.untouched += 1,
            Seen::Unreadable(one) => self.by_hand.push(*one),
            Seen::Touched(one) => self.touched.push(*one),
        }
        self.count += 1;
    }

    /// Counts them and puts them in order: what is looser first, by steps and lines, then what is tighter, then by name and place, so
    /// that the order in which they came does not matter.
    fn finish(&mut self) {
        self.touched.sort_by_cached_key(|case| {
            let steps = |looser: bool| -> usize {
                let outcomes = case.outcomes.iter();
                outcomes
                    .map(|it| {
                        if looser {
                            it.steps_looser
                        } else {
                            it.steps_tighter
                        }
                    })
                    .sum()
            };
            let lines = |way: fn(Way) -> bool| case.lines.iter().filter(|it| way(it.way)).count();
            (
                std::cmp::Reverse((steps(true), lines(Way::loosens))),
                std::cmp::Reverse((steps(false), lines(Way::tightens))),
                std::cmp::Reverse(case.lines.len()),
                case.case.clone(),
                case.place.clone(),
            )
        });
        self.by_hand
            .sort_by(|a, b| (&a.case, &a.place).cmp(&(&b.case, &b.place)));
        let of = |wanted: fn(Way) -> bool| self.touched.iter().filter(|it| wanted(it.way)).count();
        self.looser = of(Way::loosens);
        self.tighter = of(|way| way == Way::Tightened);
        self.otherwise = of(|way| way == Way::Neither);
        self.unreadable = self.by_hand.len();
    }
}

impl Report {
    /// Puts it together.
    #[must_use]
    pub fn of(comparison: &Comparison<'_>, cases: Option<Cases>) -> Self {
        let rules = comparison.difference.clone();
        let in_cases = cases.as_ref().is_some_and(|cases| cases.looser > 0);
        Self {
            day: comparison.today.to_string(),
            old: comparison.old.about(),
            new: comparison.new.about(),
            loosened: rules.way.loosens() || in_cases,
            rules,
            cases,
        }
    }
}
