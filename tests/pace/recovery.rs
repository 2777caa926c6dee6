//! Known rates are found again, over many simulated days.

use crate::close;
use crate::day::{Day, id, plan, rate};
use crate::play::{Game, Worker, drop_carrier};
use putby::pace::{CHANGE_MIN, Doing};
use serde_json::json;

/// About what is usual, in carriers a minute: 90, 19.5 and 14 pounds an hour at washing and slicing
/// after the trade's figures, and 20 bags an hour by a boy, more than they promise.
const USUAL: [(&str, &str, f64); 5] = [
    ("maren", "wash", 0.3),
    ("osk", "slice", 0.1625),
    ("edda", "slice", 0.1625),
    ("juno", "slice", 0.117),
    ("silas", "bag", 0.333),
];

struct Found {
    truth: f64,
    mean: f64,
    low: f64,
    high: f64,
    carriers: f64,
}

/// A morning of five hours with true rates drawn about the trade's figures with a coefficient of
/// variation of 0.5 and services of shape 4: work comes in by boxes, breaks are taken, hands run dry.
fn morning(seed: u64) -> Vec<Found> {
    let mut game = Game::new(4.0, seed);
    let mut workers: Vec<Worker> = Vec::new();
    let mut day = Day::with(plan(900_000, 900_000));
    for (name, station, usual) in USUAL {
        let rate = game.gamma(usual, 4.0);
        workers.push(Worker::new(name, station, rate));
        day.claim(name, station);
    }
    day.wait(CHANGE_MIN);
    for hour in 0..5 {
        day.does(
            json!({"order": "open-box", "lot": "peaches", "product": "peaches",
                        "amount": 40_000}),
        );
        game.minutes(&mut day, &mut workers, 40.0);
        // One after the other takes a quarter of an hour off and begins anew after it.
        let name = USUAL[hour % 5].0;
        drop_carrier(&mut workers, name);
        day.does(json!({"order": "take-break", "helper": name}));
        game.minutes(&mut day, &mut workers, 15.0);
        day.does(json!({"order": "end-break", "helper": name}));
        day.claim(name, USUAL[hour % 5].1);
        game.minutes(&mut day, &mut workers, 5.0);
    }
    let pace = day.pace();
    let found = workers.iter().map(|worker| {
        let law = rate(&pace, &day.state, worker.name, worker.station, "peaches");
        Found {
            truth: worker.rate,
            mean: law.mean(),
            low: law.quantile(0.1),
            high: law.quantile(0.9),
            carriers: pace.seen(&id(worker.name), &id(worker.station)).carriers,
        }
    });
    found.collect()
}

#[test]
fn known_rates_are_found_again_with_honest_widths() {
    let found: Vec<Found> = (0..60).flat_map(morning).collect();
    assert_eq!(found.len(), 300);
    let count = found.len() as f64;
    let inside = found
        .iter()
        .filter(|f| f.low <= f.truth && f.truth <= f.high);
    let share = inside.count() as f64 / count;
    println!("the 80 % band holds {share:.3} of {count} true rates");
    // Standard error of a share of 0.8 in 300: 0.023. The band asked for is 0.7 to 0.9; remembering
    // only about 20 carriers keeps it on the wide side for people who do not tire.
    assert!((0.7..=0.9).contains(&share), "{share}");
    let logs: Vec<f64> = found.iter().map(|f| (f.mean / f.truth).ln()).collect();
    let mean = logs.iter().sum::<f64>() / count;
    let spread = (logs.iter().map(|l| (l - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt();
    let error = spread / count.sqrt();
    let carriers = found.iter().map(|f| f.carriers).sum::<f64>() / count;
    println!(
        "log of found to true: {mean:.4} +- {error:.4}, spread {spread:.3}, {carriers:.1} carriers each"
    );
    // Found rates are means of a law, so their logarithm lies a little above half the law's squared
    // spread; five hundredths and three standard errors are allowed.
    assert!(mean.abs() < 0.05 + 3.0 * error, "{mean} +- {error}");
    // The trade's figures alone would be off by about 0.5.
    assert!(spread < 0.3, "{spread}");
}

/// Throughput over the share of time at work is a station's true rate, where throughput
/// over all the time is not (Dallery & Gershwin's review of flow lines, 1992). A line with little
/// room between its stations, where everybody is now starved and now blocked.
#[test]
fn output_over_time_at_work_is_the_true_rate_of_each_station() {
    let mut game = Game::new(4.0, 7);
    game.room.insert("slice", 12.0);
    let truth = [
        ("maren", "wash", 0.20),
        ("osk", "slice", 0.40),
        ("silas", "bag", 0.90),
    ];
    let mut day = Day::with(plan(900_000, 900_000));
    day.waits("wash", "peaches", 100_000.0);
    let mut workers = Vec::new();
    for (name, station, rate) in truth {
        workers.push(Worker::new(name, station, rate));
        day.claim(name, station);
    }
    day.wait(CHANGE_MIN);
    game.minutes(&mut day, &mut workers, 6000.0);
    let pace = day.pace();
    let mut naive_is_off = 0;
    for (name, station, rate) in truth {
        let seen = pace.seen(&id(name), &id(station));
        let spans = &pace.spans()[&id(station)];
        let working = spans.iter().filter(|span| span.doing == Doing::Working);
        let working: f64 = working
            .map(|span| span.to.ms_since(span.from) as f64 / 60_000.0)
            .sum();
        // The mean of n services of shape 4 has a relative standard error of 0.5 / sqrt(n); four of
        // them are allowed.
        let error = 4.0 * 0.5 / seen.carriers.sqrt();
        if station != "wash" {
            close(seen.carriers / working, rate, error);
            close(seen.carriers / seen.active_min, rate, error);
        }
        if seen.carriers / 6000.0 < rate * (1.0 - 2.0 * error) {
            naive_is_off += 1;
        }
    }
    assert!(naive_is_off >= 2, "the line was never short of anything");
}
