//! Tests of the day's rules through its public doors alone, one module per subject.

#![allow(clippy::unwrap_used)]

mod boundaries;
mod kitchen;
mod look_back;
mod needs;
mod refusals;
mod safety;
mod ways;
mod wire;
