//! What closed days taught: who may see and change it, and that a word on it is on the disk.

use crate::support::*;
use serde_json::{Value, json};
use uuid::Uuid;

/// Maren washes twenty bowls, a little slower than is usual, and the day is closed.
async fn worked(app: &TestApp) {
    for order in [
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        claim("maren", "wash"),
    ] {
        assert_eq!(app.order(order).await.status, 200);
    }
    for _ in 0..16 {
        app.clock.advance(4 * 60_000);
        let tally = json!({"order": "tally", "station": "wash", "helper": "maren"});
        assert_eq!(app.order(tally).await.status, 200);
    }
    app.clock.advance(60_000);
    let closed = app.lead_orders(json!({"order": "close-day"})).await;
    assert_eq!(closed.status, 200, "{closed:?}");
    app.clock.advance(60_000);
}

pub async fn as_lead(app: &TestApp) -> Answer {
    app.get_as_lead("/api/learned").await
}

fn speed() -> Value {
    json!({"of": "speed", "helper": "maren", "station": "wash"})
}

fn line<'a>(list: &'a Value, of: &Value) -> Option<&'a Value> {
    let fields = of.as_object().unwrap();
    let is_it = |line: &&Value| fields.iter().all(|(name, value)| line[name] == *value);
    list["lessons"].as_array().unwrap().iter().find(is_it)
}

pub fn set(id: u128, value: f64, counts: f64) -> Value {
    let correction = json!({"do": "set", "lesson": speed(), "value": value, "counts": counts});
    json!({"id": Uuid::from_u128(id), "correction": correction})
}

#[actix_web::test]
async fn a_closed_day_teaches_and_the_lead_corrects_and_has_it_forgotten() {
    let app = TestApp::with_day().await;
    assert_eq!(as_lead(&app).await.body["lessons"], json!([]));
    worked(&app).await;
    let list = as_lead(&app).await.body;
    assert_eq!(
        list["days"],
        json!([{"name": "Pears", "date": "2026-09-12"}])
    );
    assert_eq!(list["helpers"]["maren"], "Maren");
    let seen = line(&list, &speed()).expect("she was seen to wash");
    // Half of sixteen carriers count on the next day.
    assert_eq!(seen["counts"], 8.0, "{seen}");
    // A bowl of 5 lb in 4 min is 75 lb an hour; 90 is the middle of the range for an adult.
    let ratio = seen["value"].as_f64().unwrap();
    assert!((ratio - 75.0 / 90.0).abs() < 0.1, "{seen}");

    let answer = app.post_as_lead("/api/learned", &set(1, 1.2, 12.0)).await;
    assert_eq!(answer.status, 200, "{answer:?}");
    let now = line(&answer.body, &speed()).unwrap();
    assert!((now["value"].as_f64().unwrap() - 1.2).abs() < 1e-9, "{now}");
    assert!(
        (now["counts"].as_f64().unwrap() - 12.0).abs() < 1e-9,
        "{now}"
    );
    assert!(now["set_at"].is_i64());
    // The same again changes nothing; the id for something else is refused.
    let again = app.post_as_lead("/api/learned", &set(1, 1.2, 12.0)).await;
    assert_eq!((again.status, &again.body), (200, &answer.body));
    let other = app.post_as_lead("/api/learned", &set(1, 1.3, 12.0)).await;
    assert_eq!(other.verdict(), (409, "id-conflict"));

    let forget = json!({"do": "forget", "lesson": speed()});
    let forget = json!({"id": Uuid::from_u128(2), "correction": forget});
    let gone = app.post_as_lead("/api/learned", &forget).await;
    assert_eq!(line(&gone.body, &speed()), None);
}

#[actix_web::test]
async fn only_the_lead_changes_it_and_sees_how_fast_somebody_is() {
    let app = TestApp::with_day().await;
    worked(&app).await;
    let seen = app.get("/api/learned").await;
    assert_eq!(seen.status, 200);
    assert_eq!(
        line(&seen.body, &speed()),
        None,
        "a helper's device sees no speeds"
    );
    assert_eq!(seen.body["helpers"], json!({}));
    let said = app.post("/api/learned", &set(1, 1.2, 12.0)).await;
    assert_eq!(said.verdict(), (403, "lead-only"));
    assert!(said.is_clear_problem(), "{said:?}");
    let list = as_lead(&app).await.body;
    let ratio = line(&list, &speed()).unwrap()["value"].as_f64().unwrap();
    assert!(ratio < 1.0, "nothing was changed");
}

#[actix_web::test]
async fn what_makes_no_sense_is_refused_with_what_would() {
    let app = TestApp::with_day().await;
    for (value, counts) in [(0.0, 5.0), (99.0, 5.0), (1.0, 0.0), (1.0, 1e9)] {
        let answer = app
            .post_as_lead("/api/learned", &set(7, value, counts))
            .await;
        assert_eq!(answer.verdict(), (409, "bad-value"), "{value} {counts}");
        assert!(answer.is_clear_problem(), "{answer:?}");
    }
    for odd in [
        json!({"id": Uuid::nil()}),
        json!({"id": Uuid::nil(), "correction": {"do": "set", "lesson": speed()}}),
        json!({"id": Uuid::nil(), "correction": {"do": "forget", "lesson": {"of": "process"}}}),
    ] {
        let answer = app.post_as_lead("/api/learned", &odd).await;
        assert_eq!(answer.verdict(), (400, "malformed"), "{odd}");
    }
}

#[actix_web::test]
async fn what_was_said_is_there_after_a_restart() {
    let app = TestApp::start().await;
    app.open_small_day().await;
    worked(&app).await;
    let said = app.post_as_lead("/api/learned", &set(1, 1.5, 20.0)).await;
    assert_eq!(said.status, 200);
    let app = app.restart().await;
    let list = as_lead(&app).await.body;
    assert_eq!(list, said.body);
}
