//! Where rules come from: the folder embedded in the program, or a folder the person names.

use std::path::Path;

use crate::embedded::{self, Embedded};
use crate::mistake::Problem;
use crate::mistakes::data::DataFileMissing;
use crate::mistakes::file::{FileMissing, FileUnreadable};
use crate::source::Source;
use crate::tree::packed::unpack;
use crate::yaml::{self, Document};

/// How closely a rulebook is looked at while it is loaded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Care {
    /// Names and types only, by the trees that were built in. For the rulebook inside the program, which the tests look at in full.
    Trusted,
    /// Everything: texts, examples, wording, clashes, what nothing uses.
    Full,
}

/// All data files of one rulebook, in the order of their paths.
#[derive(Debug)]
pub struct Library {
    /// What the folder is called in mistakes.
    pub label: String,
    /// Files that are neither data (`.yaml`, `.csv`) nor pages, by path below the folder.
    pub strays: Vec<String>,
    /// Each file's path below the folder, with `/` between parts, and its text.
    pub files: Vec<(String, Source)>,
    /// The paths of the files that a practice laid over it, in order.
    pub own: Vec<String>,
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
        document(source)
            .map_err(|found| problems.extend(found))
            .ok()
    }

    /// The rulebook inside the program.
    #[must_use]
    pub fn embedded() -> Self {
        Self::holding(
            embedded::RULES
                .iter()
                .map(|file| (file.path().to_owned(), Source::embedded(file)))
                .collect(),
        )
    }

    /// One file of the rulebook inside the program; an empty library when there is none of that path.
    #[must_use]
    pub fn embedded_file(path: &str) -> Self {
        Self::holding(
            embedded::file(path)
                .map(|file| (file.path().to_owned(), Source::embedded(file)))
                .into_iter()
                .collect(),
        )
    }

    /// True for a file that a practice laid over it.
    #[must_use]
    pub fn is_own(&self, path: &str) -> bool {
        self.own
            .binary_search_by(|own| own.as_str().cmp(path))
            .is_ok()
    }

    /// The same files, every tree of which is read from its text.
    #[must_use]
    pub fn as_written(&self) -> Self {
        let files = self.files.iter();
        Self {
            label: self.label.clone(),
            strays: self.strays.clone(),
            files: files
                .map(|(path, source)| (path.clone(), source.as_written()))
                .collect(),
            own: self.own.clone(),
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
            own: Vec::new(),
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
        Self::holding(files)
    }

    /// A library of files in the order of their paths.
    fn holding(files: Vec<(String, Source)>) -> Self {
        Self {
            label: "rules".to_owned(),
            strays: Vec::new(),
            files,
            own: Vec::new(),
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
        if self.is_embedded() {
            return embedded::FINGERPRINT.to_owned();
        }
        let mut parts = Vec::new();
        for (path, source) in &self.files {
            parts.push(path.as_bytes());
            parts.push(source.text.as_bytes());
        }
        crate::fingerprint::of_parts(&parts)
    }

    /// True when it holds the files of the rulebook inside the program and nothing else.
    fn is_embedded(&self) -> bool {
        let same = |((path, source), file): (&(String, Source), &'static Embedded)| {
            path == file.path() && std::ptr::eq(file.text, &*source.text)
        };
        self.files.len() == embedded::RULES.len()
            && self.files.iter().zip(embedded::RULES).all(same)
    }
}

/// The tree of a data file: of a file inside the program the one that was built into it, of any other the one its text stands for.
///
/// # Errors
/// As for [`yaml::read`].
pub fn document(source: &Source) -> Result<Document<'_>, Vec<Problem>> {
    document_without(source, None)
}

/// The same without what stands under one key of the file, where leaving it out saves anything.
///
/// # Errors
/// As for [`yaml::read`].
pub fn document_without<'a>(
    source: &'a Source,
    key: Option<&str>,
) -> Result<Document<'a>, Vec<Problem>> {
    let packed = source.as_embedded().and_then(|file| file.tree);
    match packed.and_then(|tree| unpack(tree, key)) {
        Some(root) => Ok(Document { source, root }),
        None => yaml::read(source),
    }
}

/// True for what a rulebook is made of: YAML files, and tables as comma-separated values.
fn is_data(path: &Path) -> bool {
    path.extension()
        .is_some_and(|end| end == "yaml" || end == "csv")
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
