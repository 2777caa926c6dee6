//! Cumulative flow: what came to each stage of a product and what left it, over the day.
//!
//! In is whatever raises what waits or stands inside there, out whatever lowers it, so each curve
//! only rises, and what is in place is the first less the second at every moment. Invariant
//! (J. D. C. Little, "A Proof for the Queuing Formula L = lambda W", Operations Research 9, 1961, on
//! a finite span): the area between the two curves is the sum of the times all units were in place;
//! so mean in place times the span is the units times their mean stay.

use super::touched::Touched;
use crate::day::amount::{Amount, Measure};
use crate::day::ids::{ProductId, StationId};
use crate::day::plan::Step;
use crate::day::state::State;
use crate::day::time::{MINUTE_MS, Timestamp};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// The most points told of one stage.
const POINTS_MAX: usize = 300;

/// The stages of one product.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct ProductFlow {
    /// In the order of the route; stations the product passes no more come last.
    pub stages: Vec<Stage>,
    /// Packages at the end of the route, over time.
    pub finished: Vec<(Timestamp, Amount)>,
}

/// One product at one station.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Stage {
    /// Where.
    pub station: StationId,
    /// What amounts are counted in here; absent when the product passes here no more.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measure: Option<Measure>,
    /// Packages that the route promises of one unit here; absent likewise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub packages: Option<f64>,
    /// `(moment, came so far, left so far)`, each to the next; at most 300, the last one kept of each
    /// stretch that was left out.
    pub points: Vec<(Timestamp, Amount, Amount)>,
    /// How many points were left out.
    #[serde(skip_serializing_if = "is_zero")]
    pub left_out: usize,
    /// All that came.
    pub came: Amount,
    /// All that left, whichever way.
    pub left: Amount,
    /// Amount times milliseconds in place over the whole day, exactly: the sum of all stays.
    pub stay: i64,
    /// What was in place on average over the time the day was open, in units.
    pub mean_in_place: f64,
    /// How long a unit was in place on average, in minutes: those that are there still count up to
    /// the end.
    pub mean_stay_min: f64,
}

fn is_zero(count: &usize) -> bool {
    *count == 0
}

/// Every curve so far.
#[derive(Default)]
pub(super) struct Flows {
    places: BTreeMap<(ProductId, StationId), Curve>,
    finished: BTreeMap<ProductId, Vec<(Timestamp, Amount)>>,
}

#[derive(Default)]
struct Curve {
    points: Vec<(Timestamp, Amount, Amount)>,
    came: Amount,
    left: Amount,
    stay: i128,
    since: Timestamp,
}

impl Curve {
    fn in_place(&self) -> Amount {
        self.came - self.left
    }

    fn advance(&mut self, to: Timestamp) {
        self.stay += i128::from(self.in_place().0) * i128::from(to.ms_since(self.since));
        self.since = to;
    }

    fn set(&mut self, at: Timestamp, is: Amount) {
        let was = self.in_place();
        if is == was {
            return;
        }
        self.advance(at);
        self.came += (is - was).max(Amount::ZERO);
        self.left += (was - is).max(Amount::ZERO);
        let point = (at, self.came, self.left);
        match self.points.last_mut() {
            Some(last) if last.0 == at => *last = point,
            Some(_) | None => self.points.push(point),
        }
    }
}

impl Flows {
    /// Takes what an event that was applied to `state` has touched.
    pub(super) fn take(&mut self, state: &State, now: Timestamp, touched: &[Touched]) {
        for (station, product) in touched {
            let Some(product) = product else { continue };
            let place = (product.clone(), station.clone());
            let curve = self.places.entry(place).or_default();
            curve.set(now, in_place(state, station, product));
            self.count(state, now, product);
        }
    }

    fn count(&mut self, state: &State, now: Timestamp, product: &ProductId) {
        let is = state.finished(product);
        let points = self.finished.entry(product.clone()).or_default();
        if points.last().map_or(Amount::ZERO, |last| last.1) == is {
            return;
        }
        match points.last_mut() {
            Some(last) if last.0 == now => last.1 = is,
            Some(_) | None => points.push((now, is)),
        }
    }

    /// Tells of every product that anything came of.
    pub(super) fn told(mut self, state: &State, to: Timestamp) -> BTreeMap<ProductId, ProductFlow> {
        let mut told: BTreeMap<ProductId, ProductFlow> = BTreeMap::new();
        for ((product, station), curve) in &mut self.places {
            curve.advance(to);
            let stage = stage(state, product, station, curve, to);
            let flow = told.entry(product.clone()).or_default();
            flow.stages.push(stage);
        }
        for (product, flow) in &mut told {
            let route = state.products.get(product).map(|found| &found.plan.route);
            let place = |stage: &Stage| {
                let on = |step: &Step| step.station == stage.station;
                route
                    .and_then(|route| route.iter().position(on))
                    .unwrap_or(usize::MAX)
            };
            flow.stages.sort_by_key(place);
            let finished = self.finished.remove(product).unwrap_or_default();
            flow.finished = thinned(finished).0;
        }
        told.retain(|_, flow| flow.stages.iter().any(|stage| stage.came > Amount::ZERO));
        told
    }
}

fn stage(
    state: &State,
    product: &ProductId,
    station: &StationId,
    curve: &Curve,
    to: Timestamp,
) -> Stage {
    let (points, left_out) = thinned(curve.points.clone());
    let open_ms = to.ms_since(state.opened_at);
    let per = |whole: i64| curve.stay as f64 / (whole.max(1) as f64);
    Stage {
        station: station.clone(),
        measure: state.step(product, station).map(|step| step.measure),
        packages: packages_of_one(state, product, station),
        points,
        left_out,
        came: curve.came,
        left: curve.left,
        stay: i64::try_from(curve.stay).unwrap_or(i64::MAX),
        mean_in_place: per(open_ms) / 1000.0,
        mean_stay_min: per(curve.came.0) / MINUTE_MS as f64,
    }
}

/// What waits and what stands in pots and canners, over all lots.
fn in_place(state: &State, station: &StationId, product: &ProductId) -> Amount {
    let lots = state.lots_at(station, product).into_iter().flatten();
    lots.map(|(_, flow)| flow.balance() + flow.inside).sum()
}

/// What the yields from a station to the end of the route make of one unit there.
pub(super) fn packages_of_one(
    state: &State,
    product: &ProductId,
    station: &StationId,
) -> Option<f64> {
    let route = &state.products.get(product)?.plan.route;
    let here = route.iter().position(|step| step.station == *station)?;
    let each = |step: &Step| step.yields.made as f64 / step.yields.from.max(1) as f64;
    Some(route[here..].iter().map(each).product())
}

/// At most [`POINTS_MAX`] points, the last of each stretch, and how many were left out.
fn thinned<P: Copy>(points: Vec<P>) -> (Vec<P>, usize) {
    if points.len() <= POINTS_MAX {
        return (points, 0);
    }
    let length = points.len().div_ceil(POINTS_MAX);
    let kept: Vec<P> = points
        .chunks(length)
        .filter_map(|part| part.last().copied())
        .collect();
    let left_out = points.len() - kept.len();
    (kept, left_out)
}
