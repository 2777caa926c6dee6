//! What is to be seen of a station at a moment: how much waits, whether it could go on.

use super::brake;
use super::doing::Doing;
use super::drift::Drift;
use super::layout::{Layout, Stop, plain};
use crate::day::ids::{LoadId, ProductId, StationId, SupplyId};
use crate::day::plan::Nature;
use crate::day::state::{LoadPhase, State, StationState};
use std::collections::{BTreeMap, BTreeSet};

/// Work and supplies that were there before their tap: what a late tap brought all at once is
/// taken to have come evenly.
#[derive(Debug, Clone, Default)]
pub(super) struct Early {
    pub(super) work: BTreeMap<(StationId, ProductId), f64>,
    pub(super) supplies: BTreeMap<SupplyId, f64>,
    /// What is there beside what the board says.
    pub(super) drift: Drift,
}

/// A station at a moment.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Sight {
    /// Carriers that can be worked on: in front, and with room behind.
    pub(super) pieces: f64,
    /// Whether work is in front that could go nowhere.
    pub(super) blocked: bool,
    /// Whether that is the brake on filling, which some mind and some do not.
    pub(super) braked: bool,
    /// Carriers that wait, as the board has it.
    pub(super) carriers: f64,
    /// Whether a full load waits.
    pub(super) full_load: bool,
    /// Whether a load is in one of its canners.
    pub(super) loaded: bool,
    /// Whether all such loads are done with their heat and find no room on the rack.
    pub(super) rack_full: bool,
}

/// The loads in the canners of each station.
pub(super) type Loads = BTreeMap<StationId, BTreeSet<LoadId>>;

/// What waits of a product at a station, in its measure.
pub(super) fn waiting(state: &State, station: &StationId, product: &ProductId) -> f64 {
    let lots = state.lots_at(station, product).into_iter().flatten();
    lots.map(|(_, flow)| plain(flow.balance())).sum()
}

fn standing(state: &State, station: &StationId) -> f64 {
    let products = state.flows.get(station).into_iter().flatten();
    let flows = products.flat_map(|(_, lots)| lots.values());
    flows.map(|flow| plain(flow.balance())).sum()
}

/// Carriers to work on in an amount. One that is not full is left until it is, unless nothing more
/// comes.
fn pieces(state: &State, amount: f64, stop: &Stop) -> f64 {
    let carriers = amount / stop.holds;
    // A carrier that is nearly full is full.
    let full = (carriers + 0.1).floor();
    let rest = amount - full * stop.holds;
    if rest < stop.least || more_comes(state, stop) {
        full
    } else {
        full + 1.0
    }
}

fn more_comes(state: &State, stop: &Stop) -> bool {
    let comes = |(station, product): &(StationId, ProductId)| {
        let lots = state.lots_at(station, product).into_iter().flatten();
        lots.map(|(_, flow)| plain(flow.balance()) + plain(flow.inside))
            .sum::<f64>()
            > 0.0
    };
    stop.feeders.iter().any(comes)
}

/// Looks at a station.
pub(super) fn look(
    state: &State,
    early: &Early,
    loads: &Loads,
    layout: &Layout,
    (id, stops): (&StationId, &[Stop]),
) -> Sight {
    let mut sight = Sight::default();
    let station = state.stations.get(id);
    let stands_ready = station.is_some_and(|found| found.set_up && !found.retired);
    for stop in stops {
        let waits = waiting(state, id, &stop.product);
        sight.carriers += waits / stop.holds;
        sight.full_load |= stop.load > 0.0 && waits >= stop.load;
        // Asked by reference: most stations have nothing early.
        let early_here = if early.work.is_empty() {
            0.0
        } else {
            let key = (id.clone(), stop.product.clone());
            early.work.get(&key).copied().unwrap_or_default()
        };
        let drift = early.drift.at(id, &stop.product);
        let amount = (waits + early_here + drift).max(0.0);
        let in_front = pieces(state, amount, stop);
        if in_front == 0.0 || !stands_ready {
            continue;
        }
        let share = (amount / stop.holds).min(1.0);
        let canner = stop.canner.as_ref();
        if canner.is_some_and(|canner| brake::is_on(state, layout, canner, &stop.product)) {
            sight.blocked = true;
            sight.braked = true;
        } else if can_go_on(state, early, stop, share) {
            sight.pieces += in_front;
        } else {
            sight.blocked = true;
        }
    }
    if let Some(loads) = loads.get(id).filter(|loads| !loads.is_empty()) {
        sight.loaded = true;
        sight.rack_full = loads.iter().all(|load| waits_for_rack(state, load, stops));
    }
    sight
}

/// Whether a load could be lifted but for the rack.
fn waits_for_rack(state: &State, load: &LoadId, stops: &[Stop]) -> bool {
    let Some(load) = state.loads.get(load) else {
        return false;
    };
    let jars = plain(load.jar_count());
    let first = load.jars.first().map(|part| &part.product);
    let stop = stops.iter().find(|stop| Some(&stop.product) == first);
    let doors = stop
        .into_iter()
        .flat_map(|stop| stop.doors.iter().flatten());
    let mut full = doors.map(|(hold, capacity)| standing(state, hold) + jars > *capacity);
    load.phase == LoadPhase::Resting && full.any(|full| full)
}

/// Whether there is room behind and enough to draw on for a carrier filled to `share`.
fn can_go_on(state: &State, early: &Early, stop: &Stop, share: f64) -> bool {
    let close = 1e-9;
    let room = |door: &Option<(StationId, f64)>| match door {
        None => true,
        Some((hold, capacity)) => standing(state, hold) + stop.made * share <= capacity + close,
    };
    let supplied = |(supply, each): &(SupplyId, f64)| {
        let Some(found) = state.supplies.get(supply) else {
            return true;
        };
        let early = early.supplies.get(supply).copied().unwrap_or_default();
        plain(found.stock) + early + close >= each * share
    };
    (stop.doors.is_empty() || stop.doors.iter().any(room)) && stop.draws.iter().all(supplied)
}

/// What a station is doing; `hands` is whether somebody is ready there.
pub(super) fn doing(state: &State, id: &StationId, sight: Sight, hands: bool) -> Doing {
    let Some(station) = state.stations.get(id) else {
        return Doing::Away;
    };
    if !station.set_up || station.retired {
        return Doing::Away;
    }
    match station.plan.nature {
        Nature::Hand {} => by_hand(sight, hands),
        Nature::Vessel { .. } => by_pots(station, sight),
        Nature::Canner { .. } => {
            if sight.loaded && sight.rack_full {
                Doing::Blocked
            } else if sight.loaded {
                Doing::Working
            } else if sight.full_load {
                Doing::Unstaffed
            } else {
                Doing::Starved
            }
        }
        // What stands there is not worked on, so it never holds anything up by working.
        Nature::Hold { .. } => Doing::Away,
    }
}

fn by_hand(sight: Sight, hands: bool) -> Doing {
    let waits = sight.pieces > 0.0 || sight.blocked;
    match (waits, hands) {
        (false, _) => Doing::Starved,
        (true, false) => Doing::Unstaffed,
        (true, true) if sight.pieces > 0.0 => Doing::Working,
        (true, true) => Doing::Blocked,
    }
}

fn by_pots(station: &StationState, sight: Sight) -> Doing {
    let mut batches = station.pots.values().filter_map(|pot| pot.batch.as_ref());
    let any = batches.clone().next().is_some();
    if batches.any(|batch| batch.cooking.is_some()) {
        Doing::Working
    } else if any || sight.carriers > 0.0 {
        Doing::Unstaffed
    } else {
        Doing::Starved
    }
}
