//! Twenty devices that tap as fast as they are answered, over several connections each, with copies
//! and with answers that get lost; and what the board must still have of it afterwards.
//!
//! A device brings one tap at a time and the same one until it is acknowledged, as the page does. Each
//! recounts a place of its own to a number that follows the one before. So the journal shows by itself
//! whether a tap was lost, doubled or brought out of order.

use crate::board::Board;
use actix_web::rt;
use awc::Client;
use futures_util::future::join_all;
use putby::day::ids::DayId;
use putby::day::plan::DayPlan;
use putby::day::{self, Event, State};
use putby::demo;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};
use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;
use std::time::Duration;
use uuid::Uuid;

const DEVICES: usize = 20;
const CONNECTIONS: usize = 3;
const COPIES_MOST: usize = 5;
/// How many of a hundred copies are given up before their answer comes.
const LOST_OF_100: u32 = 20;
/// Counts go up to this and begin again.
const ROUND: i64 = 50;
const PLACES_A_ROUTE: usize = 10;
const AGAIN_AFTER: Duration = Duration::from_millis(20);

/// A tap that was acknowledged.
#[derive(Clone, Copy)]
pub struct Ack {
    pub id: Uuid,
    pub seq: u64,
}

/// Devices at work.
pub struct Load {
    acks: Rc<RefCell<Vec<Ack>>>,
    stop: Rc<Cell<bool>>,
    devices: Vec<rt::task::JoinHandle<()>>,
}

impl Load {
    pub fn begin(board: &Board, day: &DayId, seed: u64) -> Load {
        let acks = Rc::default();
        let stop = Rc::default();
        let device = |number: usize| Device {
            number,
            to: format!("{}api/days/{day}/commands", board.address),
            lead_key: board.lead_key.clone(),
            connections: (0..CONNECTIONS).map(|_| Client::default()).collect(),
            rng: ChaCha8Rng::seed_from_u64(seed * 100 + number as u64),
            acks: Rc::clone(&acks),
            stop: Rc::clone(&stop),
        };
        let devices = (0..DEVICES).map(|number| rt::spawn(device(number).tap()));
        Load {
            devices: devices.collect(),
            acks,
            stop,
        }
    }

    /// What was acknowledged until now.
    pub fn acks(&self) -> Vec<Ack> {
        self.acks.borrow().clone()
    }

    pub fn count(&self) -> usize {
        self.acks.borrow().len()
    }

    /// Lets every device end the tap it has in hand; fails if one met what it must not.
    pub async fn end(self) -> Vec<Ack> {
        self.stop.set(true);
        for device in self.devices {
            device.await.unwrap();
        }
        self.acks.take()
    }
}

struct Device {
    number: usize,
    to: String,
    lead_key: String,
    connections: Vec<Client>,
    rng: ChaCha8Rng,
    acks: Rc<RefCell<Vec<Ack>>>,
    stop: Rc<Cell<bool>>,
}

impl Device {
    async fn tap(mut self) {
        for number in 1.. {
            let id = Uuid::from_u128(self.rng.random());
            let amount = amount_of(number);
            let order = json!({"order": "recount", "station": station(self.number),
                "product": product(self.number), "lot": "hill", "amount": amount});
            let body = json!({"id": id, "command": order});
            let seq = loop {
                if self.stop.get() {
                    return;
                }
                match self.bring(&body).await {
                    Some(seq) => break seq,
                    None => rt::time::sleep(AGAIN_AFTER).await,
                }
            };
            self.acks.borrow_mut().push(Ack { id, seq });
        }
    }

    /// Sends some copies at once; the number of the event, if any answer came through.
    async fn bring(&mut self, body: &Value) -> Option<u64> {
        let copies = self.rng.random_range(1..=COPIES_MOST);
        let mut sent = Vec::new();
        for copy in 0..copies {
            let client = &self.connections[copy % CONNECTIONS];
            let lost = self.rng.random_ratio(LOST_OF_100, 100);
            let patience = match lost {
                true => Duration::from_millis(self.rng.random_range(0..5)),
                false => Duration::from_secs(60),
            };
            sent.push(one_copy(client, &self.to, &self.lead_key, body, patience));
        }
        let answers: Vec<u64> = join_all(sent).await.into_iter().flatten().collect();
        let first = answers.first().copied();
        assert!(
            answers.iter().all(|seq| Some(*seq) == first),
            "copies of one tap got different answers: {answers:?}"
        );
        first
    }
}

/// The event's number, unless the answer is lost or says that nothing was done for now.
async fn one_copy(
    client: &Client,
    to: &str,
    lead_key: &str,
    body: &Value,
    patience: Duration,
) -> Option<u64> {
    let asked = client
        .post(to)
        .timeout(Duration::from_secs(60))
        .bearer_auth(lead_key)
        .send_json(body);
    let mut answer = rt::time::timeout(patience, asked).await.ok()?.ok()?;
    let text = answer.body().await.ok()?;
    let status = answer.status().as_u16();
    // 408 where a halted board could not read it in time: nothing was done.
    if status >= 500 || status == 408 {
        return None;
    }
    assert_eq!(status, 200, "{}", String::from_utf8_lossy(&text));
    let receipt: Value = serde_json::from_slice(&text).ok()?;
    receipt["seq"].as_u64()
}

fn amount_of(number: i64) -> i64 {
    1 + number % ROUND
}

fn station(device: usize) -> String {
    format!("s{device}")
}

/// A route has no room for all.
fn product(device: usize) -> String {
    format!("slices-{}", device / PLACES_A_ROUTE)
}

/// A kitchen with a place for each device, opened.
pub async fn open_day(board: &Board) -> DayId {
    demo::open_day_id(&board.address, &board.lead_key, kitchen(), 460)
        .await
        .unwrap()
}

pub fn kitchen() -> DayPlan {
    let mut stations = serde_json::Map::new();
    let mut products = serde_json::Map::new();
    for device in 0..DEVICES {
        let id = station(device);
        let name = format!("Table {device}");
        stations.insert(
            id.clone(),
            json!({"name": name, "work": "slice", "nature": {"is": "hand"}, "seats": 2}),
        );
        let carrier = json!({"name": "bowl", "holds": 5000});
        let made = products.entry(product(device)).or_insert_with(|| {
            json!({"name": "Pear slices", "produce": "pears", "route": [],
                "ends_in": {"as": "frozen", "package": "bag"}})
        });
        let step = json!({"station": id, "measure": "lb", "carrier": carrier});
        made["route"].as_array_mut().unwrap().push(step);
    }
    let plan = json!({
        "name": "Taps", "date": "2026-09-12", "altitude_ft": 500,
        "stations": stations,
        "helpers": {"maren": {"name": "Maren", "age": 44, "sign": "pear"}},
        "products": products,
        "lots": {"hill": {"name": "Hill orchard", "produce": "pears", "measure": "lb",
            "amount": 80000, "box_holds": 40000}},
    });
    serde_json::from_value(plan).unwrap()
}

/// The day as its events make it, read on from look to look.
pub struct Witness {
    day: DayId,
    state: State,
    seq: u64,
    /// The last event of each command.
    ends: HashMap<Uuid, u64>,
    last_id: Uuid,
    /// What each device has counted last.
    counted: Vec<i64>,
    checked: usize,
}

impl Witness {
    pub fn of(day: &DayId) -> Witness {
        Witness {
            day: day.clone(),
            state: State::default(),
            seq: 0,
            ends: HashMap::new(),
            last_id: Uuid::nil(),
            counted: vec![0; DEVICES],
            checked: 0,
        }
    }

    /// Every acknowledged tap is there, under the number that was told; none is there twice, none is
    /// left out before a later one of its device; and the view is what the events make.
    pub async fn check(&mut self, board: &Board, acks: &[Ack]) {
        let shown = board.look(&self.day).await;
        let shown_seq = shown["seq"].as_u64().unwrap();
        let acked = acks.iter().map(|ack| ack.seq).max().unwrap_or(0);
        assert!(
            shown_seq >= acked,
            "shown is {shown_seq}, acknowledged {acked}"
        );
        for record in board.records_from(&self.day, self.seq + 1).await {
            if record.seq > shown_seq {
                break;
            }
            assert_eq!(record.seq, self.seq + 1, "a gap in the events");
            let again = record.command != self.last_id && self.ends.contains_key(&record.command);
            assert!(!again, "the command {} was done twice", record.command);
            if let Event::Recounted {
                station, amount, ..
            } = &record.event
            {
                let device: usize = station.as_str()[1..].parse().unwrap();
                let next = self.counted[device] + 1;
                assert_eq!(amount.0, amount_of(next), "device {device}, tap {next}");
                self.counted[device] = next;
            }
            day::apply(&mut self.state, record.at, record.command, &record.event);
            self.ends.insert(record.command, record.seq);
            self.last_id = record.command;
            self.seq = record.seq;
        }
        assert_eq!(self.seq, shown_seq, "the events end early");
        let folded = serde_json::to_value(day::view(&self.state)).unwrap();
        assert_eq!(
            folded, shown["view"],
            "the view is not what the events make"
        );
        for ack in &acks[self.checked..] {
            assert_eq!(self.ends.get(&ack.id), Some(&ack.seq), "tap {}", ack.id);
        }
        self.checked = acks.len();
    }

    /// How many events it has seen.
    pub fn seen(&self) -> u64 {
        self.seq
    }
}
