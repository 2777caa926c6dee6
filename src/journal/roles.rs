//! Which devices are more or less than helpers, kept over restarts.
//!
//! A device is known here only by the digest of its secret, so the file gives no secret away.
//! Helpers are not stored: a device that is not listed is one.

use super::record::{role_from, role_text};
use super::{Digest, Trouble, schema};
use crate::day::Role;
use rusqlite::{Connection, params};
use std::path::Path;

/// The stored roles.
pub struct RoleBook {
    connection: Connection,
}

impl RoleBook {
    /// Opens the store at `path`.
    ///
    /// # Errors
    /// It cannot be opened or a newer program wrote it.
    pub fn open(path: &Path) -> Result<RoleBook, Trouble> {
        Ok(RoleBook {
            connection: schema::open(path)?,
        })
    }

    /// All devices with a role of their own.
    ///
    /// # Errors
    /// They cannot be read.
    pub fn all(&self) -> Result<Vec<(Digest, Role)>, Trouble> {
        let mut select = self.connection.prepare("SELECT device, role FROM roles")?;
        let rows = select.query_map([], |row| {
            Ok((row.get::<_, Vec<u8>>(0)?, row.get::<_, String>(1)?))
        })?;
        let mut all = Vec::new();
        for row in rows {
            let (device, role) = row?;
            all.extend(Digest::stored(&device).zip(role_from(&role)));
        }
        Ok(all)
    }

    /// Sets a device's role.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn set(&self, device: Digest, role: Role) -> Result<(), Trouble> {
        match role {
            Role::Helper => self
                .connection
                .execute("DELETE FROM roles WHERE device = ?1", params![device.0])?,
            Role::Lead | Role::Watcher => self.connection.execute(
                "INSERT INTO roles (device, role) VALUES (?1, ?2)
                 ON CONFLICT (device) DO UPDATE SET role = excluded.role",
                params![device.0, role_text(role)],
            )?,
        };
        Ok(())
    }
}
