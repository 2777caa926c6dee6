//! Whether more work can still come to a stop.
//!
//! A circle of stops (mostly one alone) counts the circles before it and the sources that may still
//! bring work. When that is 0 and nothing is left in it, it tells the circles behind it, so that
//! every way is looked at once in a run.

use super::cells::Task;
use super::simulator::Simulator;

impl Simulator<'_> {
    /// Whether nothing more can come to a stop, so that what waits is all there is.
    #[inline(always)]
    pub(super) fn is_dry(&self, stop: usize) -> bool {
        let circle = self.stops[stop].circle as usize;
        self.circles[circle].coming == 0
            && (!self.plan.circles[circle].is_closed || self.circles[circle].is_still)
    }

    /// Nothing comes from outside a circle and nothing is under way in it any more.
    pub(super) fn has_thinned(&mut self, circle: usize) {
        let stops = &self.plan.circles[circle].stops;
        let is_empty = stops
            .iter()
            .all(|stop| self.stops[*stop as usize].queue.is_empty());
        if is_empty {
            self.no_more_from(circle);
        } else if self.plan.circles[circle].is_closed {
            self.maybe_still.push(circle as u32);
        }
    }

    /// A circle is done; tells those behind it.
    fn no_more_from(&mut self, circle: usize) {
        let mut done = std::mem::take(&mut self.done);
        done.push(circle as u32);
        while let Some(circle) = done.pop() {
            for number in 0..self.plan.circles[circle as usize].feeds.len() {
                let supply = self.plan.circles[circle as usize].feeds[number] as usize;
                self.supplies[supply].feeders -= 1;
                if self.supplies[supply].feeders == 0 {
                    self.wake_supply(supply);
                }
            }
            for number in 0..self.plan.circles[circle as usize].after.len() {
                let next = self.plan.circles[circle as usize].after[number];
                self.circles[next as usize].coming -= 1;
                if self.circles[next as usize].coming == 0 && self.has_run_dry(next as usize) {
                    done.push(next);
                }
            }
        }
        self.done = done;
    }

    /// Nothing more comes to a circle from outside; whether it is done already. What waits there
    /// may now be taken in less than carriers.
    fn has_run_dry(&mut self, circle: usize) -> bool {
        let own = &self.plan.circles[circle];
        for stop in &own.stops {
            self.tasks.push(Task::Stop(*stop));
        }
        let is_closed = own.is_closed;
        let mut stops = own.stops.iter();
        let is_empty = stops.all(|stop| self.stops[*stop as usize].queue.is_empty());
        if self.circles[circle].under_way > 0 {
            return false;
        }
        if !is_empty && is_closed {
            self.maybe_still.push(circle as u32);
        }
        is_empty
    }

    /// Sees whether a closed circle has come to a halt because no stop has a whole carrier: then
    /// what there is may be taken.
    pub(super) fn see_if_still(&mut self, circle: usize) {
        let is_moving = self.circles[circle].coming > 0 || self.circles[circle].under_way > 0;
        let stops = &self.plan.circles[circle].stops;
        let has_whole = stops.iter().any(|stop| self.has_whole(*stop as usize));
        if is_moving || has_whole || self.circles[circle].is_still {
            return;
        }
        self.circles[circle].is_still = true;
        for stop in stops {
            self.tasks.push(Task::Stop(*stop));
        }
    }

    /// Whether as much waits at a stop as it takes while more may come.
    fn has_whole(&self, stop: usize) -> bool {
        let cell = &self.stops[stop];
        let least = self.least_batch(cell.station as usize, stop);
        let least = least.unwrap_or(cell.carrier);
        !cell.queue.is_empty() && cell.waiting >= least - cell.crumb()
    }

    /// A source of a stop brings no more.
    pub(super) fn source_is_over(&mut self, stop: usize) {
        let circle = self.stops[stop].circle as usize;
        self.circles[circle].coming -= 1;
        if self.circles[circle].coming == 0 && self.has_run_dry(circle) {
            self.no_more_from(circle);
        }
    }

    /// Closes, at the start, the ways on which nothing comes; in the order work flows, so that once
    /// through is enough.
    pub(super) fn see_what_comes(&mut self) {
        for number in 0..self.plan.circles.len() {
            let circle = &self.plan.circles[number];
            let mut stops = circle.stops.iter();
            let is_empty = stops.all(|stop| self.stops[*stop as usize].queue.is_empty());
            if self.circles[number].coming > 0 || self.circles[number].under_way > 0 || !is_empty {
                if self.circles[number].coming == 0 && circle.is_closed {
                    self.maybe_still.push(number as u32);
                }
                continue;
            }
            for supply in &circle.feeds {
                self.supplies[*supply as usize].feeders -= 1;
            }
            for next in &circle.after {
                self.circles[*next as usize].coming -= 1;
            }
        }
    }
}
