//! Why a move helps, in one reason.

use crate::day::state::State;
use crate::outlook::candidates::{Candidate, has_nothing_to_do};
use crate::outlook::compare::Staying;
use crate::outlook::depth::depth_min;
use crate::outlook::make::tenths;
use crate::outlook::model::Model;
use crate::outlook::report::{MoveStep, Why};

/// The reason for a move: food that stands, somebody without work, or the place where the end of
/// the day is decided.
pub(super) fn why(state: &State, model: &Model, candidate: &Candidate, staying: &Staying) -> Why {
    if let Some(standing) = &candidate.rescues {
        return Why::Stands {
            station: standing.station.clone(),
            product: standing.product.clone(),
        };
    }
    let idle = |step: &&MoveStep| has_nothing_to_do(state, &step.helper);
    let idle = candidate.steps.iter().find(idle);
    if let Some(station) = idle.and_then(|step| step.from.clone()) {
        return Why::NothingToDo { station };
    }
    let chain_min = |step: &MoveStep| {
        let station = model.station(&step.to);
        let minutes = station.and_then(|station| staying.chain_min.get(station));
        minutes.copied().unwrap_or_default()
    };
    let most = candidate
        .steps
        .iter()
        .max_by(|one, other| chain_min(one).total_cmp(&chain_min(other)));
    let Some(step) = most else {
        unreachable!("a move without a step");
    };
    let depth = depth_min(model, state);
    let station = model.station(&step.to);
    Why::SetsFinish {
        waiting_min: station.map_or(0.0, |station| tenths(depth[station])),
        station: step.to.clone(),
    }
}
