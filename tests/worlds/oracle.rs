//! What nobody in the kitchen knows, told to a forecast: how much of its error comes of not knowing.

use crate::calibration::{Ways, people};
use crate::kitchen::{Kitchen, Stop};
use crate::truth::Truth;
use crate::world::World;
use putby::day::command::Place;
use putby::outlook::Model;
use putby::sim::{Law, Uncertain};

/// What is told beside the events.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Oracle {
    /// Nothing: the forecast as it is.
    Nothing,
    /// How fast everybody is at their hands' work, how much services vary, what steps give.
    Rates,
    /// That, and what really waits everywhere.
    Stocks,
}

impl Oracle {
    pub fn name(self) -> &'static str {
        match self {
            Oracle::Nothing => "",
            Oracle::Rates => ", true rates told",
            Oracle::Stocks => ", true rates and stocks told",
        }
    }

    /// Tells it to the model of a day's middle.
    pub fn tell(self, model: &mut Model, seed: u64, minutes: f64, ways: Ways) {
        if self == Oracle::Nothing {
            return;
        }
        let kitchen = Kitchen::of(seed);
        let truth = Truth::of(&kitchen);
        let mut world = World::open(&kitchen, &truth);
        let (mut policy, _) = people(ways);
        world.work_until(&mut *policy, minutes);
        for number in 0..model.stops.len() {
            let place = model.stops[number].clone();
            // Loads under way have stops of their own, which no step stands for.
            let is_step = model.stop(&place.station, &place.product) == Some(number);
            if let Some(stop) = step(&kitchen, &place).filter(|_| is_step) {
                tell_rates(model, number, &world, stop);
                if self == Oracle::Stocks {
                    tell_stock(model, number, &world, stop);
                }
            }
        }
    }
}

fn step(kitchen: &Kitchen, place: &Place) -> Option<usize> {
    let is_it = |stop: &Stop| {
        kitchen.stations[stop.station].id == place.station
            && kitchen.products[stop.product].id == place.product
    };
    kitchen.stops.iter().position(is_it)
}

fn tell_rates(model: &mut Model, number: usize, world: &World<'_>, stop: usize) {
    let (kitchen, truth) = (world.kitchen, world.truth);
    for (helper, id) in model.helpers.iter().enumerate() {
        let rate = &mut model.network.helpers[helper].rates[number];
        if let (Some(person), Some(rate)) = (kitchen.person(id), rate) {
            *rate = Uncertain::Known(truth.rates[person][stop]);
        }
    }
    let told = &mut model.network.stops[number];
    if kitchen.stops[stop].stage.unsure {
        told.yields = Uncertain::Known(truth.yields[stop]);
    }
    if let Law::Gamma { shape, .. } = &mut told.time {
        *shape = truth.service_cv.powi(-2);
    }
}

fn tell_stock(model: &mut Model, number: usize, world: &World<'_>, stop: usize) {
    let in_hand = model.start.busy.iter();
    let in_hand = in_hand.filter(|busy| busy.stop == number && busy.helper.is_some());
    let in_hand: f64 = in_hand.map(|busy| busy.amount).sum();
    let closed = model.boxes.iter().filter(|closed| closed.stop == number);
    let closed: f64 = closed.map(|closed| closed.amount).sum();
    let really = (world.should_have(stop) + closed - in_hand).max(0.0);
    let waiting = &mut model.start.waiting[number];
    let told: f64 = waiting.iter().map(|(amount, _)| amount).sum();
    if (really - told).abs() > 1e-6 {
        *waiting = vec![(really, 0.0)];
        model.start.unsure.retain(|unsure| unsure.stop != number);
    }
}
