//! Orders that are out of place, and other ways by which jars might come to the shelf.

use super::play::{Dice, PRODUCTS, give};
use crate::kitchen::{Kitchen, seals};
use putby::day::time::{HOUR_MS, MINUTE_MS};
use serde_json::json;

/// Some order about some load, whether or not its time has come.
pub fn out_of_place(kitchen: &mut Kitchen, dice: &mut Dice) {
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
        0 => format!("heat-load load={load}"),
        1 | 2 => format!("rolling-boil load={load}"),
        3 => format!("vent load={load}"),
        4 => format!("boil-lost load={load}"),
        5 | 6 => format!("heat-off load={load}"),
        7 => format!("pressure-zero load={load}"),
        8 | 9 => format!("lift-load load={load}"),
        10 => format!("cancel-load load={load}"),
        11 | 12 => format!("heat-off load={load} end_early=true"),
        13 => {
            let fate = dice.pick(&["refrigerate", "freeze", "reprocess"]);
            format!("lift-load load={load} fate={fate}")
        }
        14 => {
            let jars = json!([{"product": product, "jars": count}]);
            format!("change-load load={load} mixed=true jars={jars}")
        }
        _ => seals(load, product, &[("sealed", u32::try_from(count).unwrap())]),
    };
    give(kitchen, &order);
}

/// Other ways that jars might come to the shelf.
pub fn stray(kitchen: &mut Kitchen, dice: &mut Dice) {
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
