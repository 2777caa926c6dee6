//! A screen that only looks on: whole views and patches, merged by another make than ours.

use crate::until;
use actix_web::rt;
use awc::Client;
use awc::ws::Frame;
use futures_util::StreamExt;
use serde_json::Value;
use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

#[derive(Default)]
struct Seen {
    view: Value,
    seq: u64,
    joined: u32,
}

pub struct Screen(Rc<RefCell<Seen>>);

impl Screen {
    /// Joins, and joins again whenever the connection is lost.
    pub fn open(address: &str, lead_key: &str, day: &str) -> Screen {
        let seen = Rc::new(RefCell::new(Seen::default()));
        let live = format!("{address}api/days/{day}/live").replacen("http", "ws", 1);
        let (shown, key) = (Rc::clone(&seen), format!("Bearer {lead_key}"));
        rt::spawn(async move {
            loop {
                follow(&live, &key, &shown).await;
                rt::time::sleep(Duration::from_millis(200)).await;
            }
        });
        Screen(seen)
    }

    pub fn view(&self) -> Value {
        self.0.borrow().view.clone()
    }

    pub fn joined(&self) -> u32 {
        self.0.borrow().joined
    }

    pub async fn wait_for(&self, seq: u64, patience: Duration) {
        until(patience, "a screen to catch up", async || {
            self.0.borrow().seq >= seq
        })
        .await;
    }
}

/// Follows one connection to its end.
async fn follow(live: &str, key: &str, seen: &RefCell<Seen>) {
    let client = Client::default();
    let line = client.ws(live).max_frame_size(8 << 20);
    let Ok((_, mut socket)) = line.header("authorization", key).connect().await else {
        return;
    };
    while let Some(Ok(frame)) = socket.next().await {
        let Frame::Text(text) = frame else { continue };
        let push: Value = serde_json::from_slice(&text).unwrap();
        let mut seen = seen.borrow_mut();
        match push["push"].as_str().unwrap() {
            "view" => {
                seen.view = push["view"].clone();
                seen.joined += 1;
            }
            "patch" => {
                assert_eq!(push["from"], seen.seq, "a patch that does not follow");
                json_patch::merge(&mut seen.view, &push["patch"]);
            }
            "outlook" => continue,
            other => panic!("an unasked {other}: {push}"),
        }
        seen.seq = push["seq"].as_u64().unwrap();
    }
}
