//! Limited room: what finds a place, what is blocked or lost, and what is let in later.

use super::cells::{Kind, Load, NONE, Task, Unit};
use super::simulator::Simulator;

impl Simulator<'_> {
    /// A unit finds no place: it is lost or blocked; whether it is gone from where it was.
    #[inline(never)]
    pub(super) fn refuse(&mut self, number: u32, to: usize, amount: f64) -> bool {
        let cell = &mut self.stops[to];
        let place = &mut self.stations[cell.station as usize];
        if place.is_losing {
            let carriers = amount * cell.per_amount;
            place.times.lost += carriers;
            cell.times.lost += carriers;
            self.outcome.classes_in[self.net.stops[to].class].lost += carriers;
            return true;
        }
        place.pressing.push_back(number);
        if place.ready > 0 {
            self.tasks.push(Task::Admit(cell.station));
        }
        false
    }

    /// Whether so much more finds a place: in the room, or straight on a free server. What is
    /// larger than the room comes in when nothing else waits there.
    pub(super) fn admits(&self, to: usize, amount: f64) -> bool {
        let cell = &self.stops[to];
        let station = &self.stations[cell.station as usize];
        let carriers = amount * cell.per_amount;
        if station.waiting + carriers <= station.room + 1e-9 {
            return true;
        }
        let is_empty = station.queues == 0;
        if is_empty && station.room >= 1.0 {
            return true;
        }
        let Some(taken) = self.could_take(to, cell.waiting + amount) else {
            return false;
        };
        let after = station.waiting + carriers - taken * cell.per_amount;
        is_empty || after <= station.room.max(station.waiting) + 1e-9
    }

    /// How much would be taken at once if so much waited at a stop.
    fn could_take(&self, stop: usize, waiting: f64) -> Option<f64> {
        let cell = &self.stops[stop];
        let station = &self.stations[cell.station as usize];
        if station.ready <= 0 || !self.has_pools(cell.station as usize) {
            return None;
        }
        // What has no room to wait for a whole carrier, or for the least of a batch, is begun with
        // what there is.
        match station.kind {
            Kind::Hands => {
                let mut idle = station.idle.iter();
                let someone = idle.any(|helper| self.may_take(*helper as usize, stop));
                someone.then_some(cell.carrier.min(waiting))
            }
            Kind::Servers => Some(cell.carrier.min(waiting)),
            Kind::Batches => {
                self.least_batch(cell.station as usize, stop)?;
                Some(self.net.stops[stop].fits.min(waiting))
            }
        }
    }

    /// Lets in what presses in front of a station, first blocked first, while there is a place.
    pub(super) fn admit(&mut self, station: usize) {
        while let Some(number) = self.stations[station].pressing.front().copied() {
            let unit = self.units[number as usize];
            let amount = self.outgoing(&unit);
            if !self.admits(unit.to as usize, amount) {
                if !self.begin_crumbs(station) {
                    return;
                }
                continue;
            }
            self.stations[station].pressing.pop_front();
            let entered = unit.load.entered / unit.load.carriers;
            if unit.head == NONE {
                self.come_in(unit.to as usize, amount, entered);
                self.free_units.push(number);
                self.left -= 1;
                self.source_is_over(unit.to as usize);
            } else {
                self.deliver(unit.to as usize, amount, entered);
                self.gone(number, &unit);
            }
        }
    }

    /// Begins less than a carrier, or than the least of a batch, on a free server where there is no
    /// room for what would make it whole; whether it did.
    fn begin_crumbs(&mut self, station: usize) -> bool {
        let (ready, running) = (self.stations[station].ready, self.stations[station].running);
        if ready <= 0 || self.stations[station].queues == 0 {
            return false;
        }
        self.stations[station].is_stuck = true;
        self.pull(station);
        self.stations[station].is_stuck = false;
        self.stations[station].running > running
    }

    /// A carrier from outside finds no place: it is lost, or stands outside until there is one.
    pub(super) fn stay_outside(&mut self, stop: usize, amount: f64) {
        let cell = &mut self.stops[stop];
        let carriers = amount * cell.per_amount;
        let station = &mut self.stations[cell.station as usize];
        if station.is_losing {
            cell.times.lost += carriers;
            station.times.lost += carriers;
            self.outcome.classes_in[self.net.stops[stop].class].lost += carriers;
            return;
        }
        self.circles[cell.circle as usize].coming += 1;
        self.left += 1;
        let unit = Unit {
            stop: stop as u32,
            helper: NONE,
            load: Load {
                amount,
                carriers,
                came: 0.0,
                entered: carriers * self.now,
            },
            link: NONE,
            to: stop as u32,
            head: NONE,
            parts: 1,
            is_held: false,
            next: NONE,
            visit: NONE,
        };
        let number = self.add_unit(unit);
        let station = self.stops[stop].station as usize;
        self.stations[station].pressing.push_back(number);
        if self.stations[station].ready > 0 {
            self.tasks.push(Task::Admit(station as u32));
        }
    }
}
