//! Copies of the journal: checked, made while the board runs, put back, and what devices learn of it.

use crate::shelf;
use crate::support::*;
use putby::config::Heartbeat;
use putby::copies::check;
use putby::server::DataFolder;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;
use uuid::Uuid;

/// The program as a command, with its exit code and all that it said.
fn putby(args: &[&str], data: &Path) -> (Option<i32>, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_putby"));
    let out = command.args(args).arg("--data").arg(data).output().unwrap();
    let said = [out.stdout, out.stderr].concat();
    (out.status.code(), String::from_utf8(said).unwrap())
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn files_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Changes a stored event, as a failing disk would.
fn spoil(store: &Path, seq: u64) {
    let open = rusqlite::Connection::open(store).unwrap();
    let sql = format!(
        "UPDATE events SET body = replace(body, '\"', '\" ') WHERE day = 'small' AND seq = {seq}"
    );
    assert_eq!(open.execute(&sql, []).unwrap(), 1);
}

#[actix_web::test]
async fn a_copy_is_made_while_the_board_runs_and_when_it_is_stopped() {
    let app = shelf::with_bags().await;
    let folder = TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name);
    let file = at("board.db");
    let seq = app.seq().await;
    let (code, said) = putby(&["backup", text(&file)], &app.data());
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains(&format!("small: {seq} events, sound")),
        "{said}"
    );
    assert!(said.contains("the shelf: 0 events, sound"), "{said}");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = file.metadata().unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "for its owner alone");
    }
    assert_eq!(files_in(folder.path()), ["board.db"]);
    let before = std::fs::read(&file).unwrap();
    let (code, said) = putby(&["backup", text(&file)], &app.data());
    assert_eq!(code, Some(3), "nothing is written over unasked: {said}");
    assert!(said.contains("--replace"), "{said}");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    app.order(note("one more")).await;
    let (code, said) = putby(&["backup", "--replace", text(&file)], &app.data());
    assert_eq!(code, Some(0), "{said}");
    assert_eq!(check(&file).unwrap().days[0].events, seq + 1);

    let data = app.data();
    let (kept, _clock) = app.stop().await;
    let (code, said) = putby(&["backup", text(&at("second.db"))], &data);
    assert_eq!(code, Some(0), "{said}");
    assert_eq!(check(&at("second.db")).unwrap(), check(&file).unwrap());
    let (code, said) = putby(&["backup", text(&at("third.db"))], &at("nowhere"));
    assert_eq!(code, Some(1), "{said}");
    // A damaged journal is not passed off as a copy.
    spoil(&data.join("putby.db"), 4);
    let (code, said) = putby(&["backup", text(&at("third.db"))], &data);
    assert_eq!(code, Some(3), "{said}");
    assert!(said.contains("event 4"), "{said}");
    assert_eq!(files_in(folder.path()), ["board.db", "second.db"]);
    drop(kept);
}

#[actix_web::test]
async fn the_check_says_what_is_sound_by_words_by_json_and_by_its_exit_code() {
    let app = TestApp::with_day().await;
    app.order(note("one")).await;
    let (code, said) = putby(&["check"], &app.data());
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains("small: ") && said.contains("All of it is sound."),
        "{said}"
    );
    let seq = app.seq().await;
    let data = app.data();
    let (_kept, _clock) = app.stop().await;
    spoil(&data.join("putby.db"), seq);
    let before = std::fs::read(data.join("putby.db")).unwrap();
    let (code, said) = putby(&["check"], &data);
    assert_eq!(code, Some(3), "{said}");
    assert!(said.contains(&format!("DAMAGED at event {seq}")), "{said}");
    assert!(
        said.contains(&format!("{} events before it are sound", seq - 1)),
        "{said}"
    );
    let (code, said) = putby(&["check", "--json"], &data);
    let found: Value = serde_json::from_str(&said).unwrap();
    assert_eq!((code, &found["sound"]), (Some(3), &json!(false)));
    assert_eq!(found["days"][0]["fault"]["seq"], seq);
    assert_eq!(std::fs::read(data.join("putby.db")).unwrap(), before);
    let (code, said) = putby(&["check", text(&data.join("none.db"))], &data);
    assert_eq!(code, Some(1), "{said}");
    std::fs::write(
        data.join("list.db"),
        "a shopping list, long enough to be looked at",
    )
    .unwrap();
    let (code, said) = putby(&["check", text(&data.join("list.db"))], &data);
    assert_eq!(code, Some(3), "{said}");
}

#[actix_web::test]
async fn a_copy_is_put_back_and_devices_learn_that_it_is_another_journal() {
    let app = TestApp::with_day().await;
    app.order(note("before")).await;
    let (copied, outside) = (app.seq().await, TempDir::new().unwrap());
    let copy = outside.path().join("copy.db");
    assert_eq!(putby(&["backup", text(&copy)], &app.data()).0, Some(0));
    let (late, lost) = (Uuid::new_v4(), note("after"));
    let accepted = app.order_as(late, lost.clone()).await;
    assert_eq!(accepted.body["seq"], copied + 1);
    let first = app.view().await["journal"].clone();
    assert_eq!(first, app.follow().await.journal);
    assert!(first.as_str().is_some_and(|id| id.len() == 8), "{first}");
    let app = app.restart().await;
    assert_eq!(
        app.view().await["journal"],
        first,
        "a restart changes nothing"
    );

    let data = app.data();
    let (folder, clock) = app.stop().await;
    // While somebody is at work on the folder nothing is put back.
    let ours = DataFolder::claim(&data).unwrap();
    let (code, said) = putby(&["restore", text(&copy)], &data);
    assert_eq!(code, Some(1), "{said}");
    assert!(said.contains("nothing was changed"), "{said}");
    drop(ours);
    let (code, said) = putby(&["restore", text(&copy)], &data);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("the copy lacks 1 events of small"), "{said}");
    let aside = files_in(&data.join("aside"));
    assert_eq!(aside.len(), 1, "{aside:?}");
    let kept = check(&data.join("aside").join(&aside[0])).unwrap();
    assert_eq!((kept.sound, kept.days[0].events), (true, copied + 1));

    let app = TestApp::start_in(folder, clock, Heartbeat::USUAL).await;
    let device = app.follow().await;
    assert_eq!(device.seq, copied);
    assert_ne!(device.journal, first);
    // The same tap, sent again because of that, happens once more and once only.
    for _ in 0..2 {
        let again = app.order_as(late, lost.clone()).await;
        assert_eq!(
            (again.status, &again.body["seq"]),
            (200, &json!(copied + 1))
        );
    }
}

#[actix_web::test]
async fn only_a_sound_copy_is_put_back_and_the_newest_such_is_found() {
    let app = TestApp::with_day().await;
    let mut seqs = Vec::new();
    for n in 0..3 {
        app.order(note(&format!("note {n}"))).await;
        app.clock.advance(60_000);
        seqs.push(app.seq().await);
        assert_eq!(
            app.post_as_lead("/api/copies", &json!({})).await.status,
            200
        );
    }
    let data = app.data();
    let (_kept, _clock) = app.stop().await;
    let copies = data.join("copies");
    let names = files_in(&copies);
    assert_eq!(names.len(), 3, "{names:?}");
    spoil(&copies.join(&names[2]), 3);
    let before = std::fs::read(data.join("putby.db")).unwrap();
    let (code, said) = putby(&["restore", text(&copies.join(&names[2]))], &data);
    assert_eq!(code, Some(3), "{said}");
    assert!(said.contains("event 3"), "{said}");
    let (code, said) = putby(&["restore", text(&data.join("lead-key"))], &data);
    assert_eq!(code, Some(1), "{said}");
    assert_eq!(std::fs::read(data.join("putby.db")).unwrap(), before);
    assert!(!data.join("aside").exists());
    let (code, said) = putby(&["restore", "--newest"], &data);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains(&names[1]), "the newest that is sound: {said}");
    assert_eq!(
        check(&data.join("putby.db")).unwrap().days[0].events,
        seqs[1]
    );
    let (code, said) = putby(&["restore"], &data);
    assert_eq!(code, Some(2), "{said}");
    let (code, said) = putby(&["restore", "--newest"], &data.join("empty"));
    assert_eq!(code, Some(3), "{said}");
}

#[actix_web::test]
async fn a_damaged_journal_with_its_log_is_kept_aside_whole() {
    let app = TestApp::with_day().await;
    assert_eq!(
        app.post_as_lead("/api/copies", &json!({})).await.status,
        200
    );
    let data = app.data();
    let copy = data.join("copies").join(&files_in(&data.join("copies"))[0]);
    let (_kept, _clock) = app.stop().await;
    let store = data.join("putby.db");
    std::fs::write(&store, "nothing of a journal is left, only these words").unwrap();
    std::fs::write(data.join("putby.db-wal"), "nor of its log").unwrap();
    let (code, said) = putby(&["restore", text(&copy)], &data);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("nobody can say"), "{said}");
    assert!(check(&store).unwrap().sound);
    assert!(!data.join("putby.db-wal").exists());
    let aside = files_in(&data.join("aside"));
    assert_eq!(aside.len(), 2, "{aside:?}");
    let log = std::fs::read_to_string(data.join("aside").join(&aside[1])).unwrap();
    assert_eq!(log, "nor of its log");
}

/// Kills a copy in the making, later each time; what is there is the old or the new.
fn kills(data: &Path, rounds: u32) -> (u32, u32) {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("copy.db");
    let copy = || -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_putby"));
        command
            .args(["backup", "--replace", text(&file), "--data"])
            .arg(data);
        command.stdout(Stdio::null()).stderr(Stdio::null());
        command
    };
    let began = std::time::Instant::now();
    assert!(copy().status().unwrap().success());
    let whole_time = began.elapsed();
    let old = std::fs::read(&file).unwrap();
    let (mut killed, mut done) = (0, 0);
    for round in 0..rounds {
        let mut child = copy().spawn().unwrap();
        std::thread::sleep(whole_time * round / rounds);
        child.kill().unwrap();
        match child.wait().unwrap().success() {
            true => done += 1,
            false => killed += 1,
        }
        let found = check(&file).unwrap();
        assert!(found.sound, "round {round}: {found:?}");
        // The journal did not change, so the old and the new are the same.
        assert_eq!(std::fs::read(&file).unwrap(), old, "round {round}");
    }
    assert!(
        copy().status().unwrap().success(),
        "what was left does not hinder"
    );
    assert_eq!(files_in(folder.path()), ["copy.db"]);
    (killed, done)
}

#[actix_web::test]
async fn a_kill_while_a_copy_is_made_leaves_the_old_or_the_new() {
    let app = shelf::with_bags().await;
    kills(&app.data(), 8);
}

#[actix_web::test]
#[ignore = "the long form, by hand"]
async fn a_hundred_kills_while_a_copy_is_made() {
    let app = shelf::with_bags().await;
    let (killed, done) = kills(&app.data(), 100);
    println!("{killed} killed, {done} done before; every time the old or the new was there");
}

#[actix_web::test]
async fn the_lead_sees_the_copies_makes_one_and_takes_it_away() {
    let app = TestApp::with_day().await;
    for refused in [
        app.get("/api/copies").await,
        app.post("/api/copies", &json!({})).await,
        app.get("/api/copies/board-20260912T090000Z.db").await,
    ] {
        assert_eq!(refused.verdict(), (403, "lead-only"));
        assert!(refused.is_clear_problem(), "{refused:?}");
    }
    let list = app.get_as_lead("/api/copies").await;
    assert_eq!((list.status, &list.body["copies"]), (200, &json!([])));
    let made = app.post_as_lead("/api/copies", &json!({})).await;
    assert_eq!(
        (made.status, &made.body["state"]),
        (200, &json!("sound")),
        "{made:?}"
    );
    let name = made.body["name"].as_str().unwrap();
    let list = app.get_as_lead("/api/copies").await.body;
    assert_eq!(list["copies"], json!([made.body]));
    assert_eq!(
        (&list["trouble"], &list["damage"]),
        (&Value::Null, &Value::Null)
    );

    let path = format!("/api/copies/{name}");
    let request = client().get(app.url(&path)).bearer_auth(&app.lead_key);
    let mut answer = request.send().await.unwrap();
    let named = answer
        .headers()
        .get("content-disposition")
        .unwrap()
        .to_str()
        .unwrap();
    assert!(named.contains(name), "{named}");
    let bytes = answer.body().limit(64 << 20).await.unwrap();
    assert_eq!(
        bytes,
        std::fs::read(app.data().join("copies").join(name)).unwrap()
    );
    for outside in [
        "/api/copies/none.db",
        "/api/copies/putby.db",
        "/api/copies/..%2fputby.db",
        "/api/copies/..%2flead-key",
        "/api/copies/board-20010101T000000Z.db",
    ] {
        let answer = app.get_as_lead(outside).await;
        assert_eq!(answer.status, 404, "{outside}");
    }
}

#[actix_web::test]
async fn a_damaged_day_is_shown_as_far_as_it_is_sound_and_hinders_no_other() {
    let app = TestApp::with_day().await;
    for n in 0..4 {
        app.order(note(&format!("note {n}"))).await;
    }
    let body = json!({"id": Uuid::new_v4(), "day": "other", "plan": small_plan()});
    assert_eq!(app.post_as_lead("/api/days", &body).await.status, 201);
    let (seq, data) = (app.seq().await, app.data());
    let (folder, clock) = app.stop().await;
    spoil(&data.join("putby.db"), seq - 1);

    let app = TestApp::start_in(folder, clock, Heartbeat::USUAL).await;
    let shown = app.view().await;
    assert_eq!(shown["seq"], seq - 2);
    assert_eq!(shown["view"]["damage"]["after"], seq - 2);
    let why = shown["view"]["damage"]["why"].as_str().unwrap();
    assert!(why.contains(&format!("event {}", seq - 1)), "{why}");
    assert_eq!(app.follow().await.view, shown["view"], "on every device");
    let refused = app.order(note("too late")).await;
    assert_eq!(refused.verdict(), (500, "journal-damaged"));
    assert!(refused.is_clear_problem(), "{refused:?}");
    assert_eq!(app.view().await, shown, "nothing is written to it");

    let days = app.get("/api/days").await.body["days"].clone();
    assert!(
        days["small"].is_object() && days["other"].is_object(),
        "{days}"
    );
    let command = json!({"id": Uuid::new_v4(), "command": note("all is well")});
    let other = app.post("/api/days/other/commands", &command).await;
    assert_eq!(other.status, 200, "{other:?}");
    let view = app.get("/api/days/other/view").await.body["view"].clone();
    assert_eq!(view["damage"], Value::Null);
}

/// The program, started on a folder and told to stop once it holds so many copies, since a stop waits
/// for none for long; waits for its end.
fn start_and_stop(data: &Path, copies: usize) {
    use std::io::{BufRead, BufReader};
    let mut child = Command::new(env!("CARGO_BIN_EXE_putby"))
        .args([
            "serve",
            "--no-announce",
            "--listen",
            "127.0.0.1:0",
            "--data",
        ])
        .arg(data)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let ready = lines
        .map(Result::unwrap)
        .any(|line| line.starts_with("Stop with"));
    assert!(ready, "it starts");
    let made = || std::fs::read_dir(data.join("copies")).map_or(0, Iterator::count);
    while made() < copies || data.join("copies/next.part").exists() {
        std::thread::yield_now();
    }
    let told = Command::new("kill").arg(child.id().to_string()).status();
    assert!(told.unwrap().success());
    assert!(child.wait().unwrap().success());
}

#[actix_web::test]
async fn a_board_makes_copies_by_itself_and_before_it_changes_an_older_one() {
    let dir = TempDir::new().unwrap();
    let data = dir.path().join("data");
    std::fs::create_dir(&data).unwrap();
    let golden: PathBuf = [env!("CARGO_MANIFEST_DIR"), "fixtures/journals/form-1.db"]
        .iter()
        .collect();
    std::fs::copy(&golden, data.join("putby.db")).unwrap();
    start_and_stop(&data, 2);
    let names = files_in(&data.join("copies"));
    let made: Vec<&String> = names
        .iter()
        .filter(|name| name.starts_with("board-"))
        .collect();
    assert_eq!((made.len(), names.len()), (1, 2), "{names:?}");
    let before = names
        .iter()
        .find(|name| name.starts_with("before-form-"))
        .unwrap();
    let older = check(&data.join("copies").join(before)).unwrap();
    assert_eq!((older.form, older.sound), (1, true));
    let now = check(&data.join("copies").join(made[0])).unwrap();
    assert!(now.sound && now.form > 1);
    assert_eq!(now.days, older.days);
    // Nothing was tapped meanwhile: no other is made.
    start_and_stop(&data, 2);
    assert_eq!(files_in(&data.join("copies")), names);
}
