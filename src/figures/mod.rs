//! The arithmetic a plan rests on: plain functions with units in their names. Knows numbers only: no files, no wording, no rules,
//! and nothing but the standard library.

pub mod agreement;
pub mod approach;
pub mod bars;
mod binomial;
pub mod enclosure;
pub mod energy;
pub mod floor_plan;
pub mod food;
pub mod input;
pub mod interval;
pub mod mastery;
pub mod preference;
pub mod psittacosis;
pub mod reach;
pub mod repetitions;
pub mod run_chart;
pub mod sequential;
pub mod sign;
pub mod single_case;
pub mod size;
pub mod span;
pub mod tetanus;
pub mod trend;
pub mod vet_marks;
pub mod weight;
pub mod wilson;
pub mod wounds;
