//! The days that are open, each with its thread, and the way to open another.
//!
//! What it keeps true: a day has one thread at most, and a thread that died is noticed and
//! replaced when the day is next used.

use super::attendant::Attendant;
use super::disk::{Disk, Writes};
use super::feed::Feed;
use super::handle::{DayHandle, Message};
use super::worker::Worker;
use crate::clock::Clock;
use crate::day::ids::DayId;
use crate::journal::{Journals, Trouble};
use crate::measures::Measures;
use dashmap::DashMap;
use std::sync::Arc;
use std::sync::mpsc::sync_channel;
use std::thread::JoinHandle;

/// How many commands may wait for one day.
const INBOX: usize = 1024;

/// All days of this server.
pub struct Days {
    journals: Arc<dyn Journals>,
    clock: Arc<dyn Clock>,
    running: DashMap<DayId, Running>,
    disk: Arc<Disk>,
    attendant: Option<Arc<dyn Attendant>>,
    measures: Arc<Measures>,
}

struct Running {
    handle: DayHandle,
    thread: JoinHandle<()>,
}

impl Running {
    fn is_alive(&self) -> bool {
        !self.thread.is_finished() && !self.handle.has_left()
    }
}

impl Days {
    /// No day is open yet.
    pub fn new(journals: Arc<dyn Journals>, clock: Arc<dyn Clock>) -> Days {
        Days {
            journals,
            clock,
            running: DashMap::new(),
            disk: Arc::default(),
            attendant: None,
            measures: Arc::default(),
        }
    }

    /// The same, with somebody who is told of each day that is open.
    pub fn attended_by(mut self, attendant: Arc<dyn Attendant>) -> Days {
        self.attendant = Some(attendant);
        self
    }

    /// The same, measured by `measures`.
    pub fn measured_by(mut self, measures: Arc<Measures>) -> Days {
        self.measures = measures;
        self
    }

    /// What is measured.
    pub fn measures(&self) -> &Measures {
        &self.measures
    }

    /// How many days have a thread that runs.
    pub fn count(&self) -> usize {
        self.running.iter().filter(|day| day.is_alive()).count()
    }

    /// How far each day that runs is on disk: the number of the last event that was shown.
    pub fn reached(&self) -> Vec<(DayId, u64)> {
        let shown = |day: &Running| day.handle.feed.latest().map(|latest| latest.seq);
        let days = self.running.iter();
        days.filter_map(|day| Some((day.key().clone(), shown(&day)?)))
            .collect()
    }

    /// How many commands and questions wait in all inboxes.
    pub fn waiting(&self) -> usize {
        let inboxes = self.running.iter().map(|day| day.handle.waiting());
        inboxes.sum()
    }

    /// The day's handle, if its thread runs and the day is known to exist.
    pub fn running(&self, day: &DayId) -> Option<DayHandle> {
        let running = self.running.get(day)?;
        let usable = running.is_alive() && running.handle.feed.latest().is_some();
        usable.then(|| running.handle.clone())
    }

    /// The day's handle, or `None` if the journal has no such day. Reads the disk.
    ///
    /// # Errors
    /// The journal cannot be read, or no thread can be started.
    pub fn find(&self, day: &DayId) -> Result<Option<DayHandle>, Trouble> {
        if let Some(handle) = self.running(day) {
            return Ok(Some(handle));
        }
        if !self.journals.open()?.has(day)? {
            return Ok(None);
        }
        self.start(day).map(Some)
    }

    /// The handle of a day that may not exist yet: its first command opens it.
    ///
    /// # Errors
    /// No thread can be started.
    pub fn start(&self, day: &DayId) -> Result<DayHandle, Trouble> {
        // The entry is held while the thread is made, so that two never are.
        let entry = self.running.entry(day.clone());
        let feed = match &entry {
            dashmap::Entry::Occupied(entry) if entry.get().is_alive() => {
                return Ok(entry.get().handle.clone());
            }
            // Devices that follow the day go on with the same feed.
            dashmap::Entry::Occupied(entry) => entry.get().handle.feed(),
            dashmap::Entry::Vacant(_) => Arc::new(Feed::new(self.clock(), self.journals.id()?)),
        };
        let running = self.spawn(day, feed)?;
        let handle = running.handle.clone();
        entry.insert(running);
        Ok(handle)
    }

    /// Lets a day be read from the journal again, if its thread runs: somebody has added to it.
    pub fn read_again(&self, day: &DayId) {
        let handle = self.running.get(day).map(|day| day.handle.clone());
        if let Some(handle) = handle {
            // A thread that is gone reads it when it is next started; one with a full inbox finds
            // out by its next write.
            let _ = handle.inbox.try_send(Message::ReadAgain);
        }
    }

    /// The journals, to read what no thread needs to be asked.
    pub fn journals(&self) -> Arc<dyn Journals> {
        Arc::clone(&self.journals)
    }

    /// The clock.
    pub fn clock(&self) -> Arc<dyn Clock> {
        Arc::clone(&self.clock)
    }

    /// How the disk takes writes: of these days, and of whatever else is written beside them.
    pub fn disk(&self) -> &Disk {
        &self.disk
    }

    /// Returns when the disk did not confirm a write: stop the server then.
    pub async fn lost(&self) {
        let mut writes = self.disk.follow();
        // The disk lives as long as this value, so waiting cannot fail.
        let _ = writes.wait_for(|writes| *writes == Writes::Lost).await;
    }

    /// Stops every day after what it has in hand, and waits for it.
    pub fn stop(&self) {
        let days: Vec<DayId> = self.running.iter().map(|day| day.key().clone()).collect();
        for (_, running) in days.iter().filter_map(|day| self.running.remove(day)) {
            running.handle.feed.end_outlooks();
            // A thread that is gone needs no stopping.
            let _ = running.handle.inbox.send(Message::Stop);
            let _ = running.thread.join();
        }
    }

    fn spawn(&self, day: &DayId, feed: Arc<Feed>) -> Result<Running, Trouble> {
        let (inbox, messages) = sync_channel(INBOX);
        let worker = Worker::new(
            day.clone(),
            self.journals(),
            Arc::clone(&feed),
            self.clock(),
            Arc::clone(&self.disk),
            self.attendant.clone(),
            Arc::clone(&self.measures),
        );
        let waiting = worker.waiting();
        let thread = std::thread::Builder::new()
            .name(format!("day {day}"))
            .spawn(move || worker.run(&messages))
            .map_err(|error| Trouble::Storage(error.to_string()))?;
        let handle = DayHandle {
            inbox,
            feed,
            waiting,
        };
        Ok(Running { handle, thread })
    }
}
