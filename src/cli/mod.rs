//! The commands of the program, one module each.
//!
//! A command turns its arguments into text and an exit code. It holds no rules of the trade and no
//! rules of the day. Invariant: exit code 2 means bad usage, 3 means refused with a reason.

pub mod tested;
