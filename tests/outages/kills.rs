//! The real program killed, or told to stop, again and again under the taps of twenty devices: what
//! was acknowledged is there, once and in order, and the view is as before.
//!
//! A few times with every run of the tests; by hand as often as wished, with a release build:
//!
//!     KILLS=1000 PUTBY_PROGRAM=target/release/putby \
//!         cargo test --test outages -- --ignored --nocapture often

use crate::board::Board;
use crate::load::{Load, Witness, open_day};
use actix_web::rt::{self, System};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rustix::process::{Signal, kill_process};
use std::time::{Duration, Instant};

/// A run is ended within this time of its first answer.
const LATEST_MS: u64 = 500;

/// How the program is ended.
#[derive(Clone, Copy, PartialEq)]
enum Ending {
    /// At once, by the system.
    Killed,
    /// By being asked, so that it ends by itself and with success.
    Asked,
}

#[test]
fn what_was_acknowledged_survives_being_killed_again_and_again() {
    System::new().block_on(ended(12, Ending::Killed, 1));
}

#[test]
fn what_was_acknowledged_survives_being_stopped_again_and_again() {
    System::new().block_on(ended(5, Ending::Asked, 2));
}

#[test]
#[ignore = "by hand, with KILLS=1000: it takes a while"]
fn often_killed() {
    System::new().block_on(ended(times(), Ending::Killed, 3));
}

#[test]
#[ignore = "by hand, with KILLS=500: it takes a while"]
fn often_stopped() {
    System::new().block_on(ended(times(), Ending::Asked, 4));
}

fn times() -> u64 {
    let told = std::env::var("KILLS").ok();
    told.map_or(200, |told| told.parse().expect("KILLS is a number"))
}

async fn ended(times: u64, ending: Ending, seed: u64) {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut board = Board::start(1);
    let day = open_day(&board).await;
    let load = Load::begin(&board, &day, seed);
    let mut witness = Witness::of(&day);
    let (mut ready, mut gone) = (Duration::ZERO, Duration::ZERO);
    for round in 0..times {
        // At least one tap of this round, so that no round is empty.
        let before = load.count();
        crate::until(crate::PATIENCE, "a tap", async || load.count() > before).await;
        rt::time::sleep(Duration::from_millis(rng.random_range(0..LATEST_MS))).await;
        let began = Instant::now();
        match ending {
            Ending::Killed => board.kill(),
            Ending::Asked => {
                kill_process(board.process(), Signal::TERM).unwrap();
                assert!(board.ended().success(), "it was only asked to stop");
                gone = gone.max(began.elapsed());
            }
        }
        let acks = load.acks();
        let began = Instant::now();
        board.start_again();
        board.look(&day).await;
        ready = ready.max(began.elapsed());
        witness.check(&board, &acks).await;
        if round % 100 == 99 {
            println!(
                "{} ends, {} taps, ready again in {ready:?} at most",
                round + 1,
                acks.len()
            );
        }
    }
    let acks = load.end().await;
    witness.check(&board, &acks).await;
    assert!(acks.len() as u64 >= times, "few taps prove little");
    println!(
        "{times} ends, {} taps acknowledged, {} events: none lost, doubled or out of order; \
         gone in {gone:?}, ready again in {ready:?} at most",
        acks.len(),
        witness.seen()
    );
}
