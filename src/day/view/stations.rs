//! The stations in the public view.

use super::clocks::{self, HoldView, StandsView};
use crate::day::amount::{Amount, Measure, Ratio};
use crate::day::flow::{Lots, waiting};
use crate::day::ids::*;
use crate::day::plan::*;
use crate::day::state::{Seat, State, StationState};
use crate::day::time::Timestamp;
use crate::trade::Jar;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// A station with what waits, who sits there, its pots and its load.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(
    missing_docs,
    reason = "the fields are those of the plan and the state"
)]
pub struct StationView {
    pub name: String,
    pub work: Work,
    pub nature: Nature,
    pub seats: u32,
    pub needs: BTreeSet<Need>,
    pub occupies: BTreeMap<ResourceId, u32>,
    pub set_up: bool,
    pub seated: BTreeMap<HelperId, SeatView>,
    /// Free seats.
    pub free: u32,
    /// What waits, by product; only where there is some.
    pub waiting: BTreeMap<ProductId, WaitingView>,
    /// The ledgers, summed over the lots; only where there was work.
    pub done: BTreeMap<ProductId, DoneView>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tallied_at: Option<Timestamp>,
    /// The last tally, which can be taken back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub undo: Option<UndoView>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub pots: BTreeMap<PotId, PotView>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub canners: BTreeMap<CannerId, CannerView>,
    /// Jars filled here now would find no canner in time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hold: Option<HoldView>,
    /// What stands at a hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<Amount>,
}

/// A taken seat.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct SeatView {
    pub since: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beside: Option<HelperId>,
}

/// A queue.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(
    missing_docs,
    reason = "the fields are those of the plan and the state"
)]
pub struct WaitingView {
    pub amount: Amount,
    pub measure: Measure,
    pub carrier: Carrier,
    /// The same amount in carriers, in thousandths, rounded down.
    pub carriers: Amount,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub oldest_at: Option<Timestamp>,
    pub lots: BTreeMap<LotId, Amount>,
    /// The clock on food that should not stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stands: Option<StandsView>,
}

/// A ledger.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the ledger")]
pub struct DoneView {
    pub came_in: Amount,
    /// Of that, rework.
    pub reworked_in: Amount,
    pub taken: Amount,
    pub made: Amount,
    pub inside: Amount,
    pub diverted: Amount,
    pub scrapped: Amount,
    pub sent_back: Amount,
    pub split: Amount,
    pub recounted: Amount,
}

/// A tally that can be taken back.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the state")]
pub struct UndoView {
    pub command: Uuid,
    pub at: Timestamp,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub helper: Option<HelperId>,
    pub product: ProductId,
    pub amount: Amount,
}

/// A canner.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields are those of the plan")]
pub struct CannerView {
    pub name: String,
    pub holds: BTreeMap<Jar, u32>,
    /// The load in it now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<LoadId>,
}

/// Where a pot is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words say it")]
pub enum PotPhase {
    Empty,
    Filled,
    Cooking,
}

/// A pot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(
    missing_docs,
    reason = "the fields are those of the plan and the state"
)]
pub struct PotView {
    pub name: String,
    pub takes: BTreeMap<Measure, Amount>,
    pub dirty: bool,
    pub phase: PotPhase,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub product: Option<ProductId>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount: Option<Amount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measure: Option<Measure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub filled_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub started_at: Option<Timestamp>,
    /// When the recipe says it should be done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub done_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stirred_at: Option<Timestamp>,
    /// When the next stir is due.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stir_at: Option<Timestamp>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Thickness>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minder: Option<HelperId>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backup: Option<HelperId>,
}

pub(super) fn view(state: &State) -> BTreeMap<StationId, StationView> {
    let listed = state.stations.iter().filter(|(_, s)| !s.retired);
    listed
        .map(|(id, station)| (id.clone(), station_view(state, id, station)))
        .collect()
}

fn station_view(state: &State, id: &StationId, station: &StationState) -> StationView {
    let plan = &station.plan;
    let taken = u32::try_from(station.seats.len()).unwrap_or(u32::MAX);
    let seat = |(helper, seat): (&HelperId, &Seat)| {
        let (since, beside) = (seat.since, seat.beside.clone());
        (helper.clone(), SeatView { since, beside })
    };
    let flows = || state.flows.get(id).into_iter().flatten();
    let pots = match &plan.nature {
        Nature::Vessel { pots, .. } => pots
            .iter()
            .map(|(pot, plan)| (pot.clone(), pot_view(state, (id, station), pot, plan)))
            .collect(),
        Nature::Hand {} | Nature::Canner { .. } | Nature::Hold { .. } => BTreeMap::new(),
    };
    let hold = matches!(plan.nature, Nature::Hold { .. });
    StationView {
        name: plan.name.clone(),
        work: plan.work,
        nature: plan.nature.clone(),
        seats: plan.seats,
        needs: plan.needs.clone(),
        occupies: plan.occupies.clone(),
        set_up: station.set_up,
        seated: station.seats.iter().map(seat).collect(),
        free: plan.seats.saturating_sub(taken),
        waiting: flows()
            .filter_map(|(product, lots)| {
                let view = waiting_view(state, id, product, lots)?;
                Some((product.clone(), view))
            })
            .collect(),
        done: flows()
            .map(|(product, lots)| (product.clone(), done_view(lots)))
            .collect(),
        tallied_at: station.tallied_at,
        undo: undo_view(station),
        pots,
        canners: canner_views(state, id, plan),
        hold: clocks::hold(state, id),
        standing: hold.then(|| state.standing_at(id)),
    }
}

fn canner_views(state: &State, id: &StationId, plan: &Station) -> BTreeMap<CannerId, CannerView> {
    let Nature::Canner { canners, .. } = &plan.nature else {
        return BTreeMap::new();
    };
    let view = |(canner, plan): (&CannerId, &Canner)| {
        let view = CannerView {
            name: plan.name.clone(),
            holds: plan.holds.clone(),
            load: state.load_in(id, canner).map(|(load, _)| load.clone()),
        };
        (canner.clone(), view)
    };
    canners.iter().map(view).collect()
}

fn waiting_view(
    state: &State,
    station: &StationId,
    product: &ProductId,
    lots: &Lots,
) -> Option<WaitingView> {
    let step = state.step(product, station)?;
    let amount = waiting(lots);
    if amount == Amount::ZERO {
        return None;
    }
    let carriers = Ratio {
        made: 1000,
        from: step.carrier.holds.0,
    };
    let oldest = lots.values().filter_map(|flow| flow.layers.first());
    let oldest_at = oldest.map(|layer| layer.since).min();
    let some = |(lot, flow): (&LotId, &crate::day::flow::Flow)| {
        let waits = flow.waiting();
        (waits > Amount::ZERO).then(|| (lot.clone(), waits))
    };
    Some(WaitingView {
        amount,
        measure: step.measure,
        carrier: step.carrier.clone(),
        carriers: carriers.convert(amount, 0).0,
        oldest_at,
        stands: oldest_at.and_then(|at| clocks::stands(state, station, product, at)),
        lots: lots.iter().filter_map(some).collect(),
    })
}

fn done_view(lots: &Lots) -> DoneView {
    let mut sum = DoneView::default();
    for flow in lots.values() {
        sum.came_in += flow.arrived.total();
        sum.reworked_in += flow.arrived.sent_back;
        sum.taken += flow.taken;
        sum.made += flow.made;
        sum.inside += flow.inside;
        sum.diverted += flow.diverted;
        sum.scrapped += flow.scrapped;
        sum.sent_back += flow.sent_back;
        sum.split += flow.split;
        sum.recounted += flow.recounted;
    }
    sum
}

fn undo_view(station: &StationState) -> Option<UndoView> {
    let last = station.tallies.back()?;
    Some(UndoView {
        command: last.command,
        at: last.at,
        helper: last.helper.clone(),
        product: last.product.clone(),
        amount: last.parts.iter().map(|part| part.taken()).sum(),
    })
}

fn pot_view(
    state: &State,
    (station_id, station): (&StationId, &StationState),
    id: &PotId,
    plan: &Pot,
) -> PotView {
    let pot = station.pots.get(id);
    let batch = pot.and_then(|pot| pot.batch.as_ref());
    let cooking = batch.and_then(|batch| batch.cooking.as_ref());
    let step = batch.and_then(|batch| state.step(&batch.product, station_id));
    let phase = match (batch, cooking) {
        (None, _) => PotPhase::Empty,
        (Some(_), None) => PotPhase::Filled,
        (Some(_), Some(_)) => PotPhase::Cooking,
    };
    PotView {
        name: plan.name.clone(),
        takes: plan.takes.clone(),
        dirty: pot.is_some_and(|pot| pot.dirty),
        phase,
        product: batch.map(|batch| batch.product.clone()),
        amount: batch.map(|batch| batch.amount()),
        measure: step.map(|step| step.measure),
        filled_at: batch.map(|batch| batch.filled_at),
        started_at: cooking.map(|cooking| cooking.started_at),
        done_at: state.pot_done_at(station_id, id),
        stirred_at: cooking.map(|cooking| cooking.stirred_at),
        stir_at: state.stir_at(station_id, id),
        thickness: cooking.map(|cooking| cooking.thickness),
        minder: cooking.and_then(|cooking| cooking.minder.clone()),
        backup: cooking.and_then(|cooking| cooking.backup.clone()),
    }
}
