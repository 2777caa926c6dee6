//! A day without a thread: whoever holds it says when it takes its turn, so that a simulation can
//! put any order of things before it. Deciding, writing, showing and answering are the thread's own.

use super::disk::Disk;
use super::feed::Feed;
use super::handle::{DayHandle, Message};
use super::worker::Worker;
use crate::clock::Clock;
use crate::day::ids::DayId;
use crate::journal::{JournalId, Journals};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, sync_channel};

/// One day, served by hand.
pub struct DayByHand {
    worker: Worker,
    messages: Receiver<Message>,
    handle: DayHandle,
    disk: Arc<Disk>,
}

impl DayByHand {
    /// A day of `journals`, known as `journal`, with an inbox for `inbox` commands and nobody that follows it yet.
    pub fn new(
        day: DayId,
        journals: Arc<dyn Journals>,
        journal: JournalId,
        clock: Arc<dyn Clock>,
        inbox: usize,
    ) -> DayByHand {
        let (sender, messages) = sync_channel(inbox);
        let feed = Arc::new(Feed::new(Arc::clone(&clock), journal));
        let disk = Arc::<Disk>::default();
        let (told, shown) = (Arc::clone(&disk), Arc::clone(&feed));
        let worker = Worker::new(day, journals, shown, clock, told, None, Arc::default());
        let waiting = worker.waiting();
        DayByHand {
            worker,
            messages,
            handle: DayHandle {
                inbox: sender,
                feed,
                waiting,
            },
            disk,
        }
    }

    /// The way to give it commands, which wait for the next turn.
    pub fn handle(&self) -> DayHandle {
        self.handle.clone()
    }

    /// Serves one group of what waits; `false` when it was told to stop.
    pub fn take_turn(&mut self) -> bool {
        self.worker.turn(self.messages.try_iter())
    }

    /// Whether the disk did not confirm a write, so that the process must end.
    pub fn is_lost(&self) -> bool {
        self.disk.is_lost()
    }
}
