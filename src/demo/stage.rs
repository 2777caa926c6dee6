//! The stage of a demonstration: which server, which day, which family.
//!
//! Opens the day over HTTP as the lead would, or finds the one that is open already.

use super::device::{Device, Holder};
use super::http::Client;
use super::people::Cast;
use crate::day::ids::DayId;
use crate::day::plan::DayPlan;
use crate::day::time::Timestamp;
use actix_web::rt;
use anyhow::{Context, bail};
use hyper::Request;
use hyper::header::AUTHORIZATION;
use hyper::http::request::Builder;
use serde_json::{Value, json};
use std::rc::Rc;
use uuid::Uuid;

/// What all devices of a demonstration share.
pub struct Stage {
    /// The server's address, ending in a slash.
    pub address: String,
    /// The lead's key.
    pub lead_key: String,
    /// The day.
    pub day: DayId,
    /// The family.
    pub cast: Cast,
    /// The day's seed.
    pub seed: u64,
}

impl Stage {
    /// The full address of a path.
    pub fn at(&self, path: &str) -> String {
        format!("{}{path}", self.address)
    }

    /// The server as browsers name it to say which page asks.
    pub fn origin(&self) -> &str {
        self.address.trim_end_matches('/')
    }

    /// The doors by which devices come in, as the lead is told of them.
    ///
    /// # Errors
    /// The server does not answer, or refuses.
    pub async fn doors(&self) -> anyhow::Result<Value> {
        get(&self.at("api/doors"), &self.lead_key).await
    }

    /// Starts everybody's device, and two screens on the wall, on this thread.
    pub fn start(self) -> Vec<rt::task::JoinHandle<()>> {
        let stage = Rc::new(self);
        let helpers = stage.cast.people.keys().cloned().map(Holder::Helper);
        let holders: Vec<Holder> = helpers.chain([Holder::Wall, Holder::Wall]).collect();
        let start = |holder| rt::spawn(Device::new(Rc::clone(&stage), holder).run());
        holders.into_iter().map(start).collect()
    }
}

/// Opens the day at a server, today and from now on, unless it is open there already; gives its
/// id.
///
/// # Errors
/// The server does not answer, or refuses.
pub async fn open_day_id(
    address: &str,
    lead_key: &str,
    mut plan: DayPlan,
    cut_off_min: u32,
) -> anyhow::Result<DayId> {
    let days = get(&format!("{address}api/days"), lead_key).await?;
    let days = days["days"].as_object().cloned().unwrap_or_default();
    let open = days
        .iter()
        .find(|(_, day)| day["phase"] == "open" && day["name"] == plan.name);
    if let Some((id, _)) = open {
        return Ok(DayId::try_from(id.as_str())?);
    }
    let me = get(&format!("{address}api/me"), lead_key).await?;
    let now = me["clock"]["now"]
        .as_i64()
        .context("the server told no time")?;
    plan.cut_off_at = Some(Timestamp(now).plus_minutes(cut_off_min));
    plan.date = jiff::ZonedDateTime::now().date().to_string();
    let wish = match days.len() {
        0 => "orchard-day".to_owned(),
        others => format!("orchard-day-{}", others + 1),
    };
    let body = json!({"id": Uuid::new_v4(), "day": wish, "plan": plan});
    let request = as_lead(Request::post(format!("{address}api/days")), lead_key);
    let answer = Client::new().send(request, Some(&body)).await?;
    if !answer.status.is_success() {
        bail!("the day cannot be opened: {}", answer.body["detail"]);
    }
    let id = answer.body["day"]
        .as_str()
        .context("an opened day without its id")?;
    Ok(DayId::try_from(id)?)
}

async fn get(address: &str, lead_key: &str) -> anyhow::Result<Value> {
    let request = as_lead(Request::get(address), lead_key);
    let answer = Client::new().send(request, None).await;
    let answer = answer.with_context(|| address.to_owned())?;
    if !answer.status.is_success() {
        bail!("{address}: {}", answer.body["detail"]);
    }
    Ok(answer.body)
}

fn as_lead(request: Builder, lead_key: &str) -> Builder {
    request.header(AUTHORIZATION, format!("Bearer {lead_key}"))
}
