//! The lead's list of devices: who is in, a key for a script, and putting a device out.

use super::device::name_of;
use super::devices::StaysIn;
use super::secret;
use crate::day::Role;
use crate::day::time::Timestamp;
use crate::journal::{Digest, KeptDevice};
use crate::server::Site;
use crate::server::holders::Stand;
use crate::server::json::{COMMAND_BYTES_MAX, read};
use crate::server::problem::Problem;
use actix_web::http::StatusCode;
use actix_web::{HttpRequest, HttpResponse, web};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The longest name of a script.
const NAME_CHARS_MAX: usize = 24;

/// A device in the list.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "DeviceLine")]
struct Line {
    device: String,
    role: Role,
    came_by: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    name: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    browser: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    system: String,
    #[serde(skip_serializing_if = "is_unknown")]
    joined_at: Timestamp,
    #[serde(skip_serializing_if = "is_unknown")]
    seen_at: Timestamp,
    stands_for: Vec<Stand>,
}

fn is_unknown(at: &Timestamp) -> bool {
    at.0 == 0
}

/// Every device that is in.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "DeviceList")]
pub struct List {
    devices: Vec<Line>,
}

fn list(site: &Site) -> List {
    let line = |kept: KeptDevice| {
        let device = name_of(kept.device);
        Line {
            stands_for: site.holders.stands_for(&device),
            device,
            role: kept.role,
            came_by: kept.came_by,
            name: kept.name,
            browser: kept.browser,
            system: kept.system,
            joined_at: kept.joined_at,
            seen_at: kept.seen_at,
        }
    };
    let all = site.access.devices.all().into_iter();
    List {
        devices: all.map(line).collect(),
    }
}

/// `GET /api/devices`: every device that is in. For the lead.
pub async fn devices(site: web::Data<Site>) -> HttpResponse {
    HttpResponse::Ok().json(list(&site))
}

/// A key for a script.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScriptRequest {
    /// By which the lead knows it again.
    name: String,
    /// What it may do.
    role: ScriptRole,
}

/// A script never leads by a key of the list; the lead's key is there for that.
#[derive(Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum ScriptRole {
    Helper,
    Watcher,
}

/// A key, told once.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "MadeKey")]
pub struct Made {
    device: String,
    token: String,
}

/// `POST /api/devices`: a key for a script, told this once. For the lead.
///
/// # Errors
/// It is malformed, or cannot be kept.
pub async fn make(
    site: web::Data<Site>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let ScriptRequest { name, role } = read(&request, payload, COMMAND_BYTES_MAX).await?;
    let name = name.trim().to_owned();
    let shown = !name.is_empty() && !name.chars().any(char::is_control);
    if !shown || name.chars().count() > NAME_CHARS_MAX {
        return Err(Problem::malformed(
            "A key needs a name by which you know it again.",
            format!("Write 1 to {NAME_CHARS_MAX} letters."),
        ));
    }
    let rank = match role {
        ScriptRole::Helper => Role::Helper.into(),
        ScriptRole::Watcher => Role::Watcher.into(),
    };
    let token = secret::new_device();
    let now = site.days.clock().now();
    let made = Made {
        device: name_of(Digest::of(token.as_bytes())),
        token: token.clone(),
    };
    web::block(move || {
        let devices = &site.access.devices;
        let kept = devices.let_in_script(&token, &name, rank, now);
        site.days.disk().confirmed(kept)
    })
    .await??;
    Ok(HttpResponse::Created().json(made))
}

/// How a device is put out.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PutOutRequest {
    /// Said where the last of the lead's devices is meant.
    #[serde(default)]
    last_too: bool,
}

/// `POST /api/devices/{device}/remove`: puts a device out; it is a guest from then on, and what it
/// follows ends. For the lead. Answers with the list that is left.
///
/// # Errors
/// There is no such device, it is the last of the lead's and nobody said that this is meant, or it
/// cannot be written.
pub async fn remove(
    site: web::Data<Site>,
    device: web::Path<String>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let PutOutRequest { last_too } = read(&request, payload, COMMAND_BYTES_MAX).await?;
    let keeper = site.clone();
    let name = device.clone();
    web::block(move || {
        let out = keeper.access.devices.put_out(&name, last_too);
        if let Err(StaysIn::Trouble(trouble)) = &out {
            keeper.days.disk().note(trouble);
        }
        out
    })
    .await??;
    site.holders.forget(&device);
    Ok(HttpResponse::Ok().json(list(&site)))
}

impl From<StaysIn> for Problem {
    fn from(why: StaysIn) -> Problem {
        match why {
            StaysIn::Unknown => Problem::new(
                StatusCode::NOT_FOUND,
                "unknown-device",
                "There is no such device in the list.",
                "Look at the list again; it may be out already.",
            ),
            StaysIn::LastLead => Problem::new(
                StatusCode::CONFLICT,
                "last-lead",
                "This is the only device of the lead. Without it nobody leads until the lead's key is \
                 typed again.",
                "Keep the lead's key at hand, then say that this is meant.",
            ),
            StaysIn::Trouble(trouble) => trouble.into(),
        }
    }
}
