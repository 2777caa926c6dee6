//! Stations where helpers work: who takes what.

use super::cells::{Doing, NONE, Task};
use super::simulator::Simulator;

impl Simulator<'_> {
    /// Whether a stop has a carrier that may be begun: enough work, shared things, supplies.
    #[inline(always)]
    pub(super) fn can_begin(&mut self, stop: usize) -> bool {
        let cell = &self.stops[stop];
        let is_enough = cell.is_endless
            || cell.waiting >= cell.carrier - cell.crumb()
            || (!cell.queue.is_empty()
                && (self.is_dry(stop) || self.stations[cell.station as usize].is_overfull()));
        is_enough && self.may_have(stop)
    }

    /// What the next service of a stop takes.
    #[inline(always)]
    pub(super) fn next_carrier(&self, stop: usize) -> f64 {
        let cell = &self.stops[stop];
        if cell.is_endless {
            return cell.carrier;
        }
        cell.carrier.min(cell.waiting)
    }

    /// Lets idle helpers, lowest number first, take what waits at a stop.
    #[inline(always)]
    pub(super) fn offer_hands(&mut self, stop: usize, station: usize) {
        while self.stations[station].ready > 0 && self.can_begin(stop) {
            let idle = &self.stations[station].idle;
            let found = idle
                .iter()
                .find(|helper| self.may_take(**helper as usize, stop));
            let Some(helper) = found else {
                return;
            };
            let helper = *helper as usize;
            self.no_longer_idle(helper);
            self.begin_hands(helper, stop, station);
        }
    }

    /// Lets each idle helper of a station, lowest number first, choose.
    pub(super) fn pull_hands(&mut self, station: usize) {
        let mut next = 0;
        while let Some(helper) = self.stations[station].idle.get(next) {
            let helper = *helper as usize;
            if let Some(stop) = self.choose(helper) {
                self.no_longer_idle(helper);
                let there = self.stops[stop].station as usize;
                self.begin_hands(helper, stop, there);
            } else {
                next += 1;
            }
        }
    }

    /// Whether a helper works at a station without moving.
    #[inline]
    pub(super) fn serves(&self, helper: usize, station: usize) -> bool {
        let serves = &self.net.helpers[helper].serves;
        if serves.is_empty() {
            return self.helpers[helper].seat == station as u32;
        }
        serves.contains(&station)
    }

    /// Whether a helper may take work of a stop, and it is its turn.
    #[inline(always)]
    pub(super) fn may_take(&self, helper: usize, stop: usize) -> bool {
        if !self.paces[helper * self.stops.len() + stop].may {
            return false;
        }
        let who = &self.net.helpers[helper];
        if self.helpers[helper].is_plain || who.turns.is_empty() {
            return true;
        }
        who.turns[self.helpers[helper].turn % who.turns.len()] == stop
    }

    /// What a free helper takes next: the next in their turn; or what they like best; or the lowest
    /// rank; or what waited longest.
    #[inline(always)]
    pub(super) fn choose(&mut self, helper: usize) -> Option<usize> {
        let only = self.helpers[helper].only;
        if only != NONE {
            return self.can_begin(only as usize).then_some(only as usize);
        }
        self.choose_of_several(helper)
    }

    /// The one stop that somebody in no fixed order can work at from their seat, if there is only
    /// one.
    pub(super) fn only_stop(&self, helper: usize) -> u32 {
        let cell = &self.helpers[helper];
        match self.stations.get(cell.seat as usize) {
            Some(station) if cell.is_plain => match station.stops[..] {
                [stop] if self.may_take(helper, stop as usize) => stop,
                _ => NONE,
            },
            _ => NONE,
        }
    }

    #[inline(never)]
    fn choose_of_several(&mut self, helper: usize) -> Option<usize> {
        let who = &self.net.helpers[helper];
        if !who.turns.is_empty() {
            let stop = who.turns[self.helpers[helper].turn % who.turns.len()];
            let station = self.stops[stop].station as usize;
            let may = self.serves(helper, station) && self.may_take(helper, stop);
            return (may && self.can_begin(stop)).then_some(stop);
        }
        if !who.serves.is_empty() {
            let mut best = None;
            for station in &who.serves {
                best = self.better(helper, *station, best);
            }
            return best.map(|(_, _, _, stop)| stop);
        }
        let seat = self.helpers[helper].seat;
        if seat == NONE {
            return None;
        }
        let best = self.better(helper, seat as usize, None);
        best.map(|(_, _, _, stop)| stop)
    }

    /// The better of what was found and what waits at a station, as (place among what the helper
    /// likes, rank, since when, stop).
    fn better(
        &mut self,
        helper: usize,
        station: usize,
        mut best: Option<(usize, u32, f64, usize)>,
    ) -> Option<(usize, u32, f64, usize)> {
        let prefers = &self.net.helpers[helper].prefers;
        for number in 0..self.stations[station].stops.len() {
            let stop = self.stations[station].stops[number] as usize;
            let cell = &self.stops[stop];
            if !cell.is_endless && cell.queue.is_empty() {
                continue;
            }
            let mut likes = prefers.iter();
            let liked = likes.position(|liked| *liked == stop);
            let found = (liked.unwrap_or(usize::MAX), cell.rank, cell.oldest(), stop);
            let is_better = best.is_none_or(|best| {
                (found.0, found.1)
                    .cmp(&(best.0, best.1))
                    .then(found.2.total_cmp(&best.2))
                    .is_lt()
            });
            if is_better && self.may_take(helper, stop) && self.can_begin(stop) {
                best = Some(found);
            }
        }
        best
    }

    /// A helper begins the next carrier of a stop.
    #[inline(always)]
    pub(super) fn begin_hands(&mut self, helper: usize, stop: usize, station: usize) {
        let pace = self.pace(helper, stop);
        let load = self.take(stop, self.next_carrier(stop));
        if self.stops[stop].has_needs {
            self.have_by_hand(stop, station, load.amount);
        }
        let who = &mut self.helpers[helper];
        who.turn += 1;
        who.turn_to(Doing::Working, self.now);
        let minutes = self.services[stop].next() * load.carriers.min(1.0) * pace;
        self.go(stop, station, helper as u32, load, minutes);
    }

    /// Takes the shared things of a station where nothing went on, and what the service draws.
    #[inline(never)]
    fn have_by_hand(&mut self, stop: usize, station: usize, amount: f64) {
        if self.stations[station].takes_pools && !self.stations[station].has_pools {
            self.stations[station].has_pools = true;
            self.take_pools(station);
        }
        self.draw_supplies(stop, amount);
    }

    /// Puts a helper among the idle of all stations they serve.
    #[inline]
    pub(super) fn is_now_idle(&mut self, helper: usize) {
        self.turn_to(helper, Doing::Idle);
        let serves = &self.net.helpers[helper].serves;
        if serves.is_empty() {
            self.add_idle(helper, self.helpers[helper].seat as usize);
        }
        for station in serves {
            self.add_idle(helper, *station);
        }
    }

    #[inline]
    fn add_idle(&mut self, helper: usize, station: usize) {
        let cell = &mut self.stations[station];
        let helper = helper as u32;
        let place = cell.idle.partition_point(|other| *other < helper);
        cell.idle.insert(place, helper);
        cell.readies(1, self.now);
        cell.note(self.now);
        if !cell.pressing.is_empty() {
            self.tasks.push(Task::Admit(station as u32));
        }
    }

    /// Takes a helper off all lists of idle ones.
    #[inline]
    pub(super) fn no_longer_idle(&mut self, helper: usize) {
        let serves = &self.net.helpers[helper].serves;
        if serves.is_empty() {
            self.remove_idle(helper, self.helpers[helper].seat as usize);
        }
        for station in serves {
            self.remove_idle(helper, *station);
        }
    }

    #[inline]
    fn remove_idle(&mut self, helper: usize, station: usize) {
        let cell = &mut self.stations[station];
        let helper = helper as u32;
        let place = cell.idle.partition_point(|other| *other < helper);
        if cell.idle.get(place) == Some(&helper) {
            cell.idle.remove(place);
            cell.readies(-1, self.now);
            cell.note(self.now);
        }
    }

    /// By what a helper stretches the services of a stop: one over their rate, times the slowness
    /// of the station. Drawn when first asked for and the same through the run.
    #[inline(always)]
    pub(super) fn pace(&mut self, helper: usize, stop: usize) -> f64 {
        let place = helper * self.stops.len() + stop;
        let drawn = self.paces[place];
        if drawn.epoch == self.epoch {
            return drawn.value;
        }
        self.draw_pace(helper, stop, place)
    }
}
