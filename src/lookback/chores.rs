//! The chores of the day and who did them.

use super::figures::ChoreTold;
use crate::day::event::Event;
use crate::day::ids::{ChoreId, HelperId};
use crate::day::state::State;
use std::collections::BTreeMap;

/// Who finished which chore.
#[derive(Default)]
pub(super) struct Chores {
    finished: BTreeMap<ChoreId, HelperId>,
    counts: BTreeMap<HelperId, usize>,
}

impl Chores {
    /// Takes an event.
    pub(super) fn take(&mut self, event: &Event) {
        if let Event::ChoreFinished {
            chore,
            helper: Some(helper),
        } = event
        {
            self.finished.insert(chore.clone(), helper.clone());
            *self.counts.entry(helper.clone()).or_default() += 1;
        }
    }

    /// How many somebody finished.
    pub(super) fn finished_by(&self, helper: &HelperId) -> usize {
        self.counts.get(helper).copied().unwrap_or_default()
    }

    /// Tells of every chore.
    pub(super) fn told(&self, state: &State) -> BTreeMap<ChoreId, ChoreTold> {
        let chores = state.chores.iter().map(|(id, chore)| {
            let told = ChoreTold {
                text: chore.text.clone(),
                raised_at: chore.raised_at,
                finished_at: chore.finished_at,
                helper: self.finished.get(id).cloned(),
            };
            (id.clone(), told)
        });
        chores.collect()
    }
}
