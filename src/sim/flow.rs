//! How work passes from stop to stop when its service is over.

use super::cells::{Doing, Kind, Load, NONE, Route, Task, Unit};
use super::simulator::Simulator;

impl Simulator<'_> {
    /// A service is over: each part goes on or is blocked.
    #[inline(always)]
    pub(super) fn end(&mut self, number: u32) {
        let unit = self.units[number as usize];
        self.cause = unit.link;
        self.last_link = unit.link;
        self.last_end = self.now;
        let cell = &mut self.stops[unit.stop as usize];
        cell.ended += if cell.is_wide {
            unit.load.carriers
        } else {
            1.0
        };
        if self.pass_on(number, &unit) {
            self.gone(number, &unit);
        } else {
            self.hold(number);
        }
        if unit.next != NONE {
            self.end_parts(number, unit.next);
        }
    }

    /// The other parts of a batch that is over.
    #[inline(never)]
    fn end_parts(&mut self, head: u32, mut part: u32) {
        while part != NONE {
            // A part that is gone is forgotten, so it is read first.
            let unit = self.units[part as usize];
            if self.pass_on(part, &unit) {
                self.gone(part, &unit);
            } else {
                self.hold(head);
            }
            part = unit.next;
        }
    }

    /// Marks a server as blocked by what it holds, once.
    fn hold(&mut self, head: u32) {
        let unit = &mut self.units[head as usize];
        let station = self.stops[unit.stop as usize].station as usize;
        if unit.is_held {
            return;
        }
        unit.is_held = true;
        let helper = unit.helper;
        self.stations[station].is_held(self.now);
        if helper != NONE {
            self.turn_to(helper as usize, Doing::Blocked);
        }
    }

    /// Sends a finished part on; whether it is gone.
    #[inline(always)]
    fn pass_on(&mut self, number: u32, unit: &Unit) -> bool {
        let cell = &self.stops[unit.stop as usize];
        let out = cell.makes(unit.load.amount);
        match cell.route {
            Route::Feed(supply) => {
                self.feed(supply as usize, out);
                self.depart(unit.stop, unit.load, out);
                return true;
            }
            Route::Share => {
                let to = self.share(unit.stop as usize, out);
                self.units[number as usize].to = to;
                return self.send(number, unit, to as usize, out);
            }
            Route::Out | Route::To(_) | Route::Chance => {}
        }
        if unit.to == NONE {
            self.depart(unit.stop, unit.load, out);
            return true;
        }
        self.send(number, unit, unit.to as usize, out)
    }

    /// How much of a unit goes on.
    #[inline(always)]
    pub(super) fn outgoing(&self, unit: &Unit) -> f64 {
        if unit.head == NONE {
            return unit.load.amount;
        }
        self.stops[unit.stop as usize].makes(unit.load.amount)
    }

    /// Sends a unit into a stop; whether it is gone from where it was.
    #[inline(always)]
    fn send(&mut self, number: u32, unit: &Unit, to: usize, amount: f64) -> bool {
        let cell = &self.stops[to];
        if amount <= cell.crumb() {
            return true;
        }
        if cell.has_room_limit && !self.admits(to, amount) {
            return self.refuse(number, to, amount);
        }
        self.deliver(to, amount, unit.load.entered / unit.load.carriers);
        true
    }

    /// Puts work into the queue of a stop and lets it begin if it can.
    #[inline(always)]
    pub(super) fn deliver(&mut self, to: usize, amount: f64, entered: f64) {
        let now = self.now;
        let cell = &mut self.stops[to];
        let place = &mut self.stations[cell.station as usize];
        if cell.queue.is_empty() {
            place.queues += 1;
            place.note(now);
            self.left += 1;
        }
        cell.queue.push_back(amount, now, entered, self.cause);
        let carriers = amount * cell.per_amount;
        cell.waiting += amount;
        cell.times.arrivals += carriers;
        place.comes(carriers, now);
        if place.ready > 0 {
            self.offer(to);
        }
    }

    /// Books a part that has left its stop, and frees its server when it was the last.
    #[inline(always)]
    pub(super) fn gone(&mut self, number: u32, unit: &Unit) {
        let cell = &mut self.stops[unit.stop as usize];
        cell.times.left += unit.load.carriers;
        cell.times.stay_sum += unit.load.carriers * self.now - unit.load.came;
        let circle = cell.circle as usize;
        let station = cell.station as usize;
        let place = &mut self.stations[station];
        place.goes(unit.load.carriers, self.now);
        if unit.visit != NONE {
            self.outcome.log[unit.visit as usize].left_min = self.now;
        }
        self.left -= 1;
        let around = &mut self.circles[circle];
        around.under_way -= 1;
        let is_thin = around.coming == 0
            && around.under_way == 0
            && (cell.is_in_circle || cell.queue.is_empty());
        if unit.head == number && unit.parts == 1 {
            place.ends(unit.is_held, self.now);
            if unit.helper == NONE {
                self.free_units.push(number);
            }
            if is_thin {
                self.has_thinned(circle);
            }
            self.release(unit.helper, station);
            return;
        }
        if is_thin {
            self.has_thinned(circle);
        }
        self.part_gone(number, unit.head, station);
    }

    /// The same for one part of several.
    #[inline(never)]
    fn part_gone(&mut self, number: u32, first: u32, station: usize) {
        if first != number {
            self.free_units.push(number);
        }
        let head = &mut self.units[first as usize];
        head.parts -= 1;
        if head.parts == 0 {
            let (is_held, helper) = (head.is_held, head.helper);
            self.free_units.push(first);
            let place = &mut self.stations[station];
            place.ends(is_held, self.now);
            self.release(helper, station);
        }
    }

    /// Frees the server or helper of a unit that is gone.
    #[inline(always)]
    fn release(&mut self, helper: u32, station: usize) {
        let cell = &mut self.stations[station];
        if helper == NONE {
            // At the start somebody unknown may have work of a hand station in hand.
            if cell.kind != Kind::Hands {
                cell.readies(1, self.now);
            }
            if cell.takes_pools {
                self.give_back(station);
            }
            self.pull(station);
        } else {
            self.set_free(helper as usize, station);
        }
        let cell = &mut self.stations[station];
        if cell.running == 0 {
            cell.inside = 0.0;
            cell.note(self.now);
            if cell.has_pools {
                cell.has_pools = false;
                self.give_back(station);
            }
        }
        if !self.stations[station].pressing.is_empty() {
            self.tasks.push(Task::Admit(station as u32));
        }
    }

    /// Books what leaves the network.
    fn depart(&mut self, stop: u32, load: Load, amount: f64) {
        let class = self.net.stops[stop as usize].class;
        if amount > 0.0 || !self.stops[stop as usize].is_whole {
            self.outcome.class_finish_min[class] = self.now;
        }
        self.outcome.class_made[class] += amount;
        let times = &mut self.outcome.classes_in[class];
        times.left += load.carriers;
        times.stay_sum += load.carriers * self.now - load.entered;
    }
}
