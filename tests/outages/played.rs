//! A long day, played through the rules into a journal.

use putby::day::ids::DayId;
use putby::day::time::Timestamp;
use putby::day::{Command, Moment, Role, State, execute};
use putby::journal::{Digest, Entry, Journal, SqliteJournal};
use std::path::Path;
use uuid::Uuid;

/// How many commands are written at once.
const GROUP: usize = 1000;

/// Writes the first `count` events that the commands make, ten commands a second from `began` on.
pub fn play(
    data: &Path,
    day: &DayId,
    count: u64,
    began: Timestamp,
    commands: impl Iterator<Item = Command>,
) {
    std::fs::create_dir_all(data).unwrap();
    let mut journal = SqliteJournal::open(&data.join("putby.db")).unwrap();
    let mut state = State::default();
    let (mut seq, mut written) = (0, 0);
    let mut entries = Vec::new();
    for (number, command) in commands.enumerate() {
        let moment = Moment {
            now: Timestamp(began.0 + i64::try_from(number).unwrap() * 100),
            // No day's are another's.
            command: Uuid::from_u64_pair(began.0.unsigned_abs(), number as u64),
            role: Role::Lead,
        };
        let events = execute(&mut state, &command, &moment).unwrap();
        seq += events.len() as u64;
        entries.push(Entry {
            command: moment.command,
            body: Digest::of(&serde_json::to_vec(&command).unwrap()),
            at: moment.now,
            role: moment.role,
            events,
        });
        if entries.len() == GROUP || seq >= count {
            written = journal.append(day, written, &entries).unwrap();
            entries.clear();
        }
        if seq >= count {
            break;
        }
    }
    assert_eq!(state.check(), Ok(()));
}
