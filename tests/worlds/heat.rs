//! Canners and pots: loaded when full or when nothing more comes, timed and lifted by the rules.
//! The lead sees to them and does nothing else.

use crate::kitchen::{Kitchen, id};
use crate::routes::Kind;
use crate::world::{MINUTE, What, World, thousandths};
use putby::day::command::{Destination, LoadJars};
use putby::day::ids::{CannerId, ChoreId, LoadId, PotId, StationId};
use putby::day::{Code, Command, Role};

/// Filled jars do not stand longer than this for a load to be full (common practice, no source).
pub const PATIENCE_MIN: f64 = 30.0;
/// A shared burner that is taken is looked at again.
const BURNER_AGAIN_MIN: f64 = 1.0;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    Empty,
    Loading,
    Heating,
    Timing,
    Resting,
    Filled,
    Cooking,
    Dirty,
}

/// A canner or a pot.
#[derive(Debug, Clone)]
pub struct Vessel {
    pub station: usize,
    name: String,
    is_canner: bool,
    phase: Phase,
    stop: usize,
    amount: f64,
    load: String,
    /// Batches so far.
    count: u64,
}

impl Vessel {
    pub fn all(kitchen: &Kitchen) -> Vec<Vessel> {
        let mut all = Vec::new();
        for (number, station) in kitchen.stations.iter().enumerate() {
            let is_canner = station.place.kind == Kind::Canner;
            let word = if is_canner { "canner" } else { "pot" };
            for vessel in 0..station.vessels {
                all.push(Vessel {
                    station: number,
                    name: format!("{word}-{}", vessel + 1),
                    is_canner,
                    phase: Phase::Empty,
                    stop: 0,
                    amount: 0.0,
                    load: String::new(),
                    count: 0,
                });
            }
        }
        all
    }

    pub fn is_empty(&self) -> bool {
        matches!(self.phase, Phase::Empty | Phase::Dirty)
    }

    pub fn holds_of(&self, stop: usize) -> bool {
        !self.is_empty() && self.stop == stop
    }
}

impl World<'_> {
    /// Empty canners and pots are filled if enough waits.
    pub fn vessels_begin(&mut self) -> bool {
        let mut any = false;
        for vessel in 0..self.vessels.len() {
            if self.vessels[vessel].phase != Phase::Empty {
                continue;
            }
            let stops = &self.kitchen.stations[self.vessels[vessel].station].stops;
            let ready = stops.iter().filter_map(|stop| self.batch(*stop));
            // What has stood longest goes first.
            let oldest = ready.min_by_key(|(stop, _)| self.stock[*stop].oldest());
            if let Some((stop, amount)) = oldest {
                any |= if self.vessels[vessel].is_canner {
                    self.load(vessel, stop, amount)
                } else {
                    self.fill_pot(vessel, stop, amount)
                };
            }
        }
        any
    }

    /// What a batch of a stop would take now, if it is time for one.
    fn batch(&self, stop: usize) -> Option<(usize, f64)> {
        let place = &self.kitchen.stops[stop];
        let jars = self.kitchen.stations[place.station].place.kind == Kind::Canner;
        let waits = self.stock[stop].amount;
        let waits = if jars { (waits + 1e-6).floor() } else { waits };
        if waits <= 1e-6 {
            return None;
        }
        let comes = self.is_coming(stop);
        if jars && let Some((_, wished)) = self.next_load.filter(|(of, _)| *of == stop) {
            let wished = wished.min(place.batch);
            return (waits >= wished || !comes).then_some((stop, waits.min(wished)));
        }
        let old = self.stock[stop]
            .oldest()
            .is_some_and(|since| jars && (self.now - since) as f64 >= PATIENCE_MIN * MINUTE);
        let full = waits >= place.batch * 0.999;
        (full || old || !comes).then(|| (stop, waits.min(place.batch)))
    }

    fn load(&mut self, vessel: usize, stop: usize, jars: f64) -> bool {
        self.tap_please(stop);
        let place = &self.kitchen.stops[stop];
        let made: usize = self
            .vessels
            .iter()
            .map(|vessel| vessel.count as usize)
            .sum();
        let load = format!("load-{}", made + 1);
        let build = Command::BuildLoad {
            load: id(&load),
            station: self.kitchen.stations[place.station].id.clone(),
            canner: id::<CannerId>(&self.vessels[vessel].name),
            jars: vec![LoadJars {
                product: self.kitchen.products[place.product].id.clone(),
                lot: None,
                jars: jars.round() as u32,
            }],
            mixed: false,
        };
        match self.order(&build, Role::Lead) {
            Ok(()) => {}
            Err(refusal) if refusal.code == Code::JarsStood => {
                self.give_up(stop);
                return true;
            }
            Err(refusal) => panic!(
                "seed {}: {build:?} was refused: {refusal:?}",
                self.kitchen.seed
            ),
        }
        self.stock[stop].take(jars);
        if self.next_load.is_some_and(|(of, _)| of == stop) {
            self.next_load = None;
        }
        let minutes = self.truth.load(vessel, self.vessels[vessel].count)[0];
        self.take(vessel, Phase::Loading, stop, jars);
        self.vessels[vessel].load = load;
        self.due_in(minutes, What::Vessel(vessel));
        true
    }

    /// Jars that stood too long go into the refrigerator.
    fn give_up(&mut self, stop: usize) {
        let place = &self.kitchen.stops[stop];
        let jars = self.board_has(stop);
        self.must(Command::Divert {
            station: self.kitchen.stations[place.station].id.clone(),
            product: self.kitchen.products[place.product].id.clone(),
            lot: None,
            amount: thousandths(jars),
            to: Destination::Refrigerator {},
            becomes: None,
        });
        self.lost += jars;
        self.ended = self.now;
        self.stock[stop].clear();
    }

    fn take(&mut self, vessel: usize, phase: Phase, stop: usize, amount: f64) {
        let vessel = &mut self.vessels[vessel];
        vessel.phase = phase;
        vessel.stop = stop;
        vessel.amount = amount;
        vessel.count += 1;
    }

    fn fill_pot(&mut self, vessel: usize, stop: usize, amount: f64) -> bool {
        self.tap_please(stop);
        let place = &self.kitchen.stops[stop];
        let station = self.kitchen.stations[place.station].id.clone();
        let product = self.kitchen.products[place.product].id.clone();
        if self.board_has(stop) < amount {
            let there = self.should_have(stop).max(amount);
            self.count(stop, there);
        }
        self.stock[stop].take(amount);
        self.must(Command::FillPot {
            station,
            pot: self.pot(vessel),
            product,
            lot: None,
            amount: Some(thousandths(amount)),
        });
        self.take(vessel, Phase::Filled, stop, amount);
        self.due_in(0.0, What::Vessel(vessel));
        true
    }

    fn pot(&self, vessel: usize) -> PotId {
        id(&self.vessels[vessel].name)
    }

    fn at(&self, vessel: usize) -> StationId {
        self.kitchen.stations[self.vessels[vessel].station]
            .id
            .clone()
    }

    /// The next phase of a canner or a pot.
    pub fn vessel_due(&mut self, vessel: usize) {
        let number = self.vessels[vessel].count - 1;
        let load: Option<LoadId> = self.vessels[vessel]
            .is_canner
            .then(|| id(&self.vessels[vessel].load));
        let [_, heating, after] = self.truth.load(vessel, number);
        match (self.vessels[vessel].phase, load) {
            (Phase::Loading, Some(load)) => {
                let heat = Command::HeatLoad {
                    load: load.clone(),
                    helper: None,
                };
                match self.order(&heat, Role::Lead) {
                    Ok(()) => self.goes_to(vessel, Phase::Heating, heating),
                    Err(refusal) if refusal.code == Code::JarsStood => {
                        self.must(Command::CancelLoad { load });
                        self.vessels[vessel].phase = Phase::Empty;
                        self.give_up(self.vessels[vessel].stop);
                    }
                    Err(_) => self.due_in(BURNER_AGAIN_MIN, What::Vessel(vessel)),
                }
            }
            (Phase::Heating, Some(load)) => {
                self.must(Command::RollingBoil {
                    load: load.clone(),
                    helper: None,
                });
                let process = f64::from(self.board.loads[&load].process.tested.minutes);
                let notice = self.truth.notice(100 + vessel as u64, number);
                self.goes_to(vessel, Phase::Timing, process + notice);
            }
            (Phase::Timing, Some(load)) => {
                let notice = self.truth.notice(100 + vessel as u64, number);
                self.must(Command::HeatOff {
                    load,
                    helper: None,
                    end_early: false,
                });
                self.goes_to(vessel, Phase::Resting, (after - notice).max(2.0));
            }
            (Phase::Resting, Some(load)) => {
                self.must(Command::LiftLoad {
                    load,
                    helper: None,
                    broken: Vec::new(),
                    fate: None,
                });
                let (stop, amount) = (self.vessels[vessel].stop, self.vessels[vessel].amount);
                self.vessels[vessel].phase = Phase::Empty;
                self.goes_on(stop, amount);
            }
            (Phase::Filled, None) => self.start_pot(vessel, number),
            (Phase::Cooking, None) => self.empty_pot(vessel, number),
            (Phase::Dirty, None) => self.wash_pot(vessel),
            (phase, load) => panic!("{phase:?} of {load:?} is never due"),
        }
    }

    fn goes_to(&mut self, vessel: usize, phase: Phase, minutes: f64) {
        self.vessels[vessel].phase = phase;
        self.due_in(minutes, What::Vessel(vessel));
    }

    fn start_pot(&mut self, vessel: usize, number: u64) {
        let start = Command::StartPot {
            station: self.at(vessel),
            pot: self.pot(vessel),
            minder: None,
            backup: None,
        };
        if self.order(&start, Role::Lead).is_err() {
            self.due_in(BURNER_AGAIN_MIN, What::Vessel(vessel));
            return;
        }
        let stop = &self.kitchen.stops[self.vessels[vessel].stop];
        let cook_min = self.kitchen.products[stop.product].route.cook_min;
        let minutes = self.truth.pot(vessel, number, cook_min).0;
        self.goes_to(vessel, Phase::Cooking, minutes);
    }

    fn empty_pot(&mut self, vessel: usize, number: u64) {
        let (stop, amount) = (self.vessels[vessel].stop, self.vessels[vessel].amount);
        let out = amount * self.truth.yields[stop];
        self.must(Command::PotDone {
            station: self.at(vessel),
            pot: self.pot(vessel),
            helper: None,
            made: Some(thousandths(out)),
            to: None,
        });
        let minutes = self.truth.pot(vessel, number, 0).1;
        self.goes_to(vessel, Phase::Dirty, minutes);
        self.goes_on(stop, out);
    }

    fn wash_pot(&mut self, vessel: usize) {
        let (at, of) = (self.at(vessel), self.pot(vessel));
        let dirty = |chore: &putby::day::state::Chore| {
            chore.finished_at.is_none()
                && matches!(&chore.kind, putby::day::event::ChoreKind::DirtyPot { station, pot }
                    if *station == at && *pot == of)
        };
        let chore = self.board.chores.iter().find(|(_, chore)| dirty(chore));
        let chore: ChoreId = chore.expect("a dirty pot is a chore").0.clone();
        self.must(Command::FinishChore {
            chore,
            helper: None,
        });
        self.vessels[vessel].phase = Phase::Empty;
    }
}
