//! The board on a small computer: a quarter of one core and 64 MiB of memory, twenty screens, ten
//! commands a second. How long a command takes to the other screens, what memory, disk and files it
//! needs, and how long it takes to start on a journal of 100,000 events.
//!
//!     cargo bench --bench small_board
//!     cargo bench --bench small_board -- --minutes 1440 --per-s 2    # do memory and files stay level?
//!
//! It wants Linux, control groups of version 1 and root; without them it says so, measures without
//! limits, and ends with an error.

#![allow(
    clippy::unwrap_used,
    reason = "a measurement may stop at the first surprise"
)]

#[path = "../board.rs"]
mod board;
mod cage;
#[path = "../../outages/played.rs"]
mod played;
#[path = "../process.rs"]
mod process;
#[path = "../screens.rs"]
mod screens;

use actix_web::rt::{self, time::sleep};
use board::{Board, answer, quantile};
use cage::Cage;
use clap::Parser;
use process::{Process, computed};
use putby::day::Command;
use putby::day::ids::DayId;
use putby::day::time::Timestamp;
use rustix::process::{Pid, Signal, kill_process};
use screens::Arrivals;
use serde_json::{Map, Value, json};
use std::cell::RefCell;
use std::net::Ipv4Addr;
use std::path::Path;
use std::rc::Rc;
use std::time::{Duration, Instant};
use tokio::io::AsyncWriteExt;
use uuid::Uuid;

#[derive(Parser)]
struct Args {
    /// Devices that tap and follow the day.
    #[arg(long, default_value_t = 20)]
    devices: u8,
    /// Commands a second, of all devices together.
    #[arg(long, default_value_t = 10.0)]
    per_s: f64,
    /// How long they tap.
    #[arg(long, default_value_t = 1.0)]
    minutes: f64,
    /// Hundredths of one core.
    #[arg(long, default_value_t = 25)]
    cpu_percent: u32,
    /// Memory, of which twice as much is given to the crowd of screens.
    #[arg(long, default_value_t = 64)]
    memory_mib: u64,
    /// Events of the long journal; 0 leaves it out.
    #[arg(long, default_value_t = 100_000)]
    events: u64,
    /// Days they are spread over.
    #[arg(long, default_value_t = 20)]
    days: u64,
    /// What cargo passes on.
    #[arg(long, hide = true)]
    bench: bool,
}

/// A place on a route for every step of a walk, and somebody at each.
const STATIONS: u64 = 10;
const PRODUCTS: [&str; 3] = ["pears", "plums", "peaches"];
/// Screens of a full house.
const CROWD: u8 = 64;
const COMMANDS: &str = "/api/days/small/commands";
/// How often it is looked at while devices tap.
const LOOK_EVERY: Duration = Duration::from_secs(5);

/// A kitchen in which fruit passes ten places: enough for so many commands, and little more.
fn plan(commands: u64) -> Value {
    let amount = 1000 * (commands / STATIONS / PRODUCTS.len() as u64 + 100);
    let map = |pairs: Vec<(String, Value)>| pairs.into_iter().collect::<Map<_, _>>();
    let station = |n: u64| json!({"name": format!("Place {n}"), "work": "slice", "nature": {"is": "hand"}, "seats": 3});
    let helper = |n: u64| json!({"name": format!("Helper {n}"), "age": 40, "sign": "pear"});
    let step = |n: u64| json!({"station": format!("s{n}"), "measure": "lb", "carrier": {"name": "tub", "holds": 20_000}});
    let route: Vec<Value> = (0..STATIONS).map(step).collect();
    let product = |name: &str| json!({"name": name, "produce": name, "route": route, "ends_in": {"as": "frozen", "package": "bag"}});
    let lot = |name: &str| {
        json!({"name": format!("{name} lot"), "produce": name, "measure": "lb",
            "amount": amount, "box_holds": amount})
    };
    let products = PRODUCTS.map(|name| (name.to_owned(), product(name)));
    let lots = PRODUCTS.map(|name| (format!("{name}-lot"), lot(name)));
    json!({
        "name": "A small board's day", "date": "2026-09-12", "altitude_ft": 500,
        "stations": map((0..STATIONS).map(|n| (format!("s{n}"), station(n))).collect()),
        "helpers": map((0..STATIONS).map(|n| (format!("h{n}"), helper(n))).collect()),
        "products": map(products.to_vec()),
        "lots": map(lots.to_vec()),
    })
}

/// Boxes are open and everybody sits.
fn beginning() -> impl Iterator<Item = Value> {
    let open = |name| json!({"order": "open-box", "lot": format!("{name}-lot"), "product": name});
    let sit = |n| json!({"order": "claim", "helper": format!("h{n}"), "station": format!("s{n}")});
    PRODUCTS.into_iter().map(open).chain((0..STATIONS).map(sit))
}

/// The n-th order of a device: a package's worth goes from place to place, so that as much comes to
/// each as leaves it.
fn tally(number: u64) -> Value {
    let product = PRODUCTS[(number / STATIONS) as usize % PRODUCTS.len()];
    let place = number % STATIONS;
    json!({"order": "tally", "station": format!("s{place}"), "helper": format!("h{place}"),
        "product": product, "amount": 1000})
}

fn address(device: u8) -> Ipv4Addr {
    Ipv4Addr::new(127, 1, 0, device + 1)
}

/// Taps at its pace for ever; how long each took to be acknowledged.
async fn tap(
    board: Rc<Board>,
    device: u8,
    wait: Duration,
    pause: Duration,
    arrivals: Arrivals,
    acks: Acks,
) {
    let from = address(device);
    let who = format!("cookie: putby-device={device:048x}");
    sleep(wait).await;
    let mut line = board.connect(from, None).await;
    let mut beat = rt::time::interval(pause);
    for number in 0.. {
        beat.tick().await;
        let id = Uuid::new_v4();
        let request = board.post(COMMANDS, &who, &json!({"id": id, "command": tally(number)}));
        let began = Instant::now();
        arrivals.sent(id, from);
        line.write_all(&request).await.unwrap();
        let (status, text) = answer(&mut line).await.expect("an answer");
        assert_eq!(status, 200, "{}", String::from_utf8_lossy(&text));
        acks.borrow_mut().push(began.elapsed());
    }
}

type Acks = Rc<RefCell<Vec<Duration>>>;

/// Mean milliseconds and number of a histogram of the board's.
async fn mean(board: &Board, name: &str) -> (f64, f64) {
    let count = board.measure(&format!("{name}_count")).await;
    let sum = board.measure(&format!("{name}_sum")).await;
    (sum / count.max(1.0) * 1000.0, count)
}

/// A usual day under the taps of all devices, then with a crowd of screens.
async fn usual_day(args: &Args, cage: Option<&Cage>, under: &[String]) {
    let folder = tempfile::tempdir().unwrap();
    let board = Rc::new(Board::start(folder.path(), under, &[]));
    let process = board.child.id();
    sleep(Duration::from_secs(3)).await;
    let idle = Process::look(process).expect("it runs");
    println!("idle: {}, {} files open", idle.memory(), idle.files);
    let all = (args.per_s * args.minutes * 60.0) as u64;
    let open = json!({"id": Uuid::new_v4(), "day": "small", "plan": plan(all)});
    board.lead_posts("/api/days", &open).await;
    for order in beginning() {
        let order = json!({"id": Uuid::new_v4(), "command": order});
        board.lead_posts(COMMANDS, &order).await;
    }
    let (arrivals, acks) = (Arrivals::default(), Acks::default());
    for device in 0..args.devices {
        arrivals.follow(&board, "small", address(device)).await;
    }
    let events_before = last_event(&board).await;
    let pause = Duration::from_secs_f64(f64::from(args.devices) / args.per_s);
    let devices: Vec<_> = (0..args.devices)
        .map(|device| {
            let (arrivals, acks) = (arrivals.clone(), acks.clone());
            // Evenly, so that no second has more than another.
            let wait = pause * u32::from(device) / u32::from(args.devices);
            rt::spawn(tap(board.clone(), device, wait, pause, arrivals, acks))
        })
        .collect();
    let before = Process::look(process).expect("it runs");
    let (began, mut looks) = (Instant::now(), Vec::new());
    while began.elapsed().as_secs_f64() < args.minutes * 60.0 {
        sleep(LOOK_EVERY).await;
        looks.push((
            began.elapsed().as_secs_f64(),
            Process::look(process).expect("it runs"),
        ));
        let stopped = devices.iter().any(|device| device.is_finished());
        assert!(!stopped, "a device met what it must not");
    }
    for device in devices {
        device.abort();
    }
    let commands = acks.borrow().len();
    let mut screens = arrivals.take();
    println!(
        "{commands} commands in {:.0} s, {} arrivals at other screens, {} screens ended",
        began.elapsed().as_secs_f64(),
        screens.len(),
        arrivals.ended()
    );
    for (what, took) in [
        ("to other screens", &mut screens),
        ("acknowledged", &mut *acks.borrow_mut()),
    ] {
        let [half, most, all] = [0.5, 0.99, 1.0].map(|share| quantile(took, share));
        println!("  {what}: half in {half:.1} ms, 99 % in {most:.1} ms, all in {all:.1} ms");
    }
    for name in [
        "putby_decide_seconds",
        "putby_commit_seconds",
        "putby_outlook_seconds",
    ] {
        let (ms, count) = mean(&board, name).await;
        println!("  {name}: {ms:.2} ms in the mean of {count}");
    }
    println!("  computing, in ms by thread: {:?}", computed(process));
    let now = Process::look(process).expect("it runs");
    let written = (now.written_bytes - before.written_bytes) as f64 / commands as f64;
    let events = last_event(&board).await - events_before;
    println!(
        "  {:.1} KiB written to disk a command; {:.1} events a command",
        written / 1024.0,
        events as f64 / commands as f64
    );
    println!("  {}, {} files open", now.memory(), now.files);
    level(&looks, args.per_s);
    if let Some(cage) = cage {
        println!("  {}", cage.report());
        cage.limit_memory(2 * args.memory_mib);
    }
    for device in args.devices..CROWD {
        arrivals.follow(&board, "small", address(device)).await;
    }
    sleep(Duration::from_secs(5)).await;
    let crowd = Process::look(process).expect("it runs");
    println!(
        "{CROWD} screens: {}, {} files open",
        crowd.memory(),
        crowd.files
    );
    end(board, "with all of them").await;
}

/// Whether memory and files stay level: by the best line through the looks of the second half.
/// A day that goes on grows by what happens on it.
fn level(looks: &[(f64, Process)], per_s: f64) {
    let late = &looks[looks.len() / 2..];
    let files = || late.iter().map(|(_, look)| look.files);
    let kib_per_s = slope(late.iter().map(|(at, look)| (*at, look.own_kib as f64)));
    println!(
        "  second half: {} to {} files open, own memory {:+.1} MiB a day, {:+.0} bytes a command",
        files().min().unwrap(),
        files().max().unwrap(),
        kib_per_s * 86_400.0 / 1024.0,
        kib_per_s * 1024.0 / per_s
    );
}

fn slope(points: impl Iterator<Item = (f64, f64)> + Clone) -> f64 {
    let count = points.clone().count() as f64;
    let mean_x = points.clone().map(|(x, _)| x).sum::<f64>() / count;
    let mean_y = points.clone().map(|(_, y)| y).sum::<f64>() / count;
    let both: f64 = points
        .clone()
        .map(|(x, y)| (x - mean_x) * (y - mean_y))
        .sum();
    both / points.map(|(x, _)| (x - mean_x).powi(2)).sum::<f64>()
}

/// The number of the day's last event.
async fn last_event(board: &Board) -> u64 {
    let answer = board.get(address(0), "/api/days/small/view").await;
    let answer = String::from_utf8(answer.unwrap()).unwrap();
    let (_, seq) = answer.split_once("\"seq\":").unwrap();
    let end = seq.find(|c: char| !c.is_ascii_digit()).unwrap();
    seq[..end].parse().unwrap()
}

/// Asks it to stop.
async fn end(board: Rc<Board>, what: &str) {
    // Devices still hold it; what they hold goes with them.
    let began = Instant::now();
    let process = Pid::from_child(&board.child);
    kill_process(process, Signal::TERM).unwrap();
    let stat = format!("/proc/{}/stat", process.as_raw_nonzero());
    let ended = || std::fs::read_to_string(&stat).is_ok_and(|stat| stat.contains(") Z "));
    while !ended() {
        sleep(Duration::from_millis(5)).await;
    }
    println!("stopped {what} in {:.2} s", began.elapsed().as_secs_f64());
}

/// A journal of very many events: how large it is and how long it takes to start on it.
async fn long_journal(args: &Args, under: &[String]) {
    let folder = tempfile::tempdir().unwrap();
    let now = std::time::UNIX_EPOCH.elapsed().unwrap().as_millis();
    for number in 0..args.days {
        // The last is the one that is looked at.
        let id = match number + 1 == args.days {
            true => "small".to_owned(),
            false => format!("day-{number}"),
        };
        let day = DayId::try_from(id.as_str()).unwrap();
        let ago = (args.days - number) * 86_400_000;
        let began = Timestamp(i64::try_from(now).unwrap() - i64::try_from(ago).unwrap());
        let open = json!({"order": "open-day", "plan": plan(args.events / args.days)});
        let orders = [open]
            .into_iter()
            .chain(beginning())
            .chain((0..).map(tally));
        let commands = orders.map(|order| serde_json::from_value::<Command>(order).unwrap());
        played::play(
            folder.path(),
            &day,
            args.events / args.days,
            began,
            commands,
        );
    }
    let size = std::fs::metadata(folder.path().join("putby.db"))
        .unwrap()
        .len();
    println!(
        "{} events on {} days, {} bytes each on disk",
        args.events,
        args.days,
        size / args.events
    );
    for what in ["from its events", "from a snapshot"] {
        let board = started(folder.path(), under, what).await;
        let process = board.child.id();
        sleep(Duration::from_secs(20)).await;
        let Some(look) = Process::look(process) else {
            println!("  ENDED BY THE SYSTEM, for want of memory");
            return;
        };
        println!("  20 s later: {}", look.memory());
        println!("  computing, in ms by thread: {:?}", computed(process));
        end(Rc::new(board), "it").await;
    }
}

async fn started(data: &Path, under: &[String], what: &str) -> Board {
    let began = Instant::now();
    let board = Board::start(data, under, &[]);
    let open = began.elapsed();
    last_event(&board).await;
    println!(
        "{what}: open in {open:.2?}, the day shown in {:.2?}",
        began.elapsed()
    );
    board
}

#[actix_web::main]
async fn main() {
    // `cargo test --benches` builds and starts it too.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let args = Args::parse();
    let cage = Cage::new(args.cpu_percent);
    match &cage {
        Some(cage) => {
            cage.limit_memory(args.memory_mib);
            println!(
                "{} % of one core, {} MiB of memory",
                args.cpu_percent, args.memory_mib
            );
        }
        None => println!("NO LIMITS: no control groups of version 1 here, or no right to them"),
    }
    let under = cage.as_ref().map(Cage::under).unwrap_or_default();
    usual_day(&args, cage.as_ref(), &under).await;
    if args.events > 0 {
        if let Some(cage) = &cage {
            cage.limit_memory(args.memory_mib);
        }
        long_journal(&args, &under).await;
    }
    let limited = cage.is_some();
    drop(cage);
    std::process::exit(if limited { 0 } else { 1 });
}
