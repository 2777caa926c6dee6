//! Devices: browsers and scripts, and what each may do.
//!
//! A browser is known by a random secret in a cookie that no script on a page can read. Only the
//! secret's digest is kept here, and only for devices that are not plain helpers. What it keeps
//! true: the role is decided here, for every request, never by what the device says of itself.

use super::Site;
use super::lead_key::is_same;
use super::problem::Problem;
use crate::day::Role;
use crate::journal::{Digest, RoleBook, Trouble};
use actix_web::cookie::{Cookie, SameSite, time::Duration};
use actix_web::http::{StatusCode, header};
use actix_web::{FromRequest, HttpRequest, dev, web};
use dashmap::DashMap;
use std::future::{Ready, ready};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

const COOKIE: &str = "putby-device";
/// A season: the lead's tablet is still the lead's when the peaches come after the plums.
const COOKIE_DAYS: i64 = 180;

/// Who gave a request.
#[derive(Debug, Clone)]
pub struct Device {
    /// The secret, to be set again as a cookie; empty for a script with the lead's key.
    secret: String,
    /// What it may do.
    pub role: Role,
}

impl Device {
    /// What it is called: tells devices apart and gives no secret away.
    pub fn id(&self) -> String {
        hex::encode(&self.digest().0[..8])
    }

    /// The cookie by which it is known the next time.
    pub fn cookie(&self) -> Cookie<'static> {
        Cookie::build(COOKIE, self.secret.clone())
            .path("/")
            .http_only(true)
            .same_site(SameSite::Strict)
            .max_age(Duration::days(COOKIE_DAYS))
            .finish()
    }

    /// Whether it may do what only the lead may and no day's rules decide on.
    ///
    /// # Errors
    /// It is not the lead's; `only` says in a sentence what is refused.
    pub fn must_lead(&self, only: &str) -> Result<(), Problem> {
        if self.role == Role::Lead {
            return Ok(());
        }
        Err(Problem::new(
            StatusCode::FORBIDDEN,
            "lead-only",
            only,
            "Ask the lead, or open the lead's address that the terminal shows.",
        ))
    }

    fn digest(&self) -> Digest {
        Digest::of(self.secret.as_bytes())
    }
}

/// The roles of all devices.
pub struct Devices {
    lead_key: String,
    roles: DashMap<Digest, Role>,
    book: Mutex<RoleBook>,
}

impl Devices {
    /// As they were when the server stopped.
    ///
    /// # Errors
    /// They cannot be read.
    pub fn open(store: &Path, lead_key: String) -> Result<Devices, Trouble> {
        let book = RoleBook::open(store)?;
        let roles = book.all()?.into_iter().collect();
        Ok(Devices {
            lead_key,
            roles,
            book: Mutex::new(book),
        })
    }

    /// The lead's key, to be shown in the terminal.
    pub fn lead_key(&self) -> &str {
        &self.lead_key
    }

    /// Whether this is the lead's key.
    pub fn is_lead_key(&self, key: &str) -> bool {
        is_same(&self.lead_key, key)
    }

    /// Gives a device a role, kept over restarts. Writes to disk.
    ///
    /// # Errors
    /// It cannot be kept; the role is as before then.
    pub fn set_role(&self, device: &Device, role: Role) -> Result<(), Trouble> {
        let digest = device.digest();
        let book = self.book.lock().unwrap_or_else(PoisonError::into_inner);
        book.set(digest, role)?;
        self.roles.insert(digest, role);
        Ok(())
    }

    fn recognise(&self, request: &HttpRequest) -> Result<Device, Problem> {
        if let Some(given) = request.headers().get(header::AUTHORIZATION) {
            return self.by_key(given.to_str().unwrap_or_default());
        }
        let known = request
            .cookie(COOKIE)
            .filter(|cookie| is_secret(cookie.value()));
        let secret = known.map_or_else(new_secret, |cookie| cookie.value().to_owned());
        let mut device = Device {
            secret,
            role: Role::Helper,
        };
        if let Some(role) = self.roles.get(&device.digest()) {
            device.role = *role;
        }
        Ok(device)
    }

    fn by_key(&self, given: &str) -> Result<Device, Problem> {
        let key = given.strip_prefix("Bearer ").unwrap_or_default().trim();
        if !self.is_lead_key(key) {
            return Err(wrong_key());
        }
        Ok(Device {
            secret: String::new(),
            role: Role::Lead,
        })
    }
}

/// The answer to a key that is not the lead's.
pub fn wrong_key() -> Problem {
    Problem::new(
        StatusCode::FORBIDDEN,
        "wrong-lead-key",
        "This is not the lead's key.",
        "Take the key from the terminal in which the server runs.",
    )
}

fn new_secret() -> String {
    hex::encode(rand::random::<[u8; 24]>())
}

fn is_secret(text: &str) -> bool {
    text.len() == 48 && text.chars().all(|c| c.is_ascii_hexdigit())
}

impl FromRequest for Device {
    type Error = Problem;
    type Future = Ready<Result<Device, Problem>>;

    fn from_request(request: &HttpRequest, _: &mut dev::Payload) -> Self::Future {
        let site = request
            .app_data::<web::Data<Site>>()
            .expect("the site is given to every application in build");
        ready(site.devices.recognise(request))
    }
}
