//! Work that comes from outside.

use super::cells::NONE;
use super::events::Event;
use super::network::Source;
use super::simulator::Simulator;

impl Simulator<'_> {
    /// A source brings a carrier.
    pub(super) fn arrive(&mut self, number: u32) {
        let cell = &mut self.sources[number as usize];
        let stop = cell.stop as usize;
        cell.come += 1;
        self.cause = cell.link;
        let station = self.stops[stop].station;
        let link = self.link(self.now, self.now, station, NONE);
        self.sources[number as usize].link = link;
        self.cause = link;
        let is_over = !self.plan_arrival(number as usize);
        let amount = self.stops[stop].carrier;
        if self.stops[stop].has_room_limit && !self.admits(stop, amount) {
            self.stay_outside(stop, amount);
        } else {
            self.come_in(stop, amount, self.now);
        }
        if is_over {
            self.left -= 1;
            self.source_is_over(stop);
        }
    }

    /// Sets when a source brings its next; whether there is one.
    pub(super) fn plan_arrival(&mut self, number: usize) -> bool {
        let cell = &mut self.sources[number];
        let at = match &self.net.sources[number] {
            Source::Unlimited { .. } => return true,
            Source::Times { at, .. } => match at.get(cell.come as usize) {
                Some(at) => *at,
                None => return false,
            },
            Source::Renewal { limit, .. } => {
                if limit.is_some_and(|limit| cell.come >= limit) {
                    return false;
                }
                let Some(draw) = &cell.draw else {
                    return false;
                };
                self.now + draw.draw(&mut cell.stream, cell.come as usize)
            }
        };
        self.events.push(at, Event::Arrival(number as u32));
        true
    }

    /// Lets work into the network.
    pub(super) fn come_in(&mut self, stop: usize, amount: f64, entered: f64) {
        let class = self.net.stops[stop].class;
        self.outcome.classes_in[class].entered += amount * self.stops[stop].per_amount;
        self.deliver(stop, amount, entered);
    }
}
