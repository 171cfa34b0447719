//! One of the two sets of rules: the rulebook inside the program, one in a folder, or a practice's folder over one of them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use jiff::civil::Date;
use serde::Serialize;

use crate::house::House;
use crate::library::{Care, Library};
use crate::mistake::Problem;
use crate::rulebook::{Edition, LogBook, Rulebook};
use crate::wording::{OWN, Practice, texts};

/// What a set of rules is called on the command line.
pub const BUILT_IN: &str = "built-in";

/// Which set of rules is meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Named {
    /// The rulebook inside the program.
    BuiltIn,
    /// A rulebook's folder.
    Rulebook(PathBuf),
    /// A practice's folder, over a rulebook's folder or the rulebook inside the program.
    Practice(PathBuf, Option<PathBuf>),
}

impl Named {
    /// What a word of the command line means; nothing when it is neither [`BUILT_IN`] nor a folder with `rulebook.yaml` or
    /// `practice.yaml`. `base` is the rulebook's folder below a practice's.
    #[must_use]
    pub fn of(text: &Path, base: Option<&Path>) -> Option<Self> {
        if text.as_os_str() == BUILT_IN {
            return Some(Self::BuiltIn);
        }
        if text.join("rulebook.yaml").is_file() {
            return Some(Self::Rulebook(text.to_owned()));
        }
        text.join("practice.yaml")
            .is_file()
            .then(|| Self::Practice(text.to_owned(), base.map(Path::to_owned)))
    }

    /// What it is called on paper.
    fn shown(&self) -> String {
        match self {
            Self::BuiltIn => BUILT_IN.to_owned(),
            Self::Rulebook(folder) | Self::Practice(folder, _) => folder.display().to_string(),
        }
    }
}

/// A set of rules, loaded.
#[derive(Debug)]
pub struct Side {
    /// What it is called.
    pub named: Named,
    /// The house, with its practice as it speaks.
    pub house: House,
    /// The rulebook in the words of the house, in English, and in the units and the spelling it is written in: those of a practice are
    /// no change of a rule.
    pub rulebook: Rulebook,
    /// The part of it that reads logs.
    pub book: LogBook,
    /// Keys of sentences the practice has replaced.
    pub replaced: Vec<String>,
    /// Every sentence by its key.
    pub sentences: BTreeMap<String, String>,
}

/// Which edition of a set of rules was compared.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SideAbout {
    /// What it is called: `built-in`, or its folder.
    pub set: String,
    /// `built-in`, `rulebook` or `practice`.
    pub kind: &'static str,
    /// The rulebook's edition.
    pub rulebook: EditionAbout,
    /// The edition of the practice's own rules, where it keeps count of them.
    pub practice: Option<EditionAbout>,
    /// SHA-256 over the files of the rulebook, below the practice's.
    pub rulebook_fingerprint: String,
    /// SHA-256 over the practice's files that count.
    pub practice_fingerprint: Option<String>,
}

/// An edition, without its changelog.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct EditionAbout {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Its day.
    pub date: String,
}

impl EditionAbout {
    fn of(edition: &Edition) -> Self {
        Self {
            name: edition.name.clone(),
            version: edition.version.to_string(),
            date: edition.date.to_string(),
        }
    }
}

impl Side {
    /// Loads a set of rules for a day.
    ///
    /// # Errors
    /// All its mistakes.
    pub fn open(named: Named, today: Date) -> Result<Self, Vec<Problem>> {
        let (base, practice) = match &named {
            Named::BuiltIn => (None, None),
            Named::Rulebook(folder) => (Some(folder.as_path()), None),
            Named::Practice(folder, base) => (base.as_deref(), Some(folder.as_path())),
        };
        let (library, care) = match base {
            None => (Library::embedded(), Care::Trusted),
            Some(folder) => (Library::folder(folder)?, Care::Full),
        };
        Self::of(named.clone(), House::open(library, practice, care, today)?)
    }

    /// A set of rules of a house that is open.
    ///
    /// # Errors
    /// All its mistakes.
    pub fn of(named: Named, mut house: House) -> Result<Self, Vec<Problem>> {
        // The house speaks as its rules are written, and then again as the practice wants it.
        let plain = Practice {
            language: OWN.to_owned(),
            units: crate::wording::Units::default(),
            spelling: crate::wording::Spelling::default(),
            ..house.practice.clone()
        };
        let practice = std::mem::replace(&mut house.practice, plain);
        let (voiced, _) = house.speaking(OWN)?;
        let (mut book, _) = house.log_book(&voiced.rulebook)?;
        house.practice = practice;
        let mut rulebook = voiced.rulebook;
        let mut sentences = BTreeMap::new();
        let mut see = |key: &str, text: &mut String| {
            sentences.insert(key.to_owned(), text.clone());
        };
        texts::of_rulebook(&mut rulebook, &mut see);
        texts::of_log_book(&mut book, &mut see);
        Ok(Self {
            named,
            house,
            rulebook,
            book,
            replaced: voiced.spoken.replaced,
            sentences,
        })
    }

    /// Which edition it is.
    #[must_use]
    pub fn about(&self) -> SideAbout {
        SideAbout {
            set: self.named.shown(),
            kind: match self.named {
                Named::BuiltIn => BUILT_IN,
                Named::Rulebook(_) => "rulebook",
                Named::Practice(..) => "practice",
            },
            rulebook: EditionAbout::of(&self.rulebook.tables.edition),
            practice: self.house.edition().map(EditionAbout::of),
            rulebook_fingerprint: self.house.base_fingerprint.clone(),
            practice_fingerprint: self.house.practice_fingerprint.clone(),
        }
    }
}
