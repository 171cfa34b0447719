//! The language of conditions: three-valued truth, facts by name, phrases, and conditions made of them.

pub mod condition;
pub mod parse;
pub mod phrase;
pub mod reach;
pub mod truth;

pub use condition::{Condition, FactRef, Quantifier};
pub use phrase::{Range, Test};
pub use truth::Truth;
