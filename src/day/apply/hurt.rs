//! What a call that someone is hurt changes; seats and pots have events of their own.

use crate::day::event::Event;
use crate::day::state::{Hurt, State};
use crate::day::time::Timestamp;

pub(super) fn apply(state: &mut State, at: Timestamp, event: &Event) {
    match event {
        Event::HurtReported {
            hurt,
            helper,
            station,
            kind,
            freed,
        } => {
            let found = state.hurts.entry(hurt.clone()).or_insert_with(|| Hurt {
                at,
                helper: None,
                station: None,
                kind: None,
                freed: None,
                tended_by: None,
                taken_back: false,
            });
            found.helper = helper.clone().or(found.helper.take());
            found.station = station.clone().or(found.station.take());
            found.kind = kind.or(found.kind);
            found.freed = freed.clone().or(found.freed.take());
        }
        Event::HurtTakenBack { hurt } => {
            if let Some(hurt) = state.hurts.get_mut(hurt) {
                hurt.taken_back = true;
            }
        }
        Event::HurtWasTended { hurt, helper } => {
            if let Some(hurt) = state.hurts.get_mut(hurt) {
                hurt.tended_by = Some(helper.clone());
            }
        }
        other => unreachable!("{other:?} is not about somebody hurt"),
    }
}
