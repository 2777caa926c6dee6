//! How long it takes to find the move worth making: eight helpers, ten stations, every single
//! change and swap, up to 200 paired days each.
//!
//!     cargo bench --bench moves
//!
//! Processor time of one thread, so that other work on the machine does not count. Beside the time
//! stands what the same comparison would take without dropping anybody early.

#![allow(
    clippy::unwrap_used,
    reason = "a benchmark may stop at the first surprise"
)]

#[path = "../moves/dice.rs"]
mod dice;
mod large_kitchen;
#[path = "../moves/parts.rs"]
mod parts;

use large_kitchen::LargeKitchen;
use putby::outlook::bound::best_pace;
use putby::outlook::compare::{Kitchen, Rule, choose, last_service};
use rustix::time::{ClockId, clock_gettime};

/// The longest it may take, in milliseconds.
const MAY_TAKE_MS: f64 = 250.0;

fn cpu_ms() -> f64 {
    let time = clock_gettime(ClockId::ThreadCPUTime);
    time.tv_sec as f64 * 1e3 + time.tv_nsec as f64 / 1e6
}

fn main() {
    let rule = Rule::default();
    let mut worst: f64 = 0.0;
    for seed in 0..8 {
        let kitchen = LargeKitchen::random(seed);
        let changes = kitchen.seatings.starts.len();
        let began = cpu_ms();
        let chosen = choose(
            &kitchen.network,
            &kitchen.start,
            &kitchen.seatings,
            &last_service,
            rule,
            seed,
        )
        .unwrap();
        let took = cpu_ms() - began;
        worst = worst.max(took);

        let mut simulated = Kitchen::of_seats(
            &kitchen.network,
            vec![kitchen.start.clone()],
            &last_service,
            seed,
        )
        .unwrap();
        let began = cpu_ms();
        for day in 0..200 {
            simulated.finish(0, day);
        }
        let day_us = (cpu_ms() - began) * 1e3 / 200.0;
        let all = f64::from(rule.days) * (changes as f64 + 1.0) * day_us / 1e3;

        let began = cpu_ms();
        best_pace(&kitchen.network, &kitchen.start, &[]).unwrap();
        let bound = cpu_ms() - began;
        let answer = match chosen.best {
            Some((_, gain)) => format!("a move of {:.1} min", gain.mean),
            None => "stay".to_owned(),
        };
        println!(
            "kitchen {seed}: {changes} changes, {took:.0} ms ({:.2} of what it may take), {} days of \
             {day_us:.0} us; all days {:.1} times as long; the bound {bound:.1} ms; {answer}",
            took / MAY_TAKE_MS,
            chosen.race.spent,
            all / took,
        );
    }
    println!(
        "at most {worst:.0} ms: {:.2} of the {MAY_TAKE_MS} ms it may take",
        worst / MAY_TAKE_MS
    );
}
