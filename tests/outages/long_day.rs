//! A day far longer than any family's: how long the program takes to start on it, how much memory it
//! needs, how quickly a tap is answered and the day looked back on. By hand; it prints and judges
//! nothing but that all of it is there:
//!
//!     EVENTS=1000000 PUTBY_PROGRAM=target/release/putby \
//!         cargo test --test outages -- --ignored --nocapture very_long

use crate::board::{Board, Wanted};
use crate::load::kitchen;
use crate::played::play;
use actix_web::rt::System;
use awc::Client;
use putby::day::Command;
use putby::day::ids::DayId;
use putby::day::time::Timestamp;
use serde_json::json;
use std::time::{Duration, Instant};

const TAPS: usize = 200;
/// Long enough for whatever is to be measured.
const LIMIT: Duration = Duration::from_secs(1800);

/// The orders of the day, over and over: fruit comes, is counted on, and what lay ahead is corrected.
fn order(number: u64) -> Command {
    let step = number % 10;
    let place = |table: &str| json!({"station": table, "product": "slices-0", "lot": "hill"});
    let mut order = match step {
        0 => place("s0"),
        1 => place("s1"),
        _ => json!({"station": "s0", "product": "slices-0", "helper": "maren"}),
    };
    let (name, amount) = match step {
        0 => ("recount", 50_000),
        1 => ("recount", 0),
        _ => ("tally", 1000),
    };
    order["order"] = name.into();
    order["amount"] = amount.into();
    serde_json::from_value(order).unwrap()
}

/// The day's opening, a seat taken, and then as many orders as wished.
fn commands() -> impl Iterator<Item = Command> {
    let plan = Box::new(kitchen());
    let sit = json!({"order": "claim", "helper": "maren", "station": "s0"});
    let sit = serde_json::from_value(sit).unwrap();
    [Command::OpenDay { plan }, sit]
        .into_iter()
        .chain((0..).map(order))
}

#[test]
#[ignore = "by hand, with EVENTS=1000000: it takes a while"]
fn a_very_long_day() {
    let told = std::env::var("EVENTS").ok();
    let count = told.map_or(100_000, |told| told.parse().expect("EVENTS is a number"));
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let day = DayId::try_from("long").unwrap();
    let since = std::time::UNIX_EPOCH.elapsed().unwrap().as_millis();
    let began = Timestamp(i64::try_from(since).unwrap() - 2 * 86_400_000);
    play(&data, &day, count, began, commands());
    let size = std::fs::metadata(data.join("putby.db")).unwrap().len();
    println!("{count} events, {} bytes each on disk", size / count);

    System::new().block_on(async {
        let wanted = Wanted {
            data: Some(data),
            ..Wanted::default()
        };
        let mut board = Board::start_as(wanted);
        for what in ["from its events", "from a snapshot"] {
            let asked = Instant::now();
            board.kill();
            board.start_again();
            println!("{what}: started in {:?}", asked.elapsed());
            got(&board, &format!("api/days/{day}/view"), "the first view").await;
            taps(&board, &day).await;
            println!("  memory: {}", memory(&board));
        }
        for path in ["api/days", "api/shelf"] {
            got(&board, path, path).await;
        }
        let off = json!({"order": "close-day"});
        let (status, answer) = board.order(&day, off).await;
        println!("closed: {status} {}", answer["code"]);
        let path = format!("api/days/{day}/look-back");
        got(&board, &path, "look-back").await;
        got(&board, &path, "look-back again").await;
        println!("  memory: {}", memory(&board));
        assert!(board.look(&day).await["seq"].as_u64().unwrap() > count);
    });
}

async fn got(board: &Board, path: &str, what: &str) {
    let asked = Instant::now();
    let request = Client::default()
        .get(format!("{}{path}", board.address))
        .bearer_auth(&board.lead_key)
        .timeout(LIMIT);
    let mut answer = request.send().await.unwrap();
    let length = answer.body().limit(256 << 20).await.unwrap().len();
    println!(
        "  {what}: {} in {:?}, {length} bytes",
        answer.status(),
        asked.elapsed()
    );
}

async fn taps(board: &Board, day: &DayId) {
    let mut took = Vec::new();
    for number in 0..TAPS {
        let amount = 50_000 + number;
        let order = json!({"order": "recount", "station": "s0", "product": "slices-0",
            "lot": "hill", "amount": amount});
        let asked = Instant::now();
        let (status, answer) = board.order(day, order).await;
        assert_eq!(status, 200, "{answer}");
        took.push(asked.elapsed());
    }
    took.sort();
    println!(
        "  a tap: median {:?}, longest {:?}",
        took[TAPS / 2],
        took[TAPS - 1]
    );
}

/// What the system says of the program's memory.
fn memory(board: &Board) -> String {
    let process = board.process().as_raw_nonzero();
    let told = std::fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let lines = told
        .lines()
        .filter(|line| line.starts_with("VmRSS") || line.starts_with("VmHWM"));
    lines.collect::<Vec<_>>().join(", ")
}
