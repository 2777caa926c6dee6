//! Plays random steps over the test kitchen: mostly what brings a load on next, at its first
//! permitted millisecond or later, and much that is too soon or out of place.

use super::astray::{out_of_place, stray};
use super::onward::next;
use crate::kitchen::{Kitchen, build, build_mixed, order_of};
use putby::day::Role;
use putby::day::time::{HOUR_MS, MINUTE_MS};
use serde_json::json;

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

/// Product, lot, station of its canner, thousandths of a pound a jar.
pub const PRODUCTS: [(&str, &str, &str, i64); 7] = [
    ("pear-quarts", "pears-a", "canner", 2500),
    ("beans", "beans-a", "press", 1000),
    ("pear-pints", "pears-b", "canner", 1250),
    ("sauce", "tomatoes-a", "canner", 2500),
    ("peach-pints", "peaches-a", "canner", 1000),
    ("butter", "apples-a", "canner", 1000),
    ("pear-press", "pears-a", "press", 1250),
];

/// Numbers out of one random one.
pub struct Dice(u64);

impl Dice {
    /// Nought to one less than `sides`.
    pub fn below(&mut self, sides: u64) -> u64 {
        let number = self.0 % sides;
        self.0 = self.0.rotate_right(7).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (self.0 >> 31);
        number
    }

    /// One of a list.
    pub fn pick<T: Copy>(&mut self, list: &[T]) -> T {
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

/// Gives an order by the lead; whether it was taken. The day's own check is not asked: the judge is
/// to find the fault.
pub fn give(kitchen: &mut Kitchen, order: &str) -> bool {
    kitchen.tries(Role::Lead, order_of(order)).is_ok()
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

/// One product, or two that share the load.
fn start(kitchen: &mut Kitchen, dice: &mut Dice, number: usize) {
    kitchen.wait_ms(dice.pick(&[1, MINUTE_MS]));
    let (one, other) = (dice.pick(&PRODUCTS), dice.pick(&PRODUCTS));
    let mut load = vec![(one.0, fill(kitchen, one, dice))];
    if one.0 != other.0 && one.2 == other.2 && dice.below(2) == 0 {
        load.push((other.0, fill(kitchen, other, dice)));
    }
    kitchen.wait_ms(1);
    if dice.below(8) > 0 {
        for (product, _) in &load {
            let confirm = format!("confirm-jars product={product} acid=true sterile=true");
            give(kitchen, &confirm);
        }
    }
    let canner = dice.pick(&["canner=a", "canner=b"]);
    let order = build_mixed(one.2, &format!("l{number}"), &load);
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
