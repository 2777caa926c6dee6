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
    let request = client().get(app.url("/api/days/small/look-back.csv"));
    let mut table = app.helper.sends(request).send().await.unwrap();
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
    for path in [
        "look-back",
        "look-back.csv",
        "look-back/finish",
        "look-back/beside",
    ] {
        let answer = app.get(&format!("/api/days/nowhere/{path}")).await;
        assert_eq!(answer.verdict(), (404, "unknown-day"), "{path}");
    }
}

#[actix_web::test]
async fn a_day_is_laid_beside_those_opened_before_it() {
    let app = TestApp::with_day().await;
    let first = app.get("/api/days/small/look-back/beside").await;
    assert_eq!(first.body["days"].as_array().unwrap().len(), 1);
    app.clock.advance(60_000);
    let mut plan = small_plan();
    plan["name"] = json!("Plums");
    plan["date"] = json!("2026-09-19");
    let open = json!({"id": uuid::Uuid::new_v4(), "day": "later", "plan": plan});
    assert_eq!(app.post_as_lead("/api/days", &open).await.status, 201);
    let later = app.get("/api/days/later/look-back/beside").await;
    let names = |answer: &Answer| -> Vec<String> {
        let days = answer.body["days"].as_array().unwrap();
        let name = |day: &serde_json::Value| day["name"].as_str().unwrap().to_owned();
        days.iter().map(name).collect()
    };
    assert_eq!(names(&later), ["Plums", "Pears"]);
    let first = app.get("/api/days/small/look-back/beside").await;
    assert_eq!(names(&first), ["Pears"], "a later day is no earlier one");
}

#[actix_web::test]
async fn how_the_end_was_foretold_is_worked_out_when_asked_for() {
    let app = TestApp::with_day().await;
    let idle = app.get("/api/days/small/look-back/finish").await;
    assert_eq!(
        idle.body["said"],
        json!([]),
        "no work, and no end is made up"
    );
    assert!(idle.body.get("ended_at").is_none());
    for order in [
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        claim("maren", "wash"),
        claim("osk", "peel"),
    ] {
        assert_eq!(app.order(order).await.status, 200);
    }
    for _ in 0..8 {
        app.clock.advance(5 * 60_000);
        let tally = json!({"order": "tally", "station": "wash", "helper": "maren"});
        assert_eq!(app.order(tally).await.status, 200);
    }
    let told = app.get("/api/days/small/look-back/finish").await;
    assert_eq!(told.status, 200, "{told:?}");
    assert_eq!(told.body["ended_at"], MORNING.0 + 40 * 60_000);
    let said = told.body["said"].as_array().unwrap();
    let moments: Vec<i64> = said.iter().map(|one| one["at"].as_i64().unwrap()).collect();
    let quarters = [15, 30].map(|minutes| MORNING.0 + minutes * 60_000);
    assert_eq!(moments, quarters);
    for one in said {
        let moment = |field: &str| one[field].as_i64().unwrap();
        let ends = [moment("at"), moment("p10"), moment("p50"), moment("p90")];
        assert!(ends.is_sorted(), "{one}");
    }
    let again = app.get("/api/days/small/look-back/finish").await;
    assert_eq!(again.body, told.body, "the same events give the same");
}
