//! The program itself, started and stopped.

use crate::support::LIMIT;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::Instant;

fn putby(data: &Path) -> Command {
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
fn greeting(child: &mut Child) -> Vec<String> {
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

fn terminate(child: &Child) {
    let told = Command::new("kill")
        .arg("-TERM")
        .arg(child.id().to_string())
        .status();
    assert!(told.unwrap().success());
}

/// Waits for the end, with a limit.
fn end_of(mut child: Child) -> ExitStatus {
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

#[test]
fn it_says_how_to_open_it_and_stops_when_told() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let mut child = putby(&data).spawn().unwrap();
    let said = greeting(&mut child);
    let key = std::fs::read_to_string(data.join("lead-key")).unwrap();
    let address = said
        .iter()
        .find_map(|line| line.strip_prefix("  http://127.0.0.1:"));
    assert!(address.is_some_and(|rest| rest.ends_with('/')), "{said:?}");
    assert!(
        said.iter()
            .any(|line| line.ends_with(&format!("/#/lead-key/{}", key.trim())))
    );
    assert!(said.iter().any(|line| line.contains('█')), "a code to scan");
    assert!(
        said.iter()
            .any(|line| line.contains(&data.display().to_string()))
    );
    terminate(&child);
    assert!(end_of(child).success());
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
