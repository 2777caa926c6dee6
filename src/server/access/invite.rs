//! The addresses by which another device comes in, and their pictures to scan.
//!
//! What it keeps true: a code or a link stands only in the part of an address that no browser sends,
//! and is told only to who may pass it on: the lead always, others while the lead lets walls show it.

use super::{Device, Rank};
use crate::day::ids::DayId;
use crate::server::Site;
use crate::server::addresses::qr_svg;
use crate::server::problem::Problem;
use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse, web};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How another device joins.
#[derive(Serialize, JsonSchema)]
pub struct Join {
    /// The code, where there is one and this device may see it.
    #[serde(skip_serializing_if = "Option::is_none")]
    code: Option<String>,
    /// Whether this device may show how to join.
    shown: bool,
    addresses: Vec<String>,
    plain: Vec<String>,
}

/// Whether a device may pass on how to join.
fn may_show(site: &Site, device: &Device) -> bool {
    device.rank >= Rank::Lead || site.access.doors.now().wall_shows
}

/// `GET /api/join`: the addresses to open on another device, by number and by plain name, and the
/// code to type there.
pub async fn join(site: web::Data<Site>, device: Device) -> HttpResponse {
    let shown = may_show(&site, &device);
    let code = site.access.join_code().filter(|_| shown);
    HttpResponse::Ok().json(Join {
        code: code.map(|code| code.to_string()),
        shown,
        addresses: site.addresses(),
        plain: site.plain_addresses(),
    })
}

/// Where a picture leads to.
#[derive(Deserialize, JsonSchema)]
pub struct Destination {
    /// The day to join; without it, whichever goes on.
    day: Option<DayId>,
}

type Asked = Option<web::Query<Destination>>;

/// `GET /api/join.svg?day=ID`: the address to open on another device as a QR code, with the code for
/// joining, of the page on which a day is joined if one is named.
///
/// # Errors
/// The day's id is none, this device may not pass the code on, or the address is too long.
pub async fn join_svg(
    site: web::Data<Site>,
    device: Device,
    to: Asked,
    request: HttpRequest,
) -> Result<HttpResponse, Problem> {
    let day = day_of(to)?;
    if !may_show(&site, &device) {
        return Err(device
            .rank
            .must_be(Rank::Lead)
            .err()
            .unwrap_or_else(|| Problem::internal("the lead may see the code")));
    }
    let page = day.map(|day| format!("day/{day}/join"));
    picture(&with_code(&site, &join_address(&site, &request), page))
}

/// `GET /api/watch.svg?day=ID`: the walls' link as a QR code. For the lead.
///
/// # Errors
/// The day's id is none, or the address is too long.
pub async fn watch_svg(
    site: web::Data<Site>,
    to: Asked,
    request: HttpRequest,
) -> Result<HttpResponse, Problem> {
    let page = day_of(to)?.map(|day| format!("/day/{day}/wall"));
    let watch = site.access.doors.now().watch;
    let address = join_address(&site, &request);
    picture(&format!(
        "{address}#/watch/{watch}{}",
        page.unwrap_or_default()
    ))
}

/// An address with the code in the part that is not sent, and the page it then leads to.
pub fn with_code(site: &Site, address: &str, page: Option<String>) -> String {
    match (site.access.join_code(), page) {
        (Some(code), Some(page)) => format!("{address}#/code/{code}/{page}"),
        (Some(code), None) => format!("{address}#/code/{code}"),
        (None, Some(page)) => format!("{address}#/{page}"),
        (None, None) => address.to_owned(),
    }
}

fn day_of(to: Asked) -> Result<Option<DayId>, Problem> {
    let to = to.ok_or_else(|| {
        Problem::malformed(
            "\"day\" must be the id of a day.",
            "Ask for ?day=ID, or leave it out.",
        )
    })?;
    Ok(to.into_inner().day)
}

fn picture(address: &str) -> Result<HttpResponse, Problem> {
    let svg = qr_svg(address).ok_or_else(|| Problem::internal("address too long for a code"))?;
    Ok(HttpResponse::Ok().content_type("image/svg+xml").body(svg))
}

/// The address this device came by, if every other can use it too; else the first that they can.
pub fn join_address(site: &Site, request: &HttpRequest) -> String {
    let host = request.headers().get(header::HOST);
    let host = host.and_then(|host| host.to_str().ok()).unwrap_or_default();
    let first = site.addresses().into_iter().next();
    first
        .filter(|_| host.is_empty() || is_for_some_only(host))
        .unwrap_or_else(|| format!("{}://{host}/", site.scheme()))
}

/// Whether only this computer knows a host, or only devices that speak multicast DNS, which older
/// phones do not.
fn is_for_some_only(host: &str) -> bool {
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    let here = ["localhost", "127.", "[::1]"];
    here.iter().any(|here| host.starts_with(here)) || name.ends_with(".local")
}

#[cfg(test)]
mod tests {
    use super::is_for_some_only;

    #[test]
    fn a_code_leads_to_a_number_unless_the_name_is_everybodys() {
        for host in [
            "localhost:8080",
            "127.0.0.1",
            "[::1]:80",
            "putby.local:8080",
        ] {
            assert!(is_for_some_only(host), "{host}");
        }
        for host in ["192.168.1.5:8080", "board.example.org", "[fd00::5]:8080"] {
            assert!(!is_for_some_only(host), "{host}");
        }
    }
}
