//! The rulebook with a practice's own folder over it: what it adds, which sentences and templates it has put in place of others.

use std::path::Path;

use crate::library::{Care, Library};
use crate::mistake::{Problem, sort};
use crate::mistakes::wording::{MeasureChangesMoreThanWords, ShippedFileReplaced};
use crate::rulebook::{LogBook, Measure, MeasureKind, Rulebook};
use crate::source::Source;
use crate::templates::Templates;

use super::{OWN, Practice, Spoken, Translation, Voice, check, speak};

/// Where a practice's own sentences lie once its folder is laid over the shipped one; sorts before every other name.
pub(super) const FROM_PRACTICE: &str = "+/";

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
}

impl House {
    /// Opens a rulebook and a practice's folder.
    ///
    /// # Errors
    /// All mistakes of `practice.yaml`, every file that cannot be read, and every shipped file that may not be replaced.
    pub fn open(base: Library, folder: Option<&Path>, care: Care) -> Result<Self, Vec<Problem>> {
        let Some(folder) = folder else {
            return Ok(Self {
                library: base,
                templates: Templates::embedded(),
                practice: Practice::unnamed(),
                replaced_measures: Vec::new(),
                care,
            });
        };
        let mut problems = Vec::new();
        let rules = folder.join("rules");
        let (library, replaced_measures, care) = if rules.is_dir() {
            let own = Library::folder(&rules)?;
            let (library, replaced) = layered(base, own, &mut problems);
            (library, replaced, Care::Full)
        } else {
            // The words of `practice.yaml` and of templates are held against the refused ones, which a quick load leaves out.
            (base, Vec::new(), Care::Full)
        };
        let templates = Templates::with_folder(&folder.join("templates")).unwrap_or_else(|found| {
            problems.extend(found);
            Templates::embedded()
        });
        let practice = Source::read(&folder.join("practice.yaml"))
            .map_err(|problem| vec![problem])
            .and_then(|source| Practice::read(&source, &library))
            .unwrap_or_else(|found| {
                problems.extend(found);
                Practice::unnamed()
            });
        if problems.is_empty() {
            Ok(Self {
                library,
                templates,
                practice,
                replaced_measures,
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
        if !self.replaced_measures.is_empty() {
            self.words_alone(&rulebook, &mut problems);
        }
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
        Ok((
            Voiced {
                rulebook,
                voice,
                spoken,
            },
            problems,
        ))
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
            super::speak_log(&mut book, &self.library, &voice);
        }
        Ok((book, problems))
    }

    /// Holds every language, the practice's own sentences and its measures against the rulebook.
    #[must_use]
    pub fn check_words(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        if let Ok((mut rulebook, _)) = Rulebook::load(&self.library, Care::Full) {
            if !self.replaced_measures.is_empty() {
                self.words_alone(&rulebook, &mut problems);
            }
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

    /// A shipped measure with other sentences is the same measure in all else.
    fn words_alone(&self, rulebook: &Rulebook, problems: &mut Vec<Problem>) {
        let Ok((shipped, _)) = Rulebook::load(&Library::embedded(), Care::Trusted) else {
            return;
        };
        for id in &self.replaced_measures {
            let (Some(own), Some(shipped)) = (rulebook.measures.get(id), shipped.measures.get(id))
            else {
                continue;
            };
            if let Some(what) = difference(own, shipped) {
                problems.push(Problem::at(
                    own.place.clone(),
                    MeasureChangesMoreThanWords {
                        id: id.clone(),
                        what: what.to_owned(),
                    },
                ));
            }
        }
    }
}

impl Voice {
    /// True when it asks for anything but the rulebook as it stands.
    fn differs(&self) -> bool {
        self.language != OWN
            || self.units != super::Units::default()
            || self.spelling != super::Spelling::default()
    }
}

/// Lays a practice's files over the shipped ones: new files are added, measures may be put in place of shipped ones.
fn layered(mut base: Library, own: Library, problems: &mut Vec<Problem>) -> (Library, Vec<String>) {
    let mut replaced = Vec::new();
    for (path, source) in own.files {
        let path = path
            .strip_prefix("languages/")
            .and_then(|rest| {
                let (id, name) = rest.split_once('/')?;
                // The small words of a language are the shipped ones; a language of the practice's own brings its file.
                let whole = base.get(&path).is_none()
                    && ["language.yaml", "made-from.yaml", "refused-words.yaml"].contains(&name);
                (!whole).then(|| format!("languages/{id}/{FROM_PRACTICE}{name}"))
            })
            .unwrap_or(path);
        match base.files.iter_mut().find(|(other, _)| *other == path) {
            None => base.files.push((path, source)),
            Some(shipped) if path.starts_with("measures/") => {
                let stem = path.rsplit('/').next().unwrap_or(&path);
                replaced.push(stem.trim_end_matches(".yaml").to_owned());
                shipped.1 = source;
            }
            Some(_) => problems.push(Problem::of_file(
                &source.label,
                ShippedFileReplaced { file: path },
            )),
        }
    }
    base.files.sort_by(|a, b| a.0.cmp(&b.0));
    base.strays.extend(own.strays);
    (base, replaced)
}

fn difference(own: &Measure, shipped: &Measure) -> Option<&'static str> {
    if own.for_person != shipped.for_person {
        return Some("`for`");
    }
    if own.control != shipped.control {
        return Some("`control`");
    }
    if own.step != shipped.step {
        return Some("`step`");
    }
    match (&own.kind, &shipped.kind) {
        (
            MeasureKind::Do {
                start,
                only_from,
                covers,
                comes_before,
                ..
            },
            MeasureKind::Do {
                start: start_0,
                only_from: only_from_0,
                covers: covers_0,
                comes_before: comes_before_0,
                ..
            },
        ) => [
            (start == start_0, "`start`"),
            (only_from == only_from_0, "`only-from`"),
            (covers == covers_0, "`covers`"),
            (comes_before == comes_before_0, "`comes-before`"),
        ]
        .into_iter()
        .find(|(same, _)| !same)
        .map(|(_, what)| what),
        (
            MeasureKind::Never { rules_out, .. },
            MeasureKind::Never {
                rules_out: rules_out_0,
                ..
            },
        ) => (rules_out != rules_out_0).then_some("`rules-out`"),
        _ => Some("`do` or `never`"),
    }
}
