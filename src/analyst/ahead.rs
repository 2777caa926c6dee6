//! The real analysis: the pace people have shown, and what is to come at that pace.

use super::analysis::{Analyses, Analysis, Known};
use super::lessons::learned;
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

struct AheadOfDay {
    learned: Learned,
    memory: Memory,
    settings: Settings,
}

impl Analysis for AheadOfDay {
    fn learn(&mut self, day: &DayId, state: &State, journal: &dyn Journal) {
        self.learned = learned(day, state, journal);
    }

    fn outlook(&mut self, known: &Known<'_>) -> Outlook {
        let pace = Pace::of(known.records, &self.learned, known.now);
        let (made, memory) = outlook(known.state, &pace, known.now, &self.memory, &self.settings);
        self.memory = memory;
        made
    }
}
