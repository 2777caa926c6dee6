//! The demonstration's HTTP client: JSON there and back.

use anyhow::Context;
use bytes::Bytes;
use http_body_util::{BodyExt, Full};
use hyper::header::{self, HeaderMap};
use hyper::{Request, StatusCode, http::request};
use hyper_util::client::legacy::Client as Hyper;
use hyper_util::client::legacy::connect::HttpConnector;
use hyper_util::rt::TokioExecutor;
use serde_json::Value;

/// Connections that are kept and used again.
#[derive(Debug, Clone)]
pub struct Client(Hyper<HttpConnector, Full<Bytes>>);

/// What a server said.
pub struct Answer {
    /// The status.
    pub status: StatusCode,
    /// The headers.
    pub headers: HeaderMap,
    /// The body; null where it is no JSON.
    pub body: Value,
}

impl Client {
    /// A client without connections.
    pub fn new() -> Client {
        Client(Hyper::builder(TokioExecutor::new()).build_http())
    }

    /// Sends a request with `body`, or without one, and reads the whole answer.
    ///
    /// # Errors
    /// The request makes no sense, the server cannot be reached, or the answer breaks off.
    pub async fn send(
        &self,
        request: request::Builder,
        body: Option<&Value>,
    ) -> anyhow::Result<Answer> {
        let request = match body {
            Some(body) => request
                .header(header::CONTENT_TYPE, "application/json")
                .body(serde_json::to_vec(body)?.into()),
            None => request.body(Full::default()),
        };
        let request: Request<Full<Bytes>> = request?;
        let answer = self.0.request(request).await?;
        let (head, body) = answer.into_parts();
        let body = body.collect().await.context("an answer broke off")?;
        Ok(Answer {
            status: head.status,
            headers: head.headers,
            body: serde_json::from_slice(&body.to_bytes()).unwrap_or(Value::Null),
        })
    }
}
