//! Looking back on a day: its figures as JSON for the screen and as a table for a spreadsheet.
//!
//! Worked out from the events as they are stored, so a day need not be open, and may be long ago.

use super::Site;
use super::problem::Problem;
use crate::analyst::known_that_morning;
use crate::day::ids::DayId;
use crate::day::{Record, State, apply};
use crate::journal::{Journal, Trouble};
use crate::lookback::{self, FinishCourse, LookBack, Summary};
use actix_web::http::header;
use actix_web::{HttpResponse, web};
use schemars::JsonSchema;
use serde::Serialize;
use std::cmp::Reverse;

/// `GET /api/days/{day}/look-back`: the day's figures.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn look_back(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<web::Json<LookBack>, Problem> {
    Ok(web::Json(told(&site, &day).await?))
}

/// `GET /api/days/{day}/look-back.csv`: the same as a table.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn look_back_csv(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<HttpResponse, Problem> {
    let table = lookback::csv(&told(&site, &day).await?);
    // The id was one of a day, so it is plain and needs no quoting rules.
    let file = format!("attachment; filename=\"{day}.csv\"");
    Ok(HttpResponse::Ok()
        .content_type("text/csv; charset=utf-8")
        .insert_header((header::CONTENT_DISPOSITION, file))
        .body(table))
}

/// `GET /api/days/{day}/look-back/finish`: how the foretold end of the day moved. Simulated anew,
/// so it takes some seconds.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn finish(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<web::Json<FinishCourse>, Problem> {
    let course = of_day(&site, &day, |journal, day, records| {
        let mut state = State::default();
        for record in records {
            apply(&mut state, record.at, record.command, &record.event);
        }
        let learned = known_that_morning(journal, day, &state)?;
        Ok(lookback::finish_course(records, &learned))
    });
    Ok(web::Json(course.await?))
}

/// How many earlier days are laid beside one.
const BESIDE_MAX: usize = 4;

/// A day and those before it, in a few figures each.
#[derive(Serialize, JsonSchema)]
pub struct Beside {
    /// This day first, then the earlier ones, the newest first.
    days: Vec<Summary>,
}

/// `GET /api/days/{day}/look-back/beside`: the day's few figures beside those of the last days that
/// were opened before it.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn beside(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<web::Json<Beside>, Problem> {
    let days = of_day(&site, &day, |journal, day, records| {
        let told = |records: &[Record]| lookback::summary(&lookback::look_back(records));
        let opened_at = records.first().map(|record| record.at);
        let mut earlier = journal.days()?;
        earlier.retain(|(id, heading)| id != day && Some(heading.opened_at) < opened_at);
        earlier.sort_by_key(|(_, heading)| Reverse(heading.opened_at));
        let mut days = vec![told(records)];
        for (id, _) in earlier.iter().take(BESIDE_MAX) {
            match journal.read(id, 0, u32::MAX) {
                Ok(records) => days.push(told(&records)),
                Err(trouble) => tracing::warn!(day = %id, %trouble, "this day is left out"),
            }
        }
        Ok(days)
    });
    Ok(web::Json(Beside { days: days.await? }))
}

async fn told(site: &Site, day: &str) -> Result<LookBack, Problem> {
    of_day(site, day, |_, _, records| Ok(lookback::look_back(records))).await
}

/// What `tell` makes of the events of a day, away from the threads that answer taps.
async fn of_day<T: Send + 'static>(
    site: &Site,
    day: &str,
    tell: impl FnOnce(&dyn Journal, &DayId, &[Record]) -> Result<T, Trouble> + Send + 'static,
) -> Result<T, Problem> {
    let id = DayId::try_from(day).map_err(|_| Problem::unknown_day(day))?;
    let journals = site.days.journals();
    let told = web::block(move || {
        let journal = journals.open()?;
        let records = journal.read(&id, 0, u32::MAX)?;
        let found = !records.is_empty();
        found.then(|| tell(&*journal, &id, &records)).transpose()
    });
    told.await??.ok_or_else(|| Problem::unknown_day(day))
}
