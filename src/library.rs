//! Where rules come from: the folder embedded in the program, or a folder the person names.

use std::path::Path;

use include_dir::{Dir, include_dir};

use crate::mistake::Problem;
use crate::mistakes::data::DataFileMissing;
use crate::mistakes::file::{FileMissing, FileUnreadable};
use crate::source::Source;
use crate::yaml::{self, Document};

/// How closely a rulebook is looked at while it is loaded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Care {
    /// Names and types only. For the rulebook inside the program, which the tests look at in full.
    Trusted,
    /// Everything: examples, wording, clashes, what nothing uses.
    Full,
}

static EMBEDDED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/rules");

/// All data files of one rulebook, in the order of their paths.
#[derive(Debug)]
pub struct Library {
    /// What the folder is called in mistakes.
    pub label: String,
    /// Files that are neither data (`.yaml`, `.csv`) nor pages, by path below the folder.
    pub strays: Vec<String>,
    /// Each file's path below the folder, with `/` between parts, and its text.
    pub files: Vec<(String, Source)>,
}

impl Library {
    /// The tree of one file; that it is missing or cannot be read is added to `problems`.
    #[must_use]
    pub fn document(&self, name: &str, problems: &mut Vec<Problem>) -> Option<Document<'_>> {
        let Some(source) = self.get(name) else {
            problems.push(Problem::of_file(
                &format!("{}/{name}", self.label),
                DataFileMissing {
                    file: name.to_owned(),
                },
            ));
            return None;
        };
        yaml::read(source)
            .map_err(|found| problems.extend(found))
            .ok()
    }

    /// The rulebook inside the program.
    #[must_use]
    pub fn embedded() -> Self {
        let mut files = Vec::new();
        gather_embedded(&EMBEDDED, &mut files);
        files.sort_by(|a, b| a.0.cmp(&b.0));
        Self {
            label: "rules".to_owned(),
            strays: Vec::new(),
            files,
        }
    }

    /// A rulebook in a folder.
    ///
    /// # Errors
    /// Every file that cannot be read, or `file-missing` when the folder is not there.
    pub fn folder(folder: &Path) -> Result<Self, Vec<Problem>> {
        let mut files = Vec::new();
        let mut problems = Vec::new();
        let mut strays = Vec::new();
        gather_folder(folder, folder, &mut files, &mut strays, &mut problems);
        if !problems.is_empty() {
            return Err(problems);
        }
        files.sort_by(|a, b| a.0.cmp(&b.0));
        strays.sort();
        Ok(Self {
            label: folder.display().to_string(),
            strays,
            files,
        })
    }

    /// A rulebook from texts in memory: path below the folder, text.
    #[must_use]
    pub fn of(texts: impl IntoIterator<Item = (String, String)>) -> Self {
        let mut files: Vec<_> = texts
            .into_iter()
            .map(|(path, text)| {
                let source = Source::new(format!("rules/{path}"), text);
                (path, source)
            })
            .collect();
        files.sort_by(|a, b| a.0.cmp(&b.0));
        Self {
            label: "rules".to_owned(),
            strays: Vec::new(),
            files,
        }
    }

    /// One file by its path below the folder.
    #[must_use]
    pub fn get(&self, path: &str) -> Option<&Source> {
        self.files
            .binary_search_by(|(name, _)| name.as_str().cmp(path))
            .ok()
            .map(|at| &self.files[at].1)
    }

    /// SHA-256 over every path and text, in path order, as 64 hexadecimal digits.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let mut parts = Vec::new();
        for (path, source) in &self.files {
            parts.push(path.as_bytes());
            parts.push(source.text.as_bytes());
        }
        crate::fingerprint::of_parts(&parts)
    }
}

/// True for what a rulebook is made of: YAML files, and tables as comma-separated values.
fn is_data(path: &Path) -> bool {
    path.extension()
        .is_some_and(|end| end == "yaml" || end == "csv")
}

fn gather_embedded(dir: &Dir<'_>, files: &mut Vec<(String, Source)>) {
    for file in dir.files() {
        let path = file.path().to_string_lossy().replace('\\', "/");
        if let (true, Some(text)) = (is_data(file.path()), file.contents_utf8()) {
            let source = Source::new(format!("rules/{path}"), text);
            files.push((path, source));
        }
    }
    for inner in dir.dirs() {
        gather_embedded(inner, files);
    }
}

fn gather_folder(
    root: &Path,
    folder: &Path,
    files: &mut Vec<(String, Source)>,
    strays: &mut Vec<String>,
    problems: &mut Vec<Problem>,
) {
    let label = folder.display().to_string();
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            problems.push(Problem::of_file(&label, FileMissing {}));
            return;
        }
        Err(error) => {
            problems.push(Problem::of_file(
                &label,
                FileUnreadable {
                    reason: error.to_string(),
                },
            ));
            return;
        }
    };
    for entry in entries.flatten() {
        let path = entry.path();
        let Ok(kind) = entry.file_type() else {
            continue;
        };
        // Links are not followed: a rulebook is what lies in its own folder.
        if kind.is_dir() {
            gather_folder(root, &path, files, strays, problems);
        } else if kind.is_file() && is_data(&path) {
            match Source::read(&path) {
                Ok(source) => {
                    let below = path.strip_prefix(root).unwrap_or(&path);
                    files.push((below.to_string_lossy().replace('\\', "/"), source));
                }
                Err(problem) => problems.push(problem),
            }
        } else if kind.is_file() && path.extension().is_none_or(|end| end != "md") {
            let below = path.strip_prefix(root).unwrap_or(&path);
            strays.push(below.to_string_lossy().replace('\\', "/"));
        }
    }
}
