//! Each call to the system that a disk can fail, at its Nth time: the program goes on, or ends and
//! says so; it never stops by a mistake of its own, and what it acknowledged is there afterwards. By
//! hand; `FAIL_TO` says how far each call is counted:
//!
//!     FAIL_TO=200 cargo test --test outages -- --ignored --nocapture each_call

use crate::board::{Board, Wanted};
use crate::failed_sync::{SKIPPED, can_trace, under};
use crate::load::{Load, Witness, open_day};
use actix_web::rt::{self, System};
use std::time::{Duration, Instant};

/// What fails, how, and on which files of the folder, if not on all. Syncs that fail are in
/// `failed_sync`. The database is written by `pwrite64`, the small files beside it by `write`, which
/// otherwise wakes threads: no disk can fail that.
const CALLS: [(&str, &str, &[&str]); 6] = [
    ("pwrite64", "ENOSPC", &[]),
    ("pwrite64", "EIO", &[]),
    ("write", "EIO", &["clock.new", "reached.new"]),
    ("openat", "EMFILE", &[]),
    ("rename,renameat,renameat2", "EIO", &[]),
    ("ftruncate,unlink", "EIO", &[]),
];
/// How long it is tapped under a fault, and how many taps are enough.
const TAPPED_FOR: Duration = Duration::from_secs(2);
const TAPS: usize = 40;
/// How a Rust program ends by a mistake of its own.
const MISTAKE: i32 = 101;

/// How the runs under one kind of fault went.
#[derive(Default)]
struct Went {
    on: u32,
    ended: u32,
    acknowledged: usize,
}

#[test]
#[ignore = "by hand, with FAIL_TO=200: it takes an hour"]
fn each_call_that_fails_once() {
    assert!(can_trace(), "{SKIPPED}");
    let to = std::env::var("FAIL_TO").map_or(20, |said| said.parse().expect("a number"));
    System::new().block_on(async {
        let mut board = Board::start(1);
        let day = open_day(&board).await;
        let load = Load::begin(&board, &day, 7);
        let mut witness = Witness::of(&day);
        board.kill();
        for (calls, error, files) in CALLS {
            let mut went = Went::default();
            for nth in 1..=to {
                let before = load.count();
                let mut failing = under(calls, error, &nth.to_string());
                for name in files {
                    let file = board.folder().join(name).display().to_string();
                    failing.extend(["-P".to_owned(), file]);
                }
                if goes_on_under(&mut board, &load, failing).await {
                    went.on += 1;
                } else {
                    went.ended += 1;
                }
                went.acknowledged += load.count() - before;
                let acks = load.acks();
                board.run_as(Wanted::default());
                board.start_again();
                witness.check(&board, &acks).await;
                board.kill();
            }
            println!(
                "{calls} with {error} at 1 to {to}: went on {} times, ended {}, {} taps \
                 acknowledged, all there",
                went.on, went.ended, went.acknowledged
            );
        }
    });
}

/// Taps for a while at a program that `under` makes fail; says whether it was still there.
async fn goes_on_under(board: &mut Board, load: &Load, under: Vec<String>) -> bool {
    let told = under.join(" ");
    board.run_as(Wanted {
        under,
        ..Wanted::default()
    });
    board.start_again();
    let (began, before) = (Instant::now(), load.count());
    let mut ended = None;
    while ended.is_none() && load.count() < before + TAPS && began.elapsed() < TAPPED_FOR {
        rt::time::sleep(Duration::from_millis(20)).await;
        ended = board.has_ended();
    }
    let code = ended.and_then(|status| status.code());
    assert_ne!(code, Some(MISTAKE), "{told}");
    board.kill();
    ended.is_none()
}
