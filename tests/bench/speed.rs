//! How fast the simulation is, as ratios of figures from one run on one machine.
//!
//! `cargo bench --bench speed` prints: the benchmark's day for each second of processor time against
//! two Python engines for the same day (`day.py`, run here too); the cost of a carrier and of a
//! station as their number grows; a day of ten stations and eight helpers, as moves compare it.
//! Processor time, not wall time: other work on the machine does not count.

#![allow(
    clippy::unwrap_used,
    reason = "a benchmark may stop at the first surprise"
)]

use putby::sim::{
    Batches, Helper, Key, Law, Network, Simulator, Start, Station, Stop, Then, Uncertain, Until,
    WhenFull, Works,
};
use rustix::time::{ClockId, clock_gettime};
use std::process::Command;

const PYTHON_SECONDS: f64 = 5.0;

fn main() {
    // `cargo test --benches` only sees whether it runs.
    let is_short = !std::env::args().any(|word| word == "--bench");
    let seconds = if is_short { 0.01 } else { 2.0 };
    against_python(seconds, is_short);
    by_size(seconds);
    as_moves_do(seconds);
}

fn cpu_seconds() -> f64 {
    let spent = clock_gettime(ClockId::ProcessCPUTime);
    spent.tv_sec as f64 + spent.tv_nsec as f64 * 1e-9
}

/// Runs for each second, and their mean finish.
fn measure(network: &Network, start: &Start, seconds: f64, is_same_key: bool) -> (f64, f64) {
    let mut simulator = Simulator::new(network).unwrap();
    let (mut runs, mut total) = (0_u64, 0.0);
    let mut run = || {
        let run = if is_same_key { 0 } else { runs };
        total += simulator
            .run(start, Key { seed: 5, run }, Until::done())
            .finish_min;
        runs += 1;
    };
    run();
    let began = cpu_seconds();
    let mut spent = 0.0;
    let mut counted = 0_u64;
    while spent < seconds {
        for _ in 0..10 {
            run();
        }
        counted += 10;
        spent = cpu_seconds() - began;
    }
    (counted as f64 / spent, total / (counted + 1) as f64)
}

fn against_python(seconds: f64, is_short: bool) {
    let (network, start) = day();
    let (ours, mean) = measure(&network, &start, seconds, false);
    println!("day of 7 stations, 6 helpers, 120 quarts, with fresh draws, accounts and chain:");
    println!("  here   {ours:>9.0} days a second of processor time, mean finish {mean:.2} min");
    if is_short {
        return;
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bench/day.py");
    let python = Command::new("python3")
        .args([script, &PYTHON_SECONDS.to_string()])
        .output();
    let Ok(python) = python else {
        println!("  python3 is missing: nothing to compare with");
        return;
    };
    assert!(
        python.status.success(),
        "{}",
        String::from_utf8_lossy(&python.stderr)
    );
    let found: serde_json::Value = serde_json::from_slice(&python.stdout).unwrap();
    for (engine, name) in [("heap", "heap in Python"), ("simpy", "SimPy")] {
        let Some(theirs) = found[engine]["days_per_cpu_s"].as_f64() else {
            println!("  {name} is missing: pip install simpy==4.1.2 to compare with it");
            continue;
        };
        let mean = found[engine]["mean"].as_f64().unwrap();
        println!(
            "  {name}: {theirs:.0} days a second, mean finish {mean:.2} min; here {:.0} times as many",
            ours / theirs
        );
    }
}

fn by_size(seconds: f64) {
    println!("cost of one carrier, at 5 stations, against that of 100 carriers:");
    let sizes = [10, 100, 1_000, 10_000];
    let cost = |carriers: usize, stations: usize| {
        let (network, start) = line(carriers, stations);
        1.0 / measure(&network, &start, seconds / 2.0, false).0
    };
    let per_carrier = sizes.map(|carriers| cost(carriers, 5) / carriers as f64);
    for (carriers, each) in sizes.iter().zip(per_carrier) {
        println!("  {carriers:>6} carriers: {:.2}", each / per_carrier[1]);
    }
    println!("cost of one station, at 20 carriers, against that of 100 stations:");
    let per_station = sizes.map(|stations| cost(20, stations) / stations as f64);
    for (stations, each) in sizes.iter().zip(per_station) {
        println!("  {stations:>6} stations: {:.2}", each / per_station[1]);
    }
}

fn as_moves_do(seconds: f64) {
    let (network, start) = big_day();
    let (fresh, _) = measure(&network, &start, seconds, false);
    let (again, _) = measure(&network, &start, seconds, true);
    println!("day of 10 stations, 8 helpers, 3 products, 120 carriers, rates drawn, half done:");
    println!(
        "  {:.1} microseconds a run with fresh draws, {:.1} with the draws of the run before",
        1e6 / fresh,
        1e6 / again
    );
    println!(
        "  100 seatings, 200 paired runs each without stopping early: {:.0} ms",
        1e3 * 20_000.0 / again
    );
}

fn station(works: Works) -> Station {
    Station {
        name: "station".to_owned(),
        works,
        room: None,
        when_full: WhenFull::Block,
        seats: 2,
        takes: Vec::new(),
        slowness: Uncertain::Known(1.0),
    }
}

fn canner() -> Station {
    station(Works::Batches(Batches {
        servers: 2,
        min_share: 1.0,
        first: Vec::new(),
        patience_min: None,
    }))
}

fn stop(station: usize, class: usize, time: Law, then: Then) -> Stop {
    Stop {
        station,
        class,
        carrier: 1.0,
        fits: 7.0,
        time,
        yields: Uncertain::Known(1.0),
        then,
        rank: 0,
        group: class,
        draws: Vec::new(),
    }
}

fn helper(rates: Vec<Option<Uncertain>>, speed: f64) -> Helper {
    Helper {
        name: "helper".to_owned(),
        rates,
        speed: Uncertain::Known(speed),
        away: Vec::new(),
        rests: None,
        prefers: Vec::new(),
        turns: Vec::new(),
        serves: Vec::new(),
    }
}

fn gamma(mean: f64) -> Law {
    Law::Gamma { mean, shape: 4.0 }
}

/// The benchmark's day, as in `day.py`.
fn day() -> (Network, Start) {
    let hands = [0.8, 1.6, 1.35, 1.0, 1.2];
    let mut stations: Vec<Station> = hands.iter().map(|_| station(Works::Hands)).collect();
    stations.push(canner());
    stations.push(station(Works::Servers(None)));
    let times = hands.map(gamma).into_iter();
    let times = times.chain([25.0, 30.0].map(Law::Deterministic));
    let stops = times.enumerate().map(|(number, time)| {
        let then = if number == 6 {
            Then::Leave
        } else {
            Then::Go(number + 1)
        };
        stop(number, 0, time, then)
    });
    let speeds = [1.0, 1.0, 0.6, 0.9, 0.8, 1.0];
    let network = Network {
        stations,
        stops: stops.collect(),
        helpers: speeds
            .map(|speed| helper(vec![Some(Uncertain::Known(1.0)); 7], speed))
            .to_vec(),
        classes: 1,
        ..Network::default()
    };
    let start = Start {
        waiting: vec![vec![(120.0, 0.0)]],
        seats: [0, 1, 1, 2, 3, 4].map(Some).to_vec(),
        ..Start::default()
    };
    (network, start)
}

/// Single servers in a row.
fn line(carriers: usize, length: usize) -> (Network, Start) {
    let stops = (0..length).map(|number| {
        let then = if number + 1 == length {
            Then::Leave
        } else {
            Then::Go(number + 1)
        };
        stop(number, 0, gamma(1.0), then)
    });
    let network = Network {
        stations: (0..length)
            .map(|_| station(Works::Servers(Some(1))))
            .collect(),
        stops: stops.collect(),
        classes: 1,
        ..Network::default()
    };
    let start = Start {
        waiting: vec![vec![(carriers as f64, 0.0)]],
        ..Start::default()
    };
    // A long line needs more than the usual horizon's days only if its services were hours.
    (network, start)
}

/// Ten stations, three products, eight helpers with rates drawn once a run.
fn big_day() -> (Network, Start) {
    let means = [0.8, 1.6, 1.35, 1.0, 1.2, 0.9, 1.1, 0.7];
    let mut stations: Vec<Station> = means.iter().map(|_| station(Works::Hands)).collect();
    stations.push(canner());
    stations.push(station(Works::Servers(None)));
    let mut stops = Vec::new();
    for product in 0..3 {
        for place in 0..10 {
            let time = match place {
                8 => Law::Deterministic(25.0),
                9 => Law::Deterministic(30.0),
                hand => gamma(means[hand]),
            };
            let next = product * 10 + place + 1;
            let then = if place == 9 {
                Then::Leave
            } else {
                Then::Go(next)
            };
            stops.push(stop(place, product, time, then));
        }
    }
    let rates = vec![
        Some(Uncertain::Gamma {
            shape: 12.0,
            rate: 12.0
        });
        stops.len()
    ];
    let network = Network {
        stations,
        stops,
        helpers: (0..8).map(|_| helper(rates.clone(), 1.0)).collect(),
        classes: 3,
        change_min: 3.0,
        ..Network::default()
    };
    let layers = |product: usize| (0..10).map(move |place| (product, place));
    let waiting = (0..3).flat_map(layers).map(|(_, place)| match place {
        0 => vec![(20.0, 0.0)],
        1..=7 => vec![(2.0, 0.0), (1.0, 0.0)],
        _ => Vec::new(),
    });
    let start = Start {
        waiting: waiting.collect(),
        seats: (0..8).map(Some).collect(),
        ..Start::default()
    };
    (network, start)
}
