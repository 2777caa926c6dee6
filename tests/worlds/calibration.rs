//! Does the finish fall where the forecast said it would, and how far off is its middle?

use crate::kitchen::Kitchen;
use crate::many::each;
use crate::policies::Stay;
use crate::roam::Roam;
use crate::scores::{below, crps, mean, quantile, sorted};
use crate::truth::Truth;
use crate::world::{MORNING, Policy, World};
use putby::day::time::Timestamp;
use putby::day::{Record, State, apply};
use putby::outlook::{Habits, Model, Settings, forecast};
use putby::pace::{Learned, Pace};

/// A forecast and what happened, in minutes from when it was made.
#[derive(Debug, Clone)]
pub struct Seen {
    pub seed: u64,
    pub left: f64,
    pub p10: f64,
    pub p50: f64,
    pub p90: f64,
    pub pit: f64,
    pub crps: f64,
}

impl Seen {
    fn holds(&self) -> bool {
        (self.p10..=self.p90).contains(&self.left)
    }

    fn off(&self) -> f64 {
        (self.p50 - self.left) / self.left
    }
}

/// The forecast from the events alone, after a share of the day.
pub fn foretell(
    seed: u64,
    records: &[Record],
    minutes: f64,
    share: f64,
    habits: Habits,
    runs: u32,
) -> Seen {
    let at = Timestamp(MORNING.0 + (minutes * share * 60_000.0) as i64);
    let known = records.partition_point(|record| record.at <= at);
    let records = &records[..known];
    let mut state = State::default();
    for record in records {
        apply(&mut state, record.at, record.command, &record.event);
    }
    let pace = Pace::of(records, &Learned::default(), at);
    let mut model = Model::of(&state, &pace, at, habits);
    if std::env::var("ORACLE").is_ok() {
        let kitchen = Kitchen::of(seed);
        let truth = Truth::of(&kitchen);
        let mut then = World::open(&kitchen, &truth);
        if habits.roams_after_min.is_some() {
            then.work_until(&mut Roam::after(10.0), minutes * share);
        } else {
            then.work_until(&mut Stay, minutes * share);
        }
        for (number, place) in model.stops.clone().iter().enumerate() {
            let Some(stop) = kitchen.stops.iter().position(|stop| {
                kitchen.stations[stop.station].id == place.station
                    && kitchen.products[stop.product].id == place.product
            }) else {
                continue;
            };
            if model.stop(&place.station, &place.product) != Some(number) {
                continue;
            }
            for (helper, id) in model.helpers.clone().iter().enumerate() {
                let Some(person) = kitchen.person(id) else {
                    continue;
                };
                if let Some(rate) = &mut model.network.helpers[helper].rates[number] {
                    *rate = putby::sim::Uncertain::Known(truth.rates[person][stop]);
                }
            }
            if std::env::var("ORACLE").unwrap() == "2" {
                let sum: f64 = model.start.waiting[number].iter().map(|w| w.0).sum();
                let busy: f64 = model
                    .start
                    .busy
                    .iter()
                    .filter(|b| b.stop == number && b.helper.is_some())
                    .map(|b| b.amount)
                    .sum();
                let closed: f64 = model
                    .boxes
                    .iter()
                    .filter(|b| b.stop == number)
                    .map(|b| b.amount)
                    .sum();
                let real = (then.should_have(stop) + closed - busy).max(0.0);
                if (real - sum).abs() > 1e-6 {
                    model.start.waiting[number] = vec![(real, 0.0)];
                }
            }
            if kitchen.stops[stop].stage.unsure {
                model.network.stops[number].yields =
                    putby::sim::Uncertain::Known(truth.yields[stop]);
            }
            if let putby::sim::Law::Gamma { shape, .. } = &mut model.network.stops[number].time {
                *shape = truth.service_cv.powi(-2);
            }
        }
    }
    if std::env::var("SHOW").is_ok() {
        println!("== seed {seed} at {:.0} of {minutes:.0}", minutes * share);
        for (n, place) in model.stops.iter().enumerate() {
            println!(
                "  {} {}: waits {:?} time {:?} yields {:?} patience",
                place.station,
                place.product,
                model.start.waiting[n].iter().map(|w| w.0).sum::<f64>(),
                model.network.stops[n].time,
                model.network.stops[n].yields
            );
        }
        println!("  busy {:?}", model.start.busy);
        for (n, h) in model.network.helpers.iter().enumerate() {
            println!(
                "  {} seat {:?} {:?}",
                h.name,
                model.start.seats[n].map(|s| model.stations[s].clone()),
                h.rests
            );
        }
        for s in &model.network.stations {
            println!(
                "  station {} {:?} seats {} takes {:?}",
                s.name, s.works, s.seats, s.takes
            );
        }
    }
    let days = forecast(&model, runs, seed);
    assert_eq!(days.fault, None, "seed {seed}");
    let finishes = sorted(days.finishes);
    let left = minutes * (1.0 - share);
    Seen {
        seed,
        left,
        p10: quantile(&finishes, 0.1),
        p50: quantile(&finishes, 0.5),
        p90: quantile(&finishes, 0.9),
        pit: below(&finishes, left),
        crps: crps(&finishes, left),
    }
}

/// Forecasts at shares of a day whose people stay, or roam after ten minutes.
fn day(seed: u64, roams: bool, shares: &[f64], runs: u32) -> Vec<Seen> {
    let kitchen = Kitchen::of(seed);
    let truth = Truth::of(&kitchen);
    let mut world = World::open(&kitchen, &truth);
    let (policy, habits): (&mut dyn Policy, Habits) = if roams {
        (&mut Roam::after(10.0), Habits::USUAL)
    } else {
        let nobody_moves = Habits {
            roams_after_min: None,
        };
        (&mut Stay, nobody_moves)
    };
    let minutes = world.work(policy);
    let told = |share: &f64| foretell(seed, &world.records, minutes, *share, habits, runs);
    shares.iter().map(told).collect()
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
        "{title}: held {:.1} % (+-{:.1}), median off {:.2} %, signed {:+.1} % (quartiles {:+.1} {:+.1}), crps {:.1} min, band {:.0} min, left {:.0} min, pit {bins:?}",
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
    );
}

#[test]
#[ignore = "300 days; run by hand"]
fn calibration() {
    let shares = [0.25, 0.5, 0.75];
    for roams in [false, true] {
        let days = each(0..300, |seed| {
            day(seed, roams, &shares, Settings::default().runs)
        });
        for (number, share) in shares.iter().enumerate() {
            let at: Vec<Seen> = days.iter().map(|day| day[number].clone()).collect();
            let who = if roams {
                "people roam"
            } else {
                "everybody stays"
            };
            table(&at, &format!("{who}, at {share}"));
            if *share == 0.5 {
                let mut worst = at.clone();
                worst.sort_by(|one, other| one.off().abs().total_cmp(&other.off().abs()));
                for seen in worst.iter().rev().take(12) {
                    println!(
                        "   seed {}: left {:.0}, said {:.0} {:.0} {:.0}",
                        seen.seed, seen.left, seen.p10, seen.p50, seen.p90
                    );
                }
            }
        }
    }
}

#[test]
#[ignore = "shows one day"]
fn one() {
    let seed: u64 = std::env::var("SEED").unwrap().parse().unwrap();
    let kitchen = Kitchen::of(seed);
    let truth = Truth::of(&kitchen);
    let mut world = World::open(&kitchen, &truth);
    let minutes = world.work(&mut Stay);
    let seen = foretell(
        seed,
        &world.records,
        minutes,
        0.5,
        Habits {
            roams_after_min: None,
        },
        400,
    );
    println!("{seen:?}");
    for (n, p) in kitchen.people.iter().enumerate() {
        println!(
            "{} {} at {} idle {:.0}",
            p.id,
            p.age,
            kitchen.stations[p.seat].id,
            world.hands[n].idle_min(world.now)
        );
    }
    for record in &world.records {
        let e = format!("{:?}", record.event);
        let m = (record.at.0 - MORNING.0) as f64 / 60_000.0;
        if m > minutes * 0.5 && !e.contains("Chore") {
            println!("{m:.1} {}", &e[..e.len().min(230)]);
        }
    }
}

#[test]
#[ignore = "shows learned rates against true ones"]
fn rates() {
    use putby::day::state::Presence;
    use std::collections::BTreeMap;
    let mut all: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    for seed in 0..300 {
        let kitchen = Kitchen::of(seed);
        let truth = Truth::of(&kitchen);
        let mut world = World::open(&kitchen, &truth);
        let minutes = world.work(&mut Stay);
        let at = Timestamp(MORNING.0 + (minutes * 0.5 * 60_000.0) as i64);
        let known = world.records.partition_point(|record| record.at <= at);
        let records = &world.records[..known];
        let mut state = State::default();
        for record in records {
            apply(&mut state, record.at, record.command, &record.event);
        }
        let pace = Pace::of(records, &Learned::default(), at);
        for (number, person) in kitchen.people.iter().enumerate() {
            if state.helpers[&person.id].presence != Presence::Here {
                continue;
            }
            for stop in &kitchen.stations[person.seat].stops {
                let place = &kitchen.stops[*stop];
                let station = &kitchen.stations[place.station].id;
                let product = &kitchen.products[place.product].id;
                let seen = pace.seen(&person.id, station).carriers;
                if seen < 5.0 {
                    continue;
                }
                let law = pace.rate(&state, &person.id, station, product);
                let off = (law.mean() / truth.rates[number][*stop]).ln();
                if ["bag", "fill"].contains(&place.stage.place) && std::env::var("SHOW").is_ok() {
                    let before = place.before.unwrap();
                    let y = truth.yields[before]
                        / (kitchen.stops[before].stage.yields.0 as f64
                            / kitchen.stops[before].stage.yields.1 as f64);
                    let others = kitchen
                        .people
                        .iter()
                        .filter(|p| p.seat == person.seat)
                        .count();
                    println!(
                        "{seed} {} {} off {off:+.2} yield {y:.2} told {:.2} seen {seen:.0} active {:.0} of {:.0} idle {:.0}, {others} seated, stops {} true each {:.1} min",
                        place.stage.place,
                        product,
                        pace.yields(
                            &state,
                            &kitchen.stations[kitchen.stops[before].station].id,
                            product
                        )
                        .median,
                        pace.seen(&person.id, station).active_min,
                        minutes * 0.5,
                        world.hands[number].idle_min(world.now),
                        kitchen.stations[place.station].stops.len(),
                        truth.rates[number][*stop].recip()
                    );
                }
                let canned = kitchen.stations.iter().any(|s| s.place.id == "canner");
                all.entry(format!("{} {canned}", place.stage.place))
                    .or_default()
                    .push((off, off / law.cv()));
                all.entry("shape".into())
                    .or_default()
                    .push((pace.shape().sqrt().recip() - truth.service_cv, 0.0));
            }
        }
        for (stop, place) in kitchen.stops.iter().enumerate() {
            if !place.stage.unsure {
                continue;
            }
            let station = &kitchen.stations[place.station].id;
            let product = &kitchen.products[place.product].id;
            let told = pace.yields(&state, station, product);
            let real =
                truth.yields[stop] / (place.stage.yields.0 as f64 / place.stage.yields.1 as f64);
            let off = (told.median / real).ln();
            all.entry(format!("yield {}", place.stage.place))
                .or_default()
                .push((off, off / told.sigma));
        }
    }
    for (place, offs) in all {
        let logs: Vec<f64> = offs.iter().map(|o| o.0).collect();
        let zs: Vec<f64> = offs.iter().map(|o| o.1).collect();
        let sd = |v: &[f64]| {
            let m = mean(v);
            (v.iter().map(|x| (x - m).powi(2)).sum::<f64>() / v.len() as f64).sqrt()
        };
        println!(
            "{place}: n {} log mean {:+.3} sd {:.3}; z mean {:+.2} sd {:.2}",
            logs.len(),
            mean(&logs),
            sd(&logs),
            mean(&zs),
            sd(&zs)
        );
    }
}
