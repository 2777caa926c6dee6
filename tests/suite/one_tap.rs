//! One tap counts once, however often and over however many connections it is sent, whoever reads
//! the answer; and an id stands for one tap only.

use crate::support::*;
use futures_util::future::join_all;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::time::Duration;
use tokio::time::timeout;
use uuid::Uuid;

const TAPS: u128 = 150;
const CONNECTIONS: usize = 3;
/// How many of a hundred copies are given up before their answer comes.
const LOST_OF_100: u32 = 20;

/// Notes on taps, which say their number.
fn tap(number: u128) -> Value {
    json!({"id": Uuid::from_u128(number), "command": note(&format!("tap {number}"))})
}

/// How many events there are of each command of ours.
async fn counted(app: &TestApp) -> BTreeMap<Uuid, usize> {
    let mut counted = BTreeMap::new();
    for event in app.events().await {
        let id: Uuid = serde_json::from_value(event["command"].clone()).unwrap();
        if (1..=TAPS).contains(&id.as_u128()) {
            *counted.entry(id).or_default() += 1;
        }
    }
    counted
}

#[actix_web::test]
async fn a_tap_sent_many_times_over_many_connections_counts_once() {
    let app = TestApp::with_day().await;
    let mut dice = ChaCha8Rng::seed_from_u64(5);
    let connections: Vec<_> = (0..CONNECTIONS).map(|_| client()).collect();
    let mut first = BTreeMap::new();
    for number in 1..=TAPS {
        // Again and again until an answer comes through, as a device does.
        let seq = loop {
            let copies = (0..dice.random_range(1..=5)).map(|copy: usize| {
                let request = connections[copy % CONNECTIONS].post(app.url(COMMANDS));
                let request = app.helper.sends(request);
                let lost = dice.random_ratio(LOST_OF_100, 100);
                let patience = match lost {
                    true => Duration::from_micros(dice.random_range(0..3000)),
                    false => LIMIT,
                };
                timeout(patience, answer(request.send_json(&tap(number))))
            });
            let answers: Vec<_> = join_all(copies).await.into_iter().flatten().collect();
            assert!(answers.iter().all(|one| one.status == 200), "{answers:?}");
            let seqs: Vec<u64> = answers
                .iter()
                .flat_map(|one| one.body["seq"].as_u64())
                .collect();
            assert!(
                seqs.iter().all(|seq| *seq == seqs[0]),
                "different answers: {seqs:?}"
            );
            if let Some(seq) = seqs.first() {
                break *seq;
            }
        };
        first.insert(number, seq);
    }
    let once: BTreeMap<Uuid, usize> = (1..=TAPS).map(|n| (Uuid::from_u128(n), 1)).collect();
    assert_eq!(counted(&app).await, once);

    // A month later and after a restart a repeat has its first answer, and another tap under an old
    // id none.
    app.clock.advance(30 * 24 * 3_600_000);
    let app = app.restart().await;
    for (number, seq) in first.into_iter().step_by(10) {
        let again = app.post(COMMANDS, &tap(number)).await;
        assert_eq!(again.body["seq"].as_u64(), Some(seq), "{again:?}");
        let other = json!({"id": Uuid::from_u128(number), "command": note("another")});
        let refused = app.post(COMMANDS, &other).await;
        assert_eq!(refused.verdict(), (409, "id-conflict"));
    }
    assert_eq!(counted(&app).await, once);
}
