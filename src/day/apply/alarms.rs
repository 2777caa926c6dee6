//! What a taken alarm changes.

use crate::day::ids::HelperId;
use crate::day::state::{State, TakenAlarm};
use crate::day::time::Timestamp;
use std::collections::BTreeSet;

/// What no longer runs is forgotten, so that the list stays short.
pub(super) fn take(state: &mut State, at: Timestamp, alarm: &str, helper: &HelperId) {
    let running: BTreeSet<String> = state.alarms().map(|alarm| alarm.key()).collect();
    state.alarms_taken.retain(|key, _| running.contains(key));
    let helper = helper.clone();
    let taken = TakenAlarm { helper, at };
    state.alarms_taken.insert(alarm.to_owned(), taken);
}
