//! Which stations and queues an event changes, so that the others need not be looked at.
//!
//! Asked before the event is applied, while what it takes back or lifts is still in the state.
//! Invariant: a queue or a station's activity never changes without being named here.

use crate::day::command::Destination;
use crate::day::event::{Event, Onward};
use crate::day::ids::{LoadId, ProductId, StationId};
use crate::day::state::State;

/// A station, and the product whose queue changes there, if one does.
pub(super) type Touched = (StationId, Option<ProductId>);

/// What `event` will change.
pub(super) fn touched(state: &State, event: &Event) -> Vec<Touched> {
    match event {
        Event::DayOpened { plan } => {
            let carried = plan.carried.iter();
            let stations = plan.stations.keys().map(|id| (id.clone(), None));
            stations
                .chain(carried.map(|part| place(&part.station, &part.product)))
                .collect()
        }
        Event::StationAdded { station, .. }
        | Event::StationChanged { station, .. }
        | Event::StationRetired { station }
        | Event::StationSetUp { station }
        | Event::StationPutAway { station }
        | Event::SeatTaken { station, .. }
        | Event::SeatLeft { station, .. }
        | Event::PotStarted { station, .. } => vec![(station.clone(), None)],

        Event::BoxOpened {
            station, product, ..
        }
        | Event::BoxClosed {
            station, product, ..
        }
        | Event::Recounted {
            station, product, ..
        }
        | Event::PotFilled {
            station, product, ..
        } => vec![place(station, product)],

        Event::Tallied {
            station,
            product,
            onward,
            ..
        }
        | Event::PotFinished {
            station,
            product,
            onward,
            ..
        } => and_onward(place(station, product), onward),
        Event::TallyUndone { station, tally } => {
            let tallies = state.stations.get(station).map(|found| &found.tallies);
            let undone = tallies.and_then(|list| list.iter().find(|t| t.command == *tally));
            undone.map_or_else(Vec::new, |undone| {
                and_onward(place(station, &undone.product), &undone.onward)
            })
        }
        Event::Diverted {
            station,
            product,
            to,
            ..
        } => diverted(station, product, to),
        Event::SentBack {
            station,
            product,
            to,
            ..
        } => vec![place(station, product), place(to, product)],
        Event::PotScrapped {
            station, product, ..
        } => vec![place(station, product)],
        Event::PotEmptied { station, pot } => {
            let pots = state.stations.get(station).map(|found| &found.pots);
            let batch = pots.and_then(|pots| pots.get(pot)?.batch.as_ref());
            batch.map_or_else(Vec::new, |batch| vec![place(station, &batch.product)])
        }

        Event::LoadBuilt { station, jars, .. } => jars
            .iter()
            .map(|part| place(station, &part.product))
            .collect(),
        Event::VentBegan { load }
        | Event::PressureFell { load }
        | Event::LoadHeated { load }
        | Event::BoilReached { load }
        | Event::BoilWasLost { load }
        | Event::HeatTurnedOff { load, .. }
        | Event::LoadCancelled { load }
        | Event::SealsChecked { load, .. }
        | Event::LoadLifted { load, .. } => of_load(state, load),

        Event::TimeWasUnknown { .. }
        | Event::DayChanged { .. }
        | Event::DayClosed {}
        | Event::AgeRulesSet { .. }
        | Event::ResourcePut { .. }
        | Event::ResourceRetired { .. }
        | Event::HelperAdded { .. }
        | Event::HelperChanged { .. }
        | Event::HelperRetired { .. }
        | Event::HelperArrived { .. }
        | Event::HelperWentHome { .. }
        | Event::BreakBegan { .. }
        | Event::BreakEnded { .. }
        | Event::BesideChanged { .. }
        | Event::MoveSetAside { .. }
        | Event::MoveTaken { .. }
        | Event::ProductAdded { .. }
        | Event::ProductChanged { .. }
        | Event::ProductRetired { .. }
        | Event::LotAdded { .. }
        | Event::LotChanged { .. }
        | Event::LotRetired { .. }
        | Event::LotSplit { .. }
        | Event::SupplyAdded { .. }
        | Event::SupplyChanged { .. }
        | Event::SupplyRetired { .. }
        | Event::SupplyRestocked { .. }
        | Event::SupplyRecounted { .. }
        | Event::PotStirred { .. }
        | Event::JarsConfirmed { .. }
        | Event::PotHandedOver { .. }
        | Event::ChoreRaised { .. }
        | Event::ChoreTaken { .. }
        | Event::ChoreFinished { .. }
        | Event::ChoreSettled { .. }
        | Event::Noted { .. }
        | Event::Gathered { .. }
        | Event::AlarmTaken { .. }
        | Event::BackupNamed { .. }
        | Event::HurtReported { .. }
        | Event::HurtTakenBack { .. }
        | Event::HurtWasTended { .. } => Vec::new(),
    }
}

fn place(station: &StationId, product: &ProductId) -> Touched {
    (station.clone(), Some(product.clone()))
}

fn and_onward(from: Touched, onward: &Onward) -> Vec<Touched> {
    let mut list = vec![from];
    match onward {
        Onward::Step { product, station } => list.push(place(station, product)),
        Onward::Finished {} | Onward::Stock { .. } => {}
    }
    list
}

fn diverted(station: &StationId, product: &ProductId, to: &Destination) -> Vec<Touched> {
    let mut list = vec![place(station, product)];
    match to {
        Destination::Route { product, station } => list.push(place(station, product)),
        Destination::Fresh {}
        | Destination::Scraps {}
        | Destination::Refrigerator {}
        | Destination::Freezer {} => {}
    }
    list
}

/// The canner of a load, and where its jars come to stand.
fn of_load(state: &State, id: &LoadId) -> Vec<Touched> {
    let Some(load) = state.loads.get(id) else {
        return Vec::new();
    };
    let mut list = vec![(load.station.clone(), None)];
    for part in &load.jars {
        list.push(place(&load.station, &part.product));
        let way = state.way_on(&part.product, &load.station);
        if let Some(Onward::Step { product, station }) = way {
            list.push(place(&station, &product));
        }
    }
    list
}
