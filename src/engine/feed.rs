//! A day's public view as everybody sees it: the latest whole, and the changes to it as they come.
//!
//! Changes are encoded once, into one ring that all devices read at their own pace; a device holds
//! a place in the ring and no queue of its own. One that falls more than [`RING`] changes behind
//! has lost its place and gets the whole view again. What it keeps true: a device sees a whole
//! view, then every change after it in order, with no gap and none twice. Outlooks pass through the
//! same ring: a device gets the latest after its whole view, and each that is made later.

use super::bell::Bell;
use super::frame::text_frame;
use super::outlooks::{MadeOutlook, Outlooks};
use super::patch::diff;
use crate::clock::Clock;
use crate::day::time::Timestamp;
use crate::journal::JournalId;
use bytes::Bytes;
use futures_util::stream::{Stream, unfold};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError, RwLock};
use tokio::sync::broadcast::{self, error::RecvError};
use uuid::Uuid;

/// How many changes a device may lag behind.
const RING: usize = 256;

/// The public view after an event.
pub struct Latest {
    /// The event's number.
    pub seq: u64,
    /// The view.
    pub view: Value,
    json: OnceLock<Bytes>,
}

impl Latest {
    /// The view as JSON, encoded when first asked for.
    pub fn json(&self) -> Bytes {
        let encode = || Bytes::from(self.view.to_string());
        self.json.get_or_init(encode).clone()
    }
}

/// The server's time as devices are told it.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
pub struct Time {
    /// Milliseconds since 1970.
    pub now: Timestamp,
    /// How fast it runs.
    pub speed: f64,
}

impl Time {
    /// By a clock.
    pub fn of(clock: &dyn Clock) -> Time {
        Time {
            now: clock.now(),
            speed: clock.speed(),
        }
    }
}

/// One day's latest view and its changes.
pub struct Feed {
    clock: Arc<dyn Clock>,
    /// By which a device finds out that a copy was put in the journal's place.
    journal: JournalId,
    latest: RwLock<Option<Arc<Latest>>>,
    outlooks: Mutex<Outlooks>,
    ring: broadcast::Sender<Push>,
    bell: Bell,
}

/// What goes to every device.
#[derive(Clone)]
enum Push {
    /// A change of the view.
    Change { from: u64, seq: u64, frame: Bytes },
    /// An outlook.
    Outlook { number: u64, frame: Bytes },
}

#[derive(Serialize)]
struct PatchPush<'a> {
    push: &'static str,
    from: u64,
    seq: u64,
    clock: Time,
    commands: &'a [Uuid],
    patch: &'a Value,
}

impl Feed {
    pub(super) fn new(clock: Arc<dyn Clock>, journal: JournalId) -> Feed {
        Feed {
            clock,
            journal,
            latest: RwLock::new(None),
            outlooks: Mutex::default(),
            ring: broadcast::channel(RING).0,
            bell: Bell::default(),
        }
    }

    /// Which journal the day is read from.
    pub fn journal(&self) -> JournalId {
        self.journal
    }

    /// The latest view; `None` until the day was read from the journal.
    pub fn latest(&self) -> Option<Arc<Latest>> {
        self.latest
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// Shows a new view. The latest is set before the change is sent, so that whoever joins in
    /// between has it already and skips the change.
    pub(super) fn publish(&self, seq: u64, view: Value, commands: &[Uuid]) {
        self.replace(seq, view, commands);
        self.bell.ring(seq);
    }

    fn replace(&self, seq: u64, view: Value, commands: &[Uuid]) {
        let new = Arc::new(Latest {
            seq,
            view,
            json: OnceLock::new(),
        });
        let old = self
            .latest
            .write()
            .unwrap_or_else(PoisonError::into_inner)
            .replace(Arc::clone(&new));
        let Some(old) = old.filter(|old| old.seq != seq) else {
            return;
        };
        let push = PatchPush {
            push: "patch",
            from: old.seq,
            seq,
            clock: Time::of(&*self.clock),
            commands,
            patch: &diff(&old.view, &new.view),
        };
        let text = serde_json::to_vec(&push).expect("plain maps with text keys always encode");
        let change = Push::Change {
            from: old.seq,
            seq,
            frame: text_frame(&text),
        };
        // Nobody listening is no error.
        let _ = self.ring.send(change);
    }

    /// Rings whenever a new view is shown, and when nothing more will come.
    pub fn bell(&self) -> &Bell {
        &self.bell
    }

    /// The latest outlook; `None` while there is none, and once the day is closed.
    pub fn outlook(&self) -> Option<MadeOutlook> {
        self.outlooks().latest()
    }

    /// Shows a new outlook, or with `None` that there is none any more. Gives `false` when the day
    /// takes no more of them.
    pub fn show_outlook(&self, outlook: Option<MadeOutlook>) -> bool {
        // Held while it is sent, so that devices see outlooks in the order of their numbers, and
        // none after the last.
        let mut outlooks = self.outlooks();
        let Some(number) = outlooks.put(outlook) else {
            return false;
        };
        let frame = outlooks.frame(Time::of(&*self.clock));
        // Nobody listening is no error.
        let _ = self.ring.send(Push::Outlook { number, frame });
        true
    }

    /// Takes no more outlooks: the day is closed, or the server stops.
    pub(super) fn end_outlooks(&self) {
        self.outlooks().end();
        self.bell.end();
    }

    fn outlooks(&self) -> MutexGuard<'_, Outlooks> {
        self.outlooks.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What one device is sent, as frames: the whole view, then its changes. It goes on when the
    /// day's thread is replaced, and is empty while there is no view at all.
    pub fn follow(self: Arc<Self>) -> impl Stream<Item = Bytes> + Send {
        let follower = Follower {
            ring: self.ring.subscribe(),
            feed: self,
            seen: None,
            told: 0,
            due: false,
        };
        unfold(follower, |mut follower| async move {
            let frame = follower.next().await?;
            Some((frame, follower))
        })
    }

    /// How many devices follow now.
    pub fn followers(&self) -> usize {
        self.ring.receiver_count()
    }

    fn latest_outlook(&self) -> Option<(u64, Bytes)> {
        let outlooks = self.outlooks();
        outlooks.latest()?;
        Some((outlooks.number(), outlooks.frame(Time::of(&*self.clock))))
    }

    fn whole(&self) -> Option<(u64, Bytes)> {
        let latest = self.latest()?;
        let clock = serde_json::json!(Time::of(&*self.clock));
        let head = format!(
            r#"{{"push":"view","journal":"{}","seq":{},"clock":{clock},"view":"#,
            self.journal, latest.seq
        );
        let text = [head.as_bytes(), &latest.json(), b"}"].concat();
        Some((latest.seq, text_frame(&text)))
    }
}

/// One device's place in the changes.
struct Follower {
    feed: Arc<Feed>,
    ring: broadcast::Receiver<Push>,
    /// The number of the view the device has; `None` when it must get a whole one.
    seen: Option<u64>,
    /// The number of the last outlook it was told.
    told: u64,
    /// Whether it is due the latest outlook, after a whole view.
    due: bool,
}

impl Follower {
    async fn next(&mut self) -> Option<Bytes> {
        loop {
            let Some(seen) = self.seen else {
                // First the place, then the view: a change in between is skipped, never missed.
                self.ring = self.ring.resubscribe();
                let (seq, frame) = self.feed.whole()?;
                (self.seen, self.due) = (Some(seq), true);
                return Some(frame);
            };
            if std::mem::take(&mut self.due)
                && let Some((number, frame)) = self.feed.latest_outlook()
            {
                self.told = number;
                return Some(frame);
            }
            match self.ring.recv().await {
                Ok(Push::Change { seq, .. }) if seq <= seen => {}
                Ok(Push::Change { from, seq, frame }) if from == seen => {
                    self.seen = Some(seq);
                    return Some(frame);
                }
                Ok(Push::Outlook { number, .. }) if number <= self.told => {}
                Ok(Push::Outlook { number, frame }) => {
                    self.told = number;
                    return Some(frame);
                }
                Ok(Push::Change { .. }) | Err(RecvError::Lagged(_)) => self.seen = None,
                Err(RecvError::Closed) => return None,
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "feed_tests.rs"]
mod tests;
