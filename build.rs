//! Writes the rulebook into the program: the text of every data file in `rules/`, the tree of every YAML file, and the fingerprint of
//! the whole, so that a command that starts has nothing to parse.
//!
//! This is a program of its own. It names the YAML library once more, because the rest of the crate, with what hides the library
//! there, is not built yet when it runs. Trees grow, are packed and are fingerprinted by the very files of the crate that read them
//! back, and a test holds each against its text.

// Parts of the crate, of which this program needs a few functions only.
#[allow(dead_code, unreachable_pub)]
#[path = "src/fingerprint.rs"]
mod fingerprint;
#[allow(dead_code, unreachable_pub)]
#[path = "src/tree/mod.rs"]
mod tree;

use std::error::Error;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() -> Result<(), Box<dyn Error>> {
    // Both folders are built in whole: any file that is added, changed or removed counts.
    println!("cargo:rerun-if-changed=rules");
    println!("cargo:rerun-if-changed=templates");
    let rules = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?).join("rules");
    let mut files = Vec::new();
    gather(&rules, "", &mut files)?;
    files.sort();
    let mut out = String::from(
        "/// All of them, in the order of their paths.\npub static RULES: &[Embedded] = &[\n",
    );
    let mut parts: Vec<String> = Vec::new();
    for (name, path) in files {
        let label = format!("rules/{name}");
        let text = fs::read_to_string(&path).map_err(|error| format!("{label}: {error}"))?;
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        let tree = name
            .ends_with(".yaml")
            .then(|| packed(&label, text))
            .flatten();
        writeln!(
            out,
            "    Embedded {{ label: {label:?}, text: {text:?}, tree: {tree:?} }},"
        )?;
        parts.extend([name, text.to_owned()]);
    }
    let parts: Vec<&[u8]> = parts.iter().map(String::as_bytes).collect();
    writeln!(
        out,
        "];\n\n/// SHA-256 over every path and text of [`RULES`], as 64 hexadecimal digits.\npub const FINGERPRINT: &str = {:?};",
        fingerprint::of_parts(&parts)
    )?;
    fs::write(Path::new(&env::var("OUT_DIR")?).join("rules.rs"), out)?;
    Ok(())
}

/// The tree of a YAML text, written as one text. `None` where the text cannot be read: the program can, and says what is wrong.
fn packed(label: &str, text: &str) -> Option<String> {
    let reader = serde_yaml::Deserializer::from_str(text);
    match tree::grow::grow(reader, tree::grow::MAX_ENTRIES) {
        Ok(node) if !node.has_repeated_key() => Some(tree::packed::pack(&node)),
        _ => {
            println!("cargo:warning={label} has a mistake; `perchside rules check` tells which");
            None
        }
    }
}

/// All data files below a folder, each by its name with `/` between parts.
fn gather(
    folder: &Path,
    before: &str,
    files: &mut Vec<(String, PathBuf)>,
) -> Result<(), Box<dyn Error>> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let path = entry.path();
        let name = format!("{before}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            gather(&path, &format!("{name}/"), files)?;
        } else if name.ends_with(".yaml") || name.ends_with(".csv") {
            files.push((name, path));
        }
    }
    Ok(())
}
