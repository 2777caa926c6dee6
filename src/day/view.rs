//! What every screen shows: the public view of a day.
//!
//! A function of the state alone, never of the clock: moments are given, and each screen counts
//! down by itself. Everything is a map keyed by id, so the difference between two views is a small
//! merge patch (RFC 7396); what is absent is left out, never `null`, for the same reason. Amounts
//! are thousandths of the measure beside them; moments are milliseconds since 1970.

mod alarms;
mod clocks;
mod loads;
mod people;
mod processes;
mod stations;

use super::amount::{Amount, Measure};
use super::command::NoteOn;
use super::event::ChoreKind;
use super::ids::*;
use super::plan::{AgeRules, Ending, Step};
use super::state::{Gathered, Phase, State};
use super::time::Timestamp;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

pub use alarms::{HurtView, TakenView};
pub use loads::LoadView;
pub use people::HelperView;
pub use processes::{FreezingView, ProcessView, UnconfirmedView};
pub use stations::{PotView, StationView};

/// The whole public view.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(
    missing_docs,
    reason = "the fields are those of the plan and the state"
)]
pub struct View {
    pub day: DayView,
    pub resources: BTreeMap<ResourceId, ResourceView>,
    pub stations: BTreeMap<StationId, StationView>,
    pub helpers: BTreeMap<HelperId, HelperView>,
    pub products: BTreeMap<ProductId, ProductView>,
    pub lots: BTreeMap<LotId, LotView>,
    pub supplies: BTreeMap<SupplyId, SupplyView>,
    pub loads: BTreeMap<LoadId, LoadView>,
    /// Open chores only.
    pub chores: BTreeMap<ChoreId, ChoreView>,
    /// Taken alarms whose clock still runs, by key.
    pub alarms: BTreeMap<String, TakenView>,
    /// Calls that someone is hurt, while no adult is with them.
    pub hurts: BTreeMap<HurtId, HurtView>,
    /// What was counted of the list to gather, by the id of the thing.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub gathered: BTreeMap<String, Gathered>,
}

/// The day itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct DayView {
    pub name: String,
    pub date: String,
    pub phase: Phase,
    pub opened_at: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closed_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut_off_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub altitude_ft: Option<i32>,
    pub scraps_bucket_lb: Amount,
    /// Pounds in the bucket now.
    pub scraps_lb: Amount,
    pub age_rules: AgeRules,
    /// Notes by number, from 1.
    pub notes: BTreeMap<String, NoteView>,
}

/// A note.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct NoteView {
    pub at: Timestamp,
    pub on: NoteOn,
    pub text: String,
}

/// A shared thing and how many are in use.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the plan")]
pub struct ResourceView {
    pub name: String,
    pub count: u32,
    pub used: u32,
}

/// What is being made.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the plan")]
pub struct ProductView {
    pub name: String,
    pub produce: String,
    #[serde(skip_serializing_if = "BTreeSet::is_empty")]
    pub also_of: BTreeSet<String>,
    pub ends_in: Ending,
    pub route: Vec<Step>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wanted: Option<Amount>,
    /// Finished packages. Jars still cooling stand at their rack and are not among them.
    pub finished: Amount,
    /// Packages out of the canner and cooling.
    pub cooling: Amount,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub package: Option<Measure>,
    /// The tested process of a canned product; absent while the altitude is not set.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub process: Option<ProcessView>,
    /// The headspace of a frozen product's packages.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub freezing: Option<FreezingView>,
    /// Jars waiting at the canner that are not confirmed yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unconfirmed: Option<UnconfirmedView>,
}

/// A lot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the plan")]
pub struct LotView {
    pub name: String,
    pub produce: String,
    pub measure: Measure,
    pub amount: Amount,
    pub box_holds: Amount,
    pub unopened: Amount,
}

/// A supply.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the plan")]
pub struct SupplyView {
    pub name: String,
    pub unit: String,
    pub stock: Amount,
    pub low_at: Amount,
    /// What it began with; `change-supply` leaves it as it is.
    pub began_with: Amount,
    pub low: bool,
}

/// An open chore.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct ChoreView {
    pub kind: ChoreKind,
    pub text: String,
    pub raised_at: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taken_by: Option<HelperId>,
}

/// The public view of a day.
pub fn view(state: &State) -> View {
    View {
        day: day(state),
        resources: state
            .resources
            .iter()
            .map(|(id, resource)| {
                let (name, count) = (resource.name.clone(), resource.count);
                let used = state.resource_used(id);
                (id.clone(), ResourceView { name, count, used })
            })
            .collect(),
        stations: stations::view(state),
        helpers: people::view(state),
        products: products(state),
        lots: lots(state),
        supplies: supplies(state),
        loads: loads::view(state),
        chores: chores(state),
        alarms: alarms::taken(state),
        hurts: alarms::hurts(state),
        gathered: state.gathered.clone(),
    }
}

fn day(state: &State) -> DayView {
    let note = |(index, note): (usize, &super::state::Note)| {
        let view = NoteView {
            at: note.at,
            on: note.on.clone(),
            text: note.text.clone(),
        };
        ((index + 1).to_string(), view)
    };
    DayView {
        name: state.name.clone(),
        date: state.date.clone(),
        phase: state.phase,
        opened_at: state.opened_at,
        closed_at: state.closed_at,
        cut_off_at: state.cut_off_at,
        altitude_ft: state.altitude_ft,
        scraps_bucket_lb: state.scraps_bucket_lb,
        scraps_lb: state.scraps_lb,
        age_rules: state.age_rules(),
        notes: state.notes.iter().enumerate().map(note).collect(),
    }
}

fn products(state: &State) -> BTreeMap<ProductId, ProductView> {
    let listed = state.products.iter().filter(|(_, p)| !p.retired);
    listed
        .map(|(id, product)| {
            let plan = &product.plan;
            let view = ProductView {
                name: plan.name.clone(),
                produce: plan.produce.clone(),
                also_of: plan.also_of.clone(),
                ends_in: plan.ends_in.clone(),
                route: plan.route.clone(),
                wanted: plan.wanted,
                finished: state.finished(id),
                cooling: state.cooling(id),
                package: plan.ends_in.package(),
                process: processes::process(state, plan),
                freezing: processes::freezing(plan),
                unconfirmed: processes::unconfirmed(state, id, product),
            };
            (id.clone(), view)
        })
        .collect()
}

fn lots(state: &State) -> BTreeMap<LotId, LotView> {
    let listed = state.lots.iter().filter(|(_, lot)| !lot.retired);
    listed
        .map(|(id, lot)| {
            let view = LotView {
                name: lot.plan.name.clone(),
                produce: lot.plan.produce.clone(),
                measure: lot.plan.measure,
                amount: lot.plan.amount,
                box_holds: lot.plan.box_holds,
                unopened: lot.unopened,
            };
            (id.clone(), view)
        })
        .collect()
}

fn supplies(state: &State) -> BTreeMap<SupplyId, SupplyView> {
    let listed = state.supplies.iter().filter(|(_, supply)| !supply.retired);
    listed
        .map(|(id, supply)| {
            let low_at = supply.plan.low_at;
            let view = SupplyView {
                name: supply.plan.name.clone(),
                unit: supply.plan.unit.clone(),
                stock: supply.stock,
                low_at,
                began_with: supply.plan.stock,
                low: supply.stock <= low_at,
            };
            (id.clone(), view)
        })
        .collect()
}

fn chores(state: &State) -> BTreeMap<ChoreId, ChoreView> {
    let open = state.chores.iter().filter(|(_, c)| c.finished_at.is_none());
    open.map(|(id, chore)| {
        let view = ChoreView {
            kind: chore.kind.clone(),
            text: chore.text.clone(),
            raised_at: chore.raised_at,
            taken_by: chore.taken_by.clone(),
        };
        (id.clone(), view)
    })
    .collect()
}
