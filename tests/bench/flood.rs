//! What a flood, and screens that have stopped reading, cost everybody else.
//!
//! Devices tap at the board's own program over real sockets, each from an address of its own. In
//! turns, within one run, nobody disturbs them, one device floods the board with commands, and some
//! screens do not read; what counts is how the median of the taps compares. With loss, a device
//! hangs up on some of its taps before it hears the answer, and sends the same again. At the end
//! every tap that was acknowledged must stand in the journal, once.
//!
//!     cargo bench --bench flood
//!     cargo bench --bench flood -- --devices 1000 --stalled 100 --loss 20

#![allow(
    clippy::unwrap_used,
    reason = "a measurement may stop at the first surprise"
)]

use actix_web::rt::net::{TcpSocket, TcpStream};
use actix_web::rt::{self, time::sleep};
use clap::Parser;
use rand::RngExt;
use serde_json::{Value, json};
use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, SocketAddr};
use std::process::{Child, Command, Stdio};
use std::rc::Rc;
use std::time::{Duration, Instant};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use uuid::Uuid;

#[derive(Parser)]
struct Args {
    /// Devices that tap and follow the day.
    #[arg(long, default_value_t = 16)]
    devices: u16,
    /// Screens that do not read.
    #[arg(long, default_value_t = 5)]
    stalled: u16,
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

/// The board's program, ended with this value.
struct Board {
    child: Child,
    at: SocketAddr,
    key: String,
    _folder: tempfile::TempDir,
}

impl Board {
    fn start(args: &Args) -> Board {
        let folder = tempfile::tempdir().unwrap();
        let places = (usize::from(args.devices + args.stalled) + 64).to_string();
        let connections = (3 * usize::from(args.devices + args.stalled) + 256).to_string();
        let mut child = Command::new(env!("CARGO_BIN_EXE_putby"))
            .args([
                "serve",
                "--no-announce",
                "--open",
                "--listen",
                "127.0.0.1:0",
                "--data",
            ])
            .arg(folder.path())
            // Only how many there may be in all: how much each may ask for is as usual.
            .env("PUTBY_SOCKETS", places)
            .env("PUTBY_CONNECTIONS", connections)
            .env("PUTBY_DROP_S", "3600")
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut found = None;
        for line in lines.map(Result::unwrap) {
            if let Some((address, key)) = line.trim().split_once("/#/lead-key/") {
                let at = address.trim_start_matches("http://").parse().unwrap();
                found = Some((at, key.to_owned()));
            }
            if line.starts_with("Stop with") {
                break;
            }
        }
        let (at, key) = found.unwrap();
        Board {
            child,
            at,
            key,
            _folder: folder,
        }
    }

    /// A connection from an address of the client's own.
    async fn connect(&self, from: Ipv4Addr, receive_bytes: Option<u32>) -> TcpStream {
        loop {
            let socket = TcpSocket::new_v4().unwrap();
            if let Some(bytes) = receive_bytes {
                socket.set_recv_buffer_size(bytes).unwrap();
            }
            socket.bind(SocketAddr::from((from, 0))).unwrap();
            match socket.connect(self.at).await {
                Ok(stream) => {
                    stream.set_nodelay(true).unwrap();
                    return stream;
                }
                // A crowd that comes at once fills the queue of those who wait to be let in.
                Err(_) => sleep(Duration::from_millis(50)).await,
            }
        }
    }

    fn post(&self, path: &str, who: &str, body: &Value) -> Vec<u8> {
        let body = body.to_string();
        let (at, length) = (self.at, body.len());
        format!(
            "POST {path} HTTP/1.1\r\nhost: {at}\r\norigin: http://{at}\r\n{who}\r\ncontent-type: application/json\r\n\
             content-length: {length}\r\n\r\n{body}"
        )
        .into_bytes()
    }

    /// Follows the day from `from`, past the handshake.
    async fn follow(&self, from: Ipv4Addr, receive_bytes: Option<u32>) -> TcpStream {
        let mut stream = self.connect(from, receive_bytes).await;
        let at = self.at;
        let ask = format!(
            "GET /api/days/flood/live HTTP/1.1\r\nhost: {at}\r\nconnection: upgrade\r\n\
             upgrade: websocket\r\nsec-websocket-version: 13\r\n\
             sec-websocket-key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n"
        );
        stream.write_all(ask.as_bytes()).await.unwrap();
        let mut first = [0; 12];
        stream.read_exact(&mut first).await.unwrap();
        assert_eq!(&first, b"HTTP/1.1 101");
        stream
    }

    /// What the board measures of itself.
    async fn measure(&self, name: &str) -> u64 {
        let mut stream = self.connect(Ipv4Addr::LOCALHOST, None).await;
        let at = self.at;
        let ask = format!("GET /metrics HTTP/1.1\r\nhost: {at}\r\n\r\n");
        stream.write_all(ask.as_bytes()).await.unwrap();
        let (_, text) = answer(&mut stream).await.unwrap();
        let text = String::from_utf8(text).unwrap();
        let value = text.lines().find_map(|line| line.strip_prefix(name));
        value.unwrap().trim().parse::<f64>().unwrap() as u64
    }
}

impl Drop for Board {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The status and body of one answer; `None` if the connection ends.
async fn answer(stream: &mut TcpStream) -> Option<(u16, Vec<u8>)> {
    let mut head = Vec::new();
    while !head.ends_with(b"\r\n\r\n") {
        head.push(stream.read_u8().await.ok()?);
    }
    let head = String::from_utf8(head).unwrap().to_ascii_lowercase();
    let status = head.split(' ').nth(1)?.parse().ok()?;
    let length = head.split("content-length: ").nth(1)?;
    let mut body = vec![0; length.split("\r\n").next()?.parse().ok()?];
    stream.read_exact(&mut body).await.ok()?;
    Some((status, body))
}

/// A family's day in which there is always something to tally.
fn plan() -> Value {
    let step = |station: &str| json!({"station": station, "measure": "lb", "carrier": {"name": "tub", "holds": 1000}});
    let station =
        |name: &str| json!({"name": name, "work": "wash", "nature": {"is": "hand"}, "seats": 2});
    json!({
        "name": "Flood", "date": "2026-09-12", "altitude_ft": 500,
        "stations": {"wash": station("Wash"), "bag": station("Bag")},
        "helpers": {"maren": {"name": "Maren", "age": 44, "sign": "pear"}},
        "products": {"slices": {"name": "Pear slices", "produce": "pears",
            "ends_in": {"as": "frozen", "package": "bag"}, "route": [step("wash"), step("bag")]}},
        "lots": {"hill": {"name": "Hill orchard", "produce": "pears", "measure": "lb",
            "amount": 900_000_000, "box_holds": 900_000_000}},
    })
}

fn tap() -> (Uuid, Value) {
    let id = Uuid::new_v4();
    let command = json!({"order": "tally", "station": "wash", "helper": "maren", "product": "slices",
        "amount": 1});
    (id, json!({"id": id, "command": command}))
}

const COMMANDS: &str = "/api/days/flood/commands";

/// One tapping device: its own address, cookie and connection.
struct Device {
    from: Ipv4Addr,
    who: String,
    line: Option<TcpStream>,
}

impl Device {
    fn new(net: u8, number: u16) -> Device {
        let [high, low] = number.to_be_bytes();
        let secret = format!("{:024x}{:024x}", net, number);
        Device {
            from: Ipv4Addr::new(127, net, high, low.max(1)),
            who: format!("cookie: putby-device={secret}"),
            line: None,
        }
    }

    /// Taps until it is acknowledged; how long the try that was took.
    async fn tap(&mut self, board: &Board, loss: u32) -> (Uuid, Duration) {
        let (id, body) = tap();
        let request = board.post(COMMANDS, &self.who, &body);
        loop {
            if self.line.is_none() {
                self.line = Some(board.connect(self.from, None).await);
            }
            let line = self.line.as_mut().unwrap();
            let began = Instant::now();
            if line.write_all(&request).await.is_err() {
                self.line = None;
                continue;
            }
            if rand::rng().random_range(0..100) < loss {
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

/// What is between the devices and their taps.
#[derive(Clone, Copy, PartialEq)]
enum Trouble {
    Nothing,
    Flood,
    Stalled,
}

const TROUBLES: [Trouble; 3] = [Trouble::Nothing, Trouble::Flood, Trouble::Stalled];

async fn turn(board: &Rc<Board>, args: &Args, trouble: Trouble, kept: &Kept) -> Vec<Duration> {
    let over = Rc::new(Cell::new(false));
    let mut disturbing = Vec::new();
    if trouble == Trouble::Flood {
        for _ in 0..16 {
            let (board, over, kept) = (board.clone(), over.clone(), kept.clone());
            disturbing.push(rt::spawn(async move { flood(&board, &over, &kept).await }));
        }
    }
    let mut stalled = Vec::new();
    if trouble == Trouble::Stalled {
        for number in 0..args.stalled {
            let from = Device::new(3, number).from;
            stalled.push(board.follow(from, Some(4096)).await);
        }
    }
    let pause = Duration::from_secs_f64(f64::from(args.devices) / f64::from(args.taps_per_s));
    let taps = (0..args.devices).map(|number| {
        let (board, over, kept) = (board.clone(), over.clone(), kept.clone());
        let loss = args.loss;
        rt::spawn(async move {
            let mut device = Device::new(1, number);
            let mut took = Vec::new();
            sleep(pause.mul_f64(rand::rng().random())).await;
            while !over.get() {
                let (id, one) = device.tap(&board, loss).await;
                kept.borrow_mut().insert(id);
                took.push(one);
                sleep(pause).await;
            }
            took
        })
    });
    let taps: Vec<_> = taps.collect();
    sleep(Duration::from_secs(args.seconds)).await;
    over.set(true);
    let mut took = Vec::new();
    for device in taps {
        took.extend(device.await.unwrap());
    }
    for one in disturbing {
        one.await.unwrap();
    }
    took
}

/// Every command that was acknowledged.
type Kept = Rc<RefCell<BTreeSet<Uuid>>>;

/// One connection of a device that sends as fast as it is answered.
async fn flood(board: &Board, over: &Cell<bool>, kept: &Kept) {
    let mut device = Device::new(2, 1);
    while !over.get() {
        let (id, body) = tap();
        let request = board.post(COMMANDS, &device.who, &body);
        let line = match &mut device.line {
            Some(line) => line,
            none => none.insert(board.connect(device.from, None).await),
        };
        let sent = line.write_all(&request).await;
        match answer(line).await.filter(|_| sent.is_ok()) {
            Some((200, _)) => {
                kept.borrow_mut().insert(id);
            }
            Some(_) => {}
            None => device.line = None,
        }
    }
}

fn quantile(took: &mut [Duration], share: f64) -> f64 {
    took.sort();
    let place = (took.len() - 1) as f64 * share;
    took[place.round() as usize].as_secs_f64() * 1000.0
}

#[actix_web::main]
async fn main() {
    // `cargo test --benches` builds and starts it too.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let args = Args::parse();
    let board = Rc::new(Board::start(&args));
    let idle = board.measure("process_resident_memory_bytes").await;
    let lead = format!("authorization: Bearer {}", board.key);
    let mut line = board.connect(Ipv4Addr::LOCALHOST, None).await;
    let open = json!({"id": Uuid::new_v4(), "day": "flood", "plan": plan()});
    line.write_all(&board.post("/api/days", &lead, &open))
        .await
        .unwrap();
    assert_eq!(answer(&mut line).await.unwrap().0, 201);
    for order in [
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        json!({"order": "claim", "helper": "maren", "station": "wash"}),
    ] {
        let order = json!({"id": Uuid::new_v4(), "command": order});
        line.write_all(&board.post(COMMANDS, &lead, &order))
            .await
            .unwrap();
        assert_eq!(answer(&mut line).await.unwrap().0, 200);
    }
    for number in 0..args.devices {
        let mut screen = board.follow(Device::new(1, number).from, None).await;
        rt::spawn(async move {
            let mut taken = vec![0; 1 << 14];
            while screen.read(&mut taken).await.is_ok_and(|length| length > 0) {}
        });
    }
    let kept = Kept::default();
    let mut took = [const { Vec::new() }; 3];
    for number in 0..=args.turns {
        for (trouble, took) in TROUBLES.into_iter().zip(&mut took) {
            let one = turn(&board, &args, trouble, &kept).await;
            // The first turn warms everything up.
            if number > 0 {
                took.extend(one);
            }
        }
    }
    let [nothing, flood, stalled] = &mut took;
    println!(
        "{} devices, {} stalled screens, {} % of answers lost; in milliseconds:",
        args.devices, args.stalled, args.loss
    );
    for (name, share) in [("median", 0.5), ("90 %", 0.9), ("99 %", 0.99)] {
        let base = quantile(nothing, share);
        let (one, other) = (quantile(flood, share), quantile(stalled, share));
        println!(
            "  {name:>6}  alone {base:8.3}   flood {one:8.3} (ratio {:.2})   stalled {other:8.3} (ratio {:.2})",
            one / base,
            other / base
        );
    }
    let peak = board.measure("process_resident_memory_bytes").await;
    println!(
        "{} taps; resident {:.1} MiB idle, {:.1} MiB now, {} files open",
        nothing.len() + flood.len() + stalled.len(),
        idle as f64 / f64::from(1 << 20),
        peak as f64 / f64::from(1 << 20),
        board.measure("process_open_fds").await,
    );
    let mut line = board.connect(Ipv4Addr::LOCALHOST, None).await;
    let at = board.at;
    let ask =
        format!("GET /api/days/flood/events HTTP/1.1\r\nhost: {at}\r\nconnection: close\r\n\r\n");
    line.write_all(ask.as_bytes()).await.unwrap();
    let mut text = Vec::new();
    line.read_to_end(&mut text).await.unwrap();
    let text = String::from_utf8_lossy(&text);
    let lost = kept
        .borrow()
        .iter()
        .filter(|id| {
            let id = format!("\"command\":\"{id}\"");
            text.matches(&id).count() != 1
        })
        .count();
    println!(
        "{} acknowledged, {lost} of them not exactly once in the journal",
        kept.borrow().len()
    );
    assert_eq!(lost, 0);
    std::process::exit(0);
}
