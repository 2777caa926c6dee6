//! The brake on filling: filled jars stand too long if there are more than the canners take next.
//!
//! The board shows it, and people stop by themselves. Whoever stops has work in front and room
//! behind, and is not slow.

use super::layout::Layout;
use super::sight::waiting;
use crate::day::ids::{ProductId, StationId};
use crate::day::state::State;

/// Whether nobody would fill more jars of a product for a canner station: a load waits for each
/// canner, those that other products wait for left out.
pub(super) fn is_on(
    state: &State,
    layout: &Layout,
    canner: &StationId,
    product: &ProductId,
) -> bool {
    let Some((canners, jars)) = layout.canners.get(canner) else {
        return false;
    };
    let (mut own, mut all, mut others) = (0.0, 0.0, 0.0);
    for (jar, load) in jars.iter().filter(|(_, load)| *load > 0.0) {
        let loads = waiting(state, canner, jar) / load;
        all += loads;
        if jar == product {
            own = loads;
        } else if loads > 0.0 {
            others += 1.0;
        }
    }
    let close = 1e-9;
    all >= canners - close || own >= canners - others - close
}
