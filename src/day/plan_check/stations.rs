//! Whether a station makes sense by itself: its seats, shared things, pots, canners.

use super::{amount, bad, number, text};
use crate::day::ids::*;
use crate::day::plan::*;
use crate::day::refusal::Refusal;
use crate::day::state::State;
use std::collections::BTreeMap;

/// Most seats of a station.
const SEATS_MAX: u32 = 30;

pub(super) fn check_station(state: &State, plan: &Station) -> Result<(), Refusal> {
    let name = &plan.name;
    text("a station", name)?;
    number(plan.seats, SEATS_MAX, &format!("The seats of {name}"))?;
    for (resource, count) in &plan.occupies {
        let Some(found) = state.resources.get(resource) else {
            return Err(bad(
                format!("{name} needs {resource}, which is not there."),
                "Add the shared thing first.",
            ));
        };
        if *count == 0 || *count > found.count {
            return Err(bad(
                format!(
                    "{name} needs {count} of {}, of {}.",
                    found.name, found.count
                ),
                "Say at least 1 and no more than there are.",
            ));
        }
    }
    match &plan.nature {
        Nature::Hand {} => Ok(()),
        Nature::Hold { capacity } => match capacity {
            Some(capacity) => amount(*capacity, &format!("The room at {name}")),
            None => Ok(()),
        },
        Nature::Canner { canners, .. } => check_canners(name, canners),
        Nature::Vessel { pots, stir } => check_pots(name, pots, stir.as_ref()),
    }
}

fn check_canners(name: &str, canners: &BTreeMap<CannerId, Canner>) -> Result<(), Refusal> {
    if canners.is_empty() || canners.len() > 6 {
        return Err(bad(
            format!("{name} has {} canners.", canners.len()),
            "Give it 1 to 6 canners.",
        ));
    }
    for Canner { name, holds } in canners.values() {
        text("a canner", name)?;
        let empty = holds.is_empty();
        if empty || holds.len() > 8 || holds.values().any(|n| *n == 0 || *n > 100) {
            return Err(bad(
                format!("{name} does not say how many jars it takes."),
                "Say for each jar size how many one load takes, 1 to 100.",
            ));
        }
    }
    Ok(())
}

fn check_pots(
    name: &str,
    pots: &BTreeMap<PotId, Pot>,
    stir: Option<&Stirring>,
) -> Result<(), Refusal> {
    if pots.is_empty() || pots.len() > 12 {
        return Err(bad(
            format!("{name} has {} pots.", pots.len()),
            "Give it 1 to 12 pots.",
        ));
    }
    for pot in pots.values() {
        text("a pot", &pot.name)?;
        for takes in pot.takes.values() {
            amount(*takes, &format!("What {} takes", pot.name))?;
        }
    }
    let Some(stir) = stir else { return Ok(()) };
    let falls = stir.thin_min >= stir.half_min && stir.half_min >= stir.thick_min;
    if stir.thick_min == 0 || stir.thin_min > 240 || !falls {
        return Err(bad(
            format!("The stirring of {name} does not get more often as it thickens."),
            "Say 1 to 240 minutes: the longest while thin, the shortest when thick.",
        ));
    }
    Ok(())
}
