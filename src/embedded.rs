//! The rulebook inside the program: every data file with its text, and each YAML file with the tree its text stands for. `build.rs`
//! reads and writes them; nothing is parsed when the program starts.

/// A data file inside the program.
#[derive(Debug)]
pub struct Embedded {
    /// What mistakes call it: its path in the folder of rules, with `/` between parts, and `rules/` before it.
    pub label: &'static str,
    /// Its text, without a byte order mark.
    pub text: &'static str,
    /// Its tree, written by [`crate::tree::packed`]. `None` for what is no YAML, and for YAML that could not be read while the program
    /// was built: the reader of texts tells then what is wrong with it.
    pub tree: Option<&'static str>,
}

impl Embedded {
    /// Its path below the folder of rules.
    #[must_use]
    pub fn path(&self) -> &'static str {
        self.label.strip_prefix("rules/").unwrap_or(self.label)
    }
}

include!(concat!(env!("OUT_DIR"), "/rules.rs"));

/// One file by its path.
#[must_use]
pub fn file(path: &str) -> Option<&'static Embedded> {
    RULES
        .binary_search_by(|file| file.path().cmp(path))
        .ok()
        .map(|at| &RULES[at])
}
