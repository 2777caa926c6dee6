//! What a flood, and screens that have stopped reading, cost everybody else.
//!
//! Devices tap at the board's own program over real sockets, each from an address of its own, and
//! follow the day. In turns, within one run, nobody disturbs them and somebody does: one device
//! floods the board with commands, some screens do not read, connections are opened and left, or a
//! program of its own is run. What counts is how the times compare: of taps to their
//! acknowledgement and to the other screens, and of a new device to its page and its first view.
//! With loss, a device hangs up on some of its taps before it hears the answer, and sends the same
//! again. At the end every tap that was acknowledged must stand in the journal, once.
//!
//!     cargo bench --bench flood
//!     cargo bench --bench flood -- --devices 1000 --stalled 100 --loss 20
//!     cargo bench --bench flood -- --trouble stalled --taps-per-s 50 --seconds 600 --turns 1
//!     tests/hunt/slow-http

#![allow(
    clippy::unwrap_used,
    reason = "a measurement may stop at the first surprise"
)]

mod board;
#[allow(dead_code, reason = "small_board uses the rest")]
mod process;
mod screens;

use actix_web::rt::net::TcpStream;
use actix_web::rt::{self, time::sleep};
use board::{Board, answer, quantile};
use clap::{Parser, ValueEnum};
use process::Process;
use rand::RngExt;
use screens::{Arrivals, frame};
use serde_json::{Value, json};
use std::cell::{Cell, RefCell};
use std::collections::{BTreeSet, HashMap, VecDeque};
use std::net::Ipv4Addr;
use std::process::{Command, Stdio};
use std::rc::Rc;
use std::time::{Duration, Instant};
use tokio::io::AsyncWriteExt;
use tokio::time::interval;
use uuid::Uuid;

#[derive(Parser)]
struct Args {
    /// Devices that tap and follow the day.
    #[arg(long, default_value_t = 16)]
    devices: u16,
    /// What disturbs them.
    #[arg(long, value_enum, value_delimiter = ',', default_values = ["flood", "stalled"])]
    trouble: Vec<Trouble>,
    /// Screens that do not read.
    #[arg(long, default_value_t = 5)]
    stalled: u16,
    /// Connections a second that are opened and left, by one address.
    #[arg(long, default_value_t = 500)]
    opens_per_s: u32,
    /// What the shell runs, for `beside`; it finds the board's address in $URL, and how many seconds
    /// it is to last in $LASTS.
    #[arg(long, default_value = "true")]
    beside: String,
    /// How many taps of a hundred lose their answer.
    #[arg(long, default_value_t = 0)]
    loss: u32,
    /// Taps a second, of all devices together.
    #[arg(long, default_value_t = 40)]
    taps_per_s: u16,
    /// Seconds of a turn.
    #[arg(long, default_value_t = 5)]
    seconds: u64,
    /// How often each turn comes.
    #[arg(long, default_value_t = 3)]
    turns: usize,
    /// What cargo passes on.
    #[arg(long, hide = true)]
    bench: bool,
}

/// What is between the devices and their taps.
#[derive(Debug, Clone, Copy, PartialEq, ValueEnum)]
enum Trouble {
    /// Nothing; it is always measured.
    Nothing,
    /// A device that sends commands as fast as it is answered, on sixteen connections.
    Flood,
    /// Screens that do not read.
    Stalled,
    /// Connections that say nothing.
    Opens,
    /// A program of its own.
    Beside,
}

/// The first turn, which warms everything up, is no longer than this.
const WARM_UP_S: u64 = 5;
/// A screen that does not read is gone by then: what is unheard for 60 s is dropped, at the next
/// beat of 20 s.
const STALLED_AGAIN: Duration = Duration::from_secs(90);
/// A device that is not let in by then was not let in.
const PATIENCE: Duration = Duration::from_secs(30);

/// A family's day in which there is always something to tally, for so many taps, and little more:
/// what is left is looked ahead on.
fn plan(taps: u64) -> Value {
    let amount = 1000 * taps;
    let step = |station: &str| json!({"station": station, "measure": "lb", "carrier": {"name": "tub", "holds": 1000}});
    let station =
        |name: &str| json!({"name": name, "work": "wash", "nature": {"is": "hand"}, "seats": 2});
    json!({
        "name": "Flood", "date": "2026-09-12", "altitude_ft": 500,
        "stations": {"wash": station("Wash"), "bag": station("Bag")},
        "helpers": {"maren": {"name": "Maren", "age": 44, "sign": "pear"},
            "otto": {"name": "Otto", "age": 70, "sign": "plum"}},
        "products": {"slices": {"name": "Pear slices", "produce": "pears",
            "ends_in": {"as": "frozen", "package": "bag"}, "route": [step("wash"), step("bag")]}},
        "lots": {"hill": {"name": "Hill orchard", "produce": "pears", "measure": "lb",
            "amount": amount, "box_holds": amount}},
    })
}

/// In turns a pound is washed and bagged, so that no more waits later than sooner.
fn tap(number: usize) -> (Uuid, Value) {
    let id = Uuid::new_v4();
    let (station, helper) = [("wash", "maren"), ("bag", "otto")][number % 2];
    let command = json!({"order": "tally", "station": station, "helper": helper,
        "product": "slices", "amount": 1000});
    (id, json!({"id": id, "command": command}))
}

const DAY: &str = "flood";
const COMMANDS: &str = "/api/days/flood/commands";

/// An address of a device's own.
fn address(net: u8, number: u16) -> Ipv4Addr {
    let [high, low] = number.to_be_bytes();
    Ipv4Addr::new(127, net, high, low.max(1))
}

/// One tapping device: its own address, cookie and connection.
struct Device {
    from: Ipv4Addr,
    who: String,
    line: Option<TcpStream>,
}

impl Device {
    fn new(net: u8, number: u16) -> Device {
        Device {
            from: address(net, number),
            who: format!("cookie: putby-device={net:024x}{number:024x}"),
            line: None,
        }
    }

    /// Taps until it is acknowledged; how long the try that was took.
    async fn tap(&mut self, on: &Ground, number: usize) -> (Uuid, Duration) {
        let (id, body) = tap(number);
        let request = on.board.post(COMMANDS, &self.who, &body);
        on.arrivals.sent(id, self.from);
        loop {
            if self.line.is_none() {
                self.line = Some(on.board.connect(self.from, None).await);
            }
            let line = self.line.as_mut().unwrap();
            let began = Instant::now();
            if line.write_all(&request).await.is_err() {
                self.line = None;
                continue;
            }
            if rand::rng().random_range(0..100) < on.args.loss {
                self.line = None;
                continue;
            }
            match answer(line).await {
                Some((200, _)) => return (id, began.elapsed()),
                Some((429 | 503, _)) => sleep(Duration::from_secs(1)).await,
                Some((status, body)) => panic!("{status}: {}", String::from_utf8_lossy(&body)),
                None => self.line = None,
            }
        }
    }
}

/// What all turns share.
struct Ground {
    args: Args,
    board: Board,
    arrivals: Arrivals,
    /// Every command that was acknowledged.
    kept: RefCell<BTreeSet<Uuid>>,
    newcomers: Cell<u16>,
}

/// What was measured under one trouble, over all its turns.
#[derive(Default)]
struct Measured {
    acknowledged: Vec<Duration>,
    shown: Vec<Duration>,
    /// New devices, each second one.
    newcomers: Vec<Duration>,
    /// One that came as the trouble ended.
    afterwards: Duration,
    resident_kib: u64,
    files: u64,
}

async fn turn(on: &Rc<Ground>, trouble: Trouble, seconds: u64, to: &mut Measured) {
    let over = Rc::new(Cell::new(false));
    on.arrivals.take();
    let disturbing = disturb(on, trouble, seconds, &over);
    let (devices, taps_per_s) = (on.args.devices, on.args.taps_per_s);
    let pause = Duration::from_secs_f64(f64::from(devices) / f64::from(taps_per_s));
    let taps = (0..devices).map(|number| {
        let (on, over) = (on.clone(), over.clone());
        rt::spawn(async move {
            let mut device = Device::new(1, number);
            let mut took = Vec::new();
            sleep(pause.mul_f64(rand::rng().random())).await;
            while !over.get() {
                let (id, one) = device.tap(&on, took.len()).await;
                on.kept.borrow_mut().insert(id);
                took.push(one);
                sleep(pause).await;
            }
            took
        })
    });
    let taps: Vec<_> = taps.collect();
    let began = Instant::now();
    let mut beat = interval(Duration::from_secs(1));
    while began.elapsed().as_secs() < seconds {
        beat.tick().await;
        to.newcomers.push(newcomer(on).await);
        let look = Process::look(on.board.child.id()).unwrap();
        to.resident_kib = to.resident_kib.max(look.resident_kib);
        to.files = to.files.max(look.files);
    }
    over.set(true);
    for one in disturbing {
        one.await.unwrap();
    }
    to.afterwards = to.afterwards.max(newcomer(on).await);
    for device in taps {
        to.acknowledged.extend(device.await.unwrap());
    }
    to.shown.extend(on.arrivals.take());
}

/// How long it takes a device that was never here to get the page and its first view.
async fn newcomer(on: &Ground) -> Duration {
    let number = on.newcomers.replace(on.newcomers.get().wrapping_add(1));
    let from = address(4, number);
    let began = Instant::now();
    let comes = async {
        loop {
            let page = on.board.get(from, "/").await;
            if page.is_some()
                && let Some(mut line) = on.board.follow(DAY, from, None).await
                && frame(&mut line).await.is_some()
            {
                return;
            }
            sleep(Duration::from_millis(250)).await;
        }
    };
    let _ = tokio::time::timeout(PATIENCE, comes).await;
    began.elapsed()
}

type Task = rt::task::JoinHandle<()>;

fn disturb(on: &Rc<Ground>, trouble: Trouble, seconds: u64, over: &Rc<Cell<bool>>) -> Vec<Task> {
    let again = || (on.clone(), over.clone());
    match trouble {
        Trouble::Nothing => Vec::new(),
        Trouble::Flood => {
            let one = |_| {
                let (on, over) = again();
                rt::spawn(async move { flood(&on, &over).await })
            };
            (0..16).map(one).collect()
        }
        Trouble::Stalled => {
            let (on, over) = again();
            vec![rt::spawn(async move { stall(&on, &over).await })]
        }
        Trouble::Opens => {
            let (on, over) = again();
            vec![rt::spawn(async move { open(&on, &over).await })]
        }
        Trouble::Beside => {
            let mut beside = Command::new("sh")
                .args(["-c", &on.args.beside])
                .env("URL", format!("http://{}/", on.board.at))
                .env("LASTS", seconds.to_string())
                .stdout(Stdio::inherit())
                .spawn()
                .unwrap();
            // It ends by itself.
            vec![rt::spawn(async move {
                while beside.try_wait().unwrap().is_none() {
                    sleep(Duration::from_millis(20)).await;
                }
            })]
        }
    }
}

/// One connection of a device that sends as fast as it is answered.
async fn flood(on: &Ground, over: &Cell<bool>) {
    let mut device = Device::new(2, 1);
    let mut done = 0;
    while !over.get() {
        let (id, body) = tap(done);
        let request = on.board.post(COMMANDS, &device.who, &body);
        let line = match &mut device.line {
            Some(line) => line,
            none => none.insert(on.board.connect(device.from, None).await),
        };
        let sent = line.write_all(&request).await;
        match answer(line).await.filter(|_| sent.is_ok()) {
            Some((200, _)) => {
                on.kept.borrow_mut().insert(id);
                done += 1;
            }
            Some(_) => {}
            None => device.line = None,
        }
    }
}

/// Screens that do not read, and come again once they must be gone.
async fn stall(on: &Ground, over: &Cell<bool>) {
    while !over.get() {
        let mut held = Vec::new();
        for number in 0..on.args.stalled {
            held.extend(on.board.follow(DAY, address(3, number), Some(4096)).await);
        }
        let began = Instant::now();
        while !over.get() && began.elapsed() < STALLED_AGAIN {
            sleep(Duration::from_millis(50)).await;
        }
        if !over.get() {
            // The newest device may still be there.
            let screens = on.board.measure("putby_screens").await - f64::from(on.args.devices);
            println!(
                "{} screens that do not read: {screens} screens beyond the devices' after {} s",
                held.len(),
                STALLED_AGAIN.as_secs()
            );
        }
    }
}

/// Connections that say nothing, as many as there may be.
async fn open(on: &Ground, over: &Cell<bool>) {
    let mut held = VecDeque::new();
    let mut beat = interval(Duration::from_secs(1) / on.args.opens_per_s);
    while !over.get() {
        beat.tick().await;
        held.push_back(on.board.connect(address(5, 1), None).await);
        if held.len() > 1000 {
            held.pop_front();
        }
    }
}

fn report(what: &str, measured: &mut Measured, alone: Option<&mut Measured>) {
    println!("{what}:");
    let mut alone = alone;
    for (name, share) in [("median", 0.5), ("90 %", 0.9), ("99 %", 0.99)] {
        let acknowledged = quantile(&mut measured.acknowledged, share);
        let shown = quantile(&mut measured.shown, share);
        let ratio = |value: f64, base: &mut Vec<Duration>| {
            format!(" (ratio {:.2})", value / quantile(base, share))
        };
        let (one, other) = match &mut alone {
            Some(alone) => (
                ratio(acknowledged, &mut alone.acknowledged),
                ratio(shown, &mut alone.shown),
            ),
            None => Default::default(),
        };
        println!(
            "  {name:>6}  acknowledged {acknowledged:8.3}{one}   on other screens {shown:8.3}{other}"
        );
    }
    println!(
        "  {} taps; a new device in {:.0} ms at most, {:.0} ms as it ended; \
         {:.1} MiB resident and {} files open at most",
        measured.acknowledged.len(),
        quantile(&mut measured.newcomers, 1.0),
        measured.afterwards.as_secs_f64() * 1000.0,
        measured.resident_kib as f64 / 1024.0,
        measured.files
    );
}

#[actix_web::main]
async fn main() {
    // `cargo test --benches` builds and starts it too.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let args = Args::parse();
    let folder = tempfile::tempdir().unwrap();
    // Only how many there may be in all: how much each may ask for is as usual.
    let crowd = usize::from(args.devices + args.stalled);
    let usual = putby::config::Limits::USUAL;
    let places = (crowd + 64).max(usual.sockets).to_string();
    let connections = (3 * crowd + 256).max(usual.connections).to_string();
    let env = [
        ("PUTBY_SOCKETS", places),
        ("PUTBY_CONNECTIONS", connections),
    ];
    let on = Rc::new(Ground {
        args,
        board: Board::start(folder.path(), &[], &env),
        arrivals: Arrivals::default(),
        kept: RefCell::default(),
        newcomers: Cell::default(),
    });
    let (args, board) = (&on.args, &on.board);
    let idle = Process::look(board.child.id()).unwrap();
    // The flood's own beside them, of which no more than a device's are taken.
    let per_s = u64::from(args.taps_per_s) + 2 * u64::from(usual.commands_per_s);
    let turns = (args.turns as u64 + 1) * (args.trouble.len() as u64 + 1);
    let open =
        json!({"id": Uuid::new_v4(), "day": DAY, "plan": plan(per_s * args.seconds * turns)});
    board.lead_posts("/api/days", &open).await;
    for order in [
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        json!({"order": "claim", "helper": "maren", "station": "wash"}),
        json!({"order": "claim", "helper": "otto", "station": "bag"}),
    ] {
        let order = json!({"id": Uuid::new_v4(), "command": order});
        board.lead_posts(COMMANDS, &order).await;
    }
    for number in 0..args.devices {
        on.arrivals.follow(board, DAY, address(1, number)).await;
    }
    let mut troubles = vec![Trouble::Nothing];
    troubles.extend(args.trouble.iter().filter(|one| **one != Trouble::Nothing));
    let mut measured: Vec<Measured> = troubles.iter().map(|_| Measured::default()).collect();
    for number in 0..=args.turns {
        for (trouble, measured) in troubles.iter().zip(&mut measured) {
            // The first turn warms everything up.
            let warm_up = number == 0;
            let seconds = if warm_up {
                args.seconds.min(WARM_UP_S)
            } else {
                args.seconds
            };
            turn(&on, *trouble, seconds, measured).await;
            if warm_up {
                *measured = Measured::default();
            }
        }
    }
    println!(
        "{} devices, {} stalled screens, {} % of answers lost, {:.1} MiB resident idle; in milliseconds:",
        args.devices,
        args.stalled,
        args.loss,
        idle.resident_kib as f64 / 1024.0
    );
    let (alone, others) = measured.split_first_mut().unwrap();
    report("alone", alone, None);
    for (trouble, measured) in troubles[1..].iter().zip(others) {
        report(&format!("{trouble:?}"), measured, Some(alone));
    }
    println!("{} screens were ended", on.arrivals.ended());
    let text = board
        .get(Ipv4Addr::LOCALHOST, "/api/days/flood/events")
        .await;
    let text = String::from_utf8(text.unwrap()).unwrap();
    let mut written: HashMap<&str, usize> = HashMap::new();
    for event in text.split("\"command\":\"").skip(1) {
        *written.entry(&event[..36]).or_default() += 1;
    }
    let kept = on.kept.borrow();
    let once = |id: &&Uuid| written.get(id.to_string().as_str()) == Some(&1);
    let lost = kept.len() - kept.iter().filter(once).count();
    println!(
        "{} acknowledged, {lost} of them not exactly once in the journal",
        kept.len()
    );
    board.kill();
    assert_eq!(lost, 0);
    std::process::exit(0);
}
