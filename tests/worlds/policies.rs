//! Who goes where: nobody, everybody to the longest queue, or idle people as they roam.

use crate::board::stop_of;
use crate::kitchen::Kitchen;
use crate::routes::Kind;
use crate::world::{Policy, World};
use putby::outlook::{Habits, Model, Win, wins::count_worth_it};
use putby::pace::{Learned, Pace};

/// (a) Everybody stays at the seat they began with.
pub struct Stay;

impl Policy for Stay {
    fn every_min(&self) -> f64 {
        1e5
    }

    fn act(&mut self, _: &mut World<'_>) {}
}

/// (b) The plain rule: whoever has nothing to do, and every ten minutes whoever was idle most, goes
/// to the station with the most carriers waiting that they may work at.
#[derive(Default)]
pub struct Longest {
    minute: u64,
    idle_before: Vec<f64>,
}

/// Who has had nothing to do for so long counts as idle.
const IDLE_MIN: f64 = 2.0;
/// Who was idle less than this in ten minutes stays.
const IDLE_OF_TEN_MIN: f64 = 3.0;

impl Policy for Longest {
    fn every_min(&self) -> f64 {
        1.0
    }

    fn act(&mut self, world: &mut World<'_>) {
        self.minute += 1;
        for person in 0..world.hands.len() {
            let since = world.hands[person].idle_since;
            let long = since.is_some_and(|at| (world.now - at) as f64 >= IDLE_MIN * 60_000.0);
            if long && world.is_idle(person) {
                to_longest(world, person);
            }
        }
        if self.minute.is_multiple_of(10) {
            let idle: Vec<f64> = world
                .hands
                .iter()
                .map(|hand| hand.idle_min(world.now))
                .collect();
            self.idle_before.resize(idle.len(), 0.0);
            let of_ten = idle
                .iter()
                .zip(&self.idle_before)
                .map(|(now, before)| now - before);
            let idlest = of_ten
                .enumerate()
                .max_by(|one, other| one.1.total_cmp(&other.1));
            if let Some((person, minutes)) = idlest
                && minutes >= IDLE_OF_TEN_MIN
                && !world.hands[person].is_resting()
            {
                to_longest(world, person);
            }
            self.idle_before = idle;
        }
    }
}

/// Carriers that wait at a hand station, as the board shows them.
fn queue(world: &World<'_>, station: usize) -> f64 {
    let kitchen: &Kitchen = world.kitchen;
    let stops = kitchen.stations[station].stops.iter();
    stops
        .map(|stop| world.board_has(*stop) / kitchen.stops[*stop].holds)
        .sum()
}

fn to_longest(world: &mut World<'_>, person: usize) {
    let here = world.hands[person].seat;
    let own = here.map_or(0.0, |station| queue(world, station));
    let mut best: Option<(f64, usize)> = None;
    for station in 0..world.kitchen.stations.len() {
        let by_hand = world.kitchen.stations[station].place.kind == Kind::Hands;
        if !by_hand || Some(station) == here {
            continue;
        }
        let seated = world.hands.iter().filter(|hand| hand.seat == Some(station));
        if seated.count() >= world.kitchen.stations[station].seats {
            continue;
        }
        let waits = queue(world, station);
        if waits < 1.0 || waits <= own || best.is_some_and(|(most, _)| waits <= most) {
            continue;
        }
        if world.could_go(person, station) {
            best = Some((waits, station));
        }
    }
    if let Some((_, station)) = best {
        world.hands[person].going = Some(world.sending(person, station));
    }
}

/// Whoever leads counts when the board asks for it; people go as another policy says.
pub struct Counting {
    who: Box<dyn Policy>,
    asked: f64,
}

/// The board is looked at so often.
const LOOKS_EVERY_MIN: f64 = 10.0;

impl Counting {
    pub fn with(who: Box<dyn Policy>) -> Counting {
        Counting { who, asked: 0.0 }
    }
}

impl Policy for Counting {
    fn every_min(&self) -> f64 {
        self.who.every_min().min(LOOKS_EVERY_MIN)
    }

    fn act(&mut self, world: &mut World<'_>) {
        self.who.act(world);
        if world.minutes() < self.asked + LOOKS_EVERY_MIN {
            return;
        }
        self.asked = world.minutes();
        let now = world.moment();
        let pace = Pace::of(&world.records, &Learned::default(), now);
        let model = Model::of(&world.board, &pace, now, Habits::COMPARED);
        if let Some(Win::Count {
            station, product, ..
        }) = count_worth_it(&world.board, &model)
            && let Some(stop) = stop_of(world.kitchen, &station, &product)
        {
            world.count_as_asked(stop);
            world.counts += 1;
        }
    }
}
