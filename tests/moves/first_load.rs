//! The short load first, against cases solved exactly elsewhere (CP-SAT and dynamic programming;
//! Ikura and Gimple 1986, Lee and Uzsoy 1999 for one canner).

use crate::parts::{helper, station, stop};
use putby::outlook::compare::{Kitchen, Rule, last_service};
use putby::outlook::wins::{FirstLoad, first_load, with_first};
use putby::sim::{Batches, Law, Network, Source, Start, Stop, Then, Uncertain, Works};

fn canners(servers: u32) -> Works {
    Works::Batches(Batches {
        servers,
        min_share: 1.0,
        first: Vec::new(),
        patience_min: None,
    })
}

/// Jars that come at these minutes to canners of seven.
fn jars(at: Vec<f64>, servers: u32, minutes: f64) -> (Network, Start) {
    let network = Network {
        stations: vec![station("canner", canners(servers), 0)],
        stops: vec![Stop {
            fits: 7.0,
            ..stop(0, Law::Deterministic(minutes), Then::Leave)
        }],
        sources: vec![Source::Times { stop: 0, at }],
        classes: 1,
        ..Network::default()
    };
    let start = Start {
        waiting: vec![Vec::new()],
        ..Start::default()
    };
    (network, start)
}

fn finish(network: &Network, start: &Start) -> f64 {
    let networks = std::slice::from_ref(network);
    Kitchen::of_networks(networks, start, &last_service, 1)
        .unwrap()
        .finish(0, 0)
}

fn best(network: &Network, start: &Start, stop: usize) -> Option<FirstLoad> {
    first_load(
        network,
        start,
        stop,
        &last_service,
        1.0,
        (Rule::default(), 1),
    )
    .unwrap()
}

/// Sixteen jars, one every three minutes, one canner, 25 minutes: 96 with full loads first, 81 with
/// the two first, which is the optimum.
#[test]
fn sixteen_jars_begin_with_a_load_of_two() {
    let (network, start) = jars((1..=16).map(|jar| 3.0 * f64::from(jar)).collect(), 1, 25.0);
    assert_eq!(finish(&network, &start), 96.0);
    let best = best(&network, &start, 0).unwrap();
    assert_eq!((best.amount, best.gain.mean), (2, 15.0));
    assert_eq!(finish(&with_first(&network, 0, Some(2)), &start), 81.0);
    // Starting with whatever is there: 103.
    let mut eager = network.clone();
    if let Works::Batches(batches) = &mut eager.stations[0].works {
        batches.min_share = 0.0;
    }
    assert_eq!(finish(&eager, &start), 103.0);
}

/// Twenty jars, one every two minutes, two canners, 35 minutes: 84 with full loads first, 82 at
/// best, with six first.
#[test]
fn two_canners_begin_with_the_short_load_too() {
    let (network, start) = jars((1..=20).map(|jar| 2.0 * f64::from(jar)).collect(), 2, 35.0);
    assert_eq!(finish(&network, &start), 84.0);
    let best = best(&network, &start, 0).unwrap();
    assert_eq!((best.amount, best.gain.mean), (6, 2.0));
}

/// The whole small day: wash 2, two slicers of 5, fill 2, a canner of seven of 25, cool 30; sixteen
/// jars. 129 minutes, 116 with the short load first.
fn small_day(time: impl Fn(f64) -> Law, yields: Uncertain) -> (Network, Start) {
    let mut network = Network {
        stations: vec![
            station("wash", Works::Hands, 1),
            station("slice", Works::Hands, 2),
            station("fill", Works::Hands, 1),
            station("canner", canners(1), 0),
            station("cool", Works::Servers(None), 0),
        ],
        stops: vec![
            stop(0, time(2.0), Then::Go(1)),
            stop(1, time(5.0), Then::Go(2)),
            stop(2, time(2.0), Then::Go(3)),
            Stop {
                fits: 7.0,
                ..stop(3, Law::Deterministic(25.0), Then::Go(4))
            },
            stop(4, Law::Deterministic(30.0), Then::Leave),
        ],
        classes: 1,
        ..Network::default()
    };
    network.stops[0].yields = yields;
    let rates = || vec![Some(Uncertain::Known(1.0)); 5];
    network.helpers = ["maren", "osk", "edda", "silas"]
        .map(|name| helper(name, rates()))
        .to_vec();
    let start = Start {
        waiting: vec![vec![(16.0, 0.0)], vec![], vec![], vec![], vec![]],
        seats: vec![Some(0), Some(1), Some(1), Some(2)],
        ..Start::default()
    };
    (network, start)
}

#[test]
fn the_whole_small_day_is_thirteen_minutes_shorter_with_nobody_moved() {
    let (network, start) = small_day(Law::Deterministic, Uncertain::Known(1.0));
    assert_eq!(finish(&network, &start), 129.0);
    let best = best(&network, &start, 3).unwrap();
    assert_eq!((best.amount, best.gain.mean), (2, 13.0));
}

#[test]
fn it_still_pays_when_people_vary() {
    let (network, start) = small_day(
        |mean| Law::Gamma { mean, shape: 4.0 },
        Uncertain::Known(1.0),
    );
    let best = best(&network, &start, 3).unwrap();
    assert_eq!(best.amount, 2);
    assert!((8.0..16.0).contains(&best.gain.mean), "{best:?}");
}

/// When the number of jars is anybody's guess, no short load is started on one.
#[test]
fn a_guess_is_no_reason_for_a_short_load() {
    let yields = Uncertain::Lognormal {
        median: 1.0,
        sigma: 0.35,
    };
    let (network, start) = small_day(|mean| Law::Gamma { mean, shape: 4.0 }, yields);
    assert_eq!(best(&network, &start, 3), None);
}

#[test]
fn full_loads_are_left_as_they_are() {
    let (network, start) = jars((1..=14).map(|jar| 3.0 * f64::from(jar)).collect(), 1, 25.0);
    assert_eq!(best(&network, &start, 0), None);
}
