//! Everything the board keeps, carried from one server to another while both run.

use crate::support::*;
use crate::{learned, shelf};
use awc::http::Method;
use serde_json::{Value, json};
use uuid::Uuid;

async fn export(app: &TestApp) -> Vec<u8> {
    let request = client().get(app.url("/api/export"));
    let mut response = request.bearer_auth(&app.lead_key).send().await.unwrap();
    assert_eq!(response.status(), 200);
    let held = response.headers().get("content-disposition").unwrap();
    assert_eq!(held, "attachment; filename=\"putby-board.json\"");
    response.body().limit(64 << 20).await.unwrap().to_vec()
}

async fn import(app: &TestApp, bytes: Vec<u8>) -> Answer {
    let request = client().request(Method::POST, app.url("/api/import"));
    let request = request
        .bearer_auth(&app.lead_key)
        .content_type("application/json");
    answer(request.send_body(bytes)).await
}

fn without_time(bytes: &[u8]) -> Value {
    let mut value: Value = serde_json::from_slice(bytes).unwrap();
    value.as_object_mut().unwrap().remove("made_at");
    value
}

#[actix_web::test]
async fn a_board_is_carried_to_another_and_goes_on_there() {
    let from = TestApp::with_day().await;
    let tap = Uuid::new_v4();
    assert_eq!(from.order_as(tap, claim("maren", "wash")).await.status, 200);
    let file = export(&from).await;

    let to = TestApp::start().await;
    let brought = import(&to, file.clone()).await;
    assert_eq!(brought.status, 200, "{brought:?}");
    let seq = from.seq().await;
    assert_eq!(
        brought.body,
        json!({"days": [{"day": "small", "events": seq, "new": seq}]})
    );
    assert_eq!(to.view().await["view"], from.view().await["view"]);
    assert_eq!(without_time(&export(&to).await), without_time(&file));
    // The same tap under the same id is the same tap there, and another is refused.
    assert_eq!(
        to.order_as(tap, claim("maren", "wash")).await.body["seq"],
        seq
    );
    let other = to.order_as(tap, claim("osk", "wash")).await;
    assert_eq!(other.verdict(), (409, "id-conflict"));
    to.clock.advance(60_000);
    assert_eq!(to.order(leave("maren")).await.status, 200);

    // Carried back, the first board goes on where the second is, on every open screen.
    let mut device = from.follow().await;
    assert_eq!(import(&from, export(&to).await).await.status, 200);
    device.reach(to.seq().await).await;
    assert_eq!(device.view, to.view().await["view"]);
    from.clock.advance(120_000);
    assert_eq!(from.order(claim("osk", "wash")).await.status, 200);

    // Each has gone on by itself now.
    assert_eq!(to.order(claim("bo", "wash")).await.status, 200);
    assert_eq!(to.order(note("Here it went another way")).await.status, 200);
    let before = without_time(&export(&to).await);
    let refused = import(&to, export(&from).await).await;
    assert_eq!(refused.verdict(), (409, "import-conflict"));
    assert!(refused.is_clear_problem(), "{refused:?}");
    assert!(refused.body["detail"].as_str().unwrap().contains("small"));
    assert_eq!(without_time(&export(&to).await), before);
}

#[actix_web::test]
async fn only_the_lead_carries_and_nonsense_has_a_clear_answer() {
    let app = TestApp::with_day().await;
    assert_eq!(app.get("/api/export").await.verdict(), (403, "lead-only"));
    let refused = app.post("/api/import", &json!({})).await;
    assert_eq!(refused.verdict(), (403, "lead-only"));
    let whole = export(&app).await;
    for (bytes, code) in [
        (Vec::new(), "import-damaged"),
        (b"{}".to_vec(), "import-damaged"),
        (vec![0xff; 100], "import-damaged"),
        (whole[..whole.len() / 2].to_vec(), "import-damaged"),
        (br#"{"putby":"board","version":9}"#.to_vec(), "import-newer"),
    ] {
        let answer = import(&app, bytes).await;
        assert_eq!(answer.verdict(), (400, code), "{answer:?}");
        assert!(answer.is_clear_problem(), "{answer:?}");
    }
    let left = std::fs::read_dir(app.data()).unwrap();
    let parts = left.filter(|file| {
        let name = file.as_ref().unwrap().file_name();
        name.to_string_lossy().ends_with(".part")
    });
    assert_eq!(parts.count(), 0, "nothing is left behind");
}

/// The shelf and what was learned go along, and the receiving board knows of them at once.
#[actix_web::test]
async fn what_was_taken_and_corrected_is_carried_too() {
    let from = shelf::with_bags().await;
    let id = Uuid::new_v4();
    assert_eq!(shelf::give(&from, id, &shelf::take(1000)).await.status, 200);
    let said = from
        .post_as_lead("/api/learned", &learned::set(1, 1.2, 12.0))
        .await;
    assert_eq!(said.status, 200, "{said:?}");
    let file = export(&from).await;

    let to = TestApp::start().await;
    assert_eq!(shelf::left(&to).await, Value::Null);
    let brought = import(&to, file.clone()).await;
    assert_eq!(brought.status, 200, "{brought:?}");
    assert_eq!(shelf::left(&to).await, shelf::left(&from).await);
    assert_eq!(
        learned::as_lead(&to).await.body["lessons"],
        learned::as_lead(&from).await.body["lessons"]
    );
    assert_eq!(without_time(&export(&to).await), without_time(&file));
    // The same tap under the same id is the same tap there.
    assert_eq!(shelf::give(&to, id, &shelf::take(1000)).await.status, 200);
    assert_eq!(shelf::left(&to).await, shelf::left(&from).await);
}

#[actix_web::test]
async fn no_secret_is_in_the_file() {
    let app = TestApp::with_day().await;
    let text = String::from_utf8(export(&app).await).unwrap();
    assert!(!text.contains(&app.lead_key));
    let members: Vec<String> = without_time(text.as_bytes())
        .as_object()
        .unwrap()
        .keys()
        .cloned()
        .collect();
    assert_eq!(
        members,
        [
            "days",
            "end",
            "learned",
            "putby",
            "shelf",
            "shelf_commands",
            "version"
        ]
    );
}

/// The program as a command, with its exit code and all that it said.
fn putby(args: &[&str], data: &std::path::Path) -> (Option<i32>, String) {
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_putby"));
    let out = command.args(args).arg("--data").arg(data).output().unwrap();
    let said = [out.stdout, out.stderr].concat();
    (out.status.code(), String::from_utf8(said).unwrap())
}

#[actix_web::test]
async fn the_commands_carry_with_the_server_running_or_stopped_as_they_say() {
    let app = TestApp::with_day().await;
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let data = |name: &str| folder.path().join(name);
    // The server runs: what is on disk by now is written.
    let (code, said) = putby(&["export", &at("board.json")], &app.data());
    assert_eq!((code, said.as_str()), (Some(0), ""));
    let written = std::fs::read(at("board.json")).unwrap();
    assert_eq!(without_time(&written), without_time(&export(&app).await));
    let (code, said) = putby(&["export", &at("board.json")], &app.data());
    assert_eq!(code, Some(3), "nothing is written over: {said}");
    let (code, said) = putby(&["export", &at("other.json")], &data("nowhere"));
    assert_eq!(code, Some(1), "{said}");
    assert!(!data("other.json").exists() && !data("nowhere").exists());

    let (code, said) = putby(&["import", &at("board.json")], &data("new"));
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("small: ") && said.contains("new"), "{said}");
    let (code, text) = putby(&["export", "-"], &data("new"));
    assert_eq!(code, Some(0));
    assert_eq!(without_time(text.as_bytes()), without_time(&written));
    let (code, said) = putby(&["import", &at("board.json")], &data("new"));
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("here already"), "{said}");

    // A folder in use is left to the server that uses it.
    let ours = putby::server::DataFolder::claim(&data("new")).unwrap();
    let (code, said) = putby(&["import", &at("board.json")], &data("new"));
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("the lead's page"), "{said}");
    drop(ours);
    std::fs::write(at("half.json"), &written[..written.len() / 3]).unwrap();
    let (code, said) = putby(&["import", &at("half.json")], &data("new"));
    assert_eq!(code, Some(3), "{said}");
    assert!(said.contains("line "), "the place is named: {said}");
    let (code, said) = putby(&["import", &at("none.json")], &data("new"));
    assert_eq!(code, Some(2), "{said}");
}
