//! What a stranger, a neighbour, a page from elsewhere or a stolen device can try, and what comes of
//! it. The table of threats in DEVELOPERS.md names the tests here.

use crate::support::*;
use actix_web::http::Method;
use awc::ws::{CloseCode, Frame};
use putby::server::Rank;
use serde_json::{Value, json};
use std::io::Write;
use std::net::TcpStream;
use std::process::{Command, Stdio};
use uuid::Uuid;

/// A connection on which requests are written as they stand.
struct Line {
    host: String,
    socket: TcpStream,
}

impl Line {
    fn to(host: &str) -> Line {
        let socket = TcpStream::connect(host).unwrap();
        socket.set_read_timeout(Some(LIMIT)).unwrap();
        Line {
            host: host.to_owned(),
            socket,
        }
    }

    /// Sends a request and reads the status and the body of its answer; connects anew where the
    /// server ended the connection.
    fn ask(&mut self, request: &str) -> (u16, String) {
        let said = self.try_ask(request).unwrap_or_else(|| {
            *self = Line::to(&self.host);
            self.try_ask(request).expect("an answer")
        });
        if said.0 == 101 {
            *self = Line::to(&self.host);
        }
        said
    }

    fn try_ask(&mut self, request: &str) -> Option<(u16, String)> {
        self.socket.write_all(request.as_bytes()).ok()?;
        let (head, body) = read_response(&mut self.socket)?;
        let status = head.split(' ').nth(1)?.parse().ok()?;
        Some((status, body))
    }
}

/// An order and an upgrade as a browser with a helper's cookie sends them, under a name and from a
/// page.
fn order_and_upgrade(host: &str, origin: Option<&str>, secret: &str) -> [String; 2] {
    let origin = origin.map_or(String::new(), |origin| format!("origin: {origin}\r\n"));
    let cookie = format!("cookie: putby-device={secret}\r\n");
    let id = Uuid::new_v4();
    let body = json!({"id": id, "command": note("hello")}).to_string();
    let length = body.len();
    [
        format!(
            "POST {COMMANDS} HTTP/1.1\r\nhost: {host}\r\n{origin}{cookie}\
             content-type: application/json\r\ncontent-length: {length}\r\n\r\n{body}"
        ),
        format!(
            "GET /api/days/small/live HTTP/1.1\r\nhost: {host}\r\n{origin}{cookie}\
             connection: upgrade\r\nupgrade: websocket\r\nsec-websocket-version: 13\r\n\
             sec-websocket-key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n"
        ),
    ]
}

#[actix_web::test]
async fn eight_names_and_five_pages_and_only_what_is_ours_passes() {
    let app = TestApp::with_day().await;
    let before = app.events().await.len();
    let (host, secret) = (app.helper.raw().0.to_owned(), app.helper.secret.clone());
    let asked = actix_web::web::block(move || {
        let port = host.rsplit(':').next().unwrap();
        let names = [
            (host.clone(), true),
            (format!("localhost:{port}"), true),
            (format!("[::1]:{port}"), true),
            (format!("evil.test:{port}"), false),
            (format!("127.0.0.1.evil.test:{port}"), false),
            (format!("putby.local:{port}"), false),
            (format!("localhost.evil.test:{port}"), false),
            ("somewhere".to_owned(), false),
        ];
        let mut line = Line::to(&host);
        let mut wrong = Vec::new();
        for (name, ours) in &names {
            let pages = [
                (Some(format!("http://{name}")), true),
                (None, false),
                (Some("null".to_owned()), false),
                (Some("http://evil.test".to_owned()), false),
                (Some(format!("http://{name}0")), false),
            ];
            for (page, own) in &pages {
                let expected = match (ours, own) {
                    (false, _) => [421, 421],
                    (true, false) => [403, 403],
                    (true, true) => [200, 101],
                };
                let sent = order_and_upgrade(name, page.as_deref(), &secret);
                let got = sent.map(|request| line.ask(&request).0);
                if got != expected {
                    wrong.push(format!("{name} {page:?}: {got:?}, not {expected:?}"));
                }
            }
        }
        wrong
    });
    let wrong = asked.await.unwrap();
    assert!(wrong.is_empty(), "{wrong:#?}");
    // The three that passed, and no other.
    assert_eq!(app.events().await.len(), before + 3);
}

#[actix_web::test]
async fn a_name_that_is_said_twice_or_by_somebody_else_is_not_believed() {
    let app = TestApp::with_day().await;
    let (host, key) = app.helper.raw();
    let (host, key) = (host.to_owned(), key.clone());
    let asked = actix_web::web::block(move || {
        let mut line = Line::to(&host);
        let path = "/api/days/small/view";
        let rows = [
            (
                format!("GET {path} HTTP/1.1\r\nhost: {host}\r\nhost: {host}\r\n"),
                400,
            ),
            (
                format!("GET {path} HTTP/1.1\r\nhost: {host}\r\nhost: evil.test\r\n"),
                400,
            ),
            (format!("GET {path} HTTP/1.1\r\n"), 400),
            (
                format!("GET http://evil.test{path} HTTP/1.1\r\nhost: {host}\r\n"),
                400,
            ),
            (
                format!("GET http://{host}{path} HTTP/1.1\r\nhost: evil.test\r\n"),
                400,
            ),
            (
                format!("GET http://{host}{path} HTTP/1.1\r\nhost: {host}\r\n"),
                200,
            ),
            (
                format!("GET {path} HTTP/1.1\r\nhost: evil.test\r\nx-forwarded-host: {host}\r\n"),
                421,
            ),
            (
                format!(
                    "GET {path} HTTP/1.1\r\nhost: {host}\r\nx-forwarded-host: evil.test\r\n\
                     x-forwarded-for: 10.0.0.9\r\nforwarded: host=evil.test\r\n"
                ),
                200,
            ),
        ];
        let got = rows.map(|(request, expected)| {
            let status = line.ask(&format!("{request}{key}\r\n\r\n")).0;
            (request, status, expected)
        });
        got.into_iter()
            .filter(|(_, status, expected)| status != expected)
            .collect::<Vec<_>>()
    });
    let wrong = asked.await.unwrap();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[actix_web::test]
async fn five_hundred_spellings_lead_to_no_file_but_the_pages() {
    let app = TestApp::with_day().await;
    let (host, lead_key) = (app.helper.raw().0.to_owned(), app.lead_key.clone());
    let ways_up = [
        "../",
        "..%2f",
        "..%2F",
        "%2e%2e/",
        "%2e%2e%2f",
        "%2E%2E%5C",
        "%252e%252e%252f",
        "..\\",
        "..%5c",
        "....//",
        ".../",
        "..;/",
        "%c0%ae%c0%ae/",
        "%e0%80%ae%e0%80%ae/",
        "./../",
        "/../",
        "//",
        "%2f",
        "%00/",
        ".%00./",
    ];
    let files = [
        "putby.db",
        "putby.db-wal",
        "lead-key",
        "in-use",
        "data/putby.db",
        "Cargo.toml",
        "src/main.rs",
        "etc/passwd",
        "putby.db%00.js",
    ];
    let starts = ["", "vendor/", "words/"].iter().cycle();
    let all = ways_up
        .iter()
        .flat_map(|up| [1, 2, 5].map(|deep| up.repeat(deep)))
        .flat_map(|up| files.map(|file| format!("{up}{file}")));
    let spellings = starts
        .zip(all)
        .map(|(start, path)| format!("/{start}{path}"));
    let spellings: Vec<String> = spellings.collect();
    assert!(spellings.len() >= 500, "{}", spellings.len());
    let asked = actix_web::web::block(move || {
        let mut line = Line::to(&host);
        let mut wrong = Vec::new();
        for path in spellings {
            let (status, body) = line.ask(&format!("GET {path} HTTP/1.1\r\nhost: {host}\r\n\r\n"));
            let leaks = [
                "SQLite format",
                "[package]",
                "root:",
                "sha256:",
                lead_key.as_str(),
            ];
            let leaks = leaks.iter().any(|leak| body.contains(leak));
            if ![400, 404].contains(&status) || leaks {
                wrong.push(format!("{path}: {status}"));
            }
        }
        wrong
    });
    let wrong = asked.await.unwrap();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Every route and who may take it, written down a second time: whoever changes a right changes it
/// here too. g: guest, w: watcher, h: helper, l: lead.
const RIGHTS: &str = "
    g GET /api/openapi.json
    g GET /api/me
    g POST /api/me
    w GET /api/join
    w GET /api/join.svg
    l GET /api/watch.svg
    l GET /api/doors
    l POST /api/doors
    l GET /api/devices
    l POST /api/devices
    l POST /api/devices/{device}/remove
    w GET /api/days
    l POST /api/days
    h POST /api/days/{day}/commands
    h POST /api/days/{day}/holders
    w GET /api/days/{day}/view
    w GET /api/days/{day}/live
    w GET /api/days/{day}/events
    w GET /api/days/{day}/plan-again
    w GET /api/days/{day}/outlook
    w GET /api/days/{day}/gather
    w GET /api/days/{day}/next-day.ics
    w GET /api/days/{day}/look-back
    w GET /api/days/{day}/look-back.csv
    w GET /api/days/{day}/look-back/finish
    w GET /api/days/{day}/look-back/beside
    w GET /api/days/{day}/lots
    w GET /api/days/{day}/lots/{code}.svg
    w GET /api/shelf
    w GET /api/shelf.csv
    w GET /api/shelf/uses
    h POST /api/shelf/commands
    w GET /api/learned
    l POST /api/learned
    w GET /api/kitchens
    w GET /api/foods
    w GET /api/tested
    h POST /api/prepare
    h POST /api/prepare/next-year
    l GET /api/export
    l POST /api/import
    l GET /api/copies
    l POST /api/copies
    l GET /api/copies/{name}
    g GET /health
    g GET /metrics
    g GET /{file:.*}
";

fn rank_of(letter: &str) -> Rank {
    match letter {
        "g" => Rank::Guest,
        "w" => Rank::Watcher,
        "h" => Rank::Helper,
        "l" => Rank::Lead,
        other => panic!("no rank {other:?}"),
    }
}

#[test]
fn the_table_of_rights_is_what_was_agreed() {
    let agreed: Vec<(String, Rank)> = RIGHTS
        .trim()
        .lines()
        .map(|line| line.trim().split_once(' ').unwrap())
        .map(|(letter, route)| (route.to_owned(), rank_of(letter)))
        .collect();
    let built: Vec<(String, Rank)> = putby::server::rights()
        .into_iter()
        .map(|(method, path, least)| (format!("{method} {path}"), least))
        .collect();
    assert_eq!(built, agreed);
}

#[actix_web::test]
async fn every_route_answers_each_rank_as_the_table_says() {
    let app = TestApp::with_day().await;
    let guest = Browser {
        address: app.address.clone(),
        secret: "f".repeat(48),
    };
    let all = [
        (Rank::Guest, guest),
        (Rank::Watcher, app.wall().await),
        (Rank::Helper, app.helper.clone()),
        (Rank::Lead, app.lead_browser().await),
    ];
    let before = everything(&app).await;
    let mut wrong = Vec::new();
    for (method, path, least) in putby::server::rights() {
        let path = path
            .replace("{day}", "small")
            .replace("{device}", "0011223344556677")
            .replace("{code}", "260912-K2")
            .replace("{file:.*}", "ui.js")
            .replace(
                "/tested",
                "/tested?product=pears&pack=hot&jar=quart&altitude_ft=640",
            );
        for (rank, browser) in &all {
            let request = client().request(method.clone(), format!("{}{path}", app.address));
            let request = browser.sends(request);
            // Understood as JSON and as nothing more: whoever may is told what is missing.
            let answered = match method == Method::POST {
                true => answer(request.send_json(&json!({"nothing": 1}))).await,
                false => answer(request.send()).await,
            };
            let refused = ["not-let-in", "watch-only", "lead-only"].contains(&answered.code());
            let right = match *rank >= least {
                true => {
                    !refused
                        && (answered.status < 300
                            || method == Method::POST
                            || [404, 426].contains(&answered.status))
                }
                false => refused && answered.is_clear_problem(),
            };
            if !right {
                wrong.push(format!("{rank:?} {method} {path}: {answered:?}"));
            }
        }
        if method == Method::POST {
            let request = app.helper.sends(client().post(app.url(&path)));
            let request = match least == Rank::Lead {
                true => all[3].1.sends(client().post(app.url(&path))),
                false => request,
            };
            let text = answer(request.content_type("text/plain").send_body("{}")).await;
            if text.verdict() != (415, "not-json") {
                wrong.push(format!("{path} took text: {text:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(
        everything(&app).await,
        before,
        "nothing was changed by all that"
    );
}

/// What a request could change.
async fn everything(app: &TestApp) -> (Vec<Value>, Value, Value) {
    let mut devices = app.get_as_lead("/api/devices").await.body;
    // When they were heard of goes on.
    for device in devices["devices"].as_array_mut().unwrap() {
        device["seen_at"] = Value::Null;
    }
    let doors = app.get_as_lead("/api/doors").await.body;
    (app.events().await, devices, doors)
}

#[actix_web::test]
async fn whoever_guesses_is_stopped_and_nobody_who_is_in_is_hurt() {
    let app = TestApp::with_day().await;
    let lead = app.lead_browser().await;
    for key in [
        json!({"code": "0000-0000"}),
        json!({"code": "0000-0001"}),
        json!({"lead_key": "0".repeat(32)}),
        json!({"watch": "0".repeat(32)}),
    ] {
        assert_eq!(app.come_in(&key).await.0.status, 403);
    }
    let request = client().get(app.url("/api/days")).bearer_auth("a guess");
    assert_eq!(
        answer(request.send()).await.verdict(),
        (403, "wrong-lead-key")
    );
    // The sixth is not looked at, were it the right one.
    let right = app.site.join_code().unwrap().to_string();
    for key in [
        json!({"code": "0000-0002"}),
        json!({"code": right}),
        json!({"lead_key": app.lead_key}),
    ] {
        let request = client().post(app.url("/api/me"));
        let response = request.send_json(&key).await.unwrap();
        assert_eq!(response.status(), 429);
        let wait = response.headers().get("retry-after").unwrap();
        let wait: u64 = wait.to_str().unwrap().parse().unwrap();
        assert!((1..=61).contains(&wait), "{wait}");
    }
    let (refused, _) = app.come_in(&json!({"code": right})).await;
    assert!(refused.verdict() == (429, "too-many-tries") && refused.is_clear_problem());
    // Who is in goes on, by cookie, by key and by socket.
    assert_eq!(app.order(note("hello")).await.status, 200);
    assert_eq!(app.lead_orders(note("hello")).await.status, 200);
    assert_eq!(lead.get("/api/devices").await.status, 200);
    app.follow().await;
}

#[actix_web::test]
async fn the_lead_is_told_of_wrong_codes_and_nobody_else_is() {
    let app = TestApp::with_day().await;
    let lead = app.lead_browser().await;
    let path = "/api/days/small/live";
    let (mut leads, mut helps) = (app.follow_as(&lead, path).await, app.follow().await);
    app.come_in(&json!({"code": "0000-0000"})).await;
    let told = leads.push().await;
    assert_eq!(
        (&told["push"], &told["wrong_tries"]["count"]),
        (&json!("doors"), &json!(1))
    );
    // A lead who comes later is told too.
    let mut later = app.follow_as(&lead, path).await;
    assert_eq!(later.push().await["wrong_tries"]["count"], 1);
    // The next that a helper hears is of the change after it, without a word of that.
    let changed = app
        .post_as_lead("/api/doors", &json!({"renew": "code"}))
        .await;
    assert_eq!(changed.status, 200);
    assert_eq!(helps.push().await, json!({"push": "doors"}));
}

/// Takes frames until the server closes, and gives its reason.
async fn closed(device: &mut Device) -> CloseCode {
    loop {
        match device.frame().await {
            Some(Frame::Close(reason)) => return reason.unwrap().code,
            Some(_) => {}
            None => panic!("it ended without a word"),
        }
    }
}

/// What a browser is called in the list.
async fn name_of(browser: &Browser) -> String {
    let me = browser.get("/api/me").await;
    me.body["device"].as_str().unwrap().to_owned()
}

#[actix_web::test]
async fn a_device_that_is_put_out_is_out_at_once_and_its_socket_ends() {
    let app = TestApp::with_day().await;
    let (thief, other) = (app.another_helper().await, app.helper.clone());
    let path = "/api/days/small/live";
    let mut stolen = app.follow_as(&thief, path).await;
    let mut others = app.follow_as(&other, path).await;
    let body = json!({"helper": "maren"});
    assert_eq!(
        thief.post("/api/days/small/holders", &body).await.status,
        200
    );
    let name = name_of(&thief).await;
    let list = app.get_as_lead("/api/devices").await.body;
    let line = list["devices"].as_array().unwrap().iter();
    let line = line.clone().find(|line| line["device"] == name).unwrap();
    assert_eq!(
        (&line["role"], &line["came_by"]),
        (&json!("helper"), &json!("code"))
    );
    assert_eq!(
        line["stands_for"],
        json!([{"day": "small", "helper": "maren"}])
    );

    let remove = format!("/api/devices/{name}/remove");
    assert_eq!(
        thief.post(&remove, &json!({})).await.verdict(),
        (403, "lead-only")
    );
    let left = app.post_as_lead(&remove, &json!({})).await;
    assert!(!left.body.to_string().contains(&name), "{left:?}");
    assert_eq!(closed(&mut stolen).await, CloseCode::Policy);
    // Replayed, as a cookie and as a key.
    assert_eq!(thief.get("/api/days").await.verdict(), (401, "not-let-in"));
    let request = client()
        .get(app.url("/api/days"))
        .bearer_auth(&thief.secret);
    assert_eq!(
        answer(request.send()).await.verdict(),
        (403, "wrong-lead-key")
    );
    let again = app.post_as_lead(&remove, &json!({})).await;
    assert_eq!(again.verdict(), (404, "unknown-device"));
    // The others go on.
    let noted = app.order(note("hello")).await;
    let seq = noted.body["seq"].as_u64().unwrap();
    loop {
        let push = others.push().await;
        if push["seq"] == seq {
            break;
        }
    }
}

#[actix_web::test]
async fn the_leads_last_device_is_put_out_only_when_that_is_said() {
    let app = TestApp::start().await;
    let lead = app.lead_browser().await;
    let remove = format!("/api/devices/{}/remove", name_of(&lead).await);
    let asked = lead.post(&remove, &json!({})).await;
    assert!(asked.verdict() == (409, "last-lead") && asked.is_clear_problem());
    assert_eq!(
        lead.post(&remove, &json!({"last_too": true})).await.status,
        200
    );
    assert_eq!(lead.get("/api/devices").await.status, 401);
}

#[actix_web::test]
async fn another_code_lets_newcomers_in_and_leaves_in_who_is_in() {
    let app = TestApp::start().await;
    let old = json!({"code": app.site.join_code().unwrap().to_string()});
    let now = app
        .post_as_lead("/api/doors", &json!({"renew": "code"}))
        .await;
    assert_eq!(app.come_in(&old).await.0.verdict(), (403, "wrong-code"));
    let (entered, browser) = app.come_in(&json!({"code": now.body["code"]})).await;
    assert_eq!(entered.body["role"], "helper");
    assert!(browser.is_some());
    assert_eq!(app.get("/api/days").await.status, 200);
}

#[actix_web::test]
async fn another_link_for_walls_ends_those_of_the_old_one() {
    let app = TestApp::with_day().await;
    let (wall, old) = (app.wall().await, app.site.watch_token());
    let mut shown = app.follow_as(&wall, "/api/days/small/live").await;
    let mut helps = app.follow().await;
    app.post_as_lead("/api/doors", &json!({"renew": "watch"}))
        .await;
    assert_eq!(closed(&mut shown).await, CloseCode::Policy);
    assert_eq!(wall.get("/api/days").await.status, 401);
    let (refused, _) = app.come_in(&json!({"watch": old})).await;
    assert_eq!(refused.verdict(), (403, "wrong-link"));
    assert_eq!(helps.push().await, json!({"push": "doors"}));
    assert_eq!(app.wall().await.get("/api/days").await.status, 200);
}

#[actix_web::test]
async fn walls_show_the_code_only_while_the_lead_lets_them() {
    let app = TestApp::with_day().await;
    let (wall, code) = (app.wall().await, app.site.join_code().unwrap().to_string());
    assert_eq!(wall.get("/api/join").await.body["code"], code);
    assert_eq!(wall.get("/api/join.svg").await.status, 200);
    let change = json!({"wall-shows-code": false});
    let now = app.post_as_lead("/api/doors", &change).await;
    assert_eq!(now.body["wall_shows_code"], false);
    let join = wall.get("/api/join").await.body;
    assert_eq!(
        (&join["shown"], &join["code"]),
        (&json!(false), &Value::Null)
    );
    assert_eq!(
        wall.get("/api/join.svg").await.verdict(),
        (403, "lead-only")
    );
    assert_eq!(app.get_as_lead("/api/join").await.body["code"], code);
}

#[actix_web::test]
async fn a_key_for_a_script_is_told_once_and_does_what_it_was_made_for() {
    let app = TestApp::with_day().await;
    let wish = json!({"name": "scales", "role": "helper"});
    let made = app.post_as_lead("/api/devices", &wish).await;
    assert_eq!(made.status, 201, "{made:?}");
    let token = made.body["token"].as_str().unwrap().to_owned();
    let list = app.get_as_lead("/api/devices").await.body.to_string();
    assert!(list.contains("scales") && !list.contains(&token));
    let order = async |path: &str| {
        let request = client().post(app.url(path)).bearer_auth(&token);
        let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
        answer(request.send_json(&body)).await.status
    };
    assert_eq!(order(COMMANDS).await, 200);
    assert_eq!(order("/api/import").await, 403);
    for wrong in [
        json!({"name": "", "role": "helper"}),
        json!({"name": "x".repeat(25), "role": "helper"}),
        json!({"name": "scales", "role": "lead"}),
    ] {
        let refused = app.post_as_lead("/api/devices", &wrong).await;
        assert!(
            refused.status == 400 && refused.is_clear_problem(),
            "{refused:?}"
        );
    }
}

#[actix_web::test]
async fn nothing_that_a_helper_is_sent_holds_a_secret() {
    let app = TestApp::with_day().await;
    let lead = app.lead_browser().await;
    let hide = json!({"wall-shows-code": false});
    app.post_as_lead("/api/doors", &hide).await;
    let mut device = app.follow().await;
    app.come_in(&json!({"code": "0000-0000"})).await;
    app.post_as_lead("/api/doors", &json!({"renew": "code"}))
        .await;
    app.order(note("the last")).await;
    let code = app.site.join_code().unwrap().to_string();
    let secrets = [
        code.replace('-', ""),
        code,
        app.lead_key.clone(),
        app.site.watch_token(),
        lead.secret.clone(),
        app.helper.secret.clone(),
    ];
    let clean = |what: &str, text: &str| {
        for secret in &secrets {
            assert!(!text.contains(secret), "{what} holds a secret");
        }
    };
    loop {
        let push = device.push().await.to_string();
        clean("a push", &push);
        if push.contains("the last") {
            break;
        }
    }
    for (method, path, _) in putby::server::rights() {
        if method == Method::GET && !path.ends_with("live") && !path.contains("file") {
            let path = path
                .replace("{day}", "small")
                .replace("{code}", "260912-K2");
            let request = app.helper.sends(client().get(app.url(&path)));
            let mut response = request.send().await.unwrap();
            let body = response.body().limit(64 << 20).await.unwrap();
            clean(&path, &String::from_utf8_lossy(&body));
        }
    }
}

#[actix_web::test]
async fn no_line_of_the_log_holds_a_secret() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_putby"))
        .args(["serve", "--listen", "127.0.0.1:0", "--data"])
        .arg(folder.path())
        .env("PUTBY_LOG", "debug")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let said = crate::program::greeting(&mut child);
    let after = |mark: &str| {
        let line = said.iter().find_map(|line| line.split_once(mark));
        line.unwrap().1.to_owned()
    };
    let (key, code) = (after("#/lead-key/"), after("The code for joining is "));
    let code = code[..9].to_owned();
    let address = said
        .iter()
        .find_map(|line| line.trim().strip_prefix("http://"));
    let address = format!("http://{}", address.unwrap().trim_end_matches('/'));
    let enter = async |key: Value| come_in(&address, &key).await.1;
    let canary = "canary-key-canary-key-canary-key";
    enter(json!({"code": "WRNG-C0DE"})).await;
    enter(json!({"lead_key": canary})).await;
    let helper = enter(json!({"code": code})).await.unwrap();
    let lead = enter(json!({"lead_key": key})).await.unwrap();
    helper.get(&format!("/api/days?secret={canary}")).await;
    lead.get("/api/export").await;
    lead.post("/api/doors", &json!({"renew": "watch"})).await;
    let doors = lead.get("/api/doors").await.body;
    let request = client().get(format!("{address}/api/days"));
    let _ = answer(request.bearer_auth(canary).send()).await;
    child.kill().unwrap();
    let log = child.wait_with_output().unwrap().stderr;
    let log = String::from_utf8_lossy(&log);
    assert!(!log.is_empty(), "something was logged");
    for secret in [
        &code,
        &code.replace('-', ""),
        &key,
        canary,
        "WRNGC0DE",
        &helper.secret,
        &lead.secret,
        doors["watch"].as_str().unwrap(),
    ] {
        assert!(!log.contains(secret), "the log holds {secret:?}:\n{log}");
    }
}

#[actix_web::test]
async fn a_body_is_refused_by_its_length_before_it_comes_and_never_unpacked() {
    let app = TestApp::with_day().await;
    let helper = app.helper.clone();
    let too_long = actix_web::web::block(move || {
        let (host, key) = helper.raw();
        let head = format!(
            "POST {COMMANDS} HTTP/1.1\r\nhost: {host}\r\n{key}\r\n\
             content-type: application/json\r\ncontent-length: 1073741824\r\n\r\n"
        );
        Line::to(host).try_ask(&head).map(|(status, _)| status)
    });
    assert_eq!(too_long.await.unwrap(), Some(413));
    // Spaces, packed a thousandfold.
    let mut pack = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    for _ in 0..32 {
        pack.write_all(&vec![b' '; 1 << 20]).unwrap();
    }
    let packed = pack.finish().unwrap();
    for path in [COMMANDS, "/api/me"] {
        let request = app.helper.sends(client().post(app.url(path)));
        let request = request
            .insert_header(("content-encoding", "gzip"))
            .content_type("application/json");
        let refused = answer(request.send_body(packed.clone())).await;
        assert!([400, 413].contains(&refused.status), "{refused:?}");
        assert!(refused.is_clear_problem(), "{refused:?}");
    }
}

#[actix_web::test]
async fn where_it_was_opened_to_all_every_browser_helps_and_only_the_key_leads() {
    let app = TestApp::open_to_all().await;
    app.open_small_day().await;
    let other = stranger(&app.address).await;
    assert_eq!(other.get("/api/me").await.body["role"], "helper");
    let body = json!({"id": Uuid::new_v4(), "command": note("hello")});
    assert_eq!(other.post(COMMANDS, &body).await.status, 200);
    assert_eq!(
        other.get("/api/devices").await.verdict(),
        (403, "lead-only")
    );
    let join = other.get("/api/join").await.body;
    assert_eq!(
        (&join["shown"], &join["code"]),
        (&json!(true), &Value::Null)
    );
    assert_eq!(
        app.lead_browser().await.get("/api/devices").await.status,
        200
    );
}
