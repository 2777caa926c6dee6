//! The lead's doors: the code, the link for walls, what walls show, and what was tried in vain.

use super::WrongTries;
use crate::server::Site;
use crate::server::json::{COMMAND_BYTES_MAX, read};
use crate::server::problem::Problem;
use actix_web::{HttpRequest, HttpResponse, web};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The doors, as the lead is told of them.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Doors")]
pub struct Entrance {
    /// None where every device is let in.
    #[serde(skip_serializing_if = "Option::is_none")]
    code: Option<String>,
    /// What stands in the walls' link.
    watch: String,
    wall_shows_code: bool,
    wrong_tries: WrongTries,
}

fn told(site: &Site) -> HttpResponse {
    let now = site.access.doors.now();
    HttpResponse::Ok().json(Entrance {
        code: site.access.join_code().map(|code| code.to_string()),
        watch: now.watch,
        wall_shows_code: now.wall_shows,
        wrong_tries: *site.access.wrong_tries().borrow(),
    })
}

/// `GET /api/doors`: how devices come in. For the lead.
pub async fn doors(site: web::Data<Site>) -> HttpResponse {
    told(&site)
}

/// What the lead changes.
#[derive(Deserialize, JsonSchema)]
#[schemars(rename = "DoorChange")]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Change {
    /// Another code, or another link; devices that came by that link are out.
    Renew(Door),
    /// Whether walls show the code.
    WallShowsCode(bool),
}

/// What can be renewed.
#[derive(Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Door {
    /// The code for joining.
    Code,
    /// The walls' link.
    Watch,
}

/// `POST /api/doors`: changes one of them. For the lead. Answers with how they are then.
///
/// # Errors
/// It is malformed, or cannot be kept.
pub async fn post_doors(
    site: web::Data<Site>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let change = read(&request, payload, COMMAND_BYTES_MAX).await?;
    let keeper = site.clone();
    web::block(move || {
        let access = &keeper.access;
        let kept = match change {
            Change::Renew(Door::Code) => access.doors.renew_code(),
            Change::Renew(Door::Watch) => access
                .doors
                .renew_watch()
                .and_then(|()| access.devices.put_out_walls()),
            Change::WallShowsCode(shows) => access.doors.let_wall_show(shows),
        };
        keeper.days.disk().confirmed(kept)
    })
    .await??;
    Ok(told(&site))
}
