//! What to make: the family's ask.
#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use putby::prepare::{Ask, Settings, propose};
#[test]
fn show() {
    let text = include_str!("../../fixtures/prepare/family.json");
    let ask: Ask = serde_json::from_str(text).unwrap();
    let at = std::time::Instant::now();
    let told = propose(&ask, &Settings { runs: 100, seed: 1 }).unwrap();
    println!("{:?}", at.elapsed());
    let mut v = serde_json::to_value(&told).unwrap();
    v.as_object_mut().unwrap().remove("plan");
    println!("{}", serde_json::to_string_pretty(&v).unwrap());
}
