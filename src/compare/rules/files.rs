//! Data files that differ in what is not compared part by part: tables of figures, species, triage, other languages, examples, comments.

use crate::compare::item::{Item, What};
use crate::compare::side::Side;
use crate::compare::way::Way;

/// Files whose text differs, and of which nothing was told so far.
pub(super) fn files(old: &Side, new: &Side, items: &mut Vec<Item>) {
    let of = |side: &Side| -> std::collections::BTreeMap<String, String> {
        let files = side.house.library.files.iter();
        files
            .map(|(path, source)| (path.clone(), source.text.to_string()))
            .collect()
    };
    let (old, new) = (of(old), of(new));
    let paths: std::collections::BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    let found: Vec<Item> = paths
        .into_iter()
        .filter(|path| old.get(*path) != new.get(*path) && !is_told(path, items))
        .map(|path| Item {
            kind: "file",
            id: path.clone(),
            title: String::new(),
            what: match (old.contains_key(path), new.contains_key(path)) {
                (false, _) => What::Added,
                (_, false) => What::Removed,
                _ => What::Changed,
            },
            way: Way::Neither,
            practice: false,
            details: Vec::new(),
        })
        .collect();
    items.extend(found);
}

/// True when what stands in a file was told as a thing.
fn is_told(path: &str, items: &[Item]) -> bool {
    let name = path.rsplit('/').next().unwrap_or(path);
    let stem = name.trim_end_matches(".yaml");
    let any = |kinds: &[&str]| items.iter().any(|item| kinds.contains(&item.kind));
    let this = |kinds: &[&str]| {
        items
            .iter()
            .any(|item| kinds.contains(&item.kind) && item.id == stem)
    };
    match path.split_once('/') {
        None => match stem {
            // Its edition stands at the head of the page.
            "rulebook" => true,
            "calls" => any(&["call"]),
            "contacts" => any(&["contact"]),
            "cautions" => any(&["caution"]),
            "referrals" => any(&["referral"]),
            "checks" | "figures" | "functions" | "ladder" | "practice" => {
                items.iter().any(|item| {
                    let part = if stem == "ladder" || stem == "practice" {
                        "sayings."
                    } else {
                        stem
                    };
                    item.kind == "sentence" && item.id.starts_with(part)
                })
            }
            _ => false,
        },
        Some(("measures", _)) => this(&["measure"]),
        Some(("questions", _)) => any(&["question", "question-group"]),
        Some(("languages", rest)) => rest.starts_with("en/") && !items.is_empty(),
        Some(_) => this(&["rule", "gate", "next-step"]),
    }
}
