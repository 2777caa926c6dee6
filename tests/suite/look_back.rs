//! The figures of a day, fetched while it goes on and after it.

use crate::support::*;
use serde_json::json;

#[actix_web::test]
async fn a_day_can_be_looked_back_on_as_json_and_as_a_table() {
    let app = TestApp::with_day().await;
    let orders = [
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        claim("maren", "wash"),
        json!({"order": "tally", "station": "wash", "helper": "maren"}),
    ];
    for order in orders {
        app.clock.advance(60_000);
        assert_eq!(app.order(order).await.status, 200);
    }
    let told = app.get("/api/days/small/look-back").await;
    assert_eq!(told.status, 200);
    let records: Vec<_> = app.events().await;
    let records = serde_json::from_value(json!(records)).unwrap();
    let records: Vec<putby::day::Record> = records;
    let expected = putby::lookback::look_back(&records);
    assert_eq!(told.body, serde_json::to_value(&expected).unwrap());
    let mut table = client()
        .get(app.url("/api/days/small/look-back.csv"))
        .send()
        .await
        .unwrap();
    assert_eq!(
        table.headers().get("content-type").unwrap(),
        "text/csv; charset=utf-8"
    );
    let text = table.body().await.unwrap();
    assert_eq!(
        std::str::from_utf8(&text).unwrap(),
        putby::lookback::csv(&expected)
    );
}

#[actix_web::test]
async fn an_unknown_day_cannot_be_looked_back_on() {
    let app = TestApp::start().await;
    for path in ["look-back", "look-back.csv"] {
        let answer = app.get(&format!("/api/days/nowhere/{path}")).await;
        assert_eq!(answer.verdict(), (404, "unknown-day"), "{path}");
    }
}
