//! The library behind the `putby` program: a live station board for a family's preserving day.
//!
//! Everything that can be tested without a terminal or a network lives here. `main.rs` only picks
//! the command. Imports go downwards only: `trade` knows nothing of a day, `day` nothing of a
//! journal or a network.

pub mod cli;
pub mod day;
pub mod trade;
