//! The board's program as a bench starts it, and talks to it from addresses of its clients' own.

use actix_web::rt::net::{TcpSocket, TcpStream};
use actix_web::rt::time::sleep;
use rustix::process::{Pid, Signal, kill_process};
use serde_json::Value;
use std::ffi::OsString;
use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};

/// The program, ended with this value.
pub struct Board {
    pub child: Child,
    pub at: SocketAddr,
    /// The lead's key, which is told at the first start alone.
    pub key: Option<String>,
}

impl Board {
    /// Starts the program on a data folder and waits until it can be opened. `under` is what runs
    /// it, with its arguments, and `env` what it finds in its environment.
    pub fn start(data: &Path, under: &[String], env: &[(&str, String)]) -> Board {
        let mut whole: Vec<OsString> = under.iter().map(OsString::from).collect();
        // The program built with the bench, or another build of it.
        let built = || env!("CARGO_BIN_EXE_putby").into();
        whole.push(std::env::var_os("PUTBY_PROGRAM").unwrap_or_else(built));
        let mut child = Command::new(&whole[0])
            .args(&whole[1..])
            .args(["serve", "--no-announce", "--open"])
            .args(["--listen", "127.0.0.1:0", "--data"])
            .arg(data)
            .envs(env.iter().cloned())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let (mut at, mut key) = (None, None);
        for line in lines.map(Result::unwrap) {
            if let Some(address) = line.trim().strip_prefix("http://") {
                let (host, path) = address.split_once('/').unwrap();
                at = at.or(host.parse().ok());
                key = path.strip_prefix("#/lead-key/").map(str::to_owned).or(key);
            }
            if line.starts_with("Stop with") {
                break;
            }
        }
        let at = at.expect("it tells its address");
        Board { child, at, key }
    }

    /// Ends it. Needed where a bench ends with others that hold it.
    pub fn kill(&self) {
        // It may have ended by itself.
        let _ = kill_process(Pid::from_child(&self.child), Signal::KILL);
    }

    /// A connection from an address of the client's own.
    pub async fn connect(&self, from: Ipv4Addr, receive_bytes: Option<u32>) -> TcpStream {
        loop {
            let socket = TcpSocket::new_v4().unwrap();
            if let Some(bytes) = receive_bytes {
                socket.set_recv_buffer_size(bytes).unwrap();
            }
            socket.bind(SocketAddr::from((from, 0))).unwrap();
            match socket.connect(self.at).await {
                Ok(stream) => {
                    stream.set_nodelay(true).unwrap();
                    return stream;
                }
                // A crowd that comes at once fills the queue of those who wait to be let in.
                Err(_) => sleep(Duration::from_millis(50)).await,
            }
        }
    }

    pub fn post(&self, path: &str, who: &str, body: &Value) -> Vec<u8> {
        let body = body.to_string();
        let (at, length) = (self.at, body.len());
        format!(
            "POST {path} HTTP/1.1\r\nhost: {at}\r\norigin: http://{at}\r\n{who}\r\ncontent-type: application/json\r\n\
             content-length: {length}\r\n\r\n{body}"
        )
        .into_bytes()
    }

    /// The lead posts, and it is done.
    pub async fn lead_posts(&self, path: &str, body: &Value) {
        let lead = format!("authorization: Bearer {}", self.key.as_ref().unwrap());
        let mut line = self.connect(Ipv4Addr::LOCALHOST, None).await;
        line.write_all(&self.post(path, &lead, body)).await.unwrap();
        let (status, text) = answer(&mut line).await.unwrap();
        let text = String::from_utf8_lossy(&text);
        assert!(matches!(status, 200 | 201), "{status}: {text}");
    }

    /// What stands at a path; `None` if it is not told.
    pub async fn get(&self, from: Ipv4Addr, path: &str) -> Option<Vec<u8>> {
        let mut stream = self.connect(from, None).await;
        let at = self.at;
        let ask = format!("GET {path} HTTP/1.1\r\nhost: {at}\r\nconnection: close\r\n\r\n");
        stream.write_all(ask.as_bytes()).await.ok()?;
        let mut text = Vec::new();
        stream.read_to_end(&mut text).await.ok()?;
        text.starts_with(b"HTTP/1.1 200").then_some(text)
    }

    /// Follows a day from `from`, past the handshake; `None` if it is not let in.
    pub async fn follow(
        &self,
        day: &str,
        from: Ipv4Addr,
        receive_bytes: Option<u32>,
    ) -> Option<TcpStream> {
        let mut stream = self.connect(from, receive_bytes).await;
        let at = self.at;
        let ask = format!(
            "GET /api/days/{day}/live HTTP/1.1\r\nhost: {at}\r\nconnection: upgrade\r\n\
             upgrade: websocket\r\nsec-websocket-version: 13\r\n\
             sec-websocket-key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n"
        );
        stream.write_all(ask.as_bytes()).await.ok()?;
        let mut head = Vec::new();
        while !head.ends_with(b"\r\n\r\n") {
            head.push(stream.read_u8().await.ok()?);
        }
        head.starts_with(b"HTTP/1.1 101").then_some(stream)
    }

    /// What the board measures of itself.
    pub async fn measure(&self, name: &str) -> f64 {
        let text = self.get(Ipv4Addr::LOCALHOST, "/metrics").await.unwrap();
        let text = String::from_utf8(text).unwrap();
        let value = text.lines().find_map(|line| line.strip_prefix(name));
        value.unwrap().trim().parse().unwrap()
    }
}

impl Drop for Board {
    fn drop(&mut self) {
        self.kill();
        let _ = self.child.wait();
    }
}

/// The status and body of one answer; `None` if the connection ends.
pub async fn answer(stream: &mut TcpStream) -> Option<(u16, Vec<u8>)> {
    let mut head = Vec::new();
    while !head.ends_with(b"\r\n\r\n") {
        head.push(stream.read_u8().await.ok()?);
    }
    let head = String::from_utf8(head).unwrap().to_ascii_lowercase();
    let status = head.split(' ').nth(1)?.parse().ok()?;
    let length = head.split("content-length: ").nth(1)?;
    let mut body = vec![0; length.split("\r\n").next()?.parse().ok()?];
    stream.read_exact(&mut body).await.ok()?;
    Some((status, body))
}

/// The value that `share` of all lie below, in milliseconds.
pub fn quantile(took: &mut [Duration], share: f64) -> f64 {
    took.sort();
    let place = (took.len() - 1) as f64 * share;
    took[place.round() as usize].as_secs_f64() * 1000.0
}
