//! The pages, their types and what they may load.

use crate::support::*;

#[actix_web::test]
async fn the_first_page_is_html_and_may_load_only_from_here() {
    let app = TestApp::start().await;
    let mut response = client().get(app.url("/")).send().await.unwrap();
    assert_eq!(response.status(), 200);
    let header = |name: &str| {
        response
            .headers()
            .get(name)
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned()
    };
    assert_eq!(header("content-type"), "text/html; charset=utf-8");
    let policy = header("content-security-policy");
    for rule in [
        "default-src 'self'",
        "frame-ancestors 'none'",
        "object-src 'none'",
    ] {
        assert!(policy.contains(rule), "{policy}");
    }
    assert!(!policy.contains("unsafe"), "{policy}");
    assert_eq!(header("x-content-type-options"), "nosniff");
    assert_eq!(header("referrer-policy"), "same-origin");
    assert_eq!(header("cache-control"), "no-cache");
    assert!(!response.body().await.unwrap().is_empty());
}

#[actix_web::test]
async fn a_page_that_has_not_changed_is_not_sent_again() {
    let app = TestApp::start().await;
    let response = client().get(app.url("/")).send().await.unwrap();
    let tag = response.headers().get("etag").unwrap().clone();
    let request = client()
        .get(app.url("/"))
        .insert_header(("if-none-match", tag.clone()));
    let mut again = request.send().await.unwrap();
    assert_eq!(again.status(), 304);
    assert!(again.body().await.unwrap().is_empty());
    let request = client()
        .get(app.url("/"))
        .insert_header(("if-none-match", "\"other\""));
    assert_eq!(request.send().await.unwrap().status(), 200);
}

#[actix_web::test]
async fn the_words_are_those_the_device_chose_or_its_browser_asks_for() {
    let app = TestApp::start().await;
    for (asked, cookie, file) in [
        ("es-MX,es;q=0.9,en;q=0.8", "", "./es.js"),
        ("fr-CA, es;q=0.5", "", "./es.js"),
        ("en-GB,es;q=0.9", "", "./en.js"),
        ("fr", "", "./en.js"),
        ("en", "putby-language=es", "./es.js"),
        ("es", "putby-language=en", "./en.js"),
        ("es", "putby-language=../../secret", "./es.js"),
    ] {
        let mut request = client()
            .get(app.url("/words/device.js"))
            .insert_header(("accept-language", asked));
        if !cookie.is_empty() {
            request = request.insert_header(("cookie", cookie));
        }
        let mut response = request.send().await.unwrap();
        assert_eq!(response.status(), 200);
        let vary = response.headers().get_all("vary");
        let vary: Vec<_> = vary.filter_map(|value| value.to_str().ok()).collect();
        assert!(vary.join(",").contains("Accept-Language"), "{vary:?}");
        let tag = response.headers().get("etag").unwrap().clone();
        let body = response.body().await.unwrap();
        let door = String::from_utf8_lossy(&body).into_owned();
        assert!(door.contains(file), "{asked} {cookie}: {door}");
        let other = if file == "./es.js" { "en" } else { "es" };
        let again = client()
            .get(app.url("/words/device.js"))
            .insert_header(("cookie", format!("putby-language={other}")))
            .insert_header(("if-none-match", tag));
        // Kept words of another language are not taken for these.
        assert_eq!(again.send().await.unwrap().status(), 200);
    }
}

/// On a kept connection a body after a 304 would be read as the next answer.
#[actix_web::test]
async fn nothing_follows_a_304_on_a_kept_connection() {
    let app = TestApp::start().await;
    let first = client().get(app.url("/ui.js")).send().await.unwrap();
    let tag = first
        .headers()
        .get("etag")
        .unwrap()
        .to_str()
        .unwrap()
        .to_owned();
    let host = app.url("").trim_start_matches("http://").to_owned();
    let host = host.trim_end_matches('/').to_owned();
    let told = actix_web::web::block(move || {
        use std::io::{Read, Write};
        let mut line = std::net::TcpStream::connect(&host).unwrap();
        let ask = format!("GET /ui.js HTTP/1.1\r\nHost: {host}\r\nAccept-Encoding: gzip\r\n");
        write!(
            line,
            "{ask}If-None-Match: {tag}\r\n\r\n{ask}Connection: close\r\n\r\n"
        )
        .unwrap();
        let mut told = Vec::new();
        line.read_to_end(&mut told).unwrap();
        told
    });
    let told = told.await.unwrap();
    let told = String::from_utf8_lossy(&told);
    let (head, rest) = told.split_once("\r\n\r\n").unwrap();
    assert!(head.starts_with("HTTP/1.1 304"), "{head}");
    assert!(rest.starts_with("HTTP/1.1 200"), "{:.40}", rest);
}

#[actix_web::test]
async fn scripts_and_styles_have_their_types() {
    let app = TestApp::start().await;
    let rows = [
        ("/ui.js", "text/javascript; charset=utf-8"),
        ("/vendor/uplot.css", "text/css; charset=utf-8"),
    ];
    for (path, kind) in rows {
        let answer = app.get(path).await;
        assert_eq!((answer.status, answer.kind.as_str()), (200, kind), "{path}");
    }
}

#[actix_web::test]
async fn long_answers_are_compressed_for_those_who_can_read_it() {
    let app = TestApp::with_day().await;
    let request = client().get(app.url("/api/days/small/view"));
    let request = app
        .helper
        .sends(request)
        .insert_header(("accept-encoding", "gzip"))
        .no_decompress();
    let response = request.send().await.unwrap();
    assert_eq!(response.headers().get("content-encoding").unwrap(), "gzip");
}

#[actix_web::test]
async fn only_pages_can_be_asked_for_however_the_path_is_written() {
    let app = TestApp::with_day().await;
    let key = app.lead_key.clone();
    let paths = [
        "/../Cargo.toml",
        "/%2e%2e/Cargo.toml",
        "/..%2fCargo.toml",
        "/%252e%252e/Cargo.toml",
        "/..\\Cargo.toml",
        "/..%5cCargo.toml",
        "//etc/passwd",
        "/%2fetc/passwd",
        "/vendor/../../Cargo.toml",
        "/vendor/..%2f..%2fCargo.toml",
        "/index.html%00.js",
        "/%c0%ae%c0%ae/Cargo.toml",
        "/.git/config",
        "/putby.db",
        "/lead-key",
        "/data/lead-key",
    ];
    for path in paths {
        let (address, path) = (app.address.clone(), path.to_owned());
        let said = actix_web::web::block(move || raw_get(&address, &path))
            .await
            .unwrap();
        let status = said.split(' ').nth(1).unwrap_or_default().to_owned();
        assert!(["400", "404"].contains(&status.as_str()), "{said}");
        assert!(
            !said.contains(&key) && !said.contains("[package]"),
            "{said}"
        );
    }
}

/// A request for a path that no client would send as it stands.
fn raw_get(address: &str, path: &str) -> String {
    use std::io::{Read, Write};
    let host = address.trim_start_matches("http://");
    let mut socket = std::net::TcpStream::connect(host).unwrap();
    socket.set_read_timeout(Some(LIMIT)).unwrap();
    write!(
        socket,
        "GET {path} HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n\r\n"
    )
    .unwrap();
    let mut said = Vec::new();
    socket.read_to_end(&mut said).unwrap();
    String::from_utf8_lossy(&said).into_owned()
}

#[actix_web::test]
async fn the_join_code_and_addresses_can_be_fetched() {
    let app = TestApp::start().await;
    let join = app.get("/api/join").await;
    assert_eq!(join.body["addresses"][0], format!("{}/", app.address));
    let code = app.get("/api/join.svg").await;
    assert_eq!((code.status, code.kind.as_str()), (200, "image/svg+xml"));
    let of_day = app.get("/api/join.svg?day=plums-2026").await;
    assert_eq!(of_day.kind, "image/svg+xml");
    let wrong = app.get("/api/join.svg?day=No%20day").await;
    assert_eq!(wrong.verdict(), (400, "malformed"));
    let me = app.get("/api/me").await;
    assert_eq!(me.body["address"], format!("{}/", app.address));
}

#[actix_web::test]
async fn every_ready_kitchen_opens_a_day() {
    let app = TestApp::start().await;
    let kitchens = app.get("/api/kitchens").await;
    assert_eq!(kitchens.status, 200);
    for (name, kitchen) in kitchens.body.as_object().unwrap() {
        assert!(
            kitchen["name"].is_string() && kitchen["about"].is_string(),
            "{name}"
        );
        let plan = kitchen["plan"].clone();
        let body = serde_json::json!({"id": uuid::Uuid::new_v4(), "day": name, "plan": plan});
        let opened = app.post_as_lead("/api/days", &body).await;
        assert_eq!(opened.status, 201, "{name}: {opened:?}");
    }
}

#[actix_web::test]
async fn answers_of_the_day_are_never_kept_by_a_cache() {
    let app = TestApp::with_day().await;
    for path in [
        "/api/days",
        "/api/days/small/view",
        "/api/me",
        "/api/nothing",
    ] {
        let request = app.helper.sends(client().get(app.url(path)));
        let response = request.send().await.unwrap();
        assert_eq!(
            response.headers().get("cache-control").unwrap(),
            "no-store",
            "{path}"
        );
    }
}
