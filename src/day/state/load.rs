//! A load as it stands: jars in a canner together, from the loading to the seal check.

use crate::day::amount::Amount;
use crate::day::command::{CheckedJars, LoadJars, ShortFate};
use crate::day::event::{LoadPart, LoadProcess};
use crate::day::ids::*;
use crate::day::time::Timestamp;
use crate::trade::{self, Method};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Where a load is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LoadPhase {
    /// Jars go in.
    Loading,
    /// Coming to the boil or to pressure.
    Heating,
    /// Steam drives the air out of a pressure canner.
    Venting,
    /// The time runs.
    Timing,
    /// Heat off, lid off.
    Resting,
    /// The jars are out.
    Lifted,
    /// Taken apart before any heat.
    Cancelled,
}

/// Jars in a canner together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Load {
    /// At which station.
    pub station: StationId,
    /// In which canner there.
    pub canner: CannerId,
    /// Where it is.
    pub phase: LoadPhase,
    /// Its jars.
    pub jars: Vec<LoadPart>,
    /// Its process.
    pub process: LoadProcess,
    /// When it was built.
    pub built_at: Timestamp,
    /// When the heat went on.
    pub heated_at: Option<Timestamp>,
    /// When venting began; only in a pressure canner.
    pub vented_at: Option<Timestamp>,
    /// When the time that counts began; `None` while it does not run.
    pub boil_at: Option<Timestamp>,
    /// Milliseconds since then of which nobody knows what they were; they count for nothing.
    pub unknown_ms: i64,
    /// Earlier starts that count for nothing, with the moment the boil was lost.
    pub lost: Vec<(Timestamp, Timestamp)>,
    /// When the heat went off.
    pub heat_off_at: Option<Timestamp>,
    /// When the pressure had come to zero; only in a pressure canner.
    pub zero_at: Option<Timestamp>,
    /// Whether its time was not full: its jars are not for the shelf.
    pub short: bool,
    /// When the jars came out.
    pub lifted_at: Option<Timestamp>,
    /// What broke.
    pub broken: Vec<LoadJars>,
    /// What became of jars whose time was not full.
    pub fate: Option<ShortFate>,
    /// How its jars were found at the seal checks, each with its moment and its lot.
    pub checked: Vec<(Timestamp, CheckedJars)>,
}

impl Load {
    /// When its time is over, while it runs.
    pub fn done_at(&self) -> Option<Timestamp> {
        let boil_at = self.boil_at?;
        let counted = boil_at.plus_minutes(self.process.tested.minutes);
        Some(Timestamp(counted.0.saturating_add(self.unknown_ms)))
    }

    /// When a pressure canner is vented long enough, once that began.
    pub fn vent_until(&self) -> Option<Timestamp> {
        let minutes = trade::vent_minutes().value;
        self.vented_at.map(|at| at.plus_minutes(minutes))
    }

    /// When the jars have stood long enough with the heat off (or the pressure at zero).
    pub fn rest_until(&self) -> Option<Timestamp> {
        let (from, minutes) = if self.is_pressure() {
            (self.zero_at, trade::depressurise_minutes().value)
        } else {
            (self.heat_off_at, trade::rest_minutes().value)
        };
        from.map(|at| at.plus_minutes(minutes))
    }

    /// How many jars.
    pub fn jar_count(&self) -> Amount {
        self.jars.iter().map(|part| part.portion.amount()).sum()
    }

    /// Whether its canner is taken by it.
    pub fn is_in_canner(&self) -> bool {
        !matches!(self.phase, LoadPhase::Lifted | LoadPhase::Cancelled)
    }

    /// Whether its canner is on the heat.
    pub fn is_on_heat(&self) -> bool {
        let hot = [LoadPhase::Heating, LoadPhase::Venting, LoadPhase::Timing];
        hot.contains(&self.phase)
    }

    /// Whether it is processed under pressure.
    pub fn is_pressure(&self) -> bool {
        let method = self.process.tested.method;
        matches!(method, Method::PressureDial | Method::PressureWeighted)
    }

    /// The jars of it that stand on the rack with their seals unchecked, by product and lot.
    pub fn unchecked(&self) -> BTreeMap<(&ProductId, &LotId), Amount> {
        let mut left: BTreeMap<(&ProductId, &LotId), Amount> = BTreeMap::new();
        if self.phase != LoadPhase::Lifted || self.short {
            return left;
        }
        for part in &self.jars {
            let key = (&part.product, &part.portion.lot);
            *left.entry(key).or_default() += part.portion.amount();
        }
        let broken = self
            .broken
            .iter()
            .map(|jars| (&jars.product, jars.lot.as_ref(), u64::from(jars.jars)));
        let checked = self
            .checked
            .iter()
            .map(|(_, jars)| (&jars.product, jars.lot.as_ref(), jars.total()));
        for (product, lot, count) in broken.chain(checked) {
            let mut gone = Amount::whole(i64::try_from(count).unwrap_or(i64::MAX / 1000));
            for ((of, from), stands) in &mut left {
                if *of == product && lot.is_none_or(|lot| lot == *from) {
                    let taken = gone.at_most(*stands);
                    *stands -= taken;
                    gone -= taken;
                }
            }
        }
        left.retain(|_, stands| *stands > Amount::ZERO);
        left
    }

    /// How many of its jars of a product and lot went to the shelf.
    pub fn sealed(&self, product: &ProductId, lot: &LotId) -> Amount {
        let of = self
            .checked
            .iter()
            .filter(|(_, jars)| jars.product == *product && jars.lot.as_ref() == Some(lot));
        of.map(|(_, jars)| Amount::whole(i64::from(jars.sealed)))
            .sum()
    }
}
