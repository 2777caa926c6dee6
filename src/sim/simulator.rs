//! The simulator: what it owns, and the course of one run.

use super::cells::{
    CircleCell, HelperCell, Kind, Link, NONE, PoolCell, SourceCell, StationCell, StopCell,
    SupplyCell, Task, Unit,
};
use super::events::{Event, Events};
use super::law::Draw;
use super::network::{Network, Source};
use super::outcome::Outcome;
use super::plan::Plan;
use super::start::Start;
use super::streams::{Key, Purpose, Services, Streams};
use super::{Fault, fault};
use rand_xoshiro::Xoshiro256PlusPlus;

/// How long a run is and from when on it is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Until {
    /// The horizon in minutes: a run ends here if work is left.
    pub minutes: f64,
    /// Minutes before the measured time: sums leave them out.
    pub warm_up_min: f64,
}

impl Until {
    /// Until everything is done, at most fourteen days.
    pub fn done() -> Until {
        Until {
            minutes: 14.0 * 24.0 * 60.0,
            warm_up_min: 0.0,
        }
    }
}

/// A rate, drawn when it is first asked for.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Drawn {
    pub(super) value: f64,
    pub(super) epoch: u32,
    /// There is a rate to draw.
    pub(super) may: bool,
}

/// Runs a network. It owns all memory, and runs take no more once they have had the most.
#[derive(Debug)]
pub struct Simulator<'n> {
    pub(super) net: &'n Network,
    pub(super) plan: Plan,
    pub(super) stops: Vec<StopCell>,
    pub(super) stations: Vec<StationCell>,
    pub(super) helpers: Vec<HelperCell>,
    pub(super) pools: Vec<PoolCell>,
    pub(super) supplies: Vec<SupplyCell>,
    pub(super) sources: Vec<SourceCell>,
    pub(super) circles: Vec<CircleCell>,
    /// Circles that may have come to a halt.
    pub(super) maybe_still: Vec<u32>,
    /// Circles that are done and have not told so yet.
    pub(super) done: Vec<u32>,
    pub(super) units: Vec<Unit>,
    pub(super) free_units: Vec<u32>,
    pub(super) events: Events,
    pub(super) tasks: Vec<Task>,
    pub(super) services: Vec<Services>,
    pub(super) routes: Vec<Option<Xoshiro256PlusPlus>>,
    pub(super) paces: Vec<Drawn>,
    pub(super) speeds: Vec<Drawn>,
    pub(super) epoch: u32,
    pub(super) key: Option<Key>,
    pub(super) streams: Streams,
    pub(super) until: Until,
    pub(super) now: f64,
    /// The link of the chain for what happens now.
    pub(super) cause: u32,
    pub(super) last_link: u32,
    pub(super) last_end: f64,
    /// Units, stops with work and sources: 0 when all is done.
    pub(super) left: usize,
    pub(super) links: Vec<Link>,
    pub(super) keeps_log: bool,
    pub(super) keeps_chain: bool,
    pub(super) measured_from: f64,
    pub(super) outcome: Outcome,
}

impl<'n> Simulator<'n> {
    /// Makes a network ready to run.
    ///
    /// # Errors
    /// A [`Fault`] says what is wrong with the network and what to do.
    pub fn new(network: &'n Network) -> Result<Simulator<'n>, Fault> {
        fault::check(network)?;
        let plan = Plan::new(network);
        let stops = StopCell::all(network, &plan);
        let draws = network.stops.iter().map(|stop| Draw::new(&stop.time));
        let streams = Streams::default();
        let sources = network.sources.iter().map(|source| SourceCell {
            stop: match source {
                Source::Unlimited { stop }
                | Source::Renewal { stop, .. }
                | Source::Times { stop, .. } => *stop as u32,
            },
            come: 0,
            stream: streams.open(Purpose::Arrivals, 0, 0),
            draw: match source {
                Source::Renewal { between, .. } => Some(Draw::new(between)),
                _ => None,
            },
            link: NONE,
        });
        let rates = network.helpers.iter().flat_map(|helper| &helper.rates);
        let paces = rates.map(|rate| Drawn {
            may: rate.is_some(),
            ..Drawn::default()
        });
        Ok(Simulator {
            net: network,
            stations: StationCell::all(network),
            helpers: (0..network.helpers.len())
                .map(|_| HelperCell::default())
                .collect(),
            pools: (0..network.pools.len())
                .map(|_| PoolCell::default())
                .collect(),
            supplies: (0..network.supplies.len())
                .map(|_| SupplyCell::default())
                .collect(),
            sources: sources.collect(),
            circles: vec![CircleCell::default(); plan.circles.len()],
            maybe_still: Vec::new(),
            done: Vec::new(),
            units: Vec::new(),
            free_units: Vec::new(),
            events: Events::default(),
            tasks: Vec::new(),
            services: draws.map(Services::new).collect(),
            routes: vec![None; network.stops.len()],
            paces: paces.collect(),
            speeds: vec![Drawn::default(); network.helpers.len()],
            epoch: 0,
            key: None,
            streams,
            until: Until::done(),
            now: 0.0,
            cause: NONE,
            last_link: NONE,
            last_end: 0.0,
            left: 0,
            links: Vec::new(),
            keeps_log: false,
            keeps_chain: true,
            measured_from: 0.0,
            outcome: Outcome::default(),
            plan,
            stops,
        })
    }

    /// Whether [`Outcome::log`] is filled; it is not unless asked for.
    pub fn keep_log(&mut self, keep: bool) {
        self.keeps_log = keep;
    }

    /// Whether the critical chain is kept; it is unless told otherwise. A run of millions of
    /// services does without.
    pub fn keep_chain(&mut self, keep: bool) {
        self.keeps_chain = keep;
    }

    /// One run. What the start does not say is empty: no work, no seat. Numbers in it that the
    /// network has not are left out.
    pub fn run(&mut self, start: &Start, key: Key, until: Until) -> &Outcome {
        self.begin(start, key, until);
        self.settle();
        while self.left > 0 {
            let Some((at, event)) = self.events.pop() else {
                break;
            };
            if at > until.minutes {
                break;
            }
            self.now = at;
            match event {
                Event::End(unit) => self.end(unit),
                Event::Arrival(source) => self.arrive(source),
                Event::Back(helper) => self.come_back(helper),
                Event::Due(helper) => self.leave_if_idle(helper),
                Event::Roam(helper) => self.roam(helper),
                Event::Patience(station) => self.lose_patience(station),
                Event::Measure => self.measure_from_now(),
            }
            self.settle();
        }
        self.close();
        &self.outcome
    }

    /// Looks at everything that may go on before time does.
    #[inline(always)]
    pub(super) fn settle(&mut self) {
        if self.tasks.is_empty() && self.maybe_still.is_empty() {
            return;
        }
        let mut next = 0;
        loop {
            while let Some(task) = self.tasks.get(next).copied() {
                next += 1;
                match task {
                    Task::Station(station) => {
                        self.pull(station as usize);
                        self.admit(station as usize);
                    }
                    Task::Stop(stop) => self.offer(stop as usize),
                    Task::Admit(station) => self.admit(station as usize),
                }
            }
            self.tasks.clear();
            next = 0;
            let Some(circle) = self.maybe_still.pop() else {
                return;
            };
            self.see_if_still(circle as usize);
        }
    }

    /// Lets a station begin what it can.
    pub(super) fn pull(&mut self, station: usize) {
        match self.stations[station].kind {
            Kind::Hands => self.pull_hands(station),
            Kind::Servers => self.pull_servers(station),
            Kind::Batches => self.pull_batches(station),
        }
    }

    /// Lets what waits at a stop begin, if it can.
    #[inline]
    pub(super) fn offer(&mut self, stop: usize) {
        let station = self.stops[stop].station as usize;
        match self.stations[station].kind {
            Kind::Hands => self.offer_hands(stop, station),
            Kind::Servers => self.pull_servers(station),
            Kind::Batches => self.pull_batches(station),
        }
    }

    /// Adds a link to the critical chain.
    ///
    /// Here and where work is queued or set going, a new entry is written field by field into its
    /// place: made elsewhere and copied, it would be read before its parts have been stored.
    #[inline(always)]
    pub(super) fn link(&mut self, began: f64, ended: f64, station: u32, helper: u32) -> u32 {
        if !self.keeps_chain {
            return NONE;
        }
        let number = self.links.len();
        self.links.push(Link::default());
        let link = &mut self.links[number];
        link.began = began;
        link.ended = ended;
        link.station = station;
        link.helper = helper;
        link.before = self.cause;
        number as u32
    }

    /// A unit of work that is part of a batch or stands outside; gives its number.
    pub(super) fn add_unit(&mut self, unit: Unit) -> u32 {
        let number = self.new_unit();
        self.units[number as usize] = unit;
        number
    }

    /// A place for a unit.
    #[inline(always)]
    pub(super) fn new_unit(&mut self) -> u32 {
        if let Some(number) = self.free_units.pop() {
            return number;
        }
        self.units.push(Unit::default());
        self.units.len() as u32 - 1
    }
}
