//! The cage against the figures that are held.

use crate::figures::bars;
use crate::figures::enclosure::wings::{least_wingspan_cm, wings_can_stretch};
use crate::figures::enclosure::{
    Assessment, Cage, MOST_WINGSPAN_CM, Standard, Verdict, assess, austria,
};
use crate::figures::span::Span;

use super::super::case::Case;
use super::Kind;

/// What is known of the cage.
#[derive(Debug, Clone, PartialEq)]
pub struct CageFigures {
    /// The cage as told.
    pub cage: Cage,
    /// Places the region names, by their place in the table of regions; empty when none is known.
    pub regions: Vec<usize>,
    /// Each standard's word on it; `None` where the kind of bird is not known well enough to ask.
    pub standards: Vec<(Standard, Option<Assessment>)>,
    /// The wingspan to reckon with, cm: as told, or from twice the folded wing upwards.
    pub wingspan_cm: Option<Span>,
    /// True when the law of the place asks that the bird can stretch its wings.
    pub wings_by_law: bool,
    /// Whether it can.
    pub wings_fit: Option<bool>,
    /// Bar gap as told, mm.
    pub gap_mm: Option<f64>,
    /// Whether the gap is wider than trade sheets agree on for the kind.
    pub gap_wide: Option<bool>,
    /// Whether it is narrower than they agree on.
    pub gap_narrow: Option<bool>,
    /// Height of the bottom above the floor, cm.
    pub stands_at_cm: Option<f64>,
}

/// What the figures of the place say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Local {
    /// The place is not known, or not in the table.
    NotKnown,
    /// No figure of the place speaks of such a bird.
    NoFigure,
    /// Known to be reached, or known not to be; `None` while a blank leaves it open.
    Below(Option<bool>),
}

impl CageFigures {
    /// Works it out.
    #[must_use]
    pub fn of(case: &Case<'_>, kind: &Kind) -> Self {
        let slots = &case.vocabulary.slots;
        let cage = Cage {
            length_cm: case.number(slots.cage_length),
            width_cm: case.number(slots.cage_width),
            height_cm: case.number(slots.cage_height),
            birds: case
                .number(slots.cage_birds)
                .map(|count| count.round() as u32),
            outdoors: case.yes(slots.cage_outdoors),
        };
        let tables = &case.vocabulary.tables;
        let named = case
            .text(slots.case_region)
            .map_or_else(Vec::new, |text| tables.regions_in(text));
        let standards = Standard::ALL
            .iter()
            .map(|standard| {
                let found = kind
                    .bird
                    .as_ref()
                    .and_then(|bird| assess(*standard, bird, &cage).ok());
                (*standard, found)
            })
            .collect();
        let wingspan_cm = kind.told_wingspan_cm.map(Span::exact).or_else(|| {
            let least = least_wingspan_cm(kind.folded_wing_mm?.low).ok()?;
            Some(Span::between(least, MOST_WINGSPAN_CM))
        });
        let gap_mm = case.number(slots.bar_spacing);
        let gap = |test: fn(bars::Group, f64) -> Result<bool, crate::figures::input::Unusable>| {
            test(kind.bars?, gap_mm?).ok()
        };
        Self {
            cage,
            wings_by_law: named.iter().any(|at| tables.regions.all[*at].wings),
            regions: named,
            standards,
            wingspan_cm,
            wings_fit: case
                .yes(slots.cage_wings_open)
                .or_else(|| wings_can_stretch(&cage, wingspan_cm?)),
            gap_mm,
            gap_wide: gap(bars::gap_is_wide),
            gap_narrow: gap(bars::gap_is_narrow),
            stands_at_cm: case.number(slots.cage_stands_at),
        }
    }

    /// The standards of the place.
    #[must_use]
    pub fn local_standards(&self, regions: &crate::regions::Regions) -> Vec<Standard> {
        let mut local: Vec<Standard> = self
            .regions
            .iter()
            .flat_map(|at| regions.all[*at].figures.iter().copied())
            .collect();
        local.sort_unstable();
        local.dedup();
        local
    }

    /// What the figures of the place say of the cage.
    #[must_use]
    pub fn local(&self, local: &[Standard]) -> Local {
        if self.regions.is_empty() {
            return Local::NotKnown;
        }
        let wings = self.wings_by_law.then(|| self.wings_fit.map(|fit| !fit));
        let words = self
            .standards
            .iter()
            .filter(|(standard, _)| local.contains(standard))
            .filter_map(|(_, found)| below(found.as_ref()))
            .chain(wings);
        any(words).map_or(Local::NoFigure, Local::Below)
    }

    /// Below all of at least two standards that speak of such a bird; `None` inside while that is open.
    #[must_use]
    pub fn below_every(&self) -> Option<Option<bool>> {
        let words: Vec<Option<bool>> = self
            .standards
            .iter()
            .filter_map(|(_, found)| below(found.as_ref()))
            .collect();
        if words.contains(&Some(false)) {
            return Some(Some(false));
        }
        match words.len() {
            0 | 1 => None,
            _ if words.iter().all(|word| *word == Some(true)) => Some(Some(true)),
            _ => Some(None),
        }
    }

    /// Whether the bottom of the cage stands lower than Austrian rules ask for.
    #[must_use]
    pub fn stands_low(&self) -> Option<bool> {
        austria::stands_high_enough(self.stands_at_cm?)
            .ok()
            .map(|high| !high)
    }
}

/// Whether the cage is below a standard: `None` where the standard does not speak of such a bird.
fn below(found: Option<&Assessment>) -> Option<Option<bool>> {
    match found.map(|found| found.verdict) {
        Some(Verdict::NotCovered(_)) => None,
        Some(Verdict::Met) => Some(Some(false)),
        Some(Verdict::Short(_)) => Some(Some(true)),
        Some(Verdict::NotKnown) | None => Some(None),
    }
}

/// Kleene's or, over none: `None`.
fn any(words: impl Iterator<Item = Option<bool>>) -> Option<Option<bool>> {
    words.reduce(|one, other| match (one, other) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (Some(false), Some(false)) => Some(false),
        _ => None,
    })
}
