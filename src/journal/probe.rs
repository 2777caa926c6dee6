//! Whether the journal could be written to now, asked without writing anything.

use super::{Trouble, schema};
use rusqlite::TransactionBehavior;
use std::path::Path;

/// Takes the journal's write lock and gives it back. Blocks, as long as another writes.
///
/// # Errors
/// It cannot be opened, or nobody may write to it.
pub fn probe(store: &Path) -> Result<(), Trouble> {
    let mut connection = schema::open(store)?;
    let held = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    held.rollback()?;
    Ok(())
}
