//! Whatever else can be sent: it gets a clear answer, the connection goes on where it can, and the
//! day is as it was.

use crate::live::{raw_frame, raw_socket};
use crate::support::*;
use awc::ws::{CloseCode, Frame, Message};
use futures_util::{SinkExt, StreamExt};
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::TcpStream;
use uuid::Uuid;

const ID: &str = "\"id\":\"11111111-1111-4111-8111-111111111111\"";

fn order_text(command: &str) -> String {
    format!("{{{ID},\"command\":{command}}}")
}

#[actix_web::test]
async fn text_that_is_no_command_is_answered_by_what_to_mend() {
    let app = TestApp::with_day().await;
    let before = app.events().await;
    let deep = format!("{}1{}", "[".repeat(10_000), "]".repeat(10_000));
    let tally = |amount: &str| {
        order_text(&format!(
            r#"{{"order":"tally","station":"wash","amount":{amount}}}"#
        ))
    };
    let rows = [
        String::new(),
        "{".to_owned(),
        "null".to_owned(),
        "[]".to_owned(),
        "\"claim\"".to_owned(),
        "{} {}".to_owned(),
        "\u{0}".to_owned(),
        format!("{{{ID}}}"),
        r#"{"command":{"order":"close-day"}}"#.to_owned(),
        r#"{"id":"not-a-uuid","command":{"order":"close-day"}}"#.to_owned(),
        r#"{"id":7,"command":{"order":"close-day"}}"#.to_owned(),
        format!("{{{ID},{ID},\"command\":{{\"order\":\"close-day\"}}}}"),
        format!("{{{ID},\"command\":{{\"order\":\"close-day\"}},\"role\":\"lead\"}}"),
        order_text(r#"{"order":"dance"}"#),
        order_text(r#"{"station":"wash"}"#),
        order_text("7"),
        order_text(r#"{"order":"claim","helper":"maren"}"#),
        order_text(r#"{"order":"claim","helper":7,"station":"wash"}"#),
        order_text(r#"{"order":"claim","helper":"Maren!","station":"wash"}"#),
        order_text(r#"{"order":"claim","helper":"maren","station":"wash","speed":2}"#),
        order_text(r#"{"order":"note","on":{"about":"day"},"text":"\ud800"}"#),
        tally("1e999"),
        tally("-1e999"),
        tally("NaN"),
        tally("Infinity"),
        tally("1.5"),
        tally("1e30"),
        tally("99999999999999999999"),
        tally("-9223372036854775809"),
        tally("\"5\""),
        tally("-0.0"),
        tally("1e3"),
        tally("0x10"),
        tally("+1"),
        tally("01"),
        tally("18446744073709551616"),
        tally("5,\"amount\":5"),
        order_text(r#"{"order":"close-day","order":"close-day"}"#),
        order_text(r#"{"order":"note","on":{"about":"day"},"text":"\udc00\ud800"}"#),
        format!("{{{ID},\"command\":{{\"order\":\"close-day\"}},\"version\":2}}"),
        tally("{}"),
        deep.clone(),
        order_text(&deep),
    ];
    for text in rows {
        let answer = app.post_text(COMMANDS, text.clone()).await;
        let shown = &text[..text.len().min(120)];
        assert_eq!(answer.verdict(), (400, "malformed"), "{shown}");
        assert!(answer.is_clear_problem(), "{shown}: {answer:?}");
        let said = answer.body["detail"].as_str().unwrap();
        assert!(
            said.contains("line 1 column") || text.is_empty(),
            "where? {said}"
        );
    }
    let not_text = app.post_text(COMMANDS, vec![0xff, 0xfe, 0x00]).await;
    assert_eq!(not_text.verdict(), (400, "malformed"));
    assert_eq!(app.events().await, before);
}

#[actix_web::test]
async fn an_unknown_order_is_answered_by_the_orders_there_are() {
    let app = TestApp::with_day().await;
    let answer = app
        .post_text(COMMANDS, order_text(r#"{"order":"dance"}"#))
        .await;
    let said = answer.body["detail"].as_str().unwrap();
    assert!(said.contains("dance") && said.contains("tally"), "{said}");
}

#[actix_web::test]
async fn numbers_at_the_edges_are_refused_by_the_rules_and_not_by_a_crash() {
    let app = TestApp::with_day().await;
    app.order(json!({"order": "open-box", "lot": "hill", "product": "slices"}))
        .await;
    let before = app.events().await;
    let exact = 1_i64 << 53;
    let rows = [
        // Beyond what every reader of JSON can count exactly.
        (i64::MAX, 400),
        (i64::MIN, 400),
        (exact + 1, 400),
        (exact - 1, 409),
        (1_000_000_001, 409),
        (0, 409),
        (-1, 409),
    ];
    for (amount, status) in rows {
        let orders = [
            json!({"order": "tally", "station": "wash", "amount": amount}),
            json!({"order": "divert", "station": "wash", "product": "slices", "amount": amount,
                   "to": {"as": "scraps"}}),
            json!({"order": "open-box", "lot": "hill", "product": "slices", "amount": amount}),
        ];
        for order in orders {
            let refused = app.order(order.clone()).await;
            assert_eq!(refused.status, status, "{order}: {refused:?}");
            assert!(refused.is_clear_problem(), "{refused:?}");
        }
    }
    assert_eq!(app.events().await, before);
}

#[actix_web::test]
async fn unknown_days_and_stations_are_named_in_the_answer() {
    let app = TestApp::with_day().await;
    for day in ["elsewhere", "No%20Day", "%00", "a%2Fb", "..", "small%20"] {
        for path in ["view", "events", "plan-again", "live"] {
            let answer = app.get(&format!("/api/days/{day}/{path}")).await;
            assert_eq!(answer.status, 404, "{day}/{path}: {answer:?}");
        }
        let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
        let answer = app.post(&format!("/api/days/{day}/commands"), &body).await;
        assert_eq!(answer.status, 404, "{day}: {answer:?}");
    }
    let answer = app.order(claim("maren", "attic")).await;
    assert_eq!(answer.verdict(), (409, "unknown"));
    assert!(
        answer.body["detail"].as_str().unwrap().contains("attic"),
        "{answer:?}"
    );
}

#[actix_web::test]
async fn only_json_is_read() {
    let app = TestApp::with_day().await;
    let text = order_text(r#"{"order":"close-day"}"#);
    for kind in [
        "text/plain",
        "application/x-www-form-urlencoded",
        "application/jsonp",
        "",
    ] {
        let request = app.helper.sends(client().post(app.url(COMMANDS)));
        let request = request.insert_header(("content-type", kind));
        let answer = answer(request.send_body(text.clone())).await;
        assert_eq!(answer.verdict(), (415, "not-json"), "{kind:?}");
    }
    let request = app.helper.sends(client().post(app.url(COMMANDS)));
    let spelt = request.insert_header(("content-type", "Application/JSON; charset=utf-8"));
    let accepted = order_text(r#"{"order":"note","on":{"about":"day"},"text":"hello"}"#);
    assert_eq!(answer(spelt.send_body(accepted)).await.status, 200);
}

#[actix_web::test]
async fn a_command_that_is_too_long_is_not_read_to_its_end() {
    let app = TestApp::with_day().await;
    let before = app.events().await;
    let long = order_text(&note(&"x".repeat(64 * 1024)).to_string());
    let answer = app.post_text(COMMANDS, long).await;
    assert_eq!(answer.verdict(), (413, "too-long"));
    assert!(answer.is_clear_problem(), "{answer:?}");
    let helper = app.helper.clone();
    let endless = actix_web::web::block(move || endless_body(&helper))
        .await
        .unwrap();
    assert!(endless.starts_with("HTTP/1.1 413"), "{endless}");
    assert_eq!(app.events().await, before);
}

/// A body without a length that goes on until the server has had enough.
fn endless_body(helper: &Browser) -> String {
    let (host, key) = helper.raw();
    let mut socket = TcpStream::connect(host).unwrap();
    socket.set_read_timeout(Some(LIMIT)).unwrap();
    write!(
        socket,
        "POST {COMMANDS} HTTP/1.1\r\nhost: {host}\r\n{key}\r\n\
         content-type: application/json\r\n\
         transfer-encoding: chunked\r\n\r\n"
    )
    .unwrap();
    let chunk = format!("1000\r\n{}\r\n", " ".repeat(0x1000));
    for _ in 0..20 {
        if socket.write_all(chunk.as_bytes()).is_err() {
            break;
        }
    }
    let mut said = [0; 512];
    let length = socket.read(&mut said).unwrap_or(0);
    String::from_utf8_lossy(&said[..length]).into_owned()
}

#[actix_web::test]
async fn a_connection_goes_on_after_malformed_commands() {
    let app = TestApp::with_day().await;
    let helper = app.helper.clone();
    let statuses = actix_web::web::block(move || on_one_connection(&helper))
        .await
        .unwrap();
    assert_eq!(statuses, ["400", "409", "404", "415", "200"]);
}

/// Five requests on one connection, and the status of each.
fn on_one_connection(helper: &Browser) -> Vec<String> {
    let (host, key) = helper.raw();
    let mut socket = TcpStream::connect(host).unwrap();
    socket.set_read_timeout(Some(LIMIT)).unwrap();
    let json = "application/json";
    let rows = [
        (COMMANDS, json, "{oh no".to_owned()),
        (
            COMMANDS,
            json,
            order_text(&claim("maren", "attic").to_string()),
        ),
        (
            "/api/days/nowhere/commands",
            json,
            order_text(&note("a").to_string()),
        ),
        (COMMANDS, "text/plain", order_text(&note("b").to_string())),
        (COMMANDS, json, order_text(&note("c").to_string())),
    ];
    let mut statuses = Vec::new();
    for (path, kind, body) in rows {
        let length = body.len();
        write!(
            socket,
            "POST {path} HTTP/1.1\r\nhost: {host}\r\n{key}\r\ncontent-type: {kind}\r\n\
             content-length: {length}\r\n\r\n{body}"
        )
        .unwrap();
        let (head, _) = read_response(&mut socket).expect("the connection goes on");
        statuses.push(head.split(' ').nth(1).unwrap().to_owned());
    }
    statuses
}

#[actix_web::test]
async fn whatever_a_device_says_on_its_socket_is_answered_and_the_socket_goes_on() {
    let app = TestApp::with_day().await;
    let ((cookie, secret), (_, origin)) = app.helper.headers();
    let socket = client().ws(app.url("/api/days/small/live"));
    let socket = socket.header(cookie, secret).origin(origin);
    let (_, mut socket) = socket.connect().await.unwrap();
    let mut next = async |message: Option<Message>| -> Value {
        if let Some(message) = message {
            socket.send(message).await.unwrap();
        }
        loop {
            match tokio::time::timeout(LIMIT, socket.next()).await.unwrap() {
                Some(Ok(Frame::Text(text))) => return serde_json::from_slice(&text).unwrap(),
                Some(Ok(Frame::Ping(_))) => {}
                other => panic!("expected a push, got {other:?}"),
            }
        }
    };
    assert_eq!(next(None).await["push"], "view");
    let odd = [
        Message::Text("hello".into()),
        Message::Text("".into()),
        Message::Text(order_text(r#"{"order":"close-day"}"#).into()),
        Message::Binary(vec![0, 159, 146, 150].into()),
        Message::Binary(vec![7; 16 * 1024].into()),
    ];
    for message in odd {
        let push = next(Some(message)).await;
        assert_eq!(
            (&push["push"], &push["code"]),
            (&json!("problem"), &json!("malformed"))
        );
        assert!(push["instead"].as_str().unwrap().contains("POST"), "{push}");
    }
    let id = Uuid::new_v4();
    assert_eq!(app.order_as(id, note("still here")).await.status, 200);
    assert_eq!(next(None).await["commands"], json!([id]));
}

/// A frame with a mask of zeros: `first` holds its final bit, reserved bits and opcode.
fn frame(first: u8, payload: &[u8]) -> Vec<u8> {
    let mut frame = vec![first];
    match payload.len() {
        0..=125 => frame.push(0x80 | payload.len() as u8),
        126..=0xffff => {
            frame.push(0x80 | 126);
            frame.extend_from_slice(&(payload.len() as u16).to_be_bytes());
        }
        length => {
            frame.push(0x80 | 127);
            frame.extend_from_slice(&(length as u64).to_be_bytes());
        }
    }
    frame.extend_from_slice(&[0; 4]);
    frame.extend_from_slice(payload);
    frame
}

/// Sends bytes on a fresh socket and reads the code of the close that follows, and whether the
/// connection ends after it.
fn close_after(helper: &Browser, bytes: &[u8]) -> (u16, bool) {
    let mut socket = raw_socket(helper);
    // The server may close before it has read everything.
    let _ = socket.write_all(bytes);
    loop {
        match raw_frame(&mut socket) {
            Some((8, reason)) => {
                let code = u16::from_be_bytes([reason[0], reason[1]]);
                return (code, raw_frame(&mut socket).is_none());
            }
            Some(_) => {}
            None => panic!("no close frame"),
        }
    }
}

#[actix_web::test]
async fn frames_against_the_protocol_end_the_socket_with_the_right_code() {
    let app = TestApp::with_day().await;
    let mut unmasked = frame(0x81, b"hello");
    unmasked[1] &= 0x7f;
    let mut announced = frame(0x82, &[0; 70_000]);
    announced.truncate(14);
    let parts = |last: &[u8]| [frame(0x01, b"he"), frame(0x80, last)].concat();
    let too_many = [frame(0x02, &[0; 9000]), frame(0x00, &[0; 9000])].concat();
    let rows: Vec<(&str, u16, Vec<u8>)> = vec![
        (
            "a frame over 16 KiB",
            1009,
            frame(0x82, &[0; 16 * 1024 + 1]),
        ),
        ("a frame of 1 MB", 1009, frame(0x81, &vec![b'x'; 1 << 20])),
        ("a long frame only announced", 1009, announced),
        ("parts over 16 KiB", 1009, too_many),
        ("text that is not UTF-8", 1007, frame(0x81, &[0xff, 0xfe])),
        ("parts of text that are not UTF-8", 1007, parts(&[0xc0])),
        ("an unmasked frame", 1002, unmasked),
        ("reserved bits", 1002, frame(0xf1, b"hello")),
        ("a reserved opcode", 1002, frame(0x83, b"hello")),
        ("a part of nothing", 1002, frame(0x80, b"hello")),
        ("a ping in parts", 1002, frame(0x09, b"hello")),
        ("a ping too long", 1002, frame(0x89, &[0; 126])),
        (
            "text within parts",
            1002,
            [frame(0x01, b"a"), frame(0x81, b"b")].concat(),
        ),
        ("a close without a whole code", 1002, frame(0x88, &[3])),
        (
            "a close with a forbidden code",
            1002,
            frame(0x88, &1005_u16.to_be_bytes()),
        ),
        ("a close", 1000, frame(0x88, &[])),
        (
            "a close with a code",
            1001,
            frame(0x88, &1001_u16.to_be_bytes()),
        ),
        (
            "a close with a code of its own",
            4321,
            frame(0x88, &4321_u16.to_be_bytes()),
        ),
    ];
    for (what, code, bytes) in rows {
        let helper = app.helper.clone();
        let closed = actix_web::web::block(move || close_after(&helper, &bytes))
            .await
            .unwrap();
        assert_eq!(closed, (code, true), "{what}");
    }
    assert_eq!(CloseCode::from(1009), CloseCode::Size);
    assert_eq!(app.order(note("still here")).await.status, 200);
}

#[actix_web::test]
async fn a_wrong_method_or_address_is_answered_in_the_same_form() {
    let app = TestApp::with_day().await;
    let deleted = answer(client().delete(app.url("/api/days/small/view")).send()).await;
    assert_eq!(deleted.verdict(), (405, "wrong-method"));
    assert!(deleted.is_clear_problem(), "{deleted:?}");
    for path in ["/api", "/api/", "/api/nothing", "/nothing.html"] {
        let missing = app.get(path).await;
        assert_eq!(missing.status, 404, "{path}");
        assert!(missing.is_clear_problem(), "{path}: {missing:?}");
    }
    let from = app.get("/api/days/small/events?from=x").await;
    assert_eq!(from.verdict(), (400, "malformed"));
}
