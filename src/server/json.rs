//! Reading a JSON body: the right type, not too long, well formed, and what was expected.
//!
//! Each way to miss that has its own answer, which says where and what to mend.

use super::Site;
use super::problem::Problem;
use crate::config::Limits;
use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, web};
use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::time::Duration;
use tokio::time::timeout;
use uuid::Uuid;

/// The longest command in bytes.
pub const COMMAND_BYTES_MAX: usize = 64 * 1024;
/// The longest plan of a day in bytes.
pub const PLAN_BYTES_MAX: usize = 1024 * 1024;

/// A command under the id by which it counts once.
#[derive(Deserialize, JsonSchema)]
#[schemars(rename = "{C}Request")]
#[serde(deny_unknown_fields)]
pub struct CommandRequest<C> {
    /// The id.
    pub id: Uuid,
    /// The command.
    pub command: C,
}

/// Reads the body of `request` as a `T` of at most `limit` bytes.
///
/// # Errors
/// It is not JSON by its type (415), too long (413), too slow (408), or not a `T` (400).
pub async fn read<T: DeserializeOwned>(
    request: &HttpRequest,
    payload: web::Payload,
    limit: usize,
) -> Result<T, Problem> {
    let declared = header_text(request, header::CONTENT_LENGTH).and_then(|text| text.parse().ok());
    if declared.is_some_and(|length: usize| length > limit) {
        return Err(too_long(limit));
    }
    let patience = patience_with(request);
    let body = timeout(patience, payload.to_bytes_limited(limit))
        .await
        .map_err(|_| too_slow(patience))?
        .map_err(|_| too_long(limit))?
        .map_err(|error| {
            Problem::malformed(format!("The body broke off: {error}."), "Send it again.")
        })?;
    // Only now, with the body read, can the connection go on after the answer.
    must_be(request)?;
    serde_json::from_slice(&body).map_err(|error| misread(&error))
}

/// How long a body may take.
fn patience_with(request: &HttpRequest) -> Duration {
    let site = request.app_data::<web::Data<Site>>();
    site.map_or(Limits::USUAL.body(), |site| site.limits.body())
}

fn too_slow(patience: Duration) -> Problem {
    Problem::new(
        StatusCode::REQUEST_TIMEOUT,
        "too-slow",
        format!(
            "The body had not come after {} seconds; nothing was done.",
            patience.as_secs()
        ),
        "Go nearer to the Wi-Fi, and send the same once more; a command under the same id.",
    )
}

/// Whether a body says that it is JSON. A page from elsewhere cannot say so without being asked
/// first, and it is not allowed to.
///
/// # Errors
/// It says something else.
pub fn must_be(request: &HttpRequest) -> Result<(), Problem> {
    if is_json(request) {
        return Ok(());
    }
    Err(Problem::new(
        StatusCode::UNSUPPORTED_MEDIA_TYPE,
        "not-json",
        "Only JSON is understood here.",
        "Send it with the header Content-Type: application/json.",
    ))
}

fn is_json(request: &HttpRequest) -> bool {
    let kind = header_text(request, header::CONTENT_TYPE).unwrap_or_default();
    let kind = kind.split(';').next().unwrap_or_default();
    kind.trim().eq_ignore_ascii_case("application/json")
}

fn header_text(request: &HttpRequest, name: header::HeaderName) -> Option<&str> {
    request.headers().get(name)?.to_str().ok()
}

fn too_long(limit: usize) -> Problem {
    Problem::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        "too-long",
        format!("This is longer than the {limit} bytes that are read here."),
        "Send less at once: shorter texts, or one order at a time.",
    )
}

fn misread(error: &serde_json::Error) -> Problem {
    use serde_json::error::Category;
    let (line, column) = (error.line(), error.column());
    match error.classify() {
        Category::Data => Problem::malformed(
            format!("The JSON is well formed but not what is expected here: {error}."),
            format!("Mend what stands before line {line}, column {column}."),
        ),
        Category::Eof => Problem::malformed(
            format!("The JSON ends too early: {error}."),
            "Send the whole of it.",
        ),
        Category::Syntax | Category::Io => Problem::malformed(
            format!("This is no JSON: {error}."),
            format!("Mend it at line {line}, column {column}."),
        ),
    }
}
