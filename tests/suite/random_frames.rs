//! What no WebSocket library would send: frames of random bits, at the program itself. However they
//! are answered, each socket ends, no mistake of the program is logged, and it goes on as before.
//!
//!     FRAMES=1000000 SEEDS=20 cargo test --test suite -- random_frames --nocapture

use crate::live::{raw_frame, raw_socket};
use crate::program::{base_of, greeting, lead_key_in, log_of, putby};
use crate::support::*;
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::Shutdown;
use uuid::Uuid;

/// How many come over one connection at most.
const AT_ONCE: usize = 30;

fn told(name: &str, usual: usize) -> usize {
    let said = std::env::var(name).ok();
    said.map_or(usual, |said| said.parse().expect("a number"))
}

/// A frame in which anything may be wrong: its opcode and reserved bits, its mask, its length.
fn frame(dice: &mut ChaCha8Rng) -> Vec<u8> {
    let mut bytes = vec![dice.random::<u8>()];
    let length = dice.random_range(0..65_u8);
    let mask = if dice.random_ratio(9, 10) { 0x80 } else { 0 };
    match dice.random_range(0..20) {
        0 => bytes.extend([mask | 126, dice.random(), dice.random()]),
        1 => {
            bytes.push(mask | 127);
            bytes.extend(dice.random::<[u8; 8]>());
        }
        _ => bytes.push(mask | length),
    }
    let mut rest = vec![0; usize::from(length) + 4];
    dice.fill_bytes(&mut rest);
    bytes.extend(rest);
    bytes
}

/// Sends frames until there are enough or the server ends it; the end of the connection must come.
fn pester(browser: &Browser, dice: &mut ChaCha8Rng, most: usize) -> usize {
    let mut socket = raw_socket(browser);
    let mut sent = 0;
    while sent < most && socket.write_all(&frame(dice)).is_ok() {
        sent += 1;
    }
    // It may be gone already.
    let _ = socket.shutdown(Shutdown::Write);
    let mut left = Vec::new();
    let end = socket.read_to_end(&mut left);
    let hangs = end.is_err_and(|error| error.kind() == std::io::ErrorKind::WouldBlock);
    assert!(!hangs, "the server does not end a socket");
    sent
}

#[actix_web::test]
async fn random_frames_end_their_socket_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let mut board = putby(folder.path());
    for limit in [
        "HANDSHAKES_PER_S",
        "HANDSHAKES_BURST",
        "REQUESTS_PER_S",
        "REQUESTS_BURST",
    ] {
        board.env(format!("PUTBY_{limit}"), "1000000");
    }
    for limit in ["SOCKETS_PER_ADDRESS", "CONNECTIONS_PER_ADDRESS"] {
        board.env(format!("PUTBY_{limit}"), "100");
    }
    let mut child = board.spawn().unwrap();
    let said = greeting(&mut child);
    let key = json!({"lead_key": lead_key_in(&said)});
    let (_, browser) = come_in(&base_of(&said), &key).await;
    let browser = browser.expect("the key lets in");
    let open = json!({"id": Uuid::new_v4(), "day": "small", "plan": small_plan()});
    assert_eq!(browser.post("/api/days", &open).await.status, 201);

    let (frames, seeds) = (told("FRAMES", 4000), told("SEEDS", 4));
    let shown = actix_web::web::block(move || {
        let (mut all, mut connections) = (0, 0);
        for seed in 0..seeds {
            let mut dice = ChaCha8Rng::seed_from_u64(seed as u64);
            let mut sent = 0;
            while sent < frames / seeds {
                let most = dice.random_range(1..=AT_ONCE);
                sent += pester(&browser, &mut dice, most);
                connections += 1;
            }
            all += sent;
        }
        println!("{all} frames over {connections} connections");
        raw_frame(&mut raw_socket(&browser))
    });
    let (_, shown) = shown.await.unwrap().expect("it goes on");
    let shown: Value = serde_json::from_slice(&shown).unwrap();
    assert_eq!(shown["view"]["day"]["name"], small_plan()["name"]);
    let log = log_of(child);
    assert!(!log.contains("mistake"), "{log}");
}
