//! Written days, replayed through the rules, and the fixtures they start from.

#![allow(clippy::unwrap_used)]

mod lines;
mod look_back;
mod orchard_day;
mod over_the_network;
mod played_day;
mod ready_kitchens;
