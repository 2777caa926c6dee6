//! What is only read of days: the list of them, views, events.

use super::Site;
use super::problem::Problem;
use crate::day::ids::DayId;
use crate::day::plan::DayPlan;
use crate::day::plan_again;
use crate::day::time::Timestamp;
use crate::engine::{DayHandle, Time};
use crate::journal::{Heading, Journal, Trouble};
use actix_web::{HttpResponse, web};
use bytes::Bytes;
use futures_util::stream::{self, StreamExt, try_unfold};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

/// How many events are read at a time while they are sent.
const EVENTS_STEP: u32 = 500;

/// The handle of the day named in an address.
///
/// # Errors
/// There is no such day, or the journal cannot be read.
pub async fn open_day(site: &web::Data<Site>, day: &str) -> Result<DayHandle, Problem> {
    let id = DayId::try_from(day).map_err(|_| Problem::unknown_day(day))?;
    if let Some(handle) = site.days.running(&id) {
        return Ok(handle);
    }
    let days = Arc::clone(&site.days);
    let found = web::block(move || days.find(&id)).await??;
    found.ok_or_else(|| Problem::unknown_day(day))
}

/// A day in the list of days.
#[derive(Serialize, JsonSchema)]
pub struct DayLine {
    name: String,
    date: String,
    phase: &'static str,
    opened_at: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    closed_at: Option<Timestamp>,
    seq: u64,
    last_at: Timestamp,
}

impl From<Heading> for DayLine {
    fn from(heading: Heading) -> DayLine {
        let phase = if heading.closed_at.is_some() {
            "closed"
        } else {
            "open"
        };
        DayLine {
            name: heading.name,
            date: heading.date,
            phase,
            opened_at: heading.opened_at,
            closed_at: heading.closed_at,
            seq: heading.seq,
            last_at: heading.last_at,
        }
    }
}

/// All days, by id.
#[derive(Serialize, JsonSchema)]
pub struct DayList {
    days: BTreeMap<String, DayLine>,
}

/// `GET /api/days`: all days.
///
/// # Errors
/// The journal cannot be read.
pub async fn days(site: web::Data<Site>) -> Result<web::Json<DayList>, Problem> {
    let journals = site.days.journals();
    let days = web::block(move || journals.open()?.days()).await??;
    let line = |(id, heading): (DayId, Heading)| (id.to_string(), heading.into());
    let days = days.into_iter().map(line).collect();
    Ok(web::Json(DayList { days }))
}

/// `GET /api/days/{day}/view`: the latest view.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn view(site: web::Data<Site>, day: web::Path<String>) -> Result<HttpResponse, Problem> {
    let handle = open_day(&site, &day).await?;
    let (latest, journal) = (handle.latest().await?, handle.feed().journal());
    let clock = serde_json::json!(Time::of(&*site.days.clock()));
    let head = format!(
        r#"{{"journal":"{journal}","seq":{},"clock":{clock},"view":"#,
        latest.seq
    );
    let body = [head.as_bytes(), &latest.json(), b"}"].concat();
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .body(body))
}

/// `GET /api/days/{day}/plan-again`: a plan for another day like this one.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn again(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<web::Json<DayPlan>, Problem> {
    let handle = open_day(&site, &day).await?;
    Ok(web::Json(handle.look(plan_again).await?))
}

/// Where to begin reading.
#[derive(Deserialize, JsonSchema)]
#[schemars(rename = "EventsFrom")]
pub struct Start {
    /// The number of the first event; all of them, if left out.
    #[serde(default)]
    from: u64,
}

/// `GET /api/days/{day}/events?from=SEQ`: the events from that number on, one JSON a line.
///
/// # Errors
/// The day is unknown, or its first lines cannot be read. Damage that is met later ends the lines
/// early, as a body without its last chunk.
pub async fn events(
    site: web::Data<Site>,
    day: web::Path<String>,
    from: Option<web::Query<Start>>,
) -> Result<HttpResponse, Problem> {
    let Some(from) = from else {
        return Err(Problem::malformed(
            "\"from\" must be the number of an event.",
            "Ask for ?from=1, or leave it out for all events.",
        ));
    };
    let id = DayId::try_from(day.as_str()).map_err(|_| Problem::unknown_day(&day))?;
    let journals = site.days.journals();
    let known = id.clone();
    let journal = web::block(move || {
        let journal = journals.open()?;
        Ok::<_, Trouble>(journal.has(&known)?.then_some(journal))
    })
    .await??
    .ok_or_else(|| Problem::unknown_day(&day))?;
    // The first step is read before anything is answered, so that trouble there is still told.
    let (first, place) = step(journal, id, from.from.saturating_sub(1)).await?;
    let rest = try_unfold(place, |place| async {
        match place {
            Some((journal, day, after)) => step(journal, day, after).await.map(Some),
            None => Ok(None),
        }
    });
    // An empty chunk would end the body, so there is none.
    let first = stream::iter((!first.is_empty()).then_some(Ok(first)));
    Ok(HttpResponse::Ok()
        .content_type("application/x-ndjson")
        .streaming(first.chain(rest)))
}

/// Where the reading of a day goes on.
type Place = Option<(Box<dyn Journal>, DayId, u64)>;

/// Some events after `after`, a line each, and where to go on if there may be more.
async fn step(
    journal: Box<dyn Journal>,
    day: DayId,
    after: u64,
) -> Result<(Bytes, Place), Problem> {
    web::block(move || {
        let records = journal.read(&day, after, EVENTS_STEP)?;
        let mut text = Vec::new();
        for record in &records {
            serde_json::to_writer(&mut text, record).map_err(Problem::internal)?;
            text.push(b'\n');
        }
        let next = records.last().map(|record| (journal, day, record.seq));
        Ok((Bytes::from(text), next))
    })
    .await?
}
