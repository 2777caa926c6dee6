//! Rates and their like, learned from days driven through the rules.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod day;
mod heat;
#[allow(dead_code, reason = "the properties use all of it")]
#[path = "../properties/kitchen.rs"]
mod kitchen;
mod learned;
#[path = "../properties/orders.rs"]
mod orders;
mod play;
mod published;
mod recovery;
mod sloppy;
mod spans;
mod taps;

/// Whether a number is another within a relative tolerance.
#[track_caller]
pub fn close(found: f64, expected: f64, relative: f64) {
    let off = (found - expected).abs();
    assert!(
        off <= relative * expected.abs().max(1e-12),
        "{found} is not {expected}"
    );
}
