//! Which kind of bird it is, how heavy and how long: the bird's own figures before those of its kind.

use crate::figures::bars;
use crate::figures::enclosure::Bird;
use crate::figures::size::{self, SizeClass};
use crate::figures::span::Span;
use crate::species::{BarGroup, Companion, Found, SpeciesTable, Trait};

use super::super::Value;
use super::super::case::Case;

/// Share by which one weighing may differ from the next without meaning another size class: twice the 2 to 3 % an adult's
/// weight varies by. Our own choice.
const WEIGHT_WOBBLES: f64 = 0.05;

/// How far the words for the kind lead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum How {
    /// Nothing was told.
    #[default]
    NotTold,
    /// One kind of the companion table.
    One,
    /// One species outside that table.
    OutsideTable,
    /// Several kinds go by that name.
    Several,
    /// A cross.
    Cross,
    /// A name that is not in the tables.
    NotFound,
}

/// Where the size class comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SizeFrom {
    /// The bird's own weight.
    Weight,
    /// The size that was told.
    Told,
    /// The kind.
    Kind,
    /// Nothing: any size.
    #[default]
    Nothing,
}

/// What is known of the bird's kind and body.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Kind {
    /// How far the words lead.
    pub how: How,
    /// Keys of the kinds, or the scientific name of a species outside the table.
    pub names: Vec<String>,
    /// Published mean weights over all of them and all sources, g.
    pub table_g: Option<Span>,
    /// Published lengths over all of them, cm.
    pub table_cm: Option<Span>,
    /// Folded wings over all of them, mm.
    pub folded_wing_mm: Option<Span>,
    /// The bird's own weight, g.
    pub told_g: Option<f64>,
    /// The bird's own length, cm.
    pub told_cm: Option<f64>,
    /// The bird's own wingspan, cm.
    pub told_wingspan_cm: Option<f64>,
    /// The least and the greatest size class it can have.
    pub size: Option<(SizeClass, SizeClass)>,
    /// Where that comes from.
    pub size_from: SizeFrom,
    /// What standards need to know of it, where all the kinds agree on that; length as told or published.
    pub bird: Option<Bird>,
    /// Its group for bar gaps, where all the kinds agree on that.
    pub bars: Option<bars::Group>,
}

impl Kind {
    /// Works it out.
    #[must_use]
    pub fn of(case: &Case<'_>) -> Self {
        let slots = &case.vocabulary.slots;
        let mut kind = case
            .text(slots.bird_species)
            .map_or_else(Self::default, |text| case.vocabulary.tables.kind(text));
        kind.told_g = case.number(slots.bird_weight);
        kind.told_cm = case.number(slots.bird_length);
        kind.told_wingspan_cm = case.number(slots.bird_wingspan);
        let told_size = match case.once(slots.bird_size) {
            Some(Value::Level { low, high }) => Some((class(*low), class(*high))),
            _ => None,
        };
        (kind.size, kind.size_from) = kind.size_class(told_size);
        let told_cm = kind.told_cm.map(Span::exact);
        kind.bird = kind.bird.and_then(|bird| {
            Some(Bird {
                length_cm: told_cm.or(kind.table_cm)?,
                wingspan_cm: kind.told_wingspan_cm,
                ..bird
            })
        });
        kind
    }

    /// What the tables hold under a name.
    #[must_use]
    pub fn named(species: &SpeciesTable, text: &str) -> Self {
        match species.find(text) {
            Found::One(companion) => Self::of_companions(How::One, &[companion]),
            Found::Several(companions) => Self::of_companions(How::Several, &companions),
            Found::Hybrid(parents) => Self::of_companions(How::Cross, &parents),
            Found::Trait(species) => Self::of_trait(species),
            Found::Unknown { .. } => Self {
                how: How::NotFound,
                ..Self::default()
            },
        }
    }

    fn of_companions(how: How, companions: &[&Companion]) -> Self {
        let join =
            |span: fn(&Companion) -> Span| companions.iter().map(|it| span(it)).reduce(Span::join);
        let birds: Vec<Bird> = companions.iter().map(|it| bird(it)).collect();
        let bars: Vec<_> = companions
            .iter()
            .map(|it| it.bar_group().map(bar_group))
            .collect();
        // The figures of a cross hold only when both parents were named.
        let sure = how != How::Cross || companions.len() > 1;
        Self {
            how,
            names: companions.iter().map(|it| it.key.clone()).collect(),
            table_g: join(|it| {
                let (least, most) = it.mass_range_g();
                Span::between(least, most)
            })
            .filter(|_| sure),
            table_cm: join(|it| Span::exact(it.body_length_cm)).filter(|_| sure),
            folded_wing_mm: join(|it| Span::exact(it.wing_mm)).filter(|_| sure),
            bird: agreed(&birds).filter(|_| sure),
            bars: agreed(&bars).flatten().filter(|_| sure),
            ..Self::default()
        }
    }

    fn of_trait(species: &Trait) -> Self {
        let (least, most) = species.mass_range_g();
        Self {
            how: How::OutsideTable,
            names: vec![species.species.clone()],
            table_g: Some(Span::between(least, most)),
            table_cm: species.ptdb_total_length_cm.map(Span::exact),
            folded_wing_mm: Some(Span::exact(species.wing_mm)),
            // Kinds outside the table are not sorted into the groups that standards name.
            bird: None,
            ..Self::default()
        }
    }

    /// The weight to reckon with, g: the bird's own, or the published means of its kind.
    #[must_use]
    pub fn body_g(&self) -> Option<Span> {
        self.told_g.map(Span::exact).or(self.table_g)
    }

    /// Weights that fit the kind, g.
    #[must_use]
    pub fn plausible_g(&self) -> Option<Span> {
        self.table_g.map(size::plausible_g)
    }

    fn size_class(
        &self,
        told: Option<(SizeClass, SizeClass)>,
    ) -> (Option<(SizeClass, SizeClass)>, SizeFrom) {
        if let Some((least, most)) = self
            .told_g
            .and_then(|grams| size::size_classes(near(grams)).ok())
        {
            // Close to an edge the weight leaves two sizes open, and the size that was told decides.
            let told = told.filter(|(low, high)| least <= *low && *high <= most);
            return (Some(told.unwrap_or((least, most))), SizeFrom::Weight);
        }
        if told.is_some() {
            return (told, SizeFrom::Told);
        }
        let kind = self
            .plausible_g()
            .map(|span| {
                Span::between(
                    span.low.max(size::LEAST_BODY_G),
                    span.high.min(size::MOST_BODY_G),
                )
            })
            .and_then(|span| size::size_classes(span).ok());
        let from = if kind.is_some() {
            SizeFrom::Kind
        } else {
            SizeFrom::Nothing
        };
        (kind, from)
    }

    /// The least and the greatest size class, any when nothing is known.
    #[must_use]
    pub fn sizes(&self) -> (SizeClass, SizeClass) {
        self.size.unwrap_or((SizeClass::Small, SizeClass::Large))
    }
}

fn bird(companion: &Companion) -> Bird {
    Bird {
        length_cm: Span::exact(companion.body_length_cm),
        is_budgerigar: companion.is_budgerigar(),
        is_cockatiel: companion.is_cockatiel(),
        is_macaw: companion.is_macaw(),
        is_cockatoo: companion.is_cockatoo(),
        is_lory: companion.is_lory(),
        is_parakeet: companion.is_parakeet(),
        on_swiss_large_list: companion.on_swiss_large_list(),
        wingspan_cm: None,
    }
}

/// Weights that a bird weighed once may have on other days, g.
#[must_use]
pub fn near(grams: f64) -> Span {
    Span::between(
        (grams * (1.0 - WEIGHT_WOBBLES)).max(size::LEAST_BODY_G.min(grams)),
        (grams * (1.0 + WEIGHT_WOBBLES)).min(size::MOST_BODY_G.max(grams)),
    )
}

/// What all of them agree on, lengths aside.
fn agreed<T: Copy + PartialEq + Alike>(all: &[T]) -> Option<T> {
    let first = *all.first()?;
    all.iter()
        .all(|other| other.is_like(&first))
        .then_some(first)
}

trait Alike {
    fn is_like(&self, other: &Self) -> bool;
}

impl Alike for Bird {
    fn is_like(&self, other: &Self) -> bool {
        let at = |bird: &Self| Self {
            length_cm: Span::exact(1.0),
            ..*bird
        };
        at(self) == at(other)
    }
}

impl Alike for Option<bars::Group> {
    fn is_like(&self, other: &Self) -> bool {
        self == other
    }
}

/// The group of the trade sheets as the figures have it.
fn bar_group(group: BarGroup) -> bars::Group {
    match group {
        BarGroup::BudgerigarParrotletLovebird => bars::Group::Budgerigar,
        BarGroup::Cockatiel => bars::Group::Cockatiel,
        BarGroup::ConurePoicephalus => bars::Group::Conure,
        BarGroup::CaiquePionus => bars::Group::Caique,
        BarGroup::GreyAmazonSmallCockatoo => bars::Group::Grey,
        BarGroup::LargeCockatooLargeMacaw => bars::Group::LargeCockatooOrMacaw,
    }
}

fn class(level: u8) -> SizeClass {
    match level {
        0 => SizeClass::Small,
        1 => SizeClass::Medium,
        _ => SizeClass::Large,
    }
}
