//! A WebSocket as the server keeps it: opened with its limits, read message by message, closed
//! with the code that is due (RFC 6455, section 7.4).
//!
//! After the farewell the server ends its side of the connection itself, as the protocol wants
//! (section 7.1.1); the library would leave that to the device for a while.
//!
//! Not for what messages mean. What it keeps true: no more than one message's limit is held for a
//! device, text is text, and whatever cannot be read ends in a reason the device can tell apart.

use super::frame_guard::guarded;
use super::problem::Problem;
use actix_web::body::{BodySize, BoxBody, MessageBody};
use actix_web::dev::Extensions;
use actix_web::error::PayloadError;
use actix_web::http::StatusCode;
use actix_web::rt::net::TcpStream;
use actix_web::{HttpRequest, HttpResponse, web};
use actix_ws::{CloseCode, CloseReason, Item, Message, MessageStream, ProtocolError, Session};
use bytes::Bytes;
use rustix::net::Shutdown;
use std::io;
use std::os::fd::{AsFd, OwnedFd};
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::sync::oneshot;
use tokio::time::timeout;

/// How long a farewell may wait for a device that does not read.
pub const FAREWELL: Duration = Duration::from_secs(1);

/// A connection's own end, kept beside the library's so that it can be ended in time.
#[derive(Clone)]
struct Line(Arc<OwnedFd>);

/// Keeps a new connection's end for a socket that it may become.
pub fn keep_line(stream: &TcpStream, connection: &mut Extensions) {
    match stream.as_fd().try_clone_to_owned() {
        Ok(end) => {
            connection.insert(Line(Arc::new(end)));
        }
        Err(error) => tracing::warn!(%error, "a connection will be ended by its other side"),
    }
}

/// What is needed to end a socket.
pub struct Closer {
    session: Session,
    line: Option<Line>,
    sent: oneshot::Receiver<()>,
}

impl Closer {
    /// Ends the socket with a reason; a device that does not read it is let go without.
    pub async fn end(self, reason: Ending) {
        if reason.is_some() {
            let said = async {
                self.session.close(reason).await.ok()?;
                // All is handed to the system once the answer's body is gone.
                self.sent.await.err()
            };
            let _ = timeout(FAREWELL, said).await;
        }
        if let Some(Line(end)) = self.line {
            // It may be gone already.
            let _ = rustix::net::shutdown(end, Shutdown::Write);
        }
    }
}

/// The answer's body; dropped when all of it was sent, or when there is nobody to send it to.
struct Said {
    body: BoxBody,
    _sent: oneshot::Sender<()>,
}

impl MessageBody for Said {
    type Error = Box<dyn std::error::Error>;

    fn size(&self) -> BodySize {
        self.body.size()
    }

    fn poll_next(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Bytes, Self::Error>>> {
        Pin::new(&mut self.body).poll_next(cx)
    }
}

/// Upgrades a request; no message may be longer than `bytes_max`.
///
/// # Errors
/// It is no upgrade.
pub async fn open(
    request: &HttpRequest,
    payload: web::Payload,
    bytes_max: usize,
) -> Result<(HttpResponse, Session, Incoming, Closer), Problem> {
    let payload = guarded(request, payload, bytes_max).await?;
    let (response, session, messages) =
        actix_ws::handle(request, payload).map_err(|error| no_upgrade(&error))?;
    let incoming = Incoming {
        messages: messages.max_frame_size(bytes_max),
        bytes_max,
        parts: None,
    };
    let (told, sent) = oneshot::channel();
    let response = response.map_body(|_, body| BoxBody::new(Said { body, _sent: told }));
    let closer = Closer {
        session: session.clone(),
        line: request.conn_data::<Line>().cloned(),
        sent,
    };
    Ok((response, session, incoming, closer))
}

fn no_upgrade(error: &actix_web::Error) -> Problem {
    Problem::new(
        StatusCode::UPGRADE_REQUIRED,
        "no-upgrade",
        format!("This address is for a WebSocket: {error}."),
        "Open it with a WebSocket, or read GET /api/days/{day}/view instead.",
    )
}

/// Something that a device has said.
#[derive(Debug, PartialEq, Eq)]
pub enum Heard {
    /// A whole message.
    Message {
        /// Whether it is text, which is UTF-8 then.
        is_text: bool,
        /// What it holds.
        bytes: Bytes,
    },
    /// A ping, which wants the same bytes back.
    Ping(Bytes),
    /// Something that only shows that the device is there.
    Sign,
}

/// Why a socket ends: the reason to give, if there is somebody to give it to.
pub type Ending = Option<CloseReason>;

/// What comes in on one socket.
pub struct Incoming {
    messages: MessageStream,
    bytes_max: usize,
    /// The parts so far of a message that comes in parts.
    parts: Option<Parts>,
}

struct Parts {
    is_text: bool,
    bytes: Vec<u8>,
}

impl Incoming {
    /// The next thing said. Nothing is lost when it is waited for in vain and asked again.
    ///
    /// # Errors
    /// The device closes, is gone, or says what cannot be read.
    pub async fn next(&mut self) -> Result<Heard, Ending> {
        match self.messages.recv().await {
            Some(Ok(message)) => self.take(message),
            Some(Err(error)) => Err(reason_of(&error)),
            None => Err(None),
        }
    }

    fn take(&mut self, message: Message) -> Result<Heard, Ending> {
        let whole = |is_text, bytes| Ok(Heard::Message { is_text, bytes });
        match message {
            // A message in parts must end before another begins (section 5.4).
            Message::Text(_) | Message::Binary(_) if self.parts.is_some() => {
                let why = "another message before the last was whole";
                Err(Some(close(CloseCode::Protocol, why)))
            }
            Message::Text(text) => whole(true, text.into_bytes()),
            Message::Binary(bytes) => whole(false, bytes),
            Message::Continuation(item) => match self.collect(item).map_err(Some)? {
                Some(parts) => whole(parts.is_text, parts.bytes.into()),
                None => Ok(Heard::Sign),
            },
            Message::Ping(bytes) => Ok(Heard::Ping(bytes)),
            Message::Pong(_) | Message::Nop => Ok(Heard::Sign),
            Message::Close(reason) => Err(Some(reason.unwrap_or(CloseCode::Normal.into()))),
        }
    }

    /// Takes in a part of a message, and gives all of it once it is whole. Parts must not add up
    /// without end, and text must be text (section 8.1).
    fn collect(&mut self, item: Item) -> Result<Option<Parts>, CloseReason> {
        let (bytes, last) = match item {
            Item::FirstText(bytes) => (self.begin(true, bytes)?, false),
            Item::FirstBinary(bytes) => (self.begin(false, bytes)?, false),
            Item::Continue(bytes) => (bytes, false),
            Item::Last(bytes) => (bytes, true),
        };
        let Some(parts) = &mut self.parts else {
            return Err(close(CloseCode::Protocol, "a part of no message"));
        };
        parts.bytes.extend_from_slice(&bytes);
        if parts.bytes.len() > self.bytes_max {
            return Err(close(CloseCode::Size, "the message is too long"));
        }
        if last && parts.is_text && std::str::from_utf8(&parts.bytes).is_err() {
            return Err(close(CloseCode::Invalid, "the text is not UTF-8"));
        }
        Ok(self.parts.take_if(|_| last))
    }

    fn begin(&mut self, is_text: bool, bytes: Bytes) -> Result<Bytes, CloseReason> {
        let parts = Parts {
            is_text,
            bytes: Vec::new(),
        };
        match self.parts.replace(parts) {
            None => Ok(bytes),
            Some(_) => Err(close(
                CloseCode::Protocol,
                "another message before the last was whole",
            )),
        }
    }
}

/// A reason in words.
pub fn close(code: CloseCode, why: &str) -> CloseReason {
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
