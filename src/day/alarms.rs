//! What rings in the kitchen when its time is over, under the same key on every device.
//!
//! `web/core/timers.js` writes the same keys; `tests/rules/alarms.rs` holds them together.

use super::ids::*;
use super::plan::Nature;
use super::state::{Cooking, LoadPhase, State};
use super::time::Timestamp;

/// Minutes after which a taken alarm rings again while its work is not done (common practice, no
/// source).
pub const AGAIN_MIN: u32 = 4;

/// A running clock that ends in an alarm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Alarm<'a> {
    /// What ends, as the key says it.
    pub kind: &'static str,
    /// Where.
    pub station: &'a StationId,
    /// The pot or the load.
    pub of: &'a str,
    /// The pot, if it is one.
    pub pot: Option<&'a PotId>,
    /// When it rings.
    pub due_at: Timestamp,
}

impl Alarm<'_> {
    /// Its name on every device: `stir/cook/big/1789000000000`. Another moment is another alarm.
    pub fn key(&self) -> String {
        format!(
            "{}/{}/{}/{}",
            self.kind, self.station, self.of, self.due_at.0
        )
    }
}

impl State {
    /// Every clock that runs and will ring, or rings.
    pub fn alarms(&self) -> impl Iterator<Item = Alarm<'_>> {
        self.pot_alarms().chain(self.load_alarms())
    }

    fn pot_alarms(&self) -> impl Iterator<Item = Alarm<'_>> {
        let stations = self.stations.iter().filter(|(_, station)| !station.retired);
        stations.flat_map(move |(station, found)| {
            found.pots.keys().flat_map(move |pot| {
                let ends = [
                    ("stir", self.stir_at(station, pot)),
                    ("pot-done", self.pot_done_at(station, pot)),
                ];
                ends.into_iter().filter_map(move |(kind, due_at)| {
                    Some(Alarm {
                        kind,
                        station,
                        of: pot.as_str(),
                        pot: Some(pot),
                        due_at: due_at?,
                    })
                })
            })
        })
    }

    fn load_alarms(&self) -> impl Iterator<Item = Alarm<'_>> {
        self.loads.iter().filter_map(|(id, load)| {
            let (kind, due_at) = match load.phase {
                LoadPhase::Venting => ("venting", load.vent_until()),
                LoadPhase::Timing => ("process", load.done_at()),
                LoadPhase::Resting if load.zero_at.is_some() => {
                    ("rest-pressure", load.rest_until())
                }
                LoadPhase::Resting => ("rest", load.rest_until()),
                LoadPhase::Loading
                | LoadPhase::Heating
                | LoadPhase::Lifted
                | LoadPhase::Cancelled => return None,
            };
            Some(Alarm {
                kind,
                station: &load.station,
                of: id.as_str(),
                pot: None,
                due_at: due_at?,
            })
        })
    }

    /// How a pot cooks, if it does.
    pub fn cooking(&self, station: &StationId, pot: &PotId) -> Option<&Cooking> {
        let batch = self.stations.get(station)?.pots.get(pot)?.batch.as_ref()?;
        batch.cooking.as_ref()
    }

    /// When a cooking pot is to be stirred next.
    pub fn stir_at(&self, station: &StationId, pot: &PotId) -> Option<Timestamp> {
        let cooking = self.cooking(station, pot)?;
        let Nature::Vessel { stir, .. } = self.stations.get(station)?.plan.nature else {
            return None;
        };
        let minutes = stir?.interval_min(cooking.thickness);
        Some(cooking.stirred_at.plus_minutes(minutes))
    }

    /// When the recipe says a cooking pot should be done.
    pub fn pot_done_at(&self, station: &StationId, pot: &PotId) -> Option<Timestamp> {
        let cooking = self.cooking(station, pot)?;
        let batch = self.stations.get(station)?.pots.get(pot)?.batch.as_ref()?;
        let minutes = self.step(&batch.product, station)?.cook_min?;
        Some(cooking.started_at.plus_minutes(minutes))
    }
}
