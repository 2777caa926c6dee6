//! How much a device and an address may ask for, so that one cannot slow the others.
//!
//! An address is counted first, since a device can call itself by as many names as it likes; then
//! the device within it. What it keeps true: whoever asks too much hears what to do and when, and
//! nothing of it was done; the addresses of the lead's devices find a place when all are taken.

mod buckets;
mod guard;
mod places;

pub use guard::{admit, guard};
pub use places::Place;

use super::problem::Problem;
use crate::config::{DEVICES_AT_AN_ADDRESS, Limits};
use actix_web::http::StatusCode;
use buckets::Buckets;
use places::{Full, Places};
use std::collections::VecDeque;
use std::hash::Hash;
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::Semaphore;

/// Places beyond the others' for an address of the lead's.
const LEAD_SPARE: usize = 8;
/// How many addresses of the lead's are remembered: a laptop and a few tablets.
const LEAD_ADDRESSES: usize = 8;
/// How many long calculations run at a time; others wait for their turn.
const LONG_WORK_AT_A_TIME: usize = 2;
/// What is said to wait when a place must first become free.
const UNTIL_A_PLACE: Duration = Duration::from_secs(2);

/// Who is counted.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Who {
    /// A device with a cookie or a key of its own.
    Device(String),
    /// Anybody at an address.
    Address(IpAddr),
}

/// A place that is held for a command until it is answered.
pub type Waiting = (Place<Who>, Place<IpAddr>);

/// The limits at work.
pub struct Limiter {
    began: Instant,
    requests: Mutex<Buckets<IpAddr>>,
    handshakes: Mutex<Buckets<IpAddr>>,
    commands: Mutex<Buckets<Who>>,
    commands_at: Mutex<Buckets<IpAddr>>,
    waiting: Places<Who>,
    waiting_at: Places<IpAddr>,
    connections: Places<IpAddr>,
    sockets: Places<IpAddr>,
    lead_at: Mutex<VecDeque<IpAddr>>,
    long_work: Semaphore,
}

impl Limiter {
    /// Nobody has asked for anything yet. Rates are multiplied by `speed`.
    pub fn new(limits: &Limits, speed: f64) -> Limiter {
        let many = DEVICES_AT_AN_ADDRESS;
        let (per_s, burst) = (limits.commands_per_s, limits.commands_burst);
        let bucket = |per_s: u32, burst: u32| (f64::from(per_s) * speed, f64::from(burst) * speed);
        fn mutex<K: Hash + Eq + Clone>((per_s, burst): (f64, f64)) -> Mutex<Buckets<K>> {
            Mutex::new(Buckets::new(per_s, burst))
        }
        Limiter {
            began: Instant::now(),
            requests: mutex(bucket(limits.requests_per_s, limits.requests_burst)),
            handshakes: mutex(bucket(limits.handshakes_per_s, limits.handshakes_burst)),
            commands: mutex(bucket(per_s, burst)),
            commands_at: mutex(bucket(per_s * many, burst * many)),
            waiting: Places::new(usize::MAX / 2, limits.commands_waiting),
            waiting_at: Places::new(usize::MAX / 2, limits.commands_waiting * many as usize),
            connections: Places::new(limits.connections, limits.connections_per_address),
            sockets: Places::new(limits.sockets, limits.sockets_per_address),
            lead_at: Mutex::default(),
            long_work: Semaphore::new(LONG_WORK_AT_A_TIME),
        }
    }

    /// A connection from an address.
    ///
    /// # Errors
    /// There are too many.
    pub fn connection(&self, address: IpAddr) -> Result<Place<IpAddr>, Problem> {
        let place = self.connections.take(&address, self.spare(address));
        place.map_err(|full| no_place(full, "too-many-connections", "connections"))
    }

    /// A live screen at an address.
    ///
    /// # Errors
    /// There are too many.
    pub fn socket(&self, address: IpAddr) -> Result<Place<IpAddr>, Problem> {
        let place = self.sockets.take(&address, self.spare(address));
        place.map_err(|full| no_place(full, "too-many-screens", "live screens"))
    }

    /// How many connections, and how many live screens, there are.
    pub fn held(&self) -> (usize, usize) {
        (self.connections.held(), self.sockets.held())
    }

    fn request(&self, address: IpAddr) -> Result<(), Problem> {
        self.take(&self.requests, &address)
            .map_err(|wait| too_often("too-many-requests", "requests from this address", wait))
    }

    fn handshake(&self, address: IpAddr) -> Result<(), Problem> {
        self.take(&self.handshakes, &address).map_err(|wait| {
            too_often(
                "too-many-openings",
                "new live screens at this address",
                wait,
            )
        })
    }

    fn command(&self, who: &Who, address: IpAddr) -> Result<Waiting, Problem> {
        let too_many = |wait| too_often("too-many-commands", "commands from this device", wait);
        self.take(&self.commands_at, &address).map_err(too_many)?;
        self.take(&self.commands, who).map_err(too_many)?;
        let places = self.waiting.take(who, 0).and_then(|place| {
            let at = self.waiting_at.take(&address, 0)?;
            Ok((place, at))
        });
        places.map_err(|_| {
            Problem::slow_down(
                StatusCode::TOO_MANY_REQUESTS,
                "too-many-waiting",
                "Too many commands from this device wait for their answer; this one was not done.",
                "Wait for the answers, then send the same command once more, under the same id.",
                Duration::from_secs(1),
            )
        })
    }

    /// Remembers where a device of the lead's is.
    fn lead_is_at(&self, address: IpAddr) {
        let mut known = self.lead_at.lock().unwrap_or_else(PoisonError::into_inner);
        if known.contains(&address) {
            return;
        }
        known.push_front(address);
        known.truncate(LEAD_ADDRESSES);
    }

    fn spare(&self, address: IpAddr) -> usize {
        let known = self.lead_at.lock().unwrap_or_else(PoisonError::into_inner);
        if known.contains(&address) {
            LEAD_SPARE
        } else {
            0
        }
    }

    fn take<K: Hash + Eq + Clone>(
        &self,
        buckets: &Mutex<Buckets<K>>,
        key: &K,
    ) -> Result<(), Duration> {
        let mut buckets = buckets.lock().unwrap_or_else(PoisonError::into_inner);
        buckets.take(key, self.began.elapsed())
    }
}

fn too_often(code: &str, what: &str, wait: Duration) -> Problem {
    Problem::slow_down(
        StatusCode::TOO_MANY_REQUESTS,
        code,
        format!("Too many {what} in a short time; this one was not done."),
        "Wait a moment, then send the same once more; a command under the same id.",
        wait,
    )
}

fn no_place(full: Full, code: &str, what: &str) -> Problem {
    let (status, detail, instead) = match full {
        Full::Key => (
            StatusCode::TOO_MANY_REQUESTS,
            format!("This address has as many {what} as one may have."),
            "Close some of them, then try again.",
        ),
        Full::All => (
            StatusCode::SERVICE_UNAVAILABLE,
            format!("There are as many {what} as this board allows."),
            "Close some on other devices, then try again; serve --help tells how to allow more.",
        ),
    };
    Problem::slow_down(status, code, detail, instead, UNTIL_A_PLACE)
}
