//! Invented forms in any number: first messages and full forms, made from the example homes and the expert cases, varied by the
//! questionnaire's own types. The same seed gives the same forms. Shared by the example that writes them and the test that reads them.
//!
//! | file | holds |
//! |---|---|
//! | `generator` | makes the form of a number |
//! | `random` | numbers from a seed |
//! | `homes` | the homes that forms are made from |
//! | `form` | a form while it is made |
//! | `pool` | what all homes answered, and an answer that fits a question |
//! | `vary` | one home turned into another |
//! | `days` | dates that move with the day |
//! | `heading` | when a form came, who sent it, how they are reached |
//! | `made_up` | references and contacts |
//! | `sound` | forms held against the program's own readers while they are made |
//! | `first_message` | what a first message keeps, and how long forms are |
//! | `spoil` | forms with something wrong |
//! | `write` | YAML, JSON, cells of a table |

pub(crate) mod days;
pub(crate) mod first_message;
pub(crate) mod form;
pub(crate) mod generator;
pub(crate) mod heading;
pub(crate) mod homes;
pub(crate) mod made_up;
pub(crate) mod pool;
pub(crate) mod random;
pub(crate) mod sound;
pub(crate) mod spoil;
pub(crate) mod vary;
pub(crate) mod write;
