//! Which published figures for cages hold where the bird lives.

use crate::fields::{Fields, File};
use crate::figures::enclosure::Standard;
use crate::library::{Care, Library};
use crate::mistake::{Place, Problem};
use crate::mistakes::data::{IdNotKebab, IdUsedTwice};
use crate::tree::{Node, Path};
use crate::words::is_kebab;

/// The words for the standards.
pub const STANDARDS: &[(&str, Standard)] = &[
    ("sweden", Standard::Sweden),
    ("switzerland", Standard::Switzerland),
    ("germany", Standard::Germany),
    ("austria", Standard::Austria),
    ("queensland", Standard::Queensland),
    ("new-south-wales", Standard::NewSouthWales),
];

/// A place whose figures, or lack of them, are known.
#[derive(Debug, Clone)]
pub struct Region {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// What people write for it, in plain lower-case words.
    names: Vec<String>,
    /// The standards that hold there.
    pub figures: Vec<Standard>,
    /// True when the law asks that the bird can stretch its wings.
    pub wings: bool,
    /// What else is to be said of it.
    pub note: Option<String>,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// Where it is entered, in a rulebook that is looked at in full: finding the place takes a second pass over the file.
    pub place: Option<Place>,
}

/// All places.
#[derive(Debug, Clone, Default)]
pub struct Regions {
    /// In the order of the file.
    pub all: Vec<Region>,
}

impl Regions {
    /// Reads `regions.yaml`; faults are added to `problems`.
    #[must_use]
    pub fn load(library: &Library, care: Care, problems: &mut Vec<Problem>) -> Self {
        let Some(document) = library.document("regions.yaml", problems) else {
            return Self::default();
        };
        let file = File::new(&document);
        let mut all: Vec<Region> = Vec::new();
        if let Node::List(items) = file.root {
            for (at, node) in items.iter().enumerate() {
                let region = region(&file, node, Path::default().index(at), care);
                if all.iter().any(|other| other.id == region.id) {
                    file.fault(
                        &Path::default().index(at).key("id"),
                        IdUsedTwice {
                            id: region.id,
                            other: "this file".to_owned(),
                        },
                    );
                } else {
                    all.push(region);
                }
            }
        }
        problems.extend(file.into_problems());
        Self { all }
    }

    /// The places a text names. A name inside a longer one does not count: New South Wales is not Wales. A country that only says
    /// where a state lies does not count beside the state.
    #[must_use]
    pub fn named_in(&self, text: &str) -> Vec<usize> {
        let text = plain(text);
        let mut hits: Vec<(usize, usize, usize)> = Vec::new();
        for (at, region) in self.all.iter().enumerate() {
            for name in &region.names {
                let mut from = 0;
                while let Some(found) = text[from..].find(name.as_str()) {
                    let start = from + found;
                    hits.push((start, start + name.len(), at));
                    from = start + 1;
                }
            }
        }
        let inside = |hit: &(usize, usize, usize)| {
            hits.iter().any(|other| {
                other.0 <= hit.0 && hit.1 <= other.1 && other.1 - other.0 > hit.1 - hit.0
            })
        };
        let mut places: Vec<usize> = hits
            .iter()
            .filter(|hit| !inside(hit))
            .map(|(_, _, at)| *at)
            .collect();
        places.sort_unstable();
        places.dedup();
        // A country that only says where a state lies has nothing to add to the state.
        let rules = |at: &usize| !self.all[*at].figures.is_empty() || self.all[*at].wings;
        if places.iter().any(rules) {
            places.retain(rules);
        }
        places
    }
}

/// Lower case, one blank between words and at both ends, so that a name can be found as whole words.
fn plain(text: &str) -> String {
    let mut out = String::from(" ");
    for word in text.to_lowercase().split(|c: char| !c.is_alphanumeric()) {
        if !word.is_empty() {
            out.push_str(word);
            out.push(' ');
        }
    }
    out
}

fn region<'a>(file: &'a File<'a>, node: &'a Node<'a>, path: Path, care: Care) -> Region {
    let known = ["id", "title", "names", "figures", "wings", "note", "source"];
    let fields = Fields::new(file, node, path, &known);
    let id = fields.needed_text("id");
    if !id.is_empty() && !is_kebab(&id) {
        file.fault(&fields.at("id"), IdNotKebab { id: id.clone() });
    }
    let words: Vec<&str> = STANDARDS.iter().map(|(word, _)| *word).collect();
    let _ = fields.need("names");
    let _ = fields.need("source");
    Region {
        place: (care == Care::Full).then(|| file.place(&fields.at("id"))),
        id,
        title: fields.needed_text("title"),
        names: fields
            .texts("names")
            .iter()
            .map(|(name, _)| plain(name))
            .filter(|name| name.len() > 2)
            .collect(),
        figures: fields
            .texts("figures")
            .into_iter()
            .filter_map(|(word, way)| {
                let found = STANDARDS
                    .iter()
                    .find(|(known, _)| *known == word)
                    .map(|(_, standard)| *standard);
                if found.is_none() {
                    file.fault(
                        &way.path(),
                        crate::mistakes::data::UnknownWord {
                            key: "figures".to_owned(),
                            close: crate::words::closest(&word, words.iter().copied()),
                            words: words.iter().map(|word| (*word).to_owned()).collect(),
                            text: word,
                        },
                    );
                }
                found
            })
            .collect(),
        wings: fields.yes("wings"),
        note: fields.text("note"),
        source: fields.words("source"),
    }
}

#[cfg(test)]
mod tests {
    use super::{Care, Library, Regions};

    fn named(text: &str) -> Vec<String> {
        let mut problems = Vec::new();
        let regions = Regions::load(&Library::embedded(), Care::Trusted, &mut problems);
        assert!(problems.is_empty());
        regions
            .named_in(text)
            .into_iter()
            .map(|at| regions.all[at].id.clone())
            .collect()
    }

    #[test]
    fn a_name_inside_a_longer_one_does_not_count() {
        assert_eq!(named("New South Wales, Australia"), ["new-south-wales"]);
        assert_eq!(named("Cardiff, Wales"), ["great-britain"]);
    }

    #[test]
    fn a_country_beside_its_state_adds_nothing() {
        assert_eq!(named("Australia"), ["australia"]);
        assert_eq!(named("queensland (Australia)"), ["queensland"]);
        assert_eq!(named("Victoria, Australia"), ["australia"]);
    }

    #[test]
    fn names_are_whole_words_in_any_case() {
        assert_eq!(named("SWEDEN"), ["sweden"]);
        assert_eq!(named("Schweiz"), ["switzerland"]);
        assert_eq!(named("Oregon, U.S."), ["united-states"]);
        assert_eq!(named("Austrian Road, Ukraine"), Vec::<String>::new());
        assert_eq!(named(""), Vec::<String>::new());
    }
}
