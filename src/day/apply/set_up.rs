//! What set-up events change: the day itself, shared things, stations, products, lots, supplies.

use crate::day::amount::Amount;
use crate::day::event::{Event, Layer};
use crate::day::ids::{LotId, ProductId, StationId, SupplyId};
use crate::day::plan::{Carried, DayPlan, Lot, Nature, Product, Station, Supply};
use crate::day::state::*;
use crate::day::time::Timestamp;
use std::collections::{BTreeMap, VecDeque};

pub(super) fn apply(state: &mut State, at: Timestamp, event: &Event) {
    match event {
        Event::DayOpened { plan } => open(state, at, plan),
        Event::DayChanged {
            name,
            altitude_ft,
            cut_off_at,
            scraps_bucket_lb,
        } => {
            if let Some(name) = name {
                state.name.clone_from(name);
            }
            state.altitude_ft = altitude_ft.or(state.altitude_ft);
            state.cut_off_at = cut_off_at.or(state.cut_off_at);
            state.scraps_bucket_lb = scraps_bucket_lb.unwrap_or(state.scraps_bucket_lb);
        }
        Event::DayClosed {} => {
            state.phase = Phase::Closed;
            state.closed_at = Some(at);
        }
        Event::AgeRulesSet { rules } => state.age_rules = Some(rules.clone()),
        Event::ResourcePut { resource, plan } => {
            state.resources.insert(resource.clone(), plan.clone());
        }
        Event::ResourceRetired { resource } => {
            state.resources.remove(resource);
        }
        Event::StationAdded { station, plan } => add_station(state, station, plan),
        Event::StationChanged { station, plan } => change_station(state, station, plan),
        Event::StationRetired { station } => station_mut(state, station, |s| s.retired = true),
        Event::StationSetUp { station } => station_mut(state, station, |s| s.set_up = true),
        Event::StationPutAway { station } => station_mut(state, station, |s| s.set_up = false),
        Event::ProductAdded { product, plan } => add_product(state, product, plan),
        Event::ProductChanged { product, plan } => change_product(state, product, plan),
        Event::ProductRetired { product } => {
            if let Some(product) = state.products.get_mut(product) {
                product.retired = true;
            }
            forget_tallies(state, product);
        }
        Event::LotAdded { lot, plan } => add_lot(state, lot, plan),
        Event::LotChanged { lot, plan } => {
            if let Some(lot) = state.lots.get_mut(lot) {
                lot.unopened += plan.amount - lot.plan.amount;
                lot.plan = plan.clone();
            }
        }
        Event::LotRetired { lot } => {
            if let Some(lot) = state.lots.get_mut(lot) {
                lot.retired = true;
            }
        }
        Event::SupplyAdded { supply, plan } => add_supply(state, supply, plan),
        Event::SupplyChanged { supply, plan } => supply_mut(state, supply, |s| {
            s.plan = plan.clone();
        }),
        Event::SupplyRetired { supply } => supply_mut(state, supply, |s| s.retired = true),
        Event::SupplyRestocked { supply, amount } => supply_mut(state, supply, |s| {
            s.stock += *amount;
            s.restocked += *amount;
        }),
        Event::SupplyRecounted {
            supply,
            amount,
            was,
        } => supply_mut(state, supply, |s| {
            s.stock += *amount - *was;
            s.recounted += *amount - *was;
        }),
        other => unreachable!("{other:?} is not a set-up event"),
    }
}

fn station_mut(state: &mut State, id: &StationId, change: impl FnOnce(&mut StationState)) {
    if let Some(station) = state.stations.get_mut(id) {
        change(station);
    }
}

fn supply_mut(state: &mut State, id: &SupplyId, change: impl FnOnce(&mut SupplyState)) {
    if let Some(supply) = state.supplies.get_mut(id) {
        change(supply);
    }
}

fn open(state: &mut State, at: Timestamp, plan: &DayPlan) {
    state.phase = Phase::Open;
    state.opened_at = at;
    state.name.clone_from(&plan.name);
    state.date.clone_from(&plan.date);
    state.cut_off_at = plan.cut_off_at;
    state.altitude_ft = plan.altitude_ft;
    state.scraps_bucket_lb = plan.scraps_bucket_lb;
    state.age_rules = Some(plan.age_rules.clone());
    state.resources = plan.resources.clone();
    for (id, station) in &plan.stations {
        add_station(state, id, station);
    }
    for (id, supply) in &plan.supplies {
        add_supply(state, id, supply);
    }
    for (id, product) in &plan.products {
        add_product(state, id, product);
    }
    for (id, helper) in &plan.helpers {
        super::people::add_helper(state, at, id, helper);
    }
    for (id, lot) in &plan.lots {
        add_lot(state, id, lot);
    }
    for carried in &plan.carried {
        carry(state, carried);
    }
}

fn carry(state: &mut State, carried: &Carried) {
    let Carried {
        station,
        product,
        lot,
        amount,
        since,
    } = carried;
    let flow = super::flow::flow_mut(state, station, product, lot);
    flow.arrived.carried += *amount;
    flow.put(Layer {
        since: *since,
        amount: *amount,
    });
}

fn add_station(state: &mut State, id: &StationId, plan: &Station) {
    let mut station = StationState {
        plan: plan.clone(),
        set_up: plan.set_up,
        retired: false,
        seats: BTreeMap::new(),
        pots: BTreeMap::new(),
        tallies: VecDeque::new(),
        tallied_at: None,
    };
    keep_pots(&mut station);
    state.stations.insert(id.clone(), station);
}

fn change_station(state: &mut State, id: &StationId, plan: &Station) {
    if let Some(station) = state.stations.get_mut(id) {
        station.plan = plan.clone();
        keep_pots(station);
    }
}

/// Makes the pots those of the plan; pots that stay keep what is in them.
fn keep_pots(station: &mut StationState) {
    let Nature::Vessel { pots, .. } = &station.plan.nature else {
        station.pots.clear();
        return;
    };
    station.pots.retain(|id, _| pots.contains_key(id));
    for id in pots.keys() {
        station.pots.entry(id.clone()).or_default();
    }
}

fn add_product(state: &mut State, id: &ProductId, plan: &Product) {
    let mut product = ProductState {
        plan: plan.clone(),
        retired: false,
        finished: BTreeMap::new(),
        acid_until: None,
        sterile_until: None,
        sent: BTreeMap::new(),
    };
    restart_branches(&mut product);
    state.products.insert(id.clone(), product);
}

fn change_product(state: &mut State, id: &ProductId, plan: &Product) {
    forget_tallies(state, id);
    let Some(product) = state.products.get_mut(id) else {
        return;
    };
    let old = std::mem::replace(&mut product.plan, plan.clone());
    restart_branches(product);
    for step in &plan.route {
        let before = old.route.iter().find(|s| s.station == step.station);
        if before.is_some_and(|before| before.yields == step.yields) {
            continue;
        }
        let flows = state.flows.get_mut(&step.station);
        for flow in flows
            .and_then(|products| products.get_mut(id))
            .into_iter()
            .flat_map(|lots| lots.values_mut())
        {
            flow.remainder = 0;
        }
    }
}

/// Tallies under an older route cannot be taken back: what they booked no longer fits the plan.
fn forget_tallies(state: &mut State, id: &ProductId) {
    for station in state.stations.values_mut() {
        station.tallies.retain(|tally| tally.product != *id);
    }
}

fn restart_branches(product: &mut ProductState) {
    let splits = product.plan.route.iter().filter(|s| s.onward.len() > 1);
    product.sent = splits
        .map(|step| {
            let sent = vec![Amount::ZERO; step.onward.len()];
            (step.station.clone(), sent)
        })
        .collect();
}

pub(super) fn add_lot(state: &mut State, id: &LotId, plan: &Lot) {
    let lot = LotState {
        plan: plan.clone(),
        retired: false,
        unopened: plan.amount,
        opened: Amount::ZERO,
        split: Amount::ZERO,
        stocked: Amount::ZERO,
    };
    state.lots.insert(id.clone(), lot);
}

fn add_supply(state: &mut State, id: &SupplyId, plan: &Supply) {
    let supply = SupplyState {
        plan: plan.clone(),
        retired: false,
        stock: plan.stock,
        restocked: plan.stock,
        fed: Amount::ZERO,
        drawn: Amount::ZERO,
        recounted: Amount::ZERO,
    };
    state.supplies.insert(id.clone(), supply);
}
