//! Rules and gates.

use jiff::civil::Date;

use crate::answers::Answers;
use crate::facts::Vocabulary;
use crate::language::{Condition, FactRef};
use crate::mistake::Place;

use super::departure::Departed;
use super::outcome::{Contact, Risk, Start, Vet};

/// What a rule changes.
#[derive(Debug, Clone, Default)]
pub struct Then {
    /// At least this risk.
    pub risk: Option<Risk>,
    /// No looser a start than this.
    pub start: Option<Start>,
    /// A reply within this.
    pub contact: Option<Contact>,
    /// A vet no later than this.
    pub vet: Option<Vet>,
    /// Measures to take, by id.
    pub do_: Vec<String>,
    /// Measures that say what never to do, by id.
    pub never: Vec<String>,
    /// Referrals, by id.
    pub refer: Vec<String>,
    /// Questions to ask, as `group.question`.
    pub ask: Vec<String>,
}

impl Then {
    /// True when the rule moves an ordered outcome: a guard. Otherwise it gives advice only.
    #[must_use]
    pub fn is_guard(&self) -> bool {
        self.risk.is_some() || self.start.is_some() || self.contact.is_some() || self.vet.is_some()
    }
}

/// What an example is to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExampleKind {
    /// The condition holds.
    Fires,
    /// The condition does not hold.
    Quiet,
    /// The condition is not known.
    Blank,
}

impl ExampleKind {
    /// The words written in rules.
    pub const WORDS: &[&str] = &["fires", "quiet", "blank"];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }

    /// All kinds.
    pub const ALL: &[Self] = &[Self::Fires, Self::Quiet, Self::Blank];
}

/// A part of an intake with what the rule makes of it.
#[derive(Debug, Clone)]
pub struct Example {
    /// What it is to show.
    pub kind: ExampleKind,
    /// The answers.
    pub answers: Answers,
    /// The day it is read on.
    pub today: Date,
    /// Where it stands.
    pub place: Place,
}

/// How early a rule's measures are taken when a paper has room for few. It orders what is printed, never what is decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Priority {
    /// Before the others: minors, people who are easily hurt.
    First,
    /// In the ordinary run.
    Normal,
    /// After the others.
    Last,
}

impl Priority {
    /// All of them, in order.
    pub const ALL: &[Self] = &[Self::First, Self::Normal, Self::Last];
    /// Their words, in order.
    pub const WORDS: &[&str] = &["first", "normal", "last"];
}

/// Whose a rule is. What a layer adds never loosens what a layer below it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Layer {
    /// The rulebook's own.
    #[default]
    Base,
    /// A practice's, from its own folder.
    Practice,
}

/// A rule: when a condition holds, outcomes tighten and measures land.
#[derive(Debug, Clone)]
pub struct Rule {
    /// Its id, the name of its file.
    pub id: String,
    /// The folder it lies in.
    pub topic: String,
    /// What it is about.
    pub title: String,
    /// The trade's reason, for the consultant.
    pub why: String,
    /// The reason in words for the household; empty for plain advice.
    pub tell: String,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// True when it speaks of each person apart.
    pub each_person: bool,
    /// For a contradiction: the facts whose answers do not go together.
    pub between: Vec<FactRef>,
    /// How early its measures are taken.
    pub priority: Priority,
    /// Whose it is.
    pub layer: Layer,
    /// True when nobody may loosen it: it belongs to the safety floor.
    pub floor: bool,
    /// By when it has to be looked at again, where that is sooner than its edition.
    pub review_by: Option<Date>,
    /// When it speaks.
    pub when: Condition,
    /// What it changes.
    pub then: Then,
    /// What it said before a practice departed from it.
    pub departed: Option<Departed>,
    /// True when its condition rests on a private answer, alone or with others.
    pub private: bool,
    /// Examples of it.
    pub examples: Vec<Example>,
    /// Where it stands.
    pub place: Place,
}

/// One thing that has to be true before a start mode opens.
#[derive(Debug, Clone)]
pub struct Need {
    /// What has to be true, in words for the household.
    pub prove: String,
    /// When it is true.
    pub when: Condition,
    /// True when it rests on a private answer.
    pub private: bool,
}

/// A gate: a start mode is open only when all gates of it, and of all tighter modes, are proven.
#[derive(Debug, Clone)]
pub struct Gate {
    /// Its id, the name of its file.
    pub id: String,
    /// The folder it lies in.
    pub topic: String,
    /// What it is about.
    pub title: String,
    /// The trade's reason.
    pub why: String,
    /// The reason in words for the household.
    pub tell: String,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// Whose it is. A gate always belongs to the safety floor.
    pub layer: Layer,
    /// Which start mode it opens.
    pub opens: Start,
    /// What has to be true.
    pub needs: Vec<Need>,
    /// Examples of it.
    pub examples: Vec<Example>,
    /// Where it stands.
    pub place: Place,
}

/// True when a condition rests on a private fact.
#[must_use]
pub(super) fn is_private(vocabulary: &Vocabulary, condition: &Condition) -> bool {
    let mut private = false;
    condition.visit(&mut |fact, _, _| private |= vocabulary.fact(fact).private);
    private
}
