//! Keys that are written more than once in one place: a mistake in every file, whatever it is written in.

use crate::mistake::Problem;
use crate::mistakes::file::DuplicateKey;
use crate::source::Source;
use crate::tree::{Node, Path, Places};

/// Every key that is written more than once in one place.
///
/// # Errors
/// All of them, each at its second and later place; `places` is called only then.
pub fn refuse(
    source: &Source,
    root: &Node<'_>,
    places: impl Fn() -> Places,
) -> Result<(), Vec<Problem>> {
    if !root.has_repeated_key() {
        return Ok(());
    }
    let mut repeated = Vec::new();
    find(root, &Path::default(), &mut repeated);
    let places = places();
    Err(repeated
        .into_iter()
        .map(|(path, nth, key)| {
            Problem::at(source.place(places.key(&path, nth)), DuplicateKey { key })
        })
        .collect())
}

fn find(node: &Node<'_>, path: &Path, found: &mut Vec<(Path, usize, String)>) {
    match node {
        Node::List(items) => {
            for (at, item) in items.iter().enumerate() {
                find(item, &path.index(at), found);
            }
        }
        Node::Map(entries) => {
            let mut seen = std::collections::HashMap::<&str, usize>::new();
            for (key, value) in entries {
                let times = seen.entry(key).or_default();
                let here = path.key(key);
                if *times > 0 {
                    found.push((here.clone(), *times, key.to_string()));
                }
                *times += 1;
                find(value, &here, found);
            }
        }
        _ => {}
    }
}
