//! Where templates come from: the folder embedded in the program, and a practice's own folder before it.

use std::collections::BTreeMap;
use std::path::Path;

use include_dir::{Dir, include_dir};

use crate::mistake::Problem;
use crate::mistakes::wording::TemplateNotReplaceable;
use crate::source::Source;

static EMBEDDED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/templates");

/// Templates that a practice has put in place of others, or beside them.
#[derive(Debug, Clone, Default)]
pub struct Templates {
    own: BTreeMap<String, String>,
}

impl Templates {
    /// The templates inside the program.
    #[must_use]
    pub fn embedded() -> Self {
        Self::default()
    }

    /// The templates inside the program, with those of a folder before them.
    ///
    /// # Errors
    /// Every file that cannot be read.
    pub fn with_folder(folder: &Path) -> Result<Self, Vec<Problem>> {
        let mut own = BTreeMap::new();
        let mut problems = Vec::new();
        gather(folder, folder, &mut own, &mut problems);
        if problems.is_empty() {
            Ok(Self { own })
        } else {
            Err(problems)
        }
    }

    /// The templates inside the program, with some given as text before them.
    #[must_use]
    pub fn with(texts: impl IntoIterator<Item = (String, String)>) -> Self {
        Self {
            own: texts.into_iter().collect(),
        }
    }

    /// The text of a template.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&str> {
        self.own.get(name).map(String::as_str).or_else(|| {
            EMBEDDED
                .get_file(name)
                .and_then(|file| file.contents_utf8())
        })
    }

    /// True for a template inside the program.
    #[must_use]
    pub fn is_shipped(&self, name: &str) -> bool {
        EMBEDDED.get_file(name).is_some()
    }

    /// The names of the templates in a folder, in order.
    #[must_use]
    pub fn within(&self, folder: &str) -> Vec<String> {
        let embedded = EMBEDDED
            .get_dir(folder)
            .into_iter()
            .flat_map(|dir| dir.files())
            .map(|file| file.path().to_string_lossy().replace('\\', "/"));
        let own = self.own.keys().filter(|name| {
            name.strip_prefix(folder)
                .and_then(|rest| rest.strip_prefix('/'))
                .is_some_and(|rest| !rest.contains('/'))
        });
        let mut names: Vec<String> = embedded.chain(own.cloned()).collect();
        names.sort();
        names.dedup();
        names
    }

    /// The names of the practice's own templates, each with whether it stands in place of another.
    pub fn own(&self) -> impl Iterator<Item = (&str, bool)> {
        self.own
            .keys()
            .map(|name| (name.as_str(), EMBEDDED.get_file(name).is_some()))
    }

    /// The texts of all templates, own and embedded.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        let mut embedded = Vec::new();
        texts(&EMBEDDED, &mut embedded);
        embedded
            .into_iter()
            .chain(self.own.values().map(String::as_str))
    }
}

fn texts(dir: &'static Dir<'static>, out: &mut Vec<&'static str>) {
    out.extend(dir.files().filter_map(|file| file.contents_utf8()));
    for inner in dir.dirs() {
        texts(inner, out);
    }
}

/// Words can be replaced: parts of papers, titles, words of drawings and pages, in any language. What keeps a page safe and legible
/// cannot.
fn may_be_replaced(name: &str) -> bool {
    let of_paper = |name: &str| {
        name.split_once('/').is_some_and(|(folder, file)| {
            let known = EMBEDDED.get_dir(folder).is_some() && !["form", "style"].contains(&folder);
            known && !file.contains('/') && (file.ends_with(".md") || file.ends_with(".txt"))
        })
    };
    let words = |name: &str| name.ends_with("-words.txt") && !name.contains('/');
    let inner = name.split_once('/').map_or("", |(_, rest)| rest);
    of_paper(name) || words(name) || of_paper(inner) || words(inner)
}

fn gather(
    root: &Path,
    folder: &Path,
    own: &mut BTreeMap<String, String>,
    problems: &mut Vec<Problem>,
) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        let Ok(kind) = entry.file_type() else {
            continue;
        };
        // Links are not followed, as with rules.
        if entry.file_name().to_string_lossy().starts_with('.') {
            continue;
        }
        if kind.is_dir() {
            gather(root, &path, own, problems);
        } else if kind.is_file() {
            let below = path.strip_prefix(root).unwrap_or(&path);
            let name = below.to_string_lossy().replace('\\', "/");
            let label = path.display().to_string();
            let size = entry.metadata().map_or(0, |about| about.len());
            if !may_be_replaced(&name) {
                problems.push(Problem::of_file(&label, TemplateNotReplaceable { name }));
            } else if size == 0 {
                // A part put aside.
                own.insert(name, String::new());
            } else {
                match Source::read(&path) {
                    Ok(source) => {
                        own.insert(name, source.text.into_owned());
                    }
                    Err(problem) => problems.push(problem),
                }
            }
        }
    }
}
