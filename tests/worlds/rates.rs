//! The rates and yields learned by the middle of a day against the true ones.

use crate::calibration::seeds;
use crate::kitchen::Kitchen;
use crate::many::each;
use crate::policies::Stay;
use crate::scores::mean;
use crate::truth::Truth;
use crate::world::{MORNING, World};
use putby::day::apply;
use putby::day::state::{Presence, State};
use putby::day::time::Timestamp;
use putby::pace::{Learned, Pace};
use std::collections::BTreeMap;

/// Carriers somebody has done at a station before what was learned of them is looked at.
const SEEN: f64 = 5.0;

/// How far off the logarithm is, and that in standard deviations of what was told.
#[derive(Debug, Clone)]
struct Off {
    of: String,
    log: f64,
    sigmas: f64,
}

fn offs(seed: u64) -> Vec<Off> {
    let kitchen = Kitchen::of(seed);
    let truth = Truth::of(&kitchen);
    let mut world = World::open(&kitchen, &truth);
    let minutes = world.work(&mut Stay);
    let at = Timestamp(MORNING.0 + (minutes * 0.5 * 60_000.0) as i64);
    let known = world.records.partition_point(|record| record.at <= at);
    let records = &world.records[..known];
    let mut state = State::default();
    for record in records {
        apply(&mut state, record.at, record.command, &record.event);
    }
    let pace = Pace::of(records, &Learned::default(), at);
    let mut offs = Vec::new();
    for (stop, place) in kitchen.stops.iter().enumerate() {
        let station = &kitchen.stations[place.station].id;
        let product = &kitchen.products[place.product].id;
        for (number, person) in kitchen.people.iter().enumerate() {
            let here = state.helpers[&person.id].presence == Presence::Here;
            let seen = pace.seen(&person.id, station).carriers;
            if person.seat != place.station || !here || seen < SEEN {
                continue;
            }
            let law = pace.rate(&state, &person.id, station, product);
            let log = (law.mean() / truth.rates[number][stop]).ln();
            offs.push(Off {
                of: format!("rate, {}", place.stage.place),
                log,
                sigmas: log / law.cv(),
            });
        }
        if place.stage.unsure {
            let told = pace.yields(&state, station, product);
            let promised = place.stage.yields.0 as f64 / place.stage.yields.1 as f64;
            let log = (told.median * promised / truth.yields[stop]).ln();
            offs.push(Off {
                of: format!("yield, {}", place.stage.place),
                log,
                sigmas: log / told.sigma,
            });
        }
    }
    offs
}

fn spread(numbers: &[f64]) -> f64 {
    let middle = mean(numbers);
    let squares: Vec<f64> = numbers.iter().map(|x| (x - middle).powi(2)).collect();
    mean(&squares).sqrt()
}

#[test]
#[ignore = "300 days; run by hand"]
fn rates() {
    let mut all: BTreeMap<String, (Vec<f64>, Vec<f64>)> = BTreeMap::new();
    for off in each(seeds(), offs).into_iter().flatten() {
        let (logs, sigmas) = all.entry(off.of).or_default();
        logs.push(off.log);
        sigmas.push(off.sigmas);
    }
    for (of, (logs, sigmas)) in all {
        println!(
            "{of}: {} of them, logarithm off {:+.3} +- {:.3}, in sigmas {:+.2} +- {:.2}",
            logs.len(),
            mean(&logs),
            spread(&logs),
            mean(&sigmas),
            spread(&sigmas)
        );
    }
}
