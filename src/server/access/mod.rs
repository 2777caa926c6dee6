//! Who may come in, and who may what. One folder for it, so that there is one place to look.
//!
//! `host` says by which names and from which pages the server may be asked, `rank` who may what,
//! `gate` asks both before anything is answered. A device comes in through a door: `lead_key`,
//! `join_code`, the walls' link and the setting beside it in `doors`; `guessing` keeps strangers from
//! trying them all. `devices` are those that came in, `device` the one that asks now, `agent` what a
//! browser says it is. `me`, `list`, `entrance` and `invite` are what a device, the lead's list, the lead's
//! doors and the codes to scan are told over HTTP. What it keeps true: nothing is believed of what a device says of itself; of
//! its secret and of the lead's key only digests are kept; whoever is put out is out at once.

mod agent;
mod device;
mod devices;
mod doors;
pub mod entrance;
pub mod gate;
mod guessing;
mod host;
pub mod invite;
mod join_code;
mod lead_key;
pub mod list;
pub mod me;
pub mod news;
mod rank;
mod secret;

pub use device::Device;
pub use join_code::JoinCode;
pub use lead_key::renew as renew_lead_key;
pub use rank::Rank;

use super::peer::peer;
use super::problem::Problem;
use crate::config::Config;
use crate::day::Role;
use crate::day::time::Timestamp;
use crate::journal::{Digest, Trouble};
use actix_web::HttpRequest;
use actix_web::http::{StatusCode, header};
use agent::Agent;
use anyhow::Context;
use devices::{CameBy, Devices};
use doors::Doors;
use guessing::Guessing;
use host::Hosts;
use lead_key::LeadKey;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::watch;

/// Who may come in and who is in.
pub struct Access {
    /// The names by which the server may be asked.
    hosts: Hosts,
    lead_key: LeadKey,
    /// The lead's key in plain, at the one start at which it is shown.
    shown_once: Option<String>,
    pub(super) devices: Devices,
    pub(super) doors: Doors,
    guessing: Mutex<Guessing>,
    began: Instant,
    /// Whether every device helps at once, without a code.
    is_open: bool,
    /// How often somebody tried what opens no door, since the start.
    wrong: watch::Sender<WrongTries>,
}

/// What was tried in vain, for the lead.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct WrongTries {
    /// How often since the server started.
    pub count: u64,
    /// The last time.
    pub last_at: Option<Timestamp>,
}

/// What a device brings to come in.
#[derive(Debug, Clone)]
pub enum Key {
    /// The lead's key.
    Lead(String),
    /// The code to join by.
    Code(String),
    /// What stands in the walls' link.
    Watch(String),
}

impl Access {
    /// As it was when the server stopped; made at the first start.
    ///
    /// # Errors
    /// The lead's key or the journal cannot be read or made.
    pub fn open(config: &Config, store: &Path) -> anyhow::Result<Access> {
        let (lead_key, shown_once) = LeadKey::open(&config.data).context("the lead's key")?;
        Ok(Access {
            hosts: Hosts::new(&config.names),
            lead_key,
            shown_once,
            devices: Devices::open(store)?,
            doors: Doors::open(store)?,
            guessing: Mutex::default(),
            began: Instant::now(),
            is_open: config.open,
            wrong: watch::Sender::default(),
        })
    }

    /// The lead's key, at the one start at which it can be shown.
    pub fn shown_once(&self) -> Option<&str> {
        self.shown_once.as_deref()
    }

    /// The code by which helpers join; `None` where every device is let in.
    pub fn join_code(&self) -> Option<JoinCode> {
        (!self.is_open).then(|| self.doors.now().code)
    }

    /// Follows what is tried in vain.
    pub fn wrong_tries(&self) -> watch::Receiver<WrongTries> {
        self.wrong.subscribe()
    }

    /// Who asks: by a key in the header for scripts, else by the cookie.
    ///
    /// # Errors
    /// What stands in the header is no key of this board.
    pub fn recognise(&self, request: &HttpRequest, now: Timestamp) -> Result<Device, Problem> {
        let Some(given) = request.headers().get(header::AUTHORIZATION) else {
            let secret = device::secret_in(request).unwrap_or_else(secret::new_device);
            return Ok(self.by_secret(secret, false, now));
        };
        let given = given.to_str().unwrap_or_default();
        let token = given.strip_prefix("Bearer ").unwrap_or_default().trim();
        if self.lead_key.is(token) {
            return Ok(Device::with_lead_key());
        }
        let device = self.by_secret(token.to_owned(), true, now);
        if device.is_known() {
            return Ok(device);
        }
        let taken = self.take_try(request);
        self.tell_wrong(now);
        Err(taken.err().unwrap_or_else(wrong_lead_key))
    }

    /// Who asks, as far as it is on the list; what is wrong is no try here.
    pub fn glance(&self, request: &HttpRequest, now: Timestamp) -> Option<Device> {
        let device = match request.headers().get(header::AUTHORIZATION) {
            Some(given) => {
                let token = given.to_str().ok()?.strip_prefix("Bearer ")?.trim();
                if self.lead_key.is(token) {
                    return Some(Device::with_lead_key());
                }
                self.by_secret(token.to_owned(), true, now)
            }
            None => self.by_secret(device::secret_in(request)?, false, now),
        };
        device.is_known().then_some(device)
    }

    fn by_secret(&self, secret: String, by_header: bool, now: Timestamp) -> Device {
        let known = self.devices.seen(Digest::of(secret.as_bytes()), now);
        let stranger = match self.is_open && !by_header {
            true => Rank::Helper,
            false => Rank::Guest,
        };
        Device::new(secret, by_header, known, stranger)
    }

    /// What a key opens, if it is the right one.
    ///
    /// # Errors
    /// It is not, or too many wrong ones were tried.
    pub fn try_key(
        &self,
        request: &HttpRequest,
        key: &Key,
        now: Timestamp,
    ) -> Result<(Rank, CameBy), Problem> {
        let typed = match key {
            // What is no code at all is no guess either.
            Key::Code(text) => Some(JoinCode::read(text).ok_or_else(no_code)?),
            Key::Lead(_) | Key::Watch(_) => None,
        };
        let opened = self
            .take_try(request)
            .map(|()| self.opens(key, typed.as_ref()));
        match opened {
            Ok(Some(opened)) => {
                self.guesses(|guessing| guessing.give_back(peer(request)));
                Ok(opened)
            }
            Ok(None) => {
                self.tell_wrong(now);
                Err(match key {
                    Key::Lead(_) => wrong_lead_key(),
                    Key::Code(_) => wrong_code(),
                    Key::Watch(_) => wrong_link(),
                })
            }
            Err(problem) => {
                self.tell_wrong(now);
                Err(problem)
            }
        }
    }

    fn opens(&self, key: &Key, typed: Option<&JoinCode>) -> Option<(Rank, CameBy)> {
        let doors = self.doors.now();
        let (fits, opened) = match key {
            Key::Lead(key) => (self.lead_key.is(key), (Rank::Lead, CameBy::Key)),
            Key::Code(_) => (
                typed.is_some_and(|code| doors.code.is(code)),
                (Rank::Helper, CameBy::Code),
            ),
            Key::Watch(token) => (
                secret::is_same(token, &doors.watch),
                (Rank::Watcher, CameBy::Link),
            ),
        };
        fits.then_some(opened)
    }

    /// A try counts before it is looked at, so that many at once are not more than one after the
    /// other.
    fn take_try(&self, request: &HttpRequest) -> Result<(), Problem> {
        let taken = self.guesses(|guessing| guessing.take(self.began.elapsed(), peer(request)));
        taken.map_err(too_many_tries)
    }

    fn tell_wrong(&self, now: Timestamp) {
        self.wrong.send_modify(|wrong| {
            wrong.count += 1;
            wrong.last_at = Some(now);
        });
    }

    fn guesses<T>(&self, look: impl FnOnce(&mut Guessing) -> T) -> T {
        look(&mut self.guessing.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Lets a device in, or further in. It gets a new secret by that, so that one which somebody
    /// else may have planted in its browser is worth nothing. Writes to disk.
    ///
    /// # Errors
    /// It cannot be kept.
    pub fn let_in(
        &self,
        device: &Device,
        (rank, came_by): (Rank, CameBy),
        agent: &Agent,
        now: Timestamp,
    ) -> Result<Device, Trouble> {
        if rank <= device.rank {
            return Ok(device.clone());
        }
        let secret = secret::new_device();
        let known = self
            .devices
            .let_in(&secret, device.known_as(), rank, came_by, agent, now)?;
        Ok(Device::new(secret, false, Some(known), Rank::Guest))
    }
}

impl Access {
    /// Gives a device a lower role. Writes to disk.
    ///
    /// # Errors
    /// It cannot be kept.
    fn step_down(
        &self,
        device: &Device,
        role: Role,
        agent: &Agent,
        now: Timestamp,
    ) -> Result<Device, Trouble> {
        let known = self.devices.step_down(device.digest(), role, agent, now)?;
        Ok(device.now_known(known))
    }
}

fn too_many_tries(wait: Duration) -> Problem {
    let seconds = wait.as_secs() + 1;
    Problem::new(
        StatusCode::TOO_MANY_REQUESTS,
        "too-many-tries",
        "Too many wrong codes were tried.",
        format!("Wait {seconds} seconds, look at the code again, and type it once more."),
    )
    .over_after(seconds)
}

fn wrong_lead_key() -> Problem {
    Problem::new(
        StatusCode::FORBIDDEN,
        "wrong-lead-key",
        "This is not the lead's key.",
        "It was shown in the terminal at the first start. On the board's computer `putby lead-key` \
         makes another.",
    )
}

fn wrong_code() -> Problem {
    Problem::new(
        StatusCode::FORBIDDEN,
        "wrong-code",
        "This is not the code of today.",
        "Look at the wall or ask the lead; the code may have been changed.",
    )
}

fn no_code() -> Problem {
    Problem::malformed(
        "A code has eight letters and digits.",
        "Type all eight; capitals, spaces and hyphens do not matter.",
    )
}

fn wrong_link() -> Problem {
    Problem::new(
        StatusCode::FORBIDDEN,
        "wrong-link",
        "This link no longer opens the board.",
        "Ask the lead for the new one.",
    )
}
