//! The start of a run: everything is put where it is at minute 0.

use super::cells::{CircleCell, Doing, HelperCell, Kind, Load, NONE, Unit};
use super::events::Event;
use super::network::{Law, Source, Then, Works};
use super::outcome::ClassTimes;
use super::residual;
use super::simulator::{Simulator, Until};
use super::start::{Busy, Start};
use super::streams::{Key, Purpose, Streams};

impl Simulator<'_> {
    /// Empties everything and sets up the start.
    pub(super) fn begin(&mut self, start: &Start, key: Key, until: Until) {
        self.clear(until);
        self.draw_anew(key);
        self.open_sources();
        self.set_waiting(start);
        for (number, busy) in start.busy.iter().enumerate() {
            if busy.stop < self.stops.len() {
                self.set_busy(number, busy);
            }
        }
        self.see_what_comes();
        self.set_seats(start);
        for station in 0..self.stations.len() {
            if self.stations[station].kind != Kind::Hands {
                self.pull(station);
            }
        }
        for helper in 0..self.helpers.len() {
            if !self.helpers[helper].is_taken {
                self.bring(helper);
            }
        }
        if until.warm_up_min > 0.0 {
            self.events.push(until.warm_up_min, Event::Measure);
        }
    }

    fn clear(&mut self, until: Until) {
        self.until = until;
        self.now = 0.0;
        (self.cause, self.last_link, self.last_end) = (NONE, NONE, 0.0);
        self.left = 0;
        self.measured_from = 0.0;
        self.links.clear();
        self.units.clear();
        self.units.resize(self.helpers.len(), Unit::default());
        self.free_units.clear();
        self.events.clear();
        self.tasks.clear();
        self.maybe_still.clear();
        for (cell, before) in self.circles.iter_mut().zip(&self.plan.before) {
            *cell = CircleCell {
                coming: *before,
                ..CircleCell::default()
            };
        }
        for (cell, helper) in self.helpers.iter_mut().zip(&self.net.helpers) {
            let rests = helper.rests;
            let rest_due = rests.map_or(f64::INFINITY, |rests| rests.first_min);
            let away = helper.away.first();
            *cell = HelperCell {
                rest_due,
                next_due: away.map_or(rest_due, |(from, _)| rest_due.min(*from)),
                is_plain: helper.turns.is_empty() && helper.serves.is_empty(),
                ..HelperCell::default()
            };
        }
        for (cell, station) in self.stations.iter_mut().zip(&self.net.stations) {
            cell.clear(&station.works);
        }
        for (cell, count) in self.pools.iter_mut().zip(&self.net.pools) {
            cell.free = i64::from(*count);
            cell.waiters.clear();
        }
        for (number, cell) in self.supplies.iter_mut().enumerate() {
            cell.stock = self.net.supplies[number].stock;
            cell.feeders = self.plan.feeders[number];
            cell.waiters.clear();
        }
        let outcome = &mut self.outcome;
        outcome.class_finish_min.clear();
        outcome.class_finish_min.resize(self.net.classes, 0.0);
        outcome.class_made.clear();
        outcome.class_made.resize(self.net.classes, 0.0);
        outcome.classes_in.clear();
        outcome
            .classes_in
            .resize(self.net.classes, ClassTimes::default());
        outcome.batches.clear();
        outcome.log.clear();
    }

    /// Draws what is drawn once a run; what the key draws is kept while it stays the same.
    fn draw_anew(&mut self, key: Key) {
        let is_same = self.key == Some(key);
        if !is_same {
            self.epoch = self.epoch.wrapping_add(1).max(1);
            self.key = Some(key);
            self.streams = Streams::new(key);
        }
        let streams = self.streams;
        for (number, services) in self.services.iter_mut().enumerate() {
            services.rewind(streams, number, is_same);
        }
        for (number, stop) in self.net.stops.iter().enumerate() {
            if matches!(stop.then, Then::Chance(_)) {
                self.routes[number] = Some(streams.open(Purpose::Route, number, 0));
            }
            if !is_same {
                let mut stream = streams.open(Purpose::Yields, number, 0);
                self.stops[number].yields = stop.yields.draw(&mut stream);
            }
        }
        if !is_same {
            for (number, station) in self.net.stations.iter().enumerate() {
                let mut stream = streams.open(Purpose::Slowness, number, 0);
                self.stations[number].slowness = station.slowness.draw(&mut stream);
            }
        }
    }

    fn open_sources(&mut self) {
        for number in 0..self.sources.len() {
            let cell = &mut self.sources[number];
            cell.come = 0;
            cell.link = NONE;
            let circle = self.stops[cell.stop as usize].circle as usize;
            let is_renewal = matches!(self.net.sources[number], Source::Renewal { .. });
            if is_renewal {
                cell.stream = self.streams.open(Purpose::Arrivals, number, 0);
            }
            if self.plan_arrival(number) {
                self.left += 1;
                self.circles[circle].coming += 1;
            }
        }
    }

    fn set_waiting(&mut self, start: &Start) {
        let yields: Vec<f64> = if start.unsure.is_empty() {
            Vec::new()
        } else {
            self.stops.iter().map(|cell| cell.yields).collect()
        };
        for number in 0..self.stops.len() {
            let splits = splits(&self.net.stops[number].then);
            let cell = &mut self.stops[number];
            cell.queue.clear();
            cell.waiting = 0.0;
            cell.is_waiting_for_supply = false;
            cell.times = super::StopTimes::default();
            cell.ended = 0.0;
            if splits > 0 {
                cell.had.clear();
                cell.had.resize(splits, 0.0);
                if let Some(shared) = start.shared.get(number) {
                    for (had, shared) in cell.had.iter_mut().zip(shared) {
                        *had = *shared;
                    }
                }
            }
            let layers = start.waiting.get(number).map_or(&[][..], Vec::as_slice);
            if cell.is_endless || (layers.is_empty() && yields.is_empty()) {
                continue;
            }
            for (amount, waited) in layers {
                if *amount > cell.crumb() {
                    cell.queue.push_back(*amount, -waited.max(0.0), 0.0, NONE);
                    cell.waiting += amount;
                }
            }
            for unsure in start.unsure.iter().filter(|unsure| unsure.stop == number) {
                let real = yields[unsure.from] / unsure.promised;
                cell.adjust(unsure.amount * (real - 1.0));
            }
            if cell.queue.is_empty() {
                continue;
            }
            let carriers = cell.waiting * cell.per_amount;
            cell.times.arrivals += carriers;
            let station = &mut self.stations[cell.station as usize];
            station.comes(carriers, 0.0);
            station.queues += 1;
            station.note(0.0);
            self.outcome.classes_in[self.net.stops[number].class].entered += carriers;
            self.left += 1;
        }
    }

    /// Puts a service under way on its server. More of them than there are servers are let be.
    fn set_busy(&mut self, number: usize, busy: &Busy) {
        let stop = busy.stop;
        let station = self.stops[stop].station as usize;
        // Only hands have a helper, and a helper has one thing in hand.
        let is_hands = self.stations[station].kind == Kind::Hands;
        let is_free = |helper: &usize| self.helpers.get(*helper).is_some_and(|who| !who.is_taken);
        let helper = busy.helper.filter(|helper| is_hands && is_free(helper));
        let minutes = busy
            .left_min
            .unwrap_or_else(|| self.rest_of(number, busy, helper))
            .max(0.0);
        let cell = &mut self.stops[stop];
        let carriers = busy.amount * cell.per_amount;
        cell.times.arrivals += carriers;
        self.outcome.classes_in[self.net.stops[stop].class].entered += carriers;
        self.left += 1;
        self.circles[cell.circle as usize].under_way += 1;
        let place = &mut self.stations[station];
        let is_place = place.kind != Kind::Hands;
        let is_batch = place.kind == Kind::Batches;
        if is_place {
            place.readies(-1, 0.0);
        }
        if place.takes_pools && (is_place || !place.has_pools) {
            place.has_pools = !is_place;
            self.take_pools(station);
        }
        let load = Load {
            amount: busy.amount,
            carriers,
            ..Load::default()
        };
        let by = helper.map_or(NONE, |helper| helper as u32);
        let minutes = minutes + helper.map_or(0.0, |helper| self.pause(helper, station));
        let begun = self.go(stop, station, by, load, minutes);
        let began = -busy.age_min;
        let visit = self.units[begun as usize].visit;
        if let Some(visit) = self.outcome.log.get_mut(visit as usize) {
            visit.began_min = began;
        }
        if is_batch {
            self.batch(stop, began, minutes, busy.amount);
        }
        if let Some(helper) = helper {
            self.helpers[helper].is_taken = true;
        }
    }

    /// Minutes for which a carrier in hand at the start lies still because its helper is away.
    fn pause(&mut self, helper: usize, station: usize) -> f64 {
        let Some(until) = self.away_at_start(helper) else {
            return 0.0;
        };
        self.helpers[helper].paused_at = Some(station as u32);
        self.helpers[helper].back_at = until;
        self.stations[station].lies_still();
        self.events.push(until, Event::Back(helper as u32));
        until
    }

    /// Draws what is left of a service by its age.
    fn rest_of(&mut self, number: usize, busy: &Busy, helper: Option<usize>) -> f64 {
        let station = self.stops[busy.stop].station as usize;
        let is_batch = self.stations[station].kind == Kind::Batches;
        let share = (busy.amount * self.stops[busy.stop].per_amount).min(1.0);
        let pace = match helper {
            Some(helper) => self.pace(helper, busy.stop),
            None => self.stations[station].slowness,
        };
        let stretch = pace * if is_batch { 1.0 } else { share };
        let law = &self.net.stops[busy.stop].time;
        if matches!(law, Law::Sequence(_)) {
            return self.services[busy.stop].next() * stretch - busy.age_min;
        }
        let who = helper.map_or(number << 8, |helper| helper + 1);
        let mut stream = self.streams.open(Purpose::UnderWay, busy.stop, who);
        let stretch = stretch.max(1e-12);
        residual::rest(law, busy.age_min / stretch, &mut stream) * stretch
    }

    fn set_seats(&mut self, start: &Start) {
        for helper in 0..self.helpers.len() {
            let seat = start.seats.get(helper).copied().flatten();
            let there = seat.and_then(|seat| self.net.stations.get(seat));
            let is_hands = there.is_some_and(|station| station.works == Works::Hands);
            let seat = seat.filter(|_| is_hands);
            let cell = &mut self.helpers[helper];
            cell.seat = seat.map_or(NONE, |seat| seat as u32);
            cell.is_minding = there.is_some() && !is_hands;
            cell.doing = if cell.is_taken && cell.paused_at.is_none() {
                Doing::Working
            } else {
                Doing::Away
            };
            cell.ready_at = start.ready_min.get(helper).copied().unwrap_or(0.0);
            if let Some(seat) = seat {
                self.stations[seat].seated += 1;
            }
            self.helpers[helper].only = self.only_stop(helper);
            self.plan_absence(helper);
        }
    }

    /// Brings a helper who has nothing in hand to their seat.
    fn bring(&mut self, helper: usize) {
        let cell = &self.helpers[helper];
        let (seat, ready) = (cell.seat, cell.ready_at);
        if ready > 0.0 {
            self.send_away(helper, ready, seat);
            return;
        }
        let station = self.net.helpers[helper].serves.first().copied();
        self.set_free(helper, station.unwrap_or(seat as usize));
    }
}

/// Whether a stop splits its work in fixed shares.
fn splits(then: &Then) -> usize {
    match then {
        Then::Share(ways) => ways.len(),
        Then::Leave | Then::Go(_) | Then::Chance(_) | Then::Feed(_) => 0,
    }
}
