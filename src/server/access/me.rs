//! This device, as it is told of itself, and what it asks to be.

use super::device::{Device, agent_of};
use super::invite::join_address;
use super::{Key, Rank};
use crate::day::Role;
use crate::engine::Time;
use crate::server::Site;
use crate::server::json::{COMMAND_BYTES_MAX, read};
use crate::server::problem::Problem;
use actix_web::http::StatusCode;
use actix_web::{HttpRequest, HttpResponse, web};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// This device, as it is told of itself.
#[derive(Serialize, JsonSchema)]
pub struct Me {
    device: String,
    role: Rank,
    clock: Time,
    address: String,
}

/// The answer, with the cookie by which the device is known the next time.
fn told(site: &Site, device: &Device, request: &HttpRequest) -> HttpResponse {
    let me = Me {
        device: device.id(),
        role: device.rank,
        clock: Time::of(&*site.days.clock()),
        address: join_address(site, request),
    };
    let mut answer = HttpResponse::Ok();
    if let Some(mut cookie) = device.cookie() {
        cookie.set_secure(site.scheme() == "https");
        answer.cookie(cookie);
    }
    answer.json(me)
}

/// `GET /api/me`: what this device is and may do.
pub async fn me(site: web::Data<Site>, device: Device, request: HttpRequest) -> HttpResponse {
    told(&site, &device, &request)
}

/// What a device asks to be.
#[derive(Deserialize, JsonSchema)]
#[schemars(rename = "Entry")]
#[serde(untagged, deny_unknown_fields)]
pub enum Wish {
    /// The lead's, by the lead's key.
    Lead {
        /// As it was shown.
        lead_key: String,
    },
    /// A helper's, by the code for joining.
    Join {
        /// As it stands on the wall; capitals, spaces and hyphens do not matter.
        code: String,
    },
    /// A wall's, by the walls' link.
    Watch {
        /// The last part of the link.
        watch: String,
    },
    /// A lower rank, without a key.
    Plain {
        /// Which.
        role: PlainRole,
    },
}

/// A rank that needs no key.
#[derive(Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PlainRole {
    /// Taps.
    Helper,
    /// Looks.
    Watcher,
}

impl From<PlainRole> for Role {
    fn from(role: PlainRole) -> Role {
        match role {
            PlainRole::Helper => Role::Helper,
            PlainRole::Watcher => Role::Watcher,
        }
    }
}

/// `POST /api/me`: another rank for this device: a higher one with a key, a lower one without.
///
/// # Errors
/// The key is wrong or too many were tried, a higher rank was asked for without one, or it cannot be
/// kept.
pub async fn post_me(
    site: web::Data<Site>,
    device: Device,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let key = match read(&request, payload, COMMAND_BYTES_MAX).await? {
        Wish::Lead { lead_key } => Key::Lead(lead_key),
        Wish::Join { code } => Key::Code(code),
        Wish::Watch { watch } => Key::Watch(watch),
        Wish::Plain { role } => return step_down(site, device, request, role.into()).await,
    };
    let now = site.days.clock().now();
    let opened = site.access.try_key(&request, &key, now)?;
    let agent = agent_of(&request);
    let (keeper, before) = (site.clone(), device.clone());
    let keep = move || {
        let kept = keeper.access.let_in(&before, opened, &agent, now);
        keeper.days.disk().confirmed(kept)
    };
    let now_known = web::block(keep).await??;
    site.holders.rename(&device.id(), &now_known.id());
    Ok(told(&site, &now_known, &request))
}

async fn step_down(
    site: web::Data<Site>,
    device: Device,
    request: HttpRequest,
    role: Role,
) -> Result<HttpResponse, Problem> {
    device.rank.must_be(role.into())?;
    if device.is_script() {
        return Err(Problem::new(
            StatusCode::CONFLICT,
            "fixed-role",
            "What a key in the header may do cannot be changed.",
            "Leave the header out, or let the lead make a key with another role.",
        ));
    }
    let now = site.days.clock().now();
    let agent = agent_of(&request);
    let keeper = site.clone();
    let keep = move || {
        let kept = keeper.access.step_down(&device, role, &agent, now);
        keeper.days.disk().confirmed(kept)
    };
    let now_known = web::block(keep).await??;
    Ok(told(&site, &now_known, &request))
}
