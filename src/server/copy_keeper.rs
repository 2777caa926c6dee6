//! The thread that makes copies of the journal while the board runs: at the start, every quarter of
//! an hour in which something changed, when the lead asks, and at the stop.
//!
//! What it keeps true: no tap waits for a copy; a copy that fails is told and stops nothing; at the
//! start the whole journal is looked at, so that damage is known before it is needed.

use crate::analyst::give_way;
use crate::clock::Clock;
use crate::copies::{Copies, CopyTrouble, Kept, Replayed, check_beyond};
use crate::day::time::Timestamp;
use crate::journal::Digest;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, sync_channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::sync::oneshot;

/// How many requests for a copy may wait.
const WAITING: usize = 4;

/// Makes copies until it is stopped.
pub struct CopyKeeper {
    asks: SyncSender<Ask>,
    told: Arc<Mutex<Told>>,
    /// Nothing is ever said on it: it ends with the thread.
    ended: Mutex<Receiver<()>>,
}

/// How it stands with the copies.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
#[schemars(rename = "CopiesTold")]
pub struct Told {
    /// Why the last try to make a copy failed, if it did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trouble: Option<String>,
    /// The first thing that is wrong with the journal, if anything is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<String>,
    /// When the journal was last looked at as a whole.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub checked_at: Option<Timestamp>,
}

enum Ask {
    /// A copy now, whether or not anything changed.
    Now(oneshot::Sender<Result<Kept, String>>),
    /// The last copy if anything changed, if one is wanted; then the end.
    Stop { copy: bool },
}

impl CopyKeeper {
    /// Starts with the journal at `store`; by itself it makes a copy `every` so often, and with `None`
    /// only when it is asked.
    ///
    /// # Errors
    /// No thread can be started.
    pub fn begin(
        store: &Path,
        clock: Arc<dyn Clock>,
        every: Option<Duration>,
    ) -> std::io::Result<CopyKeeper> {
        let (asks, heard) = sync_channel(WAITING);
        let told = Arc::new(Mutex::new(Told::default()));
        let work = Work {
            copies: Copies::of(store),
            clock,
            told: Arc::clone(&told),
            last: None,
            replayed: Replayed::default(),
        };
        let (until, ended) = sync_channel(0);
        std::thread::Builder::new()
            .name("copies".to_owned())
            .spawn(move || {
                work.run(&heard, every);
                drop(until);
            })?;
        let ended = Mutex::new(ended);
        Ok(CopyKeeper { asks, told, ended })
    }

    /// How it stands.
    pub fn told(&self) -> Told {
        self.told
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// Makes a copy now. Waits for it.
    ///
    /// # Errors
    /// It could not be made, in words; or too many wait for one.
    pub async fn make_now(&self) -> Result<Kept, String> {
        let (reply, answer) = oneshot::channel();
        let busy = |_| "a copy is being made already".to_owned();
        self.asks.try_send(Ask::Now(reply)).map_err(busy)?;
        answer
            .await
            .unwrap_or_else(|_| Err("the board is stopping".to_owned()))
    }

    /// Ends it, after a last copy if anything changed and one is wanted, and says whether it has
    /// ended within `patience`. What it leaves undone the next start does. Blocks.
    pub fn stop(&self, copy: bool, patience: Duration) -> bool {
        // A thread that is gone needs no stopping, and one that has much to do looks later.
        let _ = self.asks.try_send(Ask::Stop { copy });
        let ended = self.ended.lock().unwrap_or_else(PoisonError::into_inner);
        ended.recv_timeout(patience) == Err(RecvTimeoutError::Disconnected)
    }
}

struct Work {
    copies: Copies,
    clock: Arc<dyn Clock>,
    told: Arc<Mutex<Told>>,
    /// What the journal stood at when the last copy was made.
    last: Option<Digest>,
    replayed: Replayed,
}

impl Work {
    fn run(mut self, asks: &Receiver<Ask>, every: Option<Duration>) {
        give_way();
        if every.is_some() {
            self.last = self.copies.newest_mark();
            if !self.copy_if_changed() {
                self.look();
            }
        }
        loop {
            let ask = match every {
                Some(every) => asks.recv_timeout(every),
                None => asks.recv().map_err(|_| RecvTimeoutError::Disconnected),
            };
            match ask {
                Ok(Ask::Now(reply)) => {
                    // Whoever asked may be gone; the copy stands.
                    let _ = reply.send(self.copy());
                }
                Err(RecvTimeoutError::Timeout) => {
                    self.copy_if_changed();
                }
                Ok(Ask::Stop { copy }) => {
                    if copy && every.is_some() {
                        self.copy_if_changed();
                    }
                    return;
                }
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    /// Makes a copy unless the last one has everything; says whether it tried.
    fn copy_if_changed(&mut self) -> bool {
        // A journal whose end cannot be read is copied as it is.
        let changed = self
            .copies
            .mark()
            .map_or(true, |now| Some(now) != self.last);
        if changed {
            // Told by `told`.
            let _ = self.copy();
        }
        changed
    }

    fn copy(&mut self) -> Result<Kept, String> {
        let now = self.clock.now();
        // Read before the copy is made: what is added meanwhile makes another.
        let mark = self.copies.mark().ok();
        let made = self.copies.add(now, &mut self.replayed);
        match made {
            Ok((kept, found)) => {
                self.last = mark;
                self.tell(None, found.first_fault(), now);
                Ok(kept)
            }
            Err(trouble) => Err(self.failed(&trouble)),
        }
    }

    fn look(&mut self) {
        let now = self.clock.now();
        match check_beyond(self.copies.store(), &mut self.replayed) {
            Ok(found) => self.tell(None, found.first_fault(), now),
            Err(trouble) => {
                self.failed(&trouble.into());
            }
        }
    }

    fn tell(&self, trouble: Option<String>, damage: Option<String>, now: Timestamp) {
        if let Some(damage) = &damage {
            tracing::error!(damage, "the journal is damaged");
        }
        *self.told.lock().unwrap_or_else(PoisonError::into_inner) = Told {
            trouble,
            damage,
            checked_at: Some(now),
        };
    }

    fn failed(&self, trouble: &CopyTrouble) -> String {
        tracing::warn!(%trouble, "no copy was made; the board goes on");
        let mut told = self.told.lock().unwrap_or_else(PoisonError::into_inner);
        told.trouble = Some(trouble.to_string());
        trouble.to_string()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::clock::SetClock;
    use crate::copies::State;
    use crate::day::ids::DayId;
    use crate::day::{Event, Role, command::NoteOn};
    use crate::journal::{Entry, Journal, SqliteJournal};

    fn write(store: &Path, seq: u64) {
        let text = format!("note {seq}");
        let entry = Entry {
            command: uuid::Uuid::new_v4(),
            body: Digest::of(text.as_bytes()),
            at: Timestamp(1000),
            role: Role::Lead,
            events: vec![Event::Noted {
                on: NoteOn::Day,
                text,
            }],
        };
        let day = DayId::try_from("plums").unwrap();
        let mut journal = SqliteJournal::open(store).unwrap();
        journal.append(&day, seq, &[entry]).unwrap();
    }

    /// Runs one life of the keeper that ends at once, `minutes` into the day.
    fn a_life(store: &Path, minutes: i64, copy: bool) -> Told {
        let clock = Arc::new(SetClock::at(Timestamp(minutes * 60_000)));
        let every = Some(Duration::from_secs(3600));
        let keeper = CopyKeeper::begin(store, clock, every).unwrap();
        assert!(keeper.stop(copy, Duration::MAX));
        keeper.told()
    }

    fn made(store: &Path) -> Vec<(i64, State)> {
        let list = Copies::of(store).list().unwrap();
        list.iter()
            .map(|kept| (kept.at.0 / 60_000, kept.state))
            .collect()
    }

    #[test]
    fn a_copy_is_made_whenever_something_changed_and_only_then() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("putby.db");
        write(&store, 0);
        let told = a_life(&store, 1, true);
        assert_eq!(made(&store), [(1, State::Sound)]);
        assert_eq!((told.trouble, told.damage), (None, None));
        // Nothing new: it is looked at, and no copy is made.
        assert_eq!(a_life(&store, 2, true).checked_at, Some(Timestamp(120_000)));
        assert_eq!(made(&store), [(1, State::Sound)]);
        write(&store, 1);
        a_life(&store, 3, true);
        assert_eq!(made(&store), [(3, State::Sound), (1, State::Sound)]);
    }

    #[test]
    fn damage_is_told_at_the_start_and_its_copy_says_so() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("putby.db");
        for seq in 0..3 {
            write(&store, seq);
        }
        a_life(&store, 1, true);
        let open = rusqlite::Connection::open(&store).unwrap();
        let spoil = "UPDATE events SET at_ms = 7 WHERE seq = 2";
        open.execute(spoil, []).unwrap();
        drop(open);
        let told = a_life(&store, 2, true);
        assert!(told.damage.unwrap().contains("event 2"));
        assert_eq!(
            made(&store),
            [(1, State::Sound)],
            "nothing changed at its end"
        );
        write(&store, 3);
        a_life(&store, 3, true);
        assert_eq!(made(&store), [(3, State::Damaged), (1, State::Sound)]);
    }

    #[cfg(unix)]
    #[test]
    fn a_copy_that_does_not_end_keeps_nobody() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("putby.db");
        write(&store, 0);
        let keeper = |every| CopyKeeper::begin(&store, Arc::new(SetClock::at(Timestamp(0))), every);
        let calm = keeper(None).unwrap();
        assert!(calm.stop(true, Duration::MAX), "it has nothing to do");
        // A copy goes into a pipe that nobody reads.
        std::fs::create_dir(folder.path().join("copies")).unwrap();
        let pipe = folder.path().join("copies/next.part");
        let made = std::process::Command::new("mkfifo").arg(pipe).status();
        assert!(made.unwrap().success());
        let busy = keeper(Some(Duration::from_secs(3600))).unwrap();
        assert!(!busy.stop(true, Duration::ZERO));
    }

    #[test]
    fn a_copy_that_cannot_be_made_is_told_and_stops_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("putby.db");
        write(&store, 0);
        // A file stands where the folder should be.
        std::fs::write(folder.path().join("copies"), "in the way").unwrap();
        let told = a_life(&store, 1, true);
        assert!(told.trouble.unwrap().contains("copies"));
    }
}
