//! What left its route or was lost, and where it went; and what went back to be done again.

use super::figures::{Rework, Waste};
use crate::day::amount::Amount;
use crate::day::command::{CheckedJars, Destination, LoadJars, ShortFate};
use crate::day::event::{Event, Onward, Portion};
use crate::day::ids::{LoadId, ProductId, StationId};
use crate::day::state::State;
use std::collections::BTreeMap;

/// The most reasons told of one way back.
const REASONS_MAX: usize = 20;

/// Product, from, to.
type Way = (ProductId, StationId, StationId);

/// By station and product.
type WasteBy = BTreeMap<StationId, BTreeMap<ProductId, Waste>>;

/// All of it so far.
#[derive(Default)]
pub(super) struct Wasted {
    all: WasteBy,
    rework: BTreeMap<Way, Rework>,
}

impl Wasted {
    /// Takes an event that was applied to `state`.
    pub(super) fn take(&mut self, state: &State, event: &Event) {
        if let Event::Diverted {
            station,
            product,
            portions,
            to,
            ..
        } = event
        {
            self.diverted(station, product, whole(portions), to);
        } else if let Event::Recounted {
            station,
            product,
            amount,
            was,
            ..
        } = event
        {
            let row = self.row(station, product);
            row.found += (*amount - *was).max(Amount::ZERO);
            row.missing += (*was - *amount).max(Amount::ZERO);
        } else if let Event::PotScrapped {
            station,
            product,
            portions,
            ..
        } = event
        {
            self.row(station, product).scraps += whole(portions);
        } else if let Event::SealsChecked { load, jars, .. } = event {
            self.checked(state, load, jars);
        } else if let Event::LoadLifted { load, broken, fate } = event {
            self.lifted(state, load, broken, *fate);
        } else if let Event::SentBack {
            station,
            product,
            portions,
            to,
            reason,
            ..
        } = event
        {
            let way = (product.clone(), station.clone(), to.clone());
            self.sent_back(way, whole(portions), reason);
        }
    }

    fn row(&mut self, station: &StationId, product: &ProductId) -> &mut Waste {
        let products = self.all.entry(station.clone()).or_default();
        products.entry(product.clone()).or_default()
    }

    fn diverted(
        &mut self,
        station: &StationId,
        product: &ProductId,
        amount: Amount,
        to: &Destination,
    ) {
        let row = self.row(station, product);
        let went = match to {
            Destination::Route { .. } => &mut row.other_route,
            Destination::Fresh {} => &mut row.fresh,
            Destination::Scraps {} => &mut row.scraps,
            Destination::Refrigerator {} => &mut row.refrigerator,
            Destination::Freezer {} => &mut row.freezer,
        };
        *went += amount;
    }

    /// Broken jars, and the good ones of a load that was ended early.
    fn lifted(
        &mut self,
        state: &State,
        load: &LoadId,
        broken: &[LoadJars],
        fate: Option<ShortFate>,
    ) {
        let Some(load) = state.loads.get(load) else {
            return;
        };
        let mut good: BTreeMap<&ProductId, Amount> = BTreeMap::new();
        for part in &load.jars {
            *good.entry(&part.product).or_default() += part.portion.amount();
        }
        for entry in broken.iter().filter(|entry| entry.jars > 0) {
            let lost = Amount::whole(i64::from(entry.jars));
            self.row(&load.station, &entry.product).broken += lost;
            *good.entry(&entry.product).or_default() -= lost;
        }
        for (product, amount) in good {
            match fate {
                Some(ShortFate::Refrigerate) => {
                    self.row(&load.station, product).refrigerator += amount;
                }
                Some(ShortFate::Freeze) => self.row(&load.station, product).freezer += amount,
                Some(ShortFate::Reprocess) | None => {}
            }
        }
    }

    /// Jars whose seal failed, and where they went from the rack.
    fn checked(&mut self, state: &State, load: &LoadId, jars: &[CheckedJars]) {
        let Some(load) = state.loads.get(load) else {
            return;
        };
        for entry in jars {
            let way = state.way_on(&entry.product, &load.station);
            let Some(Onward::Step { station: rack, .. }) = way else {
                continue;
            };
            let whole = |count: u32| Amount::whole(i64::from(count));
            let row = self.row(&rack, &entry.product);
            row.refrigerator += whole(entry.refrigerated);
            row.freezer += whole(entry.frozen);
            row.broken += whole(entry.broken);
            if entry.reprocessed > 0 {
                let way = (entry.product.clone(), rack, load.station.clone());
                self.sent_back(way, whole(entry.reprocessed), "the seal failed");
            }
        }
    }

    fn sent_back(&mut self, way: Way, amount: Amount, reason: &str) {
        let (product, from, to) = way.clone();
        let rework = self.rework.entry(way).or_insert_with(|| Rework {
            product,
            from,
            to,
            amount: Amount::ZERO,
            times: 0,
            reasons: Vec::new(),
        });
        rework.amount += amount;
        rework.times += 1;
        let is_new = !rework.reasons.iter().any(|known| known == reason);
        if is_new && rework.reasons.len() < REASONS_MAX {
            rework.reasons.push(reason.to_owned());
        }
    }

    /// Tells where it went, each in the measure of its station.
    pub(super) fn told(&self, state: &State) -> WasteBy {
        let mut all = self.all.clone();
        for (station, products) in &mut all {
            for (product, row) in products.iter_mut() {
                row.measure = state.step(product, station).map(|step| step.measure);
            }
        }
        all
    }

    /// Tells what went back.
    pub(super) fn rework(&self) -> Vec<Rework> {
        self.rework.values().cloned().collect()
    }
}

fn whole(portions: &[Portion]) -> Amount {
    portions.iter().map(Portion::amount).sum()
}
