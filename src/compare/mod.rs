//! What a change of rules does: the difference of two sets of rules, what it changes for each open case, and two cases side by side.
//!
//! | part | does |
//! |---|---|
//! | [`Way`] | the one place that says what tighter and looser mean |
//! | `breadth` | whether one condition holds of every case another one holds of |
//! | [`Side`] | one set of rules, loaded |
//! | [`Difference`] | what differs between two sets of rules |
//! | `lines` | a plan as lines that can be told apart |
//! | [`Comparison`] | one case under two sets: outcomes, lines, and `because` of which rules |
//! | [`Report`] | all cases, worst first |
//! | [`page`] | the same on paper and on screen |
//! | [`pair`] | two cases side by side under one set |

mod because;
mod breadth;
mod case;
mod item;
mod lines;
mod measures;
pub mod page;
pub mod pair;
mod report;
mod rules;
mod side;
mod way;

pub use because::Because;
pub use case::{
    CaseChange, Comparison, Fault, LineChange, LineWhat, OutcomeChange, Seen, Unreadable,
};
pub use item::{Detail, Item, What};
pub use lines::{Asked, Section};
pub use report::{Cases, Report};
pub use rules::{Age, DepartureAbout, Difference, Editions};
pub use side::{BUILT_IN, EditionAbout, Named, Side, SideAbout};
pub use way::Way;
