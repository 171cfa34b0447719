//! What a consultant overrules in one case. It travels with the answers, so that whoever decides the case meets it; it is no answer
//! about the bird, and no rule can speak of it.

use jiff::civil::Date;
use serde::Serialize;

/// One entry of a case's departures: for each ordered outcome the step it is to stand at, if any.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Overruling {
    /// Steps from the loosest, for risk, start, contact and vet.
    #[serde(skip)]
    pub steps: [Option<u8>; 4],
    /// Why.
    pub reason: String,
    /// Who says so.
    pub by: String,
    /// Who read it as well.
    pub second: Option<String>,
    /// Its first day.
    pub date: Date,
    /// Its last day.
    pub until: Date,
}
