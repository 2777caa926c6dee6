//! The next box: open it, or open no more.

use crate::day::ids::{LotId, StationId};
use crate::day::state::State;
use crate::day::time::Timestamp;
use crate::day::{Command, Moment, Role, decide};
use crate::outlook::depth::{depth_min, dry_in_min};
use crate::outlook::model::{Model, Unopened};
use crate::outlook::report::{LastBox, Win};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// A box is opened when the work before it lasts less minutes than this (common practice, no
/// source): it takes about so long to fetch, weigh and tip it out.
const OPENS_BEFORE_DRY_MIN: f64 = 10.0;

/// One win for each lot with closed boxes that are meant for today, at most, and one box for each
/// station with hands: which product is next is for the plan to say. `last_box` says of each
/// lot whether one more is still done by the cut-off.
pub(super) fn wins(
    state: &State,
    model: &Model,
    last_box: &BTreeMap<LotId, LastBox>,
    now: Timestamp,
) -> Vec<Win> {
    let (depth, dry) = (depth_min(model, state), dry_in_min(model));
    let mut told: BTreeSet<&LotId> = BTreeSet::new();
    let mut fed: BTreeSet<&StationId> = BTreeSet::new();
    let mut wins = Vec::new();
    for closed in &model.boxes {
        let too_late = last_box
            .get(&closed.lot)
            .is_some_and(|last| last.open_by.is_none());
        let station = model.network.stops[closed.stop].station;
        // Where nothing waits the station is dry now; where it never runs dry a box can wait.
        let id = &model.stations[station];
        let seats = state.stations.get(id).map(|found| &found.seats);
        if !too_late && seats.is_none_or(|seats| seats.is_empty()) {
            continue;
        }
        let dry_in_min = if depth[station] > 0.0 {
            dry[station]
        } else {
            Some(0.0)
        };
        let is_due = dry_in_min.filter(|minutes| *minutes <= OPENS_BEFORE_DRY_MIN);
        let win = match is_due {
            _ if too_late => Some(Win::StopBoxes {
                lot: closed.lot.clone(),
            }),
            Some(dry_in_min) if !fed.contains(id) && may_open(state, closed, now) => {
                Some(Win::OpenBox {
                    lot: closed.lot.clone(),
                    product: closed.product.clone(),
                    dry_in_min,
                })
            }
            Some(_) | None => None,
        };
        if win.is_some() && told.insert(&closed.lot) {
            if let Some(Win::OpenBox { .. }) = &win {
                fed.insert(id);
            }
            wins.extend(win);
        }
    }
    wins
}

fn may_open(state: &State, closed: &Unopened, now: Timestamp) -> bool {
    let command = Command::OpenBox {
        lot: closed.lot.clone(),
        product: closed.product.clone(),
        amount: None,
    };
    let moment = Moment {
        now,
        command: Uuid::nil(),
        role: Role::Lead,
    };
    decide(state, &command, &moment).is_ok()
}
