//! The plug is pulled: what the disk had taken at that moment must hold every acknowledged tap.
//!
//! The data are in a file system in an image. The program is halted in the middle of its work, the
//! image is copied as it is, and the copy is mounted and read, as after a cut of the power: what the
//! program wrote and did not sync is only in the memory of the system and not in the copy. So that
//! this is no empty proof there is a control: with syncs that do nothing, acknowledged taps must be
//! missing. Linux, as root.
//!
//!     CUTS=500 PUTBY_PROGRAM=target/release/putby \
//!         cargo test --test outages -- --ignored --nocapture often_cut

use crate::board::{Board, Wanted};
use crate::disks::{Mounted, SKIPPED, runs};
use crate::load::{Load, open_day};
use crate::until;
use actix_web::rt::{self, System};
use putby::day::ids::DayId;
use putby::journal::{Journal, SqliteJournal};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rustix::process::{Signal, kill_process};
use std::path::Path;
use std::process::Command;
use std::time::Duration;

const IMAGE_BYTES: u64 = 64 << 20;
/// Taps between two cuts, at least.
const TAPS: usize = 5;
const LATEST_MS: u64 = 200;

/// What came of some cuts.
struct Cuts {
    acknowledged: usize,
    /// Counted anew after each cut.
    missing: usize,
}

#[test]
fn what_was_acknowledged_survives_a_power_cut() {
    match System::new().block_on(cut(3, 1, Vec::new())) {
        Some(cuts) => assert_eq!(cuts.missing, 0, "acknowledged taps were lost"),
        None => eprintln!("{SKIPPED}: a power cut"),
    }
}

#[test]
#[ignore = "by hand, with CUTS=500: it takes a while"]
fn often_cut() {
    let told = std::env::var("CUTS").ok();
    let times = told.map_or(50, |told| told.parse().expect("CUTS is a number"));
    let cuts = System::new().block_on(cut(times, 2, Vec::new()));
    let cuts = cuts.expect(SKIPPED);
    println!(
        "{times} cuts, {} taps acknowledged, {} missing",
        cuts.acknowledged, cuts.missing
    );
    assert_eq!(cuts.missing, 0);
}

#[test]
#[ignore = "by hand: without it the cuts prove nothing"]
fn control_cut_without_syncs_loses_taps() {
    let lying =
        "strace -D -f -qq -o /dev/null -e trace=fsync,fdatasync -e inject=fsync,fdatasync:retval=0";
    let lying = lying.split(' ').map(str::to_owned).collect();
    let cuts = System::new().block_on(cut(5, 3, lying)).expect(SKIPPED);
    println!(
        "5 cuts without syncs, {} taps acknowledged, {} missing",
        cuts.acknowledged, cuts.missing
    );
    assert!(cuts.missing > 0, "a disk that lies must be found out");
}

async fn cut(times: u64, seed: u64, under: Vec<String>) -> Option<Cuts> {
    let mut dice = ChaCha8Rng::seed_from_u64(seed);
    let folder = tempfile::tempdir().unwrap();
    let image = folder.path().join("disk");
    std::fs::File::create(&image)
        .unwrap()
        .set_len(IMAGE_BYTES)
        .unwrap();
    if !runs(Command::new("mkfs.ext4").args(["-q", "-F"]).arg(&image)) {
        return None;
    }
    let (at, after) = (folder.path().join("at"), folder.path().join("after"));
    for place in [&at, &after] {
        std::fs::create_dir(place).unwrap();
    }
    let disk = Mounted::image(&image, &at)?;
    let mut board = Board::start_as(Wanted {
        data: Some(disk.path().join("data")),
        under,
        ..Wanted::default()
    });
    let day = open_day(&board).await;
    let load = Load::begin(&board, &day, seed);
    let mut missing = 0;
    for round in 1..=times {
        let before = load.count();
        until(crate::PATIENCE, "some taps", async || {
            load.count() >= before + TAPS
        })
        .await;
        rt::time::sleep(Duration::from_millis(dice.random_range(0..LATEST_MS))).await;
        // Halted first: a copy that is made while things change is no moment.
        kill_process(board.process(), Signal::STOP).unwrap();
        let copy = folder.path().join("copy");
        assert!(runs(
            Command::new("cp")
                .arg("--sparse=always")
                .args([&image, &copy])
        ));
        let acks = load.acks();
        kill_process(board.process(), Signal::CONT).unwrap();
        let found = Mounted::image(&copy, &after).expect("what is left of the disk");
        missing += missing_from(found.path(), &day, &acks);
        if round % 50 == 0 {
            println!("{round} cuts, {} taps, {missing} missing", acks.len());
        }
    }
    board.kill();
    let acknowledged = load.acks().len();
    Some(Cuts {
        acknowledged,
        missing,
    })
}

/// How many of the acknowledged taps are not in the journal there, which must be sound.
fn missing_from(disk: &Path, day: &DayId, acks: &[crate::load::Ack]) -> usize {
    let path = disk.join("data/putby.db");
    let Ok(journal) = SqliteJournal::open(&path) else {
        return acks.len();
    };
    journal.verify(day).expect("what is there is sound");
    let found = |id| journal.find(day, id).unwrap().map(|outcome| outcome.seq);
    let gone = acks.iter().filter(|ack| found(ack.id) != Some(ack.seq));
    let gone = gone.count();
    let store = rusqlite::Connection::open(&path).unwrap();
    let sound: String = store
        .query_row("PRAGMA integrity_check", [], |row| row.get(0))
        .unwrap();
    assert_eq!(sound, "ok");
    gone
}
