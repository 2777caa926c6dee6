//! Days of random orders, looked back on twice: by the program, event by event, and here by looking
//! at the whole day after each event.

use crate::kitchen::{Kitchen, build, id, seals};
use crate::look_back::all_adds_up;
use putby::day::ids::*;
use putby::day::plan::Nature;
use putby::day::state::{State, StationState};
use putby::day::time::Timestamp;
use putby::day::{Record, Role, apply};
use putby::lookback::look_back;
use std::collections::BTreeMap;

/// A small generator of numbers, the same ones each time (Knuth's MMIX constants).
struct Dice(u64);

impl Dice {
    fn below(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % sides
    }

    fn pick<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.below(list.len())]
    }

    fn amount(&mut self) -> i64 {
        [500, 1000, 2500, 5000, 7500, 12_000][self.below(6)]
    }
}

const HANDS: [&str; 4] = ["wash", "slice", "fill", "bag"];
const PEOPLE: [&str; 5] = ["maren", "osk", "edda", "juno", "wren"];
const POTS: [&str; 3] = ["big", "small", "third"];
const FATES: [&str; 3] = ["refrigerate", "freeze", "reprocess"];
const DOORS: [&str; 4] = ["fresh", "scraps", "refrigerator", "freezer"];
const WORK: [(&str, &str); 4] = [
    ("pears-a", "pear-quarts"),
    ("peaches-a", "peach-pints"),
    ("plums-a", "plum-mash"),
    ("pulp", "spread"),
];

/// Pears come through to the canner now and then.
const PEARS: [&str; 4] = [
    "open-box lot=pears-a product=pear-quarts amount=5000",
    "tally station=slice product=pear-quarts amount=5000",
    "tally station=fill product=pear-quarts amount=5000",
    "restock supply=lids amount=4000",
];

/// Some order; most are refused, as in any kitchen.
fn order(dice: &mut Dice, number: usize) -> String {
    let (lot, product) = WORK[dice.below(WORK.len())];
    let (hand, person, pot) = (dice.pick(&HANDS), dice.pick(&PEOPLE), dice.pick(&POTS));
    let (amount, load) = (
        dice.amount(),
        format!("l{}", number.saturating_sub(dice.below(60))),
    );
    match dice.below(26) {
        0 | 1 => format!("open-box lot={lot} product={product} amount={amount}"),
        2..=6 => format!("tally station={hand} product={product} amount={amount}"),
        7 => format!("undo-tally station={hand}"),
        8 => format!("claim helper={person} station={hand} beside=maren"),
        9 => format!("leave helper={person}"),
        10 => format!("take-break helper={person}"),
        11 => format!("end-break helper={person}"),
        12 => format!("fill-pot station=cook pot={pot} product=plum-mash"),
        13 => format!("start-pot station=cook pot={pot} minder=maren"),
        14 => format!("pot-done station=cook pot={pot}"),
        15 => format!("empty-pot station=cook pot={pot}"),
        16 => build(
            "canner",
            &format!("l{number}"),
            &[("pear-quarts", 1 + dice.below(4) as i64)],
        ),
        17 => format!("heat-load load={load}"),
        18 => format!("rolling-boil load={load}"),
        19 => format!("heat-off load={load} end_early={}", dice.below(3) == 0),
        20 => format!("lift-load load={load}"),
        21 => format!("lift-load load={load} fate={}", dice.pick(&FATES)),
        22 => format!(
            "divert station={hand} product={product} amount={amount} to={{\"as\":\"{}\"}}",
            dice.pick(&DOORS)
        ),
        23 => format!("recount station={hand} product={product} lot={lot} amount={amount}"),
        24 => [
            "put-away station=bag",
            "set-up station=bag",
            "cancel-load load=l1",
        ][dice.below(3)]
        .to_owned(),
        _ => format!(
            "send-back station=fill product={product} amount={amount} to=slice reason=Again"
        ),
    }
}

/// So many random days, for others to look at.
pub fn all(days: u64) -> Vec<Kitchen> {
    (0..days).map(random_day).collect()
}

fn random_day(seed: u64) -> Kitchen {
    let mut dice = Dice(seed);
    let mut day = Kitchen::open();
    for number in 0..600 {
        day.wait_ms(1 + dice.below(400_000) as i64);
        let order = crate::kitchen::order_of(&order(&mut dice, number));
        let _ = day.gives(Role::Lead, order);
        if number % 25 == 0 {
            for order in PEARS {
                let _ = day.gives(Role::Lead, crate::kitchen::order_of(order));
            }
            let load = build("canner", &format!("p{number}"), &[("pear-quarts", 2)]);
            let _ = day.gives(Role::Lead, crate::kitchen::order_of(&load));
        }
        bring_on(&mut day, &mut dice);
        check_seals(&mut day, &mut dice);
    }
    day
}

/// Cooled jars leave the rack, most of them for the shelf.
fn check_seals(day: &mut Kitchen, dice: &mut Dice) {
    let racked = day.state.loads.iter();
    let racked: Vec<String> = racked
        .filter(|(_, load)| !load.unchecked().is_empty())
        .map(|(id, _)| id.to_string())
        .collect();
    for load in racked {
        let found = ["sealed", "refrigerated", "frozen", "reprocessed", "broken"];
        let found = match dice.below(30) {
            0..=3 => "sealed",
            4 => dice.pick(&found),
            _ => continue,
        };
        let order = crate::kitchen::order_of(&seals(&load, "pear-quarts", &[(found, 1)]));
        let _ = day.gives(Role::Lead, order);
    }
}

/// Loads are brought on when they are due, or hardly one would come to its end.
fn bring_on(day: &mut Kitchen, dice: &mut Dice) {
    let inside = day
        .state
        .loads
        .iter()
        .filter(|(_, load)| load.is_in_canner());
    let inside: Vec<String> = inside.map(|(id, _)| id.to_string()).collect();
    for load in inside {
        let fate = dice.pick(&FATES);
        let steps = match dice.below(24) {
            0 => vec![
                "heat-off end_early=true".to_owned(),
                format!("lift-load fate={fate}"),
            ],
            1..=9 => ["heat-load", "rolling-boil", "heat-off", "lift-load"]
                .map(str::to_owned)
                .to_vec(),
            _ => Vec::new(),
        };
        for step in steps {
            let order = crate::kitchen::order_of(&format!("{step} load={load}"));
            let _ = day.gives(Role::Lead, order);
        }
    }
}

/// Busy, starved, unstaffed and put-away milliseconds.
type Sums = [i64; 4];

/// What a station does, read off the whole day.
fn doing(state: &State, id: &StationId, station: &StationState) -> usize {
    let waits = state.flows.get(id).into_iter().flatten().any(|(_, lots)| {
        lots.values()
            .any(|flow| flow.layers.iter().any(|layer| layer.amount.0 > 0))
    });
    let filled = station.pots.values().filter_map(|pot| pot.batch.as_ref());
    let inside: Vec<_> = state
        .loads
        .values()
        .filter(|load| load.station == *id && load.is_in_canner())
        .collect();
    let (active, waits) = match station.plan.nature {
        Nature::Hand {} => (!station.seats.is_empty() && waits, waits),
        Nature::Vessel { .. } => (
            filled.clone().any(|b| b.cooking.is_some()),
            waits || filled.clone().count() > 0,
        ),
        Nature::Canner { .. } => (
            inside.iter().any(|load| load.is_on_heat()),
            waits || !inside.is_empty(),
        ),
        Nature::Hold { .. } => (waits, waits),
    };
    match (station.set_up && !station.retired, active, waits) {
        (false, _, _) => 3,
        (true, true, _) => 0,
        (true, false, true) => 2,
        (true, false, false) => 1,
    }
}

/// The slow way: the whole day is looked at after each event.
fn slowly(
    records: &[Record],
) -> (
    BTreeMap<StationId, Sums>,
    BTreeMap<(StationId, ProductId), i64>,
) {
    let mut state = State::default();
    let (mut sums, mut waited) = (BTreeMap::new(), BTreeMap::new());
    let mut last: Option<Timestamp> = None;
    for record in records {
        let passed = last.map_or(0, |last| record.at.ms_since(last));
        for (id, station) in &state.stations {
            let sum: &mut Sums = sums.entry(id.clone()).or_default();
            sum[doing(&state, id, station)] += passed;
        }
        for (station, products) in &state.flows {
            for product in products.keys() {
                let area: &mut i64 = waited
                    .entry((station.clone(), product.clone()))
                    .or_default();
                *area += state.waiting_at(station, product).0 * passed;
            }
        }
        apply(&mut state, record.at, record.command, &record.event);
        last = Some(record.at);
    }
    (sums, waited)
}

#[test]
fn both_ways_of_looking_back_agree_on_random_days() {
    let (mut lifted, mut short, mut busy, mut shelved, mut blocked) = (0, 0, 0, 0, 0);
    for seed in 0..24 {
        let day = random_day(seed);
        let told = look_back(&day.records);
        all_adds_up(&told);
        crate::trace::all_is_traced(&day);
        let (sums, waited) = slowly(&day.records);
        for (id, sums) in &sums {
            let s = &told.stations[id];
            // Blocked is cut out of busy at a hand station, and out of unattended at a canner; a
            // pause is always cut out of unattended.
            let by_hand = matches!(day.state.stations[id].plan.nature, Nature::Hand {});
            let (hands, heat) = if by_hand {
                (s.blocked_ms, 0)
            } else {
                (0, s.blocked_ms)
            };
            let quick = [
                s.busy_ms + hands,
                s.starved_ms,
                s.unstaffed_ms + s.paused_ms + heat,
                s.put_away_ms,
            ];
            assert_eq!(quick, *sums, "{id} of day {seed}");
            busy += s.busy_ms;
            blocked += s.blocked_ms;
        }
        for ((station, product), area) in &waited {
            let quick = told.stations[station]
                .waited
                .get(product)
                .copied()
                .unwrap_or_default();
            assert_eq!(quick, *area, "{product} at {station} of day {seed}");
        }
        for (station, told) in &told.stations {
            for (product, points) in &told.depth {
                let is = day.state.waiting_at(station, product);
                assert_eq!(points.last().unwrap().1, is, "{product} at {station}");
            }
        }
        lifted += told
            .loads
            .values()
            .filter(|load| load.lifted_at.is_some())
            .count();
        short += told.loads.values().filter(|load| load.short).count();
        let first = day.state.products[&id::<ProductId>("pear-quarts")].clone();
        assert_eq!(
            told.made[&id::<ProductId>("pear-quarts")].finished.0,
            first.finished.values().copied().sum()
        );
        shelved += day.finished("pear-quarts") / 1000;
    }
    assert!(
        lifted > 20 && short > 3 && busy > 0 && shelved > 20 && blocked > 0,
        "the days had work: {lifted} {short} {busy} {shelved} {blocked}"
    );
}
