//! Who may do what, and from where.

use crate::support::*;
use actix_web::cookie::SameSite;
use putby::server::Rank;
use serde_json::{Value, json};
use uuid::Uuid;

/// What the server says a browser is.
async fn role_of(browser: &Browser) -> String {
    let me = browser.get("/api/me").await;
    me.body["role"].as_str().unwrap().to_owned()
}

/// A browser asks to be something else; what it is known by may change with that.
async fn become_of(browser: &Browser, wish: &Value) -> (Answer, Browser) {
    let request = client().post(format!("{}/api/me", browser.address));
    let mut response = browser.sends(request).send_json(wish).await.unwrap();
    let now = given_cookie(response.headers());
    let secret = now.map_or(browser.secret.clone(), |now| now.value().to_owned());
    let body = serde_json::from_slice(&response.body().await.unwrap()).unwrap();
    let answer = Answer {
        status: response.status().as_u16(),
        kind: String::new(),
        body,
    };
    let address = browser.address.clone();
    (answer, Browser { address, secret })
}

#[actix_web::test]
async fn a_new_browser_is_a_guest_and_gets_nothing_but_the_pages() {
    let app = TestApp::with_day().await;
    let response = client().get(app.url("/api/me")).send().await.unwrap();
    assert!(response.headers().get("set-cookie").is_none());
    let stranger = Browser {
        address: app.address.clone(),
        secret: "0123456789abcdef".repeat(3),
    };
    assert_eq!(role_of(&stranger).await, "guest");
    for path in [
        "/api/days",
        "/api/days/small/view",
        "/api/join",
        "/api/join.svg",
    ] {
        let refused = stranger.get(path).await;
        assert_eq!(refused.verdict(), (401, "not-let-in"), "{path}");
        assert!(refused.is_clear_problem(), "{refused:?}");
        assert!(!refused.body.to_string().contains("Pears"));
    }
    let socket = client().ws(app.url("/api/days/small/live"));
    assert!(socket.connect().await.is_err());
    assert_eq!(
        client().get(app.url("/")).send().await.unwrap().status(),
        200
    );
}

#[actix_web::test]
async fn the_code_makes_a_helper_with_a_secret_that_pages_cannot_read() {
    let app = TestApp::start().await;
    let code = app.site.join_code().unwrap().to_string();
    let typed = code.to_lowercase().replace('-', " ");
    let request = client().post(app.url("/api/me"));
    let response = request.send_json(&json!({"code": typed})).await.unwrap();
    let cookie = given_cookie(response.headers()).unwrap();
    assert_eq!(cookie.http_only(), Some(true));
    assert_eq!(cookie.same_site(), Some(SameSite::Strict));
    // 192 bits.
    assert_eq!(cookie.value().len(), 48);
    let browser = Browser {
        address: app.address.clone(),
        secret: cookie.value().to_owned(),
    };
    assert_eq!(role_of(&browser).await, "helper");
    let me = browser.get("/api/me").await.body.to_string();
    assert!(!me.contains(cookie.value()) && !me.contains(&code));
    assert_ne!(app.another_helper().await.secret, browser.secret);
}

#[actix_web::test]
async fn a_wrong_code_and_what_is_no_code_are_answered_by_what_to_do() {
    let app = TestApp::start().await;
    let (wrong, browser) = app.come_in(&json!({"code": "0000-0000"})).await;
    assert_eq!(wrong.verdict(), (403, "wrong-code"));
    assert!(wrong.is_clear_problem() && browser.is_none());
    let (short, browser) = app.come_in(&json!({"code": "K7Q"})).await;
    assert_eq!(short.verdict(), (400, "malformed"));
    assert!(short.is_clear_problem() && browser.is_none());
}

#[actix_web::test]
async fn the_leads_key_makes_this_browser_the_leads_and_no_other() {
    let app = TestApp::start().await;
    let (one, other) = (app.another_helper().await, app.another_helper().await);
    let wrong = json!({"lead_key": "0".repeat(32)});
    let (refused, one) = become_of(&one, &wrong).await;
    assert_eq!(refused.verdict(), (403, "wrong-lead-key"));
    assert_eq!(role_of(&one).await, "helper");
    let (leads, lead) = become_of(&one, &json!({"lead_key": app.lead_key})).await;
    assert_eq!(leads.body["role"], "lead");
    assert_eq!(role_of(&lead).await, "lead");
    // What it was known by before, and somebody else may have planted, is worth nothing now.
    assert_ne!(one.secret, lead.secret);
    assert_eq!(role_of(&one).await, "guest");
    assert_eq!(role_of(&other).await, "helper");
    // Whoever leads and opens the code of the wall still leads.
    let code = app.site.join_code().unwrap().to_string();
    let (still, same) = become_of(&lead, &json!({"code": code})).await;
    assert_eq!(
        (&still.body["role"], &same.secret),
        (&json!("lead"), &lead.secret)
    );
}

#[actix_web::test]
async fn who_was_let_in_is_in_after_a_restart_and_the_lead_still_leads() {
    let app = TestApp::start().await;
    let (lead, wall) = (app.lead_browser().await, app.wall().await);
    let (helper, code) = (app.helper.clone(), app.site.join_code());
    let (folder, clock) = app.stop().await;
    let app = TestApp::start_in(folder, clock, putby::config::Heartbeat::USUAL).await;
    assert_eq!(app.site.lead_key(), None, "it is shown once");
    assert_eq!(app.site.join_code(), code);
    for (browser, role) in [(lead, "lead"), (wall, "watcher"), (helper, "helper")] {
        let now = Browser {
            address: app.address.clone(),
            ..browser
        };
        assert_eq!(role_of(&now).await, role);
    }
}

#[actix_web::test]
async fn a_role_can_be_laid_down_and_not_taken_up_again() {
    let app = TestApp::with_day().await;
    let lead = app.lead_browser().await;
    for role in ["helper", "watcher"] {
        let (now, _) = become_of(&lead, &json!({"role": role})).await;
        assert_eq!(now.body["role"], role);
        assert_eq!(role_of(&lead).await, role);
    }
    let (refused, _) = become_of(&lead, &json!({"role": "helper"})).await;
    assert_eq!(refused.verdict(), (403, "watch-only"));
    let (refused, _) = become_of(&lead, &json!({"role": "lead"})).await;
    assert_eq!(refused.verdict(), (400, "malformed"));
}

#[actix_web::test]
async fn a_watching_device_orders_nothing() {
    let app = TestApp::with_day().await;
    let wall = app.wall().await;
    assert_eq!(wall.get("/api/days/small/view").await.status, 200);
    let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
    let refused = wall.post(COMMANDS, &body).await;
    assert_eq!(refused.verdict(), (403, "watch-only"));
    assert!(refused.is_clear_problem(), "{refused:?}");
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
async fn a_wrong_bearer_is_refused_rather_than_taken_for_a_guest() {
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
    let ((_, cookie), _) = app.helper.headers();
    let body = || json!({"id": Uuid::new_v4(), "command": note("hello")});
    for origin in &foreign {
        let request = client()
            .post(app.url(COMMANDS))
            .insert_header(("cookie", cookie.as_str()))
            .insert_header(("origin", origin.as_str()));
        let refused = answer(request.send_json(&body())).await;
        assert_eq!(refused.verdict(), (403, "foreign-page"), "{origin}");
        let socket = client()
            .ws(app.url("/api/days/small/live"))
            .header("cookie", cookie.as_str())
            .origin(origin.as_str());
        assert!(socket.connect().await.is_err(), "{origin}");
    }
    // A browser that does not say from which page is not believed either.
    let request = client()
        .post(app.url(COMMANDS))
        .insert_header(("cookie", cookie.as_str()));
    let refused = answer(request.send_json(&body())).await;
    assert_eq!(refused.verdict(), (403, "foreign-page"));
    assert_eq!(app.seq().await, seq);
    assert_eq!(app.order(note("hello")).await.status, 200);
    app.follow().await;
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
async fn only_the_digest_of_the_leads_key_is_kept_and_for_the_owner_alone() {
    use std::os::unix::fs::PermissionsExt;
    let app = TestApp::start().await;
    let file = app.data().join("lead-key");
    let kept = std::fs::read_to_string(&file).unwrap();
    assert!(kept.starts_with("sha256:") && !kept.contains(&app.lead_key));
    let mode = std::fs::metadata(file).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
    let folder = std::fs::metadata(app.data()).unwrap();
    assert_eq!(folder.permissions().mode() & 0o777, 0o700);
}

#[test]
fn every_route_asks_for_a_rank_and_guests_have_few() {
    let open: Vec<_> = putby::server::rights()
        .into_iter()
        .filter(|(_, _, least)| *least == Rank::Guest)
        .map(|(method, path, _)| format!("{method} {path}"))
        .collect();
    let agreed = [
        "GET /api/openapi.json",
        "GET /api/me",
        "POST /api/me",
        "GET /health",
        "GET /metrics",
        "GET /{file:.*}",
    ];
    assert_eq!(open, agreed);
}
