//! Looking back on a day: its figures as JSON for the screen and as a table for a spreadsheet.
//!
//! Worked out from the events as they are stored, so a day need not be open, and may be long ago.

use super::Site;
use super::problem::Problem;
use crate::day::ids::DayId;
use crate::journal::Trouble;
use crate::lookback::{self, LookBack};
use actix_web::http::header;
use actix_web::{HttpResponse, web};

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

async fn told(site: &Site, day: &str) -> Result<LookBack, Problem> {
    let id = DayId::try_from(day).map_err(|_| Problem::unknown_day(day))?;
    let journals = site.days.journals();
    let told = web::block(move || {
        let records = journals.open()?.read(&id, 0, u32::MAX)?;
        Ok::<_, Trouble>((!records.is_empty()).then(|| lookback::look_back(&records)))
    });
    told.await??.ok_or_else(|| Problem::unknown_day(day))
}
