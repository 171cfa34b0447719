//! What lies in a folder, at any depth, in the order of the names.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::mistake::Problem;
use crate::mistakes::file::{FileMissing, FileUnreadable};

use super::{Form, Item, Written};

/// What was found.
#[derive(Debug, Default)]
pub(super) struct Found {
    pub(super) files: Vec<PathBuf>,
    pub(super) passed_over: Vec<String>,
    pub(super) faults: Vec<Item>,
}

/// Looks through a folder. Hidden files and folders are not looked at; links to folders are not followed, since they could lead in
/// a circle.
pub(super) fn in_folder(folder: &Path) -> Found {
    let mut found = Found::default();
    look(folder, &mut found);
    found
}

fn look(folder: &Path, found: &mut Found) {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) => {
            let label = Arc::from(folder.display().to_string());
            found.faults.push(unreadable(label, &error));
            return;
        }
    };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    for path in paths {
        let hidden = path
            .file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with('.'));
        if hidden {
            continue;
        }
        let is_link = path.is_symlink();
        if path.is_dir() {
            if !is_link {
                look(&path, found);
            }
        } else if Form::of_name(&path).is_some() {
            found.files.push(path);
        } else {
            found.passed_over.push(path.display().to_string());
        }
    }
}

/// A file that cannot be opened, as something to look at by hand.
pub(super) fn unreadable(label: Arc<str>, error: &std::io::Error) -> Item {
    let problem = if error.kind() == std::io::ErrorKind::NotFound {
        Problem::of_file(&label, FileMissing {})
    } else {
        let reason = error.to_string();
        Problem::of_file(&label, FileUnreadable { reason })
    };
    Item {
        label,
        line: 0,
        text: Err(problem),
        written: Written::Yaml,
    }
}
