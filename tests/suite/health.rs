//! How the board does, for whoever keeps the computer; and what its log does not tell.

use crate::program::{base_of, greeting, lead_key_in, log_of, putby};
use crate::support::*;
use serde_json::json;
use std::process::Stdio;
use uuid::Uuid;

#[actix_web::test]
async fn health_is_told_to_everybody_and_names_nobody() {
    let app = TestApp::with_day().await;
    let health = app.get("/health").await;
    assert_eq!(health.status, 200, "{health:?}");
    assert_eq!(health.body["ok"], true);
    assert_eq!(health.body["journal_writable"], true);
    assert_eq!(health.body["days_open"], 1);
    assert!(health.body["disk_room_bytes"].as_u64() > Some(0));
    let text = health.body.to_string();
    for name in ["Maren", "maren", "Pears", "small"] {
        assert!(!text.contains(name), "{name} in {text}");
    }
}

#[actix_web::test]
async fn a_journal_that_cannot_be_written_is_said_with_what_to_do() {
    let app = TestApp::with_day().await;
    std::fs::remove_file(app.data().join("putby.db")).unwrap();
    std::fs::create_dir(app.data().join("putby.db")).unwrap();
    let health = app.get("/health").await;
    assert_eq!(health.status, 503, "{health:?}");
    assert_eq!(health.body["journal_writable"], false);
    assert!(health.body["instead"].as_str().unwrap().contains("disk"));
}

#[actix_web::test]
async fn the_measures_tell_what_was_done_and_refused_and_name_nobody() {
    let app = TestApp::with_day().await;
    for text in ["one", "two", "three"] {
        assert_eq!(app.order(note(text)).await.status, 200);
    }
    app.order(claim("maren", "attic")).await;
    app.post_text(COMMANDS, "{oh no").await;
    let _screen = app.follow().await;
    let mut answer = client().get(app.url("/metrics")).send().await.unwrap();
    assert_eq!(answer.status(), 200);
    let text = String::from_utf8(answer.body().await.unwrap().to_vec()).unwrap();
    for line in [
        // The opening of the day is one.
        "putby_commands_total{outcome=\"accepted\"} 4",
        "putby_commands_total{outcome=\"refused\"} 1",
        "putby_refusals_total{code=\"malformed\"} 1",
        "putby_refusals_total{code=\"unknown\"} 1",
        "putby_decide_seconds_count 5",
        "putby_commands_waiting 0",
        "putby_screens 1",
        "putby_days_running 1",
    ] {
        assert!(text.lines().any(|one| one == line), "{line} in {text}");
    }
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let value = line.rsplit(' ').next().unwrap();
        assert!(value.parse::<f64>().is_ok(), "{line}");
    }
    assert!(!text.contains("maren") && !text.contains("small"), "{text}");
}

/// A short hostile run with a mark in every secret and every text; the log shows none of them.
#[actix_web::test]
async fn the_log_tells_what_was_refused_and_no_secret_name_or_text() {
    for form in ["plain", "json"] {
        let folder = tempfile::tempdir().unwrap();
        let mut command = putby(folder.path());
        command.env("PUTBY_LOG", "info").env("PUTBY_LOG_FORM", form);
        let mut child = command.stderr(Stdio::piped()).spawn().unwrap();
        let said = greeting(&mut child);
        let address = base_of(&said);
        let key = lead_key_in(&said);
        hostile_run(&address, &key).await;
        let log = log_of(child);
        for code in [
            "malformed",
            "wrong-lead-key",
            "unknown-day",
            "unknown-host",
            "not-json",
        ] {
            assert!(log.contains(code), "{form}: nothing of {code} in {log}");
        }
        assert!(!log.to_lowercase().contains("canary"), "{form}: {log}");
        assert!(!log.contains(&key), "{form}: {log}");
        let lines = log.lines().filter(|line| line.contains("malformed"));
        assert_eq!(lines.count(), 1, "{form}: a line for each kind: {log}");
        if form == "json" {
            for line in log.lines() {
                let line: serde_json::Value = serde_json::from_str(line).unwrap();
                assert!(
                    line["timestamp"].is_string() && line["level"].is_string(),
                    "{line}"
                );
            }
        }
    }
}

async fn hostile_run(address: &str, key: &str) {
    let url = |path: &str| format!("{address}{path}");
    let mut plan = small_plan();
    plan["name"] = "Pears".into();
    plan["helpers"]["maren"]["name"] = "Canary Maren".into();
    let open = json!({"id": Uuid::new_v4(), "day": "small", "plan": plan});
    let opened = client()
        .post(url("/api/days"))
        .bearer_auth(key)
        .send_json(&open)
        .await;
    assert_eq!(opened.unwrap().status(), 201);
    let cookie = format!("putby-device={}; other=canary", "ca".repeat(24));
    let commands = url(COMMANDS);
    let texts = [
        json!({"id": Uuid::new_v4(), "command": note("canary\n2026 WARN canary")}).to_string(),
        "{canary".to_owned(),
        "{\"canary\": 1}".to_owned(),
        json!({"id": "canary", "command": {"order": "canary"}}).to_string(),
        json!({"id": Uuid::new_v4(), "command": claim("canary", "canary")}).to_string(),
    ];
    for text in texts {
        let strange = client()
            .post(&commands)
            .insert_header(("cookie", cookie.as_str()));
        for request in [strange, client().post(&commands).bearer_auth(key)] {
            let text = text.clone();
            let _ = answer(request.content_type("application/json").send_body(text)).await;
        }
    }
    let wrong_kind = client().post(&commands).bearer_auth(key);
    let wrong_kind = wrong_kind.content_type("text/canary");
    let _ = answer(wrong_kind.send_body("canary")).await;
    let wrong_key = client().get(url("/api/me")).bearer_auth("canary-key");
    let _ = answer(wrong_key.send()).await;
    let wrong_key = client().post(url("/api/me"));
    let _ = answer(wrong_key.send_json(&json!({"lead_key": "canary-key"}))).await;
    for path in [
        "/api/days/canary/view?token=canary",
        "/api/me?code=canary",
        "/canary?canary=1",
        "/api/days/small/live?have=canary",
        "/api/days/%0Acanary%1b%5B2J/view",
    ] {
        let _ = answer(client().get(url(path)).bearer_auth(key).send()).await;
    }
    let foreign = client()
        .get(url("/"))
        .insert_header(("host", "canary.evil.test"));
    let _ = answer(foreign.send()).await;
}
