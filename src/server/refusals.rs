//! Every refusal is counted, and told to the log: a line for each kind of refusal, not for each.
//!
//! What it keeps true: a flood of refusals is a line now and then, with how many there were; the
//! log holds the kind and the route, never an address, a body, a query or a name.

use super::Site;
use super::problem::RefusedWith;
use actix_web::Error;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::StatusCode;
use actix_web::middleware::Next;
use actix_web::web;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// The least time between two lines about one kind.
const LINE_EVERY: Duration = Duration::from_secs(10);

/// When which kind was last told.
pub struct Told {
    began: Instant,
    kinds: Mutex<BTreeMap<String, Kind>>,
}

struct Kind {
    told_at: Duration,
    untold: u64,
}

impl Default for Told {
    fn default() -> Told {
        Told {
            began: Instant::now(),
            kinds: Mutex::default(),
        }
    }
}

impl Told {
    /// How many of this kind a line due now would tell of; `None` if none is due.
    fn due(&self, code: &str, now: Duration) -> Option<u64> {
        let mut kinds = self.kinds.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(kind) = kinds.get_mut(code) else {
            let kind = Kind {
                told_at: now,
                untold: 0,
            };
            kinds.insert(code.to_owned(), kind);
            return Some(1);
        };
        kind.untold += 1;
        if now < kind.told_at + LINE_EVERY {
            return None;
        }
        kind.told_at = now;
        Some(std::mem::take(&mut kind.untold))
    }
}

/// Passes a request on, and notes how it was refused if it was.
///
/// # Errors
/// Those of the routes.
pub async fn note(
    site: web::Data<Site>,
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let answered = next.call(request).await;
    match &answered {
        Ok(answer) => {
            let route = answer.request().match_pattern();
            if let Some(with) = answer.response().extensions().get::<RefusedWith>() {
                tell(&site, answer.status(), &with.0, route.as_deref());
            }
        }
        // Before it came to a route.
        Err(error) => {
            let answer = error.error_response();
            if let Some(with) = answer.extensions().get::<RefusedWith>() {
                tell(&site, answer.status(), &with.0, None);
            }
        }
    }
    answered
}

fn tell(site: &Site, status: StatusCode, code: &str, route: Option<&str>) {
    site.days.measures().refusal(code);
    let Some(times) = site.told.due(code, site.told.began.elapsed()) else {
        return;
    };
    let (status, route) = (status.as_u16(), route.unwrap_or("none"));
    if status >= 500 || status == 429 {
        tracing::warn!(code, status, route, times, "refused");
    } else {
        tracing::info!(code, status, route, times, "refused");
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_flood_is_a_line_now_and_then_that_says_how_many() {
        let told = Told::default();
        let at = Duration::from_secs;
        assert_eq!(told.due("seat-taken", at(0)), Some(1));
        assert_eq!(
            told.due("malformed", at(0)),
            Some(1),
            "each kind has its own"
        );
        for second in 1..10 {
            assert_eq!(told.due("seat-taken", at(second)), None);
        }
        assert_eq!(told.due("seat-taken", at(10)), Some(10));
        assert_eq!(told.due("seat-taken", at(30)), Some(1));
    }
}
