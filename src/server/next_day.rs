//! Before and after a day: the list to gather, and the next day as a file for a calendar.

use super::Site;
use super::assets::language;
use super::problem::Problem;
use super::queries::open_day;
use crate::day::gather::{Item, gather};
use crate::day::ids::DayId;
use crate::day::next_day::{LeftToDo, left_to_do};
use crate::day::time::{HOUR_MS, Timestamp};
use crate::journal::Trouble;
use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse, web};
use chrono::{DateTime, Utc};
use icalendar::{Alarm, Calendar, Component, Event, EventLike, Related, Todo};
use jiff::tz::TimeZone;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use uuid::Uuid;

/// Hours of the kitchen's own time between which a reminder may ring: nobody is woken for jars that
/// may stand another twelve hours. Common practice, no source.
const AWAKE: std::ops::Range<i8> = 7..21;
/// How long before the window ends the last reminder rings. Common practice, no source.
const LAST_CALL: chrono::Duration = chrono::Duration::hours(2);

/// The list to gather.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "GatherList")]
pub struct List {
    items: Vec<Item>,
}

/// `GET /api/days/{day}/gather`: what to gather and look over before the day.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn gather_list(
    site: web::Data<Site>,
    day: web::Path<String>,
) -> Result<web::Json<List>, Problem> {
    let handle = open_day(&site, &day).await?;
    let items = handle.look(gather).await?;
    Ok(web::Json(List { items }))
}

/// `GET /api/days/{day}/next-day.ics`: what is due on the next day, as iCalendar (RFC 5545), in the
/// language of the device.
///
/// # Errors
/// The day is unknown or cannot be read.
pub async fn next_day(
    site: web::Data<Site>,
    day: web::Path<String>,
    request: HttpRequest,
) -> Result<HttpResponse, Problem> {
    let handle = open_day(&site, &day).await?;
    let (name, left) = handle
        .look(|state| (state.name.clone(), left_to_do(state)))
        .await?;
    let opened = opened_by(&site, &day).await?;
    let words = Words::of(language(&request));
    let text = calendar(&name, opened, &left, words, &TimeZone::system()).to_string();
    // The id was one of a day, so it is plain and needs no quoting rules.
    let file = format!("attachment; filename=\"{day}-next-day.ics\"");
    Ok(HttpResponse::Ok()
        .content_type("text/calendar; charset=utf-8")
        .insert_header((header::CONTENT_DISPOSITION, file))
        .body(text))
}

/// The command that opened the day: what its reminders are known by, on every board and for ever.
async fn opened_by(site: &Site, day: &str) -> Result<Uuid, Problem> {
    let id = DayId::try_from(day).map_err(|_| Problem::unknown_day(day))?;
    let journals = site.days.journals();
    let first = web::block(move || {
        let records = journals.open()?.read(&id, 0, 1)?;
        Ok::<_, Trouble>(records.first().map(|record| record.command))
    });
    first.await??.ok_or_else(|| Problem::unknown_day(day))
}

/// The sentences of a reminder, in one language.
struct Words {
    check: &'static str,
    how: &'static str,
    shelve: &'static str,
    and_then: &'static str,
}

impl Words {
    fn of(language: &str) -> &'static Words {
        match language {
            "es" => &Words {
                check: "Revisar los sellos: tanda {n}",
                how: "Quita los aros y oprime el centro de cada tapa: si se mueve, no selló. Un \
                      frasco sin sellar va al refrigerador o al congelador, o se procesa otra vez \
                      con todo su tiempo, solo hasta las {by}. Nunca pruebes un frasco dudoso.",
                shelve: "Tanda {n}: aros fuera, lavar, etiquetar, guardar",
                and_then: "Solo los frascos bien sellados. Anótalo en el tablero.",
            },
            _ => &Words {
                check: "Check the seals: load {n}",
                how: "Take the bands off and press the middle of each lid: one that gives did not \
                      seal. An unsealed jar goes to the refrigerator or the freezer, or is \
                      processed again for its whole time, until {by} only. Never taste a doubtful \
                      jar.",
                shelve: "Load {n}: bands off, wash, label, shelve",
                and_then: "Well sealed jars only. Tap it on the board.",
            },
        }
    }
}

/// The file. Its moments are universal time, so that every calendar shows them in its own.
fn calendar(
    day: &str,
    opened: Uuid,
    left: &[LeftToDo],
    words: &Words,
    zone: &TimeZone,
) -> Calendar {
    let mut calendar = Calendar::empty();
    calendar
        .append_property(("VERSION", "2.0"))
        .append_property(("PRODID", "-//Putby//Next day//EN"))
        .append_property(("CALSCALE", "GREGORIAN"));
    for load in left {
        if !load.unchecked.is_empty() {
            calendar.push(seal_check(day, opened, load, words, zone));
        }
        calendar.push(shelving(day, opened, load, words));
    }
    calendar
}

fn seal_check(day: &str, opened: Uuid, left: &LeftToDo, words: &Words, zone: &TimeZone) -> Event {
    let summary = numbered(words.check, left.number);
    let by = local(left.by, zone).map_or_else(String::new, |by| by.strftime("%H:%M").to_string());
    let text = [
        listed(&left.unchecked),
        words.how.replace("{by}", &by),
        day.to_owned(),
    ];
    let rings = utc(rings_at(left.from, left.by, zone));
    Event::with_uid(&uid(opened, left, "seals"))
        .timestamp(utc(left.changed_at))
        .summary(&summary)
        .description(&text.join("\n"))
        .starts(utc(left.from))
        .ends(utc(left.by))
        // A window, not an appointment.
        .add_property("TRANSP", "TRANSPARENT")
        .alarm(Alarm::display(&summary, rings))
        .alarm(Alarm::display(&summary, (-LAST_CALL, Related::End)))
        .done()
}

fn shelving(day: &str, opened: Uuid, left: &LeftToDo, words: &Words) -> Todo {
    let summary = numbered(words.shelve, left.number);
    let jars = if left.sealed.is_empty() {
        &left.unchecked
    } else {
        &left.sealed
    };
    let text = [listed(jars), words.and_then.to_owned(), day.to_owned()];
    Todo::with_uid(&uid(opened, left, "shelve"))
        .timestamp(utc(left.changed_at))
        .summary(&summary)
        .description(&text.join("\n"))
        .starts(utc(left.from))
        .due(utc(left.by))
        .add_property("STATUS", "NEEDS-ACTION")
        .alarm(Alarm::display(&summary, (-LAST_CALL, Related::End)))
        .done()
}

fn uid(opened: Uuid, left: &LeftToDo, what: &str) -> String {
    format!("{opened}-{}-{what}", left.load)
}

fn numbered(words: &str, number: usize) -> String {
    words.replace("{n}", &number.to_string())
}

/// "7 Pear halves, quarts" a line.
fn listed(jars: &BTreeMap<String, u32>) -> String {
    let lines: Vec<String> = jars.iter().map(|(name, n)| format!("{n} {name}")).collect();
    lines.join("\n")
}

fn local(at: Timestamp, zone: &TimeZone) -> Option<jiff::ZonedDateTime> {
    let at = jiff::Timestamp::from_millisecond(at.0).ok()?;
    Some(at.to_zoned_datetime(zone.clone()))
}

/// The first moment of the window at which somebody is awake; its beginning if there is none.
fn rings_at(from: Timestamp, by: Timestamp, zone: &TimeZone) -> Timestamp {
    let awake = |at: &Timestamp| local(*at, zone).is_some_and(|at| AWAKE.contains(&at.hour()));
    let minute_of = |at: Timestamp| local(at, zone).map_or(0, |at| i64::from(at.minute()));
    let minute = HOUR_MS / 60;
    // From the second on they lie on whole hours of the clock.
    let later = (1..24).map(|hours| {
        let at = Timestamp(from.0.saturating_add(hours * HOUR_MS));
        Timestamp(at.0 - minute_of(at) * minute)
    });
    std::iter::once(from)
        .chain(later)
        .take_while(|at| *at < by)
        .find(awake)
        .unwrap_or(from)
}

/// A moment as the calendar's crate takes it; what no calendar can hold becomes its first moment.
fn utc(at: Timestamp) -> DateTime<Utc> {
    DateTime::from_timestamp_millis(at.0).unwrap_or_default()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
#[path = "next_day_tests.rs"]
mod tests;
