//! Measures: one thing a household does, or never does.

use super::outcome::Start;
use super::rule::Layer;
use super::scale::scale;
use crate::mistake::Place;

scale! {
    /// The hierarchy of controls in its published order (NIOSH): elimination, substitution, engineering, administrative,
    /// protective gear. What needs nobody's attention comes first.
    Control {
        /// The hazard is taken away.
        Remove = "remove",
        /// The hazard is replaced by a lesser one.
        Replace = "replace",
        /// Something solid stands in between.
        Barrier = "barrier",
        /// People do something in a set way.
        Routine = "routine",
        /// Something is worn. Last, and never alone.
        Gear = "gear",
    }
}

scale! {
    /// The humane order of procedures, least intrusive first (Friedman 2008, as adopted by a certification council in 2009).
    /// Positive punishment has no place in it here.
    HumaneStep {
        /// Health, food and body.
        Health = "health",
        /// Setting and what comes before.
        Setting = "setting",
        /// Reward for what is wanted.
        Reward = "reward",
        /// Reward for something else in its place.
        Alternative = "alternative",
        /// Planned loss of attention or distance.
        Consequence = "consequence",
    }
}

scale! {
    /// How soon a measure starts.
    Urgency {
        /// Today.
        Today = "today",
        /// This week.
        ThisWeek = "this week",
        /// Later.
        Later = "later",
        /// A standing order: whenever it happens.
        WhenItHappens = "when it happens",
    }
}

/// A thing to do, or a thing never to do with what to do instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MeasureKind {
    /// Something one does.
    Do {
        /// What to do.
        what: String,
        /// Who does it.
        who: String,
        /// When.
        when: String,
        /// How soon it starts.
        start: Urgency,
        /// How to know that it is done.
        done: String,
        /// Only once work may start this loosely; set for training steps.
        only_from: Option<Start>,
        /// What releases it from the later list.
        starts_when: Option<String>,
        /// Measures it makes needless, by id.
        covers: Vec<String>,
        /// Measures that wait until this one is done, by id.
        comes_before: Vec<String>,
    },
    /// Something one never does.
    Never {
        /// What not to do.
        what: String,
        /// What to do instead.
        instead: String,
        /// Measures it rules out, by id.
        rules_out: Vec<String>,
    },
}

/// A measure.
#[derive(Debug, Clone)]
pub struct Measure {
    /// Its id, the name of its file.
    pub id: String,
    /// A short name.
    pub title: String,
    /// What it says.
    pub kind: MeasureKind,
    /// Why, in one sentence.
    pub why: String,
    /// True when it is about one person and lands on that person's card.
    pub for_person: bool,
    /// Its place in the hierarchy of controls.
    pub control: Control,
    /// Its place in the humane order.
    pub step: HumaneStep,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// Whose it is. A shipped measure with a practice's sentences is the practice's.
    pub layer: Layer,
    /// Where it stands.
    pub place: Place,
}

impl Measure {
    /// True for a thing never to do.
    #[must_use]
    pub fn is_never(&self) -> bool {
        matches!(self.kind, MeasureKind::Never { .. })
    }

    /// The start mode a training step waits for.
    #[must_use]
    pub fn only_from(&self) -> Option<Start> {
        match &self.kind {
            MeasureKind::Do { only_from, .. } => *only_from,
            MeasureKind::Never { .. } => None,
        }
    }
}
