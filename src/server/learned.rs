//! What earlier days taught, and the lead's word on it.
//!
//! Everybody may see how long the canners take and what the fruit gave; how fast each person was is
//! for the lead alone, since the board compares nobody. Only the lead corrects or forgets.

use super::Site;
use super::access::Device;
use super::json::{COMMAND_BYTES_MAX, read};
use super::problem::Problem;
use crate::analyst::{Taught, taught};
use crate::day::time::Timestamp;
use crate::day::{Event, Record, Role, State, apply};
use crate::journal::{KeptCorrection, Trouble};
use crate::pace::{Correction, Lesson, LessonTold};
use actix_web::http::StatusCode;
use actix_web::{HttpRequest, web};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;
use uuid::Uuid;

/// A day that taught something.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "TaughtBy")]
struct Teacher {
    name: String,
    date: String,
}

/// A lesson, with the lead's last word on it.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "LessonLine")]
struct Line {
    #[serde(flatten)]
    told: LessonTold,
    /// When the lead set it, if that is in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    set_at: Option<Timestamp>,
}

/// All that was learned.
#[derive(Serialize, Default, JsonSchema)]
pub struct LearnedList {
    lessons: Vec<Line>,
    /// The days it comes from, the oldest first.
    days: Vec<Teacher>,
    helpers: BTreeMap<String, String>,
    stations: BTreeMap<String, String>,
    products: BTreeMap<String, String>,
}

impl LearnedList {
    fn of(taught: Taught, role: Role) -> LearnedList {
        let mut list = LearnedList::default();
        let set_at = |lesson: &Lesson| {
            let said = taught.corrections.iter().rev();
            let mut last = said.filter(|(_, correction)| correction.lesson() == lesson);
            let (at, correction) = last.next()?;
            matches!(correction, Correction::Set { .. }).then_some(*at)
        };
        for told in taught.learned.lessons() {
            if role == Role::Lead || !matches!(told.lesson, Lesson::Speed { .. }) {
                let set_at = set_at(&told.lesson);
                list.lessons.push(Line { told, set_at });
            }
        }
        for records in &taught.days {
            list.name(&state_of(records), role);
        }
        list
    }

    fn name(&mut self, state: &State, role: Role) {
        self.days.push(Teacher {
            name: state.name.clone(),
            date: state.date.clone(),
        });
        if role == Role::Lead {
            for (id, helper) in &state.helpers {
                self.helpers
                    .insert(id.to_string(), helper.plan.name.clone());
            }
        }
        for (id, station) in &state.stations {
            self.stations
                .insert(id.to_string(), station.plan.name.clone());
        }
        for (id, product) in &state.products {
            self.products
                .insert(id.to_string(), product.plan.name.clone());
        }
    }
}

/// The plan as it stood at the end; the work itself has no names.
fn state_of(records: &[Record]) -> State {
    let mut state = State::default();
    for record in records {
        if !matches!(record.event, Event::DayClosed {}) {
            apply(&mut state, record.at, record.command, &record.event);
        }
    }
    state
}

/// `GET /api/learned`: what closed days taught.
///
/// # Errors
/// The journal cannot be read.
pub async fn learned(
    site: web::Data<Site>,
    device: Device,
) -> Result<web::Json<LearnedList>, Problem> {
    let journals = site.days.journals();
    let taught = web::block(move || taught(&*journals.open()?)).await??;
    Ok(web::Json(LearnedList::of(taught, device.role())))
}

/// A correction under the id by which it counts once.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CorrectionRequest {
    /// The id.
    id: Uuid,
    /// The correction.
    correction: Correction,
}

/// `POST /api/learned`: the lead's own figure for something that was learned, or that it is to be
/// forgotten. Answers with all that is learned then.
///
/// # Errors
/// It is malformed, the figure makes no sense, the id stands for
/// another correction, or the disk failed.
pub async fn post_learned(
    site: web::Data<Site>,
    device: Device,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<web::Json<LearnedList>, Problem> {
    let CorrectionRequest { id, correction } = read(&request, payload, COMMAND_BYTES_MAX).await?;
    correction.check().map_err(|wrong| {
        Problem::new(
            StatusCode::CONFLICT,
            "bad-value",
            wrong.detail,
            wrong.instead,
        )
    })?;
    let body = serde_json::to_string(&correction).map_err(Problem::internal)?;
    let said = KeptCorrection {
        id,
        at: site.days.clock().now(),
        body,
    };
    let days = Arc::clone(&site.days);
    let (kept, taught) = web::block({
        let said = said.clone();
        move || {
            let mut journal = days.journals().open()?;
            let kept = days.disk().confirmed(journal.keep_correction(&said))?;
            Ok::<_, Trouble>((kept, taught(&*journal)?))
        }
    })
    .await??;
    if kept.body != said.body {
        return Err(Problem::new(
            StatusCode::CONFLICT,
            "id-conflict",
            format!("The id {id} stands for another correction already."),
            "Give every correction its own id.",
        ));
    }
    Ok(web::Json(LearnedList::of(taught, device.role())))
}
