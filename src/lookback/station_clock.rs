//! What a station did with its time: busy, starved, blocked, unstaffed, paused or put away.
//!
//! A clock that is moved on at each change. Invariant: the six sums are the time since the day was
//! opened, to the millisecond; the two further figures are parts of starved and busy time.

use crate::day::plan::Nature;
use crate::day::state::StationState;
use crate::day::time::Timestamp;

/// What a station is doing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Doing {
    /// Work goes on. `all_taken` when more waits and every pot or canner is in use.
    Busy { all_taken: bool },
    /// Ready, and nothing waits.
    Starved,
    /// Somebody is there, work waits, and it can go nowhere.
    Blocked,
    /// Work waits, and nobody sees to it.
    Unstaffed,
    /// The same while those who sat there rest.
    Paused,
    /// Not there.
    #[default]
    PutAway,
}

/// What the ledgers and loads say of a station, beyond its own state.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Around {
    /// Whether anything waits.
    pub(super) waits: bool,
    /// How many loads are in its canners.
    pub(super) loads: usize,
    /// Whether such a load is on the heat.
    pub(super) on_heat: bool,
    /// Whether what waits, or a load that is over, can go nowhere.
    pub(super) blocked: bool,
    /// Whether somebody left the seat here to rest, and rests still.
    pub(super) rests: bool,
}

/// What a station is doing now.
pub(super) fn doing(station: &StationState, around: Around) -> Doing {
    if !station.set_up || station.retired {
        return Doing::PutAway;
    }
    let batches = || station.pots.values().filter_map(|pot| pot.batch.as_ref());
    let (active, waits, places_taken) = match &station.plan.nature {
        Nature::Hand {} => {
            let seated = !station.seats.is_empty();
            if seated && around.waits && around.blocked {
                return Doing::Blocked;
            }
            (around.waits && seated, around.waits, false)
        }
        Nature::Vessel { pots, .. } => (
            batches().any(|batch| batch.cooking.is_some()),
            around.waits || batches().next().is_some(),
            batches().count() >= pots.len(),
        ),
        Nature::Canner { canners, .. } => {
            if !around.on_heat && around.loads > 0 && around.blocked {
                return Doing::Blocked;
            }
            let waits = around.waits || around.loads > 0;
            (around.on_heat, waits, around.loads >= canners.len())
        }
        Nature::Hold { .. } => (around.waits, around.waits, false),
    };
    match (active, waits) {
        (true, _) => Doing::Busy {
            all_taken: around.waits && places_taken,
        },
        (false, true) if around.rests && around.waits => Doing::Paused,
        (false, true) => Doing::Unstaffed,
        (false, false) => Doing::Starved,
    }
}

/// The sums, in milliseconds.
#[derive(Debug, Clone, Default)]
pub(super) struct StationClock {
    pub(super) busy_ms: i64,
    pub(super) starved_ms: i64,
    pub(super) blocked_ms: i64,
    pub(super) unstaffed_ms: i64,
    pub(super) paused_ms: i64,
    pub(super) put_away_ms: i64,
    /// Starved time between its first and its last work: only that could have been work.
    pub(super) starved_between_ms: i64,
    /// Busy time in which more waited and every pot or canner was in use.
    pub(super) all_taken_ms: i64,
    /// Starved time since it last worked, if it ever did.
    starved_since_ms: Option<i64>,
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
            Doing::Busy { all_taken } => {
                self.busy_ms += passed;
                self.starved_between_ms += self.starved_since_ms.unwrap_or(0);
                self.starved_since_ms = Some(0);
                if all_taken {
                    self.all_taken_ms += passed;
                }
            }
            Doing::Starved => {
                self.starved_ms += passed;
                if let Some(starved) = &mut self.starved_since_ms {
                    *starved += passed;
                }
            }
            Doing::Blocked => self.blocked_ms += passed,
            Doing::Unstaffed => self.unstaffed_ms += passed,
            Doing::Paused => self.paused_ms += passed,
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
