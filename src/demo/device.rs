//! One simulated device: its own cookie, its own WebSocket, its own commands by HTTP.
//!
//! A helper's device lets a mind act on what it sees; a watcher's only looks. What it keeps true: a
//! command without an answer is sent again under its own id until there is one, over any number of
//! lost connections and restarts of the server.

use super::http::Client;
use super::live_view::{LiveView, Taken};
use super::mind::{Around, Mind};
use super::stage::Stage;
use crate::day::command::Command;
use crate::day::ids::HelperId;
use anyhow::{Context, bail};
use futures_util::StreamExt;
use hyper::header::{self, HeaderValue};
use hyper::{Request, StatusCode};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};
use std::rc::Rc;
use std::time::{Duration, Instant};
use tokio::net::TcpStream;
use tokio::time::{MissedTickBehavior, interval, sleep};
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::client::IntoClientRequest;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;
use tokio_tungstenite::{MaybeTlsStream, WebSocketStream, connect_async_with_config};
use uuid::Uuid;

/// Everybody looks up this often, in seconds of the day, but not more often than this.
const LOOK_SECONDS: f64 = 5.0;
const LOOK_AT_LEAST: Duration = Duration::from_millis(40);
/// The longest frame taken: a whole view of the largest day.
const FRAME_BYTES_MAX: usize = 4 << 20;

/// Who holds the device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Holder {
    /// A helper; the lead's device becomes the lead's.
    Helper(HelperId),
    /// A screen on the wall.
    Wall,
}

/// A simulated device.
pub struct Device {
    stage: Rc<Stage>,
    holder: Holder,
    client: Client,
    cookie: Option<String>,
    mind: Mind,
    rng: ChaCha8Rng,
    live: LiveView,
    unanswered: Option<(Uuid, Command)>,
    /// The sequence number of the last answer; the view must have caught up before the next look.
    answered: u64,
}

/// What came of a command.
enum Answer {
    Accepted { seq: u64 },
    Refused { code: String },
}

impl Device {
    /// A device that has not joined yet.
    pub fn new(stage: Rc<Stage>, holder: Holder) -> Device {
        let name = match &holder {
            Holder::Helper(helper) => helper.as_str(),
            Holder::Wall => "wall",
        };
        let seed = name.bytes().fold(stage.seed, |sum, byte| {
            sum.wrapping_mul(31).wrapping_add(u64::from(byte))
        });
        Device {
            stage,
            holder,
            client: Client::new(),
            cookie: None,
            mind: Mind::default(),
            rng: ChaCha8Rng::seed_from_u64(seed),
            live: LiveView::default(),
            unanswered: None,
            answered: 0,
        }
    }

    /// Lives until it is dropped: joins, follows the view, acts, and joins again when the
    /// connection is lost.
    pub async fn run(mut self) {
        loop {
            if let Err(error) = self.connected().await {
                tracing::info!(holder = ?self.holder, "connection lost: {error:#}");
            }
            let pause = self.rng.random_range(100..1000);
            sleep(Duration::from_millis(pause)).await;
        }
    }

    async fn connected(&mut self) -> anyhow::Result<()> {
        self.join().await?;
        let have = self.live.seq;
        let path = format!("api/days/{}/live?have={have}", self.stage.day);
        let address = self.stage.at(&path).replacen("http", "ws", 1);
        let mut request = address.into_client_request()?;
        let headers = request.headers_mut();
        headers.insert(header::ORIGIN, HeaderValue::from_str(self.stage.origin())?);
        if let Some(cookie) = &self.cookie {
            headers.insert(header::COOKIE, HeaderValue::from_str(cookie)?);
        }
        let limits = WebSocketConfig::default()
            .max_frame_size(Some(FRAME_BYTES_MAX))
            .max_message_size(Some(FRAME_BYTES_MAX));
        let (socket, _) = connect_async_with_config(request, Some(limits), false).await?;
        self.follow(socket).await
    }

    async fn follow(
        &mut self,
        mut socket: WebSocketStream<MaybeTlsStream<TcpStream>>,
    ) -> anyhow::Result<()> {
        let mut looks = interval(LOOK_AT_LEAST);
        let mut speed = 0.0;
        loop {
            if self.live.speed() != speed {
                speed = self.live.speed();
                let every = Duration::from_secs_f64(LOOK_SECONDS / speed.max(0.001));
                looks = interval(every.max(LOOK_AT_LEAST));
                looks.set_missed_tick_behavior(MissedTickBehavior::Delay);
            }
            tokio::select! {
                frame = socket.next() => match frame {
                    Some(Ok(Message::Text(text))) => {
                        if self.live.take(text.as_bytes(), Instant::now())? == Taken::Gap {
                            bail!("a change did not follow on the view");
                        }
                    }
                    Some(Ok(Message::Close(reason))) => bail!("closed: {reason:?}"),
                    // The library answers a ping when it reads on.
                    Some(Ok(
                        Message::Ping(_) | Message::Pong(_) | Message::Binary(_) | Message::Frame(_),
                    )) => {}
                    Some(Err(error)) => bail!("{error}"),
                    None => bail!("the socket ended"),
                },
                _ = looks.tick() => self.look_up().await?,
            }
        }
    }

    /// Gives one command, if there is one to give.
    async fn look_up(&mut self) -> anyhow::Result<()> {
        let Holder::Helper(me) = self.holder.clone() else {
            return Ok(());
        };
        let Some(now) = self.live.now(Instant::now()) else {
            return Ok(());
        };
        if self.unanswered.is_none() && self.live.seq >= self.answered {
            let around = Around {
                cast: &self.stage.cast,
                me: &me,
                seed: self.stage.seed,
            };
            let sight = self.live.sight.as_ref();
            let command = sight.and_then(|sight| self.mind.act(around, sight, now, &mut self.rng));
            self.unanswered = command.map(|command| (Uuid::new_v4(), command));
        }
        let Some((id, command)) = self.unanswered.clone() else {
            return Ok(());
        };
        // On an error the command stays unanswered and goes out again, under the same id.
        let answer = self.give(id, &command).await?;
        self.unanswered = None;
        match answer {
            Answer::Accepted { seq } => {
                self.answered = seq;
                self.mind.accepted(&command);
            }
            Answer::Refused { code } => self.mind.refused(command, &code, now),
        }
        Ok(())
    }

    async fn give(&mut self, id: Uuid, command: &Command) -> anyhow::Result<Answer> {
        let path = format!("api/days/{}/commands", self.stage.day);
        let body = json!({"id": id, "command": command});
        let (status, answer) = self.post(&path, &body).await?;
        if status.is_success() {
            let seq = answer["seq"]
                .as_u64()
                .context("an answer without its seq")?;
            return Ok(Answer::Accepted { seq });
        }
        if status.is_server_error() {
            bail!("{status}: {answer}");
        }
        let code = answer["code"].as_str().unwrap_or_default().to_owned();
        tracing::debug!(holder = ?self.holder, code, "refused: {answer}");
        Ok(Answer::Refused { code })
    }

    /// Comes in by the door of its holder, unless it is in already.
    async fn join(&mut self) -> anyhow::Result<()> {
        if self.cookie.is_some() {
            return Ok(());
        }
        let key = match &self.holder {
            Holder::Wall => json!({"watch": self.stage.doors().await?["watch"]}),
            Holder::Helper(helper) if *helper == self.stage.cast.lead => {
                json!({"lead_key": self.stage.lead_key})
            }
            Holder::Helper(_) => json!({"code": self.stage.doors().await?["code"]}),
        };
        let (status, answer) = self.post("api/me", &key).await?;
        if !status.is_success() {
            bail!("not let in: {status}: {answer}");
        }
        Ok(())
    }

    async fn post(&mut self, path: &str, body: &Value) -> anyhow::Result<(StatusCode, Value)> {
        // As a browser does.
        let mut request = Request::post(self.stage.at(path));
        request = request.header(header::ORIGIN, self.stage.origin());
        if let Some(cookie) = &self.cookie {
            request = request.header(header::COOKIE, cookie.as_str());
        }
        let answer = self.client.send(request, Some(body)).await?;
        let given = answer.headers.get(header::SET_COOKIE);
        if let Some(given) = given.and_then(|given| given.to_str().ok()) {
            let cookie = given.split(';').next().unwrap_or_default();
            self.cookie = Some(cookie.to_owned());
        }
        Ok((answer.status, answer.body))
    }
}
