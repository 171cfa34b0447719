//! Reads the two tables: comma-separated values (RFC 4180), every column that is used typed, all faults collected.

use std::collections::BTreeMap;
use std::ops::Range;

use csv::{ErrorKind, ReaderBuilder, StringRecord};

use crate::mistake::{Place, Problem};
use crate::mistakes::data::{
    CellDoesNotFit, ColumnMissing, IdNotKebab, IdUsedTwice, RowUnreadable, UnknownSpecies,
};
use crate::source::Source;
use crate::words::{closest, either, is_kebab};

use super::companion::{Appendix, Companion, ListingBasis, MassFlag, SizeGroup, Tier};
use super::traits::Trait;

const COMPANION_COLUMNS: &[&str] = &[
    "key",
    "tier",
    "common_name",
    "ptdb_common_name",
    "home_names",
    "scientific_name",
    "avonet_name",
    "mass_g",
    "mass_source",
    "elton_mass_g",
    "ptdb_mass_g",
    "amniote_mass_g",
    "mass_flag",
    "body_length_cm",
    "body_length_source",
    "body_length_crosscheck_cm",
    "size_group",
    "size_group_if_other_mass",
    "beak_length_culmen_mm",
    "beak_width_mm",
    "beak_depth_mm",
    "wing_mm",
    "tail_mm",
    "beak_specimens",
    "morphology_source",
    "cites_appendix",
    "cites_source",
    "max_recorded_longevity_y",
    "longevity_quality",
    "longevity_source",
    "note",
];

const TRAIT_COLUMNS: &[&str] = &[
    "species",
    "family_birdlife",
    "avibase_id",
    "specimens_measured",
    "mass_g",
    "mass_source",
    "beak_length_culmen_mm",
    "beak_length_nares_mm",
    "beak_width_mm",
    "beak_depth_mm",
    "tarsus_mm",
    "wing_mm",
    "tail_mm",
    "row_inferred",
    "traits_inferred",
    "inferred_from_species",
    "elton_name",
    "elton_mass_g",
    "ptdb_name",
    "ptdb_common_name",
    "ptdb_total_length_cm",
    "ptdb_mass_g",
    "ptdb_mass_inferred",
    "amniote_name",
    "amniote_mass_g",
    "amniote_svl_cm",
    "anage_name",
    "anage_max_longevity_y",
    "anage_specimen_origin",
    "anage_sample_size",
    "anage_data_quality",
];

const INFERRED: &[(&str, bool)] = &[("YES", true), ("NO", false)];
const PTDB_INFERRED: &[(&str, bool)] = &[("yes", true), ("no", false)];

/// Reads the table of companions. Where the traits are given, each row has to have its row there.
pub(super) fn companions(
    source: &Source,
    joined: Option<&[Trait]>,
    problems: &mut Vec<Problem>,
) -> Vec<Companion> {
    rows(source, COMPANION_COLUMNS, "key", problems, |row| {
        let key = row.needed("key");
        if !key.is_empty() && !is_kebab(&key) {
            row.fault("key", IdNotKebab { id: key.clone() });
        }
        let avonet_name = row.needed("avonet_name");
        if let Some(traits) = joined
            && !avonet_name.is_empty()
            && !traits.iter().any(|it| it.species == avonet_name)
        {
            let species = traits.iter().map(|it| it.species.as_str());
            let close = closest(&avonet_name, species);
            row.fault(
                "avonet_name",
                UnknownSpecies {
                    name: avonet_name.clone(),
                    close,
                    file: super::TRAITS.to_owned(),
                },
            );
        }
        Some(Companion {
            key,
            tier: row.word("tier", Tier::WORDS)?,
            common_name: row.needed("common_name"),
            ptdb_common_name: row.optional("ptdb_common_name"),
            home_names: row.listed("home_names"),
            scientific_name: row.needed("scientific_name"),
            avonet_name,
            mass_g: row.needed_number("mass_g")?,
            mass_source: row.needed("mass_source"),
            elton_mass_g: row.number("elton_mass_g"),
            ptdb_mass_g: row.number("ptdb_mass_g"),
            amniote_mass_g: row.number("amniote_mass_g"),
            mass_flags: row.words("mass_flag", MassFlag::WORDS),
            body_length_cm: row.needed_number("body_length_cm")?,
            body_length_source: row.needed("body_length_source"),
            body_length_crosscheck_cm: row.number("body_length_crosscheck_cm"),
            size_group: row.word("size_group", SizeGroup::WORDS)?,
            size_group_if_other_mass: row
                .words("size_group_if_other_mass", SizeGroup::WORDS)
                .first()
                .copied(),
            beak_length_culmen_mm: row.needed_number("beak_length_culmen_mm")?,
            beak_width_mm: row.needed_number("beak_width_mm")?,
            beak_depth_mm: row.needed_number("beak_depth_mm")?,
            wing_mm: row.needed_number("wing_mm")?,
            tail_mm: row.needed_number("tail_mm")?,
            specimens: row.count("beak_specimens")?,
            morphology_source: row.needed("morphology_source"),
            cites_appendix: row.word("cites_appendix", Appendix::WORDS)?,
            cites_basis: ListingBasis::of(&row.needed("cites_source")),
            max_recorded_longevity_y: row.number("max_recorded_longevity_y"),
            longevity_quality: row.optional("longevity_quality"),
            longevity_source: row.optional("longevity_source"),
            note: row.optional("note"),
        })
    })
}

/// Reads the table of traits.
pub(super) fn traits(source: &Source, problems: &mut Vec<Problem>) -> Vec<Trait> {
    rows(source, TRAIT_COLUMNS, "species", problems, |row| {
        Some(Trait {
            species: row.needed("species"),
            family: row.needed("family_birdlife"),
            avibase_id: row.needed("avibase_id"),
            specimens: row.count("specimens_measured")?,
            mass_g: row.needed_number("mass_g")?,
            mass_source: row.needed("mass_source"),
            beak_length_culmen_mm: row.needed_number("beak_length_culmen_mm")?,
            beak_length_nares_mm: row.needed_number("beak_length_nares_mm")?,
            beak_width_mm: row.needed_number("beak_width_mm")?,
            beak_depth_mm: row.needed_number("beak_depth_mm")?,
            tarsus_mm: row.needed_number("tarsus_mm")?,
            wing_mm: row.needed_number("wing_mm")?,
            tail_mm: row.needed_number("tail_mm")?,
            row_inferred: row.word("row_inferred", INFERRED)?,
            traits_inferred: row.optional("traits_inferred"),
            inferred_from_species: row.optional("inferred_from_species"),
            elton_name: row.optional("elton_name"),
            elton_mass_g: row.number("elton_mass_g"),
            ptdb_name: row.optional("ptdb_name"),
            ptdb_common_name: row.optional("ptdb_common_name"),
            ptdb_total_length_cm: row.number("ptdb_total_length_cm"),
            ptdb_mass_g: row.number("ptdb_mass_g"),
            ptdb_mass_inferred: row
                .words("ptdb_mass_inferred", PTDB_INFERRED)
                .first()
                .copied(),
            amniote_name: row.optional("amniote_name"),
            amniote_mass_g: row.number("amniote_mass_g"),
            amniote_svl_cm: row.number("amniote_svl_cm"),
            anage_name: row.optional("anage_name"),
            anage_max_longevity_y: row.number("anage_max_longevity_y"),
            anage_specimen_origin: row.optional("anage_specimen_origin"),
            anage_sample_size: row.optional("anage_sample_size"),
            anage_data_quality: row.optional("anage_data_quality"),
        })
    })
}

/// Reads every row of a table; rows with a fault are left out. `id` is the column whose cells may stand only once.
fn rows<T>(
    source: &Source,
    columns: &[&str],
    id: &str,
    problems: &mut Vec<Problem>,
    mut read: impl FnMut(&mut Row<'_>) -> Option<T>,
) -> Vec<T> {
    let mut reader = ReaderBuilder::new().from_reader(source.text.as_bytes());
    let header: BTreeMap<String, usize> = reader
        .headers()
        .map(|header| {
            let names = header.iter().map(|name| name.trim().to_owned());
            names.zip(0..).collect()
        })
        .unwrap_or_default();
    let before = problems.len();
    for column in columns.iter().filter(|name| !header.contains_key(**name)) {
        let known = header.keys().map(String::as_str);
        // A column that this table has under its own name cannot be the slip.
        let known = known.filter(|name| !columns.contains(name));
        problems.push(Problem::at(
            first_line(source),
            ColumnMissing {
                column: (*column).to_owned(),
                close: closest(column, known),
            },
        ));
    }
    if problems.len() > before {
        return Vec::new();
    }
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut all = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                problems.push(unreadable(source, &error));
                continue;
            }
        };
        let mut row = Row {
            source,
            header: &header,
            record: &record,
            problems: Vec::new(),
        };
        let value = read(&mut row);
        let name = row.text(id).to_owned();
        let line = row.place(id).line;
        if let Some(other) = seen.get(&name).filter(|_| !name.is_empty()) {
            let other = format!("line {other}");
            row.fault(id, IdUsedTwice { id: name, other });
        } else {
            seen.insert(name, line);
        }
        if row.problems.is_empty() {
            all.extend(value);
        } else {
            problems.append(&mut row.problems);
        }
    }
    all
}

fn first_line(source: &Source) -> Place {
    source.place(0..source.text.lines().next().map_or(0, str::len))
}

fn unreadable(source: &Source, error: &csv::Error) -> Problem {
    let start = error.position().map_or(0, |at| at.byte() as usize);
    let reason = match error.kind() {
        ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => format!("it has {len} cells, and the first line has {expected_len}"),
        _ => error.to_string(),
    };
    let place = source.place(cell(&source.text, start, 0));
    Problem::at(place, RowUnreadable { reason })
}

/// One row, read cell by cell.
struct Row<'a> {
    source: &'a Source,
    header: &'a BTreeMap<String, usize>,
    record: &'a StringRecord,
    problems: Vec<Problem>,
}

impl Row<'_> {
    fn text(&self, column: &str) -> &str {
        self.header
            .get(column)
            .and_then(|at| self.record.get(*at))
            .unwrap_or_default()
            .trim()
    }

    fn place(&self, column: &str) -> Place {
        let start = self.record.position().map_or(0, |at| at.byte() as usize);
        let at = self.header.get(column).copied().unwrap_or(0);
        self.source.place(cell(&self.source.text, start, at))
    }

    fn fault(&mut self, column: &str, mistake: impl crate::mistake::Mistake + 'static) {
        let place = self.place(column);
        self.problems.push(Problem::at(place, mistake));
    }

    fn wants(&mut self, column: &str, wanted: impl Into<String>) {
        let found = match self.text(column) {
            "" => "nothing".to_owned(),
            text => format!("`{text}`"),
        };
        let wanted = wanted.into();
        self.fault(
            column,
            CellDoesNotFit {
                column: column.to_owned(),
                wanted,
                found,
            },
        );
    }

    fn optional(&self, column: &str) -> Option<String> {
        Some(self.text(column))
            .filter(|text| !text.is_empty())
            .map(str::to_owned)
    }

    fn needed(&mut self, column: &str) -> String {
        self.optional(column).unwrap_or_else(|| {
            self.wants(column, "some text");
            String::new()
        })
    }

    /// The parts of a cell that holds several, with `;` between them.
    fn listed(&self, column: &str) -> Vec<String> {
        self.text(column)
            .split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(str::to_owned)
            .collect()
    }

    /// A number above zero; `None` for a blank and, with a fault, for anything else.
    fn number(&mut self, column: &str) -> Option<f64> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        let number = text
            .parse()
            .ok()
            .filter(|number: &f64| number.is_finite() && *number > 0.0);
        if number.is_none() {
            self.wants(column, "a number above 0");
        }
        number
    }

    fn needed_number(&mut self, column: &str) -> Option<f64> {
        if self.text(column).is_empty() {
            self.wants(column, "a number above 0");
        }
        self.number(column)
    }

    fn count(&mut self, column: &str) -> Option<u32> {
        let count = self.text(column).parse().ok();
        if count.is_none() {
            self.wants(column, "a whole number");
        }
        count
    }

    /// One of a set of words.
    fn word<T: Copy>(&mut self, column: &str, words: &[(&str, T)]) -> Option<T> {
        let found = self.words(column, words);
        if self.text(column).is_empty() {
            self.wants(column, one_of(words));
        }
        found.first().copied()
    }

    /// Words out of a set, with `;` between them; none for a blank.
    fn words<T: Copy>(&mut self, column: &str, words: &[(&str, T)]) -> Vec<T> {
        let listed = self.listed(column);
        let found: Vec<T> = listed
            .iter()
            .filter_map(|text| words.iter().find(|(word, _)| word == text))
            .map(|(_, value)| *value)
            .collect();
        if found.len() < listed.len() {
            self.wants(column, one_of(words));
        }
        found
    }
}

fn one_of<T>(words: &[(&str, T)]) -> String {
    let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
    either(&words)
}

/// The bytes of one cell of the row that starts at `start`. A cell in quotes may hold commas and line breaks (RFC 4180).
fn cell(text: &str, start: usize, column: usize) -> Range<usize> {
    let rest = text.as_bytes().get(start..).unwrap_or_default();
    // Empty lines before a row belong to no row.
    let empty = rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n'));
    let mut begin = start + empty.count();
    let (mut at, mut seen, mut quoted) = (begin, 0, false);
    for byte in text.as_bytes().get(begin..).unwrap_or_default() {
        match byte {
            b'"' => quoted = !quoted,
            b',' if !quoted && seen == column => break,
            b',' if !quoted => {
                seen += 1;
                begin = at + 1;
            }
            b'\r' | b'\n' if !quoted => break,
            _ => {}
        }
        at += 1;
    }
    begin..at
}

#[cfg(test)]
mod tests {
    use super::cell;

    #[test]
    fn a_cell_is_found_behind_commas_in_quotes_and_empty_lines() {
        let text = "\r\na,\"b, \"\"c\"\"\",d\r\ne,f,g";
        assert_eq!(&text[cell(text, 0, 0)], "a");
        assert_eq!(&text[cell(text, 0, 1)], "\"b, \"\"c\"\"\"");
        assert_eq!(&text[cell(text, 0, 2)], "d");
        assert_eq!(cell("", 5, 2), 5..5);
    }
}
