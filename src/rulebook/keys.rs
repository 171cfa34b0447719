//! The keys of rule, gate and measure files. The readers and the schemas for editors both go by these lists.

/// Folders below the root that hold no rules.
pub const NOT_RULES: &[&str] = &[
    "questions",
    "measures",
    "cases",
    "species",
    "log",
    "next-step",
    "languages",
];

/// The keys of a rule.
pub const RULE: &[&str] = &[
    "id",
    "title",
    "why",
    "tell",
    "source",
    "for each",
    "priority",
    "floor",
    "review-by",
    "between",
    "when",
    "then",
    "examples",
];

/// What a rule can be about apart: `for each: person`.
pub const FOR_EACH: &[&str] = &["person"];

/// The keys of `then`: the ordered outcomes first.
pub const THEN: &[&str] = &[
    "risk", "start", "contact", "vet", "do", "never", "refer", "ask",
];

/// How many keys of [`THEN`] are ordered outcomes. A rule with one of them is a guard.
pub const ORDERED: usize = 4;

/// The keys of a gate.
pub const GATE: &[&str] = &[
    "id", "title", "why", "tell", "source", "opens", "needs", "examples",
];

/// The keys that a gate has and a rule has not.
pub const ONLY_GATE: &[&str] = &["opens", "needs"];

/// The keys of one entry of `needs`.
pub const NEED: &[&str] = &["prove", "when"];

/// The keys of a measure, of things to do and of things never to do.
pub const MEASURE: &[&str] = &[
    "id",
    "title",
    "do",
    "never",
    "instead",
    "why",
    "for",
    "who",
    "when",
    "start",
    "done",
    "control",
    "step",
    "source",
    "only-from",
    "starts-when",
    "covers",
    "comes-before",
    "rules-out",
];

/// The keys that only a thing to do has.
pub const ONLY_DO: &[&str] = &[
    "do",
    "who",
    "when",
    "start",
    "done",
    "only-from",
    "starts-when",
    "covers",
    "comes-before",
];

/// How many keys of [`ONLY_DO`] a thing to do needs.
pub const NEEDED_DO: usize = 5;

/// The keys that only a thing never to do has, besides `never` itself.
pub const ONLY_NEVER: &[&str] = &["instead", "rules-out"];

/// Whom a measure is for.
pub const MEASURE_FOR: &[&str] = &["household", "person"];
