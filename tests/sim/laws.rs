//! What holds for every network: Little's law, the sum of the chain, work that is neither lost nor
//! made, and the same outcome for the same key.

use crate::build::*;
use proptest::prelude::*;
use putby::sim::{
    Key, Law, Network, Outcome, Rests, Simulator, Source, Start, Station, Then, Uncertain, Until,
    Works,
};

#[derive(Debug, Clone)]
struct Place {
    works: u8,
    servers: u32,
    room: Option<u32>,
    mean: f64,
    law: u8,
    carrier: f64,
    way: u8,
    takes: bool,
}

fn place() -> impl Strategy<Value = Place> {
    let room = prop_oneof![3 => Just(None), 1 => (0u32..4).prop_map(Some)];
    (
        0u8..4,
        1u32..4,
        room,
        0.2f64..5.0,
        0u8..4,
        prop_oneof![Just(1.0), Just(2.0), Just(1.5)],
        0u8..4,
        any::<bool>(),
    )
        .prop_map(
            |(works, servers, room, mean, law, carrier, way, takes)| Place {
                works,
                servers,
                room,
                mean,
                law,
                carrier,
                way,
                takes,
            },
        )
}

fn build(places: &[Place], helpers: usize, rests: bool, roams: bool) -> Network {
    let stations: Vec<Station> = places
        .iter()
        .map(|place| {
            let mut station = match place.works {
                0 => canner(place.servers, f64::from(place.servers - 1) / 2.0),
                1 => station(Works::Servers(Some(place.servers))),
                2 => station(Works::Servers(None)),
                _ => station(Works::Hands),
            };
            station.room = place.room;
            if place.takes {
                station.takes = vec![(0, 1)];
            }
            station
        })
        .collect();
    let count = places.len();
    let stops = places.iter().enumerate().map(|(number, place)| {
        let mean = place.mean;
        let time = match place.law {
            0 => Law::Deterministic(mean),
            1 => Law::Exponential(mean),
            2 => Law::Gamma { mean, shape: 3.0 },
            _ => Law::Lognormal { mean, cv: 0.7 },
        };
        let next = number + 1;
        let then = match place.way {
            _ if next == count => Then::Leave,
            0 if next + 1 < count => Then::Share(vec![(2.0, next), (1.0, next + 1)]),
            1 => Then::Chance(vec![(0.3, None), (0.7, Some(next))]),
            _ => Then::Go(next),
        };
        let mut stop = stop(number, time, then);
        stop.carrier = place.carrier;
        stop
    });
    let mut network = network(stations, stops.collect());
    // A blocked server keeps its shared thing, so that there must be enough for all.
    network.pools = vec![20 * count as u32];
    network.helpers = (0..helpers.max(count))
        .map(|_| {
            let mut helper = helper(&vec![1.0; count]);
            helper.speed = Uncertain::Gamma {
                shape: 9.0,
                rate: 9.0,
            };
            helper.rests = rests.then_some(Rests {
                first_min: 7.0,
                every_min: 30.0,
                lasts_min: 4.0,
            });
            helper
        })
        .collect();
    if roams {
        network.roaming = Some(putby::sim::Roaming { after_min: 5.0 });
    }
    network.change_min = 1.0;
    network
}

fn check(network: &Network, start: &Start, outcome: &Outcome) -> Result<(), TestCaseError> {
    prop_assert_eq!(outcome.services_left, 0.0);
    let near = |one: f64, two: f64| (one - two).abs() <= 1e-9 * one.abs().max(1.0);
    let chain: f64 = outcome.chain_by_station.iter().sum();
    prop_assert!(
        near(chain, outcome.finish_min),
        "chain {chain} {}",
        outcome.finish_min
    );
    let by_helpers: f64 = outcome.chain_by_helper.iter().sum();
    prop_assert!(by_helpers <= chain + 1e-9);
    let (mut area, mut came) = (0.0, 0.0);
    for (number, times) in outcome.stops.iter().enumerate() {
        // Each stop has its own station here, so that the areas are those of the stops.
        let station = outcome.stations[number];
        prop_assert!(
            near(station.area, times.stay_sum),
            "Little at {number}: {} {}",
            station.area,
            times.stay_sum
        );
        prop_assert!(near(station.waiting, times.wait_sum), "waits at {number}");
        prop_assert!(near(times.left, times.arrivals), "left at {number}");
        area += station.area * network.stops[number].carrier;
        came += times.stay_sum * network.stops[number].carrier;
    }
    prop_assert!(near(area, came));
    let whole: f64 = start.waiting.iter().flatten().map(|layer| layer.0).sum();
    let sources: f64 = network
        .sources
        .iter()
        .map(|source| match source {
            Source::Times { stop, at } => at.len() as f64 * network.stops[*stop].carrier,
            _ => 0.0,
        })
        .sum();
    prop_assert!(
        near(outcome.class_made[0], whole + sources),
        "made {}",
        outcome.class_made[0]
    );
    for (helper, times) in outcome.helpers.iter().enumerate() {
        let sum = times.working + times.starved + times.blocked + times.away;
        prop_assert!(near(sum, outcome.finish_min), "time of helper {helper}");
    }
    let hands: f64 = outcome.helpers.iter().map(|times| times.working).sum();
    let seats: f64 = network
        .stations
        .iter()
        .zip(&outcome.stations)
        .filter(|(station, _)| station.works == Works::Hands)
        .map(|(_, times)| times.working)
        .sum();
    prop_assert!(near(hands, seats), "working {hands} {seats}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn holds_for_every_network(
        places in prop::collection::vec(place(), 1..7),
        helpers in 1usize..9,
        rests in any::<bool>(),
        roams in any::<bool>(),
        amounts in prop::collection::vec(0.0f64..30.0, 6),
        times in prop::collection::vec(0.0f64..90.0, 0..9),
        run in any::<u64>(),
    ) {
        let mut network = build(&places, helpers, rests, roams);
        let mut at = times;
        at.sort_by(f64::total_cmp);
        network.sources = vec![Source::Times { stop: 0, at }];
        let seats = (0..network.helpers.len()).map(|helper| Some(helper % places.len()));
        // A seat at a station without hands is nobody's; those helpers only roam.
        let start = Start { seats: seats.collect(), ..waiting(&amounts[..places.len()]) };
        let mut simulator = Simulator::new(&network).unwrap();
        let key = Key { seed: 1, run };
        let first = simulator.run(&start, key, Until::done()).clone();
        check(&network, &start, &first)?;
        // Kept draws, other draws between, and another simulator make no difference.
        prop_assert_eq!(simulator.run(&start, key, Until::done()), &first);
        simulator.run(&start, Key { seed: 2, run }, Until::done());
        prop_assert_eq!(simulator.run(&start, key, Until::done()), &first);
        let mut other = Simulator::new(&network).unwrap();
        prop_assert_eq!(other.run(&start, key, Until::done()), &first);
    }
}
