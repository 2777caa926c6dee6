//! A day as the rest of the server holds it: a bounded queue to its thread, and its feed.
//!
//! A full queue is answered at once and nothing waits in line for it; a thread that is gone is
//! answered too, and the next use of the day starts another.

use super::feed::{Feed, Latest};
use crate::day::time::Timestamp;
use crate::day::{Command, Refusal, Role, State};
use schemars::JsonSchema;
use serde::Serialize;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{SyncSender, TrySendError};
use tokio::sync::oneshot;
use uuid::Uuid;

/// A command on its way to the day.
#[derive(Debug, Clone)]
pub struct Order {
    /// Its id, made by the device.
    pub id: Uuid,
    /// What is ordered.
    pub command: Command,
    /// What the device may do.
    pub role: Role,
}

/// A command was accepted and is on disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Receipt {
    /// The command.
    pub id: Uuid,
    /// The number of its last event.
    pub seq: u64,
    /// When it was decided.
    pub at: Timestamp,
}

/// Why a command, or a question, was not answered.
#[derive(Debug, Clone, thiserror::Error)]
pub enum Unanswered {
    /// The rules refuse it.
    #[error("{}", .0.detail)]
    Refused(Refusal),
    /// The id belongs to another command.
    #[error("this id belongs to another command")]
    IdConflict,
    /// Too many commands are waiting.
    #[error("too many commands are waiting")]
    Busy,
    /// There is no room on the disk; nothing happened.
    #[error("{0}")]
    Full(String),
    /// It could not be written or read; nothing happened.
    #[error("{0}")]
    Storage(String),
    /// The day's journal is not sound.
    #[error("{0}")]
    Damaged(String),
    /// It would have broken what must always hold; nothing happened.
    #[error("{0}")]
    Broken(String),
    /// The day's thread is gone.
    #[error("the day has stopped")]
    Stopped,
    /// The day was not open, and its thread left before it was asked: nothing happened, and another
    /// thread can be asked.
    #[error("nobody serves the day")]
    Left,
}

pub(super) type Reply = oneshot::Sender<Result<Receipt, Unanswered>>;
pub(super) type Look = Box<dyn FnOnce(Result<&State, Unanswered>) + Send>;

/// What a day's thread is sent.
pub(super) enum Message {
    Order(Order, Reply),
    Look(Look),
    /// Somebody else has added to the day: what the thread holds of it is old.
    ReadAgain,
    Stop,
}

/// Stands in the count of what waits once the thread has left, for ever.
pub(super) const LEFT: usize = usize::MAX / 2;

/// A day's thread, from outside.
#[derive(Clone)]
pub struct DayHandle {
    pub(super) inbox: SyncSender<Message>,
    pub(super) feed: Arc<Feed>,
    /// How many messages the thread has not yet taken.
    pub(super) waiting: Arc<AtomicUsize>,
}

impl DayHandle {
    /// Gives a command and waits until it is on disk.
    ///
    /// # Errors
    /// It was refused, or could not be carried out; nothing happened then.
    pub async fn order(&self, order: Order) -> Result<Receipt, Unanswered> {
        let (reply, answer) = oneshot::channel();
        self.send(Message::Order(order, reply))?;
        answer.await.unwrap_or(Err(Unanswered::Stopped))
    }

    /// Asks the day's state a question, between two commands.
    ///
    /// # Errors
    /// The day could not be read.
    pub async fn look<T: Send + 'static>(
        &self,
        question: impl FnOnce(&State) -> T + Send + 'static,
    ) -> Result<T, Unanswered> {
        let (reply, answer) = oneshot::channel();
        let look = move |state: Result<&State, Unanswered>| {
            // Whoever asked may be gone.
            let _ = reply.send(state.map(question));
        };
        self.send(Message::Look(Box::new(look)))?;
        answer.await.unwrap_or(Err(Unanswered::Stopped))
    }

    /// The latest view, read from the journal first if need be.
    ///
    /// # Errors
    /// The day could not be read.
    pub async fn latest(&self) -> Result<Arc<Latest>, Unanswered> {
        if self.feed.latest().is_none() {
            self.look(|_| ()).await?;
        }
        self.feed.latest().ok_or(Unanswered::Stopped)
    }

    /// The day's feed.
    pub fn feed(&self) -> Arc<Feed> {
        Arc::clone(&self.feed)
    }

    /// How many commands and questions wait.
    pub(super) fn waiting(&self) -> usize {
        let waiting = self.waiting.load(Ordering::Relaxed);
        if waiting < LEFT { waiting } else { 0 }
    }

    /// Whether the thread takes nothing more.
    pub(super) fn has_left(&self) -> bool {
        self.waiting.load(Ordering::Relaxed) >= LEFT
    }

    fn send(&self, message: Message) -> Result<(), Unanswered> {
        // Counted first, so that the thread never takes more than was counted, and never leaves
        // while something is on its way.
        if self.waiting.fetch_add(1, Ordering::Relaxed) >= LEFT {
            self.waiting.fetch_sub(1, Ordering::Relaxed);
            return Err(Unanswered::Left);
        }
        self.inbox.try_send(message).map_err(|error| {
            self.waiting.fetch_sub(1, Ordering::Relaxed);
            match error {
                TrySendError::Full(_) => Unanswered::Busy,
                TrySendError::Disconnected(_) => Unanswered::Stopped,
            }
        })
    }
}
