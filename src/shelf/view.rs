//! What the screens show of the shelf: by product and package, each with its lots, the oldest first.

use super::accounts::Accounts;
use super::command::{BatchRef, LotRef, Verdict};
use super::decide::UNDO_MS;
use super::event::Event;
use super::state::{Recall, State};
use crate::day::amount::Amount;
use crate::day::ids::ProductId;
use crate::day::time::{HOUR_MS, Timestamp};
use crate::trace::{BatchCode, Package, PackageLot, Place, Traced, keeping};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use uuid::Uuid;

/// The present rate of use is that of so many days. Common practice, no source: long enough for a
/// product that is eaten once a month, short enough to follow the season.
const RATE_DAYS: i64 = 84;
/// A rate is not told from less than a week.
const RATE_DAYS_MIN: i64 = 7;
const DAY_MS: i64 = 24 * HOUR_MS;
/// How many of the last commands are told.
const RECENT_MAX: usize = 12;

/// The whole shelf.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ShelfView {
    /// By name.
    pub products: Vec<ProductOnShelf>,
    /// What must not be eaten.
    pub recalls: Vec<RecallView>,
    /// The last commands that can be taken back, the newest first.
    pub recent: Vec<RecentView>,
}

/// One product in one package.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ProductOnShelf {
    /// Its id on the last day that made it.
    pub product: ProductId,
    /// What it was called there.
    pub name: String,
    /// What a package is.
    pub package: Package,
    /// Where all of it is.
    #[serde(flatten)]
    pub accounts: Accounts,
    /// What is left, by place.
    pub places: BTreeMap<Place, Amount>,
    /// How often it was judged how.
    pub judged: BTreeMap<Verdict, u32>,
    /// How fast it is eaten; absent while nothing was taken lately.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rate: Option<Rate>,
    /// What is left, lot by lot and place by place, the oldest first.
    pub lots: Vec<LotOnShelf>,
}

/// How fast packages are eaten.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Rate {
    /// Packages taken in `days`.
    pub taken: Amount,
    /// The last 84 days, or since the first of them came.
    pub days: i64,
    /// How many days what is left lasts at that rate, rounded down.
    pub lasts_days: i64,
}

/// What is left of a lot at a place.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LotOnShelf {
    /// Which.
    #[serde(flatten)]
    pub lot: LotRef,
    /// The load or run it is of.
    pub batch: BatchCode,
    /// What the fruit was called.
    pub lot_name: String,
    /// Where.
    pub place: Place,
    /// How many. Less than nothing: somebody should count.
    pub left: Amount,
    /// The civil date of the day.
    pub date: String,
    /// When they came to the place they first stood at; for what was moved, from there.
    pub at: Timestamp,
    /// The civil date until which they are at their best, where that is published.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best_by: Option<String>,
    /// Whether they must not be eaten.
    pub recalled: bool,
}

/// A recall.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RecallView {
    /// Which load or run.
    #[serde(flatten)]
    pub batch: BatchRef,
    /// Since when.
    pub at: Timestamp,
    /// Why.
    pub reason: String,
    /// What of it is left.
    pub left: Amount,
    /// What of it was taken before.
    pub eaten: Amount,
    /// Jars of it on the rack.
    pub waiting: Amount,
    /// Its lots.
    pub lots: Vec<LotRef>,
}

/// A command that can be taken back.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RecentView {
    /// Its id.
    pub command: Uuid,
    /// When.
    pub at: Timestamp,
    /// What it did.
    pub event: Event,
    /// The name of the product, where it was about one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
}

/// The shelf at a moment.
pub fn view(state: &State, now: Timestamp) -> ShelfView {
    let mut groups: BTreeMap<(ProductId, Package), Vec<_>> = BTreeMap::new();
    for (at, day, lot) in state.lots() {
        let key = (lot.product.clone(), lot.package);
        groups.entry(key).or_default().push((at, day, lot));
    }
    let told = |((product, package), lots): ((ProductId, Package), Vec<Lot<'_>>)| {
        product_told(state, now, product, package, &lots)
    };
    let mut products: Vec<ProductOnShelf> = groups.into_iter().map(told).collect();
    products.sort_by(|a, b| (&a.name, a.package).cmp(&(&b.name, b.package)));
    let recalls = state.recalls.iter();
    ShelfView {
        products,
        recalls: recalls
            .map(|(batch, recall)| recall_told(state, batch, recall))
            .collect(),
        recent: recent(state, now),
    }
}

/// A lot with the day that made it.
pub(super) type Lot<'a> = (LotRef, &'a Traced, &'a PackageLot);

fn product_told(
    state: &State,
    now: Timestamp,
    product: ProductId,
    package: Package,
    lots: &[Lot<'_>],
) -> ProductOnShelf {
    let mut told = ProductOnShelf {
        product,
        name: lots
            .last()
            .map_or_else(String::new, |lot| lot.2.product_name.clone()),
        package,
        accounts: Accounts::default(),
        places: BTreeMap::new(),
        judged: BTreeMap::new(),
        rate: None,
        lots: Vec::new(),
    };
    for (at, day, lot) in lots {
        told.accounts.add(Accounts::of(state, at, lot));
        for (verdict, count) in state.kept(at).judged {
            *told.judged.entry(verdict).or_default() += count;
        }
        for place in Place::ALL {
            let left = state.left(at, place);
            if left != Amount::ZERO {
                *told.places.entry(place).or_default() += left;
                told.lots.push(lot_told(state, at, day, lot, place));
            }
        }
    }
    told.lots
        .sort_by(|a, b| (&a.date, a.at, &a.lot, a.place).cmp(&(&b.date, b.at, &b.lot, b.place)));
    told.rate = rate(state, now, lots, told.accounts.left);
    told
}

fn lot_told(
    state: &State,
    at: &LotRef,
    day: &Traced,
    lot: &PackageLot,
    place: Place,
) -> LotOnShelf {
    let stood = lot
        .places
        .get(&place)
        .or_else(|| lot.places.values().next());
    LotOnShelf {
        lot: at.clone(),
        batch: lot.batch.clone(),
        lot_name: lot.lot_name.clone(),
        place,
        left: state.left(at, place),
        date: day.date.clone(),
        at: stood.map_or(day.opened_at, |stood| stood.at),
        best_by: keeping(&day.date, place).best_by,
        recalled: state.recall(at).is_some(),
    }
}

/// The first moment a package of any of these lots stood where it is kept.
pub(super) fn first_at(lots: &[Lot<'_>]) -> Option<Timestamp> {
    let moments = lots
        .iter()
        .flat_map(|(_, _, lot)| lot.places.values().map(|stood| stood.at));
    moments.min()
}

fn rate(state: &State, now: Timestamp, lots: &[Lot<'_>], left: Amount) -> Option<Rate> {
    let since_first = now.ms_since(first_at(lots)?) / DAY_MS;
    let days = since_first.clamp(RATE_DAYS_MIN, RATE_DAYS);
    let from = Timestamp(now.0 - days * DAY_MS);
    let theirs = state
        .takes()
        .filter(|(at, lot, _)| *at > from && lots.iter().any(|(known, _, _)| known == *lot));
    let taken: Amount = theirs.map(|(_, _, packages)| packages).sum();
    (taken > Amount::ZERO).then(|| Rate {
        taken,
        days,
        lasts_days: left.0.max(0) * days / taken.0,
    })
}

fn recall_told(state: &State, batch: &BatchRef, recall: &Recall) -> RecallView {
    let mut sum = Accounts::default();
    let mut lots = Vec::new();
    for (at, _, lot) in state.lots().filter(|(at, _, _)| at.batch() == *batch) {
        sum.add(Accounts::of(state, &at, lot));
        lots.push(at);
    }
    RecallView {
        batch: batch.clone(),
        at: recall.at,
        reason: recall.reason.clone(),
        left: sum.left,
        eaten: sum.eaten,
        waiting: sum.waiting,
        lots,
    }
}

fn recent(state: &State, now: Timestamp) -> Vec<RecentView> {
    let stands = state.done.iter().rev().filter(|done| {
        !done.undone
            && !matches!(done.event, Event::Undone { .. })
            && now.ms_since(done.at) <= UNDO_MS
    });
    stands
        .take(RECENT_MAX)
        .map(|done| RecentView {
            command: done.command,
            at: done.at,
            event: done.event.clone(),
            name: named(state, &done.event),
        })
        .collect()
}

fn named(state: &State, event: &Event) -> Option<String> {
    let lot = match event {
        Event::Taken { lot, .. }
        | Event::Judged { lot, .. }
        | Event::Moved { lot, .. }
        | Event::Discarded { lot, .. }
        | Event::Corrected { lot, .. } => lot,
        Event::Recalled { .. } | Event::RecallEnded { .. } | Event::Undone { .. } => return None,
    };
    state.lot(lot).map(|lot| lot.product_name.clone())
}
