//! What is to come, as it was worked out last; beside this it is pushed to every device.

use super::Site;
use super::problem::Problem;
use super::queries::open_day;
use crate::engine::Time;
use actix_web::http::StatusCode;
use actix_web::{HttpResponse, web};

/// `GET /api/days/{day}/outlook`: the latest outlook.
///
/// # Errors
/// The day is unknown or cannot be read, or there is no outlook: not yet, or no more since the day
/// is closed.
pub async fn outlook(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<HttpResponse, Problem> {
    let handle = open_day(&site, &day).await?;
    // A day that was not in memory is read first.
    handle.latest().await?;
    let outlook = handle.feed().outlook().ok_or_else(none)?;
    let fields = outlook.fields(Time::of(&*site.days.clock()));
    let body = [b"{", &*fields, b"}"].concat();
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .body(body))
}

fn none() -> Problem {
    Problem::new(
        StatusCode::NOT_FOUND,
        "no-outlook",
        "Nothing is known yet of what is to come on this day, or the day is closed.",
        "Follow the day on its socket: an outlook is pushed as soon as there is one.",
    )
}
