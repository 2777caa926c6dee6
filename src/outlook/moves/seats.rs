//! The kitchen after a change of seats, for the simulation.

use crate::outlook::candidates::Candidate;
use crate::outlook::model::Model;
use crate::sim::{Network, Start};

/// Whether open work waits where somebody goes alone. Work that only comes later, out of a box still
/// closed or from the station before, is a reason to go later. Of a swap each goes to a place that
/// was somebody's.
pub(super) fn has_work(model: &Model, candidate: &Candidate) -> bool {
    let [step] = candidate.steps.as_slice() else {
        return true;
    };
    let waits = |stop: usize| model.open_at(stop) > 0.0;
    let mut stops = model.network.stops.iter().enumerate();
    let station = model.station(&step.to);
    stops.any(|(number, stop)| Some(stop.station) == station && waits(number))
}

/// The start after a candidate's steps; `None` when the model knows one of them not.
pub fn after(model: &Model, candidate: &Candidate) -> Option<Start> {
    let steps: Option<Vec<(usize, usize)>> = candidate
        .steps
        .iter()
        .map(|step| Some((model.helper(&step.helper)?, model.station(&step.to)?)))
        .collect();
    Some(seated(&model.network, &model.start, &steps?))
}

/// A start with some helpers at other stations. They finish what they have in hand, go there, and
/// begin after the minutes a change takes.
pub fn seated(network: &Network, start: &Start, steps: &[(usize, usize)]) -> Start {
    let mut after = start.clone();
    after.ready_min.resize(network.helpers.len(), 0.0);
    for (helper, station) in steps {
        after.seats[*helper] = Some(*station);
        after.ready_min[*helper] = after.ready_min[*helper].max(network.change_min);
    }
    after
}
