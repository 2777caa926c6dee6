//! The people's day: where they sat, how long they had nothing to do, when they rested.
//!
//! Told kindly: no speeds, no order, no comparison. Time without work counts as waiting, never
//! against anybody.

use super::chores::Chores;
use super::figures::HelperTold;
use super::stations::Stations;
use crate::day::event::Event;
use crate::day::ids::{HelperId, StationId};
use crate::day::state::State;
use crate::day::time::Timestamp;
use std::collections::BTreeMap;

/// Everybody so far.
#[derive(Default)]
pub(super) struct People {
    all: BTreeMap<HelperId, Seen>,
}

#[derive(Default, Clone)]
struct Seen {
    seat: Option<Seat>,
    resting_since: Option<Timestamp>,
    waited_ms: i64,
    rested_ms: i64,
    stations: BTreeMap<StationId, i64>,
}

#[derive(Clone)]
struct Seat {
    station: StationId,
    since: Timestamp,
    /// How long the station had been starved when the seat was taken.
    starved_ms: i64,
}

impl Seen {
    fn leave(&mut self, stations: &Stations, now: Timestamp) {
        if let Some(seat) = self.seat.take() {
            let starved_ms = stations.starved_ms(&seat.station);
            self.waited_ms += starved_ms - seat.starved_ms;
            *self.stations.entry(seat.station).or_default() += now.ms_since(seat.since);
        }
    }

    fn end_rest(&mut self, now: Timestamp) {
        if let Some(since) = self.resting_since.take() {
            self.rested_ms += now.ms_since(since);
        }
    }
}

impl People {
    /// Takes an event; the stations have taken it already.
    pub(super) fn take(&mut self, stations: &Stations, now: Timestamp, event: &Event) {
        if let Event::SeatTaken {
            helper, station, ..
        } = event
        {
            self.seen(helper).seat = Some(Seat {
                station: station.clone(),
                since: now,
                starved_ms: stations.starved_ms(station),
            });
        } else if let Event::SeatLeft { helper, .. } = event {
            self.seen(helper).leave(stations, now);
        } else if let Event::BreakBegan { helper } = event {
            self.seen(helper).resting_since = Some(now);
        } else if let Event::BreakEnded { helper } | Event::HelperWentHome { helper } = event {
            self.seen(helper).end_rest(now);
        }
    }

    fn seen(&mut self, helper: &HelperId) -> &mut Seen {
        self.all.entry(helper.clone()).or_default()
    }

    /// Tells of everybody on the list.
    pub(super) fn told(
        &self,
        state: &State,
        stations: &Stations,
        chores: &Chores,
        to: Timestamp,
    ) -> BTreeMap<HelperId, HelperTold> {
        let ids = state.helpers.keys();
        ids.map(|id| {
            let mut seen = self.all.get(id).cloned().unwrap_or_default();
            seen.leave(stations, to);
            seen.end_rest(to);
            let mut told = HelperTold {
                name: state.helper_name(id),
                seated_ms: seen.stations.values().sum(),
                waited_ms: seen.waited_ms,
                rested_ms: seen.rested_ms,
                stations: seen.stations,
                chores: chores.finished_by(id),
                told: String::new(),
            };
            told.told = sentence(state, &told);
            (id.clone(), told)
        })
        .collect()
    }
}

fn sentence(state: &State, helper: &HelperTold) -> String {
    let name = &helper.name;
    let mut parts: Vec<String> = helper
        .stations
        .iter()
        .map(|(station, ms)| format!("{} at {}", span(*ms), state.station_name(station)))
        .collect();
    match helper.chores {
        0 => {}
        1 => parts.push("one chore".to_owned()),
        chores => parts.push(format!("{chores} chores")),
    }
    if parts.is_empty() {
        return format!("{name} is on the list of the day.");
    }
    format!("{name} gave {}. Thank you.", parts.join(", "))
}

fn span(ms: i64) -> String {
    Timestamp(ms).words_since(Timestamp(0))
}
