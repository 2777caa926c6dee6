//! What a station did with its time: busy, starved, unstaffed or put away.
//!
//! A clock that is moved on at each change. Invariant: the four sums are the time since the day was
//! opened, to the millisecond.

use crate::day::plan::Nature;
use crate::day::state::StationState;
use crate::day::time::Timestamp;

/// What a station is doing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Doing {
    /// Work goes on.
    Busy,
    /// Ready, and nothing waits.
    Starved,
    /// Work waits, and nobody sees to it.
    Unstaffed,
    /// Not there.
    #[default]
    PutAway,
}

/// What the ledgers and loads say of a station, beyond its own state.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Around {
    /// Whether anything waits.
    pub(super) waits: bool,
    /// Whether a load is in one of its canners.
    pub(super) loaded: bool,
    /// Whether such a load is on the heat.
    pub(super) on_heat: bool,
}

/// What a station is doing now.
pub(super) fn doing(station: &StationState, around: Around) -> Doing {
    if !station.set_up || station.retired {
        return Doing::PutAway;
    }
    let batches = || station.pots.values().filter_map(|pot| pot.batch.as_ref());
    let (active, waits) = match station.plan.nature {
        Nature::Hand {} => (around.waits && !station.seats.is_empty(), around.waits),
        Nature::Vessel { .. } => (
            batches().any(|batch| batch.cooking.is_some()),
            around.waits || batches().next().is_some(),
        ),
        Nature::Canner { .. } => (around.on_heat, around.waits || around.loaded),
        Nature::Hold { .. } => (around.waits, around.waits),
    };
    match (active, waits) {
        (true, _) => Doing::Busy,
        (false, true) => Doing::Unstaffed,
        (false, false) => Doing::Starved,
    }
}

/// The sums, in milliseconds.
#[derive(Debug, Clone, Default)]
pub(super) struct StationClock {
    pub(super) busy_ms: i64,
    pub(super) starved_ms: i64,
    pub(super) unstaffed_ms: i64,
    pub(super) put_away_ms: i64,
    since: Timestamp,
    doing: Doing,
}

impl StationClock {
    /// A clock that begins, put away, at the opening of the day.
    pub(super) fn since(opened_at: Timestamp) -> StationClock {
        StationClock {
            since: opened_at,
            ..StationClock::default()
        }
    }

    /// Books the time up to `now`.
    pub(super) fn advance(&mut self, now: Timestamp) {
        let passed = now.ms_since(self.since);
        match self.doing {
            Doing::Busy => self.busy_ms += passed,
            Doing::Starved => self.starved_ms += passed,
            Doing::Unstaffed => self.unstaffed_ms += passed,
            Doing::PutAway => self.put_away_ms += passed,
        }
        self.since = now;
    }

    /// From `now` on the station does something else.
    pub(super) fn change(&mut self, now: Timestamp, doing: Doing) {
        self.advance(now);
        self.doing = doing;
    }
}
