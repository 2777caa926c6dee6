//! Screens that follow a day, and how long each command took to come to them.

use super::board::Board;
use actix_web::rt;
use actix_web::rt::net::TcpStream;
use serde::Deserialize;
use std::cell::RefCell;
use std::collections::HashMap;
use std::net::Ipv4Addr;
use std::rc::Rc;
use std::time::{Duration, Instant};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use uuid::Uuid;

/// When commands were sent, and how long each took to each screen.
#[derive(Clone, Default)]
pub struct Arrivals(Rc<RefCell<Log>>);

#[derive(Default)]
struct Log {
    sent: HashMap<Uuid, (Instant, Ipv4Addr)>,
    took: Vec<Duration>,
    /// Screens that were ended by the board.
    ended: usize,
}

/// What a change says of its commands.
#[derive(Deserialize)]
struct Patch {
    commands: Vec<Uuid>,
}

const TEXT: u8 = 0x81;
const PING: u8 = 0x89;
/// Without content, under a mask of zeros.
const PONG: [u8; 6] = [0x8a, 0x80, 0, 0, 0, 0];

impl Arrivals {
    /// A command goes out now from an address.
    pub fn sent(&self, id: Uuid, from: Ipv4Addr) {
        let mut log = self.0.borrow_mut();
        log.sent.insert(id, (Instant::now(), from));
    }

    /// How long commands took to screens of other addresses, since last asked.
    pub fn take(&self) -> Vec<Duration> {
        let mut log = self.0.borrow_mut();
        log.sent.clear();
        std::mem::take(&mut log.took)
    }

    /// How many screens were ended by the board.
    pub fn ended(&self) -> usize {
        self.0.borrow().ended
    }

    fn came(&self, text: &[u8], to: Ipv4Addr) {
        if !text.starts_with(br#"{"push":"patch""#) {
            return;
        }
        let patch: Patch = serde_json::from_slice(text).unwrap();
        let mut log = self.0.borrow_mut();
        for id in patch.commands {
            let Some((sent, from)) = log.sent.get(&id).copied() else {
                continue;
            };
            if from != to {
                log.took.push(sent.elapsed());
            }
        }
    }

    /// Follows a day for as long as the board lets it, and answers its pings.
    pub async fn follow(&self, board: &Board, day: &str, from: Ipv4Addr) {
        let mut line = board.follow(day, from, None).await.expect("let in");
        let this = self.clone();
        rt::spawn(async move {
            while let Some((kind, text)) = frame(&mut line).await {
                match kind {
                    TEXT => this.came(&text, from),
                    PING if line.write_all(&PONG).await.is_err() => break,
                    _ => {}
                }
            }
            this.0.borrow_mut().ended += 1;
        });
    }
}

/// The first byte and the content of the next frame; `None` when the connection ends.
pub async fn frame(line: &mut TcpStream) -> Option<(u8, Vec<u8>)> {
    let kind = line.read_u8().await.ok()?;
    let length = match line.read_u8().await.ok()? {
        126 => u64::from(line.read_u16().await.ok()?),
        127 => line.read_u64().await.ok()?,
        short => u64::from(short),
    };
    let mut text = vec![0; usize::try_from(length).unwrap()];
    line.read_exact(&mut text).await.ok()?;
    Some((kind, text))
}
