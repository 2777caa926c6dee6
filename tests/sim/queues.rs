//! Long runs against closed forms and exact solutions of queueing theory. The engine's error is
//! that of its means over independent runs; the expected figures are exact.

use crate::build::*;
use putby::sim::{
    Helper, Key, Law, Network, Outcome, Simulator, Source, Start, Then, Until, WhenFull, Works,
};

const RUNS: u64 = 24;

/// One figure of each of some long runs.
fn long_runs(network: &Network, start: &Start, figure: impl Fn(&Outcome) -> f64) -> Vec<f64> {
    let mut simulator = Simulator::new(network).unwrap();
    simulator.keep_chain(false);
    let until = Until {
        minutes: 6_000.0,
        warm_up_min: 1_000.0,
    };
    let runs = 0..RUNS;
    runs.map(|run| figure(simulator.run(start, Key { seed: 3, run }, until)))
        .collect()
}

fn servers(count: u32) -> Works {
    Works::Servers(Some(count))
}

fn exponential(rate: f64) -> Law {
    Law::Exponential(1.0 / rate)
}

fn poisson(stop: usize, rate: f64) -> Source {
    Source::Renewal {
        stop,
        between: exponential(rate),
        limit: None,
    }
}

fn single(rate: f64, works: Works, time: Law) -> Network {
    let mut network = row(vec![station(works)], vec![time]);
    network.sources = vec![poisson(0, rate)];
    network
}

fn mean_wait(stop: usize) -> impl Fn(&Outcome) -> f64 {
    move |outcome| outcome.stops[stop].wait_sum / outcome.stops[stop].started
}

fn mean_number(outcome: &Outcome) -> f64 {
    let areas = outcome.stations.iter().map(|station| station.area);
    areas.sum::<f64>() / outcome.measured_min
}

/// Wq = rho / (mu - lambda); Erlang, in Kleinrock (1975), volume 1.
#[test]
fn one_exponential_server() {
    let network = single(0.5, servers(1), exponential(0.8));
    let found = long_runs(&network, &Start::default(), mean_wait(0));
    assert_near("Wq", &found, 2.083_333_333, 0.0);
}

/// Erlang's C formula (1917).
#[test]
fn three_exponential_servers() {
    let network = single(2.0, servers(3), exponential(0.9));
    let found = long_runs(&network, &Start::default(), mean_wait(0));
    assert_near("Wq", &found, 0.790_685_722, 0.0);
}

/// Pollaczek (1930) and Khinchine (1932): Wq = rho D / (2 (1 - rho)).
#[test]
fn one_server_that_always_takes_the_same_time() {
    let network = single(0.7, servers(1), Law::Deterministic(1.0));
    let found = long_runs(&network, &Start::default(), mean_wait(0));
    assert_near("Wq", &found, 1.166_666_667, 0.0);
}

/// An open network with rework (Jackson, 1957): L = 12.332.
#[test]
fn rework_in_an_open_network() {
    let stations = [1, 2, 1, 3].map(|count| station(servers(count))).to_vec();
    let rates = [1.5, 0.8, 1.4, 0.45].map(exponential);
    let mut network = row(stations, rates.to_vec());
    network.stops[2].then = Then::Chance(vec![(0.1, Some(1)), (0.9, Some(3))]);
    network.sources = vec![poisson(0, 1.0)];
    let found = long_runs(&network, &Start::default(), mean_number);
    assert_near("L", &found, 12.332_310_851, 0.0);
}

/// Bulk service with a least and a most (Bailey, 1954; Neuts, 1967), by the embedded chain.
#[test]
fn bulk_service() {
    for (least, wait) in [
        (1.0, 14.699_234_985),
        (4.0, 14.560_569_035),
        (7.0, 17.215_261_706),
    ] {
        let mut network = single(0.2, servers(1), Law::Deterministic(25.0));
        network.stations[0] = canner(1, least / 7.0);
        let found = long_runs(&network, &Start::default(), mean_wait(0));
        assert_near("Wq", &found, wait, 0.0);
    }
    let mut network = single(0.5, servers(1), exponential(0.1));
    network.stations[0] = canner(1, 4.0 / 7.0);
    let found = long_runs(&network, &Start::default(), mean_wait(0));
    assert_near("Wq of exponential batches", &found, 19.357_174_710, 0.0);
}

fn saturated(rates: &[f64], rooms: &[u32]) -> Network {
    let stations = rooms.iter().map(|room| {
        let mut station = station(servers(1));
        station.room = Some(*room);
        station
    });
    let times = rates.iter().map(|rate| exponential(*rate)).collect();
    let mut network = row(stations.collect(), times);
    network.sources = vec![Source::Unlimited { stop: 0 }];
    network
}

/// Two stations, three places between them, blocking after service: X = mu2 (1 - p0) (Hunt, 1956).
#[test]
fn two_stations_that_block() {
    let network = saturated(&[1.0, 0.8], &[0, 3]);
    let made = |outcome: &Outcome| outcome.stops[1].left / outcome.measured_min;
    assert_near(
        "X",
        &long_runs(&network, &Start::default(), made),
        0.728_944_401,
        0.0,
    );
}

/// Three stations without room and with equal rates: 22/39 (Hunt, 1956).
#[test]
fn three_stations_without_room() {
    let network = saturated(&[1.0, 1.0, 1.0], &[0, 0, 0]);
    let made = |outcome: &Outcome| outcome.stops[2].left / outcome.measured_min;
    assert_near(
        "X",
        &long_runs(&network, &Start::default(), made),
        22.0 / 39.0,
        0.0,
    );
}

/// Shares of time of a line of three, from its Markov chain (as reviewed by Dallery and Gershwin,
/// 1992); and output over working time is each station's true rate.
#[test]
fn shares_of_time_in_a_line_that_blocks() {
    let network = saturated(&[1.0, 0.9, 1.1], &[0, 2, 1]);
    let expected = [
        (0.687_981_468, 0.312_018_532, 0.0),
        (0.764_423_853, 0.144_642_322, 0.090_933_824),
        (0.625_437_698, 0.0, 0.374_562_302),
    ];
    for (number, (working, blocked, starved)) in expected.into_iter().enumerate() {
        let share = |which: usize| {
            let figure = move |outcome: &Outcome| {
                let times = outcome.stations[number];
                [times.working, times.blocked, times.starved][which] / outcome.measured_min
            };
            long_runs(&network, &Start::default(), figure)
        };
        assert_near("working", &share(0), working, 1e-9);
        assert_near("blocked", &share(1), blocked, 1e-9);
        assert_near("starved", &share(2), starved, 1e-9);
        let rate =
            |outcome: &Outcome| outcome.stops[number].left / outcome.stations[number].working;
        let true_rate = [1.0, 0.9, 1.1][number];
        assert_near(
            "rate",
            &long_runs(&network, &Start::default(), rate),
            true_rate,
            0.0,
        );
    }
    assert_near(
        "L",
        &long_runs(&network, &Start::default(), mean_number),
        4.234_921_950,
        0.0,
    );
}

/// A queue in front, two places behind, blocking after service; from its Markov chain.
#[test]
fn arrivals_into_a_line_that_blocks() {
    let stations = vec![station(servers(1)), station(servers(1))];
    let mut network = row(stations, vec![exponential(0.8), exponential(0.7)]);
    network.stations[1].room = Some(2);
    network.sources = vec![poisson(0, 0.5)];
    assert_near(
        "L",
        &long_runs(&network, &Start::default(), mean_number),
        5.349_508_109,
        0.0,
    );
    let blocked = |outcome: &Outcome| outcome.stations[0].blocked / outcome.measured_min;
    assert_near(
        "blocked",
        &long_runs(&network, &Start::default(), blocked),
        0.147_851_533,
        0.0,
    );
}

/// M/M/1/K with five in the system (Kleinrock, 1975).
#[test]
fn a_full_table_turns_away() {
    let mut network = single(0.9, servers(1), exponential(1.0));
    network.stations[0].room = Some(4);
    network.stations[0].when_full = WhenFull::Lose;
    let lost = |outcome: &Outcome| {
        let stop = outcome.stops[0];
        stop.lost / (stop.lost + stop.arrivals)
    };
    assert_near(
        "lost",
        &long_runs(&network, &Start::default(), lost),
        0.126_022_550,
        0.0,
    );
    assert_near(
        "L",
        &long_runs(&network, &Start::default(), mean_number),
        2.194_782_301,
        0.0,
    );
}

/// Two classes, the first served first (Cobham, 1954).
#[test]
fn one_class_before_the_other() {
    let mut second = stop(0, exponential(0.8), Then::Leave);
    second.rank = 1;
    let stops = vec![stop(0, exponential(1.0), Then::Leave), second];
    let mut network = network(vec![station(servers(1))], stops);
    network.sources = vec![poisson(0, 0.2), poisson(1, 0.3)];
    let start = Start::default();
    assert_near(
        "first",
        &long_runs(&network, &start, mean_wait(0)),
        0.835_937_5,
        0.0,
    );
    assert_near(
        "second",
        &long_runs(&network, &start, mean_wait(1)),
        1.966_911_765,
        0.0,
    );
}

/// Two unequal helpers, the faster one first (Gumbel, 1960; Singh, 1970), from the Markov chain.
#[test]
fn unequal_helpers() {
    let mut network = single(1.0, Works::Hands, exponential(1.0));
    network.helpers = vec![helper(&[1.2]), helper(&[0.6])];
    let start = Start {
        seats: vec![Some(0), Some(0)],
        ..Start::default()
    };
    assert_near(
        "L",
        &long_runs(&network, &start, mean_number),
        1.582_031_250,
        0.0,
    );
}

/// Six pots that go round three stations: exact mean values (Reiser and Lavenberg, 1980).
#[test]
fn pots_that_go_round() {
    let stations = (0..3).map(|_| station(servers(1))).collect();
    let mut network = row(stations, [2.0, 5.0, 3.0].map(Law::Exponential).to_vec());
    network.stops[2].then = Then::Go(0);
    let start = waiting(&[6.0]);
    let made = |outcome: &Outcome| outcome.stops[0].left / outcome.measured_min;
    assert_near("X", &long_runs(&network, &start, made), 0.193_348_302, 0.0);
    for (number, expected) in [0.609_798_252, 4.161_349_723, 1.228_852_025]
        .into_iter()
        .enumerate()
    {
        let queue = |outcome: &Outcome| outcome.stations[number].area / outcome.measured_min;
        assert_near("Q", &long_runs(&network, &start, queue), expected, 0.0);
    }
}

fn finishes(network: &Network, start: &Start, runs: u64) -> Vec<f64> {
    let mut simulator = Simulator::new(network).unwrap();
    let runs = 0..runs;
    runs.map(|run| {
        let key = Key { seed: 8, run };
        simulator.run(start, key, Until::done()).finish_min
    })
    .collect()
}

/// The finish of 20 jobs in a line that blocks; first passage moments (Kemeny and Snell, 1960).
#[test]
fn finish_of_a_line() {
    let rooms = [None, Some(2), Some(1)].map(|room| {
        let mut station = station(servers(1));
        station.room = room;
        station
    });
    let network = row(rooms.to_vec(), [1.0, 0.8, 1.2].map(exponential).to_vec());
    let found = finishes(&network, &waiting(&[20.0]), 4_000);
    assert_near("finish", &found, 32.815_635_251, 0.0);
}

/// The finish of 25 jobs shared by three unequal helpers; first passage moments.
#[test]
fn finish_of_unequal_helpers() {
    let mut network: Network = row(vec![station(Works::Hands)], vec![exponential(1.0)]);
    network.helpers = [1.0, 0.7, 0.4].map(|rate| helper(&[rate])).to_vec();
    let start = Start {
        seats: vec![Some(0); 3],
        ..waiting(&[25.0])
    };
    assert_near(
        "finish",
        &finishes(&network, &start, 4_000),
        13.669_340_463,
        0.0,
    );
}

/// A rate known as a gamma law: the finish is a beta prime law (conjugacy), and its tenths are far
/// wider than with the rate fixed. The error of a share p of n days is sqrt(p (1 - p) / n).
#[test]
fn finish_when_the_rate_is_not_known() {
    let mut network = row(vec![station(Works::Hands)], vec![exponential(1.0)]);
    let rate = putby::sim::Uncertain::Gamma {
        shape: 10.0,
        rate: 30.0,
    };
    network.helpers = vec![Helper {
        rates: vec![Some(rate)],
        ..helper(&[1.0])
    }];
    let start = Start {
        seats: vec![Some(0)],
        ..waiting(&[20.0])
    };
    let found = finishes(&network, &start, 4_000);
    assert_near("mean", &found, 66.666_666_667, 0.0);
    for (quantile, share) in [(37.379_65, 0.1), (61.023_593, 0.5), (102.500_042, 0.9)] {
        let below = found.iter().filter(|finish| **finish < quantile).count() as f64;
        let error = (share * (1.0 - share) / found.len() as f64).sqrt();
        let z = (below / found.len() as f64 - share) / error;
        assert!(z.abs() <= 4.0, "below {quantile}: {below}");
    }
}

/// What is left of a service by its age: by simulation of the law itself, thrown away when shorter.
#[test]
fn rest_of_a_service_under_way() {
    let laws = [
        Law::Gamma {
            mean: 4.0,
            shape: 4.0,
        },
        Law::Gamma {
            mean: 4.0,
            shape: 0.5,
        },
        Law::Gamma {
            mean: 4.0,
            shape: 2.5,
        },
        Law::Lognormal { mean: 4.0, cv: 0.6 },
        Law::Exponential(4.0),
        Law::Sum(vec![Law::Deterministic(2.0), Law::Exponential(2.0)]),
    ];
    for law in laws {
        for age in [1.0, 5.0, 9.0] {
            let whole = row(vec![station(servers(1))], vec![law.clone()]);
            let fresh = finishes(&whole, &waiting(&[1.0]), 60_000);
            let rests: Vec<f64> = fresh
                .into_iter()
                .filter(|minutes| *minutes > age)
                .map(|minutes| minutes - age)
                .collect();
            let (expected, error) = mean(&rests);
            let busy = putby::sim::Busy {
                stop: 0,
                helper: None,
                amount: 1.0,
                age_min: age,
                left_min: None,
            };
            let start = Start {
                busy: vec![busy],
                ..Start::default()
            };
            let found = finishes(&whole, &start, 6_000);
            assert_near(&format!("{law:?} after {age}"), &found, expected, error);
        }
    }
}
