//! What people do: sit, take a carrier when one waits, tap it when they think of it, rest, and go
//! where they are sent once the carrier in hand is done.

use crate::kitchen::Kitchen;
use crate::routes::Kind;
use crate::truth::{Told, Truth};
use crate::world::{MINUTE, What, World, lead};
use putby::day::ids::HelperId;
use putby::day::plan::Verdict;
use putby::day::{Command, Role};

/// After so long without work somebody looks at the board.
const LOOKS_AFTER_MIN: f64 = 2.0;
/// And again so often; somebody without a seat tries to get one.
const LOOKS_EVERY_MIN: f64 = 3.0;

#[derive(Debug, Clone, PartialEq)]
enum Doing {
    Resting,
    Walking,
    Free,
    Working {
        stop: usize,
        amount: f64,
        number: u64,
    },
}

/// A carrier that was finished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Untapped {
    stop: usize,
    amount: f64,
}

/// Somebody at work.
#[derive(Debug, Clone)]
pub struct Hand {
    /// Where they sit.
    pub seat: Option<usize>,
    /// Where they sat last, and go back to after a rest.
    home: usize,
    doing: Doing,
    pub untapped: Vec<Untapped>,
    /// Since when they have nothing to do.
    pub idle_since: Option<i64>,
    /// Milliseconds without work so far.
    idle_ms: i64,
    /// When they look next.
    look_at: i64,
    rest_at: i64,
    rests: u64,
    walks: u64,
    /// Since when they sit.
    pub sat_at: i64,
    /// Where they were asked to go.
    pub going: Option<Command>,
    /// The seat was changed while a carrier was in hand.
    must_walk: bool,
}

impl Hand {
    pub fn all(kitchen: &Kitchen, truth: &Truth) -> Vec<Hand> {
        let people = kitchen.people.iter().enumerate();
        let hand = people.map(|(number, person)| Hand {
            seat: None,
            home: person.seat,
            doing: Doing::Walking,
            untapped: Vec::new(),
            idle_since: None,
            idle_ms: 0,
            look_at: 0,
            rest_at: (truth.rest(number, person.age, 0).0 * MINUTE) as i64,
            rests: 0,
            walks: 0,
            sat_at: 0,
            going: None,
            must_walk: false,
        });
        hand.collect()
    }

    pub fn is_working(&self) -> bool {
        matches!(self.doing, Doing::Working { .. })
    }

    pub fn is_resting(&self) -> bool {
        self.doing == Doing::Resting
    }

    pub fn works_at(&self, at: usize) -> bool {
        matches!(self.doing, Doing::Working { stop, .. } if stop == at)
    }

    /// What they took of a stop and did not tap yet.
    pub fn taken_from(&self, at: usize) -> f64 {
        let in_hand = match self.doing {
            Doing::Working { stop, amount, .. } if stop == at => amount,
            Doing::Working { .. } | Doing::Resting | Doing::Walking | Doing::Free => 0.0,
        };
        let untapped = self.untapped.iter().filter(|done| done.stop == at);
        in_hand + untapped.map(|done| done.amount).sum::<f64>()
    }

    pub fn has_untapped(&self, at: usize) -> bool {
        self.untapped.iter().any(|done| done.stop == at)
    }

    /// Minutes without work so far.
    pub fn idle_min(&self, now: i64) -> f64 {
        let open = self.idle_since.map_or(0, |since| now - since);
        (self.idle_ms + open) as f64 / MINUTE
    }
}

impl World<'_> {
    pub fn helper(&self, person: usize) -> HelperId {
        self.kitchen.people[person].id.clone()
    }

    fn beside(&self, person: usize, station: usize) -> Option<HelperId> {
        match self.kitchen.people[person].may[station] {
            Verdict::WithAdult => Some(lead()),
            Verdict::Allowed | Verdict::Never => None,
        }
    }

    /// Somebody takes a free seat, or does not get it.
    pub fn sit_down(&mut self, person: usize, station: usize) -> bool {
        let claim = Command::Claim {
            helper: self.helper(person),
            station: self.kitchen.stations[station].id.clone(),
            beside: self.beside(person, station),
        };
        let sits = self.order(&claim, Role::Lead).is_ok();
        self.see_seats();
        sits
    }

    /// The order that sends somebody to a station.
    pub fn sending(&self, person: usize, station: usize) -> Command {
        let helper = self.helper(person);
        let (station_id, beside) = (
            self.kitchen.stations[station].id.clone(),
            self.beside(person, station),
        );
        match self.hands[person].seat {
            Some(_) => Command::Switch {
                helper,
                station: station_id,
                beside,
            },
            None => Command::Claim {
                helper,
                station: station_id,
                beside,
            },
        }
    }

    /// Whether a person could go to a station now, by the day's own rules.
    pub fn could_go(&self, person: usize, station: usize) -> bool {
        let moment = putby::day::Moment {
            now: self.moment(),
            command: uuid::Uuid::nil(),
            role: Role::Lead,
        };
        let command = self.sending(person, station);
        putby::day::decide(&self.board, &command, &moment).is_ok()
    }

    /// Whether somebody sits or stands without work.
    pub fn is_idle(&self, person: usize) -> bool {
        self.hands[person].doing == Doing::Free && self.hands[person].idle_since.is_some()
    }

    /// Who changed seats walks there, at once or with the carrier in hand done.
    fn see_seats(&mut self) {
        for person in 0..self.hands.len() {
            let seat = self.board.helpers[&self.helper(person)].station.clone();
            let seat = seat.and_then(|seat| self.kitchen.station(&seat));
            if seat == self.hands[person].seat {
                continue;
            }
            self.hands[person].seat = seat;
            let Some(station) = seat else { continue };
            self.hands[person].home = station;
            self.hands[person].sat_at = self.now;
            if self.hands[person].is_working() {
                self.hands[person].must_walk = true;
            } else {
                self.walk(person);
            }
        }
    }

    fn walk(&mut self, person: usize) {
        self.not_idle(person);
        let hand = &mut self.hands[person];
        hand.doing = Doing::Walking;
        hand.must_walk = false;
        hand.walks += 1;
        let mut minutes = self.truth.walk(person, hand.walks);
        if self.now == 0 {
            minutes += self.truth.stagger(person);
        }
        self.due_in(minutes, What::Ready(person));
    }

    fn not_idle(&mut self, person: usize) {
        let hand = &mut self.hands[person];
        if let Some(since) = hand.idle_since.take() {
            hand.idle_ms += self.now - since;
        }
    }

    /// A walk or a rest is over.
    pub fn ready(&mut self, person: usize) {
        match self.hands[person].doing {
            Doing::Walking => self.hands[person].doing = Doing::Free,
            Doing::Resting => {
                let helper = self.helper(person);
                self.must(Command::EndBreak { helper });
                let (number, age) = (self.hands[person].rests, self.kitchen.people[person].age);
                let work = self.truth.rest(person, age, number).0;
                self.hands[person].rest_at = self.now + (work * MINUTE) as i64;
                self.hands[person].doing = Doing::Free;
                self.sit_down(person, self.hands[person].home);
            }
            Doing::Free | Doing::Working { .. } => {}
        }
    }

    /// Everybody who is free goes, rests or takes the next carrier; who has waited longest first.
    pub fn hands_begin(&mut self) -> bool {
        let mut free: Vec<usize> = (0..self.hands.len())
            .filter(|person| self.hands[*person].doing == Doing::Free)
            .collect();
        free.sort_by_key(|person| self.hands[*person].idle_since.unwrap_or(i64::MAX));
        let mut any = false;
        for person in free {
            any |= self.goes(person) || self.rests(person) || self.begins(person);
            if self.hands[person].doing == Doing::Free && self.hands[person].idle_since.is_none() {
                self.hands[person].idle_since = Some(self.now);
                self.looks_in(person, LOOKS_AFTER_MIN);
            }
        }
        any
    }

    fn goes(&mut self, person: usize) -> bool {
        let Some(command) = self.hands[person].going.take() else {
            return false;
        };
        self.tap_all(person);
        // A seat that was free may be taken now; then everything stays as it is.
        let went = self.order(&command, Role::Lead).is_ok();
        if went && let Command::Swap { one, other, .. } = &command {
            for helper in [one, other] {
                if let Some(person) = self.kitchen.person(helper) {
                    self.hands[person].going = None;
                }
            }
        }
        self.see_seats();
        went
    }

    fn rests(&mut self, person: usize) -> bool {
        if self.now < self.hands[person].rest_at || self.hands[person].seat.is_none() {
            return false;
        }
        self.tap_all(person);
        self.not_idle(person);
        let helper = self.helper(person);
        let children = self.board.children_beside(&helper);
        let children: Vec<HelperId> = children
            .into_iter()
            .map(|(_, child)| child.clone())
            .collect();
        for helper in children {
            self.must(Command::StayBeside {
                helper,
                adult: lead(),
            });
        }
        self.must(Command::TakeBreak { helper });
        let age = self.kitchen.people[person].age;
        let hand = &mut self.hands[person];
        let minutes = self.truth.rest(person, age, hand.rests).1;
        hand.rests += 1;
        hand.doing = Doing::Resting;
        hand.seat = None;
        self.due_in(minutes, What::Ready(person));
        true
    }

    /// Takes the carrier that has waited longest at the seat.
    fn begins(&mut self, person: usize) -> bool {
        let Some(station) = self.hands[person].seat else {
            return false;
        };
        let there = self.kitchen.stations[station].stops.iter().copied();
        let can = there.filter(|stop| self.is_carrier(*stop) && !self.is_braked(*stop));
        let Some(stop) = can.min_by_key(|stop| self.stock[*stop].oldest()) else {
            return false;
        };
        self.not_idle(person);
        let holds = self.kitchen.stops[stop].holds;
        let number = self.stock[stop].begun;
        self.stock[stop].begun += 1;
        let amount = self.stock[stop].take(holds);
        let minutes = self.truth.service(stop, number) / self.truth.rates[person][stop];
        self.hands[person].doing = Doing::Working {
            stop,
            amount,
            number,
        };
        self.due_in(minutes * (amount / holds).min(1.0), What::Done(person));
        true
    }

    /// Whether a whole carrier waits, or the last of all.
    pub fn is_carrier(&self, stop: usize) -> bool {
        let (waits, holds) = (self.stock[stop].amount, self.kitchen.stops[stop].holds);
        waits >= holds * 0.999 || waits >= self.least(stop) && !self.is_coming(stop)
    }

    /// Nobody fills jars beyond one load for each canner, those that other products need left out:
    /// they would stand too long.
    fn is_braked(&self, stop: usize) -> bool {
        let Some(next) = self.kitchen.stops[stop].after else {
            return false;
        };
        let canner = &self.kitchen.stations[self.kitchen.stops[next].station];
        if canner.place.kind != Kind::Canner {
            return false;
        }
        let (mut own, mut loads, mut others) = (0.0, 0.0, 0.0);
        for jars in &canner.stops {
            let before = self.kitchen.stops[*jars].before;
            let filling = before.map_or(0, |stop| {
                self.hands.iter().filter(|hand| hand.works_at(stop)).count()
            });
            let here =
                (self.stock[*jars].amount + filling as f64) / self.kitchen.stops[*jars].batch;
            loads += here;
            if *jars == next {
                own = here;
            } else if here > 0.0 {
                others += 1.0;
            }
        }
        let canners = canner.vessels as f64 - 1e-9;
        loads >= canners || own >= canners - others
    }

    /// The carrier in hand is done and goes on; whether the board hears of it is another matter.
    pub fn done(&mut self, person: usize) {
        let Doing::Working {
            stop,
            amount,
            number,
        } = self.hands[person].doing
        else {
            panic!("nobody is done with nothing");
        };
        let place = &self.kitchen.stops[stop];
        let out = if place.packs {
            (amount / place.holds).round()
        } else {
            amount * self.truth.yields[stop]
        };
        self.hands[person].doing = Doing::Free;
        self.hands[person].untapped.push(Untapped { stop, amount });
        self.goes_on(stop, out);
        match self.truth.told(stop, number) {
            Told::AtOnce => self.tap_all(person),
            Told::Late(minutes) => self.due_in(minutes, What::Tap(person)),
            Told::WithNext => {}
        }
        if self.hands[person].must_walk {
            self.tap_all(person);
            self.walk(person);
        }
    }

    /// Taps everything that was not tapped yet, one after the other.
    pub fn tap_all(&mut self, person: usize) {
        for done in std::mem::take(&mut self.hands[person].untapped) {
            self.tap(person, done);
        }
    }

    /// Somebody counts because the board asks for it, once what was brought there is tapped.
    pub fn count_as_asked(&mut self, stop: usize) {
        self.tap_please(stop);
        self.count(stop, self.should_have(stop));
    }

    /// Those who brought work to a stop and did not tap it do so now.
    pub fn tap_please(&mut self, stop: usize) {
        let Some(before) = self.kitchen.stops[stop].before else {
            return;
        };
        for other in 0..self.hands.len() {
            if self.hands[other].has_untapped(before) {
                self.tap_all(other);
            }
        }
    }

    fn tap(&mut self, person: usize, done: Untapped) {
        let Untapped { stop, amount } = done;
        let place = &self.kitchen.stops[stop];
        let (station, holds, packs) = (place.station, place.holds, place.packs);
        let product = self.kitchen.products[place.product].id.clone();
        let mut said = amount;
        if self.board_has(stop) < said - 1e-9 {
            self.tap_please(stop);
        }
        let has = self.board_has(stop);
        let close = (has - said).abs() <= 0.1 * holds && !packs;
        if close && (has < said || !self.is_coming(stop)) && has > 0.0 {
            said = has;
        } else if has < said {
            let there = self.should_have(stop).max(0.0) + amount;
            self.count(stop, there);
        }
        let sits = self.hands[person].seat == Some(station);
        let tally = Command::Tally {
            station: self.kitchen.stations[station].id.clone(),
            helper: sits.then(|| self.helper(person)),
            product: Some(product),
            lot: None,
            amount: Some(crate::world::thousandths(said)),
            to: None,
        };
        let role = if sits { Role::Helper } else { Role::Lead };
        if let Err(refusal) = self.order(&tally, role) {
            panic!(
                "seed {}, minute {}: {tally:?} was refused: {refusal:?}",
                self.kitchen.seed,
                self.minutes()
            );
        }
    }

    fn looks_in(&mut self, person: usize, minutes: f64) {
        self.hands[person].look_at = self.now + (minutes * MINUTE) as i64;
        self.due_in(minutes, What::Look(person));
    }

    /// Somebody without work taps what they forgot, tries for a seat, and sets the board right where
    /// it shows work that is not there, or none where some stands and nobody sits.
    pub fn look_around(&mut self, person: usize) {
        if !self.is_idle(person) || self.now < self.hands[person].look_at {
            return;
        }
        self.looks_in(person, LOOKS_EVERY_MIN);
        self.tap_all(person);
        if self.hands[person].seat.is_none() {
            self.sit_down(person, self.hands[person].home);
        }
        for stop in 0..self.kitchen.stops.len() {
            let station = self.kitchen.stops[stop].station;
            if self.kitchen.stations[station].place.kind != Kind::Hands {
                continue;
            }
            let holds = self.kitchen.stops[stop].holds;
            let sits_here = self.hands[person].seat == Some(station);
            let alone = self.hands.iter().all(|hand| hand.seat != Some(station));
            if sits_here && self.board_has(stop) >= self.should_have(stop) + 0.9 * holds {
                self.count(stop, self.should_have(stop));
            } else if alone && self.is_carrier(stop) && self.board_has(stop) < self.least(stop) {
                self.tap_please(stop);
                if self.board_has(stop) < self.least(stop) {
                    self.count(stop, self.should_have(stop));
                }
            }
        }
    }
}
