//! The stations' time and queues while the events go by.
//!
//! Looks only at what an event has touched. What waits is read off the ledgers' sums, not off the
//! layers, so a deep queue costs no more than a shallow one.

use super::depth::Depth;
use super::figures::{Deepest, LoadTold, StationTold};
use super::station_clock::{Around, StationClock, doing};
use super::touched::Touched;
use crate::day::amount::{Amount, Ratio};
use crate::day::event::Event;
use crate::day::ids::HelperId;
use crate::day::ids::{LoadId, ProductId, StationId};
use crate::day::state::{Load, LoadPhase, State};
use crate::day::time::Timestamp;
use crate::pace::WaysOut;
use std::collections::{BTreeMap, BTreeSet};

/// Every station so far.
#[derive(Default)]
pub(super) struct Stations {
    opened_at: Timestamp,
    all: BTreeMap<StationId, Seen>,
    ways_out: WaysOut,
    /// The seat somebody left last, and when.
    left: BTreeMap<HelperId, (StationId, Timestamp)>,
    /// Who rests, and where they had sat.
    resting: BTreeMap<HelperId, StationId>,
}

#[derive(Default)]
struct Seen {
    clock: StationClock,
    depths: BTreeMap<ProductId, Depth>,
    /// How many products wait.
    waiting: usize,
    /// The loads in its canners.
    loads: BTreeSet<LoadId>,
}

impl Seen {
    fn since(opened_at: Timestamp) -> Seen {
        Seen {
            clock: StationClock::since(opened_at),
            ..Seen::default()
        }
    }

    fn around(&self, state: &State) -> Around {
        let mut loads = self.loads.iter().filter_map(|load| state.loads.get(load));
        Around {
            waits: self.waiting > 0,
            loads: self.loads.len(),
            on_heat: loads.any(Load::is_on_heat),
            ..Around::default()
        }
    }
}

impl Stations {
    /// The day was opened.
    pub(super) fn begin(&mut self, at: Timestamp) {
        self.opened_at = at;
    }

    /// Takes an event that was applied to `state`.
    pub(super) fn take(
        &mut self,
        state: &State,
        now: Timestamp,
        event: &Event,
        touched: &[Touched],
    ) {
        self.keep_loads(state, event);
        self.keep_rests(now, event);
        self.ways_out.take(state, event);
        for (station, product) in touched {
            let opened_at = self.opened_at;
            let seen = self.all.entry(station.clone());
            let seen = seen.or_insert_with(|| Seen::since(opened_at));
            if let Some(product) = product {
                queue(seen, now, product, waiting(state, station, product));
            }
        }
        // A full rack or a supply that is out stops stations the event says nothing of.
        for (id, seen) in &mut self.all {
            if let Some(station) = state.stations.get(id) {
                let mut around = seen.around(state);
                around.blocked =
                    (around.waits || around.loads > 0) && self.ways_out.is_blocked(state, id);
                around.rests = self.resting.values().any(|seat| seat == id);
                seen.clock.change(now, doing(station, around));
            }
        }
    }

    fn keep_rests(&mut self, now: Timestamp, event: &Event) {
        if let Event::SeatLeft { helper, station } = event {
            self.left.insert(helper.clone(), (station.clone(), now));
        } else if let Event::BreakBegan { helper } = event {
            // The seat is left in the same moment; one that was left before is nobody's break.
            if let Some((seat, _)) = self.left.get(helper).filter(|(_, at)| *at == now) {
                self.resting.insert(helper.clone(), seat.clone());
            }
        } else if let Event::BreakEnded { helper }
        | Event::HelperWentHome { helper }
        | Event::SeatTaken { helper, .. } = event
        {
            self.resting.remove(helper);
        }
    }

    fn keep_loads(&mut self, state: &State, event: &Event) {
        let (load, inside) = if let Event::LoadBuilt { load, .. } = event {
            (load, true)
        } else if let Event::LoadCancelled { load } | Event::LoadLifted { load, .. } = event {
            (load, false)
        } else {
            return;
        };
        let station = state.loads.get(load).map(|found| &found.station);
        if let Some(seen) = station.and_then(|station| self.all.get_mut(station)) {
            if inside {
                seen.loads.insert(load.clone());
            } else {
                seen.loads.remove(load);
            }
        }
    }

    /// Books every station's time up to `to`.
    pub(super) fn advance(&mut self, to: Timestamp) {
        for seen in self.all.values_mut() {
            seen.clock.advance(to);
        }
    }

    /// How long a station was starved, as far as its time was booked.
    pub(super) fn starved_ms(&self, station: &StationId) -> i64 {
        self.all
            .get(station)
            .map_or(0, |seen| seen.clock.starved_ms)
    }

    /// Tells of every station.
    pub(super) fn told(
        &self,
        state: &State,
        loads: &BTreeMap<LoadId, LoadTold>,
        to: Timestamp,
    ) -> BTreeMap<StationId, StationTold> {
        let mut told = BTreeMap::new();
        for (id, seen) in &self.all {
            let between = loads.values().filter(|load| load.station == *id);
            let between: i64 = between.filter_map(|load| load.canner_idle_before_ms).sum();
            let mut station = station_told(state, id, seen, to);
            station.between_loads_ms = between;
            told.insert(id.clone(), station);
        }
        told
    }
}

fn queue(seen: &mut Seen, now: Timestamp, product: &ProductId, amount: Amount) {
    let depth = seen.depths.entry(product.clone()).or_default();
    let (was, is) = (depth.now() != Amount::ZERO, amount != Amount::ZERO);
    depth.set(now, amount);
    match (was, is) {
        (false, true) => seen.waiting += 1,
        (true, false) => seen.waiting -= 1,
        (true, true) | (false, false) => {}
    }
}

fn waiting(state: &State, station: &StationId, product: &ProductId) -> Amount {
    let lots = state.lots_at(station, product).into_iter().flatten();
    lots.map(|(_, flow)| flow.balance()).sum()
}

fn station_told(state: &State, id: &StationId, seen: &Seen, to: Timestamp) -> StationTold {
    let clock = &seen.clock;
    let ready_ms = to.ms_since(state.opened_at) - clock.put_away_ms;
    let mut told = StationTold {
        name: state.station_name(id),
        busy_ms: clock.busy_ms,
        starved_ms: clock.starved_ms,
        blocked_ms: clock.blocked_ms,
        unstaffed_ms: clock.unstaffed_ms,
        paused_ms: clock.paused_ms,
        put_away_ms: clock.put_away_ms,
        starved_between_ms: clock.starved_between_ms,
        all_taken_ms: clock.all_taken_ms,
        done_carriers: done(state, id),
        carrier: carrier(state, id),
        busy_share: clock.busy_ms as f64 / ready_ms.max(1) as f64,
        deepest: deepest(state, id, seen),
        ..StationTold::default()
    };
    for (product, depth) in &seen.depths {
        let (points, left_out) = depth.thinned();
        if points.is_empty() {
            continue;
        }
        if left_out > 0 {
            told.depth_left_out.insert(product.clone(), left_out);
        }
        told.depth.insert(product.clone(), points);
        told.waited.insert(product.clone(), depth.waited(to));
    }
    told
}

/// Carriers that were worked on at a station, over all products; whole thousandths.
fn done(state: &State, station: &StationId) -> Amount {
    let products = state.flows.get(station).into_iter().flatten();
    let each = products.filter_map(|(product, lots)| {
        let holds = state.step(product, station)?.carrier.holds.0;
        let taken: Amount = lots.values().map(|flow| flow.taken).sum();
        let carriers = Ratio {
            made: 1000,
            from: holds,
        };
        Some(carriers.convert(taken, 0).0)
    });
    each.sum()
}

/// What a carrier is called at a station, if there is one word for it.
fn carrier(state: &State, station: &StationId) -> Option<String> {
    let routes = state.products.values().map(|product| &product.plan.route);
    let here = routes.flatten().filter(|step| step.station == *station);
    let names: BTreeSet<&String> = here.map(|step| &step.carrier.name).collect();
    let only = names.first().filter(|_| names.len() == 1);
    only.map(|name| (*name).clone())
}

/// The deepest queue over the products, compared in carriers; the earlier one on a tie.
fn deepest(state: &State, station: &StationId, seen: &Seen) -> Option<Deepest> {
    let of_each = seen.depths.iter().filter_map(|(product, depth)| {
        let (at, amount) = depth.deepest()?;
        let holds = state
            .step(product, station)
            .map(|step| step.carrier.holds.0);
        let carriers = Ratio {
            made: 1000,
            from: holds.unwrap_or(1000),
        };
        Some(Deepest {
            product: product.clone(),
            amount,
            carriers: carriers.convert(amount, 0).0,
            at,
        })
    });
    of_each.min_by_key(|deepest| (std::cmp::Reverse(deepest.carriers), deepest.at))
}

/// Whether a load was not taken apart.
pub(super) fn is_kept(load: &Load) -> bool {
    load.phase != LoadPhase::Cancelled
}
