//! Everything that can go wrong with a request, in one form: RFC 9457 problem details.
//!
//! `code` is stable and for programs; `detail` says what is wrong and `instead` what to do. The
//! one place where reasons become status codes.

use crate::day::{Code, Command, Refusal};
use crate::engine::{ShelfUnanswered, Unanswered};
use crate::journal::Trouble;
use crate::journal::carry::CarryTrouble;
use crate::shelf;
use actix_web::http::{StatusCode, header};
use actix_web::{HttpResponse, ResponseError};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use std::time::Duration;

/// A problem, ready to be sent. Boxed, since it travels in every result and is rarely there.
#[derive(Debug, Clone, Serialize)]
#[serde(transparent)]
pub struct Problem(Box<Details>);

/// What an answer was refused with, for whoever counts: the problem's code.
pub struct RefusedWith(pub String);

/// The members of a problem (RFC 9457, section 3), and our own after them.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(rename = "Problem")]
pub struct Details {
    /// `urn:putby:problem:` and the code.
    #[serde(rename = "type")]
    kind: String,
    /// The code as people read it.
    title: String,
    /// The status of the answer.
    status: u16,
    /// What is wrong.
    detail: String,
    /// The reason, stable and for programs.
    code: String,
    /// What to do instead.
    instead: String,
    /// The names and numbers in the sentences, for other languages.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    words: BTreeMap<String, String>,
    /// A command that would put it right, ready to send.
    #[serde(skip_serializing_if = "Option::is_none")]
    offer: Option<Box<Command>>,
    /// After how long to try again, in seconds.
    #[serde(skip)]
    retry_after_s: Option<u64>,
}

impl Problem {
    /// A problem with what is wrong and what to do.
    pub fn new(
        status: StatusCode,
        code: &str,
        detail: impl Into<String>,
        instead: impl Into<String>,
    ) -> Problem {
        let soon = [
            StatusCode::SERVICE_UNAVAILABLE,
            StatusCode::INSUFFICIENT_STORAGE,
        ];
        Problem(Box::new(Details {
            kind: format!("urn:putby:problem:{code}"),
            title: title(code),
            status: status.as_u16(),
            detail: detail.into(),
            code: code.to_owned(),
            instead: instead.into(),
            words: BTreeMap::new(),
            offer: None,
            retry_after_s: soon.contains(&status).then_some(1),
        }))
    }

    /// Too much was asked; the same may be asked again after `wait`.
    pub fn slow_down(
        status: StatusCode,
        code: &str,
        detail: impl Into<String>,
        instead: impl Into<String>,
        wait: Duration,
    ) -> Problem {
        let mut problem = Problem::new(status, code, detail, instead);
        problem.0.retry_after_s = Some(wait.as_millis().div_ceil(1000).max(1) as u64);
        problem
    }

    /// The whole answer as it goes over the network, before a connection is cut.
    pub fn last_words(&self) -> String {
        let body = serde_json::to_string(self).unwrap_or_default();
        let (status, length) = (self.status_code(), body.len());
        let wait = self.0.retry_after_s.unwrap_or(1);
        format!(
            "HTTP/1.1 {status}\r\ncontent-type: application/problem+json\r\nretry-after: {wait}\r\n\
             connection: close\r\ncontent-length: {length}\r\n\r\n{body}"
        )
    }

    /// What was sent cannot be understood.
    pub fn malformed(detail: impl Into<String>, instead: impl Into<String>) -> Problem {
        Problem::new(StatusCode::BAD_REQUEST, "malformed", detail, instead)
    }

    /// The same problem, which is over after so many seconds; also told in the header for that.
    pub fn over_after(mut self, seconds: u64) -> Problem {
        self.0.retry_after_s = Some(seconds);
        self.0
            .words
            .insert("seconds".to_owned(), seconds.to_string());
        self
    }

    /// There is nothing at this address.
    pub fn not_found(detail: impl Into<String>) -> Problem {
        let instead = "Look at GET /api/days for the days there are.";
        Problem::new(StatusCode::NOT_FOUND, "not-found", detail, instead)
    }

    /// No day has this id.
    pub fn unknown_day(day: &str) -> Problem {
        let detail = format!("There is no day {day:?} here.");
        let instead = "Look at GET /api/days for the days there are, or open one.";
        Problem::new(StatusCode::NOT_FOUND, "unknown-day", detail, instead)
    }

    /// The server itself failed.
    pub fn internal(error: impl std::fmt::Display) -> Problem {
        tracing::error!(%error, "a request failed");
        let detail = "The server could not do this. Its log says why.";
        let status = StatusCode::INTERNAL_SERVER_ERROR;
        Problem::new(status, "internal", detail, "Try once more.")
    }

    /// As a message on a socket.
    pub fn push(&self) -> String {
        let mut push = serde_json::json!(self);
        push["push"] = "problem".into();
        push.to_string()
    }

    fn refused(refusal: Refusal) -> Problem {
        let status = match refusal.code {
            Code::LeadOnly | Code::WatchOnly => StatusCode::FORBIDDEN,
            _ => StatusCode::CONFLICT,
        };
        let code = serde_json::to_value(refusal.code).unwrap_or_default();
        let code = code.as_str().unwrap_or("refused");
        let mut problem = Problem::new(status, code, refusal.detail, refusal.instead);
        problem.0.words = refusal.words;
        problem.0.offer = refusal.offer;
        problem
    }

    fn unavailable(code: &str, detail: impl Into<String>, instead: &str) -> Problem {
        Problem::new(StatusCode::SERVICE_UNAVAILABLE, code, detail, instead)
    }

    fn journal_damaged(detail: String) -> Problem {
        let status = StatusCode::INTERNAL_SERVER_ERROR;
        let instead = "Other days are not touched by this and can go on.";
        Problem::new(status, "journal-damaged", detail, instead)
    }
}

/// `seat-taken` as people read it: `Seat taken`.
fn title(code: &str) -> String {
    let mut title = code.replace('-', " ");
    if let Some(first) = title.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    title
}

const SAME_AGAIN: &str = "Send the same command once more, under the same id.";

impl From<Unanswered> for Problem {
    fn from(unanswered: Unanswered) -> Problem {
        match unanswered {
            Unanswered::Refused(refusal) => Problem::refused(refusal),
            Unanswered::IdConflict => Problem::new(
                StatusCode::CONFLICT,
                "id-conflict",
                "This id was used for another command; nothing was done.",
                "Make a new id for every command, and keep it only when sending the same again.",
            ),
            Unanswered::Busy => Problem::unavailable(
                "too-busy",
                "Too many commands are waiting; nothing was done.",
                SAME_AGAIN,
            ),
            Unanswered::Stopped | Unanswered::Left => Problem::unavailable(
                "day-stopped",
                "The day stopped before it answered; it may or may not have been done.",
                SAME_AGAIN,
            ),
            Unanswered::Full(why) => Problem::new(
                StatusCode::INSUFFICIENT_STORAGE,
                "storage-full",
                format!("It could not be kept, so it was not done: {why}."),
                "Make room on the disk of the computer that runs the board; then send it again \
                 under the same id.",
            ),
            Unanswered::Storage(why) => Problem::unavailable(
                "storage-failed",
                format!("It could not be kept on disk, so it was not done: {why}."),
                "See that the disk has room and is sound, then send it again under the same id.",
            ),
            Unanswered::Damaged(why) => Problem::journal_damaged(why),
            // Not said to be the server's for a while: a device would send it again for ever, and
            // whatever waits behind it would wait with it.
            Unanswered::Broken(why) => Problem::new(
                StatusCode::CONFLICT,
                "invariant-broken",
                format!("A mistake in this program was caught; nothing was done: {why}."),
                "Do it another way, by a recount for example, and report this text.",
            ),
        }
    }
}

impl From<ShelfUnanswered> for Problem {
    fn from(unanswered: ShelfUnanswered) -> Problem {
        match unanswered {
            ShelfUnanswered::Refused(refusal) => {
                let status = match refusal.code {
                    shelf::Code::LeadOnly | shelf::Code::WatchOnly => StatusCode::FORBIDDEN,
                    shelf::Code::UnknownPackages => StatusCode::NOT_FOUND,
                    _ => StatusCode::CONFLICT,
                };
                let code = serde_json::to_value(refusal.code).unwrap_or_default();
                let code = code.as_str().unwrap_or("refused");
                let mut problem = Problem::new(status, code, refusal.detail, refusal.instead);
                problem.0.words = refusal.words;
                problem
            }
            ShelfUnanswered::IdConflict => Unanswered::IdConflict.into(),
            ShelfUnanswered::Broken(why) => Unanswered::Broken(why).into(),
            ShelfUnanswered::Trouble(trouble) => trouble.into(),
        }
    }
}

impl From<Trouble> for Problem {
    fn from(trouble: Trouble) -> Problem {
        match trouble {
            Trouble::Damaged { .. } | Trouble::UnknownEvent { .. } | Trouble::Malformed(_) => {
                Problem::journal_damaged(trouble.to_string())
            }
            Trouble::Full(_) => Unanswered::Full(trouble.to_string()).into(),
            Trouble::WrongSeq { .. }
            | Trouble::TimeWentBack { .. }
            | Trouble::Newer { .. }
            | Trouble::SyncFailed(_)
            | Trouble::Unwritable(_)
            | Trouble::Storage(_) => Unanswered::Storage(trouble.to_string()).into(),
        }
    }
}

impl From<CarryTrouble> for Problem {
    fn from(trouble: CarryTrouble) -> Problem {
        let detail = trouble.to_string();
        let (status, code, instead) = match trouble {
            CarryTrouble::Journal(trouble) => return trouble.into(),
            CarryTrouble::File(error) => return Problem::internal(error),
            CarryTrouble::Malformed { .. } | CarryTrouble::Damaged { .. } => (
                StatusCode::BAD_REQUEST,
                "import-damaged",
                "Take another copy of the file, or export it again where it came from.",
            ),
            CarryTrouble::Newer { .. } | CarryTrouble::Unknown { .. } => (
                StatusCode::BAD_REQUEST,
                "import-newer",
                "Bring this board to the version that wrote the file, and send it again.",
            ),
            CarryTrouble::Conflict { .. } => (
                StatusCode::CONFLICT,
                "import-conflict",
                "Start a board on an empty data folder and read the file there.",
            ),
        };
        Problem::new(status, code, detail, instead)
    }
}

impl From<actix_web::error::BlockingError> for Problem {
    fn from(error: actix_web::error::BlockingError) -> Problem {
        Problem::internal(error)
    }
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.0.code, self.0.detail)
    }
}

impl std::error::Error for Problem {}

impl ResponseError for Problem {
    fn status_code(&self) -> StatusCode {
        StatusCode::from_u16(self.0.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
    }

    fn error_response(&self) -> HttpResponse {
        let mut response = HttpResponse::build(self.status_code());
        if let Some(seconds) = self.0.retry_after_s {
            response.insert_header((header::RETRY_AFTER, seconds));
        }
        if self.status_code() == StatusCode::UNAUTHORIZED {
            response.insert_header((header::WWW_AUTHENTICATE, "Bearer"));
        }
        if self.status_code() == StatusCode::UPGRADE_REQUIRED {
            response.insert_header((header::UPGRADE, "websocket"));
        }
        let body = serde_json::to_string(self).unwrap_or_default();
        response
            .extensions_mut()
            .insert(RefusedWith(self.0.code.clone()));
        response.content_type("application/problem+json").body(body)
    }
}
