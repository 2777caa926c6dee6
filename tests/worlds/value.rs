//! Does following the board end the day earlier, and by how much?

use crate::board::Board;
use crate::kitchen::Kitchen;
use crate::many::each;
use crate::policies::{Longest, Stay};
use crate::scores::{mean, quantile, sorted};
use crate::truth::Truth;
use crate::world::{Policy, World};
use putby::outlook::Settings;

/// Minutes of one day under three policies.
#[derive(Debug, Clone)]
pub struct Three {
    pub seed: u64,
    pub stay: f64,
    pub longest: f64,
    pub board: f64,
    pub moves: usize,
    pub wins: u32,
}

pub fn three(seed: u64, settings: Settings, asks_every_min: f64) -> Three {
    let kitchen = Kitchen::of(seed);
    let truth = Truth::of(&kitchen);
    let minutes = |policy: &mut dyn Policy| World::open(&kitchen, &truth).work(policy);
    let mut board = Board::new(settings, asks_every_min);
    Three {
        seed,
        stay: minutes(&mut Stay),
        longest: minutes(&mut Longest::default()),
        board: minutes(&mut board),
        moves: board.accepted.len(),
        wins: board.wins_taken,
    }
}

pub fn table(days: &[Three], against: &str, of: impl Fn(&Three) -> f64) {
    let gains = sorted(days.iter().map(|day| of(day) - day.board).collect());
    let worse = gains.iter().filter(|gain| **gain < -0.5).count() as f64 / gains.len() as f64;
    let shares: Vec<f64> = days.iter().map(|day| 1.0 - day.board / of(day)).collect();
    println!(
        "earlier than {against}: median {:.1} min, mean {:.1}, quartiles {:.1} {:.1}, tenths {:.1} {:.1}, range {:.1} {:.1}, worse on {:.1} %; median share {:.1} %",
        quantile(&gains, 0.5),
        mean(&gains),
        quantile(&gains, 0.25),
        quantile(&gains, 0.75),
        quantile(&gains, 0.1),
        quantile(&gains, 0.9),
        gains[0],
        gains[gains.len() - 1],
        100.0 * worse,
        100.0 * quantile(&sorted(shares), 0.5),
    );
}

#[test]
#[ignore = "300 days; run by hand"]
fn value() {
    let count = std::env::var("DAYS").map_or(300, |days| days.parse().unwrap());
    let days = each(0..count, |seed| three(seed, Settings::default(), 10.0));
    table(&days, "nobody switching", |day| day.stay);
    table(&days, "the longest queue", |day| day.longest);
    let moves: Vec<f64> = days.iter().map(|day| day.moves as f64).collect();
    let wins: Vec<f64> = days.iter().map(|day| f64::from(day.wins)).collect();
    println!(
        "moves a day {:.1}, free gains {:.1}",
        mean(&moves),
        mean(&wins)
    );
    let mut worst = days.clone();
    worst.sort_by(|one, other| {
        let gain = |day: &Three| day.stay.min(day.longest) - day.board;
        gain(one).total_cmp(&gain(other))
    });
    for day in worst.iter().take(15) {
        println!(
            "   seed {}: stay {:.0} longest {:.0} board {:.0}, {} moves {} wins",
            day.seed, day.stay, day.longest, day.board, day.moves, day.wins
        );
    }
}
