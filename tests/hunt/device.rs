//! A device of a simulated run: the board's page, and the link it speaks by, as `web/net/link.js`
//! has it: one socket that is followed, asked after when it is silent, and opened again with patience.

use crate::board::{Board, Out, wait_before};
use crate::dice::Dice;
use putby::day::Role;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Of a command, and of any other request.
const COMMAND_LIMIT_MS: i64 = 5_000;
const ANSWER_LIMIT_MS: i64 = 10_000;
const PROBE_EVERY_MS: i64 = 4_000;
const PROBE_LIMIT_MS: i64 = 4_000;
const SPEAK_LIMIT_MS: i64 = 3_000;

/// What a request was for.
#[derive(Debug, Clone)]
pub enum What {
    Post {
        id: Uuid,
        command: Value,
    },
    Fetch,
    /// Whether the server is there, for the sake of this socket.
    Probe(u64),
}

/// What a device wants of the world.
#[derive(Debug, Clone)]
pub enum Wish {
    Request {
        number: u64,
        what: What,
        limit_ms: i64,
    },
    Connect(u64),
    Disconnect(u64),
    /// Asks on the socket itself whether it is still known.
    AskSocket(u64),
    Timer {
        timer: Timer,
        ms: i64,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Timer {
    /// The board's own, by its number.
    Board(u64),
    /// Opens the socket again.
    Again(u64),
    /// Looks whether the line is silent.
    Probe,
}

pub struct Device {
    pub place: usize,
    pub role: Role,
    pub board: Board,
    /// How often the page was opened; what an earlier page asked for means nothing to a later one.
    pub life: u64,
    pub socket: Option<u64>,
    /// What the last page did, for the browser's own code to repeat; `None` when it is not kept.
    pub trace: Option<Vec<Value>>,
    requests: BTreeMap<u64, What>,
    heard_at: i64,
    spoke_at: i64,
    asked_at: i64,
    tries: i32,
    again: u64,
    numbers: u64,
    dice: Dice,
    last_order: Option<Uuid>,
    wishes: Vec<Wish>,
}

impl Device {
    pub fn new(place: usize, role: Role, seed: u64, traced: bool) -> Device {
        let mut device = Device {
            place,
            role,
            board: Board::open(BTreeMap::new(), BTreeMap::new()),
            life: 0,
            socket: None,
            trace: traced.then(Vec::new),
            requests: BTreeMap::new(),
            heard_at: 0,
            spoke_at: 0,
            asked_at: 0,
            tries: 0,
            again: 0,
            // Numbers of different devices never meet.
            numbers: (place as u64) << 32,
            dice: Dice::new(seed ^ (0xde71ce + place as u64)),
            last_order: None,
            wishes: Vec::new(),
        };
        device.start(0);
        device
    }

    fn start(&mut self, now: i64) {
        self.note(now, json!({ "do": "open" }));
        self.open(now);
        self.wish_timer(Timer::Probe, PROBE_EVERY_MS);
        self.board.drain(now);
        self.carry_out(now);
    }

    /// What is to be done for it.
    pub fn wishes(&mut self) -> Vec<Wish> {
        std::mem::take(&mut self.wishes)
    }

    pub fn order(&mut self, command: Value, hold_ms: i64, now: i64) -> Uuid {
        let id = self.dice.id();
        self.last_order = Some(id);
        self.note(
            now,
            json!({ "do": "send", "id": id, "command": command, "hold": hold_ms }),
        );
        self.board.send(id, command, hold_ms, None, now);
        self.carry_out(now);
        id
    }

    /// Takes the last order back, and gives the id under which it is undone if it must be.
    pub fn take_back(&mut self, undo: Value, now: i64) -> Option<Uuid> {
        let id = self.last_order.take()?;
        let undo_id = self.dice.id();
        self.note(
            now,
            json!({ "do": "take-back", "id": id, "undo": undo, "undo_id": undo_id }),
        );
        self.board.take_back(id, undo_id, undo, now);
        self.carry_out(now);
        Some(undo_id)
    }

    pub fn reload(&mut self, now: i64) {
        if let Some(socket) = self.socket.take() {
            self.wishes.push(Wish::Disconnect(socket));
        }
        self.life += 1;
        self.requests.clear();
        self.tries = 0;
        let empty = Board::open(BTreeMap::new(), BTreeMap::new());
        let (memory, ended) = std::mem::replace(&mut self.board, empty).close();
        self.board = Board::open(memory, ended);
        self.start(now);
    }

    /// The page is looked at again.
    pub fn wake(&mut self, now: i64) {
        if self.socket.is_some() {
            self.probe(now);
        } else {
            self.tries = 0;
            self.open(now);
        }
    }

    pub fn timer(&mut self, timer: Timer, now: i64) {
        match timer {
            Timer::Board(number) => {
                self.note(now, json!({ "do": "timer", "number": number }));
                self.board.drain(now);
                self.carry_out(now);
            }
            Timer::Again(number) if number == self.again && self.socket.is_none() => {
                self.open(now);
            }
            Timer::Again(_) => {}
            Timer::Probe => {
                self.probe(now);
                self.wish_timer(Timer::Probe, PROBE_EVERY_MS);
            }
        }
    }

    /// A push came on a socket.
    pub fn frame(&mut self, connection: u64, push: &Value, now: i64) {
        if self.socket != Some(connection) {
            return;
        }
        self.spoke_at = now;
        if push["push"] == "here" {
            return;
        }
        self.heard_at = now;
        self.tries = 0;
        self.line(true, now);
        self.note(now, json!({ "do": "text", "push": push }));
        self.board.text(push, now);
        self.carry_out(now);
    }

    /// A socket was closed by the other side.
    pub fn hung_up(&mut self, connection: u64, now: i64) {
        if self.socket == Some(connection) {
            self.lost(now);
        }
    }

    /// A request was answered, or given up with status 0.
    pub fn answered(
        &mut self,
        number: u64,
        status: u16,
        body: &Value,
        retry_after_s: i64,
        now: i64,
    ) {
        let Some(what) = self.requests.remove(&number) else {
            return;
        };
        match what {
            What::Post { .. } => {
                let chance = self.dice.share();
                self.note(
                    now,
                    json!({ "do": "answer", "status": status, "body": body,
                            "retry_after": retry_after_s, "chance": chance }),
                );
                let seq = body["seq"].as_u64().unwrap_or(0);
                self.board.answered(status, seq, retry_after_s, chance, now);
            }
            What::Fetch => {
                self.note(now, json!({ "do": "view", "status": status, "body": body }));
                self.board.fetched(status, body, now);
            }
            What::Probe(socket) => {
                let mute = self.spoke_at < self.asked_at && now - self.asked_at > SPEAK_LIMIT_MS;
                if (status == 0 || mute) && self.socket == Some(socket) {
                    self.wishes.push(Wish::Disconnect(socket));
                    if status != 0 {
                        self.tries = 0;
                    }
                    self.lost(now);
                }
            }
        }
        self.carry_out(now);
    }

    fn open(&mut self, now: i64) {
        (self.spoke_at, self.asked_at) = (now, 0);
        self.numbers += 1;
        self.again += 1;
        self.socket = Some(self.numbers);
        self.wishes.push(Wish::Connect(self.numbers));
    }

    fn lost(&mut self, now: i64) {
        self.socket = None;
        self.line(false, now);
        self.tries += 1;
        self.again += 1;
        let wait = wait_before(self.tries, self.dice.share());
        self.wish_timer(Timer::Again(self.again), wait);
    }

    fn probe(&mut self, now: i64) {
        let Some(socket) = self.socket else { return };
        if now - self.heard_at > PROBE_EVERY_MS {
            if self.asked_at <= self.spoke_at {
                self.asked_at = now;
            }
            self.wishes.push(Wish::AskSocket(socket));
            self.request(What::Probe(socket), PROBE_LIMIT_MS);
        }
    }

    fn line(&mut self, up: bool, now: i64) {
        self.note(now, json!({ "do": "line", "up": up }));
        self.board.line(up, now);
        self.carry_out(now);
    }

    fn request(&mut self, what: What, limit_ms: i64) {
        self.numbers += 1;
        let number = self.numbers;
        self.requests.insert(number, what.clone());
        self.wishes.push(Wish::Request {
            number,
            what,
            limit_ms,
        });
    }

    fn wish_timer(&mut self, timer: Timer, ms: i64) {
        self.wishes.push(Wish::Timer { timer, ms });
    }

    /// Turns what the board wants into wishes, and notes it.
    fn carry_out(&mut self, now: i64) {
        let _ = now;
        for out in std::mem::take(&mut self.board.out) {
            let told = match &out {
                Out::Post { id, .. } => json!(["post", id]),
                Out::Fetch => json!(["fetch"]),
                Out::Later { number, ms } => json!(["later", number, ms]),
            };
            if let Some(outs) = self
                .trace
                .as_mut()
                .and_then(|trace| trace.last_mut()?["out"].as_array_mut())
            {
                outs.push(told);
            }
            match out {
                Out::Post { id, command } => {
                    self.request(What::Post { id, command }, COMMAND_LIMIT_MS);
                }
                Out::Fetch => self.request(What::Fetch, ANSWER_LIMIT_MS),
                Out::Later { number, ms } => self.wish_timer(Timer::Board(number), ms),
            }
        }
    }

    fn note(&mut self, now: i64, mut input: Value) {
        if let Some(trace) = &mut self.trace {
            input["at"] = now.into();
            trace.push(json!({ "in": input, "out": [] }));
        }
    }
}
