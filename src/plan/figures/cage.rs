//! What is told of the cage.

use serde_json::{Value as Json, json};

use crate::facts::workings::Kind;
use crate::figures::enclosure::wings::least_wingspan_cm;
use crate::figures::enclosure::{Cage, Class, Need, NotCovered, Verdict, assess};
use crate::figures::energy::maintenance_range_kcal_a_day;
use crate::figures::food::reward_budget_kcal;
use crate::regions::STANDARDS;

use super::{Sheet, span};

/// What follows from the kind alone, before anything is known of the bird: floors for one bird and for two, energy, bar gaps and the
/// wingspan.
#[must_use]
pub fn of_kind(kind: &Kind) -> Json {
    let floors: Vec<Json> = STANDARDS
        .iter()
        .map(|(word, standard)| {
            let need_of = |birds| {
                let cage = Cage {
                    length_cm: None,
                    width_cm: None,
                    height_cm: None,
                    birds: Some(birds),
                    outdoors: Some(false),
                };
                assess(*standard, kind.bird.as_ref()?, &cage)
                    .ok()?
                    .need_least
            };
            json!({
                "standard": word,
                "one_bird": need_of(1).map(need),
                "two_birds": need_of(2).map(need),
            })
        })
        .collect();
    let maintenance = kind
        .table_g
        .and_then(|table| maintenance_range_kcal_a_day(table).ok());
    json!({
        "floors": floors,
        "maintenance_kcal": span(maintenance),
        "rewards_kcal": span(maintenance.map(reward_budget_kcal)),
        "widest_gap_mm": kind.bars.map(|group| group.widest_gap_mm()),
        "narrowest_gap_mm": kind.bars.and_then(|group| group.narrowest_gap_mm()),
        "least_bar_mm": kind.bars.and_then(|group| group.least_bar_mm()),
        "wingspan_over_cm": kind.folded_wing_mm.and_then(|wing| least_wingspan_cm(wing.low).ok()),
        "plausible_g": span(kind.plausible_g()),
    })
}

impl Sheet<'_> {
    pub(super) fn cage(&self) -> Json {
        let cage = &self.workings.cage;
        let regions = &self.case.vocabulary.tables.regions.all;
        let kind = &self.workings.kind;
        let mut standards: Vec<Json> = cage
            .standards
            .iter()
            .map(|(standard, found)| {
                let word = STANDARDS
                    .iter()
                    .find(|(_, other)| other == standard)
                    .map_or("", |(word, _)| *word);
                let (verdict, why, short) = match found.map(|found| found.verdict) {
                    None => ("not-known", "kind", Json::Null),
                    Some(Verdict::NotKnown) => ("not-known", "blank", Json::Null),
                    Some(Verdict::Met) => ("met", "", Json::Null),
                    Some(Verdict::NotCovered(NotCovered::Excluded)) => ("not-covered", "excluded", Json::Null),
                    Some(Verdict::NotCovered(NotCovered::NoFigure)) => ("not-covered", "no-figure", Json::Null),
                    Some(Verdict::NotCovered(NotCovered::BeyondTable)) => ("not-covered", "beyond-table", Json::Null),
                    Some(Verdict::Short(short)) => (
                        "short",
                        "",
                        json!({
                            "length_cm": short.length_cm, "width_cm": short.width_cm, "height_cm": short.height_cm,
                            "area_m2": short.area_m2, "volume_m3": short.volume_m3,
                        }),
                    ),
                };
                json!({
                    "standard": word,
                    "local": self.workings.local.contains(standard),
                    "verdict": verdict,
                    "why": why,
                    "class": found.and_then(|found| found.class).map(class),
                    "least": found.and_then(|found| found.need_least).map(need),
                    "most": found.and_then(|found| found.need_most).map(need),
                    "short": short,
                })
            })
            .collect();
        // The figures of the place come first.
        standards.sort_by_key(|standard| standard["local"] != json!(true));
        json!({
            "regions": cage.regions.iter().map(|at| regions[*at].title.clone()).collect::<Vec<_>>(),
            "notes": cage.regions.iter().filter_map(|at| regions[*at].note.clone()).collect::<Vec<_>>(),
            "length_cm": cage.cage.length_cm,
            "width_cm": cage.cage.width_cm,
            "height_cm": cage.cage.height_cm,
            "birds": cage.cage.birds,
            "bird_cm": span(kind.bird.map(|bird| bird.length_cm)),
            "bird_cm_told": kind.told_cm.is_some(),
            "standards": standards,
            "stands_low": cage.stands_low(),
            "stands_at_cm": cage.stands_at_cm,
        })
    }

    pub(super) fn wings(&self) -> Json {
        let cage = &self.workings.cage;
        json!({
            "by_law": cage.wings_by_law,
            "fit": cage.wings_fit,
            "told": self.case.yes(self.case.vocabulary.slots.cage_wings_open),
            "wingspan_told_cm": self.workings.kind.told_wingspan_cm,
            "wingspan_at_least_cm": cage.wingspan_cm.map(|span| span.low),
        })
    }

    pub(super) fn bars(&self) -> Json {
        let cage = &self.workings.cage;
        let group = self.workings.kind.bars;
        json!({
            "gap_mm": cage.gap_mm,
            "wide": cage.gap_wide,
            "narrow": cage.gap_narrow,
            "widest_mm": group.map(|group| group.widest_gap_mm()),
            "narrowest_mm": group.and_then(|group| group.narrowest_gap_mm()),
            "least_bar_mm": group.and_then(|group| group.least_bar_mm()),
        })
    }
}

fn need(need: Need) -> Json {
    json!({
        "length_cm": need.length_cm, "width_cm": need.width_cm, "height_cm": need.height_cm,
        "area_m2": need.area_m2, "volume_m3": need.volume_m3,
    })
}

fn class(class: Class) -> Json {
    match class {
        Class::Lengths { over_cm, up_to_cm } => json!({"over_cm": over_cm, "up_to_cm": up_to_cm}),
        Class::Budgerigar => json!("budgerigar"),
        Class::Cockatiel => json!("cockatiel"),
        Class::LargeParrot => json!("large parrot"),
    }
}
