//! The library behind the `putby` program: the trade's facts and the program's commands.
//!
//! Everything that can be tested without a terminal or a network lives here. `main.rs` only picks
//! the command. Invariant: modules lower in the list of layers never use one above them.

pub mod cli;
pub mod trade;
