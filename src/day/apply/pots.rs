//! What events about pots change.

use super::flow::{draw_supplies, flow_mut, pass_on};
use crate::day::event::{Event, Portion};
use crate::day::ids::{PotId, ProductId, StationId};
use crate::day::plan::Thickness;
use crate::day::state::{Batch, Cooking, PotState, State};
use crate::day::time::Timestamp;

pub(super) fn apply(state: &mut State, at: Timestamp, event: &Event) {
    match event {
        Event::PotFilled {
            station,
            pot,
            product,
            portions,
        } => fill(state, at, (station, pot), product, portions),
        Event::PotEmptied { station, pot } => empty(state, station, pot),
        Event::PotStarted {
            station,
            pot,
            minder,
            backup,
        } => {
            if let Some(batch) = batch_mut(state, station, pot) {
                batch.cooking = Some(Cooking {
                    started_at: at,
                    stirred_at: at,
                    thickness: Thickness::Thin,
                    minder: minder.clone(),
                    backup: backup.clone(),
                });
            }
        }
        Event::PotStirred {
            station,
            pot,
            thickness,
            ..
        } => {
            if let Some(cooking) = cooking_mut(state, station, pot) {
                cooking.stirred_at = at;
                cooking.thickness = *thickness;
            }
        }
        Event::PotHandedOver {
            station,
            pot,
            minder,
            backup,
        } => {
            if let Some(cooking) = cooking_mut(state, station, pot) {
                cooking.minder.clone_from(minder);
                cooking.backup.clone_from(backup);
            }
        }
        Event::BackupNamed {
            station,
            pot,
            helper,
        } => {
            if let Some(cooking) = cooking_mut(state, station, pot) {
                cooking.backup = Some(helper.clone());
            }
        }
        Event::PotFinished {
            station,
            pot,
            product,
            parts,
            onward,
            trims_lb,
            drawn,
            ..
        } => {
            for part in parts {
                flow_mut(state, station, product, &part.lot).book(part, true);
            }
            pass_on(state, at, station, product, parts, onward);
            draw_supplies(state, drawn);
            state.scraps_lb += *trims_lb;
            if let Some(pot) = pot_mut(state, station, pot) {
                pot.batch = None;
                pot.dirty = true;
            }
            if let Some(station) = state.stations.get_mut(station) {
                station.tallied_at = Some(at);
            }
        }
        Event::PotScrapped {
            station,
            pot,
            product,
            portions,
            ..
        } => scrap(state, (station, pot), product, portions),
        other => unreachable!("{other:?} is not about pots"),
    }
}

fn pot_mut<'a>(state: &'a mut State, station: &StationId, pot: &PotId) -> Option<&'a mut PotState> {
    state.stations.get_mut(station)?.pots.get_mut(pot)
}

fn batch_mut<'a>(state: &'a mut State, station: &StationId, pot: &PotId) -> Option<&'a mut Batch> {
    pot_mut(state, station, pot)?.batch.as_mut()
}

fn cooking_mut<'a>(
    state: &'a mut State,
    station: &StationId,
    pot: &PotId,
) -> Option<&'a mut Cooking> {
    batch_mut(state, station, pot)?.cooking.as_mut()
}

fn fill(
    state: &mut State,
    at: Timestamp,
    (station, pot): (&StationId, &PotId),
    product: &ProductId,
    portions: &[Portion],
) {
    for portion in portions {
        let flow = flow_mut(state, station, product, &portion.lot);
        flow.remove(&portion.layers);
        flow.inside += portion.amount();
    }
    let Some(pot) = pot_mut(state, station, pot) else {
        return;
    };
    let batch = pot.batch.get_or_insert_with(|| Batch {
        product: product.clone(),
        portions: Vec::new(),
        filled_at: at,
        cooking: None,
    });
    for portion in portions {
        match batch.portions.iter_mut().find(|p| p.lot == portion.lot) {
            Some(same) => {
                same.layers.extend(portion.layers.iter().copied());
                same.layers.sort();
            }
            None => batch.portions.push(portion.clone()),
        }
    }
}

fn empty(state: &mut State, station: &StationId, pot: &PotId) {
    let Some(batch) = pot_mut(state, station, pot).and_then(|pot| pot.batch.take()) else {
        return;
    };
    for portion in &batch.portions {
        let flow = flow_mut(state, station, &batch.product, &portion.lot);
        flow.inside -= portion.amount();
        for layer in &portion.layers {
            flow.put(*layer);
        }
    }
}

fn scrap(
    state: &mut State,
    (station, pot): (&StationId, &PotId),
    product: &ProductId,
    portions: &[Portion],
) {
    if let Some(found) = pot_mut(state, station, pot) {
        found.dirty = true;
        found.batch = None;
    }
    let measure = state.step(product, station).map(|step| step.measure);
    for portion in portions {
        let flow = flow_mut(state, station, product, &portion.lot);
        flow.inside -= portion.amount();
        flow.scrapped += portion.amount();
        if let Some(measure) = measure {
            state.scraps_lb += crate::day::command::scrap_lb(measure, portion.amount());
        }
    }
}
