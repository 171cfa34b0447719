//! The record of a case: who read which plan and signed it, which papers went out under that signature, and whether all of it is
//! still what it was.
//!
//! The record is a plain file beside the intake, one entry a line, and only ever grows. Each entry ends in the hash of its own bytes
//! and holds the hash of the entry before it, so that a byte changed, or an entry taken out, put in or moved, shows. Whoever
//! writes the whole file anew, or cuts entries off its end, leaves a record that is sound in itself: what contradicts it then are the papers
//! outside, which quote the entry they were signed under.
//!
//! | part | holds |
//! |---|---|
//! | [`Entry`], [`Kind`] | one entry |
//! | [`Chain`], [`append`] | the record as a whole, and one entry more |
//! | [`Seal`], [`Part`] | what a signature covers |
//! | [`Found`] | the same as it is found now, whatever of it cannot be read |
//! | [`reasons`], [`refusals`] | when a second reader is needed, and who may sign |
//! | [`sign`], [`withdraw`], [`note`] | what people add |
//! | [`Standing`] | what the record says of a plan |
//! | [`issue`] | the papers of a signed plan |
//! | [`verify`] | whether a case or a paper is what the record says |

mod add;
mod chain;
mod entry;
mod found;
mod issue;
mod outcomes;
mod rights;
mod seal;
mod second_reader;
mod standing;
pub mod verify;

pub use add::{Signed, Who, note, sign, withdraw};
pub use chain::{Added, Broken, Chain, MAX_BYTES, Moment, append, record_of};
pub use entry::{Entry, FIRST, Issue, IssuedPaper, Kind};
pub use found::{Found, Read};
pub use issue::issue;
pub use rights::refusals;
pub use seal::{OfPractice, OfRulebook, Part, Seal};
pub use second_reader::{Needed, reasons};
pub use standing::Standing;
