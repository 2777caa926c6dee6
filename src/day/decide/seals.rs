//! The seal check: the only way of canned jars from the rack to the shelf.

use super::loads::in_phase;
use super::{Decision, find};
use crate::day::amount::Amount;
use crate::day::command::{CheckedJars, Command, Moment};
use crate::day::event::Event;
use crate::day::ids::*;
use crate::day::plan::Ending;
use crate::day::refusal::{Code, Refusal};
use crate::day::state::{Load, LoadPhase, Phase, State};
use crate::day::time::Timestamp;
use crate::trade::{self, Pack};
use std::collections::BTreeMap;

pub(super) fn decide(state: &State, command: &Command, moment: &Moment) -> Decision {
    let Command::CheckSeals { load, helper, jars } = command else {
        unreachable!("{command:?} is not a seal check");
    };
    let found = in_phase(state, load, &[LoadPhase::Lifted])?;
    find::whose_hands(moment, helper.as_ref())?;
    if let Some(helper) = helper {
        find::helper(state, helper)?;
    }
    if found.short {
        return Err(find::bad(
            "These jars did not have their whole time and were never on the rack.",
            "Nothing to check: they went where it was said when they were lifted.",
        ));
    }
    cooled(found, moment.now)?;
    let checked = with_lots(state, found, jars)?;
    for jars in &checked {
        may_reprocess(state, found, jars, moment.now)?;
    }
    Ok(vec![Event::SealsChecked {
        load: load.clone(),
        helper: helper.clone(),
        jars: checked,
    }])
}

/// Jars cool untouched for the published time before anybody presses a lid.
fn cooled(load: &Load, now: Timestamp) -> Result<(), Refusal> {
    let hours = trade::cooling_hours().value.low;
    let Some(lifted_at) = load.lifted_at else {
        return Ok(());
    };
    let from = lifted_at.plus_minutes(hours * 60);
    if now >= from {
        return Ok(());
    }
    let left = from.words_since(now);
    Err(Refusal::new(
        Code::TimeNotOver,
        format!("These jars must cool untouched for {hours} hours; {left} are left."),
        "Leave them on the rack and check the seals after that.",
    )
    .with("hours", hours)
    .with("left", left))
}

/// Each entry with its lot named, and no more than stands there.
fn with_lots(
    state: &State,
    load: &Load,
    jars: &[CheckedJars],
) -> Result<Vec<CheckedJars>, Refusal> {
    let mut left = load.unchecked();
    let mut named = Vec::new();
    for entry in jars {
        let lot = match &entry.lot {
            Some(lot) => lot.clone(),
            None => only_lot(state, &left, &entry.product)?,
        };
        let key = (&entry.product, &lot);
        let there = left.get(&key).copied().unwrap_or_default();
        let count = i64::try_from(entry.total())
            .map_or(Amount(i64::MAX), |n| Amount(n.saturating_mul(1000)));
        if count > there || count == Amount::ZERO {
            return Err(find::bad(
                format!(
                    "{count} jars of {} cannot be checked: {there} stand on the rack unchecked.",
                    state.product_name(&entry.product)
                ),
                "Count the jars of this load again.",
            ));
        }
        let known = left
            .iter()
            .find(|((of, from), _)| **of == entry.product && **from == lot);
        let key = known.map(|(key, _)| *key);
        if let Some(stands) = key.and_then(|key| left.get_mut(&key)) {
            *stands -= count;
        }
        named.push(CheckedJars {
            lot: Some(lot),
            ..entry.clone()
        });
    }
    if named.is_empty() {
        return Err(find::bad(
            "No jars were checked.",
            "Say how many of each sealed, and what becomes of the others.",
        ));
    }
    Ok(named)
}

fn only_lot(
    state: &State,
    left: &BTreeMap<(&ProductId, &LotId), Amount>,
    product: &ProductId,
) -> Result<LotId, Refusal> {
    let mut lots = left.keys().filter(|(of, _)| *of == product);
    match (lots.next(), lots.next()) {
        (Some((_, lot)), None) => Ok((*lot).clone()),
        (None, _) => Err(find::bad(
            format!(
                "No jars of {} stand unchecked.",
                state.product_name(product)
            ),
            "Look at the list of this load again.",
        )),
        (Some(_), Some(_)) => Err(find::bad(
            format!(
                "The load holds several lots of {}.",
                state.product_name(product)
            ),
            "Check them lot by lot.",
        )),
    }
}

/// A failed jar may be processed again only hot-packed, under a new lid, within the published time.
fn may_reprocess(
    state: &State,
    load: &Load,
    jars: &CheckedJars,
    now: Timestamp,
) -> Result<(), Refusal> {
    if jars.reprocessed == 0 {
        return Ok(());
    }
    let plan = &find::product(state, &jars.product)?.plan;
    let hours = trade::reprocess_hours().value;
    let until = load.lifted_at.map(|at| at.plus_minutes(hours * 60));
    let hot = matches!(
        plan.ends_in,
        Ending::Canned {
            pack: Pack::Hot,
            ..
        }
    );
    let why = if state.phase == Phase::Closed {
        "The day is closed, so no canner runs."
    } else if until.is_none_or(|until| now > until) {
        "The time for processing again is over."
    } else if !hot {
        "Only hot-packed jars can be heated again and processed."
    } else {
        return Ok(());
    };
    Err(Refusal::new(
        Code::TooLate,
        format!("{} cannot be processed again. {why}", plan.name),
        format!("Put them into the refrigerator and eat them within several days, or freeze them. Processing again is for {hours} hours only."),
    )
    .with("product", &plan.name)
    .with("hours", hours))
}
