//! What a practice says of itself and how its papers are to speak: `practice.yaml` in its own folder.

use serde::Serialize;

use crate::fields::{Fields, File};
use crate::hours::Hours;
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::WrongKind;
use crate::mistakes::wording::{LanguageUnknown, SignDistanceDoesNotFit};
use crate::rulebook::Edition;
use crate::source::Source;
use crate::tongue::Tongue;
use crate::tree::Node;
use crate::units::Unit;
use crate::words::{closest, folded};
use crate::yaml;

use super::{OWN, Spelling, Team, Units, Voice, language, opening, team};

/// The keys of `practice.yaml`, but for those of [`opening::KEYS`].
pub const KEYS: &[&str] = &[
    "name",
    "consultant",
    "contact",
    "hours",
    "cover",
    "emergency",
    "opening",
    "closing",
    "house-rules",
    "paper",
    "large-print",
    "sign-distance",
    "language",
    "units",
    "spelling",
];
/// The keys of its block `emergency`.
pub const EMERGENCY_KEYS: &[&str] = &["people", "vet", "checked"];

/// How large a sheet is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PaperSize {
    /// What the printer has.
    #[default]
    Either,
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 in.
    Letter,
}

impl PaperSize {
    /// Their words, in order.
    pub const WORDS: &[&str] = &["either", "a4", "letter"];
    const ALL: &[Self] = &[Self::Either, Self::A4, Self::Letter];
}

/// Numbers a household calls, as the practice wrote them down.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Emergency {
    /// For a hurt person.
    pub people: Option<String>,
    /// For a sick bird.
    pub vet: Option<String>,
    /// The day somebody last checked them.
    pub checked: Option<String>,
}

/// A practice.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Practice {
    /// Its name.
    pub name: Option<String>,
    /// Who writes the papers.
    pub consultant: Option<String>,
    /// How to reach it.
    pub contact: Option<String>,
    /// When it can be reached, in the words that are printed.
    pub hours: Option<String>,
    /// When it is open, for working out when a reply is due. `None` when it told nothing of that.
    #[serde(skip)]
    pub open: Option<Hours>,
    /// Who covers outside those hours.
    pub cover: Option<String>,
    /// Emergency numbers.
    pub emergency: Emergency,
    /// A sentence or two of its own at the start of household papers.
    pub opening: Option<String>,
    /// And at their end.
    pub closing: Option<String>,
    /// Who works there, and what needs a second reader.
    #[serde(skip)]
    pub team: Team,
    /// The edition of its own rules and words; `None` while it keeps no count of them.
    pub house_rules: Option<Edition>,
    /// The sheet papers are printed on.
    pub paper: PaperSize,
    /// True when every household paper is in large print.
    pub large_print: bool,
    /// From how far the door sign is to be read, cm.
    pub sign_distance_cm: f64,
    /// The language of its own papers, and of households that named none.
    #[serde(skip)]
    pub language: String,
    /// Units.
    #[serde(skip)]
    pub units: Units,
    /// Spelling.
    #[serde(skip)]
    pub spelling: Spelling,
}

/// From how far a door sign is read where nothing else was said, cm (common practice, no source).
const SIGN_DISTANCE_CM: f64 = 300.0;

impl Practice {
    /// A practice that said nothing of itself.
    #[must_use]
    pub fn unnamed() -> Self {
        Self {
            sign_distance_cm: SIGN_DISTANCE_CM,
            language: OWN.to_owned(),
            ..Self::default()
        }
    }

    /// Reads `practice.yaml`.
    ///
    /// # Errors
    /// All mistakes in it.
    pub fn read(source: &Source, library: &Library) -> Result<Self, Vec<Problem>> {
        let document = yaml::read(source)?;
        // A file of comments alone says nothing yet, which is no mistake.
        if document.root == Node::Blank {
            return Ok(Self::unnamed());
        }
        let file = File::new(&document);
        let practice = of_fields(&file, library);
        let problems = file.into_problems();
        if problems.is_empty() {
            Ok(practice)
        } else {
            Err(problems)
        }
    }

    /// How its papers speak in one language.
    #[must_use]
    pub fn voice(&self, language: &str) -> Voice {
        Voice {
            language: language.to_owned(),
            units: self.units,
            spelling: self.spelling,
        }
    }
}

fn of_fields(file: &File<'_>, library: &Library) -> Practice {
    let fields = file.fields(&[KEYS, opening::KEYS, team::KEYS].concat());
    let emergency = fields
        .get("emergency")
        .map_or_else(Emergency::default, |node| {
            let fields = Fields::new(file, node, fields.at("emergency"), EMERGENCY_KEYS);
            Emergency {
                people: fields.text("people"),
                vet: fields.text("vet"),
                checked: checked(&fields),
            }
        });
    let pick = |key: &str, words: &[&str]| fields.word(key, words).unwrap_or(0);
    Practice {
        name: fields.text("name"),
        consultant: fields.text("consultant"),
        contact: fields.text("contact"),
        hours: fields.text("hours"),
        open: opening::read(&fields),
        cover: fields.text("cover"),
        emergency,
        opening: fields.text("opening"),
        closing: fields.text("closing"),
        team: team::read(&fields, library),
        house_rules: fields.get("house-rules").map(|node| {
            let known = Edition::KEYS;
            Edition::read(&Fields::new(file, node, fields.at("house-rules"), known))
        }),
        paper: PaperSize::ALL[pick("paper", PaperSize::WORDS)],
        large_print: fields.yes("large-print"),
        sign_distance_cm: sign_distance(&fields),
        language: fields.text("language").map_or_else(
            || OWN.to_owned(),
            |text| named_language(file, &fields, library, &text),
        ),
        units: Units::ALL[pick("units", Units::WORDS)],
        spelling: Spelling::ALL[pick("spelling", Spelling::WORDS)],
    }
}

/// The day numbers were checked: a whole date.
fn checked(fields: &Fields<'_>) -> Option<String> {
    let text = fields.text("checked")?;
    if text.parse::<jiff::civil::Date>().is_err() {
        let mistake = WrongKind {
            key: "checked".to_owned(),
            wanted: "a day such as 2026-10-03".to_owned(),
            found: format!("`{text}`"),
        };
        fields.file.fault(&fields.at("checked"), mistake);
    }
    Some(text)
}

fn sign_distance(fields: &Fields<'_>) -> f64 {
    let Some(text) = fields.text("sign-distance") else {
        return SIGN_DISTANCE_CM;
    };
    match Unit::Centimetres.read(&text) {
        Ok(cm) if (100.0..=300.0).contains(&cm) => cm,
        _ => {
            fields
                .file
                .fault(&fields.at("sign-distance"), SignDistanceDoesNotFit { text });
            SIGN_DISTANCE_CM
        }
    }
}

fn named_language(file: &File<'_>, fields: &Fields<'_>, library: &Library, text: &str) -> String {
    find_language(library, text).unwrap_or_else(|| {
        file.fault(&fields.at("language"), unknown_language(library, text));
        OWN.to_owned()
    })
}

/// The id of a language by its id, its own name, its English name or the form's answer.
#[must_use]
pub fn find_language(library: &Library, text: &str) -> Option<String> {
    let wanted = folded(text);
    language::ids(library).into_iter().find(|id| {
        let tongue = Tongue::load(library, id, &mut Vec::new());
        [id, &tongue.name, &tongue.in_english, &tongue.answer]
            .iter()
            .any(|name| folded(name) == wanted)
            // A tag with a region, such as en-GB.
            || text.trim().split(['-', '_']).next().is_some_and(|tag| tag.eq_ignore_ascii_case(id) && text.len() <= 7)
    })
}

/// The mistake of a language that nobody has.
#[must_use]
pub fn unknown_language(library: &Library, text: &str) -> LanguageUnknown {
    let names: Vec<String> = language::ids(library)
        .iter()
        .map(|id| Tongue::load(library, id, &mut Vec::new()).in_english)
        .collect();
    LanguageUnknown {
        language: text.to_owned(),
        close: closest(text, names.iter().map(String::as_str)),
        languages: names.join(", "),
    }
}
