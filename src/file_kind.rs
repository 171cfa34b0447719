//! What kind of data file a tree is, by the keys that only that kind has: so that a file in the wrong folder is told as that.

use crate::tree::Node;

/// A kind of data file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// A rule.
    Rule,
    /// A gate.
    Gate,
    /// A measure.
    Measure,
    /// A group of questions.
    Question,
    /// A departure of a practice.
    Departure,
    /// `practice.yaml`.
    Practice,
}

impl FileKind {
    /// The kind a tree shows by its keys; `None` where they do not tell.
    #[must_use]
    pub fn told_by(root: &Node<'_>) -> Option<Self> {
        let has = |key: &str| root.get(key).is_some_and(|node| *node != Node::Blank);
        if has("opens") || has("needs") {
            Some(Self::Gate)
        } else if has("then") {
            Some(Self::Rule)
        } else if has("control") && (has("do") || has("never")) {
            Some(Self::Measure)
        } else if has("questions") {
            Some(Self::Question)
        } else if has("rule") && (has("reason") || has("until")) {
            Some(Self::Departure)
        } else {
            None
        }
    }

    /// What it is, in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Rule => "a rule",
            Self::Gate => "a gate",
            Self::Measure => "a measure",
            Self::Question => "a group of questions",
            Self::Departure => "a departure",
            Self::Practice => "what a practice says of itself",
        }
    }

    /// Where it belongs, in words.
    #[must_use]
    pub fn belongs(self) -> &'static str {
        match self {
            Self::Rule | Self::Gate => {
                "a folder of its topic below `rules/`, such as `rules/home/`"
            }
            Self::Measure => "a folder below `rules/measures/`, such as `rules/measures/home/`",
            Self::Question => "`rules/questions/`",
            Self::Departure => "`departures/` in the practice's folder",
            Self::Practice => "`practice.yaml` in the practice's folder",
        }
    }
}
