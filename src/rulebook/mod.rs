//! The rulebook: rules, gates, measures, sources and the tables around them, loaded and checked into one value.

mod check;
pub mod departure;
mod edition;
mod figure;
mod function;
pub mod keys;
mod load;
mod log_book;
mod measure;
mod next;
pub mod outcome;
mod rule;
mod sayings;
mod scale;
mod second_reader;
mod sign;
mod tables;
mod triage;

use std::collections::BTreeMap;

pub use check::refused_in;
pub use departure::{Departed, Departure};
pub use edition::{Change, Edition};
pub(crate) use edition::{day, version};
pub use figure::{FIGURES, FigureText};
pub use function::{Function, Functions, Procedure};
pub use log_book::LogBook;
pub use measure::{Control, HumaneStep, Measure, MeasureKind, Urgency};
pub use next::{After, Begin, Cap, Check, NextExample, NextRule, NextThen, Tell, Work};
pub use outcome::{Contact, Risk, Start, Vet};
pub use rule::{Example, ExampleKind, Gate, Layer, Need, Priority, Rule, Then};
pub use sayings::{Saying, Sayings, filled};
pub use second_reader::{AsksFor, SecondReader, second_reader_ids};
pub use sign::{SignEntry, Signal};
pub use tables::{Call, Caution, FollowUp, Referral, RefusedWords, Source, Tables, refused_words};
pub use triage::{AskFirst, First, OtherPaper, Triage};

use crate::facts::Vocabulary;
pub use crate::library::Care;
use crate::library::Library;
use crate::mistake::{Problem, sort};
use crate::questionnaire::{Questionnaire, load as load_questionnaire};
use crate::tongue::Tongue;

/// A rulebook that cannot be wrong: every name in it is known and every phrase fits its fact.
#[derive(Debug)]
pub struct Rulebook {
    /// The questions.
    pub questionnaire: Questionnaire,
    /// What rules can speak of.
    pub vocabulary: Vocabulary,
    /// Rules, in the order of their ids.
    pub rules: Vec<Rule>,
    /// Gates, in the order of their ids.
    pub gates: Vec<Gate>,
    /// What biting may gain the bird.
    pub functions: Functions,
    /// How each figure is told.
    pub figures: Vec<FigureText>,
    /// How steps and practice are told.
    pub sayings: Sayings,
    /// How enquiries are ranked.
    pub triage: Triage,
    /// Which word stands on the door sign.
    pub sign: Vec<SignEntry>,
    /// When a plan needs a second reader.
    pub second_reader: Vec<SecondReader>,
    /// Measures by id.
    pub measures: BTreeMap<String, Measure>,
    /// Sources by key.
    pub sources: BTreeMap<String, Source>,
    /// Name, version, referrals, calls, follow-ups, cautions.
    pub tables: Tables,
    /// The edition of the practice's own rules, where it keeps count of them.
    pub house_rules: Option<Edition>,
    /// Departures of the practice from its rules, whether they count on the day or not.
    pub departures: Vec<Departure>,
    /// The small words around values, in the language its texts are in.
    pub tongue: Tongue,
    /// SHA-256 over all files.
    pub fingerprint: String,
    /// Where a practice's folder lies over it: SHA-256 over the files below that folder, and over the folder.
    pub apart: Option<[String; 2]>,
}

impl Rulebook {
    /// Loads a rulebook, giving what was found wrong along with it.
    ///
    /// # Errors
    /// All problems, when at least one of them is an error.
    pub fn load(library: &Library, care: Care) -> Result<(Self, Vec<Problem>), Vec<Problem>> {
        // Who looks at everything looks at what is written.
        let as_written;
        let library = if care == Care::Full {
            as_written = library.as_written();
            &as_written
        } else {
            library
        };
        let mut problems = Vec::new();
        let questionnaire = load_questionnaire(library, "questions", &mut problems);
        if questionnaire.groups.is_empty() {
            // Without questions nothing else means anything.
            return Err(problems);
        }
        let vocabulary = Vocabulary::load(library, &questionnaire, care, &mut problems);
        let tables = Tables::load(library, care, &mut problems);
        let rulebook = load::load(
            library,
            questionnaire,
            vocabulary,
            tables,
            care,
            &mut problems,
        );
        if care == Care::Full {
            check::strays(library, &mut problems);
            match LogBook::load(library, &rulebook.tables, care) {
                Ok((_, found)) | Err(found) => problems.extend(found),
            }
            // What hangs on the whole is looked at once every part can be read; else a broken part would be told many times.
            if !problems.iter().any(Problem::is_error) {
                check::whole(&rulebook, &mut problems);
            }
        }
        sort(&mut problems);
        if problems.iter().any(Problem::is_error) {
            Err(problems)
        } else {
            Ok((rulebook, problems))
        }
    }

    /// A rule by id.
    #[must_use]
    pub fn rule(&self, id: &str) -> Option<&Rule> {
        self.rules
            .binary_search_by(|rule| rule.id.as_str().cmp(id))
            .ok()
            .map(|at| &self.rules[at])
    }

    /// A gate by id.
    #[must_use]
    pub fn gate(&self, id: &str) -> Option<&Gate> {
        self.gates.iter().find(|gate| gate.id == id)
    }
}
