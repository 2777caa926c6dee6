//! The real program while the wall clock is set hours forward and back: no process gets shorter.
//!
//! The wall clock is faked by libfaketime (Debian package `faketime`), which reads its offset from
//! a file again and again; the boot clock stays real, as on a computer whose date is set.

use crate::board::{Board, Wanted};
use actix_web::rt::System;
use putby::day::ids::DayId;
use putby::demo;
use rustix::process::{Signal, kill_process};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// How many seconds of the day pass in one: pear quarts take 25 minutes (USDA Complete Guide to
/// Home Canning, Guide 2, at 640 ft), so fifteen seconds here.
const SPEED: u32 = 100;
const HOURS_3: i64 = 3 * 3600;

/// A wall clock that can be set.
struct Wall {
    _folder: TempDir,
    offset: PathBuf,
}

impl Wall {
    fn new() -> Wall {
        let folder = TempDir::new().unwrap();
        let offset = folder.path().join("offset");
        let wall = Wall {
            _folder: folder,
            offset,
        };
        wall.set(0);
        wall
    }

    /// Sets it so many seconds beside the true time.
    fn set(&self, seconds: i64) {
        // A file is replaced whole, so that the program never reads half of it.
        let new = self.offset.with_extension("new");
        std::fs::write(&new, format!("{seconds:+}\n")).unwrap();
        std::fs::rename(new, &self.offset).unwrap();
    }

    fn env(&self) -> Vec<(String, String)> {
        let library = library().expect("libfaketime is there: apt-get install faketime");
        let pair = |name: &str, value: &Path| (name.to_owned(), value.display().to_string());
        vec![
            pair("LD_PRELOAD", &library),
            pair("FAKETIME_TIMESTAMP_FILE", &self.offset),
            ("FAKETIME_NO_CACHE".to_owned(), "1".to_owned()),
            ("FAKETIME_DONT_FAKE_MONOTONIC".to_owned(), "1".to_owned()),
        ]
    }
}

fn library() -> Option<PathBuf> {
    let folders = std::fs::read_dir("/usr/lib").ok()?;
    let name = "faketime/libfaketime.so.1";
    let mut places = folders
        .map_while(Result::ok)
        .map(|entry| entry.path().join(name));
    places.find(|place| place.exists())
}

/// A load of pears whose time has begun.
async fn timed_load(board: &Board) -> DayId {
    let mut plan = demo::day();
    let now = board_time(board).await;
    let carried = json!([{"station": "canners", "product": "pears-quart", "lot": "pears-hill",
        "amount": 7000, "since": now}]);
    plan.carried = serde_json::from_value(carried).unwrap();
    let opened = demo::open_day_id(&board.address, &board.lead_key, plan, 460).await;
    let day = opened.unwrap();
    let orders = [
        json!({"order": "build-load", "load": "l1", "station": "canners", "canner": "a",
            "jars": [{"product": "pears-quart", "jars": 7}]}),
        json!({"order": "heat-load", "load": "l1"}),
        json!({"order": "rolling-boil", "load": "l1"}),
    ];
    for order in orders {
        let (status, answer) = board.order(&day, order).await;
        assert_eq!(status, 200, "{answer}");
    }
    day
}

async fn board_time(board: &Board) -> i64 {
    let mut answer = awc::Client::default()
        .get(format!("{}api/me", board.address))
        .send()
        .await
        .unwrap();
    let me: Value = answer.json().await.unwrap();
    me["clock"]["now"].as_i64().unwrap()
}

/// Milliseconds of the process that are left, by the board.
async fn left_ms(board: &Board, day: &DayId) -> i64 {
    let shown = board.look(day).await;
    let done_at = shown["view"]["loads"]["l1"]["done_at"].as_i64().unwrap();
    done_at - shown["clock"]["now"].as_i64().unwrap()
}

async fn is_too_early(board: &Board, day: &DayId) {
    let (status, answer) = board
        .order(day, json!({"order": "heat-off", "load": "l1"}))
        .await;
    assert_eq!(
        (status, answer["code"].as_str()),
        (409, Some("time-not-over")),
        "{answer}"
    );
}

#[test]
fn a_wall_clock_set_by_hours_never_shortens_a_process() {
    System::new().block_on(async {
        let wall = Wall::new();
        let mut board = Board::start_as(Wanted {
            speed: SPEED,
            env: wall.env(),
            ..Wanted::default()
        });
        let began = std::time::Instant::now();
        let day = timed_load(&board).await;
        // What may have passed of the process since it began, with the board's own rounding.
        let passed_ms = || i64::try_from(began.elapsed().as_millis()).unwrap() * i64::from(SPEED);
        let whole_ms = 25 * 60_000;
        for seconds in [HOURS_3, -HOURS_3] {
            wall.set(seconds);
            is_too_early(&board, &day).await;
            assert!(left_ms(&board, &day).await >= whole_ms - passed_ms() - 5_000);
        }
        for seconds in [HOURS_3, -HOURS_3] {
            board.kill();
            wall.set(seconds);
            board.start_again();
            is_too_early(&board, &day).await;
            assert!(left_ms(&board, &day).await >= whole_ms - passed_ms() - 5_000);
        }
        // After a reboot only the wall clock tells how long the board was off: none of it counts.
        board.kill();
        std::fs::remove_file(board.folder().join("clock")).unwrap();
        wall.set(HOURS_3);
        board.start_again();
        is_too_early(&board, &day).await;
        assert!(left_ms(&board, &day).await >= whole_ms - passed_ms() - 5_000);
        let shown = board.look(&day).await;
        assert!(shown["view"]["loads"]["l1"]["unknown_ms"].as_i64().unwrap() > 0);
        // And in the end the whole time is over, and the heat may go off.
        crate::until(crate::PATIENCE, "the process to end", async || {
            left_ms(&board, &day).await <= 0
        })
        .await;
        let off = json!({"order": "heat-off", "load": "l1"});
        let (status, answer) = board.order(&day, off).await;
        assert_eq!(status, 200, "{answer}");
        assert_eq!(
            board.look(&day).await["view"]["loads"]["l1"]["short"],
            false
        );
    });
}

/// Lets the mark say that it was made in an earlier run of the computer.
fn reboot(board: &Board) {
    let place = board.folder().join("clock");
    let mut mark: Value = serde_json::from_slice(&std::fs::read(&place).unwrap()).unwrap();
    assert!(mark["boot"].is_string(), "{mark}");
    mark["boot"] = json!("another run");
    std::fs::write(place, mark.to_string()).unwrap();
}

#[test]
fn a_halted_program_counts_the_time_and_a_reboot_counts_none_whatever_the_date_says() {
    System::new().block_on(async {
        let wall = Wall::new();
        let speed = 10;
        let mut board = Board::start_as(Wanted {
            speed,
            env: wall.env(),
            ..Wanted::default()
        });
        let began = std::time::Instant::now();
        let day = timed_load(&board).await;
        let passed_ms = || i64::try_from(began.elapsed().as_millis()).unwrap() * i64::from(speed);
        let whole_ms = 25 * 60_000;

        // Halted, as by a computer that sleeps: the pot went on boiling.
        let before = left_ms(&board, &day).await;
        kill_process(board.process(), Signal::STOP).unwrap();
        let halted = std::time::Duration::from_secs(2);
        std::thread::sleep(halted);
        kill_process(board.process(), Signal::CONT).unwrap();
        let after = left_ms(&board, &day).await;
        let halted_ms = i64::try_from(halted.as_millis()).unwrap() * i64::from(speed);
        assert!(
            before - after >= halted_ms,
            "the halt did not count: {before}, {after}"
        );
        assert!(after >= whole_ms - passed_ms() - 1_000);

        // A reboot, after which the date is hours ahead, then one after which it is hours behind.
        let mut unknown_ms = 0;
        for seconds in [HOURS_3, -HOURS_3] {
            let left = left_ms(&board, &day).await;
            let killed = passed_ms();
            board.kill();
            reboot(&board);
            wall.set(seconds);
            board.start_again();
            is_too_early(&board, &day).await;
            // The time of the last mark is what is known, so none of what came later counts.
            let now = left_ms(&board, &day).await;
            assert!(
                now >= left - (passed_ms() - killed) - 1_000,
                "shorter: {left}, then {now}"
            );
            let load = board.look(&day).await["view"]["loads"]["l1"].clone();
            let more = load["unknown_ms"].as_i64().unwrap();
            assert!(
                more > unknown_ms,
                "nothing says that a span is unknown: {load}"
            );
            unknown_ms = more;
        }
    });
}
