//! Does the finish fall where the forecast said it would, and how far off is its middle?

use crate::kitchen::Kitchen;
use crate::many::each;
use crate::oracle::Oracle;
use crate::policies::{Counting, Stay};
use crate::roam::Roam;
use crate::scores::{below, crps, mean, quantile, sorted};
use crate::truth::Truth;
use crate::world::{MORNING, Policy, World};
use putby::day::time::Timestamp;
use putby::day::{State, apply};
use putby::outlook::{Habits, Model, Settings, forecast};
use putby::pace::{Learned, Pace};
use std::ops::Range;

/// A forecast and what happened, in minutes from when it was made.
#[derive(Debug, Clone)]
pub struct Seen {
    pub left: f64,
    pub p10: f64,
    pub p50: f64,
    pub p90: f64,
    pub pit: f64,
    pub crps: f64,
    /// Counts that the board had asked for by the end of the day.
    pub counts: u32,
}

/// What people do about their seats, and whether somebody counts when the board asks.
#[derive(Debug, Clone, Copy)]
pub struct Ways {
    pub roams: bool,
    pub counts: bool,
}

impl Ways {
    const STAY: Ways = Ways {
        roams: false,
        counts: true,
    };

    fn name(self) -> String {
        let who = if self.roams {
            "people roam"
        } else {
            "everybody stays"
        };
        let counts = if self.counts { "" } else { ", nobody counts" };
        format!("{who}{counts}")
    }
}

impl Seen {
    fn holds(&self) -> bool {
        (self.p10..=self.p90).contains(&self.left)
    }

    fn off(&self) -> f64 {
        (self.p50 - self.left) / self.left
    }
}

/// The forecast after a share of the day: from the events, and what the oracle tells.
fn foretell(
    (seed, ways, habits): (u64, Ways, Habits),
    world: &World<'_>,
    minutes: f64,
    share: f64,
    oracle: Oracle,
) -> Seen {
    let at = Timestamp(MORNING.0 + (minutes * share * 60_000.0) as i64);
    let known = world.records.partition_point(|record| record.at <= at);
    let records = &world.records[..known];
    let mut state = State::default();
    for record in records {
        apply(&mut state, record.at, record.command, &record.event);
    }
    let pace = Pace::of(records, &Learned::default(), at);
    let mut model = Model::of(&state, &pace, at, habits);
    oracle.tell(&mut model, seed, minutes * share, ways);
    let days = forecast(&model, Settings::default().runs, seed);
    assert_eq!(days.fault, None, "seed {seed}");
    let finishes = sorted(days.finishes);
    let left = minutes * (1.0 - share);
    Seen {
        left,
        p10: quantile(&finishes, 0.1),
        p50: quantile(&finishes, 0.5),
        p90: quantile(&finishes, 0.9),
        pit: below(&finishes, left),
        crps: crps(&finishes, left),
        counts: world.counts,
    }
}

/// Forecasts at shares of a day whose people stay, or roam after ten minutes.
fn day(seed: u64, ways: Ways, shares: &[f64], oracle: Oracle) -> Vec<Seen> {
    let kitchen = Kitchen::of(seed);
    let truth = Truth::of(&kitchen);
    let mut world = World::open(&kitchen, &truth);
    let (mut policy, habits) = people(ways);
    let minutes = world.work(&mut *policy);
    let told = |share: &f64| foretell((seed, ways, habits), &world, minutes, *share, oracle);
    shares.iter().map(told).collect()
}

/// People who go these ways, and what the forecast takes them for.
pub fn people(ways: Ways) -> (Box<dyn Policy>, Habits) {
    let roams_after_min = None;
    let (who, habits): (Box<dyn Policy>, _) = if ways.roams {
        (Box::new(Roam::after(10.0)), Habits::USUAL)
    } else {
        (Box::new(Stay), Habits { roams_after_min })
    };
    if ways.counts {
        (Box::new(Counting::with(who)), habits)
    } else {
        (who, habits)
    }
}

/// The days to look at: the first 300, or `SEEDS`, as `300..600`.
pub fn seeds() -> Range<u64> {
    let Ok(text) = std::env::var("SEEDS") else {
        return 0..300;
    };
    let (from, to) = text.split_once("..").expect("SEEDS as 300..600");
    from.parse().unwrap()..to.parse().unwrap()
}

fn table(days: &[Seen], title: &str) {
    let n = days.len() as f64;
    let holds = days.iter().filter(|seen| seen.holds()).count() as f64 / n;
    let off = sorted(days.iter().map(|seen| seen.off().abs()).collect());
    let signed = sorted(days.iter().map(Seen::off).collect());
    let mut bins = [0; 10];
    for seen in days {
        bins[((seen.pit * 10.0) as usize).min(9)] += 1;
    }
    println!(
        "{title}: held {:.1} % (+-{:.1}), median off {:.2} %, signed {:+.1} % (quartiles {:+.1} {:+.1}), crps {:.1} min, band {:.0} min, left {:.0} min, counts {:.1} a day, pit {bins:?}",
        100.0 * holds,
        100.0 * (0.16 / n).sqrt(),
        100.0 * quantile(&off, 0.5),
        100.0 * quantile(&signed, 0.5),
        100.0 * quantile(&signed, 0.25),
        100.0 * quantile(&signed, 0.75),
        mean(&days.iter().map(|seen| seen.crps).collect::<Vec<_>>()),
        mean(
            &days
                .iter()
                .map(|seen| seen.p90 - seen.p10)
                .collect::<Vec<_>>()
        ),
        mean(&days.iter().map(|seen| seen.left).collect::<Vec<_>>()),
        mean(
            &days
                .iter()
                .map(|seen| f64::from(seen.counts))
                .collect::<Vec<_>>()
        ),
    );
}

fn at_shares(ways: Ways, shares: &[f64], oracle: Oracle) {
    let days = each(seeds(), |seed| day(seed, ways, shares, oracle));
    for (number, share) in shares.iter().enumerate() {
        let at: Vec<Seen> = days.iter().map(|day| day[number].clone()).collect();
        table(
            &at,
            &format!("{}, at {share}{}", ways.name(), oracle.name()),
        );
    }
}

#[test]
#[ignore = "300 days; run by hand"]
fn calibration() {
    for roams in [false, true] {
        for counts in [true, false] {
            let ways = Ways { roams, counts };
            at_shares(ways, &[0.25, 0.5, 0.75], Oracle::Nothing);
        }
    }
}

/// The one figure of the middle of the day, for a quick look.
#[test]
#[ignore = "300 days; run by hand"]
fn half_way() {
    at_shares(Ways::STAY, &[0.5], Oracle::Nothing);
}

/// What is left of the error if rates, or rates and stocks, were known: no learning can do better.
#[test]
#[ignore = "300 days; run by hand"]
fn floor() {
    for oracle in [Oracle::Rates, Oracle::Stocks] {
        at_shares(Ways::STAY, &[0.5], oracle);
    }
}
