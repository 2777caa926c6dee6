//! How long canners, pots and breaks really take, noted as they end.
//!
//! Never the process itself: its time is a tested one.

use super::lessons::Scorch;
use super::minutes::Sample;
use crate::day::event::Event;
use crate::day::ids::{LoadId, StationId};
use crate::day::state::{Presence, State};
use crate::day::time::{MINUTE_MS, Timestamp};
use std::collections::BTreeMap;

/// Today's samples.
#[derive(Debug, Clone, Default)]
pub(super) struct Heat {
    /// Loading, heating, after.
    pub(super) canners: BTreeMap<StationId, [Sample; 3]>,
    /// Against what is expected: see [`pot_expected_min`].
    pub(super) pots: BTreeMap<StationId, Sample>,
    pub(super) rests: Sample,
    /// Pots that were thrown away.
    pub(super) scorches: Vec<Scorch>,
}

/// What is forgotten for longer than so many times its expectation is no measure of anything.
const FORGOTTEN: f64 = 4.0;

/// Published cycle of a household canner: load 5 minutes, 20 to 30 to the boil, rest 5 and unload 5
/// (extension leaflets on canners and on the rest after the process).
pub(super) const PHASES_MIN: [f64; 3] = [5.0, 25.0, 10.0];

/// Their coefficients of variation, from memory; that of the heating spans the published 20 to 30
/// minutes.
pub(super) const PHASE_CVS: [f64; 3] = [0.4, 0.25, 0.3];

/// Which of the phases is the heating.
pub(super) const HEATING: usize = 1;

/// Minutes of a break before one was seen; common practice, no source.
pub(super) const REST_MIN: f64 = 12.0;

/// Minutes from a pot filled to the pot emptied before one was seen: by the recipe, and five to
/// notice and to empty it; an hour without a recipe. Common practice, no source.
pub(super) fn pot_expected_min(recipe: Option<u32>) -> f64 {
    recipe.map_or(60.0, |minutes| f64::from(minutes) + 5.0)
}

/// Minutes from one moment to another.
pub(super) fn minutes(from: Timestamp, to: Timestamp) -> f64 {
    to.ms_since(from).max(0) as f64 / MINUTE_MS as f64
}

impl Heat {
    /// Takes an event that is about to be applied to `state`.
    pub(super) fn take(&mut self, state: &State, now: Timestamp, event: &Event) {
        if let Event::LoadHeated { load } = event {
            let built = state.loads.get(load).map(|load| load.built_at);
            self.phase(state, load, 0, built, now);
        } else if let Event::BoilReached { load } = event {
            // A boil that was lost and found again tells nothing of a canner coming to heat.
            let first = state.loads.get(load).filter(|load| load.lost.is_empty());
            let heated = first.and_then(|load| load.heated_at);
            self.phase(state, load, 1, heated, now);
        } else if let Event::LoadLifted { load, .. } = event {
            let found = state.loads.get(load);
            let over = found.and_then(|load| load.done_at().filter(|_| !load.short));
            let over = over.or_else(|| found.and_then(|load| load.heat_off_at));
            self.phase(state, load, 2, over, now);
        } else if let Event::PotFinished {
            station,
            pot,
            product,
            ..
        } = event
        {
            let pots = state.stations.get(station).map(|found| &found.pots);
            let batch = pots.and_then(|pots| pots.get(pot)?.batch.as_ref());
            let recipe = state.step(product, station).and_then(|step| step.cook_min);
            if let Some(batch) = batch {
                let share = minutes(batch.filled_at, now) / pot_expected_min(recipe);
                if share < FORGOTTEN {
                    self.pots.entry(station.clone()).or_default().take(share);
                }
            }
        } else if let Event::PotScrapped {
            station,
            pot,
            product,
            reason,
            ..
        } = event
        {
            self.scorches.push(Scorch {
                station: station.clone(),
                pot: pot.clone(),
                product: product.clone(),
                at: now,
                reason: reason.clone(),
            });
        } else if let Event::BreakEnded { helper } = event {
            let helper = state.helpers.get(helper);
            let rests = helper.filter(|helper| helper.presence == Presence::Resting);
            if let Some(helper) = rests {
                let lasted = minutes(helper.since, now);
                if lasted < FORGOTTEN * REST_MIN {
                    self.rests.take(lasted);
                }
            }
        }
    }

    fn phase(
        &mut self,
        state: &State,
        load: &LoadId,
        phase: usize,
        from: Option<Timestamp>,
        now: Timestamp,
    ) {
        let station = state.loads.get(load).map(|load| load.station.clone());
        let (Some(station), Some(from)) = (station, from) else {
            return;
        };
        let lasted = minutes(from, now);
        if lasted < FORGOTTEN * PHASES_MIN[phase] {
            self.canners.entry(station).or_default()[phase].take(lasted);
        }
    }
}
