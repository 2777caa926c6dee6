//! Stations where unattended places work on one carrier each.

use super::cells::{NONE, Route};
use super::law::Draw;
use super::simulator::Simulator;

impl Simulator<'_> {
    /// Free servers take what waits: the lowest rank, then what waited longest.
    pub(super) fn pull_servers(&mut self, station: usize) {
        while self.stations[station].ready > 0 {
            let Some(stop) = self.next_stop(station) else {
                return;
            };
            self.begin_server(stop, station);
        }
    }

    fn next_stop(&mut self, station: usize) -> Option<usize> {
        if let [stop] = self.stations[station].stops[..] {
            let stop = stop as usize;
            return self.can_begin(stop).then_some(stop);
        }
        let mut best: Option<(u32, f64, usize)> = None;
        for number in 0..self.stations[station].stops.len() {
            let stop = self.stations[station].stops[number] as usize;
            let cell = &self.stops[stop];
            let (rank, came) = (cell.rank, cell.oldest());
            let is_better = best.is_none_or(|(other, oldest, _)| {
                rank.cmp(&other).then(came.total_cmp(&oldest)).is_lt()
            });
            if is_better && self.can_begin(stop) {
                best = Some((rank, came, stop));
            }
        }
        best.map(|(_, _, stop)| stop)
    }

    fn begin_server(&mut self, stop: usize, station: usize) {
        let is_wide = self.stations[station].is_wide;
        let amount = if is_wide && self.may_go_together(stop, station) {
            self.stops[stop].waiting
        } else {
            self.next_carrier(stop)
        };
        let load = self.take(stop, amount);
        let share = load.carriers.min(1.0);
        let minutes = self.services[stop].next() * share * self.stations[station].slowness;
        self.stations[station].readies(-1, self.now);
        if self.stations[station].takes_pools {
            self.take_pools(station);
        }
        self.draw_supplies(stop, load.amount);
        self.go(stop, station, NONE, load, minutes);
    }

    /// Where there is no limit of places and everything takes the same time, what begins together
    /// ends together and is one service: of 7 jars that cool, not 7 services of a jar.
    fn may_go_together(&self, stop: usize, station: usize) -> bool {
        let cell = &self.stops[stop];
        let is_alike = matches!(self.services[stop].draw, Draw::Fixed(_));
        let is_simple = match cell.route {
            Route::Out | Route::Feed(_) => true,
            Route::To(next) => self.stations[self.stops[next as usize].station as usize]
                .room
                .is_infinite(),
            Route::Chance | Route::Share => false,
        };
        let is_free = !self.stations[station].takes_pools && !cell.has_draws && !cell.is_endless;
        is_alike && is_simple && is_free && !self.keeps_log && cell.waiting > cell.carrier
    }
}
