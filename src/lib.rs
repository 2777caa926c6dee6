//! Putby: a live station board for a family's preserving day.
pub mod day;
