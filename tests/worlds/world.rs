//! A day worked by simulated people, event by event, told to the board through `day::execute`.
//!
//! There are two ledgers: what really stands in the kitchen (`stock`), and what the board thinks.
//! They differ as in life: fruit gives more or less than promised, taps come late or several at
//! once. When somebody notices, they tap what they forgot or count what is there.

use crate::heat::Vessel;
use crate::kitchen::{Kitchen, LEAD, id};
use crate::people::Hand;
use crate::routes::Kind;
use crate::stock::Stock;
use crate::truth::Truth;
use putby::day::amount::Amount;
use putby::day::ids::HelperId;
use putby::day::time::Timestamp;
use putby::day::{Command, Moment, Record, Refusal, Role, State, execute};
use std::collections::BTreeMap;
use uuid::Uuid;

/// Half past seven on a September morning, as a plain number.
pub const MORNING: Timestamp = Timestamp(1_789_005_000_000);
pub const MINUTE: f64 = 60_000.0;
/// No simulated day is longer; one that is, hangs.
const LONGEST_MIN: f64 = 72.0 * 60.0;
/// A box is fetched when less than so many carriers are left at the first station.
const CARRIERS_LEFT: f64 = 2.0;

/// What is due at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Somebody has walked to a seat, or has rested.
    Ready(usize),
    /// Somebody has finished the carrier in hand.
    Done(usize),
    /// Somebody remembers to tap.
    Tap(usize),
    /// Somebody who has nothing to do looks around.
    Look(usize),
    /// A box is there.
    Box(usize),
    /// A canner or pot goes on to its next phase.
    Vessel(usize),
    /// Jars have stood so long that a load is started with fewer.
    Stood,
    /// The policy is asked.
    Policy,
}

/// Who tells people where to go.
pub trait Policy {
    /// Minutes between two times it is asked.
    fn every_min(&self) -> f64;
    /// Looks at the day and sends people.
    fn act(&mut self, world: &mut World<'_>);
}

/// A day.
pub struct World<'a> {
    pub kitchen: &'a Kitchen,
    pub truth: &'a Truth,
    /// What the board knows.
    pub board: State,
    pub records: Vec<Record>,
    /// Milliseconds since the opening.
    pub now: i64,
    pub hands: Vec<Hand>,
    pub stock: Vec<Stock>,
    pub vessels: Vec<Vessel>,
    /// A wish of the board: the next load of this stop starts with so many jars.
    pub next_load: Option<(usize, f64)>,
    boxes: Vec<Boxes>,
    queue: BTreeMap<(i64, u64), What>,
    queued: u64,
    given: u128,
    /// When the last package was made.
    pub ended: i64,
    /// Packages made.
    pub made: f64,
    /// Jars that stood too long.
    pub lost: f64,
    /// Counts that the board asked for.
    pub counts: u32,
    /// Refusals the people met, by code.
    pub refused: BTreeMap<String, u32>,
}

#[derive(Debug, Clone, Default)]
struct Boxes {
    left: u32,
    coming: bool,
    opened: u64,
}

impl<'a> World<'a> {
    /// The morning: the day is opened, everybody takes their seat, each product has a box open.
    pub fn open(kitchen: &'a Kitchen, truth: &'a Truth) -> World<'a> {
        let boxes = kitchen.products.iter().map(|made| Boxes {
            left: made.boxes,
            ..Boxes::default()
        });
        let mut world = World {
            kitchen,
            truth,
            board: State::default(),
            records: Vec::new(),
            now: 0,
            hands: Hand::all(kitchen, truth),
            stock: vec![Stock::default(); kitchen.stops.len()],
            vessels: Vessel::all(kitchen),
            next_load: None,
            boxes: boxes.collect(),
            queue: BTreeMap::new(),
            queued: 0,
            given: 0,
            ended: 0,
            made: 0.0,
            lost: 0.0,
            counts: 0,
            refused: BTreeMap::new(),
        };
        let plan = Box::new(kitchen.plan.clone());
        world.must(Command::OpenDay { plan });
        for product in 0..kitchen.products.len() {
            world.open_box(product);
        }
        for person in 0..kitchen.people.len() {
            world.sit_down(person, kitchen.people[person].seat);
        }
        world.settle();
        world
    }

    /// Works to the end of the day; gives its minutes.
    pub fn work(&mut self, policy: &mut dyn Policy) -> f64 {
        self.work_until(policy, f64::INFINITY)
    }

    /// Works until so many minutes have passed, or to the end of the day.
    pub fn work_until(&mut self, policy: &mut dyn Policy, until_min: f64) -> f64 {
        self.due_in(policy.every_min(), What::Policy);
        while !self.is_over() {
            let next = self.queue.first_key_value();
            if next.is_some_and(|((at, _), _)| *at as f64 > until_min * MINUTE) {
                break;
            }
            let Some(((at, _), what)) = self.queue.pop_first() else {
                self.hangs("nothing is due");
            };
            self.now = at;
            if at as f64 > LONGEST_MIN * MINUTE {
                self.hangs("it does not end");
            }
            match what {
                What::Ready(person) => self.ready(person),
                What::Done(person) => self.done(person),
                What::Tap(person) => self.tap_all(person),
                What::Look(person) => self.look_around(person),
                What::Box(product) => self.open_box(product),
                What::Vessel(vessel) => self.vessel_due(vessel),
                What::Stood => {}
                What::Policy => {
                    policy.act(self);
                    self.due_in(policy.every_min(), What::Policy);
                }
            }
            self.settle();
        }
        self.ended as f64 / MINUTE
    }

    fn hangs(&self, why: &str) -> ! {
        panic!(
            "seed {}: the day hangs, {why}: at {} min\n{:#?}\n{:#?}\n{:#?}\nrefused {:?}",
            self.kitchen.seed,
            self.now as f64 / MINUTE,
            self.stock,
            self.hands,
            self.vessels,
            self.refused
        );
    }

    /// Everybody who can goes on: people, canners, pots, boxes.
    pub fn settle(&mut self) {
        loop {
            self.fetch_boxes();
            let moved = self.hands_begin() | self.vessels_begin() | self.clear_up();
            if !moved {
                break;
            }
        }
    }

    fn is_over(&self) -> bool {
        self.boxes.iter().all(|boxes| boxes.left == 0)
            && self.stock.iter().all(|stock| stock.amount <= 0.0)
            && self
                .hands
                .iter()
                .all(|hand| !hand.is_working() && hand.untapped.is_empty())
            && self.vessels.iter().all(Vessel::is_empty)
    }

    fn fetch_boxes(&mut self) {
        for (product, made) in self.kitchen.products.iter().enumerate() {
            let boxes = &self.boxes[product];
            let low = CARRIERS_LEFT * self.kitchen.stops[made.first].holds;
            if boxes.left == 0 || boxes.coming || self.stock[made.first].amount >= low {
                continue;
            }
            let minutes = self.truth.notice(product as u64, boxes.opened);
            self.boxes[product].coming = true;
            self.due_in(minutes, What::Box(product));
        }
    }

    /// Opens the next box of a product now, if there is one.
    pub fn open_box(&mut self, product: usize) {
        let made = &self.kitchen.products[product];
        let boxes = &mut self.boxes[product];
        boxes.coming = false;
        if boxes.left == 0 {
            return;
        }
        boxes.left -= 1;
        boxes.opened += 1;
        let now = self.now;
        self.stock[made.first].put(now, made.box_holds);
        self.must(Command::OpenBox {
            lot: made.lot.clone(),
            product: made.id.clone(),
            amount: None,
        });
    }

    /// Whether anything can still come to a stop.
    pub fn is_coming(&self, stop: usize) -> bool {
        let Some(before) = self.kitchen.stops[stop].before else {
            return self.boxes[self.kitchen.stops[stop].product].left > 0;
        };
        self.stock[before].amount > 0.0
            || self.hands.iter().any(|hand| hand.works_at(before))
            || self.vessels.iter().any(|vessel| vessel.holds_of(before))
            || self.is_coming(before)
    }

    /// Carriers of a stop are made and go on.
    pub fn goes_on(&mut self, stop: usize, out: f64) {
        let now = self.now;
        let after = self.kitchen.stops[stop].after;
        let is_rack = |next: usize| {
            let station = self.kitchen.stops[next].station;
            self.kitchen.stations[station].place.kind == Kind::Rack
        };
        match after {
            Some(next) if !is_rack(next) => {
                if self.stock[next].amount <= 0.0 {
                    let patience = crate::heat::PATIENCE_MIN;
                    self.due_in(patience + 0.01, What::Stood);
                }
                self.stock[next].put(now, out);
            }
            Some(_) | None => {
                self.made += out;
                self.ended = now;
            }
        }
    }

    pub fn due_in(&mut self, minutes: f64, what: What) {
        let at = self.now + (minutes * MINUTE).round().max(0.0) as i64;
        self.queued += 1;
        self.queue.insert((at, self.queued), what);
    }

    pub fn minutes(&self) -> f64 {
        self.now as f64 / MINUTE
    }

    pub fn moment(&self) -> Timestamp {
        Timestamp(MORNING.0 + self.now)
    }

    /// Gives an order; what is refused changes nothing.
    pub fn order(&mut self, command: &Command, role: Role) -> Result<(), Refusal> {
        self.given += 1;
        let moment = Moment {
            now: self.moment(),
            command: Uuid::from_u128(self.given),
            role,
        };
        match execute(&mut self.board, command, &moment) {
            Ok(events) => {
                for event in events {
                    self.records.push(Record {
                        seq: self.records.len() as u64 + 1,
                        at: moment.now,
                        command: moment.command,
                        role,
                        event,
                    });
                }
                Ok(())
            }
            Err(refusal) => {
                *self
                    .refused
                    .entry(format!("{:?}", refusal.code))
                    .or_default() += 1;
                Err(refusal)
            }
        }
    }

    /// An order of the lead that the rules cannot refuse, or the world is wrong.
    pub fn must(&mut self, command: Command) {
        if let Err(refusal) = self.order(&command, Role::Lead) {
            panic!(
                "seed {}, minute {}: {command:?} was refused: {refusal:?}",
                self.kitchen.seed,
                self.minutes()
            );
        }
    }

    /// What the board thinks waits at a stop.
    pub fn board_has(&self, stop: usize) -> f64 {
        let stop = &self.kitchen.stops[stop];
        let station = &self.kitchen.stations[stop.station].id;
        let product = &self.kitchen.products[stop.product].id;
        self.board.waiting_at(station, product).0 as f64 / 1000.0
    }

    /// What the board should think: what is there, and what was taken and not tapped yet.
    pub fn should_have(&self, stop: usize) -> f64 {
        let taken: f64 = self.hands.iter().map(|hand| hand.taken_from(stop)).sum();
        self.stock[stop].amount + taken
    }

    /// Somebody counts what is at a stop.
    pub fn count(&mut self, stop: usize, amount: f64) {
        let place = &self.kitchen.stops[stop];
        let product = &self.kitchen.products[place.product];
        self.must(Command::Recount {
            station: self.kitchen.stations[place.station].id.clone(),
            product: product.id.clone(),
            lot: product.lot.clone(),
            amount: thousandths(amount),
        });
    }

    /// The rest that makes no package is eaten, and the board is set right where all is done.
    fn clear_up(&mut self) -> bool {
        let mut cleared = false;
        for stop in 0..self.kitchen.stops.len() {
            let nobody = !self.hands.iter().any(|hand| hand.works_at(stop));
            let kind = self.kitchen.stations[self.kitchen.stops[stop].station]
                .place
                .kind;
            let in_jars = matches!(kind, Kind::Canner | Kind::Rack);
            if in_jars || !nobody || self.is_coming(stop) {
                continue;
            }
            let too_little = kind == Kind::Hands && self.stock[stop].amount < self.least(stop);
            if self.stock[stop].amount > 0.0 && too_little {
                self.stock[stop].clear();
                cleared = true;
            }
            let before = self.kitchen.stops[stop].before;
            let untapped = |stop: usize| self.hands.iter().any(|hand| hand.has_untapped(stop));
            let told = !untapped(stop) && !before.is_some_and(untapped);
            if self.stock[stop].amount <= 0.0 && told && self.board_has(stop) > 0.0 {
                self.count(stop, 0.0);
                cleared = true;
            }
        }
        cleared
    }

    /// The least of which anything can be made at a stop.
    pub fn least(&self, stop: usize) -> f64 {
        let place = &self.kitchen.stops[stop];
        place.holds * if place.packs { 0.999 } else { 0.05 }
    }
}

pub fn thousandths(amount: f64) -> Amount {
    Amount((amount * 1000.0).round().max(0.0) as i64)
}

pub fn lead() -> HelperId {
    id(LEAD)
}
