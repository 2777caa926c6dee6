//! What came of a run: times of stations and helpers, and the critical chain.

use super::cells::{Doing, Kind, NONE};
use super::outcome::{ClassTimes, HelperTimes, StopTimes};
use super::simulator::Simulator;

impl Simulator<'_> {
    /// A helper does something else from now on.
    #[inline(always)]
    pub(super) fn turn_to(&mut self, helper: usize, doing: Doing) {
        self.helpers[helper].turn_to(doing, self.now);
    }

    /// The warm-up is over: sums begin.
    pub(super) fn measure_from_now(&mut self) {
        for station in &mut self.stations {
            station.measure_from(self.now);
        }
        for helper in 0..self.helpers.len() {
            let cell = &mut self.helpers[helper];
            // Their account goes on from now, while what they do has lasted longer.
            cell.measured = self.now;
            cell.times = HelperTimes::default();
        }
        for stop in &mut self.stops {
            stop.times = StopTimes::default();
            stop.ended = 0.0;
        }
        self.outcome.classes_in.fill(ClassTimes::default());
        self.measured_from = self.now;
    }

    /// Ends the run and fills the outcome.
    pub(super) fn close(&mut self) {
        let is_done = self.left == 0;
        self.now = if is_done {
            self.last_end
        } else {
            self.until.minutes
        };
        for helper in 0..self.helpers.len() {
            self.turn_to(helper, self.helpers[helper].doing);
        }
        self.outcome.finish_min = self.now;
        self.outcome.measured_min = (self.now - self.measured_from).max(0.0);
        self.outcome.services_left = if is_done { 0.0 } else { self.services_left() };
        self.outcome.stations.clear();
        let stations = self.stations.iter().map(|cell| cell.times_until(self.now));
        self.outcome.stations.extend(stations);
        self.outcome.helpers.clear();
        let helpers = self.helpers.iter().map(|cell| cell.times);
        self.outcome.helpers.extend(helpers);
        self.outcome.stops.clear();
        for cell in &self.stops {
            let station = &mut self.outcome.stations[cell.station as usize];
            station.arrivals += cell.times.arrivals;
            station.services += cell.ended;
        }
        let stops = self.stops.iter().map(|cell| cell.times);
        self.outcome.stops.extend(stops);
        self.walk_back();
    }

    fn services_left(&self) -> f64 {
        let mut left = 0.0;
        for (number, cell) in self.stops.iter().enumerate() {
            let at_once = match self.stations[cell.station as usize].kind {
                Kind::Batches => self.net.stops[number].fits,
                Kind::Hands | Kind::Servers => cell.carrier,
            };
            left += cell.waiting / at_once;
        }
        let running = self.stations.iter().map(|cell| f64::from(cell.running));
        left + running.sum::<f64>()
    }

    /// Walks back from the last service along what let each begin. Time between two links is the
    /// later one's; what came after the last service is charged to the first station with work left.
    fn walk_back(&mut self) {
        let outcome = &mut self.outcome;
        outcome.chain_by_station.clear();
        outcome.chain_by_station.resize(self.stations.len(), 0.0);
        outcome.chain_by_helper.clear();
        outcome.chain_by_helper.resize(self.helpers.len(), 0.0);
        outcome.set_by = None;
        if !self.keeps_chain {
            return;
        }
        let busy = self
            .stations
            .iter()
            .position(|cell| cell.queues > 0 || cell.running > 0);
        let mut station = busy;
        let mut upper = outcome.finish_min;
        let mut number = self.last_link;
        if let Some(link) = self.links.get(number as usize) {
            if let Some(busy) = busy {
                outcome.chain_by_station[busy] += upper - link.ended;
            }
            upper = link.ended;
        }
        while let Some(link) = self.links.get(number as usize) {
            let before = self.links.get(link.before as usize);
            let lower = before.map_or(0.0, |before| before.ended);
            if link.station != NONE {
                station = Some(link.station as usize);
            }
            if let Some(station) = station {
                outcome.chain_by_station[station] += upper - lower;
            }
            if link.helper != NONE {
                outcome.chain_by_helper[link.helper as usize] += upper - link.began.max(lower);
            }
            upper = lower;
            number = link.before;
        }
        if let Some(station) = station {
            outcome.chain_by_station[station] += upper;
        }
        let mut longest = 0.0;
        for (station, minutes) in outcome.chain_by_station.iter().enumerate() {
            if *minutes > longest {
                longest = *minutes;
                outcome.set_by = Some(station);
            }
        }
    }
}
