//! What the simulation remembers of each stop.

use super::cells::{Load, NONE, StationCell};
use super::network::{Network, Then, Works};
use super::outcome::StopTimes;
use super::plan::Plan;
use super::queue::Queue;

/// A stop.
#[derive(Debug, Default)]
pub(super) struct StopCell {
    pub(super) station: u32,
    pub(super) circle: u32,
    pub(super) rank: u32,
    pub(super) carrier: f64,
    crumb: f64,
    /// Carriers in one unit of amount.
    pub(super) per_amount: f64,
    pub(super) is_endless: bool,
    /// Its work can come back to it.
    pub(super) is_in_circle: bool,
    pub(super) has_draws: bool,
    /// Only whole units go on.
    pub(super) is_whole: bool,
    /// Its station has limited room.
    pub(super) has_room_limit: bool,
    /// Its station has any number of servers.
    pub(super) is_wide: bool,
    /// Its services take shared things or draw on supplies.
    pub(super) has_needs: bool,
    pub(super) route: Route,
    pub(super) yields: f64,
    pub(super) queue: Queue,
    pub(super) waiting: f64,
    pub(super) is_waiting_for_supply: bool,
    /// What each way of a split has had.
    pub(super) had: Vec<f64>,
    pub(super) times: StopTimes,
    /// Services that ended, for the books of the station.
    pub(super) ended: f64,
}

/// Where work goes from a stop.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Route {
    #[default]
    Out,
    To(u32),
    Chance,
    Share,
    Feed(u32),
}

impl StopCell {
    pub(super) fn all(network: &Network, plan: &Plan) -> Vec<StopCell> {
        let stops = network.stops.iter().enumerate();
        stops
            .map(|(number, stop)| StopCell {
                station: stop.station as u32,
                circle: plan.circle_of[number],
                rank: stop.rank,
                carrier: stop.carrier,
                crumb: stop.carrier * 1e-9,
                per_amount: 1.0 / stop.carrier,
                is_in_circle: plan.circles[plan.circle_of[number] as usize].is_closed,
                is_endless: plan.is_endless[number],
                has_draws: !stop.draws.is_empty(),
                is_whole: network.whole.get(number).copied().unwrap_or(false),
                has_room_limit: network.stations[stop.station].room.is_some(),
                is_wide: network.stations[stop.station].works == Works::Servers(None),
                has_needs: !stop.draws.is_empty()
                    || !network.stations[stop.station].takes.is_empty(),
                route: match &stop.then {
                    Then::Leave => Route::Out,
                    Then::Go(next) => Route::To(*next as u32),
                    Then::Chance(_) => Route::Chance,
                    Then::Share(_) => Route::Share,
                    Then::Feed(supply) => Route::Feed(*supply as u32),
                },
                yields: 1.0,
                ..StopCell::default()
            })
            .collect()
    }

    /// What comes of an amount; less than a whole unit is nothing where only whole ones go on.
    #[inline(always)]
    pub(super) fn makes(&self, amount: f64) -> f64 {
        let made = amount * self.yields;
        if self.is_whole {
            (made + 1e-6).floor()
        } else {
            made
        }
    }

    /// Less than this is nothing: what rounding leaves of a carrier.
    #[inline(always)]
    pub(super) fn crumb(&self) -> f64 {
        self.crumb
    }

    /// Takes work of an unlimited source, which comes as it is taken.
    pub(super) fn take_anew(&mut self, amount: f64, now: f64) -> Load {
        let carriers = amount * self.per_amount;
        self.times.arrivals += carriers;
        self.times.started += carriers;
        Load {
            amount,
            carriers,
            came: carriers * now,
            entered: carriers * now,
        }
    }

    /// Takes the oldest of what waits, in the books of the station too, and counts down what is
    /// left to do if nothing waits any more.
    #[inline(always)]
    pub(super) fn take(
        &mut self,
        place: &mut StationCell,
        amount: f64,
        now: f64,
        left: &mut usize,
    ) -> Load {
        let load = self.take_oldest(amount, now);
        place.leaves(load.carriers, now);
        if self.queue.is_empty() {
            place.queues -= 1;
            *left -= 1;
            if place.queues == 0 {
                place.waiting = 0.0;
            }
        }
        self.times.started += load.carriers;
        self.times.wait_sum += load.carriers * now - load.came;
        load
    }

    /// Takes the oldest of what waits; what would be left of less than a crumb is taken too.
    #[inline(always)]
    fn take_oldest(&mut self, amount: f64, now: f64) -> Load {
        let crumb = self.crumb();
        let Some(layer) = self.queue.front_mut() else {
            return Load::default();
        };
        let has_more = self.waiting > amount + crumb;
        if layer.amount < amount - crumb || (!has_more && layer.amount < self.waiting) {
            return self.take_layers(if has_more { amount } else { f64::INFINITY }, now);
        }
        let came = layer.came.max(0.0);
        let entered = layer.entered;
        let taken = if has_more && layer.amount > amount + crumb {
            layer.amount -= amount;
            self.waiting -= amount;
            amount
        } else {
            let taken = layer.amount;
            self.queue.pop_front();
            self.waiting = if has_more { self.waiting - taken } else { 0.0 };
            taken
        };
        let carriers = taken * self.per_amount;
        self.times.waited += if came < now { carriers } else { 0.0 };
        Load {
            amount: taken,
            carriers,
            came: carriers * came,
            entered: carriers * entered,
        }
    }

    /// Takes from several layers.
    #[inline(never)]
    fn take_layers(&mut self, mut missing: f64, now: f64) -> Load {
        let mut load = Load::default();
        while missing > self.crumb()
            && let Some(layer) = self.queue.front_mut()
        {
            let part = layer.amount.min(missing);
            let carriers = part * self.per_amount;
            let came = layer.came.max(0.0);
            load.amount += part;
            load.carriers += carriers;
            load.came += carriers * came;
            load.entered += carriers * layer.entered;
            self.times.waited += if came < now { carriers } else { 0.0 };
            missing -= part;
            if part >= layer.amount {
                self.queue.pop_front();
            } else {
                layer.amount -= part;
            }
        }
        self.waiting -= load.amount;
        if self.queue.is_empty() {
            self.waiting = 0.0;
        }
        load
    }

    /// More waits than it seemed, as the youngest; or less, of the youngest.
    pub(super) fn adjust(&mut self, more: f64) {
        if more > self.crumb() {
            self.queue.push_back(more, 0.0, 0.0, NONE);
            self.waiting += more;
            return;
        }
        let mut missing = -more;
        while missing > self.crumb()
            && let Some(youngest) = self.queue.back_mut()
        {
            let gone = missing.min(youngest.amount);
            youngest.amount -= gone;
            self.waiting -= gone;
            missing -= gone;
            if youngest.amount <= self.crumb {
                self.queue.pop_back();
            }
        }
        if self.queue.is_empty() {
            self.waiting = 0.0;
        }
    }

    /// When the oldest came.
    pub(super) fn oldest(&self) -> f64 {
        self.queue.front().map_or(0.0, |layer| layer.came)
    }
}
