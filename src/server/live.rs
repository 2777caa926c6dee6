//! One device's WebSocket: pushes go out, and whatever comes in is answered or ends it correctly.
//!
//! Views and changes do not pass through here message by message: [`Pushes`] hands the socket the
//! frames that the day made once for everybody, whenever the socket has room. A device that does
//! not read is left alone with a full socket; the ring of changes goes on without it.

use super::Site;
use super::access::Device;
use super::access::news::DoorNews;
use super::holders::{self, DayHolders};
use super::limits::Place;
use super::peer::peer;
use super::problem::Problem;
use super::queries::open_day;
use super::socket::{self, Closer, Ending, FAREWELL, Heard, Incoming, close};
use crate::config::Heartbeat;
use crate::day::ids::DayId;
use crate::engine::Writes;
use actix_web::body::{BodySize, BoxBody, MessageBody};
use actix_web::{HttpRequest, HttpResponse, rt, web};
use actix_ws::{CloseCode, Session};
use bytes::Bytes;
use futures_util::Stream;
use std::net::IpAddr;
use std::pin::Pin;
use std::task::{Context, Poll};
use tokio::sync::watch;
use tokio::time::{Instant, MissedTickBehavior, interval_at, timeout};

/// What a device asks on a socket that has been silent, and the answer: only a socket that both ends
/// still know can give it.
const STILL_THERE: &str = "still there?";
const HERE: &str = r#"{"push":"here"}"#;

/// What a device is told that may no longer look.
const PUT_OUT: &str = "this device was put out";

/// `GET /api/days/{day}/live`: upgrades to a WebSocket.
///
/// # Errors
/// It is no upgrade, or the day is unknown or cannot be read.
pub async fn live(
    site: web::Data<Site>,
    device: Device,
    day: web::Path<String>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let id = DayId::try_from(day.as_str()).map_err(|_| Problem::unknown_day(&day))?;
    let day = open_day(&site, &day).await?;
    day.latest().await?;
    let bytes_max = site.limits.message_bytes;
    let (response, session, incoming, closer) = socket::open(&request, payload, bytes_max).await?;
    let place = site.limiter.socket(peer(&request))?;
    let response = response.map_body(|_, session| Pushes {
        session,
        frames: Box::pin(day.feed().follow()),
        _place: place,
    });
    let listener = Listener {
        session,
        heartbeat: site.heartbeat,
        holders: site.holders.follow(&id),
        writes: site.days.disk().follow(),
        news: DoorNews::follow(&site, &device),
        until_put_out: device.until_put_out(),
    };
    rt::spawn(listener.listen(incoming, closer, site.stopping.subscribe()));
    Ok(response.map_into_boxed_body())
}

/// What a socket sends: its own session's messages first, then the day's frames.
struct Pushes {
    session: BoxBody,
    frames: Pin<Box<dyn Stream<Item = Bytes>>>,
    /// Held until the connection is gone, not only until the farewell.
    _place: Place<IpAddr>,
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

/// Comes back when the device is put out.
async fn put_out(until: &mut Option<watch::Receiver<()>>) {
    match until {
        // It never changes; it ends.
        Some(until) => while until.changed().await.is_ok() {},
        None => std::future::pending().await,
    }
}

/// The receiving side of one socket.
struct Listener {
    session: Session,
    heartbeat: Heartbeat,
    /// Which device stands for whom: this socket's own way of telling it.
    holders: watch::Receiver<DayHolders>,
    /// How the disk takes writes.
    writes: watch::Receiver<Writes>,
    news: DoorNews,
    /// Ends when the device is put out; nothing for a script with the lead's key.
    until_put_out: Option<watch::Receiver<()>>,
}

impl Listener {
    async fn listen(
        mut self,
        mut incoming: Incoming,
        closer: Closer,
        mut stopping: watch::Receiver<bool>,
    ) {
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
                said = incoming.next() => {
                    heard = Instant::now();
                    let answered = match said {
                        Ok(said) => self.answer(said).await,
                        Err(ending) => Err(ending),
                    };
                    if let Err(ending) = answered {
                        break ending;
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
                text = self.news.next() => {
                    // A device that does not read asks for how the doors are when it is back.
                    if let Ok(Err(_)) = timeout(FAREWELL, self.session.text(text)).await {
                        break None;
                    }
                }
                () = put_out(&mut self.until_put_out) => {
                    break Some(close(CloseCode::Policy, PUT_OUT));
                }
                _ = stopping.wait_for(|stopping| *stopping) => {
                    break Some(close(CloseCode::Away, "the server stops"));
                }
            }
        };
        closer.end(farewell).await;
    }

    /// Answers what was said; `Err` ends the socket.
    async fn answer(&mut self, said: Heard) -> Result<(), Ending> {
        match said {
            Heard::Ping(bytes) => self.session.pong(&bytes).await.map_err(|_| None),
            Heard::Message {
                is_text: true,
                bytes,
            } if bytes == STILL_THERE => self.session.text(HERE).await.map_err(|_| None),
            Heard::Message { .. } => self.not_here().await,
            Heard::Sign => Ok(()),
        }
    }

    async fn not_here(&mut self) -> Result<(), Ending> {
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
