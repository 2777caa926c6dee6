//! Which devices have been let in, and what each may do, kept over restarts.
//!
//! A device is known here only by the digest of its secret, so the file gives no secret away. A
//! device that is not listed is a guest.

use super::record::{role_from, role_text};
use super::{Digest, Trouble, schema};
use crate::day::Role;
use crate::day::time::Timestamp;
use rusqlite::{Connection, Row, params};
use std::path::Path;

/// A device that has been let in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptDevice {
    /// The digest of its secret.
    pub device: Digest,
    /// What it may do.
    pub role: Role,
    /// By which door it came, in a word.
    pub came_by: String,
    /// What the lead calls it; empty for a browser, which nobody named.
    pub name: String,
    /// The make of the browser, such as `Firefox`; empty where that is not known.
    pub browser: String,
    /// What it runs on, such as `Android`; empty where that is not known.
    pub system: String,
    /// When it came in; 0 where that was not written down.
    pub joined_at: Timestamp,
    /// When it was last heard of, coarsely; 0 where that was not written down.
    pub seen_at: Timestamp,
}

/// The stored devices.
pub struct DeviceBook {
    connection: Connection,
}

impl DeviceBook {
    /// Opens the store at `path`.
    ///
    /// # Errors
    /// It cannot be opened or a newer program wrote it.
    pub fn open(path: &Path) -> Result<DeviceBook, Trouble> {
        Ok(DeviceBook {
            connection: schema::open(path)?,
        })
    }

    /// All devices.
    ///
    /// # Errors
    /// They cannot be read.
    pub fn all(&self) -> Result<Vec<KeptDevice>, Trouble> {
        let mut select = self.connection.prepare(
            "SELECT device, role, came_by, name, browser, system, joined_at_ms, seen_at_ms
             FROM devices",
        )?;
        let mut all = Vec::new();
        for kept in select.query_map([], kept_device)? {
            all.extend(kept?);
        }
        Ok(all)
    }

    /// Keeps a device, in the place of `before` if it was known by another secret until now.
    ///
    /// # Errors
    /// It cannot be written; all is as before then.
    pub fn keep(&mut self, kept: &KeptDevice, before: Option<Digest>) -> Result<(), Trouble> {
        let tx = self.connection.transaction()?;
        if let Some(before) = before {
            tx.execute("DELETE FROM devices WHERE device = ?1", params![before.0])?;
        }
        tx.execute(
            "INSERT OR REPLACE INTO devices
             (device, role, came_by, name, browser, system, joined_at_ms, seen_at_ms)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            params![
                kept.device.0,
                role_text(kept.role),
                kept.came_by,
                kept.name,
                kept.browser,
                kept.system,
                kept.joined_at.0,
                kept.seen_at.0
            ],
        )?;
        tx.commit()?;
        Ok(())
    }

    /// Writes down when devices were last heard of, all at once.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn seen(&mut self, seen: &[(Digest, Timestamp)]) -> Result<(), Trouble> {
        let tx = self.connection.transaction()?;
        for (device, at) in seen {
            tx.execute(
                "UPDATE devices SET seen_at_ms = ?2 WHERE device = ?1",
                params![device.0, at.0],
            )?;
        }
        tx.commit()?;
        Ok(())
    }

    /// Forgets devices, all of them or none.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn forget(&mut self, devices: &[Digest]) -> Result<(), Trouble> {
        let tx = self.connection.transaction()?;
        for device in devices {
            tx.execute("DELETE FROM devices WHERE device = ?1", params![device.0])?;
        }
        tx.commit()?;
        Ok(())
    }
}

/// A row as a device; `None` where this version does not know what it says.
fn kept_device(row: &Row<'_>) -> rusqlite::Result<Option<KeptDevice>> {
    let device = Digest::stored(&row.get::<_, Vec<u8>>(0)?);
    let role = role_from(&row.get::<_, String>(1)?);
    let Some((device, role)) = device.zip(role) else {
        return Ok(None);
    };
    Ok(Some(KeptDevice {
        device,
        role,
        came_by: row.get(2)?,
        name: row.get(3)?,
        browser: row.get(4)?,
        system: row.get(5)?,
        joined_at: Timestamp(row.get(6)?),
        seen_at: Timestamp(row.get(7)?),
    }))
}
