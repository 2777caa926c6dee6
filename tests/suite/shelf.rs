//! The shelf over HTTP: stock from the days' events, its own orders kept over a restart, its table
//! read by a program of another make.

use crate::support::*;
use serde_json::{Value, json};
use std::io::Write as _;
use std::process::{Command, Stdio};
use uuid::Uuid;

const SLICES: &str = "260912-F1";

/// A server on which four bags of pear slices were frozen.
pub async fn with_bags() -> TestApp {
    let app = TestApp::with_day().await;
    freeze_bags(&app).await;
    app
}

async fn freeze_bags(app: &TestApp) {
    let orders = [
        json!({"order": "open-box", "lot": "hill", "product": "slices"}),
        claim("maren", "wash"),
        json!({"order": "tally", "station": "wash", "helper": "maren", "amount": 8000}),
        json!({"order": "switch", "helper": "maren", "station": "peel"}),
        json!({"order": "tally", "station": "peel", "helper": "maren", "amount": 8000}),
        json!({"order": "switch", "helper": "maren", "station": "bag"}),
        json!({"order": "tally", "station": "bag", "helper": "maren", "amount": 8000}),
    ];
    for order in orders {
        app.clock.advance(60_000);
        let answer = app.lead_orders(order.clone()).await;
        assert_eq!(answer.status, 200, "{order}: {answer:?}");
    }
}

pub async fn give(app: &TestApp, id: Uuid, command: &Value) -> Answer {
    let body = json!({"id": id, "command": command});
    app.post("/api/shelf/commands", &body).await
}

pub fn take(packages: i64) -> Value {
    json!({"order": "take", "lot": {"day": "small", "code": SLICES}, "place": "freezer",
        "packages": packages})
}

pub async fn left(app: &TestApp) -> Value {
    app.get("/api/shelf").await.body["products"][0]["left"].clone()
}

#[actix_web::test]
async fn a_lot_is_told_with_its_way_and_what_is_left_of_it() {
    let app = with_bags().await;
    let told = app.get("/api/days/small/lots").await;
    assert_eq!(told.status, 200);
    let lot = &told.body["lots"][SLICES];
    assert_eq!(lot["product_name"], "Pear slices");
    let package = json!({"measure": "bag", "holds": {"amount": 2000, "measure": "lb"}});
    assert_eq!(lot["package"], package);
    assert_eq!(lot["left"], json!({"freezer": 4000}));
    let stations: Vec<_> = lot["work"]
        .as_array()
        .unwrap()
        .iter()
        .map(|w| &w["name"])
        .collect();
    assert_eq!(stations, ["Wash", "Peel", "Bag"]);
    let answer = give(&app, Uuid::new_v4(), &take(1000)).await;
    assert_eq!(answer.status, 200, "{answer:?}");
    let told = app.get("/api/days/small/lots").await.body;
    assert_eq!(told["lots"][SLICES]["left"], json!({"freezer": 3000}));
    assert_eq!(told["lots"][SLICES]["eaten"], 1000);
}

#[actix_web::test]
async fn the_same_id_takes_once_and_all_of_it_is_there_after_a_restart() {
    let app = with_bags().await;
    let id = Uuid::new_v4();
    let first = give(&app, id, &take(1000)).await;
    assert_eq!(first.status, 200);
    assert_eq!(give(&app, id, &take(1000)).await.body, first.body);
    assert_eq!(
        give(&app, id, &take(2000)).await.verdict(),
        (409, "id-conflict")
    );
    assert_eq!(left(&app).await, 3000);
    // The day goes on: what it makes is there at once.
    app.lead_orders(json!({"order": "undo-tally", "station": "bag"}))
        .await;
    assert_eq!(left(&app).await, -1000);
    app.lead_orders(json!({"order": "tally", "station": "bag", "amount": 6000}))
        .await;
    assert_eq!(left(&app).await, 2000);
    let uses = app.get("/api/shelf/uses").await.body;
    let app = app.restart().await;
    assert_eq!(left(&app).await, 2000);
    assert_eq!(app.get("/api/shelf/uses").await.body, uses);
    assert_eq!(uses["products"]["slices"]["taken"], 1);
    assert_eq!(
        give(&app, id, &take(1000)).await.body,
        first.body,
        "known over a restart"
    );
}

#[actix_web::test]
async fn helpers_take_and_judge_and_only_the_lead_counts_and_recalls() {
    let app = with_bags().await;
    let lot = json!({"day": "small", "code": SLICES});
    let correct = json!({"order": "correct", "lot": lot, "place": "freezer", "packages": 2000});
    let recall = json!({"order": "recall", "batch": {"day": "small", "batch": "260912-F"},
        "reason": "The door stood open"});
    for order in [&correct, &recall] {
        let answer = give(&app, Uuid::new_v4(), order).await;
        assert_eq!(answer.verdict(), (403, "lead-only"));
        assert!(answer.is_clear_problem());
    }
    for order in [&correct, &recall] {
        let body = json!({"id": Uuid::new_v4(), "command": order});
        let answer = app.post_as_lead("/api/shelf/commands", &body).await;
        assert_eq!(answer.status, 200, "{answer:?}");
    }
    assert_eq!(left(&app).await, 2000);
    let answer = give(&app, Uuid::new_v4(), &take(1000)).await;
    assert_eq!(answer.verdict(), (409, "recalled-packages"));
    let told = app.get("/api/days/small/lots").await.body;
    assert_eq!(
        told["lots"][SLICES]["recalled"]["reason"],
        "The door stood open"
    );
}

#[actix_web::test]
async fn bad_orders_are_answered_clearly() {
    let app = with_bags().await;
    for (order, verdict) in [
        (take(5000), (409, "not-on-the-shelf")),
        (take(-1000), (409, "bad-number")),
        (
            json!({"order": "take", "lot": {"day": "small", "code": "260912-Y9"},
            "place": "freezer"}),
            (404, "unknown-packages"),
        ),
        (
            json!({"order": "take", "lot": {"day": "small", "code": "nonsense"},
            "place": "freezer"}),
            (400, "malformed"),
        ),
        (
            json!({"order": "take", "lot": {"day": "small", "code": SLICES}, "place": "freezer",
            "packages": 1e300}),
            (400, "malformed"),
        ),
        (json!({"order": "eat"}), (400, "malformed")),
    ] {
        let answer = give(&app, Uuid::new_v4(), &order).await;
        assert_eq!(answer.verdict(), verdict, "{order}");
        assert!(answer.is_clear_problem(), "{answer:?}");
    }
    for (path, verdict) in [
        ("/api/days/nowhere/lots", (404, "unknown-day")),
        (
            "/api/days/small/lots/260912-Y9.svg",
            (404, "unknown-packages"),
        ),
        ("/api/days/small/lots/pears.svg", (400, "malformed")),
    ] {
        let answer = app.get(path).await;
        assert_eq!(answer.verdict(), verdict, "{path}");
        assert!(answer.is_clear_problem());
    }
    assert_eq!(app.post("/api/shelf", &json!({})).await.status, 405);
}

/// The csv module of Python, which follows RFC 4180 by its own code.
#[actix_web::test]
async fn the_table_is_read_by_another_program_as_it_was_meant() {
    let app = TestApp::start().await;
    let mut plan = small_plan();
    plan["products"]["slices"]["name"] = json!("=Pears, \"whole\" and sliced");
    let body = json!({"id": Uuid::new_v4(), "day": "small", "plan": plan});
    assert_eq!(app.post_as_lead("/api/days", &body).await.status, 201);
    freeze_bags(&app).await;
    let request = client().get(app.url("/api/shelf.csv"));
    let mut answer = app.helper.sends(request).send().await.unwrap();
    assert_eq!(
        answer.headers().get("content-type").unwrap(),
        "text/csv; charset=utf-8"
    );
    let table = answer.body().await.unwrap();
    let script = "import csv, io, json, sys\n\
        text = io.TextIOWrapper(sys.stdin.buffer, 'utf-8', newline='')\n\
        print(json.dumps(list(csv.reader(text, strict=True))))";
    let mut python = Command::new("python3")
        .args(["-c", script])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is installed, as for the tests of the home network");
    python.stdin.take().unwrap().write_all(&table).unwrap();
    let read = python.wait_with_output().unwrap();
    assert!(read.status.success());
    let rows: Value = serde_json::from_slice(&read.stdout).unwrap();
    assert_eq!(
        rows,
        json!([
            [
                "product", "package", "place", "packages", "lot", "load", "fruit", "date",
                "best by", "day", "recalled"
            ],
            [
                "'=Pears, \"whole\" and sliced",
                "bag of 2 lb",
                "freezer",
                "4",
                SLICES,
                "260912-F",
                "Hill orchard",
                "2026-09-12",
                "2027-05-12",
                "small",
                ""
            ],
        ])
    );
}
