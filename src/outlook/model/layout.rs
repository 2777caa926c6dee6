//! Which station, stop, helper, pool and supply has which number.

use crate::day::amount::Amount;
use crate::day::command::Place;
use crate::day::ids::*;
use crate::day::plan::Step;
use crate::day::state::{Presence, State};
use std::collections::BTreeMap;

/// The numbering of a day.
pub(super) struct Layout<'a> {
    pub state: &'a State,
    /// Not retired, by id.
    pub stations: Vec<StationId>,
    /// Here or resting, by id.
    pub helpers: Vec<HelperId>,
    /// Not retired, or with work left, by id.
    pub products: Vec<ProductId>,
    pub supplies: Vec<SupplyId>,
    pub pools: Vec<(ResourceId, u32)>,
    pub stops: Vec<Place>,
    /// By stop: its station and class.
    pub places: Vec<(usize, usize)>,
    pub by_place: BTreeMap<(usize, usize), usize>,
}

impl<'a> Layout<'a> {
    pub fn of(state: &'a State) -> Layout<'a> {
        let stations = state.stations.iter().filter(|(_, found)| !found.retired);
        let helpers = state.helpers.iter().filter(|(_, found)| {
            let there = matches!(found.presence, Presence::Here | Presence::Resting);
            !found.retired && there
        });
        let supplies = state.supplies.iter().filter(|(_, found)| !found.retired);
        let pools = state.resources.iter();
        let mut layout = Layout {
            state,
            stations: stations.map(|(id, _)| id.clone()).collect(),
            helpers: helpers.map(|(id, _)| id.clone()).collect(),
            products: products(state),
            supplies: supplies.map(|(id, _)| id.clone()).collect(),
            pools: pools.map(|(id, plan)| (id.clone(), plan.count)).collect(),
            stops: Vec::new(),
            places: Vec::new(),
            by_place: BTreeMap::new(),
        };
        for (class, product) in layout.products.iter().enumerate() {
            let route = state.products.get(product).map(|found| &found.plan.route);
            for step in route.into_iter().flatten() {
                let Ok(station) = layout.stations.binary_search(&step.station) else {
                    continue;
                };
                let stop = layout.stops.len();
                layout.by_place.insert((station, class), stop);
                layout.places.push((station, class));
                layout.stops.push(Place {
                    product: product.clone(),
                    station: step.station.clone(),
                });
            }
        }
        layout
    }

    pub fn stop(&self, station: &StationId, product: &ProductId) -> Option<usize> {
        let station = self.stations.binary_search(station).ok()?;
        let class = self.products.binary_search(product).ok()?;
        self.by_place.get(&(station, class)).copied()
    }

    /// The step of a stop.
    pub fn step(&self, stop: usize) -> Option<&'a Step> {
        let place = self.stops.get(stop)?;
        self.state.step(&place.product, &place.station)
    }

    /// The stop of the first step of a product that is in the model.
    pub fn first_stop(&self, product: &ProductId) -> Option<usize> {
        let first = self.state.products.get(product)?.plan.route.first()?;
        self.stop(&first.station, product)
    }
}

fn products(state: &State) -> Vec<ProductId> {
    let mut busy: Vec<&ProductId> = Vec::new();
    for (_, product, _, flow) in state.all_flows() {
        if flow.waiting() != Amount::ZERO || flow.inside != Amount::ZERO {
            busy.push(product);
        }
    }
    let listed = state
        .products
        .iter()
        .filter(|(id, found)| !found.retired || busy.contains(id));
    listed.map(|(id, _)| id.clone()).collect()
}

/// An amount as a plain number of its measure.
pub(super) fn plain(amount: Amount) -> f64 {
    amount.0 as f64 / 1000.0
}
