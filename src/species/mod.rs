//! What is known of each kind of parrot: the kinds kept as companions, the traits of all species, and which one a text means.
//!
//! The figures are facts from published tables, shipped in `rules/species/` with their citations and licences. They describe
//! a species, never one bird: what was weighed or measured on the bird itself always counts before them.

mod companion;
mod find;
mod flags;
mod load;
mod names;
mod traits;

use std::sync::OnceLock;

use crate::library::Care;
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::DataFileMissing;
use crate::source::Source;

pub use companion::{Appendix, Companion, ListingBasis, MassFlag, SizeGroup, Tier};
pub use find::Found;
pub use flags::{BarGroup, Group};
pub use traits::Trait;

use names::{CompanionNames, TraitNames};

/// The table of kinds kept as companions.
pub const COMPANIONS: &str = "species/companion-species.csv";

/// The table of the traits of all parrot species.
pub const TRAITS: &str = "species/parrot-traits.csv";

/// Both tables, by path below the folder of rules.
pub const FILES: &[&str] = &[COMPANIONS, TRAITS];

/// Both tables. Each is read when it is first asked for: most commands need neither.
#[derive(Debug)]
pub struct SpeciesTable {
    companions_source: Source,
    traits_source: Source,
    companions: OnceLock<Vec<Companion>>,
    traits: OnceLock<Vec<Trait>>,
    companion_names: OnceLock<CompanionNames>,
    trait_names: OnceLock<TraitNames>,
}

impl SpeciesTable {
    /// A table that holds no kind.
    #[must_use]
    pub fn empty() -> Self {
        Self {
            companions_source: Source::new("", ""),
            traits_source: Source::new("", ""),
            companions: OnceLock::from(Vec::new()),
            traits: OnceLock::from(Vec::new()),
            companion_names: OnceLock::new(),
            trait_names: OnceLock::new(),
        }
    }

    /// Takes both tables out of a library; faults are added to `problems`. With [`Care::Full`] they are read and held
    /// against each other at once; with [`Care::Trusted`] only their absence is a fault here, and a row that cannot be
    /// read later is left out.
    #[must_use]
    pub fn load(library: &Library, care: Care, problems: &mut Vec<Problem>) -> Self {
        let before = problems.len();
        let mut source = |file: &str| {
            library.get(file).cloned().unwrap_or_else(|| {
                let label = format!("{}/{file}", library.label);
                problems.push(Problem::of_file(
                    &label,
                    DataFileMissing {
                        file: file.to_owned(),
                    },
                ));
                Source::new(label, "")
            })
        };
        let table = Self {
            companions_source: source(COMPANIONS),
            traits_source: source(TRAITS),
            companions: OnceLock::new(),
            traits: OnceLock::new(),
            companion_names: OnceLock::new(),
            trait_names: OnceLock::new(),
        };
        if care == Care::Full && problems.len() == before {
            let traits = table
                .traits
                .get_or_init(|| load::traits(&table.traits_source, problems));
            // A table that could not be read in full would make every joined row a second fault.
            let joined = (problems.len() == before).then_some(traits.as_slice());
            let _ = table
                .companions
                .get_or_init(|| load::companions(&table.companions_source, joined, problems));
        }
        table
    }

    /// The kinds kept as companions, in the order of the table.
    #[must_use]
    pub fn companions(&self) -> &[Companion] {
        self.companions
            .get_or_init(|| load::companions(&self.companions_source, None, &mut Vec::new()))
    }

    /// All parrot species, in the order of the table.
    #[must_use]
    pub fn traits(&self) -> &[Trait] {
        self.traits
            .get_or_init(|| load::traits(&self.traits_source, &mut Vec::new()))
    }

    /// One kind by its key.
    #[must_use]
    pub fn companion(&self, key: &str) -> Option<&Companion> {
        self.companions()
            .iter()
            .find(|companion| companion.key == key)
    }

    /// One species by the scientific name that AVONET gives it.
    #[must_use]
    pub fn trait_of(&self, species: &str) -> Option<&Trait> {
        self.traits().iter().find(|it| it.species == species)
    }

    fn companion_names(&self) -> &CompanionNames {
        self.companion_names
            .get_or_init(|| CompanionNames::of(self.companions()))
    }

    fn trait_names(&self) -> &TraitNames {
        self.trait_names
            .get_or_init(|| TraitNames::of(self.traits(), self.companions()))
    }
}
