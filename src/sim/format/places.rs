//! Stations: from names to numbers.

use super::Misread;
use super::names::{AT, Names, Steps};
use super::sense::{above_0, not_below_0, number};
use super::written_places::{BatchesForm, StationForm, WhenFullForm, WorksForm};
use crate::sim::{Batches, Network, Station, Stop, Uncertain, WhenFull, Works};

/// One station, but for its planned batches, which name steps.
pub(super) fn station(form: &StationForm, shared: &Names<'_>) -> Result<Station, Misread> {
    let place = format!("The station {}", form.name);
    let at_least_1 = |count: u32, what: &str| match count {
        0 => Err(Misread::new(
            format!("{place} has no {what}."),
            "Give it at least 1.",
        )),
        some => Ok(some),
    };
    let mut seats = 0;
    let works = match &form.works {
        WorksForm::Servers(count) => Works::Servers(Some(at_least_1(*count, "servers")?)),
        WorksForm::Unlimited => Works::Servers(None),
        WorksForm::Hands(count) => {
            seats = at_least_1(*count, "seats")?;
            Works::Hands
        }
        WorksForm::Batches(batches) => {
            let most = above_0(batches.most, &format!("The most of {}", form.name))?;
            if !(batches.least >= 0.0 && batches.least <= most) {
                return Err(Misread::new(
                    format!("{place} starts at the least {} of {most}.", batches.least),
                    "Give a least from 0 to the most.",
                ));
            }
            Works::Batches(Batches {
                servers: at_least_1(batches.places, "places")?,
                min_share: batches.least / most,
                first: Vec::new(),
                patience_min: batches
                    .patience_min
                    .map(|minutes| not_below_0(minutes, &format!("{place}'s patience")))
                    .transpose()?,
            })
        }
    };
    let takes = form.takes.iter().map(|take| {
        let thing = shared.find(&take.what, &place)?;
        Ok((thing, take.count))
    });
    Ok(Station {
        name: form.name.clone(),
        works,
        room: form.room,
        when_full: match form.when_full {
            WhenFullForm::Block => WhenFull::Block,
            WhenFullForm::Lose => WhenFull::Lose,
        },
        seats,
        takes: takes.collect::<Result<_, Misread>>()?,
        slowness: number(&form.slowness, &format!("The slowness of {}", form.name))?,
    })
}

/// The planned batches of a station.
pub(super) fn planned(
    name: &str,
    batches: &BatchesForm,
    steps: &Steps<'_>,
) -> Result<Vec<(usize, f64)>, Misread> {
    let place = format!("A planned batch at {name}");
    let planned = batches.first.iter().map(|first| {
        let step = match &first.of {
            Some(of) => steps.one(&format!("{of}{AT}{name}"), &place)?,
            None => steps.one(name, &place)?,
        };
        let amount = above_0(first.amount, &place)?;
        if amount > batches.most {
            return Err(Misread::new(
                format!("{place} is of {amount}, but it takes {}.", batches.most),
                "Plan no more than the most.",
            ));
        }
        Ok((step, amount))
    });
    planned.collect()
}

/// Where work that finds no place blocks, enough of it must be able to wait for a service to begin:
/// what fills the room, and where all work comes in whole carriers the one that comes then. With
/// less the line would come to a stop for good.
pub(super) fn has_room_to_begin(network: &Network) -> Result<(), Misread> {
    let is_whole = |stop: &Stop| stop.yields == Uncertain::Known(1.0) && stop.carrier == 1.0;
    let comes_then = f64::from(u8::from(network.stops.iter().all(is_whole)));
    for (number, stop) in network.stops.iter().enumerate() {
        let station = &network.stations[stop.station];
        let Some(room) = station
            .room
            .filter(|_| station.when_full == WhenFull::Block)
        else {
            continue;
        };
        let least = match &station.works {
            Works::Servers(_) | Works::Hands => 1.0,
            Works::Batches(batches) => {
                let planned = batches.first.iter().filter(|(at, _)| *at == number);
                let amounts = planned.map(|(_, amount)| *amount);
                amounts.fold(batches.min_share * stop.fits, f64::max) / stop.carrier
            }
        };
        if least > f64::from(room) + comes_then + 1e-9 {
            let name = &station.name;
            return Err(Misread::new(
                format!("The station {name} begins with {least} carriers and has room for {room}."),
                "Give it more room, let it begin with less, or let it lose what finds none.",
            ));
        }
    }
    Ok(())
}
