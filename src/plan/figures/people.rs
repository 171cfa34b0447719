//! What is told of bites over time, of wounds and of illness.

use serde_json::{Value as Json, json};

use crate::facts::show;
use crate::facts::workings::{EARLIER_DAYS, LATER_DAYS, asks_about_tetanus};
use crate::figures::psittacosis::WINDOWS;
use crate::figures::trend::Reading;
use crate::language::FactRef;

use super::Sheet;

impl Sheet<'_> {
    pub(super) fn record(&self) -> Json {
        let Some(record) = &self.workings.record else {
            return json!({ "known": false });
        };
        let change = &record.change;
        json!({
            "known": true,
            "later": record.later,
            "later_days": LATER_DAYS,
            "earlier": record.earlier,
            "earlier_days": EARLIER_DAYS,
            "ratio": change.ratio,
            "ratio_low": change.ratio_95.low,
            // JSON holds no infinity.
            "ratio_high": Some(change.ratio_95.high).filter(|high| high.is_finite()),
            "p": change.p_two_sided,
            "total": change.total,
            "reading": match record.reading {
                Reading::TooFew => "too-few",
                Reading::Rising => "rising",
                Reading::Falling => "falling",
                Reading::NoClearChange => "no-clear-change",
            },
            "kept": record.kept,
        })
    }

    pub(super) fn wounds(&self) -> Json {
        let vocabulary = self.case.vocabulary;
        let slots = &vocabulary.slots;
        let (advised, for_person) = (
            vocabulary.find("bites.care-advised"),
            vocabulary.find("bites.care-advised-for-person"),
        );
        let care = |at: Option<FactRef>, bite: usize| {
            Some(show(vocabulary.fact(at?), self.case.of(at, bite)?))
        };
        let bites = self.case.entries(slots.bite_injury).map_or(0, <[_]>::len);
        let bites: Vec<Json> = (0..bites)
            .map(|bite| {
                json!({
                    "bite": bite + 1,
                    "care": care(advised, bite),
                    "care_for_person": care(for_person, bite),
                    "tetanus": asks_about_tetanus(&self.case, bite, crate::facts::derive::person_of(&self.case, bite)),
                })
            })
            .collect();
        json!({ "bites": bites })
    }

    pub(super) fn illness(&self) -> Json {
        let slots = &self.case.vocabulary.slots;
        let days = self.case.number(slots.ill_after_days);
        let windows: Vec<Json> = WINDOWS
            .iter()
            .map(|window| {
                json!({
                    "body": window.body,
                    "low": window.days.low,
                    "high": window.days.high,
                    "holds": days.map(|days| window.days.holds(days)),
                })
            })
            .collect();
        json!({
            "ill": self.case.yes(slots.ill_people),
            "days": days,
            "fits": self.workings.illness_fits,
            "windows": windows,
        })
    }
}
