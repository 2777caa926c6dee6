//! What is left after a stop.

use crate::support::*;
use awc::ws::{CloseCode, Frame};
use serde_json::{Value, json};
use uuid::Uuid;

async fn busy_day(app: &TestApp) {
    let orders = [
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        claim("maren", "wash"),
        json!({"order": "tally", "station": "wash", "helper": "maren"}),
        claim("osk", "peel"),
        json!({"order": "tally", "station": "peel", "helper": "osk"}),
        note("the pears are small"),
    ];
    for order in orders {
        app.clock.advance(60_000);
        let answer = app.order(order).await;
        assert_eq!(answer.status, 200, "{answer:?}");
    }
}

async fn everything(app: &TestApp) -> (Value, Value, Vec<Value>, Value) {
    let view = app.view().await;
    let days = app.get("/api/days").await.body;
    let again = app.get("/api/days/small/plan-again").await.body;
    (view, days, app.events().await, again)
}

#[actix_web::test]
async fn a_day_goes_on_after_a_restart_as_if_nothing_had_been() {
    let app = TestApp::with_day().await;
    busy_day(&app).await;
    let before = everything(&app).await;
    let app = app.restart().await;
    assert_eq!(everything(&app).await, before);
    let answer = app.order(leave("osk")).await;
    assert_eq!(answer.status, 200, "{answer:?}");
}

#[actix_web::test]
async fn a_day_goes_on_from_a_snapshot_as_from_its_events() {
    let app = TestApp::with_day().await;
    busy_day(&app).await;
    for n in 0..300 {
        let (come, go) = (claim("bo", "wash"), leave("bo"));
        let beside =
            json!({"order": "claim", "helper": "bo", "station": "wash", "beside": "maren"});
        let come = if n == 0 { beside } else { come };
        let seated = app.order(come).await;
        if seated.status == 200 {
            assert_eq!(app.order(go).await.status, 200);
        } else {
            assert_eq!(app.order(note(&format!("round {n}"))).await.status, 200);
            let (up, down) = (claim("maren", "bag"), leave("maren"));
            let _ = app.order(down).await;
            assert_eq!(app.order(up).await.status, 200);
        }
    }
    assert!(app.seq().await > 500, "no snapshot is due yet");
    let before = everything(&app).await;
    let (folder, clock) = app.stop().await;
    let store = rusqlite::Connection::open(folder.path().join("data/putby.db")).unwrap();
    let snapshot = |row: &rusqlite::Row<'_>| row.get::<_, i64>(0);
    let kept = store.query_row(
        "SELECT seq FROM snapshots WHERE day = 'small'",
        [],
        snapshot,
    );
    assert!(kept.unwrap() >= 500);
    drop(store);
    let heartbeat = putby::config::Heartbeat::USUAL;
    let app = TestApp::start_in(folder, clock, heartbeat).await;
    assert_eq!(everything(&app).await, before);
    let (folder, clock) = app.stop().await;
    let store = rusqlite::Connection::open(folder.path().join("data/putby.db")).unwrap();
    store.execute("DELETE FROM snapshots", []).unwrap();
    drop(store);
    let app = TestApp::start_in(folder, clock, heartbeat).await;
    assert_eq!(everything(&app).await, before);
}

#[actix_web::test]
async fn a_command_gets_its_first_answer_after_a_restart() {
    let app = TestApp::with_day().await;
    let id = Uuid::new_v4();
    let first = app.order_as(id, note("one")).await;
    let app = app.restart().await;
    app.clock.advance(30 * 86_400_000);
    let count = app.events().await.len();
    let again = app.order_as(id, note("one")).await;
    assert_eq!((again.status, again.body), (200, first.body));
    assert_eq!(
        app.order_as(id, note("two")).await.verdict(),
        (409, "id-conflict")
    );
    assert_eq!(app.events().await.len(), count);
}

#[actix_web::test]
async fn a_day_is_opened_once_even_over_a_restart() {
    let app = TestApp::start().await;
    let body = json!({"id": Uuid::new_v4(), "plan": small_plan()});
    let first = app.post_as_lead("/api/days", &body).await;
    let app = app.restart().await;
    let again = app.post_as_lead("/api/days", &body).await;
    assert_eq!((again.status, again.body), (201, first.body));
}

#[actix_web::test]
async fn time_never_goes_back_in_a_day_whatever_the_clock_does() {
    let app = TestApp::with_day().await;
    app.clock.advance(3_600_000);
    let late = app.order(note("late")).await.body["at"].as_i64().unwrap();
    let app = app.restart().await;
    app.clock.set(MORNING);
    let after = app.order(note("after")).await;
    assert_eq!(after.body["at"], late);
}

#[actix_web::test]
async fn a_stopping_server_tells_every_socket() {
    let app = TestApp::with_day().await;
    let mut device = app.follow().await;
    let stopped = rt_stop(app);
    let close = loop {
        match device.frame().await {
            Some(Frame::Close(reason)) => break reason,
            Some(Frame::Ping(_)) => {}
            other => panic!("expected a close, got {other:?}"),
        }
    };
    assert_eq!(close.unwrap().code, CloseCode::Away);
    assert!(device.frame().await.is_none(), "the connection ends");
    stopped.await.unwrap();
}

fn rt_stop(app: TestApp) -> actix_web::rt::task::JoinHandle<()> {
    actix_web::rt::spawn(async move {
        app.stop().await;
    })
}

#[actix_web::test]
async fn a_damaged_day_is_shown_up_to_the_damage_takes_nothing_more_and_the_place_is_named() {
    let app = TestApp::with_day().await;
    busy_day(&app).await;
    let (folder, clock) = app.stop().await;
    let store = rusqlite::Connection::open(folder.path().join("data/putby.db")).unwrap();
    let spoil = "UPDATE events SET body = replace(body, 'wash', 'wasp') WHERE seq = 3";
    assert_eq!(store.execute(spoil, []).unwrap(), 1);
    drop(store);
    let app = TestApp::start_in(folder, clock, putby::config::Heartbeat::USUAL).await;
    let shown = app.view().await;
    assert_eq!(
        (&shown["seq"], &shown["view"]["damage"]["after"]),
        (&json!(2), &json!(2))
    );
    let refused = app.order(note("more")).await;
    assert_eq!(refused.verdict(), (500, "journal-damaged"));
    let said = [&refused.body["detail"], &shown["view"]["damage"]["why"]];
    for said in said.map(|said| said.as_str().unwrap()) {
        assert!(said.contains("event 3"), "{said}");
    }
    let body = json!({"id": Uuid::new_v4(), "day": "another", "plan": small_plan()});
    assert_eq!(app.post_as_lead("/api/days", &body).await.status, 201);
}
