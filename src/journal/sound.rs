//! What is found when a journal is looked at for damage, and how far a damaged day is still good.

use super::rows::column;
use super::{Journal, Trouble};
use crate::day::Record;
use crate::day::ids::DayId;
use rusqlite::{Connection, OptionalExtension, params};

/// How many events are read at a time.
const STEP: u32 = 1000;

/// Hands every event of a day after number `after` to `each`, in order, up to the first that is not
/// as it was written; gives what is wrong with that one.
///
/// # Errors
/// The disk failed, so that nobody knows.
pub fn sound_part(
    journal: &dyn Journal,
    day: &DayId,
    after: u64,
    mut each: impl FnMut(Record),
) -> Result<Option<Trouble>, Trouble> {
    let mut seq = after;
    let mut step = STEP;
    loop {
        match journal.read(day, seq, step) {
            Ok(records) if records.is_empty() => return Ok(None),
            Ok(records) => {
                for record in records {
                    seq = record.seq;
                    each(record);
                }
            }
            // Closer and closer to the first that is bad.
            Err(trouble) if trouble.is_damage() && step > 1 => step /= 2,
            Err(trouble) if trouble.is_damage() => return Ok(Some(trouble)),
            Err(trouble) => return Err(trouble),
        }
    }
}

/// What does not fit between a day's events and its commands, at the first number of any.
pub(super) fn of_commands(
    connection: &Connection,
    day: &DayId,
) -> Result<Option<(u64, &'static str)>, Trouble> {
    let questions = [
        (
            "SELECT events.seq FROM events LEFT JOIN commands USING (day, command)
             WHERE day = ?1 AND commands.seq IS NULL ORDER BY events.seq LIMIT 1",
            "its command is not on record",
        ),
        (
            "WITH last AS (SELECT command, max(seq) AS seq, max(at_ms) AS at_ms
                FROM events WHERE day = ?1 GROUP BY command)
             SELECT last.seq FROM last JOIN commands AS c ON c.command = last.command
             WHERE c.day = ?1 AND (c.seq <> last.seq OR c.at_ms <> last.at_ms)
             ORDER BY last.seq LIMIT 1",
            "its command is on record with another number or time",
        ),
        (
            "SELECT seq FROM commands WHERE day = ?1
             AND seq > (SELECT coalesce(max(seq), 0) FROM events WHERE day = ?1)
             ORDER BY seq LIMIT 1",
            "a command is on record whose events are missing",
        ),
        (
            "SELECT seq FROM commands WHERE day = ?1
             AND (length(command) <> 16 OR length(body) <> 32) ORDER BY seq LIMIT 1",
            "the record of a command is damaged",
        ),
        (
            "SELECT 1 FROM days JOIN events USING (day)
             WHERE day = ?1 AND seq = 1 AND opened_by <> command",
            "the day is on record as opened by another command",
        ),
        (
            "SELECT 1 WHERE NOT EXISTS (SELECT 1 FROM days WHERE day = ?1)",
            "the day is not on record",
        ),
        (
            "SELECT 1 WHERE NOT EXISTS (SELECT 1 FROM events WHERE day = ?1)",
            "it is missing",
        ),
    ];
    let mut found: Option<(u64, &'static str)> = None;
    for (question, why) in questions {
        let seq: Option<i64> = connection
            .query_row(question, params![day.as_str()], |row| row.get(0))
            .optional()?;
        let seq = seq.map(|seq| u64::try_from(seq).unwrap_or(0));
        if let Some(seq) = seq
            && found.is_none_or(|(first, _)| seq < first)
        {
            found = Some((seq, why));
        }
    }
    Ok(found)
}

/// What does not fit between the shelf's events and its commands.
pub(super) fn of_shelf_commands(
    connection: &Connection,
    last: u64,
) -> Result<Option<(u64, &'static str)>, Trouble> {
    let question = "SELECT e.seq FROM shelf_events AS e LEFT JOIN shelf_commands AS c
            ON c.command = e.command
         WHERE c.seq IS NULL OR c.seq < e.seq OR c.at_ms <> e.at_ms OR length(c.body) <> 32
         UNION ALL SELECT seq FROM shelf_commands WHERE seq > ?1
         ORDER BY 1 LIMIT 1";
    let seq: Option<i64> = connection
        .query_row(question, params![column(last)], |row| row.get(0))
        .optional()?;
    let why = "its command is not on record as it should be";
    Ok(seq.map(|seq| (u64::try_from(seq).unwrap_or(0), why)))
}

/// What the database says of its file, `most` findings at the most.
pub(super) fn of_file(connection: &Connection, most: u32) -> Result<Vec<String>, Trouble> {
    let mut faults = Vec::new();
    let questions = [
        (format!("PRAGMA integrity_check({most})"), 0, ""),
        (
            "PRAGMA foreign_key_check".to_owned(),
            2,
            "a row names a day that is not there: ",
        ),
    ];
    for (question, column, before) in questions {
        let found = said(connection, &question, column);
        match found {
            Ok(lines) => faults.extend(lines.iter().map(|line| format!("{before}{line}"))),
            Err(error) => match Trouble::from(error) {
                Trouble::Malformed(why) => faults.push(why),
                trouble => return Err(trouble),
            },
        }
    }
    faults.retain(|line| line != "ok");
    Ok(faults)
}

fn said(connection: &Connection, question: &str, column: usize) -> rusqlite::Result<Vec<String>> {
    let mut select = connection.prepare(question)?;
    let rows = select.query_map([], |row| row.get::<_, String>(column))?;
    rows.collect()
}
