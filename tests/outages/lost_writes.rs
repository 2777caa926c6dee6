//! A disk that goes back to what it held before, though it had confirmed more: what it has lost is
//! named to the lead, and devices that had seen it find out.

use crate::board::Board;
use crate::load::open_day;
use actix_web::rt::System;
use putby::day::ids::DayId;
use rustix::process::{Signal, kill_process};
use serde_json::{Value, json};

fn stop(board: &mut Board) {
    kill_process(board.process(), Signal::TERM).unwrap();
    assert!(board.ended().success(), "it was only asked to stop");
}

async fn tap(board: &Board, day: &DayId) {
    let tally = json!({"order": "note", "on": {"about": "day"}, "text": "a tap"});
    let (status, answer) = board.order(day, tally).await;
    assert_eq!(status, 200, "{answer}");
}

async fn copies(board: &Board) -> Value {
    serde_json::from_slice(&board.get("api/copies").await).unwrap()
}

#[test]
fn what_the_disk_has_lost_is_named_and_the_journal_is_another() {
    System::new().block_on(async {
        let mut board = Board::start(1);
        let day = open_day(&board).await;
        tap(&board, &day).await;
        let kept = board.look(&day).await["seq"].as_u64().unwrap();
        stop(&mut board);
        let store = board.folder().join("putby.db");
        let old = std::fs::read(&store).unwrap();

        board.start_again();
        assert_eq!(copies(&board).await.get("lost"), None, "all is there");
        for _ in 0..3 {
            tap(&board, &day).await;
        }
        let seen = board.look(&day).await;
        let confirmed = seen["seq"].as_u64().unwrap();
        stop(&mut board);
        std::fs::write(&store, old).unwrap();

        board.start_again();
        let lost = copies(&board).await["lost"].clone();
        assert_eq!(lost.as_array().map(Vec::len), Some(1), "{lost}");
        assert_eq!(lost[0]["day"], day.as_str());
        assert_eq!(
            (lost[0]["from"].as_u64(), lost[0]["to"].as_u64()),
            (Some(kept + 1), Some(confirmed))
        );
        let now = board.look(&day).await;
        assert_eq!(now["seq"], kept);
        assert_ne!(now["journal"], seen["journal"], "devices must find out");

        // It goes on from there, is told for a while, and is not found a second time.
        tap(&board, &day).await;
        stop(&mut board);
        board.start_again();
        assert_eq!(copies(&board).await["lost"], lost);
        assert_eq!(board.look(&day).await["journal"], now["journal"]);
    });
}
