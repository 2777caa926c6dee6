//! Jars, lids, acid, syrup and bags for what is proposed.

use super::ask::{Ask, Package, Stock};
use super::programme::all_of;
use super::proposal::{Added, LidsTold, Line, StockTold};
use crate::day::amount::Amount;
use std::collections::BTreeMap;

/// Light syrup for a canner load, in thousandths of a cup: water and sugar for 7 quarts, and for 9
/// pints (USDA Complete Guide to Home Canning, Guide 2, table "Preparing and using syrups": 9 and
/// 2 1/4 cups, 5 3/4 and 1 1/2 cups). Sugar is for taste; it keeps nothing safe.
const FOR_7_QUARTS: [i64; 2] = [9000, 2250];
const FOR_9_PINTS: [i64; 2] = [5750, 1500];

/// Packages by size.
pub fn packages(ask: &Ask, lines: &[Line]) -> BTreeMap<String, StockTold> {
    let told = ask.packages.iter().map(|(id, package)| {
        let needed = count(lines, |line| line.package == *id);
        let (have, buy, short) = to_get(needed, package.stock);
        let told = StockTold {
            needed,
            have,
            buy,
            short,
        };
        (id.clone(), told)
    });
    told.collect()
}

/// A lid for each jar, and a tenth more, rounded up.
pub fn lids(ask: &Ask, lines: &[Line]) -> LidsTold {
    let for_jars = count(lines, |line| line.process.is_some());
    let spare = (for_jars + 9) / 10;
    let (have, buy, short) = to_get(for_jars + spare, ask.lids);
    LidsTold {
        for_jars,
        spare,
        have,
        buy,
        short,
    }
}

fn count(lines: &[Line], of: impl Fn(&Line) -> bool) -> i64 {
    let found = lines.iter().filter(|line| of(line));
    found.map(|line| line.packages).sum()
}

fn to_get(needed: i64, stock: Stock) -> (i64, i64, i64) {
    let have = stock.have.0 / 1000;
    let short = (needed - all_of(stock)).max(0);
    (have, (needed - have).max(0) - short, short)
}

/// What is added to the jars.
pub fn added(lines: &[Line], packages: &BTreeMap<String, Package>) -> Vec<Added> {
    let mut lemon: BTreeMap<&str, (i64, &str)> = BTreeMap::new();
    let mut found = Vec::new();
    let (mut quarts, mut pints) = (0, 0);
    for line in lines.iter().filter(|line| line.packages > 0) {
        let Some(process) = &line.process else {
            continue;
        };
        match &process.acid {
            Some(words) => match tablespoons(words) {
                Some(each) => {
                    let sum = lemon.entry(&process.food).or_insert((0, words));
                    sum.0 += each * line.packages;
                }
                None => found.push(Added::AsTheRecipeSays {
                    food: process.food.clone(),
                    each: words.clone(),
                }),
            },
            None if is_covered(&process.food) => {
                let holds = packages[&line.package].container.holds().0;
                // A half-pint is half of a pint, a half-gallon two quarts.
                let of = if holds < 1000 {
                    &mut pints
                } else {
                    &mut quarts
                };
                *of += holds * line.packages;
            }
            None => {}
        }
    }
    let lemon = lemon
        .into_iter()
        .map(|(food, (tbsp, each))| Added::LemonJuice {
            food: food.to_owned(),
            tbsp,
            each: each.to_owned(),
        });
    found.extend(lemon);
    if quarts + pints > 0 {
        let cups = |which: usize| {
            let by_quarts = quarts * FOR_7_QUARTS[which] * 9;
            let by_pints = pints * 2 * FOR_9_PINTS[which] * 7;
            Amount((by_quarts + by_pints + 62_999).div_euclid(63_000))
        };
        found.push(Added::Cover {
            water_cups: cups(0),
            sugar_cups: cups(1),
        });
    }
    found
}

/// Tablespoons of bottled lemon juice for each jar, as the table's own words begin.
fn tablespoons(words: &str) -> Option<i64> {
    let (number, rest) = words.split_once(' ')?;
    let is_lemon = rest.starts_with("tbsp bottled lemon juice");
    number.parse().ok().filter(|_| is_lemon)
}

/// Fruit in pieces is covered with syrup, juice or water; what is cooked to a sauce is not.
fn is_covered(food: &str) -> bool {
    matches!(
        food,
        "apple slices" | "berries" | "cherries" | "peaches" | "pears" | "plums"
    )
}
