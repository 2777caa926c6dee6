//! The device that asks now. `gate` finds it out once for each request; handlers take it from there.

use super::agent::Agent;
use super::devices::Known;
use super::rank::Rank;
use super::secret;
use crate::day::Role;
use crate::journal::Digest;
use crate::server::problem::Problem;
use actix_web::cookie::{Cookie, SameSite, time::Duration};
use actix_web::http::header;
use actix_web::{FromRequest, HttpMessage, HttpRequest, dev};
use std::future::{Ready, ready};
use tokio::sync::watch;

const COOKIE: &str = "putby-device";
/// A season: the lead's tablet is still the lead's when the peaches come after the plums.
const COOKIE_DAYS: i64 = 180;

/// Who gave a request.
#[derive(Clone)]
pub struct Device {
    /// What it is known by; empty for a script with the lead's key.
    secret: String,
    /// Whether that stood in the header for scripts.
    by_header: bool,
    /// What it may do.
    pub rank: Rank,
    known: Option<Known>,
}

/// What a browser brought as its secret, if it can be one.
pub(super) fn secret_in(request: &HttpRequest) -> Option<String> {
    let cookie = request.cookie(COOKIE)?;
    secret::is_device(cookie.value()).then(|| cookie.value().to_owned())
}

/// What the browser of a request says it is.
pub(super) fn agent_of(request: &HttpRequest) -> Agent {
    let header = request.headers().get(header::USER_AGENT);
    Agent::read(
        header
            .and_then(|text| text.to_str().ok())
            .unwrap_or_default(),
    )
}

impl Device {
    pub(super) fn new(
        secret: String,
        by_header: bool,
        known: Option<Known>,
        stranger: Rank,
    ) -> Device {
        Device {
            secret,
            by_header,
            rank: known.as_ref().map_or(stranger, |known| known.rank),
            known,
        }
    }

    pub(super) fn with_lead_key() -> Device {
        Device {
            secret: String::new(),
            by_header: true,
            rank: Rank::Lead,
            known: None,
        }
    }

    /// What it is called: tells devices apart and gives no secret away.
    pub fn id(&self) -> String {
        name_of(self.digest())
    }

    /// What it is to the rules of a day.
    pub fn role(&self) -> Role {
        self.rank.role()
    }

    /// Whether it was let in and is on the list.
    pub(super) fn is_known(&self) -> bool {
        self.known.is_some()
    }

    /// By which digest it is on the list.
    pub(super) fn known_as(&self) -> Option<Digest> {
        self.is_known().then(|| self.digest())
    }

    /// Whether it is a script, which brings its secret in a header.
    pub(super) fn is_script(&self) -> bool {
        self.by_header
    }

    /// The cookie by which it is known the next time. None for a guest: an answer to one could come
    /// after the answer that let it in, and take that away again.
    pub fn cookie(&self) -> Option<Cookie<'static>> {
        let remembered = !self.by_header && self.rank > Rank::Guest;
        remembered.then(|| {
            Cookie::build(COOKIE, self.secret.clone())
                .path("/")
                .http_only(true)
                .same_site(SameSite::Strict)
                .max_age(Duration::days(COOKIE_DAYS))
                .finish()
        })
    }

    /// Ends, with an error, when the device is put out.
    pub fn until_put_out(&self) -> Option<watch::Receiver<()>> {
        self.known.as_ref().map(|known| known.gone.clone())
    }

    /// The same device with what it may do from now on.
    pub(super) fn now_known(&self, known: Known) -> Device {
        Device {
            rank: known.rank,
            known: Some(known),
            ..self.clone()
        }
    }

    pub(super) fn digest(&self) -> Digest {
        Digest::of(self.secret.as_bytes())
    }
}

/// What a device of this digest is called.
pub(super) fn name_of(digest: Digest) -> String {
    hex::encode(&digest.0[..8])
}

impl FromRequest for Device {
    type Error = Problem;
    type Future = Ready<Result<Device, Problem>>;

    fn from_request(request: &HttpRequest, _: &mut dev::Payload) -> Self::Future {
        let found = request.extensions().get::<Device>().cloned();
        ready(found.ok_or_else(|| Problem::internal("a route without its gate")))
    }
}
