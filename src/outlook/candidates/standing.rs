//! Food that stands longer than it should where hands are missing.

use crate::day::ids::{ProductId, StationId};
use crate::day::plan::Nature;
use crate::day::state::State;
use crate::day::time::Timestamp;
use crate::day::view;

/// Cut fruit or cooked pulp past the mark at which the board urges.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// Where it waits; work there is done by hand.
    pub station: StationId,
    /// What.
    pub product: ProductId,
    /// When the published limit of two hours is reached.
    pub limit_at: Timestamp,
    /// Whether nobody sits there: then it stands until somebody comes.
    pub is_alone: bool,
}

/// All food that stands past its urging mark at stations done by hand, the nearest limit first. The
/// marks are those of the view's clocks.
pub fn standing(state: &State, now: Timestamp) -> Vec<Standing> {
    let shown = view(state);
    let mut found = Vec::new();
    for (id, station) in &shown.stations {
        if !matches!(station.nature, Nature::Hand {}) {
            continue;
        }
        for (product, waiting) in &station.waiting {
            let Some(clock) = waiting.stands.as_ref().filter(|clock| clock.urge_at <= now) else {
                continue;
            };
            found.push(Standing {
                station: id.clone(),
                product: product.clone(),
                limit_at: clock.limit_at,
                is_alone: station.seated.is_empty(),
            });
        }
    }
    found.sort_by_key(|standing| standing.limit_at);
    found
}
