//! Helpers as people: rests, absences, changes of seat.

use super::cells::{Doing, NONE};
use super::events::Event;
use super::simulator::{Drawn, Simulator};
use super::streams::Purpose;

impl Simulator<'_> {
    /// A helper is done with what they had in hand at a station, or has just come: they leave if
    /// that is due, go to their seat if it is elsewhere, take work or become idle.
    #[inline(always)]
    pub(super) fn set_free(&mut self, helper: usize, station: usize) {
        let cell = &self.helpers[helper];
        let is_at_seat = cell.seat == station as u32 && cell.seat != NONE;
        if cell.is_plain && is_at_seat && self.now < cell.next_due {
            self.take_or_wait(helper);
            return;
        }
        if let Some(until) = self.absence_due(helper) {
            self.send_away(helper, until, self.helpers[helper].seat);
            return;
        }
        let seat = self.helpers[helper].seat;
        if seat == NONE && self.net.helpers[helper].serves.is_empty() {
            self.turn_to(helper, Doing::Away);
            if !self.helpers[helper].is_minding {
                self.helpers[helper].is_unseated = true;
                self.plan_roaming(helper);
            }
            return;
        }
        if !self.serves(helper, station) {
            let ready = self.now + self.net.change_min;
            let ready = ready.max(self.helpers[helper].ready_at);
            self.send_away(helper, ready, seat);
            return;
        }
        self.take_or_wait(helper);
    }

    /// A helper at their seat goes where they are called, begins what they choose, or is idle.
    #[inline(always)]
    fn take_or_wait(&mut self, helper: usize) {
        if self.net.roaming.is_some()
            && let Some(station) = self.called_from(helper, self.helpers[helper].seat)
        {
            self.go_to(helper, station);
            return;
        }
        if let Some(stop) = self.choose(helper) {
            let there = self.stops[stop].station as usize;
            self.begin_hands(helper, stop, there);
        } else {
            self.is_now_idle(helper);
            self.plan_roaming(helper);
        }
    }

    /// Until when a helper is absent from now on, if they are.
    #[inline]
    fn absence_due(&mut self, helper: usize) -> Option<f64> {
        let who = &self.net.helpers[helper];
        let cell = &mut self.helpers[helper];
        if self.now < cell.next_due {
            return None;
        }
        let mut due: Option<f64> = None;
        while let Some((from, until)) = who.away.get(cell.next_away) {
            if *from > self.now {
                break;
            }
            cell.next_away += 1;
            if *until > self.now {
                due = Some(due.map_or(*until, |due| due.max(*until)));
            }
        }
        if let Some(rests) = who.rests {
            if due.is_none() && cell.rest_due <= self.now {
                due = Some(self.now + rests.lasts_min);
            }
            // Who is away for as long as a rest has had one.
            if let Some(until) = due
                && until - self.now >= rests.lasts_min
            {
                cell.rest_due = cell.rest_due.max(until + rests.every_min);
            }
        }
        let away = who.away.get(cell.next_away);
        let away = away.map_or(f64::INFINITY, |(from, _)| *from);
        cell.next_due = away.min(cell.rest_due);
        due
    }

    /// Until when a helper is away who is away at minute 0.
    pub(super) fn away_at_start(&mut self, helper: usize) -> Option<f64> {
        let (from, until) = self.net.helpers[helper].away.first()?;
        if *from > 0.0 || *until <= 0.0 {
            return None;
        }
        self.absence_due(helper)
    }

    /// Sends a helper away until a moment; the chain charges it to a station.
    pub(super) fn send_away(&mut self, helper: usize, until: f64, station: u32) {
        self.turn_to(helper, Doing::Away);
        let link = self.link(self.now, until, station, helper as u32);
        let cell = &mut self.helpers[helper];
        cell.link = link;
        cell.back_at = until;
        cell.is_unseated = false;
        self.events.push(until, Event::Back(helper as u32));
    }

    /// A helper comes back, or arrives at a new seat.
    pub(super) fn come_back(&mut self, helper: u32) {
        let cell = &self.helpers[helper as usize];
        if cell.doing != Doing::Away || cell.back_at != self.now {
            return;
        }
        if let Some(station) = self.helpers[helper as usize].paused_at.take() {
            self.stations[station as usize].goes_on(self.now);
            self.turn_to(helper as usize, Doing::Working);
            self.plan_absence(helper as usize);
            return;
        }
        let cell = &self.helpers[helper as usize];
        self.cause = cell.link;
        let seat = cell.seat;
        self.helpers[helper as usize].back_at = -1.0;
        let station = self.net.helpers[helper as usize].serves.first().copied();
        self.set_free(helper as usize, station.unwrap_or(seat as usize));
        self.plan_absence(helper as usize);
    }

    /// Sets when the next rest or absence of a helper is due.
    pub(super) fn plan_absence(&mut self, helper: usize) {
        let due = self.helpers[helper].next_due;
        if due.is_finite() && due > self.now {
            self.events.push(due, Event::Due(helper as u32));
        }
    }

    /// A rest or an absence is due: who works finishes what they have in hand first.
    pub(super) fn leave_if_idle(&mut self, helper: u32) {
        let helper = helper as usize;
        let cell = &self.helpers[helper];
        let is_idle = cell.doing == Doing::Idle;
        if !is_idle && !cell.is_unseated {
            return;
        }
        self.cause = cell.link;
        if let Some(until) = self.absence_due(helper) {
            if is_idle {
                self.no_longer_idle(helper);
            }
            self.send_away(helper, until, self.helpers[helper].seat);
        } else {
            self.plan_absence(helper);
        }
    }

    /// Gives a helper a seat and frees the one they had.
    pub(super) fn take_seat(&mut self, helper: usize, station: u32) {
        let before = self.helpers[helper].seat;
        if before != NONE {
            self.stations[before as usize].seated -= 1;
        }
        if station != NONE {
            self.stations[station as usize].seated += 1;
        }
        self.helpers[helper].seat = station;
        self.helpers[helper].sat_at = self.now;
        self.helpers[helper].only = self.only_stop(helper);
    }

    /// Draws the pace of a helper at a stop and keeps it for all runs of the key.
    pub(super) fn draw_pace(&mut self, helper: usize, stop: usize, place: usize) -> f64 {
        let who = &self.net.helpers[helper];
        let rate = match who.rates.get(stop) {
            Some(Some(rate)) => {
                let mut stream = self.streams.open(Purpose::Rate, helper, stop);
                rate.draw(&mut stream)
            }
            _ => 1.0,
        };
        if self.speeds[helper].epoch != self.epoch {
            let mut stream = self.streams.open(Purpose::Speed, helper, 0);
            self.speeds[helper] = Drawn {
                value: who.speed.draw(&mut stream),
                epoch: self.epoch,
                may: true,
            };
        }
        // A rate of nothing would be a service without end.
        let rate = (rate * self.speeds[helper].value).max(1e-9);
        let station = self.stops[stop].station as usize;
        let value = self.stations[station].slowness / rate;
        let drawn = &mut self.paces[place];
        (drawn.value, drawn.epoch) = (value, self.epoch);
        value
    }
}
