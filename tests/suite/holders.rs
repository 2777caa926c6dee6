//! Which device stands for whom: told to every device, and no part of the day.

use crate::support::*;
use serde_json::{Value, json};

const HOLDERS: &str = "/api/days/small/holders";

/// A browser of its own takes a helper; gives what it is called and the answer.
async fn take(app: &TestApp, helper: &str) -> (String, Value) {
    let browser = app.another_helper().await;
    let held = browser.post(HOLDERS, &json!({"helper": helper})).await;
    assert_eq!(held.status, 200, "{held:?}");
    let device = held.body["device"].as_str().unwrap().to_owned();
    (device, held.body["holders"].clone())
}

#[actix_web::test]
async fn every_device_is_told_who_goes_on_where_and_the_day_knows_nothing_of_it() {
    let app = TestApp::with_day().await;
    let mut early = app.follow().await;
    let seq = app.seq().await;
    let (tablet, _) = take(&app, "maren").await;
    let told = early.push().await;
    assert_eq!(
        told,
        json!({"push": "holders", "holders": {"maren": tablet}})
    );
    let (phone, now) = take(&app, "maren").await;
    assert_ne!(tablet, phone);
    assert_eq!(now, json!({"maren": phone}));
    assert_eq!(early.push().await["holders"], now);
    assert_eq!(app.seq().await, seq);
}

#[actix_web::test]
async fn nobody_who_is_not_on_the_day_can_be_taken() {
    let app = TestApp::with_day().await;
    let unknown = app.post(HOLDERS, &json!({"helper": "stranger"})).await;
    assert_eq!(unknown.verdict(), (404, "unknown-helper"));
    assert!(unknown.is_clear_problem(), "{unknown:?}");
    let nowhere = app
        .post("/api/days/none/holders", &json!({"helper": "maren"}))
        .await;
    assert_eq!(nowhere.verdict(), (404, "unknown-day"));
    for wrong in [json!({}), json!({"helper": 7}), json!({"helper": "A B"})] {
        let refused = app.post(HOLDERS, &wrong).await;
        assert_eq!(refused.status, 400, "{refused:?}");
        assert!(refused.is_clear_problem(), "{refused:?}");
    }
}

#[actix_web::test]
async fn after_a_restart_every_device_goes_on_as_it_remembers_itself() {
    let app = TestApp::with_day().await;
    take(&app, "maren").await;
    let app = app.restart().await;
    let (device, now) = take(&app, "osk").await;
    assert_eq!(now, json!({"osk": device}));
}
