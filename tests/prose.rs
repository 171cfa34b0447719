//! Words for the household stand in `rules/` and `templates/`, not in the program.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

/// String literals of a source text, outside comments and tests.
fn literals(text: &str) -> Vec<String> {
    let text = text.split("#[cfg(test)]").next().unwrap_or_default();
    let mut found = Vec::new();
    for line in text.lines() {
        let line = line.trim_start();
        if line.starts_with("//") {
            continue;
        }
        let mut rest = line;
        while let Some(start) = rest.find('"') {
            let after = &rest[start + 1..];
            let Some(end) = after.find('"') else { break };
            found.push(after[..end].to_owned());
            rest = &after[end + 1..];
        }
    }
    found
}

fn walk(folder: &Path, see: &mut impl FnMut(&Path, &str)) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            walk(&path, see);
        } else if path.extension().is_some_and(|end| end == "rs") {
            see(&path, &std::fs::read_to_string(&path).unwrap());
        }
    }
}

#[test]
fn no_sentence_a_household_would_read_stands_in_the_program() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    walk(&src, &mut |path, text| {
        let below = path
            .strip_prefix(&src)
            .unwrap()
            .to_string_lossy()
            .into_owned();
        // Mistakes, the command line, and what an editor shows of a rule file speak to whoever writes the form or the rule.
        let to_writers = [
            "mistakes",
            "cli",
            "papers/schema",
            "file_kind.rs",
            "house/strays.rs",
        ];
        if to_writers.iter().any(|part| below.starts_with(part)) {
            return;
        }
        for literal in literals(text) {
            // Names of facts are no sentences.
            if !literal.contains(' ') {
                continue;
            }
            let lower = literal.to_lowercase();
            let words: Vec<&str> = lower
                .split(|c: char| !c.is_alphabetic())
                .filter(|w| !w.is_empty())
                .collect();
            let household = [
                "bird", "bite", "bites", "vet", "child", "person", "people", "cage", "treat",
                "home", "doctor",
            ];
            if words.len() >= 4 && words.iter().any(|word| household.contains(word)) {
                found.push(format!("{below}: {literal}"));
            }
        }
    });
    assert_eq!(found, Vec::<String>::new());
}

/// `src/yaml.rs` is the only file that names the YAML library.
#[test]
fn one_file_names_the_yaml_library() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    walk(&src, &mut |path, text| {
        if text.contains("serde_yaml") || text.contains("yaml_serde") {
            found.push(path.file_name().unwrap().to_string_lossy().into_owned());
        }
    });
    assert_eq!(found, ["yaml.rs"]);
}

/// The clock is read in `main` alone, and nothing reaches for a network.
#[test]
fn the_clock_is_read_in_one_place_and_the_network_nowhere() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    walk(&src, &mut |path, text| {
        let main = path.file_name().is_some_and(|name| name == "main.rs");
        for word in ["now()", "SystemTime", "Instant"] {
            assert!(main || !text.contains(word), "{}: {word}", path.display());
        }
        for word in ["std::net", "TcpStream", "reqwest"] {
            assert!(!text.contains(word), "{}: {word}", path.display());
        }
    });
}
