//! The lots of a lifted load: what became of its jars stands in the load itself.

use super::code::BatchCode;
use super::figures::{Holds, LoadOrigin, Package, PackageLot, Place, Stood};
use super::keeping::keeping;
use super::origin::Origin;
use crate::day::amount::{Amount, Measure};
use crate::day::command::ShortFate;
use crate::day::event::LoadPart;
use crate::day::ids::{LoadId, LotId, ProductId};
use crate::day::plan::{Ending, Nature};
use crate::day::state::{Load, State};
use crate::day::time::Timestamp;
use crate::trade;
use std::collections::BTreeMap;

/// Tells of every product and lot of a load, in the order its jars were listed. `number` is the
/// load's, from 1.
pub(super) fn told(
    state: &State,
    origin: &Origin,
    id: &LoadId,
    number: usize,
    batch: &BatchCode,
) -> Vec<PackageLot> {
    let Some((load, lifted_at)) = state
        .loads
        .get(id)
        .and_then(|load| Some((load, load.lifted_at?)))
    else {
        return Vec::new();
    };
    let lines = lines(load);
    let mut broken = broken_when_lifted(load, &lines);
    let unchecked = load.unchecked();
    lines
        .iter()
        .map(|line| {
            let key = (line.product, line.lot);
            let found = Found {
                broken: broken.remove(&key).unwrap_or_default(),
                waiting: unchecked.get(&key).copied().unwrap_or_default(),
            };
            let (filled_from, filled_to) = line.filled;
            let mut lot = PackageLot {
                batch: batch.clone(),
                product: line.product.clone(),
                product_name: state.product_name(line.product),
                package: package(state, line.product),
                lot: line.lot.clone(),
                lot_name: String::new(),
                produce: String::new(),
                made: line.jars,
                places: BTreeMap::new(),
                waiting: found.waiting,
                broken: found.broken,
                again: Amount::ZERO,
                load: Some(load_origin(state, id, load, number, lifted_at)),
                filled_from,
                filled_to,
                work: origin.work(state, line.product, line.lot, load.built_at),
                checked_by: origin.checked_by(state, id, line.product, line.lot),
                notes: origin.notes(state, line.product, line.lot, Some(id)),
            };
            fruit(state, &mut lot);
            book(state, load, lifted_at, &mut lot);
            lot
        })
        .collect()
}

/// The names of the fruit a lot of packages is of.
pub(super) fn fruit(state: &State, lot: &mut PackageLot) {
    if let Some(found) = state.lots.get(&lot.lot) {
        lot.lot_name = found.plan.name.clone();
        lot.produce = found.plan.produce.clone();
    }
}

struct Found {
    broken: Amount,
    waiting: Amount,
}

/// Jars of one product and lot in a load.
struct Line<'a> {
    product: &'a ProductId,
    lot: &'a LotId,
    jars: Amount,
    filled: (Timestamp, Timestamp),
}

fn lines(load: &Load) -> Vec<Line<'_>> {
    let mut lines: Vec<Line<'_>> = Vec::new();
    for LoadPart { product, portion } in &load.jars {
        let since = portion.layers.iter().map(|layer| layer.since);
        let first = since.clone().min().unwrap_or(load.built_at);
        let last = since.max().unwrap_or(load.built_at);
        let same = lines
            .iter_mut()
            .find(|line| line.product == product && *line.lot == portion.lot);
        match same {
            Some(line) => {
                line.jars += portion.amount();
                line.filled = (line.filled.0.min(first), line.filled.1.max(last));
            }
            None => lines.push(Line {
                product,
                lot: &portion.lot,
                jars: portion.amount(),
                filled: (first, last),
            }),
        }
    }
    lines
}

type ByLine<'a> = BTreeMap<(&'a ProductId, &'a LotId), Amount>;

/// Jars that broke in the canner. Where no lot was named they are taken as [`Load::unchecked`] takes
/// them, so that both tell the same.
fn broken_when_lifted<'a>(load: &'a Load, lines: &[Line<'a>]) -> ByLine<'a> {
    let jars = |line: &Line<'a>| ((line.product, line.lot), line.jars);
    let mut stands: ByLine<'a> = lines.iter().map(jars).collect();
    let mut broken = ByLine::new();
    for entry in &load.broken {
        let mut gone = Amount::whole(i64::from(entry.jars));
        for ((product, lot), left) in &mut stands {
            let named = entry.lot.as_ref().is_none_or(|named| named == *lot);
            if **product == entry.product && named {
                let taken = gone.at_most(*left);
                *left -= taken;
                gone -= taken;
                *broken.entry((*product, *lot)).or_default() += taken;
            }
        }
    }
    broken
}

/// Where the jars went: by the seal checks, or by the fate of a load whose time was not full.
fn book(state: &State, load: &Load, lifted_at: Timestamp, lot: &mut PackageLot) {
    let stood = |lot: &mut PackageLot, place, packages: Amount, at| {
        if packages == Amount::ZERO {
            return;
        }
        let keeping = keeping(&state.date, place);
        let before = lot.places.get(&place).map_or(Amount::ZERO, |s| s.packages);
        let packages = before + packages;
        lot.places.insert(
            place,
            Stood {
                packages,
                at,
                keeping,
            },
        );
    };
    if load.short {
        let good = lot.made - lot.broken;
        match load.fate {
            Some(ShortFate::Refrigerate) => stood(lot, Place::Refrigerator, good, lifted_at),
            Some(ShortFate::Freeze) => stood(lot, Place::Freezer, good, lifted_at),
            Some(ShortFate::Reprocess) => lot.again += good,
            // Not thrown away and not safe: nowhere it could be taken from.
            None => lot.waiting += good,
        }
        return;
    }
    let jars = |count: u32| Amount::whole(i64::from(count));
    let (product, fruit) = (lot.product.clone(), lot.lot.clone());
    let theirs = load
        .checked
        .iter()
        .filter(|(_, found)| found.product == product && found.lot.as_ref() == Some(&fruit));
    for (at, found) in theirs {
        stood(lot, Place::Pantry, jars(found.sealed), *at);
        stood(lot, Place::Refrigerator, jars(found.refrigerated), *at);
        stood(lot, Place::Freezer, jars(found.frozen), *at);
        lot.broken += jars(found.broken);
        lot.again += jars(found.reprocessed);
    }
}

fn load_origin(
    state: &State,
    id: &LoadId,
    load: &Load,
    number: usize,
    lifted_at: Timestamp,
) -> LoadOrigin {
    let tested = &load.process.tested;
    let cools = trade::cooling_hours().value.low * 60;
    LoadOrigin {
        id: id.clone(),
        number,
        canner: canner_name(state, load),
        method: tested.method,
        minutes: tested.minutes,
        psi: tested.psi,
        altitude_ft: tested.altitude_ft,
        source: tested.source.clone(),
        boil_at: load.boil_at,
        heat_off_at: load.heat_off_at,
        lifted_at,
        boils_lost: load.lost.len(),
        short: load.short,
        fate: load.fate,
        seals_from: lifted_at.plus_minutes(cools),
    }
}

fn canner_name(state: &State, load: &Load) -> String {
    let station = state.stations.get(&load.station);
    let canner = station.and_then(|station| match &station.plan.nature {
        Nature::Canner { canners, .. } => canners.get(&load.canner),
        _ => None,
    });
    canner.map_or_else(|| load.canner.to_string(), |found| found.name.clone())
}

/// What a package of a product is.
pub(super) fn package(state: &State, id: &ProductId) -> Package {
    let none = Package {
        measure: Measure::Jar,
        jar: None,
        holds: None,
    };
    let Some(product) = state.products.get(id) else {
        return none;
    };
    let plan = &product.plan;
    match &plan.ends_in {
        Ending::Canned { jar, .. } => Package {
            jar: Some(*jar),
            ..none
        },
        ending => {
            let measure = ending.package().unwrap_or(Measure::Jar);
            // The step at which it stops being loose and begins to be counted in packages.
            let packed = plan.route.iter().find(|step| {
                step.measure != measure && state.measure_after(id, step) == Some(measure)
            });
            let holds = packed.and_then(|step| {
                Some(Holds {
                    amount: step.yields.needed_for(Amount::whole(1))?,
                    measure: step.measure,
                })
            });
            Package {
                measure,
                jar: None,
                holds,
            }
        }
    }
}
