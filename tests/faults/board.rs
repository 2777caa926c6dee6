//! The real program as a child process that can be killed.

use crate::until;
use awc::Client;
use putby::day::Record;
use putby::day::ids::DayId;
use rustix::process::Pid;
use serde_json::{Value, json};
use std::ffi::OsString;
use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::Duration;
use tempfile::TempDir;
use uuid::Uuid;

/// How the program is to be run.
#[derive(Clone)]
pub struct Wanted {
    pub speed: u32,
    /// What the program finds in its environment, beside ours.
    pub env: Vec<(String, String)>,
    /// Where its data are; a folder of its own when there is none.
    pub data: Option<PathBuf>,
    /// A program that runs ours, with its arguments.
    pub under: Vec<String>,
}

impl Default for Wanted {
    fn default() -> Wanted {
        Wanted {
            speed: 1,
            env: Vec::new(),
            data: None,
            under: Vec::new(),
        }
    }
}

/// A test does in seconds, and as one device, what a family does in a day.
const WIDE: [(&str, &str); 7] = [
    ("PUTBY_CONNECTIONS_PER_ADDRESS", "1000"),
    ("PUTBY_COMMANDS_PER_S", "100000"),
    ("PUTBY_COMMANDS_BURST", "100000"),
    ("PUTBY_COMMANDS_WAITING", "1000"),
    ("PUTBY_REQUESTS_PER_S", "100000"),
    ("PUTBY_REQUESTS_BURST", "100000"),
    ("PUTBY_HANDSHAKES_PER_S", "100000"),
];

pub struct Board {
    folder: TempDir,
    port: u16,
    wanted: Wanted,
    child: Child,
    /// Ends in a slash.
    pub address: String,
    pub lead_key: String,
}

impl Board {
    pub fn start(speed: u32) -> Board {
        Board::start_as(Wanted {
            speed,
            ..Wanted::default()
        })
    }

    pub fn start_as(wanted: Wanted) -> Board {
        let folder = TempDir::new().unwrap();
        // The same port again after a kill, so that devices find the board where it was.
        let port = TcpListener::bind("127.0.0.1:0")
            .unwrap()
            .local_addr()
            .unwrap()
            .port();
        let data = wanted.data.clone();
        let data = data.unwrap_or_else(|| folder.path().to_owned());
        let (child, lead_key) = start(&data, port, &wanted);
        let lead_key = lead_key.expect("a first start shows the lead's key");
        Board {
            folder,
            port,
            wanted,
            child,
            address: format!("http://127.0.0.1:{port}/"),
            lead_key,
        }
    }

    /// `kill -9`, then the same command again on the same folder.
    pub fn kill_and_start_again(&mut self) {
        self.kill();
        self.start_again();
    }

    pub fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    pub fn start_again(&mut self) {
        let data = self.folder().to_owned();
        (self.child, _) = start(&data, self.port, &self.wanted);
    }

    /// From now on run in another way, at the next start.
    pub fn run_as(&mut self, wanted: Wanted) {
        self.wanted = wanted;
    }

    pub fn folder(&self) -> &Path {
        self.wanted.data.as_deref().unwrap_or(self.folder.path())
    }

    /// The program's process, or that of what runs it.
    pub fn process(&self) -> Pid {
        Pid::from_child(&self.child)
    }

    /// How the program ended, if it has.
    pub fn has_ended(&mut self) -> Option<ExitStatus> {
        self.child.try_wait().unwrap()
    }

    /// What the program said to its end, once it has come to it.
    pub fn ended(&mut self) -> ExitStatus {
        self.child.wait().unwrap()
    }

    /// An order by the lead: the status and the answer.
    pub async fn order(&self, day: &DayId, command: Value) -> (u16, Value) {
        let body = json!({"id": Uuid::new_v4(), "command": command});
        let request = Client::default()
            .post(format!("{}api/days/{day}/commands", self.address))
            .insert_header(("Authorization", format!("Bearer {}", self.lead_key)));
        let mut answer = request.send_json(&body).await.unwrap();
        (answer.status().as_u16(), answer.json().await.unwrap())
    }

    /// What stands at a path, as the lead reads it.
    pub async fn get(&self, path: &str) -> Vec<u8> {
        let address = format!("{}{path}", self.address);
        let mut answer = Client::default()
            .get(&address)
            .bearer_auth(&self.lead_key)
            .timeout(Duration::from_secs(20))
            .send()
            .await
            .unwrap();
        let status = answer.status();
        assert!(status.is_success(), "{address}: {status}");
        answer.body().limit(64 << 20).await.unwrap().to_vec()
    }

    /// The view with the server's time, at once.
    pub async fn look(&self, day: &DayId) -> Value {
        let answer = self.get(&format!("api/days/{day}/view")).await;
        serde_json::from_slice(&answer).unwrap()
    }

    /// The view and its number once they satisfy a condition.
    pub async fn wait_for(
        &self,
        day: &DayId,
        patience: Duration,
        enough: impl Fn(&Value, u64) -> bool,
    ) -> (Value, u64) {
        let mut last = (Value::Null, 0);
        until(patience, "the day to go on", async || {
            let answer = self.get(&format!("api/days/{day}/view")).await;
            let whole: Value = serde_json::from_slice(&answer).unwrap();
            let seq = whole["seq"].as_u64().unwrap();
            last = (whole["view"].clone(), seq);
            enough(&last.0, last.1)
        })
        .await;
        last
    }

    /// Every event of the day.
    pub async fn records(&self, day: &DayId) -> Vec<Record> {
        self.records_from(day, 1).await
    }

    /// Every event from a number on.
    pub async fn records_from(&self, day: &DayId, from: u64) -> Vec<Record> {
        let answer = self
            .get(&format!("api/days/{day}/events?from={from}"))
            .await;
        let lines = String::from_utf8(answer).unwrap();
        lines
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect()
    }
}

impl Drop for Board {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to kill.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The program that is tried: the one built with the tests, or another build of it.
pub fn program() -> OsString {
    std::env::var_os("PUTBY_PROGRAM").unwrap_or_else(|| env!("CARGO_BIN_EXE_putby").into())
}

/// Starts the program, and reads from what it says the lead's key once it can be opened; it is told
/// at the first start alone.
fn start(data: &Path, port: u16, wanted: &Wanted) -> (Child, Option<String>) {
    let mut whole = wanted.under.iter().map(OsString::from).collect::<Vec<_>>();
    whole.push(program());
    let mut child = Command::new(&whole[0])
        .args(&whole[1..])
        .args(["serve", "--no-announce"])
        .args(["--listen", &format!("127.0.0.1:{port}")])
        .args(["--speed", &wanted.speed.to_string()])
        .arg("--data")
        .arg(data)
        .envs(WIDE)
        .envs(wanted.env.iter().cloned())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let said = BufReader::new(child.stdout.take().unwrap());
    let mut lines = said.lines().map(Result::unwrap);
    let greeting: Vec<String> = lines
        .by_ref()
        .take_while(|line| !line.starts_with("Stop with"))
        .collect();
    let key = greeting
        .iter()
        .find_map(|line| Some(line.split_once("lead-key/")?.1.trim().to_owned()));
    // What it says later must not block it.
    std::thread::spawn(move || lines.for_each(drop));
    (child, key)
}
