//! What must survive: a whole day over real sockets with the server killed in the middle of it, and a
//! process while somebody sets the clock. What a disk or a plug can do is in `tests/outages`.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

#[allow(dead_code, reason = "tests/outages uses the rest")]
mod board;
mod screen;
mod waiting;
mod wall_clock;

use actix_web::rt::System;
use board::Board;
use putby::day::{self, Record, State};
use putby::demo::{self, Stage};
use screen::Screen;
use serde_json::Value;
use std::time::Duration;
use waiting::{PATIENCE, until};

/// How many seconds of the day pass in one.
const SPEED: u32 = 900;

/// Seven helpers and two walls work the invented day on their own devices; eight more screens look
/// on. The server is killed with SIGKILL twice and started again on the same folder.
#[test]
fn a_day_survives_being_killed_and_every_screen_agrees() {
    System::new().block_on(async {
        let mut board = Board::start(SPEED);
        let cut_off = demo::cast().cut_off_min;
        let day = demo::open_day_id(&board.address, &board.lead_key, demo::day(), cut_off)
            .await
            .unwrap();
        let stage = Stage {
            address: board.address.clone(),
            lead_key: board.lead_key.clone(),
            day: day.clone(),
            cast: demo::cast(),
            seed: 7,
        };
        let _devices = stage.start();
        let screens: Vec<Screen> = (0..8)
            .map(|_| Screen::open(&board.address, &board.lead_key, day.as_str()))
            .collect();

        let mut acknowledged = Vec::new();
        for events in [150, 400] {
            board
                .wait_for(&day, PATIENCE, |view, seq| {
                    seq >= events || view["day"]["phase"] == "closed"
                })
                .await;
            acknowledged.push(board.records(&day).await);
            board.kill_and_start_again();
        }
        let closed = |view: &Value, _| view["day"]["phase"] == "closed";
        let (view, seq) = board.wait_for(&day, PATIENCE, closed).await;

        let records = board.records(&day).await;
        for before in acknowledged {
            assert_eq!(
                before[..],
                records[..before.len()],
                "a kill lost or changed an event"
            );
        }
        let state = replay(&records);
        assert_eq!(state.check(), Ok(()));
        let replayed = serde_json::to_value(day::view(&state)).unwrap();
        assert_eq!(replayed, view, "the journal does not give the living day");
        assert_eq!(records.last().unwrap().seq, seq);
        for screen in &screens {
            screen.wait_for(seq, Duration::from_secs(30)).await;
            assert_eq!(screen.view(), view, "a screen shows another day");
        }
        assert!(
            screens.iter().all(|screen| screen.joined() >= 3),
            "every screen must have lost its connection twice and come back"
        );
        work_was_done(&state);
    });
}

/// The sequence must have no gap, and one command's events stand together.
fn replay(records: &[Record]) -> State {
    let mut state = State::default();
    for (number, record) in (1..).zip(records) {
        assert_eq!(record.seq, number);
        day::apply(&mut state, record.at, record.command, &record.event);
    }
    state
}

/// A day in which little happened would prove little.
fn work_was_done(state: &State) {
    let lifted = state.loads.values().filter(|load| load.lifted_at.is_some());
    assert!(lifted.count() >= 4, "few loads were lifted");
    let opened = state.lots.values().filter(|lot| lot.opened.0 > 0);
    assert!(opened.count() >= 3, "few lots were opened");
}
