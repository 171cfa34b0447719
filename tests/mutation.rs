//! Every threshold, level, choice and quantifier of every rule is changed one at a time; the examples notice.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::collections::BTreeMap;
use std::path::Path;

use perchside::decision::mutate::mutate;
use perchside::library::Library;
use perchside::rulebook::{Care, Rulebook};

#[test]
fn examples_notice_changed_rules() {
    let (rulebook, _) = Rulebook::load(&Library::embedded(), Care::Full).unwrap();
    let mutation = mutate(&rulebook);
    let noticed = mutation.tried - mutation.unnoticed.len();
    println!("{noticed} of {} changes noticed", mutation.tried);
    assert!(mutation.tried > 700);
    assert!(
        noticed * 100 >= mutation.tried * 95,
        "{noticed} of {}",
        mutation.tried
    );
    // Each of the others is known, with a reason; and no reason outlives its change.
    let text =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/unnoticed.txt"))
            .unwrap();
    let mut reasons: BTreeMap<&str, &str> = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty())
        .map(|line| line.split_once(" | ").unwrap())
        .collect();
    let unknown: Vec<String> = mutation
        .unnoticed
        .iter()
        .map(|u| format!("{}: {}", u.id, u.change))
        .filter(|line| reasons.remove(line.as_str()).is_none())
        .collect();
    assert_eq!(
        unknown,
        Vec::<String>::new(),
        "without a reason in tests/unnoticed.txt"
    );
    assert!(reasons.is_empty(), "noticed by now: {reasons:?}");
}
