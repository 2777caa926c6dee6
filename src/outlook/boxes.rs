//! The last box: until when one more can be opened and still be done by the cut-off.
//!
//! One box of the lot in question is opened; all other closed boxes of fruit stay closed, since
//! each of them is a question of its own.

use super::forecast::{each_day, share, sorted};
use super::model::{Model, opens_into};
use super::report::LastBox;
use super::settings::Settings;
use super::through::Through;
use crate::day::ids::LotId;
use crate::day::state::State;
use crate::sim::Source;
use std::collections::BTreeMap;

/// The latest moment is found to this many halvings of the time to the cut-off.
const HALVINGS: u32 = 6;

/// By lot with closed boxes; nothing without a cut-off.
pub fn last_boxes(model: &Model, state: &State, settings: &Settings) -> BTreeMap<LotId, LastBox> {
    let Some(cut_off_min) = model.cut_off_min else {
        return BTreeMap::new();
    };
    let open_only = model.without_boxes();
    let mut found = BTreeMap::new();
    for (lot_id, stop, amount) in opens_into(state, model) {
        let question = Question {
            model: &open_only,
            stop,
            amount,
            touched: touched(model, stop),
            runs: (settings.compare_runs / 2).max(1),
            seed: settings.seed,
        };
        let (now, finishes) = question.opened_at(0.0, cut_off_min);
        if finishes.is_empty() {
            continue;
        }
        let open_by = (now >= settings.sure)
            .then(|| model.moment(question.latest(cut_off_min, settings.sure).floor()));
        let last = LastBox {
            open_by,
            finish_if_now: model.band(&sorted(finishes)),
        };
        found.insert(lot_id, last);
    }
    found
}

/// The classes that come of work at a stop.
fn touched(model: &Model, stop: usize) -> Vec<usize> {
    let left = Through::from_stop(&model.network, stop, 1.0).left;
    (0..left.len()).filter(|class| left[*class] > 0.0).collect()
}

struct Question<'a> {
    model: &'a Model,
    stop: usize,
    amount: f64,
    touched: Vec<usize>,
    runs: u32,
    seed: u64,
}

impl Question<'_> {
    /// Opened so many minutes from now: the chance that what comes of it is made by the cut-off,
    /// and when each day ends.
    fn opened_at(&self, minutes: f64, cut_off_min: f64) -> (f64, Vec<f64>) {
        let mut changed = if minutes > 0.0 {
            self.model.clone()
        } else {
            self.model.with_more(self.stop, self.amount)
        };
        if minutes > 0.0 {
            let carrier = changed.network.stops[self.stop].carrier;
            let carriers = (self.amount / carrier).ceil().clamp(1.0, 10_000.0) as usize;
            changed.network.sources.push(Source::Times {
                stop: self.stop,
                at: vec![minutes; carriers],
            });
        }
        let mut made_by = Vec::new();
        let mut finishes = Vec::new();
        let told = each_day(&changed, self.runs, self.seed, |day| {
            let at = |class: &usize| day.class_finish_min.get(*class).copied().unwrap_or(0.0);
            let last = self.touched.iter().map(at).fold(0.0, f64::max);
            made_by.push(if day.services_left > 0.0 {
                day.finish_min
            } else {
                last
            });
            finishes.push(self.model.finish_of(day));
        });
        match told {
            Ok(()) => (share(&made_by, |at| *at <= cut_off_min), finishes),
            Err(_) => (0.0, Vec::new()),
        }
    }

    /// The latest minute at which the box may be opened; it may be opened now.
    fn latest(&self, cut_off_min: f64, sure: f64) -> f64 {
        let (mut good, mut late) = (0.0, cut_off_min);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(good, late);
            let (chance, _) = self.opened_at(middle, cut_off_min);
            if chance >= sure {
                good = middle;
            } else {
                late = middle;
            }
        }
        good
    }
}
