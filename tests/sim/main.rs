//! The simulation against hand calculations, closed forms and an independent engine.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod build;
mod by_hand;
mod day;
mod laws;
mod queues;
