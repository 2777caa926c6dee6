//! The devices that have been let in: found by the digest of their secret, kept on disk, put out.
//!
//! What it keeps true: a device is in as long as it stands here and no moment longer; whoever follows
//! a day with it is told by the end of its channel. When it was last heard of is written down at most
//! every ten minutes.

use super::agent::Agent;
use super::device::name_of;
use super::rank::Rank;
use crate::day::Role;
use crate::day::time::Timestamp;
use crate::journal::{DeviceBook, Digest, KeptDevice, Trouble};
use dashmap::DashMap;
use std::path::Path;
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Mutex, PoisonError};
use tokio::sync::watch;

/// How much later than written down a device must have been heard of to be written down again.
const SEEN_STEP_MS: i64 = 10 * 60 * 1000;

/// The door a device came by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CameBy {
    /// The lead's key.
    Key,
    /// The code for joining.
    Code,
    /// The walls' link.
    Link,
    /// The lead made it, for a script.
    Made,
    /// It stepped down where every device may help.
    Open,
}

impl CameBy {
    fn word(self) -> &'static str {
        match self {
            CameBy::Key => "key",
            CameBy::Code => "code",
            CameBy::Link => "link",
            CameBy::Made => "made",
            CameBy::Open => "open",
        }
    }
}

/// What a device that is in may do, and the end of the channel that closes when it is put out.
#[derive(Clone)]
pub struct Known {
    pub rank: Rank,
    pub gone: watch::Receiver<()>,
}

struct Entry {
    kept: KeptDevice,
    seen_at: AtomicI64,
    /// Closed with the entry.
    gone: watch::Sender<()>,
}

impl Entry {
    fn new(kept: KeptDevice) -> Entry {
        Entry {
            seen_at: AtomicI64::new(kept.seen_at.0),
            kept,
            gone: watch::Sender::new(()),
        }
    }

    fn known(&self) -> Known {
        Known {
            rank: self.kept.role.into(),
            gone: self.gone.subscribe(),
        }
    }
}

/// A device that comes in now and has no name.
fn newcomer(
    device: Digest,
    role: Role,
    came_by: CameBy,
    agent: &Agent,
    now: Timestamp,
) -> KeptDevice {
    KeptDevice {
        device,
        role,
        came_by: came_by.word().to_owned(),
        name: String::new(),
        browser: agent.browser.to_owned(),
        system: agent.system.to_owned(),
        joined_at: now,
        seen_at: now,
    }
}

/// Why a device is not put out.
#[derive(Debug)]
pub enum StaysIn {
    /// There is none of this name.
    Unknown,
    /// It is the last of the lead's, and nobody said that this is meant.
    LastLead,
    /// The disk failed.
    Trouble(Trouble),
}

impl From<Trouble> for StaysIn {
    fn from(trouble: Trouble) -> StaysIn {
        StaysIn::Trouble(trouble)
    }
}

/// All devices that are in.
pub struct Devices {
    known: DashMap<Digest, Entry>,
    /// Held while anything changes, so that disk and memory agree.
    book: Mutex<DeviceBook>,
}

impl Devices {
    /// As they were when the server stopped.
    ///
    /// # Errors
    /// They cannot be read.
    pub fn open(store: &Path) -> Result<Devices, Trouble> {
        let book = DeviceBook::open(store)?;
        let known = book.all()?.into_iter();
        Ok(Devices {
            known: known.map(|kept| (kept.device, Entry::new(kept))).collect(),
            book: Mutex::new(book),
        })
    }

    /// The device of a digest, heard of now.
    pub fn seen(&self, digest: Digest, now: Timestamp) -> Option<Known> {
        let entry = self.known.get(&digest)?;
        entry.seen_at.fetch_max(now.0, Ordering::Relaxed);
        Some(entry.known())
    }

    /// Lets a device in by its new secret, in the place of what it was known as before.
    ///
    /// # Errors
    /// It cannot be kept.
    pub fn let_in(
        &self,
        secret: &str,
        before: Option<Digest>,
        rank: Rank,
        came_by: CameBy,
        agent: &Agent,
        now: Timestamp,
    ) -> Result<Known, Trouble> {
        let device = Digest::of(secret.as_bytes());
        self.keep(newcomer(device, rank.role(), came_by, agent, now), before)
    }

    /// Lets a script in that the lead has given a name.
    ///
    /// # Errors
    /// It cannot be kept.
    pub fn let_in_script(
        &self,
        secret: &str,
        name: &str,
        rank: Rank,
        now: Timestamp,
    ) -> Result<(), Trouble> {
        let device = Digest::of(secret.as_bytes());
        let kept = KeptDevice {
            name: name.to_owned(),
            ..newcomer(device, rank.role(), CameBy::Made, &Agent::default(), now)
        };
        self.keep(kept, None).map(|_| ())
    }

    /// Gives a device a lower role under the secret it has.
    ///
    /// # Errors
    /// It cannot be kept.
    pub fn step_down(
        &self,
        secret_digest: Digest,
        role: Role,
        agent: &Agent,
        now: Timestamp,
    ) -> Result<Known, Trouble> {
        let known = self
            .known
            .get(&secret_digest)
            .map(|entry| entry.kept.clone());
        let kept = match known {
            Some(kept) => KeptDevice { role, ..kept },
            None => newcomer(secret_digest, role, CameBy::Open, agent, now),
        };
        self.keep(kept, None)
    }

    fn keep(&self, kept: KeptDevice, before: Option<Digest>) -> Result<Known, Trouble> {
        let mut book = self.book.lock().unwrap_or_else(PoisonError::into_inner);
        book.keep(&kept, before)?;
        if let Some(before) = before {
            self.known.remove(&before);
        }
        let entry = Entry::new(kept);
        let known = entry.known();
        self.known.insert(entry.kept.device, entry);
        Ok(known)
    }

    /// Every device, those that came first before the others.
    pub fn all(&self) -> Vec<KeptDevice> {
        let heard = |entry: &Entry| KeptDevice {
            seen_at: Timestamp(entry.seen_at.load(Ordering::Relaxed)),
            ..entry.kept.clone()
        };
        let mut all: Vec<KeptDevice> = self.known.iter().map(|entry| heard(&entry)).collect();
        all.sort_by_key(|kept| (kept.joined_at, name_of(kept.device)));
        all
    }

    /// Puts a device out; what follows a day with it ends.
    ///
    /// # Errors
    /// It stays in, and why.
    pub fn put_out(&self, name: &str, last_too: bool) -> Result<(), StaysIn> {
        let mut book = self.book.lock().unwrap_or_else(PoisonError::into_inner);
        let all = self.all();
        let found = all.iter().find(|kept| name_of(kept.device) == name);
        let found = found.ok_or(StaysIn::Unknown)?;
        let leads = all.iter().filter(|kept| kept.role == Role::Lead).count();
        if found.role == Role::Lead && leads == 1 && !last_too {
            return Err(StaysIn::LastLead);
        }
        book.forget(&[found.device])?;
        self.known.remove(&found.device);
        Ok(())
    }

    /// Puts out all that came by the walls' link.
    ///
    /// # Errors
    /// It cannot be written; all stay in then.
    pub fn put_out_walls(&self) -> Result<(), Trouble> {
        let mut book = self.book.lock().unwrap_or_else(PoisonError::into_inner);
        let walls = self.all().into_iter();
        let walls = walls.filter(|kept| kept.came_by == CameBy::Link.word());
        let walls: Vec<Digest> = walls.map(|kept| kept.device).collect();
        book.forget(&walls)?;
        for wall in &walls {
            self.known.remove(wall);
        }
        Ok(())
    }

    /// Writes down who was heard of since, where that is long enough ago.
    ///
    /// # Errors
    /// It cannot be written; it is tried again the next time.
    pub fn keep_seen(&self) -> Result<(), Trouble> {
        let mut book = self.book.lock().unwrap_or_else(PoisonError::into_inner);
        let due = |entry: &Entry| {
            let seen = Timestamp(entry.seen_at.load(Ordering::Relaxed));
            (seen.0 - entry.kept.seen_at.0 >= SEEN_STEP_MS).then_some((entry.kept.device, seen))
        };
        let due: Vec<_> = self.known.iter().filter_map(|entry| due(&entry)).collect();
        if due.is_empty() {
            return Ok(());
        }
        book.seen(&due)?;
        for (device, seen) in due {
            if let Some(mut entry) = self.known.get_mut(&device) {
                entry.kept.seen_at = seen;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const NOW: Timestamp = Timestamp(1_000_000);

    fn devices(folder: &tempfile::TempDir) -> Devices {
        Devices::open(&folder.path().join("putby.db")).unwrap()
    }

    fn let_in(devices: &Devices, secret: &str, rank: Rank, by: CameBy) -> Known {
        let agent = Agent::read("Firefox/1 Android");
        devices.let_in(secret, None, rank, by, &agent, NOW).unwrap()
    }

    #[test]
    fn who_was_let_in_is_in_after_a_restart_and_its_secret_is_not_in_the_file() {
        let folder = tempfile::tempdir().unwrap();
        let secret = "a".repeat(48);
        let_in(&devices(&folder), &secret, Rank::Helper, CameBy::Code);
        let again = devices(&folder);
        let known = again.seen(Digest::of(secret.as_bytes()), NOW).unwrap();
        assert_eq!(known.rank, Rank::Helper);
        let all = again.all();
        assert_eq!(
            (all[0].browser.as_str(), all[0].came_by.as_str()),
            ("Firefox", "code")
        );
        for file in std::fs::read_dir(folder.path()).unwrap() {
            let bytes = std::fs::read(file.unwrap().path()).unwrap();
            let found = bytes.windows(48).any(|window| window == secret.as_bytes());
            assert!(!found);
        }
    }

    #[test]
    fn who_is_put_out_is_told_by_the_end_of_its_channel() {
        let folder = tempfile::tempdir().unwrap();
        let devices = devices(&folder);
        let known = let_in(&devices, "one", Rank::Helper, CameBy::Code);
        let other = let_in(&devices, "two", Rank::Helper, CameBy::Code);
        devices
            .put_out(&name_of(Digest::of(b"one")), false)
            .unwrap();
        assert!(known.gone.has_changed().is_err());
        assert!(other.gone.has_changed().is_ok());
        assert!(devices.seen(Digest::of(b"one"), NOW).is_none());
        let unknown = devices.put_out("0011", false);
        assert!(matches!(unknown, Err(StaysIn::Unknown)));
    }

    #[test]
    fn the_last_of_the_leads_is_put_out_only_when_that_is_meant() {
        let folder = tempfile::tempdir().unwrap();
        let devices = devices(&folder);
        let_in(&devices, "one", Rank::Lead, CameBy::Key);
        let_in(&devices, "two", Rank::Lead, CameBy::Key);
        let [one, two] = [b"one", b"two"].map(|secret| name_of(Digest::of(secret)));
        devices.put_out(&one, false).unwrap();
        assert!(matches!(
            devices.put_out(&two, false),
            Err(StaysIn::LastLead)
        ));
        devices.put_out(&two, true).unwrap();
    }

    #[test]
    fn a_new_link_puts_out_those_that_came_by_the_old_one_alone() {
        let folder = tempfile::tempdir().unwrap();
        let devices = devices(&folder);
        let wall = let_in(&devices, "wall", Rank::Watcher, CameBy::Link);
        let helper = let_in(&devices, "helper", Rank::Helper, CameBy::Code);
        devices.put_out_walls().unwrap();
        assert!(wall.gone.has_changed().is_err() && helper.gone.has_changed().is_ok());
        assert_eq!(devices.all().len(), 1);
    }

    #[test]
    fn when_a_device_was_heard_of_is_written_down_coarsely() {
        let folder = tempfile::tempdir().unwrap();
        let devices = devices(&folder);
        let_in(&devices, "one", Rank::Helper, CameBy::Code);
        let kept = || {
            let book = DeviceBook::open(&folder.path().join("putby.db")).unwrap();
            book.all().unwrap()[0].seen_at
        };
        let later = Timestamp(NOW.0 + SEEN_STEP_MS);
        for (now, written) in [(Timestamp(later.0 - 1), NOW), (later, later)] {
            devices.seen(Digest::of(b"one"), now);
            assert_eq!(devices.all()[0].seen_at, now);
            devices.keep_seen().unwrap();
            assert_eq!(kept(), written);
        }
    }
}
