//! The list to gather and the calendar of the next day, as a browser gets them.

use crate::support::*;
use serde_json::json;

#[actix_web::test]
async fn the_list_is_told_with_its_counts() {
    let app = TestApp::with_day().await;
    let list = app.get("/api/days/small/gather").await;
    assert_eq!(list.status, 200);
    let find = |list: &Answer, id: &str| {
        let items = list.body["items"].as_array().unwrap().clone();
        items.into_iter().find(|item| item["id"] == id).unwrap()
    };
    assert_eq!(find(&list, "fruit-hill")["need"], 80_000);
    let order = json!({"order": "gather", "item": "fruit-hill", "have": 60_000, "helper": "osk"});
    assert_eq!(app.order(order).await.status, 200);
    let counted = app.get("/api/days/small/gather").await;
    let hill = find(&counted, "fruit-hill");
    assert_eq!(
        (&hill["have"], &hill["helper"]),
        (&json!(60_000), &json!("osk"))
    );
    assert_eq!(
        app.view().await["view"]["gathered"]["fruit-hill"]["have"],
        60_000
    );
    let unknown = json!({"order": "gather", "item": "gold", "have": 1000});
    assert_eq!(app.order(unknown).await.verdict(), (409, "unknown"));
    let nowhere = app.get("/api/days/nowhere/gather").await;
    assert_eq!(nowhere.verdict(), (404, "unknown-day"));
}

#[actix_web::test]
async fn the_calendar_is_a_file_of_its_type() {
    let app = TestApp::with_day().await;
    let request = client().get(app.url("/api/days/small/next-day.ics"));
    let mut response = app.helper.sends(request).send().await.unwrap();
    let header = |name: &str| response.headers().get(name).unwrap().to_str().unwrap();
    assert_eq!(header("content-type"), "text/calendar; charset=utf-8");
    assert!(header("content-disposition").contains("small-next-day.ics"));
    let text = response.body().await.unwrap();
    let text = std::str::from_utf8(&text).unwrap();
    assert!(text.starts_with("BEGIN:VCALENDAR\r\n") && text.ends_with("END:VCALENDAR\r\n"));
    let nowhere = app.get("/api/days/nowhere/next-day.ics").await;
    assert_eq!(nowhere.verdict(), (404, "unknown-day"));
}
