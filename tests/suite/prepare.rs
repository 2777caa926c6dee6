//! What to make, asked over HTTP.

use crate::support::TestApp;
use serde_json::{Value, json};

fn family() -> Value {
    serde_json::from_str(include_str!("../../fixtures/prepare/family.json")).unwrap()
}

/// 20 quarts of pears take 50 lb (USDA Complete Guide, Guide 2: 2 1/2 lb a quart).
#[actix_web::test]
async fn an_ask_has_a_proposal_and_nothing_is_stored() {
    let app = TestApp::start().await;
    let told = app.post("/api/prepare", &family()).await;
    assert_eq!(told.status, 200);
    assert_eq!(told.body["uses"]["pears-sunday"]["serves"], 20);
    assert_eq!(told.body["produce"]["pears"]["needed"][1], 50_000);
    assert_eq!(told.body["forecast"]["is"], "day");
    let days = app.get("/api/days").await;
    assert_eq!(days.body["days"], json!({}));
}

#[actix_web::test]
async fn the_proposal_s_plan_opens_a_day() {
    let app = TestApp::start().await;
    let told = app.post("/api/prepare", &family()).await;
    let open = json!({"id": uuid::Uuid::new_v4(), "plan": told.body["plan"]});
    let day = app.post_as_lead("/api/days", &open).await;
    assert_eq!(day.status, 201, "{}", day.body);
}

/// By hand: two loads count for the published 25 minutes to the boil and two for 45, (50 + 90) / 4 = 35.
#[actix_web::test]
async fn what_the_household_learned_is_in_the_next_proposal() {
    let app = TestApp::start().await;
    let cycle =
        |told: &crate::support::Answer| told.body["loads"][0]["cycle_min"].as_i64().unwrap();
    let before = app.post("/api/prepare", &family()).await;
    assert_eq!(
        before.body["own_days"],
        json!({"lessons": [], "helpers": 0})
    );
    let lesson = json!({"of": "heating", "station": "canners"});
    let set = json!({"do": "set", "lesson": lesson, "value": 45.0, "counts": 2.0});
    let set = json!({"id": uuid::Uuid::from_u128(7), "correction": set});
    assert_eq!(app.post_as_lead("/api/learned", &set).await.status, 200);
    let after = app.post("/api/prepare", &family()).await;
    assert_eq!(cycle(&after), cycle(&before) + 10);
    let told = &after.body["own_days"]["lessons"];
    assert_eq!(
        (&told[0]["of"], &told[0]["value"]),
        (&json!("heating"), &json!(45.0))
    );
}

#[actix_web::test]
async fn what_cannot_be_is_answered_with_its_field() {
    let app = TestApp::start().await;
    let mut value = family();
    value["there_is"]["pears-hill"]["amount"] = json!(-1);
    value["lids"]["have"] = json!(-1000);
    let told = app.post("/api/prepare", &value).await;
    assert_eq!(told.status, 422);
    assert!(told.is_clear_problem());
    let fields: Vec<&str> = told.body["faults"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|fault| fault["field"].as_str())
        .collect();
    assert_eq!(fields, ["there_is.pears-hill.amount", "lids.have"]);
    let told = app.post("/api/prepare", &json!({"uses": {"a": {}}})).await;
    assert_eq!(told.status, 400);
    assert!(told.is_clear_problem());
}

#[actix_web::test]
async fn a_season_s_shelf_has_a_next_year() {
    let app = TestApp::start().await;
    let text = include_str!("../../fixtures/prepare/season.json");
    let season: Value = serde_json::from_str(text).unwrap();
    let told = app.post("/api/prepare/next-year", &season["shelf"]).await;
    assert_eq!(told.status, 200);
    assert_eq!(told.body["products"]["peaches-pint"]["make"], 52);
}
