//! Whether time in system says anything of a network.

use crate::sim::format::Task;
use crate::sim::{Stop, Then, Uncertain, WhenFull};

impl Task {
    /// Whether a carrier that comes in goes out again as the same one.
    pub(super) fn has_whole_carriers(&self) -> bool {
        let stops = &self.network.stops;
        let is_whole = |stop: &Stop| {
            let goes_on = !matches!(stop.then, Then::Feed(_));
            stop.carrier == 1.0 && stop.yields == Uncertain::Known(1.0) && goes_on
        };
        let goes_out = |stop: &Stop| match &stop.then {
            Then::Leave => true,
            Then::Chance(ways) => ways.iter().any(|(_, to)| to.is_none()),
            Then::Go(_) | Then::Share(_) | Then::Feed(_) => false,
        };
        // Lost on the way, it would have been present and never left.
        let is_fed = |station: usize| {
            let here = |to: usize| stops[to].station == station;
            stops.iter().any(|stop| match &stop.then {
                Then::Go(to) => here(*to),
                Then::Chance(ways) => ways.iter().any(|(_, to)| to.is_some_and(here)),
                Then::Share(ways) => ways.iter().any(|(_, to)| here(*to)),
                Then::Leave | Then::Feed(_) => false,
            })
        };
        let loses = self
            .network
            .stations
            .iter()
            .enumerate()
            .any(|(number, station)| {
                station.when_full == WhenFull::Lose && station.room.is_some() && is_fed(number)
            });
        stops.iter().all(is_whole) && stops.iter().any(goes_out) && !loses
    }
}
