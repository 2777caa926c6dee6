//! One order and its answers.

use crate::support::*;
use serde_json::json;
use uuid::Uuid;

#[actix_web::test]
async fn an_accepted_command_says_where_it_stands_in_the_journal() {
    let app = TestApp::with_day().await;
    app.clock.advance(5000);
    let id = Uuid::new_v4();
    let answer = app.order_as(id, claim("maren", "peel")).await;
    assert_eq!(answer.status, 200, "{answer:?}");
    let at = MORNING.0 + 5000;
    let seq = app.seq().await;
    assert_eq!(answer.body, json!({"id": id, "seq": seq, "at": at}));
    let last = app.events().await.pop().unwrap();
    assert_eq!((&last["seq"], &last["command"]), (&json!(seq), &json!(id)));
    assert_eq!(
        (&last["role"], &last["event"]["fact"]),
        (&json!("helper"), &json!("seat-taken"))
    );
}

#[actix_web::test]
async fn a_refused_command_changes_nothing_and_says_what_to_do() {
    let app = TestApp::with_day().await;
    assert_eq!(app.order(claim("maren", "peel")).await.status, 200);
    let before = (app.view().await, app.events().await);
    let refused = app.order(claim("osk", "peel")).await;
    assert_eq!(refused.verdict(), (409, "seat-taken"));
    assert!(refused.is_clear_problem(), "{refused:?}");
    assert_eq!((app.view().await, app.events().await), before);
}

#[actix_web::test]
async fn the_same_command_again_gets_its_first_answer_and_counts_once() {
    let app = TestApp::with_day().await;
    let id = Uuid::new_v4();
    let first = app.order_as(id, note("one")).await;
    app.clock.advance(60_000);
    app.order(note("two")).await;
    let count = app.events().await.len();
    for _ in 0..3 {
        let again = app.order_as(id, note("one")).await;
        assert_eq!((again.status, &again.body), (200, &first.body));
    }
    assert_eq!(app.events().await.len(), count);
}

#[actix_web::test]
async fn another_command_under_a_used_id_is_a_conflict() {
    let app = TestApp::with_day().await;
    let id = Uuid::new_v4();
    app.order_as(id, note("one")).await;
    let other = app.order_as(id, note("another")).await;
    assert_eq!(other.verdict(), (409, "id-conflict"));
    assert!(other.is_clear_problem(), "{other:?}");
}

#[actix_web::test]
async fn the_same_command_sent_many_times_at_once_counts_once() {
    let app = TestApp::with_day().await;
    let id = Uuid::new_v4();
    let before = app.events().await.len();
    let tries = (0..20).map(|_| app.order_as(id, note("one")));
    let answers = futures_util::future::join_all(tries).await;
    for answer in &answers {
        assert_eq!((answer.status, &answer.body), (200, &answers[0].body));
    }
    assert_eq!(app.events().await.len(), before + 1);
}

#[actix_web::test]
async fn commands_of_many_at_once_are_all_kept_in_one_order() {
    let app = TestApp::with_day().await;
    let start = app.seq().await;
    let texts: Vec<String> = (0..50).map(|n| format!("note {n}")).collect();
    let orders = texts.iter().map(|text| app.order(note(text)));
    let answers = futures_util::future::join_all(orders).await;
    let mut seqs: Vec<u64> = answers
        .iter()
        .map(|a| a.body["seq"].as_u64().unwrap())
        .collect();
    seqs.sort_unstable();
    assert_eq!(seqs, (start + 1..=start + 50).collect::<Vec<_>>());
    let events = app.events().await;
    let numbers: Vec<u64> = events.iter().map(|e| e["seq"].as_u64().unwrap()).collect();
    assert_eq!(numbers, (1..=start + 50).collect::<Vec<_>>());
}

#[actix_web::test]
async fn events_can_be_read_from_any_number_on() {
    let app = TestApp::with_day().await;
    for n in 0..5 {
        app.order(note(&format!("{n}"))).await;
    }
    let all = app.events().await;
    let request = client().get(app.url("/api/days/small/events?from=4"));
    let mut rest = app.helper.sends(request).send().await.unwrap();
    let rest = String::from_utf8(rest.body().await.unwrap().to_vec()).unwrap();
    let lines: Vec<serde_json::Value> = rest
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(lines, all[3..]);
    let past = app.get("/api/days/small/events?from=1000").await;
    assert_eq!(
        (past.status, past.kind.as_str()),
        (200, "application/x-ndjson")
    );
}

#[actix_web::test]
async fn days_are_listed_with_their_latest_name_and_phase() {
    let app = TestApp::with_day().await;
    app.lead_orders(json!({"order": "change-day", "name": "Pears and more"}))
        .await;
    app.clock.advance(1000);
    let closed = app.lead_orders(json!({"order": "close-day"})).await;
    assert_eq!(closed.status, 200, "{closed:?}");
    let day = &app.get("/api/days").await.body["days"]["small"];
    assert_eq!(day["name"], "Pears and more");
    assert_eq!(day["date"], "2026-09-12");
    assert_eq!(day["phase"], "closed");
    assert_eq!(day["opened_at"], MORNING.0);
    assert_eq!(day["closed_at"], MORNING.0 + 1000);
    assert_eq!(day["seq"], app.seq().await);
}

#[actix_web::test]
async fn a_day_without_an_id_is_named_by_date_and_name_and_opened_once() {
    let app = TestApp::start().await;
    let body = json!({"id": Uuid::new_v4(), "plan": small_plan()});
    let first = app.post_as_lead("/api/days", &body).await;
    assert_eq!(
        (first.status, &first.body["day"]),
        (201, &json!("2026-09-12-pears"))
    );
    let again = app.post_as_lead("/api/days", &body).await;
    assert_eq!((again.status, &again.body), (201, &first.body));
    let other = json!({"id": Uuid::new_v4(), "plan": small_plan()});
    let other = app.post_as_lead("/api/days", &other).await;
    assert_eq!(other.verdict(), (409, "day-exists"));
}

#[actix_web::test]
async fn a_plan_that_is_refused_leaves_no_day_behind() {
    let app = TestApp::start().await;
    let mut plan = small_plan();
    plan["date"] = json!("some day");
    let body = json!({"id": Uuid::new_v4(), "day": "small", "plan": plan});
    let refused = app.post_as_lead("/api/days", &body).await;
    assert_eq!(refused.verdict(), (409, "bad-value"));
    assert_eq!(app.get("/api/days").await.body, json!({"days": {}}));
    assert_eq!(
        app.get("/api/days/small/view").await.verdict(),
        (404, "unknown-day")
    );
    app.open_small_day().await;
}

#[actix_web::test]
async fn the_next_day_can_begin_from_this_one() {
    let app = TestApp::with_day().await;
    let opened = app
        .order(json!({"order": "open-box", "lot": "hill", "product": "slices"}))
        .await;
    assert_eq!(opened.status, 200, "{opened:?}");
    let plan = app.get("/api/days/small/plan-again").await;
    assert_eq!(plan.status, 200);
    assert_eq!(plan.body["stations"]["peel"]["seats"], 1);
    assert_eq!(plan.body["carried"][0]["amount"], 40_000);
    let body = json!({"id": Uuid::new_v4(), "day": "second", "plan": plan.body});
    let second = app.post_as_lead("/api/days", &body).await;
    assert_eq!(second.status, 201, "{second:?}");
}
