//! Writing the file.

use super::day::Sum;
use super::tables::{TABLES, write_tables};
use super::{CarryTrouble, KIND, VERSION};
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::journal::rows::{StoredEvent, damaged};
use crate::journal::{Digest, Trouble, schema};
use rusqlite::{Transaction, params};
use serde::Serialize;
use serde_json::value::RawValue;
use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use uuid::Uuid;

/// A command with its events, a line of the file.
#[derive(Serialize)]
struct CommandLine<'a> {
    id: Uuid,
    said: String,
    at: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    role: Option<&'a str>,
    events: Vec<EventLine>,
}

#[derive(Serialize)]
struct EventLine {
    form: u32,
    digest: String,
    event: Box<RawValue>,
}

/// Writes everything the journal at `path` keeps, as it is at one moment.
///
/// # Errors
/// The journal is damaged or cannot be read, or `out` cannot be written.
pub fn export(path: &Path, made_at: Timestamp, out: &mut dyn Write) -> Result<(), CarryTrouble> {
    let mut connection = schema::open(path)?;
    // What others write meanwhile is not seen by one transaction.
    let tx = connection.transaction()?;
    write!(
        out,
        "{{\"putby\":\"{KIND}\",\"version\":{VERSION},\"made_at\":{},\n\"days\":[",
        made_at.0
    )?;
    let (mut days, mut events) = (0_u64, 0);
    for day in day_ids(&tx)? {
        out.write_all(if days == 0 { b"\n" } else { b",\n" })?;
        events += write_day(&tx, &day, out)?;
        days += 1;
    }
    out.write_all(b"],\n")?;
    write_tables(&tx, TABLES, out)?;
    writeln!(out, "\"end\":{{\"days\":{days},\"events\":{events}}}}}")?;
    out.flush()?;
    Ok(())
}

fn day_ids(tx: &Transaction) -> Result<Vec<DayId>, CarryTrouble> {
    let mut select = tx.prepare("SELECT day FROM days ORDER BY day")?;
    let rows = select.query_map([], |row| row.get::<_, String>(0))?;
    let mut days = Vec::new();
    for row in rows {
        let id = DayId::try_from(row?);
        days.push(id.map_err(|bad| Trouble::Storage(bad.to_string()))?);
    }
    Ok(days)
}

/// A command that changed nothing, kept so that its repeat is recognised.
struct Still {
    id: Uuid,
    said: Digest,
    at: Timestamp,
}

fn write_day(tx: &Transaction, day: &DayId, out: &mut dyn Write) -> Result<u64, CarryTrouble> {
    let mut still = still_commands(tx, day)?;
    let mut select = tx.prepare(
        "SELECT seq, at_ms, command, role, kind, version, body, digest FROM events
         WHERE day = ?1 ORDER BY seq",
    )?;
    let mut rows = select.query_map(params![day.as_str()], StoredEvent::of)?;
    write!(out, "{{\"day\":\"{day}\",\"commands\":[")?;
    let mut lines = Lines {
        out,
        day,
        tx,
        sum: Sum::default(),
        before: Digest::START,
        count: 0,
    };
    let (mut seq, mut group): (u64, Vec<StoredEvent>) = (0, Vec::new());
    loop {
        let row = rows.next().transpose()?;
        let goes_on = row.as_ref().zip(group.first());
        if goes_on.is_none_or(|(row, first)| row.command != first.command) && !group.is_empty() {
            lines.write(std::mem::take(&mut group), seq)?;
            for one in still.remove(&seq).unwrap_or_default() {
                lines.write_still(&one)?;
            }
        }
        let Some(row) = row else { break };
        seq += 1;
        group.push(row);
    }
    let sum = lines.sum.of_day(lines.before);
    writeln!(
        out,
        "],\"events\":{seq},\"sum\":\"{}\"}}",
        hex::encode(sum.0)
    )?;
    Ok(seq)
}

fn still_commands(
    tx: &Transaction,
    day: &DayId,
) -> Result<BTreeMap<u64, Vec<Still>>, CarryTrouble> {
    let mut select = tx.prepare(
        "SELECT command, body, seq, at_ms FROM commands AS c
         WHERE day = ?1 AND NOT EXISTS (SELECT 1 FROM events AS e
            WHERE e.day = c.day AND e.seq = c.seq AND e.command = c.command)
         ORDER BY seq, at_ms, command",
    )?;
    let mut rows = select.query(params![day.as_str()])?;
    let mut still: BTreeMap<u64, Vec<Still>> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let seq = crate::journal::rows::seq_of(row, 2)?;
        let bad = |why| damaged(day, seq, why);
        let id = Uuid::from_slice(&row.get::<_, Vec<u8>>(0)?);
        let said = Digest::stored(&row.get::<_, Vec<u8>>(1)?);
        still.entry(seq).or_default().push(Still {
            id: id.map_err(|_| bad("its command's id is no id"))?,
            said: said.ok_or_else(|| bad("its command's digest is no digest"))?,
            at: Timestamp(row.get(3)?),
        });
    }
    Ok(still)
}

/// The lines of one day.
struct Lines<'a> {
    out: &'a mut dyn Write,
    day: &'a DayId,
    tx: &'a Transaction<'a>,
    sum: Sum,
    before: Digest,
    count: u64,
}

impl Lines<'_> {
    /// A command whose last event is number `seq`.
    fn write(&mut self, group: Vec<StoredEvent>, seq: u64) -> Result<(), CarryTrouble> {
        let mut number = seq - group.len() as u64;
        let mut events = Vec::with_capacity(group.len());
        let mut head = None;
        for row in group {
            number += 1;
            let (form, body) = (row.version, row.body.clone());
            let (record, digest) = row.checked(self.day, number, self.before)?;
            self.before = digest;
            head = Some((record.command, record.at, record.role));
            let event = RawValue::from_string(body)
                .map_err(|_| damaged(self.day, number, "it is no JSON"))?;
            let digest = hex::encode(digest.0);
            events.push(EventLine {
                form,
                digest,
                event,
            });
        }
        let Some((id, at, role)) = head else {
            return Ok(());
        };
        let said = self.said(id, seq)?;
        self.line(&CommandLine {
            id,
            said: hex::encode(said.0),
            at,
            role: Some(crate::journal::record::role_text(role)),
            events,
        })?;
        self.sum.add(id, said, at);
        Ok(())
    }

    fn write_still(&mut self, still: &Still) -> Result<(), CarryTrouble> {
        self.line(&CommandLine {
            id: still.id,
            said: hex::encode(still.said.0),
            at: still.at,
            role: None,
            events: Vec::new(),
        })?;
        self.sum.add(still.id, still.said, still.at);
        Ok(())
    }

    fn line(&mut self, line: &CommandLine<'_>) -> Result<(), CarryTrouble> {
        let text = serde_json::to_vec(line).map_err(std::io::Error::from)?;
        self.out
            .write_all(if self.count == 0 { b"\n" } else { b",\n" })?;
        self.out.write_all(&text)?;
        self.count += 1;
        Ok(())
    }

    fn said(&self, command: Uuid, seq: u64) -> Result<Digest, CarryTrouble> {
        let mut select = self
            .tx
            .prepare_cached("SELECT body FROM commands WHERE day = ?1 AND command = ?2")?;
        let mut rows = select.query(params![self.day.as_str(), command.as_bytes()])?;
        let missing = || damaged(self.day, seq, "its command is not on record");
        let row = rows.next()?.ok_or_else(missing)?;
        Ok(Digest::stored(&row.get::<_, Vec<u8>>(0)?).ok_or_else(missing)?)
    }
}
