//! The log of the journal cut short or changed in its last part, as a power cut or a bad card leaves
//! it: it opens to what was written up to some command, whole and in order, or says plainly what is
//! wrong. Never a panic, never half a command, never an event that nobody wrote.

use putby::day::command::NoteOn;
use putby::day::ids::DayId;
use putby::day::time::Timestamp;
use putby::day::{Event, Record, Role};
use putby::journal::{Digest, Entry, Journal, SqliteJournal, Trouble};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::path::Path;
use tempfile::TempDir;
use uuid::Uuid;

const COMMANDS: u128 = 40;
/// The part of the log that is damaged, and the steps in which it is cut.
const TAIL: usize = 64 << 10;
const STEP: usize = 512;
const FLIPS: usize = 200;
const SEED: u64 = 20_260_912;

/// What a quiet board leaves on disk, and what it means.
struct Quiet {
    database: Vec<u8>,
    log: Vec<u8>,
    records: Vec<Record>,
    day: DayId,
}

fn entry(number: u128) -> Entry {
    // Commands of one to three events, so that half a command would be seen.
    let events = (0..=number % 3).map(|part| Event::Noted {
        on: NoteOn::Day,
        text: format!("note {number}, part {part}"),
    });
    Entry {
        command: Uuid::from_u128(number),
        body: Digest::of(&number.to_le_bytes()),
        at: Timestamp(i64::try_from(number).unwrap()),
        role: Role::Helper,
        events: events.collect(),
    }
}

fn quiet() -> Quiet {
    let folder = folder();
    let path = folder.path().join("putby.db");
    let day = DayId::try_from("plums").unwrap();
    let mut journal = SqliteJournal::open(&path).unwrap();
    let mut seq = 0;
    for number in 1..=COMMANDS {
        seq = journal.append(&day, seq, &[entry(number)]).unwrap();
    }
    let records = journal.read(&day, 0, u32::MAX).unwrap();
    // Copied while the board has it open: its end would move all of the log into the database.
    let database = std::fs::read(&path).unwrap();
    let log = std::fs::read(folder.path().join("putby.db-wal")).unwrap();
    assert!(log.len() > TAIL, "the log is too short to be damaged");
    Quiet {
        database,
        log,
        records,
        day,
    }
}

/// In memory where there is such a place: syncs are not what is tried here.
fn folder() -> TempDir {
    tempfile::tempdir_in("/dev/shm").unwrap_or_else(|_| tempfile::tempdir().unwrap())
}

/// What is left of the events with this log; the trouble's words where it does not open.
fn opened(quiet: &Quiet, log: &[u8]) -> Result<usize, String> {
    let folder = folder();
    let path = folder.path().join("putby.db");
    std::fs::write(&path, &quiet.database).unwrap();
    std::fs::write(folder.path().join("putby.db-wal"), log).unwrap();
    let found = read(&path, quiet).map_err(|trouble| trouble.to_string())?;
    let count = found.len();
    assert_eq!(found, quiet.records[..count], "not what was written");
    let whole = |next: &Record| Some(next.command) != found.last().map(|last| last.command);
    assert!(quiet.records.get(count).is_none_or(whole), "half a command");
    Ok(count)
}

fn read(path: &Path, quiet: &Quiet) -> Result<Vec<Record>, Trouble> {
    let mut journal = SqliteJournal::open(path)?;
    let found = journal.read(&quiet.day, 0, u32::MAX)?;
    let count = journal.verify(&quiet.day)?;
    assert_eq!(count, found.len() as u64);
    // It goes on from there.
    let next = Entry {
        at: Timestamp(i64::MAX),
        ..entry(COMMANDS + 1)
    };
    journal.append(&quiet.day, count, &[next])?;
    Ok(found)
}

#[test]
fn a_log_cut_short_anywhere_opens_to_what_was_written_up_to_there() {
    let quiet = quiet();
    let all = quiet.records.len();
    let mut before = all;
    for cut in (0..=TAIL).step_by(STEP) {
        let kept = &quiet.log[..quiet.log.len() - cut];
        let left = opened(&quiet, kept).unwrap_or_else(|why| panic!("cut by {cut}: {why}"));
        assert!(left <= before, "a shorter log holds more");
        assert!(cut > 0 || left == all, "the whole log does not hold all");
        before = left;
    }
    assert!(before < all, "no cut took anything: nothing was tried");
}

#[test]
fn a_log_with_a_changed_bit_opens_to_what_was_written_before_it_or_says_what_is_wrong() {
    let quiet = quiet();
    let mut dice = ChaCha8Rng::seed_from_u64(SEED);
    let mut shorter = 0;
    for _ in 0..FLIPS {
        let mut log = quiet.log.clone();
        let place = dice.random_range(log.len() - TAIL..log.len());
        log[place] ^= 1 << dice.random_range(0..8);
        match opened(&quiet, &log) {
            Ok(left) => shorter += usize::from(left < quiet.records.len()),
            Err(why) => assert!(why.len() > 20, "byte {place}: no plain words: {why:?}"),
        }
    }
    assert!(shorter > 0, "no flip took anything: nothing was tried");
}
