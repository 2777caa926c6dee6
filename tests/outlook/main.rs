//! The outlook of whole days: against how they really went on.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod command;
#[path = "../properties/kitchen.rs"]
#[allow(
    dead_code,
    reason = "the kitchen of the random days is used without its list of facts"
)]
mod kitchen;
mod ledgers;
#[path = "../properties/orders.rs"]
mod orders;
mod played;
mod process;
mod random_days;
mod report;
mod support;
