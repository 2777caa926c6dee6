//! Tables beside the days, carried row by row as they are.
//!
//! A table whose rows are only ever added is carried by one line in [`TABLES`]. Rows that are here
//! already must be the same in the same order; those after them are added.

use super::CarryTrouble;
use rusqlite::types::{Value as Cell, ValueRef};
use rusqlite::{Transaction, params_from_iter};
use serde_json::{Value, json};
use std::io::Write;

/// The members of the file that hold tables, in the order in which they stand. Every one is written,
/// empty while nothing fills it.
pub(super) const MEMBERS: [&str; 3] = ["shelf", "shelf_commands", "learned"];

/// A table and the member of the file it goes into.
pub(super) struct Table {
    /// The member.
    pub member: &'static str,
    /// The table.
    pub table: &'static str,
    /// Its columns, in the order in which they stand in a row of the file.
    pub columns: &'static [&'static str],
    /// The columns that say the order of its rows.
    pub order: &'static str,
}

/// Every table that is carried.
pub(super) const TABLES: &[Table] = &[
    Table {
        member: "shelf",
        table: "shelf_events",
        columns: &[
            "seq", "at_ms", "command", "role", "kind", "version", "body", "digest",
        ],
        order: "seq",
    },
    Table {
        member: "shelf_commands",
        table: "shelf_commands",
        columns: &["command", "body", "seq", "at_ms"],
        order: "seq",
    },
    Table {
        member: "learned",
        table: "corrections",
        columns: &["seq", "id", "at_ms", "body"],
        order: "seq",
    },
];

/// Writes the members, each with a comma behind it.
pub(super) fn write_tables(
    tx: &Transaction,
    tables: &[Table],
    out: &mut dyn Write,
) -> Result<(), CarryTrouble> {
    for member in MEMBERS {
        write!(out, "\"{member}\":[")?;
        let table = tables.iter().find(|table| table.member == member);
        for (index, row) in table
            .map_or(Ok(Vec::new()), |table| rows(tx, table))?
            .iter()
            .enumerate()
        {
            out.write_all(if index == 0 { b"\n" } else { b",\n" })?;
            out.write_all(Value::from(row.clone()).to_string().as_bytes())?;
        }
        out.write_all(b"],\n")?;
    }
    Ok(())
}

/// The rows of a table as they stand in the file.
fn rows(tx: &Transaction, table: &Table) -> Result<Vec<Vec<Value>>, CarryTrouble> {
    let columns = table.columns.join(", ");
    let mut select = tx.prepare(&format!(
        "SELECT {columns} FROM {} ORDER BY {}",
        table.table, table.order
    ))?;
    let found = select.query_map([], |row| {
        (0..table.columns.len())
            .map(|index| row.get_ref(index).map(value_of))
            .collect::<rusqlite::Result<Vec<Value>>>()
    })?;
    Ok(found.collect::<rusqlite::Result<_>>()?)
}

/// Bytes stand as `{"hex": "..."}`, so that they are never taken for text.
fn value_of(cell: ValueRef<'_>) -> Value {
    match cell {
        ValueRef::Null => Value::Null,
        ValueRef::Integer(number) => json!(number),
        ValueRef::Real(number) => json!(number),
        ValueRef::Text(text) => json!(String::from_utf8_lossy(text)),
        ValueRef::Blob(bytes) => json!({"hex": hex::encode(bytes)}),
    }
}

fn cell_of(value: &Value) -> Option<Cell> {
    match value {
        Value::Null => Some(Cell::Null),
        Value::Number(number) => number
            .as_i64()
            .map(Cell::Integer)
            .or_else(|| number.as_f64().map(Cell::Real)),
        Value::String(text) => Some(Cell::Text(text.clone())),
        Value::Object(map) => {
            let bytes = map
                .get("hex")
                .and_then(Value::as_str)
                .filter(|_| map.len() == 1);
            hex::decode(bytes?).ok().map(Cell::Blob)
        }
        Value::Bool(_) | Value::Array(_) => None,
    }
}

/// A member on its way in.
pub(super) struct TableIntake<'a> {
    tx: &'a Transaction<'a>,
    member: String,
    table: Option<&'a Table>,
    here: Vec<Vec<Value>>,
    number: usize,
}

impl<'a> TableIntake<'a> {
    /// Begins with a member.
    pub fn of(
        tx: &'a Transaction<'a>,
        tables: &'a [Table],
        member: &str,
    ) -> Result<TableIntake<'a>, CarryTrouble> {
        let table = tables.iter().find(|table| table.member == member);
        Ok(TableIntake {
            tx,
            member: member.to_owned(),
            table,
            here: table.map_or(Ok(Vec::new()), |table| rows(tx, table))?,
            number: 0,
        })
    }

    /// Takes the next row.
    pub fn take(&mut self, row: &[Value]) -> Result<(), CarryTrouble> {
        self.number += 1;
        let place = || format!("{:?}, row {}", self.member, self.number);
        let Some(table) = self.table else {
            return Err(CarryTrouble::Unknown {
                place: place(),
                what: "what to do with it".to_owned(),
            });
        };
        if let Some(known) = self.here.get(self.number - 1) {
            return match known[..] == *row {
                true => Ok(()),
                false => Err(CarryTrouble::Conflict {
                    what: format!("{:?}", self.member),
                    seq: self.number as u64,
                }),
            };
        }
        let malformed = |why: &str| CarryTrouble::Malformed {
            place: place(),
            why: why.to_owned(),
        };
        let cells: Option<Vec<Cell>> = row.iter().map(cell_of).collect();
        let cells = cells.filter(|cells| cells.len() == table.columns.len());
        let cells = cells.ok_or_else(|| malformed("it is no such row"))?;
        let marks = vec!["?"; cells.len()].join(", ");
        let insert = format!(
            "INSERT INTO {} ({}) VALUES ({marks})",
            table.table,
            table.columns.join(", ")
        );
        let added = self
            .tx
            .prepare_cached(&insert)?
            .execute(params_from_iter(cells));
        added.map_err(|error| match error.sqlite_error_code() {
            Some(rusqlite::ErrorCode::ConstraintViolation | rusqlite::ErrorCode::TypeMismatch) => {
                malformed("the table does not take it")
            }
            _ => error.into(),
        })?;
        Ok(())
    }
}
