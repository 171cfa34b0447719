//! `perchside` turns a YAML intake about a companion parrot that bites into a decision with reasons and a written household
//! protocol.
//!
//! ```text
//! intake.yaml ─► answers ─► facts ─► decision ─► plan ─► papers (Markdown, HTML, JSON)
//!                  ▲          ▲          ▲         ▲
//!           questionnaire  figures   rulebook   templates
//!                                  │
//!        log.yaml ─► log ─► review ┘ (the form with what the log adds, decided again)
//! ```
//!
//! | stage | module |
//! |---|---|
//! | the questions, as data | [`questionnaire`] |
//! | one intake read against them | [`answers`] |
//! | the arithmetic | [`figures`] |
//! | the graded approach, one small change at a time | [`ladder`] |
//! | what rules can speak of, and its values | [`facts`] |
//! | conditions and three-valued truth | [`language`] |
//! | what is known of each kind of parrot, and of each place | [`species`], [`regions`] |
//! | rules, gates, measures, sources | [`rulebook`] |
//! | the verdict with its whole trace | [`decision`] |
//! | what a household practises: lists of steps, how much, how long | [`training`] |
//! | the log of sessions and days, and one entry more | [`log`] |
//! | where the next session starts, from form and log | [`review`] |
//! | what goes on paper | [`plan`] |
//! | Markdown and HTML | [`papers`] |
//! | when a reply is due | [`hours`] |
//! | one file a command | [`cli`] |
//!
//! Data travels one way, left to right; imports point the other way. The clock is read nowhere but in `main`.

pub mod answers;
pub mod case_file;
pub mod cli;
pub mod clock;
pub mod compare;
pub mod customary;
pub mod dates;
pub mod decision;
pub mod embedded;
pub mod facts;
pub mod fields;
pub mod figures;
pub mod fingerprint;
pub mod hours;
pub mod house;
pub mod inbox;
pub mod intake;
pub mod json;
pub mod ladder;
pub mod language;
pub mod library;
pub mod log;
pub mod mistake;
pub mod mistakes;
pub mod moment;
pub mod names;
pub mod papers;
pub mod plan;
pub mod questionnaire;
pub mod redact;
pub mod regions;
pub mod repeated_keys;
pub mod review;
pub mod rulebook;
pub mod source;
pub mod species;
pub mod templates;
pub mod tongue;
pub mod training;
pub mod tree;
pub mod triage;
pub mod units;
pub mod wording;
pub mod words;
pub mod yaml;
