//! The library behind the `putby` program: a live station board for a family's preserving day.
//!
//! Everything that can be tested without a terminal or a network lives here. `main.rs` only picks
//! the command. Imports go downwards only: `trade` knows nothing of a day, `day` nothing of a
//! journal or a network.
//!
//! The path of one tap: `server::commands` reads it, `engine` queues it to its day's thread, `day`
//! decides, `journal` puts the events on disk, `engine` shows the new view to every device through
//! `server::live`, and then the tap is answered.

pub mod analyst;
pub mod cli;
pub mod clock;
pub mod config;
pub mod copies;
pub mod day;
pub mod demo;
pub mod engine;
pub mod journal;
pub mod lookback;
pub mod measures;
pub mod outlook;
pub mod pace;
pub mod prepare;
pub mod server;
pub mod shelf;
pub mod sim;
pub mod trace;
pub mod trade;
