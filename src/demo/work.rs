//! Work by hand: a carrier is begun, takes its time, and is tallied.

use super::coming::is_coming;
use super::look::Look;
use super::mind::{Hands, Mind};
use super::people::Happening;
use super::sight::StationSight;
use crate::day::amount::Amount;
use crate::day::command::{Command, Place};
use crate::day::ids::*;
use crate::day::plan::{Ending, Nature, Step};
use crate::day::time::{MINUTE_MS, SECOND_MS, Timestamp};
use rand::{Rng, RngExt};

/// Tubs are carried to the freezer this many at a time.
const TUBS_TOGETHER: i64 = 4;

/// The carrier in hand is done: tally it.
pub(super) fn finished(mind: &mut Mind, look: &Look<'_>) -> Option<Command> {
    let hands = mind.hands.as_ref()?;
    let seat = look.myself()?.station.as_ref();
    let walks = is_hold(look, &hands.station);
    if seat != Some(&hands.station) && !walks {
        mind.hands = None;
        return None;
    }
    (look.now >= hands.until).then(|| Command::Tally {
        station: hands.station.clone(),
        helper: Some(look.me.clone()),
        product: Some(hands.product.clone()),
        lot: None,
        amount: Some(hands.amount),
        to: None,
    })
}

fn is_hold(look: &Look<'_>, station: &StationId) -> bool {
    let found = look.sight.stations.get(station);
    found.is_some_and(|station| matches!(station.nature, Nature::Hold { .. }))
}

/// Takes up the next carrier at the seat, or sees that tubs get into the freezer. Gives no command;
/// the hands are full then.
pub(super) fn begin(mind: &mut Mind, look: &Look<'_>, rng: &mut impl Rng) -> Option<Command> {
    let begun = at_seat(look, rng).or_else(|| to_freezer(look, rng));
    if begun.is_some() {
        mind.idle_since = None;
        mind.hands = begun;
    } else {
        mind.idle_since.get_or_insert(look.now);
    }
    None
}

fn at_seat(look: &Look<'_>, rng: &mut impl Rng) -> Option<Hands> {
    let station_id = look.myself()?.station.as_ref()?;
    let station = look.sight.stations.get(station_id)?;
    let others = i64::try_from(station.seated.len()).unwrap_or(1) - 1;
    // Others may have their hands on some of it; now and then one does not think of that.
    let careful = rng.random_range(0..10) > 0;
    let mut wishes: Vec<_> = station
        .waiting
        .iter()
        .filter_map(|(product, queue)| {
            let amount = workable(look, (station_id, station), product)?;
            let left = queue.amount.0 - others * queue.carrier.holds.0;
            let mine = !careful || others == 0 || left >= amount.0;
            mine.then_some((queue.oldest_at, product, amount, queue.carrier.holds))
        })
        .collect();
    wishes.sort();
    let (_, product, amount, whole) = wishes.into_iter().next()?;
    let minutes = look.person.minutes.get(station_id)? * slowness(look, station_id);
    Some(Hands {
        station: station_id.clone(),
        product: product.clone(),
        amount,
        until: after(look, minutes * amount.0 as f64 / whole.0 as f64, rng),
    })
}

/// A moment some minutes from now, give or take this person's spread.
pub(super) fn after(look: &Look<'_>, minutes: f64, rng: &mut impl Rng) -> Timestamp {
    let spread = i64::from(look.person.spread_percent);
    let percent = 100 + rng.random_range(-spread..=spread);
    let ms = minutes * MINUTE_MS as f64 * percent as f64 / 100.0;
    Timestamp(look.now.0 + (ms as i64).max(10 * SECOND_MS))
}

/// How many times longer this person takes here just now.
fn slowness(look: &Look<'_>, station: &StationId) -> f64 {
    let minute = look.minute();
    let times = |happening: &Happening| {
        let Happening::FallsBehind {
            from_min,
            to_min,
            helper,
            station: at,
            times,
        } = happening
        else {
            return None;
        };
        let during = (i64::from(*from_min)..i64::from(*to_min)).contains(&minute);
        (helper == look.me && at == station && during).then_some(*times)
    };
    look.cast.happenings.iter().filter_map(times).product()
}

/// How much of a product one could take up here now: a carrier, or the last of it.
pub(super) fn workable(
    look: &Look<'_>,
    (station_id, station): (&StationId, &StationSight),
    product: &ProductId,
) -> Option<Amount> {
    let queue = station.waiting.get(product)?;
    let step = look.sight.step(product, station_id)?;
    let place = Place {
        product: product.clone(),
        station: station_id.clone(),
    };
    let whole = queue.carrier.holds;
    let amount = if queue.amount >= whole {
        whole
    } else if is_coming(look.sight, &place) || !makes_whole(look, &place, step, queue.amount) {
        return None;
    } else {
        queue.amount
    };
    let fits = has_supplies(look, step, amount) && is_wanted(look, &place);
    fits.then_some(amount)
}

/// Half a jar is no jar.
fn makes_whole(look: &Look<'_>, place: &Place, step: &Step, amount: Amount) -> bool {
    let route = look
        .sight
        .products
        .get(&place.product)
        .map(|product| &product.route);
    let mut later = route
        .into_iter()
        .flatten()
        .skip_while(|s| s.station != place.station);
    let next = later.nth(1).map(|next| next.measure);
    let ends_in = look
        .sight
        .products
        .get(&place.product)
        .and_then(|p| p.ends_in.package());
    let counted = next.or(ends_in).is_some_and(|measure| measure.is_counted());
    let (made, _) = step.yields.convert(amount, 0);
    !counted || step.onward.len() > 1 || made.0 > 0 && made.is_whole()
}

fn has_supplies(look: &Look<'_>, step: &Step, amount: Amount) -> bool {
    let (made, _) = step.yields.convert(amount, 0);
    step.draws.iter().all(|(supply, each)| {
        let needed = i128::from(each.0) * i128::from(made.0) / 1000;
        let stock = look
            .sight
            .supplies
            .get(supply)
            .map_or(0, |s| i128::from(s.stock.0));
        needed <= stock
    })
}

/// Jars are not filled before a canner can take them: one load may stand filled, no more.
fn is_wanted(look: &Look<'_>, place: &Place) -> bool {
    let Some(product) = look.sight.products.get(&place.product) else {
        return false;
    };
    let Ending::Canned { jar, .. } = product.ends_in else {
        return true;
    };
    let here = product
        .route
        .iter()
        .position(|s| s.station == place.station);
    let next = here.and_then(|here| product.route.get(here + 1));
    let canners = next.and_then(|next| look.sight.stations.get(&next.station));
    let Some(canners) = canners.filter(|canners| !canners.canners.is_empty()) else {
        return true;
    };
    let holds = canners
        .canners
        .values()
        .filter_map(|canner| canner.holds.get(&jar));
    let most = holds.copied().max().unwrap_or(0);
    let stands = canners
        .waiting
        .get(&place.product)
        .map_or(Amount::ZERO, |q| q.amount);
    stands < Amount::whole(i64::from(most))
}

/// Packages waiting at the freezer door are carried in.
fn to_freezer(look: &Look<'_>, rng: &mut impl Rng) -> Option<Hands> {
    for (station_id, station) in &look.sight.stations {
        let Some(minutes) = look.person.minutes.get(station_id) else {
            continue;
        };
        if !is_hold(look, station_id) {
            continue;
        }
        for (product, queue) in &station.waiting {
            let frozen = look
                .sight
                .products
                .get(product)
                .is_some_and(|product| matches!(product.ends_in, Ending::Frozen { .. }));
            let place = Place {
                product: product.clone(),
                station: station_id.clone(),
            };
            let enough =
                queue.amount >= Amount::whole(TUBS_TOGETHER) || !is_coming(look.sight, &place);
            if frozen && enough {
                return Some(Hands {
                    station: station_id.clone(),
                    product: product.clone(),
                    amount: queue.amount.at_most(Amount::whole(TUBS_TOGETHER)),
                    until: after(look, *minutes, rng),
                });
            }
        }
    }
    None
}
