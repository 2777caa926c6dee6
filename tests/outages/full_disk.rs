//! The real program on a disk that runs full: nothing is acknowledged that is not kept, everything
//! can be read, every screen is told, and it goes on by itself once there is room.
//!
//! The disk is a small one in memory, mounted for the test (Linux, as root). Where that cannot be
//! done the test says so loudly.

use crate::board::{Board, Wanted};
use crate::disks::{Mounted, SKIPPED};
use crate::load::{Load, Witness, kitchen};
use crate::until;
use actix_web::rt::System;
use awc::Client;
use awc::ws::Frame;
use futures_util::StreamExt;
use putby::day::ids::DayId;
use putby::demo;
use serde_json::{Value, json};
use std::path::Path;
use std::time::{Duration, Instant};

/// Room for a small journal and its log, and some megabyte more.
const SIZE: &str = "size=16m";

#[test]
fn a_full_disk_takes_no_tap_shows_everything_and_goes_on_by_itself() {
    let folder = tempfile::tempdir().unwrap();
    let Some(disk) = Mounted::tmpfs(folder.path(), SIZE) else {
        eprintln!("{SKIPPED}: a full disk");
        return;
    };
    System::new().block_on(async {
        let board = Board::start_as(Wanted {
            data: Some(disk.path().join("data")),
            ..Wanted::default()
        });
        let day = demo::open_day_id(&board.address, &board.lead_key, kitchen(), 460)
            .await
            .unwrap();
        let load = Load::begin(&board, &day, 5);
        until(crate::PATIENCE, "some taps", async || load.count() >= 50).await;
        fill(&disk.path().join("filler"));
        let mut screen = follow(&board, &day).await;
        heard(&mut screen, "full").await;

        // Until the last bytes of the log are used up a small tap may still find room.
        let note = || json!({"order": "note", "on": {"about": "day"}, "text": "one more"});
        let mut refused = (0, Value::Null);
        let mut took = Duration::ZERO;
        until(crate::PATIENCE, "a refusal", async || {
            let asked = Instant::now();
            refused = board.order(&day, note()).await;
            took = asked.elapsed();
            refused.0 != 200
        })
        .await;
        let (status, answer) = refused;
        assert_eq!(
            (status, answer["code"].as_str()),
            (507, Some("storage-full")),
            "{answer}"
        );
        assert!(
            answer["instead"].as_str().unwrap().contains("room"),
            "{answer}"
        );
        // Reading goes on, and what is read is exactly what was acknowledged.
        let mut witness = Witness::of(&day);
        witness.check(&board, &load.acks()).await;
        for path in ["api/days", "api/me", "api/shelf"] {
            let answer = Client::default()
                .get(format!("{}{path}", board.address))
                .bearer_auth(&board.lead_key)
                .send()
                .await;
            assert_eq!(answer.unwrap().status(), 200, "{path}");
        }

        let freed = Instant::now();
        std::fs::remove_file(disk.path().join("filler")).unwrap();
        heard(&mut screen, "work").await;
        println!(
            "refused in {took:?}, told that it works {:?} after the room came",
            freed.elapsed()
        );
        let before = load.count();
        until(crate::PATIENCE, "taps again", async || {
            load.count() > before + 20
        })
        .await;
        let (status, answer) = board.order(&day, note()).await;
        assert_eq!(status, 200, "{answer}");
        let acks = load.end().await;
        witness.check(&board, &acks).await;
    });
}

/// Fills the disk to its last byte.
fn fill(filler: &Path) {
    use std::io::Write;
    let mut file = std::fs::File::create(filler).unwrap();
    for size in [64 << 10, 4 << 10, 1] {
        let block = vec![0_u8; size];
        while file.write_all(&block).is_ok() {}
    }
}

type Frames = futures_util::stream::LocalBoxStream<'static, Frame>;

async fn follow(board: &Board, day: &DayId) -> Frames {
    let live = format!("{}api/days/{day}/live", board.address).replacen("http", "ws", 1);
    let (_, socket) = Client::default()
        .ws(live)
        .bearer_auth(&board.lead_key)
        .max_frame_size(8 << 20)
        .connect()
        .await
        .unwrap();
    socket
        .filter_map(|frame| async { frame.ok() })
        .boxed_local()
}

/// Waits until a screen is told how the disk takes writes.
async fn heard(screen: &mut Frames, writes: &str) {
    let told = async {
        while let Some(frame) = screen.next().await {
            let Frame::Text(text) = frame else { continue };
            let push: Value = serde_json::from_slice(&text).unwrap();
            if push["push"] == "disk" && push["writes"] == writes {
                return true;
            }
        }
        false
    };
    let told = tokio::time::timeout(crate::PATIENCE, told).await;
    assert!(
        told.unwrap_or(false),
        "nobody said that the disk is in the state {writes:?}"
    );
}
