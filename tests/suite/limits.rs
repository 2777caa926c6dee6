//! Who asks too much is told so and when to come back; nobody else notices.

use crate::live::{ask_to_follow, raw_socket};
use crate::support::*;
use putby::clock::SetClock;
use putby::config::Limits;
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use tempfile::TempDir;
use uuid::Uuid;

/// Time that all but stands still, so that nothing comes back during a test; bursts shrink with it.
const FROZEN: f64 = 1e-6;
/// How many thousandths of thousandths a whole one is then.
const WHOLE: u32 = 1_000_000;

async fn limited(limits: Limits) -> TestApp {
    limited_at(1.0, limits).await
}

async fn limited_at(speed: f64, limits: Limits) -> TestApp {
    let clock = Arc::new(SetClock::at(MORNING));
    let folder = Arc::new(TempDir::new().unwrap());
    TestApp::start_with(folder, clock, |config| {
        config.limits = limits;
        config.speed = speed;
    })
    .await
}

/// What a device is answered, and the seconds it is told to wait.
async fn order_from(app: &TestApp, device: &Browser, id: Uuid) -> (Answer, Option<u64>) {
    let body = json!({"id": id, "command": note("hello")});
    let request = device.sends(client().post(app.url(COMMANDS)));
    let mut response = request.send_json(&body).await.unwrap();
    let wait = response.headers().get("retry-after");
    let wait = wait.map(|seconds| seconds.to_str().unwrap().parse().unwrap());
    let kind = response.headers().get("content-type").cloned();
    let answer = Answer {
        status: response.status().as_u16(),
        kind: kind.map_or(String::new(), |kind| kind.to_str().unwrap().to_owned()),
        body: serde_json::from_slice(&response.body().await.unwrap()).unwrap_or(Value::Null),
    };
    (answer, wait)
}

#[actix_web::test]
async fn a_device_that_taps_too_fast_is_refused_and_the_others_are_not() {
    let app = limited_at(
        FROZEN,
        Limits {
            commands_per_s: 1,
            commands_burst: 40 * WHOLE,
            requests_burst: u32::MAX,
            ..Limits::WIDE
        },
    )
    .await;
    app.open_small_day().await;
    let mut refused = Vec::new();
    for _ in 0..45 {
        let id = Uuid::new_v4();
        let (answer, wait) = order_from(&app, &app.helper, id).await;
        if answer.status != 200 {
            assert_eq!(answer.verdict(), (429, "too-many-commands"), "{answer:?}");
            assert!(answer.is_clear_problem(), "{answer:?}");
            assert!(wait.is_some_and(|seconds| seconds > 0));
            refused.push(id.to_string());
        }
    }
    assert_eq!(refused.len(), 5);
    let (other, _) = order_from(&app, &app.another_helper().await, Uuid::new_v4()).await;
    assert_eq!(other.status, 200, "{other:?}");
    let done = app.events().await;
    let commands: Vec<&str> = done
        .iter()
        .map(|one| one["command"].as_str().unwrap())
        .collect();
    assert!(refused.iter().all(|id| !commands.contains(&id.as_str())));
}

#[actix_web::test]
async fn an_address_cannot_hide_behind_many_devices() {
    let app = limited_at(
        FROZEN,
        Limits {
            commands_per_s: 1,
            commands_burst: 12 * WHOLE,
            requests_burst: u32::MAX,
            ..Limits::WIDE
        },
    )
    .await;
    app.open_small_day().await;
    let mut refused = 0;
    let mut devices = vec![app.helper.clone()];
    while devices.len() < 10 {
        devices.push(app.another_helper().await);
    }
    for device in devices.iter().cycle().take(110) {
        let (answer, _) = order_from(&app, device, Uuid::new_v4()).await;
        refused += usize::from(answer.verdict() == (429, "too-many-commands"));
    }
    // Coming in and the opening of the day were eleven of the 96 of this address.
    assert_eq!(
        refused,
        110 - (96 - 11),
        "an address may send what eight devices may"
    );
}

#[actix_web::test]
async fn a_command_that_was_refused_counts_once_when_it_is_sent_again() {
    let app = limited(Limits {
        commands_per_s: 50,
        commands_burst: 1,
        ..Limits::WIDE
    })
    .await;
    app.open_small_day().await;
    let ids: Vec<Uuid> = (0..5).map(|_| Uuid::new_v4()).collect();
    let before = app.events().await.len();
    for id in &ids {
        while order_from(&app, &app.helper, *id).await.0.status == 429 {}
    }
    let done = app.events().await;
    assert_eq!(done.len(), before + ids.len());
}

#[actix_web::test]
async fn live_screens_have_a_bound_for_an_address_and_places_come_back() {
    let app = limited(Limits {
        sockets_per_address: 3,
        ..Limits::WIDE
    })
    .await;
    app.open_small_day().await;
    // The lead was heard from here: eight more than the three.
    let mut screens: Vec<TcpStream> = (0..11).map(|_| raw_socket(&app.helper)).collect();
    let refused = upgrade(&app).await;
    assert_eq!(refused.verdict(), (429, "too-many-screens"), "{refused:?}");
    assert!(refused.is_clear_problem(), "{refused:?}");
    screens.pop();
    // The place comes back when the server has seen that the screen is gone.
    while upgrade(&app).await.status == 429 {}
}

#[actix_web::test]
async fn the_lead_finds_a_place_when_all_are_taken() {
    let app = limited(Limits {
        sockets: 2,
        ..Limits::WIDE
    })
    .await;
    let open = json!({"id": Uuid::new_v4(), "day": "small", "plan": small_plan()});
    assert_eq!(app.post_as_lead("/api/days", &open).await.status, 201);
    // The lead was heard from here, so eight more than the two find a place.
    let _screens: Vec<TcpStream> = (0..10).map(|_| raw_socket(&app.helper)).collect();
    let refused = upgrade(&app).await;
    assert_eq!(refused.verdict(), (503, "too-many-screens"), "{refused:?}");
}

#[actix_web::test]
async fn connections_beyond_the_bound_are_told_so_and_cut() {
    let app = limited(Limits {
        connections_per_address: 4,
        ..Limits::WIDE
    })
    .await;
    let host = app.address.trim_start_matches("http://").to_owned();
    let cut = actix_web::web::block(move || {
        let mut held: Vec<TcpStream> = (0..4).map(|_| asked(&host)).collect();
        let mut beyond = TcpStream::connect(&host).unwrap();
        beyond.set_read_timeout(Some(LIMIT)).unwrap();
        let mut said = String::new();
        beyond.read_to_string(&mut said).unwrap();
        held.pop();
        // The place comes back once the server has seen it go.
        while !is_answered(&host) {}
        said
    })
    .await
    .unwrap();
    assert!(cut.starts_with("HTTP/1.1 429 "), "{cut}");
    assert!(
        cut.contains("retry-after: ") && cut.contains("too-many-connections"),
        "{cut}"
    );
}

/// A connection on which a request was answered, so that the server surely has it.
fn asked(host: &str) -> TcpStream {
    let mut stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(LIMIT)).unwrap();
    write!(stream, "GET /api/me HTTP/1.1\r\nhost: {host}\r\n\r\n").unwrap();
    let mut first = [0; 12];
    stream.read_exact(&mut first).unwrap();
    assert_eq!(&first, b"HTTP/1.1 200");
    stream
}

fn is_answered(host: &str) -> bool {
    let mut stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(LIMIT)).unwrap();
    let asked = write!(stream, "GET /api/me HTTP/1.1\r\nhost: {host}\r\n\r\n");
    let mut first = [0; 12];
    asked.is_ok() && stream.read_exact(&mut first).is_ok() && &first == b"HTTP/1.1 200"
}

/// The answer to one more live screen.
async fn upgrade(app: &TestApp) -> Answer {
    let helper = app.helper.clone();
    let said = actix_web::web::block(move || {
        let mut stream = TcpStream::connect(helper.raw().0).unwrap();
        ask_to_follow(&mut stream, &helper);
        let mut said = [0; 2048];
        let length = stream.read(&mut said).unwrap();
        String::from_utf8_lossy(&said[..length]).into_owned()
    })
    .await
    .unwrap();
    let (head, body) = said.split_once("\r\n\r\n").unwrap();
    let kind = head
        .lines()
        .find_map(|line| line.strip_prefix("content-type: "));
    Answer {
        status: head.split(' ').nth(1).unwrap().parse().unwrap(),
        kind: kind.unwrap_or_default().to_owned(),
        body: serde_json::from_str(body).unwrap_or(Value::Null),
    }
}
