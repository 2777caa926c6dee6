//! People who move by themselves as the forecast says that people do: see `sim::Roaming`.

use crate::kitchen::an_hour;
use crate::routes::Kind;
use crate::world::{MINUTE, Policy, World};

/// Idle people go where work waits, after so many minutes.
pub struct Roam {
    after_min: f64,
    /// When each last looked around from work.
    looked: Vec<f64>,
}

impl Roam {
    pub fn after(after_min: f64) -> Roam {
        Roam {
            after_min,
            looked: Vec::new(),
        }
    }
}

impl Policy for Roam {
    fn every_min(&self) -> f64 {
        0.5
    }

    fn act(&mut self, world: &mut World<'_>) {
        self.looked.resize(world.hands.len(), 0.0);
        for person in 0..world.hands.len() {
            let hand = &world.hands[person];
            if hand.going.is_some() || hand.is_resting() {
                continue;
            }
            let idle = hand
                .idle_since
                .map(|since| (world.now - since) as f64 / MINUTE);
            let wanted = match idle {
                Some(minutes) if minutes >= self.after_min => where_needed(world, person),
                Some(_) | None => self.called_from(world, person),
            };
            if let Some(station) = wanted {
                world.hands[person].going = Some(world.sending(person, station));
                world.settle();
            }
        }
    }
}

/// Minutes of work that really wait at a stop, for a usual adult.
fn minutes(world: &World<'_>, stop: usize) -> f64 {
    let place = &world.kitchen.stops[stop];
    world.stock[stop].amount / place.holds / an_hour(place, 40) * 60.0
}

fn seated(world: &World<'_>, station: usize) -> usize {
    let hands = world.hands.iter();
    hands.filter(|hand| hand.seat == Some(station)).count()
}

/// Hand stops elsewhere with a carrier, where there is a seat for this person.
fn elsewhere<'a>(world: &'a World<'_>, person: usize) -> impl Iterator<Item = usize> + 'a {
    let seat = world.hands[person].seat;
    (0..world.kitchen.stops.len()).filter(move |stop| {
        let station = world.kitchen.stops[*stop].station;
        let place = &world.kitchen.stations[station];
        place.place.kind == Kind::Hands
            && Some(station) != seat
            && seated(world, station) < place.seats
            && world.is_carrier(*stop)
            && world.could_go(person, station)
    })
}

fn where_needed(world: &World<'_>, person: usize) -> Option<usize> {
    let seat = world.hands[person].seat;
    let is_over = seat.is_none_or(|seat| {
        let mut stops = world.kitchen.stations[seat].stops.iter();
        stops.all(|stop| world.stock[*stop].amount <= 0.0 && !world.is_coming(*stop))
    });
    let mut best: Option<(f64, usize)> = None;
    for stop in elsewhere(world, person) {
        let station = world.kitchen.stops[stop].station;
        let hands = seated(world, station) as f64 + 1.0;
        let deep = world.stock[stop].amount >= hands * world.kitchen.stops[stop].holds * 0.999;
        if hands > 1.0 && !is_over && !deep {
            continue;
        }
        let each = minutes(world, stop) / hands;
        if best.is_none_or(|(most, _)| each > most) {
            best = Some((each, station));
        }
    }
    best.map(|(_, station)| station)
}

impl Roam {
    /// From a place with others, or with less work, to one that was left alone so long.
    fn called_from(&mut self, world: &World<'_>, person: usize) -> Option<usize> {
        let seat = world.hands[person].seat?;
        let now = world.minutes();
        let sat = (world.now - world.hands[person].sat_at) as f64 / MINUTE;
        if sat < self.after_min || now < self.looked[person] + self.after_min / 4.0 {
            return None;
        }
        self.looked[person] = now;
        let alone = elsewhere(world, person).filter(|stop| {
            let station = world.kitchen.stops[*stop].station;
            let oldest = world.stock[*stop].oldest().unwrap_or(world.now);
            let stood = (world.now - oldest) as f64 / MINUTE;
            seated(world, station) == 0 && stood >= self.after_min
        });
        let most =
            alone.max_by(|one, other| minutes(world, *one).total_cmp(&minutes(world, *other)))?;
        let own = &world.kitchen.stations[seat].stops;
        let left: f64 = own.iter().map(|stop| minutes(world, *stop)).sum();
        let goes = seated(world, seat) > 1 || left < minutes(world, most);
        goes.then_some(world.kitchen.stops[most].station)
    }
}
