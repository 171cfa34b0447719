//! The arithmetic a plan rests on: plain functions with units in their names. Knows numbers only.

pub mod weight;
