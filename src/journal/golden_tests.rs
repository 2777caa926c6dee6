//! Journals as each form of the tables left them: `fixtures/journals/form-N.db`, never edited.
//!
//! Every one is opened, copied first, and means what it meant; a newer one is left alone; a change of
//! form that is cut off anywhere leaves the old or the new.

use super::*;
use crate::cli::replay::replay;
use crate::day::{State, apply, view};
use crate::shelf;
use crate::trace::trace;
use rusqlite::Connection;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const WRITTEN: &str = include_str!("../../fixtures/journals/short-day.ndjson");

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/journals")
}

fn golden(form: i64) -> PathBuf {
    folder().join(format!("form-{form}.db"))
}

/// Forms of which there is a journal.
fn forms() -> Vec<i64> {
    (1..=FORM).filter(|&form| golden(form).exists()).collect()
}

fn day() -> DayId {
    DayId::try_from("short").unwrap()
}

/// A folder with a journal as that form left it.
fn as_left(form: i64) -> (TempDir, PathBuf) {
    let dir = TempDir::new().unwrap();
    let store = dir.path().join("putby.db");
    std::fs::copy(golden(form), &store).unwrap();
    (dir, store)
}

fn entries() -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    for record in replay(WRITTEN).records {
        match entries.last_mut() {
            Some(last) if last.command == record.command => last.events.push(record.event),
            _ => entries.push(Entry {
                command: record.command,
                body: Digest::of(record.command.as_bytes()),
                at: record.at,
                role: record.role,
                events: vec![record.event],
            }),
        }
    }
    entries
}

fn view_of(store: &Path) -> Value {
    let records = SqliteJournal::open(store)
        .unwrap()
        .read(&day(), 0, u32::MAX)
        .unwrap();
    let mut state = State::default();
    for record in &records {
        apply(&mut state, record.at, record.command, &record.event);
    }
    state.check().unwrap();
    json!(view(&state))
}

/// Whether everything that was said is still said; a view may have learned to say more.
fn still_says(now: &Value, then: &Value, at: &str) {
    match (now, then) {
        (Value::Object(now), Value::Object(then)) => {
            for (key, then) in then {
                let now = now.get(key);
                let now = now.unwrap_or_else(|| panic!("{at}/{key} is no longer said"));
                still_says(now, then, &format!("{at}/{key}"));
            }
        }
        _ => assert_eq!(now, then, "{at}"),
    }
}

fn correction() -> KeptCorrection {
    KeptCorrection {
        id: Uuid::from_u128(77),
        at: Timestamp(1_789_210_000_000),
        body: "{\"kind\":\"forget\"}".to_owned(),
    }
}

fn taken() -> ShelfEntry {
    let records = replay(WRITTEN).records;
    let traced = trace(&records);
    let code = traced.lots.keys().next().expect("a lot was frozen");
    let event = json!({"fact": "taken", "lot": {"day": "short", "code": code},
        "place": "freezer", "packages": 1000});
    ShelfEntry {
        command: Uuid::from_u128(78),
        body: Digest::of(b"one bag"),
        at: Timestamp(1_789_220_000_000),
        role: Role::Helper,
        events: vec![serde_json::from_value::<shelf::Event>(event).unwrap()],
    }
}

/// Writes what is missing of `fixtures/journals`: the journal of each form, by the migrations that
/// made it, and what the short day's view said. Run it once when a migration was added, never to
/// make a test pass.
#[test]
#[ignore = "writes into fixtures/journals"]
fn make_what_is_missing() {
    for form in 1..=FORM {
        let path = golden(form);
        if path.exists() {
            continue;
        }
        let mut connection = Connection::open(&path).unwrap();
        schema::migrate_to(&mut connection, form).unwrap();
        let mut journal = SqliteJournal { connection };
        let mut seq = 0;
        for entry in entries() {
            seq = journal.append(&day(), seq, &[entry]).unwrap();
        }
        if form >= 2 {
            journal.keep_correction(&correction()).unwrap();
        }
        if form >= 3 {
            let connection = Connection::open(&path).unwrap();
            ShelfBook { connection }.append(0, &taken()).unwrap();
        }
        if form >= 4 {
            JournalId::random().store(&journal.connection).unwrap();
        }
    }
    let said = folder().join("short-day.view.json");
    if !said.exists() {
        let (_dir, store) = as_left(1);
        let text = serde_json::to_string_pretty(&view_of(&store)).unwrap();
        std::fs::write(said, text + "\n").unwrap();
    }
}

#[test]
fn every_form_that_was_has_a_journal() {
    let missing: Vec<i64> = (1..FORM).filter(|form| !golden(*form).exists()).collect();
    assert!(missing.is_empty(), "see make_what_is_missing: {missing:?}");
    assert!(forms().len() >= 3);
}

#[test]
fn each_is_opened_and_means_what_it_meant() {
    for form in forms() {
        let (_dir, store) = as_left(form);
        let then = std::fs::read_to_string(folder().join("short-day.view.json")).unwrap();
        let then: Value = serde_json::from_str(&then).unwrap();
        still_says(&view_of(&store), &then, &format!("form {form}"));
        let journal = SqliteJournal::open(&store).unwrap();
        let count: u64 = entries()
            .iter()
            .map(|entry| entry.events.len() as u64)
            .sum();
        assert_eq!(journal.verify(&day()).unwrap(), count);
        let learned = if form >= 2 {
            vec![correction()]
        } else {
            vec![]
        };
        assert_eq!(journal.corrections().unwrap(), learned, "form {form}");
        let shelf = ShelfBook::open(&store).unwrap().all().unwrap();
        assert_eq!(shelf.len(), usize::from(form >= 3), "form {form}");
        let number = JournalId::of(&journal.connection).unwrap();
        let again = SqliteJournal::open(&store).unwrap();
        assert_eq!(
            JournalId::of(&again.connection).unwrap(),
            number,
            "it stays"
        );
    }
}

#[test]
fn an_older_one_is_copied_before_it_is_changed() {
    for form in forms() {
        let (dir, store) = as_left(form);
        for _ in 0..2 {
            SqliteJournal::open(&store).unwrap();
        }
        let copies = std::fs::read_dir(dir.path().join(COPIES));
        let copies: Vec<PathBuf> = copies
            .map(|entries| entries.map(|entry| entry.unwrap().path()).collect())
            .unwrap_or_default();
        assert_eq!(
            copies.len(),
            usize::from(form < FORM),
            "form {form}: {copies:?}"
        );
        for copy in copies {
            let name = copy.file_name().unwrap().to_str().unwrap().to_owned();
            assert!(name.starts_with(&format!("before-form-{FORM}-")), "{name}");
            let (copy, was) = (
                ReadOnly::open(&copy).unwrap(),
                ReadOnly::open(&golden(form)).unwrap(),
            );
            assert_eq!((copy.form(), was.form()), (form, form));
            assert_eq!(copy.mark().unwrap(), was.mark().unwrap());
        }
    }
}

#[test]
fn an_older_one_that_cannot_be_copied_is_left_as_it_is() {
    let (dir, store) = as_left(1);
    std::fs::write(dir.path().join(COPIES), "in the way").unwrap();
    let before = std::fs::read(&store).unwrap();
    let refused = SqliteJournal::open(&store).err().unwrap().to_string();
    assert!(refused.contains("nothing was changed"), "{refused}");
    assert_eq!(std::fs::read(&store).unwrap(), before);
}

#[test]
fn a_newer_one_is_refused_by_every_door_and_left_as_it_is() {
    let newest = *forms().last().unwrap();
    for ahead in [1, 2, 40] {
        let (dir, store) = as_left(newest);
        let connection = Connection::open(&store).unwrap();
        let form = FORM + ahead;
        connection
            .pragma_update(None, "user_version", form)
            .unwrap();
        drop(connection);
        let before = std::fs::read(&store).unwrap();
        let doors = [
            SqliteJournal::open(&store).err(),
            DeviceBook::open(&store).err(),
            ShelfBook::open(&store).err(),
            ReadOnly::open(&store).err(),
            copy(&store, &dir.path().join("copy.db"), Identity::Same).err(),
        ];
        for refused in doors {
            let newer = matches!(refused, Some(Trouble::Newer { found, .. }) if found == form);
            assert!(newer, "{refused:?}");
        }
        assert_eq!(std::fs::read(&store).unwrap(), before);
        assert!(!dir.path().join(COPIES).exists());
    }
}

/// Which of the tables that came later there are.
fn later_tables(store: &Path) -> i64 {
    let connection = Connection::open(store).unwrap();
    let count = "SELECT count(*) FROM sqlite_master
        WHERE name IN ('corrections', 'shelf_events', 'shelf_commands')";
    connection.query_row(count, [], |row| row.get(0)).unwrap()
}

#[test]
fn a_change_of_form_that_is_cut_off_anywhere_leaves_the_old_or_the_new() {
    let (_dir, store) = as_left(1);
    let connection = SqliteJournal::open(&store).unwrap();
    // What is on the disk while nothing was folded in: all of the change is in the log.
    let file = std::fs::read(&store).unwrap();
    let log = std::fs::read(log_of(&store)).unwrap();
    drop(connection);
    let page = u32::from_be_bytes(log[8..12].try_into().unwrap()) as usize;
    let frame = 24 + page;
    let frames = (log.len() - 32) / frame;
    assert!(frames > 5, "{frames} steps");
    let ends = (0..=frames).map(|n| 32 + n * frame);
    let middles = (0..frames).map(|n| 32 + n * frame + frame / 2);
    let (mut old, mut new) = (0, 0);
    for cut in [0].into_iter().chain(ends).chain(middles) {
        let dir = TempDir::new().unwrap();
        let store = dir.path().join("putby.db");
        std::fs::write(&store, &file).unwrap();
        std::fs::write(log_of(&store), &log[..cut]).unwrap();
        let form = ReadOnly::open(&store).unwrap().form();
        assert!([1, FORM].contains(&form), "cut at {cut}: form {form}");
        assert_eq!(later_tables(&store), if form == 1 { 0 } else { 3 });
        (old, new) = (old + u32::from(form == 1), new + u32::from(form == FORM));
        let journal = SqliteJournal::open(&store).unwrap();
        assert_eq!(later_tables(&store), 3);
        assert_eq!(
            journal.read(&day(), 0, u32::MAX).unwrap(),
            replay(WRITTEN).records
        );
    }
    assert!(old > 5 && new > 0, "{old} old, {new} new");
}

#[test]
fn a_kill_while_the_copy_is_made_leaves_the_old_and_the_next_start_goes_on() {
    let (dir, store) = as_left(2);
    let copies = dir.path().join(COPIES);
    std::fs::create_dir(&copies).unwrap();
    std::fs::write(copies.join("older.part"), "half of a copy").unwrap();
    assert_eq!(ReadOnly::open(&store).unwrap().form(), 2);
    SqliteJournal::open(&store).unwrap();
    let names: Vec<_> = std::fs::read_dir(&copies)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(names.len(), 1, "{names:?}");
    let copy = ReadOnly::open(&copies.join(&names[0])).unwrap();
    assert_eq!(copy.form(), 2);
}
