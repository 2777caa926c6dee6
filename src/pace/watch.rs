//! The walk through a day: what everybody and every station did, minute by minute.
//!
//! Records and the moments between them that matter (a helper is ready at a new seat; work was there
//! before its late tap) are taken in the order of time. Between two of them nothing changes, so the
//! time is booked at once. Invariant: time only goes forward, and stops when the day is closed.

use super::credit::Tap;
use super::doing::Doing;
use super::early::{Goes, Piece, pieces};
use super::hands::{Hand, Hands};
use super::heat::{Heat, minutes};
use super::layout::{Layout, changes_plan, plain};
use super::learned::Learned;
use super::log::Key;
use super::prior::usual_rate;
use super::sight::{Early, Loads, Sight, doing, look};
use super::tape::Tape;
use super::yields::Yields;
use crate::day::event::{Event, Onward};
use crate::day::ids::{HelperId, ProductId, StationId};
use crate::day::plan::Nature;
use crate::day::state::{Phase, State};
use crate::day::time::Timestamp;
use crate::day::{Record, apply};
use std::collections::{BTreeMap, BTreeSet};

/// The day as far as it was walked.
#[derive(Debug, Clone, Default)]
pub(super) struct Watch {
    pub(super) state: State,
    pub(super) now: Timestamp,
    layout: Layout,
    early: Early,
    loads: Loads,
    pub(super) sights: BTreeMap<StationId, Sight>,
    ready: BTreeMap<StationId, Vec<HelperId>>,
    pub(super) hands: Hands,
    pub(super) heat: Heat,
    pub(super) yields: Yields,
    /// What is known of them at the end of the walk.
    known: Option<Yields>,
    pub(super) tape: Tape,
    ready_at: BTreeSet<Timestamp>,
}

impl Watch {
    /// Walks through the records up to `now`, and once more with what the day taught of its yields:
    /// what really waited in the morning is known only then.
    pub(super) fn of(records: &[Record], now: Timestamp) -> Watch {
        let pieces = pieces(records);
        let first = Watch::walk(records, &pieces, now, None);
        Watch::walk(records, &pieces, now, Some(first.yields))
    }

    fn walk(records: &[Record], pieces: &[Piece], now: Timestamp, known: Option<Yields>) -> Watch {
        let mut watch = Watch {
            known,
            ..Watch::default()
        };
        let mut coming = pieces.iter().peekable();
        let mut gone: BTreeMap<usize, Vec<&Piece>> = BTreeMap::new();
        for piece in pieces {
            gone.entry(piece.tapped).or_default().push(piece);
        }
        for (index, record) in records.iter().enumerate() {
            while let Some(piece) = coming.next_if(|piece| piece.at < record.at) {
                watch.advance(piece.at);
                watch.arrive(piece, 1.0);
                watch.look_around();
            }
            watch.advance(record.at);
            for piece in gone.remove(&index).into_iter().flatten() {
                watch.arrive(piece, -1.0);
            }
            watch.take(record);
        }
        watch.advance(now);
        watch
    }

    fn arrive(&mut self, piece: &Piece, sign: f64) {
        let amount = match &piece.goes {
            Goes::Work(station, product) => {
                let key = (station.clone(), product.clone());
                self.early.work.entry(key).or_default()
            }
            Goes::Supply(supply) => self.early.supplies.entry(supply.clone()).or_default(),
        };
        *amount += sign * piece.amount;
        if amount.abs() < 1e-9 {
            *amount = 0.0;
        }
        self.early.work.retain(|_, amount| *amount != 0.0);
        self.early.supplies.retain(|_, amount| *amount != 0.0);
    }

    /// Time passes up to `to`, as things stand.
    pub(super) fn advance(&mut self, to: Timestamp) {
        while let Some(at) = self.ready_at.first().copied().filter(|at| *at <= to) {
            self.ready_at.remove(&at);
            self.book(at);
            self.look_around();
        }
        self.book(to);
    }

    fn book(&mut self, to: Timestamp) {
        if self.state.phase != Phase::Open || to <= self.now {
            return;
        }
        let passed = minutes(self.now, to);
        for (station, ready) in &self.ready {
            let sight = self.sights.get(station).copied().unwrap_or_default();
            self.hands.pass(station, ready, sight.pieces, passed);
            if sight.braked {
                self.hands.brake(ready);
            }
        }
        self.now = to;
    }

    fn take(&mut self, record: &Record) {
        let event = &record.event;
        match self.state.phase {
            Phase::None => self.now = record.at,
            Phase::Open => self.advance(record.at),
            Phase::Closed => {}
        }
        self.heat.take(&self.state, self.now, event);
        let counted = match event {
            Event::Recounted {
                station, product, ..
            } => self.layout.stop(station, product).map(|stop| stop.holds),
            _ => None,
        };
        self.yields.take(event, counted);
        self.reckon(event);
        if self.state.phase != Phase::Closed {
            self.tapped(record);
        }
        apply(&mut self.state, record.at, record.command, event);
        if let Event::DayOpened { .. } = event {
            self.tape = Tape::since(self.now);
        }
        if changes_plan(event) {
            self.layout = Layout::of(&self.state);
        }
        if self.state.phase == Phase::Open {
            self.keep_loads(event);
            self.see_if_low(event);
            self.moved(event);
            self.look_around();
            self.work_gone(event);
        }
    }

    /// Keeps what is really there beside what the board says, before it takes an event in.
    fn reckon(&mut self, event: &Event) {
        if let Event::Recounted {
            station, product, ..
        } = event
        {
            let at = (station.clone(), product.clone());
            self.early.drift.counted(&at);
        } else if let Event::Tallied {
            station,
            product,
            parts,
            onward,
            ..
        } = event
        {
            let at = (station.clone(), product.clone());
            let taken: f64 = parts.iter().map(|part| plain(part.taken())).sum();
            let waited = super::sight::waiting(&self.state, station, product);
            self.early.drift.taken(&at, taken, waited);
            if let Onward::Step {
                product: next,
                station: to,
            } = onward
            {
                let promised: f64 = parts.iter().map(|part| plain(part.promised)).sum();
                let made: f64 = parts.iter().map(|part| plain(part.made)).sum();
                let yields = self.known.as_ref().unwrap_or(&self.yields);
                let factor = yields
                    .told(&self.state, (station, product), &Learned::default())
                    .median;
                // What was measured is what it is.
                if (made - promised).abs() <= 1e-3 * promised {
                    let to = (to.clone(), next.clone());
                    self.early.drift.came(&to, promised, factor);
                }
            }
        }
    }

    fn tapped(&mut self, record: &Record) {
        if let Event::Tallied {
            station,
            helper,
            product,
            parts,
            ..
        } = &record.event
        {
            let taken: f64 = parts.iter().map(|part| plain(part.taken())).sum();
            let stop = self.layout.stop(station, product);
            let (Some(stop), true) = (stop, is_by_hand(&self.state, station)) else {
                return;
            };
            let tap = Tap {
                command: record.command,
                station,
                product,
                carriers: taken / stop.holds,
            };
            let state = &self.state;
            let usual = |key: &Key| usual(state, key);
            self.hands.tap(self.now, &tap, helper.as_ref(), &usual);
        } else if let Event::TallyUndone { station, tally } = &record.event {
            self.hands.undo(station, *tally);
        }
    }

    fn moved(&mut self, event: &Event) {
        if let Event::SeatTaken {
            helper, station, ..
        } = event
        {
            if is_by_hand(&self.state, station) {
                let state = &self.state;
                let usual = |key: &Key| usual(state, key);
                let at = self.hands.sit(self.now, helper, station, &usual);
                self.ready_at.insert(at);
            }
        } else if let Event::SeatLeft { helper, station } = event
            && is_by_hand(&self.state, station)
        {
            self.hands.leave(helper);
        } else if let Event::ChoreTaken { helper, chore } = event {
            self.hands.begin_chore(helper, chore);
        } else if let Event::ChoreFinished { chore, .. } = event {
            self.hands.end_chore(chore);
        }
    }

    /// Nearly nothing waits where somebody has just taken some.
    fn see_if_low(&mut self, event: &Event) {
        let (Event::Tallied {
            station, product, ..
        }
        | Event::PotFilled {
            station, product, ..
        }) = event
        else {
            return;
        };
        let Some(stop) = self.layout.stop(station, product) else {
            return;
        };
        if super::sight::waiting(&self.state, station, product) < stop.holds {
            let at = (station.clone(), product.clone());
            self.yields.is_low(&at, stop.holds);
        }
    }

    fn keep_loads(&mut self, event: &Event) {
        if let Event::LoadBuilt { load, station, .. } = event {
            let loads = self.loads.entry(station.clone()).or_default();
            loads.insert(load.clone());
        } else if let Event::LoadCancelled { load } | Event::LoadLifted { load, .. } = event {
            for loads in self.loads.values_mut() {
                loads.remove(load);
            }
        }
    }

    /// Work that was counted away was never there; work that was diverted was not done.
    fn work_gone(&mut self, event: &Event) {
        let (station, never_there) = if let Event::Recounted { station, .. } = event {
            (station, true)
        } else if let Event::Diverted { station, .. } | Event::SentBack { station, .. } = event {
            (station, false)
        } else {
            return;
        };
        let sight = self.sights.get(station).copied().unwrap_or_default();
        if sight.pieces == 0.0 && !sight.blocked {
            let state = &self.state;
            let usual = |key: &Key| usual(state, key);
            self.hands.work_gone(station, never_there, &usual);
        }
    }

    /// Looks at every station and writes down what changed.
    fn look_around(&mut self) {
        if self.state.phase != Phase::Open {
            return;
        }
        for (id, stops) in &self.layout.stations {
            let sight = look(
                &self.state,
                &self.early,
                &self.loads,
                &self.layout,
                (id, stops),
            );
            let ready = self.hands.ready(id, self.now);
            let before = self.sights.get(id).map_or(0.0, |sight| sight.pieces);
            if sight.pieces > before {
                self.hands.came(self.now, &ready, before);
            }
            let does = doing(&self.state, id, sight, !ready.is_empty());
            self.tape.station(self.now, id, does);
            self.tape.queue(self.now, id, sight.carriers);
            self.sights.insert(id.clone(), sight);
            self.ready.insert(id.clone(), ready);
        }
        self.note_products();
        self.see_helpers();
    }

    /// What somebody has in hand who did nothing here yet: the first that can be worked.
    fn note_products(&mut self) {
        let unknown = |hand: &Hand| hand.seated && hand.product.is_none();
        let all = self.hands.all.iter().filter(|(_, hand)| unknown(hand));
        let guesses = all.filter_map(|(id, hand)| {
            let station = hand.station.as_ref()?;
            Some((id.clone(), self.product_in_hand(station, None)?))
        });
        for (id, product) in guesses.collect::<Vec<_>>() {
            if let Some(hand) = self.hands.all.get_mut(&id) {
                hand.product = Some(product);
            }
        }
    }

    fn see_helpers(&mut self) {
        for (id, helper) in &self.state.helpers {
            let seat = helper.station.as_ref();
            let does = seat.map_or(Doing::Away, |seat| self.helper_does(id, seat));
            self.tape.helper(self.now, id, does, seat);
        }
    }

    fn helper_does(&self, id: &HelperId, seat: &StationId) -> Doing {
        let sight = self.sights.get(seat).copied().unwrap_or_default();
        if is_by_hand(&self.state, seat) {
            let hand = self.hands.all.get(id);
            if !hand.is_some_and(|hand| hand.is_ready(self.now)) {
                return Doing::Away;
            }
            return match (sight.pieces > 0.0, sight.blocked) {
                (true, _) => Doing::Working,
                (false, true) => Doing::Blocked,
                (false, false) => Doing::Starved,
            };
        }
        match doing(&self.state, seat, sight, true) {
            // Work waits, and here somebody is.
            Doing::Working | Doing::Unstaffed => Doing::Working,
            other @ (Doing::Starved | Doing::Blocked | Doing::Away) => other,
        }
    }

    /// What of a product can be worked at a station now, or before it the first that can.
    pub(super) fn product_in_hand(
        &self,
        station: &StationId,
        last: Option<&ProductId>,
    ) -> Option<ProductId> {
        let stops = self.layout.stations.get(station)?;
        let waits = |product: &ProductId| {
            let stop = self.layout.stop(station, product);
            let early = self.early.work.get(&(station.clone(), product.clone()));
            stop.is_some_and(|stop| {
                let there = super::sight::waiting(&self.state, station, product);
                there + early.copied().unwrap_or_default() >= stop.least
            })
        };
        if let Some(last) = last.filter(|last| waits(last)) {
            return Some(last.clone());
        }
        let mut there = stops.iter().filter(|stop| waits(&stop.product));
        there.next().map(|stop| stop.product.clone())
    }
}

fn is_by_hand(state: &State, station: &StationId) -> bool {
    let station = state.stations.get(station);
    station.is_some_and(|found| matches!(found.plan.nature, Nature::Hand {}))
}

/// The rate the trade's figures promise, in carriers a minute; where the plan has no such step or
/// helper, one in five minutes.
pub(super) fn usual(state: &State, (helper, station, product): &Key) -> f64 {
    let known = || {
        let work = state.stations.get(station)?.plan.work;
        let step = state.step(product, station)?;
        let plan = &state.products.get(product)?.plan;
        let helper = &state.helpers.get(helper)?.plan;
        Some(usual_rate(work, plan, step, helper))
    };
    known().unwrap_or(0.2)
}
