//! How the disk takes writes, as far as writes have told; shared by everything that writes.
//!
//! What it keeps true: while writes fail the board is read-only and says so; it is only said to work
//! again when a write proved it; a failed sync is the end of this process and nothing takes it back.

use crate::journal::Trouble;
use serde::Serialize;
use tokio::sync::watch;

/// What became of the latest writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Writes {
    /// They reach the disk.
    Work,
    /// There is no room; what is written is refused until there is.
    Full,
    /// The disk does not take them, for another reason than room.
    Fail,
    /// A write was not confirmed: nothing more may be acknowledged by this process.
    Lost,
}

/// The disk as this server knows it.
pub struct Disk {
    writes: watch::Sender<Writes>,
}

impl Default for Disk {
    fn default() -> Disk {
        let writes = watch::Sender::new(Writes::Work);
        Disk { writes }
    }
}

impl Disk {
    /// How it is.
    pub fn writes(&self) -> Writes {
        *self.writes.borrow()
    }

    /// Tells whenever that changes.
    pub fn follow(&self) -> watch::Receiver<Writes> {
        self.writes.subscribe()
    }

    /// Whether nothing more may be acknowledged.
    pub fn is_lost(&self) -> bool {
        self.writes() == Writes::Lost
    }

    /// Learns from what went wrong, and tells whether that was the disk's doing; other trouble says
    /// nothing about it. The log has it once, when the disk turns.
    pub fn note(&self, trouble: &Trouble) -> bool {
        let writes = match trouble {
            Trouble::SyncFailed(_) => Writes::Lost,
            Trouble::Full(_) => Writes::Full,
            Trouble::Unwritable(_) => Writes::Fail,
            Trouble::WrongSeq { .. }
            | Trouble::TimeWentBack { .. }
            | Trouble::Damaged { .. }
            | Trouble::UnknownEvent { .. }
            | Trouble::Malformed(_)
            | Trouble::Newer { .. }
            | Trouble::Storage(_) => return false,
        };
        self.turn(writes, &trouble.to_string());
        true
    }

    /// What a write gave, as it may be told: trouble is learned from, and no success is told after a
    /// failed sync, since one that follows it proves nothing.
    ///
    /// # Errors
    /// The write failed, or an earlier one was not confirmed.
    pub fn confirmed<T>(&self, written: Result<T, Trouble>) -> Result<T, Trouble> {
        let written = written.inspect_err(|trouble| {
            self.note(trouble);
        })?;
        match self.is_lost() {
            true => Err(Trouble::SyncFailed(
                "so it was with an earlier write".to_owned(),
            )),
            false => Ok(written),
        }
    }

    /// A write that needed room reached the disk.
    pub fn works_again(&self) {
        self.turn(Writes::Work, "");
    }

    fn turn(&self, to: Writes, why: &str) {
        let turned = self.writes.send_if_modified(|writes| {
            let new = *writes != to && *writes != Writes::Lost;
            if new {
                *writes = to;
            }
            new
        });
        if turned {
            match to {
                Writes::Work => tracing::warn!("the disk takes writes again"),
                Writes::Full => {
                    tracing::error!(why, "the disk is full: read-only until there is room")
                }
                Writes::Fail => {
                    tracing::error!(why, "the disk takes no writes: read-only until it does")
                }
                Writes::Lost => tracing::error!(why, "the disk did not confirm a write: stopping"),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_read_only_until_a_write_proves_otherwise_and_a_failed_sync_is_final() {
        let disk = Disk::default();
        disk.note(&Trouble::Storage("a locked file".to_owned()));
        assert_eq!(disk.writes(), Writes::Work);
        disk.note(&Trouble::Full(String::new()));
        assert_eq!(disk.writes(), Writes::Full);
        disk.note(&Trouble::Unwritable(String::new()));
        assert_eq!(disk.writes(), Writes::Fail);
        disk.works_again();
        assert_eq!(disk.writes(), Writes::Work);
        disk.note(&Trouble::SyncFailed(String::new()));
        disk.works_again();
        disk.note(&Trouble::Full(String::new()));
        assert!(disk.is_lost());
        assert!(disk.confirmed(Ok(())).is_err());
    }
}
