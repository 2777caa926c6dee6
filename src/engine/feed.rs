//! A day's public view as everybody sees it: the latest whole, and the changes to it as they come.
//!
//! Changes are encoded once, into one ring that all devices read at their own pace; a device holds
//! a place in the ring and no queue of its own. One that falls more than [`RING`] changes behind
//! has lost its place and gets the whole view again. What it keeps true: a device sees a whole
//! view, then every change after it in order, with no gap and none twice.

use super::frame::text_frame;
use super::patch::diff;
use crate::clock::Clock;
use crate::day::time::Timestamp;
use bytes::Bytes;
use futures_util::stream::{Stream, unfold};
use serde::Serialize;
use serde_json::Value;
use std::sync::{Arc, OnceLock, PoisonError, RwLock};
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
#[derive(Debug, Clone, Copy, Serialize)]
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
    latest: RwLock<Option<Arc<Latest>>>,
    changes: broadcast::Sender<Change>,
}

/// A change as it goes to every device.
#[derive(Clone)]
struct Change {
    from: u64,
    seq: u64,
    frame: Bytes,
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
    pub(super) fn new(clock: Arc<dyn Clock>) -> Feed {
        Feed {
            clock,
            latest: RwLock::new(None),
            changes: broadcast::channel(RING).0,
        }
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
        let change = Change {
            from: old.seq,
            seq,
            frame: text_frame(&text),
        };
        // Nobody listening is no error.
        let _ = self.changes.send(change);
    }

    /// What one device is sent, as frames: the whole view, then its changes. It goes on when the
    /// day's thread is replaced, and is empty while there is no view at all.
    pub fn follow(self: Arc<Self>) -> impl Stream<Item = Bytes> + Send {
        let follower = Follower {
            changes: self.changes.subscribe(),
            feed: self,
            seen: None,
        };
        unfold(follower, |mut follower| async move {
            let frame = follower.next().await?;
            Some((frame, follower))
        })
    }

    /// How many devices follow now.
    pub fn followers(&self) -> usize {
        self.changes.receiver_count()
    }

    fn whole(&self) -> Option<(u64, Bytes)> {
        let latest = self.latest()?;
        let clock = serde_json::json!(Time::of(&*self.clock));
        let head = format!(
            r#"{{"push":"view","seq":{},"clock":{clock},"view":"#,
            latest.seq
        );
        let text = [head.as_bytes(), &latest.json(), b"}"].concat();
        Some((latest.seq, text_frame(&text)))
    }
}

/// One device's place in the changes.
struct Follower {
    feed: Arc<Feed>,
    changes: broadcast::Receiver<Change>,
    /// The number of the view the device has; `None` when it must get a whole one.
    seen: Option<u64>,
}

impl Follower {
    async fn next(&mut self) -> Option<Bytes> {
        loop {
            let Some(seen) = self.seen else {
                // First the place, then the view: a change in between is skipped, never missed.
                self.changes = self.changes.resubscribe();
                let (seq, frame) = self.feed.whole()?;
                self.seen = Some(seq);
                return Some(frame);
            };
            match self.changes.recv().await {
                Ok(change) if change.seq <= seen => {}
                Ok(change) if change.from == seen => {
                    self.seen = Some(change.seq);
                    return Some(change.frame);
                }
                Ok(_) | Err(RecvError::Lagged(_)) => self.seen = None,
                Err(RecvError::Closed) => return None,
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::clock::SetClock;
    use futures_util::StreamExt;
    use serde_json::json;

    fn feed() -> Arc<Feed> {
        Arc::new(Feed::new(Arc::new(SetClock::at(Timestamp(7)))))
    }

    /// The JSON of a frame shorter than 64 KiB.
    fn text(frame: &Bytes) -> Value {
        let head = if frame[1] == 126 { 4 } else { 2 };
        serde_json::from_slice(&frame[head..]).unwrap()
    }

    #[tokio::test]
    async fn a_device_sees_a_whole_view_and_then_each_change() {
        let feed = feed();
        feed.publish(1, json!({"a": 1}), &[]);
        let mut device = Box::pin(feed.clone().follow());
        let clock = json!({"now": 7, "speed": 1.0});
        let whole = json!({"push": "view", "seq": 1, "clock": clock, "view": {"a": 1}});
        assert_eq!(text(&device.next().await.unwrap()), whole);
        feed.publish(3, json!({"b": 2}), &[Uuid::nil()]);
        let change = json!({
            "push": "patch", "from": 1, "seq": 3, "clock": clock,
            "commands": [Uuid::nil()], "patch": {"a": null, "b": 2},
        });
        assert_eq!(text(&device.next().await.unwrap()), change);
    }

    #[tokio::test]
    async fn a_device_that_fell_too_far_behind_gets_the_whole_view_again() {
        let feed = feed();
        feed.publish(1, json!({"n": 1}), &[]);
        let mut device = Box::pin(feed.clone().follow());
        device.next().await.unwrap();
        let last = u64::try_from(RING).unwrap() + 2;
        for seq in 2..=last {
            feed.publish(seq, json!({"n": seq}), &[]);
        }
        let again = text(&device.next().await.unwrap());
        assert_eq!(
            (&again["push"], &again["seq"]),
            (&json!("view"), &json!(last))
        );
        feed.publish(last + 1, json!({"n": 0}), &[]);
        let next = text(&device.next().await.unwrap());
        assert_eq!(
            (&next["push"], &next["from"]),
            (&json!("patch"), &json!(last))
        );
    }

    #[tokio::test]
    async fn a_device_that_is_not_too_far_behind_misses_nothing() {
        let feed = feed();
        feed.publish(1, json!({"n": 1}), &[]);
        let mut device = Box::pin(feed.clone().follow());
        device.next().await.unwrap();
        for seq in 2..=u64::try_from(RING).unwrap() + 1 {
            feed.publish(seq, json!({"n": seq}), &[]);
        }
        for seq in 2..=u64::try_from(RING).unwrap() + 1 {
            assert_eq!(text(&device.next().await.unwrap())["seq"], json!(seq));
        }
    }
}
