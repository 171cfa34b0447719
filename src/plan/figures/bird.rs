//! What is told of the kind of bird and its size.

use serde_json::{Value as Json, json};

use crate::facts::workings::{How, SizeFrom};
use crate::figures::size::percent_of_published;

use super::{Sheet, span};

impl Sheet<'_> {
    pub(super) fn kind(&self) -> Json {
        let kind = &self.workings.kind;
        let species = &self.case.vocabulary.tables.species;
        let companions: Vec<_> = kind
            .names
            .iter()
            .filter_map(|key| species.companion(key))
            .collect();
        let mut flags: Vec<&str> = companions
            .iter()
            .flat_map(|companion| &companion.mass_flags)
            .map(|flag| flag.word())
            .collect();
        flags.sort_unstable();
        flags.dedup();
        json!({
            "how": match kind.how {
                How::NotTold => "not-told",
                How::One => "one",
                How::OutsideTable => "outside-table",
                How::Several => "several",
                How::Cross => "cross",
                How::NotFound => "not-found",
            },
            "names": if companions.is_empty() {
                kind.names.clone()
            } else {
                companions.iter().map(|companion| companion.common_name.clone()).collect()
            },
            "told_g": kind.told_g,
            "told_cm": kind.told_cm,
            "table_g": span(kind.table_g),
            "table_cm": span(kind.table_cm),
            "folded_wing_mm": span(kind.folded_wing_mm),
            "plausible_g": span(kind.plausible_g()),
            "share": span(kind.told_g.zip(kind.table_g).and_then(|(grams, table)| percent_of_published(grams, table).ok())),
            "flags": flags,
            "size": kind.size.map(|(least, most)| json!({"low": size_word(least), "high": size_word(most)})),
            "size_from": match kind.size_from {
                SizeFrom::Weight => "weight",
                SizeFrom::Told => "told",
                SizeFrom::Kind => "kind",
                SizeFrom::Nothing => "nothing",
            },
        })
    }
}

fn size_word(size: crate::figures::size::SizeClass) -> &'static str {
    use crate::figures::size::SizeClass;
    match size {
        SizeClass::Small => "small",
        SizeClass::Medium => "medium",
        SizeClass::Large => "large",
    }
}
