//! A kind of parrot kept as a companion.

use super::flags::{self, BarGroup, Group};

/// How common a kind is in homes: a judgement, no count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tier {
    /// Met often.
    Core,
    /// Met now and then.
    Extended,
}

impl Tier {
    /// All, with the words of the table.
    pub const WORDS: &[(&str, Self)] = &[("core", Self::Core), ("extended", Self::Extended)];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        word_of(self, Self::WORDS)
    }
}

/// Why a species' mass is to be taken with care.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassFlag {
    /// The sources differ by 20 % or more.
    SourcesDiffer,
    /// The mass is that of a species this one was once counted under.
    FromLumpedParent,
    /// One mass stands for three species of the yellow-crowned amazon complex.
    SharedByComplex,
    /// AVONET measured no specimen: its row is inferred from a relative.
    RowInferred,
    /// Only one source gives a mass.
    SingleSource,
}

impl MassFlag {
    /// All, with the words of the table.
    pub const WORDS: &[(&str, Self)] = &[
        ("sources-differ-20pc-or-more", Self::SourcesDiffer),
        (
            "mass-inherited-from-lumped-parent-species",
            Self::FromLumpedParent,
        ),
        (
            "same-476.9g-for-three-ochrocephala-complex-species",
            Self::SharedByComplex,
        ),
        (
            "avonet-row-inferred-from-Eclectus-roratus",
            Self::RowInferred,
        ),
        ("single-source", Self::SingleSource),
    ];

    /// Its word in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        word_of(self, Self::WORDS)
    }
}

/// A size group: a project rule on mass with no published basis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SizeGroup {
    /// Under 100 g.
    Small,
    /// 100 g to under 300 g.
    Medium,
    /// 300 g to under 700 g.
    Large,
    /// 700 g and more.
    VeryLarge,
}

impl SizeGroup {
    /// All, with the words of the table, smallest first.
    pub const WORDS: &[(&str, Self)] = &[
        ("small", Self::Small),
        ("medium", Self::Medium),
        ("large", Self::Large),
        ("very-large", Self::VeryLarge),
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        word_of(self, Self::WORDS)
    }
}

/// An appendix of the Convention on International Trade in Endangered Species (CITES).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Appendix {
    /// Appendix I.
    One,
    /// Appendix II.
    Two,
    /// Not listed.
    NotListed,
}

impl Appendix {
    /// All, with the words of the table.
    pub const WORDS: &[(&str, Self)] = &[
        ("I", Self::One),
        ("II", Self::Two),
        ("none", Self::NotListed),
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        word_of(self, Self::WORDS)
    }
}

/// What a CITES listing rests on. It is no legal advice in any case: no full current list could be read, and changes made
/// after the pages that were read (2022 to 2025) are not covered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ListingBasis {
    /// A page that names the species was read.
    Read,
    /// The listing of the whole order in Appendix II was read; that the species is not in Appendix I is from memory.
    OrderRead,
    /// From memory.
    FromMemory,
}

impl ListingBasis {
    /// Reads the words of the table.
    #[must_use]
    pub(super) fn of(text: &str) -> Self {
        if text.starts_with("order-level") {
            Self::OrderRead
        } else if text.starts_with("FROM MEMORY") {
            Self::FromMemory
        } else {
            Self::Read
        }
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::OrderRead => "order-read",
            Self::FromMemory => "from-memory",
        }
    }
}

/// One kind of parrot kept as a companion: names, and figures of its species. Masses are means of the species as published,
/// mostly of wild birds; no figure is that of any one bird.
#[derive(Debug, Clone, PartialEq)]
pub struct Companion {
    /// Its id here.
    pub key: String,
    /// How common it is in homes (a judgement).
    pub tier: Tier,
    /// Its common name (from memory).
    pub common_name: String,
    /// Its common name in the Parrot Traits Database.
    pub ptdb_common_name: Option<String>,
    /// Names used at home (from memory). Some stand for several kinds.
    pub home_names: Vec<String>,
    /// The scientific name most in use.
    pub scientific_name: String,
    /// Its scientific name in AVONET, which joins it to [`super::Trait`].
    pub avonet_name: String,
    /// Mean mass in grams (AVONET).
    pub mass_g: f64,
    /// Where AVONET has it from.
    pub mass_source: String,
    /// Mass in grams in EltonTraits 1.0.
    pub elton_mass_g: Option<f64>,
    /// Mass in grams in the Parrot Traits Database.
    pub ptdb_mass_g: Option<f64>,
    /// Mass in grams in the Amniote life-history database.
    pub amniote_mass_g: Option<f64>,
    /// Why the mass is to be taken with care; empty when nothing is known against it.
    pub mass_flags: Vec<MassFlag>,
    /// Total length in centimetres (Parrot Traits Database). Taken as bill tip to tail tip, which is the usual sense; the
    /// database's own definition was not read. Long tails make it long.
    pub body_length_cm: f64,
    /// Its source, with the name it stands under where that is another one.
    pub body_length_source: String,
    /// Length in centimetres in the Amniote life-history database, for comparison alone.
    pub body_length_crosscheck_cm: Option<f64>,
    /// The size group by [`Companion::mass_g`]: a project rule with no published basis.
    pub size_group: SizeGroup,
    /// The size group that another source's mass would give.
    pub size_group_if_other_mass: Option<SizeGroup>,
    /// Tip of the beak to the base of the skull, in millimetres (AVONET).
    pub beak_length_culmen_mm: f64,
    /// Width of the beak at the front of the nostrils, in millimetres (AVONET).
    pub beak_width_mm: f64,
    /// Depth of the beak at the front of the nostrils, in millimetres (AVONET).
    pub beak_depth_mm: f64,
    /// Bend of the wing to the tip of the longest primary, not flattened, in millimetres (AVONET).
    pub wing_mm: f64,
    /// The longest tail feather in millimetres (AVONET).
    pub tail_mm: f64,
    /// How many specimens the sizes come from, often four or five: no spread is stated.
    pub specimens: u32,
    /// The source of the sizes.
    pub morphology_source: String,
    /// Listing under CITES. Not legal advice, and changes after the sources were written are not covered.
    pub cites_appendix: Appendix,
    /// What the listing rests on.
    pub cites_basis: ListingBasis,
    /// Age in years of the oldest bird on record (AnAge). No typical life span.
    pub max_recorded_longevity_y: Option<f64>,
    /// How AnAge judges that record.
    pub longevity_quality: Option<String>,
    /// Its source, with the name it stands under where that is another one.
    pub longevity_source: Option<String>,
    /// What else is to be known of the row.
    pub note: Option<String>,
}

impl Companion {
    /// The masses there are, in grams, each with its source.
    #[must_use]
    pub fn masses_g(&self) -> Vec<(&'static str, f64)> {
        [
            ("avonet", Some(self.mass_g)),
            ("elton-traits", self.elton_mass_g),
            ("parrot-traits-database", self.ptdb_mass_g),
            ("amniote", self.amniote_mass_g),
        ]
        .into_iter()
        .filter_map(|(source, mass_g)| mass_g.map(|mass_g| (source, mass_g)))
        .collect()
    }

    /// The least and the greatest of the masses there are, in grams. The sources lean on each other, so this is no
    /// confidence range, and no range of single birds.
    #[must_use]
    pub fn mass_range_g(&self) -> (f64, f64) {
        self.masses_g()
            .into_iter()
            .fold((self.mass_g, self.mass_g), |(least, most), (_, mass_g)| {
                (least.min(mass_g), most.max(mass_g))
            })
    }

    /// All names it goes by, the most usual first: common, at home, key, scientific.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        [self.common_name.as_str()]
            .into_iter()
            .chain(self.home_names.iter().map(String::as_str))
            .chain([
                self.key.as_str(),
                self.scientific_name.as_str(),
                self.avonet_name.as_str(),
            ])
    }

    /// The group people sort it into, by its genus.
    #[must_use]
    pub fn group(&self) -> Group {
        Group::of(&self.avonet_name)
    }

    /// The budgerigar, which laws set apart.
    #[must_use]
    pub fn is_budgerigar(&self) -> bool {
        self.group() == Group::Budgerigar
    }

    /// The cockatiel, which laws set apart.
    #[must_use]
    pub fn is_cockatiel(&self) -> bool {
        self.group() == Group::Cockatiel
    }

    /// A macaw, large or small.
    #[must_use]
    pub fn is_macaw(&self) -> bool {
        self.group() == Group::Macaw
    }

    /// Any of the cockatoo family but the cockatiel.
    #[must_use]
    pub fn is_cockatoo(&self) -> bool {
        self.group() == Group::Cockatoo
    }

    /// A lory or lorikeet.
    #[must_use]
    pub fn is_lory(&self) -> bool {
        self.group() == Group::Lory
    }

    /// See [`Group::is_parakeet`].
    #[must_use]
    pub fn is_parakeet(&self) -> bool {
        self.group().is_parakeet()
    }

    /// See [`flags::on_swiss_large_list`]: a large macaw or large cockatoo of the Swiss ordinance.
    #[must_use]
    pub fn on_swiss_large_list(&self) -> bool {
        flags::on_swiss_large_list(&self.avonet_name)
    }

    /// The group of trade sheets on bar spacing; `None` where no sheet names it.
    #[must_use]
    pub fn bar_group(&self) -> Option<BarGroup> {
        BarGroup::of(self.group(), self.on_swiss_large_list())
    }
}

/// The word of a value in its list of words.
fn word_of<T: PartialEq + Copy>(value: T, words: &[(&'static str, T)]) -> &'static str {
    words
        .iter()
        .find(|(_, other)| *other == value)
        .map_or("", |(word, _)| word)
}
