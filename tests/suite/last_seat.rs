//! Several hands reaching for one chair.
//!
//! `ROUNDS=10000 cargo test --test suite -- last_seat --nocapture` plays as many rounds as wanted.

use crate::support::*;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::sync::Barrier;
use uuid::Uuid;

/// The most that reach for it at once.
const HANDS: usize = 8;

#[actix_web::test]
async fn of_all_who_claim_the_last_seat_at_once_exactly_one_gets_it() {
    let rounds = std::env::var("ROUNDS").map_or(300, |said| said.parse().unwrap());
    let app = TestApp::start().await;
    let body = json!({"id": Uuid::new_v4(), "day": "small", "plan": crowded_plan()});
    assert_eq!(app.post_as_lead("/api/days", &body).await.status, 201);
    let before = app.seq().await;
    let helper = app.helper.clone();
    actix_web::web::block(move || reach(&helper, rounds))
        .await
        .unwrap();
    let seated = &app.view().await["view"]["stations"]["peel"]["seated"];
    assert!(seated.as_object().is_none_or(serde_json::Map::is_empty));
    assert_eq!(
        app.seq().await,
        before + 2 * rounds as u64,
        "one claim, one leave a round"
    );
}

/// In each round some hands, each on a thread and a connection of its own, are let go together.
fn reach(helper: &Browser, rounds: usize) {
    let mut lines: Vec<Line> = (0..HANDS).map(|_| Line::open(helper)).collect();
    for round in 0..rounds {
        let reaching = 2 + round % (HANDS - 1);
        let start = Barrier::new(reaching);
        let said: Vec<(Uuid, u16, Value)> = std::thread::scope(|scope| {
            let hands = lines.iter_mut().zip(0..reaching).map(|(line, hand)| {
                let start = &start;
                scope.spawn(move || {
                    let (id, order) = (Uuid::new_v4(), claim(&name(hand), "peel"));
                    start.wait();
                    let (status, body) = line.order(id, &order);
                    (id, status, body)
                })
            });
            let hands: Vec<_> = hands.collect();
            hands.into_iter().map(|hand| hand.join().unwrap()).collect()
        });
        let winner = judge(round, &said);
        for (hand, (id, ..)) in said.iter().enumerate().filter(|(hand, _)| *hand != winner) {
            // The same again is answered the same.
            let again = lines[hand].order(*id, &claim(&name(hand), "peel"));
            assert_eq!(again.0, 409, "round {round}: {again:?}");
        }
        let left = lines[winner].order(Uuid::new_v4(), &leave(&name(winner)));
        assert_eq!(left.0, 200, "round {round}: {left:?}");
    }
}

/// Exactly one has it, and all others are told who.
fn judge(round: usize, said: &[(Uuid, u16, Value)]) -> usize {
    let mut winners = (0..said.len()).filter(|hand| said[*hand].1 == 200);
    let (Some(winner), None) = (winners.next(), winners.next()) else {
        panic!("round {round}: {said:?}");
    };
    let others = said.iter().enumerate().filter(|(hand, _)| *hand != winner);
    for (_, (_, status, body)) in others {
        assert_eq!(
            (*status, &body["code"]),
            (409, &json!("seat-taken")),
            "round {round}"
        );
        let told = body.to_string();
        let who = format!("Hand {winner}");
        assert!(
            told.contains(&who),
            "round {round}: {who} sits there: {told}"
        );
    }
    winner
}

fn name(hand: usize) -> String {
    format!("hand-{hand}")
}

/// The small kitchen with as many grown-ups as there are hands.
fn crowded_plan() -> Value {
    let mut plan = small_plan();
    let helper = |hand| {
        (
            name(hand),
            json!({"name": format!("Hand {hand}"), "age": 30}),
        )
    };
    plan["helpers"] = (0..HANDS)
        .map(helper)
        .collect::<serde_json::Map<_, _>>()
        .into();
    plan
}

/// A connection that is kept open, so that nothing stands between a tap and the server.
struct Line {
    helper: Browser,
    socket: BufReader<TcpStream>,
}

impl Line {
    fn open(helper: &Browser) -> Line {
        let socket = TcpStream::connect(helper.raw().0).unwrap();
        socket.set_nodelay(true).unwrap();
        socket.set_read_timeout(Some(LIMIT)).unwrap();
        Line {
            helper: helper.clone(),
            socket: BufReader::new(socket),
        }
    }

    fn order(&mut self, id: Uuid, command: &Value) -> (u16, Value) {
        let body = json!({"id": id, "command": command}).to_string();
        let ((host, who), length) = (self.helper.raw(), body.len());
        let request = format!(
            "POST {COMMANDS} HTTP/1.1\r\nhost: {host}\r\n{who}\r\ncontent-type: application/json\r\n\
             content-length: {length}\r\n\r\n{body}"
        );
        self.socket.get_mut().write_all(request.as_bytes()).unwrap();
        let (mut status, mut length) = (0, 0);
        loop {
            let mut line = String::new();
            self.socket.read_line(&mut line).unwrap();
            let line = line.trim().to_ascii_lowercase();
            if let Some(said) = line.strip_prefix("http/1.1 ") {
                status = said[..3].parse().unwrap();
            } else if let Some(said) = line.strip_prefix("content-length: ") {
                length = said.parse().unwrap();
            } else if line.is_empty() {
                break;
            }
        }
        let mut body = vec![0; length];
        self.socket.read_exact(&mut body).unwrap();
        (status, serde_json::from_slice(&body).unwrap())
    }
}
