//! The invented homes that forms are made from: those of the examples, and those of the expert cases.

use std::path::{Path, PathBuf};

use jiff::civil::{Date, date};
use perchside::mistake::render;
use perchside::questionnaire::Questionnaire;
use perchside::source::Source;
use perchside::tree::Node;
use perchside::yaml;

use super::form::Form;

/// The day that the forms beside the examples were filled in for.
const EXAMPLES: Date = date(2026, 11, 25);

/// The texts of all homes, in the order of their names.
#[derive(Debug)]
pub(crate) struct Homes {
    sources: Vec<Source>,
}

/// One home: what its form says, and on which day it was said.
#[derive(Debug)]
pub(crate) struct Home<'h> {
    pub(crate) form: Form<'h>,
    pub(crate) day: Date,
}

impl Homes {
    /// Reads the homes of a repository.
    pub(crate) fn of(repository: &Path) -> Result<Self, String> {
        let mut paths = Vec::new();
        for path in below(&repository.join("examples"))? {
            let path = path.join("intake.yaml");
            paths.extend(path.is_file().then_some(path));
        }
        let cases = below(&repository.join("tests/cases"))?;
        paths.extend(
            cases
                .into_iter()
                .filter(|path| path.extension().is_some_and(|it| it == "yaml")),
        );
        let sources = paths
            .iter()
            .map(|path| Source::read(path).map_err(|problem| render(&[problem], false)))
            .collect::<Result<_, _>>()?;
        Ok(Self { sources })
    }

    /// The homes, against a questionnaire.
    pub(crate) fn read<'h>(
        &'h self,
        questionnaire: &Questionnaire,
    ) -> Result<Vec<Home<'h>>, String> {
        self.sources
            .iter()
            .map(|source| {
                let tree = yaml::read(source)
                    .map_err(|problems| render(&problems, false))?
                    .root;
                let told = tree.get("today").and_then(Node::scalar);
                let day = told.and_then(|day| day.parse().ok()).unwrap_or(EXAMPLES);
                let form = Form::of(questionnaire, tree.get("intake").unwrap_or(&tree));
                Ok(Home { form, day })
            })
            .collect()
    }
}

fn below(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let told = |error| format!("{}: {error}", folder.display());
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .map_err(told)?
        .map(|entry| entry.map(|entry| entry.path()).map_err(told))
        .collect::<Result<_, _>>()?;
    paths.sort();
    Ok(paths)
}
