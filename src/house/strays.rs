//! What lies in a practice's folder and is never read: a mistyped folder, a file beside the folders, a file with another ending. Silence
//! about it would let a practice believe that its rules count.

use std::path::Path;

use crate::embedded;
use crate::mistake::Problem;
use crate::mistakes::wording::StrayInPractice;
use crate::words::{closest, either};

/// The file and the folders that are read.
const FILE: &str = "practice.yaml";
const READ: &[&str] = &["rules", "templates", "departures"];
/// Folders that a practice may keep beside them.
const KEPT: &[&str] = &["cases", "schemas", "notes"];
/// The folder in which tables lie beside the folders of topics. They are the shipped ones, so a file of a practice there is either a
/// stray or in place of a shipped one, which is told as that.
const BESIDE_TOPICS: &str = "rules";

/// Looks for what nothing reads.
pub(super) fn look(folder: &Path, problems: &mut Vec<Problem>) {
    let mut told = |name: String, close: Option<String>, advice: String| {
        let place = folder.join(&name).display().to_string();
        problems.push(Problem::of_file(
            &place,
            StrayInPractice {
                name,
                close,
                advice,
            },
        ));
    };
    for (name, is_folder) in entries(folder) {
        if name == FILE || READ.contains(&name.as_str()) {
            continue;
        }
        let known = READ.iter().copied().chain([FILE]);
        let close = closest(&name, known);
        let stray = if is_folder {
            !KEPT.contains(&name.as_str()) && (close.is_some() || holds_data(&folder.join(&name)))
        } else {
            is_data(&name)
        };
        if stray {
            let parts: Vec<String> = READ.iter().map(|part| format!("`{part}/`")).collect();
            let kept: Vec<String> = KEPT.iter().map(|part| format!("`{part}/`")).collect();
            told(
                name,
                close,
                format!(
                    "a practice has `{FILE}`, {}; what is not to be read may lie in {}",
                    parts.join(", "),
                    either(&kept)
                ),
            );
        }
    }
    for part in READ.iter().filter(|part| **part != "templates") {
        below(&folder.join(part), part, &mut |name, deep| {
            let other_ending =
                name.ends_with(".yml") || name.ends_with(".YAML") || name.ends_with(".yaml.txt");
            if other_ending {
                told(name, None, "name it so that it ends in `.yaml`".to_owned());
            } else if *part == BESIDE_TOPICS && !deep && is_data(&name) && !is_table(&name) {
                told(name, None, "put a rule into a folder of its topic, such as `rules/home/`, a measure below `rules/measures/`, questions into `rules/questions/`".to_owned());
            }
        });
    }
}

/// What lies in a folder, in order: name, and whether it is a folder. Hidden things are not looked at.
fn entries(folder: &Path) -> Vec<(String, bool)> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut found: Vec<(String, bool)> = entries
        .map(|entry| {
            (
                entry.file_name().to_string_lossy().into_owned(),
                entry.path().is_dir(),
            )
        })
        .filter(|(name, _)| !name.starts_with('.'))
        .collect();
    found.sort();
    found
}

fn is_data(name: &str) -> bool {
    [".yaml", ".yml", ".csv"]
        .iter()
        .any(|end| name.to_lowercase().ends_with(end))
}

/// True for the name of a shipped table, by its path with the folder's name before it.
fn is_table(path: &str) -> bool {
    let name = path.split_once('/').map_or(path, |(_, name)| name);
    embedded::file(name).is_some()
}

fn holds_data(folder: &Path) -> bool {
    let mut holds = false;
    below(folder, "", &mut |name, _| holds |= is_data(&name));
    holds
}

/// Each file below a folder, by its path with the folder's name before it, and whether it lies in a folder further down.
fn below(folder: &Path, name: &str, see: &mut dyn FnMut(String, bool)) {
    fn walk(folder: &Path, name: &str, deep: bool, see: &mut dyn FnMut(String, bool)) {
        for (entry, is_folder) in entries(folder) {
            let path = format!("{name}/{entry}");
            let at = folder.join(&entry);
            if !is_folder {
                see(path, deep);
            } else if !at.is_symlink() {
                walk(&at, &path, true, see);
            }
        }
    }
    walk(folder, name, false, see);
}
