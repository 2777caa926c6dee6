//! What the board answers about the trade over HTTP.

use crate::support::TestApp;
use serde_json::json;

/// Pears, hot pack, quarts at 640 ft: 25 minutes (USDA Complete Guide to Home Canning, Guide 2).
#[actix_web::test]
async fn a_tested_process_can_be_asked_for() {
    let app = TestApp::start().await;
    let asked = "/api/tested?product=pears&pack=hot&jar=quart&altitude_ft=640";
    let told = app.get(asked).await;
    assert_eq!(told.status, 200);
    assert_eq!(told.body["minutes"], 25);
    assert_eq!(told.body["method"], "boiling-water");
}

#[actix_web::test]
async fn what_has_no_tested_process_is_refused_with_what_to_do() {
    let app = TestApp::start().await;
    let asked = "/api/tested?product=pumpkin+butter&pack=hot&jar=pint&altitude_ft=0";
    let told = app.get(asked).await;
    assert_eq!((told.status, told.code()), (404, "refused-product"));
    assert!(told.is_clear_problem());
    let half_asked = app.get("/api/tested?product=pears").await;
    assert_eq!(half_asked.status, 400);
    assert!(half_asked.is_clear_problem());
}

#[actix_web::test]
async fn every_food_says_what_it_is_made_of_and_what_is_tabled() {
    let app = TestApp::start().await;
    let told = app.get("/api/foods").await;
    let foods = told.body["foods"].as_array().unwrap();
    assert_eq!(foods.len(), putby::trade::products().len());
    let pears = foods.iter().find(|food| food["name"] == "pears").unwrap();
    assert_eq!(pears["produce"], json!(["pears"]));
    let quart = json!({"method": "boiling-water", "pack": "hot", "jar": "quart"});
    assert!(pears["tabled"].as_array().unwrap().contains(&quart));
}
