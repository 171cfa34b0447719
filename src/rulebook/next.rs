//! The rules of the next step: from what the log shows to where the next session starts. They only ever tighten.

use crate::facts::Facts;
use crate::language::Condition;
use crate::mistake::Place;

use super::rule::ExampleKind;
use super::scale::scale;

scale! {
    /// Where the next session starts, in words. Each is a step of the list; the easiest of those that are asked for wins.
    Begin {
        /// The start step of the last session.
        SameStart = "same start",
        /// One step back from the start of the last session.
        OneLower = "one lower",
        /// Two steps back from the start of the last session.
        TwoLower = "two lower",
        /// The last step that was calm in three good sessions in a row, or the first start without one.
        LastFloor = "last floor",
        /// The step the list starts with.
        FirstStep = "first step",
        /// A new list of steps, once the distances are measured again.
        NewList = "new list",
    }
}

scale! {
    /// How far the next session may go. Each is a step of the list; the easiest of those that are asked for wins.
    Cap {
        /// One step past the best calm one.
        OneNewStep = "one new step",
        /// The best calm step of the last session.
        BestCalm = "best calm step",
        /// The best calm step of the newest session without an amber sign, a threat or a red sign.
        LastGreen = "last green step",
        /// No further than where it starts.
        TheStart = "the start step",
    }
}

scale! {
    /// When the next session may be.
    After {
        /// Any day.
        AnyDay = "any day",
        /// Not on the same day.
        NextDay = "next day",
        /// Not before the consultant has called.
        Call = "after a call",
        /// Not before the consultant has agreed in writing.
        Restart = "after a written restart",
    }
}

scale! {
    /// What may be done.
    Work {
        /// The steps.
        Steps = "list of steps",
        /// No steps: its place and treats with someone it is calm with, or rest.
        Easy = "easy work",
        /// No practice at all.
        None = "none",
    }
}

scale! {
    /// When the household tells the consultant.
    Tell {
        /// There is no need.
        NoNeed = "none",
        /// At the next contact.
        NextContact = "at the next contact",
        /// The same day.
        SameDay = "same day",
        /// Now.
        AtOnce = "at once",
    }
}

/// What a rule of the next step changes.
#[derive(Debug, Clone, Default)]
pub struct NextThen {
    /// It starts no further than this.
    pub begin: Option<Begin>,
    /// It goes no further than this.
    pub cap: Option<Cap>,
    /// It is a third shorter.
    pub shorter: bool,
    /// It is not before this.
    pub after: Option<After>,
    /// No more than this is done.
    pub work: Option<Work>,
    /// The consultant hears of it no later than this.
    pub tell: Option<Tell>,
    /// What is looked at, by id.
    pub check: Vec<String>,
}

impl NextThen {
    /// True when it makes the next session easier, shorter or later, or has the consultant told; false when it only asks to look
    /// at something.
    #[must_use]
    pub fn tightens(&self) -> bool {
        self.begin.is_some()
            || self.cap.is_some()
            || self.shorter
            || self.after.is_some()
            || self.work.is_some()
            || self.tell.is_some()
    }
}

/// Facts and what the rule makes of them.
#[derive(Debug, Clone)]
pub struct NextExample {
    /// What it is to show; never `blank`.
    pub kind: ExampleKind,
    /// The facts. What is not named does not apply.
    pub facts: Facts,
    /// Where it stands.
    pub place: Place,
}

/// A rule of the next step.
#[derive(Debug, Clone)]
pub struct NextRule {
    /// Its id, the name of its file.
    pub id: String,
    /// What it is about.
    pub title: String,
    /// The trade's reason.
    pub why: String,
    /// The reason in words for the household.
    pub tell: String,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// Rules that the household need not hear when it hears this one.
    pub covers: Vec<String>,
    /// When it speaks.
    pub when: Condition,
    /// What it changes.
    pub then: NextThen,
    /// Examples of it.
    pub examples: Vec<NextExample>,
    /// Where it stands.
    pub place: Place,
}

/// Something to look at when work does not go on.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Check {
    /// Its id.
    pub id: String,
    /// What it is.
    pub title: String,
    /// What the consultant works through.
    pub ask: String,
    /// What the household does.
    pub tell: String,
    /// Keys of its sources.
    pub source: Vec<String>,
}
