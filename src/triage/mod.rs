//! Triage: every new enquiry ranked by who could be hurt and how soon, with what to ask first, and nothing lost.
//!
//! ```text
//! inbox ─► assess (checked, decided without its trace) ─► lines ─► board (ranked) ─► rows ─► papers
//! ```
//!
//! Each enquiry is assessed alone, so they can be taken in any order, on any number of threads, in any number of runs. Only the
//! board looks at several: it puts them in order and points out those of one household. Nothing is ever merged.

mod assess;
mod board;
mod desk;
mod line;
mod rank;
mod row;

pub use assess::{Assessed, ByHand, Fault};
pub use board::{Board, Counts};
pub use desk::Desk;
pub use line::{Ask, Line};
pub use rank::Rank;
pub use row::{AskRow, ByHandRow, Row};
