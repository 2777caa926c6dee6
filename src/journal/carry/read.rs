//! Reading the file: a stream of JSON, of which one command at a time is in memory.

use super::day::{CommandLine, Intake};
use super::hex_digest::HexDigest;
use super::tables::{MEMBERS, TABLES, Table, TableIntake};
use super::{Brought, CarryTrouble, KIND, VERSION};
use crate::day::ids::DayId;
use crate::day::time::Timestamp;
use crate::journal::schema;
use rusqlite::{Connection, Transaction, TransactionBehavior};
use serde::Deserialize;
use serde::de::{DeserializeSeed, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde_json::Value;
use std::cell::RefCell;
use std::fmt;
use std::io::Read;
use std::path::Path;

/// Reads an export into the journal at `path`, all of it or nothing.
///
/// # Errors
/// The file is damaged, newer, or in conflict with what is here, with the place; or the journal
/// cannot be written. The journal is then as it was.
pub fn import(path: &Path, from: impl Read) -> Result<Vec<Brought>, CarryTrouble> {
    let mut connection = schema::open(path)?;
    import_into(&mut connection, TABLES, from)
}

pub(super) fn import_into(
    connection: &mut Connection,
    tables: &[Table],
    from: impl Read,
) -> Result<Vec<Brought>, CarryTrouble> {
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let brought = {
        let board = Board {
            tx: &tx,
            tables,
            fault: RefCell::new(None),
        };
        let mut json = serde_json::Deserializer::from_reader(from);
        let read = (&board).deserialize(&mut json).and_then(|brought| {
            json.end()?;
            Ok(brought)
        });
        read.map_err(|error| board.fault.take().unwrap_or_else(|| misread(error)))?
    };
    tx.commit()?;
    Ok(brought)
}

fn misread(error: serde_json::Error) -> CarryTrouble {
    if error.is_io() {
        return CarryTrouble::File(error.into());
    }
    let place = format!("line {}, column {}", error.line(), error.column());
    let why = match error.is_eof() {
        true => "it ends too early".to_owned(),
        false => plain(&error.to_string()),
    };
    CarryTrouble::Malformed { place, why }
}

/// The words without the place, which is told beside them.
fn plain(text: &str) -> String {
    match text.rfind(" at line ") {
        Some(end) => text[..end].to_owned(),
        None => text.to_owned(),
    }
}

/// What the whole file goes into.
struct Board<'a> {
    tx: &'a Transaction<'a>,
    tables: &'a [Table],
    /// What went wrong in our own words, while the reader unwinds.
    fault: RefCell<Option<CarryTrouble>>,
}

impl Board<'_> {
    /// Hands a fault of ours through the reader.
    fn lift<T, E: Error>(&self, result: Result<T, CarryTrouble>) -> Result<T, E> {
        result.map_err(|fault| {
            let text = E::custom(&fault);
            self.fault.replace(Some(fault));
            text
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct End {
    days: u64,
    events: u64,
}

impl<'de> DeserializeSeed<'de> for &Board<'_> {
    type Value = Vec<Brought>;
    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<Vec<Brought>, D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for &Board<'_> {
    type Value = Vec<Brought>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an export of a board")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Vec<Brought>, A::Error> {
        let said: Option<String> = map.next_key()?;
        if said.as_deref() != Some("putby") || map.next_value::<String>()? != KIND {
            return Err(A::Error::custom("it does not begin as an export does"));
        }
        let version: Option<String> = map.next_key()?;
        if version.as_deref() != Some("version") {
            return Err(A::Error::custom("its version is missing"));
        }
        let found: u32 = map.next_value()?;
        if found > VERSION {
            let known = VERSION;
            return self.lift(Err(CarryTrouble::Newer { found, known }));
        }
        let mut brought = None;
        let mut read = Vec::new();
        let mut end = None;
        while let Some(member) = map.next_key::<String>()? {
            if end.is_some() || read.contains(&member) {
                return Err(A::Error::custom(format!("{member:?} is not expected here")));
            }
            match member.as_str() {
                "made_at" => {
                    map.next_value::<Timestamp>()?;
                }
                "days" => brought = Some(map.next_value_seed(Days(self))?),
                "end" => end = Some(map.next_value::<End>()?),
                table if MEMBERS.contains(&table) => {
                    let rows = self.lift(TableIntake::of(self.tx, self.tables, table))?;
                    map.next_value_seed(Rows(self, rows))?;
                }
                _ => {
                    map.next_value::<IgnoredAny>()?;
                    return self.lift(Err(CarryTrouble::Unknown {
                        place: "in the file".to_owned(),
                        what: format!("{member:?}"),
                    }));
                }
            }
            read.push(member);
        }
        let brought: Vec<Brought> = brought.ok_or_else(|| A::Error::missing_field("days"))?;
        let end = end.ok_or_else(|| A::Error::missing_field("end"))?;
        let events: u64 = brought.iter().map(|day| day.events).sum();
        if (end.days, end.events) != (brought.len() as u64, events) {
            return Err(A::Error::custom("days or events are missing or too many"));
        }
        Ok(brought)
    }
}

struct Days<'a, 'b>(&'a Board<'b>);

impl<'de> DeserializeSeed<'de> for Days<'_, '_> {
    type Value = Vec<Brought>;
    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<Vec<Brought>, D::Error> {
        from.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Days<'_, '_> {
    type Value = Vec<Brought>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list of days")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Vec<Brought>, A::Error> {
        let mut days: Vec<Brought> = Vec::new();
        while let Some(day) = seq.next_element_seed(Day(self.0))? {
            if days.iter().any(|known| known.day == day.day) {
                let twice = format!("day {:?} stands twice in it", day.day.as_str());
                return Err(A::Error::custom(twice));
            }
            days.push(day);
        }
        Ok(days)
    }
}

struct Day<'a, 'b>(&'a Board<'b>);

impl<'de> DeserializeSeed<'de> for Day<'_, '_> {
    type Value = Brought;
    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<Brought, D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for Day<'_, '_> {
    type Value = Brought;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a day")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Brought, A::Error> {
        let expect = |name: &'static str, map: &mut A| match map.next_key::<String>()? {
            Some(key) if key == name => Ok(()),
            Some(_) | None => Err(A::Error::missing_field(name)),
        };
        expect("day", &mut map)?;
        let id: DayId = map.next_value()?;
        let mut intake = self.0.lift(Intake::of(self.0.tx, id))?;
        expect("commands", &mut map)?;
        map.next_value_seed(Commands(self.0, &mut intake))?;
        expect("events", &mut map)?;
        let events: u64 = map.next_value()?;
        expect("sum", &mut map)?;
        let sum: HexDigest = map.next_value()?;
        if map.next_key::<String>()?.is_some() {
            return Err(A::Error::custom("a day has nothing after its sum"));
        }
        self.0.lift(intake.end(events, sum.0))
    }
}

struct Commands<'a, 'b, 'c>(&'a Board<'b>, &'a mut Intake<'c>);

impl<'de> DeserializeSeed<'de> for Commands<'_, '_, '_> {
    type Value = ();
    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Commands<'_, '_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list of commands")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<(), A::Error> {
        while let Some(line) = seq.next_element::<CommandLine>()? {
            self.0.lift(self.1.take(line))?;
        }
        Ok(())
    }
}

struct Rows<'a, 'b, 'c>(&'a Board<'b>, TableIntake<'c>);

impl<'de> DeserializeSeed<'de> for Rows<'_, '_, '_> {
    type Value = ();
    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Rows<'_, '_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list of rows")
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut seq: A) -> Result<(), A::Error> {
        while let Some(row) = seq.next_element::<Vec<Value>>()? {
            self.0.lift(self.1.take(&row))?;
        }
        Ok(())
    }
}
