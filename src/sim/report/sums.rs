//! The figures of each part of a network, added up over runs.

use super::tally::{Spread, Tally};
use super::{ClassReport, HelperReport, StationReport, StepReport, SystemReport};

/// The network as a whole.
#[derive(Debug, Clone, Default)]
pub(super) struct SystemTallies {
    pub(super) throughput: Tally,
    pub(super) present: Tally,
    pub(super) stay: Tally,
    pub(super) lost: Tally,
    pub(super) gap: Tally,
}

/// One class.
#[derive(Debug, Clone, Default)]
pub(super) struct ClassTallies {
    pub(super) throughput: Tally,
    pub(super) stay: Tally,
    pub(super) finishes: Vec<f64>,
    pub(super) made: Tally,
}

/// One station.
#[derive(Debug, Clone, Default)]
pub(super) struct StationTallies {
    pub(super) throughput: Tally,
    pub(super) waiting: Tally,
    pub(super) present: Tally,
    pub(super) wait: Tally,
    pub(super) stay: Tally,
    pub(super) delayed: Tally,
    pub(super) busy: Tally,
    pub(super) working: Tally,
    pub(super) blocked: Tally,
    pub(super) starved: Tally,
    pub(super) unstaffed: Tally,
    pub(super) empty: Tally,
    pub(super) lost: Tally,
    pub(super) batches: Tally,
    pub(super) batch_size: Tally,
    pub(super) chain: Tally,
    pub(super) sets_finish: Tally,
    pub(super) gap: Tally,
}

/// One step.
#[derive(Debug, Clone, Default)]
pub(super) struct StepTallies {
    pub(super) throughput: Tally,
    pub(super) wait: Tally,
    pub(super) stay: Tally,
    pub(super) lost: Tally,
}

/// One helper.
#[derive(Debug, Clone, Default)]
pub(super) struct HelperTallies {
    pub(super) working: Tally,
    pub(super) starved: Tally,
    pub(super) blocked: Tally,
    pub(super) away: Tally,
    pub(super) chain: Tally,
}

impl SystemTallies {
    pub(super) fn report(&self) -> SystemReport {
        SystemReport {
            throughput: self.throughput.estimate(),
            present: self.present.estimate(),
            time_in_system_min: self.stay.estimate(),
            lost: self.lost.estimate(),
            littles_gap: self.gap.estimate(),
        }
    }
}

impl ClassTallies {
    pub(super) fn report(self, name: String) -> ClassReport {
        ClassReport {
            name,
            throughput: self.throughput.estimate(),
            time_in_system_min: self.stay.estimate(),
            finish: Spread::of(self.finishes),
            made: self.made.estimate(),
        }
    }
}

impl StationTallies {
    pub(super) fn report(&self, name: String) -> StationReport {
        StationReport {
            name,
            throughput: self.throughput.estimate(),
            waiting: self.waiting.estimate(),
            present: self.present.estimate(),
            wait_min: self.wait.estimate(),
            stay_min: self.stay.estimate(),
            delayed: self.delayed.estimate(),
            busy: self.busy.estimate(),
            working: self.working.estimate(),
            blocked: self.blocked.estimate(),
            starved: self.starved.estimate(),
            unstaffed: self.unstaffed.estimate(),
            empty: self.empty.estimate(),
            lost: self.lost.estimate(),
            batches: self.batches.estimate(),
            batch_size: self.batch_size.estimate(),
            chain_min: self.chain.estimate(),
            sets_finish: self.sets_finish.estimate(),
            littles_gap: self.gap.estimate(),
        }
    }
}

impl StepTallies {
    pub(super) fn report(&self, name: String) -> StepReport {
        StepReport {
            name,
            throughput: self.throughput.estimate(),
            wait_min: self.wait.estimate(),
            stay_min: self.stay.estimate(),
            lost: self.lost.estimate(),
        }
    }
}

impl HelperTallies {
    pub(super) fn report(&self, name: String) -> HelperReport {
        HelperReport {
            name,
            working: self.working.estimate(),
            starved: self.starved.estimate(),
            blocked: self.blocked.estimate(),
            away: self.away.estimate(),
            chain_min: self.chain.estimate(),
        }
    }
}
