//! How a service begins: what it takes, where its work will go, its place in the books.

use super::cells::{Load, NONE, Route, Task};
use super::events::Event;
use super::law::unit as uniform;
use super::network::Then;
use super::outcome::{BatchRun, Visit};
use super::simulator::Simulator;

impl Simulator<'_> {
    /// Takes work off a stop, for a service that begins now.
    #[inline(always)]
    pub(super) fn take(&mut self, stop: usize, amount: f64) -> Load {
        let cell = &mut self.stops[stop];
        let place = &mut self.stations[cell.station as usize];
        let load = if cell.is_endless {
            let class = self.net.stops[stop].class;
            let load = cell.take_anew(amount, self.now);
            self.outcome.classes_in[class].entered += load.carriers;
            load
        } else {
            cell.take(place, amount, self.now, &mut self.left)
        };
        self.left += 1;
        let circle = cell.circle as usize;
        let around = &mut self.circles[circle];
        around.under_way += 1;
        around.is_still = false;
        load
    }

    /// Decides by chance where a unit goes; the n-th service of a stop has the same fate in all
    /// runs of a key.
    #[inline(always)]
    pub(super) fn way(&mut self, stop: usize) -> u32 {
        match self.stops[stop].route {
            Route::Out | Route::Share | Route::Feed(_) => NONE,
            Route::To(next) => next,
            Route::Chance => {
                let Then::Chance(ways) = &self.net.stops[stop].then else {
                    return NONE;
                };
                let Some(stream) = &mut self.routes[stop] else {
                    return NONE;
                };
                let mut point = uniform(stream);
                for (chance, to) in ways {
                    point -= chance;
                    if point <= 0.0 {
                        return to.map_or(NONE, |to| to as u32);
                    }
                }
                // Rounding alone brings a run here.
                let last = ways.iter().rev().find(|(chance, _)| *chance > 0.0);
                last.and_then(|(_, to)| *to).map_or(NONE, |to| to as u32)
            }
        }
    }

    /// The way of a split that is furthest behind its share.
    pub(super) fn share(&mut self, stop: usize, amount: f64) -> u32 {
        let Then::Share(ways) = &self.net.stops[stop].then else {
            return NONE;
        };
        let had = &mut self.stops[stop].had;
        let weights: f64 = ways.iter().map(|(weight, _)| weight).sum();
        let whole: f64 = had.iter().sum::<f64>() + amount;
        let mut best = (0, f64::NEG_INFINITY);
        for (number, (weight, _)) in ways.iter().enumerate() {
            let behind = whole * weight / weights - had[number];
            if *weight > 0.0 && behind > best.1 + 1e-9 * amount {
                best = (number, behind);
            }
        }
        had[best.0] += amount;
        ways[best.0].1 as u32
    }

    /// Sets a service going: its link, its end and its place in the books.
    #[inline(always)]
    pub(super) fn go(
        &mut self,
        stop: usize,
        station: usize,
        helper: u32,
        load: Load,
        minutes: f64,
    ) -> u32 {
        let ends = self.now + minutes;
        let link = self.link(self.now, ends, station as u32, helper);
        let place = &mut self.stations[station];
        place.begins(load.carriers, self.now);
        if !place.pressing.is_empty() {
            self.tasks.push(Task::Admit(station as u32));
        }
        let to = self.way(stop);
        let visit = if self.keeps_log {
            self.visit(stop, helper, load.amount, self.now, ends)
        } else {
            NONE
        };
        // A helper has one thing in hand: the unit of their number.
        let number = if helper == NONE {
            self.new_unit()
        } else {
            helper
        };
        let unit = &mut self.units[number as usize];
        unit.stop = stop as u32;
        unit.helper = helper;
        unit.load.amount = load.amount;
        unit.load.carriers = load.carriers;
        unit.load.came = load.came;
        unit.load.entered = load.entered;
        unit.link = link;
        unit.to = to;
        unit.head = number;
        unit.parts = 1;
        unit.is_held = false;
        unit.next = NONE;
        unit.visit = visit;
        self.events.push(ends, Event::End(number));
        number
    }

    /// A line of the log.
    #[cold]
    pub(super) fn visit(
        &mut self,
        stop: usize,
        helper: u32,
        amount: f64,
        began: f64,
        ended: f64,
    ) -> u32 {
        self.outcome.log.push(Visit {
            stop,
            helper: (helper != NONE).then_some(helper as usize),
            began_min: began,
            ended_min: ended,
            left_min: f64::INFINITY,
            amount,
        });
        self.outcome.log.len() as u32 - 1
    }

    /// Writes down a batch that begins.
    pub(super) fn batch(&mut self, stop: usize, began: f64, ended: f64, amount: f64) {
        self.outcome.batches.push(BatchRun {
            stop,
            began_min: began,
            ended_min: ended,
            amount,
        });
    }
}
