//! Bags, tubs and jars that went to the cold without a canner: finished at the end of their route,
//! or put there before they came to a canner.

use super::code::BatchCode;
use super::figures::{PackageLot, Place, Stood};
use super::keeping::keeping;
use super::loads::{fruit, package};
use super::origin::Origin;
use crate::day::Record;
use crate::day::amount::Amount;
use crate::day::command::Destination;
use crate::day::event::{Event, Onward};
use crate::day::ids::{LotId, ProductId, StationId};
use crate::day::plan::Ending;
use crate::day::state::State;
use crate::day::time::Timestamp;
use std::collections::BTreeMap;
use uuid::Uuid;

/// Packages that came to a place together.
struct Put {
    command: Uuid,
    at: Timestamp,
    product: ProductId,
    lot: LotId,
    amount: Amount,
    place: Place,
}

/// All of them so far.
#[derive(Default)]
pub(super) struct Runs {
    put: Vec<Put>,
    /// The lots of fruit of a product in the order they first came, which is that of their numbers:
    /// a tally that is taken back leaves its number unused.
    lines: BTreeMap<ProductId, Vec<LotId>>,
}

impl Runs {
    /// Takes an event that was applied to `state`; gives the product it finished packages of.
    pub(super) fn take(&mut self, state: &State, record: &Record) -> Option<ProductId> {
        match &record.event {
            Event::Tallied {
                product,
                parts,
                onward: Onward::Finished {},
                ..
            }
            | Event::PotFinished {
                product,
                parts,
                onward: Onward::Finished {},
                ..
            } if is_frozen(state, product) => {
                for part in parts {
                    self.add(record, product, &part.lot, part.made, Place::Freezer);
                }
                Some(product.clone())
            }
            Event::TallyUndone { tally, .. } => {
                self.put.retain(|put| put.command != *tally);
                None
            }
            Event::Diverted {
                station,
                product,
                portions,
                to,
                ..
            } => {
                let place = match to {
                    Destination::Refrigerator {} => Place::Refrigerator,
                    Destination::Freezer {} => Place::Freezer,
                    Destination::Route { .. } | Destination::Fresh {} | Destination::Scraps {} => {
                        return None;
                    }
                };
                if !is_packed(state, product, station) {
                    return None;
                }
                for portion in portions {
                    self.add(record, product, &portion.lot, portion.amount(), place);
                }
                Some(product.clone())
            }
            _ => None,
        }
    }

    fn add(
        &mut self,
        record: &Record,
        product: &ProductId,
        lot: &LotId,
        amount: Amount,
        place: Place,
    ) {
        let lines = self.lines.entry(product.clone()).or_default();
        if !lines.contains(lot) {
            lines.push(lot.clone());
        }
        self.put.push(Put {
            command: record.command,
            at: record.at,
            product: product.clone(),
            lot: lot.clone(),
            amount,
            place,
        });
    }

    /// Tells of every lot of fruit of a product, in the order they first came.
    pub(super) fn told(
        &self,
        state: &State,
        origin: &Origin,
        product: &ProductId,
        batch: &BatchCode,
    ) -> Vec<PackageLot> {
        let lines = self.lines.get(product).map_or(&[][..], Vec::as_slice);
        lines
            .iter()
            .map(|lot| self.line(state, origin, product, lot, batch))
            .collect()
    }

    fn line(
        &self,
        state: &State,
        origin: &Origin,
        product: &ProductId,
        lot: &LotId,
        batch: &BatchCode,
    ) -> PackageLot {
        let mut places: BTreeMap<Place, Stood> = BTreeMap::new();
        let theirs = self
            .put
            .iter()
            .filter(|put| put.product == *product && put.lot == *lot);
        for put in theirs.clone() {
            let stood = places.entry(put.place).or_insert_with(|| Stood {
                packages: Amount::ZERO,
                at: put.at,
                keeping: keeping(&state.date, put.place),
            });
            stood.packages += put.amount;
            stood.at = put.at;
        }
        let made = places.values().map(|stood| stood.packages).sum();
        let moments = theirs.map(|put| put.at);
        let first = moments.clone().min().unwrap_or(state.opened_at);
        let last = moments.max().unwrap_or(first);
        let mut told = PackageLot {
            batch: batch.clone(),
            product: product.clone(),
            product_name: state.product_name(product),
            package: package(state, product),
            lot: lot.clone(),
            lot_name: String::new(),
            produce: String::new(),
            made,
            places,
            waiting: Amount::ZERO,
            broken: Amount::ZERO,
            again: Amount::ZERO,
            load: None,
            filled_from: first,
            filled_to: last,
            work: origin.work(state, product, lot, last),
            checked_by: Vec::new(),
            notes: origin.notes(state, product, lot, None),
        };
        fruit(state, &mut told);
        told
    }
}

fn is_frozen(state: &State, product: &ProductId) -> bool {
    let product = state.products.get(product);
    product.is_some_and(|found| matches!(found.plan.ends_in, Ending::Frozen { .. }))
}

/// Whether what waits there is counted in the packages the product ends in. Loose fruit that went to
/// the cold is no package and is told by the look back alone.
fn is_packed(state: &State, product: &ProductId, station: &StationId) -> bool {
    let Some(found) = state.products.get(product) else {
        return false;
    };
    let kept = match found.plan.ends_in {
        Ending::Canned { .. } | Ending::Frozen { .. } => found.plan.ends_in.package(),
        Ending::Fresh { .. } | Ending::Stocked { .. } | Ending::Shared {} => None,
    };
    let measure = state.step(product, station).map(|step| step.measure);
    kept.is_some() && kept == measure
}
