//! What is known of a kind of parrot, as text and as JSON.

use serde_json::{Value, json};

use crate::species::{Companion, Found, Group, MassFlag, SpeciesTable, Trait};

use super::engine::{Engine, PaperError};

/// What was found, as JSON and as text. `figures` are those that follow from the kind alone.
///
/// # Errors
/// When the template fails.
pub fn show(
    engine: &Engine,
    found: &Found<'_>,
    figures: &Value,
) -> Result<(Value, String), PaperError> {
    let mut value = found_value(found);
    if let (Found::One(_) | Found::Trait(_), Value::Object(map)) = (found, &mut value) {
        map.insert("figures".to_owned(), figures.clone());
    }
    let text = engine.render("species.txt", &json!({ "it": value }))?;
    Ok((value, format!("{}\n", super::tidy(&text))))
}

/// All kinds kept as companions, by group.
#[must_use]
pub fn list_text(table: &SpeciesTable) -> String {
    let mut out = String::new();
    for (group, kinds) in by_group(table) {
        out.push_str(&format!("{}\n", group.word()));
        for kind in kinds {
            out.push_str(&format!(
                "  {:<32} {} ({})\n",
                kind.key, kind.common_name, kind.scientific_name
            ));
        }
    }
    out
}

/// All kinds kept as companions, by group, as JSON.
#[must_use]
pub fn list_json(table: &SpeciesTable) -> Value {
    by_group(table)
        .into_iter()
        .flat_map(|(_, kinds)| kinds.into_iter().map(short))
        .collect()
}

/// The groups that have kinds, each with its kinds in the order of the table.
fn by_group(table: &SpeciesTable) -> Vec<(Group, Vec<&Companion>)> {
    Group::ALL
        .iter()
        .map(|group| {
            let kinds = table.companions().iter();
            (*group, kinds.filter(|it| it.group() == *group).collect())
        })
        .filter(|(_, kinds): &(Group, Vec<_>)| !kinds.is_empty())
        .collect()
}

fn found_value(found: &Found<'_>) -> Value {
    match found {
        Found::One(companion) => companion_value(companion),
        Found::Trait(it) => trait_value(it),
        Found::Several(kinds) => json!({
            "found": "several",
            "kinds": kinds.iter().map(|it| short(it)).collect::<Vec<_>>(),
        }),
        Found::Hybrid(parents) => json!({
            "found": "hybrid",
            "parents": parents.iter().map(|it| short(it)).collect::<Vec<_>>(),
        }),
        Found::Unknown { close } => json!({ "found": "unknown", "close": close }),
    }
}

/// A kind in a line of a list.
fn short(companion: &Companion) -> Value {
    json!({
        "key": companion.key,
        "group": companion.group().word(),
        "tier": companion.tier.word(),
        "common-name": companion.common_name,
        "scientific-name": companion.scientific_name,
        "mass-g": number(companion.mass_g),
    })
}

fn companion_value(companion: &Companion) -> Value {
    let (least, most) = companion.mass_range_g();
    let masses: serde_json::Map<String, Value> = companion
        .masses_g()
        .into_iter()
        .map(|(source, mass_g)| (source.to_owned(), number(mass_g)))
        .collect();
    let flags: Vec<&str> = companion.mass_flags.iter().map(|it| it.word()).collect();
    json!({
        "found": "companion",
        "key": companion.key,
        "group": companion.group().word(),
        "tier": companion.tier.word(),
        "common-name": companion.common_name,
        "home-names": companion.home_names,
        "dataset-name": companion.ptdb_common_name,
        "scientific-name": companion.scientific_name,
        "avonet-name": companion.avonet_name,
        "note": companion.note,
        "mass": {
            "mean-g": number(companion.mass_g),
            "mean-source": companion.mass_source,
            "least-g": number(least),
            "most-g": number(most),
            "by-source-g": masses,
            "flags": flags,
        },
        "row-inferred": companion.mass_flags.contains(&MassFlag::RowInferred),
        "size-group": companion.size_group.word(),
        "size-group-if-other-mass": companion.size_group_if_other_mass.map(|it| it.word()),
        "length": {
            "body-cm": number(companion.body_length_cm),
            "source": companion.body_length_source,
            "crosscheck-cm": companion.body_length_crosscheck_cm.map(number),
        },
        "wing-mm": number(companion.wing_mm),
        "tail-mm": number(companion.tail_mm),
        "beak": {
            "length-culmen-mm": number(companion.beak_length_culmen_mm),
            "width-mm": number(companion.beak_width_mm),
            "depth-mm": number(companion.beak_depth_mm),
        },
        "specimens": companion.specimens,
        "sizes-source": companion.morphology_source,
        "cites": {
            "appendix": companion.cites_appendix.word(),
            "basis": companion.cites_basis.word(),
        },
        "longevity": companion.max_recorded_longevity_y.map(|years| json!({
            "most-recorded-years": number(years),
            "quality": companion.longevity_quality,
            "source": companion.longevity_source,
        })),
        "german-language-parakeet": companion.is_parakeet(),
        "swiss-large-parrot": companion.on_swiss_large_list(),
        "bar-group": companion.bar_group().map(|it| it.word()),
    })
}

fn trait_value(it: &Trait) -> Value {
    let (least, most) = it.mass_range_g();
    json!({
        "found": "species",
        "group": it.group().word(),
        "scientific-name": it.species,
        "dataset-name": it.ptdb_common_name,
        "family": it.family,
        "mass": {
            "mean-g": number(it.mass_g),
            "mean-source": it.mass_source,
            "least-g": number(least),
            "most-g": number(most),
        },
        "row-inferred": it.row_inferred,
        "traits-inferred": it.traits_inferred,
        "inferred-from": it.inferred_from_species,
        "length": {
            "body-cm": it.ptdb_total_length_cm.map(number),
            "crosscheck-cm": it.amniote_svl_cm.map(number),
        },
        "wing-mm": number(it.wing_mm),
        "tail-mm": number(it.tail_mm),
        "beak": {
            "length-culmen-mm": number(it.beak_length_culmen_mm),
            "width-mm": number(it.beak_width_mm),
            "depth-mm": number(it.beak_depth_mm),
        },
        "specimens": it.specimens,
        "longevity": it.anage_max_longevity_y.map(|years| json!({
            "most-recorded-years": number(years),
            "origin": it.anage_specimen_origin,
            "sample": it.anage_sample_size,
            "quality": it.anage_data_quality,
        })),
        "swiss-large-parrot": it.on_swiss_large_list(),
    })
}

/// A number as people write it: 29, not 29.0.
fn number(value: f64) -> Value {
    let whole = value.fract() == 0.0 && value.abs() < 1e15;
    if whole {
        json!(value as i64)
    } else {
        json!(value)
    }
}
