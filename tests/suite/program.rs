//! The program itself, started and stopped.

use crate::live::{long_plan, narrow_socket, raw_frame, raw_socket};
use crate::support::*;
use putby::day::ids::DayId;
use putby::journal::{Journal, SqliteJournal};
use serde_json::json;
use std::fs::File;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::Instant;
use uuid::Uuid;

pub fn putby(data: &Path) -> Command {
    putby_at("127.0.0.1:0", data)
}

fn putby_at(listen: &str, data: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_putby"));
    command
        .args(["serve", "--listen", listen, "--data"])
        .arg(data);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// What the program says until it is ready.
pub fn greeting(child: &mut Child) -> Vec<String> {
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut said = Vec::new();
    for line in lines.map(Result::unwrap) {
        said.push(line);
        if said.last().unwrap().starts_with("Stop with") {
            break;
        }
    }
    said
}

pub fn terminate(child: &Child) {
    let told = Command::new("kill")
        .arg("-TERM")
        .arg(child.id().to_string())
        .status();
    assert!(told.unwrap().success());
}

/// Waits for the end, with a limit.
pub fn end_of(mut child: Child) -> ExitStatus {
    let started = Instant::now();
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return status;
        }
        if started.elapsed() > LIMIT {
            child.kill().unwrap();
            panic!("it does not stop");
        }
        std::thread::yield_now();
    }
}

/// What a board has logged, once it was told to stop and has ended well.
pub fn log_of(mut child: Child) -> String {
    terminate(&child);
    let log = child.stderr.take().unwrap();
    let log = std::io::read_to_string(log).unwrap();
    assert!(end_of(child).success());
    log
}

#[test]
fn it_says_how_to_open_it_and_stops_when_told() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let mut child = putby(&data).spawn().unwrap();
    let said = greeting(&mut child);
    let address = said
        .iter()
        .find_map(|line| line.strip_prefix("  http://127.0.0.1:"));
    assert!(address.is_some_and(|rest| rest.ends_with('/')), "{said:?}");
    let lead = |said: &[String]| {
        let line = said.iter().find_map(|line| line.split_once("/#/lead-key/"));
        line.map(|(_, key)| key.to_owned())
    };
    let key = lead(&said).expect("the lead's address");
    let kept = std::fs::read_to_string(data.join("lead-key")).unwrap();
    assert!(key.len() == 32 && !kept.contains(&key), "{kept}");
    assert!(said.iter().any(|line| line.contains('█')), "a code to scan");
    assert!(
        said.iter()
            .any(|line| line.contains(&data.display().to_string()))
    );
    terminate(&child);
    assert!(end_of(child).success());

    // Told once; afterwards it is said where it was, and how to get another.
    let mut child = putby(&data).spawn().unwrap();
    let said = greeting(&mut child);
    assert_eq!(lead(&said), None, "{said:?}");
    assert!(
        said.iter().any(|line| line.contains("putby lead-key")),
        "{said:?}"
    );
    let made = Command::new(env!("CARGO_BIN_EXE_putby"))
        .args(["lead-key", "--listen", "127.0.0.1:9", "--data"])
        .arg(&data)
        .output()
        .unwrap();
    let made = String::from_utf8(made.stdout).unwrap();
    let made: Vec<String> = made.lines().map(str::to_owned).collect();
    let new = lead(&made).expect("a new key");
    assert!(new.len() == 32 && new != key, "{made:?}");
    terminate(&child);
    assert!(end_of(child).success());
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_nobody_reads_on_is_no_fault_and_one_that_finds_no_room_is_told() {
    let asked = |out: Stdio| {
        let day = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/fixtures/days/orchard-day.ndjson"
        );
        let mut command = Command::new(env!("CARGO_BIN_EXE_putby"));
        command.args(["lookback", day]).stdout(out);
        let answer = command.stderr(Stdio::piped()).output().unwrap();
        (
            answer.status.code(),
            String::from_utf8(answer.stderr).unwrap(),
        )
    };
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    assert_eq!(asked(writer.into()), (Some(0), String::new()));
    let full = File::options().write(true).open("/dev/full").unwrap();
    let (code, told) = asked(full.into());
    assert_eq!(code, Some(1), "{told}");
    assert!(
        told.starts_with("putby: cannot write the answer: No space left"),
        "{told}"
    );
}

#[cfg(target_os = "linux")]
#[test]
fn a_terminal_and_a_log_that_take_no_words_stop_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let free = TcpListener::bind("127.0.0.1:0").unwrap();
    let listen = free.local_addr().unwrap().to_string();
    drop(free);
    let full = || File::options().write(true).open("/dev/full").unwrap();
    let mut board = putby_at(&listen, folder.path());
    board.arg("--no-announce").stdout(full()).stderr(full());
    let child = board.env("PUTBY_LOG", "debug").spawn().unwrap();
    let started = Instant::now();
    let mut answer = String::new();
    while !answer.starts_with("HTTP/1.1 200") {
        assert!(started.elapsed() < LIMIT, "no answer but {answer:?}");
        std::thread::yield_now();
        if let Ok(mut socket) = TcpStream::connect(&listen) {
            let ask =
                format!("GET /health HTTP/1.1\r\nHost: {listen}\r\nConnection: close\r\n\r\n");
            answer.clear();
            // A connection that breaks off is tried again.
            let asked = socket.write_all(ask.as_bytes());
            let _ = asked.and_then(|()| socket.read_to_string(&mut answer));
        }
    }
    terminate(&child);
    assert!(end_of(child).success());
}

#[test]
fn where_every_device_is_let_in_the_terminal_says_what_that_means() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = putby(folder.path()).arg("--open").spawn().unwrap();
    let said = greeting(&mut child);
    assert!(
        said.iter().any(|line| line.contains("without a code")),
        "{said:?}"
    );
    assert!(
        !said.iter().any(|line| line.contains("#/code/")),
        "{said:?}"
    );
    terminate(&child);
    assert!(end_of(child).success());
}

#[test]
fn a_key_for_no_board_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let refused = Command::new(env!("CARGO_BIN_EXE_putby"))
        .args(["lead-key", "--data"])
        .arg(folder.path().join("nothing"))
        .output()
        .unwrap();
    assert_eq!(refused.status.code(), Some(1));
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(
        said.contains("there is no board") && said.contains("--data"),
        "{said}"
    );
}

#[test]
fn a_second_program_on_the_same_folder_is_turned_away() {
    let folder = tempfile::tempdir().unwrap();
    let mut first = putby(folder.path()).spawn().unwrap();
    greeting(&mut first);
    let second = putby(folder.path()).output().unwrap();
    assert_eq!(second.status.code(), Some(1));
    let said = String::from_utf8(second.stderr).unwrap();
    assert!(
        said.contains("another server uses") && said.contains("--data"),
        "{said}"
    );
    terminate(&first);
    assert!(end_of(first).success());
}

#[test]
fn an_address_in_use_is_said_plainly() {
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let folder = tempfile::tempdir().unwrap();
    let listen = taken.local_addr().unwrap().to_string();
    let refused = putby_at(&listen, folder.path()).output().unwrap();
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(
        said.contains(&listen) && said.contains("--listen"),
        "{said}"
    );
    assert!(!refused.status.success());
}

/// Told to stop, it answers what is in hand, says farewell, leaves the journal in one file, and is
/// not held up by screens that have stopped reading.
#[actix_web::test]
async fn a_stop_with_screens_that_do_not_read_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = putby(folder.path())
        .env("PUTBY_COMMANDS_BURST", "1000")
        .spawn()
        .unwrap();
    let said = greeting(&mut child);
    let address = base_of(&said);
    let lead = Browser {
        address: address.clone(),
        secret: lead_key_in(&said),
    };
    let open = json!({"id": Uuid::new_v4(), "day": "small", "plan": long_plan(0)});
    let request = client().post(format!("{address}/api/days"));
    let opened = request.bearer_auth(&lead.secret).send_json(&open).await;
    assert_eq!(opened.unwrap().status(), 201);
    let mut stalled = Vec::new();
    for _ in 0..5 {
        stalled.push(narrow_socket(&lead).await);
    }
    let mut acknowledged = 0;
    // More than their connections take, so that not even a farewell can be sent to them.
    for turn in 1..=250 {
        let plan = &long_plan(turn)["products"]["slices"];
        let order = json!({"order": "change-product", "product": "slices", "plan": plan});
        let body = json!({"id": Uuid::new_v4(), "command": order});
        let request = client().post(format!("{address}{COMMANDS}"));
        let answered = answer(request.bearer_auth(&lead.secret).send_json(&body)).await;
        assert_eq!(answered.status, 200, "{answered:?}");
        acknowledged = answered.body["seq"].as_u64().unwrap();
    }
    let mut reading = raw_socket(&lead);
    terminate(&child);
    let farewell = actix_web::web::block(move || {
        loop {
            match raw_frame(&mut reading) {
                Some((8, reason)) => return u16::from_be_bytes([reason[0], reason[1]]),
                Some(_) => {}
                None => panic!("it went without a farewell"),
            }
        }
    });
    assert_eq!(farewell.await.unwrap(), 1001);
    let log = child.stderr.take().unwrap();
    assert!(end_of(child).success());
    let log = std::io::read_to_string(log).unwrap();
    drop(stalled);
    let beside = std::fs::metadata(folder.path().join("putby.db-wal"));
    let beside = beside.map_or(0, |file| file.len());
    // On a computer that is very busy the last copy, and with it this, is left undone.
    assert!(
        beside == 0 || log.contains("last copy"),
        "the journal is not in one file"
    );
    let journal = SqliteJournal::open(&folder.path().join("putby.db")).unwrap();
    let day = DayId::try_from("small").unwrap();
    let kept = journal.read(&day, acknowledged - 1, 10).unwrap();
    assert_eq!(kept.len(), 1, "an acknowledged command is gone");
}

/// A board whose copies go into a pipe that nobody reads, so that none ever ends; told to stop, and
/// that it has heard it.
fn stopped_with_a_copy_in_hand(data: &Path) -> (Child, impl Iterator<Item = String>) {
    let copies = data.join("copies");
    std::fs::create_dir(&copies).unwrap();
    let made = Command::new("mkfifo")
        .arg(copies.join("next.part"))
        .status();
    assert!(made.unwrap().success());
    let mut child = putby(data).env("PUTBY_LOG", "info").spawn().unwrap();
    greeting(&mut child);
    terminate(&child);
    let log = BufReader::new(child.stderr.take().unwrap());
    let mut lines = log.lines().map(Result::unwrap);
    assert!(lines.any(|line| line.contains("stopping")));
    (child, lines)
}

fn tells_of_the_copy(mut rest: impl Iterator<Item = String>) -> bool {
    rest.any(|line| line.contains("last copy"))
}

#[test]
fn a_copy_that_does_not_end_keeps_no_board_from_stopping() {
    let folder = tempfile::tempdir().unwrap();
    let (child, rest) = stopped_with_a_copy_in_hand(folder.path());
    assert!(end_of(child).success());
    assert!(tells_of_the_copy(rest));
}

/// Told to stop twice, it waits for nothing: here for the last copy, of which it then says nothing.
#[test]
fn told_to_stop_twice_it_ends_at_once() {
    let ended_at_once = || {
        let folder = tempfile::tempdir().unwrap();
        let (child, rest) = stopped_with_a_copy_in_hand(folder.path());
        terminate(&child);
        assert!(end_of(child).success());
        !tells_of_the_copy(rest)
    };
    // On a computer that is very busy it may have ended in order before it was told again.
    assert!((0..5).any(|_| ended_at_once()));
}

/// The lead's key that a greeting tells.
pub fn lead_key_in(said: &[String]) -> String {
    let told = said.iter().find_map(|line| line.split_once("lead-key/"));
    told.unwrap().1.trim().to_owned()
}

/// The address that a greeting tells, without its last slash.
pub fn base_of(said: &[String]) -> String {
    let told = said.iter().find_map(|line| {
        let address = &line[line.find("http://127.0.0.1:")?..];
        address.split("/#").next()
    });
    told.unwrap().trim_end_matches('/').to_owned()
}

#[test]
fn a_log_that_cannot_be_written_stops_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let mut command = putby(folder.path());
    command.env("PUTBY_LOG", "trace").stderr(full);
    let mut child = command.spawn().unwrap();
    greeting(&mut child);
    terminate(&child);
    assert!(end_of(child).success());
}
