//! How people move by themselves: to where work waits and nobody sits, or where it is deep.
//!
//! Where room is limited, somebody who goes can leave those before them blocked, and in the end
//! themselves: in such a network only the idle move, and only to where nobody sits or when they are
//! done.

use super::cells::{Doing, Kind, NONE};
use super::events::Event;
use super::simulator::Simulator;

/// Somebody at work looks around so many times in the time that roaming takes.
const LOOKS_IN_TIME: f64 = 4.0;
/// But not more often than this, in minutes.
const LEAST_LOOK_MIN: f64 = 1.0;

impl Simulator<'_> {
    /// Remembers why a helper has nothing to do, and when they will look around.
    #[inline]
    pub(super) fn plan_roaming(&mut self, helper: usize) {
        self.helpers[helper].link = self.cause;
        if let Some(roaming) = self.net.roaming
            && self.net.helpers[helper].serves.is_empty()
        {
            let at = self.now + roaming.after_min;
            self.events.push(at, Event::Roam(helper as u32));
        }
    }

    /// A helper who has been without work long enough goes where they are needed. Who finds nothing
    /// looks again after as long.
    pub(super) fn roam(&mut self, helper: u32) {
        let number = helper as usize;
        let Some(roaming) = self.net.roaming else {
            return;
        };
        let cell = &self.helpers[number];
        let is_idle = cell.doing == Doing::Idle;
        let is_free = is_idle || cell.is_unseated;
        let after = roaming.after_min.max(1.0);
        if !is_free || self.now < cell.since + roaming.after_min - 1e-9 {
            return;
        }
        let (since, why) = (cell.since, cell.link);
        let Some((station, stop)) = self.where_needed(number) else {
            self.events.push(self.now + after, Event::Roam(helper));
            return;
        };
        // Somebody who was free before the work came did not keep it waiting.
        let work = self.stops[stop].queue.front();
        let late = work.filter(|work| work.came > since && work.link != NONE);
        self.cause = late.map_or(why, |work| work.link);
        if is_idle {
            self.no_longer_idle(number);
        }
        self.go_to(number, station);
    }

    /// Takes a seat elsewhere and walks there.
    pub(super) fn go_to(&mut self, helper: usize, station: usize) {
        self.take_seat(helper, station as u32);
        let ready = self.now + self.net.change_min;
        self.send_away(helper, ready, station as u32);
    }

    /// Where work waits that this helper may do: where nobody sits; where a seat is free and a
    /// carrier waits for each who sits there and for them too; or, when their own station is done
    /// for the day or they have none, where a seat is free. The most minutes of work for each
    /// first. Gives the station and the stop.
    fn where_needed(&self, helper: usize) -> Option<(usize, usize)> {
        let seat = self.helpers[helper].seat;
        let is_over = seat == NONE || self.is_over(seat as usize);
        let mut best: Option<(f64, usize, usize)> = None;
        for (stop, rate) in self.net.helpers[helper].rates.iter().enumerate() {
            let cell = &self.stops[stop];
            let place = &self.stations[cell.station as usize];
            let is_work = rate.is_some()
                && place.kind == Kind::Hands
                && cell.station != seat
                && self.is_carrier(stop);
            if !is_work {
                continue;
            }
            let seats = self.net.stations[cell.station as usize].seats;
            let hands = f64::from(place.seated + 1);
            let is_deep =
                !self.plan.has_rooms && cell.waiting >= hands * cell.carrier - cell.crumb();
            if place.seated > 0 && !((is_over || is_deep) && place.seated < seats) {
                continue;
            }
            let minutes = self.minutes_of_work(stop) / hands;
            if best.is_none_or(|(most, ..)| minutes > most) {
                best = Some((minutes, cell.station as usize, stop));
            }
        }
        best.map(|(_, station, stop)| (station, stop))
    }

    /// Where somebody with empty hands goes of their own accord, before they take up the next
    /// carrier or wait for it: where nobody sits and work has waited as long as roaming takes, if
    /// they have sat as long; but not the last one from a place with more work. They look around
    /// now and then, not after every carrier.
    pub(super) fn called_from(&mut self, helper: usize, seat: u32) -> Option<usize> {
        let after = self.net.roaming?.after_min;
        let who = &self.net.helpers[helper];
        let cell = &mut self.helpers[helper];
        let stays = seat == NONE || !who.serves.is_empty() || !who.turns.is_empty();
        if stays
            || self.plan.has_rooms
            || self.now < cell.sat_at + after
            || self.now < cell.next_look
        {
            return None;
        }
        cell.next_look = self.now + (after / LOOKS_IN_TIME).max(LEAST_LOOK_MIN);
        let mut best: Option<(f64, usize)> = None;
        for (stop, rate) in who.rates.iter().enumerate() {
            let cell = &self.stops[stop];
            let place = &self.stations[cell.station as usize];
            let calls = rate.is_some()
                && place.kind == Kind::Hands
                && place.seated == 0
                && self.net.stations[cell.station as usize].seats > 0
                && self.is_carrier(stop)
                && self.now - cell.oldest() >= after;
            let minutes = self.minutes_of_work(stop);
            if calls && best.is_none_or(|(most, _)| minutes > most) {
                best = Some((minutes, cell.station as usize));
            }
        }
        let (minutes, station) = best?;
        let own = &self.stations[seat as usize];
        let left = own.stops.iter();
        let left: f64 = left.map(|stop| self.minutes_of_work(*stop as usize)).sum();
        (own.seated > 1 || left < minutes).then_some(station)
    }

    /// Whether a carrier waits, or the last of the work, or one that found no place to wait.
    fn is_carrier(&self, stop: usize) -> bool {
        let cell = &self.stops[stop];
        let pressing = &self.stations[cell.station as usize].pressing;
        cell.waiting >= cell.carrier - cell.crumb()
            || (cell.waiting > cell.crumb() && self.is_dry(stop))
            || pressing
                .iter()
                .any(|unit| self.units[*unit as usize].to == stop as u32)
    }

    /// Minutes of work that wait at a stop, for a helper of rate 1.
    fn minutes_of_work(&self, stop: usize) -> f64 {
        let cell = &self.stops[stop];
        cell.waiting * cell.per_amount * self.net.stops[stop].time.mean()
    }

    /// Whether nothing waits at a station and nothing more can come.
    fn is_over(&self, station: usize) -> bool {
        let cell = &self.stations[station];
        let mut stops = cell.stops.iter();
        cell.queues == 0 && stops.all(|stop| self.is_dry(*stop as usize))
    }
}

#[cfg(test)]
mod tests {
    use crate::sim::{
        Helper, Key, Law, Network, Outcome, Roaming, Simulator, Source, Start, Station, Stop, Then,
        Uncertain, Until, WhenFull, Works,
    };

    /// Hand stations with one stop each, a minute a carrier, and one helper at the first.
    fn kitchen(stations: usize, roaming: Option<Roaming>) -> Network {
        let station = |number: usize| Station {
            name: number.to_string(),
            works: Works::Hands,
            room: None,
            when_full: WhenFull::Block,
            seats: 2,
            takes: Vec::new(),
            slowness: Uncertain::Known(1.0),
        };
        let stop = |station: usize| Stop {
            station,
            class: station,
            carrier: 1.0,
            fits: 1.0,
            time: Law::Deterministic(1.0),
            yields: Uncertain::Known(1.0),
            then: Then::Leave,
            rank: 0,
            group: 0,
            draws: Vec::new(),
        };
        let helper = Helper {
            name: String::new(),
            rates: vec![Some(Uncertain::Known(1.0)); stations],
            speed: Uncertain::Known(1.0),
            away: Vec::new(),
            rests: None,
            prefers: Vec::new(),
            turns: Vec::new(),
            serves: Vec::new(),
        };
        Network {
            stations: (0..stations).map(station).collect(),
            stops: (0..stations).map(stop).collect(),
            helpers: vec![helper],
            roaming,
            classes: stations,
            ..Network::default()
        }
    }

    fn run(network: &Network, waiting: &[f64]) -> Outcome {
        let start = Start {
            waiting: waiting.iter().map(|amount| vec![(*amount, 0.0)]).collect(),
            seats: vec![Some(0)],
            ..Start::default()
        };
        let mut simulator = Simulator::new(network).expect("a sound network");
        let key = Key { seed: 1, run: 0 };
        simulator.run(&start, key, Until::done()).clone()
    }

    const TEN: Option<Roaming> = Some(Roaming { after_min: 10.0 });

    #[test]
    fn work_that_trickles_does_not_hold_somebody_while_much_waits_alone() {
        // A carrier every three minutes at the first: never idle for ten minutes.
        let trickle = |roaming| {
            let mut network = kitchen(2, roaming);
            network.sources.push(Source::Renewal {
                stop: 0,
                between: Law::Deterministic(3.0),
                limit: Some(20),
            });
            run(&network, &[0.0, 8.0])
        };
        let found = trickle(TEN);
        assert_eq!(found.services_left, 0.0);
        // Carriers come at 3, 6 and 9; the third is done at 10, when they have sat and the work has
        // waited for ten minutes. Eight carriers more, long before the trickle ends at 60.
        assert_eq!(found.class_finish_min[1], 18.0);
        assert!(trickle(None).services_left > 0.0);
    }

    #[test]
    fn nobody_leaves_more_work_alone_than_they_go_to() {
        let found = run(&kitchen(2, TEN), &[40.0, 5.0]);
        assert_eq!(found.services_left, 0.0);
        // They look around at 10 and then with the first carrier done after 2.5 minutes each: 13, 16
        // ... 34, 37. At 34 they would leave 6 carriers for 5; at 37 it is 3. Five carriers until
        // 42, ten idle minutes, and the three that were left.
        assert_eq!(found.class_finish_min, [55.0, 42.0]);
    }

    #[test]
    fn whoever_was_free_before_the_work_came_is_not_what_held_it_up() {
        // An unattended server works a hundred minutes for the second hand station; the helper has
        // been idle at the first since minute 1.
        let mut network = kitchen(3, TEN);
        network.stations[1].works = Works::Servers(Some(1));
        network.stops[1].time = Law::Deterministic(100.0);
        network.stops[1].then = Then::Go(2);
        network.helpers[0].rates[1] = None;
        let found = run(&network, &[1.0, 1.0, 0.0]);
        assert_eq!(found.set_by, Some(1));
        assert!(
            found.chain_by_station[1] >= 100.0,
            "{:?}",
            found.chain_by_station
        );
        let sum: f64 = found.chain_by_station.iter().sum();
        assert!((sum - found.finish_min).abs() < 1e-9);
    }

    #[test]
    fn the_last_of_the_work_is_fetched_even_if_it_is_less_than_a_carrier() {
        let found = run(&kitchen(2, TEN), &[1.0, 0.5]);
        assert_eq!(found.services_left, 0.0);
        assert_eq!(found.class_made, [1.0, 0.5]);
    }
}
