//! The real analysis: the pace people have shown, and what is to come at that pace.

use super::analysis::{Analyses, Analysis, Known};
use super::earlier_days::earlier_days;
use crate::day::State;
use crate::day::ids::DayId;
use crate::journal::Journal;
use crate::outlook::{Memory, Outlook, Settings, outlook};
use crate::pace::{Learned, Pace};

/// Looks ahead by [`crate::pace`] and [`crate::outlook`].
#[derive(Debug, Clone, Copy, Default)]
pub struct Ahead {
    /// How much is simulated.
    pub settings: Settings,
}

impl Analyses for Ahead {
    fn begin(&self, day: &DayId, state: &State, journal: &dyn Journal) -> Box<dyn Analysis> {
        Box::new(AheadOfDay {
            learned: learned(day, state, journal),
            memory: Memory::default(),
            settings: self.settings,
        })
    }
}

/// What earlier days teach about these people. Without it the trade's figures have to do.
pub(super) fn learned(day: &DayId, state: &State, journal: &dyn Journal) -> Learned {
    let days = earlier_days(journal, day, state).unwrap_or_else(|trouble| {
        tracing::warn!(%day, %trouble, "nothing is learned from earlier days");
        Vec::new()
    });
    days.iter()
        .fold(Learned::default(), |older, (records, at)| {
            Pace::of(records, &older, *at).learned()
        })
}

struct AheadOfDay {
    learned: Learned,
    memory: Memory,
    settings: Settings,
}

impl Analysis for AheadOfDay {
    fn outlook(&mut self, known: &Known<'_>) -> Outlook {
        let pace = Pace::of(known.records, &self.learned, known.now);
        let (made, memory) = outlook(known.state, &pace, known.now, &self.memory, &self.settings);
        self.memory = memory;
        made
    }
}
