//! Whether more is still to come to a place: what waits, cooks or lies in boxes before it.

use super::sight::Sight;
use crate::day::amount::Amount;
use crate::day::command::Place;
use std::collections::BTreeSet;

/// Whether anything is on its way to a place.
pub(super) fn is_coming(sight: &Sight, to: &Place) -> bool {
    let mut seen: BTreeSet<Place> = BTreeSet::new();
    let mut open = vec![to.clone()];
    while let Some(place) = open.pop() {
        for before in leading_to(sight, &place) {
            if stands_at(sight, &before) || lies_in_boxes(sight, &before) {
                return true;
            }
            if seen.insert(before.clone()) {
                open.push(before);
            }
        }
    }
    lies_in_boxes(sight, to)
}

/// The places from which work goes on to this one.
fn leading_to(sight: &Sight, to: &Place) -> Vec<Place> {
    let mut found = Vec::new();
    for (id, product) in &sight.products {
        for (index, step) in product.route.iter().enumerate() {
            let next = product.route.get(index + 1);
            let leads = if step.onward.is_empty() {
                *id == to.product && next.is_some_and(|next| next.station == to.station)
            } else {
                let same = |way: &crate::day::plan::Branch| {
                    way.product == to.product && way.station == to.station
                };
                step.onward.iter().any(same)
            };
            if leads {
                found.push(Place {
                    product: id.clone(),
                    station: step.station.clone(),
                });
            }
        }
    }
    found
}

fn stands_at(sight: &Sight, place: &Place) -> bool {
    let station = sight.stations.get(&place.station);
    let inside = station.and_then(|station| station.done.get(&place.product));
    sight.waiting(&place.station, &place.product) > Amount::ZERO
        || inside.is_some_and(|done| done.inside > Amount::ZERO)
}

/// Whether closed boxes can still be opened into this place.
fn lies_in_boxes(sight: &Sight, place: &Place) -> bool {
    let Some(product) = sight.products.get(&place.product) else {
        return false;
    };
    let first = product
        .route
        .first()
        .filter(|step| step.station == place.station);
    first.is_some_and(|first| {
        sight.lots.values().any(|lot| {
            lot.produce == product.produce
                && lot.measure == first.measure
                && lot.unopened > Amount::ZERO
        })
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::day::{Command, Moment, Role, State, execute};

    fn place(product: &str, station: &str) -> Place {
        Place {
            product: product.try_into().unwrap(),
            station: station.try_into().unwrap(),
        }
    }

    /// The day with no fruit but this much of the plums.
    fn sight_with_plums(amount: Amount) -> Sight {
        let mut plan = crate::demo::day();
        plan.lots.retain(|lot, _| lot.as_str() == "plums-hedge");
        for lot in plan.lots.values_mut() {
            lot.amount = amount;
        }
        let moment = Moment {
            now: crate::day::time::Timestamp(0),
            command: uuid::Uuid::nil(),
            role: Role::Lead,
        };
        let mut state = State::default();
        let plan = Box::new(plan);
        execute(&mut state, &Command::OpenDay { plan }, &moment).unwrap();
        Sight::of(&state)
    }

    #[test]
    fn closed_boxes_are_still_to_come_all_along_the_way_across_products() {
        let sight = sight_with_plums(Amount::whole(14));
        for (product, station) in [
            ("plum-puree", "wash"),
            ("plum-puree", "strain"),
            ("puree-quart", "canners"),
            ("plum-spread", "freezer"),
        ] {
            assert!(
                is_coming(&sight, &place(product, station)),
                "{product} {station}"
            );
        }
        assert!(!is_coming(&sight, &place("pears-quart", "fill")));
    }

    #[test]
    fn nothing_comes_when_no_boxes_are_left() {
        let sight = sight_with_plums(Amount::ZERO);
        assert!(!is_coming(&sight, &place("plum-spread", "freezer")));
    }
}
