//! The server of a simulated run: the real deciding, writing, showing and answering of one day, with
//! requests instead of HTTP around it. Dropping it is a crash.

use crate::disk::{Disk, Mounted, PowerCut};
use crate::kitchen::START;
use bytes::Bytes;
use futures_util::Stream;
use putby::clock::{Clock, Unknown};
use putby::day::ids::DayId;
use putby::day::time::Timestamp;
use putby::day::{Command, Role};
use putby::engine::{DayByHand, Latest, Order, Receipt, Unanswered};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::pin::Pin;
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll, Waker};
use uuid::Uuid;

/// How many commands may wait; small, so that a run meets a full inbox.
const INBOX: usize = 6;

/// The day of every run.
pub fn day() -> DayId {
    DayId::try_from("hunt").unwrap()
}

/// The kitchen's time, which the run moves on.
pub struct KitchenClock {
    now: AtomicI64,
    unknown: Mutex<Option<Unknown>>,
}

impl KitchenClock {
    pub fn new() -> Arc<KitchenClock> {
        Arc::new(KitchenClock {
            now: AtomicI64::new(START.0),
            unknown: Mutex::new(None),
        })
    }

    pub fn pass(&self, ms: i64) {
        self.now.fetch_add(ms, Ordering::SeqCst);
    }

    /// The computer was off for `ms`, and nobody knows how long that was.
    pub fn reboot(&self, ms: i64) {
        let from = self.now();
        self.pass(ms);
        let until = self.now();
        *self.unknown.lock().unwrap_or_else(PoisonError::into_inner) =
            Some(Unknown { from, until });
    }
}

impl Clock for KitchenClock {
    fn now(&self) -> Timestamp {
        Timestamp(self.now.load(Ordering::SeqCst))
    }

    fn unknown(&self) -> Option<Unknown> {
        *self.unknown.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What a device asks of the server.
#[derive(Debug, Clone)]
pub enum Ask {
    Command {
        id: Uuid,
        command: Value,
        role: Role,
    },
    View,
}

/// An answer to a request, as far as devices look at it.
#[derive(Debug, Clone)]
pub struct Answer {
    pub status: u16,
    pub body: Value,
    pub retry_after_s: i64,
}

/// Where an answer goes: the device and its request.
pub type Asker = (usize, u64);

type Pending<T> = Pin<Box<dyn Future<Output = Result<T, Unanswered>>>>;

enum Waiting {
    Order(Uuid, Pending<Receipt>),
    View(Pending<Arc<Latest>>),
}

/// What the server did in a turn.
#[derive(Default)]
pub struct Done {
    pub answers: Vec<(Asker, Answer)>,
    /// The verdicts on commands: the receipt, or `None` for a refusal.
    pub verdicts: Vec<(Uuid, Option<Receipt>)>,
    /// What goes to the connections, in order.
    pub frames: Vec<(u64, Value)>,
    /// Connections that were not made.
    pub turned_away: Vec<u64>,
    pub latest: Option<Arc<Latest>>,
}

/// The process is gone: the power was cut, or the disk did not confirm a write.
pub struct Crashed;

pub struct Process {
    day: DayByHand,
    waiting: Vec<(Asker, Waiting)>,
    /// Answers that needed no turn, such as that too many wait.
    ready: Vec<(Asker, Answer)>,
    joining: Vec<(u64, Pending<Arc<Latest>>)>,
    /// Whose handshake was answered by a problem.
    turned_away: Vec<u64>,
    followers: BTreeMap<u64, Pin<Box<dyn Stream<Item = Bytes> + Send>>>,
}

impl Process {
    pub fn start(disk: &Arc<Disk>, clock: &Arc<KitchenClock>) -> Process {
        let journals = Arc::new(Mounted(Arc::clone(disk)));
        Process {
            day: DayByHand::new(day(), journals, disk.id, clock.clone(), INBOX),
            waiting: Vec::new(),
            ready: Vec::new(),
            joining: Vec::new(),
            turned_away: Vec::new(),
            followers: BTreeMap::new(),
        }
    }

    /// Takes a request in; it is answered by a turn.
    pub fn ask(&mut self, asker: Asker, ask: Ask) {
        let handle = self.day.handle();
        let mut waiting = match ask {
            Ask::View => Waiting::View(Box::pin(async move { handle.latest().await })),
            Ask::Command { id, command, role } => {
                let command: Command = serde_json::from_value(command).unwrap();
                let order = Order { id, command, role };
                Waiting::Order(id, Box::pin(async move { handle.order(order).await }))
            }
        };
        // The first poll puts it into the inbox.
        match waiting.poll(&mut Vec::new()) {
            Some(answer) => self.ready.push((asker, answer)),
            None => self.waiting.push((asker, waiting)),
        }
    }

    /// A device wants to follow the day.
    pub fn join(&mut self, connection: u64) {
        let handle = self.day.handle();
        let latest = Box::pin(async move { handle.latest().await });
        self.joining.push((connection, latest));
        self.admit();
    }

    pub fn leave(&mut self, connection: u64) {
        self.followers.remove(&connection);
        self.joining.retain(|(joining, _)| *joining != connection);
    }

    /// Serves what waits.
    ///
    /// # Errors
    /// The process did not live through it; what it had not sent is lost.
    pub fn turn(&mut self) -> Result<Done, Crashed> {
        let taken = catch_unwind(AssertUnwindSafe(|| self.day.take_turn()));
        match taken {
            Ok(true) => {}
            // As the days do it: a thread that has ended is replaced when it is next needed.
            Ok(false) => unreachable!("the day is opened before anybody asks"),
            Err(cut) if cut.is::<PowerCut>() => return Err(Crashed),
            Err(bug) => resume_unwind(bug),
        }
        let mut done = Done {
            answers: std::mem::take(&mut self.ready),
            ..Done::default()
        };
        for (asker, mut waiting) in std::mem::take(&mut self.waiting) {
            match waiting.poll(&mut done.verdicts) {
                Some(answer) => done.answers.push((asker, answer)),
                None => self.waiting.push((asker, waiting)),
            }
        }
        self.admit();
        self.pump(&mut done);
        done.turned_away = std::mem::take(&mut self.turned_away);
        if self.day.is_lost() {
            return Err(Crashed);
        }
        done.latest = self.day.handle().feed().latest();
        Ok(done)
    }

    /// The number of the last event that is shown.
    pub fn latest(&self) -> Option<u64> {
        Some(self.day.handle().feed().latest()?.seq)
    }

    fn admit(&mut self) {
        for (connection, mut latest) in std::mem::take(&mut self.joining) {
            match latest.as_mut().poll(&mut nobody()) {
                Poll::Ready(Ok(_)) => {
                    let feed = self.day.handle().feed();
                    self.followers.insert(connection, Box::pin(feed.follow()));
                }
                Poll::Ready(Err(_)) => self.turned_away.push(connection),
                Poll::Pending => self.joining.push((connection, latest)),
            }
        }
    }

    fn pump(&mut self, done: &mut Done) {
        for (connection, follower) in &mut self.followers {
            while let Poll::Ready(Some(frame)) = follower.as_mut().poll_next(&mut nobody()) {
                done.frames.push((*connection, text_of(&frame)));
            }
        }
    }
}

impl Waiting {
    /// The answer, once there is one; a verdict on a command is noted beside it.
    fn poll(&mut self, verdicts: &mut Vec<(Uuid, Option<Receipt>)>) -> Option<Answer> {
        match self {
            Waiting::Order(id, order) => match order.as_mut().poll(&mut nobody()) {
                Poll::Ready(outcome) => {
                    verdicts.extend(verdict(*id, &outcome));
                    Some(answer(outcome.map(|receipt| json!(receipt))))
                }
                Poll::Pending => None,
            },
            Waiting::View(view) => match view.as_mut().poll(&mut nobody()) {
                Poll::Ready(latest) => Some(answer(latest.map(|latest| whole(&latest)))),
                Poll::Pending => None,
            },
        }
    }
}

fn nobody() -> Context<'static> {
    Context::from_waker(Waker::noop())
}

/// As `server::problem` answers.
fn answer(outcome: Result<Value, Unanswered>) -> Answer {
    let (status, retry_after_s, body) = match outcome {
        Ok(body) => (200, 0, body),
        Err(Unanswered::Refused(refusal)) => (409, 0, json!({ "code": refusal.code })),
        Err(Unanswered::IdConflict) => (409, 0, json!({ "code": "id-conflict" })),
        Err(Unanswered::Broken(why)) => panic!("an invariant was broken: {why}"),
        Err(Unanswered::Damaged(why)) => panic!("a sound journal was called damaged: {why}"),
        Err(_) => (503, 1, json!({})),
    };
    Answer {
        status,
        body,
        retry_after_s,
    }
}

fn verdict(id: Uuid, outcome: &Result<Receipt, Unanswered>) -> Option<(Uuid, Option<Receipt>)> {
    match outcome {
        Ok(receipt) => Some((id, Some(*receipt))),
        Err(Unanswered::Refused(_)) => Some((id, None)),
        Err(_) => None,
    }
}

fn whole(latest: &Latest) -> Value {
    json!({ "seq": latest.seq, "clock": { "now": 0, "speed": 1 }, "view": latest.view })
}

/// The JSON in a text frame of a server.
fn text_of(frame: &[u8]) -> Value {
    assert_eq!(frame[0], 0x81, "one whole text frame");
    let head = match frame[1] {
        0..=125 => 2,
        126 => 4,
        _ => 10,
    };
    serde_json::from_slice(&frame[head..]).unwrap()
}
