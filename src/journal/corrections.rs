//! What the lead said of what was learned, kept in the journal's file.
//!
//! Only ever added to: a later one does not replace an earlier one but follows it.

use super::{KeptCorrection, Trouble};
use crate::day::time::Timestamp;
use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, params};
use uuid::Uuid;

/// All of them, in the order in which they were said.
pub(super) fn all(connection: &Connection) -> Result<Vec<KeptCorrection>, Trouble> {
    let mut select =
        connection.prepare_cached("SELECT id, at_ms, body FROM corrections ORDER BY seq")?;
    let rows = select.query_map([], of)?;
    Ok(rows.collect::<Result<Vec<_>, _>>()?)
}

/// Keeps one, unless its id is known, and gives the one kept under it.
pub(super) fn keep(
    connection: &mut Connection,
    said: &KeptCorrection,
) -> Result<KeptCorrection, Trouble> {
    let tx = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let known = tx
        .query_row(
            "SELECT id, at_ms, body FROM corrections WHERE id = ?1",
            params![said.id.as_bytes()],
            of,
        )
        .optional()?;
    if let Some(known) = known {
        return Ok(known);
    }
    tx.execute(
        "INSERT INTO corrections (id, at_ms, body) VALUES (?1, ?2, ?3)",
        params![said.id.as_bytes(), said.at.0, said.body],
    )?;
    tx.commit()?;
    Ok(said.clone())
}

fn of(row: &Row<'_>) -> rusqlite::Result<KeptCorrection> {
    Ok(KeptCorrection {
        id: Uuid::from_bytes(row.get(0)?),
        at: Timestamp(row.get(1)?),
        body: row.get(2)?,
    })
}
