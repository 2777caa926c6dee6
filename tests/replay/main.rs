//! Written days, replayed through the rules, and the fixtures they start from.

#![allow(clippy::unwrap_used)]

mod ready_kitchens;
