//! The walk through the events: applies each, and notes what the state alone does not keep: the
//! order in which loads came out and bags were made, who worked on what, what fed what.

use super::code::{BatchCode, LotCode};
use super::figures::{PackageLot, Traced};
use super::loads;
use super::origin::Origin;
use super::runs::Runs;
use crate::day::event::Event;
use crate::day::ids::{LoadId, ProductId};
use crate::day::state::{Phase, State};
use crate::day::{Record, apply};
use std::collections::BTreeMap;

/// What gets letters of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Batch {
    /// A canner load.
    Load(LoadId),
    /// Bags, tubs or jars of one product that went to the cold without a canner.
    Run(ProductId),
}

/// The day as far as it was replayed, event by event: no more of a long day is held than it needs.
#[derive(Default)]
pub struct Walk {
    state: State,
    /// In the order they were first finished, which is that of their letters.
    batches: Vec<Batch>,
    runs: Runs,
    origin: Origin,
}

impl Walk {
    /// Takes the next event.
    pub fn take(&mut self, record: &Record) {
        let event = &record.event;
        self.origin.take(&self.state, record);
        apply(&mut self.state, record.at, record.command, event);
        if let Event::LoadLifted { load, .. } = event {
            self.begin(Batch::Load(load.clone()));
        }
        if let Some(product) = self.runs.take(&self.state, record) {
            self.begin(Batch::Run(product));
        }
    }

    fn begin(&mut self, batch: Batch) {
        if !self.batches.contains(&batch) {
            self.batches.push(batch);
        }
    }

    /// The day as it stands.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Where its packages come from.
    pub fn told(self) -> Traced {
        if self.state.phase == Phase::None {
            return Traced::default();
        }
        let mut lots = BTreeMap::new();
        let mut lifted = 0;
        for (order, batch) in self.batches.iter().enumerate() {
            let code = BatchCode::new(&self.state.date, order);
            let told = match batch {
                Batch::Load(id) => {
                    lifted += 1;
                    loads::told(&self.state, &self.origin, id, lifted, &code)
                }
                Batch::Run(product) => self.runs.told(&self.state, &self.origin, product, &code),
            };
            lots.extend(numbered(&code, told));
        }
        Traced {
            name: self.state.name,
            date: self.state.date,
            phase: self.state.phase,
            opened_at: self.state.opened_at,
            lots,
        }
    }
}

fn numbered(
    code: &BatchCode,
    told: Vec<PackageLot>,
) -> impl Iterator<Item = (LotCode, PackageLot)> {
    let lines = (1..).map(|line| code.line(line));
    lines.zip(told).collect::<Vec<_>>().into_iter()
}
