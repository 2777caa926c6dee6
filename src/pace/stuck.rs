//! Which stations cannot go on though work waits, as the board had it at a moment.
//!
//! For looking back; nothing is reckoned of late taps here, as [`super::Pace`] does.

use super::layout::{Layout, changes_plan};
use super::sight::{Early, Loads, look};
use crate::day::event::Event;
use crate::day::ids::StationId;
use crate::day::state::State;

/// The ways out of every station, kept while the plan stays the same.
#[derive(Debug, Clone, Default)]
pub struct WaysOut {
    layout: Layout,
    early: Early,
    loads: Loads,
}

impl WaysOut {
    /// Takes an event that was applied to `state`.
    pub fn take(&mut self, state: &State, event: &Event) {
        if changes_plan(event) {
            self.layout = Layout::of(state);
        }
        if let Event::LoadBuilt { load, station, .. } = event {
            let loads = self.loads.entry(station.clone()).or_default();
            loads.insert(load.clone());
        } else if let Event::LoadCancelled { load } | Event::LoadLifted { load, .. } = event {
            for loads in self.loads.values_mut() {
                loads.remove(load);
            }
        }
    }

    /// Whether nothing that waits at a station can go on: no room behind, a supply is out, or enough
    /// filled jars wait for the canners; at a canner, whether every load waits for room on the rack.
    pub fn is_blocked(&self, state: &State, station: &StationId) -> bool {
        let Some(stops) = self.layout.stations.get(station) else {
            return false;
        };
        let sight = look(
            state,
            &self.early,
            &self.loads,
            &self.layout,
            (station, stops),
        );
        (sight.blocked && sight.pieces == 0.0) || (sight.loaded && sight.rack_full)
    }
}
