//! No simulated day is shorter than the bound.

use crate::small_kitchen::{Chance, SmallKitchen};
use putby::outlook::bound::best_pace;
use putby::outlook::compare::{Kitchen, last_service};
use putby::sim::Roaming;

/// A kitchen whose days come to an end with any seats.
fn kitchen(seed: u64, chance: Chance) -> SmallKitchen {
    let mut kitchen = SmallKitchen::random(seed, chance);
    kitchen.network.roaming = Some(Roaming { after_min: 3.0 });
    kitchen
}

/// Where nothing is left to chance no seats and no roaming beat the bound.
#[test]
fn no_seats_beat_the_bound_where_all_is_known() {
    let mut nearest: f64 = 0.0;
    for seed in 0..300 {
        let kitchen = kitchen(seed, Chance::None);
        let best = best_pace(&kitchen.network, &kitchen.start, &[])
            .unwrap()
            .minutes;
        let starts = std::iter::once(&kitchen.start).chain(&kitchen.seatings.starts);
        let starts: Vec<_> = starts.cloned().collect();
        let count = starts.len();
        let mut simulated = Kitchen::of_seats(&kitchen.network, starts, &last_service, 1).unwrap();
        for change in 0..count {
            let finish = simulated.finish(change, 0);
            assert!(
                best <= finish + 1e-6,
                "kitchen {seed}, change {change}: {best} above {finish}"
            );
            nearest = nearest.max(best / finish);
        }
    }
    println!(
        "the bound comes to {:.0} % of a finish at most",
        100.0 * nearest
    );
    assert!(
        nearest > 0.9,
        "a bound that is never near says nothing: {nearest}"
    );
}

/// With chance the bound holds for the mean, within three standard errors of it.
#[test]
fn the_mean_finish_is_never_below_the_bound() {
    for seed in 0..60 {
        let kitchen = kitchen(seed, Chance::Usual);
        let best = best_pace(&kitchen.network, &kitchen.start, &[])
            .unwrap()
            .minutes;
        let starts = vec![kitchen.start.clone()];
        let mut simulated = Kitchen::of_seats(&kitchen.network, starts, &last_service, 1).unwrap();
        let days: Vec<f64> = (0..150).map(|day| simulated.finish(0, day)).collect();
        let mean = days.iter().sum::<f64>() / days.len() as f64;
        let squares: f64 = days.iter().map(|day| (day - mean).powi(2)).sum();
        let error = (squares / (days.len() as f64 - 1.0) / days.len() as f64).sqrt();
        assert!(
            best <= mean + 3.0 * error,
            "kitchen {seed}: {best} above {mean} ± {error}"
        );
    }
}
