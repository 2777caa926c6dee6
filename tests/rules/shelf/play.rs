//! Plays random steps over the test kitchen: mostly what brings a load on next, at its first
//! permitted millisecond or later, and much that is too soon or out of place.

use crate::kitchen::{Kitchen, build, order_of, seals};
use putby::day::Role;
use putby::day::state::{Load, LoadPhase};
use putby::day::time::{HOUR_MS, MINUTE_MS, Timestamp};
use serde_json::{Value, json};

/// A random day.
#[derive(Debug, Clone)]
pub struct Day {
    pub altitude_ft: i32,
    pub steps: Vec<Step>,
}

/// One step, with the dice for its particulars.
#[derive(Debug, Clone)]
pub struct Step {
    pub kind: Kind,
    pub dice: u64,
}

/// What a step does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Jars are filled, confirmed and put into a canner at once.
    Start,
    /// Jars are filled.
    Fill,
    /// A load is built of what waits, whatever it is.
    Build,
    /// A load is brought on as it should be.
    Next,
    /// The same a millisecond too soon, or long before.
    NextTooSoon,
    /// Some order about a load.
    OutOfPlace,
    /// Something else that touches jars.
    Stray,
    /// Time passes.
    Wait,
}

const PRODUCTS: [(&str, &str, &str, i64); 7] = [
    ("pear-quarts", "pears-a", "canner", 2500),
    ("beans", "beans-a", "press", 1000),
    ("pear-pints", "pears-b", "canner", 1250),
    ("sauce", "tomatoes-a", "canner", 2500),
    ("peach-pints", "peaches-a", "canner", 1000),
    ("butter", "apples-a", "canner", 1000),
    ("pear-press", "pears-a", "press", 1250),
];

/// Numbers out of one random one.
struct Dice(u64);

impl Dice {
    fn below(&mut self, sides: u64) -> u64 {
        let number = self.0 % sides;
        self.0 = self.0.rotate_right(7).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (self.0 >> 31);
        number
    }

    fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[usize::try_from(self.below(list.len() as u64)).unwrap()]
    }
}

/// Plays a day to its end.
pub fn play(day: &Day) -> Kitchen {
    let mut kitchen = Kitchen::with(|plan| {
        plan["altitude_ft"] = json!(day.altitude_ft);
        plan["supplies"]["lids"]["stock"] = json!(900_000);
        plan["resources"]["burners"]["count"] = json!(3);
        plan["stations"]["rack"]["nature"]["capacity"] = json!(60_000);
        for station in ["canner", "press"] {
            let canners = &mut plan["stations"][station]["nature"]["canners"];
            canners["b"] = json!({"name": "Canner B", "holds": {"pint": 9, "quart": 7}});
        }
    });
    for (number, step) in day.steps.iter().enumerate() {
        let mut dice = Dice(step.dice);
        match step.kind {
            Kind::Start => start(&mut kitchen, &mut dice, number),
            Kind::Fill => {
                let product = dice.pick(&PRODUCTS);
                fill(&mut kitchen, product, &mut dice);
            }
            Kind::Build => some_load(&mut kitchen, &mut dice, number),
            Kind::Next => next(&mut kitchen, &mut dice, 0),
            Kind::NextTooSoon => {
                let sooner = dice.pick(&[1, 1, MINUTE_MS, HOUR_MS]);
                next(&mut kitchen, &mut dice, sooner);
            }
            Kind::OutOfPlace => out_of_place(&mut kitchen, &mut dice),
            Kind::Stray => stray(&mut kitchen, &mut dice),
            Kind::Wait => {
                let ms = dice.pick(&[1, MINUTE_MS, 11 * MINUTE_MS, 40 * MINUTE_MS, 3 * HOUR_MS]);
                kitchen.wait_ms(ms);
            }
        }
    }
    kitchen
}

/// Gives an order by the lead; whether it was taken.
fn give(kitchen: &mut Kitchen, order: &str) -> bool {
    kitchen.gives(Role::Lead, order_of(order)).is_ok()
}

fn fill(
    kitchen: &mut Kitchen,
    (product, lot, _, each): (&str, &str, &str, i64),
    dice: &mut Dice,
) -> i64 {
    let jars = 1 + dice.below(3) as i64;
    let amount = jars * each;
    give(
        kitchen,
        &format!("open-box lot={lot} product={product} amount={amount}"),
    );
    for station in ["slice", "fill"] {
        give(
            kitchen,
            &format!("tally station={station} product={product} amount={amount}"),
        );
    }
    jars
}

fn start(kitchen: &mut Kitchen, dice: &mut Dice, number: usize) {
    kitchen.wait_ms(dice.pick(&[1, MINUTE_MS]));
    let product = dice.pick(&PRODUCTS);
    let jars = fill(kitchen, product, dice);
    kitchen.wait_ms(1);
    if dice.below(8) > 0 {
        give(
            kitchen,
            &format!("confirm-jars product={} acid=true sterile=true", product.0),
        );
    }
    let canner = dice.pick(&["canner=a", "canner=b"]);
    let order = build(product.2, &format!("l{number}"), &[(product.0, jars)]);
    if give(kitchen, &order.replace("canner=a", canner)) && dice.below(4) > 0 {
        give(kitchen, &format!("heat-load load=l{number}"));
    }
}

/// A load of one or two products in some canner, mixed or not.
fn some_load(kitchen: &mut Kitchen, dice: &mut Dice, number: usize) {
    let (one, other) = (dice.pick(&PRODUCTS), dice.pick(&PRODUCTS));
    let station = dice.pick(&[one.2, "canner", "press"]);
    let mut jars = vec![(one.0, 1 + dice.below(2) as i64)];
    if dice.below(2) == 0 && other.0 != one.0 {
        jars.push((other.0, 1));
    }
    let mixed = dice.below(4) > 0;
    let order = build(station, &format!("l{number}"), &jars);
    give(kitchen, &format!("{order} mixed={mixed}"));
}

/// Brings a load on that is not at its end.
fn next(kitchen: &mut Kitchen, dice: &mut Dice, sooner: i64) {
    let open = kitchen.state.loads.iter().filter(|(_, load)| {
        load.is_in_canner() || load.unchecked().values().any(|jars| jars.0 > 0)
    });
    let open: Vec<(String, Load)> = open
        .map(|(id, load)| (id.to_string(), load.clone()))
        .collect();
    if open.is_empty() {
        return;
    }
    // Those on the heat come first: what cools can wait.
    let hot: Vec<_> = open
        .iter()
        .filter(|(_, load)| load.is_in_canner())
        .collect();
    let (id, load) = if hot.is_empty() || dice.below(8) == 0 {
        &open[usize::try_from(dice.below(open.len() as u64)).unwrap()]
    } else {
        hot[usize::try_from(dice.below(hot.len() as u64)).unwrap()]
    };
    let (due, order) = next_order(id, load, dice);
    let late = dice.pick(&[0, 0, 0, 1, MINUTE_MS, 20 * MINUTE_MS]);
    if let Some(due) = due {
        kitchen.now = kitchen.now.max(Timestamp(
            due.0 - sooner + if sooner > 0 { 0 } else { late },
        ));
    }
    give(kitchen, &order);
}

/// What comes next for a load, and when at the soonest.
fn next_order(id: &str, load: &Load, dice: &mut Dice) -> (Option<Timestamp>, String) {
    let short = load.short;
    match load.phase {
        LoadPhase::Loading => (None, format!("heat-load load={id}")),
        LoadPhase::Heating if load.is_pressure() && load.vented_at.is_none() => {
            (None, format!("vent load={id}"))
        }
        LoadPhase::Heating => (None, format!("rolling-boil load={id}")),
        LoadPhase::Venting => {
            let due = load.vented_at.map(|at| at.plus_minutes(10));
            (due, format!("rolling-boil load={id}"))
        }
        LoadPhase::Timing => match dice.below(12) {
            0 => (None, format!("boil-lost load={id}")),
            1 => (None, format!("heat-off load={id} end_early=true")),
            _ => (load.done_at(), format!("heat-off load={id}")),
        },
        LoadPhase::Resting if load.is_pressure() && load.zero_at.is_none() => {
            (None, format!("pressure-zero load={id}"))
        }
        LoadPhase::Resting => {
            let due = load.zero_at.map(|at| at.plus_minutes(10));
            let fate = dice.pick(&["refrigerate", "freeze", "reprocess"]);
            let fate = if short {
                format!(" fate={fate}")
            } else {
                String::new()
            };
            let broken = match (dice.below(6), load.jars.first()) {
                (0, Some(part)) => {
                    format!(" broken={}", json!([{"product": part.product, "jars": 1}]))
                }
                _ => String::new(),
            };
            (due, format!("lift-load load={id}{fate}{broken}"))
        }
        LoadPhase::Lifted | LoadPhase::Cancelled => {
            let due = load.lifted_at.map(|at| at.plus_minutes(12 * 60));
            (due, check(id, load, dice))
        }
    }
}

/// All or some of the jars of a load are checked, most of them sealed.
fn check(id: &str, load: &Load, dice: &mut Dice) -> String {
    let mut entries: Vec<Value> = Vec::new();
    for ((product, lot), jars) in load.unchecked() {
        let mut entry = json!({"product": product, "lot": lot});
        let jars = jars.0 / 1000;
        let other = dice.pick(&["refrigerated", "frozen", "reprocessed", "broken"]);
        match dice.below(6) {
            0 => entry[other] = json!(1),
            1 => entry["sealed"] = json!(1),
            2 => {
                entry["sealed"] = json!(jars - 1);
                entry[other] = json!(1);
            }
            _ => entry["sealed"] = json!(jars),
        }
        entries.push(entry);
    }
    format!("check-seals load={id} jars={}", json!(entries))
}

/// Some order about some load, whether or not its time has come.
fn out_of_place(kitchen: &mut Kitchen, dice: &mut Dice) {
    let loads: Vec<String> = kitchen
        .state
        .loads
        .keys()
        .map(ToString::to_string)
        .collect();
    if loads.is_empty() {
        return;
    }
    let load = &loads[usize::try_from(dice.below(loads.len() as u64)).unwrap()];
    let product = dice.pick(&PRODUCTS).0;
    let count = 1 + dice.below(3);
    let order = match dice.below(16) {
        0 => "heat-load",
        1 | 2 => "rolling-boil",
        3 => "vent",
        4 => "boil-lost",
        5 | 6 => "heat-off",
        7 => "pressure-zero",
        8 | 9 => "lift-load",
        10 => "cancel-load",
        11 | 12 => {
            give(kitchen, &format!("heat-off load={load} end_early=true"));
            return;
        }
        13 => {
            let fate = dice.pick(&["refrigerate", "freeze", "reprocess"]);
            give(kitchen, &format!("lift-load load={load} fate={fate}"));
            return;
        }
        14 => {
            let jars = json!([{"product": product, "jars": count}]);
            give(
                kitchen,
                &format!("change-load load={load} mixed=true jars={jars}"),
            );
            return;
        }
        _ => {
            let sealed = [("sealed", u32::try_from(count).unwrap())];
            give(kitchen, &seals(load, product, &sealed));
            return;
        }
    };
    give(kitchen, &format!("{order} load={load}"));
}

/// Other ways that jars might come to the shelf.
fn stray(kitchen: &mut Kitchen, dice: &mut Dice) {
    let (product, lot, canner, _) = dice.pick(&PRODUCTS);
    let other = dice.pick(&PRODUCTS).0;
    let at = dice.pick(&["rack", "rack", canner, "fill"]);
    let n = (1 + dice.below(4) as i64) * 1000;
    let order = match dice.below(13) {
        0 => format!("tally station={at} product={product} amount={n}"),
        1 => format!("recount station={at} product={product} lot={lot} amount={n}"),
        2 => format!(
            "divert station={at} product={product} amount=1000 \
             to={{\"as\":\"route\",\"product\":\"{other}\",\"station\":\"rack\"}}"
        ),
        3 => format!(
            "divert station={at} product={product} amount=1000 \
             to={{\"as\":\"route\",\"product\":\"{other}\",\"station\":\"canner\"}}"
        ),
        4 => format!("divert station={at} product={product} amount=1000 to={{\"as\":\"fresh\"}}"),
        5 => format!("send-back station={at} product={product} amount=1000 to=fill reason=Again"),
        6 => format!("undo-tally station={at}"),
        7 => return there_and_back(kitchen, dice),
        8 => format!("confirm-jars product={product} acid=true sterile=true"),
        9 => "put-away station=rack".to_owned(),
        10 => "set-up station=rack".to_owned(),
        11 => format!("time-unknown ms={}", dice.pick(&[1, MINUTE_MS, HOUR_MS])),
        _ if dice.below(6) == 0 => "close-day".to_owned(),
        _ => format!(
            "split-lot lot={lot} new_lot=soft name=Soft amount=1000 \
             waiting_at={{\"product\":\"{product}\",\"station\":\"{at}\"}}"
        ),
    };
    give(kitchen, &order);
}

/// The altitude is set to another and back, where the day lets it.
fn there_and_back(kitchen: &mut Kitchen, dice: &mut Dice) {
    let kept = kitchen.state.altitude_ft.unwrap_or_default();
    let other = dice.pick(&[0, 7000]);
    if give(kitchen, &format!("change-day altitude_ft={other}")) {
        give(kitchen, &format!("change-day altitude_ft={kept}"));
    }
}
