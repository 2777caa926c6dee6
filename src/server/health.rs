//! `GET /health` and `GET /metrics`: how the board does, for whoever keeps the computer.
//!
//! Health says little and to everybody; measures are for the lead and for this computer alone.
//! What it keeps true: neither tells a name, a secret or anything a person typed.

use super::Site;
use super::access::{Device, Rank};
use super::peer::peer;
use super::problem::Problem;
use super::process;
use crate::copies;
use crate::day::time::Timestamp;
use crate::engine::Writes;
use crate::journal;
use crate::measures::Now;
use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, HttpResponse, web};
use schemars::JsonSchema;
use serde::Serialize;
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Below this the disk is as good as full: room for some thousand commands.
const ROOM_BYTES_MIN: u64 = 16 << 20;
/// How long an answer is given again before the disk is asked anew.
const GOOD_FOR: Duration = Duration::from_secs(5);

/// How the board does.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Health {
    ok: bool,
    journal_writable: bool,
    /// Whether all that was looked at of it is as it was written.
    journal_sound: bool,
    /// When it was last copied, in milliseconds since 1970; absent if it never was.
    #[serde(skip_serializing_if = "Option::is_none")]
    last_copy_at: Option<Timestamp>,
    /// Days whose thread runs.
    days_open: usize,
    /// What is free on the journal's disk; absent where nobody says.
    #[serde(skip_serializing_if = "Option::is_none")]
    disk_room_bytes: Option<u64>,
    /// What to do, if anything.
    #[serde(skip_serializing_if = "Option::is_none")]
    instead: Option<&'static str>,
}

/// The last answer, and when it was found.
#[derive(Default)]
pub struct LastHealth(Mutex<Option<(Instant, Health)>>);

/// `GET /health`: 200 if taps can be kept, else 503.
///
/// # Errors
/// The server itself failed.
pub async fn health(site: web::Data<Site>) -> Result<HttpResponse, Problem> {
    let asked = site.clone();
    let health = web::block(move || look(&asked)).await?;
    let status = match health.ok {
        true => StatusCode::OK,
        false => StatusCode::SERVICE_UNAVAILABLE,
    };
    Ok(HttpResponse::build(status)
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .json(health))
}

fn look(site: &Site) -> Health {
    // Held while the disk is asked: many who ask at once ask it once.
    let mut last = site.health.0.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((at, health)) = &*last
        && at.elapsed() < GOOD_FOR
    {
        return health.clone();
    }
    let takes_writes = site.days.disk().writes() == Writes::Work;
    let journal_writable = takes_writes && journal::probe(&site.store()).is_ok();
    let journal_sound = site.copies.told().damage.is_none();
    let copies = copies::list(&site.copies_folder()).unwrap_or_default();
    let room = process::room_bytes(&site.data);
    let has_room = room.is_none_or(|bytes| bytes >= ROOM_BYTES_MIN);
    let instead = if !has_room {
        Some("Make room on the disk of the data folder.")
    } else if !journal_writable {
        Some("See to the disk of the data folder; the log says what failed.")
    } else if !journal_sound {
        Some("Stop the board and run putby check, which says what is damaged and what to do.")
    } else {
        None
    };
    let health = Health {
        ok: instead.is_none(),
        journal_writable,
        journal_sound,
        last_copy_at: copies.iter().map(|copy| copy.at).max(),
        days_open: site.days.count(),
        disk_room_bytes: room,
        instead,
    };
    *last = Some((Instant::now(), health.clone()));
    health
}

/// `GET /metrics`: the measures as Prometheus reads them.
///
/// # Errors
/// It is neither the lead nor this computer that asks.
pub async fn metrics(
    site: web::Data<Site>,
    device: Device,
    request: HttpRequest,
) -> Result<HttpResponse, Problem> {
    if !may_read(peer(&request), device.rank) {
        device.rank.must_be(Rank::Lead)?;
    }
    let text = web::block(move || site.days.measures().text(&now(&site))).await?;
    Ok(HttpResponse::Ok()
        .content_type("text/plain; version=0.0.4; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .body(text))
}

fn may_read(peer: IpAddr, rank: Rank) -> bool {
    rank == Rank::Lead || peer.to_canonical().is_loopback()
}

fn now(site: &Site) -> Now {
    let (connections, screens) = site.limiter.held();
    Now {
        connections: connections as u64,
        screens: screens as u64,
        days: site.days.count() as u64,
        waiting: site.days.waiting() as u64,
        journal_bytes: process::journal_bytes(&site.store()),
        room_bytes: process::room_bytes(&site.data).unwrap_or(0),
        resident_bytes: process::resident_bytes(),
        open_files: process::open_files(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn measures_are_for_the_lead_and_for_this_computer() {
        let at = |text: &str| text.parse().unwrap();
        for (peer, role, may) in [
            ("127.0.0.1", Rank::Helper, true),
            ("::1", Rank::Watcher, true),
            ("::ffff:127.0.0.1", Rank::Helper, true),
            ("192.168.1.7", Rank::Lead, true),
            ("192.168.1.7", Rank::Helper, false),
            ("fe80::1", Rank::Watcher, false),
        ] {
            assert_eq!(may_read(at(peer), role), may, "{peer} {role:?}");
        }
    }
}
