//! The invented season, lived through the board itself: three days, the seals of the mornings after,
//! and four months of taking. What the shelf then says of it is what the fixture holds, so next
//! year's proposal rests on days and not on a summary typed by hand.

use crate::support::*;
use putby::day::time::Timestamp;
use serde_json::{Map, Value, json};
use uuid::Uuid;

const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
/// Jars cool so long before their seals are checked.
const COOLING: i64 = 12 * HOUR;
/// Cooling, a load of up to half an hour, and a little.
const BEFORE_THE_SEALS: i64 = COOLING + HOUR;
const LOTS: [(&str, &str); 3] = [
    ("pears-quart", "pears-hill"),
    ("peaches-pint", "peaches-south"),
    ("plum-spread", "plums-hedge"),
];

fn fixture() -> Value {
    serde_json::from_str(include_str!("../../fixtures/prepare/season.json")).unwrap()
}

fn orchard() -> Value {
    serde_json::from_str(include_str!("../../fixtures/demo/day.json")).unwrap()
}

fn lot_of(product: &str) -> &'static str {
    LOTS.iter().find(|(known, _)| *known == product).unwrap().1
}

struct Days<'a> {
    app: &'a TestApp,
    day: String,
}

impl Days<'_> {
    async fn order(&self, command: Value) {
        let body = json!({"id": Uuid::new_v4(), "command": command});
        let path = format!("/api/days/{}/commands", self.day);
        let answer = self.app.post_as_lead(&path, &body).await;
        assert_eq!(answer.status, 200, "{command}: {answer:?}");
    }

    /// So much stands at a station, counted by the lead.
    async fn there(&self, station: &str, product: &str, amount: i64) {
        let lot = lot_of(product);
        self.order(
            json!({"order": "recount", "station": station, "product": product,
            "lot": lot, "amount": amount}),
        )
        .await;
    }

    /// A load from the first jar to the rack.
    async fn load(&self, name: &str, canner: &str, product: &str, jars: i64) {
        let jars = json!([{"product": product, "jars": jars}]);
        self.order(
            json!({"order": "build-load", "load": name, "station": "canners",
            "canner": canner, "jars": jars}),
        )
        .await;
        self.order(json!({"order": "heat-load", "load": name}))
            .await;
        self.order(json!({"order": "rolling-boil", "load": name}))
            .await;
        self.app.clock.advance(30 * MINUTE);
        self.order(json!({"order": "heat-off", "load": name})).await;
        self.order(json!({"order": "lift-load", "load": name, "broken": []}))
            .await;
    }

    async fn sealed(&self, name: &str, product: &str, jars: i64) {
        let row = json!({"product": product, "lot": lot_of(product), "sealed": jars,
            "refrigerated": 0, "frozen": 0, "reprocessed": 0, "broken": 0});
        self.order(json!({"order": "check-seals", "load": name, "jars": [row]}))
            .await;
    }
}

/// One day of the fixture: its jars are on the shelf, its tubs in the freezer, at `at`.
async fn lived(app: &TestApp, number: usize, told: &Value) {
    let at = told["at"].as_i64().unwrap();
    let mut plan = orchard();
    plan["name"] = told["name"].clone();
    for (product, seen) in fixture()["shelf"]["products"].as_object().unwrap() {
        plan["products"][product]["name"] = seen["name"].clone();
    }
    plan["date"] = json!(format!("2026-09-{:02}", 14 + number));
    plan.as_object_mut().unwrap().remove("cut_off_at");
    app.clock.set(Timestamp(at - BEFORE_THE_SEALS));
    let day = format!("day-{number}");
    let open = json!({"id": Uuid::new_v4(), "day": day, "plan": plan});
    assert_eq!(app.post_as_lead("/api/days", &open).await.status, 201);
    let day = Days { app, day };
    let made = told["made"].as_object().unwrap();
    let jars = |product: &str| made.get(product).and_then(Value::as_i64);
    let canned = [("pears-quart", 7), ("peaches-pint", 9)];
    let mut loads = Vec::new();
    for (product, holds) in canned {
        let Some(mut left) = jars(product) else {
            continue;
        };
        let lot = lot_of(product);
        day.order(json!({"order": "open-box", "lot": lot, "product": product}))
            .await;
        day.there("canners", product, left * 1000).await;
        while left > 0 {
            let (name, now) = (format!("l{}", loads.len() + 1), left.min(holds));
            let canner = ["a", "b"][loads.len() % 2];
            day.load(&name, canner, product, now).await;
            loads.push((name, product, now));
            left -= now;
        }
    }
    app.clock.set(Timestamp(at));
    for (name, product, jars) in loads {
        day.sealed(&name, product, jars).await;
    }
    if let Some(tubs) = jars("plum-spread") {
        day.there("freezer", "plum-spread", tubs * 1000).await;
        day.order(
            json!({"order": "tally", "station": "freezer", "product": "plum-spread",
            "amount": tubs * 1000}),
        )
        .await;
    }
}

/// The oldest package of a product is eaten, and judged if somebody said how it was.
async fn taken(app: &TestApp, told: &Value) {
    app.clock.set(Timestamp(told["at"].as_i64().unwrap()));
    for number in 0..3 {
        let day = format!("day-{number}");
        let lots = app.get(&format!("/api/days/{day}/lots")).await.body;
        let lots: Map<String, Value> = lots["lots"].as_object().cloned().unwrap_or_default();
        let of_it = lots.iter().filter(|(_, lot)| lot["product"] == told["of"]);
        for (code, lot) in of_it {
            for place in ["pantry", "freezer"] {
                if lot["left"][place].as_i64().unwrap_or(0) < 1000 {
                    continue;
                }
                let lot = json!({"day": day, "code": code});
                let mut orders = vec![json!({"order": "take", "lot": lot, "place": place})];
                if let Some(judged) = told["judged"].as_str() {
                    let verdict = judged.replace('_', "-");
                    orders.push(json!({"order": "judge", "lot": lot, "verdict": verdict}));
                }
                for command in orders {
                    let body = json!({"id": Uuid::new_v4(), "command": command});
                    let answer = app.post("/api/shelf/commands", &body).await;
                    assert_eq!(answer.status, 200, "{command}: {answer:?}");
                }
                return;
            }
        }
    }
    panic!("none is left: {told}");
}

#[actix_web::test]
async fn three_days_and_four_months_give_the_fixture_s_shelf_and_next_year() {
    let app = TestApp::start().await;
    let fixture = fixture();
    for (number, told) in fixture["days"].as_array().unwrap().iter().enumerate() {
        lived(&app, number, told).await;
    }
    let mut takings = fixture["takings"].as_array().unwrap().clone();
    takings.sort_by_key(|told| told["at"].as_i64());
    for told in &takings {
        taken(&app, told).await;
    }
    app.clock.set(Timestamp(fixture["now"].as_i64().unwrap()));
    let uses = app.get("/api/shelf/uses").await.body;
    let expected = fixture["shelf"]["products"].as_object().unwrap();
    let found: Vec<&String> = uses["products"].as_object().unwrap().keys().collect();
    assert_eq!(found, expected.keys().collect::<Vec<_>>());
    for (product, seen) in expected {
        for (field, value) in seen.as_object().unwrap() {
            assert_eq!(
                &uses["products"][product][field], value,
                "{product} {field}"
            );
        }
    }
    let next = app.post("/api/prepare/next-year", &uses).await;
    let same = app.post("/api/prepare/next-year", &fixture["shelf"]).await;
    assert_eq!((next.status, &next.body), (200, &same.body));
}
