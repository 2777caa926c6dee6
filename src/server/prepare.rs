//! What to make: an ask in, a proposal out. Nothing is stored; whoever is at the board may ask.

use super::Site;
use super::json::{self, PLAN_BYTES_MAX};
use super::problem::Problem;
use crate::analyst::taught;
use crate::journal::Trouble;
use crate::prepare::next_year::{self, Season};
use crate::prepare::{Ask, Fault, Settings, propose};
use actix_web::http::StatusCode;
use actix_web::{HttpRequest, HttpResponse, web};
use tokio::sync::Semaphore;

/// One proposal is worked out at a time: the taps of a day that goes on need the other processors.
static ONE_AT_A_TIME: Semaphore = Semaphore::const_new(1);

/// `POST /api/prepare`: what to make of what there is.
///
/// # Errors
/// The body is no ask, or something in it must be mended: then `faults` names every field; or the
/// journal cannot be read.
pub async fn prepare(
    site: web::Data<Site>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let ask: Ask = json::read(&request, payload, PLAN_BYTES_MAX).await?;
    let _turn = ONE_AT_A_TIME.acquire().await.map_err(Problem::internal)?;
    let journals = site.days.journals();
    let told = web::block(move || {
        let learned = taught(&*journals.open()?)?.learned;
        Ok::<_, Trouble>(propose(&ask, &learned, &Settings::default()))
    })
    .await??;
    Ok(match told {
        Ok(proposal) => HttpResponse::Ok().json(proposal),
        Err(faults) => refused(&faults),
    })
}

/// `POST /api/prepare/next-year`: what to change after a season, of what the shelf has seen.
///
/// # Errors
/// The body is no season.
pub async fn next_year(
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let season: Season = json::read(&request, payload, PLAN_BYTES_MAX).await?;
    Ok(match next_year::next_year(&season) {
        Ok(told) => HttpResponse::Ok().json(told),
        Err(faults) => refused(&faults),
    })
}

/// The first fault as a problem, and all of them beside it.
fn refused(faults: &[Fault]) -> HttpResponse {
    let (detail, instead) = faults.first().map_or_else(Default::default, |first| {
        let detail = format!("{}: {}", first.field, first.detail);
        (detail, first.instead.clone())
    });
    let status = StatusCode::UNPROCESSABLE_ENTITY;
    let problem = Problem::new(status, "bad-value", detail, instead);
    let mut body = serde_json::json!(problem);
    body["faults"] = serde_json::json!(faults);
    HttpResponse::build(status)
        .content_type("application/problem+json")
        .body(body.to_string())
}
