//! Short ways to write networks.

use putby::sim::{
    Batches, Helper, Law, Network, Start, Station, Stop, Then, Uncertain, WhenFull, Works,
};

pub fn station(works: Works) -> Station {
    Station {
        name: "station".to_owned(),
        works,
        room: None,
        when_full: WhenFull::Block,
        seats: 8,
        takes: Vec::new(),
        slowness: Uncertain::Known(1.0),
    }
}

pub fn canner(servers: u32, min_share: f64) -> Station {
    station(Works::Batches(Batches {
        servers,
        min_share,
        first: Vec::new(),
        patience_min: None,
    }))
}

/// A stop of carriers of one unit and batches of seven.
pub fn stop(station: usize, time: Law, then: Then) -> Stop {
    Stop {
        station,
        class: 0,
        carrier: 1.0,
        fits: 7.0,
        time,
        yields: Uncertain::Known(1.0),
        then,
        rank: 0,
        group: 0,
        draws: Vec::new(),
    }
}

pub fn network(stations: Vec<Station>, stops: Vec<Stop>) -> Network {
    Network {
        stations,
        stops,
        classes: 1,
        ..Network::default()
    }
}

/// Somebody with these rates; 0 where they may not work.
pub fn helper(rates: &[f64]) -> Helper {
    let rates = rates.iter();
    Helper {
        name: "helper".to_owned(),
        rates: rates
            .map(|rate| (*rate > 0.0).then_some(Uncertain::Known(*rate)))
            .collect(),
        speed: Uncertain::Known(1.0),
        away: Vec::new(),
        rests: None,
        prefers: Vec::new(),
        turns: Vec::new(),
        serves: Vec::new(),
    }
}

/// So much waits at each stop; nobody sits anywhere.
pub fn waiting(amounts: &[f64]) -> Start {
    let amounts = amounts.iter();
    Start {
        waiting: amounts.map(|amount| vec![(*amount, 0.0)]).collect(),
        ..Start::default()
    }
}

/// Stations in a row, one stop each.
pub fn row(stations: Vec<Station>, times: Vec<Law>) -> Network {
    let last = times.len() - 1;
    let times = times.into_iter().enumerate();
    let stops = times
        .map(|(number, time)| {
            let then = if number == last {
                Then::Leave
            } else {
                Then::Go(number + 1)
            };
            stop(number, time, then)
        })
        .collect();
    network(stations, stops)
}

/// Mean and its standard error.
pub fn mean(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (mean, (squares / (count - 1.0) / count).sqrt())
}

/// Fails unless a mean is within four standard errors, both sides' together, of what is expected.
pub fn assert_near(what: &str, values: &[f64], expected: f64, expected_error: f64) {
    let (mean, error) = mean(values);
    let z = (mean - expected) / error.hypot(expected_error);
    assert!(
        z.abs() <= 4.0,
        "{what}: {mean} +- {error}, expected {expected}: z = {z}"
    );
}
