//! Stations where unattended places work on a batch each: pots, canners.

use super::cells::{Load, NONE, Unit};
use super::events::Event;
use super::network::{Batches, Works};
use super::simulator::Simulator;

/// Shares are compared to this.
const SHARE_CRUMB: f64 = 1e-9;

impl Simulator<'_> {
    fn batches(&self, station: usize) -> Option<&Batches> {
        match &self.net.stations[station].works {
            Works::Batches(batches) => Some(batches),
            Works::Hands | Works::Servers(_) => None,
        }
    }

    /// The least that is begun at a stop while more may come.
    pub(super) fn least_batch(&self, station: usize, stop: usize) -> Option<f64> {
        let batches = self.batches(station)?;
        match batches.first.get(self.stations[station].planned) {
            Some((planned, amount)) => (*planned == stop).then_some(*amount),
            None => Some(batches.min_share * self.net.stops[stop].fits),
        }
    }

    /// Free places begin the batches that are due.
    pub(super) fn pull_batches(&mut self, station: usize) {
        let net = self.net;
        let Works::Batches(batches) = &net.stations[station].works else {
            return;
        };
        while self.stations[station].ready > 0 {
            let begun = match batches.first.get(self.stations[station].planned) {
                Some((stop, amount)) => self.begin_planned(station, *stop, *amount),
                None => self.begin_due(station, batches),
            };
            if !begun {
                break;
            }
        }
        if let Some(patience) = batches.patience_min {
            self.be_patient(station, patience);
        }
    }

    /// Begins the next planned batch; whether to look again.
    fn begin_planned(&mut self, station: usize, stop: usize, amount: f64) -> bool {
        let cell = &self.stops[stop];
        let amount = amount.min(self.net.stops[stop].fits);
        let is_dry = self.is_dry(stop);
        if !cell.is_endless && cell.queue.is_empty() {
            if is_dry {
                self.stations[station].planned += 1;
            }
            return is_dry;
        }
        let is_endless = cell.is_endless;
        let is_enough = is_endless
            || cell.waiting >= amount - cell.crumb()
            || self.stations[station].is_overfull();
        if !(is_enough || is_dry) || !self.may_have(stop) {
            return false;
        }
        self.stations[station].planned += 1;
        let taken = if is_endless {
            amount
        } else {
            amount.min(self.stops[stop].waiting)
        };
        let load = self.take(stop, taken);
        self.begin_batch(station, stop, load, NONE, 1, taken);
        true
    }

    /// Begins a batch by the general bulk rule; whether it did.
    fn begin_due(&mut self, station: usize, batches: &Batches) -> bool {
        let Some(first) = self.next_batch(station, batches) else {
            return false;
        };
        if !self.may_have(first) {
            return false;
        }
        let fits = self.net.stops[first].fits;
        if self.stops[first].is_endless {
            let load = self.take(first, fits);
            self.begin_batch(station, first, load, NONE, 1, fits);
            return true;
        }
        let amount = fits.min(self.stops[first].waiting);
        let load = self.take(first, amount);
        let (mut whole, mut parts, mut chain) = (load.amount, 1, NONE);
        let mut free = 1.0 - load.amount / fits;
        while free > SHARE_CRUMB {
            let Some((stop, amount)) = self.next_part(station, first, free) else {
                break;
            };
            let part = self.take(stop, amount);
            free -= part.amount / self.net.stops[stop].fits;
            whole += part.amount;
            parts += 1;
            let to = self.way(stop);
            chain = self.add_unit(Unit {
                stop: stop as u32,
                helper: NONE,
                load: part,
                link: NONE,
                to,
                head: NONE,
                parts: 1,
                is_held: false,
                next: chain,
                visit: NONE,
            });
        }
        self.begin_batch(station, first, load, chain, parts, whole);
        true
    }

    /// The stop whose batch is due: enough waits in its group, or no more can come, or patience has
    /// run out. The lowest rank, then what waited longest.
    fn next_batch(&self, station: usize, batches: &Batches) -> Option<usize> {
        let mut best: Option<(u32, f64, usize)> = None;
        for stop in &self.stations[station].stops {
            let stop = *stop as usize;
            let cell = &self.stops[stop];
            if cell.is_endless {
                return Some(stop);
            }
            if cell.queue.is_empty() {
                continue;
            }
            let (rank, came) = (cell.rank, cell.oldest());
            let is_better = best.is_none_or(|(other, oldest, _)| {
                rank.cmp(&other).then(came.total_cmp(&oldest)).is_lt()
            });
            if is_better && self.is_due(station, stop, batches) {
                best = Some((rank, came, stop));
            }
        }
        best.map(|(_, _, stop)| stop)
    }

    fn is_due(&self, station: usize, stop: usize, batches: &Batches) -> bool {
        let group = self.net.stops[stop].group;
        let (mut share, mut is_dry, mut oldest) = (0.0, true, f64::INFINITY);
        for other in &self.stations[station].stops {
            let other = *other as usize;
            if self.net.stops[other].group != group {
                continue;
            }
            let cell = &self.stops[other];
            share += cell.waiting / self.net.stops[other].fits;
            is_dry &= self.is_dry(other);
            if !cell.queue.is_empty() {
                oldest = oldest.min(cell.oldest());
            }
        }
        let is_late = batches
            .patience_min
            .is_some_and(|patience| self.now >= oldest + patience - 1e-9);
        share >= batches.min_share - SHARE_CRUMB
            || is_dry
            || is_late
            || self.stations[station].is_overfull()
    }

    /// What else of the group goes into a batch with so much of it free: whole carriers, unless no
    /// more can come.
    fn next_part(&self, station: usize, first: usize, free: f64) -> Option<(usize, f64)> {
        let group = self.net.stops[first].group;
        let mut best: Option<(u32, f64, usize, f64)> = None;
        for stop in &self.stations[station].stops {
            let stop = *stop as usize;
            let cell = &self.stops[stop];
            if cell.queue.is_empty() || self.net.stops[stop].group != group {
                continue;
            }
            let room = free * self.net.stops[stop].fits;
            let whole = (room * cell.per_amount + SHARE_CRUMB).floor() * cell.carrier;
            let amount = if cell.waiting <= room + cell.crumb() {
                cell.waiting
            } else {
                whole
            };
            let (rank, came) = (cell.rank, cell.oldest());
            let is_better = best.is_none_or(|(other, oldest, _, _)| {
                rank.cmp(&other).then(came.total_cmp(&oldest)).is_lt()
            });
            if amount > cell.crumb() && is_better {
                best = Some((rank, came, stop, amount));
            }
        }
        best.map(|(_, _, stop, amount)| (stop, amount))
    }

    /// Sets a batch going: its first part, and the other parts as a chain.
    fn begin_batch(
        &mut self,
        station: usize,
        stop: usize,
        load: Load,
        chain: u32,
        parts: u16,
        whole: f64,
    ) {
        let minutes = self.services[stop].next() * self.stations[station].slowness;
        self.stations[station].readies(-1, self.now);
        if self.stations[station].takes_pools {
            self.take_pools(station);
        }
        self.draw_supplies(stop, load.amount);
        let head = self.go(stop, station, NONE, load, minutes);
        self.units[head as usize].parts = parts;
        self.units[head as usize].next = chain;
        let mut part = chain;
        while part != NONE {
            let unit = self.units[part as usize];
            self.units[part as usize].head = head;
            self.units[part as usize].link = self.units[head as usize].link;
            if self.keeps_log {
                let (stop, amount) = (unit.stop as usize, unit.load.amount);
                let visit = self.visit(stop, NONE, amount, self.now, self.now + minutes);
                self.units[part as usize].visit = visit;
            }
            self.stations[station].holds(unit.load.carriers, self.now);
            self.draw_supplies(unit.stop as usize, unit.load.amount);
            part = unit.next;
        }
        self.batch(stop, self.now, self.now + minutes, whole);
    }

    /// The oldest that waits at a station may have waited long enough.
    pub(super) fn lose_patience(&mut self, station: u32) {
        self.cause = NONE;
        let mut oldest = f64::INFINITY;
        for stop in &self.stations[station as usize].stops {
            if let Some(layer) = self.stops[*stop as usize].queue.front()
                && layer.came < oldest
            {
                oldest = layer.came;
                self.cause = layer.link;
            }
        }
        self.pull_batches(station as usize);
    }

    /// Looks again when the oldest that waits has waited long enough.
    fn be_patient(&mut self, station: usize, patience: f64) {
        let mut soonest = f64::INFINITY;
        for stop in &self.stations[station].stops {
            let cell = &self.stops[*stop as usize];
            if !cell.queue.is_empty() {
                soonest = soonest.min(cell.oldest());
            }
        }
        let at = soonest + patience;
        if at.is_finite() && at > self.now && at != self.stations[station].patient_until {
            self.stations[station].patient_until = at;
            self.events.push(at, Event::Patience(station as u32));
        }
    }
}
