//! Whole days of simulated people with hidden true rates, worked through the day's own rules: what
//! the board learns, foretells and proposes from taps alone, judged by what then happens.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod board;
mod draw;
mod heat;
mod kitchen;
mod many;
mod oracle;
mod people;
mod policies;
mod roam;
mod routes;
mod scores;
mod stock;
mod truth;
mod world;

mod calibration;
mod days;
mod rates;
mod value;
