//! The words of a practice: in which language, with which units and spelling, and which sentences it has replaced.
//!
//! Every sentence a household can read has a key ([`texts`]). A language, or a practice's own voice, is a table from keys to
//! sentences below `languages/`. Words never change what is decided.

pub mod check;
pub mod language;
pub mod opening;
pub mod practice;
mod spelling;
mod stamps;
pub mod team;
pub mod texts;

pub use crate::customary::Units;
pub use language::Translation;
pub use practice::{Emergency, PaperSize, Practice};
pub use spelling::Spelling;
pub use stamps::{of_template, stamps};
pub use team::{May, Member, Team};

use crate::library::Library;
use crate::rulebook::{LogBook, Rulebook};

/// The language the rulebook is written in.
pub const OWN: &str = "en";

/// Where a practice's own sentences lie once its folder is laid over the shipped one; sorts before every other name.
pub(crate) const FROM_PRACTICE: &str = "+/";

/// How papers speak.
#[derive(Debug, Clone, Default)]
pub struct Voice {
    /// The language's id: the name of its folder below `languages/`.
    pub language: String,
    /// Which units are written first.
    pub units: Units,
    /// How words are spelt, where the language is the rulebook's own.
    pub spelling: Spelling,
}

impl Voice {
    /// True when it asks for anything but the rulebook as it stands.
    #[must_use]
    pub fn differs(&self) -> bool {
        self.language != OWN
            || self.units != Units::default()
            || self.spelling != Spelling::default()
    }
}

/// What came of putting a rulebook into a voice.
#[derive(Debug, Clone, Default)]
pub struct Spoken {
    /// Keys that have no sentence in this language and are printed in the rulebook's own, marked.
    pub missing: Vec<String>,
    /// Keys whose sentence the practice has replaced.
    pub replaced: Vec<String>,
}

/// Puts every sentence of a rulebook into a voice. Words only: no condition, no outcome and no id changes.
#[must_use]
pub fn speak(
    rulebook: &mut Rulebook,
    library: &Library,
    voice: &Voice,
    translation: &Translation,
) -> Spoken {
    let mut spoken = Spoken::default();
    let own = voice.language == OWN;
    let spelling = spelling::Table::load(library, voice);
    texts::of_rulebook(rulebook, &mut |key, text| {
        match translation.get(key) {
            Some(words) => {
                if own && words != *text {
                    spoken.replaced.push(key.to_owned());
                }
                words.clone_into(text);
            }
            None if own || text.is_empty() => {}
            None => {
                if translation.needs(key) {
                    spoken.missing.push(key.to_owned());
                }
                *text = format!("{text} {}", translation.tongue.untranslated);
            }
        }
        if own {
            *text = spelling.applied(text);
        }
        *text = voice.units.applied(text);
    });
    texts::settle(rulebook);
    rulebook.tongue = translation.tongue.clone();
    rulebook.tongue.units = voice.units;
    spoken
}

/// How the rulebook's own templates are spelt in a voice.
#[must_use]
pub fn spelt(library: &Library, voice: &Voice) -> Box<dyn Fn(&str) -> String + Send + Sync> {
    let table = spelling::Table::load(library, voice);
    Box::new(move |text| table.applied(text))
}

/// The same for the part that reads logs, which no language but the rulebook's own has yet.
pub fn speak_log(book: &mut LogBook, library: &Library, voice: &Voice) {
    if voice.language != OWN {
        return;
    }
    let spelling = spelling::Table::load(library, voice);
    texts::of_log_book(book, &mut |_, text| {
        *text = voice.units.applied(&spelling.applied(text));
    });
}
