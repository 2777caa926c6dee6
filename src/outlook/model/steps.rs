//! Stations and steps as stations and stops of the network: how they work, how long, where to.

use super::layout::{Layout, plain};
use super::minutes::law;
use crate::day::amount::Measure;
use crate::day::event::Onward;
use crate::day::ids::StationId;
use crate::day::plan::{Canner, Ending, Nature, Pot, Step};
use crate::day::state::StationState;
use crate::pace::Pace;
use crate::sim::{Batches, Law, Network, Station, Stop, Supply, Then, Uncertain, WhenFull, Works};
use crate::trade::{self, Jar, Method};

/// Filled jars do not stand longer than this for a load to be full (common practice, no source).
const JARS_WAIT_MIN: f64 = 30.0;

/// Puts stations, supplies and the stops of all routes into the network; gives the minutes of the
/// tested process of each stop at a canner.
pub(super) fn lay_out(network: &mut Network, layout: &Layout<'_>, pace: &Pace) -> Vec<Option<f64>> {
    network.stations = layout
        .stations
        .iter()
        .map(|id| station(layout, id))
        .collect();
    network.supplies = layout
        .supplies
        .iter()
        .map(|id| Supply {
            stock: layout
                .state
                .supplies
                .get(id)
                .map_or(0.0, |found| plain(found.stock)),
            is_fed: false,
        })
        .collect();
    // A station that asks for more than there is would never begin; the board refuses such plans.
    for station in &network.stations {
        for (pool, count) in &station.takes {
            network.pools[*pool] = network.pools[*pool].max(*count);
        }
    }
    let mut kinds = Vec::new();
    let mut processes = Vec::new();
    for number in 0..layout.stops.len() {
        let (stop, process) = stop(layout, pace, number, &mut kinds);
        network.whole.push(is_whole(layout, number, &stop));
        network.stops.push(stop);
        processes.push(process);
    }
    processes
}

/// Whether only whole packages come of it: the rest that fills none is eaten. Where what comes of a
/// carrier is not sure, the sum is packages all the same, and no carrier for itself.
fn is_whole(layout: &Layout<'_>, number: usize, stop: &Stop) -> bool {
    let Uncertain::Known(yields) = stop.yields else {
        return false;
    };
    let place = &layout.stops[number];
    let after = layout
        .step(number)
        .and_then(|step| layout.state.measure_after(&place.product, step));
    let made = stop.carrier * yields;
    after.is_some_and(Measure::is_counted) && (made - made.round()).abs() < 1e-3 && made > 0.5
}

fn station(layout: &Layout<'_>, id: &StationId) -> Station {
    let state = layout.state;
    let Some(found) = state.stations.get(id) else {
        unreachable!("the layout lists stations of the day");
    };
    let works = match &found.plan.nature {
        Nature::Hand {} => Works::Hands,
        Nature::Vessel { pots, .. } => batches(pots.len(), None),
        Nature::Canner { canners, .. } => batches(canners.len(), Some(JARS_WAIT_MIN)),
        Nature::Hold { .. } => Works::Servers(None),
    };
    let takes = found.plan.occupies.iter().filter_map(|(resource, count)| {
        let pool = layout.pools.iter().position(|(id, _)| id == resource)?;
        (*count > 0).then_some((pool, *count))
    });
    let takes = match found.plan.nature {
        Nature::Hold { .. } => Vec::new(),
        Nature::Hand {} | Nature::Vessel { .. } | Nature::Canner { .. } => takes.collect(),
    };
    Station {
        name: found.plan.name.clone(),
        works,
        room: None,
        when_full: WhenFull::Block,
        seats: seats(found),
        takes,
        slowness: Uncertain::Known(1.0),
    }
}

/// As many places as there are, or more if more people sit there.
fn seats(found: &StationState) -> u32 {
    let seated = u32::try_from(found.seats.len()).unwrap_or(u32::MAX);
    found.plan.seats.max(seated)
}

fn batches(places: usize, patience_min: Option<f64>) -> Works {
    Works::Batches(Batches {
        servers: u32::try_from(places).unwrap_or(u32::MAX).max(1),
        min_share: 1.0,
        first: Vec::new(),
        patience_min,
    })
}

/// Batches of one kind may mix.
#[derive(PartialEq)]
enum Kind {
    Pot(usize),
    Jars(String, trade::Pack, Jar, u32),
}

fn stop(
    layout: &Layout<'_>,
    pace: &Pace,
    number: usize,
    kinds: &mut Vec<Kind>,
) -> (Stop, Option<f64>) {
    let (station, class) = layout.places[number];
    let place = &layout.stops[number];
    let (Some(step), Some(found)) = (
        layout.step(number),
        layout.state.stations.get(&place.station),
    ) else {
        unreachable!("the layout lists steps of the day");
    };
    let carrier = plain(step.carrier.holds).max(0.001);
    let mut process = None;
    let (time, fits, kind) = match &found.plan.nature {
        Nature::Hand {} => {
            let shape = pace.shape();
            (Law::Gamma { mean: 1.0, shape }, carrier, Kind::Pot(number))
        }
        Nature::Hold { .. } => (Law::Deterministic(0.0), carrier, Kind::Pot(number)),
        Nature::Vessel { pots, .. } => {
            let time = law(pace.pot(&place.station, &place.product));
            let fits = pot_fits(pots.values(), step).unwrap_or(carrier);
            (time, fits.max(0.001), Kind::Pot(number))
        }
        Nature::Canner { method, canners } => {
            let tested = tested(layout, class, *method);
            let jars = jars(layout, class);
            let fits = jars
                .as_ref()
                .and_then(|(_, _, jar)| canner_fits(canners.values(), *jar));
            process = tested.map(f64::from);
            let time = cycle(pace, &place.station, process.unwrap_or(0.0));
            let kind = jars.map_or(Kind::Pot(number), |(food, pack, jar)| {
                Kind::Jars(food, pack, jar, tested.unwrap_or(0))
            });
            (time, fits.unwrap_or(carrier).max(carrier), kind)
        }
    };
    let group = kinds
        .iter()
        .position(|known| *known == kind)
        .unwrap_or_else(|| {
            kinds.push(kind);
            kinds.len() - 1
        });
    let stop = Stop {
        station,
        class,
        carrier,
        fits,
        time,
        yields: yields(layout, pace, number, step),
        then: then(layout, number, step),
        rank: 0,
        group,
        draws: draws(layout, step),
    };
    (stop, process)
}

/// What the pots take of it, on average over those that take it.
fn pot_fits<'a>(pots: impl Iterator<Item = &'a Pot>, step: &Step) -> Option<f64> {
    let takes: Vec<f64> = pots
        .filter_map(|pot| pot.takes.get(&step.measure).copied().map(plain))
        .collect();
    (!takes.is_empty()).then(|| takes.iter().sum::<f64>() / takes.len() as f64)
}

/// What the canners take of such jars, on average over those that take them.
fn canner_fits<'a>(canners: impl Iterator<Item = &'a Canner>, jar: Jar) -> Option<f64> {
    let holds: Vec<f64> = canners
        .filter_map(|canner| canner.holds.get(&jar).copied().map(f64::from))
        .filter(|holds| *holds > 0.0)
        .collect();
    (!holds.is_empty()).then(|| holds.iter().sum::<f64>() / holds.len() as f64)
}

fn jars(layout: &Layout<'_>, class: usize) -> Option<(String, trade::Pack, Jar)> {
    let product = layout.products.get(class)?;
    match &layout.state.products.get(product)?.plan.ends_in {
        Ending::Canned { food, pack, jar } => Some((food.clone(), *pack, *jar)),
        Ending::Frozen { .. }
        | Ending::Fresh { .. }
        | Ending::Stocked { .. }
        | Ending::Shared {} => None,
    }
}

/// The highest altitudes the bands of the tables reach, in feet. While the kitchen's is not set,
/// the time of the highest that has one is reckoned with: it is the longest.
const ALTITUDES_FT: [i32; 5] = [10_000, 8_000, 6_000, 3_000, 0];

/// Minutes of the tested process.
fn tested(layout: &Layout<'_>, class: usize, method: Method) -> Option<u32> {
    let (food, pack, jar) = jars(layout, class)?;
    let minutes = |altitude_ft: i32| {
        let tested = trade::tested(&food, pack, jar, method, altitude_ft);
        tested.ok().map(|tested| tested.minutes)
    };
    match layout.state.altitude_ft {
        Some(altitude_ft) => minutes(altitude_ft),
        None => ALTITUDES_FT.into_iter().find_map(minutes),
    }
}

/// A canner's cycle: only what stands around the process varies.
pub(super) fn cycle(pace: &Pace, station: &StationId, process_min: f64) -> Law {
    let canner = pace.canner(station);
    Law::Sum(vec![
        law(canner.loading),
        law(canner.heating),
        Law::Deterministic(process_min),
        law(canner.after),
    ])
}

fn yields(layout: &Layout<'_>, pace: &Pace, number: usize, step: &Step) -> Uncertain {
    let place = &layout.stops[number];
    let ratio = if step.yields.from > 0 {
        step.yields.made as f64 / step.yields.from as f64
    } else {
        1.0
    };
    let factor = pace.yields(layout.state, &place.station, &place.product);
    let median = ratio * factor.median;
    if !(median > 0.0 && median.is_finite()) {
        return Uncertain::Known(ratio);
    }
    if factor.sigma > 0.0 && factor.sigma.is_finite() {
        let sigma = factor.sigma;
        Uncertain::Lognormal { median, sigma }
    } else {
        Uncertain::Known(median)
    }
}

fn then(layout: &Layout<'_>, number: usize, step: &Step) -> Then {
    let product = &layout.stops[number].product;
    let ways = layout.state.ways_on(product, step);
    let mut to: Vec<(f64, usize)> = Vec::new();
    for (index, way) in ways.iter().enumerate() {
        match way {
            Onward::Step { product, station } => {
                let weight = step
                    .onward
                    .get(index)
                    .map_or(1, |branch| branch.weight.max(1));
                to.extend(onward(layout, product, station).map(|stop| (f64::from(weight), stop)));
            }
            Onward::Stock { supply } => {
                let supply = layout.supplies.binary_search(supply);
                return supply.map_or(Then::Leave, Then::Feed);
            }
            Onward::Finished {} => return Then::Leave,
        }
    }
    match to[..] {
        [] => Then::Leave,
        [(_, only)] => Then::Go(only),
        _ => Then::Share(to),
    }
}

/// The stop of a station, or of the first after it that was not taken away.
fn onward(
    layout: &Layout<'_>,
    product: &crate::day::ids::ProductId,
    station: &StationId,
) -> Option<usize> {
    let route = &layout.state.products.get(product)?.plan.route;
    let mut later = route.iter().skip_while(|step| step.station != *station);
    later.find_map(|step| layout.stop(&step.station, product))
}

fn draws(layout: &Layout<'_>, step: &Step) -> Vec<(usize, f64)> {
    let draws = step.draws.iter().filter_map(|(supply, amount)| {
        let supply = layout.supplies.binary_search(supply).ok()?;
        let amount = plain(*amount);
        (amount > 0.0).then_some((supply, amount))
    });
    draws.collect()
}
