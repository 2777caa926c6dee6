//! What devices see, and when.

use crate::support::*;
use futures_util::{SinkExt, StreamExt};
use putby::clock::SetClock;
use putby::config::Heartbeat;
use putby::day::ids::DayId;
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use std::time::Duration;
use uuid::Uuid;

#[actix_web::test]
async fn whoever_joins_sees_the_whole_view_and_the_servers_time() {
    let app = TestApp::with_day().await;
    app.clock.advance(250);
    let device = app.follow().await;
    assert_eq!(
        (&device.view, device.seq),
        (&app.view().await["view"], app.seq().await)
    );
}

#[actix_web::test]
async fn every_device_sees_every_change_with_its_commands() {
    let app = TestApp::with_day().await;
    let (mut one, mut other) = (
        app.follow().await,
        app.follow_at("/api/days/small/live?have=1").await,
    );
    let mut ids = Vec::new();
    for order in [claim("maren", "peel"), note("hello"), leave("maren")] {
        let id = Uuid::new_v4();
        assert_eq!(app.order_as(id, order).await.status, 200);
        ids.push(id.to_string());
    }
    let (seq, view) = (app.seq().await, app.view().await["view"].clone());
    for device in [&mut one, &mut other] {
        device.reach(seq).await;
        assert_eq!(device.view, view);
        assert_eq!(device.commands, ids);
    }
}

#[actix_web::test]
async fn a_refused_command_is_shown_to_nobody() {
    let app = TestApp::with_day().await;
    let mut device = app.follow().await;
    app.order(claim("maren", "nowhere")).await;
    let id = Uuid::new_v4();
    let answer = app.order_as(id, note("after")).await;
    device.reach(answer.body["seq"].as_u64().unwrap()).await;
    assert_eq!(device.commands, [id.to_string()]);
}

#[actix_web::test]
async fn joining_while_commands_pour_in_leaves_no_gap() {
    let app = TestApp::with_day().await;
    let orders = async {
        for n in 0..200 {
            assert_eq!(app.order(note(&format!("{n}"))).await.status, 200);
        }
    };
    let joiners = async {
        let mut devices = Vec::new();
        for _ in 0..20 {
            devices.push(app.follow().await);
        }
        devices
    };
    let ((), devices) = futures_util::future::join(orders, joiners).await;
    let (seq, view) = (app.seq().await, app.view().await["view"].clone());
    for mut device in devices {
        device.reach(seq).await;
        assert_eq!(device.view, view);
    }
}

#[actix_web::test]
async fn the_view_holds_no_null_that_a_merge_patch_could_not_say() {
    let app = TestApp::with_day().await;
    app.order(json!({"order": "open-box", "lot": "hill", "product": "slices"}))
        .await;
    app.order(claim("maren", "peel")).await;
    fn nulls(value: &Value) -> usize {
        match value {
            Value::Null => 1,
            Value::Array(items) => items.iter().map(nulls).sum(),
            Value::Object(map) => map.values().map(nulls).sum(),
            Value::Bool(_) | Value::Number(_) | Value::String(_) => 0,
        }
    }
    assert_eq!(nulls(&app.view().await["view"]), 0);
}

/// A raw socket on the small day's live address, past its handshake.
pub fn raw_socket(helper: &Browser) -> TcpStream {
    let (host, _) = helper.raw();
    shake_hands(TcpStream::connect(host).unwrap(), helper)
}

/// Asks on a connection to follow the small day.
pub fn ask_to_follow(socket: &mut TcpStream, helper: &Browser) {
    let (host, key) = helper.raw();
    socket.set_read_timeout(Some(LIMIT)).unwrap();
    write!(
        socket,
        "GET /api/days/small/live HTTP/1.1\r\nhost: {host}\r\n{key}\r\nconnection: upgrade\r\n\
         upgrade: websocket\r\nsec-websocket-version: 13\r\n\
         sec-websocket-key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n"
    )
    .unwrap();
}

fn shake_hands(mut socket: TcpStream, helper: &Browser) -> TcpStream {
    ask_to_follow(&mut socket, helper);
    let head = read_head(&mut socket).expect("an answer");
    assert!(head.starts_with("http/1.1 101"), "{head}");
    socket
}

/// The opcode and payload of the next frame; `None` when the connection ends.
pub fn raw_frame(socket: &mut TcpStream) -> Option<(u8, Vec<u8>)> {
    let mut head = [0; 2];
    socket.read_exact(&mut head).ok()?;
    let length = match head[1] {
        126 => {
            let mut long = [0; 2];
            socket.read_exact(&mut long).ok()?;
            usize::from(u16::from_be_bytes(long))
        }
        127 => {
            let mut long = [0; 8];
            socket.read_exact(&mut long).ok()?;
            usize::try_from(u64::from_be_bytes(long)).unwrap()
        }
        short => usize::from(short),
    };
    let mut payload = vec![0; length];
    socket.read_exact(&mut payload).ok()?;
    Some((head[0] & 0x0f, payload))
}

#[actix_web::test]
async fn a_device_that_does_not_read_delays_nobody_and_catches_up_by_a_whole_view() {
    // However long a busy machine takes over it, nobody is thought to be gone.
    let patient = Heartbeat {
        ping_every: Duration::from_secs(3600),
        drop_after: Duration::from_secs(3600),
    };
    let folder = Arc::new(tempfile::TempDir::new().unwrap());
    let app = TestApp::start_in(folder, Arc::new(SetClock::at(MORNING)), patient).await;
    let body = json!({"id": Uuid::new_v4(), "day": "small", "plan": long_plan(0)});
    assert_eq!(app.post_as_lead("/api/days", &body).await.status, 201);
    let mut stalled = narrow_socket(&app.helper).await;
    let mut reader = app.follow().await;
    // More than the sockets and the ring together hold.
    let mut last = 0;
    for turn in 1..=450 {
        let plan = &long_plan(turn)["products"]["slices"];
        let order = json!({"order": "change-product", "product": "slices", "plan": plan});
        let answer = app.lead_orders(order).await;
        assert_eq!(answer.status, 200, "{answer:?}");
        last = answer.body["seq"].as_u64().unwrap();
        reader.reach(last).await;
    }
    let view = app.view().await["view"].clone();
    assert_eq!(reader.view, view);
    let (seen, wholes) = actix_web::web::block(move || catch_up(&mut stalled, last))
        .await
        .unwrap();
    assert_eq!(seen, view);
    assert!(wholes >= 2, "it never fell behind: {wholes}");
}

#[actix_web::test]
async fn a_device_that_takes_nothing_is_cut_off() {
    let clock = Arc::new(SetClock::at(MORNING));
    let heartbeat = Heartbeat {
        ping_every: Duration::from_millis(50),
        drop_after: Duration::from_secs(4),
    };
    let folder = Arc::new(tempfile::TempDir::new().unwrap());
    let app = TestApp::start_in(folder, clock, heartbeat).await;
    let body = json!({"id": Uuid::new_v4(), "day": "small", "plan": long_plan(0)});
    assert_eq!(app.post_as_lead("/api/days", &body).await.status, 201);
    let _stalled = narrow_socket(&app.helper).await;
    let day = DayId::try_from("small").unwrap();
    let feed = app.site.days.running(&day).unwrap().feed();
    assert_eq!(feed.followers(), 1);
    // More than its socket takes, so that not even a farewell can be sent.
    for turn in 1..=250 {
        let plan = &long_plan(turn)["products"]["slices"];
        let order = json!({"order": "change-product", "product": "slices", "plan": plan});
        assert_eq!(app.lead_orders(order).await.status, 200);
    }
    let cut = async {
        while feed.followers() > 0 {
            tokio::task::yield_now().await;
        }
    };
    tokio::time::timeout(LIMIT, cut)
        .await
        .expect("the connection is cut");
}

/// A day whose one product has a route so long that every change of it is some 20 KB.
pub fn long_plan(turn: u32) -> Value {
    let numbers = |count: u32| (0..count).map(|n| format!("{n:0>40}"));
    let supplies =
        numbers(30).map(|id| (id, json!({"name": "lids", "unit": "lid", "stock": 1000})));
    let station = json!({"name": "Wash", "work": "wash", "nature": {"is": "hand"}, "seats": 1});
    let draws: Value = numbers(30)
        .map(|id| (id, json!(1000)))
        .collect::<serde_json::Map<_, _>>()
        .into();
    let step = |id: String| {
        json!({"station": id, "measure": "bag", "draws": draws,
               "carrier": {"name": "bag", "holds": 1000 * (1 + turn % 9)}})
    };
    json!({
        "name": "Pears", "date": "2026-09-12",
        "stations": numbers(15).map(|id| (id, station.clone())).collect::<serde_json::Map<_, _>>(),
        "supplies": supplies.collect::<serde_json::Map<_, _>>(),
        "products": {"slices": {
            "name": "Pear slices", "produce": "pears",
            "ends_in": {"as": "frozen", "package": "bag"},
            "route": numbers(15).map(step).collect::<Vec<_>>(),
        }},
    })
}

/// A raw socket that takes in next to nothing until it is read.
pub async fn narrow_socket(helper: &Browser) -> TcpStream {
    let helper = helper.clone();
    let host = helper.raw().0.to_owned();
    let socket = actix_web::rt::net::TcpSocket::new_v4().unwrap();
    socket.set_recv_buffer_size(4096).unwrap();
    let socket = socket
        .connect(host.parse().unwrap())
        .await
        .unwrap()
        .into_std()
        .unwrap();
    socket.set_nonblocking(false).unwrap();
    actix_web::web::block(move || shake_hands(socket, &helper))
        .await
        .unwrap()
}

/// Reads on until event `last`, and says how many whole views there were.
fn catch_up(socket: &mut TcpStream, last: u64) -> (Value, u32) {
    let (mut view, mut seq, mut wholes) = (Value::Null, 0, 0);
    while seq < last {
        let (opcode, payload) = raw_frame(socket).expect("the socket goes on");
        if opcode != 1 {
            continue;
        }
        let push: Value = serde_json::from_slice(&payload).unwrap();
        if push["push"] == "view" {
            view = push["view"].clone();
            wholes += 1;
        } else {
            assert_eq!(push["from"], seq, "a gap");
            json_patch::merge(&mut view, &push["patch"]);
        }
        seq = push["seq"].as_u64().unwrap();
    }
    (view, wholes)
}

#[actix_web::test]
async fn a_device_that_never_answers_is_let_go() {
    let clock = Arc::new(SetClock::at(MORNING));
    let heartbeat = Heartbeat {
        ping_every: Duration::from_millis(20),
        drop_after: Duration::from_millis(200),
    };
    let folder = Arc::new(tempfile::TempDir::new().unwrap());
    let app = TestApp::start_in(folder, clock, heartbeat).await;
    app.open_small_day().await;
    let helper = app.helper.clone();
    let frames = actix_web::web::block(move || {
        let mut socket = raw_socket(&helper);
        let frames: Vec<_> = std::iter::from_fn(|| raw_frame(&mut socket)).collect();
        frames
    });
    let frames = frames.await.unwrap();
    assert!(
        frames.iter().any(|(opcode, _)| *opcode == 9),
        "it was asked"
    );
    let (opcode, payload) = frames.last().unwrap();
    assert_eq!((*opcode, &payload[..2]), (8, &1001_u16.to_be_bytes()[..]));
}

#[actix_web::test]
async fn a_socket_that_is_asked_whether_it_is_still_known_says_so() {
    let app = TestApp::with_day().await;
    let ((cookie, secret), (_, origin)) = app.helper.headers();
    let socket = client().ws(app.url("/api/days/small/live"));
    let socket = socket.header(cookie, secret).origin(origin);
    let (_, mut socket) = socket.connect().await.unwrap();
    let asked = awc::ws::Message::Text("still there?".into());
    socket.send(asked).await.unwrap();
    let mut pushes = Vec::new();
    while pushes
        .last()
        .is_none_or(|push| push != r#"{"push":"here"}"#)
    {
        match tokio::time::timeout(LIMIT, socket.next()).await.unwrap() {
            Some(Ok(awc::ws::Frame::Text(text))) => {
                pushes.push(String::from_utf8(text.to_vec()).unwrap());
            }
            Some(Ok(awc::ws::Frame::Ping(_))) => {}
            other => panic!("expected a push, got {other:?}"),
        }
    }
    assert!(
        pushes.iter().all(|push| !push.contains("problem")),
        "{pushes:?}"
    );
}
