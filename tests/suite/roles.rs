//! Who may do what, and from where.

use crate::support::*;
use actix_web::cookie::{Cookie, SameSite};
use serde_json::json;
use uuid::Uuid;

/// The header by which a browser brings its cookie.
fn carrying(cookie: &Cookie<'_>) -> (&'static str, String) {
    ("cookie", cookie.stripped().to_string())
}

/// What the server says a browser with this cookie is.
async fn role_of(app: &TestApp, cookie: &Cookie<'static>) -> String {
    let request = client()
        .get(app.url("/api/me"))
        .insert_header(carrying(cookie));
    answer(request.send()).await.body["role"]
        .as_str()
        .unwrap()
        .to_owned()
}

async fn new_browser(app: &TestApp) -> Cookie<'static> {
    let response = client().get(app.url("/api/me")).send().await.unwrap();
    let set = response
        .headers()
        .get("set-cookie")
        .unwrap()
        .to_str()
        .unwrap();
    Cookie::parse(set.to_owned()).unwrap()
}

async fn become_lead(app: &TestApp, cookie: &Cookie<'static>, key: &str) -> Answer {
    let request = client()
        .post(app.url("/api/me"))
        .insert_header(carrying(cookie));
    answer(request.send_json(&json!({"lead_key": key}))).await
}

#[actix_web::test]
async fn a_new_browser_is_a_helper_and_gets_a_secret_that_pages_cannot_read() {
    let app = TestApp::start().await;
    let cookie = new_browser(&app).await;
    assert_eq!(role_of(&app, &cookie).await, "helper");
    assert_eq!(cookie.http_only(), Some(true));
    assert_eq!(cookie.same_site(), Some(SameSite::Strict));
    assert!(cookie.value().len() >= 32);
    assert_ne!(cookie.value(), new_browser(&app).await.value());
    let me = app.get("/api/me").await.body.to_string();
    assert!(!me.contains(cookie.value()));
}

#[actix_web::test]
async fn the_leads_key_makes_this_browser_the_leads_and_no_other() {
    let app = TestApp::start().await;
    let (one, other) = (new_browser(&app).await, new_browser(&app).await);
    let key = app.site.lead_key().to_owned();
    let wrong = become_lead(&app, &one, &key[1..]).await;
    assert_eq!(wrong.verdict(), (403, "wrong-lead-key"));
    assert_eq!(role_of(&app, &one).await, "helper");
    assert_eq!(become_lead(&app, &one, &key).await.body["role"], "lead");
    assert_eq!(role_of(&app, &one).await, "lead");
    assert_eq!(role_of(&app, &other).await, "helper");
}

#[actix_web::test]
async fn the_leads_browser_is_still_the_leads_after_a_restart() {
    let app = TestApp::start().await;
    let cookie = new_browser(&app).await;
    let key = app.site.lead_key().to_owned();
    become_lead(&app, &cookie, &key).await;
    let app = app.restart().await;
    assert_eq!(app.site.lead_key(), key);
    assert_eq!(role_of(&app, &cookie).await, "lead");
}

#[actix_web::test]
async fn a_role_can_be_laid_down() {
    let app = TestApp::with_day().await;
    let cookie = new_browser(&app).await;
    become_lead(&app, &cookie, app.site.lead_key()).await;
    for role in ["watcher", "helper"] {
        let request = client()
            .post(app.url("/api/me"))
            .insert_header(carrying(&cookie));
        let now = answer(request.send_json(&json!({"role": role}))).await;
        assert_eq!(now.body["role"], role);
        assert_eq!(role_of(&app, &cookie).await, role);
    }
    let request = client()
        .post(app.url("/api/me"))
        .insert_header(carrying(&cookie));
    let refused = answer(request.send_json(&json!({"role": "lead"}))).await;
    assert_eq!(refused.verdict(), (400, "malformed"));
}

#[actix_web::test]
async fn a_watching_device_orders_nothing() {
    let app = TestApp::with_day().await;
    let cookie = new_browser(&app).await;
    let request = client()
        .post(app.url("/api/me"))
        .insert_header(carrying(&cookie));
    answer(request.send_json(&json!({"role": "watcher"}))).await;
    let request = client()
        .post(app.url(COMMANDS))
        .insert_header(carrying(&cookie));
    let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
    let refused = answer(request.send_json(&body)).await;
    assert_eq!(refused.verdict(), (403, "watch-only"));
}

#[actix_web::test]
async fn only_the_lead_sets_up() {
    let app = TestApp::with_day().await;
    let rename = json!({"order": "change-day", "name": "Plums"});
    let refused = app.order(rename.clone()).await;
    assert_eq!(refused.verdict(), (403, "lead-only"));
    assert!(refused.is_clear_problem(), "{refused:?}");
    assert_eq!(app.lead_orders(rename).await.status, 200);
    let body = json!({"id": Uuid::new_v4(), "day": "mine", "plan": small_plan()});
    assert_eq!(
        app.post("/api/days", &body).await.verdict(),
        (403, "lead-only")
    );
}

#[actix_web::test]
async fn a_wrong_bearer_is_refused_rather_than_taken_for_a_helper() {
    let app = TestApp::with_day().await;
    for wrong in ["Bearer nonsense", "Bearer ", "Basic abc", ""] {
        let request = client()
            .post(app.url(COMMANDS))
            .insert_header(("authorization", wrong));
        let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
        let refused = answer(request.send_json(&body)).await;
        assert_eq!(refused.verdict(), (403, "wrong-lead-key"), "{wrong:?}");
    }
}

#[actix_web::test]
async fn a_page_from_elsewhere_can_neither_order_nor_watch() {
    let app = TestApp::with_day().await;
    let own = app.address.clone();
    let port = own.rsplit(':').next().unwrap();
    let foreign = [
        "http://evil.test".to_owned(),
        "null".to_owned(),
        "http://127.0.0.1:1".to_owned(),
        format!("http://127.0.0.1.evil.test:{port}"),
        format!("{own}.evil.test"),
        "http://127.0.0.1".to_owned(),
        format!("ftp://127.0.0.1:{port}"),
    ];
    let seq = app.seq().await;
    for origin in &foreign {
        let request = client()
            .post(app.url(COMMANDS))
            .insert_header(("origin", origin.as_str()));
        let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
        let refused = answer(request.send_json(&body)).await;
        assert_eq!(refused.verdict(), (403, "foreign-page"), "{origin}");
        let socket = client()
            .ws(app.url("/api/days/small/live"))
            .origin(origin.as_str());
        assert!(socket.connect().await.is_err(), "{origin}");
    }
    assert_eq!(app.seq().await, seq);
    let request = client()
        .post(app.url(COMMANDS))
        .insert_header(("origin", own.as_str()));
    let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
    assert_eq!(answer(request.send_json(&body)).await.status, 200);
    let socket = client()
        .ws(app.url("/api/days/small/live"))
        .origin(own.as_str());
    assert_eq!(socket.connect().await.unwrap().0.status(), 101);
}

#[actix_web::test]
async fn a_name_that_a_stranger_can_own_is_not_answered() {
    let app = TestApp::with_day().await;
    for path in ["/", "/api/days", "/api/days/small/view"] {
        let request = client()
            .get(app.url(path))
            .insert_header(("host", "evil.test"));
        assert_eq!(
            answer(request.send()).await.verdict(),
            (421, "unknown-host"),
            "{path}"
        );
    }
}

#[actix_web::test]
async fn the_leads_key_lies_in_a_file_for_the_owner_alone() {
    use std::os::unix::fs::PermissionsExt;
    let app = TestApp::start().await;
    let file = std::fs::metadata(app.data().join("lead-key")).unwrap();
    assert_eq!(file.permissions().mode() & 0o777, 0o600);
    let folder = std::fs::metadata(app.data()).unwrap();
    assert_eq!(folder.permissions().mode() & 0o777, 0o700);
}
