//! What comes next for a load, at its first permitted millisecond, later or too soon.

use super::play::{Dice, give};
use crate::kitchen::Kitchen;
use putby::day::state::{Load, LoadPhase};
use putby::day::time::{MINUTE_MS, Timestamp};
use serde_json::{Value, json};

/// Brings a load on that is not at its end.
pub fn next(kitchen: &mut Kitchen, dice: &mut Dice, sooner: i64) {
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
        LoadPhase::Heating => match load.lost.last() {
            // As if the boil that was lost had counted.
            Some((began, _)) if dice.below(3) == 0 => {
                let due = began.plus_minutes(load.process.tested.minutes);
                (Some(due), format!("heat-off load={id}"))
            }
            Some(_) | None => (None, format!("rolling-boil load={id}")),
        },
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
