use super::*;
use crate::day::command::NoteOn;
use crate::journal::digest::Link;
use tempfile::TempDir;

struct Store {
    folder: TempDir,
    journal: SqliteJournal,
    day: DayId,
}

impl Store {
    fn new() -> Store {
        let folder = TempDir::new().unwrap();
        let journal = SqliteJournal::open(&folder.path().join("putby.db")).unwrap();
        let day = DayId::try_from("plums").unwrap();
        Store {
            folder,
            journal,
            day,
        }
    }

    /// A day with `count` events of one command each.
    fn holding(count: u64) -> Store {
        let mut store = Store::new();
        for seq in 0..count {
            let text = format!("note {}", seq + 1);
            store.append(seq, &[entry(seq as i64, &[&text])]).unwrap();
        }
        store
    }

    fn append(&mut self, expected: u64, entries: &[Entry]) -> Result<u64, Trouble> {
        self.journal.append(&self.day, expected, entries)
    }

    fn read(&self) -> Result<Vec<Record>, Trouble> {
        self.journal.read(&self.day, 0, 1000)
    }

    fn run(&self, sql: &str) {
        self.journal.connection.execute_batch(sql).unwrap();
    }
}

fn entry(at: i64, notes: &[&str]) -> Entry {
    Entry {
        command: Uuid::new_v4(),
        body: Digest::of(notes.concat().as_bytes()),
        at: Timestamp(at),
        role: Role::Helper,
        events: notes.iter().map(|text| noted(text)).collect(),
    }
}

fn noted(text: &str) -> Event {
    Event::Noted {
        on: NoteOn::Day,
        text: text.to_owned(),
    }
}

fn first_bad(result: Result<impl std::fmt::Debug, Trouble>) -> u64 {
    match result {
        Err(Trouble::Damaged { seq, .. }) => seq,
        other => panic!("expected damage, got {other:?}"),
    }
}

#[test]
fn what_was_appended_is_read_back_after_opening_again() {
    let mut store = Store::new();
    let entries = [entry(10, &["a", "b"]), entry(10, &["c"])];
    assert_eq!(store.append(0, &entries).unwrap(), 3);
    let again = SqliteJournal::open(&store.folder.path().join("putby.db")).unwrap();
    let records = again.read(&store.day, 0, 1000).unwrap();
    let seen: Vec<_> = records
        .iter()
        .map(|r| (r.seq, r.at, r.command, &r.event))
        .collect();
    let (one, two) = (entries[0].command, entries[1].command);
    let (a, b, c) = (noted("a"), noted("b"), noted("c"));
    let at = Timestamp(10);
    assert_eq!(seen, [(1, at, one, &a), (2, at, one, &b), (3, at, two, &c)]);
    assert_eq!(again.read(&store.day, 2, 1000).unwrap(), records[2..]);
    assert_eq!(again.read(&store.day, 0, 2).unwrap(), records[..2]);
    let outcome = again.find(&store.day, one).unwrap().unwrap();
    assert_eq!(
        (outcome.seq, outcome.at, outcome.body),
        (2, at, entries[0].body)
    );
    assert_eq!(again.find(&store.day, Uuid::new_v4()).unwrap(), None);
    assert_eq!(again.opened_by(one).unwrap(), Some(store.day.clone()));
}

#[test]
fn past_the_last_event_there_is_nothing_to_read() {
    let store = Store::holding(3);
    for after in [3, 4, 1000] {
        let read = store.journal.read(&store.day, after, 10).unwrap();
        assert!(read.is_empty(), "after {after}: {read:?}");
    }
}

#[test]
fn a_writer_that_missed_something_is_refused() {
    let mut store = Store::holding(2);
    for wrong in [0, 1, 3] {
        let refused = store.append(wrong, &[entry(9, &["late"])]);
        let found =
            matches!(refused, Err(Trouble::WrongSeq { found: 2, expected }) if expected == wrong);
        assert!(found, "{wrong}: {refused:?}");
    }
    assert_eq!(store.read().unwrap().len(), 2);
}

#[test]
fn time_never_goes_back_within_a_day() {
    let mut store = Store::holding(3);
    let back = store.append(3, &[entry(5, &["ok"]), entry(4, &["back"])]);
    assert!(matches!(
        back,
        Err(Trouble::TimeWentBack { last: 5, at: 4 })
    ));
    assert_eq!(store.read().unwrap().len(), 3);
}

#[test]
fn an_append_that_fails_half_way_leaves_nothing() {
    let mut store = Store::holding(1);
    let twice = entry(5, &["twice"]);
    let failed = store.append(1, &[entry(5, &["a"]), twice.clone(), twice]);
    assert!(matches!(failed, Err(Trouble::Storage(_))), "{failed:?}");
    assert_eq!(store.read().unwrap().len(), 1);
    assert_eq!(store.append(1, &[entry(5, &["b"])]).unwrap(), 2);
}

#[test]
fn any_change_to_a_stored_event_is_found_and_named() {
    let changes = [
        "UPDATE events SET body = replace(body, 'note 3', 'note x') WHERE seq = 3",
        "UPDATE events SET at_ms = at_ms + 1 WHERE seq = 3",
        "UPDATE events SET command = randomblob(16) WHERE seq = 3",
        "UPDATE events SET role = 'lead' WHERE seq = 3",
        "UPDATE events SET kind = 'tallied' WHERE seq = 3",
        "UPDATE events SET digest = randomblob(32) WHERE seq = 3",
        "DELETE FROM events WHERE seq = 3",
        "UPDATE events SET day = 'pears' WHERE seq = 3",
    ];
    for change in changes {
        let store = Store::holding(5);
        store.run("INSERT INTO days VALUES ('pears', x'00')");
        store.run(change);
        assert_eq!(first_bad(store.read()), 3, "{change}");
        assert_eq!(first_bad(store.journal.verify(&store.day)), 3, "{change}");
    }
}

#[test]
fn two_events_that_changed_places_are_found() {
    let store = Store::holding(4);
    store.run(
        "UPDATE events SET seq = 20 WHERE seq = 2; UPDATE events SET seq = 2 WHERE seq = 3;
         UPDATE events SET seq = 3 WHERE seq = 20;",
    );
    assert_eq!(first_bad(store.read()), 2);
}

#[test]
fn a_command_that_was_forgotten_is_found_by_verify() {
    let store = Store::holding(4);
    assert_eq!(store.journal.verify(&store.day).unwrap(), 4);
    store.run("DELETE FROM commands WHERE seq = 2");
    assert_eq!(first_bad(store.journal.verify(&store.day)), 2);
}

#[test]
fn an_event_of_a_newer_program_stops_the_reading() {
    let store = Store::holding(1);
    let body = r#"{"fact":"moon-rose"}"#;
    let link = Link {
        day: store.day.as_str(),
        seq: 2,
        at: Timestamp(1),
        command: Uuid::nil(),
        role: "lead",
        kind: "moon-rose",
        version: VERSION,
        body,
    };
    let digest = link.digest(digest_at(&store.journal.connection, &store.day, 1).unwrap());
    store
        .journal
        .connection
        .execute(
            "INSERT INTO events VALUES ('plums', 2, 1, ?1, 'lead', 'moon-rose', ?2, ?3, ?4)",
            params![Uuid::nil().as_bytes(), VERSION, body, digest.0],
        )
        .unwrap();
    assert!(matches!(
        store.read(),
        Err(Trouble::UnknownEvent { seq: 2, .. })
    ));
}

#[test]
fn a_store_of_a_newer_program_is_left_untouched() {
    let store = Store::holding(1);
    store.run(
        "PRAGMA user_version = 99; PRAGMA wal_checkpoint(TRUNCATE); PRAGMA journal_mode = DELETE",
    );
    let path = store.folder.path().join("putby.db");
    drop(store.journal);
    let before = std::fs::read(&path).unwrap();
    let refused = SqliteJournal::open(&path).err();
    assert!(
        matches!(refused, Some(Trouble::Newer { found: 99, .. })),
        "{refused:?}"
    );
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn a_snapshot_counts_only_while_it_and_its_event_are_as_they_were() {
    let kept = |store: &Store| store.journal.snapshot(&store.day, "1").unwrap();
    let spoilers = [
        "UPDATE snapshots SET body = x'00'",
        "UPDATE snapshots SET seq = 2",
        "UPDATE snapshots SET version = '0'",
        "UPDATE events SET digest = randomblob(32) WHERE seq = 3",
    ];
    for spoiler in spoilers {
        let mut store = Store::holding(4);
        let snapshot = Snapshot {
            seq: 3,
            version: "1".to_owned(),
            body: b"state".to_vec(),
        };
        let day = store.day.clone();
        store.journal.keep_snapshot(&day, &snapshot).unwrap();
        assert_eq!(kept(&store), Some(snapshot));
        store.run(spoiler);
        assert_eq!(kept(&store), None, "{spoiler}");
    }
}

#[test]
fn a_file_that_is_no_database_is_refused() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("putby.db");
    std::fs::write(
        &path,
        "a shopping list, not a database, and long enough to be read as one",
    )
    .unwrap();
    assert!(matches!(
        SqliteJournal::open(&path),
        Err(Trouble::Malformed(_))
    ));
}

fn kept_device(secret: &[u8], role: Role) -> KeptDevice {
    KeptDevice {
        device: Digest::of(secret),
        role,
        came_by: "code".to_owned(),
        name: String::new(),
        browser: "Firefox".to_owned(),
        system: "Android".to_owned(),
        joined_at: Timestamp(5),
        seen_at: Timestamp(5),
    }
}

#[test]
fn a_file_that_was_emptied_is_refused_and_its_log_is_left() {
    let mut store = Store::holding(2);
    let path = store.folder.path().join("putby.db");
    let log = std::fs::read(log_of(&path)).unwrap();
    assert!(!log.is_empty());
    store.journal = SqliteJournal::open(&store.folder.path().join("other.db")).unwrap();
    std::fs::write(&path, "").unwrap();
    std::fs::write(log_of(&path), &log).unwrap();
    for refused in [
        SqliteJournal::open(&path).err(),
        ReadOnly::open(&path).err(),
        fold_log(&path).err(),
    ] {
        assert!(
            matches!(refused, Some(Trouble::Malformed(_))),
            "{refused:?}"
        );
    }
    assert_eq!(std::fs::read(log_of(&path)).unwrap(), log);
}

#[test]
fn devices_are_kept_changed_and_forgotten() {
    let store = Store::new();
    let path = store.folder.path().join("putby.db");
    let (one, two) = (
        kept_device(b"one", Role::Helper),
        kept_device(b"two", Role::Lead),
    );
    let mut book = DeviceBook::open(&path).unwrap();
    book.keep(&one, None).unwrap();
    // The same device by another secret.
    book.keep(&two, Some(one.device)).unwrap();
    book.seen(&[(two.device, Timestamp(9))]).unwrap();
    drop(book);
    let mut book = DeviceBook::open(&path).unwrap();
    let two = KeptDevice {
        seen_at: Timestamp(9),
        ..two
    };
    let both = [one.device, two.device];
    assert_eq!(book.all().unwrap(), [two]);
    book.forget(&both).unwrap();
    assert_eq!(book.all().unwrap(), []);
}

fn said(n: u128, at: i64, body: &str) -> KeptCorrection {
    KeptCorrection {
        id: Uuid::from_u128(n),
        at: Timestamp(at),
        body: body.to_owned(),
    }
}

#[test]
fn corrections_are_kept_in_their_order_and_each_id_once() {
    let mut store = Store::new();
    let (first, second) = (said(9, 70, "{\"a\":1}"), said(3, 60, "{\"b\":2}"));
    for one in [&first, &second] {
        assert_eq!(store.journal.keep_correction(one).unwrap(), *one);
    }
    // The same id again gives what was kept, whatever is said now.
    let other = said(9, 80, "{\"c\":3}");
    assert_eq!(store.journal.keep_correction(&other).unwrap(), first);
    let again = SqliteJournal::open(&store.folder.path().join("putby.db")).unwrap();
    assert_eq!(again.corrections().unwrap(), [first, second]);
}

#[test]
fn a_store_of_the_first_form_is_brought_to_the_newest_with_all_it_holds() {
    let store = Store::holding(3);
    store.run(
        "DROP TABLE corrections; DROP TABLE shelf_events; DROP TABLE shelf_commands;
         DROP TABLE devices; DROP TABLE doors;
         CREATE TABLE roles (device BLOB PRIMARY KEY, role TEXT NOT NULL) STRICT, WITHOUT ROWID;
         INSERT INTO roles VALUES (zeroblob(32), 'lead');
         PRAGMA user_version = 1",
    );
    let path = store.folder.path().join("putby.db");
    let before = store.read().unwrap();
    let mut journal = SqliteJournal::open(&path).unwrap();
    assert_eq!(journal.read(&store.day, 0, 10).unwrap(), before);
    assert_eq!(journal.corrections().unwrap(), []);
    let one = said(1, 5, "{}");
    assert_eq!(journal.keep_correction(&one).unwrap(), one);
    let devices = DeviceBook::open(&path).unwrap().all().unwrap();
    let lead = &devices[0];
    assert_eq!((lead.device, lead.role), (Digest([0; 32]), Role::Lead));
    assert_eq!((lead.came_by.as_str(), devices.len()), ("before", 1));
}
