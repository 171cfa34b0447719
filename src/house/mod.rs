//! The rulebook with a practice's own folder over it: what it adds, which sentences and templates it has put in place of others,
//! and where it departs from a shipped rule.
//!
//! A practice may add and tighten freely: outcomes only tighten, so nothing that it adds can loosen what is shipped. To loosen a
//! shipped rule it writes a departure; the safety floor has none.

pub mod departures;
mod layers;
mod strays;

use std::path::Path;

use jiff::civil::Date;

use crate::library::{Care, Library};
use crate::mistake::{Problem, sort};
use crate::rulebook::{Departure, Edition, LogBook, Rulebook};
use crate::source::Source;
use crate::templates::Templates;
use crate::wording::{
    FROM_PRACTICE, OWN, Practice, Spoken, Translation, Voice, check, speak, speak_log,
};

/// Everything papers are made with.
#[derive(Debug)]
pub struct House {
    /// All data files, the practice's among them.
    pub library: Library,
    /// All templates.
    pub templates: Templates,
    /// The practice.
    pub practice: Practice,
    /// Shipped measures that have other sentences here, by id.
    pub replaced_measures: Vec<String>,
    /// SHA-256 over the files of the rulebook below the practice's.
    pub base_fingerprint: String,
    /// SHA-256 over all files of the practice's folder that count; `None` without one.
    pub practice_fingerprint: Option<String>,
    /// The day the house is open for: departures end.
    pub today: Date,
    /// The files of departures.
    departures: Library,
    /// True when nothing may tell which practice it is.
    nameless: bool,
    care: Care,
}

/// A rulebook in one language.
#[derive(Debug)]
pub struct Voiced {
    /// The rulebook with its sentences in that language.
    pub rulebook: Rulebook,
    /// How it speaks.
    pub voice: Voice,
    /// What was missing, and what the practice has replaced.
    pub spoken: Spoken,
    /// What has to be said each time: departures that do not count today.
    pub notices: Vec<Problem>,
}

impl House {
    /// Opens a rulebook and a practice's folder, for one day.
    ///
    /// # Errors
    /// All mistakes of `practice.yaml`, every file that cannot be read, and every shipped file that may not be replaced.
    pub fn open(
        base: Library,
        folder: Option<&Path>,
        care: Care,
        today: Date,
    ) -> Result<Self, Vec<Problem>> {
        let base_fingerprint = base.fingerprint();
        let Some(folder) = folder else {
            return Ok(Self {
                library: base,
                templates: Templates::embedded(),
                practice: Practice::unnamed(),
                replaced_measures: Vec::new(),
                base_fingerprint,
                practice_fingerprint: None,
                today,
                departures: Library::of([]),
                nameless: false,
                care,
            });
        };
        let mut problems = Vec::new();
        strays::look(folder, &mut problems);
        let rules = folder.join("rules");
        let (library, replaced_measures, care) = if rules.is_dir() {
            let own = Library::folder(&rules)?;
            let (library, replaced) = layers::layered(base, own, &mut problems);
            (library, replaced, Care::Full)
        } else {
            // The words of `practice.yaml` and of templates are held against the refused ones, which a quick load leaves out.
            (base, Vec::new(), Care::Full)
        };
        let templates = Templates::with_folder(&folder.join("templates")).unwrap_or_else(|found| {
            problems.extend(found);
            Templates::embedded()
        });
        let departures = folder.join("departures");
        let departures = if departures.is_dir() {
            Library::folder(&departures).unwrap_or_else(|found| {
                problems.extend(found);
                Library::of([])
            })
        } else {
            Library::of([])
        };
        let mut about = String::new();
        let practice = Source::read(&folder.join("practice.yaml"))
            .map_err(|problem| vec![problem])
            .and_then(|source| {
                about = source.text.to_string();
                Practice::read(&source, &library)
            })
            .unwrap_or_else(|found| {
                problems.extend(found);
                Practice::unnamed()
            });
        let practice_fingerprint = fingerprint(&about, &library, &departures, &templates);
        if problems.is_empty() {
            Ok(Self {
                library,
                templates,
                practice,
                replaced_measures,
                base_fingerprint,
                practice_fingerprint: Some(practice_fingerprint),
                today,
                departures,
                nameless: false,
                care,
            })
        } else {
            sort(&mut problems);
            Err(problems)
        }
    }

    /// The rulebook in one language, with warnings.
    ///
    /// # Errors
    /// All problems of the rulebook and of the language's files, when at least one is an error.
    pub fn speaking(&self, language: &str) -> Result<(Voiced, Vec<Problem>), Vec<Problem>> {
        let (mut rulebook, mut problems) = Rulebook::load(&self.library, self.care)?;
        self.layers(&mut rulebook, &mut problems);
        check::own_templates(&rulebook, &self.templates, &mut problems);
        check::own_greetings(&rulebook, &self.practice, &mut problems);
        let voice = self.practice.voice(language);
        let translation = Translation::load(&self.library, language, &mut problems);
        let mut spoken = Spoken::default();
        if language == OWN && translation.says_anything() {
            check::own_sentences(&mut rulebook, &self.library, &mut problems);
        }
        if translation.says_anything() || voice.differs() {
            spoken = speak(&mut rulebook, &self.library, &voice, &translation);
        }
        spoken.replaced.extend(
            self.replaced_measures
                .iter()
                .map(|id| format!("measures.{id}")),
        );
        if problems.iter().any(Problem::is_error) {
            return Err(problems);
        }
        let (notices, problems) = problems
            .into_iter()
            .partition(|problem| NOTICES.contains(&problem.mistake.name()));
        Ok((
            Voiced {
                rulebook,
                voice,
                spoken,
                notices,
            },
            problems,
        ))
    }

    /// Holds a practice's layer against the rulebook below it, and lets its departures count.
    fn layers(&self, rulebook: &mut Rulebook, problems: &mut Vec<Problem>) {
        rulebook.house_rules.clone_from(&self.practice.house_rules);
        if !self.nameless
            && let Some(practice) = &self.practice_fingerprint
        {
            rulebook.apart = Some([self.base_fingerprint.clone(), practice.clone()]);
        }
        if !self.library.own.is_empty() {
            layers::words_alone(&self.replaced_measures, rulebook, problems);
            layers::set_aside(&self.replaced_measures, rulebook, problems);
        }
        if !self.departures.files.is_empty() {
            let mut departures = departures::read(&self.departures, rulebook, self.today, problems);
            if self.nameless {
                departures.iter_mut().for_each(Departure::unnamed);
            }
            rulebook.depart(departures);
        }
    }

    /// The edition of the practice's own rules, where it keeps count of them.
    #[must_use]
    pub fn edition(&self) -> Option<&Edition> {
        self.practice.house_rules.as_ref()
    }

    /// The same house without what tells which practice it is.
    #[must_use]
    pub fn unnamed(self) -> Self {
        let Practice {
            paper,
            large_print,
            sign_distance_cm,
            language,
            units,
            spelling,
            ..
        } = self.practice;
        let practice = Practice {
            paper,
            large_print,
            sign_distance_cm,
            language,
            units,
            spelling,
            ..Practice::unnamed()
        };
        // Its own sentences and templates may name it.
        let mut library = self.library;
        library
            .files
            .retain(|(path, _)| !path.contains(&format!("/{FROM_PRACTICE}")));
        Self {
            practice,
            library,
            templates: Templates::embedded(),
            nameless: true,
            ..self
        }
    }

    /// All texts that papers are made from.
    #[must_use]
    pub fn all_texts(&self) -> String {
        let files = self.library.files.iter().map(|(_, source)| &*source.text);
        let mut texts: Vec<&str> = files.collect();
        texts.extend(self.templates.all());
        texts.join("\n")
    }

    /// The part of the rulebook that reads logs, in the practice's spelling and units.
    ///
    /// # Errors
    /// All problems, when at least one is an error.
    pub fn log_book(&self, rulebook: &Rulebook) -> Result<(LogBook, Vec<Problem>), Vec<Problem>> {
        let (mut book, problems) = LogBook::load(&self.library, &rulebook.tables, self.care)?;
        let voice = self.practice.voice(&self.practice.language);
        if voice.differs() {
            speak_log(&mut book, &self.library, &voice);
        }
        Ok((book, problems))
    }

    /// Holds every language, the practice's own sentences and its measures against the rulebook, and its editions against the day.
    #[must_use]
    pub fn check_words(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        if let Ok((mut rulebook, _)) = Rulebook::load(&self.library, Care::Full) {
            self.layers(&mut rulebook, &mut problems);
            problems.extend(rulebook.past_review(self.today));
            check::own_templates(&rulebook, &self.templates, &mut problems);
            check::own_greetings(&rulebook, &self.practice, &mut problems);
            check::check(&mut rulebook, &self.library, &self.templates, &mut problems);
        }
        problems
    }

    /// What the practice has put in place of shipped words, by key or template, and which templates it has added.
    #[must_use]
    pub fn own_words(&self) -> Vec<String> {
        let mut own: Vec<String> = self
            .speaking(&self.practice.language)
            .map(|(voiced, _)| voiced.spoken.replaced)
            .unwrap_or_default();
        own.extend(
            self.templates
                .own()
                .map(|(name, _)| format!("templates/{name}")),
        );
        own
    }
}

/// The mistakes that are told each time something is decided, not only when the rulebook is checked.
const NOTICES: &[&str] = &["departure-expired", "departure-ahead"];

/// SHA-256 over every file of a practice that counts: path and text, in a fixed order.
fn fingerprint(
    about: &str,
    library: &Library,
    departures: &Library,
    templates: &Templates,
) -> String {
    let mut parts: Vec<&[u8]> = vec![b"practice.yaml", about.as_bytes()];
    let own = |(path, _): &&(String, Source)| {
        library.is_own(path) || path.contains(&format!("/{FROM_PRACTICE}"))
    };
    let departures = departures.files.iter();
    for (path, source) in library.files.iter().filter(own).chain(departures) {
        parts.extend([path.as_bytes(), source.text.as_bytes()]);
    }
    for (name, _) in templates.own() {
        let text = templates.get(name).unwrap_or_default();
        parts.extend([name.as_bytes(), text.as_bytes()]);
    }
    crate::fingerprint::of_parts(&parts)
}
