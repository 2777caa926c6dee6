//! The invariants of a day, checked on the whole state. Cheap enough for every command.
//!
//! I1 every ledger balances and nothing is below nothing;
//! I2 over all stations, what was made of a lot has arrived, is finished or is in a stock;
//! I3 a helper sits in at most one seat, and seats agree with helpers;
//! I4 no station has more helpers than seats, no shared thing more users than there are;
//! I5 what is inside pots and canners agrees with the ledgers;
//! I6 a canner has at most one load; every jar on a rack is of a load that had its whole time and
//!    whose seals are unchecked, and every canned jar on the shelf was sealed at such a check.

use super::amount::Amount;
use super::ids::*;
use super::plan::Ending;
use super::state::{LoadPhase, Phase, State};
use std::collections::BTreeMap;

/// The least time jars cool before their seals are checked.
fn cooling_ms() -> i64 {
    i64::from(crate::trade::cooling_hours().value.low) * super::time::HOUR_MS
}

impl State {
    /// # Errors
    /// A sentence that names the broken invariant.
    pub fn check(&self) -> Result<(), String> {
        self.check_ledgers()?;
        self.check_lots()?;
        self.check_seats()?;
        self.check_shared()?;
        self.check_inside()?;
        self.check_loads()?;
        self.check_shelf()
    }

    fn check_ledgers(&self) -> Result<(), String> {
        for (station, product, lot, flow) in self.all_flows() {
            flow.check()
                .map_err(|fault| format!("{lot} of {product} at {station}: {fault}"))?;
        }
        for (id, supply) in &self.supplies {
            let came = supply.restocked + supply.fed + supply.recounted;
            if came != supply.stock + supply.drawn || supply.stock < Amount::ZERO {
                return Err(format!("the stock {id} does not balance"));
            }
        }
        Ok(())
    }

    fn check_lots(&self) -> Result<(), String> {
        let mut made: BTreeMap<&LotId, Amount> = BTreeMap::new();
        let mut arrived: BTreeMap<&LotId, Amount> = BTreeMap::new();
        let mut opened: BTreeMap<&LotId, Amount> = BTreeMap::new();
        for (_, _, lot, flow) in self.all_flows() {
            *made.entry(lot).or_default() += flow.made;
            *arrived.entry(lot).or_default() += flow.arrived.made;
            *opened.entry(lot).or_default() += flow.arrived.opened;
        }
        for product in self.products.values() {
            for (lot, amount) in &product.finished {
                *arrived.entry(lot).or_default() += *amount;
                if *amount < Amount::ZERO {
                    return Err(format!("less than nothing of {lot} is finished"));
                }
            }
        }
        for (id, lot) in &self.lots {
            let made = made.get(id).copied().unwrap_or_default();
            let arrived = arrived.get(id).copied().unwrap_or_default() + lot.stocked;
            if made != arrived {
                return Err(format!("{made} was made of {id} but {arrived} arrived"));
            }
            if opened.get(id).copied().unwrap_or_default() != lot.opened {
                return Err(format!("the opened boxes of {id} do not agree"));
            }
            let boxes = lot.unopened + lot.opened + lot.split;
            if boxes != lot.plan.amount || lot.unopened < Amount::ZERO {
                return Err(format!("the boxes of {id} do not balance"));
            }
        }
        Ok(())
    }

    fn check_seats(&self) -> Result<(), String> {
        let mut seats: BTreeMap<&HelperId, &StationId> = BTreeMap::new();
        for (id, station) in &self.stations {
            for helper in station.seats.keys() {
                if seats.insert(helper, id).is_some() {
                    return Err(format!("{helper} sits in two seats"));
                }
            }
            let most = usize::try_from(station.plan.seats).unwrap_or(usize::MAX);
            if station.seats.len() > most {
                return Err(format!("{id} has more helpers than seats"));
            }
        }
        for (id, helper) in &self.helpers {
            if helper.station.as_ref() != seats.get(id).copied() {
                return Err(format!("the seat of {id} does not agree"));
            }
        }
        Ok(())
    }

    fn check_shared(&self) -> Result<(), String> {
        for (id, resource) in &self.resources {
            let used = self.resource_used(id);
            if used > resource.count {
                return Err(format!("{used} of {} {id} are in use", resource.count));
            }
        }
        Ok(())
    }

    fn check_inside(&self) -> Result<(), String> {
        let mut inside: BTreeMap<(&StationId, &ProductId, &LotId), Amount> = BTreeMap::new();
        for (id, station) in &self.stations {
            for batch in station.pots.values().filter_map(|pot| pot.batch.as_ref()) {
                for portion in &batch.portions {
                    let key = (id, &batch.product, &portion.lot);
                    *inside.entry(key).or_default() += portion.amount();
                }
            }
        }
        for load in self.loads.values().filter(|load| load.is_in_canner()) {
            for part in &load.jars {
                let key = (&load.station, &part.product, &part.portion.lot);
                *inside.entry(key).or_default() += part.portion.amount();
            }
        }
        for (station, product, lot, flow) in self.all_flows() {
            let stands = inside.remove(&(station, product, lot)).unwrap_or_default();
            if stands != flow.inside {
                return Err(format!(
                    "{stands} of {lot} stands inside at {station}, the ledger says {}",
                    flow.inside
                ));
            }
        }
        match inside.keys().next() {
            Some((station, _, lot)) => Err(format!("{lot} inside at {station} has no ledger")),
            None => Ok(()),
        }
    }

    fn check_shelf(&self) -> Result<(), String> {
        let mut racked: BTreeMap<(&ProductId, &LotId), Amount> = BTreeMap::new();
        let mut sealed: BTreeMap<(&ProductId, &LotId), Amount> = BTreeMap::new();
        for (id, load) in &self.loads {
            for (key, jars) in load.unchecked() {
                *racked.entry(key).or_default() += jars;
            }
            for (at, jars) in &load.checked {
                let Some(lot) = &jars.lot else {
                    return Err(format!("a seal check of load {id} names no lot"));
                };
                let cooled = load
                    .lifted_at
                    .is_some_and(|lifted| at.ms_since(lifted) >= cooling_ms());
                if jars.sealed > 0 && (load.short || !cooled) {
                    return Err(format!("jars of load {id} reached the shelf too soon"));
                }
                let shelved = Amount::whole(i64::from(jars.sealed));
                *sealed.entry((&jars.product, lot)).or_default() += shelved;
            }
        }
        for (station, product, lot, flow) in self.all_flows() {
            let stands = flow.waiting();
            if !self.is_after_canner(product, station) {
                continue;
            }
            let known = racked.remove(&(product, lot)).unwrap_or_default();
            if stands != known {
                return Err(format!(
                    "{stands} of {lot} stand at {station}, loads say {known}"
                ));
            }
        }
        if let Some((product, lot)) = racked.keys().next() {
            return Err(format!("jars of {lot} for {product} stand nowhere"));
        }
        let canned = self
            .products
            .iter()
            .filter(|(_, product)| matches!(product.plan.ends_in, Ending::Canned { .. }));
        for (id, product) in canned {
            for (lot, amount) in &product.finished {
                let known = sealed.get(&(id, lot)).copied().unwrap_or_default();
                if *amount != known {
                    return Err(format!("{amount} of {id} are on the shelf, {known} sealed"));
                }
            }
        }
        Ok(())
    }

    fn check_loads(&self) -> Result<(), String> {
        let mut canners: BTreeMap<(&StationId, &CannerId), &LoadId> = BTreeMap::new();
        for (id, load) in &self.loads {
            let canner = (&load.station, &load.canner);
            if load.is_in_canner() && canners.insert(canner, id).is_some() {
                return Err(format!("{} has two loads", load.canner));
            }
            if load.phase == LoadPhase::Lifted && load.short != load.fate.is_some() {
                return Err(format!("load {id} and what became of it do not agree"));
            }
            let minutes = i64::from(load.process.tested.minutes) * super::time::MINUTE_MS;
            let timed = match (load.boil_at, load.heat_off_at) {
                (Some(boil_at), Some(off_at)) => {
                    off_at.ms_since(boil_at) >= minutes.saturating_add(load.unknown_ms)
                }
                _ => false,
            };
            if load.phase == LoadPhase::Lifted && !load.short && !timed {
                return Err(format!("load {id} did not have its whole time"));
            }
            if self.phase == Phase::Closed && load.is_in_canner() {
                return Err(format!("load {id} is in a canner of a closed day"));
            }
        }
        Ok(())
    }
}
