//! The browser's outbox and store, told once more in Rust: `web/core/board.js`, `outbox.js`,
//! `store.js`. `replay.js` gives the browser's own code the same inputs and compares what it does.
//!
//! Pure: inputs come in, what is to be done comes out in `out`.

use serde_json::{Value, json};
use std::collections::BTreeMap;
use uuid::Uuid;

/// What the board wants done.
#[derive(Debug, Clone, PartialEq)]
pub enum Out {
    /// Send this command; its answer comes by `answered`.
    Post { id: Uuid, command: Value },
    /// Fetch the whole view; it comes by `fetched`.
    Fetch,
    /// Call `drain` after so long; the number tells the timers apart.
    Later { number: u64, ms: i64 },
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    Accepted,
    Refused,
    TakenBack,
}

#[derive(Debug, Clone)]
struct Entry {
    id: Uuid,
    command: Value,
    place: u64,
    tried: bool,
    /// The event it was acknowledged with; `None` while it waits.
    kept: Option<u64>,
    held_until: Option<i64>,
    then: Option<(Uuid, Value)>,
}

/// What stays when the page is closed.
pub type Memory = BTreeMap<Uuid, Kept>;

/// An entry as the device's storage keeps it.
#[derive(Debug, Clone)]
pub struct Kept(Entry);

pub struct Board {
    pub seq: Option<u64>,
    pub view: Value,
    pub ended: BTreeMap<Uuid, Ended>,
    pub out: Vec<Out>,
    entries: Vec<Entry>,
    memory: Memory,
    /// The one that is on its way.
    sending: Option<Uuid>,
    tries: i32,
    joined: bool,
    timers: u64,
}

const FIRST_WAIT_MS: f64 = 500.0;
const LONGEST_WAIT_MS: f64 = 4_000.0;

/// `waitBefore` of `outbox.js`.
pub fn wait_before(tries: i32, chance: f64) -> i64 {
    let most = LONGEST_WAIT_MS.min(FIRST_WAIT_MS * 2f64.powi((tries - 1).min(10)));
    (most / 2.0 + most / 2.0 * chance).round() as i64
}

impl Board {
    /// The page as it opens on what was kept.
    pub fn open(memory: Memory, ended: BTreeMap<Uuid, Ended>) -> Board {
        let mut entries: Vec<Entry> = memory.values().map(|kept| kept.0.clone()).collect();
        for entry in &mut entries {
            entry.held_until = None;
            entry.kept = None;
        }
        entries.sort_by_key(|entry| (entry.place, entry.id));
        Board {
            seq: None,
            view: Value::Null,
            ended,
            out: Vec::new(),
            entries,
            memory,
            sending: None,
            tries: 0,
            joined: false,
            timers: 0,
        }
    }

    /// Closes the page; what was kept stays.
    pub fn close(self) -> (Memory, BTreeMap<Uuid, Ended>) {
        (self.memory, self.ended)
    }

    /// Whether nothing is on its way any more.
    pub fn is_idle(&self) -> bool {
        self.waiting() == 0
    }

    /// How many commands have no answer yet.
    pub fn waiting(&self) -> usize {
        self.entries
            .iter()
            .filter(|entry| entry.kept.is_none())
            .count()
    }

    pub fn send(
        &mut self,
        id: Uuid,
        command: Value,
        hold: i64,
        then: Option<(Uuid, Value)>,
        now: i64,
    ) {
        self.queue(id, command, hold, then, now);
        self.drain(now);
    }

    fn queue(
        &mut self,
        id: Uuid,
        command: Value,
        hold: i64,
        then: Option<(Uuid, Value)>,
        now: i64,
    ) {
        if hold > 0 {
            self.later(hold);
        }
        let place = self
            .entries
            .iter()
            .map(|entry| entry.place)
            .max()
            .unwrap_or(0)
            + 1;
        let entry = Entry {
            id,
            command,
            place,
            tried: false,
            kept: None,
            held_until: (hold > 0).then_some(now + hold),
            then,
        };
        self.memory.insert(id, Kept(entry.clone()));
        self.entries.push(entry);
    }

    /// Takes a command back; `order`, under `order_id`, undoes it if it may have left already.
    pub fn take_back(&mut self, id: Uuid, order_id: Uuid, order: Value, now: i64) {
        let found = self.entries.iter_mut().find(|entry| entry.id == id);
        match found {
            Some(entry) if entry.kept.is_none() && entry.tried => {
                entry.then = Some((order_id, order));
                self.memory.insert(id, Kept(entry.clone()));
            }
            Some(entry) if entry.kept.is_none() => {
                self.drop_entry(id);
                self.ended.insert(id, Ended::TakenBack);
            }
            _ => self.send(order_id, order, 0, None, now),
        }
    }

    fn drop_entry(&mut self, id: Uuid) {
        self.entries.retain(|entry| entry.id != id);
        self.memory.remove(&id);
    }

    /// The line came or went.
    pub fn line(&mut self, up: bool, now: i64) {
        if up {
            self.tries = 0;
            self.drain(now);
        } else {
            self.joined = false;
        }
    }

    /// A push came.
    pub fn text(&mut self, push: &Value, now: i64) {
        if !["view", "patch"].contains(&push["push"].as_str().unwrap_or_default()) {
            return;
        }
        let first = !self.joined && push["push"] == "view";
        self.joined |= first;
        self.take(push, first, now);
    }

    /// The whole view came, or did not.
    pub fn fetched(&mut self, status: u16, body: &Value, now: i64) {
        if status == 200 {
            let mut push = body.clone();
            push["push"] = "view".into();
            self.take(&push, false, now);
        }
    }

    fn take(&mut self, push: &Value, joined: bool, now: i64) {
        let (gap, seen) = self.apply(push, joined);
        let (seq, shown) = (self.seq, |entry: &Entry| seen.contains(&entry.id));
        let settled = |entry: &Entry| shown(entry) || entry.kept.is_some() && entry.kept <= seq;
        let (gone, left): (Vec<Entry>, Vec<Entry>) = self.entries.drain(..).partition(settled);
        self.entries = left;
        for entry in gone {
            self.memory.remove(&entry.id);
            self.ended.insert(entry.id, Ended::Accepted);
            if let Some((id, order)) = entry.then {
                self.send(id, order, 0, None, now);
            }
        }
        if gap {
            self.out.push(Out::Fetch);
        }
    }

    /// The store: whether something is missing, and which commands the view now shows.
    fn apply(&mut self, push: &Value, joined: bool) -> (bool, Vec<Uuid>) {
        let pushed = push["seq"].as_u64().unwrap();
        if push["push"] == "view" {
            if joined || self.seq.is_none_or(|seq| pushed >= seq) {
                self.seq = Some(pushed);
                self.view = push["view"].clone();
            }
            return (false, Vec::new());
        }
        let Some(seq) = self.seq else {
            return (true, Vec::new());
        };
        let commands = push["commands"].as_array().unwrap().iter();
        let seen = commands
            .map(|id| id.as_str().unwrap().parse().unwrap())
            .collect();
        if pushed <= seq {
            return (false, seen);
        }
        if push["from"] != seq {
            return (true, Vec::new());
        }
        json_patch::merge(&mut self.view, &push["patch"]);
        self.seq = Some(pushed);
        (false, seen)
    }

    /// Sends the next, unless one is on its way; also what `Out::Later` asked for.
    pub fn drain(&mut self, now: i64) {
        if self.sending.is_some() {
            return;
        }
        let free = |entry: &Entry| entry.held_until.is_none_or(|until| until <= now);
        let head = self
            .entries
            .iter_mut()
            .find(|entry| entry.kept.is_none() && free(entry));
        let Some(entry) = head else { return };
        self.sending = Some(entry.id);
        if !entry.tried {
            entry.tried = true;
            self.memory.insert(entry.id, Kept(entry.clone()));
        }
        self.out.push(Out::Post {
            id: entry.id,
            command: entry.command.clone(),
        });
    }

    /// The answer to a post; status 0 when there is none. `chance` spreads the wait.
    pub fn answered(&mut self, status: u16, seq: u64, retry_after_s: i64, chance: f64, now: i64) {
        let Some(id) = self.sending.take() else {
            return;
        };
        let again = status == 0 || [408, 425, 429].contains(&status) || status >= 500;
        if again {
            self.tries += 1;
            self.later(retry_after_s * 1000 + wait_before(self.tries, chance));
            return;
        }
        self.tries = 0;
        if status < 300 {
            self.accept(id, seq, now);
        } else if self.memory.contains_key(&id) {
            self.drop_entry(id);
            self.ended.insert(id, Ended::Refused);
        }
        self.drain(now);
    }

    fn accept(&mut self, id: Uuid, seq: u64, now: i64) {
        self.memory.remove(&id);
        self.ended.insert(id, Ended::Accepted);
        let mut then = None;
        if let Some(entry) = self.entries.iter_mut().find(|entry| entry.id == id) {
            entry.kept = Some(seq);
            then = entry.then.take();
        }
        let shown = self.seq;
        self.entries
            .retain(|entry| entry.kept.is_none() || entry.kept > shown);
        if let Some((id, order)) = then {
            self.send(id, order, 0, None, now);
        }
    }

    fn later(&mut self, ms: i64) {
        let number = self.timers;
        self.timers += 1;
        self.out.push(Out::Later { number, ms });
    }

    /// What can be seen of it from outside, to lay beside the browser's own.
    pub fn seen(&self) -> Value {
        let entries = self.entries.iter();
        let line = |entry: &Entry| json!([entry.id, entry.kept]);
        json!({ "seq": self.seq, "view": self.view, "entries": entries.map(line).collect::<Vec<_>>() })
    }
}
