//! Read-only questions on the day as it stands.

use super::*;
use crate::day::command::Place;
use crate::day::flow::{self, Flow};

impl State {
    /// The step of a product at a station.
    pub fn step(&self, product: &ProductId, station: &StationId) -> Option<&Step> {
        let route = &self.products.get(product)?.plan.route;
        route.iter().find(|step| step.station == *station)
    }

    /// Whether a station lies behind the canner on a canned product's route: what stands there
    /// came out of a load, and nothing else may.
    pub fn is_after_canner(&self, product: &ProductId, station: &StationId) -> bool {
        let Some(plan) = self.products.get(product).map(|state| &state.plan) else {
            return false;
        };
        self.canner_step(plan).is_some_and(|canner| {
            let step = plan.route.iter().position(|step| step.station == *station);
            step.is_some_and(|step| step > canner)
        })
    }

    /// The place of the canner on a canned product's route.
    pub fn canner_step(&self, plan: &Product) -> Option<usize> {
        let canner = |step: &Step| {
            let station = self.stations.get(&step.station);
            station.is_some_and(|found| matches!(found.plan.nature, Nature::Canner { .. }))
        };
        matches!(plan.ends_in, Ending::Canned { .. })
            .then(|| plan.route.iter().position(canner))
            .flatten()
    }

    /// The ledgers of a product at a station, lot by lot.
    pub fn lots_at(&self, station: &StationId, product: &ProductId) -> Option<&Lots> {
        self.flows.get(station)?.get(product)
    }

    /// What waits of a product at a station.
    pub fn waiting_at(&self, station: &StationId, product: &ProductId) -> Amount {
        self.lots_at(station, product)
            .map_or(Amount::ZERO, flow::waiting)
    }

    /// One ledger.
    pub fn flow(&self, station: &StationId, product: &ProductId, lot: &LotId) -> Option<&Flow> {
        self.lots_at(station, product)?.get(lot)
    }

    /// Every ledger with its station, product and lot.
    pub fn all_flows(&self) -> impl Iterator<Item = (&StationId, &ProductId, &LotId, &Flow)> {
        self.flows.iter().flat_map(|(station, products)| {
            products.iter().flat_map(move |(product, lots)| {
                lots.iter()
                    .map(move |(lot, flow)| (station, product, lot, flow))
            })
        })
    }

    /// What the step's work goes on as: the measure of the next step or of the package.
    pub fn measure_after(&self, product: &ProductId, step: &Step) -> Option<Measure> {
        match self.ways_on(product, step).first()? {
            Onward::Step { product, station } => {
                self.step(product, station).map(|next| next.measure)
            }
            Onward::Finished {} | Onward::Stock { .. } => {
                self.products.get(product)?.plan.ends_in.package()
            }
        }
    }

    /// Every way on from a step, in order.
    pub fn ways_on(&self, product: &ProductId, step: &Step) -> Vec<Onward> {
        if !step.onward.is_empty() {
            let way = |branch: &Branch| Onward::Step {
                product: branch.product.clone(),
                station: branch.station.clone(),
            };
            return step.onward.iter().map(way).collect();
        }
        let Some(plan) = self.products.get(product).map(|state| &state.plan) else {
            return Vec::new();
        };
        let mut later = plan.route.iter().skip_while(|s| s.station != step.station);
        later.next();
        match (later.next(), &plan.ends_in) {
            (Some(next), _) => vec![Onward::Step {
                product: product.clone(),
                station: next.station.clone(),
            }],
            (None, Ending::Stocked { supply, .. }) => vec![Onward::Stock {
                supply: supply.clone(),
            }],
            (None, Ending::Shared {}) => Vec::new(),
            (None, Ending::Canned { .. } | Ending::Frozen { .. } | Ending::Fresh { .. }) => {
                vec![Onward::Finished {}]
            }
        }
    }

    /// Finished packages of a product.
    pub fn finished(&self, product: &ProductId) -> Amount {
        let found = self.products.get(product);
        found.map_or(Amount::ZERO, |found| found.finished.values().copied().sum())
    }

    /// Packages of a product that came out of a canner and are not finished.
    pub fn cooling(&self, product: &ProductId) -> Amount {
        let route = self.products.get(product).map(|found| &found.plan.route);
        let stations = route.into_iter().flatten().map(|step| &step.station);
        stations
            .filter(|station| self.is_after_canner(product, station))
            .map(|station| self.waiting_at(station, product))
            .sum()
    }

    /// The first way on from a station of a product's route; at a canner, the only one: its rack.
    pub fn way_on(&self, product: &ProductId, station: &StationId) -> Option<Onward> {
        let step = self.step(product, station)?;
        self.ways_on(product, step).into_iter().next()
    }

    /// How many of a shared thing are in use.
    pub fn resource_used(&self, resource: &ResourceId) -> u32 {
        let runs = self.stations.iter().map(|(id, station)| {
            let each = station
                .plan
                .occupies
                .get(resource)
                .copied()
                .unwrap_or_default();
            each.saturating_mul(self.running(id, station))
        });
        runs.fold(0, u32::saturating_add)
    }

    /// How many times over a station runs now: seats taken, pots cooking, a canner on the heat.
    fn running(&self, id: &StationId, station: &StationState) -> u32 {
        let count = match station.plan.nature {
            Nature::Hand {} => usize::from(!station.seats.is_empty()),
            Nature::Vessel { .. } => {
                let cooking = |pot: &&PotState| {
                    pot.batch
                        .as_ref()
                        .is_some_and(|batch| batch.cooking.is_some())
                };
                station.pots.values().filter(cooking).count()
            }
            Nature::Canner { .. } => {
                let on_heat = |(_, load): &(&LoadId, &Load)| load.is_on_heat();
                self.loads_at(id).filter(on_heat).count()
            }
            Nature::Hold { .. } => 0,
        };
        u32::try_from(count).unwrap_or(u32::MAX)
    }

    /// The load in a canner now.
    pub fn load_in(&self, station: &StationId, canner: &CannerId) -> Option<(&LoadId, &Load)> {
        self.loads_at(station)
            .find(|(_, load)| load.canner == *canner)
    }

    /// The loads in the canners of a station now.
    pub fn loads_at(&self, station: &StationId) -> impl Iterator<Item = (&LoadId, &Load)> {
        let here = move |load: &Load| load.station == *station && load.is_in_canner();
        self.loads.iter().filter(move |(_, load)| here(load))
    }

    /// The number of a lifted load, from 1, in the order in which loads were lifted; `None` before.
    pub fn load_number(&self, id: &LoadId) -> Option<usize> {
        let place = |id: &LoadId, load: &Load| load.lifted_at.map(|at| (at, id.clone()));
        let mine = place(id, self.loads.get(id)?)?;
        let lifted = self.loads.iter().filter_map(|(id, load)| place(id, load));
        Some(lifted.filter(|other| *other <= mine).count())
    }

    /// Everything that stands at a hold station, over its products.
    pub fn standing_at(&self, station: &StationId) -> Amount {
        let products = self.flows.get(station).into_iter().flatten();
        products.map(|(_, lots)| flow::waiting(lots)).sum()
    }

    /// Whose seat or pot depends on this adult: children they stay beside.
    pub fn children_beside(&self, adult: &HelperId) -> Vec<(&StationId, &HelperId)> {
        let seats = self.stations.iter().flat_map(|(station, state)| {
            state
                .seats
                .iter()
                .map(move |(child, seat)| (station, child, seat))
        });
        seats
            .filter(|(_, _, seat)| seat.beside.as_ref() == Some(adult))
            .map(|(station, child, _)| (station, child))
            .collect()
    }

    /// Cooking pots a helper minds.
    pub fn pots_minded(&self, helper: &HelperId) -> Vec<(&StationId, &PotId, &Cooking)> {
        let pots = self.stations.iter().flat_map(|(station, state)| {
            state.pots.iter().filter_map(move |(pot, state)| {
                let cooking = state.batch.as_ref()?.cooking.as_ref()?;
                Some((station, pot, cooking))
            })
        });
        pots.filter(|(_, _, cooking)| cooking.minder.as_ref() == Some(helper))
            .collect()
    }

    /// The household's rule for ages.
    pub fn age_rules(&self) -> AgeRules {
        self.age_rules.clone().unwrap_or_else(AgeRules::usual)
    }

    /// A station's name, or its id.
    pub fn station_name(&self, id: &StationId) -> String {
        self.stations
            .get(id)
            .map_or_else(|| id.to_string(), |station| station.plan.name.clone())
    }

    /// A helper's name, or their id.
    pub fn helper_name(&self, id: &HelperId) -> String {
        self.helpers
            .get(id)
            .map_or_else(|| id.to_string(), |helper| helper.plan.name.clone())
    }

    /// A product's name, or its id.
    pub fn product_name(&self, id: &ProductId) -> String {
        self.products
            .get(id)
            .map_or_else(|| id.to_string(), |product| product.plan.name.clone())
    }

    /// Whether anything waits or stands inside at this place.
    pub fn is_busy(&self, place: &Place) -> bool {
        let lots = self.lots_at(&place.station, &place.product);
        lots.into_iter()
            .flat_map(|lots| lots.values())
            .any(|flow| flow.waiting() != Amount::ZERO || flow.inside != Amount::ZERO)
    }
}
