//! The walk through the events: applies each, and lets every teller note what it needs.
//!
//! Not for the figures themselves; each teller keeps its own. Invariant: time only goes forward
//! here, whatever the wall clock did, and stops when the day is closed.

use super::chores::Chores;
use super::figures::LookBack;
use super::flow::Flows;
use super::hours::{Hours, Kept};
use super::moves::MoveTold;
use super::people::People;
use super::stations::Stations;
use super::touched::touched;
use super::waste::Wasted;
use super::{fruit, loads, made, moves, tries};
use crate::day::amount::Amount;
use crate::day::event::Event;
use crate::day::state::{Phase, State};
use crate::day::time::Timestamp;
use crate::day::{Record, apply};

/// The day as far as it was replayed.
#[derive(Default)]
pub(super) struct Replay {
    state: State,
    now: Timestamp,
    from: Option<Timestamp>,
    trimmings_lb: Amount,
    stations: Stations,
    people: People,
    wasted: Wasted,
    chores: Chores,
    flows: Flows,
    hours: Hours,
    moves: Vec<MoveTold>,
    /// What was kept when the day was closed.
    kept_at_close: Option<Kept>,
}

impl Replay {
    /// Takes the next event.
    pub(super) fn take(&mut self, record: &Record) {
        let event = &record.event;
        let was = self.state.phase;
        match was {
            Phase::None => self.now = record.at,
            Phase::Open => self.now = self.now.max(record.at),
            Phase::Closed => {}
        }
        let touched = touched(&self.state, event);
        if was == Phase::Open {
            self.hours.pass(self.now, || made::kept(&self.state));
            if self.from.is_none() && is_work(event) {
                self.hours.begin(self.now, made::kept(&self.state));
            }
        }
        self.trimmings_lb += trimmings(&self.state, event);
        apply(&mut self.state, record.at, record.command, event);
        if was == Phase::Closed {
            // Seals are checked after the close; only the day's hours are over.
            self.wasted.take(&self.state, event);
            self.chores.take(event);
            return;
        }
        if was == Phase::None {
            self.stations.begin(self.now);
        }
        if self.from.is_none() && is_work(event) {
            self.from = Some(self.now);
        }
        if self.state.phase == Phase::Closed {
            self.kept_at_close = Some(made::kept(&self.state));
        }
        self.stations.take(&self.state, self.now, event, &touched);
        self.flows.take(&self.state, self.now, &touched);
        self.moves.extend(moves::told(&self.state, self.now, event));
        self.people.take(&self.stations, self.now, event);
        self.wasted.take(&self.state, event);
        self.chores.take(event);
    }

    /// Tells it all.
    pub(super) fn told(mut self) -> LookBack {
        if self.state.phase == Phase::None {
            return LookBack::default();
        }
        let to = self.now;
        self.stations.advance(to);
        let loads = loads::told(&self.state);
        let waste = self.wasted.told(&self.state);
        let made = made::told(&self.state, &waste, &loads);
        let kept = self
            .kept_at_close
            .unwrap_or_else(|| made::kept(&self.state));
        let mut back = LookBack {
            hours: self.hours.told(to, &kept),
            flows: self.flows.told(&self.state, to),
            fruit: fruit::told(&self.state, &made),
            moves: self.moves,
            tries: Vec::new(),
            name: self.state.name.clone(),
            date: self.state.date.clone(),
            opened_at: self.state.opened_at,
            open_ms: to.ms_since(self.state.opened_at),
            from: self.from,
            to,
            packages_per_hour: made::per_hour(&made, self.from, to),
            stations: self.stations.told(&self.state, &loads, to),
            helpers: self
                .people
                .told(&self.state, &self.stations, &self.chores, to),
            chores: self.chores.told(&self.state),
            rework: self.wasted.rework(),
            trimmings_lb: self.trimmings_lb,
            products: self
                .state
                .products
                .iter()
                .map(|(id, product)| (id.clone(), product.plan.name.clone()))
                .collect(),
            made,
            loads,
            waste,
        };
        back.tries = tries::told(&self.state, &back);
        back
    }
}

/// Work that moves fruit; sitting down is not yet work.
fn is_work(event: &Event) -> bool {
    matches!(
        event,
        Event::BoxOpened { .. }
            | Event::Tallied { .. }
            | Event::PotFilled { .. }
            | Event::PotStarted { .. }
            | Event::LoadBuilt { .. }
            | Event::LoadHeated { .. }
    )
}

/// The trimmings an event brings, or takes back.
fn trimmings(state: &State, event: &Event) -> Amount {
    if let Event::Tallied { trims_lb, .. } | Event::PotFinished { trims_lb, .. } = event {
        return *trims_lb;
    }
    let Event::TallyUndone { station, tally } = event else {
        return Amount::ZERO;
    };
    let tallies = state.stations.get(station).map(|found| &found.tallies);
    let undone = tallies.and_then(|list| list.iter().find(|t| t.command == *tally));
    undone.map_or(Amount::ZERO, |undone| Amount::ZERO - undone.trims_lb)
}
