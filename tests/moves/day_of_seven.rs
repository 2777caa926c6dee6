//! The day of seven stations and six people, 120 quarts, two canners of seven, against 4,000 paired
//! days of two independent simulators (SimPy and a hand-written one) that agree to the last digit.

use crate::parts::{helper, station, stop};
use putby::outlook::bound::best_pace;
use putby::outlook::compare::{Chosen, Kitchen, Paired, Rule, Seatings, choose, last_service};
use putby::outlook::moves::seated;
use putby::outlook::wins::with_first;
use putby::sim::{Batches, Law, Network, Start, Stop, Then, Uncertain, Works};

const BASE: [f64; 5] = [0.8, 1.6, 1.35, 1.0, 1.2];
const SPEED: [f64; 6] = [1.0, 1.0, 0.6, 0.9, 0.8, 1.0];
const POST: [usize; 6] = [0, 1, 1, 2, 3, 4];
const CANNER: usize = 5;
/// Paired days here; the bound counts the errors of both sides.
const DAYS: u64 = 300;

fn day(canners: u32) -> (Network, Start) {
    let names = ["wash", "slice", "cook", "strain", "fill"];
    let mut network = Network {
        classes: 1,
        ..Network::default()
    };
    for (at, (name, mean)) in names.iter().zip(BASE).enumerate() {
        network.stations.push(station(name, Works::Hands, 6));
        let time = Law::Gamma { mean, shape: 4.0 };
        network.stops.push(stop(at, time, Then::Go(at + 1)));
    }
    let canner = Batches {
        servers: canners,
        min_share: 1.0,
        first: Vec::new(),
        patience_min: None,
    };
    network
        .stations
        .push(station("process", Works::Batches(canner), 0));
    network
        .stations
        .push(station("cool", Works::Servers(None), 0));
    network.stops.push(Stop {
        fits: 7.0,
        ..stop(5, Law::Deterministic(25.0), Then::Go(6))
    });
    network
        .stops
        .push(stop(6, Law::Deterministic(30.0), Then::Leave));
    let rates = |speed: f64| vec![Some(Uncertain::Known(speed)); 7];
    network.helpers = SPEED
        .iter()
        .map(|speed| helper("helper", rates(*speed)))
        .collect();
    let mut waiting = vec![Vec::new(); 7];
    waiting[0] = vec![(120.0, 0.0)];
    let start = Start {
        waiting,
        seats: POST.iter().map(|at| Some(*at)).collect(),
        ..Start::default()
    };
    (network, start)
}

/// How the finish changes, in minutes: below 0 is earlier.
fn assert_change(name: &str, (network, start): (&Network, &Start), expected: f64, error: f64) {
    let (base, base_start) = day(2);
    let mut before =
        Kitchen::of_networks(std::slice::from_ref(&base), &base_start, &last_service, 5).unwrap();
    let mut after =
        Kitchen::of_networks(std::slice::from_ref(network), start, &last_service, 5).unwrap();
    let before: Vec<f64> = (0..DAYS).map(|day| before.finish(0, day)).collect();
    let after: Vec<f64> = (0..DAYS).map(|day| after.finish(0, day)).collect();
    let change = Paired::of(&after, &before);
    let z = (change.mean - expected) / change.error().hypot(error);
    println!(
        "{name}: {:.2} ± {:.2}, {expected} ± {error} there, z {z:.1}",
        change.mean,
        change.error()
    );
    assert!(
        z.abs() <= 4.0,
        "{name}: {} instead of {expected}, z {z}",
        change.mean
    );
}

/// Expected changes with their standard errors: 4,000 paired days each.
#[test]
fn changes_move_the_finish_as_measured_elsewhere() {
    let (network, start) = day(2);
    let to_cook = seated(&network, &start, &[(2, 2)]);
    assert_change("h2 to cook", (&network, &to_cook), 1.6094, 0.055);
    let two = seated(&network, &start, &[(4, 2), (2, 3)]);
    assert_change("h4 to cook, h2 to strain", (&network, &two), 5.4083, 0.066);
    let (third, start_third) = day(3);
    assert_change("a third canner", (&third, &start_third), -37.5219, 0.1112);
    assert_change("both", (&third, &to_cook), -27.1181, 0.1332);
    let one_first = with_first(&network, CANNER, Some(1));
    assert_change("one jar first", (&one_first, &start), -9.4753, 0.0284);
}

fn every_change(network: &Network, start: &Start) -> Seatings {
    let mut starts = Vec::new();
    for (who, at) in POST.into_iter().enumerate() {
        for to in (0..5).filter(|to| *to != at) {
            starts.push(seated(network, start, &[(who, to)]));
        }
        for (other, other_at) in POST.into_iter().enumerate().skip(who + 1) {
            if at != other_at {
                let steps = [(who, other_at), (other, at)];
                starts.push(seated(network, start, &steps));
            }
        }
    }
    Seatings {
        prices: vec![5.0; starts.len()],
        liked: Vec::new(),
        starts,
    }
}

fn chosen(network: &Network, start: &Start, seatings: &Seatings) -> Chosen {
    choose(network, start, seatings, &last_service, Rule::default(), 3).unwrap()
}

/// Help for the slow-looking station makes this day longer, and so does every other move: the
/// canners set its end.
#[test]
fn the_answer_is_to_stay_and_the_canners_are_why() {
    let (network, start) = day(2);
    let chosen = chosen(&network, &start, &every_change(&network, &start));
    assert_eq!(chosen.best, None);
    let (station, share) = chosen.staying.sets_finish().unwrap();
    assert_eq!(station, CANNER);
    assert!(share > 0.9, "{share}");
    let best = best_pace(&network, &start, &[]).unwrap();
    assert!(
        best.helper_dual.iter().all(|dual| dual.abs() < 1e-9),
        "{best:?}"
    );
    assert!((best.minutes - best.machine_min).abs() < 1e-9);
}

/// With enough canners the same kitchen is held up by hands, and then helpers are worth something.
#[test]
fn with_many_canners_hands_count() {
    let (network, start) = day(20);
    let best = best_pace(&network, &start, &[]).unwrap();
    assert!(best.helper_dual.iter().any(|dual| *dual > 0.01), "{best:?}");
    let chosen = chosen(&network, &start, &every_change(&network, &start));
    assert_ne!(chosen.staying.sets_finish().unwrap().0, CANNER);
}

/// The bound lies below what is simulated, and not far: 18 loads on two canners, the time to the
/// first seven and the cooling.
#[test]
fn the_bound_is_below_the_day_and_near_it() {
    let (network, start) = day(2);
    let best = best_pace(&network, &start, &[]).unwrap().minutes;
    let mut kitchen =
        Kitchen::of_networks(std::slice::from_ref(&network), &start, &last_service, 5).unwrap();
    let days: Vec<f64> = (0..100).map(|day| kitchen.finish(0, day)).collect();
    let soonest = days.iter().copied().fold(f64::INFINITY, f64::min);
    println!("at least {best:.1} min, simulated {soonest:.1} and more");
    assert!((9.0 * 25.0 + 30.0..soonest).contains(&best), "{best}");
}
