//! The shelf over HTTP: what is there, as JSON and as a table; orders; and the lots of a day with
//! the code that leads to each lot's page.
//!
//! Nothing is pushed: pages ask again after an order, when they are looked at, and now and then.

use super::Site;
use super::access::Device;
use super::access::invite::join_address;
use super::addresses::qr_svg;
use super::json::{COMMAND_BYTES_MAX, CommandRequest, read};
use super::problem::Problem;
use crate::day::amount::Amount;
use crate::day::ids::DayId;
use crate::day::state::Phase;
use crate::day::time::Timestamp;
use crate::engine::{Receipt, ShelfNow, ShelfOrder, ShelfUnanswered};
use crate::shelf::{self, Command, LotRef, ShelfView, Uses, Verdict};
use crate::trace::{LotCode, PackageLot, Place};
use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse, web};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// The shelf with the moment it was told.
#[derive(Serialize, JsonSchema)]
pub struct ShelfTold {
    now: Timestamp,
    seq: u64,
    #[serde(flatten)]
    shelf: ShelfView,
    /// Days whose events cannot be read.
    unreadable: BTreeSet<DayId>,
}

/// `GET /api/shelf`: everything that was put by and what became of it.
///
/// # Errors
/// It cannot be read.
pub async fn shelf(site: web::Data<Site>) -> Result<web::Json<ShelfTold>, Problem> {
    let told = |shelf: &ShelfNow<'_>| ShelfTold {
        now: shelf.now,
        seq: shelf.seq,
        shelf: shelf::view(shelf.state, shelf.now),
        unreadable: shelf.unreadable.clone(),
    };
    Ok(web::Json(look(site, told).await?))
}

/// `GET /api/shelf.csv`: what is left, as a table.
///
/// # Errors
/// It cannot be read.
pub async fn shelf_csv(site: web::Data<Site>) -> Result<HttpResponse, Problem> {
    let told = |shelf: &ShelfNow<'_>| shelf::csv(&shelf::view(shelf.state, shelf.now));
    let table = look(site, told).await?;
    Ok(HttpResponse::Ok()
        .content_type("text/csv; charset=utf-8")
        .insert_header((
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"shelf.csv\"",
        ))
        .body(table))
}

/// `GET /api/shelf/uses`: its history in short, for planning.
///
/// # Errors
/// It cannot be read.
pub async fn uses(site: web::Data<Site>) -> Result<web::Json<Uses>, Problem> {
    let told = |shelf: &ShelfNow<'_>| shelf::uses(shelf.state, shelf.now);
    Ok(web::Json(look(site, told).await?))
}

/// `POST /api/shelf/commands`: one command.
///
/// # Errors
/// It is malformed, or the rules refuse it.
pub async fn post_command(
    site: web::Data<Site>,
    device: Device,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<web::Json<Receipt>, Problem> {
    let CommandRequest::<Command> { id, command } =
        read(&request, payload, COMMAND_BYTES_MAX).await?;
    let order = ShelfOrder {
        id,
        command,
        role: device.role(),
    };
    let receipt = web::block(move || site.shelf.order(&order)).await??;
    Ok(web::Json(receipt))
}

/// The lots of a day and what is left of them.
#[derive(Serialize, JsonSchema)]
pub struct LotsTold {
    now: Timestamp,
    day: DayId,
    name: String,
    date: String,
    phase: Phase,
    lots: BTreeMap<LotCode, LotTold>,
}

#[derive(Serialize, JsonSchema)]
struct LotTold {
    #[serde(flatten)]
    lot: PackageLot,
    left: BTreeMap<Place, Amount>,
    eaten: Amount,
    judged: BTreeMap<Verdict, u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    recalled: Option<RecallTold>,
}

#[derive(Serialize, JsonSchema)]
struct RecallTold {
    at: Timestamp,
    reason: String,
}

/// `GET /api/days/{day}/lots`: where the packages of a day come from and where they are.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn lots(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<web::Json<LotsTold>, Problem> {
    let id = DayId::try_from(day.as_str()).map_err(|_| Problem::unknown_day(&day))?;
    let told = look(site, move |shelf| lots_told(shelf, id)).await?;
    let told = told.ok_or_else(|| Problem::unknown_day(&day))?;
    Ok(web::Json(told))
}

fn lots_told(shelf: &ShelfNow<'_>, id: DayId) -> Option<LotsTold> {
    let (_, day) = shelf.state.days().find(|(day, _)| **day == id)?;
    let lots = day.lots.iter().map(|(code, lot)| {
        let at = LotRef {
            day: id.clone(),
            code: code.clone(),
        };
        let left = Place::ALL.map(|place| (place, shelf.state.left(&at, place)));
        let told = LotTold {
            lot: lot.clone(),
            left: left
                .into_iter()
                .filter(|(_, left)| *left != Amount::ZERO)
                .collect(),
            eaten: shelf.state.taken(&at),
            judged: shelf.state.kept(&at).judged,
            recalled: shelf.state.recall(&at).map(|recall| RecallTold {
                at: recall.at,
                reason: recall.reason.clone(),
            }),
        };
        (code.clone(), told)
    });
    Some(LotsTold {
        now: shelf.now,
        name: day.name.clone(),
        date: day.date.clone(),
        phase: day.phase,
        lots: lots.collect(),
        day: id,
    })
}

/// `GET /api/days/{day}/lots/{code}.svg`: the address of a lot's page as a QR code.
///
/// # Errors
/// The day has no such lot, or the address is too long for a code.
pub async fn lot_svg(
    site: web::Data<Site>,
    path: web::Path<(String, String)>,
    request: HttpRequest,
) -> Result<HttpResponse, Problem> {
    let (day, code) = path.into_inner();
    let address = join_address(&site, &request);
    let at = lot_ref(&day, &code)?;
    let known = at.clone();
    let there = look(site, move |shelf| shelf.state.lot(&known).is_some()).await?;
    if !there {
        return Err(ShelfUnanswered::Refused(shelf::unknown_lot(&at)).into());
    }
    let svg = qr_svg(&format!("{address}#/lot/{}/{}", at.day, at.code))
        .ok_or_else(|| Problem::internal("address too long for a code"))?;
    Ok(HttpResponse::Ok().content_type("image/svg+xml").body(svg))
}

fn lot_ref(day: &str, code: &str) -> Result<LotRef, Problem> {
    let day = DayId::try_from(day).map_err(|_| Problem::unknown_day(day))?;
    let code = LotCode::try_from(code.to_owned()).map_err(|bad| {
        Problem::malformed(bad.to_string(), "Copy the code from the label, all of it.")
    })?;
    Ok(LotRef { day, code })
}

async fn look<T: Send + 'static>(
    site: web::Data<Site>,
    question: impl FnOnce(&ShelfNow<'_>) -> T + Send + 'static,
) -> Result<T, Problem> {
    Ok(web::block(move || site.shelf.look(question)).await??)
}
