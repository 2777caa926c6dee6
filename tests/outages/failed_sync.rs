//! The real program on a disk that fails to confirm a write: it acknowledges nothing more and ends
//! with an error, and what it had acknowledged is there at the next start. A disk that takes no
//! writes makes it read-only instead.
//!
//! The system's answers are changed by strace (Debian package `strace`) at the Nth call.

use crate::board::{Board, Wanted, program};
use crate::disks::runs;
use crate::load::{Load, Witness, open_day};
use crate::until;
use actix_web::rt::System;
use serde_json::{Value, json};
use std::process::Command;
use std::time::Instant;

pub const SKIPPED: &str = "SKIPPED, NOT PASSED (needs strace and the right to trace)";

/// Runs the program so that some of its `calls` fail with `error`, by each thread's own count.
pub fn under(calls: &str, error: &str, when: &str) -> Vec<String> {
    let inject = format!("inject={calls}:error={error}:when={when}");
    let words = ["strace", "-D", "-f", "-qq", "-o", "/dev/null", "-e"];
    let words = words.into_iter().map(str::to_owned);
    words
        .chain([format!("trace={calls}"), "-e".to_owned(), inject])
        .collect()
}

pub fn can_trace() -> bool {
    let mut traced = Command::new("strace");
    runs(
        traced
            .args(["-f", "-qq", "-o", "/dev/null", "-e", "trace=fsync"])
            .arg(program())
            .arg("--version"),
    )
}

/// From which sync on they fail: each number is a run of its own.
async fn syncs_fail_from(from: u32) {
    let mut board = Board::start(1);
    let day = open_day(&board).await;
    board.kill();
    board.run_as(Wanted {
        under: under("fsync,fdatasync", "EIO", &format!("{from}+")),
        ..Wanted::default()
    });
    board.start_again();
    let load = Load::begin(&board, &day, u64::from(from));
    let (mut ended, mut last) = (None, (0, Instant::now()));
    until(crate::PATIENCE, "the program to end", async || {
        if load.count() > last.0 {
            last = (load.count(), Instant::now());
        }
        ended = board.has_ended();
        ended.is_some()
    })
    .await;
    let gone = last.1.elapsed();
    let success = ended.is_some_and(|status| status.success());
    assert!(!success, "it must not end as if all were well");
    let acks = load.acks();
    board.run_as(Wanted::default());
    let began = Instant::now();
    board.start_again();
    let mut witness = Witness::of(&day);
    witness.check(&board, &acks).await;
    println!(
        "syncs fail from {from} on: {} acknowledged, gone {gone:?} after the last, all there after {:?}",
        acks.len(),
        began.elapsed()
    );
    until(crate::PATIENCE, "taps again", async || {
        load.count() > acks.len()
    })
    .await;
    let acks = load.end().await;
    witness.check(&board, &acks).await;
}

#[test]
fn after_a_sync_that_failed_nothing_is_acknowledged_and_nothing_acknowledged_is_lost() {
    if !can_trace() {
        eprintln!("{SKIPPED}: a failed sync");
        return;
    }
    System::new().block_on(syncs_fail_from(40));
}

#[test]
fn a_disk_that_takes_no_writes_for_a_while_makes_the_board_wait_and_no_more() {
    if !can_trace() {
        eprintln!("{SKIPPED}: a failed write");
        return;
    }
    System::new().block_on(async {
        let mut board = Board::start(1);
        let day = open_day(&board).await;
        board.kill();
        board.run_as(Wanted {
            under: under("pwrite64", "EIO", "200..230"),
            ..Wanted::default()
        });
        board.start_again();
        let load = Load::begin(&board, &day, 6);
        let note = json!({"order": "note", "on": {"about": "day"}, "text": "one more"});
        let mut refused = Value::Null;
        until(crate::PATIENCE, "a refusal", async || {
            let (status, answer) = board.order(&day, note.clone()).await;
            refused = answer;
            status != 200
        })
        .await;
        assert_eq!(refused["code"], "storage-failed", "{refused}");
        let mut witness = Witness::of(&day);
        witness.check(&board, &load.acks()).await;
        until(crate::PATIENCE, "the disk to work again", async || {
            board.order(&day, note.clone()).await.0 == 200
        })
        .await;
        let acks = load.end().await;
        witness.check(&board, &acks).await;
    });
}

#[test]
#[ignore = "by hand: every one of the first 60 syncs"]
fn every_sync_fails_once() {
    assert!(can_trace(), "{SKIPPED}");
    System::new().block_on(async {
        for from in 1..=60 {
            syncs_fail_from(from).await;
        }
    });
}
