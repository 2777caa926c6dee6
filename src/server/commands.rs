//! What changes a day: commands, opening one, which device stands for whom.
//!
//! Parse, hand over, answer; no rule of the kitchen is here.

use super::Site;
use super::access::Device;
use super::holders::DayHolders;
use super::json::{COMMAND_BYTES_MAX, CommandRequest, PLAN_BYTES_MAX, read};
use super::problem::Problem;
use super::queries::open_day;
use crate::day::Command;
use crate::day::ids::{DayId, HelperId, ID_LENGTH_MAX};
use crate::day::plan::DayPlan;
use crate::engine::{DayHandle, Days, Order, Receipt, Unanswered};
use crate::journal::Trouble;
use actix_web::http::StatusCode;
use actix_web::{HttpRequest, HttpResponse, web};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use uuid::Uuid;

/// `POST /api/days/{day}/commands`: one command.
///
/// # Errors
/// It is malformed, the day unknown, or the rules refuse it.
pub async fn post_command(
    site: web::Data<Site>,
    device: Device,
    day: web::Path<String>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<web::Json<Receipt>, Problem> {
    let CommandRequest::<Command> { id, command } =
        read(&request, payload, COMMAND_BYTES_MAX).await?;
    let handle = open_day(&site, &day).await?;
    let order = Order {
        id,
        command,
        role: device.role(),
    };
    Ok(web::Json(handle.order(order).await?))
}

/// A day to open.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OpenRequest {
    /// The id of the command.
    id: Uuid,
    /// The id of the day; made of its date and name, if left out.
    #[serde(default)]
    day: Option<DayId>,
    /// What is set up.
    plan: Box<DayPlan>,
}

/// A day was opened.
#[derive(Serialize, JsonSchema)]
pub struct Opened {
    day: DayId,
    #[serde(flatten)]
    receipt: Receipt,
}

/// `POST /api/days`: opens a day.
///
/// # Errors
/// It is malformed, or the plan is refused.
pub async fn post_day(
    site: web::Data<Site>,
    device: Device,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let OpenRequest { id, day, plan } = read(&request, payload, PLAN_BYTES_MAX).await?;
    let days = Arc::clone(&site.days);
    let wish = day.unwrap_or_else(|| id_of(&plan));
    let order = Order {
        id,
        command: Command::OpenDay { plan },
        role: device.role(),
    };
    loop {
        let (days, wish) = (Arc::clone(&days), wish.clone());
        let (day, handle) = web::block(move || place(&days, id, wish)).await??;
        match handle.order(order.clone()).await {
            // Somebody else's plan for that day was refused meanwhile.
            Err(Unanswered::Left) => {}
            answer => {
                let receipt = answer?;
                return Ok(HttpResponse::Created().json(Opened { day, receipt }));
            }
        }
    }
}

/// The day that the command opened before, or else the one it wishes for.
fn place(days: &Days, command: Uuid, wish: DayId) -> Result<(DayId, DayHandle), Trouble> {
    let opened = days.journals().open()?.opened_by(command)?;
    let day = opened.unwrap_or(wish);
    let handle = days.start(&day)?;
    Ok((day, handle))
}

/// An id made of a plan's date and name: `2026-09-12-pears-and-plums`.
fn id_of(plan: &DayPlan) -> DayId {
    let text = format!("{}-{}", plan.date, plan.name).to_lowercase();
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    let words: Vec<&str> = text
        .split(|c| !plain(c))
        .filter(|word| !word.is_empty())
        .collect();
    let mut id = words.join("-");
    id.truncate(ID_LENGTH_MAX);
    let first = DayId::try_from(id).or_else(|_| DayId::try_from("day"));
    first.expect("plain words joined by hyphens are an id, and so is \"day\"")
}

/// Which helper a device stands for from now on.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HolderRequest {
    /// Who it is.
    helper: HelperId,
}

/// Which device stands for whom.
#[derive(Serialize, JsonSchema)]
pub struct Held {
    device: String,
    holders: DayHolders,
}

/// `POST /api/days/{day}/holders`: this device stands for a helper; another that did is told so.
///
/// # Errors
/// It is malformed, or the day or the helper is unknown.
pub async fn post_holder(
    site: web::Data<Site>,
    device: Device,
    day: web::Path<String>,
    request: HttpRequest,
    payload: web::Payload,
) -> Result<HttpResponse, Problem> {
    let HolderRequest { helper } = read(&request, payload, COMMAND_BYTES_MAX).await?;
    let id = DayId::try_from(day.as_str()).map_err(|_| Problem::unknown_day(&day))?;
    let latest = open_day(&site, &day).await?.latest().await?;
    if latest.view["helpers"].get(helper.as_str()).is_none() {
        return Err(Problem::new(
            StatusCode::NOT_FOUND,
            "unknown-helper",
            format!("Nobody on this day has the id {:?}.", helper.as_str()),
            "Join first, or choose somebody from the list.",
        ));
    }
    let holders = site.holders.take(&id, helper, device.id());
    let held = Held {
        device: device.id(),
        holders,
    };
    Ok(HttpResponse::Ok().json(held))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_named_by_its_date_and_name() {
        let named = |name: &str| {
            let plan = serde_json::json!({"name": name, "date": "2026-09-12"});
            id_of(&serde_json::from_value(plan).unwrap()).to_string()
        };
        assert_eq!(named("Pears & plums!"), "2026-09-12-pears-plums");
        assert_eq!(named("Früh"), "2026-09-12-fr-h");
        assert_eq!(named(""), "2026-09-12");
        assert_eq!(named(&"long ".repeat(20)).len(), 40);
    }
}
