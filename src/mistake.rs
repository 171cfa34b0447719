//! What a mistake is: a named fault in a file, with its place, one sentence of what is wrong and one of what to do.

use crate::source::Source;
use crate::tree::{Path, Places};
use std::fmt;

use serde::Serialize;

/// How bad it is. An error stops the work; a warning is said and the work goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The work stops after all mistakes were collected.
    Error,
    /// A person should look at it; the work goes on.
    Warning,
}

/// A named fault. Every kind is a struct of its own in [`crate::mistakes`].
pub trait Mistake: fmt::Display + fmt::Debug + Send + Sync {
    /// The kebab-case name, stable over versions.
    fn name(&self) -> &'static str;
    /// How bad it is.
    fn severity(&self) -> Severity;
    /// One sentence of what to do.
    fn advice(&self) -> String;
}

/// Where in a file: line and column count from 1, columns in characters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// The file's label.
    pub file: String,
    /// Line, from 1. 0 means the file as a whole.
    pub line: usize,
    /// Column in characters, from 1. 0 means the file as a whole.
    pub column: usize,
    /// How many characters are meant.
    pub width: usize,
    /// The line itself.
    pub line_text: String,
}

impl Place {
    /// A file as a whole.
    #[must_use]
    pub fn of_file(label: &str) -> Self {
        Self {
            file: label.to_owned(),
            line: 0,
            column: 0,
            width: 0,
            line_text: String::new(),
        }
    }
}

/// One mistake at one place.
#[derive(Debug)]
pub struct Problem {
    /// Where it is.
    pub place: Place,
    /// What it is.
    pub mistake: Box<dyn Mistake>,
}

/// The flat form of a problem, for JSON.
#[derive(Debug, Clone, Serialize)]
pub struct Report {
    /// The mistake's kebab-case name.
    pub name: &'static str,
    /// `error` or `warning`.
    pub severity: Severity,
    /// Where.
    #[serde(flatten)]
    pub place: Place,
    /// What is wrong.
    pub says: String,
    /// What to do.
    pub advice: String,
}

impl Problem {
    /// A mistake at a place.
    #[must_use]
    pub fn at(place: Place, mistake: impl Mistake + 'static) -> Self {
        Self {
            place,
            mistake: Box::new(mistake),
        }
    }

    /// A mistake of a file as a whole.
    #[must_use]
    pub fn of_file(label: &str, mistake: impl Mistake + 'static) -> Self {
        Self::at(Place::of_file(label), mistake)
    }

    /// Several mistakes of a file as a whole.
    #[must_use]
    pub fn all_of_file(label: &str, mistakes: Vec<Box<dyn Mistake>>) -> Vec<Self> {
        let problem = |mistake| Self {
            place: Place::of_file(label),
            mistake,
        };
        mistakes.into_iter().map(problem).collect()
    }

    /// Mistakes about answers, each at the place of its answer. Places are looked up only when there is a mistake.
    #[must_use]
    pub fn of_answers(
        faults: Vec<(Path, Box<dyn Mistake>)>,
        source: &Source,
        places: &dyn Fn() -> Places,
    ) -> Vec<Self> {
        if faults.is_empty() {
            return Vec::new();
        }
        let places = places();
        faults
            .into_iter()
            .map(|(path, mistake)| Self {
                place: source.place(places.value(&path)),
                mistake,
            })
            .collect()
    }

    /// True when it stops the work.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.mistake.severity() == Severity::Error
    }

    /// The flat form.
    #[must_use]
    pub fn report(&self) -> Report {
        Report {
            name: self.mistake.name(),
            severity: self.mistake.severity(),
            place: self.place.clone(),
            says: self.mistake.to_string(),
            advice: self.mistake.advice(),
        }
    }
}

/// Puts problems in the order a person reads a file: file, line, column, then name. Errors and warnings mixed.
pub fn sort(problems: &mut [Problem]) {
    problems.sort_by(|a, b| {
        (&a.place, a.mistake.name(), a.mistake.to_string()).cmp(&(
            &b.place,
            b.mistake.name(),
            b.mistake.to_string(),
        ))
    });
}

/// Renders problems for a terminal or a log, one block each, with the line and what to do.
#[must_use]
pub fn render(problems: &[Problem], colour: bool) -> String {
    use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut out = String::new();
    for problem in problems {
        let level = match problem.mistake.severity() {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let says = printable(&problem.mistake.to_string());
        let advice = printable(&problem.mistake.advice());
        let line_text = printable(&problem.place.line_text);
        let file = printable(&problem.place.file);
        let title = level
            .primary_title(says.as_str())
            .id(problem.mistake.name());
        let group = if problem.place.line == 0 {
            Group::with_title(title).element(annotate_snippets::Origin::path(file.as_str()))
        } else {
            let start = byte_at(&line_text, problem.place.column.saturating_sub(1));
            let end = byte_at(
                &line_text,
                problem.place.column.saturating_sub(1) + problem.place.width.max(1),
            )
            .max(start);
            Group::with_title(title).element(
                Snippet::source(line_text.as_str())
                    .path(file.as_str())
                    .line_start(problem.place.line)
                    .annotation(AnnotationKind::Primary.span(start..end)),
            )
        };
        let group = group.element(Level::HELP.message(advice.as_str()));
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    out
}

/// Control characters made visible, so that a file's text cannot steer a terminal.
pub(crate) fn printable(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\t' => ' ',
            c if c.is_control() => '\u{fffd}',
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '\u{fffd}',
            c => c,
        })
        .collect()
}

fn byte_at(text: &str, column: usize) -> usize {
    text.char_indices()
        .nth(column)
        .map_or(text.len(), |(at, _)| at)
}
