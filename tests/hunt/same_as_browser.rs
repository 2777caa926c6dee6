//! The simulation's devices against the browser's own code, which Node runs: the same inputs make
//! both do the same, or the runs say nothing about the browser.

use crate::plan::Planner;
use crate::world::World;
use serde_json::json;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

/// These have every kind of input among them.
const SEEDS: std::ops::Range<u64> = 0..12;

#[test]
fn the_browsers_own_board_does_what_the_simulated_one_does() {
    let planner = Planner::new();
    let mut records = Vec::new();
    for seed in SEEDS {
        let plan = planner.plan(seed);
        let mut world = World::new(&plan, true);
        world.run().unwrap();
        for device in &world.devices {
            let record = json!({ "seed": seed, "device": device.place, "trace": device.trace,
                                 "end": device.board.seen() });
            serde_json::to_writer(&mut records, &record).unwrap();
            records.push(b'\n');
        }
    }
    for input in [
        "open",
        "send",
        "take-back",
        "line",
        "text",
        "timer",
        "answer",
        "view",
    ] {
        let told = format!(r#""do":"{input}""#);
        let met = records
            .windows(told.len())
            .any(|piece| piece == told.as_bytes());
        assert!(met, "no run has the input {input}");
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hunt/replay.js");
    let mut node = Command::new("node")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("Node.js runs the browser's code");
    let mut input = node.stdin.take().unwrap();
    let writing = std::thread::spawn(move || input.write_all(&records));
    let output = node.wait_with_output().unwrap();
    let (said, wrong) = (
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr),
    );
    assert!(output.status.success(), "{said}{wrong}");
    writing.join().unwrap().unwrap();
    assert!(said.contains("did the same"), "{said}");
}
