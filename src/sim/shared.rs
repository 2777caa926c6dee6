//! Things that stations share, and supplies that work draws on.

use super::cells::Task;
use super::simulator::Simulator;

impl Simulator<'_> {
    /// Whether a service of a stop may have its shared things and supplies; if not, its station or
    /// stop is told when that may have changed.
    #[inline(always)]
    pub(super) fn may_have(&mut self, stop: usize) -> bool {
        if !self.stops[stop].has_needs {
            return true;
        }
        let station = self.stops[stop].station as usize;
        if self.stations[station].takes_pools && !self.has_pools(station) {
            self.wait_for_pools(station);
            return false;
        }
        !self.stops[stop].has_draws || self.has_supplies(stop)
    }

    /// Whether a station has, or can have, what it takes of the shared things.
    pub(super) fn has_pools(&self, station: usize) -> bool {
        if self.stations[station].has_pools {
            return true;
        }
        let mut takes = self.net.stations[station].takes.iter();
        takes.all(|(pool, count)| self.pools[*pool].free >= i64::from(*count))
    }

    fn wait_for_pools(&mut self, station: usize) {
        if self.stations[station].is_waiting_for_pool {
            return;
        }
        self.stations[station].is_waiting_for_pool = true;
        for (pool, _) in &self.net.stations[station].takes {
            self.pools[*pool].waiters.push(station as u32);
        }
    }

    pub(super) fn take_pools(&mut self, station: usize) {
        for (pool, count) in &self.net.stations[station].takes {
            self.pools[*pool].free -= i64::from(*count);
        }
    }

    /// Gives the shared things back; who has waited longest may take them first.
    pub(super) fn give_back(&mut self, station: usize) {
        for (pool, count) in &self.net.stations[station].takes {
            let cell = &mut self.pools[*pool];
            cell.free += i64::from(*count);
            for waiter in cell.waiters.drain(..) {
                self.stations[waiter as usize].is_waiting_for_pool = false;
                self.tasks.push(Task::Station(waiter));
            }
        }
    }

    /// What a service of so much draws.
    fn drawn(&self, stop: usize, per_unit: f64, amount: f64) -> f64 {
        per_unit * amount * self.stops[stop].yields
    }

    fn has_supplies(&mut self, stop: usize) -> bool {
        let amount = match self.net.stations[self.stops[stop].station as usize].works {
            super::Works::Batches(_) => self.net.stops[stop].fits.min(self.stops[stop].waiting),
            _ => self.next_carrier(stop),
        };
        for (supply, per_unit) in &self.net.stops[stop].draws {
            let need = self.drawn(stop, *per_unit, amount);
            let cell = &self.supplies[*supply];
            let is_waited_for = self.net.supplies[*supply].is_fed && cell.feeders > 0;
            if is_waited_for && cell.stock < need - 1e-9 * per_unit {
                if !self.stops[stop].is_waiting_for_supply {
                    self.stops[stop].is_waiting_for_supply = true;
                    self.supplies[*supply].waiters.push(stop as u32);
                }
                return false;
            }
        }
        true
    }

    /// Takes what a service draws. What nobody waits for may run out.
    #[inline(always)]
    pub(super) fn draw_supplies(&mut self, stop: usize, amount: f64) {
        if !self.stops[stop].has_draws {
            return;
        }
        for (supply, per_unit) in &self.net.stops[stop].draws {
            let need = self.drawn(stop, *per_unit, amount);
            let cell = &mut self.supplies[*supply];
            cell.stock = (cell.stock - need).max(0.0);
        }
    }

    /// Brings something into a supply.
    pub(super) fn feed(&mut self, supply: usize, amount: f64) {
        self.supplies[supply].stock += amount;
        self.wake_supply(supply);
    }

    pub(super) fn wake_supply(&mut self, supply: usize) {
        for stop in self.supplies[supply].waiters.drain(..) {
            self.stops[stop as usize].is_waiting_for_supply = false;
            self.tasks.push(Task::Stop(stop));
        }
    }
}
