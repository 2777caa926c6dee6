//! The simulated family on a real server: its devices go on after the server was killed.

use putby::day::ids::DayId;
use putby::day::{Record, State, apply};
use putby::demo::{Stage, cast, day, open_day_id};
use serde_json::Value;
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// How long anything is waited for.
const LIMIT: Duration = Duration::from_secs(120);

/// A server of its own, killed when it is dropped.
struct Server {
    child: Child,
    address: String,
    /// What it said of the lead's key; it says it once.
    lead_key: Option<String>,
}

impl Server {
    fn start(folder: &Path, listen: &str) -> Server {
        let mut child = Command::new(env!("CARGO_BIN_EXE_putby"))
            .args(["serve", "--speed", "600", "--listen", listen, "--data"])
            .arg(folder)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let said: Vec<String> = lines
            .by_ref()
            .map(|line| line.unwrap().trim().to_owned())
            .take_while(|line| !line.starts_with("Stop with"))
            .collect();
        let named = said.iter().find(|line| line.starts_with("http://"));
        let lead_key = said.iter().find_map(|line| line.split_once("#/lead-key/"));
        let lead_key = lead_key.map(|(_, key)| key.to_owned());
        // The rest is read on, so that the server never waits for a full pipe.
        std::thread::spawn(move || lines.for_each(drop));
        let address = named.expect("the server says how to open it").clone();
        Server {
            child,
            address,
            lead_key,
        }
    }

    fn listen(&self) -> String {
        let rest = self.address.trim_start_matches("http://");
        rest.trim_end_matches('/').to_owned()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

async fn get(address: &str, lead_key: &str) -> Option<Vec<u8>> {
    let request = awc::Client::default().get(address).bearer_auth(lead_key);
    let mut answer = request.send().await.ok()?;
    Some(answer.body().limit(64 << 20).await.ok()?.to_vec())
}

/// Waits until the day has come to this sequence number.
async fn reaches(server: &Server, lead_key: &str, day: &DayId, seq: u64) -> u64 {
    let began = Instant::now();
    let address = format!("{}api/days/{day}/view", server.address);
    loop {
        let body = get(&address, lead_key).await.unwrap_or_default();
        let view: Value = serde_json::from_slice(&body).unwrap_or_default();
        let now = view["seq"].as_u64().unwrap_or(0);
        if now >= seq {
            return now;
        }
        assert!(
            began.elapsed() < LIMIT,
            "the day stopped at {now}, before {seq}"
        );
        actix_web::rt::time::sleep(Duration::from_millis(20)).await;
    }
}

async fn records(server: &Server, lead_key: &str, day: &DayId) -> Vec<Record> {
    let address = format!("{}api/days/{day}/events?from=1", server.address);
    let body = get(&address, lead_key).await.unwrap();
    let text = String::from_utf8(body).unwrap();
    let read = |line: &str| serde_json::from_str(line).unwrap();
    text.lines().map(read).collect()
}

#[actix_web::test]
async fn the_family_goes_on_when_the_server_was_killed_and_came_back() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(folder.path(), "127.0.0.1:0");
    let lead_key = server.lead_key.clone().unwrap();
    let cast = cast();
    let opened = open_day_id(&server.address, &lead_key, day(), cast.cut_off_min).await;
    let day = opened.unwrap();
    let stage = Stage {
        address: server.address.clone(),
        lead_key: lead_key.clone(),
        day: day.clone(),
        cast,
        seed: 1,
    };
    let devices = stage.start();
    assert!(devices.len() >= 8);

    let mut server = server;
    for _ in 0..3 {
        let seq = reaches(&server, &lead_key, &day, 1).await;
        reaches(&server, &lead_key, &day, seq + 30).await;
        let listen = server.listen();
        drop(server);
        server = Server::start(folder.path(), &listen);
    }
    let seq = reaches(&server, &lead_key, &day, 1).await;
    reaches(&server, &lead_key, &day, seq + 30).await;

    let records = records(&server, &lead_key, &day).await;
    let mut state = State::default();
    let mut commands = BTreeSet::new();
    let mut last = None;
    for (index, record) in records.iter().enumerate() {
        assert_eq!(record.seq, index as u64 + 1);
        // The events of a command stand together: none was done a second time later on.
        if last != Some(record.command) {
            assert!(commands.insert(record.command), "{record:?} came twice");
            last = Some(record.command);
        }
        apply(&mut state, record.at, record.command, &record.event);
    }
    assert_eq!(state.check(), Ok(()));
    devices.iter().for_each(|device| device.abort());
}

#[actix_web::test]
async fn a_day_that_is_open_is_found_again_and_not_opened_twice() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(folder.path(), "127.0.0.1:0");
    let lead_key = server.lead_key.clone().unwrap();
    let first = open_day_id(&server.address, &lead_key, day(), 460).await;
    let second = open_day_id(&server.address, &lead_key, day(), 460).await;
    assert_eq!(first.unwrap(), second.unwrap());
}

#[actix_web::test]
async fn without_the_leads_key_no_day_is_opened() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(folder.path(), "127.0.0.1:0");
    let refused = open_day_id(&server.address, "0000", day(), 460).await;
    assert!(refused.is_err());
}
