//! Late taps: work that a tap brings all at once is taken to have come evenly since the tap before.
//!
//! A first walk through the records finds taps that come in a burst, or tell of several carriers,
//! and says when each carrier was really there. Work is never taken to be there later than its tap.

use super::hands::ready_at;
use super::layout::{Layout, changes_plan, plain};
use super::sight::waiting;
use crate::day::event::{Event, Onward};
use crate::day::ids::{HelperId, ProductId, StationId, SupplyId};
use crate::day::state::State;
use crate::day::time::{SECOND_MS, Timestamp};
use crate::day::{Record, apply};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// Taps of one helper no further apart than this come in a burst: nobody cores a bowl of pears in
/// it.
const BURST_MS: i64 = 20 * SECOND_MS;

/// The most pieces one tap is spread in.
const PIECES_MAX: f64 = 50.0;

/// Where work goes.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Goes {
    /// It waits at a station.
    Work(StationId, ProductId),
    /// It joins a supply.
    Supply(SupplyId),
}

/// A piece of work that was there before its tap.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    /// Since when.
    pub(super) at: Timestamp,
    /// The place of its tap among the records.
    pub(super) tapped: usize,
    /// Where.
    pub(super) goes: Goes,
    /// How much, in the measure there.
    pub(super) amount: f64,
}

/// Taps of one worker in a burst.
struct Burst {
    from: Timestamp,
    last: Timestamp,
    taps: Vec<Tap>,
}

struct Tap {
    record: usize,
    at: Timestamp,
    carriers: f64,
    amount: f64,
    goes: Option<Goes>,
}

type Worker = (StationId, Option<HelperId>);

#[derive(Default)]
struct Walk {
    state: State,
    layout: Layout,
    now: Timestamp,
    /// Since when a station has had work; and before that, since when it had none.
    has_work: BTreeMap<StationId, Timestamp>,
    bursts: BTreeMap<Worker, Burst>,
    free_since: BTreeMap<Worker, Timestamp>,
    pieces: Vec<Piece>,
}

/// The pieces, in the order of their moments.
pub(super) fn pieces(records: &[Record]) -> Vec<Piece> {
    let undone: BTreeSet<Uuid> = records
        .iter()
        .filter_map(|record| {
            if let Event::TallyUndone { tally, .. } = &record.event {
                Some(*tally)
            } else {
                None
            }
        })
        .collect();
    let mut walk = Walk::default();
    for (index, record) in records.iter().enumerate() {
        walk.take(index, record, undone.contains(&record.command));
    }
    let open = std::mem::take(&mut walk.bursts);
    for burst in open.into_values() {
        walk.spread(&burst);
    }
    walk.pieces.sort_by_key(|piece| (piece.at, piece.tapped));
    walk.pieces
}

impl Walk {
    fn take(&mut self, index: usize, record: &Record, is_undone: bool) {
        self.now = self.now.max(record.at);
        let tapped = if is_undone {
            None
        } else {
            self.tap(index, &record.event)
        };
        if let Event::SeatTaken {
            helper, station, ..
        } = &record.event
        {
            let worker = (station.clone(), Some(helper.clone()));
            if let Some(burst) = self.bursts.remove(&worker) {
                self.spread(&burst);
            }
            self.free_since.insert(worker, ready_at(self.now));
        }
        apply(&mut self.state, record.at, record.command, &record.event);
        if changes_plan(&record.event) {
            self.layout = Layout::of(&self.state);
        }
        self.see_work();
        if let Some(worker) = tapped {
            self.work_came_sooner(&worker);
        }
    }

    fn see_work(&mut self) {
        for (station, stops) in &self.layout.stations {
            let there = |stop: &super::layout::Stop| {
                waiting(&self.state, station, &stop.product) >= stop.least
            };
            let had = self.has_work.contains_key(station);
            match (stops.iter().any(there), had) {
                (true, false) => {
                    self.has_work.insert(station.clone(), self.now);
                }
                (false, true) => {
                    self.has_work.remove(station);
                }
                (true, true) | (false, false) => {}
            }
        }
    }

    /// Puts a tap to its burst; gives whose it is.
    fn tap(&mut self, index: usize, event: &Event) -> Option<Worker> {
        let Event::Tallied {
            station,
            helper,
            product,
            parts,
            onward,
            ..
        } = event
        else {
            return None;
        };
        let taken: f64 = parts.iter().map(|part| plain(part.taken())).sum();
        let holds = self.layout.stop(station, product).map(|stop| stop.holds);
        let tap = Tap {
            record: index,
            at: self.now,
            carriers: taken / holds.unwrap_or(1.0),
            amount: parts.iter().map(|part| plain(part.made)).sum(),
            goes: match onward {
                Onward::Step { product, station } => {
                    Some(Goes::Work(station.clone(), product.clone()))
                }
                Onward::Stock { supply } => Some(Goes::Supply(supply.clone())),
                Onward::Finished {} => None,
            },
        };
        let worker = (station.clone(), helper.clone());
        let now = self.now;
        match self.bursts.get_mut(&worker) {
            Some(burst) if now.ms_since(burst.last) <= BURST_MS => {
                burst.last = now;
                burst.taps.push(tap);
            }
            Some(_) | None => {
                let before = self.bursts.remove(&worker);
                let tapped = before.as_ref().map(|burst| burst.last);
                if let Some(burst) = &before {
                    self.spread(burst);
                }
                let known = [
                    tapped,
                    self.free_since.get(&worker).copied(),
                    self.has_work.get(station).copied(),
                ];
                let from = known.into_iter().flatten().max().unwrap_or(now);
                let burst = Burst {
                    from,
                    last: now,
                    taps: vec![tap],
                };
                self.bursts.insert(worker.clone(), burst);
            }
        }
        Some(worker)
    }

    /// A station that a burst brought its first work to has had it since the first piece.
    fn work_came_sooner(&mut self, worker: &Worker) {
        let Some(burst) = self.bursts.get(worker) else {
            return;
        };
        let total: f64 = burst.taps.iter().map(|tap| tap.carriers).sum();
        let first = burst.taps.first();
        let (Some(first), true) = (first, total > 1.0) else {
            return;
        };
        let Some(Goes::Work(station, _)) = &first.goes else {
            return;
        };
        let span = burst.last.ms_since(burst.from) as f64;
        let came = Timestamp(burst.from.0 + (span / total) as i64);
        if let Some(since) = self.has_work.get_mut(station)
            && *since == first.at
        {
            *since = came.min(first.at);
        }
    }

    /// Says when each carrier of a burst was there.
    fn spread(&mut self, burst: &Burst) {
        let total: f64 = burst.taps.iter().map(|tap| tap.carriers).sum();
        let span = burst.last.ms_since(burst.from) as f64;
        if total <= 0.0 || span <= 0.0 {
            return;
        }
        let mut before = 0.0;
        for tap in &burst.taps {
            let count = tap.carriers.round().clamp(1.0, PIECES_MAX);
            for nth in 1..=count as u32 {
                let done = before + tap.carriers * f64::from(nth) / count;
                let at = Timestamp(burst.from.0 + (span * done / total) as i64);
                let Some(goes) = tap.goes.clone().filter(|_| at < tap.at) else {
                    continue;
                };
                self.pieces.push(Piece {
                    at,
                    tapped: tap.record,
                    goes,
                    amount: tap.amount / count,
                });
            }
            before += tap.carriers;
        }
    }
}
