//! What is told of what is to come: when, to whom, and that no tap depends on it.

use crate::support::*;
use putby::clock::Clock;
use serde_json::{Value, json};
use uuid::Uuid;

const OUTLOOK: &str = "/api/days/small/outlook";

fn open_box() -> Value {
    json!({"order": "open-box", "lot": "hill", "product": "slices"})
}

fn tally(station: &str, helper: &str) -> Value {
    json!({"order": "tally", "station": station, "helper": helper})
}

fn aside(name: &str) -> Value {
    json!({"order": "set-aside-move", "move": name, "gain_min": 9})
}

/// A minute after the last the order is given; gives the number of its event.
async fn a_minute_later(app: &TestApp, order: Value) -> u64 {
    app.clock.advance(60_000);
    let answer = app.order(order).await;
    assert_eq!(answer.status, 200, "{answer:?}");
    answer.body["seq"].as_u64().unwrap()
}

/// Work goes on at the sink; gives the number of the last event.
async fn begin_work(app: &TestApp) -> u64 {
    a_minute_later(app, open_box()).await;
    a_minute_later(app, claim("maren", "wash")).await;
    a_minute_later(app, tally("wash", "maren")).await
}

#[actix_web::test]
async fn an_outlook_of_the_work_that_waits_reaches_every_device_and_can_be_asked_for() {
    let app = TestApp::with_outlooks().await;
    let (mut one, mut other) = (app.follow().await, app.follow().await);
    let seq = begin_work(&app).await;
    let push = one.reach_outlook(seq).await.clone();
    let (now, told) = (app.clock.now(), &push["outlook"]);
    assert_eq!((&push["seq"], &told["at"]), (&json!(seq), &json!(now.0)));
    assert_eq!(push["clock"], json!({"now": now.0, "speed": 1.0}));
    assert!(told["runs"].as_u64().unwrap() > 0, "{told}");
    assert!(told["finish"]["p50"].as_i64().unwrap() > now.0, "{told}");
    let depth = &told["stations"]["wash"]["depth_min"];
    assert!(depth.as_f64().unwrap() > 0.0, "{told}");
    assert_eq!(*other.reach_outlook(seq).await, push);
    let asked = app.get(OUTLOOK).await;
    assert_eq!(
        (asked.status, asked.kind.as_str()),
        (200, "application/json")
    );
    for part in ["seq", "clock", "outlook"] {
        assert_eq!(asked.body[part], push[part]);
    }
}

#[actix_web::test]
async fn without_an_outlook_a_clear_problem_says_so() {
    let app = TestApp::with_day().await;
    let answer = app.get(OUTLOOK).await;
    assert_eq!(answer.verdict(), (404, "no-outlook"));
    assert!(answer.is_clear_problem(), "{answer:?}");
    for no_day in ["/api/days/none/outlook", "/api/days/No-Id/outlook"] {
        assert_eq!(app.get(no_day).await.verdict(), (404, "unknown-day"));
    }
    let answer = app.post(OUTLOOK, &json!({})).await;
    assert_eq!(answer.verdict(), (405, "wrong-method"));
}

#[actix_web::test]
async fn a_device_that_joins_later_gets_the_latest_outlook_after_its_view() {
    let app = TestApp::with_outlooks().await;
    let seq = begin_work(&app).await;
    let told = app.follow().await.reach_outlook(seq).await.clone();
    let mut late = app.follow().await;
    assert_eq!(late.push().await, told);
}

#[actix_web::test]
async fn a_helpers_device_sets_a_move_aside_and_it_is_still_so_after_a_restart() {
    let app = TestApp::with_outlooks().await;
    begin_work(&app).await;
    a_minute_later(&app, aside("claim:osk:peel")).await;
    let answer = app.order(aside("claim:nobody:peel")).await;
    assert_eq!(answer.verdict(), (409, "unknown"));
    let before = app.events().await;
    let last = before.last().unwrap();
    let fact = json!({"fact": "move-set-aside", "move": "claim:osk:peel", "gain_min": 9});
    assert_eq!((&last["event"], &last["role"]), (&fact, &json!("helper")));
    let (folder, clock) = app.stop().await;
    let app = TestApp::looking_ahead(folder, clock).await;
    assert_eq!(app.events().await, before);
    let seq = app.seq().await;
    app.follow().await.reach_outlook(seq).await;
}

#[actix_web::test]
async fn an_open_day_is_looked_ahead_for_after_a_restart_without_a_tap() {
    let app = TestApp::with_outlooks().await;
    begin_work(&app).await;
    let (folder, clock) = app.stop().await;
    clock.advance(600_000);
    let app = TestApp::looking_ahead(folder, clock).await;
    let seq = app.seq().await;
    let mut device = app.follow().await;
    let told = device.reach_outlook(seq).await;
    assert_eq!(told["outlook"]["at"], app.clock.now().0);
}

#[actix_web::test]
async fn for_a_closed_day_nothing_is_told() {
    let app = TestApp::with_outlooks().await;
    let mut early = app.follow().await;
    let seq = begin_work(&app).await;
    early.reach_outlook(seq).await;
    let closed = app.lead_orders(json!({"order": "close-day"})).await;
    assert_eq!(closed.status, 200, "{closed:?}");
    assert_eq!(app.get(OUTLOOK).await.verdict(), (404, "no-outlook"));
    let seq = closed.body["seq"].as_u64().unwrap();
    early.reach(seq).await;
    let mut late = app.follow().await;
    // The next thing that anybody hears of is the note.
    let noted = app.order(note("a good day")).await;
    for device in [&mut early, &mut late] {
        let push = device.push().await;
        assert_eq!(
            (&push["push"], &push["seq"]),
            (&json!("patch"), &noted.body["seq"])
        );
    }
    let (folder, clock) = app.stop().await;
    let app = TestApp::looking_ahead(folder, clock).await;
    assert_eq!(app.get(OUTLOOK).await.verdict(), (404, "no-outlook"));
}

#[actix_web::test]
async fn an_earlier_day_that_cannot_be_read_costs_only_what_it_could_teach() {
    let app = TestApp::with_outlooks().await;
    begin_work(&app).await;
    let closed = app.lead_orders(json!({"order": "close-day"})).await;
    assert_eq!(closed.status, 200, "{closed:?}");
    let (folder, clock) = app.stop().await;
    let store = rusqlite::Connection::open(folder.path().join("data/putby.db")).unwrap();
    let spoil = "UPDATE events SET body = replace(body, 'wash', 'wasp') WHERE seq = 3";
    assert_eq!(store.execute(spoil, []).unwrap(), 1);
    drop(store);
    let app = TestApp::looking_ahead(folder, clock).await;
    let body = json!({"id": Uuid::new_v4(), "day": "next", "plan": small_plan()});
    assert_eq!(app.post_as_lead("/api/days", &body).await.status, 201);
    let mut device = app.follow_at("/api/days/next/live").await;
    app.clock.advance(60_000);
    let order = json!({"id": Uuid::new_v4(), "command": claim("maren", "wash")});
    let answer = app.post("/api/days/next/commands", &order).await;
    assert_eq!(answer.status, 200, "{answer:?}");
    let seq = answer.body["seq"].as_u64().unwrap();
    device.reach_outlook(seq).await;
}
