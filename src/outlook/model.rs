//! The live day as a network to simulate: what is left, where it waits, who works on it.
//!
//! Every step of a product's route is a stop. What it leaves out, on purpose: the walk to the
//! washing-up after a pot, a freezer or rack that is full, a canner's free burner while its jars
//! rest, the hands that mind heat (their interruptions are in the learned rates). A station that
//! is put away counts as set up again when work comes to it. Helpers who are only expected are not
//! counted on. A process is the tested one, always.

mod layout;
mod meant;
mod minutes;
mod people;
mod steps;
mod under_way;
mod waiting;

use super::report::Band;
use crate::day::command::Place;
use crate::day::ids::{HelperId, LotId, ProductId, StationId};
use crate::day::plan::{Ending, Nature};
use crate::day::state::{Phase, State};
use crate::day::time::{MINUTE_MS, Timestamp};
use crate::pace::Pace;
use crate::sim::{Network, Outcome, Roaming, Start};
use layout::Layout;
use std::collections::BTreeMap;

pub(in crate::outlook) use meant::{at_stops, opens_into};
pub(in crate::outlook) use people::usual_rates;

/// How people behave whom nobody tells anything.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Habits {
    /// Minutes without work after which somebody goes where work waits; `None`: nobody moves.
    pub roams_after_min: Option<f64>,
}

impl Habits {
    /// People as they are: ten idle minutes are enough (from memory).
    pub const USUAL: Habits = Habits {
        roams_after_min: Some(10.0),
    };

    /// People as they are when moves are compared: who would soon move anyway would hide what a
    /// move gains, and without any roaming a place left empty would never be filled.
    pub const COMPARED: Habits = Habits {
        roams_after_min: Some(45.0),
    };
}

/// Closed boxes that are meant to be opened today.
#[derive(Debug, Clone, PartialEq)]
pub struct Unopened {
    /// Of which lot.
    pub lot: LotId,
    /// For which product.
    pub product: ProductId,
    /// Where they wait in the model: the stop of the product's first step.
    pub stop: usize,
    /// How much, in the measure of that step.
    pub amount: f64,
}

/// The rest of a day, ready to be simulated. Numbers of the network are places in the lists.
#[derive(Debug, Clone)]
pub struct Model {
    /// The stations, stops and people.
    pub network: Network,
    /// What waits, who sits where, what is under way.
    pub start: Start,
    /// The moment of minute 0.
    pub at: Timestamp,
    /// Minutes until the cut-off; absent without one.
    pub cut_off_min: Option<f64>,
    /// The stations, by id.
    pub stations: Vec<StationId>,
    /// The helpers who are here or rest, by id.
    pub helpers: Vec<HelperId>,
    /// The products, by id; their number is the class. One more class holds jars that are lost.
    pub products: Vec<ProductId>,
    /// Where each stop is. Loads under way have stops of their own after those of the routes.
    pub stops: Vec<Place>,
    /// Boxes still closed that the model counts on; their work is among what waits.
    pub boxes: Vec<Unopened>,
    /// By stop: what waits on the board but is not needed today (jars nobody will fill).
    pub left_out: Vec<f64>,
    /// By class: packages made already, cooling ones among them.
    pub made_before: Vec<f64>,
    /// By class: whether its end counts for the end of the day. Jars washed in stock do not.
    pub counts: Vec<bool>,
    /// By stop: minutes of the tested process, at a canner.
    pub process_min: Vec<Option<f64>>,
    by_place: BTreeMap<(usize, usize), usize>,
}

impl Model {
    /// The rest of the day at `now`, with the pace its people have shown.
    pub fn of(state: &State, pace: &Pace, now: Timestamp, habits: Habits) -> Model {
        let layout = Layout::of(state);
        let mut network = Network {
            pools: layout.pools.iter().map(|(_, count)| *count).collect(),
            change_min: crate::pace::CHANGE_MIN,
            roaming: habits
                .roams_after_min
                .map(|after_min| Roaming { after_min }),
            classes: layout.products.len() + 1,
            ..Network::default()
        };
        let process_min = steps::lay_out(&mut network, &layout, pace);
        let mut model = Model {
            network,
            start: Start::default(),
            at: now,
            cut_off_min: state.cut_off_at.map(|at| minutes_from(now, at)),
            stations: layout.stations.clone(),
            helpers: layout.helpers.clone(),
            products: layout.products.clone(),
            stops: layout.stops.clone(),
            boxes: Vec::new(),
            left_out: vec![0.0; layout.stops.len()],
            made_before: made_before(&layout),
            counts: counts(&layout),
            process_min,
            by_place: layout.by_place.clone(),
        };
        people::seat(&mut model, &layout, pace);
        if state.phase == Phase::Open {
            waiting::put(&mut model, &layout, pace);
            under_way::put(&mut model, &layout, pace);
            meant::put(&mut model, &layout, habits);
        } else {
            model.start.waiting = vec![Vec::new(); model.network.stops.len()];
        }
        model
    }

    /// The number of a station.
    pub fn station(&self, id: &StationId) -> Option<usize> {
        self.stations.binary_search(id).ok()
    }

    /// The number of a helper who is here or rests.
    pub fn helper(&self, id: &HelperId) -> Option<usize> {
        self.helpers.binary_search(id).ok()
    }

    /// The class of a product.
    pub fn product(&self, id: &ProductId) -> Option<usize> {
        self.products.binary_search(id).ok()
    }

    /// The stop of a product at a station.
    pub fn stop(&self, station: &StationId, product: &ProductId) -> Option<usize> {
        let place = (self.station(station)?, self.product(product)?);
        self.by_place.get(&place).copied()
    }

    /// What waits at a stop on the board now: without boxes that are still closed.
    pub fn open_at(&self, stop: usize) -> f64 {
        let waits = self.start.waiting.get(stop).into_iter().flatten();
        let waits: f64 = waits.map(|(amount, _)| amount).sum();
        let closed = self.boxes.iter().filter(|closed| closed.stop == stop);
        (waits - closed.map(|closed| closed.amount).sum::<f64>()).max(0.0)
    }

    /// The same day with every box of fruit left closed.
    pub fn without_boxes(&self) -> Model {
        let mut changed = self.clone();
        changed.boxes.clear();
        for closed in &self.boxes {
            if self.counts[self.network.stops[closed.stop].class] {
                take_youngest(&mut changed.start.waiting[closed.stop], closed.amount);
            } else {
                changed.boxes.push(closed.clone());
            }
        }
        changed
    }

    /// The same day with so much more, opened now, at a stop.
    pub fn with_more(&self, stop: usize, amount: f64) -> Model {
        let mut changed = self.clone();
        if let Some(waiting) = changed.start.waiting.get_mut(stop).filter(|_| amount > 0.0) {
            waiting.push((amount, 0.0));
        }
        changed
    }

    /// Whether nothing is left to simulate.
    pub fn is_done(&self) -> bool {
        self.start.busy.is_empty() && self.start.waiting.iter().all(Vec::is_empty)
    }

    /// Minutes to the end of a simulated day: when the last product that counts is made; the
    /// horizon if that did not happen.
    pub fn finish_of(&self, outcome: &Outcome) -> f64 {
        if outcome.services_left > 0.0 {
            return outcome.finish_min;
        }
        let classes = outcome.class_finish_min.iter().zip(&self.counts);
        let counted = classes.filter(|(_, counts)| **counts).map(|(at, _)| *at);
        counted.fold(0.0, f64::max)
    }

    /// The moment so many minutes after minute 0.
    pub fn moment(&self, minutes: f64) -> Timestamp {
        let ms = (minutes * MINUTE_MS as f64).round();
        Timestamp(self.at.0.saturating_add(ms as i64))
    }

    /// A band of moments from minutes, ascending.
    pub fn band(&self, sorted: &[f64]) -> Band {
        use super::forecast::quantile;
        let at = |share| self.moment(quantile(sorted, share));
        Band {
            p10: at(0.1),
            p50: at(0.5),
            p90: at(0.9),
        }
    }
}

/// Takes an amount out of what waits, the youngest first.
pub(in crate::outlook) fn take_youngest(waiting: &mut Vec<(f64, f64)>, amount: f64) {
    let mut left = amount;
    while left > 1e-9
        && let Some((there, _)) = waiting.last_mut()
    {
        let part = left.min(*there);
        *there -= part;
        left -= part;
        if *there <= 1e-9 {
            waiting.pop();
        }
    }
}

/// Minutes from one moment to another; below 0 if it is past.
pub(in crate::outlook) fn minutes_from(from: Timestamp, to: Timestamp) -> f64 {
    to.ms_since(from) as f64 / MINUTE_MS as f64
}

fn made_before(layout: &Layout<'_>) -> Vec<f64> {
    let state = layout.state;
    let made = layout.products.iter().map(|product| {
        let made = state.finished(product) + state.cooling(product);
        layout::plain(made)
    });
    made.chain([0.0]).collect()
}

fn counts(layout: &Layout<'_>) -> Vec<bool> {
    let products = layout.products.iter().map(|product| {
        let plan = layout.state.products.get(product).map(|found| &found.plan);
        plan.is_some_and(|plan| !matches!(plan.ends_in, Ending::Stocked { .. }))
    });
    products.chain([true]).collect()
}

/// Whether people work at such a station carrier by carrier.
pub(in crate::outlook) fn is_by_hand(nature: &Nature) -> bool {
    matches!(nature, Nature::Hand {})
}
