//! Who worked on what, and what fed what: the way of a lot of fruit through the stations, also
//! through shared routes, diversions and lots that were split.

use super::figures::{NoteTold, WorkTold};
use crate::day::Record;
use crate::day::command::{Destination, NoteOn};
use crate::day::event::{Event, Onward};
use crate::day::ids::*;
use crate::day::state::{Batch, State};
use crate::day::time::Timestamp;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// Somebody did something to a product of a lot at a station.
struct Done {
    command: Uuid,
    at: Timestamp,
    station: StationId,
    product: ProductId,
    lot: LotId,
    helper: Option<HelperId>,
}

/// All work so far.
#[derive(Default)]
pub(super) struct Origin {
    done: Vec<Done>,
    /// The products whose work went on into a product.
    fed_by: BTreeMap<ProductId, BTreeSet<ProductId>>,
    /// The lots a lot was split from.
    split_from: BTreeMap<LotId, BTreeSet<LotId>>,
    /// Who looked at the seals of which jars.
    checked: BTreeMap<(LoadId, ProductId, LotId), BTreeSet<HelperId>>,
}

impl Origin {
    /// Takes an event that is about to be applied to `state`.
    pub(super) fn take(&mut self, state: &State, record: &Record) {
        match &record.event {
            Event::Tallied {
                station,
                helper,
                product,
                parts,
                onward,
                ..
            }
            | Event::PotFinished {
                station,
                helper,
                product,
                parts,
                onward,
                ..
            } => {
                for part in parts {
                    self.note(record, (station, product), &part.lot, helper.as_ref());
                }
                if let Onward::Step { product: into, .. } = onward {
                    self.feeds(product, into);
                }
            }
            Event::TallyUndone { tally, .. } => self.done.retain(|done| done.command != *tally),
            Event::PotStarted {
                station,
                pot,
                minder,
                ..
            } => self.at_pot(state, record, (station, pot), minder.as_ref()),
            Event::PotStirred {
                station,
                pot,
                helper,
                ..
            } => self.at_pot(state, record, (station, pot), helper.as_ref()),
            Event::Diverted {
                product,
                to: Destination::Route { product: into, .. },
                ..
            } => self.feeds(product, into),
            Event::LotSplit { lot, new_lot, .. } => {
                let from = self.split_from.entry(new_lot.clone()).or_default();
                from.insert(lot.clone());
            }
            Event::SealsChecked {
                load,
                helper: Some(helper),
                jars,
            } => {
                for found in jars {
                    let Some(lot) = found.lot.clone() else {
                        continue;
                    };
                    let key = (load.clone(), found.product.clone(), lot);
                    self.checked.entry(key).or_default().insert(helper.clone());
                }
            }
            // Nothing else is work on fruit.
            _ => {}
        }
    }

    fn note(
        &mut self,
        record: &Record,
        (station, product): (&StationId, &ProductId),
        lot: &LotId,
        helper: Option<&HelperId>,
    ) {
        self.done.push(Done {
            command: record.command,
            at: record.at,
            station: station.clone(),
            product: product.clone(),
            lot: lot.clone(),
            helper: helper.cloned(),
        });
    }

    fn at_pot(
        &mut self,
        state: &State,
        record: &Record,
        (station, pot): (&StationId, &PotId),
        helper: Option<&HelperId>,
    ) {
        let pots = state.stations.get(station).map(|found| &found.pots);
        let batch = pots.and_then(|pots| pots.get(pot)?.batch.as_ref());
        let Some(Batch {
            product, portions, ..
        }) = batch
        else {
            return;
        };
        for portion in portions {
            self.note(record, (station, product), &portion.lot, helper);
        }
    }

    fn feeds(&mut self, product: &ProductId, into: &ProductId) {
        if product != into {
            let fed_by = self.fed_by.entry(into.clone()).or_default();
            fed_by.insert(product.clone());
        }
    }

    /// The work on packages of a product and a lot, up to a moment.
    pub(super) fn work(
        &self,
        state: &State,
        product: &ProductId,
        lot: &LotId,
        until: Timestamp,
    ) -> Vec<WorkTold> {
        let products = upstream(&self.fed_by, product);
        let lots = upstream(&self.split_from, lot);
        let mut by_station: BTreeMap<&StationId, (Timestamp, Timestamp, BTreeSet<&HelperId>)> =
            BTreeMap::new();
        let theirs = self.done.iter().filter(|done| {
            done.at <= until && products.contains(&done.product) && lots.contains(&done.lot)
        });
        for done in theirs {
            let row = by_station
                .entry(&done.station)
                .or_insert_with(|| (done.at, done.at, BTreeSet::new()));
            row.1 = done.at;
            row.2.extend(done.helper.as_ref());
        }
        let mut told: Vec<WorkTold> = by_station
            .into_iter()
            .map(|(station, (from, to, people))| WorkTold {
                station: station.clone(),
                name: state.station_name(station),
                from,
                to,
                people: names(state, people),
            })
            .collect();
        told.sort_by_key(|work| (work.from, work.to));
        told
    }

    /// Who looked at the seals of a product and lot in a load.
    pub(super) fn checked_by(
        &self,
        state: &State,
        load: &LoadId,
        product: &ProductId,
        lot: &LotId,
    ) -> Vec<String> {
        let key = (load.clone(), product.clone(), lot.clone());
        names(state, self.checked.get(&key).into_iter().flatten())
    }

    /// What was written about a load, a lot of fruit (and those it was split from) or a product.
    pub(super) fn notes(
        &self,
        state: &State,
        product: &ProductId,
        lot: &LotId,
        load: Option<&LoadId>,
    ) -> Vec<NoteTold> {
        let lots = upstream(&self.split_from, lot);
        let theirs = state.notes.iter().filter(|note| match &note.on {
            NoteOn::Lot(about) => lots.contains(about),
            NoteOn::Load(about) => Some(about) == load,
            NoteOn::Product(about) => about == product,
            NoteOn::Day | NoteOn::Station(_) => false,
        });
        theirs
            .map(|note| NoteTold {
                at: note.at,
                on: note.on.clone(),
                text: note.text.clone(),
            })
            .collect()
    }
}

/// People by name, in the order of the alphabet.
fn names<'a>(state: &State, people: impl IntoIterator<Item = &'a HelperId>) -> Vec<String> {
    let mut names: Vec<String> = people
        .into_iter()
        .map(|helper| state.helper_name(helper))
        .collect();
    names.sort();
    names.dedup();
    names
}

/// `of` and everything it came from, directly or through others.
fn upstream<Id: Ord + Clone>(from: &BTreeMap<Id, BTreeSet<Id>>, of: &Id) -> BTreeSet<Id> {
    let mut found = BTreeSet::from([of.clone()]);
    let mut open = vec![of.clone()];
    while let Some(id) = open.pop() {
        for source in from.get(&id).into_iter().flatten() {
            if found.insert(source.clone()) {
                open.push(source.clone());
            }
        }
    }
    found
}
