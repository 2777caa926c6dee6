//! What to make: against published figures, exhaustive search, a second solver and a season.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod ahead;
mod bad_input;
mod changes;
mod command;
mod figures;
mod never_for_the_shelf;
mod optimum;
mod own_days;
mod season;
mod support;
