//! One device's WebSocket: pushes go out, and whatever comes in is answered or ends it correctly.
//!
//! Views and changes do not pass through here message by message: [`Pushes`] hands the socket the
//! frames that the day made once for everybody, whenever the socket has room. A device that does
//! not read is left alone with a full socket; the ring of changes goes on without it.

use super::Site;
use super::frame_guard::{FRAME_BYTES_MAX, guarded};
use super::holders::{self, DayHolders};
use super::problem::Problem;
use super::queries::open_day;
use crate::config::Heartbeat;
use crate::day::ids::DayId;
use crate::engine::Writes;
use actix_web::body::{BodySize, BoxBody, MessageBody};
use actix_web::error::PayloadError;
use actix_web::http::StatusCode;
use actix_web::{HttpRequest, HttpResponse, rt, web};
use actix_ws::{CloseCode, CloseReason, Item, Message, MessageStream, ProtocolError, Session};
use bytes::Bytes;
use futures_util::Stream;
use std::io;
use std::pin::Pin;
use std::task::{Context, Poll};
use tokio::sync::watch;
use tokio::time::{Instant, MissedTickBehavior, interval_at, timeout};

/// How long a farewell may wait for a device that does not read.
const FAREWELL: std::time::Duration = std::time::Duration::from_secs(1);

/// What a device asks on a socket that has been silent, and the answer: only a socket that both ends
/// still know can give it.
const STILL_THERE: &str = "still there?";
const HERE: &str = r#"{"push":"here"}"#;

/// `GET /api/days/{day}/live`: upgrades to a WebSocket.
///
/// # Errors
/// It is no upgrade, or the day is unknown or cannot be read.
pub async fn live(
    site: web::Data<Site>,
    day: web::Path<String>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let id = DayId::try_from(day.as_str()).map_err(|_| Problem::unknown_day(&day))?;
    let day = open_day(&site, &day).await?;
    day.latest().await?;
    let payload = guarded(&request, payload).await?;
    let (response, session, messages) =
        actix_ws::handle(&request, payload).map_err(|error| no_upgrade(&error))?;
    let response = response.map_body(|_, session| Pushes {
        session,
        frames: Box::pin(day.feed().follow()),
    });
    let listener = Listener {
        session,
        fragment: None,
        heartbeat: site.heartbeat,
        holders: site.holders.follow(&id),
        writes: site.days.disk().follow(),
    };
    rt::spawn(listener.listen(messages, site.stopping.subscribe()));
    Ok(response.map_into_boxed_body())
}

fn no_upgrade(error: &actix_web::Error) -> Problem {
    Problem::new(
        StatusCode::UPGRADE_REQUIRED,
        "no-upgrade",
        format!("This address is for a WebSocket: {error}."),
        "Open it with a WebSocket, or read GET /api/days/{day}/view instead.",
    )
}

/// What a socket sends: its own session's messages first, then the day's frames.
struct Pushes {
    session: BoxBody,
    frames: Pin<Box<dyn Stream<Item = Bytes>>>,
}

impl MessageBody for Pushes {
    type Error = Box<dyn std::error::Error>;

    fn size(&self) -> BodySize {
        BodySize::Stream
    }

    fn poll_next(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Bytes, Self::Error>>> {
        match Pin::new(&mut self.session).poll_next(cx) {
            Poll::Pending => self
                .frames
                .as_mut()
                .poll_next(cx)
                .map(|frame| frame.map(Ok)),
            // A farewell ends it all.
            said => said,
        }
    }
}

/// The receiving side of one socket.
struct Listener {
    session: Session,
    /// The parts so far of a message that comes in parts.
    fragment: Option<Fragment>,
    heartbeat: Heartbeat,
    /// Which device stands for whom: this socket's own way of telling it.
    holders: watch::Receiver<DayHolders>,
    /// How the disk takes writes.
    writes: watch::Receiver<Writes>,
}

struct Fragment {
    is_text: bool,
    bytes: Vec<u8>,
}

impl Listener {
    async fn listen(mut self, mut messages: MessageStream, mut stopping: watch::Receiver<bool>) {
        let every = self.heartbeat.ping_every;
        let mut beat = interval_at(Instant::now() + every, every);
        beat.set_missed_tick_behavior(MissedTickBehavior::Delay);
        let mut heard = Instant::now();
        if !self.holders.borrow().is_empty() {
            self.holders.mark_changed();
        }
        if *self.writes.borrow() != Writes::Work {
            self.writes.mark_changed();
        }
        let farewell = loop {
            tokio::select! {
                message = messages.recv() => {
                    heard = Instant::now();
                    match message {
                        Some(Ok(message)) => match self.answer(message).await {
                            Ok(()) => {}
                            Err(farewell) => break farewell,
                        },
                        Some(Err(error)) => break reason_of(&error),
                        None => break None,
                    }
                }
                _ = beat.tick() => {
                    if heard.elapsed() > self.heartbeat.drop_after {
                        break Some(close(CloseCode::Away, "nothing was heard for too long"));
                    }
                    if timeout(FAREWELL, self.session.ping(b"")).await.is_ok_and(|sent| sent.is_err()) {
                        break None;
                    }
                }
                Ok(()) = self.holders.changed() => {
                    let text = holders::push(&self.holders.borrow_and_update());
                    match timeout(FAREWELL, self.session.text(text)).await {
                        Ok(Ok(())) => {}
                        Ok(Err(_)) => break None,
                        // A device that does not read now is told later.
                        Err(_) => self.holders.mark_changed(),
                    }
                }
                Ok(()) = self.writes.changed() => {
                    let text = writes_push(*self.writes.borrow_and_update());
                    match timeout(FAREWELL, self.session.text(text)).await {
                        Ok(Ok(())) => {}
                        Ok(Err(_)) => break None,
                        Err(_) => self.writes.mark_changed(),
                    }
                }
                _ = stopping.wait_for(|stopping| *stopping) => {
                    break Some(close(CloseCode::Away, "the server stops"));
                }
            }
        };
        if farewell.is_some() {
            // A device that does not read its farewell is let go without.
            let _ = timeout(FAREWELL, self.session.close(farewell)).await;
        }
    }

    /// Answers one message; `Err` ends the socket, with a reason if there is one to give.
    async fn answer(&mut self, message: Message) -> Result<(), Option<CloseReason>> {
        match message {
            Message::Ping(bytes) => self.session.pong(&bytes).await.map_err(|_| None),
            Message::Pong(_) | Message::Nop => Ok(()),
            Message::Close(reason) => Err(Some(reason.unwrap_or(CloseCode::Normal.into()))),
            Message::Text(text) if text == STILL_THERE => {
                self.session.text(HERE).await.map_err(|_| None)
            }
            Message::Text(_) | Message::Binary(_) => self.not_here().await,
            Message::Continuation(item) => match self.collect(item).map_err(Some)? {
                true => self.not_here().await,
                false => Ok(()),
            },
        }
    }

    /// Takes in a part of a message and says whether it is now whole. Nobody needs what it says,
    /// but text must be text (RFC 6455, section 8.1) and parts must not add up without end.
    fn collect(&mut self, item: Item) -> Result<bool, CloseReason> {
        let (bytes, last) = match item {
            Item::FirstText(bytes) => {
                self.fragment = Some(Fragment::new(true));
                (bytes, false)
            }
            Item::FirstBinary(bytes) => {
                self.fragment = Some(Fragment::new(false));
                (bytes, false)
            }
            Item::Continue(bytes) => (bytes, false),
            Item::Last(bytes) => (bytes, true),
        };
        let Some(fragment) = &mut self.fragment else {
            return Err(close(CloseCode::Protocol, "a part of no message"));
        };
        fragment.bytes.extend_from_slice(&bytes);
        if fragment.bytes.len() > FRAME_BYTES_MAX {
            return Err(close(CloseCode::Size, "the message is too long"));
        }
        if last && fragment.is_text && std::str::from_utf8(&fragment.bytes).is_err() {
            return Err(close(CloseCode::Invalid, "the text is not UTF-8"));
        }
        if last {
            self.fragment = None;
        }
        Ok(last)
    }

    async fn not_here(&mut self) -> Result<(), Option<CloseReason>> {
        let problem = Problem::malformed(
            "Nothing is understood on this socket; it only pushes.",
            "Send commands by POST to /api/days/{day}/commands.",
        );
        self.session.text(problem.push()).await.map_err(|_| None)
    }
}

/// How the disk takes writes, as a message.
fn writes_push(writes: Writes) -> String {
    serde_json::json!({"push": "disk", "writes": writes}).to_string()
}

impl Fragment {
    fn new(is_text: bool) -> Fragment {
        let bytes = Vec::new();
        Fragment { is_text, bytes }
    }
}

fn close(code: CloseCode, why: &str) -> CloseReason {
    (code, why).into()
}

/// The reason to give for what the library could not read; `None` when nobody is there to read it.
fn reason_of(error: &ProtocolError) -> Option<CloseReason> {
    let ProtocolError::Io(error) = error else {
        let code = match error {
            ProtocolError::Overflow => CloseCode::Size,
            _ => CloseCode::Protocol,
        };
        return Some(close(code, &error.to_string()));
    };
    let inner = error.get_ref();
    if inner.is_some_and(|inner| inner.is::<std::str::Utf8Error>()) {
        return Some(close(CloseCode::Invalid, "the text is not UTF-8"));
    }
    if let Some(PayloadError::Overflow) = inner.and_then(|inner| inner.downcast_ref()) {
        return Some(close(CloseCode::Size, "the frame is too long"));
    }
    // The library reports reserved bits this way; anything else is a lost connection.
    let broken = error.kind() == io::ErrorKind::InvalidData;
    broken.then(|| close(CloseCode::Protocol, "the frame cannot be read"))
}
