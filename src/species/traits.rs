//! The published traits of one parrot species.

use super::flags::{self, Group};

/// One species with its traits, as the published tables have them. A blank is a blank there.
#[derive(Debug, Clone, PartialEq)]
pub struct Trait {
    /// Scientific name in AVONET (BirdLife taxonomy).
    pub species: String,
    /// Family in the BirdLife taxonomy, which knows three of parrots.
    pub family: String,
    /// Its concept in Avibase.
    pub avibase_id: String,
    /// How many specimens the sizes come from; 0 where the row is inferred.
    pub specimens: u32,
    /// Mean mass in grams, mostly of wild birds.
    pub mass_g: f64,
    /// Where AVONET has the mass from; `Inferred` where it was worked out from relatives.
    pub mass_source: String,
    /// Tip of the beak to the base of the skull, in millimetres.
    pub beak_length_culmen_mm: f64,
    /// Front of the nostrils to the tip of the beak, in millimetres.
    pub beak_length_nares_mm: f64,
    /// Width of the beak at the front of the nostrils, in millimetres.
    pub beak_width_mm: f64,
    /// Depth of the beak at the front of the nostrils, in millimetres.
    pub beak_depth_mm: f64,
    /// Length of the tarsus in millimetres.
    pub tarsus_mm: f64,
    /// Bend of the wing to the tip of the longest primary, not flattened, in millimetres.
    pub wing_mm: f64,
    /// The longest tail feather in millimetres.
    pub tail_mm: f64,
    /// True when the whole row was inferred from a relative.
    pub row_inferred: bool,
    /// Which traits were inferred, as AVONET names them.
    pub traits_inferred: Option<String>,
    /// The relative they were inferred from.
    pub inferred_from_species: Option<String>,
    /// Its name in EltonTraits 1.0.
    pub elton_name: Option<String>,
    /// Mass in grams in EltonTraits 1.0.
    pub elton_mass_g: Option<f64>,
    /// Its name in the Parrot Traits Database.
    pub ptdb_name: Option<String>,
    /// Its common name there.
    pub ptdb_common_name: Option<String>,
    /// Total length in centimetres there.
    pub ptdb_total_length_cm: Option<f64>,
    /// Mass in grams there.
    pub ptdb_mass_g: Option<f64>,
    /// True when that mass was inferred.
    pub ptdb_mass_inferred: Option<bool>,
    /// Its name in the Amniote life-history database.
    pub amniote_name: Option<String>,
    /// Mass in grams there.
    pub amniote_mass_g: Option<f64>,
    /// Length in centimetres there, for comparison alone: its definition for birds was not read.
    pub amniote_svl_cm: Option<f64>,
    /// Its name in AnAge.
    pub anage_name: Option<String>,
    /// Age in years of the oldest bird on record. No typical life span.
    pub anage_max_longevity_y: Option<f64>,
    /// Where that bird lived, as AnAge says.
    pub anage_specimen_origin: Option<String>,
    /// How many birds AnAge looked at, in its words.
    pub anage_sample_size: Option<String>,
    /// How AnAge judges the record.
    pub anage_data_quality: Option<String>,
}

impl Trait {
    /// The group people sort it into, by its genus.
    #[must_use]
    pub fn group(&self) -> Group {
        Group::of(&self.species)
    }

    /// See [`flags::on_swiss_large_list`].
    #[must_use]
    pub fn on_swiss_large_list(&self) -> bool {
        flags::on_swiss_large_list(&self.species)
    }

    /// The least and the greatest of the masses there are, in grams; inferred ones of the Parrot Traits Database are left
    /// out. No confidence range, and no range of single birds.
    #[must_use]
    pub fn mass_range_g(&self) -> (f64, f64) {
        let ptdb_mass_g = self
            .ptdb_mass_g
            .filter(|_| self.ptdb_mass_inferred == Some(false));
        [self.elton_mass_g, ptdb_mass_g, self.amniote_mass_g]
            .into_iter()
            .flatten()
            .fold((self.mass_g, self.mass_g), |(least, most), mass_g| {
                (least.min(mass_g), most.max(mass_g))
            })
    }

    /// The names it has in the older tables, where they differ from [`Trait::species`].
    pub(super) fn older_names(&self) -> impl Iterator<Item = &str> {
        [
            &self.elton_name,
            &self.ptdb_name,
            &self.amniote_name,
            &self.anage_name,
        ]
        .into_iter()
        .flatten()
        .map(String::as_str)
        .filter(|name| *name != self.species)
    }
}
