//! A board carried to another folder and back, whole, broken, changed and made up.

use super::tables::{Table, write_tables};
use super::*;
use crate::cli::replay::replay;
use crate::day::time::Timestamp;
use crate::day::{Event, Record, Role, State, apply, view};
use crate::journal::{Digest, Entry, Journal, SqliteJournal};
use proptest::prelude::*;
use rusqlite::Connection;
use std::path::PathBuf;
use tempfile::TempDir;
use uuid::Uuid;

const ORCHARD: &str = include_str!("../../../fixtures/days/orchard-day.ndjson");
/// The id of a command that changed nothing.
const STILL: Uuid = Uuid::from_u128(9 << 64);
const MADE_AT: Timestamp = Timestamp(1_790_000_000_000);

/// A folder with a journal.
struct Folder {
    _dir: TempDir,
    store: PathBuf,
}

impl Folder {
    fn empty() -> Folder {
        let dir = TempDir::new().unwrap();
        let store = dir.path().join("putby.db");
        Folder { _dir: dir, store }
    }

    fn journal(&self) -> SqliteJournal {
        SqliteJournal::open(&self.store).unwrap()
    }

    fn export(&self) -> String {
        let mut out = Vec::new();
        export(&self.store, MADE_AT, &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    fn import(&self, text: &str) -> Result<Vec<Brought>, CarryTrouble> {
        import(&self.store, text.as_bytes())
    }

    /// Writes the first `count` commands of a day, opened by an id that is `mark` apart.
    fn play(&self, day: &str, count: usize, mark: u128) {
        let mut journal = self.journal();
        let mut seq = 0;
        for entry in entries(mark).into_iter().take(count) {
            seq = journal.append(&id(day), seq, &[entry]).unwrap();
        }
    }

    fn records(&self, day: &str) -> Vec<Record> {
        self.journal().read(&id(day), 0, u32::MAX).unwrap()
    }
}

fn id(day: &str) -> DayId {
    DayId::try_from(day).unwrap()
}

/// The orchard day's commands with their events; the opening's id is `mark` apart.
fn entries(mark: u128) -> Vec<Entry> {
    let records = replay(ORCHARD).records;
    // What takes a tally back names its command, so only the opening is another.
    let opening = records[0].command;
    let mut entries: Vec<Entry> = Vec::new();
    for record in records {
        let command = match record.command == opening {
            true => Uuid::from_u128(opening.as_u128() ^ mark),
            false => record.command,
        };
        match entries.last_mut().filter(|last| last.command == command) {
            Some(last) => last.events.push(record.event),
            None => entries.push(Entry {
                command,
                body: Digest::of(command.as_bytes()),
                at: record.at,
                role: record.role,
                events: vec![record.event],
            }),
        }
    }
    entries
}

/// Two days, and in the second a command that changed nothing.
fn board() -> Folder {
    let folder = Folder::empty();
    folder.play("orchard", usize::MAX, 0);
    folder.play("second", 30, 1 << 100);
    let mut journal = folder.journal();
    let seq = journal.verify(&id("second")).unwrap();
    let still = Entry {
        command: STILL,
        body: Digest::of(b"nothing"),
        at: journal.last_at().unwrap().unwrap(),
        role: Role::Lead,
        events: Vec::new(),
    };
    journal.append(&id("second"), seq, &[still]).unwrap();
    folder
}

fn state(records: &[Record]) -> State {
    let mut state = State::default();
    for record in records {
        apply(&mut state, record.at, record.command, &record.event);
    }
    state
}

#[test]
fn a_board_comes_out_as_it_went_in() {
    let (from, to) = (board(), Folder::empty());
    let text = from.export();
    let brought = to.import(&text).unwrap();
    assert_eq!(brought.len(), 2);
    assert!(
        brought
            .iter()
            .all(|day| day.new == day.events && day.events > 30)
    );
    assert_eq!(to.export(), text, "the same bytes, digests among them");
    for day in ["orchard", "second"] {
        assert_eq!(to.records(day), from.records(day));
        assert_eq!(
            view(&state(&to.records(day))),
            view(&state(&from.records(day)))
        );
        to.journal().verify(&id(day)).unwrap();
    }
    for command in [STILL, entries(1 << 100)[3].command] {
        let found = |folder: &Folder| folder.journal().find(&id("second"), command).unwrap();
        assert!(found(&from).is_some());
        assert_eq!(found(&to), found(&from), "a repeat is recognised there too");
    }
    assert_eq!(to.journal().days().unwrap(), from.journal().days().unwrap());
}

#[test]
fn what_is_here_is_recognised_and_gone_on_with() {
    let (from, to) = (board(), Folder::empty());
    let text = from.export();
    to.play("orchard", 40, 0);
    let before = to.records("orchard").len() as u64;
    let brought = to.import(&text).unwrap();
    let all = from.records("orchard").len() as u64;
    assert_eq!(brought[0].new, all - before, "{brought:?}");
    assert!(to.import(&text).unwrap().iter().all(|day| day.new == 0));
    assert_eq!(to.export(), text);
    // A file of less than there is changes nothing.
    let less = Folder::empty();
    less.play("orchard", 40, 0);
    assert_eq!(from.import(&less.export()).unwrap()[0].new, 0);
    assert_eq!(from.export(), text);
}

#[test]
fn a_day_of_the_same_name_is_refused_by_name_and_nothing_is_half_taken() {
    let text = board().export();
    let other = |day: &str, mark: u128| {
        let folder = Folder::empty();
        folder.play(day, 20, mark);
        let before = folder.export();
        let trouble = folder.import(&text).unwrap_err();
        assert_eq!(folder.export(), before, "nothing was taken");
        trouble
    };
    // Another day under the id of the second of the file: the first is not taken either.
    let trouble = other("second", 1 << 90);
    assert!(matches!(&trouble, CarryTrouble::Conflict { what, seq: 1 } if what.contains("second")));
    // The same day under another id.
    let trouble = other("plums", 0);
    assert!(matches!(&trouble, CarryTrouble::Conflict { what, .. } if what.contains("plums")));
    // The same day that went on otherwise after ten commands.
    let folder = Folder::empty();
    folder.play("orchard", 10, 0);
    let mut journal = folder.journal();
    let seq = journal.verify(&id("orchard")).unwrap();
    let mut entry = entries(0)[10].clone();
    entry.command = Uuid::from_u128(77 << 64);
    journal.append(&id("orchard"), seq, &[entry]).unwrap();
    let trouble = folder.import(&text).unwrap_err();
    assert!(
        matches!(trouble, CarryTrouble::Conflict { seq: at, .. } if at == seq + 1),
        "{trouble}"
    );
}

#[test]
fn a_file_that_another_program_has_set_out_anew_is_the_same_file() {
    let text = board().export();
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    // Members in their order: this reader keeps none, so they are set out by hand.
    let mut pretty = String::from("{\n");
    for member in ["putby", "version", "made_at"] {
        pretty += &format!("  {member:?} : {},\n", value[member]);
    }
    let mut days = Vec::new();
    for day in value["days"].as_array().unwrap() {
        let part = |name: &str| format!("{name:?}: {:#}", day[name]);
        let parts: Vec<String> = ["day", "commands", "events", "sum"].map(part).into();
        days.push(format!("{{ {} }}", parts.join(",\n")));
    }
    pretty += &format!("\"days\": [ {} ],\n", days.join(",\n"));
    pretty += &format!("\"end\": {:#} }}\n\n", value["end"]);
    let to = Folder::empty();
    to.import(&pretty).unwrap();
    assert_eq!(to.export(), text);
}

#[test]
fn a_file_that_breaks_off_anywhere_is_refused_with_the_place() {
    let text = board().export();
    let to = Folder::empty();
    to.journal();
    let step = text.len() / 60 + 1;
    for end in (0..text.len() - 1).step_by(step).chain([text.len() - 2]) {
        let trouble = to.import(&text[..end]).unwrap_err();
        let said = trouble.to_string();
        assert!(said.contains("line "), "{end}: {said}");
    }
    assert!(to.journal().days().unwrap().is_empty());
}

#[test]
fn what_a_newer_program_wrote_is_refused_as_such() {
    let text = board().export();
    let to = Folder::empty();
    let refused = |from: &str, into: &str| {
        assert!(text.contains(from), "{from}");
        to.import(&text.replacen(from, into, 1)).unwrap_err()
    };
    let newer = refused("\"version\":1", "\"version\":2");
    assert!(matches!(newer, CarryTrouble::Newer { found: 2, known: 1 }));
    let rows = refused("\"shelf\":[]", "\"shelf\":[[1,\"jar\"]]");
    assert!(matches!(rows, CarryTrouble::Malformed { .. }), "{rows}");
    let member = refused("\"shelf\":[]", "\"cellar\":[]");
    assert!(matches!(member, CarryTrouble::Unknown { .. }), "{member}");
    let kind = refused("\"fact\":\"seat-taken\"", "\"fact\":\"seat-moved\"");
    assert!(
        matches!(kind, CarryTrouble::Damaged { .. }),
        "its digest shows it: {kind}"
    );
    let nothing = refused("{\"putby\":\"board\"", "{\"other\":\"board\"");
    assert!(
        matches!(nothing, CarryTrouble::Malformed { .. }),
        "{nothing}"
    );
    let counted = refused("\"end\":{\"days\":2", "\"end\":{\"days\":3");
    assert!(
        matches!(counted, CarryTrouble::Malformed { .. }),
        "{counted}"
    );
}

#[test]
fn a_day_that_no_rule_would_have_let_happen_is_refused() {
    let from = Folder::empty();
    from.play("orchard", 60, 0);
    let mut journal = from.journal();
    let seq = journal.verify(&id("orchard")).unwrap();
    let taken = from
        .records("orchard")
        .into_iter()
        .rev()
        .find_map(|record| matches!(record.event, Event::BoxOpened { .. }).then_some(record.event));
    // The journal keeps whatever it is given: the same box a hundred times.
    let made_up = Entry {
        command: Uuid::from_u128(5 << 64),
        body: Digest::of(b"made up"),
        at: journal.last_at().unwrap().unwrap(),
        role: Role::Lead,
        events: vec![taken.unwrap(); 100],
    };
    journal.append(&id("orchard"), seq, &[made_up]).unwrap();
    let trouble = Folder::empty().import(&from.export()).unwrap_err();
    assert!(matches!(trouble, CarryTrouble::Damaged { .. }), "{trouble}");
}

const SHELF: &[Table] = &[Table {
    member: "shelf",
    table: "shelf_rows",
    columns: &["number", "body", "digest"],
    order: "number",
}];

fn shelf(rows: &[(i64, &str)]) -> Connection {
    let connection = Connection::open_in_memory().unwrap();
    let mut connection = connection;
    crate::journal::schema::prepare(&mut connection).unwrap();
    connection
        .execute_batch(
            "CREATE TABLE shelf_rows (number INTEGER PRIMARY KEY, body TEXT, digest BLOB) STRICT",
        )
        .unwrap();
    for (number, body) in rows {
        let digest = Digest::of(body.as_bytes()).0;
        let row = rusqlite::params![number, body, digest];
        connection
            .execute("INSERT INTO shelf_rows VALUES (?1, ?2, ?3)", row)
            .unwrap();
    }
    connection
}

fn shelf_text(connection: &mut Connection) -> String {
    let tx = connection.transaction().unwrap();
    let mut out = Vec::new();
    write_tables(&tx, SHELF, &mut out).unwrap();
    let tables = String::from_utf8(out).unwrap();
    format!(
        "{{\"putby\":\"board\",\"version\":1,\"days\":[],{tables}\"end\":{{\"days\":0,\"events\":0}}}}"
    )
}

#[test]
fn a_table_is_carried_row_by_row() {
    let mut from = shelf(&[(1, "7 jars"), (2, "one \"out\"")]);
    let text = shelf_text(&mut from);
    let read_into = |rows: &[(i64, &str)]| {
        let mut to = shelf(rows);
        let read = read::import_into(&mut to, SHELF, text.as_bytes());
        (read, shelf_text(&mut to))
    };
    for here in [
        &[][..],
        &[(1, "7 jars")],
        &[(1, "7 jars"), (2, "one \"out\"")],
    ] {
        let (read, after) = read_into(here);
        read.unwrap();
        assert_eq!(after, text);
    }
    let (read, _) = read_into(&[(1, "7 jars"), (2, "two out")]);
    assert!(matches!(
        read.unwrap_err(),
        CarryTrouble::Conflict { seq: 2, .. }
    ));
    let (read, after) = read_into(&[(2, "another")]);
    assert!(matches!(
        read.unwrap_err(),
        CarryTrouble::Conflict { seq: 1, .. }
    ));
    assert_eq!(after, shelf_text(&mut shelf(&[(2, "another")])));
    let broken = text.replace("{\"hex\":", "{\"hax\":");
    let read = read::import_into(&mut shelf(&[]), SHELF, broken.as_bytes());
    assert!(matches!(read.unwrap_err(), CarryTrouble::Malformed { .. }));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// Bytes changed anywhere: an answer, never a panic, and what is taken is what was written.
    #[test]
    fn changed_bytes_are_refused_or_change_nothing(
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..4)
    ) {
        static TEXT: std::sync::OnceLock<String> = std::sync::OnceLock::new();
        let text = TEXT.get_or_init(|| {
            let from = Folder::empty();
            from.play("orchard", 25, 0);
            from.export()
        });
        let mut bytes = text.clone().into_bytes();
        for (place, byte) in &changes {
            let at = place.index(bytes.len());
            bytes[at] = *byte;
        }
        let to = Folder::empty();
        match import(&to.store, bytes.as_slice()) {
            Ok(_) => prop_assert_eq!(&to.export(), text),
            Err(trouble) => {
                prop_assert!(!matches!(trouble, CarryTrouble::Journal(_)), "{}", trouble);
                prop_assert!(to.journal().days().unwrap().is_empty());
            }
        }
    }

    /// Bytes of no form at all.
    #[test]
    fn any_bytes_have_an_answer(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        prop_assert!(import(&Folder::empty().store, bytes.as_slice()).is_err());
    }
}
