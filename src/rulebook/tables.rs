//! The tables around the rules: the rulebook's name, sources, referrals, the stop-and-call table, follow-ups, cautions and
//! refused words.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::fields::{Fields, File};
use crate::library::Library;
use crate::mistake::{Place, Problem};
use crate::mistakes::data::{IdNotKebab, IdUsedTwice, WrongKind};
use crate::tree::{Node, Path};
use crate::words::is_kebab;

use super::Care;
use super::edition::{self, Edition};

/// The files of the tables.
pub(super) const TABLE_FILES: &[&str] = &[
    "rulebook.yaml",
    "sources.yaml",
    "referrals.yaml",
    "calls.yaml",
    "contacts.yaml",
    "cautions.yaml",
    "refused-words.yaml",
];

/// A source.
#[derive(Debug, Clone, Serialize)]
pub struct Source {
    /// Author or body.
    pub author: String,
    /// Year, or `undated`.
    pub year: String,
    /// Title.
    pub title: String,
    /// Where it was published.
    pub place: String,
    /// How it was read: `read`, `second hand` or `from memory`.
    pub how: String,
    /// Where it is entered.
    #[serde(skip)]
    pub at: Option<Place>,
}

/// Someone to send people to.
#[derive(Debug, Clone, Serialize)]
pub struct Referral {
    /// Who.
    pub title: String,
    /// What to do, in words for the household.
    pub tell: String,
    /// Who arranges it.
    pub who_arranges: String,
    /// When.
    pub when: String,
}

/// A row of the stop-and-call table.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Call {
    /// Its id.
    pub id: String,
    /// What is seen.
    pub sign: String,
    /// What to do now.
    pub now: String,
    /// Whom to call.
    pub call: String,
    /// How soon.
    pub how_soon: String,
    /// Keys of its sources.
    pub source: Vec<String>,
}

/// A follow-up contact.
#[derive(Debug, Clone, Serialize)]
pub struct FollowUp {
    /// Its id.
    pub id: String,
    /// Days after the plan.
    pub day: i32,
    /// What it is.
    pub title: String,
    /// What is decided there.
    pub tell: String,
    /// Keys of its sources.
    pub source: Vec<String>,
}

/// A standing caution.
#[derive(Debug, Clone, Serialize)]
pub struct Caution {
    /// Its id.
    pub id: String,
    /// What it says.
    pub tell: String,
}

/// Words that must not be printed.
#[derive(Debug, Clone)]
pub struct RefusedWords {
    /// The words, lower case.
    pub words: Vec<String>,
    /// Why not.
    pub because: String,
}

/// All tables.
#[derive(Debug, Clone, Default)]
pub struct Tables {
    /// Its name, version, day, owner, and by when it has to be looked at again.
    pub edition: Edition,
    /// The day on which examples are read; `None` when it could not be read itself.
    pub examples_day: Option<Date>,
    /// Sources by key.
    pub sources: BTreeMap<String, Source>,
    /// Referrals by id.
    pub referrals: BTreeMap<String, Referral>,
    /// The stop-and-call table, in order.
    pub calls: Vec<Call>,
    /// Follow-up contacts, by day.
    pub follow_ups: Vec<FollowUp>,
    /// Standing cautions, in order.
    pub cautions: Vec<Caution>,
    /// Refused words.
    pub refused: Vec<RefusedWords>,
}

impl Tables {
    /// Reads all tables; faults are added to `problems`.
    #[must_use]
    pub fn load(library: &Library, care: Care, problems: &mut Vec<Problem>) -> Self {
        let mut tables = Self::default();
        // Refused words and sources first: the other tables are held against them.
        if care == Care::Full {
            with_file(library, "refused-words.yaml", problems, |file| {
                tables.refused = listed(file, &["words", "because"], |fields| RefusedWords {
                    words: refused(fields),
                    because: fields.needed_text("because"),
                });
            });
        }
        with_file(library, "rulebook.yaml", problems, |file| {
            tables.about(file)
        });
        with_file(library, "sources.yaml", problems, |file| {
            tables.sources = mapped(
                file,
                &["author", "year", "title", "place", "how"],
                |fields| Source {
                    author: fields.needed_text("author"),
                    year: fields.needed_text("year"),
                    title: fields.needed_text("title"),
                    place: fields.needed_text("place"),
                    how: fields
                        .needed_word("how", HOW)
                        .map(|at| HOW[at].to_owned())
                        .unwrap_or_default(),
                    // Its place is told only where a source that nothing cites is looked for.
                    at: (care == Care::Full).then(|| fields.file.place(&fields.path)),
                },
            );
        });
        with_file(library, "referrals.yaml", problems, |file| {
            tables.referrals = mapped(file, &["title", "tell", "who-arranges", "when"], |fields| {
                Referral {
                    title: fields.needed_text("title"),
                    tell: fields.needed_text("tell"),
                    who_arranges: fields.needed_text("who-arranges"),
                    when: fields.needed_text("when"),
                }
            });
        });
        with_file(library, "calls.yaml", problems, |file| {
            tables.calls = listed(
                file,
                &["id", "sign", "now", "call", "how-soon", "source"],
                |fields| Call {
                    id: fields.needed_text("id"),
                    sign: fields.needed_text("sign"),
                    now: fields.needed_text("now"),
                    call: fields.needed_text("call"),
                    how_soon: fields.needed_text("how-soon"),
                    source: keys(fields, &tables, &["sign", "now", "call", "how-soon"]),
                },
            );
        });
        with_file(library, "contacts.yaml", problems, |file| {
            tables.follow_ups = listed(file, &["id", "day", "title", "tell", "source"], |fields| {
                FollowUp {
                    id: fields.needed_text("id"),
                    day: day(fields),
                    title: fields.needed_text("title"),
                    tell: fields.needed_text("tell"),
                    source: keys(fields, &tables, &["title", "tell"]),
                }
            });
            tables.follow_ups.sort_by_key(|contact| contact.day);
        });
        with_file(library, "cautions.yaml", problems, |file| {
            tables.cautions = listed(file, &["id", "tell"], |fields| Caution {
                id: fields.needed_text("id"),
                tell: fields.needed_text("tell"),
            });
        });
        tables
    }

    fn about<'a>(&mut self, file: &'a File<'a>) {
        let fields = file.fields(&[Edition::KEYS, &["examples-day"]].concat());
        self.edition = Edition::read(&fields);
        self.examples_day = edition::day(&fields, "examples-day");
    }
}

const HOW: &[&str] = &["read", "second hand", "from memory"];

/// The sources of an entry, held against the table of sources, and its words against the refused ones.
fn keys(fields: &Fields<'_>, tables: &Tables, words: &[&str]) -> Vec<String> {
    super::check::refused_words(fields, words, tables);
    super::check::sources(fields, tables)
}

/// The refused words of another language; none where it has no such file.
#[must_use]
pub fn refused_words(library: &Library, name: &str) -> Vec<RefusedWords> {
    let mut refused_words = Vec::new();
    if library.get(name).is_some() {
        with_file(library, name, &mut Vec::new(), |file| {
            refused_words = listed(file, &["words", "because"], |fields| RefusedWords {
                words: refused(fields),
                because: fields.needed_text("because"),
            });
        });
    }
    refused_words
}

/// Refused words: at least one, none of them empty.
fn refused(fields: &Fields<'_>) -> Vec<String> {
    let _ = fields.need("words");
    let words = fields.texts("words");
    if fields.get("words").is_some()
        && (words.is_empty() || words.iter().any(|(word, _)| word.is_empty()))
    {
        fields.file.fault(
            &fields.at("words"),
            WrongKind {
                key: "words".to_owned(),
                wanted: "at least one word, and no empty one".to_owned(),
                found: "an empty place".to_owned(),
            },
        );
    }
    words
        .into_iter()
        .map(|(word, _)| word.to_lowercase())
        .filter(|word| !word.is_empty())
        .collect()
}

/// A day after the plan: a whole number up to ten years.
fn day(fields: &Fields<'_>) -> i32 {
    let _ = fields.need("day");
    let Some(day) = fields.number("day") else {
        return 0;
    };
    if day.fract() == 0.0 && (0.0..=3650.0).contains(&day) {
        return day as i32;
    }
    fields.file.fault(
        &fields.at("day"),
        WrongKind {
            key: "day".to_owned(),
            wanted: "a whole number of days from 0 to 3650".to_owned(),
            found: day.to_string(),
        },
    );
    0
}

fn with_file(
    library: &Library,
    name: &str,
    problems: &mut Vec<Problem>,
    read: impl for<'a> FnOnce(&'a File<'a>),
) {
    if let Some(document) = library.document(name, problems) {
        let file = File::new(&document);
        read(&file);
        problems.extend(file.into_problems());
    }
}

/// A file that maps ids to entries.
fn mapped<'a, T>(
    file: &'a File<'a>,
    known: &[&str],
    make: impl Fn(&Fields<'a>) -> T,
) -> BTreeMap<String, T> {
    let mut out = BTreeMap::new();
    let Node::Map(entries) = file.root else {
        file.fault(
            &Path::default(),
            WrongKind {
                key: "this file".to_owned(),
                wanted: "ids with their entries".to_owned(),
                found: file.root.kind().to_owned(),
            },
        );
        return out;
    };
    for (id, node) in entries {
        let path = Path::default().key(id);
        if !is_kebab(id) {
            file.fault_at_key(&path, IdNotKebab { id: id.to_string() });
        }
        let fields = Fields::new(file, node, path, known);
        out.insert(id.to_string(), make(&fields));
    }
    out
}

/// A file that is a list of entries.
fn listed<'a, T>(file: &'a File<'a>, known: &[&str], make: impl Fn(&Fields<'a>) -> T) -> Vec<T> {
    let Node::List(items) = file.root else {
        file.fault(
            &Path::default(),
            WrongKind {
                key: "this file".to_owned(),
                wanted: "a list of entries".to_owned(),
                found: file.root.kind().to_owned(),
            },
        );
        return Vec::new();
    };
    let mut ids: Vec<String> = Vec::new();
    items
        .iter()
        .enumerate()
        .map(|(at, node)| {
            let fields = Fields::new(file, node, Path::default().index(at), known);
            if known.contains(&"id")
                && let Some(id) = fields.text("id")
            {
                if !is_kebab(&id) {
                    file.fault(&fields.at("id"), IdNotKebab { id: id.clone() });
                }
                if ids.contains(&id) {
                    file.fault(
                        &fields.at("id"),
                        IdUsedTwice {
                            id: id.clone(),
                            other: "this file".to_owned(),
                        },
                    );
                }
                ids.push(id);
            }
            make(&fields)
        })
        .collect()
}
